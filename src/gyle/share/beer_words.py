"""A beer in a line of words, and the colour it has in a glass."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gyle.quantities import write
from gyle.share.written_figure import bitterness_figure

if TYPE_CHECKING:
    from gyle.decide.plan import Plan

__all__ = ["beer_words", "colour_code", "colour_word", "house_name"]

# The trade's words for a beer held to the light, each up to so many EBC.
_COLOURS = (
    (6.0, "straw"),
    (11.0, "pale gold"),
    (17.0, "gold"),
    (25.0, "amber"),
    (36.0, "copper"),
    (50.0, "red-brown"),
    (75.0, "brown"),
)


def colour_word(colour_ebc: float) -> str:
    """The word for a colour in a glass."""
    return next((word for most, word in _COLOURS if colour_ebc < most), "black")


def colour_code(plan: Plan) -> str:
    """The beer's colour in a glass as a screen is told it, #rrggbb."""
    from gyle.share.ribbon import srgb_hex

    return srgb_hex(plan.figures["glass.colour_srm"].mean)


def beer_words(plan: Plan, system: str) -> str:
    """The beer in one line: gravities, alcohol, bitterness, colour."""
    figures = plan.figures
    ebc = figures["glass.colour"].mean
    colour = write(ebc, "colour", system=system, digits=0)  # the canonical scale is EBC
    measure = bitterness_figure(plan.recipe.bitterness_by)
    return (
        f"{write(figures['fermenter.original_gravity'].mean, 'gravity', digits=3)} original,"
        f" {write(figures['fermenter.final_gravity'].mean, 'gravity', digits=3)} final,"
        f" {figures['fermenter.alcohol'].mean:.1f} % vol,"
        f" {figures[measure].mean:.0f} IBU, {colour_word(ebc)} ({colour})"
    )


def house_name(plan: Plan) -> str:
    """What the brewhouse of a plan is called."""
    return "an unstated brewhouse" if plan.brewhouse.kind == "unstated" else plan.brewhouse.name
