"""An adaptation as a page: what changed and why, the ways out side by side, and the short plan."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from gyle.cli.day_strip import day_strip
from gyle.cli.paper import Cell, Ink, Page
from gyle.cli.plan_page import beer_in_a_line, notes, title, what_does_not_fit
from gyle.cli.weighing import weighing
from gyle.decide.plan import Plan
from gyle.quantities import write
from gyle.share.beer_words import house_name
from gyle.share.compared import compared_figures
from gyle.share.sentences import as_sentence
from gyle.share.written_figure import Written, written

if TYPE_CHECKING:
    from gyle.decide.adapt import Adaptation
    from gyle.decide.compare import Option

__all__ = ["adapt_page"]

TIME, VOLUME, GRAVITY, MONEY = 9, 9, 7, 10


def adapt_page(
    adaptation: Adaptation, *, width: int, system: str, said: Iterable[str] = (), out: str | None = None
) -> Page:
    """Lay an adaptation out; `said` are notes beside its own, `out` the file it was written to."""
    page = Page(width)
    plan, origin = adaptation.plan, adaptation.origin
    title(page, plan, f"{house_name(origin)} → {house_name(plan)}", system)
    what_does_not_fit(page, plan.short_of)
    beer_in_a_line(page, plan, system)
    _changes(page, adaptation)
    if adaptation.options:
        _ways_out(page, adaptation.options, system)
    _compared(page, origin, plan, system)
    weighing(page, plan, system)
    day_strip(page, plan, system)
    notes(page, (*said, *adaptation.notes))
    page.blank()
    if out is not None:
        page.text(f"Written to {out}; gyle plan on it shows every figure and every caution.", "strong")
    else:
        page.text("--out FILE writes it down; gyle plan on that shows every figure and every caution.", "quiet")
    return page


def _changes(page: Page, adaptation: Adaptation) -> None:
    page.head("What changed, and why")
    if not adaptation.changes:
        page.text("Nothing: the beer is brewed here as it is there.")
    reason = ""
    for change in adaptation.changes:
        if change.why != reason and reason:
            page.text(as_sentence(reason), "quiet", indent="  ")
        reason = change.why
        page.text(f"{change.what}: {change.before} → {change.after}")
    if reason:
        page.text(as_sentence(reason), "quiet", indent="  ")


def _ways_out(page: Page, options: tuple[Option, ...], system: str) -> None:
    page.head("It does not fit as it is: ways out")
    priced = any(option.cost is not None for option in options)
    for option in options:
        _way_out(page, option, system, priced=priced)
    page.text('Take another with --choose "NAME".', "quiet")


def _way_out(page: Page, option: Option, system: str, *, priced: bool) -> None:
    mark = "▸ " if option.recommended else "  "
    kind = "strong" if option.recommended else ""
    if option.plan is None or not option.fits:
        page.text(option.name, "quiet", indent=mark)
        page.text("does not fit: " + "; ".join(option.short_of), "quiet", indent="    ")
        return
    figures = option.plan.figures
    time = f"{option.extra_minutes:+.0f} min"
    cells = [
        (time if abs(option.extra_minutes) >= 0.5 else "no longer", TIME),
        (write(figures["fermenter.volume"].mean, "volume", system=system), VOLUME),
        (write(figures["fermenter.original_gravity"].mean, "gravity", digits=3), GRAVITY),
    ]
    if priced:
        cost = "no price" if option.cost is None else f"{option.cost:+.2f} {option.currency}".strip()
        cells.append((cost, MONEY))
    tail = "".join(f"{text:>{width}}" for text, width in cells)
    name = page.width - len(mark) - len(tail)
    if len(option.name) < name:
        page.line(Ink(mark, "aim"), Ink(f"{option.name:<{name}}", kind), Ink(tail))
    else:
        page.text(option.name, kind, indent=mark)
        page.line(Ink(f"{tail:>{page.width}}"))
    price = [part for part in option.price.split(", ") if part != time]  # the time stands in its column
    if price:
        page.text(", ".join(price), "quiet", indent="    ")
    if option.recommended:
        page.text(as_sentence(f"recommended: {option.why}"), "aim", indent="    ")


def _compared(page: Page, origin: Plan, plan: Plan, system: str) -> None:
    page.head("There and here", "bands hold 8 of 10")
    names = compared_figures(origin, plan, system)
    side = (page.width - 2) // 2 if page.narrow else 26
    room = page.width - 2 * side - 1
    page.columns(
        Cell("", room), Ink(" "), Cell(house_name(origin), side - 1, "quiet"), Ink(" "), Cell(house_name(plan), side)
    )
    for name in names:
        before, after = written(name, origin.figures[name], system), written(name, plan.figures[name], system)
        words = after.words if after.unit in ("", "SG") else f"{after.words} ({after.unit})"
        if page.narrow:
            page.text(words, "quiet")
        words = "" if page.narrow else words
        page.columns(Cell(words, room), Ink(" "), Ink(_banded(before, side), "quiet"), Ink(_banded(after, side)))


def _banded(figure: Written, width: int) -> str:
    """A number and its band, set under the one above."""
    return f"{figure.number:>6} {figure.band:^{width - 8}}"[:width].ljust(width)
