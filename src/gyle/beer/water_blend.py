"""Waters mixed: ions, alkalinity and inorganic carbon add up, and pH comes out."""

from __future__ import annotations

import functools
import math
import tomllib
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

import attrs

from gyle.beer.estimate import Estimate
from gyle.beer.tables import name_key
from gyle.beer.water import Part, Reported, Standing, Water
from gyle.beer.water_bicarbonate import alkalinity_per_bicarbonate
from gyle.beer.water_guides import LIME_CAUTION, cautions_of
from gyle.beer.water_substances import MAJOR, OTHERS, mEq_L, mg_L
from gyle.science.carbonate import closed

__all__ = ["blend", "bought_water", "bought_waters", "bounded", "carbon_of", "completed", "worst"]

_ORDER: tuple[Standing, ...] = ("stated", "computed", "estimated")
# A figure stays as it stands in the parts that make up nearly all of it.
_TRACE = 0.05
BLEND_PH_SPREAD = 0.15  # what carbon dioxide lost on pouring leaves open; ours
BLEND_C = 20.0
# What no figure of a water may pass, stated or sampled, so that its chemistry can be computed. Provenance: ours.
MOST_MG_L, LEAST_MEQ_L, MOST_MEQ_L, LEAST_PH, MOST_PH = 20_000.0, -10.0, 300.0, 3.0, 12.0
MOST_CARBON_MMOL_L = 500.0  # ten times what a bottle of sparkling water holds
_FAR = 6.0  # standard deviations
_HIGHEST_PK1 = 6.6  # of carbonic acid, near freezing


@functools.cache
def _sources() -> dict[str, dict[str, Any]]:
    return tomllib.loads((Path(__file__).parent / "data" / "water_sources.toml").read_text(encoding="utf-8"))


def bought_waters() -> tuple[str, ...]:
    """Return the names of the waters that need no report."""
    return tuple(_sources())


@functools.cache
def bought_water(name: str) -> Water | None:
    """Return a water everybody can buy or make, None if it is none."""
    key = name_key(name)
    for own, row in _sources().items():
        if key == name_key(own) or key in map(name_key, row["also"]):
            return _of_row(own, row)
    return None


def _of_row(name: str, row: Mapping[str, Any]) -> Water:
    def figure(key: str) -> Reported:
        centre, sd = row[key]
        return Reported(centre=centre, spread=sd, low=0.0, source=f"usual {name} water", standing="estimated")

    ions: dict[str, Any] = {f"{ion}_mg_L": figure(ion) for ion in MAJOR}
    water = Water(
        name=name,
        **ions,
        alkalinity_mEq_L=figure("alkalinity"),
        bicarbonate_mg_L=figure("alkalinity"),
        hardness_mEq_L=figure("calcium"),
        ph=figure("ph"),
        ph_temperature_C=BLEND_C,
    )
    return bounded(completed(water))


def completed(water: Water) -> Water:
    """Return a water with bicarbonate and hardness as its other figures make them."""
    alkalinity = water.alkalinity_mEq_L
    calcium, magnesium = water.calcium_mg_L, water.magnesium_mg_L
    per_bicarbonate, beside = alkalinity_per_bicarbonate(water.ph.centre, water.reading_C)
    per_mEq = mg_L("bicarbonate", 1.0) / per_bicarbonate
    return attrs.evolve(
        water,
        hardness_mEq_L=Reported(
            centre=math.fsum(mEq_L(ion, figure.centre) for ion, figure in _hard(water)),
            spread=math.hypot(*(mEq_L(ion, figure.spread) for ion, figure in _hard(water))),
            each_time=math.hypot(*(mEq_L(ion, figure.each_time) for ion, figure in _hard(water))),
            low=0.0, source="calcium and magnesium",
            standing=worst(calcium.standing, magnesium.standing, "computed"),
        ),
        bicarbonate_mg_L=Reported(
            centre=max(alkalinity.centre - beside, 0.0) * per_mEq,
            spread=alkalinity.spread * per_mEq, each_time=alkalinity.each_time * per_mEq,
            low=0.0, source="alkalinity and pH" if beside else "alkalinity",
            standing=worst(alkalinity.standing, "computed"),
        ),
    )  # fmt: skip


def _hard(water: Water) -> tuple[tuple[str, Reported], ...]:
    return (("calcium", water.calcium_mg_L), ("magnesium", water.magnesium_mg_L))


def _kept_within(figure: Reported, low: float, high: float) -> Reported:
    """Return a figure none of whose draws passes the limits, unless its own centre does."""
    return attrs.evolve(
        figure,
        low=min(max(figure.low, low), figure.centre),
        high=max(min(figure.high, high), figure.centre),
    )


def bounded(water: Water) -> Water:
    """Return the water with limits on every figure, so that any draw of it is a water that can be computed.

    A low pH means much carbon dioxide where there is alkalinity, so the limit of pH goes with that of alkalinity.
    """
    names = [*(f"{ion}_mg_L" for ion in (*MAJOR, "bicarbonate")), "chlorine_mg_L", "chloramine_mg_L"]
    figures = {name: figure for name in names if (figure := getattr(water, name)) is not None}
    changes: dict[str, Any] = {name: _kept_within(figure, 0.0, MOST_MG_L) for name, figure in figures.items()}
    alkalinity = water.alkalinity_mEq_L
    most = min(alkalinity.centre + _FAR * _sd(alkalinity), MOST_MEQ_L)
    return attrs.evolve(
        water,
        **changes,
        alkalinity_mEq_L=_kept_within(alkalinity, LEAST_MEQ_L, most),
        hardness_mEq_L=_kept_within(water.hardness_mEq_L, 0.0, 2.0 * MOST_MEQ_L),
        ph=_kept_within(water.ph, max(LEAST_PH, _least_ph(most)), MOST_PH),
        others_mg_L=tuple((name, _kept_within(figure, 0.0, MOST_MG_L)) for name, figure in water.others_mg_L),
    )


def _least_ph(alkalinity_mEq_L: float) -> float:
    """Return the pH at which alkalinity would take all the carbon a water may hold: (Alk + H) H / K1 = that."""
    half = alkalinity_mEq_L / 2000.0
    acid = math.sqrt(half**2 + 1e-3 * MOST_CARBON_MMOL_L * 10.0**-_HIGHEST_PK1) - half
    return -math.log10(acid)


def carbon_of(water: Water) -> float:
    """Return inorganic carbon [mmol/L]: no more than a water holds, whatever alkalinity and pH would make together."""
    return min(water.carbon_mmol_L, MOST_CARBON_MMOL_L)


def _sd(figure: Estimate) -> float:
    return math.hypot(figure.spread, figure.each_time)


def worst(*standings: Standing) -> Standing:
    """Return the least certain of some standings."""
    return _ORDER[max(map(_ORDER.index, standings))]


def _mixed(parts: Sequence[Part], take: Callable[[Water], Reported | None]) -> Reported | None:
    """Return a figure of the mixture, None if no part has it; a part that does not state it holds none."""
    figures = [(part.share, figure) for part in parts if (figure := take(part.water)) is not None]
    if not figures:
        return None
    centre = math.fsum(share * figure.centre for share, figure in figures)
    size = math.fsum(share * abs(figure.centre) for share, figure in figures)
    weighty = [f.standing for share, f in figures if share * abs(f.centre) > _TRACE * size] or ["computed"]
    return Reported(
        centre=centre,
        spread=math.hypot(*(share * figure.spread for share, figure in figures)),
        each_time=math.hypot(*(share * figure.each_time for share, figure in figures)),
        low=min(centre, *(figure.low for _, figure in figures)),
        source="blend",
        standing=worst(*weighty, "computed"),
    )


def blend(parts: Sequence[Part], name: str = "blend") -> Water:
    """Return the mixture of waters by their shares.

    Parameters
    ----------
    parts : sequence of Part
        At least one; shares are of the whole volume, made to add to 1. A wish to treat a part is not
        computed here: `gyle.beer.water_prepared.prepared` puts the treated water in its place.
    name : str
        What the mixture is called.
    """
    whole = math.fsum(part.share for part in parts)
    even = tuple(attrs.evolve(part, share=part.share / whole) for part in parts)

    def mixed(take: Callable[[Water], Reported | None]) -> Reported:
        found = _mixed(even, take)
        assert found is not None  # every water has its main figures
        return found

    def of(ion: str) -> Callable[[Water], Reported | None]:
        return lambda water: water.ion_mg_L(ion)

    ions: dict[str, Any] = {f"{ion}_mg_L": mixed(of(ion)) for ion in MAJOR}
    others = {other: _mixed(even, of(other)) for other in OTHERS}
    alkalinity = mixed(lambda water: water.alkalinity_mEq_L)
    carbon = math.fsum(part.share * carbon_of(part.water) for part in even)
    water = Water(
        name=name,
        **ions,
        alkalinity_mEq_L=alkalinity,
        bicarbonate_mg_L=alkalinity,
        hardness_mEq_L=alkalinity,
        ph=mixed(lambda water: water.ph),
        ph_temperature_C=BLEND_C,
        chlorine_mg_L=_mixed(even, lambda water: water.chlorine_mg_L),
        chloramine_mg_L=_mixed(even, lambda water: water.chloramine_mg_L),
        others_mg_L=tuple((other, figure) for other, figure in others.items() if figure is not None),
        parts=even,
        notes=tuple(f"{part.water.name}: {note}" for part in even for note in part.water.notes),
        supposed=tuple(f"{part.water.name}: {said}" for part in even for said in part.water.supposed),
    )
    # Carbon dioxide that makes a pH is conserved, not the pH.
    ph = float(closed(water.totals_mmol_L(carbon), BLEND_C).ph)
    found = Reported(
        centre=ph, spread=BLEND_PH_SPREAD, low=LEAST_PH, high=MOST_PH, source="carbon of the parts", standing="computed"
    )
    water = bounded(completed(attrs.evolve(water, ph=found)))
    limed = (LIME_CAUTION,) if any(LIME_CAUTION in part.water.cautions for part in even) else ()
    return attrs.evolve(water, cautions=(*cautions_of(water), *limed))
