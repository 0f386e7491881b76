"""A plan as a page to pin to the wall: what does not fit, what to weigh, the day, the line, what to know."""

from __future__ import annotations

from collections.abc import Iterable

from gyle.cli.day_strip import day_strip
from gyle.cli.figure_lines import figure_rows
from gyle.cli.paper import Cell, Ink, Page
from gyle.cli.weighing import weighing
from gyle.decide.plan import Plan
from gyle.quantities import write
from gyle.share.beer_words import beer_words, colour_code, house_name
from gyle.share.sentences import as_sentence
from gyle.share.stations import of_minerals, station_groups

__all__ = ["beer_in_a_line", "notes", "plan_page", "title", "what_does_not_fit"]


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
    page.blank()
    page.text(beer_words(plan, system))
    page.lines[-1] += [Ink("  "), Ink("      ", f"swatch {colour_code(plan)}")]


def _line(page: Page, plan: Plan, system: str) -> None:
    page.head("The line, water to glass", "" if page.narrow else "├─┼─┤ band and mean   ◆ aim")
    found = plan.cautions(system)
    stated = plan.brewhouse.water is not None
    groups = dict(station_groups((name for name in plan.figures if stated or not of_minerals(name)), system))
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


def notes(page: Page, said: Iterable[str]) -> None:
    """Add what is worth knowing."""
    found = list(dict.fromkeys(as_sentence(note) for note in said))
    if not found:
        return
    page.head("Worth knowing")
    for note in found:
        page.text(note, indent="· ")
