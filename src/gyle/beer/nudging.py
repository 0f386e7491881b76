"""A little more or less of what is written: steps a brewer would take, in the author's own unit."""

from __future__ import annotations

import math
import re
from decimal import Decimal

from gyle.beer.section import shown
from gyle.beer.timing_text import LONGEST_STAND_MIN, STAND_C, read_at
from gyle.beer.written_units import shown_text
from gyle.errors import BadInput
from gyle.quantities import read
from gyle.quantities.numerals import number_at, tidy
from gyle.quantities.reading import kind_named

__all__ = ["PARTS", "nudged", "nudged_at"]

PARTS = ("minutes", "temperature", "day", "points", "stable", "contact")

# One step in a unit: up to and with a value, so much; the last holds beyond.
_STEPS: dict[str, tuple[tuple[str, str], ...]] = {
    "g": (("20", "1"), ("200", "5"), ("1000", "10"), ("inf", "50")),
    "kg": (("1", "0.01"), ("5", "0.05"), ("inf", "0.1")),
    "mg": (("inf", "100"),),
    "oz": (("1", "0.05"), ("8", "0.25"), ("inf", "0.5")),
    "lb": (("1", "0.05"), ("10", "0.1"), ("inf", "0.25")),
    "%": (("2", "0.1"), ("10", "0.5"), ("inf", "1")),
    "IBU": (("inf", "1"),),
    "g/L": (("5", "0.1"), ("inf", "0.5")),
    "oz/gal": (("inf", "0.05"),),
    "L": (("5", "0.1"), ("50", "0.5"), ("inf", "1")),
    "mL": (("20", "0.5"), ("200", "5"), ("inf", "50")),
    "gal": (("2", "0.05"), ("20", "0.1"), ("inf", "0.5")),
    "qt": (("inf", "0.25"),),
    "°C": (("inf", "0.5"),),
    "K": (("inf", "0.5"),),
    "°F": (("inf", "1"),),
    "min": (("inf", "1"),),
    "h": (("inf", "0.5"),),
    "d": (("inf", "1"),),
    "week": (("inf", "1"),),
    "SG": (("inf", "0.001"),),
    "points": (("inf", "1"),),
    "°P": (("inf", "0.1"),),
    "°Bx": (("inf", "0.1"),),
    "pH": (("inf", "0.05"),),
    "mg/L": (("20", "1"), ("200", "5"), ("inf", "10")),
    "vol": (("inf", "0.1"),),
    "bar": (("inf", "0.05"),),
    "psi": (("inf", "1"),),
    "L/kg": (("inf", "0.1"),),
    "qt/lb": (("inf", "0.05"),),
    "M/mL/°P": (("inf", "0.05"),),
    "billion": (("100", "5"), ("inf", "10")),
    "EBC": (("20", "1"), ("200", "5"), ("inf", "20")),
    "SRM": (("20", "1"), ("inf", "5")),
}
_COUNT = (("inf", "1"),)
_POUNDS_AND_OUNCES = re.compile(r"(?i)(\d+) ?(?:lbs?|pounds?),? ?(?:(\d+(?:\.\d+)?) ?(?:oz|ounces?))")
_OUNCES: tuple[tuple[str, str], ...] = (("16", "0.5"), ("160", "1"), ("inf", "4"))
_WARM = re.compile(r"(?i) ?(?:\bat\b|@) ?.*$")
_FORM = {"wish": "concentration", "number": "count"}
_BELOW_ZERO = ("temperature", "temperature_difference")


def _stepped(value: Decimal, steps: int, ladder: tuple[tuple[str, str], ...], least: Decimal | None) -> Decimal:
    """Return a value so many steps away, each as large as suits where it begins (downwards: where it ends)."""
    up = steps > 0
    for _ in range(abs(steps)):
        size = next(
            Decimal(step) for most, step in ladder if (value < Decimal(most) if up else value <= Decimal(most))
            or most == "inf"
        )  # fmt: skip
        value += size if up else -size
        if least is not None and value < least:
            return least
    return value


def nudged(text: str, kind: str, steps: int, *, above_zero: bool = False, bare: str | None = None) -> str:
    """Return an amount some steps more or less, in the unit it is written in.

    Parameters
    ----------
    text : str
        As it is written; what is said after the number stays ("8.6 % AA", "31.5 L at 76 °C").
    kind : str
        Its kind of quantity.
    steps : int
        How many steps, downwards where negative.
    above_zero : bool
        Whether nothing at all is no amount here.
    bare : str, optional
        The unit of a bare number.

    Raises
    ------
    BadInput
        If it is no single amount.
    """
    plain = tidy(text)
    of = "ratio" if kind == "wish" and bare == "" else _FORM.get(kind, kind)
    if found := _POUNDS_AND_OUNCES.fullmatch(plain):
        ounces = Decimal(found[1]) * 16 + Decimal(found[2])
        pounds, rest = divmod(_stepped(ounces, steps, _OUNCES, Decimal("0.5") if above_zero else Decimal(0)), 16)
        return f"{pounds} lb {_plain(rest)} oz" if rest else f"{pounds} lb"
    number = number_at(plain, 0, decimal_comma=of in ("gravity", "ratio", "ph"))
    if number is None or kind in ("text", "choice", "into", "prose", "flag"):
        raise BadInput(f"{shown(text)} is no single number that could be nudged: type it")
    literal, tail = plain[: number.end], plain[number.end :]
    quantity = read(f"{literal}{tail}", of, bare=bare)
    if quantity.second is not None:  # what is said twice would no longer agree with itself
        tail = re.sub(r" ?\([^)]*\)", "", tail)
    symbol = _symbol(tail, of) or quantity.unit
    if not _symbol(tail, of) and any(c.isdigit() for c in _WARM.sub("", tail)):
        if of != "time":
            raise BadInput(f"{shown(text)} is no single number that could be nudged: type it")
        return f"{_number(quantity.value, steps, 0.0, math.inf)} min"  # "1 h 15 min"
    ladder = _COUNT if of == "count" else (("inf", "0.05"),) if of == "ratio" else _STEPS.get(symbol)
    if ladder is None:
        raise BadInput(f"{shown(text)} is in a unit that is not nudged: type it")
    value = Decimal(repr(number.value))
    least = None if of in _BELOW_ZERO else min(value, Decimal(ladder[0][1])) if above_zero else Decimal(0)
    done = _stepped(value, steps, ladder, least)
    return f"{_like(done, literal, fixed=symbol == 'SG')}{tail}"


def _symbol(tail: str, kind: str) -> str:
    unit = kind_named(kind).unit(_WARM.sub("", tail).strip()) if tail.strip() else None
    return "" if unit is None else unit.symbol


def _plain(value: Decimal) -> str:
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _like(value: Decimal, literal: str, *, fixed: bool) -> str:
    """Return a number with as many decimals as the one it takes the place of, and its decimal mark."""
    mark = "," if "," in literal and "." not in literal else "."
    places = len(literal.rpartition(mark)[2]) if mark in literal else 0
    plain = _plain(value)
    own = len(plain.partition(".")[2])
    if fixed or own < places:
        plain = f"{value:.{max(own, places, 3 if fixed else 0)}f}"
    return plain.replace(".", mark)


def nudged_at(text: str, part: str, steps: int, *, boil_minutes: float) -> str:
    """Return a timing with one of its numbers some steps later or earlier, warmer or cooler.

    Parameters
    ----------
    text : str
        As it is written.
    part : {"minutes", "temperature", "day", "points", "stable", "contact"}
        Which of its numbers; a timing with one number has only that.
    steps : int
        Minutes, days, points; half kelvins, or degrees where they are Fahrenheit.
    boil_minutes : float
        The length of the boil: nothing goes into it earlier.

    Raises
    ------
    BadInput
        If the timing has no such number.
    """
    at = read_at(text)
    if part == "temperature" and at.temperature_C is not None:
        said = re.search(r"(?i)(\d+(?:[.,]\d+)?\s*°?\s*[cf])(?:\s*\([^)]*\))?", text)
        assert said is not None  # it was just read
        warmer = nudged(said[1], "temperature", steps)
        low, high = STAND_C
        if not low <= read(warmer, "temperature").value <= high:
            return text
        return f"{text[: said.start()]}{warmer}{text[said.end() :]}"
    if at.stage == "boil" and at.minutes is not None and part == "minutes":
        return f"boil {_number(at.minutes, steps, 0.0, max(boil_minutes, at.minutes))} min"
    if at.stage == "stand" and at.minutes is not None and part == "minutes":
        warm = re.match(r"(?i)\s*stand\s+(?:at\s+)?(\d+(?:[.,]\d+)?)\s*°?\s*([cf])", text)
        assert warm is not None
        return f"stand {warm[1]} °{warm[2].upper()} {_number(at.minutes, steps, 0.0, LONGEST_STAND_MIN)} min"
    parts = {
        "day": (at.day, "day {} ", 1.0),
        "points": (at.points_above_final, "{} points above final ", 0.0),
        "stable": (at.stable_days, "stable {} days ", 0.0),
        "contact": (at.contact_days, "{} days", 0.0),
    }
    if part in parts and parts[part][0] is not None:
        words = (
            form.format(_number(value, steps if key == part else 0, least, 730.0))
            for key, (value, form, least) in parts.items()
            if value is not None
        )
        return f"{at.stage} {''.join(words)}".strip()
    raise BadInput(f"{shown(shown_text(text, 'at', 'metric'))} has no {part} to nudge: type when it goes in")


def _number(value: float, steps: int, least: float, most: float) -> str:
    return f"{min(max(value + steps, least), max(most, least)):g}"
