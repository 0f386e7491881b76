"""The kettle: heating up, the boil with what goes in, and what stays behind."""

from __future__ import annotations

import numpy as np

from gyle.line.acidity import after_boil, brought_by_extract, joined
from gyle.line.brew import Brew, Move
from gyle.line.content import THICKEST_PCT, WATER_KG_L, Array, Content, draw_off, mix
from gyle.line.hot_wort import add_hops, held_hot
from gyle.line.mash import convert, mash_heat_capacity_kJ_K
from gyle.line.water import heat_minutes, liquor
from gyle.science.atmosphere import boiling_point_elevation_K

__all__ = ["add", "boil", "collect", "end", "heat_up", "hold_back", "pour_back"]

SOLUTE_G_MOL = 400.0


def boiling_C(brew: Brew, content: Content) -> Array:
    """Boiling temperature of this wort on the day."""
    return brew.inputs["brewhouse.boiling_water"] + boiling_point_elevation_K(
        np.minimum(content.extract_pct, THICKEST_PCT), solute_g_mol=SOLUTE_G_MOL
    )


def collect(brew: Brew, move: Move) -> Array:
    """Name what the kettle received. Inputs: ``mashes``."""
    content = joined(brew, brew.content(move.vessel))
    brew.put(move.vessel, content)
    brew.figure("kettle.full.volume", content.volume_L)
    brew.figure("kettle.full.gravity", content.gravity_sg)
    dissolved = np.zeros(1)
    for lot in move.inputs["mashes"]:
        dissolved = dissolved + brew.noted(f"dissolved_kg.{lot}")
    collected = content.malt_kg()
    if "held back" in brew.contents:
        collected = collected + brew.contents["held back"].malt_kg()
    brew.note("mash_extract_kg", collected)
    brew.figure("lauter.efficiency", 100.0 * collected / np.maximum(dissolved, 1e-9))
    return np.zeros(1)


def hold_back(brew: Brew, move: Move) -> Array:
    """Keep some of the wort aside until the boil has made room. Inputs: ``volume_L``."""
    content = brew.content(move.vessel)
    share = np.clip(move.inputs["volume_L"] / np.maximum(content.volume_L, 1e-9), 0.0, 0.95)
    drawn, left = draw_off(content, share)
    brew.pour("held back", drawn)
    brew.put(move.vessel, left)
    return np.full(1, 3.0)


def pour_back(brew: Brew, move: Move) -> Array:
    """Add the wort held back, bring it to the boil again. Inputs: ``share`` of what was held back."""
    held = brew.content("held back")
    drawn, left = draw_off(held, float(move.inputs["share"]))
    kettle = brew.content(move.vessel)
    one, two = mash_heat_capacity_kJ_K(kettle), mash_heat_capacity_kJ_K(drawn)
    cooler = np.maximum(drawn.temperature_C - 10.0, brew.inputs["brewhouse.ambient"])
    mixed = (one * kettle.temperature_C + two * cooler) / np.maximum(one + two, 1e-9)
    boiling = kettle.temperature_C
    brew.put("held back", left)
    brew.pour(move.vessel, drawn, temperature_C=np.atleast_1d(mixed))
    content = brew.content(move.vessel)
    minutes = heat_minutes(brew, heat_capacity_kJ_K=one + two, from_C=mixed, to_C=boiling)
    content = held_hot(brew, content.at(boiling), temperature_C=boiling, minutes=minutes)
    brew.put(move.vessel, content)
    note_peak(brew, content)
    return minutes


def heat_up(brew: Brew, move: Move) -> Array:
    """Bring the wort to the boil; enzymes go on working until they are cooked, hops begin to."""
    content = brew.content(move.vessel)
    start, boiling = content.temperature_C, boiling_C(brew, content)
    minutes = heat_minutes(brew, heat_capacity_kJ_K=mash_heat_capacity_kJ_K(content), from_C=start, to_C=boiling)
    span = np.maximum(boiling - start, 1e-6)
    for low, high in ((0.0, 0.10), (0.10, 0.25), (0.25, 0.45)):
        middle = start + span * (low + high) / 2.0
        if brew.mean(middle) > 80.0:
            break
        content = convert(brew, content, temperature_C=middle, minutes=minutes * (high - low))
    if content.part("alpha").any():
        for low, high in ((0.4, 0.7), (0.7, 0.9), (0.9, 1.0)):
            content = held_hot(
                brew,
                content,
                temperature_C=start + span * (low + high) / 2.0,
                minutes=minutes * (high - low),
            )
    gone = {"~beta": np.zeros(1), "~alpha": np.zeros(1)}
    brew.put(move.vessel, content.changed(gone, temperature_C=boiling))
    brew.note("heat_up_min", minutes)
    return minutes


def boil(brew: Brew, move: Move) -> Array:
    """Boil for a while. Inputs: ``minutes``."""
    content = brew.content(move.vessel)
    minutes = np.atleast_1d(np.asarray(move.inputs["minutes"], dtype=np.float64))
    start_sg = content.gravity_sg
    temperature = content.temperature_C
    content = held_hot(brew, content, temperature_C=temperature, minutes=minutes)
    rate_kg_min = brew.inputs["brewhouse.boil_off"] * WATER_KG_L / 60.0
    gone = np.minimum(rate_kg_min * minutes, 0.9 * content["water"])
    content = content.changed({"water": content["water"] - gone})
    brew.put(move.vessel, content)
    brew.note("evaporated_kg", gone, add=True)
    brew.note("boil_gravity_min", (start_sg + content.gravity_sg) / 2.0 * minutes, add=True)
    brew.note("boil_min", minutes, add=True)
    return minutes


def add(brew: Brew, move: Move) -> Array:
    """Put things into the wort. Inputs: ``hops`` (each with the ``share`` that gets there), ``sugars``, ``others``."""
    content = brew.content(move.vessel)
    for hop in move.inputs.get("hops", ()):
        reached = brew.inputs["model.hop_vessel_extraction"] if hop.get("vessel") == "hop vessel" else 1.0
        content = add_hops(brew, content, hop, share=reached * hop.get("share", 1.0))
    for sugar in move.inputs.get("sugars", ()):
        content = sugared(brew, content, sugar)
    for other in move.inputs.get("others", ()):
        content = with_other(brew, content, other)
    brew.put(move.vessel, content)
    if move.station == "kettle" and move.inputs.get("sugars"):
        note_peak(brew, content)
    return np.atleast_1d(np.asarray(move.inputs.get("minutes", 0.0), dtype=np.float64))


def note_peak(brew: Brew, content: Content) -> None:
    """Remember how full the kettle ever was."""
    brew.note("kettle_peak_L", np.maximum(brew.noted("kettle_peak_L"), content.volume_L))


def sugared(brew: Brew, content: Content, sugar: dict[str, object]) -> Content:
    """Dissolve a sugar, syrup or malt extract."""
    inputs = brew.inputs
    lot = f"lot.{sugar['lot']}"
    mass = np.atleast_1d(np.asarray(sugar["mass_kg"], dtype=np.float64))
    dry = mass * (1.0 - inputs[f"{lot}.moisture"])
    extract = np.minimum(dry * inputs[f"{lot}.extract"], mass)
    fermentable = extract * inputs[f"{lot}.fermentable"]
    pull: dict[str, Array] = {}
    if sugar["as"] == "malt extract":
        into, rest = "malt.kettle.fermentable", "malt.kettle.inert"
        if brew.chemistry:
            pull = brought_by_extract(content, mass * inputs[f"{lot}.buffering"], inputs[f"{lot}.distilled_ph"])
    else:
        into, rest = f"sugar.{sugar['as']}", "sugar.inert"
    changes = {
        into: content[into] + fermentable,
        "water": content["water"] + (mass - extract),
        "~colour": content["~colour"] + mass * inputs[f"{lot}.colour"],
        **pull,
    }
    changes[rest] = content[rest] + extract - fermentable
    return content.changed(changes)


def with_other(brew: Brew, content: Content, other: dict[str, object]) -> Content:
    """Add water, or anything else by mass with what of it is extract and water."""
    mass = np.atleast_1d(np.asarray(other["mass_kg"], dtype=np.float64))
    if str(other["what"]).casefold() == "water":
        return mix(content, liquor(brew, mass / WATER_KG_L, temperature_C=20.0), temperature_C=content.temperature_C)
    water, extract = float(other["water"]), float(other["extract"])  # type: ignore[arg-type]
    return content.changed(
        {
            "water": content["water"] + mass * water,
            "sugar.inert": content["sugar.inert"] + mass * extract * 0.1,
            "sugar.monosaccharide": content["sugar.monosaccharide"] + mass * extract * 0.9,
            "husk": content["husk"] + mass * (1.0 - water - extract),
        }
    )


def end(brew: Brew, move: Move) -> Array:
    """Put out the heat and name what the boil left."""
    content = after_boil(brew, brew.content(move.vessel))
    brew.put(move.vessel, content)
    brew.figure("kettle.end.volume", content.volume_L)
    brew.figure("kettle.end.gravity", content.gravity_sg)
    boiled = np.maximum(brew.noted("boil_min"), 1e-9)
    mean = np.where(brew.noted("boil_min") > 0, brew.noted("boil_gravity_min") / boiled, content.gravity_sg)
    brew.note("mean_boil_gravity", mean)
    return np.zeros(1)
