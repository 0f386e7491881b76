"""Every row of every table of check values, as one case each; and what the tables come to together."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections import Counter
from pathlib import Path

import attrs
import numpy as np
import pytest

import gyle.science
from gyle.ledger.rows import CheckRow, check, read_rows

TABLES = sorted((Path(__file__).parents[1] / "check_values").glob("*.csv"))
MOST_COUNTED_ROWS = 6


def rows_of(path: Path) -> list[CheckRow]:
    with path.open(encoding="utf-8", newline="") as lines:
        return read_rows(lines, name=path.name)


ROWS = {path.stem: rows_of(path) for path in TABLES}
ALL_ROWS = [row for rows in ROWS.values() for row in rows]


def public_functions() -> list[str]:
    """Module and name of each function that an equations' module offers."""
    found = []
    for module_info in pkgutil.iter_modules(gyle.science.__path__):
        module = importlib.import_module(f"gyle.science.{module_info.name}")
        offered = getattr(module, "__all__", ())  # that it exists, and its names too, is tested with the public names
        found.extend(
            f"{module_info.name}.{name}" for name in offered if inspect.isfunction(getattr(module, name, None))
        )
    return found


@pytest.mark.parametrize(
    "row",
    [pytest.param(row, id=row.id, marks=pytest.mark.source(row.source, provenance=row.provenance)) for row in ALL_ROWS],
)
def test_row_agrees(row: CheckRow) -> None:
    outcome = next(check([row]))
    assert outcome.agrees, (
        f"{row.quantity} gave {outcome.fault or outcome.got}, expected {row.expected} within {row.tolerance}; "
        f"source: {row.source} ({row.provenance})"
    )


def test_a_row_that_is_wrong_is_caught() -> None:
    for row in ALL_ROWS:
        beyond = row.expected + 2.001 * row.allowed + 1e-6 * np.maximum(np.abs(row.expected), 1e-12)
        wrong = attrs.evolve(row, expected=beyond, tolerance=repr(float(row.allowed.min())))
        assert not next(check([wrong])).agrees, row.id


def test_no_two_rows_share_an_id() -> None:
    assert [name for name, times in Counter(row.id for row in ALL_ROWS).items() if times > 1] == []


@pytest.mark.parametrize("table", ROWS)
def test_a_table_tests_the_module_of_its_name(table: str) -> None:
    assert {row.function.split(".")[0] for row in ROWS[table]} == {table}


@pytest.mark.parametrize("function", public_functions())
def test_a_public_function_has_a_row(function: str) -> None:
    assert any(row.function == function for row in ALL_ROWS)


def test_no_function_counts_more_than_six_rows() -> None:
    counted = Counter(row.function for row in ALL_ROWS if row.counted)
    assert {function: rows for function, rows in counted.items() if rows > MOST_COUNTED_ROWS} == {}


def test_the_tables_are_wide_and_mostly_not_our_own() -> None:
    assert len({row.function for row in ALL_ROWS if row.counted}) >= 40
    retrieved = [row for row in ALL_ROWS if row.provenance == "retrieved"]
    assert len(retrieved) >= 60
    assert len({row.function for row in retrieved}) >= 40
    assert sum(row.counted for row in ALL_ROWS) > 5 * sum(not row.counted for row in ALL_ROWS)
