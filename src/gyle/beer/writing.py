"""Writing the text files: a recipe or brewhouse from nothing, or an author's own file restated."""

from __future__ import annotations

import os
from collections.abc import Mapping
from typing import Any

from gyle.beer.brewhouse_table import brewhouse_text
from gyle.beer.page import Address, parsed
from gyle.beer.recipe import Recipe
from gyle.beer.recipe_table import recipe_table, recipe_text
from gyle.beer.text_file import write_text

__all__ = ["brewhouse_text", "recipe_text", "restated", "rewrite", "write_recipe", "write_text"]

_NOTHING = object()


def rewrite(text: str, changes: Mapping[Address, Any], *, name: str = "the file") -> str:
    """Return an author's text with some values replaced; see `rewriting.rewrite`."""
    # The library that keeps comments takes longer to load than a recipe takes to be read.
    from gyle.beer.rewriting import rewrite as rewritten

    return rewritten(text, changes, name=name)


def restated(
    text: str,
    old: Recipe,
    new: Recipe,
    system: str = "metric",
    *,
    for_brewhouse: str | None = None,
    name: str = "the recipe",
) -> str:
    """Return an author's text restated: what differs between two recipes changes, all else stays.

    Parameters
    ----------
    text : str
        The file that `old` was read from.
    old, new : Recipe
        The recipe as it was read, and as it is to become.
    system : {"metric", "us"}
        Units of what changes.
    for_brewhouse : str, optional
        The name of the file of the new brewhouse; without it a new brewhouse is written into the recipe.
    """
    before = recipe_table(old, system)
    after = recipe_table(new, system, for_brewhouse=for_brewhouse)
    written = parsed(text, name)
    changes: dict[Address, Any] = {}
    for key in dict.fromkeys((*before, *after)):
        if before.get(key, _NOTHING) != after.get(key, _NOTHING):
            _differences(
                before.get(key, _NOTHING), after.get(key, _NOTHING), written.get(key, _NOTHING), (key,), changes
            )
    _say_what_was_taken(before, after, written, changes)
    return rewrite(text, changes, name=name)


def _say_what_was_taken(before: Any, after: Any, written: Any, changes: dict[Address, Any]) -> None:
    """Write down what reading took for granted where a change would make it take something else."""
    if before.get("yeast") != after.get("yeast") or before.get("fermentation") != after.get("fermentation"):
        for key in ("yeast", "fermentation"):
            if key in after and key not in written:
                _differences(_NOTHING, after[key], _NOTHING, (key,), changes)
    # The last step ends when gravity is stable, unless it says otherwise; another step must say so.
    rows, steps = written.get("fermentation"), after.get("fermentation", [])
    if isinstance(rows, list) and len(rows) < len(steps):
        last = len(rows) - 1
        if "until" in steps[last] and "until" not in rows[last]:
            changes[("fermentation", last, "until")] = steps[last]["until"]


def _differences(before: Any, after: Any, written: Any, address: Address, changes: dict[Address, Any]) -> None:
    """Collect what must change in a file so that it says `after`."""
    if after is _NOTHING:
        if written is not _NOTHING:
            changes[address] = None
    elif address == ("for_brewhouse",):
        changes[address] = after
    elif written is _NOTHING or type(before) is not type(after) or type(written) is not type(after):
        _whole(after, written, address, changes)
    elif isinstance(after, dict):
        for key in dict.fromkeys((*before, *after)):
            was, becomes = before.get(key, _NOTHING), after.get(key, _NOTHING)
            if was != becomes:
                _differences(was, becomes, written.get(key, _NOTHING), (*address, key), changes)
    elif _is_rows(after) and len(written) == len(before):
        _row_differences(before, after, written, address, changes)
    else:
        changes[address] = after


def _row_differences(
    before: list[Any], after: list[Any], written: list[Any], address: Address, changes: dict[Address, Any]
) -> None:
    """Collect what must change in a list of tables, row by row."""
    for i, row in enumerate(after):
        if i >= len(before):
            changes[(*address, i)] = row
        elif row != before[i]:
            _differences(before[i], row, written[i], (*address, i), changes)
    for i in range(len(after), len(before)):
        changes[(*address, i)] = None


def _whole(after: Any, written: Any, address: Address, changes: dict[Address, Any]) -> None:
    """Collect a value that stands in the file for the first time, or in another form."""
    if written is not _NOTHING or len(address) > 1:
        changes[address] = after
    elif isinstance(after, dict):
        changes.update({(*address, key): value for key, value in after.items()})
    elif _is_rows(after):
        changes.update({(*address, i): row for i, row in enumerate(after)})
    else:
        changes[address] = after


def _is_rows(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(row, dict) for row in value)


def write_recipe(
    path: str | os.PathLike[str], recipe: Recipe, system: str = "metric", *, for_brewhouse: str | None = None
) -> None:
    """Write a recipe to a file; see `recipe_text` and `write_text`."""
    write_text(path, recipe_text(recipe, system, for_brewhouse=for_brewhouse))
