"""The ledger as a page: each table in a line, every row that is outside, and how much is checked by what."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from gyle.cli.paper import Cell, Ink, Page
from gyle.ledger import Outcome, Table, Tally
from gyle.share.sentences import as_sentence, joined

__all__ = ["ledger_page"]

_PROVENANCE = {
    "retrieved": "seen in a published text",
    "computed-with": "computed from the published equation, or by an independent library",
    "memory": "a published value from memory",
    "common-practice": "common practice",
    "ours": "our own choices",
}
VERDICT = 8


def ledger_page(tables: Sequence[Table], counts: Tally, *, width: int, every_row: bool) -> Page:
    """Lay the ledger out; `every_row` lists the rows that agree too."""
    page = Page(width)
    page.text("Check values", "title")
    agree = counts.rows - counts.outside
    page.text(
        f"{agree:,} of {counts.rows:,} rows agree; {counts.functions} equations have a row"
        " that is not a choice of our own"
    )
    for table in tables:
        if every_row:
            page.head(table.name.removesuffix(".csv"))
            for outcome in table.outcomes:
                _row(page, outcome)
    if not every_row:
        page.head("Tables", "rows that agree, of how many")
        _tables(page, tables)
        outside = [outcome for table in tables for outcome in table.outside]
        if outside:
            page.head("Outside")
            for outcome in outside:
                _row(page, outcome)
    page.head("Where the expected values come from")
    for kind, number in counts.by_provenance:
        if kind != "ours" and number:
            page.columns(Cell(f"{number}", 5, "strong", right=True), Ink("  "), Cell(_PROVENANCE[kind], page.width - 7))
    page.columns(Cell(f"{counts.counted}", 5, "strong", right=True), Ink("  "), Cell("counted", page.width - 7))
    page.columns(
        Cell(f"{counts.own}", 5, "strong", right=True),
        Ink("  "),
        Cell("apart: rows that only hold our own modelling choices to their word", page.width - 7, "quiet"),
    )
    if not every_row:
        page.blank()
        page.text("gyle ledger --all lists every row with its source.", "quiet")
    return page


def _tables(page: Page, tables: Sequence[Table]) -> None:
    across = max(1, page.width // 26)
    entries = []
    for table in tables:
        agree = len(table.outcomes) - len(table.outside)
        entries.append((table.name.removesuffix(".csv"), agree, len(table.outcomes)))
    down = -(-len(entries) // across)
    for place in range(down):
        inks = []
        for name, agree, rows in entries[place::down]:
            inks.append(Ink(f"{name[:18]:<18}"))
            inks.append(Ink(f"{agree:>3}/{rows:<3} ", "quiet" if agree == rows else "alarm"))
        page.line(*inks)


def _row(page: Page, outcome: Outcome) -> None:
    row = outcome.row
    verdict = Cell("agrees", VERDICT, "quiet") if outcome.agrees else Cell("outside", VERDICT, "alarm")
    page.columns(verdict, Cell(f"{row.id} {row.quantity}", page.width - VERDICT, "strong"))
    expected = _numbers(row.expected)
    got = _numbers(outcome.got) if outcome.got is not None else f"nothing: {outcome.fault}"
    page.text(f"got {got}; expected {expected}, within {row.tolerance}", indent=" " * VERDICT)
    page.text(as_sentence(f"{row.source} ({row.provenance})"), "quiet", indent=" " * VERDICT)


MANY = 4


def _numbers(values: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> str:
    flat = [f"{float(value):.7g}" for value in np.ravel(values)]
    return joined(flat) if len(flat) <= MANY else f"{joined(flat[:MANY])} and {len(flat) - MANY} more"
