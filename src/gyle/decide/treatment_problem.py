"""The choice of salts put as a problem: what is wanted, what is at hand, and what must not be passed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import attrs
import numpy as np

from gyle.beer.mineral import Mineral, mineral_of
from gyle.beer.mineral import minerals as known_minerals
from gyle.beer.stock import Stock
from gyle.beer.water import Water as Report
from gyle.decide.mash_side import taken_up_mEq
from gyle.decide.salt_problem import (
    INFINITE,
    SPARGE_ALKALINITY,
    WHOLE,
    Acid,
    CHARGE_mEq_mg,
    Dilution,
    Limit,
    Problem,
    ProtonBalance,
    Ratio,
    Salt,
    Volumes,
    Water,
    Wish,
)
from gyle.decide.tolerances import TOLERANCE
from gyle.decide.wanted import Wanted
from gyle.science.water_ions import MOLAR_MASS
from gyle.science.water_state import COMPONENTS

__all__ = ["Shelf", "at_hand", "kept_as_it_is", "plain_water", "problem_of", "stocked_shelf", "usual_shelf"]

# Most of an ion in a liquor for beer [mg/L]; common practice. A source or a wish above it counts instead.
CEILING = {"calcium": 200.0, "magnesium": 40.0, "sodium": 150.0, "chloride": 250.0, "sulfate": 350.0}
MOST_LACTATE_MG_L = 300.0
MOST_SULFATE_AND_CHLORIDE_MG_L = 500.0
MOST_CITRATE_MG_L = 50.0
PURE_STEP = 0.05
_IONS = tuple(CHARGE_mEq_mg)


@attrs.frozen(kw_only=True)
class Shelf:
    """What is at hand, and how finely it can be weighed.

    Parameters
    ----------
    minerals : tuple of Mineral
        Salts, acids, lime.
    step_g, step_mL : float
        Steps of the scale and of the measuring cylinder or syringe.
    most_salts : int or None
        Kinds of salt at most.
    pure_water : Report or None
        A second water that may take the place of part of the first; None: there is none.
    mash_acid : bool
        Whether acid may go into the mash.
    most_per_L : mapping of str to float
        Bounds on some salts [g or mL in a litre of liquor].
    """

    minerals: tuple[Mineral, ...]
    step_g: float = 0.1
    step_mL: float = 0.1
    most_salts: int | None = 4
    pure_water: Report | None = None
    mash_acid: bool = True
    most_per_L: Mapping[str, float] = attrs.field(factory=dict)

    def without_opposites(self, *, acid: bool) -> Shelf:
        """The shelf without what works against itself: no soda where acid is needed, no acid where soda is."""
        if not acid:
            return attrs.evolve(self, mash_acid=False)
        kept = tuple(mineral for mineral in self.minerals if not _alkaline(mineral))
        return attrs.evolve(self, minerals=kept)

    def for_wish(self, wanted: Wanted) -> Shelf:
        """The shelf with bounds on salts that bring what nobody asks for: by a tolerance at most, for balance' sake.

        Calcium is always welcome. Where an ion that is asked for has no other salt, its carriers are not bounded;
        where no ion is asked for, no salt is offered but what moves alkalinity.
        """
        salts = [mineral for mineral in self.minerals if mineral.kind == "salt" and not _alkaline(mineral)]
        if not wanted:
            return attrs.evolve(self, minerals=tuple(one for one in self.minerals if one not in salts))
        asked = {*wanted.moved, "calcium"}
        direct = {mineral.name for mineral in salts if set(mineral.ions_mg_per_unit()) <= asked}
        bounded: dict[str, float] = {}
        for mineral in salts:
            ions = mineral.ions_mg_per_unit()
            alone = [
                ion
                for ion in ions
                if ion in wanted.moved and not any(ion in one.ions_mg_per_unit() for one in salts if one.name in direct)
            ]
            if mineral.name not in direct and not alone:
                bounded[mineral.name] = min(TOLERANCE[ion] / ions[ion] for ion in ions if ion not in asked)
        return attrs.evolve(self, most_per_L=bounded)

    @property
    def offered(self) -> tuple[Mineral, ...]:
        """What may be proposed: no chalk, which hardly dissolves, and no dry acid, which yeast and palate mind."""
        return tuple(
            mineral
            for mineral in self.minerals
            if mineral.key != "calcium carbonate" and not (mineral.kind == "acid" and mineral.unit == "g")
        )


def _alkaline(mineral: Mineral) -> bool:
    return mineral.alkalinity_mEq_per_unit() > 0.0


def stocked_shelf(stock: Stock | None) -> Shelf | None:
    """What lies in the store: its salts and acids, a usual acid where it has none; None where it has neither."""
    at_hand = () if stock is None else tuple(lot.mineral for lot in stock.lots if lot.mineral is not None)
    if not at_hand:
        return None
    acids = () if any(one.kind == "acid" for one in at_hand) else tuple(m for m in usual_shelf() if m.kind == "acid")
    return Shelf(minerals=tuple(dict.fromkeys((*at_hand, *acids))))


def usual_shelf() -> tuple[Mineral, ...]:
    """The salts most brewers have, and one acid."""
    salts = tuple(mineral for mineral in known_minerals() if mineral.usual and mineral.kind == "salt")
    acid = mineral_of("lactic acid", 80.0)
    assert acid is not None
    return (*salts, acid)


def problem_of(
    report: Report,
    volumes: Volumes,
    wanted: Wanted,
    shelf: Shelf,
    *,
    mash: ProtonBalance | None,
    acid_ph: float,
    most_over: float = INFINITE,
) -> Problem:
    """Put the choice together; without a mash only the ions are asked for.

    `most_over` is how far, in tolerances, an ion that is asked for may be overdone: no salt stands for an acid.
    """
    source = plain_water(report)
    salts, acids = at_hand(shelf, volumes, acid_ph=acid_ph)
    wishes = [_wish(ion, low, high) for ion, (low, high) in wanted.spans_mg_L.items()]
    wishes += [_unasked(ion, source) for ion in CEILING if ion not in wanted.moved]
    if volumes.sparge_L > 0.0:
        wishes.append(SPARGE_ALKALINITY)
    pure = shelf.pure_water
    return Problem(
        source=source,
        volumes=volumes,
        wishes=tuple(wishes),
        limits=_limits(source, wanted, acids, most_over),
        salts=salts,
        acids=acids,
        dilution=None if pure is None else Dilution(water=plain_water(pure), step_share=PURE_STEP),
        ratio=_ratio(wanted),
        mash=mash,
        most_salts=shelf.most_salts,
    )


def kept_as_it_is(problem: Problem) -> Problem:
    """Where only a pH is asked for, no ion shall rise."""
    kept = ("calcium", "magnesium", "sodium", "chloride", "sulfate")
    elsewhere = tuple(wish for wish in problem.wishes if wish.at != WHOLE)
    return attrs.evolve(problem, wishes=(*(_unasked(ion, problem.source) for ion in kept), *elsewhere))


def plain_water(report: Report) -> Water:
    """The middle of a report, as plain numbers."""
    return Water(
        ions_mg_L={ion: report.mg_L(ion) for ion in _IONS},
        alkalinity_mEq_L=report.alkalinity_mEq_L.centre,
    )


def _wish(ion: str, low_mg_L: float, high_mg_L: float) -> Wish:
    if ion == "bicarbonate":
        low, high = (end / MOLAR_MASS["bicarbonate"] for end in (low_mg_L, high_mg_L))
        return Wish(what="alkalinity", low=low, high=high, tolerance=TOLERANCE["alkalinity"])
    return Wish(what=ion, low=max(low_mg_L, 0.0), high=high_mg_L, tolerance=TOLERANCE[ion])


def _ratio(wanted: Wanted) -> Ratio | None:
    if wanted.sulfate_to_chloride is None:
        return None
    low, high = wanted.sulfate_to_chloride
    return Ratio(low=low, high=high, tolerance_mg_L=TOLERANCE["sulfate"])


def _unasked(ion: str, source: Water) -> Wish:
    """An ion nobody asks for may fall; what is added of it for another's sake counts as half a miss."""
    return Wish(what=ion, low=-INFINITE, high=source.ions_mg_L[ion], tolerance=TOLERANCE[ion], weight=0.5)


def _limits(source: Water, wanted: Wanted, acids: Iterable[Acid], most_over: float) -> tuple[Limit, ...]:
    spans = wanted.spans_mg_L

    def most(ion: str, ceiling: float) -> float:
        if ion not in spans:
            return max(ceiling, source.ions_mg_L[ion])
        low, high = spans[ion]
        if not np.isfinite(high):
            return max(ceiling, low + TOLERANCE[ion], source.ions_mg_L[ion])
        over = high + TOLERANCE[ion] * max(most_over, 1.0)
        return max(min(over, max(ceiling, high + TOLERANCE[ion])), source.ions_mg_L[ion])

    limits = [Limit(what=ion, high=most(ion, ceiling)) for ion, ceiling in CEILING.items()]
    both = most("sulfate", 0.0) + most("chloride", 0.0)
    limits.append(Limit(what=("sulfate", "chloride"), high=max(MOST_SULFATE_AND_CHLORIDE_MG_L, both)))
    brought = {ion for acid in acids for ion in acid.brings_mg_per_mL}
    for ion, ceiling in (("lactate", MOST_LACTATE_MG_L), ("citrate", MOST_CITRATE_MG_L)):
        if ion in brought:
            limits.append(Limit(what=ion, high=ceiling))
    return tuple(limits)


def at_hand(shelf: Shelf, volumes: Volumes, *, acid_ph: float) -> tuple[tuple[Salt, ...], tuple[Acid, ...]]:
    """The shelf as the optimiser counts it; acids as strong as they are at the pH of the mash."""
    salts: list[Salt] = []
    acids: list[Acid] = []
    places = ("mash", "sparge") if volumes.sparge_L > 0.0 else ("mash",)
    for mineral in shelf.offered:
        most = mineral.most_g_L * volumes.whole_L / max(mineral.substance_g(1.0), 1e-9)
        step = shelf.step_mL if mineral.unit == "mL" else shelf.step_g
        most = min(most, shelf.most_per_L.get(mineral.name, most) * volumes.whole_L)
        most = step * float(np.floor(most / step))
        if mineral.kind == "acid":
            acid_places = places if shelf.mash_acid else tuple(place for place in places if place != "mash")
            if acid_places:
                acids.append(_acid(mineral, acid_ph=acid_ph, step=step, most=most, places=acid_places))
        else:
            salts.append(
                Salt(
                    name=mineral.name,
                    ions_mg_per_unit=mineral.ions_mg_per_unit(),
                    alkalinity_mEq_per_unit=mineral.alkalinity_mEq_per_unit(),
                    step_units=step,
                    most_units=most,
                    unit=mineral.unit,
                    places=("mash",) if _alkaline(mineral) else places,
                )
            )
    return tuple(salts), tuple(acids)


def _acid(mineral: Mineral, *, acid_ph: float, step: float, most: float, places: tuple[str, ...]) -> Acid:
    totals = dict(zip(COMPONENTS, mineral.totals_mmol(1.0).tolist(), strict=True))
    return Acid(
        name=mineral.name,
        mEq_per_mL=-taken_up_mEq(totals, acid_ph, lost=0.0),
        brings_mg_per_mL=mineral.ions_mg_per_unit(),
        step_mL=step,
        most_mL=most,
        places=places,
    )
