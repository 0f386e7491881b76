"""What `--json` prints, and the ledger as a document."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from typing import Any, TextIO

from gyle.ledger import Outcome, Table, Tally

# What a terminal may obey instead of showing it, and JSON need not escape.
_UNSHOWN = re.compile("[\x7f-\x9f\u200e\u200f\u2028-\u202e\u2066-\u2069]")

__all__ = ["ledger_document", "print_document"]


def print_document(document: Mapping[str, Any], out: TextIO) -> None:
    """Print a document; a number that is none is a fault of ours and is never printed."""
    utf = (out.encoding or "utf-8").casefold().replace("-", "").startswith("utf")
    text = json.dumps(document, ensure_ascii=not utf, allow_nan=False, indent=1)
    out.write(_UNSHOWN.sub(lambda found: f"\\u{ord(found[0]):04x}", text) + "\n")


def ledger_document(tables: Iterable[Table], counts: Tally) -> dict[str, Any]:
    """Every row of the ledger as JSON."""
    return {
        "rows": [_row(table, outcome) for table in tables for outcome in table.outcomes],
        "functions": counts.functions,
        "counted": counts.counted,
        "own": counts.own,
        "outside": counts.outside,
        "provenance": dict(counts.by_provenance),
    }


def _row(table: Table, outcome: Outcome) -> dict[str, Any]:
    row = outcome.row
    got = None if outcome.got is None else _finite(outcome.got.tolist())
    return {
        "table": table.name,
        "id": row.id,
        "quantity": row.quantity,
        "got": got,
        "expected": row.expected.tolist(),
        "tolerance": row.tolerance,
        "source": row.source,
        "provenance": row.provenance,
        "agrees": bool(outcome.agrees),
        "fault": outcome.fault,
    }


def _finite(value: Any) -> Any:
    """What an equation gave, None in the place of what JSON has no number for."""
    if isinstance(value, list):
        return [_finite(part) for part in value]
    return value if value - value == 0.0 else None
