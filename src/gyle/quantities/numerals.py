"""Numbers as people write them: decimal point or comma, grouped thousands, fractions, powers of ten."""

from __future__ import annotations

import re
from typing import NamedTuple

__all__ = ["Number", "number_at", "tidy"]

# Look-alikes that typists, phones and typesetters produce.
_LOOK_ALIKES = str.maketrans(
    {
        "−": "-",
        "–": "-",
        "‐": "-",
        "‑": "-",
        "⁄": "/",
        "∕": "/",
        "’": "'",
        "º": "°",
        "˚": "°",
        "℃": "°C",
        "℉": "°F",
        "μ": "µ",
        "₂": "2",
        "₃": "3",
        "½": " 1/2",
        "⅓": " 1/3",
        "⅔": " 2/3",
        "¼": " 1/4",
        "¾": " 3/4",
        "⅕": " 1/5",
        "⅖": " 2/5",
        "⅗": " 3/5",
        "⅘": " 4/5",
        "⅙": " 1/6",
        "⅚": " 5/6",
        "⅛": " 1/8",
        "⅜": " 3/8",
        "⅝": " 5/8",
        "⅞": " 7/8",
    }
)
_RAISED = re.compile("[⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺]+")
_RAISED_TO_PLAIN = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺", "0123456789-+")

_NUMBER = re.compile(
    r"""
    (?P<sign>[-+])?\ ?
    (?: (?:(?P<whole>[0-9]+)[ -])?(?P<top>[0-9]+)\ ?/\ ?(?P<bottom>[0-9]+)
      | (?P<digits> [0-9]{1,3}(?:\ [0-9]{3})+(?:[.,][0-9]+)?(?![0-9/])
                  | [0-9]+(?:[.,'][0-9]+)*
                  | [.,][0-9]+ )
        (?: \ ?[x×*·]\ ?10\^(?P<power>[-+]?[0-9]+) | [eE](?P<exponent>[-+]?[0-9]+) )?
    )""",
    re.VERBOSE,
)
_GROUPED = re.compile(r"[0-9]{1,3}(?:(?P<mark>[.,' ])[0-9]{3})(?:(?P=mark)[0-9]{3})*")
# Denominators of measuring scales and kitchen measures; "65/149" is no fraction.
_DENOMINATORS = {2, 3, 4, 5, 6, 8, 10, 16, 32, 64}


class Number(NamedTuple):
    """A number found in a text."""

    value: float
    half_digit: float  # half a unit of the last printed digit
    end: int  # where the number ends
    other: float | None  # what it would be if its comma marked thousands, when one cannot tell


def tidy(text: str) -> str:
    """Return a text with plain spaces, signs, fractions and powers."""
    plain = text.translate(_LOOK_ALIKES)
    plain = _RAISED.sub(lambda m: "^" + m.group().translate(_RAISED_TO_PLAIN), plain)
    return " ".join(plain.split())


def number_at(text: str, start: int, *, decimal_comma: bool) -> Number | None:
    """Return the number that begins at a place, or None if none does or it is malformed.

    Parameters
    ----------
    text : str
        A tidy text.
    start : int
        Where to look.
    decimal_comma : bool
        Whether one comma before three digits can only be a decimal comma, as in a gravity of "1,050".

    Returns
    -------
    Number or None
        The number, its printed precision and where it ends; infinite if it is written beyond all bounds.
    """
    match = _NUMBER.match(text, start)
    if match is None:
        return None
    sign = -1.0 if match["sign"] == "-" else 1.0
    if match["bottom"] is not None:
        return _fraction(match, sign)
    plain, places, ambiguous = _digits(match["digits"], decimal_comma=decimal_comma)
    if plain is None:
        return None
    exponent = match["power"] or match["exponent"] or "0"
    value = float(f"{plain}e{exponent}")
    half_digit = float(f"5e{int(exponent) - places - 1}")
    other = sign * value * 1000.0 if ambiguous else None
    return Number(sign * value, half_digit, match.end(), other)


def _fraction(match: re.Match[str], sign: float) -> Number | None:
    """Return a proper fraction, with or without a whole number in front."""
    top, bottom = int(match["top"]), int(match["bottom"])
    if bottom not in _DENOMINATORS or top >= bottom:
        return None
    value = sign * (float(match["whole"] or 0) + top / bottom)
    return Number(value, 0.5 / bottom, match.end(), None)


def _digits(digits: str, *, decimal_comma: bool) -> tuple[str | None, int, bool]:
    """Return digits with a decimal point at most, the number of decimals, and whether one cannot tell."""
    marks = {mark for mark in ".,' " if mark in digits}
    if not marks:
        return digits, 0, False
    last = max(marks, key=digits.rfind)
    whole, _, decimals = digits.rpartition(last)
    if len(marks) == 1 and digits.count(last) == 1 and last in ".,":
        ambiguous = (
            last == "," and not decimal_comma and _GROUPED.fullmatch(digits) is not None and not whole.startswith("0")
        )
        return f"{whole or '0'}.{decimals}", len(decimals), ambiguous
    if len(marks) == 1 and _GROUPED.fullmatch(digits) and not whole.startswith("0"):
        return re.sub("[^0-9]", "", digits), 0, False
    if len(marks) == 2 and last in ".," and digits.count(last) == 1 and _GROUPED.fullmatch(whole):
        return f"{re.sub('[^0-9]', '', whole)}.{decimals}", len(decimals), False
    return None, 0, False
