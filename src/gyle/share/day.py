"""The day in words: the order its steps are told in, which day a step is, how long it takes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gyle.quantities import write
from gyle.share.written_figure import hours

if TYPE_CHECKING:
    from gyle.decide.plan import Plan
    from gyle.line.brew import Step

__all__ = ["day_of", "in_order", "long_text", "said_already", "temperatures_text"]

DAY_MIN = 1440.0


def said_already(minutes: float, words: str) -> bool:
    """Whether the words give the time already."""
    return minutes >= DAY_MIN or minutes < 0.5 or words.endswith(f" {round(minutes)} min")


def long_text(minutes: float) -> str:
    """How long a step takes: minutes, from a hundred on hours."""
    return f"{round(minutes)} min" if minutes < 100.0 else f"{hours(minutes)} h"


def in_order(steps: list[Step]) -> list[Step]:
    """The steps a strip shows: fermentation begins before what is done in it, and nobody pours that day."""
    shown = [step for step in steps if step.move.process != "pour"]
    ferment = next((step for step in shown if step.move.process == "ferment"), None)
    if ferment is None:
        return shown
    # What goes in at pitching waits for no day of its own, so the sort by the hour leaves it before.
    first = next((place for place, step in enumerate(shown) if _goes_in(step)), len(shown))
    before = [step for step in shown[:first] if step is not ferment]
    return [*before, ferment, *(step for step in shown[first:] if step is not ferment)]


def _goes_in(step: Step) -> bool:
    """Whether a step is done while the beer ferments, or once it has."""
    return step.move.process in ("dry hop", "package") or "after_days" in step.move.inputs


def day_of(step: Step, plan: Plan) -> str:
    """The day of a step after pitching; what waits for a gravity has none yet."""
    at = step.move.inputs.get("at")
    if at is not None and at.stage in ("ferment", "dry"):
        return f"day {at.day:g}" if at.day is not None else ""
    pitch = next((float(other.start_min.mean()) for other in plan.steps if other.move.process == "pitch"), 0.0)
    return f"day {int((float(step.start_min.mean()) - pitch) // DAY_MIN) + 1}"


def temperatures_text(plan: Plan, system: str) -> str:
    """The temperatures of a fermentation in order, each with its pressure where there is one."""
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
