"""The ledger: check values of public tables, the equations they test, and whether they agree."""

from __future__ import annotations

from gyle.ledger.rows import CheckRow, Outcome
from gyle.ledger.tables import Table, Tally, checked, own_tables, tally

__all__ = ["CheckRow", "Outcome", "Table", "Tally", "checked", "own_tables", "tally"]
