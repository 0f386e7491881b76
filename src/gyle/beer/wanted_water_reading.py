"""Reading the water a recipe wishes for: an amount or a range of each ion, and how sulfate stands to chloride."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Any

import attrs

from gyle.beer.amounts import concentration_mg_L
from gyle.beer.section import Section, shown
from gyle.errors import BadInput
from gyle.quantities.numerals import tidy

__all__ = ["RATIO_EITHER_WAY", "WANTED_IONS", "WantedWater", "wanted_water_of"]

WANTED_IONS = ("calcium", "magnesium", "sodium", "potassium", "sulfate", "chloride", "bicarbonate")
MOST_MG_L = 3000.0
LEAST_RATIO, MOST_RATIO = 0.01, 100.0
RATIO_EITHER_WAY = 1.15  # a ratio given as one number means so much either way; ours

_NUMBER = r"[-+]?[0-9]+(?:[.,][0-9]+)?"
_TWO = re.compile(rf"(?:from )?({_NUMBER}) ?([^0-9]*?) ?(?:-|…|\.\.+|\bto\b) ?({_NUMBER}) ?(.*)", re.IGNORECASE)
_MOST = re.compile(r"(?:at most|under|below|up to|no more than|less than|<=?|≤) ?", re.IGNORECASE)
_LEAST = re.compile(r"(?:at least|over|above|no less than|more than|>=?|≥) ?", re.IGNORECASE)

Take = Callable[[Section, str, Any], float | None]
"""Reads one number found under a key; None if it is wrong, which the section then knows."""


@attrs.frozen(kw_only=True)
class WantedWater:
    """What a recipe wishes of its water; an open side of a range is infinite, of a ratio 0 or infinite."""

    ions_mg_L: tuple[tuple[str, float], ...] = ()
    ranges_mg_L: tuple[tuple[str, float, float], ...] = ()
    sulfate_to_chloride: tuple[float, float] | None = None
    dilution_share: float | None = None


def wanted_water_of(top: Section) -> WantedWater:
    """Return what [water] says; faults are kept in the section."""
    section = top.section("water")
    if section is None:
        return WantedWater()
    exact: list[tuple[str, float]] = []
    ranges: list[tuple[str, float, float]] = []
    for ion in WANTED_IONS:
        found = _span(section, ion, _ion_taker(ion), "60 to 120 mg/L")
        if found is None:
            continue
        low, high = found
        if low == high:
            exact.append((ion, low))
        else:
            ranges.append((ion, low, high))
    ratio = _ratio(section)
    dilution = section.quantity("dilution", "percent", low=0.0, high=100.0)
    section.close()
    return WantedWater(
        ions_mg_L=tuple(exact),
        ranges_mg_L=tuple(ranges),
        sulfate_to_chloride=ratio,
        dilution_share=None if dilution is None or not dilution.value else dilution.value / 100.0,
    )


def _ion_taker(ion: str) -> Take:
    def take(section: Section, key: str, value: Any) -> float | None:
        quantity = section.quantity_of(value, key, "concentration", low=0.0, high=MOST_MG_L, bare="mg/L")
        if quantity is None:
            return None
        try:
            found = concentration_mg_L(quantity, ion)
        except BadInput as error:
            section.fault(f"{key}: {error}", key)
            return None
        if not found <= MOST_MG_L:
            section.fault(f"{key} is {shown(value)}, which is more than {MOST_MG_L:g} mg/L", key)
            return None
        return found

    return take


def _ratio(section: Section) -> tuple[float, float] | None:
    def take(inner: Section, key: str, value: Any) -> float | None:
        quantity = inner.quantity_of(value, key, "ratio", low=LEAST_RATIO, high=MOST_RATIO)
        return None if quantity is None else quantity.value

    key = "sulfate_to_chloride"
    found = _span(section, key, take, "2 to 3", backwards=", or the quotient as one number")
    if found is None:
        return None
    low, high = found
    if low == high and not _gives_a_range(section.table[key]):
        return low / RATIO_EITHER_WAY, high * RATIO_EITHER_WAY
    return max(low, 0.0), high


def _gives_a_range(value: Any) -> bool:
    return isinstance(value, dict) or (isinstance(value, str) and _TWO.fullmatch(tidy(value)) is not None)


def _span(section: Section, key: str, take: Take, example: str, *, backwards: str = "") -> tuple[float, float] | None:
    """Return both ends of a wish, equal where it is one number; None if it is not there or wrong."""
    value = section.raw(key)
    if value is None:
        return None
    ends = _ends_of_table(section, key, take, example) if isinstance(value, dict) else _ends(section, key, take)
    if ends is None:
        return None
    low, high = ends
    if low > high:
        said = f"{key} is {shown(value)}" if isinstance(value, str) else f"{key} has low = {low:g} and high = {high:g}"
        section.fault(f'{said}, whose low end is above its high end; write "{high:g} to {low:g}"{backwards}', key)
        return None
    return low, high


def _ends(section: Section, key: str, take: Take) -> tuple[float, float] | None:
    value = section.table[key]
    plain = tidy(value) if isinstance(value, str) else ""
    if found := _TWO.fullmatch(plain):
        unit = found[4].strip()
        low = take(section, key, f"{found[1]} {found[2].strip() or unit}".strip())
        if low is None:  # one sentence is enough
            return None
        high = take(section, key, f"{found[3]} {unit or found[2].strip()}".strip())
        return None if high is None else (low, high)
    for pattern, is_most in ((_MOST, True), (_LEAST, False)):
        if found := pattern.match(plain):
            end = take(section, key, plain[found.end() :])
            if end is None:
                return None
            return (-math.inf, end) if is_most else (end, math.inf)
    one = take(section, key, value)
    return None if one is None else (one, one)


def _ends_of_table(section: Section, key: str, take: Take, example: str) -> tuple[float, float] | None:
    inner = Section(section.page, section.table[key], (*section.address, key), key)
    raw = {name: inner.raw(name) for name in ("low", "high")}
    ends = {name: take(inner, name, value) for name, value in raw.items() if value is not None}
    inner.close()
    if not ends:
        section.fault(f'{key} gives neither low nor high; write {key} = "{example}"', key)
        return None
    low, high = ends.get("low", -math.inf), ends.get("high", math.inf)
    return None if low is None or high is None else (low, high)
