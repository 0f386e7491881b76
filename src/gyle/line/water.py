"""Water: drawn, and how long heat takes."""

from __future__ import annotations

import numpy as np

from gyle.line.brew import Brew, Move
from gyle.line.content import WATER_KG_L, Array, Content
from gyle.science.heat import ramp_minutes

__all__ = ["fill", "heat_minutes"]


def fill(brew: Brew, move: Move) -> Array:
    """Draw cold water into a vessel. Inputs: ``volume_L``."""
    volume = np.atleast_1d(np.asarray(move.inputs["volume_L"], dtype=np.float64))
    water = Content.of(brew.kinds, {"water": volume * WATER_KG_L}, temperature_C=brew.inputs["brewhouse.tap_water"])
    brew.pour(move.vessel, water)
    brew.note("water_used_L", volume, add=True)
    return np.atleast_1d(np.asarray(move.inputs.get("minutes", 0.0), dtype=np.float64))


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
