"""The water of a brewer who states none: a usual one, or the one the recipe wishes for, with wide bands."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from gyle.beer.water import Reported, Water
from gyle.beer.water_blend import bounded, completed
from gyle.beer.water_substances import MAJOR, USUAL_PH, USUAL_PH_SD, mEq_L, substance
from gyle.errors import OutOfRange
from gyle.science.ranges import within
from gyle.science.water_ions import MOLAR_MASS

__all__ = ["UNSTATED_WATER", "unstated_water"]

UNSTATED_WATER = "unstated water"
PH_LOW, PH_HIGH, READING_C = 6.3, 9.3, 20.0
# A wish is met as well as salts are weighed and the water under them is known. Provenance: ours.
WISHED_RELATIVE, WISHED_MG_L = 0.10, 3.0
# Alkalinity where other ions are wished: what their charges leave, if these are among them; else a guess. Ours.
ENOUGH = ("calcium", "sulfate", "chloride")
LEFT_MOST_MEQ_L, LEFT_SD_MEQ_L = 3.0, 0.6
WISHED_ALKALINITY_MEQ_L = (1.0, 0.8)
MG_CACO3_PER_MEQ = MOLAR_MASS["calcium carbonate"] / 2.0  # alkalinity stated as calcium carbonate
MOST_WISHED_MG_L = 5000.0
RANGE_WIDTH = 2.56  # standard deviations between the ends of a band that holds 8 of 10


Ranges = Mapping[str, tuple[float, float]]


def _wishes(wanted_mg_L: Mapping[str, float], ranges_mg_L: Ranges) -> dict[str, tuple[float, float]]:
    """Return what each wish is taken for: its middle and its standard deviation [mg/L]."""
    known = (*MAJOR, "bicarbonate", "alkalinity")
    ends = list(wanted_mg_L.items())
    ends += [(name, end) for name, span in ranges_mg_L.items() for end in span if math.isfinite(end)]
    for name, value in ends:
        if name not in known:
            raise OutOfRange(f"{name} is wished for, which is not one of {', '.join(known)}")
        within(value, 0.0, MOST_WISHED_MG_L, what=f"{name} [mg/L]")
    exact = {name: (float(value), _close(value)) for name, value in wanted_mg_L.items()}
    return exact | {name: _somewhere(name, *span) for name, span in ranges_mg_L.items()}


def _close(value_mg_L: float) -> float:
    return max(WISHED_RELATIVE * value_mg_L, WISHED_MG_L)


def _somewhere(name: str, low: float, high: float) -> tuple[float, float]:
    """Return the middle of a range; where a side is open, a usual tap water's amount or else the finite end."""
    if math.isfinite(low) and math.isfinite(high):
        middle = (low + high) / 2.0
        return middle, max(_close(middle), (high - low) / RANGE_WIDTH)
    usual = substance("alkalinity" if name == "bicarbonate" else name)
    if low <= usual.usual_mg_L <= high:
        return usual.usual_mg_L, usual.usual_sd_mg_L
    end = low if math.isfinite(low) else high
    return end, _close(end)


def _figure(centre: float, sd: float, source: str) -> Reported:
    return Reported(centre=centre, spread=sd, low=0.0, source=source, standing="estimated")


def _usual(name: str, scale: float = 1.0) -> Reported:
    """Return what a tap water nobody described holds, as a report that leaves the figure out is filled."""
    known = substance(name)
    return _figure(known.usual_mg_L * scale, known.usual_sd_mg_L * scale, "a usual tap water")


def _alkalinity(
    wished: Mapping[str, tuple[float, float]], ions_mg_L: Mapping[str, float], ranged: Ranges
) -> tuple[Reported, str]:
    """Return the alkalinity [mEq/L], and where it comes from in words."""
    for name, per_mEq in (("alkalinity", MG_CACO3_PER_MEQ), ("bicarbonate", 1.0 / mEq_L("bicarbonate", 1.0))):
        if name in wished:
            centre, sd = wished[name]
            return _figure(centre / per_mEq, sd / per_mEq, "as the recipe wishes"), ""
    if all(ion in wished for ion in ENOUGH):
        left = sum(
            mEq_L(ion, value) if substance(ion).charge > 0 else -mEq_L(ion, value) for ion, value in ions_mg_L.items()
        )
        left = min(max(left, 0.0), LEFT_MOST_MEQ_L)
        wide = (abs(mEq_L(ion, wished[ion][1])) for ion in ranged if ion in ions_mg_L)
        sd = math.hypot(LEFT_SD_MEQ_L, *wide)
        return _figure(left, sd, "what the charges of the wish leave"), "what their charges leave"
    if wished:
        return _figure(*WISHED_ALKALINITY_MEQ_L, "a water that was fitted to a wish"), "a guess"
    return _usual("alkalinity", mEq_L("alkalinity", 1.0)), "that of a usual tap water"


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _sentence(wished: list[str], alkalinity: Reported, how: str, *, ranges: bool) -> str:
    amount = f"{alkalinity.centre:.1f} mEq/L, give or take {alkalinity.spread:.1f}"
    if not wished:
        return (
            "No water report is stated: a usual tap water is taken, with wide bands, and its alkalinity of "
            f"{amount}; mash pH is no better known than that. State the brewhouse's water to narrow it."
        )
    told = (
        f"No water report is stated: the water is taken to hold what the recipe wishes of {_listed(wished)}, "
        f"give or take 10 %{' or anywhere in the wished range' if ranges else ''}, and the rest of a usual tap water"
    )
    told += f"; its alkalinity is {how}, {amount}" if how else ""
    return f"{told}. State the brewhouse's water to know what to add to it."


def unstated_water(wanted_mg_L: Mapping[str, float], ranges_mg_L: Ranges | None = None) -> Water:
    """Return the water of a brewer who does not say which, given what the recipe wishes for.

    A wished ion is taken as wished, closely, or as wide as the range wished for; every other figure has the band
    of tap waters at large. Every figure stands as "estimated".

    Parameters
    ----------
    wanted_mg_L : mapping of str to float
        Wished concentrations by name of ion [mg/L]; "alkalinity" is as calcium carbonate. It counts before
        "bicarbonate".
    ranges_mg_L : mapping of str to tuple of float, optional
        Wished ranges of other ions [mg/L]; an open side is infinite.

    Raises
    ------
    OutOfRange
        If a name is not an ion of a water or a value no concentration.
    """
    ranges = ranges_mg_L or {}
    wished = _wishes(wanted_mg_L, ranges)
    figures: dict[str, Any] = {}
    for ion in MAJOR:
        if ion in wished:
            figures[f"{ion}_mg_L"] = _figure(*wished[ion], "as the recipe wishes")
        else:
            figures[f"{ion}_mg_L"] = _usual(ion)
    alkalinity, how = _alkalinity(wished, {ion: figures[f"{ion}_mg_L"].centre for ion in MAJOR}, ranges)
    ph = Reported(
        centre=USUAL_PH, spread=USUAL_PH_SD, low=PH_LOW, high=PH_HIGH, source="a usual tap water", standing="estimated"
    )
    water = Water(
        name=UNSTATED_WATER,
        **figures,
        alkalinity_mEq_L=alkalinity,
        bicarbonate_mg_L=alkalinity,
        hardness_mEq_L=alkalinity,
        ph=ph,
        ph_temperature_C=READING_C,
        supposed=(_sentence(list(wished), alkalinity, how, ranges=bool(ranges)),),
    )
    return bounded(completed(water))
