"""One figure of a water report: bare, with its unit, "as N", below a limit, or with the ends of its range."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Any

import attrs

from gyle.beer.entries import BAND_WIDTH
from gyle.beer.section import Section, shown
from gyle.beer.water import Reported
from gyle.beer.water_substances import FORMS, in_words, mg_L, substance
from gyle.quantities import Quantity
from gyle.quantities.numerals import tidy

__all__ = [
    "BELOW_ITS_LIMIT",
    "Statement",
    "alkalinity_statement",
    "conductivity_statement",
    "ion_statement",
    "statement",
]

# What one figure leaves open: laboratory and season; and what a mean with its range still does: the laboratory.
# Provenance: ours.
USUAL_RELATIVE_SPREAD, LABORATORY_RELATIVE_SPREAD, LEAST_RELATIVE_SEASON = 0.03, 0.02, 0.01
USUAL_PH_SPREAD = 0.1
BELOW_ITS_LIMIT = "report: below the laboratory's limit"
# Standard deviations between the least and the greatest of a dozen samples of a normal (Tippett 1925).
EXTREMES_WIDTH = 3.258
_SQRT_3 = math.sqrt(3.0)  # a rounding error is evenly spread

_NUMBER = r"[0-9]+(?:[.,][0-9]+)?"
_THREE = re.compile(
    rf"({_NUMBER}) ?(?:-|/|…|\.\.+|to|;) ?({_NUMBER}) ?(?:-|/|…|\.\.+|to|;) ?({_NUMBER}) ?([^0-9/;-].*)?"
)
_TWO = re.compile(rf"({_NUMBER}) ?(?:-|…|\.\.+|to) ?({_NUMBER}) ?([^0-9-].*)?")
_BELOW = re.compile(r"(?:<=?|≤|under|below|less than) ?(?=[0-9.,])", re.IGNORECASE)
_AS = re.compile(r" ?\(? ?as ([A-Za-z][A-Za-z0-9+-]*) ?\)?$")
_NAMES = ("value", "low", "high", "min", "max")
_PLAIN = ("mg/L", "µg/L", "g/L")


@attrs.frozen(kw_only=True)
class Statement:
    """A figure as a report states it.

    Parameters
    ----------
    key : str
        The key it stands under.
    figure : Reported
        What it means, in the unit its field is kept in.
    half : float
        Half its last printed digit [same unit].
    said : str
        The text as it stands.
    unit : str
        The unit it is stated in.
    plain : bool
        Whether it is milligrams of nothing in particular, which some laboratories mean otherwise.
    at_C : float or None
        The temperature it was said to hold at.
    """

    key: str
    figure: Reported
    half: float
    said: str
    unit: str = ""
    plain: bool = False
    at_C: float | None = None

    def rescaled(self, factor: float) -> Statement:
        """Return the same statement in another unit or of another substance."""
        figure = attrs.evolve(
            self.figure,
            centre=self.figure.centre * factor,
            spread=self.figure.spread * factor,
            each_time=self.figure.each_time * factor,
            low=self.figure.low * factor,
            high=self.figure.high * factor,
        )
        return attrs.evolve(self, figure=figure, half=self.half * factor)


@attrs.frozen(kw_only=True)
class _Taken:
    value: float
    half: float
    unit: str
    plain: bool
    at_C: float | None


Convert = Callable[[Quantity], float | str]
"""Gives a quantity in the unit of its field, or a sentence why it cannot be."""


def _unwrapped(value: Any) -> tuple[Any, bool]:
    """Return a table for a text that gives a range, and whether a text says "less than"."""
    if not isinstance(value, str):
        return value, False
    plain = tidy(value)
    if found := _BELOW.match(plain):
        return plain[found.end() :], True
    if found := _THREE.fullmatch(plain):
        unit = found[4] or ""
        return {
            name: f"{n} {unit}".strip() for name, n in zip(("min", "value", "max"), found.groups(), strict=False)
        }, False
    if found := _TWO.fullmatch(plain):
        unit = found[3] or ""
        return {name: f"{n} {unit}".strip() for name, n in zip(("min", "max"), found.groups(), strict=False)}, False
    return value, False


def statement(
    top: Section, key: str, kind: str, *, convert: Convert, low: float, high: float, bare: str | None, unit: str
) -> Statement | None:
    """Return a figure of a report, None if it is not there or wrong.

    `low` and `high` bound it in the unit its field is kept in, which `unit` names.
    """
    written = top.raw(key)
    if written is None:
        return None
    value, below = _unwrapped(written)
    named = shown(written)

    def take(section: Section, name: str, given: Any) -> _Taken | None:
        quantity = section.quantity_of(given, name, kind, bare=bare)
        if quantity is None:
            return None
        found = convert(quantity)
        where = key if section is top else f"{name} of {key}"
        if isinstance(found, str):
            section.fault(f"{where} is {shown(given)}, {found}", name)
            return None
        if not low <= found <= high:
            means = "" if quantity.unit == unit else f"{in_words(found, unit)} and "
            section.fault(f"{where} is {shown(given)}, which is {means}not between {low:g} and {high:g} {unit}", name)
            return None
        factor = found / quantity.value if quantity.value else 1.0
        return _Taken(
            value=found,
            half=quantity.half_digit * abs(factor),
            unit=quantity.unit,
            plain=quantity.unit in _PLAIN or not isinstance(given, str),
            at_C=quantity.at_C,
        )

    if not isinstance(value, dict):
        one = take(top, key, value)
        return None if one is None else _single(key, one, below=below, kind=kind, low=low, said=named)
    inner = top if isinstance(written, str) else Section(top.page, value, (*top.address, key), key)
    taken = {name: take(inner, name if inner is not top else key, value[name]) for name in _NAMES if name in value}
    if inner is not top:
        for name in _NAMES:
            inner.raw(name)
        inner.close()
    return _spread(top, key, taken, low=low, said=named, kind=kind)


def _single(key: str, one: _Taken, *, below: bool, kind: str, low: float, said: str) -> Statement:
    """Return a figure given once; "less than" is taken as evenly anything down to zero."""
    if below:
        centre, spread, source = one.value / 2.0, one.value / 2.0 / _SQRT_3, BELOW_ITS_LIMIT
    else:
        usual = USUAL_PH_SPREAD if kind == "ph" else USUAL_RELATIVE_SPREAD * abs(one.value)
        centre, spread, source = one.value, math.hypot(usual, one.half / _SQRT_3), "report"
    figure = Reported(centre=centre, spread=spread, low=min(low, centre), source=source)
    return Statement(key=key, figure=figure, half=one.half, said=said, unit=one.unit, plain=one.plain, at_C=one.at_C)


def _spread(
    top: Section, key: str, taken: dict[str, _Taken | None], *, low: float, said: str, kind: str
) -> Statement | None:
    """Return a figure given with the ends of its range."""
    if None in taken.values():
        return None
    found = {name: one for name, one in taken.items() if one is not None}
    if {"low", "high"} & set(found) and {"min", "max"} & set(found):
        top.fault(f"{key} has two ranges; give low and high (10 to 90 %), or min and max", key)
        return None
    extremes = bool({"min", "max"} & set(found))
    bottom, peak = (found.get(name) for name in (("min", "max") if extremes else ("low", "high")))
    middle = found.get("value")
    if middle is None and bottom is not None and peak is not None:
        middle = attrs.evolve(bottom, value=(bottom.value + peak.value) / 2.0)
    if middle is None:
        top.fault(f"{key} gives no value; write {key} = {{ value = ..., low = ..., high = ... }}", key)
        return None
    least = middle.value if bottom is None else bottom.value
    most = middle.value if peak is None else peak.value
    if not least <= middle.value <= most:
        ends = "min and max" if extremes else "low and high"
        top.fault(f"{key} has its value outside its own {ends}", key)
        return None
    size = abs(middle.value)
    season = max((most - least) / (EXTREMES_WIDTH if extremes else BAND_WIDTH), LEAST_RELATIVE_SEASON * size)
    laboratory = 0.05 if kind == "ph" else LABORATORY_RELATIVE_SPREAD * size
    spread = math.hypot(laboratory, middle.half / _SQRT_3)
    figure = Reported(centre=middle.value, spread=spread, each_time=season, low=min(low, middle.value), source="report")
    return Statement(
        key=key, figure=figure, half=middle.half, said=said, unit=middle.unit, plain=middle.plain, at_C=middle.at_C
    )


def _form(top: Section, key: str) -> tuple[str, bool]:
    """Return what a figure is stated as ("n" of "3.7 mg/L as N"), and whether the table could be cut free of it."""
    written = top.table.get(key)
    if not isinstance(written, str):
        return "", True
    found = _AS.search(tidy(written))
    if found is None or found[1].casefold() == "caco3":
        return "", True
    return found[1], False


def ion_statement(top: Section, key: str, *, name: str = "", high: float | None = None) -> Statement | None:
    """Return a concentration in mg/L; `name` is the substance where it is not the key itself."""
    name = name or key
    form, whole = _form(top, key)
    section, factor = top, 1.0
    if not whole:
        top.raw(key)
        # Under a key such as nitrate_N the element is the substance: "as N" says it once more.
        known = {word: worth for word, worth in FORMS.get(name, {}).items() if key == name or worth != 1.0}
        found_form = next((word for word in known if word.casefold() == form.casefold()), None)
        if found_form is None:
            ways = " or ".join(known) or "the substance itself"
            top.fault(f"{key} is {shown(top.table[key])}, stated as {form}; here it can be {ways}", key)
            return None
        factor = known[found_form] if key == name else 1.0
        section = Section(top.page, {**top.table, key: _AS.sub("", tidy(top.table[key]))}, top.address, top.place)
    highest = substance(name).highest_mg_L if high is None else high
    found = statement(
        section,
        key,
        "concentration",
        convert=lambda quantity: _mg_L(name, quantity),
        low=0.0,
        high=highest / factor,
        bare="mg/L",
        unit="mg/L",
    )
    if found is None:
        return None
    stated = attrs.evolve(found, plain=found.plain and whole, said=shown(top.table[key]))
    return stated.rescaled(factor) if factor != 1.0 else stated


def _mg_L(name: str, quantity: Quantity) -> float | str:
    if quantity.basis in ("", "mg/L"):
        return quantity.value
    if name in ("chlorine", "chloramine"):
        return "and mg/L as Cl2 was wanted"
    known = substance(name)
    if quantity.basis == "mmol/L":
        return quantity.value * known.molar_mass_g_mol
    return mg_L(name, quantity.value) if known.charge else "and mg/L or mmol/L was wanted"


def alkalinity_statement(top: Section, key: str, *, bare: str | None, low: float = -10.0) -> Statement | None:
    """Return an alkalinity in mEq/L; "mg/L as HCO3" is understood, plain mg/L means as CaCO3."""
    form, whole = _form(top, key)
    if not whole and form.casefold() != "hco3":
        top.raw(key)
        top.fault(f"{key} is {shown(top.table[key])}, stated as {form}; here it can be CaCO3 or HCO3", key)
        return None
    if not whole:
        cut = Section(top.page, {key: _AS.sub("", tidy(top.table[key]))}, top.address, top.place)
        top.raw(key)
        found = ion_statement(cut, key, name="alkalinity")
        return None if found is None else found.rescaled(1.0 / substance("alkalinity").molar_mass_g_mol)
    return statement(
        top, key, "alkalinity", convert=lambda quantity: quantity.value, low=low, high=60.0, bare=bare, unit="mEq/L"
    )


_CONDUCTIVITY = re.compile(rf"({_NUMBER}) ?([^0-9 ]+)(?: ?(?:at|@) ?({_NUMBER}) ?°?C)?")
_PER_UNIT = {"µs/cm": 1.0, "us/cm": 1.0, "µmho/cm": 1.0, "umho/cm": 1.0, "ms/m": 10.0, "ms/cm": 1000.0,
             "mmho/cm": 1000.0, "s/m": 10_000.0, "ds/m": 1000.0}  # fmt: skip
_TO_25_C = {25.0: 1.0, 20.0: 1.116}  # EN 27888; memory
HIGHEST_US_CM = 20_000.0


def conductivity_statement(top: Section, key: str = "conductivity") -> Statement | None:
    """Return a conductivity at 25 °C [µS/cm]; a bare number is µS/cm at 25 °C."""
    written = top.raw(key)
    if written is None:
        return None
    text = f"{written} µS/cm" if isinstance(written, (int, float)) and not isinstance(written, bool) else written
    found = _CONDUCTIVITY.fullmatch(tidy(text).replace("μ", "µ")) if isinstance(text, str) else None
    factor = _PER_UNIT.get(found[2].casefold().replace("μ", "µ")) if found else None
    warmth = float(found[3].replace(",", ".")) if found and found[3] else 25.0
    if found is None or factor is None or warmth not in _TO_25_C:
        top.fault(f'{key} is {shown(written)}, and a text such as "651 µS/cm" at 25 or 20 °C was wanted', key)
        return None
    scale = factor * _TO_25_C[warmth]
    digits = found[1].replace(",", ".")
    value = float(digits) * scale
    if not value <= HIGHEST_US_CM:
        top.fault(f"{key} is {shown(written)}, which is more than {HIGHEST_US_CM:g} µS/cm, no water to brew with", key)
        return None
    half = 0.5 * 10.0 ** -len(digits.partition(".")[2]) * scale
    figure = Reported(
        centre=value, spread=math.hypot(USUAL_RELATIVE_SPREAD * value, half / _SQRT_3), low=0.0, source="report"
    )
    return Statement(key=key, figure=figure, half=half, said=shown(written), at_C=warmth)
