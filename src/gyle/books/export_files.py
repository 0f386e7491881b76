"""What an export looks like: the whole store as text files that any program reads.

Each text lies in a file of its own, as its author wrote it; everything else, who is whose parent and what was when, is
in one JSON document beside them. What follows from the rest is left out of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import PurePosixPath
from typing import Any

import attrs
from sqlalchemy import Table

from gyle.books import schema
from gyle.books.wording import folded

__all__ = ["DOCUMENT", "FILED", "FORMAT", "NOTE", "NOTE_FILE", "Owners", "derived", "listed", "plural"]

FORMAT = 1
DOCUMENT = "books.json"
NOTE_FILE = "README.txt"
NOTE = """Books of gyle, written as text files.

Each version of a beer's recipe, each step of unsaved work, and each revision of a brewhouse, a water and the stock is a
TOML file as its author wrote it; the highest number is the newest. books.json says which was made from which, when and
why, and what is planned. "gyle restore" with the name of this folder puts all of it into a store again.
"""

FILED = frozenset({"versions", "revisions", "draft_steps"})  # tables whose texts are files
_FOLLOWS = {"beers": "folded", "draft_steps": "characters"}
_PLURAL = {"brewhouse": "brewhouses", "water": "waters", "stock": "stock"}


def plural(kind: str) -> str:
    """Return the folder in which papers of a kind lie."""
    return _PLURAL[kind]


def listed(table: Table) -> tuple[str, ...]:
    """Return the columns of a table that stand in the document."""
    gone = {_FOLLOWS.get(table.name), "text" if table.name in FILED else None}
    return tuple(column.name for column in table.columns if column.name not in gone)


def derived(table: Table, row: Mapping[str, Any]) -> dict[str, Any]:
    """Return the columns that follow from the rest of a row."""
    if table is schema.beers:
        return {"folded": folded(row["name"])}
    if table is schema.draft_steps:
        return {"characters": len(row["text"])}
    return {}


@attrs.define
class Owners:
    """Whose text is whose, learned from the rows that come first: a text's file is named after its owner."""

    _beers: dict[int, str] = attrs.field(factory=dict, init=False)
    _drafts: dict[int, int] = attrs.field(factory=dict, init=False)
    _papers: dict[int, tuple[str, str]] = attrs.field(factory=dict, init=False)

    def learn(self, table: Table, row: Mapping[str, Any]) -> None:
        """Take note of a row that may own texts."""
        if table is schema.beers:
            self._beers[row["id"]] = row["slug"]
        elif table is schema.drafts:
            self._drafts[row["id"]] = row["beer_id"]
        elif table is schema.papers:
            self._papers[row["id"]] = (row["kind"], row["slug"])

    def place(self, table: Table, row: Mapping[str, Any]) -> PurePosixPath:
        """Return the file of a row's text inside the export.

        Raises
        ------
        KeyError
            If the row belongs to nothing.
        """
        if table is schema.versions:
            return PurePosixPath("beers", self._beers[row["beer_id"]], f"version-{row['number']}.toml")
        if table is schema.draft_steps:
            beer = self._beers[self._drafts[row["draft_id"]]]
            return PurePosixPath("beers", beer, f"draft-{row['draft_id']}-step-{row['number']}.toml")
        kind, slug = self._papers[row["paper_id"]]
        return PurePosixPath(plural(kind), slug, f"revision-{row['number']}.toml")
