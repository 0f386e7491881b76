"""What a unit and a kind of quantity are, and how a unit's many spellings find it."""

from __future__ import annotations

import re
from functools import cache

import attrs

__all__ = ["Kind", "Unit"]

# Words that mean one symbol whatever the kind, case ignored; used on each side of a "/".
WORDS: dict[str, str] = {
    word: symbol
    for symbol, words in (
        ("kg", "kgs, kilo, kilos, kilogram, kilograms, kilogramme, kilogrammes"),
        ("g", "gm, gms, gram, grams, gramme, grammes"),
        ("mg", "milligram, milligrams"),
        ("µg", "ug, μg, microgram, micrograms"),
        ("lb", "lbs, pound, pounds"),
        ("oz", "ozs, ounce, ounces"),
        ("gr", "grain, grains"),
        ("L", "l, ltr, liter, liters, litre, litres"),
        ("mL", "ml, cc, milliliter, milliliters, millilitre, millilitres"),
        ("hL", "hectoliter, hectoliters, hectolitre, hectolitres"),
        ("gal", "gals, gallon, gallons, us gal, us gals, us gallon, us gallons, gal us, gallons us"),
        ("qt", "qts, quart, quarts, us qt, us quart, us quarts"),
        ("pt", "pint, pints, us pt, us pint, us pints"),
        ("fl oz", "floz, us fl oz, fluid ounce, fluid ounces, us fluid ounce, us fluid ounces"),
        ("bbl", "bbls, barrel, barrels, us bbl, us barrel, us barrels, us beer barrel, us beer barrels"),
        ("imp gal", "imp gallon, imp gallons, imperial gal, imperial gallon, imperial gallons"),
        ("imp gal", "uk gal, uk gallon, uk gallons"),
        ("s", "sec, secs, second, seconds"),
        ("min", "mins, minute, minutes"),
        ("h", "hr, hrs, hour, hours"),
        ("d", "day, days"),
        ("week", "weeks, wk, wks"),
        ("M", "million, millions, mio, million cells, m cells"),
        ("billion", "bn, billions, billion cells, bn cells"),
        ("mEq", "meq, mval, milliequivalent, milliequivalents"),
        ("mmol", "millimole, millimoles"),
        ("°P", "p, plato, °plato"),
        ("°Bx", "bx, brix, °brix"),
        ("°C", "celsius, °celsius, centigrade, °centigrade"),
        ("°F", "fahrenheit, °fahrenheit"),
        ("°L", "lovibond, °lovibond"),
    )
    for word in words.split(", ")
}

_DEGREES = re.compile(r"(?:^|(?<=/))(?:degrees?|degs?)\s*|°\s+", re.IGNORECASE)
_PER = re.compile(r"\s*(?:/|(?<=\s)per(?=\s))\s*", re.IGNORECASE)
_EXACT_CASE = 1  # a spelling of one letter means only itself


@attrs.frozen
class Unit:
    """One unit: ``canonical = value * factor + offset``.

    Units of different `scale` cannot be turned into one another here (SG and °P, gauge and absolute):
    that takes science or knowledge of the place.
    """

    symbol: str
    factor: float
    offset: float = 0.0
    scale: str = ""
    aliases: tuple[str, ...] = ()
    places: int = 1  # most decimals when written
    figures: int = 3  # significant figures that suffice when written
    fixed: bool = False  # trailing zeros belong to it (1.050)
    word: str = ""  # plural to be written instead of the symbol
    before: bool = False  # written in front of the number


@attrs.frozen(kw_only=True, eq=False)
class Kind:
    """A kind of quantity: its units (the first of each scale is canonical) and what may be written."""

    name: str
    label: str  # "a volume"
    units: tuple[Unit, ...]
    metric: tuple[tuple[str, float], ...]  # written in the first unit in which it is at least this much
    us: tuple[tuple[str, float], ...]
    shown: tuple[str, ...] = ()  # units named in messages; all of them if empty
    limits: tuple[tuple[str, float, float], ...] = ()  # scale, lowest, highest (canonical)
    compound: bool = False  # "4 lb 3 oz"
    takes_temperature: bool = False  # "31.5 L at 76 °C"
    bare: str | None = None  # unit a bare number always has
    decimal_comma: bool = False  # "1,050" can only be 1.050
    prefix: bool = False  # a unit may stand in front

    def unit(self, spelling: str) -> Unit | None:
        """Return the unit a spelling means, or None."""
        exact, folded = _spellings(self)
        raw = _plain(spelling)
        if raw in exact:
            return exact[raw]
        known = "/".join(WORDS.get(part.casefold(), part) for part in raw.split("/"))
        return exact.get(known) or folded.get(known.casefold()) or folded.get(raw.casefold())

    def canonical(self, scale: str = "") -> Unit:
        """Return the unit in which values of a scale are kept; of the first scale if none is named."""
        return next(unit for unit in self.units if not scale or unit.scale == scale)

    def range(self, scale: str) -> tuple[float, float]:
        """Return the lowest and highest possible canonical value."""
        for name, low, high in self.limits:
            if name == scale:
                return low, high
        return -float("inf"), float("inf")

    @property
    def named_units(self) -> str:
        """The units as a sentence names them: "kg, g, lb or oz"."""
        symbols = self.shown or tuple(unit.symbol for unit in self.units if unit.symbol)
        return symbols[0] if len(symbols) == 1 else f"{', '.join(symbols[:-1])} or {symbols[-1]}"


def _plain(spelling: str) -> str:
    """Return a spelling without dots and spare spaces, "per" as "/", "degrees" as "°"."""
    text = " ".join(spelling.replace(".", "").split())
    return _DEGREES.sub("°", _PER.sub("/", text))


@cache
def _spellings(kind: Kind) -> tuple[dict[str, Unit], dict[str, Unit]]:
    """Return the units of a kind by exact spelling, and by spelling with case ignored."""
    exact: dict[str, Unit] = {}
    folded: dict[str, Unit] = {}
    clashes: set[str] = set()
    for unit in kind.units:
        for spelling in (unit.symbol, *unit.aliases):
            exact.setdefault(spelling, unit)
            if len(spelling) > _EXACT_CASE:
                key = spelling.casefold()
                if folded.setdefault(key, unit) is not unit:
                    clashes.add(key)
    for key in clashes:
        del folded[key]
    return exact, folded
