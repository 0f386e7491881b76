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
from gyle.beer.water_guides import cautions_of
from gyle.beer.water_substances import MAJOR, OTHERS, mEq_L
from gyle.science.carbonate import closed

__all__ = ["blend", "bought_water", "bought_waters"]

_ORDER: tuple[Standing, ...] = ("stated", "computed", "estimated")
# A figure stays as it stands in the parts that make up nearly all of it.
_TRACE = 0.05
BLEND_PH_SPREAD = 0.15  # what carbon dioxide lost on pouring leaves open; ours
BLEND_C = 20.0


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
    return _completed(
        Water(
            name=name,
            **ions,
            alkalinity_mEq_L=figure("alkalinity"),
            bicarbonate_mg_L=figure("alkalinity"),
            hardness_mEq_L=figure("calcium"),
            ph=figure("ph"),
            ph_temperature_C=BLEND_C,
        )
    )


def _completed(water: Water) -> Water:
    """Return a water with bicarbonate and hardness as its other figures make them."""
    alkalinity = water.alkalinity_mEq_L
    calcium, magnesium = water.calcium_mg_L, water.magnesium_mg_L
    hard = [mEq_L("calcium", calcium.centre), mEq_L("magnesium", magnesium.centre)]
    errors = [mEq_L("calcium", _sd(calcium)), mEq_L("magnesium", _sd(magnesium))]
    per_mEq = 1.0 / mEq_L("bicarbonate", 1.0)
    return attrs.evolve(
        water,
        hardness_mEq_L=Reported(
            centre=sum(hard), spread=math.hypot(*errors), low=0.0, source="calcium and magnesium",
            standing=_worst([calcium.standing, magnesium.standing, "computed"]),
        ),
        bicarbonate_mg_L=Reported(
            centre=max(alkalinity.centre, 0.0) * per_mEq, spread=_sd(alkalinity) * per_mEq, low=0.0,
            source="alkalinity", standing=_worst([alkalinity.standing, "computed"]),
        ),
    )  # fmt: skip


def _sd(figure: Estimate) -> float:
    return math.hypot(figure.spread, figure.each_time)


def _worst(standings: Sequence[Standing]) -> Standing:
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
        standing=_worst([*weighty, "computed"]),
    )


def blend(parts: Sequence[Part], name: str = "blend") -> Water:
    """Return the mixture of waters by their shares.

    Parameters
    ----------
    parts : sequence of Part
        At least one; shares are of the whole volume, made to add to 1. A wish to treat a part is not
        computed here: whoever does that puts the treated water in its place.
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
    carbon = math.fsum(part.share * part.water.carbon_mmol_L for part in even)
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
        centre=ph, spread=BLEND_PH_SPREAD, low=0.0, high=14.0, source="carbon of the parts", standing="computed"
    )
    water = _completed(attrs.evolve(water, ph=found))
    return attrs.evolve(water, cautions=cautions_of(water))
