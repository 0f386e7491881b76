"""Edits of a recipe's text, as a page asks for them: one edit, one new text that reads, or a sentence and no change."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import attrs

from gyle.beer.amount_keys import typed_changes
from gyle.beer.edit_kinds import Add, Edit, Move, Nudge, Remove, Set
from gyle.beer.edit_words import set_line
from gyle.beer.grist_shares import all_in, in_masses, in_shares, per_cent, rescaled
from gyle.beer.nudging import nudged, nudged_at
from gyle.beer.page import Address
from gyle.beer.reading import recipe_from_text
from gyle.beer.recipe import Recipe
from gyle.beer.recipe_fields import Spot, rows_in, spot_at
from gyle.beer.recipe_inputs import input_at, read_or_none
from gyle.beer.recipe_reading import Resolve
from gyle.beer.recipe_rewriting import RecipeText
from gyle.beer.row_edits import add, move, remove, taken_row
from gyle.beer.section import shown
from gyle.beer.timing_text import read_at
from gyle.errors import BadInput
from gyle.quantities import read

__all__ = ["Add", "Edit", "Edited", "Move", "Nudge", "Remove", "Set", "edited"]

MOST_STEPS = 1000


@attrs.frozen(kw_only=True)
class Edited:
    """A recipe after an edit.

    Parameters
    ----------
    text : str
        The whole new text; comments and order are the author's.
    recipe : Recipe
        What it reads as.
    said : str
        The edit in one line, such as "East Kent Golding 45 g → 50 g".
    place : str
        Where the edited value or row lies now; "" where it is gone.
    """

    text: str
    recipe: Recipe
    said: str
    place: str = ""


def edited(
    text: str,
    edit: Edit,
    *,
    resolve: Resolve | None = None,
    read: Callable[[str], Recipe] | None = None,
    name: str = "the recipe",
    system: str = "metric",
) -> Edited | None:
    """Return a recipe's text after one edit.

    Parameters
    ----------
    text : str
        The file as it is written.
    edit : Set, Add, Remove, Move or Nudge
        What is asked for.
    resolve : callable, optional
        Finds a brewhouse by name, as `recipe_from_text` takes it.
    read : callable, optional
        Reads the new text in place of `recipe_from_text`, where what was read is kept.
    name : str
        What the file is called in a sentence.
    system : {"metric", "us"}
        The units the person reads and a bare number is meant in.

    Returns
    -------
    Edited or None
        None where the recipe says it already.

    Raises
    ------
    BadInput
        If there is no such place, or the new text does not read: with every fault reading finds.
    """
    draft = RecipeText(text, name)
    before = draft.text
    match edit:
        case Set():
            said, place = _set(draft, edit.place, edit.value, system)
        case Nudge():
            said, place = _nudge(draft, edit, system)
        case Add():
            said, place = add(draft, edit, system)
        case Remove():
            said, place = remove(draft, edit.row, system)
        case Move():
            said, place = move(draft, edit)
    if draft.text == before:
        return None
    recipe = recipe_from_text(draft.text, name=name, resolve=resolve) if read is None else read(draft.text)
    return Edited(text=draft.text, recipe=recipe, said=f"{said}{_moved_to_boil(draft.data, recipe, edit)}", place=place)


def _moved_to_boil(data: Mapping[str, Any], recipe: Recipe, edit: Edit) -> str:
    """Say which additions a shorter boil moved to its beginning."""
    if not isinstance(edit, (Set, Nudge)) or edit.place != "boil.time":
        return ""
    timed = [*zip(rows_in(data, "hops"), ((line.what, line.at) for line in recipe.hops), strict=True)]
    timed += zip(rows_in(data, "other"), ((line.what, line.at) for line in recipe.others), strict=True)
    early = {
        what: None
        for row, (what, at) in timed
        if at.stage == "boil" and (read_at(row["at"]).minutes or 0.0) > recipe.boil_minutes
    }
    if not early:
        return ""
    return f"; {' and '.join(early)} then {'go' if len(early) > 1 else 'goes'} in as it begins"


def _set(draft: RecipeText, place: str, value: str, system: str) -> tuple[str, str]:
    data = draft.data
    spot = spot_at(data, place)
    recipe = read_or_none(data)
    before = input_at(data, place, recipe)
    if place == "volume.into":
        changes = _counted(data, value)
    elif place == "name" and not value.strip():
        raise BadInput("a beer needs a name; nothing was changed")
    else:
        changes = {
            (*spot.address, key): new
            for key, new in typed_changes(spot, value, system=system, now=before.taken(system)).items()
        }
    if not changes:
        return "", place
    also: str = ""
    if spot.group == "grist" and spot.field.name == "amount":
        others, also = _other_amounts(data, spot, changes)
        changes |= others
    _write(draft, spot, changes, recipe)
    after = input_at(draft.data, place, read_or_none(draft.data))
    return set_line(data, before, after, spot, system) + also, place


def _write(draft: RecipeText, spot: Spot, changes: Mapping[Address, Any], recipe: Recipe | None) -> None:
    """Change values; a row that reading took for granted is written down with all it must say."""
    if spot.row is not None and not spot.table and spot.group not in draft.data:
        whole = taken_row(draft.data, spot.group, recipe)
        whole |= {str(address[-1]): value for address, value in changes.items() if value is not None}
        whole = {key: value for key, value in whole.items() if not _is_other_amount(spot, key, changes)}
        if spot.group == "yeast":
            draft.change({("yeast", key): value for key, value in whole.items()})
        else:
            draft.put(spot.group, 0, whole)
        return
    draft.change(changes)


def _is_other_amount(spot: Spot, key: str, changes: Mapping[Address, Any]) -> bool:
    keys = dict(spot.field.keys)
    return key in keys and not any(address[-1] == key for address in changes)


def _counted(data: Mapping[str, Any], value: str) -> dict[Address, Any]:
    """Return the changes that let the volume count what goes into the fermenter or the keg."""
    keys = {"fermenter": "volume", "keg": "volume_into_keg"}
    wanted = keys.get(" ".join(value.split()).casefold())
    if wanted is None:
        raise BadInput(f'the volume counts {shown(value)}, and "fermenter" or "keg" was wanted')
    written = next((key for key in keys.values() if key in data), None)
    if written is None and wanted != "volume":
        raise BadInput("no volume is written that could be counted; write the volume first")
    return {} if written is None or wanted == written else {(written,): None, (wanted,): data[written]}


def _other_amounts(
    data: Mapping[str, Any], spot: Spot, changes: Mapping[Address, Any]
) -> tuple[dict[Address, Any], str]:
    """Return what happens to the other lines of a grist when one is given another amount."""
    rows, row = rows_in(data, "grist"), spot.row or 0
    said = {address[-1]: value for address, value in changes.items() if value is not None}
    shares, masses = all_in(rows, "share"), all_in(rows, "mass")
    texts: dict[int, str] = {}
    key, gone, words = "share", "", ""
    if len(rows) < 2:
        return {}, ""
    if "share" in said and shares is not None:
        left = {i: share for i, share in enumerate(shares) if i != row}
        texts, words = rescaled(left, 100.0 - per_cent(said["share"])), "; the other shares keep their ratios"
    elif "share" in said and masses is not None:
        texts = in_shares(masses, row, per_cent(said["share"]))
        gone, words = "mass", "; the other masses become shares in the same ratios"
    elif "mass" in said and shares is not None and read(said["mass"], "mass").value > 0.0:
        texts, key, gone = in_masses(shares, row, said["mass"]), "mass", "share"
        words = "; the other shares become masses in proportion"
    others: dict[Address, Any] = {}
    for i, text in texts.items():
        others[("grist", i, key)] = text
        if gone:
            others[("grist", i, gone)] = None
    return others, words if others else ""


def _nudge(draft: RecipeText, edit: Nudge, system: str) -> tuple[str, str]:
    if not isinstance(edit.steps, int) or isinstance(edit.steps, bool) or abs(edit.steps) > MOST_STEPS:
        raise BadInput(f"{shown(edit.steps)} steps were asked for, and a whole number up to {MOST_STEPS} was wanted")
    recipe = read_or_none(draft.data)
    spot = spot_at(draft.data, edit.place)
    now = input_at(draft.data, edit.place, recipe)
    text = now.text or now.otherwise
    if not text:
        raise BadInput(f"nothing is written at {shown(edit.place)} that could be nudged; type an amount first")
    if now.kind == "at":
        minutes = recipe.boil_minutes if recipe is not None else 0.0
        new = nudged_at(text, edit.part, edit.steps, boil_minutes=minutes)
    elif now.kind in ("until", "from"):
        number = "".join(c for c in text if c.isdigit() or c in ".,").replace(",", ".")
        new = text.replace(number, f"{max(float(number) + edit.steps, 0.0):g}", 1)
    else:
        above = spot.group == "grist" and spot.field.name == "amount"
        new = nudged(text, now.kind, edit.steps, above_zero=above, bare=spot.field.bare)
    return ("", edit.place) if new == text else _set(draft, edit.place, new, system)
