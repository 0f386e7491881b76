"""The inputs of a brew in words: what a figure's spread comes from, as a brewer would say it."""

from __future__ import annotations

__all__ = ["input_words"]

_BREWHOUSE = {
    "ambient": "warmth of the room",
    "tap_water": "warmth of the tap water",
    "retention": "wort the grain holds back",
    "sparge_bypass": "sparge that runs past the grain",
    "conversion": "how much of the grist dissolves",
    "thermometer": "how far the mash thermometer is off",
    "mash_dead": "wort under the false bottom",
    "mash_loss": "heat the mash vessel loses",
    "mash_heat_capacity": "heat the mash vessel takes up",
    "heat_efficiency": "heat that reaches the wort",
    "kettle_loss": "heat the kettle loses",
    "kettle_heat_capacity": "heat the kettle takes up",
    "boil_off": "boil-off",
    "left_behind": "wort left in the kettle",
    "trub": "wort left with the trub",
    "hop_held": "wort the hops hold back",
    "chill_minutes": "time the chill takes",
    "stand_chill_rate": "how fast it cools to the stand",
    "chill_water": "warmth of the chilling water",
    "fermenter_left_behind": "beer left in the fermenter",
    "dry_hop_held": "beer the dry hops hold back",
    "hop_survival_hot": "bitterness that survives the hot side",
    "hop_survival_ferment": "bitterness that survives fermentation",
    "isomerisation": "pace of isomerisation on this brewhouse",
    "hop_utilisation": "hop use on this brewhouse",
    "colour_factor": "colour picked up on this brewhouse",
    "power": "power of the heat",
}
_LOT = {
    "extract": "extract of the {lot}",
    "moisture": "moisture of the {lot}",
    "colour": "colour of the {lot}",
    "fermentable": "fermentable part of the {lot}",
    "distilled_ph": "own pH of the {lot}",
    "buffering": "buffering of the {lot}",
    "alpha": "alpha acids of the {lot}",
    "maltotriose": "maltotriose the {lot} takes",
    "dextrin": "dextrin the {lot} takes",
    "alcohol_stop": "alcohol at which the {lot} stops",
}
_MODEL = {
    "conversion_floor": "least fermentable part of a mash",
    "conversion_ceiling": "most fermentable part of a mash",
    "beta_scale": "strength of beta-amylase",
    "alpha_scale": "strength of alpha-amylase",
    "beta_decay": "how fast beta-amylase dies",
    "beta_activation": "what heat does to beta-amylase",
    "alpha_activation": "what heat does to alpha-amylase",
    "wetting_rate": "how fast the grist wets",
    "malt_fermentability": "fermentability from malt to malt",
    "grain_heat": "heat capacity of the malt",
    "hydration_heat": "heat of wetting the malt",
    "grain_swelling_L_kg": "room the grain takes",
    "dough_in_minutes": "time to stir in",
    "drain_minutes": "time to drain",
    "sparge_minutes_L": "time to sparge",
    "k_iso": "pace of isomerisation",
    "iso_activation": "what heat does to isomerisation",
    "k_degradation": "pace at which iso-alpha acids are lost",
    "other_bitter_matter": "bitter matter beside iso-alpha acids",
    "hop_loss": "what the hop equations leave out",
    "humulinones": "humulinones of the hops",
    "iso_adsorbed": "iso-alpha acids that dry hops take up",
    "hop_vessel_extraction": "what a hop vessel draws out",
    "creep_g_L": "dextrin that dry hops make fermentable",
    "weather_Pa": "air pressure of the day",
    "yeast_growth": "extract the yeast grows on",
    "fermentability_fermented": "how far this fermentation goes",
    "strong_wort": "how far a strong wort ferments",
    "tabarie": "reckoning gravity from alcohol and extract",
    "extraction_in_colour": "extraction behind the colour curve",
    "colour": "the colour curve",
    "co2_solubility": "how much carbon dioxide beer holds",
    "extract_weight_co2": "what extract does to carbon dioxide",
    "energy": "the equation for energy",
    "gauge_bar": "error of the regulator's gauge",
    "beer_temperature_K": "warmth of the cold store",
    "mash_ph": "what the balance of pH leaves out, and the meter",
    "co2_lost_still": "carbon dioxide a still mash loses",
    "co2_lost_stirred": "carbon dioxide a stirred mash loses",
    "calcium_release": "acid that calcium frees in the mash",
    "calcium_ceiling": "calcium beyond which no more acid is freed",
    "calcium_release_boil": "acid that calcium frees after the mash",
    "acid_per_calcium": "calcium lost for the acid it frees",
    "lime_works": "how much of the lime works in the mash",
    "chalk_works": "how much of the chalk dissolves in the mash",
    "sparge_alkalinity": "alkalinity of the sparge that passes the grain",
    "ph_slope": "what warmth does to pH",
    "wort_buffering": "buffering of the wort",
    "boil_ph_fall": "fall of pH in the boil",
    "boil_ph_time": "time the boil takes to lower pH",
    "acidification": "acid the yeast gives off",
    "lager_acidification": "acid the yeast gives off",
    "floor_ph": "the lowest pH yeast brings about",
    "dry_hop_ph": "what dry hops do to pH",
    "malt_calcium": "calcium from the malt",
    "malt_magnesium": "magnesium from the malt",
    "malt_sodium": "sodium from the malt",
    "malt_sulfate": "sulfate from the malt",
    "malt_chloride": "chloride from the malt",
}

_EVENT = {"stuck": "a fermentation that stops early"}


def input_words(name: str) -> str:
    """Return what an input is called; a name without words of its own is spelled out.

    Examples
    --------
    >>> input_words("brewhouse.boil_off")
    'boil-off'
    >>> input_words("lot.pale-ale-malt.extract")
    'extract of the pale ale malt'
    """
    room, *rest = name.split(".")
    if room == "water" and len(rest) == 1:
        return f"{'pH' if rest[0] == 'ph' else rest[0]} of the water"
    if room == "mineral" and rest[1:] == ["strength"]:
        return f"strength of the {rest[0].replace('-', ' ')}"
    known = {"brewhouse": _BREWHOUSE, "model": _MODEL, "event": _EVENT}.get(room, {})
    if room == "lot" and len(rest) == 2 and rest[1] in _LOT:
        return _LOT[rest[1]].format(lot=rest[0].replace("-", " "))
    return known.get(".".join(rest), name.replace("_", " ").replace(".", ", "))
