"""Reading `at`: one grammar of when and where something goes in, for every ingredient."""

from __future__ import annotations

import difflib
import re

from gyle.beer.timing import STAGES, Timing
from gyle.errors import BadInput

__all__ = ["FORMS", "read_at"]

# One example of each form, in the order of the beer's way.
FORMS = (
    "mash",
    "mash 2",
    "sparge",
    "first wort",
    "boil 60 min",
    "stand 80 °C 15 min",
    "chill",
    "pitch",
    "ferment day 3",
    "ferment 8 points above final",
    "dry day 2 4 days",
    "dry 6 points above final 4 days",
    "dry stable 3 days",
    "keg",
    "bottle",
)

_NUMBER = r"(\d+(?:[.,]\d+)?)"
_TIME = rf"{_NUMBER}\s*(h|hours?|min|minutes?)(?:\s*{_NUMBER}\s*(min|minutes?))?"
_SPAN = rf"{_NUMBER}\s*(d|days?|h|hours?)"
_MASH = re.compile(r"mash(?:\s+(\d))?")
_BOIL = re.compile(rf"boil\s+{_TIME}")
_STAND = re.compile(rf"stand\s+(?:at\s+)?{_NUMBER}\s*°?\s*([cf])(?:\s*\([^)]*\))?\s+(?:for\s+)?{_TIME}")
_FERMENT_DAY = re.compile(rf"(ferment|dry)\s+day\s+{_NUMBER}(?:,?\s+{_SPAN})?")
_POINTS = re.compile(rf"(ferment|dry)\s+{_NUMBER}\s+points?\s+above\s+final(?:,?\s+{_SPAN})?")
_STABLE = re.compile(rf"dry\s+stable\s+{_SPAN}(?:,?\s+{_SPAN})?")

_EXAMPLE = {
    "mash": '"mash" or "mash 2"',
    "boil": '"boil 60 min", the minutes before its end',
    "stand": '"stand 80 °C 15 min"',
    "ferment": '"ferment day 3" or "ferment 8 points above final"',
    "dry": '"dry day 2 4 days", "dry 6 points above final 4 days" or "dry stable 3 days"',
}
LONGEST_BOIL_MIN = 600.0
LONGEST_STAND_MIN = 1440.0
STAND_C = (20.0, 105.0)
LAST_DAY = 730.0
MOST_POINTS = 150.0


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def _minutes(number: str, unit: str, more: str | None) -> float:
    first = _number(number) * (60.0 if unit.startswith("h") else 1.0)
    return round(first + (_number(more) if more else 0.0), 4)


def _days(number: str | None, unit: str | None) -> float | None:
    if number is None or unit is None:
        return None
    return round(_number(number) / (24.0 if unit.startswith("h") else 1.0), 4)


def _inside(value: float | None, low: float, high: float, what: str, said: str) -> float | None:
    if value is not None and not low <= value <= high:
        raise BadInput(f'"{said}": {what} is {value:g}, which is not between {low:g} and {high:g}')
    return value


def _boil_or_stand(text: str, said: str) -> Timing | None:
    if match := _BOIL.fullmatch(text):
        number, unit, more, _ = match.groups()
        minutes = _inside(_minutes(number, unit, more), 0.0, LONGEST_BOIL_MIN, "the boil time in min", said)
        return Timing(stage="boil", minutes=minutes)
    if match := _STAND.fullmatch(text):
        degrees, scale, number, unit, more, _ = match.groups()
        temperature = _number(degrees)
        if scale == "f":
            temperature = round((temperature - 32.0) / 1.8, 2)
        return Timing(
            stage="stand",
            temperature_C=_inside(temperature, *STAND_C, "the stand's temperature in °C", said),
            minutes=_inside(_minutes(number, unit, more), 0.0, LONGEST_STAND_MIN, "the time in min", said),
        )
    return None


def _days_and_points(text: str, said: str) -> Timing | None:
    if match := _FERMENT_DAY.fullmatch(text):
        stage, day, contact, unit = match.groups()
        if stage == "ferment" and contact:
            return None
        return Timing(
            stage=stage,
            day=_inside(_number(day), 1.0, LAST_DAY, "the day (day 1 is the day of pitching)", said),
            contact_days=_inside(_days(contact, unit), 0.0, LAST_DAY, "the days on the hops", said),
        )
    if match := _POINTS.fullmatch(text):
        stage, points, contact, unit = match.groups()
        if stage == "ferment" and contact:
            return None
        return Timing(
            stage=stage,
            points_above_final=_inside(_number(points), 0.0, MOST_POINTS, "the points above final", said),
            contact_days=_inside(_days(contact, unit), 0.0, LAST_DAY, "the days on the hops", said),
        )
    if match := _STABLE.fullmatch(text):
        stable, stable_unit, contact, unit = match.groups()
        return Timing(
            stage="dry",
            stable_days=_inside(_days(stable, stable_unit), 0.0, LAST_DAY, "the days it is stable", said),
            contact_days=_inside(_days(contact, unit), 0.0, LAST_DAY, "the days on the hops", said),
        )
    return None


def read_at(text: str) -> Timing:
    """Read one `at`.

    Parameters
    ----------
    text : str
        Such as "boil 60 min", "stand 176 °F 20 min", "dry 6 points above final 4 days".

    Returns
    -------
    Timing
        Where and when.

    Raises
    ------
    BadInput
        If it is none of the forms; the sentence shows the form that was probably meant.
    """
    said = " ".join(text.split())
    plain = said.casefold()
    if match := _MASH.fullmatch(plain):
        return Timing(stage="mash", mash=_mash_number(match[1], said))
    if plain in STAGES and plain not in _EXAMPLE:
        return Timing(stage=plain)
    timing = _boil_or_stand(plain, said) or _days_and_points(plain, said)
    if timing is not None:
        return timing
    shown = said if len(said) <= 60 else said[:57] + "..."
    first = plain.split(" ")[0] if plain else ""
    if first in _EXAMPLE:
        raise BadInput(f'"{shown}" cannot be read; write {_EXAMPLE[first]}')
    near = difflib.get_close_matches(plain, FORMS, n=1, cutoff=0.5) or difflib.get_close_matches(first, STAGES, n=1)
    offer = f'perhaps "{near[0]}"' if near else f'write one such as "{FORMS[4]}" or "{FORMS[0]}"'
    raise BadInput(f'"{shown}" does not say when; {offer}')


def _mash_number(text: str | None, said: str) -> int:
    number = int(text) if text else 1
    if number not in (1, 2):
        raise BadInput(f'"{said}": a grist is mashed in one or two mashes; write "mash" or "mash 2"')
    return number
