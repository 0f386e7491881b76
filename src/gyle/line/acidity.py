"""The pH of mash, kettle and beer: one proton balance, wherever liquor, malt and wort meet.

Totals are carried, pH comes out. In the mash each malt pulls towards its own pH; what runs off is wort, which
buffers by its extract and pulls towards the pH of its mash. Where wort meets more liquor the same balance
is struck again with the wort standing as a malt. pH is always that of a cooled sample.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from gyle.line.brew import Brew
from gyle.line.content import LOTS, MINERALS, Array, Content
from gyle.science.acid_demand import carbonate_charge, free_charge_mEq_L
from gyle.science.acids import ACIDS, protons_given
from gyle.science.beer_minerals import calcium_left_mEq_L, malt_mineral_mg_L
from gyle.science.dry_hop import dry_hop_ph_rise
from gyle.science.hardness import residual_alkalinity
from gyle.science.malt_acidity import hardness_acid_mEq_L, hot_ph, mash_acid_demand_mEq, mash_ph
from gyle.science.water_ions import CHARGE, MOLAR_MASS
from gyle.science.wort_acidity import beer_ph, boil_ph_fall, calcium_ph_fall, wort_buffering_mEq

__all__ = [
    "after_boil",
    "beer_figures",
    "brought_by_extract",
    "fermented",
    "hardness_mEq",
    "hot_figure",
    "infused",
    "joined",
    "recovered",
    "run_off",
    "struck_mash",
    "taken_up",
]

ROOM_C = 22.0
NEUTRAL = 7.0  # where nothing pulls
GAS_PH = 8.34  # all carbon is bicarbonate there: no carbon dioxide is left that could leave
# No liquor or wort is beyond these, whatever a candidate of a search comes to.
LOWEST_PH, HIGHEST_PH = 0.5, 13.5
MOST_MEQ_L = 900.0
MOST_HOPS_G_L = 1000.0
_WEAK = {"lactic": "~lactate", "phosphoric": "~phosphate", "citric": "~citrate"}
# Protons an acid keeps at the pH of a mash, which the totals count as given; lactic acid keeps next to none there.
_KEPT = {"~phosphate": 2.0, "~citrate": 1.1}
_HARD = ("calcium", "magnesium")
_SHOWN = ("calcium", "magnesium", "sodium", "sulfate", "chloride")

Malt = tuple[Array, Array, Array]  # mass [kg], own pH, buffering [mEq/(kg pH)]


def _struck(content: Content, malts: Iterable[Malt], *, lost: Array, freed_mEq: Array) -> tuple[Array, Array]:
    """Strike the balance of malts, wort and liquor; return its pH, and the share of carbon dioxide that leaves.

    As much is `lost` as there is: none leaves a liquor that lies above `GAS_PH` by itself, nor takes one beyond it.
    """
    buffer = content["~buffer"]
    rows = [*malts, (buffer, _own_ph(content), np.ones(1))]
    width = np.broadcast_shapes(*(np.shape(part) for row in rows for part in row))
    mass, own, each = (np.stack([np.broadcast_to(row[part], width) for row in rows]) for part in range(3))
    volume = np.maximum(content.volume_L, 1e-6)
    before_acid = content["~alkalinity"] + sum(ACIDS[acid].protons * content[anion] for acid, anion in _WEAK.items())
    carbon = np.clip(content["~carbon"] / volume, 0.0, MOST_MEQ_L)
    balance: dict[str, Array] = {
        "malt_buffering_mEq_kg": each,
        "liquor_L": volume,
        "alkalinity_mEq_L": np.clip(before_acid / volume, -MOST_MEQ_L, MOST_MEQ_L),
        "freed_mEq_L": np.clip(freed_mEq / volume, 0.0, MOST_MEQ_L),
        "lactic_mmol": content["~lactate"],
        "phosphoric_mmol": content["~phosphate"],
        "citric_mmol": content["~citrate"],
    }
    ph = mash_ph(mass, own, carbon_mmol_L=carbon, co2_lost_share=lost, **balance)
    if (ph > GAS_PH).any():
        closed = mash_ph(mass, own, carbon_mmol_L=carbon, co2_lost_share=np.zeros(1), **balance)
        most = np.clip(closed, GAS_PH, 12.0)
        without = mash_acid_demand_mEq(
            most, mass, malt_ph=own, carbon_mmol_L=np.zeros(1), co2_lost_share=np.zeros(1), **balance
        )
        stays = np.clip(without / (carbonate_charge(most) * np.maximum(carbon * volume, 1e-12)), 0.0, 1.0)
        ph, lost = np.where(ph > most, np.maximum(closed, GAS_PH), ph), np.where(ph > most, 1.0 - stays, lost)
    return np.clip(ph, LOWEST_PH, HIGHEST_PH), lost


def _own_ph(content: Content) -> Array:
    """The pH this wort pulls towards."""
    buffer = content["~buffer"]
    return np.clip(np.where(buffer > 0.0, content["~buffer ph"] / np.maximum(buffer, 1e-9), NEUTRAL), 0.0, 12.0)


def _at_rest(content: Content, ph: Array, *, lost: Array) -> Content:
    """The content with its water's totals at rest at a pH: what they lacked, malt or wort has given."""
    carbon = content["~carbon"] * (1.0 - lost)
    alkalinity = carbon * carbonate_charge(ph) + content.volume_L * free_charge_mEq_L(ph)
    for acid, anion in _WEAK.items():
        amount = content[anion]
        if amount.any():
            alkalinity = alkalinity + amount * (protons_given(acid, ph) - ACIDS[acid].protons)
    return content.changed({"~alkalinity": alkalinity, "~carbon": carbon})


def struck_mash(
    brew: Brew, content: Content, malts: Iterable[Malt], *, lot: str, still: bool, held: float | None
) -> Content:
    """Strike the mash's balance and name its pH.

    `held` is the pH a brewer of an unstated water keeps: whatever acid that takes is taken as given, and how far
    a brew strays from it remains.
    """
    if not brew.chemistry:
        return content
    inputs = brew.inputs
    lost = inputs["model.co2_lost_still" if still else "model.co2_lost_stirred"]
    volume = np.maximum(content.volume_L, 1e-6)
    fresh = {
        ion: CHARGE[ion] * np.maximum(content[f"~{ion}"] - brew.noted(f"reacted.{ion}"), 0.0) / volume for ion in _HARD
    }
    freed = hardness_acid_mEq_L(
        np.minimum(fresh["calcium"], MOST_MEQ_L),
        np.minimum(fresh["magnesium"], MOST_MEQ_L),
        calcium_release=inputs["model.calcium_release"],
        magnesium_release=inputs["model.calcium_release"] / 2.0,
        calcium_ceiling_mEq_L=inputs["model.calcium_ceiling"],
    )
    malts = tuple(malts)
    ph, lost = _struck(content, malts, lost=lost, freed_mEq=freed * volume)
    if held is not None:
        # On the centre line draws are candidates of a search, and each is held by itself.
        ph = np.full_like(ph, held) if inputs.is_centre else ph + (held - brew.mean(ph))
    ph = np.clip(ph + inputs["model.mash_ph"], LOWEST_PH, HIGHEST_PH)
    _name(brew, lot, ph)
    if held is not None:
        brew.note(f"held_ph.{lot}", held)
    buffer = content["~buffer"] + sum(kg * each for kg, _, each in malts)
    return _at_rest(content, ph, lost=lost).changed({"~buffer": buffer, "~buffer ph": buffer * ph})


def _name(brew: Brew, lot: str, ph: Array) -> None:
    brew.figure("mash.ph" if lot == "1" else f"mash.{lot}.ph", ph)
    brew.note(f"mash_ph.{lot}", ph)


def infused(brew: Brew, content: Content, *, lot: str) -> Content:
    """Strike the balance again where boiling water has joined the mash; a pH that is held stays."""
    if not brew.chemistry:
        return content
    if f"held_ph.{lot}" in brew.notes:
        return _at_rest(content, brew.noted(f"mash_ph.{lot}"), lost=np.zeros(1))
    content, ph = met(content, lost=brew.inputs["model.co2_lost_stirred"])
    _name(brew, lot, ph)
    return content


def hot_figure(brew: Brew, lot: str, temperature_C: float) -> None:
    """Name the pH the mash has where it stands, beside the one read cool."""
    if not brew.chemistry:
        return
    name = "mash" if lot == "1" else f"mash.{lot}"
    hot = hot_ph(
        brew.noted(f"mash_ph.{lot}"),
        min(max(temperature_C, 0.0), 100.0),
        room_temperature_C=ROOM_C,
        slope_per_C=brew.inputs["model.ph_slope"],
    )
    brew.figure(f"{name}.ph_hot", hot)


def hardness_mEq(content: Content) -> Array:
    """Calcium, and magnesium at the half of it that it does [mEq]."""
    return CHARGE["calcium"] * content["~calcium"] + CHARGE["magnesium"] * content["~magnesium"] / 2.0


def recovered(brew: Brew, wort: Content) -> None:
    """Remember what hardness of a wort that is to be liquor has freed its acid already."""
    if not brew.chemistry:
        return
    for ion in _HARD:
        brew.note(f"reacted.{ion}", wort[f"~{ion}"])


def run_off(brew: Brew, content: Content, *, lot: str) -> Content:
    """What drains is wort: it buffers by its extract and pulls towards the pH of its mash."""
    if not brew.chemistry:
        return content
    buffer = wort_buffering_mEq(content.malt_kg(LOTS), per_extract_mEq_kg=brew.inputs["model.wort_buffering"])
    return content.changed({"~buffer": buffer, "~buffer ph": buffer * brew.noted(f"mash_ph.{lot}")})


def taken_up(brew: Brew, poured: Content) -> Content:
    """Sparge liquor past the bed: part of its alkalinity is left as chalk in the hot tank or taken up by the grain."""
    if not brew.chemistry:
        return poured
    stays = 1.0 - brew.inputs["model.sparge_alkalinity"]
    left = poured["~alkalinity"] + sum(kept * poured[anion] for anion, kept in _KEPT.items())  # of what acid left
    gone = np.maximum(left, 0.0) * stays
    return poured.changed(
        {"~alkalinity": poured["~alkalinity"] - gone, "~carbon": np.maximum(poured["~carbon"] - gone, 0.0)}
    )


def brought_by_extract(content: Content, buffer_mEq: Array, ph: Array) -> dict[str, Array]:
    """What malt extract from a pack adds to the wort's pull."""
    return {"~buffer": content["~buffer"] + buffer_mEq, "~buffer ph": content["~buffer ph"] + buffer_mEq * ph}


def joined(brew: Brew, content: Content) -> Content:
    """Name the pH of the full kettle, where wort and sparge have met, and what the liquor held."""
    if not brew.chemistry:
        return content
    content, ph = met(content, lost=brew.inputs["model.co2_lost_stirred"])
    brew.figure("kettle.full.ph", ph)
    liquor_figures(brew)
    return content


def met(content: Content, *, lost: Array) -> tuple[Content, Array]:
    """Strike the balance of wort and the liquor that joined it; return the content at rest and its pH."""
    ph, lost = _struck(content, (), lost=lost, freed_mEq=np.zeros(1))
    rested = _at_rest(content, ph, lost=lost)
    return rested.changed({"~buffer ph": rested["~buffer"] * ph}), ph


def after_boil(brew: Brew, content: Content) -> Content:
    """Name the pH after the boil: carbon dioxide gone, calcium and the boil's own acids at work."""
    if not brew.chemistry:
        return content
    inputs = brew.inputs
    content, ph = met(content, lost=np.ones(1))
    buffer = np.maximum(content["~buffer"], 1e-6)
    fall = boil_ph_fall(
        np.minimum(brew.noted("boil_min"), 1000.0),
        fall=inputs["model.boil_ph_fall"],
        time_constant_min=inputs["model.boil_ph_time"],
    )
    # What came into the kettle after the mash has its whole effect still before it.
    volume = np.maximum(content.volume_L, 1e-6)
    hard = np.minimum(hardness_mEq(content), inputs["model.calcium_ceiling"] * volume)
    new = np.minimum(brew.noted("kettle_hardness_mEq"), hard)
    by_hardness = [
        calcium_ph_fall(amount, release=inputs[release], buffering_mEq=buffer)
        for amount, release in ((hard, "model.calcium_release_boil"), (new, "model.calcium_release"))
    ]
    fall = fall + np.minimum(sum(by_hardness), 0.5)
    ph = np.clip(ph - np.where(content["~buffer"] > 1e-3, fall, 0.0), LOWEST_PH, HIGHEST_PH)
    brew.figure("kettle.end.ph", ph)
    content = _at_rest(content, ph, lost=np.zeros(1))
    calcium = np.minimum(CHARGE["calcium"] * content["~calcium"] / volume, MOST_MEQ_L)
    left = calcium_left_mEq_L(
        calcium,
        np.minimum(calcium, inputs["model.calcium_ceiling"])
        * np.minimum(inputs["model.calcium_release"] + inputs["model.calcium_release_boil"], 1.0),
        acid_per_calcium=inputs["model.acid_per_calcium"],
    )
    return content.changed({"~buffer ph": content["~buffer"] * ph, "~calcium": left * volume / CHARGE["calcium"]})


def fermented(brew: Brew, content: Content, *, taken_kg: Array, malt_kg: Array, hops_g_L: Array, lager: bool) -> None:
    """Name the pH of the beer, and what its minerals are; `content` is the wort as the yeast found it."""
    if not brew.chemistry:
        return
    inputs = brew.inputs
    volume = np.maximum(content.volume_L, 1e-6)
    extract_g_L = np.minimum(1000.0 * malt_kg / volume, 1999.0)
    ph = beer_ph(
        met(content, lost=np.ones(1))[1],
        fermented_extract_g_L=np.minimum(1000.0 * taken_kg / volume, 1999.0),
        malt_extract_g_L=extract_g_L,
        acidification=inputs["model.lager_acidification" if lager else "model.acidification"],
        floor_ph=inputs["model.floor_ph"],
    )
    if hops_g_L.any():
        ph = ph + dry_hop_ph_rise(np.minimum(hops_g_L, MOST_HOPS_G_L)) * inputs["model.dry_hop_ph"]
    brew.figure("glass.ph", np.minimum(ph, HIGHEST_PH))
    brew.note("malt_g_L", extract_g_L)


def beer_figures(brew: Brew, content: Content, beer_L: Array) -> None:
    """Name what the beer holds of the ions that are tasted: the liquor's, the salts' and the malt's."""
    if not brew.chemistry:
        return
    for ion in _SHOWN:
        from_malt = malt_mineral_mg_L(ion, brew.noted("malt_g_L"), lot_factor=brew.inputs[f"model.malt_{ion}"])
        brew.figure(f"glass.{ion}", content[f"~{ion}"] * MOLAR_MASS[ion] / beer_L + from_malt)


def liquor_figures(brew: Brew) -> None:
    """Name what the liquor holds: all water before the boil, with its salts and acids."""
    if not brew.chemistry:
        return
    volume = np.maximum(brew.noted("water_used_L"), 1e-6)
    held = {row: np.maximum(brew.noted(f"liquor.{row[1:]}") / volume, 0.0) for row in MINERALS}
    for ion in _SHOWN:
        brew.figure(f"water.{ion}", held[f"~{ion}"] * MOLAR_MASS[ion])
    alkalinity = brew.noted("liquor.alkalinity") / volume
    for anion, kept in _KEPT.items():
        alkalinity = alkalinity + kept * held[anion]
    alkalinity = np.clip(alkalinity, -MOST_MEQ_L, MOST_MEQ_L)
    brew.figure("water.alkalinity", alkalinity)
    brew.figure("water.bicarbonate", np.maximum(alkalinity, 0.0) * MOLAR_MASS["bicarbonate"])
    hard = {ion: np.minimum(CHARGE[ion] * held[f"~{ion}"], MOST_MEQ_L) for ion in _HARD}
    brew.figure(
        "water.residual_alkalinity",
        residual_alkalinity(alkalinity, calcium_mEq_L=hard["calcium"], magnesium_mEq_L=hard["magnesium"]),
    )
