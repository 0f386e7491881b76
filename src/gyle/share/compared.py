"""Which figures stand side by side where a beer is brewed here and there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gyle.share.written_figure import aims_of

if TYPE_CHECKING:
    from gyle.decide.plan import Plan

__all__ = ["compared_figures"]

# What a brewer compares first; any other aim is added.
_COMPARED = (
    "fermenter.volume",
    "fermenter.original_gravity",
    "fermenter.final_gravity",
    "fermenter.alcohol",
    "glass.bitterness",
    "glass.bitterness_tinseth",
    "glass.colour",
    "line.brewhouse_efficiency",
    "line.minutes",
)


def compared_figures(origin: Plan, plan: Plan, system: str) -> list[str]:
    """What a brewer compares first, then what is aimed at; the colour on one scale, that of the system."""
    skip = "glass.colour" if system == "us" else "glass.colour_srm"
    names = [name if name != "glass.colour" or system != "us" else "glass.colour_srm" for name in _COMPARED]
    names += [name for name in aims_of(plan) if name not in names and name != skip]
    return [name for name in names if name in plan.figures and name in origin.figures]
