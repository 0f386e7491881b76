"""The beer as intended: what goes in, what is done, and what makes it this beer.

Amounts are kept the way their author stated them: mass, share, rate, or an aim to be met. What is not
stated is `None` and is solved for on a brewhouse.
"""

from __future__ import annotations

import attrs

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.estimate import Estimate
from gyle.beer.ingredient import Fermentable, Hop, Yeast
from gyle.beer.mineral import Mineral
from gyle.beer.timing import Timing

__all__ = [
    "Aim",
    "FermentationStep",
    "GristLine",
    "HopLine",
    "OtherLine",
    "Packaging",
    "Recipe",
    "Rest",
    "Sparge",
    "YeastLine",
]


@attrs.frozen(kw_only=True)
class Aim:
    """The value a recipe wants for a figure, and how finely it was printed (both in the figure's unit)."""

    figure: str
    value: float
    half_digit: float = 0.0
    text: str = ""


@attrs.frozen(kw_only=True)
class GristLine:
    """One malt, grain or sugar. Exactly one of `mass_kg` and `share` is set, or neither if it is solved."""

    what: str
    ingredient: Fermentable
    at: Timing
    mass_kg: float | None = None
    share: float | None = None
    half_digit: float = 0.0  # of mass (kg) or share, from the printed digits


@attrs.frozen(kw_only=True)
class Rest:
    """One mash rest."""

    temperature_C: float
    minutes: float
    by: str = "heat"  # "heat", "infusion", "decoction"
    mash: int = 1
    liquor_L: float | None = None
    thickness_L_kg: float | None = None
    liquor_from: str | None = None  # "mash 1": the second mash's liquor is the first wort


@attrs.frozen(kw_only=True)
class Sparge:
    """What the author says of the sparge."""

    volume_L: float | None = None
    temperature_C: float | None = None
    squeeze: bool = False  # press the drained grain


@attrs.frozen(kw_only=True)
class HopLine:
    """One hop addition. At most one of `mass_kg`, `rate_g_L`, `bitterness_ibu` is set; none: solved."""

    what: str
    hop: Hop
    alpha_fraction: Estimate  # of this line's lot, at brewing
    at: Timing
    form: str = "pellets"  # or "whole", "wet"
    mass_kg: float | None = None
    rate_g_L: float | None = None  # per litre into the fermenter
    bitterness_ibu: float | None = None
    half_digit: float = 0.0
    vessel: str = "kettle"  # or "hop vessel"


@attrs.frozen(kw_only=True)
class OtherLine:
    """Whatever else goes in: water, salts, acids, fruit, spice, finings, nutrient."""

    what: str
    at: Timing
    mass_kg: float | None = None
    volume_L: float | None = None
    count: float | None = None
    rate_g_L: float | None = None
    extract_fraction: float = 0.0
    water_fraction: float = 0.0
    strength_pct: float | None = None
    allergen: str = ""
    mineral: Mineral | None = None  # what it is to the water, if it is a salt, acid or base


@attrs.frozen(kw_only=True)
class YeastLine:
    """A yeast and how much of it."""

    what: str
    yeast: Yeast
    pitch_M_mL_P: float | None = None
    packs: float | None = None
    mass_kg: float | None = None
    cells: float | None = None
    attenuation: float | None = None  # an author's apparent attenuation, fraction


@attrs.frozen(kw_only=True)
class FermentationStep:
    """One stretch of fermentation at a temperature."""

    temperature_C: float
    days: float | None = None
    stable_days: float | None = None
    from_points_above_final: float | None = None
    ramp_hours: float | None = None
    pressure_bar: float | None = None


@attrs.frozen(kw_only=True)
class Packaging:
    """How the beer is carbonated and what it goes into."""

    carbonation_vol: float | None = None
    pressure_bar: float | None = None
    temperature_C: float | None = None
    by: str = "force"  # "force", "priming", "closed early"
    into: tuple[tuple[str, float], ...] = ()  # (("keg", 19.0), ("bottle", 0.5))


@attrs.frozen(kw_only=True)
class Recipe:
    """One version of a beer."""

    name: str
    grist: tuple[GristLine, ...]
    rests: tuple[Rest, ...] = ()
    boil_minutes: float = 60.0
    held_back_L: float | None = None  # wort kept aside until the boil has made room
    gyles: int = 1  # the volume is brewed in so many equal gyles, blended in the fermenter
    hops: tuple[HopLine, ...] = ()
    others: tuple[OtherLine, ...] = ()
    yeasts: tuple[YeastLine, ...] = ()
    fermentation: tuple[FermentationStep, ...] = ()
    package: Packaging = attrs.field(factory=Packaging)
    sparge: Sparge = attrs.field(factory=Sparge)
    volume_L: float | None = None
    volume_half_digit: float = 0.0
    into: str = "fermenter"  # or "keg": what `volume_L` counts
    aims: tuple[Aim, ...] = ()
    bitterness_by: str = "tinseth"
    printed: tuple[Aim, ...] = ()
    wanted_ions_mg_L: tuple[tuple[str, float], ...] = ()
    wanted_ranges_mg_L: tuple[tuple[str, float, float], ...] = ()  # an open side is infinite; no ion in both
    sulfate_to_chloride: tuple[float, float] | None = None  # by mass; an open side is 0 or infinite
    dilution_share: float | None = None  # of all liquor: reverse osmosis water in the place of the tap's
    for_brewhouse: Brewhouse | None = None  # None: an unstated brewhouse of widest spreads
    prose: str = ""  # the author's notes
    notes: tuple[str, ...] = ()  # what reading found worth saying (defaults taken, aliases, pairs that disagree)

    def aim(self, figure: str) -> Aim | None:
        """The aim for a figure, if the recipe has one."""
        return next((aim for aim in self.aims if aim.figure == figure), None)
