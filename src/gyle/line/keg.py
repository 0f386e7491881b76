"""The keg: what reaches it, and the pressure that gives the wanted carbonation."""

from __future__ import annotations

import numpy as np

from gyle.line.brew import Brew, Move
from gyle.line.content import WATER_KG_L, Array, draw_off
from gyle.science.atmosphere import pressure_Pa
from gyle.science.carbonation import (
    carbon_dioxide_volumes,
    composition_factor,
    equilibrium_pressure_bar_abs,
)

__all__ = ["package"]

PA_BAR = 1e5


def package(brew: Brew, move: Move) -> Array:
    """Fill the keg.

    Inputs: ``to``, ``vessel_L``, ``carbonation_vol`` or ``pressure_bar``, ``temperature_C``, ``altitude_m``.
    """
    inputs, content = brew.inputs, brew.content(move.vessel)
    beer = np.maximum(brew.noted("beer_L"), 1e-9)
    kept = inputs["brewhouse.fermenter_left_behind"] + inputs["brewhouse.dry_hop_held"] * brew.noted("dry_hop_kg")
    clear = np.maximum(beer - kept, 0.0)
    filled = np.minimum(clear, float(move.inputs["vessel_L"]))
    drawn, left = draw_off(content, np.clip(filled / beer, 0.0, 1.0))
    brew.put(move.vessel, left)
    brew.pour(move.inputs["to"], drawn)
    brew.note("beer_L", filled)
    brew.note("clear_L", clear)
    brew.figure("keg.volume", filled)
    brew.figure("keg.left_over", clear - filled)

    real_g_L = 10.0 * brew.noted("real_extract_pct") * brew.figures["fermenter.final_gravity"] * WATER_KG_L
    factor = (
        composition_factor(
            np.clip(brew.figures["fermenter.alcohol"], 0.0, 20.0),
            np.clip(real_g_L, 0.0, 390.0),
            extract_weight=inputs["model.extract_weight_co2"],
        )
        * inputs["model.co2_solubility"]
    )
    air_bar = (pressure_Pa(float(move.inputs["altitude_m"])) + inputs["model.weather_Pa"]) / PA_BAR
    temperature = np.atleast_1d(float(move.inputs["temperature_C"]) + inputs["model.beer_temperature_K"])
    wanted = move.inputs["carbonation_vol"]
    if move.inputs["pressure_bar"] is not None:
        gauge = float(move.inputs["pressure_bar"]) + inputs["model.gauge_bar"]
        brew.figure("keg.pressure", np.full(1, float(move.inputs["pressure_bar"])))
        brew.figure("keg.carbonation", factor * carbon_dioxide_volumes(temperature, np.maximum(gauge + air_bar, 0.0)))
    else:
        needed = equilibrium_pressure_bar_abs(float(wanted) / factor, temperature) - air_bar
        brew.figure("keg.pressure", needed)
        # Set to the middle of what is needed, the keg reaches the wanted gas but for what is not known.
        setting = np.maximum(brew.mean(needed) + inputs["model.gauge_bar"] + air_bar, 0.0)
        brew.figure("keg.carbonation", factor * carbon_dioxide_volumes(temperature, setting))
    return np.full(1, 40.0)
