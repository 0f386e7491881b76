"""What was typed, as the keys of a file: the unit tells whether an amount is a mass, a rate, a share or a wish."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from typing import Any

from gyle.beer.recipe_fields import Field, Spot
from gyle.beer.section import shown
from gyle.beer.timing_text import read_at
from gyle.beer.trade_words import in_our_words
from gyle.beer.written_units import bare_number, bare_unit, parted, shown_text, written_text
from gyle.errors import BadInput
from gyle.quantities import read
from gyle.quantities.numerals import number_at, tidy
from gyle.quantities.reading import kind_named, quoted

__all__ = ["LONGEST_TYPED", "typed_changes", "typed_text"]

LONGEST_TYPED = 200_000

# Written as a bare number where one is typed and nothing, or a bare number, stood there.
_NUMBERS = ("count", "ratio", "ph", "wish", "number")
_KINDS_OF_TEXT = ("text", "prose", "choice", "flag", "at", "until", "from", "into", "wish", "number")
_EXAMPLES = {
    "mass": 'a mass such as "45 g"',
    "hop_rate": 'a rate such as "1.8 g/L"',
    "bitterness": 'a bitterness such as "30 IBU"',
    "percent": 'a share such as "48 %"',
    "volume": 'a volume such as "24 L"',
    "thickness": 'a thickness such as "2.8 L/kg"',
    "pitch_rate": 'a rate such as "1.1 M/mL/°P"',
    "cells": 'cells such as "200 billion"',
    "count": 'a count such as "2 packs"',
    "carbonation": 'volumes such as "2.3 vol"',
    "pressure": 'a pressure such as "0.9 bar"',
    "time": 'a time such as "14 days"',
    "until": '"stable 3 days"',
}
_FLAGS = {"yes": True, "true": True, "on": True, "no": False, "false": False, "off": False}
_STABLE = re.compile(r"(?i)\s*stable\b.*")
_POINTS = re.compile(r"(?i)\s*(\d+(?:[.,]\d+)?)\s*(?:points?|pts)?\s*")
_ONE_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
_TIME = re.compile(r"(?i)\d+(?:[.,]\d+)?\s*(?:h|hours?|min|minutes?)(?:\s*\d+(?:[.,]\d+)?\s*(?:min|minutes?))?")
_DEGREES = re.compile(r"(?i)\d+(?:[.,]\d+)?\s*°?\s*[cf](?:\s*\([^)]*\))?(?=\s|$)")
MOST_POINTS, MOST_PLATO = 200.0, 45.0  # of a number typed alone as a gravity


def typed_text(value: str, *, lines: bool = False) -> str:
    """Return a typed text on one line, or on its own lines, without what no file should hold.

    Raises
    ------
    BadInput
        If it is too long, or holds a control character or half of a character.
    """
    if len(value) > LONGEST_TYPED:
        raise BadInput(
            f"the text is {len(value)} characters long, and {LONGEST_TYPED} are the most; nothing was changed"
        )
    text = _spaced(value, lines=lines)
    for char in text:
        if char not in "\n\t" and unicodedata.category(char) in ("Cc", "Cs"):
            raise BadInput(
                f"{quoted(text)} holds a character that cannot be printed (U+{ord(char):04X}); type it without"
            )
    return text


def _spaced(value: str, *, lines: bool) -> str:
    text = value.replace("\r\n", "\n").replace("\r", "\n")
    return text if lines else " ".join(text.split())


def typed_changes(spot: Spot, value: str, *, system: str = "metric", now: str | None = None) -> dict[str, Any]:
    """Return what a typed text changes in the table of its place.

    Parameters
    ----------
    spot : Spot
        The place.
    value : str
        What was typed; "" takes away what is written.
    system : {"metric", "us"}
        The units the person reads: a bare number takes the unit it was shown in.
    now : str, optional
        What is taken where nothing is written, if the page shows it there.

    Returns
    -------
    dict
        From key to new value; None takes a key away. Empty if the file says it already.

    Raises
    ------
    BadInput
        If the unit tells no key, or the text cannot stand in a file.
    """
    field, prose = spot.field, spot.field.kind == "prose"
    before = written_text(spot.value)
    visible = shown_text(before, spot.kind, system)
    if _says_the_same(spot, _spaced(value, lines=prose), before, visible, now or ""):
        return {}
    text = in_our_words(typed_text(value, lines=prose), spot.kind)
    if not text.strip():
        gone: dict[str, Any] = {key: None for key, _ in field.keys if key in spot.table}
        return _in_grist(spot, gone)
    key, new = _keyed(spot, text, visible or (now or ""), system)
    if spot.value is not None and key == (spot.key or key) and _equal(spot.value, new, dict(field.keys)[key]):
        return {}
    others = {other: None for other, _ in field.keys if other in spot.table and other != key}
    return _in_grist(spot, {**others, key: new})


def _says_the_same(spot: Spot, text: str, before: str, visible: str, now: str) -> bool:
    plain = text.strip() if spot.field.kind == "prose" else tidy(text)
    if spot.field.kind == "prose":
        return plain == before.replace("\r\n", "\n").strip()
    if spot.field.kind in ("choice", "flag"):
        return plain.casefold() == (tidy(before) or now).casefold() or (not plain and not before)
    return plain in (tidy(before), tidy(visible)) and (bool(plain) == bool(before))


def _equal(old: Any, new: Any, kind: str) -> bool:
    """Whether a file says the same with a new value, digits and unit included."""
    if type(old) is not type(new) or kind in ("text", "prose", "wish"):
        return bool(old == new and type(old) is type(new))
    if not isinstance(old, str):
        return bool(old == new)
    try:
        if kind == "at":
            return read_at(old) == read_at(new) and ("f" in old.casefold()) == ("f" in new.casefold())
        if kind in _KINDS_OF_TEXT:
            return tidy(old) == tidy(new)
        one, other = read(old, kind), read(new, kind)
    except BadInput:
        return False
    return (one.value, one.unit, one.half_digit, one.at_C, one.second) == (
        other.value, other.unit, other.half_digit, other.at_C, other.second
    )  # fmt: skip


def _keyed(spot: Spot, text: str, visible: str, system: str) -> tuple[str, Any]:
    """Return the key that says a text, and its value."""
    field, key = spot.field, spot.key or spot.field.keys[0][0]
    if len(field.keys) > 1:
        return _key_by_unit(spot, text, visible, system)
    return key, _value(field, field.kind, text, spot.value, visible, system)


def _value(field: Field, kind: str, text: str, old: Any, visible: str, system: str) -> Any:
    if kind in ("text", "prose", "choice"):
        return text
    if kind in _FORMS:
        return _FORMS[kind](text, old, visible)
    plain = tidy(text)
    number = bare_number(plain, decimal_comma=kind in ("ratio", "ph", "gravity"))
    if number is None:
        return text
    if kind in _NUMBERS and (unit := _tail(visible, kind)):
        return f"{plain} {unit}"
    if kind in _NUMBERS or (isinstance(old, (int, float)) and not isinstance(old, bool)):
        return int(number) if re.fullmatch(r"[-+]?[0-9]{1,15}", plain) else number
    return _with_unit(plain, number, kind, visible, field.bare, system)


def _tail(visible: str, kind: str) -> str:
    """Return the unit after the number of a text, where it is one number."""
    number = number_at(tidy(visible), 0, decimal_comma=False)
    tail = tidy(visible)[number.end :].strip() if number is not None else ""
    of = {"count": "count", "wish": "concentration"}.get(kind)
    return tail if tail and of is not None and kind_named(of).unit(tail) is not None else ""


def _with_unit(plain: str, number: float, kind: str, visible: str, bare: str | None, system: str) -> str:
    """Return a bare number with the unit it was shown in; without, if that is not certain."""
    if kind == "gravity" and 0.95 <= number <= 1.3:
        return plain  # a specific gravity needs no unit
    unit = bare if not visible and bare is not None else bare_unit(visible, kind, system)
    if kind == "gravity" and not unit and 1.3 < number <= MOST_POINTS:
        degrees = f' or "{plain} °P"' if number <= MOST_PLATO else ""
        raise BadInput(f'"{plain}" could be points or degrees; write "{1.0 + number / 1000.0:.3f}"{degrees}')
    return f"{plain} {unit}".strip() if unit else plain


def _key_by_unit(spot: Spot, text: str, visible: str, system: str) -> tuple[str, Any]:
    """Return the key whose kind of quantity a text is."""
    field = spot.field
    plain = tidy(text)
    number = bare_number(plain)
    if "until" in dict(field.keys):
        if _STABLE.fullmatch(plain):
            return "until", plain
        if number is not None and _STABLE.fullmatch(visible):
            return "until", _ONE_NUMBER.sub(plain, visible, count=1)
    if number is not None:
        # What is shown tells the key too: a count of packs, a volume into the keg.
        kind = spot.kind if spot.key is not None or visible else field.kind
        key = spot.key or next(key for key, own in field.keys if own == kind)
        if kind == "until":
            return key, text
        if visible or _is_one_kind(field):
            return key, _value(field, kind, text, spot.value, visible, system)
        raise BadInput(f"{quoted(text)} has no unit: write {_offer(field)}")
    fault: BadInput | None = None
    kinds = sorted(field.keys, key=lambda pair: pair[0] != spot.key)  # what is written is tried first
    for key, kind in kinds:
        if kind == "until":
            continue
        try:
            read(plain, kind)
        except BadInput as error:
            if kind_named(kind).unit(_last_unit(plain)) is not None and fault is None:
                fault = error
            continue
        if kind == "count":
            count = re.fullmatch(r"([0-9]+) ?packs?", plain)
            return key, int(count[1]) if count else text
        return key, text
    if fault is not None:
        raise BadInput(f"{field.label}: {fault}")
    raise BadInput(f"{quoted(text)} is no {field.label} here: write {_offer(field)}")


def _is_one_kind(field: Field) -> bool:
    return len({kind for _, kind in field.keys}) == 1


def _last_unit(plain: str) -> str:
    return re.sub(r"^.*[0-9][.,]? ?", "", plain)


def _offer(field: Field) -> str:
    offers = list(dict.fromkeys(_EXAMPLES[kind] for _, kind in field.keys))
    return offers[0] if len(offers) == 1 else f"{', '.join(offers[:-1])} or {offers[-1]}"


def _at(text: str, visible: str) -> str:
    """Return a timing; a bare number, a time or a temperature takes its place in the one that is shown."""
    plain = tidy(text)
    if not visible:
        return text
    numbers = _ONE_NUMBER.findall(visible)
    if bare_number(plain) is not None and _ONE_NUMBER.fullmatch(plain):
        if len(numbers) == 1:
            return _ONE_NUMBER.sub(plain, visible)
        if len(numbers) > 1:
            raise BadInput(f"{quoted(text)} does not say which number of {shown(visible)} it is; write it whole")
    if visible.startswith(("boil", "stand")):
        if _TIME.fullmatch(plain):
            return _TIME.sub(plain, visible, count=1)
        if _DEGREES.fullmatch(plain) and _DEGREES.search(visible):
            return _DEGREES.sub(plain, visible, count=1)
    return text


def _flag(text: str, _: Any, __: str) -> Any:
    return _FLAGS.get(tidy(text).casefold(), text)


def _into(text: str, old: Any, _: str) -> Any:
    parts = parted(text)
    return parts[0] if len(parts) == 1 and not isinstance(old, list) else parts


def _from(text: str, _: Any, __: str) -> str:
    found = _POINTS.fullmatch(tidy(text))
    return f"{found[1]} points above final" if found else text


_FORMS: dict[str, Callable[[str, Any, str], Any]] = {
    "flag": _flag,
    "into": _into,
    "from": _from,
    "at": lambda text, _, visible: _at(text, visible),
}


def _in_grist(spot: Spot, changes: dict[str, Any]) -> dict[str, Any]:
    """Return a grist line's timing in the keys a double mash is written with: mash = 2, not at = "mash 2"."""
    if spot.group != "grist" or spot.field.name != "at":
        return changes
    text = changes.get("at")
    second = isinstance(text, str) and tidy(text).casefold() == "mash 2"
    wanted = {"at": None if second else text, "mash": 2 if second else None}
    return {key: value for key, value in wanted.items() if key in spot.table or value is not None}
