"""Cautions about a water: guide values for drinking water, chlorine, sulfite, softeners."""

from __future__ import annotations

import csv
import functools
from collections.abc import Mapping
from pathlib import Path
from typing import TypeGuard

from gyle.beer.water import Reported, Water
from gyle.beer.water_statements import BELOW_ITS_LIMIT
from gyle.beer.water_substances import in_words, mEq_L

__all__ = ["LIME_CAUTION", "SULFITE_CAUTION", "cautions_of", "guide_values", "was_found"]

# 21 CFR 101.100(a)(4), retrieved; the first two clauses are common practice.
SULFITE_CAUTION = (
    "Metabisulfite can bring on asthma in people sensitive to sulfite: do not breathe its dust, nor the gas above an "
    "acidified solution, and keep it from acids; a beer with 10 mg/kg or more of sulfur dioxide has to say so."
)
# NIOSH pocket guide and ICSC 0408, retrieved, on burns; the rest common practice.
LIME_CAUTION = (
    "Slaked lime burns skin and can blind an eye: wear goggles and gloves, raise no dust, stir it into water and not "
    "water onto it, keep it from acids; what gets into an eye is rinsed for many minutes on the way to help. "
    "Use food grade, and what its label and data sheet say comes first."
)
_LOW_PH, _HIGH_PH = 6.5, 9.5  # EU drinking-water directive; memory
# A softener exchanges calcium for sodium and leaves the alkalinity. Provenance: ours.
_SOFTENED_ALKALINITY_MEQ_L, _SOFTENED_HARDNESS_SHARE = 2.0, 0.4


@functools.cache
def guide_values() -> Mapping[str, tuple[tuple[float, str, str], ...]]:
    """Return the guide values of each substance: mg/L, whose, and what for; the least first."""
    text = (Path(__file__).parent / "data" / "water_guides.csv").read_text(encoding="utf-8")
    found: dict[str, list[tuple[float, str, str]]] = {}
    for row in csv.DictReader(text.splitlines()):
        found.setdefault(row["substance"], []).append((float(row["limit_mg_L"]), row["whose"], row["why"]))
    return {name: tuple(sorted(values)) for name, values in found.items()}


def _exceeded(water: Water) -> list[str]:
    told = []
    for name, limits in guide_values().items():
        figure = {"chlorine": water.chlorine_mg_L, "chloramine": water.chloramine_mg_L}.get(name, water.ion_mg_L(name))
        if figure is None or figure.standing == "estimated":
            continue
        over = [f"{limit:g} mg/L ({whose}: {why})" for limit, whose, why in limits if figure.centre > limit]
        if over:
            amount = in_words(figure.centre)
            told.append(f"{name} {amount} is above the guide value for drinking water, {' and '.join(over)}.")
    return told


def _ph(water: Water) -> list[str]:
    if water.ph.standing != "stated" or _LOW_PH <= water.ph.centre <= _HIGH_PH:
        return []
    return [
        f"pH {water.ph.centre:.1f} is outside the {_LOW_PH:g} to {_HIGH_PH:g} of drinking water "
        "(EU drinking-water directive)."
    ]


def was_found(figure: Reported | None) -> TypeGuard[Reported]:
    """Whether a laboratory found any: a "less than" is no finding."""
    return figure is not None and figure.centre > 0.0 and figure.source != BELOW_ITS_LIMIT


def _chlorine(water: Water) -> list[str]:
    told = []
    if was_found(water.chlorine_mg_L):
        amount = in_words(water.chlorine_mg_L.centre)
        told.append(
            f"Free chlorine of {amount} has to go before the water meets malt, or it makes medicinal chlorophenols: "
            "sulfite, ascorbic acid, slow activated carbon, a boil, or a night in an open vessel."
        )
    if was_found(water.chloramine_mg_L):
        amount = in_words(water.chloramine_mg_L.centre)
        told.append(
            f"Chloramine of {amount} has to go before the water meets malt, or it makes medicinal chlorophenols: "
            "sulfite or slow activated carbon; standing and boiling do not remove it, nor does ascorbic acid."
        )
    return [*told, SULFITE_CAUTION] if told else []


def _softened(water: Water) -> list[str]:
    figures = (water.alkalinity_mEq_L, water.hardness_mEq_L, water.sodium_mg_L)
    if any(figure.standing == "estimated" for figure in figures):
        return []
    alkalinity, hardness = water.alkalinity_mEq_L.centre, water.hardness_mEq_L.centre
    sodium = mEq_L("sodium", water.sodium_mg_L.centre)
    if alkalinity < _SOFTENED_ALKALINITY_MEQ_L or hardness > _SOFTENED_HARDNESS_SHARE * alkalinity or sodium < hardness:
        return []
    return [
        "This looks like water from a sodium softener: the calcium is gone, the alkalinity has stayed and sodium is "
        "high; brew with water from before the softener."
    ]


def cautions_of(water: Water) -> tuple[str, ...]:
    """Return what has to be said of a water before anybody brews with it."""
    return (*_chlorine(water), *_exceeded(water), *_ph(water), *_softened(water))
