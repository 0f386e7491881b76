"""The mash: strike, dough-in, rests, and the starch that becomes extract.

The state is what the vessel holds. Starch waits in ``starch.N``; dissolving, it takes up water and becomes
extract of three kinds: fermentable, convertible (dextrin the enzymes still shorten) and inert. A rest moves
starch into extract and convertible into fermentable, by the kinetics of `gyle.science.conversion`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import attrs
import numpy as np

from gyle.line.acidity import hot_figure, infused, struck_mash
from gyle.line.brew import Brew, Move
from gyle.line.content import THICKEST_PCT, WATER_KG_L, Array, Content, mix
from gyle.line.water import heat_minutes, liquor, use_liquor
from gyle.science.conversion import ANCHOR_FIT, ConversionParameters, MashState
from gyle.science.conversion import rest as rested
from gyle.science.fermentability import FERMENTABLE_PER_APPARENT, MOST_FERMENTABLE, REFERENCE_FERMENTABLE
from gyle.science.heat import (
    DRY_MALT_KJ_KGK,
    hydration_heat_kJ_kg,
    malt_heat_capacity_kJ_kgK,
    wort_heat_capacity_kJ_kgK,
)
from gyle.science.strike import decoction_fraction, infusion_kg, strike_temperature_C

__all__ = [
    "HYDROLYSIS_WATER",
    "Grain",
    "convert",
    "mash_heat_capacity_kJ_K",
    "mash_in",
    "rest",
    "strike",
]

HYDROLYSIS_WATER = 0.032  # kg of water bound per kg of extract formed; from a usual sugar spectrum
RAMP_STEP_MIN = 3.0
BED_LAG_MIN = 4.0  # the bed follows the wort by so much where the wort is pumped through it
ENZYMES_GONE_C = 80.0
# No mash is colder, hotter or longer, whatever a candidate of a search comes to.
COLDEST_MASH_C, HOTTEST_MASH_C = 1.0, 100.0
LONGEST_REST_MIN = 2880.0


@attrs.frozen(kw_only=True, eq=False)
class Grain:
    """One grist line as the day needs it: where its beliefs are filed, and its mass [kg]."""

    lot: str  # its figures are filed under lot.<lot>.extract, .moisture, .colour, .fermentable
    mass_kg: Any


def parameters(brew: Brew, *, still: bool) -> ConversionParameters:
    """Sampled parameters of the mash kinetics; a still bed wets more slowly."""
    inputs = brew.inputs
    return ConversionParameters(
        k_access=inputs["model.wetting_rate"] * (0.6 if still else 1.0),
        beta_rate=inputs["model.beta_decay"],
        alpha_rate=ANCHOR_FIT.alpha_rate,
        beta_scale=inputs["model.beta_scale"],
        alpha_scale=inputs["model.alpha_scale"],
        beta_activation_kJ=inputs["model.beta_activation"],
        alpha_activation_kJ=inputs["model.alpha_activation"],
        floor=inputs["model.conversion_floor"],
        ceiling=inputs["model.conversion_ceiling"],
    )


def grist_kg(grains: Sequence[Grain]) -> Array:
    """Total mass of a grist as it is."""
    total: Array = np.zeros(1)
    for grain in grains:
        total = total + np.atleast_1d(grain.mass_kg)
    return total


def mash_heat_capacity_kJ_K(content: Content) -> Array:
    """Heat capacity of liquor, extract and grain, without the vessel."""
    extract = content.extract_kg
    solid = content["starch.1"] + content["starch.2"] + content["husk"]
    liquid = content["water"] + extract
    pct = np.minimum(100.0 * extract / np.maximum(liquid, 1e-9), THICKEST_PCT)
    return liquid * wort_heat_capacity_kJ_kgK(pct, content.temperature_C) + solid * DRY_MALT_KJ_KGK


def strike(brew: Brew, move: Move) -> Array:
    """Warm the liquor until the mash will settle at its first rest.

    Inputs: ``grains``, ``temperature_C`` (of the first rest), ``mash`` (1 or 2), ``lid_off`` (element off).
    """
    inputs, content = brew.inputs, brew.content(move.vessel)
    grains: Sequence[Grain] = move.inputs["grains"]
    target = float(move.inputs["temperature_C"])
    mass = grist_kg(grains)
    moisture = sum(np.atleast_1d(g.mass_kg) * inputs[f"lot.{g.lot}.moisture"] for g in grains) / np.maximum(mass, 1e-9)
    liquor_kJ_K = np.maximum(mash_heat_capacity_kJ_K(content.at(target)), 1e-3)
    open_minutes = inputs["model.dough_in_minutes"]
    lost = (
        (inputs["brewhouse.mash_loss"] * (target - inputs["brewhouse.ambient"]) / 1000.0 + 0.25) * open_minutes * 60.0
    )
    needed = strike_temperature_C(
        target,
        mass,
        grist_temperature_C=inputs["brewhouse.ambient"],
        grist_heat_capacity_kJ_kgK=malt_heat_capacity_kJ_kgK(moisture) * inputs["model.grain_heat"],
        hydration_kJ_kg=hydration_heat_kJ_kg(moisture) * inputs["model.hydration_heat"],
        liquor_kJ_K=liquor_kJ_K,
        vessel_kJ_K=inputs["brewhouse.mash_heat_capacity"],
        heat_loss_kJ=lost,
    )
    name = "mash" if move.inputs["mash"] == 1 else f"mash.{move.inputs['mash']}"
    brew.figure(f"{name}.strike_temperature", needed)
    # The brewer sets one temperature; where nothing heats the mash, the draw's own miss remains.
    capacity = mash_heat_capacity_kJ_K(content.at(target)) + inputs["brewhouse.mash_heat_capacity"]
    total = capacity + mass * 1.7
    miss = np.zeros(1) if brew.inputs.is_centre else (brew.mean(needed) - needed) * capacity / total
    brew.note("mash_miss_K", miss)
    setting = needed if brew.inputs.is_centre else np.full(1, brew.mean(needed))
    setting = np.minimum(setting, inputs["brewhouse.boiling_water"])
    start = content.temperature_C
    minutes = heat_minutes(
        brew, heat_capacity_kJ_K=liquor_kJ_K, from_C=start, to_C=np.maximum(setting, start), at="mash"
    )
    brew.put(move.vessel, content.at(np.maximum(setting, start)))
    return minutes


def mash_in(brew: Brew, move: Move) -> Array:
    """Stir the grist into the liquor.

    Inputs: ``grains``, ``mash`` (1 or 2), ``still`` (no stirring or pump), ``held_ph`` (of an unstated water).
    """
    inputs, content = brew.inputs, brew.content(move.vessel)
    grains: Sequence[Grain] = move.inputs["grains"]
    lot = str(move.inputs["mash"])
    mass = grist_kg(grains)
    malts = [
        (
            np.atleast_1d(np.asarray(grain.mass_kg, dtype=np.float64)),
            inputs[f"lot.{grain.lot}.distilled_ph"],
            inputs[f"lot.{grain.lot}.buffering"],
        )
        for grain in grains
    ]
    content = struck_mash(brew, content, malts, lot=lot, still=move.inputs["still"], held=move.inputs.get("held_ph"))
    potential, weighted, dry, colour = np.zeros(1), np.zeros(1), np.zeros(1), np.zeros(1)
    for grain in grains:
        kg = np.atleast_1d(grain.mass_kg)
        solid = kg * (1.0 - inputs[f"lot.{grain.lot}.moisture"])
        extract = solid * inputs[f"lot.{grain.lot}.extract"]
        dry = dry + solid
        potential = potential + extract
        weighted = weighted + extract * inputs[f"lot.{grain.lot}.fermentable"]
        colour = colour + kg * inputs[f"lot.{grain.lot}.colour"]
    fermentable = weighted / np.maximum(potential, 1e-9)
    thickness = (content["water"] + content.extract_kg) / np.maximum(mass, 1e-9)
    reach = inputs["brewhouse.conversion"] - 0.02 * (thickness < 2.2)
    if move.inputs["mash"] == 2:
        reach = reach - 0.02  # strong wort is a poorer solvent; 0.93 against 0.95 in practice
    starch = (1.0 - HYDROLYSIS_WATER) * potential * np.minimum(reach, 1.0)
    _compose(brew, lot, fermentable)
    changes = {
        "water": content["water"] + (mass - dry),
        f"starch.{lot}": content[f"starch.{lot}"] + starch,
        "husk": content["husk"] + dry - starch,
        "~beta": content["~beta"] + mass,
        "~alpha": content["~alpha"] + mass,
        "~grist": mass,
        "~colour": content["~colour"] + colour,
    }
    miss = brew.noted("mash_miss_K")
    offset = inputs["brewhouse.thermometer"]
    first = np.asarray(move.inputs["temperature_C"], dtype=np.float64) + offset
    settled = np.clip(first + (0.0 if move.inputs["heated"] else miss), COLDEST_MASH_C, HOTTEST_MASH_C)
    brew.put(move.vessel, content.changed(changes, temperature_C=np.atleast_1d(settled)))
    name = "mash" if lot == "1" else f"mash.{lot}"
    liquor = content.volume_L
    brew.figure(f"{name}.thickness", liquor / np.maximum(mass, 1e-9))
    brew.figure(f"{name}.volume", liquor + inputs["model.grain_swelling_L_kg"] * mass)
    brew.note(f"grist_kg.{lot}", mass)
    brew.note(f"potential_kg.{lot}", potential)
    brew.note("potential_kg", potential, add=True)
    hot_figure(brew, lot, float(move.inputs["temperature_C"]))
    return inputs["model.dough_in_minutes"]


def _compose(brew: Brew, lot: str, fermentable: Array) -> None:
    """Note how this grist's extract splits when it dissolves (shares of extract mass)."""
    inputs = brew.inputs
    whole = np.maximum(fermentable + inputs["model.malt_fermentability"], 0.0)
    scale = whole / REFERENCE_FERMENTABLE * FERMENTABLE_PER_APPARENT
    top = np.minimum(inputs["model.conversion_ceiling"] * scale, MOST_FERMENTABLE)
    start = np.minimum(inputs["model.conversion_floor"] * scale, 0.98 * top)
    brew.note(f"split.{lot}.fermentable", start)
    brew.note(f"split.{lot}.convertible", top - start)


def convert(brew: Brew, content: Content, *, temperature_C: Array, minutes: Array, still: bool = False) -> Content:
    """Let starch dissolve and enzymes work at one temperature for a while."""
    kinetic = parameters(brew, still=still)
    temperature_C = np.clip(temperature_C, COLDEST_MASH_C, HOTTEST_MASH_C)
    minutes = np.minimum(minutes, LONGEST_REST_MIN)
    grist = np.maximum(content["~grist"], 1e-9)
    changes: dict[str, Array] = {}
    state: MashState | None = None
    water = content["water"]
    for lot in ("1", "2"):
        key = f"split.{lot}.fermentable"
        if key not in brew.notes:
            continue
        parts = [content[f"malt.{lot}.{part}"] for part in ("fermentable", "convertible", "inert")]
        dissolved = parts[0] + parts[1] + parts[2]
        starch = content[f"starch.{lot}"]
        potential = starch / (1.0 - HYDROLYSIS_WATER)
        start, convertible = brew.notes[key], brew.notes[f"split.{lot}.convertible"]
        whole = dissolved + potential
        accessible = np.where(whole > 1e-12, dissolved / np.maximum(whole, 1e-12), 1.0)
        own = rested(
            MashState(
                accessible=accessible,
                beta=content["~beta"] / grist,
                alpha=content["~alpha"] / grist,
                exposure=np.zeros(1),
            ),
            temperature_C,
            minutes=minutes,
            parameters=kinetic,
        )
        if state is None or starch.any():
            state = own
        gained = np.maximum(whole * own.accessible - dissolved, 0.0)
        left = np.where(dissolved > 1e-12, parts[1] / np.maximum(dissolved, 1e-12), convertible)
        left = left * np.exp(-own.exposure)
        total = dissolved + gained
        changes[f"malt.{lot}.convertible"] = total * left
        changes[f"malt.{lot}.fermentable"] = total * (start + convertible - left)
        changes[f"malt.{lot}.inert"] = total * (1.0 - start - convertible)
        changes[f"starch.{lot}"] = starch - (1.0 - HYDROLYSIS_WATER) * gained
        water = water - HYDROLYSIS_WATER * gained
    if state is None:
        return content
    changes["water"] = water
    changes["~beta"] = state.beta * grist
    changes["~alpha"] = state.alpha * grist
    return content.changed(changes)


def ramp(brew: Brew, content: Content, *, to_C: Array, minutes: Array, still: bool) -> Content:
    """Take a mash or wort to another temperature in even steps of a few minutes."""
    start = content.temperature_C
    steps = int(np.clip(np.ceil(brew.mean(minutes) / RAMP_STEP_MIN), 1, 20))
    for step in range(steps):
        between = start + (to_C - start) * ((step + 0.5) / steps)
        if brew.mean(between) > ENZYMES_GONE_C:
            break
        content = convert(brew, content, temperature_C=between, minutes=minutes / steps, still=still)
    return content.at(to_C)


def rest(brew: Brew, move: Move) -> Array:
    """Bring the mash to a temperature and hold it there.

    Inputs: ``temperature_C``, ``minutes``, ``by`` ("heat", "infusion", "decoction"), ``first``, ``heated``,
    ``still``, ``mash``.
    """
    inputs, content = brew.inputs, brew.content(move.vessel)
    offset = inputs["brewhouse.thermometer"]
    target = np.atleast_1d(move.inputs["temperature_C"] + offset)
    hold = np.full(1, float(move.inputs["minutes"]))
    still = bool(move.inputs["still"])
    ramp_min = np.zeros(1)
    if not move.inputs["first"]:
        content, ramp_min = _raise(brew, move, content, target, still)
        if move.inputs["by"] == "heat":
            hold = np.maximum(hold - BED_LAG_MIN, 0.0)
    temperature = content.temperature_C
    if not move.inputs["heated"]:
        capacity = mash_heat_capacity_kJ_K(content) + inputs["brewhouse.mash_heat_capacity"]
        fades = np.exp(-inputs["brewhouse.mash_loss"] * 60.0 / 1000.0 / capacity * hold / 2.0)
        ambient = inputs["brewhouse.ambient"]
        middle = ambient + (temperature - ambient) * fades
        content = convert(brew, content, temperature_C=middle, minutes=hold, still=still)
        content = content.at(ambient + (temperature - ambient) * fades**2)
    else:
        content = convert(brew, content, temperature_C=temperature, minutes=hold, still=still)
    brew.put(move.vessel, content)
    _conversion_figure(brew, move, content)
    return ramp_min + float(move.inputs["minutes"])


def _conversion_figure(brew: Brew, move: Move, content: Content) -> None:
    lot = str(move.inputs["mash"])
    own = content.malt_kg((lot,))
    name = "mash" if lot == "1" else f"mash.{lot}"
    brew.figure(f"{name}.conversion", 100.0 * own / np.maximum(brew.noted(f"potential_kg.{lot}"), 1e-9))
    brew.note(f"dissolved_kg.{lot}", own)


def _raise(brew: Brew, move: Move, content: Content, target: Array, still: bool) -> tuple[Content, Array]:
    """Take the mash from where it is to the next rest by heat, hot liquor or a decoction."""
    inputs = brew.inputs
    start = content.temperature_C
    rise = np.maximum(target, start)
    capacity = mash_heat_capacity_kJ_K(content)
    vessel = inputs["brewhouse.mash_heat_capacity"]
    if move.inputs["by"] == "infusion":
        boiling = inputs["brewhouse.boiling_water"] - 1.0
        added = infusion_kg(start, rise, mash_kJ_K=capacity + vessel, liquor_C=boiling)
        brew.note(f"infused_L.{move.inputs['mash']}", added / WATER_KG_L, add=True)
        poured = liquor(brew, added / WATER_KG_L, temperature_C=boiling)
        use_liquor(brew, added / WATER_KG_L, poured)
        mixed = mix(content, poured, temperature_C=np.atleast_1d(rise))
        return infused(brew, mixed, lot=str(move.inputs["mash"])), np.full(1, 4.0)
    if move.inputs["by"] == "decoction":
        portion = decoction_fraction(
            start,
            rise,
            decoction_C=inputs["brewhouse.boiling_water"] - 0.5,
            mash_kJ_K=capacity,
            vessel_kJ_K=vessel,
        )
        portion = np.minimum(portion * 1.07, 0.9)
        boiled_off = 0.03 * portion * content["water"]
        brew.note("evaporated_kg", boiled_off, add=True)
        heated = heat_minutes(
            brew, heat_capacity_kJ_K=capacity * portion, from_C=start, to_C=np.full(1, 99.0), at="mash"
        )
        rested_mash = convert(brew, content, temperature_C=start, minutes=heated + 10.0, still=still)
        changes = {name: rested_mash[name] * (1.0 - portion) for name in ("~beta", "~alpha")} | {
            "water": rested_mash["water"] - boiled_off
        }
        return rested_mash.changed(changes, temperature_C=np.atleast_1d(rise)), heated + 10.0
    minutes = heat_minutes(brew, heat_capacity_kJ_K=capacity, from_C=start, to_C=rise, at="mash")
    # The bed follows the wort: it stays where it was for the lag, then rises.
    content = convert(brew, content, temperature_C=start, minutes=np.full(1, BED_LAG_MIN), still=still)
    return ramp(brew, content.at(start), to_C=np.atleast_1d(rise), minutes=minutes, still=still), minutes
