"""How near a treated water comes to what is wanted, for a brewer: what is off, why it comes no nearer, what would help.

The solver counts its misses in tolerances. Here they are milligrams and pH, and each limit says where it comes from.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING

import attrs

from gyle.decide.salt_matrix import BALANCE, RATIO
from gyle.decide.salts import FINE_ENOUGH
from gyle.quantities import write
from gyle.share.sentences import as_sentence, joined
from gyle.share.water_limits import bound_of
from gyle.share.water_names import called, short_name

if TYPE_CHECKING:
    from gyle.beer.mineral import Mineral
    from gyle.decide.salt_problem import Miss
    from gyle.decide.water_work import WaterWork

__all__ = ["OTHER_WATER", "Nearness", "nearness"]

TOLD_APART = 1.0  # a miss of so many tolerances can just be told
OTHER_WATER = "another water would come nearer"  # a note of whoever allows none
MUCH = 0.7  # of the worst miss, below which it is much nearer
AS_NEAR = 0.05


@attrs.frozen(kw_only=True)
class Nearness:
    """How near it comes.

    Parameters
    ----------
    off : tuple of str
        What is off and by how much, the farthest first.
    why : tuple of str
        What keeps it from coming nearer, and where each limit comes from.
    helps : tuple of str
        What one could do about it.
    """

    off: tuple[str, ...] = ()
    why: tuple[str, ...] = ()
    helps: tuple[str, ...] = ()


def nearness(work: WaterWork, *, system: str) -> Nearness:
    """Return how near the doses come to what is wanted; nothing where nothing is wanted.

    Parameters
    ----------
    work : WaterWork
        A water worked out, with what binds it.
    system : {"metric", "us"}
        The person's units.
    """
    if work.treatment is None:
        return Nearness()
    choice = work.treatment.choice
    missed = sorted((miss for miss in choice.misses if miss.scaled > FINE_ENOUGH), key=lambda miss: -miss.scaled)
    told = [miss for miss in missed if miss.scaled > TOLD_APART]
    if not missed:
        return Nearness(off=("All that is wanted is met.",))
    first = as_sentence(f"farthest off is {_said(work, missed[0], system)}")
    if not told:
        return Nearness(off=(f"{first} That is less than can be told apart: all that is wanted is met.",))
    off = [first, *(as_sentence(_said(work, miss, system)) for miss in told[1:])]
    if not any(_of_an_ion(miss) for miss in told) and (nearest := next(filter(_of_an_ion, missed), None)) is not None:
        off.append(f"{as_sentence(f'of the ions it is {_said(work, nearest, system)}')} That can hardly be told.")
    diluted = f"with so much {work.pure_name} water " if choice.dilution_share else ""
    proven = as_sentence(f"{diluted}no other amounts of what is at hand come nearer")
    off.append(proven if choice.proven else "Other amounts may come nearer: the search was cut short.")
    binding = sorted(work.binding, key=lambda one: one.worst_miss)
    gap = [as_sentence(choice.charge_gap)] if choice.charge_gap in work.notes else []
    bounds = [(bound_of(work, one.what), one.worst_miss) for one in binding]
    return Nearness(
        off=tuple(off),
        why=tuple(dict.fromkeys((*_of_ions(work, told), *gap, *(one.why for one, _ in bounds if one.why)))),
        helps=(
            *(f"{one.helps}: {one.then}{_nearer(miss, choice.worst_miss)}." for one, miss in bounds),
            *_second_water(work),
            *_salts(work),
        ),
    )


def _of_an_ion(miss: Miss) -> bool:
    return miss.at == "whole" and miss.what not in (BALANCE, RATIO)


def _said(work: WaterWork, miss: Miss, system: str) -> str:
    """What is off, as it comes to be and as it is wanted."""
    if miss.what == BALANCE:
        return _ph(work)
    if miss.what == RATIO:
        row = work.sulfate_to_chloride
        low, high = row.wanted or (0.0, math.inf)
        end = low if (row.got or 0.0) < low else high
        return f"sulfate to chloride: {row.got or 0.0:.2g} where {end:.2g} is wanted"
    if miss.what == "alkalinity" and miss.at != "whole":
        got, most = (write(end, "alkalinity", system=system) for end in (miss.got, miss.high))
        return (
            f"the alkalinity of the {miss.at} liquor: {got} where at most {most} is wanted, for what the husks give up"
        )
    ion = "bicarbonate" if miss.what == "alkalinity" else miss.what
    row_got = work.ions[ion].got if ion in work.ions and miss.at == "whole" else miss.got
    scale = row_got / miss.got if ion == "bicarbonate" and miss.got > 0.0 else 1.0
    end = scale * (miss.high if miss.got > miss.high else miss.low)
    apart = abs(round(row_got) - round(end))
    if math.isinf(miss.low):
        rise = "up from" if round(row_got) > round(end) else "beside"
        return f"{ion}: {row_got:.0f} mg/L, {rise} {end:.0f} in the water as it comes, though nobody asks for more"
    how = "too much" if row_got > end else "too little"
    return f"{ion}: {row_got:.0f} mg/L where {end:.0f} is wanted, {apart} mg/L {how}"


def _ph(work: WaterWork) -> str:
    mash = work.ph.get("mash")
    aim = None if work.treatment is None else work.treatment.aimed_ph
    if mash is None or aim is None:
        return "the pH of the mash"
    how = "high" if mash.mean > aim else "low"
    return f"the pH of the mash: {mash.mean:.2f} where {aim:g} is wanted, {abs(mash.mean - aim):.2f} too {how}"


def _of_ions(work: WaterWork, told: Iterable[Miss]) -> list[str]:
    """Why an ion is off by itself: nothing brings it, the tap has too much of it, or it comes along with others."""
    assert work.treatment is not None
    held = {one.name: one for one in work.treatment.shelf.offered}
    share = work.dilution_share
    found = []
    for miss in told:
        if miss.what in (BALANCE, RATIO, "alkalinity") or miss.at != "whole" or math.isinf(miss.low):
            continue
        if miss.got < miss.low:
            beside = {ion for one in held.values() if _brings(one, miss.what) for ion in one.ions_mg_per_unit()}
            others = sorted(beside - {miss.what})
            comes = f"{miss.what} comes only together with {joined(others, last='or')}"
            found.append(comes if others else f"nothing at hand brings {miss.what}")
            continue
        tap = work.source.mg_L(miss.what)
        if share == 0.0 and tap > miss.high:
            found.append(f"the water as it comes has {tap:.0f} mg/L of {miss.what}, and no salt takes any out")
            continue
        dosed = {dose.what for dose in work.treatment.choice.doses if dose.kind == "salt"}
        bring = [held[name] for name in held if name in dosed and _brings(held[name], miss.what)]
        along = sorted({ion for one in bring for ion in one.ions_mg_per_unit() if ion != miss.what})
        wanted = [ion for ion in along if ion in work.treatment.wanted.moved]
        if bring and wanted:
            verb = "bring" if len(bring) > 1 else "brings"
            names = joined(short_name(one) for one in bring)
            found.append(f"{names}, which {verb} the {joined(wanted)}, {verb} {miss.what} too")
    return [as_sentence(one) for one in found]


def _brings(mineral: Mineral, ion: str) -> bool:
    return mineral.ions_mg_per_unit().get(ion, 0.0) > 0.0


def _nearer(then: float, now: float) -> str:
    if then <= TOLD_APART < now:
        return "all that is wanted could be met"
    return "it would come much nearer" if then < MUCH * now else "it would come a little nearer"


def _second_water(work: WaterWork) -> tuple[str, ...]:
    """A second water where none is allowed and what the tap brings is in the way."""
    assert work.treatment is not None
    asked = any(note.startswith(OTHER_WATER) for note in work.notes)
    high = [miss for miss in work.treatment.choice.misses if miss.scaled > TOLD_APART and miss.got > miss.high]
    brought = any(
        miss.what in (BALANCE, "alkalinity") or (_of_an_ion(miss) and work.source.mg_L(miss.what) > miss.high)
        for miss in high
    )
    if not (asked and brought):
        return ()
    return ("Reverse osmosis water beside it may help: choose it as the second water, and see.",)


def _salts(work: WaterWork) -> tuple[str, ...]:
    """Which of the salts are needed, and which of them do next to nothing."""
    assert work.treatment is not None
    choice = work.treatment.choice
    idle = [
        called(work, one.what)
        for one in work.without
        if one.choice is not None
        and one.choice.worst_miss - choice.worst_miss < AS_NEAR
        and one.choice.sum_of_misses - choice.sum_of_misses < FINE_ENOUGH
    ]
    return (as_sentence(f"{joined(idle, last='or')} may be left out: it comes as near without"),) if idle else ()
