"""A plan as a page to pin to the wall: what does not fit, what to weigh, the day, the line, what to know."""

from __future__ import annotations

from collections.abc import Iterable

from gyle.cli.day_strip import day_strip
from gyle.cli.figure_lines import figure_rows, station_groups
from gyle.cli.paper import Cell, Ink, Page, as_sentence
from gyle.cli.weighing import weighing
from gyle.decide.plan import Plan
from gyle.quantities import write
from gyle.science.spectrum import srgb_of_beer

__all__ = ["beer_in_a_line", "colour_word", "house_name", "notes", "plan_page", "title", "what_does_not_fit"]

GLASS_CM = 5.0
_IONS = ("calcium", "magnesium", "sodium", "sulfate", "chloride")
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


def plan_page(plan: Plan, *, width: int, system: str, said: Iterable[str] = ()) -> Page:
    """Lay a plan out; `said` are notes beside the plan's own."""
    page = Page(width)
    title(page, plan, house_name(plan), system)
    what_does_not_fit(page, plan.short_of)
    beer_in_a_line(page, plan, system)
    weighing(page, plan, system)
    day_strip(page, plan, system)
    _line(page, plan, system)
    notes(page, (*said, *plan.notes))
    return page


def house_name(plan: Plan) -> str:
    """What the brewhouse of a plan is called."""
    return "an unstated brewhouse" if plan.brewhouse.kind == "unstated" else plan.brewhouse.name


def title(page: Page, plan: Plan, where: str, system: str) -> None:
    """Add the beer, where it is brewed and how much of it."""
    recipe = plan.recipe
    into = "keg" if recipe.into == "keg" else "fermenter"
    volume = write(plan.figures[f"{into}.volume"].mean, "volume", system=system)
    page.text(recipe.name, "title")
    page.text(f"{where} · {volume} into the {into}")
    draws = plan.brew.inputs.draws
    page.text(f"{draws:,} brews simulated; bands hold 8 of 10", "quiet")


def what_does_not_fit(page: Page, short_of: Iterable[str]) -> None:
    """Say what does not fit before anything else."""
    found = list(short_of)
    if not found:
        return
    page.blank()
    page.text("It does not fit this brewhouse", "alarm")
    for sentence in found:
        page.text(as_sentence(sentence), "alarm", indent="  ")


def beer_in_a_line(page: Page, plan: Plan, system: str) -> None:
    """Add the beer in one line, with a patch of its colour in a glass."""
    figures = plan.figures
    ebc = figures["glass.colour"].mean
    colour = write(ebc, "colour", system=system, digits=0)  # the canonical scale is EBC
    measure = "glass.bitterness" if plan.recipe.bitterness_by == "kinetic" else "glass.bitterness_tinseth"
    words = (
        f"{write(figures['fermenter.original_gravity'].mean, 'gravity', digits=3)} original,"
        f" {write(figures['fermenter.final_gravity'].mean, 'gravity', digits=3)} final,"
        f" {figures['fermenter.alcohol'].mean:.1f} % vol,"
        f" {figures[measure].mean:.0f} IBU, {colour_word(ebc)} ({colour})"
    )
    page.blank()
    red, green, blue = (int(part) for part in srgb_of_beer(figures["glass.colour_srm"].mean, path_cm=GLASS_CM))
    page.text(words)
    page.lines[-1] += [Ink("  "), Ink("      ", f"swatch #{red:02x}{green:02x}{blue:02x}")]


def _line(page: Page, plan: Plan, system: str) -> None:
    page.head("The line, water to glass", "" if page.narrow else "├─┼─┤ band and mean   ◆ aim")
    found = plan.cautions(system)
    stated = plan.brewhouse.water is not None
    groups = dict(station_groups((name for name in plan.figures if stated or not _of_minerals(name)), system))
    if not stated:
        page.beside("water")
        litres = sum(float(part) for part in (*plan.amounts.liquor_L, *plan.amounts.sparge_L))
        page.row(Cell(f"{write(litres, 'volume', system=system)} drawn; no report says what is in it", page.room))
    for station, names in groups.items():
        page.beside(station)
        figure_rows(page, plan, names, system)
        for caution in found:
            if caution.station == station:
                page.remark(caution.text, "!", "caution")
    for caution in found:
        if caution.station not in groups:
            page.beside(caution.station)
            page.remark(caution.text, "!", "caution")


def _of_minerals(name: str) -> bool:
    """Whether a figure is of minerals, which without a report are a guess not worth a line each."""
    station, _, figure = name.partition(".")
    return station == "water" or (station == "glass" and figure in _IONS)


def notes(page: Page, said: Iterable[str]) -> None:
    """Add what is worth knowing."""
    found = list(dict.fromkeys(as_sentence(note) for note in said))
    if not found:
        return
    page.head("Worth knowing")
    for note in found:
        page.text(note, indent="· ")
