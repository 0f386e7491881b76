"""The lauter: what runs off the bed, and what the bed keeps.

The bed keeps a volume of *liquor* for each kilogram of grist, whatever its strength. So a bigger grist keeps
more and stronger wort, and efficiency falls with the grist: it comes out of the balance and never goes in.
"""

from __future__ import annotations

import numpy as np

from gyle.line.acidity import run_off, taken_up
from gyle.line.brew import Brew, Move
from gyle.line.content import MINERALS, WATER_KG_L, Array, Content, draw_off, less, mix, share_beyond
from gyle.line.mash import mash_heat_capacity_kJ_K
from gyle.line.water import liquor, use_liquor
from gyle.science.extract import specific_gravity_of_extract
from gyle.science.heat import WATER_HEAT_CAPACITY_KJ_KGK
from gyle.science.sparging import left_in_bed_with_bypass

__all__ = ["drain", "held_L", "sparge"]

MOST_SPARGE_BEDS = 900.0  # a bed of next to nothing is washed clean by so many times its liquor
THICKEST_G_L = 545.0  # the tables end here; see content.THICKEST_PCT
SQUEEZED_L_KG = 0.25  # pressing a bed that only drained
SLOW_GRAIN_EXTRA_L_KG = 0.2  # above 30 % of flaked grain, wheat or rye


def held_L(brew: Brew, move: Move) -> Array:
    """Litres of liquor the bed and the space below it keep."""
    inputs = brew.inputs
    extra = SLOW_GRAIN_EXTRA_L_KG if move.inputs.get("slow") else 0.0
    if move.inputs.get("squeeze"):
        extra -= SQUEEZED_L_KG
    grist = brew.noted(f"grist_kg.{move.inputs['mash']}")
    return (inputs["brewhouse.retention"] + extra) * grist + inputs["brewhouse.mash_dead"]


def drain(brew: Brew, move: Move) -> Array:
    """Lift the bag or open the tap. Inputs: ``mash``, ``to`` (vessel), ``slow``."""
    content = run_off(brew, brew.content(move.vessel), lot=str(move.inputs["mash"]))
    volume = content.volume_L
    held = held_L(brew, move)
    runs = share_beyond(volume, held)
    drawn, left = draw_off(content, runs)
    lot = move.inputs["mash"]
    brew.note(f"held_L.{lot}", np.minimum(held, volume))
    brew.put(move.vessel, left)
    brew.pour(move.inputs["to"], drawn)
    name = "lauter" if lot == 1 else f"lauter.{lot}"
    brew.figure(f"{name}.first_wort_gravity", drawn.gravity_sg)
    solid = left["starch.1"] + left["starch.2"] + left["husk"]
    brew.figure(f"{name}.bed_kg", solid + left.liquid_kg)
    return brew.inputs["model.drain_minutes"]


def sparge(brew: Brew, move: Move) -> Array:
    """Run hot liquor through the bed. Inputs: ``mash``, ``to``, ``volume_L``, ``temperature_C``, ``by``, ``tanks``."""
    bed = brew.content(move.vessel)
    volume = np.maximum(np.atleast_1d(np.asarray(move.inputs["volume_L"], dtype=np.float64)), 0.0)
    hot = np.full(1, float(move.inputs["temperature_C"]))
    poured = liquor(brew, volume, temperature_C=hot)
    use_liquor(brew, volume, poured)
    if move.inputs.get("treated") and brew.chemistry:
        poured = mix(poured, brew.contents.pop(move.inputs["treated"]), temperature_C=hot)
    held = brew.noted(f"held_L.{move.inputs['mash']}")
    poured = taken_up(brew, poured)
    if move.inputs["by"] == "batch":
        whole = _warm_mix(bed, poured)
        runs = share_beyond(whole.volume_L, held)
        drawn, left = draw_off(whole, runs)
    else:
        keeps = left_in_bed_with_bypass(
            volume,
            np.maximum(held, np.maximum(volume / MOST_SPARGE_BEDS, 1e-6)),
            bypass=brew.inputs["brewhouse.sparge_bypass"],
            tanks=move.inputs["tanks"],
        )
        whole = _warm_mix(bed, poured)
        left = _washed(brew, bed, poured, keeps, held)
        drawn = less(whole, left)
        left = left.at(whole.temperature_C)
    brew.put(move.vessel, left)
    brew.pour(move.inputs["to"], drawn)
    return volume * brew.inputs["model.sparge_minutes_L"]


def _warm_mix(bed: Content, liquor: Content) -> Content:
    one = mash_heat_capacity_kJ_K(bed)
    two = liquor["water"] * WATER_HEAT_CAPACITY_KJ_KGK
    temperature = (one * bed.temperature_C + two * liquor.temperature_C) / np.maximum(one + two, 1e-9)
    return mix(bed, liquor, temperature_C=temperature)


def _washed(brew: Brew, bed: Content, poured: Content, keeps: Array, held: Array) -> Content:
    """The bed after the sparge: its dissolved matter thinned, sparge liquor in the place of what left."""
    thinned = bed.scaled(1.0 - (1.0 - keeps))
    extract = thinned.extract_kg
    solution = (
        held
        * WATER_KG_L
        * specific_gravity_of_extract(np.minimum(1000.0 * extract / np.maximum(held, 1e-9), THICKEST_G_L))
    )
    # Nothing was sparged where nothing left the bed: keep the water it had.
    water = np.where(keeps < 1.0, solution - extract, bed["water"])
    if not brew.chemistry:
        return thinned.changed({"water": water})
    stays = np.minimum(held * (1.0 - keeps) * WATER_KG_L / np.maximum(poured["water"], 1e-9), 1.0)
    minerals = {row: thinned[row] + stays * poured[row] for row in MINERALS}
    return thinned.changed({"water": water, **minerals})
