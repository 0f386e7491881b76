"""Where the rows of a recipe went from one of its texts to a later one, so that a page may run ahead of its answers.

What a page sends names a row by its number on that page. Where an edit that the page made just before has taken a
row out or put one in, the same row has another number by then.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from difflib import SequenceMatcher
from typing import Any

__all__ = ["moved_place", "moved_rows"]


def moved_rows(before: str, after: str) -> dict[str, str | None]:
    """Return where each row went that has not kept its place.

    Parameters
    ----------
    before, after : str
        Two texts of a recipe, both of which can be read.

    Returns
    -------
    dict of str to str or None
        By the row's place in the first text, such as "hops.2": its place in the second, None where it is gone.
    """
    was, now = (tomllib.loads(text.removeprefix("\ufeff")) for text in (before, after))
    found: dict[str, str | None] = {}
    for group in was:
        went = _went(_rows(was, group), _rows(now, group))
        found |= {
            f"{group}.{old}": None if new is None else f"{group}.{new}" for old, new in went.items() if old != new
        }
    return found


def moved_place(place: str, moved: Mapping[str, str | None]) -> str | None:
    """Return the place of an input or a row after its row has moved, None where the row is gone."""
    group, _, rest = place.partition(".")
    number, dot, field = rest.partition(".")
    row = f"{group}.{number}"
    if row not in moved:
        return place
    to = moved[row]
    return None if to is None else f"{to}{dot}{field}"


def _rows(data: Mapping[str, Any], group: str) -> list[Mapping[str, Any]]:
    rows = data.get(group)
    return [row for row in rows if isinstance(row, dict)] if isinstance(rows, list) else []


def _went(old: Sequence[Mapping[str, Any]], new: Sequence[Mapping[str, Any]]) -> dict[int, int | None]:
    """Where each row went, by its number; a row that was edited too is known by what it is of."""
    found: dict[int, int | None] = {}
    alike = SequenceMatcher(None, [repr(row) for row in old], [repr(row) for row in new], autojunk=False)
    for _, first, last, at, end in alike.get_opcodes():
        if last - first == end - at:
            found |= dict(zip(range(first, last), range(at, end), strict=True))
            continue
        left = list(range(at, end))
        for number in range(first, last):
            to = next((one for one in left if new[one].get("what") == old[number].get("what")), None)
            found[number] = to
            if to is not None:
                left = [one for one in left if one > to]
    return found
