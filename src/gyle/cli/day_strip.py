"""The day in order: clock from the start, what to do, how long it takes."""

from __future__ import annotations

from gyle.cli.paper import Cell, Ink, Page
from gyle.decide.plan import Plan
from gyle.line.words import sentence
from gyle.share.day import day_of, in_order, long_text, said_already, temperatures_text
from gyle.share.written_figure import hours

__all__ = ["day_strip"]

CLOCK = 6
LONG = 8


def day_strip(page: Page, plan: Plan, system: str) -> None:
    """Add the day's steps beside their stations; after pitching the days are counted, the first being day 1."""
    whole = plan.figures.get("line.minutes")
    aside = ""
    if whole is not None:
        aside = f"{hours(whole.mean)} h from water to pitched ({hours(whole.low)} to {hours(whole.high)})"
    page.head("The day", aside)
    pitched = False
    station = ""
    for step in in_order(plan.steps):
        move = step.move
        if move.station != station:
            station = move.station
            page.beside(station)
        start, minutes = float(step.start_min.mean()), float(step.minutes.mean())
        clock = day_of(step, plan) if pitched else hours(start)
        pitched = pitched or move.process == "pitch"
        words = sentence(step, plan.brew, system=system)
        page.row(
            Cell(clock, CLOCK, "quiet", right=True),
            Ink("  "),
            Cell(words, page.room - CLOCK - LONG - 3),
            Ink(" "),
            Cell("" if said_already(minutes, words) else long_text(minutes), LONG, "quiet", right=True),
        )
        if move.process == "ferment":
            page.row(
                Cell("", CLOCK), Ink("  "), Cell(temperatures_text(plan, system), page.room - CLOCK - LONG - 3, "quiet")
            )
