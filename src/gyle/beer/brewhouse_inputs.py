"""The figures of a brewhouse as a person sees them: value, spread, what differs each time, and where from."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Any

import attrs

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.brewhouse_places import PLACES, Choice, Place
from gyle.beer.estimate import Estimate
from gyle.beer.kinds import traits
from gyle.beer.page import parsed
from gyle.errors import BadInput
from gyle.quantities import convert, read, spoken, write

__all__ = ["BrewhouseInput", "band_of", "brewhouse_inputs", "stated_at"]

# From the middle of a normal to its 10th or 90th percentile.
BAND_END = 1.2815515655446004
STATED_FIGURES = 4  # significant figures that show what a person wrote, in either system
SPREAD_FIGURES = 2
MOST_PLACES = 6
SIZE_FIGURES = 4  # of a vessel in the other system
_GYLES = re.compile(r"\d{1,4} gyles?")


@attrs.frozen(kw_only=True)
class BrewhouseInput:
    """One figure of a brewhouse, as texts in the person's units; "" where there is nothing to say."""

    address: str
    station: str
    words: str
    meaning: str
    value: str
    spread: str  # unknown but the same every time
    each_time: str  # what differs every gyle
    source: str  # in words: "measured, 3 gyles", "of its kind, electric all-in-one", "stated"
    source_text: str  # what the file says under `from`
    kind: str  # of gyle.quantities, or "number", "count", "choice", "flag", "text"
    unit: str  # which a bare number takes
    spread_unit: str
    choices: tuple[Choice, ...]
    stated: bool
    takes_spread: bool

    @property
    def value_words(self) -> str:
        """The value as a sentence says it."""
        return next((choice.words for choice in self.choices if choice.value == self.value), self.value)


def band_of(estimate: Estimate) -> tuple[float, float]:
    """Return the ends of the band that holds 8 of 10, within what the figure can be."""
    reach = BAND_END * math.hypot(estimate.spread, estimate.each_time)
    if estimate.log:
        low, high = estimate.centre * math.exp(-reach), estimate.centre * math.exp(reach)
    else:
        low, high = estimate.centre - reach, estimate.centre + reach
    return max(low, estimate.low), min(high, estimate.high)


def stated_at(data: Mapping[str, Any], place: Place) -> Any:
    """Return what a file says at a place, as parsed; None where it says nothing."""
    found: Any = data
    for step in place.path:
        if not isinstance(found, Mapping) or step not in found:
            return None
        found = found[step]
    return found


def brewhouse_inputs(text: str, house: Brewhouse, system: str | None = None) -> tuple[BrewhouseInput, ...]:
    """Return every figure one may state of a brewhouse, in the order of the stations.

    Parameters
    ----------
    text : str
        The brewhouse's file, which says what is stated.
    house : Brewhouse
        What reading that text gave.
    system : {"metric", "us"}, optional
        The person's units; as this context speaks where left out.

    Raises
    ------
    BadInput
        If the text is no TOML.
    """
    data = parsed(text.removeprefix("\ufeff"), "the brewhouse")
    return tuple(_input(place, stated_at(data, place), house, system or spoken()) for place in PLACES)


def _input(place: Place, stated: Any, house: Brewhouse, system: str) -> BrewhouseInput:
    estimate = getattr(house, place.field) if place.field else None
    spread = each_time = ""
    parts = stated if isinstance(stated, Mapping) else {"value": stated}
    if isinstance(estimate, Estimate):
        # Of an estimate whose errors multiply, the spread is a share; a person reads it in the figure's unit.
        size = abs(estimate.centre) if estimate.log else 1.0
        fine = math.hypot(estimate.spread, estimate.each_time) * size
        value = _number_text(estimate.centre, place, system, said=parts.get("value"), fine=fine)
        spread = _number_text(estimate.spread * size, place, system, said=parts.get("spread"), of="spread")
        each_time = _number_text(estimate.each_time * size, place, system, said=parts.get("each_time"), of="spread")
    else:
        value = _plain_text(_plain_value(place, house), place, system, said=stated)
    said = parts.get("from")
    return BrewhouseInput(
        address=place.address,
        station=place.station,
        words=place.words,
        meaning=place.meaning,
        value=value,
        spread=spread,
        each_time=each_time,
        source=_source(place, stated, house, estimate),
        source_text=said if isinstance(said, str) else "",
        kind=place.kind,
        unit=place.shown_unit(system),
        spread_unit=place.shown_unit(system, spread=True) if place.figure else "",
        choices=place.choices,
        stated=stated is not None,
        takes_spread=place.figure is not None,
    )


def _plain_value(place: Place, house: Brewhouse) -> Any:
    if place.station != "habit":
        return getattr(house, place.field)
    habit = house.habit
    if habit is None:
        return None
    return {
        "habit.brewhouse_efficiency": 100.0 * habit.brewhouse_efficiency,
        "habit.gravity": habit.gravity_sg,
        "habit.volume": habit.volume_L,
    }[place.address]


def _plain_text(value: Any, place: Place, system: str, *, said: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    return value if isinstance(value, str) else _number_text(float(value), place, system, said=said)


def _places_of(number: float, figures: int) -> int:
    """Return the decimals that keep so many significant figures."""
    return min(max(0, figures - 1 - math.floor(math.log10(abs(number)))), MOST_PLACES) if number else 0


def _telling(number: float, places: int) -> int:
    """Return how many of these decimals say something: none of the zeros at the end."""
    return len(f"{number:.{places}f}".rstrip("0").partition(".")[2]) if places else 0


def _own_unit(said: Any, kind: str, unit: str) -> bool:
    """Whether a person wrote a number in the very unit it is shown in, so that it is shown as it was written."""
    if said is None:
        return False
    try:
        return not isinstance(said, str) or read(said, kind, bare=unit).unit == unit
    except BadInput:
        return False


def _number_text(value: float, place: Place, system: str, *, said: Any, of: str = "value", fine: float = 0.0) -> str:
    """Write a number of a figure.

    Parameters
    ----------
    value : float
        The number, in the unit of the brewhouse's field.
    place : Place
        Which figure.
    system : str
        The person's units.
    said : object
        What the file says of it; None if nothing.
    of : {"value", "spread"}
        What the number is: degrees of a spread have no zero.
    fine : float
        How far off the value may be, in the field's unit; without it the usual figures are shown.
    """
    scale = place.figure.scale if place.figure else 1.0
    spread = of == "spread"
    canonical, kind, unit = (
        value / scale,
        place.spread_kind if spread else place.kind,
        place.shown_unit(system, spread=spread),
    )
    if not place.measured:
        places = _places_of(canonical, STATED_FIGURES) if said is not None else _fine_places(canonical, fine, spread)
        return f"{canonical:.{_telling(canonical, places)}f} {unit}".strip()
    if not unit:
        return write(canonical, kind, system=system)  # a specific gravity
    number = convert(canonical, kind, unit)
    if _own_unit(said, kind, unit):
        places = _places_of(number, STATED_FIGURES)
    else:
        reach = convert(fine / scale, place.spread_kind, place.shown_unit(system, spread=True)) if fine else 0.0
        places = _fine_places(number, reach, spread)
    return write(canonical, kind, system=system, unit=unit, digits=_telling(number, places))


def _fine_places(number: float, reach: float, spread: bool) -> int:
    """Return the decimals of a number nobody wrote so: as its spread allows, else a few figures."""
    if reach:
        return _places_of(reach, SPREAD_FIGURES)
    return _places_of(number, SPREAD_FIGURES if spread else SIZE_FIGURES)


def _source(place: Place, stated: Any, house: Brewhouse, estimate: Any) -> str:
    """Say where a figure comes from."""
    if stated is not None:
        said = stated.get("from") if isinstance(stated, Mapping) else None
        if not isinstance(said, str) or not said.strip():
            return "stated"
        said = " ".join(said.split())
        return f"measured, {said}" if _GYLES.fullmatch(said) else f"stated: {said}"
    if isinstance(estimate, Estimate):
        if place.address == "chill.water":
            return "the tap water's"
        kind, colon, said = estimate.source.partition(":")
        said = said.strip().replace("none sparge", "no sparge").replace("chill by none", "no chiller")
        return f"of its kind, {said}" if colon and kind == "kind" else f"from its {estimate.source}"
    if place.address == "kettle.vessel" and house.kettle_vessel_L == house.mash_vessel_L != _kind_size_L(house):
        return "as large as the mash vessel"
    return _PLAIN_SOURCES.get(place.address) or f"of its kind, {house.kind}"


def _kind_size_L(house: Brewhouse) -> float:
    return traits(house.kind).kettle_vessel_L


_PLAIN_SOURCES = {
    "name": "not named",
    "kind": "not said, so the widest spreads",
    "water": "not said: what a recipe wants is taken as met",
    "altitude": "not said: a usual height is taken",
    "mash.vessel": "as large as the kettle",
    "mash.grain_limit": "not said: the vessel alone limits",
    "mash.thickness": "usual",
    "mash.tanks": "of its way to sparge",
    "fermenter.vessel": "not said: as large as the kettle",
    "chill.to": "usual",
    "chill.stand.by": "as the chill",
    "keg.vessel": "usual",
    "habit.brewhouse_efficiency": "not said: single losses are reckoned with",
    "habit.gravity": "not said",
    "habit.volume": "not said",
}
