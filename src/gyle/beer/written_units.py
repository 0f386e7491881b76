"""Units as an author wrote them and as a person reads them: when to convert, and what a bare number takes."""

from __future__ import annotations

import math
import re
from typing import Any

from gyle.beer.amount_text import plain_number
from gyle.errors import BadInput
from gyle.quantities import Quantity, read, unit_for, write
from gyle.quantities.numerals import number_at, tidy
from gyle.quantities.reading import kind_named

__all__ = ["bare_number", "bare_unit", "parted", "shown_text", "written_text"]

# Units that one system of customs uses and the other does not; every other unit is everybody's.
_METRIC = {
    "mass": ("kg", "g", "mg"),
    "volume": ("L", "mL", "cL", "hL"),
    "temperature": ("°C", "K"),
    "pressure": ("bar", "mbar", "kPa", "hPa", "Pa", "bar abs", "mbar abs", "kPa abs", "hPa abs", "Pa abs"),
    "colour": ("EBC",),
    "hop_rate": ("g/L", "g/hL", "kg/hL", "mg/L"),
    "thickness": ("L/kg",),
}
_US = {
    "mass": ("lb", "oz"),
    "volume": ("gal", "qt", "pt", "fl oz", "cup", "tbsp", "tsp", "bbl"),
    "temperature": ("°F",),
    "pressure": ("psi", "psi abs"),
    "colour": ("SRM", "°L"),
    "hop_rate": ("oz/gal", "lb/bbl", "lb/gal"),
    "thickness": ("qt/lb", "gal/lb"),
}
_FOREIGN = {"metric": _US, "us": _METRIC}
_BARE = {"time": "min", "percent": "%", "bitterness": "IBU", "carbonation": "vol", "pitch_rate": "M/mL/°P"}

_DEGREES = re.compile(r"(?i)(\d+(?:[.,]\d+)?)\s*°?\s*([cf])(?:\s*\([^)]*\))?(?=\s)")
_INTO = re.compile(r"(?i)\s*([a-z]+)\s+(.+)")
_PARTS = re.compile(r",\s+|\s*;\s*|\s+and\s+|\s*\+\s*|\s*\n\s*")
_BRACKET = re.compile(r" ?\(([^()]*)\) ?")
_WARM = re.compile(r"(?i) ?(?:\bat\b|@) ?[^()]*$")


def written_text(value: Any) -> str:
    """Return a value of a file as a person types it: 75 for 75.0, "yes" for true, "60 to 120" for a range."""
    match value:
        case None:
            text = ""
        case bool():
            text = "yes" if value else "no"
        case float() if math.isfinite(value) and abs(value) < 1e15:
            text = plain_number(value)
        case list():
            text = ", ".join(written_text(one) for one in value)
        case dict():
            low, high = (written_text(value.get(end)) for end in ("low", "high"))
            text = f"{low} to {high}" if low and high else f"at least {low}" if low else f"at most {high}"
        case _:
            text = str(value)
    return text


def bare_number(text: str, *, decimal_comma: bool = False) -> float | None:
    """Return the number a text is, if it is nothing else and there is one way to read it."""
    plain = tidy(text)
    number = number_at(plain, 0, decimal_comma=decimal_comma)
    if number is None or number.end != len(plain) or not math.isfinite(number.value):
        return None
    return None if number.other is not None else number.value


def parted(text: str) -> list[str]:
    """Return the parts of what a beer goes into: "keg 19 L, bottle 0.5 L"."""
    return [part for part in (" ".join(part.split()) for part in _PARTS.split(text)) if part]


def _read_or_none(text: str, kind: str) -> Quantity | None:
    try:
        return read(text, kind)
    except BadInput:
        return None


def shown_text(text: str, kind: str, system: str) -> str:
    """Return a written text in a person's units.

    Parameters
    ----------
    text : str
        As it is written.
    kind : str
        The kind of quantity, "at", "into", or any other word for what has no units.
    system : {"metric", "us"}
        The person's units.

    Returns
    -------
    str
        The text itself where its unit is this system's or everybody's.
    """
    if kind == "at":
        return _DEGREES.sub(lambda found: _degrees(found, system), text)
    if kind == "into":
        return ", ".join(_container(part, system) for part in parted(text))
    foreign = _FOREIGN[system].get(kind)
    quantity = _read_or_none(text, kind) if foreign else None
    if quantity is None or foreign is None:
        return text
    said = [quantity.unit] + ([quantity.second.unit] if quantity.second is not None else [])
    if any(unit not in foreign for unit in said):
        return text
    return write(quantity.value, kind, system=system, at=quantity.at_C, basis=quantity.basis)


def _degrees(found: re.Match[str], system: str) -> str:
    is_us = found[2].casefold() == "f"
    if is_us == (system == "us"):
        return found[0]
    return shown_text(f"{found[1]} °{found[2].upper()}", "temperature", system)


def _container(part: str, system: str) -> str:
    found = _INTO.fullmatch(part)
    return f"{found[1]} {shown_text(found[2], 'volume', system)}" if found else part


def bare_unit(text: str, kind: str, system: str) -> str | None:
    """Return the unit a bare number takes in the place of a text that is shown.

    Parameters
    ----------
    text : str
        As it is shown; "" where nothing is written, and the kind's usual unit is taken.
    kind : str
        The kind of quantity.
    system : {"metric", "us"}
        The person's units.

    Returns
    -------
    str or None
        None where none is certain: "4 lb 3 oz" has two, and a bare mass may be grams or kilograms.
    """
    if not text:
        if kind in _BARE:
            return _BARE[kind]
        return None if kind in ("mass", "gravity", "cells") or kind not in _METRIC else unit_for(kind, system)
    plain = tidy(text)
    inside = _BRACKET.findall(plain)
    said = [_unit_said(one, kind) for one in (_BRACKET.sub(" ", plain), *inside)]
    found = [unit for unit in said if unit is not None]
    if len(found) < len(said):
        return None
    foreign = _FOREIGN[system].get(kind, ())
    return next((unit for unit in found if _symbol(unit, kind) not in foreign), found[0])


def _symbol(spelling: str, kind: str) -> str:
    unit = kind_named(kind).unit(spelling)
    return spelling if unit is None else unit.symbol


def _unit_said(text: str, kind: str) -> str | None:
    """Return the unit of one number as it is spelled, None if there are several numbers."""
    plain = _WARM.sub("", text.strip())
    number = number_at(plain, 0, decimal_comma=False)
    if number is None:
        return None
    unit = plain[number.end :].strip()
    if not unit:
        return ""
    return unit if kind_named(kind).unit(unit) is not None else None
