"""Every input of a recipe that a brewer may edit, in the order of the beer's way, as plain data for a page."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

import attrs

from gyle.beer.page import Page, parsed
from gyle.beer.recipe import Recipe
from gyle.beer.recipe_fields import FIELDS, LISTS, Spot, aim_keys, rows_in, spot_at
from gyle.beer.recipe_reading import recipe_of
from gyle.beer.taken_values import taken
from gyle.beer.timing import Timing
from gyle.beer.timing_text import read_at
from gyle.beer.written_units import bare_unit, shown_text, written_text
from gyle.errors import BadInput

__all__ = ["STATIONS", "Input", "input_at", "recipe_inputs", "station_of"]

STATIONS = ("line", "water", "mash", "lauter", "kettle", "stand", "fermenter", "keg", "glass")
"""Where an input acts; "line" is the whole way (the name, the notes)."""

_OF_STAGE = {
    "mash": "mash", "sparge": "lauter", "first wort": "kettle", "boil": "kettle", "stand": "stand", "chill": "stand",
    "pitch": "fermenter", "ferment": "fermenter", "dry": "fermenter", "keg": "keg", "bottle": "keg",
}  # fmt: skip
_OF_GROUP = {
    "water": "water", "mash": "mash", "sparge": "lauter", "boil": "kettle", "yeast": "fermenter",
    "fermentation": "fermenter", "package": "keg",
}  # fmt: skip
_OF_TOP = {"volume": "fermenter", "bitterness_by": "glass"}
_BITTERING = ("mash", "first wort", "boil", "stand")
_USUAL_AIMS = (
    "mash_ph", "original_gravity", "final_gravity", "attenuation", "alcohol", "carbonation", "bitterness", "colour"
)  # fmt: skip
# Within a station: what is set there, what goes in as it goes on, what is aimed at.
_SET, _GOES_IN, _AIMED = 0, 1, 2


@attrs.frozen(kw_only=True)
class Input:
    """One thing a brewer may edit.

    Parameters
    ----------
    place : str
        Its stable address, such as "hops.2.amount", "boil.time" or "aim.original_gravity".
    row : str
        The row of a list it belongs to, such as "hops.2", which can be moved or removed; "" for none.
    station : str
        Where on the beer's way it acts; one of `STATIONS`.
    label : str
        Short words for it: "amount", "when", "temperature".
    row_name : str
        What its row is called: "Cascade", "rest 2"; "" for none.
    text : str
        As it is written in the file; "" where nothing is.
    kind : str
        A kind of quantity, or "text", "prose", "choice", "flag", "at", "until", "from", "into", "wish" (an
        amount or a range) or "number".
    choices : tuple of str
        What may be written, where few words may; of a text, what is known.
    open : bool
        Whether nothing is written and planning solves for it.
    otherwise : str
        What is taken where nothing is written and nothing is solved, in the file's own units; "" if nothing is.
    timing : Timing or None
        When its row goes in, if it goes in at a time; after what reading moved to the beginning of the boil.
    as_written : bool
        Whether its unit stays whoever reads it: a scale and a syringe show grams and millilitres.
    """

    place: str
    row: str = ""
    station: str
    label: str
    row_name: str = ""
    text: str = ""
    kind: str
    choices: tuple[str, ...] = ()
    open: bool = False
    otherwise: str = ""
    timing: Timing | None = None
    as_written: bool = False

    def shown(self, system: str) -> str:
        """Return the text in a person's units ("metric" or "us"); as written where its unit is theirs."""
        return self.text if self.as_written else shown_text(self.text, self.kind, system)

    def taken(self, system: str) -> str:
        """Return what is taken where nothing is written, in a person's units."""
        return self.otherwise if self.as_written else shown_text(self.otherwise, self.kind, system)

    def unit(self, system: str) -> str:
        """Return the unit a bare number typed here takes; "" if none does."""
        if self.kind == "wish":
            return "" if self.place.endswith("sulfate_to_chloride") else "mg/L"
        if self.kind in ("text", "prose", "choice", "flag", "at", "until", "from", "into", "number", "count"):
            return ""
        return bare_unit(self.shown(system) or self.taken(system), self.kind, system) or ""


def recipe_inputs(text: str, recipe: Recipe | None = None, *, name: str = "the recipe") -> tuple[Input, ...]:
    """Return every input of a recipe, in the order of the beer's way.

    Parameters
    ----------
    text : str
        The recipe's file.
    recipe : Recipe, optional
        The recipe it reads as, if it was read already.
    name : str
        What the file is called in a sentence.

    Returns
    -------
    tuple of Input
        What the recipe says, what it leaves open, and what else it might say. A recipe that contradicts itself
        has its inputs too: they are where it is mended.

    Raises
    ------
    BadInput
        If the text is no TOML.
    """
    data = parsed(text.removeprefix("\ufeff"), name)
    read = recipe if recipe is not None else read_or_none(data)
    found = [(_moment(one), i, one) for i, one in enumerate(input_at(data, p, read) for p in _places(data, read))]
    # A row stays together where its first input lies.
    first: dict[str, tuple[int, int, float]] = {}
    for moment, _, one in found:
        if one.row:
            first.setdefault(one.row, moment)
    found.sort(key=lambda each: (first.get(each[2].row, each[0]), each[1]))
    return tuple(one for _, _, one in found)


def read_or_none(data: Mapping[str, Any]) -> Recipe | None:
    """Return the recipe a file reads as, whatever brewhouse it names; None if it does not read."""
    alone = {key: value for key, value in data.items() if key != "for_brewhouse"}
    for contradictions_stay in (False, True):
        try:
            return recipe_of(Page(alone, "", ""), for_proofreading=contradictions_stay)
        except BadInput:
            continue
    return None


def _places(data: Mapping[str, Any], recipe: Recipe | None) -> Iterator[str]:
    """Return every place worth offering."""
    yield "name"
    yield "notes"
    for group in ("water", "grist", "mash", "sparge", "boil", "hops", "other", "yeast", "fermentation", "package"):
        rows = len(rows_in(data, group))
        if group in LISTS:
            assumed = group in ("yeast", "fermentation") or (group == "mash" and bool(recipe and recipe.rests))
            places = [f"{group}.{i}" for i in range(max(rows, 1 if assumed and group not in data else 0))]
        else:
            places = [group]
        for place in places:
            for field in FIELDS[group]:
                if _is_offered(spot_at(data, f"{place}.{field.name}"), data, recipe):
                    yield f"{place}.{field.name}"
    if {"carbonation", "pressure"} <= set(data.get("package") or ()):
        yield "package.pressure"
    yield from ("volume", "volume.into")
    if "gyles" in data:
        yield "gyles"
    yield "bitterness_by"
    for key in aim_keys(data):
        try:
            spot_at(data, f"aim.{key}")
        except BadInput:
            continue  # no figure of a beer; reading says so
        yield f"aim.{key}"
    yield from (f"aim.{key}" for key in _USUAL_AIMS if spot_at(data, f"aim.{key}").key is None)


def _is_offered(spot: Spot, data: Mapping[str, Any], recipe: Recipe | None) -> bool:
    """Whether a place is shown: what is written is, of the rest what is usual where it lies."""
    if spot.key is not None or (spot.group == "grist" and spot.field.name == "at"):
        return True
    if spot.group == "mash":
        rows = rows_in(data, "mash")
        number = spot.table.get("mash", 1)
        first = next((i for i, row in enumerate(rows) if row.get("mash", 1) == number), 0)
        if spot.field.name == "liquor":
            return spot.row == first and "liquor_from" not in spot.table
        if spot.field.name == "mash":
            return any(row.get("mash", 1) == 2 for row in (*rows, *rows_in(data, "grist")))
    if spot.group == "fermentation" and spot.field.name == "from":
        return bool(spot.row)
    return spot.field.usual


def input_at(data: Mapping[str, Any], place: str, recipe: Recipe | None) -> Input:
    """Return the input of one place.

    Parameters
    ----------
    data : mapping
        The parsed content of the file.
    place : str
        Its address.
    recipe : Recipe or None
        The recipe it reads as, if it does.

    Raises
    ------
    BadInput
        If there is no such place.
    """
    spot = spot_at(data, place)
    timing = _timing(spot, recipe)
    text = written_text(spot.value)
    kind = spot.kind
    if place == "volume.into":
        text = "keg" if "volume_into_keg" in data else "fermenter"
    otherwise = "" if text else taken(spot, recipe)
    if otherwise.startswith("stable"):
        kind = "until"
    return Input(
        place=place,
        row=spot.row_place,
        station=station_of(spot, timing, data),
        label=spot.field.label,
        row_name=row_name(spot),
        text=text,
        kind=kind,
        choices=spot.field.choices,
        open=not text and _is_solved(spot, timing, recipe),
        otherwise=otherwise,
        timing=timing,
        as_written=_weighed(spot, recipe),
    )


def row_name(spot: Spot) -> str:
    """Return what a row is called."""
    if spot.row is None:
        return ""
    if spot.group in ("mash", "fermentation"):
        return f"{'rest' if spot.group == 'mash' else 'step'} {spot.row + 1}"
    what = spot.table.get("what")
    return " ".join(what.split()) if isinstance(what, str) else ""


def _line(spot: Spot, recipe: Recipe | None) -> Any:
    """Return the line of a recipe a row reads as."""
    lines = {"grist": "grist", "hops": "hops", "other": "others"}.get(spot.group)
    if recipe is None or lines is None or spot.row is None:
        return None
    rows = getattr(recipe, lines)
    return rows[spot.row] if spot.row < len(rows) else None


def _timing(spot: Spot, recipe: Recipe | None) -> Timing | None:
    line = _line(spot, recipe)
    if line is not None:
        at: Timing = line.at
        return at
    said = spot.table.get("at") if spot.group in ("grist", "hops", "other") else None
    try:
        return read_at(said) if isinstance(said, str) else None
    except BadInput:
        return None


def _weighed(spot: Spot, recipe: Recipe | None) -> bool:
    line = _line(spot, recipe)
    return spot.group == "other" and line is not None and line.mineral is not None


def station_of(spot: Spot, timing: Timing | None, data: Mapping[str, Any]) -> str:
    """Return where on the beer's way an input acts."""
    if timing is not None:
        return _OF_STAGE[timing.stage]
    if spot.group == "aim":
        from gyle.beer.figures import figure_of_key  # a name of a figure begins with its station

        figure = figure_of_key(spot.field.name, "tinseth")
        return figure.partition(".")[0] if figure is not None else "line"
    if spot.group == "":
        is_kegged = spot.field.name in ("volume", "into") and "volume_into_keg" in data
        return (
            "keg" if is_kegged else "fermenter" if spot.field.name == "into" else _OF_TOP.get(spot.field.name, "line")
        )
    return _OF_GROUP.get(spot.group, "mash")


def _is_solved(spot: Spot, timing: Timing | None, recipe: Recipe | None) -> bool:
    """Whether planning finds what is not written here."""
    match spot.group, spot.field.name:
        case "grist", "amount":
            return True
        case "hops", "amount":
            return timing is None or timing.stage in _BITTERING
        case ("mash", "liquor") | ("sparge", "volume"):
            return recipe is None or bool(recipe.rests)
    return False


def _moment(one: Input) -> tuple[int, int, float]:
    """Return the order of an input: its station, what it is there, and when it goes in."""
    station = STATIONS.index(one.station)
    if one.place.startswith("aim."):
        return station, _AIMED, 0.0
    at = one.timing
    if at is None:
        return station, _GOES_IN if one.row else _SET, 0.0
    hour = {
        "boil": -(at.minutes or 0.0), "first wort": -math.inf, "stand": -(at.minutes or 0.0), "chill": 1.0,
        "pitch": 0.0, "ferment": 1.0, "dry": 2.0,
    }.get(at.stage, 0.0)  # fmt: skip
    return station, _GOES_IN, hour
