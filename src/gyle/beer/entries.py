"""From a row of a table to a fermentable, hop or yeast class, and what is assumed of one outside the tables.

A table's low and high values are read as the 10th and 90th percentiles of the lots a brewer may buy.
"""

from __future__ import annotations

from collections.abc import Mapping

import attrs
import numpy as np

from gyle.beer.estimate import Estimate
from gyle.beer.ingredient import Fermentable, Hop, Yeast

__all__ = [
    "ACID_MALT",
    "BAND_WIDTH",
    "BUFFERING_LIMIT_MEQ_KG",
    "PH_LIMITS",
    "buffering_estimate",
    "fermentable_entry",
    "hop_entry",
    "own_fermentable",
    "own_hop",
    "own_yeast",
    "ph_estimate",
    "unsure_dextrose",
    "yeast_entry",
]

BAND_WIDTH = 2.5631  # standard deviations between the 10th and the 90th percentile of a normal
_TABLE = "table"
_SINGLE_SUGARS = ("dextrose", "fructose", "invert", "honey")
_NO_GLUTEN = ("maize", "rice", "starch")
ALPHA_LIMIT = 0.30  # no hop holds more alpha acid by mass
PH_LIMITS = (3.0, 8.0)  # of a mash of one malt or grain in distilled water
BUFFERING_LIMIT_MEQ_KG = 500.0  # mEq/(kg pH); acid malt, by far the strongest, has 155


def _band(row: Mapping[str, str], low: str, centre: str, high: str, *, scale: float = 1.0) -> Estimate:
    spread = (float(row[high]) - float(row[low])) / BAND_WIDTH
    middle = float(row[centre])
    return Estimate(centre=middle * scale, spread=spread * scale, low=0.0, source=_TABLE)


def _share(row: Mapping[str, str], centre: str, spread: str, *, scale: float = 0.01, high: float = 1.0) -> Estimate:
    return Estimate(
        centre=float(row[centre]) * scale,
        spread=float(row[spread]) * scale,
        low=0.0,
        high=high,
        source=_TABLE,
    )


def _allergen(name: str, group: str) -> str:
    if "lactose" in name:
        return "milk"
    if group == "no extract" or any(word in name for word in _NO_GLUTEN):
        return ""
    return "" if group == "sugar" and "malt" not in name.replace("maltodextrin", "") else "gluten"


def ph_estimate(ph: float, spread: float, source: str) -> Estimate:
    """Return a belief about the pH of a malt in distilled water, within what it can be."""
    low, high = PH_LIMITS
    return Estimate(centre=ph, spread=spread, low=low, high=high, source=source)


def buffering_estimate(buffering_mEq_kg: float, spread: float, source: str) -> Estimate:
    """Return a belief about the buffering of a malt [mEq/(kg pH)], within what it can be."""
    return Estimate(centre=buffering_mEq_kg, spread=spread, low=0.0, high=BUFFERING_LIMIT_MEQ_KG, source=source)


def fermentable_entry(row: Mapping[str, str]) -> Fermentable:
    """Return the fermentable a row describes."""
    name, group = row["name"], row["group"]
    return Fermentable(
        name=name,
        group=group,
        use=row["use"],
        extract_fraction=_share(row, "extract_fgdb_pct", "extract_sd", high=1.06),
        moisture_fraction=_share(row, "moisture_pct", "moisture_sd", high=0.6),
        colour_ebc=_band(row, "colour_ebc_low", "colour_ebc", "colour_ebc_high"),
        fermentable_fraction=_share(row, "fermentable_fraction", "fermentable_fraction_sd", scale=1.0),
        distilled_ph=ph_estimate(float(row["distilled_ph"]), float(row["distilled_ph_sd"]), _TABLE),
        buffering_mEq_kg=buffering_estimate(float(row["buffering_mEq_kg"]), float(row["buffering_sd_mEq_kg"]), _TABLE),
        diastatic_lintner=float(row["diastatic_lintner"]),
        monosaccharide=name.startswith(_SINGLE_SUGARS),
        allergen=_allergen(name, group),
        note=row["note"],
        provenance=row["provenance"],
    )


ACID_MALT = "acid malt"


def unsure_dextrose(row: Mapping[str, str]) -> Fermentable:
    """Return dextrose monohydrate that may be anhydrous: 9 % of its extract is in the band."""
    sure = fermentable_entry(row)
    moisture = attrs.evolve(sure.moisture_fraction, spread=0.18 / BAND_WIDTH, high=0.2)
    return attrs.evolve(sure, moisture_fraction=moisture)


def hop_entry(row: Mapping[str, str]) -> Hop:
    """Return the hop variety a row describes."""
    low, high = float(row["alpha_lo_pct"]), float(row["alpha_hi_pct"])
    left = (float(row["alpha_left_6mo_20C_lo_pct"]) + float(row["alpha_left_6mo_20C_hi_pct"])) / 2.0
    return Hop(
        name=row["variety"],
        use=row["use"],
        alpha_fraction=Estimate(
            centre=float(row["alpha_typ_pct"]) / 100.0,
            spread=(high - low) / 100.0 / BAND_WIDTH,
            low=0.0,
            high=ALPHA_LIMIT,
            source=_TABLE,
        ),
        oil_mL_100g=float(row["oil_typ_mL_100g"]) if row["oil_typ_mL_100g"] else None,
        lost_6_months_pct=100.0 - left,
        descriptors=tuple(word.strip() for word in row["descriptors"].split(";") if word.strip()),
        provenance=row["provenance"],
    )


def yeast_entry(row: Mapping[str, str]) -> Yeast:
    """Return the yeast class a row describes."""

    def log_hours(centre: str, spread: str) -> Estimate:
        return Estimate(centre=float(row[centre]), spread=float(row[spread]), low=0.1, log=True, source=_TABLE)

    return Yeast(
        name=row["name"],
        maltotriose_use=_share(row, "maltotriose_use", "maltotriose_use_sd", scale=1.0),
        dextrin_use=_share(row, "dextrin_use", "dextrin_use_sd", scale=1.0),
        attenuation_fraction=_share(row, "attenuation_practice_pct", "attenuation_sd_pct"),
        temperature_usual_C=(float(row["temperature_usual_low_C"]), float(row["temperature_usual_high_C"])),
        temperature_limits_C=(
            float(row["temperature_min_C"]),
            float(row["temperature_opt_C"]),
            float(row["temperature_max_C"]),
        ),
        alcohol_stop_abv_pct=Estimate(
            centre=float(row["alcohol_stop_pct_abv"]),
            spread=float(row["alcohol_stop_sd"]),
            low=4.0,
            high=25.0,
            source=_TABLE,
        ),
        pitch_M_mL_P=(float(row["pitch_low"]), float(row["pitch"]), float(row["pitch_high"])),
        hours_to_half=log_hours("t50_h", "t50_log_sd"),
        hours_10_to_90=log_hours("t10_90_h", "t10_90_log_sd"),
        reference_temperature_C=float(row["reference_temperature_C"]),
        flocculation=row["flocculation"],
        diastatic=row["diastatic"] == "yes",
        diacetyl_rest=row["diacetyl_rest"],
        note=row["note"],
        provenance=row["provenance"],
    )


_OURS = "assumed; the table does not know it"


# Acidity of a malt of which only the colour is known; colour alone misleads, hence the spread. Provenance: ours.
_COLOURS_EBC = (4.0, 15.0, 25.0, 100.0, 320.0, 800.0)
_PH_BY_COLOUR = (5.75, 5.50, 5.42, 5.05, 4.70, 4.65)
_OWN_PH_SPREAD = 0.25


def own_fermentable(name: str, extract_fraction: Estimate, colour_ebc: Estimate, *, mashed: bool) -> Fermentable:
    """Return a fermentable the table does not know, from its author's extract and colour."""
    return Fermentable(
        name=name,
        group="special malt" if mashed else "sugar",
        use="mash" if mashed else "kettle",
        extract_fraction=extract_fraction,
        moisture_fraction=Estimate(centre=0.045, spread=0.015, low=0.0, high=0.6, source=_OURS),
        colour_ebc=colour_ebc,
        fermentable_fraction=Estimate(
            centre=0.62 if mashed else 0.85,
            spread=0.06 if mashed else 0.12,
            low=0.0,
            high=1.0,
            source=_OURS,
        ),
        distilled_ph=ph_estimate(
            float(np.interp(colour_ebc.centre, _COLOURS_EBC, _PH_BY_COLOUR)) if mashed else 7.0,
            _OWN_PH_SPREAD if mashed else 0.0,
            _OURS,
        ),
        buffering_mEq_kg=buffering_estimate(45.0 if mashed else 0.0, 13.0 if mashed else 0.0, _OURS),
        diastatic_lintner=0.0,
        monosaccharide=False,
        provenance="the recipe's author",
    )


def own_hop(name: str, alpha_fraction: Estimate) -> Hop:
    """Return a hop the table does not know, from its author's alpha."""
    return Hop(
        name=name,
        use="dual",
        alpha_fraction=alpha_fraction,
        oil_mL_100g=None,
        lost_6_months_pct=35.0,
        provenance="the recipe's author",
    )


def own_yeast(name: str, attenuation: Estimate, reference: Yeast) -> Yeast:
    """Return a yeast the table does not know, as wide as the classes differ.

    `reference` is the class whose temperatures and rates stand in, with spreads doubled.
    """

    def wide(estimate: Estimate) -> Estimate:
        return attrs.evolve(estimate, spread=2.0 * estimate.spread, source=_OURS)

    return attrs.evolve(
        reference,
        name=name,
        maltotriose_use=attrs.evolve(reference.maltotriose_use, centre=0.8, spread=0.2, source=_OURS),
        dextrin_use=attrs.evolve(reference.dextrin_use, spread=0.05, source=_OURS),
        attenuation_fraction=attenuation,
        alcohol_stop_abv_pct=wide(reference.alcohol_stop_abv_pct),
        hours_to_half=wide(reference.hours_to_half),
        hours_10_to_90=wide(reference.hours_10_to_90),
        flocculation="medium",
        diacetyl_rest="",
        note="",
        provenance="the recipe's author; all else assumed",
    )
