"""Rewriting an author's own file: some values change, comments and order stay."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Any

import tomlkit
from tomlkit import TOMLDocument
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, Item, Table

from gyle.beer.page import Address, parsed
from gyle.beer.row_blocks import row_gone
from gyle.beer.toml_text import quoted
from gyle.errors import BadInput

__all__ = ["rewrite"]

# Keys that say one thing in different ways: the new one takes the place of the old.
_TWINS = (
    ("mass", "share", "rate", "bitterness", "volume", "count"),
    ("pitch", "packs", "mass", "cells"),
    ("liquor", "thickness"),
    ("time", "until"),
    ("volume", "volume_into_keg"),
    ("carbonation", "pressure"),
)


def rewrite(text: str, changes: Mapping[Address, Any], *, name: str = "the file") -> str:
    """Return an author's text with some values replaced; comments and order stay.

    Parameters
    ----------
    text : str
        The file as it is written.
    changes : mapping
        From the way to a value, such as ``("grist", 0, "mass")``, to what it becomes: a text, a number, a
        flag, a list, a table, or None to take it away. A row one beyond the last of a list is added.
    name : str
        What the file is called in a sentence.

    Raises
    ------
    BadInput
        If the text is no TOML, or an address leads nowhere.
    """
    parsed(text, name)
    try:
        document = tomlkit.parse(text)
        # Rows that are taken away leave from the end, so that the addresses before them still hold.
        kept = [(address, value) for address, value in changes.items() if not _is_row_gone(address, value)]
        gone = [address for address, value in changes.items() if _is_row_gone(address, value)]
        for place, rows in _by_table(kept).items():
            _change(document, place, rows)
        done = tomlkit.dumps(document)
        for address in sorted(gone, key=lambda a: a[-1], reverse=True):
            done = _without_row(done, address)
        return done
    except (TOMLKitError, KeyError, IndexError, TypeError, AttributeError) as error:
        raise BadInput(f"{name} cannot be rewritten there, because it holds no such place") from error


def _is_row_gone(address: Address, value: Any) -> bool:
    return value is None and isinstance(address[-1], int)


def _without_row(text: str, address: Address) -> str:
    """Return a text without one row; the comment above the next one, which belongs to that, stays."""
    document = tomlkit.parse(text)
    rows_of = _at(document, address[:-1])
    del rows_of[address[-1]]
    if len(rows_of) == 0:
        _change(document, address[:-2], {str(address[-2]): None})
    without = tomlkit.dumps(document)
    if len(address) == 2 and isinstance(rows_of, AoT):
        by_lines = row_gone(text, str(address[0]), int(address[1]))
        if tomllib.loads(by_lines) == tomllib.loads(without):
            return by_lines
    return without


def _by_table(changes: list[tuple[Address, Any]]) -> dict[Address, dict[str, Any]]:
    tables: dict[Address, dict[str, Any]] = {}
    for address, value in changes:
        if isinstance(address[-1], int):
            tables.setdefault(address, {}).update(value)
        else:
            tables.setdefault(address[:-1], {})[address[-1]] = value
    return tables


def _at(document: Any, address: Address) -> Any:
    place = document
    for step in address:
        place = place[step]
    return place


def _change(document: Any, address: Address, values: Mapping[str, Any]) -> None:
    """Change the values of one table."""
    if not address:
        _change_top(document, values)
        return
    parent = _made(document, address)
    table = parent[address[-1]]
    if not isinstance(table, Table):  # an inline table
        for key, value in values.items():
            if value is None:
                table.pop(key, None)
            else:
                table[key] = value
        return
    if all(key in table and value is not None for key, value in values.items()):
        for key, value in values.items():
            _replace(table, key, value)
        return
    if isinstance(address[-1], str) and _is_dotted(table) and all(value is None for value in values.values()):
        for key in values.keys() & table.keys():
            table.remove(key)
        return
    parent[address[-1]] = _rebuilt(table, values)


def _is_dotted(table: Table) -> bool:
    """Whether a table has no header of its own, as the one of `kettle.end.volume = "25 L"`."""
    return table.display_name is None


def _replace(table: Any, key: str, value: Any) -> None:
    """Replace one value that is there; its comment stays."""
    table[key] = _item_like(value, table.item(key))


def _item(value: Any) -> Item:
    """Return a value as it is written; a text of several lines keeps its lines."""
    if isinstance(value, str) and "\n" in value:
        return tomlkit.value(quoted(value))
    plain: Item = tomlkit.item(value)
    return plain


def _item_like(value: Any, old: Any) -> Item:
    """Return a new value with the comment of the old one."""
    new = _item(value)
    if old is not None and not isinstance(new, (Table, AoT)):
        new.trivia.comment_ws = old.trivia.comment_ws
        new.trivia.comment = old.trivia.comment
        new.trivia.trail = old.trivia.trail
    return new


def _made(document: Any, address: Address) -> Any:
    """Return what holds a table, after making the table or row if it is the next one."""
    parent = _at(document, address[:-2]) if len(address) > 1 else document
    last = address[-1]
    if isinstance(last, int):
        if address[-2] not in parent:
            parent[address[-2]] = tomlkit.aot()
        rows = parent[address[-2]]
        if last == len(rows):
            _add_row(rows)
        return rows
    if len(address) > 1:
        parent = _at(document, address[:-1])
    if last not in parent:
        parent[last] = tomlkit.table()
    return parent


def _add_row(rows: Any) -> None:
    """Add an empty row; blank lines and comments after the last row stay behind the new one."""
    new = tomlkit.table()
    if len(rows):
        body = rows[-1].value.body
        own = max((i for i, (key, _) in enumerate(body) if key is not None), default=len(body) - 1)
        tail = [item for _, item in body[own + 1 :]]
        del body[own + 1 :]
        for item in tail:
            new.add(item)
    rows.append(new)


def _twin(key: str, removed: set[str]) -> str | None:
    for twins in _TWINS:
        if key in twins and (found := next((other for other in twins if other in removed), None)):
            return found
    return None


def _rebuilt(table: Table, values: Mapping[str, Any]) -> Table:
    """Return a table with values replaced, taken away and added, everything else in its place."""
    removed = {key for key, value in values.items() if value is None and key in table}
    added = {key: value for key, value in values.items() if value is not None and key not in table}
    instead: dict[str, str] = {}
    for key in added:
        twin = _twin(key, removed - set(instead))
        if twin is not None:
            instead[twin] = key
    late = {key: value for key, value in added.items() if key not in instead.values()}
    new = tomlkit.table()
    body: list[Any] = list(table.value.body)
    last = _last_plain(body)
    if last < 0:
        _append(new, late)
    for i, (key, item) in enumerate(body):
        own = key.key if key is not None else ""
        if key is None:
            new.add(item)
        elif own in instead:
            new.add(instead[own], _item_like(added[instead[own]], item))
        elif own in values and own not in removed:
            new.add(own, _item_like(values[own], item))
        elif own not in removed:
            new.add(key, item)
        if i == last:
            _append(new, late)
    for mark in ("indent", "comment_ws", "comment", "trail"):
        setattr(new.trivia, mark, getattr(table.trivia, mark))
    return new


def _last_plain(body: list[Any]) -> int:
    """The place of a table's last key that is no table itself; -1 if there is none."""
    plain = (i for i, (key, item) in enumerate(body) if key is not None and not isinstance(item, (Table, AoT)))
    return max(plain, default=-1)


def _append(table: Table, values: Mapping[str, Any]) -> None:
    for key, value in values.items():
        table.add(key, _item(value))


def _change_top(document: TOMLDocument, values: Mapping[str, Any]) -> None:
    for key, value in values.items():
        if value is None:
            if key in document:
                del document[key]
        elif isinstance(value, dict) or _is_rows(value):
            # A table opened in the place of a plain value would swallow the keys below it.
            if key in document:
                del document[key]
            document[key] = _rows(value) if isinstance(value, list) else tomlkit.item(value)
        elif key in document:
            document[key] = _item_like(value, document.item(key))
        else:
            document[key] = _item(value)


def _is_rows(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(row, dict) for row in value)


def _rows(value: list[Any]) -> AoT:
    rows = tomlkit.aot()
    for row in value:
        rows.append(tomlkit.item(row))
    return rows
