"""The fermenter: pitching, what goes in later, and the beer that comes of it.

`plan` needs where a fermentation ends, not its hours: the wort's sugars and what this yeast makes of them
give the fermented extract, and the rest is a mass balance. Readings and hours belong to the forecast.
"""

from __future__ import annotations

import numpy as np

from gyle.line.acidity import fermented as fermented_ph
from gyle.line.brew import Brew, Move
from gyle.line.content import LOTS, WATER_KG_L, Array, Content
from gyle.science.alcohol import from_gravities
from gyle.science.balling import fermented
from gyle.science.bitterness import gravity_survival, rate_survival
from gyle.science.dry_hop import dextrin_released_g_L, humulinones_mg_L, iso_after_dry_hop_mg_L
from gyle.science.extract import degrees_plato, specific_gravity
from gyle.science.fermentation import fermentable_by_yeast

__all__ = ["dry_hop", "ferment", "pitch", "settle_hops"]

LEAST_BY_YEAST, MOST_BY_YEAST = 0.2425, 0.8925  # ends of `fermentable_by_yeast`
MONOSACCHARIDE_RATIO = 2.175 / 2.0665
POINT_G_L = 2.13  # real extract behind one point of gravity [g/L]
HUMULINONE_EXTRACTION = 0.9
CREEP_HOURS = 80.0
MOST_HOPS_G_L = 1000.0
STRONGEST_SG = 1.2


def settle_hops(brew: Brew, move: Move) -> Array:
    """Take out what trub and hop matter hold of the bitter acids. Inputs: ``hop_kg``."""
    inputs, content = brew.inputs, brew.content(move.vessel)
    if not content.species.hops:
        return np.zeros(1)
    end_volume = np.maximum(brew.figures["kettle.end.volume"], 1e-9)
    rate = np.minimum(1000.0 * np.atleast_1d(move.inputs["hop_kg"]) / end_volume, MOST_HOPS_G_L)
    survives = (
        inputs["brewhouse.hop_survival_hot"]
        * gravity_survival(np.clip(brew.noted("mean_boil_gravity"), 1.0, 1.2))
        * rate_survival(rate)
        * inputs["model.hop_loss"]
        * inputs["brewhouse.hop_utilisation"]
    )
    brew.put(move.vessel, _hops_lost(content, np.minimum(survives, 1.0)))
    return np.zeros(1)


def _hops_lost(content: Content, survives: Array) -> Content:
    iso = content.part("iso")
    gone = iso * (1.0 - survives)
    return content.with_parts({"iso": iso - gone, "lost": content.part("lost") + gone})


def pitch(brew: Brew, move: Move) -> Array:
    """Pitch the yeast: the wort is measured now."""
    content = brew.content(move.vessel)
    brew.figure("fermenter.volume", content.volume_L)
    brew.figure("fermenter.pitch_gravity", content.gravity_sg)
    return np.full(1, 10.0)


def dry_hop(brew: Brew, move: Move) -> Array:
    """Add dry hops. Inputs: ``hops``, ``days``, ``temperature_C``."""
    content = brew.content(move.vessel)
    total: Array = np.zeros(1)
    for hop in move.inputs["hops"]:
        mass = np.atleast_1d(np.asarray(hop["mass_kg"], dtype=np.float64))
        total = total + mass
        content = content.changed({"hop matter": content["hop matter"] + mass})
    brew.put(move.vessel, content)
    brew.note("dry_hop_kg", total, add=True)
    brew.note("dry_hop_days", move.inputs["days"])
    return np.zeros(1)


def _fermentable_share(brew: Brew, content: Content, yeast: str, og: Array) -> tuple[Array, Array]:
    """Share of the malt extract this yeast will take, and the malt extract [kg]."""
    inputs = brew.inputs
    malt = content.malt_kg(LOTS)
    taken = sum(content[f"malt.{lot}.fermentable"] for lot in LOTS)
    share = taken / np.maximum(malt, 1e-12)
    strong = np.maximum(og - 1.070, 0.0) / 0.010
    # The equation holds between its own ends; a grist beyond them keeps its distance.
    within = np.clip(share, LEAST_BY_YEAST, MOST_BY_YEAST)
    share = (
        fermentable_by_yeast(
            within,
            maltotriose_use=inputs[f"lot.{yeast}.maltotriose"],
            dextrin_use=inputs[f"lot.{yeast}.dextrin"],
            sugar_share=0.0,
        )
        + (share - within)
        + inputs["model.fermentability_fermented"]
        + 0.005 * strong * inputs["model.strong_wort"]
        - 0.004 * np.maximum(og - 1.075, 0.0) / 0.010
    )
    return np.clip(share, 0.02, 0.97), malt


def ferment(brew: Brew, move: Move) -> Array:
    """Ferment out. Inputs: ``yeast``, ``attenuation`` (an author's, or None), ``days``, ``temperature_C``."""
    inputs, content = brew.inputs, brew.content(move.vessel)
    yeast = move.inputs["yeast"]
    extract = content.extract_kg
    total = content["water"] + extract + content["ethanol"]
    og = content.gravity_sg
    volume = np.maximum(total / (og * WATER_KG_L), 1e-6)  # a kettle may keep all; that run must not stop
    brew.figure("fermenter.original_gravity", og)

    share, malt = _fermentable_share(brew, content, yeast, og)
    single = content["sugar.monosaccharide"]
    sugar = content["sugar.disaccharide"] + single
    wanted = share * malt + sugar
    e = 1.9565 + inputs["model.yeast_growth"]
    e = e * (1.0 + (MONOSACCHARIDE_RATIO - 1.0) * single / np.maximum(wanted, 1e-12))
    if move.inputs["attenuation"] is not None:
        wanted = _as_the_author_says(brew, wanted, og, total, e, float(move.inputs["attenuation"]))

    hops_g_L = np.minimum(1000.0 * brew.noted("dry_hop_kg") / volume, MOST_HOPS_G_L)
    if brew.noted("dry_hop_kg").any():
        released = dextrin_released_g_L(
            hops_g_L,
            brew.noted("dry_hop_days"),
            temperature_C=float(move.inputs["temperature_C"]),
            release_g_g=inputs["model.creep_g_L"],
            time_constant_h=CREEP_HOURS,
        )
        wanted = wanted + np.minimum(released * volume / 1000.0, 0.5 * np.maximum(malt - share * malt, 0.0))

    limit = inputs[f"lot.{yeast}.alcohol_stop"] / 100.0 * volume * 0.78924
    wanted = np.minimum(wanted, limit * e)
    wanted = wanted - _stuck_kg(brew, og, volume)
    taken = np.clip(wanted, 0.0, 0.999 * (malt + sugar))  # whatever an author says, lactose stays

    fermented_ph(brew, content, taken_kg=taken, malt_kg=malt, hops_g_L=hops_g_L, lager=bool(move.inputs.get("lager")))

    # A syrup beyond the tables is no beer; the plan that makes one is refused, this run only must not stop.
    beer = fermented(extract, taken, np.maximum(np.maximum(total, extract / 0.459), 1e-9), extract_per_ethanol=e)
    final = beer.gravity_sg + inputs["model.tabarie"]
    ethanol = beer.beer_kg * beer.alcohol_pct / 100.0
    brew.figure("fermenter.final_gravity", final)
    brew.figure("fermenter.alcohol", beer.abv_pct)
    original_pct = degrees_plato(og)
    brew.figure(
        "fermenter.attenuation",
        100.0 * (original_pct - degrees_plato(final)) / np.maximum(original_pct, 1e-9),
    )
    brew.note("beer_L", beer.beer_kg / (beer.gravity_sg * WATER_KG_L))
    brew.note("real_extract_pct", beer.real_extract_pct)
    brew.note("alcohol_pct", beer.alcohol_pct)
    brew.note("co2_kg", beer.co2_kg)
    brew.note("malt_share", share)

    brew.put(move.vessel, _as_beer(content, taken, malt, sugar, ethanol, beer.yeast_kg))
    brew.pour("air", Content.of(brew.kinds, {"carbon dioxide": beer.co2_kg}))
    _bitterness_after(brew, move, hops_g_L)
    return np.full(1, 24.0 * 60.0 * float(move.inputs["days"]))


def _as_the_author_says(brew: Brew, wanted: Array, og: Array, total: Array, e: Array, attenuation: float) -> Array:
    """Move the middle of the fermented extract to the author's attenuation, keep how it varies."""
    og = np.minimum(og, STRONGEST_SG)
    final = specific_gravity(degrees_plato(og) * (1.0 - attenuation))
    beer = from_gravities(og, final, extract_per_ethanol=e)
    ratio = beer.alcohol_pct / 100.0
    stated = e * ratio * total / (1.0 + (e - 1.0) * ratio)
    if brew.inputs.is_centre:
        return stated
    return stated * (wanted / max(brew.mean(wanted), 1e-12))


def _stuck_kg(brew: Brew, og: Array, volume: Array) -> Array:
    """Extract left by the few fermentations that stop early; none on the centre line."""
    if brew.inputs.is_centre:
        return np.zeros(1)
    chance = np.interp(og, [1.060, 1.080, 1.100], [0.03, 0.08, 0.15])
    luck = brew.inputs.uniform("event.stuck")
    points = np.where(luck < chance, -10.0 * np.log(np.minimum(luck / chance, 1.0)), 0.0)
    brew.inputs.derive("event.stuck", points)
    return np.asarray(points * POINT_G_L * volume / 1000.0, dtype=np.float64)


def _as_beer(content: Content, taken: Array, malt: Array, sugar: Array, ethanol: Array, yeast: Array) -> Content:
    """Take the fermented extract out of the rows it came from: sugars first, then malt, row by row."""
    from_sugar = np.minimum(taken, sugar)
    from_malt = taken - from_sugar
    changes: dict[str, Array] = {}
    for name in ("sugar.disaccharide", "sugar.monosaccharide"):
        changes[name] = content[name] * (1.0 - from_sugar / np.maximum(sugar, 1e-12))
    ready = sum(content[f"malt.{lot}.fermentable"] for lot in LOTS)
    easy = np.minimum(from_malt, ready)
    hard = from_malt - easy
    slow = np.maximum(malt - ready, 1e-12)
    for lot in LOTS:
        changes[f"malt.{lot}.fermentable"] = content[f"malt.{lot}.fermentable"] * (
            1.0 - easy / np.maximum(ready, 1e-12)
        )
        for part in ("convertible", "inert"):
            name = f"malt.{lot}.{part}"
            changes[name] = content[name] * (1.0 - hard / slow)
    changes["ethanol"] = content["ethanol"] + ethanol
    changes["yeast"] = content["yeast"] + yeast
    return content.changed(changes)


def _bitterness_after(brew: Brew, move: Move, hops_g_L: Array) -> None:
    """Bitter acids lost to yeast and dry hops, and what the hops bring."""
    content = brew.content(move.vessel)
    if not content.species.hops:
        return
    content = _hops_lost(content, np.minimum(brew.inputs["brewhouse.hop_survival_ferment"], 1.0))
    beer = np.maximum(brew.noted("beer_L"), 1e-9)
    if brew.noted("dry_hop_kg").any():
        iso = content.part("iso").sum(axis=0) * 1e6 / beer
        kept = iso_after_dry_hop_mg_L(np.minimum(iso, 1e5), hops_g_L, adsorption_L_g=brew.inputs["model.iso_adsorbed"])
        content = _hops_lost(content, np.clip(kept / np.maximum(iso, 1e-12), 0.0, 1.0))
        brew.note(
            "humulinones_mg_L",
            humulinones_mg_L(
                hops_g_L, mass_fraction=brew.inputs["model.humulinones"], extraction=HUMULINONE_EXTRACTION
            ),
        )
    brew.put(move.vessel, content)
