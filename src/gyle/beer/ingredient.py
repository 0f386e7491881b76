"""What a beer is made of: fermentables, hops and yeast, each figure with its spread."""

from __future__ import annotations

import attrs

from gyle.beer.estimate import Estimate

__all__ = ["Fermentable", "Hop", "Yeast"]


@attrs.frozen(kw_only=True)
class Fermentable:
    """A malt, grain, sugar or extract.

    `extract_fraction` is fine-grind extract by mass of dry matter; `fermentable_fraction` the share of that
    extract which ordinary ale yeast consumes (for malts: after 60 min at 66 °C with enzyme in excess).
    `distilled_ph` is that of a mash in distilled water, read cool; `buffering_mEq_kg` the acid that lowers the
    pH of a kilogram as it is by one [mEq/(kg pH)].
    """

    name: str
    group: str  # "base malt", "special malt", "crystal malt", "roast", "unmalted grain", "sugar", "no extract"
    use: str  # "mash", "mash or steep", "kettle", "kettle or fermenter", "cook, then mash"
    extract_fraction: Estimate
    moisture_fraction: Estimate
    colour_ebc: Estimate
    fermentable_fraction: Estimate
    distilled_ph: Estimate
    buffering_mEq_kg: Estimate
    diastatic_lintner: float
    monosaccharide: bool  # glucose or fructose: less alcohol per gram than a disaccharide
    allergen: str = ""  # "gluten", "milk" ...
    lactic_fraction: float | None = None  # stated of an acid malt: lactic acid it titrates like, by mass
    note: str = ""
    provenance: str = ""

    @property
    def mashed(self) -> bool:
        """Whether it belongs in the mash by default."""
        return "mash" in self.use


@attrs.frozen(kw_only=True)
class Hop:
    """A variety as it lies in the table; a recipe line or a lot overrides its alpha."""

    name: str
    use: str
    alpha_fraction: Estimate  # mass fraction of alpha acids
    oil_mL_100g: float | None
    lost_6_months_pct: float  # alpha lost in six months at 20 °C, open
    descriptors: tuple[str, ...] = ()
    provenance: str = ""


@attrs.frozen(kw_only=True)
class Yeast:
    """A generic class of yeast (table of classes), or one the author describes."""

    name: str
    maltotriose_use: Estimate
    dextrin_use: Estimate
    attenuation_fraction: Estimate  # apparent, as practised; proofreading only, unless an author states it
    temperature_usual_C: tuple[float, float]
    temperature_limits_C: tuple[float, float, float]  # least, optimum, greatest for growth
    alcohol_stop_abv_pct: Estimate
    pitch_M_mL_P: tuple[float, float, float]  # low, usual, high
    hours_to_half: Estimate  # log spread
    hours_10_to_90: Estimate  # log spread
    reference_temperature_C: float
    flocculation: str
    diastatic: bool
    diacetyl_rest: str = ""
    note: str = ""
    provenance: str = ""
