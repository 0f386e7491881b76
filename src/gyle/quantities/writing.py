"""Turn numbers into text a brewer reads: the unit that suits, and no more digits than are known."""

from __future__ import annotations

import math
from typing import NamedTuple

from gyle.errors import BadInput
from gyle.quantities.reading import kind_named
from gyle.quantities.speaking import spoken
from gyle.quantities.units import Kind, Unit

__all__ = ["BandText", "band_text", "convert", "unit_for", "write", "write_band"]

SYSTEMS = ("metric", "us")
# The rounding of an end of a band may be this part of the band's width.
ROUNDING_OF_BAND = 0.1
EXTRA_PLACES = 1  # beyond a unit's usual decimals, however narrow a band is
OZ_PER_LB = 16


class BandText(NamedTuple):
    """A figure with its band, as texts of equal precision in one unit."""

    mean: str
    low: str
    high: str
    unit: str


def convert(value: float, kind: str, unit: str, *, basis: str = "") -> float:
    """Return a value in another unit of the same scale.

    Parameters
    ----------
    value : float
        The value in the canonical unit of its kind and basis.
    kind : str
        The name of the kind.
    unit : str
        The unit wanted, in any spelling.
    basis : str, optional
        The scale the value is on; the first of its kind if left out.

    Returns
    -------
    float
        The value in that unit.

    Raises
    ------
    BadInput
        If the kind has no such unit, or only on another scale.

    Examples
    --------
    >>> round(convert(65.0, "temperature", "°F"), 9)
    149.0
    """
    sort = kind_named(kind)
    found = sort.unit(unit)
    if found is None:
        raise BadInput(f'"{unit}" is no unit of {sort.label}: use {sort.named_units}')
    own = sort.canonical(basis)
    if found.scale != own.scale:
        raise BadInput(f"{own.symbol} cannot be turned into {found.symbol} by a factor")
    return _in_unit(value, found)


def unit_for(kind: str, system: str | None = None, *, value: float | None = None, basis: str = "") -> str:
    """Return the unit a kind is written in: the main one, or the one that suits a canonical value."""
    sort = kind_named(kind)
    ladder = _ladder(sort, system, basis)
    return (ladder[0][0] if value is None else _suited(value, ladder)).symbol


def write(
    value: float,
    kind: str,
    *,
    system: str | None = None,
    digits: int | None = None,
    at: float | None = None,
    unit: str | None = None,
    basis: str = "",
) -> str:
    """Write a value with its unit.

    Parameters
    ----------
    value : float
        The value in the canonical unit of its kind and basis.
    kind : str
        The name of the kind.
    system : {"metric", "us"}, optional
        As this context speaks where left out.
        Which customs to follow. US masses of a pound and more are written in pounds and ounces.
    digits : int, optional
        Decimals; without it as many as are usual, with no trailing zeros. A specific gravity has three at
        least.
    at : float, optional
        The temperature at which it holds [°C].
    unit : str, optional
        The unit to write it in, whatever the system.
    basis : str, optional
        The scale the value is on, such as "absolute" or "°P"; the first of its kind if left out.

    Returns
    -------
    str
        The text; `read` understands it.

    Examples
    --------
    >>> write(1.9, "mass", system="us")
    '4 lb 3 oz'
    >>> write(31.5, "volume", at=76.0)
    '31.5 L at 76 °C'
    """
    sort = kind_named(kind)
    number = _finite(value, sort)
    ladder = _ladder(sort, system, basis, unit)
    warmth = "" if at is None else f" at {write(at, 'temperature', system=system)}"
    if unit is None and digits is None and (compound := _compound(number, sort, _suited(number, ladder))):
        return f"{compound}{warmth}"
    suited = _suited(number, ladder)
    converted = _in_unit(number, suited)
    places = _places(converted, suited) if digits is None else max(digits, _least_places(suited))
    figure = _decimals(converted, places)
    if digits is None and not suited.fixed:
        figure = _trimmed(figure)
    return f"{_joined(figure, suited)}{warmth}"


def band_text(
    mean: float,
    low: float,
    high: float,
    kind: str,
    *,
    system: str | None = None,
    unit: str | None = None,
    basis: str = "",
) -> BandText:
    """Return a figure with its band in one unit, rounded as the width of the band allows.

    Parameters
    ----------
    mean, low, high : float
        The figure and the ends of its band, in the canonical unit of its kind and basis.
    kind : str
        The name of the kind.
    system, unit, basis : str, optional
        As in `write`.

    Returns
    -------
    BandText
        Three numbers of equal precision and their unit.

    Notes
    -----
    The last digit is the coarsest whose rounding moves no end by more than a tenth of the band's width.

    Examples
    --------
    >>> band_text(1.0981, 1.0952, 1.1009, "gravity")
    BandText(mean='1.098', low='1.095', high='1.101', unit='SG')
    """
    sort = kind_named(kind)
    for number in (mean, low, high):
        _finite(number, sort)
    if low > high:
        raise ValueError(f"the band of {sort.label} begins at {low:g}, above its end {high:g}")
    suited = _suited(float(mean), _ladder(sort, system, basis, unit))
    three = [_in_unit(float(number), suited) for number in (mean, low, high)]
    most = suited.places + EXTRA_PLACES
    step = 2 * ROUNDING_OF_BAND * (three[2] - three[1])
    places = _places(three[0], suited)
    if step > 0:
        places = min(most, -math.floor(math.log10(step)))
    middle, bottom, top = (_decimals(number, places) for number in three)
    return BandText(middle, bottom, top, _unit_word(suited))


def write_band(
    mean: float,
    low: float,
    high: float,
    kind: str,
    *,
    system: str | None = None,
    unit: str | None = None,
    basis: str = "",
) -> str:
    """Write a figure with its band, such as "21.0 L (20.4 to 21.6)"; the arguments are `band_text`'s.

    Examples
    --------
    >>> write_band(21.0, 20.4, 21.6, "volume")
    '21.0 L (20.4 to 21.6)'
    """
    texts = band_text(mean, low, high, kind, system=system, unit=unit, basis=basis)
    suited = _suited(float(mean), _ladder(kind_named(kind), system, basis, unit))
    return f"{_joined(texts.mean, suited)} ({texts.low} to {texts.high})"


def _finite(value: float, kind: Kind) -> float:
    if not math.isfinite(value):
        raise BadInput(f"{value} cannot be written as {kind.label}: it must be a finite number")
    return float(value)


def _in_unit(value: float, unit: Unit) -> float:
    return (value - unit.offset) / unit.factor


def _ladder(kind: Kind, system: str | None, basis: str, unit: str | None = None) -> tuple[tuple[Unit, float], ...]:
    """Return the units to choose from, each with the least value it is used for."""
    system = spoken() if system is None else system
    if system not in SYSTEMS:
        raise BadInput(f'"{system}" is no system of units: write metric or us')
    own = kind.canonical(basis)
    if unit is not None:
        found = kind.unit(unit)
        if found is None or found.scale != own.scale:
            raise BadInput(f'"{unit}" is no unit to write {kind.label} in: use {kind.named_units}')
        return ((found, -math.inf),)
    steps = kind.us if system == "us" else kind.metric
    found_steps = [(kind.unit(symbol), least) for symbol, least in steps]
    usual = tuple((step, least) for step, least in found_steps if step is not None and step.scale == own.scale)
    return usual or ((_counterpart(kind, own, system), -math.inf),)


def _counterpart(kind: Kind, own: Unit, system: str) -> Unit:
    """Return the unit of a further scale: absolute pressure follows the customs for gauge pressure."""
    symbol = (kind.us if system == "us" else kind.metric)[0][0]
    return next((u for u in kind.units if u.scale == own.scale and u.symbol.startswith(f"{symbol} ")), own)


def _suited(value: float, ladder: tuple[tuple[Unit, float], ...]) -> Unit:
    size = abs(value)
    return next((unit for unit, least in ladder if _in_unit(size, unit) >= least), ladder[-1][0])


def _places(number: float, unit: Unit) -> int:
    """Return how many decimals a number of this size usually has in this unit."""
    if number == 0.0:
        return unit.places if unit.fixed else 0
    return min(unit.places, max(0, unit.figures - 1 - math.floor(math.log10(abs(number)))))


def _least_places(unit: Unit) -> int:
    """Return the decimals a unit is never written without: a specific gravity has three."""
    return unit.places if unit.symbol == "SG" else 0


def _decimals(number: float, places: int) -> str:
    """Return a number with this many decimals; rounded to tens or hundreds if they are negative."""
    text = f"{round(number, places):.{max(0, places)}f}"
    return text.lstrip("-") if float(text) == 0.0 else text


def _trimmed(figure: str) -> str:
    return figure.rstrip("0").rstrip(".") if "." in figure else figure


def _unit_word(unit: Unit) -> str:
    return unit.word or unit.symbol


def _joined(figure: str, unit: Unit) -> str:
    """Return number and unit as they are read aloud; a specific gravity needs no unit."""
    if unit.symbol == "SG":
        return figure
    word = _unit_word(unit)
    if unit.word.endswith("s") and figure == "1":
        word = unit.word[:-1]
    return f"{word} {figure}" if unit.before else f"{figure} {word}".strip()


def _compound(value: float, kind: Kind, unit: Unit) -> str | None:
    """Return "4 lb 3 oz" or "5 h 30 min", or None where one unit is used."""
    size, sign = abs(value), "-" if value < 0 else ""
    if kind.name == "mass" and unit.symbol == "lb":
        tenths = round(_in_unit(size, unit) * OZ_PER_LB * 10)
        pounds, rest = divmod(tenths, OZ_PER_LB * 10)
        ounces = _trimmed(f"{rest / 10:.1f}")
        return f"{sign}{pounds} lb" + (f" {ounces} oz" if rest else "")
    if kind.name == "time" and unit.symbol == "h":
        hours, minutes = divmod(round(size), 60)
        return f"{sign}{hours} h" + (f" {minutes} min" if minutes else "")
    return None
