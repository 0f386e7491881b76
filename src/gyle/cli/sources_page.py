"""Where a figure comes from: its equations with their references, and what moves it most."""

from __future__ import annotations

from gyle.cli.paper import Cell, Ink, Page
from gyle.decide.plan import Plan
from gyle.decide.sources import Sources
from gyle.share.beer_words import house_name
from gyle.share.input_words import input_words
from gyle.share.sentences import as_sentence, plain
from gyle.share.written_figure import push_words, written

__all__ = ["sources_page"]

SHARE = 5
PUSH = 17


def sources_page(plan: Plan, found: Sources, *, width: int, system: str) -> Page:
    """Lay out what stands behind one figure of a plan."""
    page = Page(width)
    band = plan.figures[found.figure]
    shown = written(found.figure, band, system)
    page.text(found.words[:1].upper() + found.words[1:], "title")
    ends = f", {shown.band} in 8 of 10 brews" if shown.band else ""
    page.text(f"{shown.value}{ends}; {plan.recipe.name} on {house_name(plan)}")
    page.text(f"named {found.figure} in files and JSON", "quiet")

    page.head("What it is made of")
    if not found.equations:
        page.text("A balance of masses and volumes along the line; no published equation stands behind it.")
    for equation in found.equations:
        page.text(as_sentence(equation.does.removeprefix("Return ")), "strong")
        page.text(f"gyle.science.{equation.name}", "quiet", indent="  ")
        for reference in equation.references:
            page.text(reference, indent="  · ")

    page.head("What moves it most")
    if not found.movers:
        page.text("Nothing: it is set, not forecast.")
    for mover in found.movers:
        page.columns(
            Cell(f"{100.0 * mover.share:.0f} %", SHARE, "strong", right=True),
            Ink("  "),
            Cell(
                f"{input_words(mover.name)}: {push_words(mover.push, band, found.figure, system)}",
                page.width - SHARE - 4,
            ),
        )
        page.columns(Cell("", SHARE), Ink("  "), Cell(plain(mover.source), page.width - SHARE - 4, "quiet"))
    return page
