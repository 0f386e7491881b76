"""What a page may ask of a recipe's text: one value written, one row added, taken out or moved, one number nudged."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

import attrs

__all__ = ["Add", "Edit", "Move", "Nudge", "Remove", "Set"]


@attrs.frozen
class Set:
    """Write a value at a place as it was typed; "" takes away what is written."""

    place: str
    value: str


@attrs.frozen
class Add:
    """Add a row to a list, from texts by the names of its fields; after a row, or at the end (-1: as the first)."""

    list: str
    values: Mapping[str, str] = attrs.field(factory=dict)
    after: int | None = None


@attrs.frozen
class Remove:
    """Take out a row, such as "hops.2"."""

    row: str


@attrs.frozen
class Move:
    """Let a row change places with its neighbour."""

    row: str
    towards: Literal["up", "down"]


@attrs.frozen
class Nudge:
    """Make an amount, or one number of a timing (`part`), some steps more or less."""

    place: str
    steps: int
    part: str = "minutes"


Edit = Set | Add | Remove | Move | Nudge
