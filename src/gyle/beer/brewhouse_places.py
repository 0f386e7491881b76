"""Every place of a brewhouse's file where a figure may be stated: its address, its words, what it means.

In the order of the stations, as a page or a sheet shows them. `brewhouse_reading` knows how each is read;
here stands what a person is told of it.
"""

from __future__ import annotations

from typing import NamedTuple

import attrs

from gyle.beer.brewhouse import KINDS
from gyle.beer.brewhouse_reading import CHILLS, DRAINS, FIGURE_KEYS, HEATS, SPARGES, FigureKey
from gyle.quantities import unit_for

__all__ = ["CHILL_WORDS", "KIND_WORDS", "PLACES", "STATIONS", "Choice", "Place", "place_at"]

STATIONS = ("whole", "mash", "kettle", "chill", "fermenter", "keg", "habit", "learned")


class Choice(NamedTuple):
    """One answer to choose: what the file says, and what a person reads."""

    value: str
    words: str


KIND_WORDS = {
    "electric all-in-one": "one electric vessel: mashed in a basket, boiled in the same place",
    "bag in pot": "a pot with the grain in a bag",
    "mash tun and kettle": "a mash tun with a kettle beside it",
    "unstated": "something else, or not known yet",
}
_DRAIN_WORDS = {
    "gravity basket": "a basket, lifted and left to drip",
    "hung bag": "a bag, hung to drip",
    "squeezed bag": "a bag, pressed",
    "lauter tun": "a tun with a false bottom, drained from below",
}
_SPARGE_WORDS = {
    "hand": "poured over by hand",
    "none": "no sparge",
    "continuous": "poured on as the wort runs off",
    "batch": "a second filling, stirred and drained",
}
_HEAT_WORDS = {"electric": "an element in the wort", "gas": "a gas burner", "induction": "an induction plate"}
CHILL_WORDS = {
    "counterflow": "a counterflow or plate chiller on the way out",
    "immersion": "a coil in the kettle",
    "none": "left to cool in its own time",
}
_FLAG_WORDS = {"true": "yes", "false": "no"}


@attrs.frozen(kw_only=True)
class Place:
    """Where one figure of a brewhouse stands.

    `kind` is a kind of `gyle.quantities`, or "number" (in `unit`), "count", "choice", "flag" or "text".
    """

    address: str  # "kettle.boil_off", "chill.stand.rate", "altitude"
    station: str
    words: str
    meaning: str
    kind: str
    field: str = ""  # of `Brewhouse`; "" where it keeps the figure elsewhere
    unit: str = ""
    choices: tuple[Choice, ...] = ()
    figure: FigureKey | None = None  # set where a spread may be stated

    @property
    def path(self) -> tuple[str, ...]:
        """The way to it from the top of the file."""
        return tuple(self.address.split("."))

    @property
    def measured(self) -> bool:
        """Whether it is a quantity of a kind with units."""
        return self.kind not in ("number", "count", "choice", "flag", "text")

    @property
    def spread_kind(self) -> str:
        """The kind of its spread: degrees of difference, which have no zero of their own, for a temperature."""
        return "temperature_difference" if self.kind == "temperature" else self.kind

    def shown_unit(self, system: str, *, spread: bool = False) -> str:
        """Return the unit in which it is shown to a person, and which a bare number of theirs takes."""
        if self.kind == "time":
            return "min"  # as the file has it; a chill is compared in minutes
        if not self.measured:
            return self.unit
        unit = unit_for(self.spread_kind if spread else self.kind, system)
        return "" if unit == "SG" else unit


_FIGURES = {f"{key.table}.{key.key}".lstrip("."): key for key in FIGURE_KEYS}


def _choices(words: dict[str, str], values: tuple[str, ...]) -> tuple[Choice, ...]:
    return tuple(Choice(value, words[value]) for value in values)


def _figure(address: str, words: str, meaning: str) -> Place:
    key = _FIGURES[address]
    return Place(
        address=address,
        station=address.partition(".")[0] if "." in address else "whole",
        words=words,
        meaning=meaning,
        kind=key.kind or "number",
        field=key.field,
        unit=key.unit,
        figure=key,
    )


def _plain(
    address: str,
    words: str,
    meaning: str,
    kind: str,
    field: str = "",
    choices: tuple[Choice, ...] = (),
) -> Place:
    station = address.partition(".")[0] if "." in address else "whole"
    return Place(
        address=address, station=station, words=words, meaning=meaning, kind=kind, field=field, choices=choices
    )


_YES_NO = _choices(_FLAG_WORDS, ("true", "false"))
_CHILL = _choices(CHILL_WORDS, CHILLS)

PLACES = (
    _plain("name", "name", "what you call it", "text", "name"),
    _plain(
        "kind",
        "kind of system",
        "decides every figure you do not state",
        "choice",
        "kind",
        _choices(KIND_WORDS, KINDS),
    ),
    _plain("water", "its water", "what comes from its tap, by the name of a report in the books", "text", "water_name"),
    _plain("altitude", "height above the sea", "the higher, the cooler the boil", "length", "altitude_m"),
    _figure("ambient", "warmth of the room", "what grain, vessels and covered wort cool towards"),
    _figure("tap_water", "warmth of the tap water", "what is heated for the mash, and chills unless said otherwise"),
    _plain("mash.vessel", "mash vessel, to the brim", "what it holds when full to the edge", "volume", "mash_vessel_L"),
    _plain("mash.grain_limit", "most grain", "what basket, bag or back can take", "mass", "grain_limit_kg"),
    _plain(
        "mash.drain", "how the grain drains", "decides what it holds back", "choice", "drain",
        _choices(_DRAIN_WORDS, DRAINS),
    ),
    _plain(
        "mash.sparge", "how you sparge", "decides how well the grain is washed", "choice", "sparge",
        _choices(_SPARGE_WORDS, SPARGES),
    ),
    _plain("mash.heated", "heat holds the mash", "else it cools as it stands", "flag", "mash_heated", _YES_NO),
    _plain("mash.recirculated", "wort is pumped through the mash", "a still bed wets more slowly", "flag",
           "recirculated", _YES_NO),
    _plain("mash.thickness", "usual liquor for the grain", "where a recipe says nothing", "thickness",
           "thickness_L_kg"),
    _figure("mash.retention", "liquor the grain holds back", "for each kilogram of grist, when it has drained"),
    _figure("mash.bypass", "sparge that runs past the grain", "down the wall or through channels, washing nothing"),
    _plain("mash.tanks", "stirred parts a sparge is like", "1 for a jug by hand, more for a slow even sparge", "count",
           "sparge_tanks"),
    _figure("mash.conversion", "how much of the grist dissolves", "once all starch is reached; the crush decides"),
    _figure("mash.thermometer", "how far the mash thermometer is off", "how much hotter the mash is than it shows"),
    _figure("mash.dead", "wort under the false bottom", "what never drains"),
    _figure("mash.loss", "heat the mash vessel loses", "for each degree above the room"),
    _figure("mash.heat_capacity", "heat the mash vessel takes up", "to warm by one degree"),
    _plain("kettle.vessel", "kettle, to the brim", "what it holds when full to the edge", "volume",
           "kettle_vessel_L"),
    _plain("kettle.heat", "what heats it", "decides how much of the power reaches the wort", "choice", "heat",
           _choices(_HEAT_WORDS, HEATS)),
    _figure("kettle.power", "power of the heat", "at full power, as the plate on it says"),
    _figure("kettle.efficiency", "power that reaches the wort", "the rest warms the room"),
    _figure("kettle.boil_off", "boil-off", "water an hour of your usual boil drives away"),
    _figure("kettle.left_behind", "wort left in the kettle", "below the tap or the pump, at 20 °C"),
    _figure("kettle.trub", "wort left with the trub", "without what hops hold"),
    _figure("kettle.hops_hold", "wort the kettle hops hold back", "for each gram"),
    _figure("kettle.loss", "heat the kettle loses", "for each degree above the room"),
    _figure("kettle.heat_capacity", "heat the kettle takes up", "to warm by one degree"),
    _plain("chill.by", "how you chill", "decides how long hops stay in hot wort", "choice", "chill_by", _CHILL),
    _plain("chill.to", "chilled to", "where the recipe names no warmth to pitch at", "temperature", "chill_to_C"),
    _figure("chill.minutes", "time the chill takes", "from the end of the boil to pitching warmth"),
    _figure("chill.water", "warmth of the chilling water", "the tap water's where nothing is said"),
    _plain("chill.stand.by", "how you cool to a stand", "another chiller may be used on the way there", "choice",
           "stand_chill_by", _CHILL),
    _figure("chill.stand.rate", "how fast it cools to the stand", "share of the way to the cooling water, a minute"),
    _plain("fermenter.vessel", "fermenter, to the brim", "what it holds when full to the edge", "volume",
           "fermenter_vessel_L"),
    _figure("fermenter.left_behind", "beer left in the fermenter", "with the yeast, below where you draw off"),
    _figure("fermenter.hops_hold", "beer the dry hops hold back", "for each gram"),
    _plain("keg.vessel", "keg, to the brim", "what you fill", "volume", "keg_vessel_L"),
    _plain("habit.brewhouse_efficiency", "brewhouse efficiency", "what you usually reach, in place of single losses",
           "percent"),
    _plain("habit.gravity", "at a gravity of", "of the beer in which you reach it", "gravity"),
    _plain("habit.volume", "in a volume of", "of that beer, into the fermenter", "volume"),
    _figure("learned.hop_survival_hot", "bitterness that survives the hot side", "trub and hop matter take the rest"),
    _figure("learned.hop_survival_ferment", "bitterness that survives fermentation", "yeast and foam take the rest"),
    _figure("learned.isomerisation", "pace of isomerisation here", "a factor; 1 is as measured in a laboratory"),
    _figure("learned.hop_utilisation", "hop use here", "a factor for whatever the hop model leaves out"),
    _figure("learned.colour", "colour picked up here", "a factor on the colour of the beer"),
)  # fmt: skip

_BY_ADDRESS = {place.address: place for place in PLACES}


def place_at(address: str) -> Place | None:
    """Return the place of an address, None if a brewhouse has no such figure."""
    return _BY_ADDRESS.get(address)
