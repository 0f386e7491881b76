"""Rows of a recipe added, taken out and moved, and what else must be said then: shares, liquor, the end of a step."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gyle.beer.amount_keys import typed_changes
from gyle.beer.edit_kinds import Add, Move
from gyle.beer.edit_words import added_line, moved_line, removed_line
from gyle.beer.grist_shares import all_in, per_cent, rescaled
from gyle.beer.page import Address
from gyle.beer.recipe import Recipe
from gyle.beer.recipe_fields import FIELDS, LISTS, Spot, rows_in
from gyle.beer.recipe_inputs import input_at, read_or_none
from gyle.beer.recipe_rewriting import RecipeText
from gyle.beer.section import shown
from gyle.beer.written_units import shown_text
from gyle.errors import BadInput

__all__ = ["add", "move", "remove", "taken_row"]

MOST_ROWS = 200
_LIQUOR = ("liquor", "thickness", "liquor_from")
# What a new row says where nothing else is asked for; where an amount must be stated, reading asks for it.
_NEW_ROW: dict[str, dict[str, str]] = {
    "grist": {},
    "mash": {"temperature": "72 °C", "time": "15 min"},
    "hops": {"at": "boil 10 min"},
    "other": {"at": "boil 15 min"},
    "yeast": {},
    "fermentation": {"temperature": "20 °C"},
}


def taken_row(data: Mapping[str, Any], group: str, recipe: Recipe | None) -> dict[str, Any]:
    """Return the row that reading takes where a list is not written."""
    names = {"mash": ("temperature", "time"), "fermentation": ("temperature", "end"), "yeast": ("what",)}[group]
    row: dict[str, Any] = {}
    for field_name in names:
        taken_here = input_at(data, f"{group}.0.{field_name}", recipe).otherwise
        if taken_here:
            row["until" if field_name == "end" else field_name] = taken_here
    return row


def _row_of(data: Mapping[str, Any], place: str) -> tuple[str, int]:
    """Return the list and the place of a row that is written.

    Raises
    ------
    BadInput
        If there is none.
    """
    group, _, number = place.partition(".")
    if group in LISTS and number.isascii() and number.isdigit() and len(number) < 5:
        row = int(number)
        if row < len(rows_in(data, group)) and str(row) == number:
            return group, row
    raise BadInput(f"the recipe has no row {shown(place)}; nothing was changed")


def add(draft: RecipeText, edit: Add, system: str) -> tuple[str, str]:
    """Add a row; return the line that tells it, and the place where it lies."""
    group = edit.list
    if group not in LISTS:
        raise BadInput(f"{shown(group)} is no list of a recipe; rows go into {', '.join(LISTS)}")
    recipe = read_or_none(draft.data)
    if group in ("mash", "fermentation") and group not in draft.data and recipe is not None:
        # The row that was taken for granted would be gone with the first one written.
        assumed = taken_row(draft.data, group, recipe)
        if "temperature" in assumed:
            draft.put(group, 0, assumed)
    rows = rows_in(draft.data, group)
    if len(rows) >= MOST_ROWS:
        raise BadInput(f"the recipe has {len(rows)} rows there, and {MOST_ROWS} are the most")
    after = len(rows) - 1 if edit.after is None else edit.after
    if not -1 <= after < len(rows):
        raise BadInput(f"the recipe has no row {group}.{after} to add another after; nothing was changed")
    values = _new_row(group, edit.values, system)
    changes: dict[Address, Any] = {}
    shares = all_in(rows, "share")
    also = ""
    if group == "grist" and "share" in values and shares is not None:
        texts = rescaled(dict(enumerate(shares)), 100.0 - per_cent(values["share"]))
        changes = {("grist", i, "share"): text for i, text in texts.items()}
        also = "; the other shares keep their ratios"
    if group == "fermentation" and "from" not in values:
        _say_the_end(draft, after)
    draft.change(changes)
    draft.put(group, after + 1, values)
    place = f"{group}.{after + 1}"
    return added_line(draft.data, group, after + 1, system) + also, place


def _new_row(group: str, typed: Mapping[str, str], system: str) -> dict[str, Any]:
    """Return the keys of a new row, from texts by the names of its fields."""
    known = {field.name: field for field in FIELDS[group]}
    asked = {key: text for key, text in typed.items() if text.strip()}
    for key in typed:
        if key not in known:
            raise BadInput(f"{shown(key)} is nothing a row of {group} says; it may say {', '.join(known)}")
    usual = {key: text for key, text in _NEW_ROW[group].items() if key not in asked}
    row: dict[str, Any] = {}
    for name, field in known.items():
        if name not in asked and name not in usual:
            continue
        spot = Spot(place=f"{group}.{name}", group=group, row=0, address=(group, 0), table={}, field=field)
        text = asked.get(name) or shown_text(usual[name], field.kind, system)
        row |= {key: value for key, value in typed_changes(spot, text, system=system).items() if value is not None}
    return row


def _say_the_end(draft: RecipeText, row: int) -> None:
    """Write down how long a step of fermentation lasts that is no longer the last one."""
    rows = rows_in(draft.data, "fermentation")
    if row == len(rows) - 1 and row >= 0 and not ({"time", "until"} & rows[row].keys()):
        address: Address = ("fermentation", row) if isinstance(draft.data["fermentation"], list) else ("fermentation",)
        draft.change({(*address, "until"): "stable 3 days"})


def remove(draft: RecipeText, place: str, system: str) -> tuple[str, str]:
    """Take a row out; return the line that tells it, and no place."""
    group, row = _row_of(draft.data, place)
    said, also = removed_line(draft.data, group, row, system), ""
    rows = rows_in(draft.data, group)
    shares = all_in(rows, "share") if group == "grist" else None
    if shares is not None and len(rows) > 1:
        texts = rescaled({i: share for i, share in enumerate(shares) if i != row}, 100.0)
        draft.change({("grist", i, "share"): text for i, text in texts.items()})
        also = "; the other shares keep their ratios"
    if group == "mash":
        _keep_liquor(draft, row, row + 1)
    draft.take_out(group, row)
    return said + also, ""


def _keep_liquor(draft: RecipeText, row: int, to: int) -> None:
    """Let the liquor of a mash stand with the rest that becomes its first."""
    rows = rows_in(draft.data, "mash")
    if not 0 <= row < len(rows) or not 0 <= to < len(rows) or rows[row].get("mash", 1) != rows[to].get("mash", 1):
        return
    said = {key: rows[row][key] for key in _LIQUOR if key in rows[row]}
    if said and not set(_LIQUOR) & rows[to].keys():
        draft.change({("mash", row, key): None for key in said} | {("mash", to, key): v for key, v in said.items()})


def move(draft: RecipeText, edit: Move) -> tuple[str, str]:
    """Let a row change places with its neighbour; return the line that tells it, and where it lies now."""
    group, row = _row_of(draft.data, edit.row)
    if edit.towards not in ("up", "down"):
        raise BadInput(f'a row moves {shown(edit.towards)}, and "up" or "down" was wanted')
    to = row + (1 if edit.towards == "down" else -1)
    if not 0 <= to < len(rows_in(draft.data, group)):
        return "", edit.row
    if group == "fermentation":
        _say_the_end(draft, len(rows_in(draft.data, group)) - 1)
    if group == "mash":
        _keep_liquor(draft, min(row, to), max(row, to))
    said = moved_line(draft.data, group, row, edit.towards)
    draft.swap(group, row, to)
    return said, f"{group}.{to}"
