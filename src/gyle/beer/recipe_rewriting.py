"""Changes of a recipe's text, each held against what the text should say then: nothing else may change."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from typing import Any

from gyle.beer.page import Address, parsed
from gyle.beer.recipe_fields import rows_in
from gyle.beer.row_blocks import row_gone, row_moved, row_put, table_put
from gyle.beer.toml_text import toml_text
from gyle.beer.writing import rewrite
from gyle.errors import BadInput

__all__ = ["RecipeText"]


class RecipeText:
    """A recipe's text while it is edited, with the content it is to have.

    Parameters
    ----------
    text : str
        The file as it is written.
    name : str
        What it is called in a sentence.
    """

    def __init__(self, text: str, name: str) -> None:
        self.text = text.removeprefix("\ufeff")
        self.name = name
        self.data: dict[str, Any] = parsed(self.text, name)

    def change(self, changes: Mapping[Address, Any]) -> None:
        """Change values; None takes one away. A table that is not there is made where it usually stands."""
        there: dict[Address, Any] = {}
        expected = copy.deepcopy(self.data)
        for table, values in _by_table(changes).items():
            place = _at(expected, table)
            if place is None:
                continue
            for key, value in values.items():
                there[(*table, key)] = value
                if value is None:
                    place.pop(key, None)
                else:
                    place[key] = value
        made = {
            table: {key: value for key, value in values.items() if value is not None}
            for table, values in _by_table(changes).items()
            if table and _at(self.data, table) is None
        }
        if there:
            self._settle(rewrite(self.text, there, name=self.name), expected)
        for table, values in made.items():
            if values and len(table) == 1:
                self._put_table(str(table[0]), values)
            elif values:
                self.put(str(table[0]), int(table[1]), values)

    def _put_table(self, name: str, values: Mapping[str, Any]) -> None:
        expected = {**copy.deepcopy(self.data), name: dict(values)}
        self._settle(table_put(self.text, name, _lines({name: dict(values)})), expected)

    def put(self, name: str, row: int, values: Mapping[str, Any]) -> None:
        """Put a row into a list, before the one at its place."""
        rows = [dict(one) for one in rows_in(self.data, name)]
        rows.insert(row, dict(values))
        self._rearrange(name, rows, lambda: row_put(self.text, name, row, _lines({name: [dict(values)]})))

    def take_out(self, name: str, row: int) -> None:
        """Take a row out of a list."""
        rows = [dict(one) for one in rows_in(self.data, name)]
        del rows[row]
        self._rearrange(name, rows, lambda: row_gone(self.text, name, row))

    def swap(self, name: str, row: int, to: int) -> None:
        """Let two rows of a list change places."""
        rows = [dict(one) for one in rows_in(self.data, name)]
        rows[row], rows[to] = rows[to], rows[row]
        self._rearrange(name, rows, lambda: row_moved(self.text, name, row, to))

    def _rearrange(self, name: str, rows: list[dict[str, Any]], by_lines: Any) -> None:
        """Rearrange the rows of a list by their lines; a list written in brackets is written anew."""
        expected = copy.deepcopy(self.data)
        expected.pop(name, None)
        if rows:
            expected[name] = rows
        try:
            self._settle(by_lines(), expected)
        except (BadInput, IndexError):
            self._settle(rewrite(self.text, {(name,): rows or None}, name=self.name), expected)

    def _settle(self, text: str, expected: Mapping[str, Any]) -> None:
        """Take a new text if it says what it should, and nothing else."""
        try:
            data = parsed(text, self.name)
        except BadInput:
            data = {}
        if _said(data) != _said(expected):
            raise BadInput(
                f"{self.name} is written in a way that cannot be changed there; change it in the file itself, "
                "nothing was changed"
            )
        self.text, self.data = text, data


def _said(data: Any) -> Any:
    """Return what a file says: a table with nothing in it says nothing."""
    if not isinstance(data, Mapping):
        return [_said(one) for one in data] if isinstance(data, list) else data
    said = {key: _said(value) for key, value in data.items()}
    return {key: value for key, value in said.items() if value != {}}


def _by_table(changes: Mapping[Address, Any]) -> dict[Address, dict[str, Any]]:
    tables: dict[Address, dict[str, Any]] = {}
    for address, value in changes.items():
        tables.setdefault(address[:-1], {})[str(address[-1])] = value
    return tables


def _at(data: Any, address: Address) -> Any:
    place = data
    for step in address:
        if isinstance(place, list):
            place = place[step] if isinstance(step, int) and step < len(place) else None
        else:
            place = place.get(step) if isinstance(place, Mapping) else None
    return place


def _lines(table: Mapping[str, Any]) -> list[str]:
    return toml_text(table).strip("\n").split("\n")
