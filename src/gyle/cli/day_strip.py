"""The day in order: clock from the start, what to do, how long it takes."""

from __future__ import annotations

from gyle.cli.figure_lines import hours
from gyle.cli.paper import Cell, Ink, Page
from gyle.decide.plan import Plan
from gyle.line.brew import Step
from gyle.line.words import sentence
from gyle.quantities import write

__all__ = ["day_strip"]

DAY_MIN = 1440.0
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
    for step in _in_order(plan.steps):
        move = step.move
        if move.station != station:
            station = move.station
            page.beside(station)
        start, minutes = float(step.start_min.mean()), float(step.minutes.mean())
        clock = _day(step, plan) if pitched else hours(start)
        pitched = pitched or move.process == "pitch"
        words = sentence(step, plan.brew, system=system)
        page.row(
            Cell(clock, CLOCK, "quiet", right=True),
            Ink("  "),
            Cell(words, page.room - CLOCK - LONG - 3),
            Ink(" "),
            Cell("" if _said(minutes, words) else _long(minutes), LONG, "quiet", right=True),
        )
        if move.process == "ferment":
            page.row(
                Cell("", CLOCK), Ink("  "), Cell(_temperatures(plan, system), page.room - CLOCK - LONG - 3, "quiet")
            )


def _said(minutes: float, words: str) -> bool:
    """Whether the words give the time already."""
    return minutes >= DAY_MIN or minutes < 0.5 or words.endswith(f" {round(minutes)} min")


def _long(minutes: float) -> str:
    return f"{round(minutes)} min" if minutes < 100.0 else f"{hours(minutes)} h"


def _in_order(steps: list[Step]) -> list[Step]:
    """The steps a strip shows: fermentation begins before what is done in it, and nobody pours that day."""
    dry = [step for step in steps if step.move.process == "dry hop"]
    ordered = []
    for step in steps:
        if step.move.process not in ("dry hop", "pour"):
            ordered.append(step)
        if step.move.process == "ferment":
            ordered.extend(dry)
    return ordered


def _day(step: Step, plan: Plan) -> str:
    """The day of a step after pitching; a dry hop that waits for a gravity has none yet."""
    if step.move.process == "dry hop":
        day = step.move.inputs["at"].day
        return f"day {day:g}" if day is not None else ""
    pitch = next((float(other.start_min.mean()) for other in plan.steps if other.move.process == "pitch"), 0.0)
    return f"day {int((float(step.start_min.mean()) - pitch) // DAY_MIN) + 1}"


def _temperatures(plan: Plan, system: str) -> str:
    parts = []
    for step in plan.recipe.fermentation:
        said = f"at {write(step.temperature_C, 'temperature', system=system)}"
        if step.from_points_above_final is not None:
            said = (
                f"{write(step.temperature_C, 'temperature', system=system)} from"
                f" {step.from_points_above_final:g} points above final"
            )
        if step.pressure_bar is not None:
            said += f" under {write(step.pressure_bar, 'pressure', system=system)}"
        parts.append(said)
    return ", then ".join(parts)
