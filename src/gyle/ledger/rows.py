"""Check values: rows of a public table, the equation they test, and whether it agrees."""

from __future__ import annotations

import csv
import importlib
import json
import re
from collections.abc import Iterable, Iterator

import attrs
import numpy as np
from numpy.typing import NDArray

from gyle.errors import BadInput, GyleError

__all__ = ["COLUMNS", "PROVENANCES", "CheckRow", "Outcome", "check", "read_rows"]

COLUMNS = ("id", "quantity", "inputs", "expected", "tolerance", "source", "provenance")
PROVENANCES = ("retrieved", "computed-with-", "memory", "common-practice", "ours")
_PROVENANCE = re.compile(r"retrieved|computed-with-[A-Za-z][\w-]*|memory|common-practice|ours")


@attrs.frozen(kw_only=True)
class CheckRow:
    """One published or independently computed value and the equation that should give it."""

    id: str
    quantity: str
    inputs: dict[str, object]
    expected: NDArray[np.float64] = attrs.field(eq=attrs.cmp_using(eq=np.array_equal))
    tolerance: str
    source: str
    provenance: str

    @property
    def allowed(self) -> NDArray[np.float64]:
        """Absolute tolerance of each expected number."""
        text = self.tolerance.strip()
        if text.endswith("%"):
            return np.abs(self.expected) * float(text[:-1]) / 100.0
        return np.full_like(self.expected, float(text))

    @property
    def function(self) -> str:
        """Module and function, without a field's name."""
        return ".".join(self.quantity.split(".")[:2])

    @property
    def counted(self) -> bool:
        """Whether the row tests nature or a publication and not a choice of our own."""
        return self.provenance != "ours"


@attrs.frozen(kw_only=True)
class Outcome:
    """What the equation gave for a row."""

    row: CheckRow
    got: NDArray[np.float64] | None = attrs.field(eq=False)
    fault: str = ""

    @property
    def agrees(self) -> bool:
        """Whether every number lies within the row's tolerance."""
        if self.got is None or self.got.shape != self.row.expected.shape:
            return False
        return bool((np.abs(self.got - self.row.expected) <= self.row.allowed * (1 + 1e-9)).all())


def _row(number: int, record: dict[str, str]) -> CheckRow:
    try:
        if None in record or None in record.values():
            raise ValueError(f"it should have {len(COLUMNS)} cells")
        inputs = json.loads(record["inputs"])
        expected = np.asarray(json.loads(record["expected"]), dtype=np.float64)
        if not isinstance(inputs, dict):
            raise ValueError("inputs must be a JSON object")
        row = CheckRow(
            id=record["id"].strip(),
            quantity=record["quantity"].strip(),
            inputs=inputs,
            expected=expected,
            tolerance=record["tolerance"],
            source=record["source"].strip(),
            provenance=record["provenance"].strip(),
        )
        if not (np.isfinite(row.allowed).all() and np.isfinite(expected).all()):
            raise ValueError("expected and tolerance must be finite numbers")
        if (row.allowed < 0.0).any():
            raise ValueError("the tolerance must not be negative")
        if not (row.id and row.source):
            raise ValueError("a row needs an id and a source")
        if not _PROVENANCE.fullmatch(row.provenance):
            raise ValueError(f"provenance {row.provenance!r} is not one of {', '.join(PROVENANCES)}")
    except (ArithmeticError, KeyError, RecursionError, TypeError, ValueError) as error:
        raise BadInput(f"row {number} cannot be read: {_first_line(error)}") from error
    return row


def _first_line(error: BaseException) -> str:
    return (str(error).splitlines() or ["it is more than can be computed"])[0]


def read_rows(lines: Iterable[str], *, name: str) -> list[CheckRow]:
    """Read a table of check values, or refuse it with every fault found."""
    rows: list[CheckRow] = []
    faults: list[str] = []
    try:
        reader = csv.DictReader(lines)
        if tuple(reader.fieldnames or ()) != COLUMNS:
            raise BadInput(f"{name}: the first line should be {','.join(COLUMNS)}")
        for number, record in enumerate(reader, start=2):
            try:
                rows.append(_row(number, record))
            except BadInput as error:
                faults.extend(error.at(name).faults)
    except csv.Error as error:
        faults.append(f"{name}: the table cannot be read: {_first_line(error)}")
    if faults:
        raise BadInput(faults)
    return rows


def _value(row: CheckRow) -> NDArray[np.float64]:
    module_name, function_name, *field = [*row.quantity.split("."), ""]
    nothing = BadInput(f"{row.quantity!r} is not a public function of gyle.science")
    if not (module_name.isidentifier() and function_name.isidentifier()):
        raise nothing
    try:
        module = importlib.import_module(f"gyle.science.{module_name}")
    except ModuleNotFoundError:
        raise nothing from None
    if function_name not in module.__all__ or not callable(function := getattr(module, function_name)):
        raise nothing
    result = function(**row.inputs)
    for name in field[:-1]:
        result = getattr(result, name)
    return np.asarray(result, dtype=np.float64)


def check(rows: Iterable[CheckRow]) -> Iterator[Outcome]:
    """Evaluate each row's equation and compare."""
    for row in rows:
        try:
            yield Outcome(row=row, got=_value(row))
        except (
            GyleError,
            ArithmeticError,
            AttributeError,
            LookupError,
            MemoryError,
            RecursionError,
            TypeError,
            ValueError,
        ) as error:
            yield Outcome(row=row, got=None, fault=_first_line(error))
