"""Editing one figure of a brewhouse's file: the text is rewritten with its comments, and read again.

A fault changes nothing. A bare number takes the unit the figure is shown in; what is exactly as it was shown
is no edit, so that a form may send a whole row back.
"""

from __future__ import annotations

import copy
import re
import tomllib
from collections.abc import Mapping
from typing import Any

import attrs
import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import InlineTable

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.brewhouse_inputs import BrewhouseInput, brewhouse_inputs, stated_at
from gyle.beer.brewhouse_places import Place, place_at
from gyle.beer.kinds import boil_off_bound_L_h
from gyle.beer.page import parsed
from gyle.beer.reading import brewhouse_from_text
from gyle.beer.rewriting import rewrite
from gyle.beer.toml_text import toml_text
from gyle.errors import BadInput
from gyle.quantities import read, spoken, write
from gyle.quantities.reading import quoted

__all__ = ["NOTHING_SAID", "BrewhouseEdit", "edited_brewhouse", "where_words"]

NOTHING_SAID = "Nothing was changed."
LONGEST = 400
_PARTS = ("value", "spread", "each_time", "from")
_BARE = re.compile(r"[-+−–]?[\d.,' /⁄¼-¾⅐-⅞]+(?:[eE][-+]?\d+)?")
_FLAGS = {"true": True, "yes": True, "on": True, "false": False, "no": False, "off": False}


_OF_A_HABIT = ("habit.gravity", "habit.volume")  # mean nothing without what is reached there
# Where mash and boil share a vessel, its brim may be written at both.
_ONE_VESSEL = {"mash.vessel": ("kettle", "vessel"), "kettle.vessel": ("mash", "vessel")}


@attrs.frozen(kw_only=True)
class BrewhouseEdit:
    """What a person wants of one figure: each part a text as typed, None to leave it, "" to take it away.

    A value of "" takes the whole figure back to what its kind says.
    """

    address: str
    value: str | None = None
    spread: str | None = None
    each_time: str | None = None
    source: str | None = None  # what the file says under `from`

    def parts(self) -> dict[str, str]:
        """The parts that are asked for, by the file's own keys."""
        asked = zip(_PARTS, (self.value, self.spread, self.each_time, self.source), strict=True)
        return {key: " ".join(text.split()) for key, text in asked if text is not None}


def edited_brewhouse(
    text: str, edit: BrewhouseEdit, *, system: str | None = None, name: str = "the brewhouse"
) -> tuple[str, Brewhouse, str]:
    """Return a brewhouse's text with one figure edited, what reading it gives, and what was edited in one line.

    Parameters
    ----------
    text : str
        The file as it is written.
    edit : BrewhouseEdit
        Which figure, and what becomes of it.
    system : {"metric", "us"}, optional
        The person's units; as this context speaks where left out.
    name : str
        What the file is called in a sentence.

    Raises
    ------
    BadInput
        If there is no such figure, or what was typed cannot be read as one; nothing is changed then.
    """
    place = place_at(edit.address)
    if place is None:
        raise BadInput(f"{quoted(edit.address)} is no figure of a brewhouse, so nothing was changed")
    system = system or spoken()
    house = brewhouse_from_text(text, name=name)
    shown = _shown(text, house, place, system)
    data = parsed(text.removeprefix("\ufeff"), name)
    raw, asked = stated_at(data, place), edit.parts()
    wanted = _wanted(asked, place, shown, raw, system)
    if wanted and place.address in _OF_A_HABIT and house.habit is None:
        raise BadInput(f"{place.words}: state the brewhouse efficiency first; this tells in which beer you reach it")
    if wanted == _as_parts(raw):
        return text, house, NOTHING_SAID
    paths = _paths(place, data, wanted, house)
    new, after = text.removeprefix("\ufeff"), house
    try:
        for path, value in paths:
            new = _rewritten(new, path, value, name)
            after = brewhouse_from_text(new, name=name)
    except (TOMLKitError, ValueError) as error:
        raise _not_alone(name) from error
    _hold(new, data, paths, name)
    _hold_possible(house, after, place)
    both = (
        "; it is one vessel, so mash and kettle both have it" if _ONE_VESSEL.get(place.address) in dict(paths) else ""
    )
    return new, after, _said(shown, _shown(new, after, place, system), asked) + both


def where_words(one: BrewhouseInput) -> str:
    """Return the words of a figure with its station, where they do not say it themselves."""
    own = one.station == "whole" or one.station in one.words
    return one.words if own else f"{one.station}, {one.words}"


def _shown(text: str, house: Brewhouse, place: Place, system: str) -> BrewhouseInput:
    return next(one for one in brewhouse_inputs(text, house, system) if one.address == place.address)


def _as_parts(raw: Any) -> dict[str, Any]:
    """What a file says of a figure, part by part."""
    if raw is None:
        return {}
    return dict(raw) if isinstance(raw, Mapping) else {"value": raw}


def _wanted(asked: dict[str, str], place: Place, shown: BrewhouseInput, raw: Any, system: str) -> dict[str, Any]:
    """Return what the file is to say of the figure, part by part; empty to say nothing."""
    _check(asked, place)
    parts = _as_parts(raw)
    if asked.get("value") == "":
        return {}
    as_shown = {"value": shown.value, "spread": shown.spread, "each_time": shown.each_time, "from": shown.source_text}
    confirmed = raw is None and set(asked) == {"value"}  # the very number its kind says, now stated
    edits = {key: text for key, text in asked.items() if text != as_shown[key] or (confirmed and key == "value")}
    if "value" in edits and "from" not in asked:
        parts.pop("from", None)  # the new number does not come from where the old one did
    for key, text in edits.items():
        if text:
            parts[key] = _part(text, key, place, system)
        else:
            parts.pop(key, None)
    if parts and "value" not in parts:
        parts["value"] = _part(shown.value, "value", place, system)
    return {key: parts[key] for key in (*_PARTS, *parts) if key in parts}


def _check(asked: dict[str, str], place: Place) -> None:
    faults = []
    for key, text in asked.items():
        what = place.words if key == "value" else f"{place.words}, {_PART_WORDS[key]}"
        if not text.isprintable():
            faults.append(f"{what}: it holds a character that cannot be printed; write it without")
        elif len(text) > LONGEST:
            faults.append(f"{what}: {len(text)} characters are too many; {LONGEST} are the most")
        elif text and key != "value" and not place.figure:
            faults.append(f"{place.words} is set, not estimated, so it has no {_PART_WORDS[key]}")
    if asked.get("value") == "" and place.address == "name":
        faults.append("a brewhouse needs a name; write what you call it")
    if faults:
        raise BadInput(faults)


_PART_WORDS = {"spread": "spread", "each_time": "spread from time to time", "from": "source"}


def _part(text: str, key: str, place: Place, system: str) -> Any:
    """Return one part as the file has it."""
    if key == "from" or place.kind in ("text", "choice"):
        return text
    if place.kind == "flag":
        if text.casefold() not in _FLAGS:
            raise BadInput(f"{place.words}: {quoted(text)} was written, and yes or no was wanted")
        return _FLAGS[text.casefold()]
    if place.kind in ("number", "count"):
        return _number(text, place)
    spread = key != "value"
    unit = place.shown_unit(system, spread=spread)
    try:
        read(text, place.spread_kind if spread else place.kind, bare=unit or None)
    except BadInput as error:
        raise BadInput(f"{place.words}: {fault}" for fault in error.faults) from None
    return f"{text} {unit}" if unit and _BARE.fullmatch(text) else text


def _number(text: str, place: Place) -> Any:
    """Return a number the file gives bare, or with the one unit it may have."""
    if place.unit and not _BARE.fullmatch(text):
        return text  # with its unit, which reading checks
    try:
        value = read(text.removeprefix("−").removeprefix("-"), "ratio").value
    except BadInput:
        raise BadInput(f"{place.words}: {quoted(text)} was written, and a number was wanted") from None
    value = -value if text[:1] in "−-" else value
    if place.kind == "count":
        if value != int(value):
            raise BadInput(f"{place.words}: {quoted(text)} was written, and a whole number was wanted")
        return int(value)
    return f"{text} {place.unit}" if place.unit else value


def _paths(
    place: Place, data: Mapping[str, Any], wanted: dict[str, Any], house: Brewhouse
) -> list[tuple[tuple[str, ...], Any]]:
    """Return what changes in the file: the way there and what it becomes, None to take it away."""
    value: Any = wanted if set(wanted) - {"value"} else wanted.get("value")
    paths = [(place.path, value)]
    other = _ONE_VESSEL.get(place.address)
    if other and house.same_vessel and other[1] in data.get(other[0], {}):
        paths.append((other, value))  # left alone, it would read as a vessel of its own
    if place.address == "habit.brewhouse_efficiency" and value is None:
        # At a gravity and in a volume means nothing without what is reached there.
        paths[:0] = [(("habit", key), None) for key in ("gravity", "volume") if key in data.get("habit", {})]
    return paths


def _rewritten(text: str, path: tuple[str, ...], value: Any, name: str) -> str:
    """Return the text with one value replaced, added or taken away; comments stay."""
    document = tomlkit.parse(text)
    old: Any = document
    for depth, step in enumerate(path):
        if step not in old:
            missing = path[depth + 1 : -1]
            if missing and value is not None:  # [chill.stand] where there is no [chill] either
                for key in (path[-1], *reversed(missing)):
                    value = {key: _item(value)}
                return rewrite(text, {path[: depth + 1]: value}, name=name)
            old = None
            break
        old = old[step]
    if isinstance(value, dict) and isinstance(old, Mapping) and not isinstance(old, InlineTable):
        changes = {(*path, key): value.get(key) for key in {**dict.fromkeys(old), **value}}
        return rewrite(text, changes, name=name)
    if isinstance(value, dict) and len(path) == 1:
        document[path[0]] = _item(value)
        return tomlkit.dumps(document)
    return rewrite(text, {path: _item(value)}, name=name)


def _item(value: Any) -> Any:
    """Return a figure with its parts as one line of the file; anything else as it is."""
    if not isinstance(value, dict) or "value" not in value:
        return value
    return tomlkit.parse(toml_text({"figure": value})).item("figure")


def _hold(new: str, data: Mapping[str, Any], paths: list[tuple[tuple[str, ...], Any]], name: str) -> None:
    """Hold that the new text says what the old one said but for what was edited."""
    expected = copy.deepcopy(dict(data))
    for path, value in paths:
        table = expected
        for step in path[:-1]:
            table = table.setdefault(step, {})
        if value is None:
            table.pop(path[-1], None)
        else:
            table[path[-1]] = value
    try:
        kept = _pruned(tomllib.loads(new.removeprefix("\ufeff"))) == _pruned(expected)
    except tomllib.TOMLDecodeError:
        kept = False
    if not kept:
        raise _not_alone(name)


# Where one of these is edited, boil-off and heat are held against each other.
_OF_A_BOIL = ("kettle.boil_off", "kettle.power", "kettle.efficiency", "kettle.heat")


def _hold_possible(before: Brewhouse, after: Brewhouse, place: Place) -> None:
    """Refuse a boil-off that the heat cannot drive, with which no beer could be brewed.

    What was so already, as a file may say it, hinders no edit that brings the two nearer to each other.
    """
    if place.address not in _OF_A_BOIL:
        return
    excess, power = _excess_L_h(after), after.power_kW
    if power is None or excess <= 0.0 or excess <= _excess_L_h(before):
        return
    flow, heat = write(after.boil_off_L_h.centre, "flow"), write(power.centre, "power")
    most = write(after.boil_off_L_h.centre - excess, "flow")
    state = "correct" if after.stated("power_kW") else "state"
    way = f"write less, or {state} the power first" if place.address == "kettle.boil_off" else "correct that first"
    raise BadInput(
        f"{place.words}: {heat} of heat drives away {most} at the very most, so a boil-off of {flow} cannot be; {way}"
    )


def _excess_L_h(house: Brewhouse) -> float:
    """By how much the boil-off is beyond what its heat could evaporate."""
    if house.power_kW is None or not house.stated("boil_off_L_h"):
        return 0.0
    reaching_kW = house.power_kW.centre * house.heat_efficiency.centre
    return house.boil_off_L_h.centre - boil_off_bound_L_h(reaching_kW, house.altitude_m)


def _not_alone(name: str) -> BadInput:
    return BadInput(f"{name} is written so that this cannot be changed alone; nothing was changed, edit its text")


def _pruned(value: Any) -> Any:
    """Return a table without the empty tables in it."""
    if not isinstance(value, dict):
        return value
    kept = {key: _pruned(below) for key, below in value.items()}
    return {key: below for key, below in kept.items() if below != {}}


def _told(one: BrewhouseInput, asked: Mapping[str, str]) -> str:
    spread = f", give or take {one.spread}" if one.spread and "spread" in asked else ""
    each_time = f", and {one.each_time} from gyle to gyle" if one.each_time and "each_time" in asked else ""
    return f"{one.value_words or 'nothing'}{spread}{each_time}"


def _said(before: BrewhouseInput, after: BrewhouseInput, asked: Mapping[str, str]) -> str:
    """Say what was edited, as a list of edits shows it."""
    where = where_words(before)
    was, now = _told(before, asked), _told(after, asked)
    if not after.stated:
        return f"{where}: {was} is taken back, {f'{now} is taken, ' if after.value else ''}{after.source}"
    if was == now:
        return f"{where}: {now}, now {after.source}"
    return f"{where}: {now} is stated" if not before.value else f"{where}: {was} becomes {now}"
