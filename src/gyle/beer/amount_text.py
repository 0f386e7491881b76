"""Writing an amount so that reading it gives the same number back, as short as that allows."""

from __future__ import annotations

import math
from collections.abc import Callable
from decimal import Decimal

from gyle.quantities import convert, read

__all__ = ["amount_text", "exact_number", "plain_number"]

# The unit an amount is written in: the first in which it is at least this much.
_METRIC = {
    "mass": (("kg", 1.0), ("g", 0.0)),
    "volume": (("L", 0.0),),
    "temperature": (("°C", -math.inf),),
    "temperature_difference": (("K", -math.inf),),
    "time": (("min", 0.0),),
    "days": (("days", 0.0),),
    "percent": (("%", 0.0),),
    "colour": (("EBC", 0.0),),
    "hop_rate": (("g/L", 0.0),),
    "bitterness": (("IBU", 0.0),),
    "thickness": (("L/kg", 0.0),),
    "pressure": (("bar", -math.inf),),
    "carbonation": (("vol", 0.0),),
    "pitch_rate": (("M/mL/°P", 0.0),),
    "cells": (("billion", 0.0),),
    "power": (("kW", 0.0),),
    "flow": (("L/h", 0.0),),
    "length": (("m", -math.inf),),
    "gravity": (("SG", 0.0),),
}
_US = _METRIC | {
    "mass": (("lb", 1.0), ("oz", 0.0)),
    "volume": (("gal", 0.0),),
    "temperature": (("°F", -math.inf),),
    "hop_rate": (("oz/gal", 0.0),),
    "thickness": (("qt/lb", 0.0),),
    "pressure": (("psi", -math.inf),),
}
_SYSTEMS = {"metric": _METRIC, "us": _US}
_MOST_DIGITS = 17
_US_DIGITS = 7
ULPS = 2
_US_UNITS = frozenset({"lb", "oz", "gal", "°F", "oz/gal", "qt/lb", "psi"})


def plain_number(value: float) -> str:
    """Return a number's shortest text that reads as the same number: 60 for 60.0, never 1e-05."""
    text = format(Decimal(repr(float(value))), "f")
    return text.removesuffix(".0").removesuffix(".")


def exact_number(
    guess: float,
    value: float,
    back: Callable[[str], float],
    *,
    places: int | None = None,
    most_digits: int = _MOST_DIGITS,
) -> str:
    """Return the shortest number near a guess that reads back as a value.

    Parameters
    ----------
    guess : float
        The number in the unit it is written in.
    value : float
        What reading it must give.
    back : callable
        From the number's text to what reading gives.
    places : int, optional
        Decimals to write if they suffice.
    most_digits : int
        Significant digits beyond which no exactness is worth it.

    Returns
    -------
    str
        If no number reads back within the last bits (the unit's factor may skip it), the nearest.
    """
    if places is not None and 0 <= places <= _MOST_DIGITS and back(text := f"{guess:.{places}f}") == value:
        return text
    best, off = plain_number(guess), math.inf
    for digits in range(1, most_digits + 1):
        text = plain_number(float(f"{guess:.{digits}g}"))
        miss = abs(back(text) - value)
        if miss <= ULPS * math.ulp(value):  # a sum's last bits are no amount anyone meant
            return text
        if miss < off:
            best, off = text, miss
    if most_digits < _MOST_DIGITS:
        return best
    for ulps in (1, -1, 2, -2):
        near = guess
        for _ in range(abs(ulps)):
            near = math.nextafter(near, math.inf if ulps > 0 else -math.inf)
        if back(plain_number(near)) == value:
            return plain_number(near)
    return best


def amount_text(
    value: float,
    kind: str,
    *,
    system: str = "metric",
    half_digit: float = 0.0,
    to_value: Callable[[float], float] = float,
    to_canonical: Callable[[float], float] = float,
) -> str:
    """Return an amount with its unit.

    Parameters
    ----------
    value : float
        What the recipe or brewhouse keeps.
    kind : str
        A kind of quantity, or "days" for times written in days.
    system : {"metric", "us"}
        Which units.
    half_digit : float
        Half the last printed digit, in the unit of `value`; 0 if nothing was printed.
    to_value : callable
        From what reading gives to what is kept, such as per cent to a fraction.
    to_canonical : callable
        And back, near enough.
    """
    of = "time" if kind == "days" else kind
    canonical = to_canonical(value)
    steps = _SYSTEMS[system][kind]
    unit = next(
        (symbol for symbol, least in steps if convert(abs(canonical), of, symbol) >= least - 1e-12),
        steps[-1][0],
    ) if len(steps) > 1 else steps[0][0]  # fmt: skip
    guess = convert(canonical, of, unit)
    places = None
    if half_digit > 0.0:
        step = 2.0 * abs(convert(to_canonical(value + half_digit), of, unit) - guess)
        places = max(0, round(-math.log10(step))) if step > 0.0 else None
    suffix = "" if unit == "SG" else f" {unit}"

    def back(text: str) -> float:
        return to_value(read(f"{text}{suffix}", of).value)

    # An amount turned into the other system is not the author's: seven digits are plenty.
    digits = _US_DIGITS if unit in _US_UNITS else _MOST_DIGITS
    return f"{exact_number(guess, value, back, places=places, most_digits=digits)}{suffix}"
