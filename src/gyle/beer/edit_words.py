"""An edit in one line, for the list of what can be undone."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gyle.beer.recipe_fields import Spot, rows_in
from gyle.beer.recipe_inputs import Input, input_at
from gyle.errors import BadInput

__all__ = ["added_line", "moved_line", "removed_line", "set_line"]

LONGEST = 60
_TOLD = {
    ("", "bitterness_by"): "bitterness counted by",
    ("water", "dilution"): "reverse osmosis water",
    ("sparge", "temperature"): "sparge temperature",
    ("package", "temperature"): "package temperature",
    ("package", "carbonation"): "carbonation",
    ("package", "pressure"): "package pressure",
}


def _short(text: str) -> str:
    plain = " ".join(text.split())
    return plain if len(plain) <= LONGEST else f"{plain[: LONGEST - 1]}…"


def _row_named(data: Mapping[str, Any], group: str, row: int) -> str:
    """Return what a row is called, told apart from others of the same name by when it goes in."""
    rows = rows_in(data, group)
    if group in ("mash", "fermentation"):
        return f"{'rest' if group == 'mash' else 'fermentation step'} {row + 1}"
    what = rows[row].get("what") if row < len(rows) else ""
    name = _short(what) if isinstance(what, str) else ""
    if sum(one.get("what") == what for one in rows) > 1 and isinstance(at := rows[row].get("at"), str):
        return f"{name} ({_short(at)})"
    return name or group


def _subject(data: Mapping[str, Any], spot: Spot) -> str:
    told = spot.field.told
    if spot.row is not None:
        if spot.field.name == "what":
            return ""
        name = _row_named(data, spot.group, spot.row) if spot.table else spot.group
        if spot.field.name == "at":  # its old time is told by the line itself
            name = name.partition(" (")[0]
        words = spot.field.label if told is None else told
        return f"{name} {words}".strip()
    if spot.group == "aim":
        return f"aimed {spot.field.label}"
    words = _TOLD.get((spot.group, spot.field.name), told or spot.field.label)
    if spot.group == "water" and spot.field.name != "dilution":
        return f"wanted {words}"
    return "volume counted into the" if spot.field.name == "into" and spot.group == "" else words


def set_line(data: Mapping[str, Any], before: Input, after: Input, spot: Spot, system: str) -> str:
    """Return the line for a value that was written."""
    subject = _subject(data, spot)
    if spot.field.kind == "prose":
        return "notes taken out" if not after.text else "notes rewritten" if before.text else "notes written"
    old, new = _short(before.shown(system)), _short(after.shown(system))
    if spot.group == "yeast" and "packs" in spot.field.keys[-1]:
        old, new = (f"{one} packs" if one.isdigit() else one for one in (old, new))
    if not new and after.open:
        new = "left open"
    if not old and before.open:
        old = "left open"
    if not old and not new:
        return subject
    if not new:
        return f"{subject} {old} taken out".strip()
    if not old:
        old = _short(before.taken(system)) if before.kind in ("choice", "flag") else ""
    return f"{subject} {old} → {new}".strip() if old else f"{subject} {new}".strip()


def _row_told(data: Mapping[str, Any], group: str, row: int, system: str) -> str:
    """Return a row in a few words: what, how much, when."""
    names = (
        ("temperature", "time")
        if group == "mash"
        else ("temperature",)
        if group == "fermentation"
        else ("amount", "at")
    )
    said = [_row_named(data, group, row).partition(" (")[0]]
    for name in names:
        try:
            said.append(_short(input_at(data, f"{group}.{row}.{name}", None).shown(system)))
        except BadInput:
            continue  # a yeast goes in at no stated time
    return " ".join(part for part in said if part)


def added_line(data: Mapping[str, Any], group: str, row: int, system: str) -> str:
    """Return the line for a row that was added."""
    return f"{_row_told(data, group, row, system)} added"


def removed_line(data: Mapping[str, Any], group: str, row: int, system: str) -> str:
    """Return the line for a row that is taken out."""
    return f"{_row_told(data, group, row, system)} taken out"


def moved_line(data: Mapping[str, Any], group: str, row: int, towards: str) -> str:
    """Return the line for a row that changes places with its neighbour."""
    return f"{_row_named(data, group, row)} moved {towards}"
