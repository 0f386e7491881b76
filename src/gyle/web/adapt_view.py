"""What the adapt page tells of a result: whether it fits, the ways out side by side, what changed, what to weigh."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TYPE_CHECKING

import attrs

from gyle.line.figures import figure
from gyle.quantities import write
from gyle.share.beer_words import beer_words, house_name
from gyle.share.sentences import as_sentence
from gyle.share.signs import true_minus
from gyle.share.water_names import short_name
from gyle.share.weighing import hop_mass_text, mass_text, other_text, said_when, water_text, yeast_text
from gyle.share.written_figure import bitterness_figure, hours, miss_words, written
from gyle.web.adapt_lines import TwoLines, two_lines

if TYPE_CHECKING:
    from gyle.decide.changes import Change
    from gyle.decide.compare import Option
    from gyle.decide.plan import Plan
    from gyle.web.adapt_results import Adapted

__all__ = ["AdaptView", "Cell", "Changed", "NoWayOut", "WayOut", "Weighed", "adapt_view", "came_of"]

NOT_MET = " is not met"  # in a note of what the recipe wants
_DEGREES = re.compile(r"([0-9]+(?:\.[0-9]+)?) ?°C\b")


@attrs.frozen(kw_only=True)
class Cell:
    """A figure of a table with its band."""

    value: str
    ends: str = ""


@attrs.frozen(kw_only=True)
class WayOut:
    """A way out that fits."""

    name: str
    taken: bool
    recommended: bool
    why: str  # of the recommended one
    time: str  # against the day there
    in_all: Cell
    volume: Cell
    gravity: Cell
    alcohol: Cell
    bitterness: Cell
    cost: str  # "" where nothing is priced
    asks: str  # of the brewer and of the beer


@attrs.frozen(kw_only=True)
class NoWayOut:
    """What was tried and does not fit."""

    name: str
    short_of: str


@attrs.frozen(kw_only=True)
class Changed:
    """What changed for one reason."""

    why: str
    what: tuple[Change, ...]


@attrs.frozen(kw_only=True)
class Weighed:
    """One line of what to weigh."""

    amount: str
    what: str
    when: str


@attrs.frozen(kw_only=True)
class AdaptView:
    """All a result tells."""

    there: str
    here: str
    fits: bool  # as it is
    short_of: tuple[str, ...]  # why not
    ways: tuple[WayOut, ...]
    none: tuple[NoWayOut, ...]
    priced: bool
    taken: str
    still_short_of: tuple[str, ...]  # what the result itself lacks
    unmet: tuple[str, ...]  # of what the recipe wants, and what the last turns leave
    beer: str
    lines: TwoLines
    changes: tuple[Changed, ...]
    weighed: tuple[tuple[str, tuple[Weighed, ...]], ...]
    each: str
    notes: tuple[str, ...]
    said: str  # the outcome in a sentence, for who cannot see it come


def adapt_view(found: Adapted, *, system: str) -> AdaptView:
    """Put a result in words.

    Parameters
    ----------
    found : Adapted
        The beer there and here.
    system : {"metric", "us"}
        The person's units.
    """
    options = found.found.options
    fitting = [one for one in options if one.fits and one.plan is not None]
    here = house_name(found.plan)
    taken = "" if found.taken is None else found.taken.name
    unmet = _unmet(found, system)
    beer = as_sentence(beer_words(found.plan, system))
    return AdaptView(
        there=house_name(found.origin),
        here=here,
        fits=not found.short_of,
        short_of=tuple(as_sentence(one) for one in found.short_of),
        ways=tuple(_way_out(one, taken=one.name == taken, system=system) for one in fitting),
        none=tuple(
            NoWayOut(name=one.name, short_of=as_sentence("; ".join(one.short_of))) for one in options if not one.fits
        ),
        priced=any(one.cost is not None for one in fitting),
        taken=taken,
        still_short_of=tuple(as_sentence(one) for one in found.plan.short_of),
        unmet=unmet,
        beer=beer,
        lines=two_lines(found, system=system),
        changes=_by_reason(_in_short(found), system),
        weighed=_weighed(found.plan, system),
        each=f"for each of {found.plan.recipe.gyles} gyles" if found.plan.recipe.gyles > 1 else "",
        notes=tuple(note for note in _notes(found.found.notes) if note not in unmet),
        said=f"{'By ' + taken if taken else 'It fits as it is'} on {here}: {beer}",
    )


def came_of(found: Adapted) -> str:
    """Say in a line how a version came about."""
    by = "" if found.taken is None else f": {found.taken.name}"
    return f"Adapted to {found.plan.brewhouse.name}{by}."


def _way_out(option: Option, *, taken: bool, system: str) -> WayOut:
    plan = option.plan
    assert plan is not None
    minutes = plan.figures["line.minutes"]
    return WayOut(
        name=option.name,
        taken=taken,
        recommended=option.recommended,
        why=as_sentence(f"recommended: {option.why}") if option.recommended else "",
        time=true_minus(f"{option.extra_minutes:+.0f} min") if abs(option.extra_minutes) >= 0.5 else "as there",
        in_all=Cell(value=f"{hours(minutes.mean)} h", ends=f"{hours(minutes.low)} to {hours(minutes.high)}"),
        volume=_cell("fermenter.volume", plan, system),
        gravity=_cell("fermenter.original_gravity", plan, system),
        alcohol=_cell("fermenter.alcohol", plan, system),
        bitterness=_cell(bitterness_figure(plan.recipe.bitterness_by), plan, system),
        cost="no price" if option.cost is None else true_minus(f"{option.cost:+.2f} {option.currency}".strip()),
        asks=as_sentence(option.price),
    )


def _cell(name: str, plan: Plan, system: str) -> Cell:
    said = written(name, plan.figures[name], system)
    return Cell(value=true_minus(said.value), ends=true_minus(said.band))


def _unmet(found: Adapted, system: str) -> tuple[str, ...]:
    """Say which aims this way out does not meet, what keeps it from them, and what the last turns leave."""
    aims = [
        f"{known.words}: {miss_words(miss, system)}"
        for miss in found.plan.misses
        if not miss.within_rounding and (known := figure(miss.figure)) is not None
    ]
    left = () if found.taken is None or found.taken.settled is None else found.taken.settled.notes
    why = [note for note in found.found.notes if note in left or NOT_MET in note]
    return _notes((*aims, *why))


def _by_reason(changes: Iterable[Change], system: str) -> tuple[Changed, ...]:
    """Changes that follow each other for the same reason stand together, as on the command line."""
    found: list[Changed] = []
    for change in changes:
        why, one = as_sentence(change.why), attrs.evolve(change, what=_in_units(change.what, system))
        if found and found[-1].why == why:
            found[-1] = attrs.evolve(found[-1], what=(*found[-1].what, one))
        else:
            found.append(Changed(why=why, what=(one,)))
    return tuple(found)


def _in_short(found: Adapted) -> tuple[Change, ...]:
    """The changes, salts under a brewer's names."""
    lines = (*found.origin.recipe.others, *found.plan.recipe.others)
    shorter = {line.mineral.name: short_name(line.mineral) for line in lines if line.mineral is not None}

    def called(what: str) -> str:
        name, apart, rest = what.partition(", ")
        return f"{shorter.get(name, name)}{apart}{rest}"

    return tuple(attrs.evolve(one, what=called(one.what)) for one in found.found.changes)


def _in_units(what: str, system: str) -> str:
    """A line's name with the temperature it is told apart by in the person's units."""
    return _DEGREES.sub(lambda said: write(float(said[1]), "temperature", system=system), what)


def _notes(notes: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(true_minus(as_sentence(note)) for note in notes))


def _weighed(plan: Plan, system: str) -> tuple[tuple[str, tuple[Weighed, ...]], ...]:
    """What to weigh and draw in one gyle."""
    recipe, amounts = plan.recipe, plan.amounts
    grist = [
        Weighed(amount=mass_text(float(kg), system), what=line.what, when=_when(said_when(line.at, system)))
        for line, kg in zip(recipe.grist, amounts.grist_kg, strict=True)
    ]
    hops = [
        Weighed(
            amount=hop_mass_text(float(kg), system),
            what=f"{hop.what}, {100.0 * hop.alpha_fraction.centre:.3g} % α",
            when=said_when(hop.at, system) + (", in the hop vessel" if hop.vessel == "hop vessel" else ""),
        )
        for hop, kg in zip(recipe.hops, amounts.hops_kg, strict=True)
    ]
    others = [
        Weighed(
            amount=other_text(one, plan, system),
            what=one.what if one.mineral is None else short_name(one.mineral),
            when=said_when(one.at, system),
        )
        for one in recipe.others
    ]
    yeasts = [Weighed(amount="", what=yeast_text(one, plan, system), when="") for one in recipe.yeasts]
    water = [Weighed(amount="", what=water_text(plan, system), when="")]
    rows = (("grist", grist), ("hops", hops), ("also", others), ("yeast", yeasts), ("water", water))
    return tuple((title, tuple(lines)) for title, lines in rows if lines)


def _when(text: str) -> str:
    return "" if text == "mash" else text
