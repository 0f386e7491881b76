"""Where the check values lie, and what a whole table of them comes to."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

import attrs
import numpy as np

from gyle.beer.page import text_of_file
from gyle.errors import StoreError
from gyle.ledger.rows import PROVENANCES, Outcome, check, read_rows

__all__ = ["Table", "Tally", "checked", "own_tables", "tally"]


@attrs.frozen(kw_only=True)
class Table:
    """One file of check values, every row evaluated."""

    name: str
    outcomes: tuple[Outcome, ...]

    @property
    def outside(self) -> tuple[Outcome, ...]:
        """Rows whose equation disagrees."""
        return tuple(outcome for outcome in self.outcomes if not outcome.agrees)


@attrs.frozen(kw_only=True)
class Tally:
    """What the tables come to together."""

    rows: int
    outside: int
    functions: int  # with at least one counted row
    counted: int
    own: int  # rows that only hold our own modelling choices to their word
    by_provenance: tuple[tuple[str, int], ...]

    @property
    def agrees(self) -> bool:
        """Whether no row is outside its tolerance."""
        return self.outside == 0


def own_tables() -> tuple[Path, ...]:
    """The tables that come with the program, in alphabetical order.

    Raises
    ------
    StoreError
        If they were not installed with it.
    """
    here = Path(__file__).resolve()
    for folder in (here.parent / "check_values", here.parents[3] / "tests" / "check_values"):
        found = tuple(sorted(folder.glob("*.csv")))
        if found:
            return found
    raise StoreError("the tables of check values were not installed with gyle")


def checked(path: str | os.PathLike[str]) -> Table:
    """Read a table and evaluate every row.

    Raises
    ------
    BadInput
        With every fault of the table.
    StoreError
        If the system does not let it be read.
    """
    path = Path(path)
    lines = text_of_file(path).splitlines(keepends=True)
    with np.errstate(all="ignore"):  # a row may ask for anything; what comes of it is compared
        return Table(name=path.name, outcomes=tuple(check(read_rows(lines, name=path.name))))


def tally(tables: Iterable[Table]) -> Tally:
    """Count rows, functions and provenances."""
    outcomes = [outcome for table in tables for outcome in table.outcomes]
    counted = [outcome.row for outcome in outcomes if outcome.row.counted]
    by_provenance = {
        kind.rstrip("-"): sum(outcome.row.provenance.startswith(kind) for outcome in outcomes) for kind in PROVENANCES
    }
    return Tally(
        rows=len(outcomes),
        outside=sum(not outcome.agrees for outcome in outcomes),
        functions=len({row.function for row in counted}),
        counted=len(counted),
        own=len(outcomes) - len(counted),
        by_provenance=tuple(by_provenance.items()),
    )
