"""An export read again: each row held against the table it goes into, whoever may have edited the files meanwhile."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from datetime import datetime
from pathlib import Path
from typing import Any, NoReturn, get_args

from sqlalchemy import JSON, Column, Connection, Integer, Table, func, insert, select, text
from sqlalchemy.exc import DataError, IntegrityError

from gyle.beer.page import LARGEST_BYTES
from gyle.books import schema
from gyle.books.export_files import DOCUMENT, FILED, FORMAT, Owners, derived, listed
from gyle.books.migration import HEAD
from gyle.books.papers import Kind
from gyle.books.schema import Moment
from gyle.books.slugs import LARGEST_NUMBER, checked_slug
from gyle.books.store import Store
from gyle.books.trouble import told
from gyle.books.wording import checked_summary, checked_text
from gyle.errors import BadInput, StoreError

__all__ = ["READ_LAYOUTS", "fill"]

READ_LAYOUTS = ("0001",)  # the layouts whose exports are read; one that a new layout leaves behind is brought up here
LARGEST_DOCUMENT_BYTES = 1_000_000_000
AT_ONCE = 500


def fill(store: Store, folder: Path) -> None:
    """Put an export into an empty store, all of it or nothing.

    Raises
    ------
    BadInput
        If the folder is no export, or something of it is missing or cannot be.
    StoreError
        If the export was written by a newer gyle, the store is not empty, or it cannot be written.
    """
    tables = _document(folder)
    owners = Owners()
    with store.writing() as connection:
        if any(connection.scalar(select(func.count()).select_from(table)) for table in schema.metadata.sorted_tables):
            raise StoreError("an export goes into an empty store only, and this one is not; nothing was changed")
        try:
            for table in schema.metadata.sorted_tables:
                _fill_table(connection, table, _rows(table, tables, folder=folder, owners=owners))
        except (IntegrityError, DataError):
            _amiss("a row refers to what is not there, or is there twice")
        _look(connection)


def _amiss(what: str) -> NoReturn:
    raise BadInput(f"the export does not hold together: {what}; nothing was changed")


def _document(folder: Path) -> Mapping[str, Any]:
    """Return the tables of the document."""
    file = folder / DOCUMENT
    with told("the export cannot be read"):
        if not file.is_file():
            raise BadInput(f"{folder.name} is no export of gyle: it holds no {DOCUMENT}")
        if file.stat().st_size > LARGEST_DOCUMENT_BYTES:
            raise BadInput(f"{DOCUMENT} is larger than any export")
        written = file.read_bytes()
    try:
        found = json.loads(written)
    except (ValueError, RecursionError):
        raise BadInput(f"{DOCUMENT} is no JSON; it may have been cut short") from None
    if not isinstance(found, dict) or not isinstance(found.get("tables"), dict):
        raise BadInput(f"{DOCUMENT} is no export of gyle")
    layout = found.get("layout")
    if found.get("gyle_export") != FORMAT or layout not in READ_LAYOUTS:
        raise StoreError(
            f"the export was written by a newer gyle (layout {str(layout)[:20]}, and this one knows {HEAD}); "
            "update gyle; nothing was changed"
        )
    tables: dict[str, Any] = found["tables"]
    return tables


def _rows(table: Table, tables: Mapping[str, Any], *, folder: Path, owners: Owners) -> Iterator[dict[str, Any]]:
    rows = tables.get(table.name)
    if not isinstance(rows, list):
        _amiss(f"{DOCUMENT} says nothing of {table.name}")
    columns = [table.columns[name] for name in listed(table)]
    names = {column.name for column in columns}
    for place, given in enumerate(rows, start=1):
        where = f"{table.name}, row {place}"
        if not isinstance(given, dict) or set(given) != names:
            _amiss(f"{where} does not say what it should")
        row = {column.name: _value(column, given[column.name], where) for column in columns}
        owners.learn(table, row)
        if table.name in FILED:
            row["text"] = _text(table, row, folder=folder, owners=owners, where=where)
        yield {**row, **derived(table, row)}


def _text(table: Table, row: Mapping[str, Any], *, folder: Path, owners: Owners, where: str) -> str:
    try:
        place = owners.place(table, row)
    except KeyError:
        _amiss(f"{where} belongs to nothing")
    file = folder.joinpath(place)
    with told("the export cannot be read"):
        if not file.is_file():
            _amiss(f"{place} is missing")
        with open(file, "rb") as opened:
            raw = opened.read(LARGEST_BYTES + 1)
    try:
        return checked_text(raw.decode("utf-8"), str(place))
    except UnicodeDecodeError:
        _amiss(f"{place} is no text in UTF-8")


def _value(column: Column[Any], value: Any, where: str) -> Any:
    """Return what a column is to hold; the names of columns carry what their texts must be."""
    here = f"{column.name} in {where}"
    if value is None:
        if not column.nullable:
            _amiss(f"{here} is missing")
        return None
    if isinstance(column.type, Moment):
        return _moment(value, here)
    if isinstance(column.type, Integer):
        if type(value) is not int or not 0 <= value <= LARGEST_NUMBER:
            _amiss(f"{here} is no number that can be")
        return value
    if isinstance(column.type, JSON):
        if not isinstance(value, dict):
            _amiss(f"{here} is no object")
        return checked_summary(value)
    if not isinstance(value, str):
        _amiss(f"{here} is no text")
    if (check := _CHECKS.get(column.name)) is not None and not check(value):
        _amiss(f"{here} cannot be that")
    longest = getattr(column.type, "length", None)
    if longest is not None and len(value) > longest:
        _amiss(f"{here} is too long")
    return checked_text(value, here, blank="kept")


def _moment(value: Any, here: str) -> datetime:
    try:
        found = datetime.fromisoformat(value)
        if found.utcoffset() is None:
            raise ValueError
    except (TypeError, ValueError):
        _amiss(f"{here} is no moment with a zone")
    return found


def _is_slug(value: str) -> bool:
    try:
        return checked_slug(value, "slug") == value
    except BadInput:
        return False


_CHECKS: Mapping[str, Callable[[str], bool]] = {
    "slug": _is_slug,
    "brewhouse": _is_slug,
    "kind": lambda value: value in get_args(Kind),
}


def _fill_table(connection: Connection, table: Table, rows: Iterator[dict[str, Any]]) -> None:
    waiting: list[dict[str, Any]] = []
    for row in rows:
        waiting.append(row)
        if len(waiting) == AT_ONCE:
            connection.execute(insert(table), waiting)
            waiting.clear()
    if waiting:
        connection.execute(insert(table), waiting)
    if "id" in table.columns and connection.dialect.name == "postgresql":
        # Numbers given by hand do not count there; the next one must be a new one.
        highest = f"SELECT setval(pg_get_serial_sequence('{table.name}', 'id'), max(id)) FROM {table.name}"
        connection.execute(text(highest))


def _look(connection: Connection) -> None:
    """Refuse what no constraint of the tables sees."""
    beers, versions, drafts, steps = schema.beers, schema.versions, schema.drafts, schema.draft_steps
    papers, revisions = schema.papers, schema.revisions
    highest_version = select(func.max(versions.c.number)).where(versions.c.beer_id == beers.c.id).scalar_subquery()
    highest_revision = select(func.max(revisions.c.number)).where(revisions.c.paper_id == papers.c.id).scalar_subquery()
    last = select(func.max(steps.c.number)).where(steps.c.draft_id == drafts.c.id).scalar_subquery()
    held = select(steps.c.number).where(steps.c.draft_id == drafts.c.id, steps.c.number == drafts.c.pointer)
    wrong = {
        "a beer's newest version is not there": select(beers.c.id).where(
            func.coalesce(highest_version, 0) != beers.c.newest
        ),
        "the newest revision of a brewhouse, a water or the stock is not there": select(papers.c.id).where(
            func.coalesce(highest_revision, 0) != papers.c.newest
        ),
        "the step an open draft is at is not there": select(drafts.c.id).where(
            drafts.c.closed_at.is_(None), ~held.exists()
        ),
        "a draft has a step of a higher number than it ever gave": select(drafts.c.id).where(last > drafts.c.last),
    }
    for what, query in wrong.items():
        if connection.execute(query.limit(1)).first() is not None:
            _amiss(what)
