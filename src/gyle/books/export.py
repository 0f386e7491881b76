"""The way out: the whole store as text files, made while it is in use."""

from __future__ import annotations

import json
import os
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import attrs
from sqlalchemy import Connection, Table, func, select

from gyle import __version__
from gyle.books import schema
from gyle.books.export_files import DOCUMENT, FILED, FORMAT, NOTE, NOTE_FILE, Owners, listed
from gyle.books.migration import HEAD
from gyle.books.new_place import new_place
from gyle.books.store import Store
from gyle.books.trouble import told

__all__ = ["Tally", "export", "tally"]


@attrs.frozen(kw_only=True)
class Tally:
    """How much there is in a store."""

    beers: int
    versions: int
    drafts: int  # open ones
    brewhouses: int
    waters: int
    gyles: int


def tally(store: Store) -> Tally:
    """Count what is in a store.

    Raises
    ------
    StoreError
        If it cannot be read.
    """

    def papers(kind: str) -> Any:
        return select(func.count()).where(schema.papers.c.kind == kind).scalar_subquery()

    def rows(table: Table, *conditions: Any) -> Any:
        return select(func.count()).select_from(table).where(*conditions).scalar_subquery()

    counts = select(
        rows(schema.beers).label("beers"), rows(schema.versions).label("versions"),
        rows(schema.drafts, schema.drafts.c.closed_at.is_(None)).label("drafts"),
        papers("brewhouse").label("brewhouses"), papers("water").label("waters"), rows(schema.gyles).label("gyles"),
    )  # fmt: skip
    with store.reading() as connection:
        return Tally(**connection.execute(counts).one()._mapping)


def export(store: Store, folder: str | os.PathLike[str]) -> None:
    """Write all of a store into a new folder, whole or not at all.

    Raises
    ------
    BadInput
        If there is something of that name already, or no folder to write it into.
    StoreError
        If the store cannot be read or the folder cannot be written.
    """
    with new_place(folder, "export") as part:
        part.mkdir()
        with store.reading() as connection:
            tables = _written(connection, part)
        document = {
            "gyle_export": FORMAT,
            "layout": HEAD,
            "program": __version__,
            "made_at": datetime.now(UTC).isoformat(),
            "tables": tables,
        }
        (part / NOTE_FILE).write_text(NOTE, encoding="utf-8", newline="")
        written = json.dumps(document, ensure_ascii=False, allow_nan=False, indent=1)
        (part / DOCUMENT).write_text(written + "\n", encoding="utf-8", newline="")
        if hasattr(os, "sync"):
            os.sync()  # one for thousands of small files


def _written(connection: Connection, part: Path) -> dict[str, list[dict[str, Any]]]:
    """Write the texts, and return the rest table by table, owners before what they own."""
    owners = Owners()
    tables: dict[str, list[dict[str, Any]]] = {}
    for table in schema.metadata.sorted_tables:
        columns = listed(table)
        rows = tables[table.name] = []
        for row in connection.execute(select(table).order_by(*table.primary_key.columns)):
            held: dict[str, Any] = dict(row._mapping)
            owners.learn(table, held)
            if table.name in FILED:
                _put(part.joinpath(owners.place(table, held)), held["text"])
            rows.append({name: _plain(held[name]) for name in columns})
    return tables


def _put(file: Path, text: str) -> None:
    with told("no export can be written"):  # inside a transaction whose own troubles are those of the store
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8", newline="")


def _plain(value: Any) -> Any:
    return value.isoformat() if isinstance(value, datetime) else value
