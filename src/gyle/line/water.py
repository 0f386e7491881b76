"""Water: drawn, what is dissolved in it by report and by dose, and how long heat takes."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from gyle.line.acidity import hardness_mEq
from gyle.line.brew import Brew, Move
from gyle.line.content import MINERALS, WATER_KG_L, Array, Content
from gyle.science.heat import ramp_minutes

__all__ = ["SULFITE_MIN", "dose", "fill", "heat_minutes", "liquor", "use_liquor"]


DOSING_MIN = 2.0
SULFITE_MIN = 7.0  # stirring and waiting; common practice


def liquor(brew: Brew, volume_L: ArrayLike, *, temperature_C: ArrayLike) -> Content:
    """So many litres of the brewhouse's water, with what its report says is dissolved in it."""
    volume = np.atleast_1d(np.asarray(volume_L, dtype=np.float64))
    if not brew.chemistry:
        return Content.of(brew.kinds, {"water": volume * WATER_KG_L}, temperature_C=temperature_C)
    dissolved = {row: volume * brew.inputs[f"water.total.{row[1:]}"] for row in MINERALS}
    return Content.of(brew.kinds, {"water": volume * WATER_KG_L, **dissolved}, temperature_C=temperature_C)


def use_liquor(brew: Brew, volume_L: Array, content: Content) -> None:
    """Count water that went in before the boil, and what it brought."""
    brew.note("water_used_L", volume_L, add=True)
    _count(brew, content)


def _count(brew: Brew, content: Content) -> None:
    if not brew.chemistry:
        return
    for row, amount in zip(MINERALS, content.rows[content.species.minerals], strict=True):
        brew.note(f"liquor.{row[1:]}", amount, add=True)


def fill(brew: Brew, move: Move) -> Array:
    """Draw cold water into a vessel. Inputs: ``volume_L``."""
    volume = np.atleast_1d(np.asarray(move.inputs["volume_L"], dtype=np.float64))
    water = liquor(brew, volume, temperature_C=brew.inputs["brewhouse.tap_water"])
    brew.pour(move.vessel, water)
    use_liquor(brew, volume, water)
    return np.atleast_1d(np.asarray(move.inputs.get("minutes", 0.0), dtype=np.float64))


def dose(brew: Brew, move: Move) -> Array:
    """Dissolve salts, acids or lime. Inputs: ``doses``, each with ``mineral``, ``amount``, ``share`` that dissolves."""
    if not brew.chemistry:
        return np.full(1, DOSING_MIN)
    added = Content.of(brew.kinds, {})
    for each in move.inputs["doses"]:
        mineral = each["mineral"]
        amount = np.atleast_1d(np.asarray(each["amount"], dtype=np.float64))
        works = brew.inputs[each["works"]] if each["works"] else 1.0
        totals = mineral.totals_mmol(amount * works, brew.inputs[f"mineral.{mineral.slug}.strength"])
        added = added.changed(
            {row: added[row] + total for row, total in zip(MINERALS, np.atleast_2d(totals), strict=True)}
        )
    held = brew.content(move.vessel)
    brew.pour(move.vessel, added, temperature_C=held.temperature_C)
    if move.station == "water":
        _count(brew, added)
    else:
        brew.note("kettle_hardness_mEq", hardness_mEq(added), add=True)
    return np.full(1, DOSING_MIN)


def heat_minutes(brew: Brew, *, heat_capacity_kJ_K: Array, from_C: Array, to_C: Array, at: str = "kettle") -> Array:
    """Minutes to warm a vessel's content with the brewhouse's heat, losses counted.

    A rise the heat cannot reach takes two days at most, so that no draw is infinite; what cannot boil is
    found when the plan is checked against the vessels.
    """
    inputs = brew.inputs
    minutes = ramp_minutes(
        from_C,
        to_C,
        heat_capacity_kJ_K=heat_capacity_kJ_K + inputs[f"brewhouse.{at}_heat_capacity"],
        power_kW=inputs["brewhouse.power"] * inputs["brewhouse.heat_efficiency"],
        loss_W_K=inputs[f"brewhouse.{at}_loss"],
        ambient_C=inputs["brewhouse.ambient"],
    )
    return np.clip(np.where(np.isfinite(minutes), minutes, 2880.0), 0.0, 2880.0)
