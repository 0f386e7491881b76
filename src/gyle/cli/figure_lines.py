"""The line from water to glass: every figure at its station with its band, its aim and what can hurt there."""

from __future__ import annotations

from collections.abc import Iterable

from gyle.cli.paper import Cell, Ink, Page
from gyle.decide.plan import Plan
from gyle.line.figures import Band, figure
from gyle.quantities import write
from gyle.share.written_figure import aims_of, miss_words, written

__all__ = ["figure_rows", "strip"]

LONGEST_UNIT = 6
NUMBER = 6
STRIP = 9


def strip(band: Band, aim: float | None) -> list[Ink]:
    """Draw a band: its ends, the mean, and the aim where it lies inside."""
    marks = ["├", *"─" * (STRIP - 2), "┤"]
    width = band.high - band.low

    def place(value: float) -> int:
        return round((value - band.low) / width * (STRIP - 1))

    marks[min(max(place(band.mean), 1), STRIP - 2)] = "┼"
    inks = [Ink(mark, "quiet") for mark in marks]
    if aim is not None and band.low <= aim <= band.high:
        inks[place(aim)] = Ink("◆", "aim")
    return inks


def figure_rows(page: Page, plan: Plan, names: Iterable[str], system: str) -> None:
    """Add figures beside the rule: words, value, band, aim; a missed aim says so below."""
    aims = aims_of(plan)
    misses = {miss.figure: miss for miss in plan.misses}
    for name in names:
        band = plan.figures[name]
        shown = written(name, band, system)
        known = figure(name)
        assert known is not None
        words, unit = shown.words, shown.unit
        aim = aims.get(name)
        if aim is not None:
            words += f" ◆ {write(aim, known.kind, system=system)}"
        if len(unit) > LONGEST_UNIT:
            words, unit = f"{words} ({unit})", ""
        if page.narrow:
            ends = shown.band
            ends_width = 16
            space = page.room - NUMBER - 1 - LONGEST_UNIT - ends_width
            tail: list[Cell | Ink] = [Cell(ends, ends_width, "quiet", right=True)]
        else:
            ends_width = 2 * NUMBER + STRIP + 2
            space = page.room - NUMBER - 1 - LONGEST_UNIT - ends_width - 1
            tail = []
            if not shown.sure:
                tail = [Cell(shown.low, NUMBER, "quiet", right=True), Ink(" "), *strip(band, aim)]
                tail += [Ink(" "), Cell(shown.high, NUMBER, "quiet")]
        page.row(
            Cell(words, space - 1),
            Ink(" "),
            Cell(shown.number, NUMBER, "strong", right=True),
            Ink(" "),
            Cell("" if unit == "SG" else unit, LONGEST_UNIT),
            *tail,
        )
        if name in misses:
            miss = misses[name]
            page.remark(miss_words(miss, system), "◆", "aim" if miss.within_rounding else "alarm")
