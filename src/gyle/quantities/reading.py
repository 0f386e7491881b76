"""Turn what a person wrote into a quantity, or say in one sentence why not."""

from __future__ import annotations

import math
import re
from typing import Literal, NamedTuple, NoReturn, cast

import attrs

from gyle.errors import BadInput
from gyle.quantities.numerals import number_at, tidy
from gyle.quantities.quantity import Gravity, Quantity
from gyle.quantities.tables import KINDS
from gyle.quantities.units import Kind, Unit

__all__ = ["kind_named", "kinds", "quoted", "read", "read_gravity", "units"]

LONGEST_TEXT = 200
QUOTED = 40

_AGAIN = r"(?:(?:[=≈~]|about|approx|ca)\.? ?)?"
_BRACKET = re.compile(rf" ?\( ?{_AGAIN}([-+]?[0-9.,][^()]*)\)", re.IGNORECASE)
_SLASH = re.compile(r"(.*[^0-9\s/.,]) ?(?:/|=|≈) ?([-+]?[0-9.,].*)")
_AT = re.compile(r"(.*\S) ?(?:\bat\b|@) ?(.+)", re.IGNORECASE)
_RANGE = re.compile(r" ?(?:[^\s0-9-]+ ?)?(?:-|\.\.+|…|\bto\b) ?[0-9.,]", re.IGNORECASE)
_UNIT_BEFORE_DIGIT = re.compile(r"[^0-9]*")
_BETWEEN_PARTS = re.compile(r"(?:,| and)? $", re.IGNORECASE)
_PREFIX = re.compile(r"([^0-9.,+-]+?) ?([-+]?[0-9.,].*)")
_SHORTHAND = re.compile(r"^([0-9]{3,4})(?= ?(?:$|at\b|@))", re.IGNORECASE)

# A specific gravity is printed to three decimals at least; "1.05" means 1.050.
_SG_HALF_DIGIT = 0.0005
_BARE_SG = (0.95, 1.3)


class _Part(NamedTuple):
    """One reading of one text, without its temperature and its repetition."""

    value: float
    half_digit: float
    unit: Unit


class _UnknownUnit(BadInput):
    """The number is clear, what follows it is not."""


def kinds() -> tuple[str, ...]:
    """Return the names of all kinds of quantity."""
    return tuple(KINDS)


def units(kind: str) -> tuple[str, ...]:
    """Return the units a kind is read in, in their canonical spelling; the first is the kind's own."""
    return tuple(unit.symbol for unit in kind_named(kind).units)


def kind_named(kind: str) -> Kind:
    """Return the kind of a name."""
    try:
        return KINDS[kind]
    except KeyError:
        raise ValueError(f"{kind!r} is no kind of quantity; there are {', '.join(KINDS)}") from None


def quoted(text: str) -> str:
    """Return a text in quotation marks, on one line and not too long for a message."""
    shown = "".join(c if c.isprintable() else " " for c in text[:QUOTED]).strip()
    return f'"{shown}…"' if len(text) > QUOTED else f'"{shown}"'


def read(text: str | int | float, kind: str, *, bare: str | None = None) -> Quantity:
    """Read one quantity.

    Parameters
    ----------
    text : str, int or float
        What was written, such as "4 lb 3 oz", "31.5 L at 76 °C" or "18 °C (64 °F)".
    kind : str
        The kind of quantity that is wanted; one of `kinds`.
    bare : str, optional
        The unit a bare number has. Without it, a number with no unit is refused; only counts, ratios,
        pH and a specific gravity need none.

    Returns
    -------
    Quantity
        The value in the kind's canonical unit.

    Raises
    ------
    BadInput
        If the text is no such quantity; one sentence says what would be.

    Notes
    -----
    One comma followed by exactly three digits ("1,050 g") may mark decimals or thousands. In a gravity, a
    ratio and a pH only a decimal comma makes sense; elsewhere the text is refused, never guessed. "0,500"
    is a decimal, "1,234.5", "1.234,5" and "1,234,567" are clear, and one point is always a decimal point.

    Examples
    --------
    >>> round(read("4 lb 3 oz", "mass").value, 6)
    1.899418
    >>> pair = read("18 °C (64 °F)", "temperature")
    >>> pair.value, pair.pair_agrees
    (18.0, True)
    """
    sort = kind_named(kind)
    written = _written(text)
    if len(written) > LONGEST_TEXT:
        raise BadInput(f"{quoted(written)} is {len(written)} characters long: write {sort.label} in a few characters")
    plain = tidy(written)
    if not plain:
        raise BadInput(f"nothing is written where {sort.label} is wanted: write {_wanted(sort)}")
    return attrs.evolve(_whole(plain, sort, bare), text=written)


def read_gravity(text: str | int | float, *, bare: str | None = None, allow_shorthand: bool = False) -> Gravity:
    """Read a gravity and keep the scale it was written in.

    Parameters
    ----------
    text : str, int or float
        What was written, such as "1.098", "24.1 °P", "1,062 at 40 °C" or "98 points".
    bare : str, optional
        The unit a bare number has ("SG", "°P" or "°Bx"); without it, only a specific gravity may be bare.
    allow_shorthand : bool
        Whether "1058" means 1.058.

    Returns
    -------
    Gravity
        The value and its scale.

    Raises
    ------
    BadInput
        If the text is no gravity.

    Examples
    --------
    >>> read_gravity("24.1 °P").scale
    '°P'
    """
    asked = text
    if allow_shorthand and not isinstance(text, bool):
        asked = _SHORTHAND.sub(lambda m: f"{int(m[1]) / 1000:.3f}", tidy(_written(text)), count=1)
    found = read(asked, "gravity", bare=bare)
    return _gravity(found, text=_written(text))


def _gravity(found: Quantity, *, text: str) -> Gravity:
    second = found.second
    return Gravity(
        value=found.value,
        scale=cast('Literal["SG", "°P", "°Bx"]', found.basis),
        half_digit=found.half_digit,
        text=text,
        at_C=found.at_C,
        second=None if second is None else _gravity(second, text=second.text),
        pair_agrees=found.pair_agrees,
    )


def _written(text: object) -> str:
    """Return the text of what a file or a caller gave."""
    if isinstance(text, str):
        return str(text)
    if isinstance(text, (int, float)) and not isinstance(text, bool):
        try:
            number = float(text)
        except OverflowError:
            raise BadInput("the number is too large to mean anything: write a smaller one") from None
        if not math.isfinite(number):
            raise BadInput(f'"{number}" is no quantity: write a number')
        small = isinstance(text, int) and abs(number) < 1e15
        return str(int(text)) if small else repr(number)
    what = {bool: "true or false", type(None): "nothing", list: "a list", dict: "a table"}.get(
        type(text), "something else"
    )
    raise BadInput(f"a quantity is a text with its unit or a number, not {what}")


def _wanted(kind: Kind) -> str:
    return "a number" if kind.bare is not None else f"a number with {kind.named_units}"


def _whole(plain: str, kind: Kind, bare: str | None) -> Quantity:
    """Read a quantity with its temperature and its repetition."""
    brackets = list(_BRACKET.finditer(plain))
    if len(brackets) > 1:
        raise BadInput(f"{quoted(plain)} gives {kind.label} more than twice: write it once or twice")
    if not brackets:
        return _unbracketed(plain, kind, bare)
    inside = brackets[0][1].strip()
    before, after = plain[: brackets[0].start()].strip(), plain[brackets[0].end() :].strip()
    first = _unbracketed(f"{before} {after}".strip(), kind, bare)
    if first.at_C is not None and not after and KINDS["temperature"].unit(_last_word(inside)):
        # "31.5 L at 76 °C (169 °F)": the temperature is what is given twice.
        warm = _AT.fullmatch(before)
        assert warm is not None
        pair = _whole(f"{warm[2]} ({inside})", KINDS["temperature"], None)
        return attrs.evolve(first, pair_agrees=_both(first.pair_agrees, pair.pair_agrees))
    return _paired(first, attrs.evolve(_unbracketed(inside, kind, bare), text=inside))


def _last_word(text: str) -> str:
    return re.sub(r"^[-+]?[0-9.,/ ]*", "", text)


def _paired(first: Quantity, second: Quantity) -> Quantity:
    """Join a quantity and its repetition."""
    agrees: bool | None = None
    if first.basis == second.basis:
        slack = 1e-9 * (abs(first.value) + abs(second.value))
        agrees = abs(first.value - second.value) <= first.half_digit + second.half_digit + slack
    warm, again = _AT.fullmatch(first.text), _AT.fullmatch(second.text)
    if warm and again and first.at_C is not None and second.at_C is not None:
        heat = KINDS["temperature"]
        pair = _paired(_with_temperature(warm[2], heat, None), _with_temperature(again[2], heat, None))
        agrees = _both(agrees, pair.pair_agrees)
    return attrs.evolve(first, second=second, pair_agrees=agrees)


def _both(one: bool | None, other: bool | None) -> bool | None:
    """Return whether both pairs agree; a pair that cannot be told says nothing."""
    said = [agrees for agrees in (one, other) if agrees is not None]
    return all(said) if said else None


def _unbracketed(plain: str, kind: Kind, bare: str | None) -> Quantity:
    """Read a quantity with its temperature; "18 °C / 64 °F" is given twice."""
    try:
        return _with_temperature(plain, kind, bare)
    except _UnknownUnit:
        twice = _SLASH.fullmatch(plain)
        if twice is None:
            raise
        first = _with_temperature(twice[1], kind, bare)
        return _paired(first, attrs.evolve(_with_temperature(twice[2], kind, bare), text=twice[2]))


def _with_temperature(plain: str, kind: Kind, bare: str | None) -> Quantity:
    """Read a quantity and the temperature it holds at."""
    warm = _AT.fullmatch(plain) if kind.takes_temperature else None
    at_C = None
    said = plain
    if warm is not None:
        said = warm[1]
        at_C = _with_temperature(warm[2], KINDS["temperature"], None).value
    part = _single(said, kind, bare)
    return Quantity(
        value=part.value,
        kind=kind.name,
        unit=part.unit.symbol,
        text=plain,
        half_digit=part.half_digit,
        at_C=at_C,
        basis=part.unit.scale,
    )


def _single(said: str, kind: Kind, bare: str | None) -> _Part:
    """Read one number with its unit, or several that add up."""
    text = said
    if kind.prefix and (front := _PREFIX.fullmatch(said)) and kind.unit(front[1]) is not None:
        text = f"{front[2]} {front[1]}"
    parts: list[_Part] = []
    sign, place = 1.0, 0
    while place < len(text):
        number = number_at(text, place, decimal_comma=kind.decimal_comma)
        if number is None or (parts and text[place] in "+-"):
            _refuse(said, kind)
        rest = text[number.end :]
        chunk = rest
        if kind.compound and (ahead := _UNIT_BEFORE_DIGIT.match(rest)) is not None:
            chunk = ahead.group()
        place = number.end + len(chunk)
        if place < len(text):
            chunk = _between(chunk, said, kind, rest)
        unit = _unit(chunk.strip(), number.value, said, kind, bare, alone=not parts and place == len(text))
        if number.other is not None:
            _ask_which(said, number.value, number.other, unit)
        if parts and not unit.factor < parts[-1].unit.factor:
            _refuse(said, kind)
        if not parts and number.value < 0 and place < len(text):
            sign = -1.0
        offset = unit.offset if not parts else 0.0
        value = (sign * number.value if parts else number.value) * unit.factor + offset
        parts.append(_Part(value, number.half_digit * unit.factor, unit))
    if not parts:
        _refuse(said, kind)
    return _checked(parts, said, kind)


def _between(chunk: str, said: str, kind: Kind, rest: str) -> str:
    """Return the unit of a part that is followed by another part."""
    if _RANGE.match(rest):
        _refuse(said, kind, rest=rest)
    if chunk[-1:].isalpha():
        return chunk
    if not chunk.endswith(" ") or chunk.strip()[-1:] in "+-/":
        _refuse(said, kind)
    return _BETWEEN_PARTS.sub("", chunk)


def _checked(parts: list[_Part], said: str, kind: Kind) -> _Part:
    """Return the sum of the parts if it can be."""
    value = math.fsum(part.value for part in parts) if len(parts) > 1 else parts[0].value
    unit = parts[-1].unit
    half_digit = parts[-1].half_digit
    low, high = kind.range(unit.scale)
    if not math.isfinite(value) or not math.isfinite(half_digit):
        raise BadInput(f"{quoted(said)} is too large to mean anything: write a smaller number")
    if not low <= value <= high:
        own = kind.canonical(unit.scale).symbol
        limit = f"at least {low:g} {own}" if high == math.inf else f"between {low:g} and {high:g} {own}"
        raise BadInput(f"{quoted(said)} cannot be {kind.label}: it must be {limit.strip()}")
    if kind.name == "gravity" and unit.scale == "SG":
        half_digit = min(half_digit, _SG_HALF_DIGIT)
    return _Part(value, half_digit, unit)


def _unit(spelling: str, number: float, said: str, kind: Kind, bare: str | None, *, alone: bool) -> Unit:
    """Return the unit that was written, or the one a bare number has."""
    if spelling:
        unit = kind.unit(spelling)
        if unit is None:
            _refuse(said, kind, rest=spelling)
        return unit
    if not alone:
        _refuse(said, kind)
    assumed = bare if bare is not None else kind.bare
    if assumed is None and kind.name == "gravity" and _BARE_SG[0] <= number <= _BARE_SG[1]:
        assumed = "SG"
    if assumed is None:
        raise BadInput(f"{quoted(said)} has no unit: write {_wanted(kind)}")
    unit = kind.unit(assumed)
    if unit is None:
        raise ValueError(f"{assumed!r} is no unit of {kind.name}")
    if kind.name == "percent" and 0.0 < number < 1.0:
        raise BadInput(f'{quoted(said)} may be a share or per cent: write "{100 * number:g} %" or "{number:g} %"')
    return unit


def _ask_which(said: str, decimal: float, thousands: float, unit: Unit) -> NoReturn:
    small, large = f"{decimal:g} {unit.symbol}".strip(), f"{thousands:.0f} {unit.symbol}".strip()
    raise BadInput(f'{quoted(said)} can be read in two ways: write "{small}" or "{large}"')


def _refuse(said: str, kind: Kind, *, rest: str = "") -> NoReturn:
    """Say in one sentence why a text is no quantity of a kind."""
    if rest and _RANGE.match(rest.strip()):
        raise BadInput(f"{quoted(said)} is a range where one value is wanted: write {_wanted(kind)}")
    others = (other for other in KINDS.values() if rest and other is not kind and other.unit(rest))
    elsewhere = next(others, None)
    what = f"is {elsewhere.label}, not {kind.label}" if elsewhere else f"is not {kind.label}"
    raise _UnknownUnit(f"{quoted(said)} {what}: write {_wanted(kind)}")
