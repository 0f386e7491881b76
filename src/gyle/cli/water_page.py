"""A water's work as a page: the report, what to weigh and where it goes, what comes of it, and how sure that is."""

from __future__ import annotations

import math
from collections.abc import Iterator

from gyle.cli.figure_lines import strip
from gyle.cli.paper import Cell, Ink, Page
from gyle.cli.plan_page import notes
from gyle.decide.water_work import WaterWork
from gyle.line.figures import Band
from gyle.quantities import write
from gyle.share.beer_words import house_name
from gyle.share.sentences import as_sentence
from gyle.share.water_words import (
    PH_WORDS,
    alkaline_words,
    amount_words,
    charge_words,
    dilution_words,
    dose_words,
    guessed,
    lime_words,
    liquor_words,
    near_sentences,
    span_words,
)

__all__ = ["water_page"]

NUMBER = 9
INTO = {"mash": "mash", "sparge": "sparge", "kettle": "kettle"}


def water_page(work: WaterWork, *, width: int, system: str) -> Page:
    """Lay the work out."""
    page = Page(width)
    _title(page, work, system)
    _report(page, work, system)
    _weighing(page, work, system)
    _ions(page, work)
    _acidity(page, work)
    _proof(page, work)
    if work.cautions:
        page.head("Take care")
        for caution in work.cautions:
            page.text(as_sentence(caution), indent="! ")
    notes(page, work.notes)
    return page


def _title(page: Page, work: WaterWork, system: str) -> None:
    plan = work.plan
    for_what = f" for {plan.recipe.name}" if plan is not None else ""
    page.text(f"{work.report.name}{for_what}", "title")
    if plan is None:
        page.text(f"{write(work.volume_L, 'volume', system=system)} of water")
        return
    page.text(f"{house_name(plan)} · {liquor_words(work, system=system)}, measured cold")
    page.text(f"{plan.brew.inputs.draws:,} brews simulated; bands hold 8 of 10", "quiet")


def _report(page: Page, work: WaterWork, system: str) -> None:
    page.head("The report")
    told = {
        "charge": charge_words(work.report),
        "alkaline": alkaline_words(work.report),
        "lime": lime_words(work.report, work.standing, system=system),
    }
    for beside, words in told.items():
        page.beside(beside)
        page.row(Cell(words, page.room))


def _weighing(page: Page, work: WaterWork, system: str) -> None:
    page.head("To weigh", _for_all(work))
    before = len(page.lines)
    if work.dilution_share:
        page.beside("water")
        page.row(Cell(dilution_words(work, system=system), page.room))
    for place, sentence in enumerate(work.softening):
        if place == 0:
            page.beside("soften")
        page.row(Cell(as_sentence(sentence), page.room))
    if work.sulfite is not None:
        page.beside("chlorine")
        page.row(Cell(" ".join(work.sulfite.steps[:2]), page.room))
    _doses(page, work)
    if len(page.lines) == before:
        page.text(_nothing(work), indent="  ")


def _for_all(work: WaterWork) -> str:
    gyles = 1 if work.plan is None else work.plan.recipe.gyles
    return f"for the {gyles} gyles together" if gyles > 1 else ""


def _doses(page: Page, work: WaterWork) -> None:
    place = ""
    for dose in work.doses:
        if dose.into != place:
            place = dose.into
            page.beside(INTO[place] if work.plan is not None else "water")
        what = dose_words(work, dose)
        page.row(
            Cell(what, page.room - NUMBER - 5),
            Cell(amount_words(dose), NUMBER, "strong", right=True),
            Ink(f" {dose.unit}"),
        )


def _nothing(work: WaterWork) -> str:
    if work.treatment is not None:
        return "Nothing: it is what is wanted already."
    if work.plan is not None:
        return "Nothing: the recipe wants no ions and no mash pH; --mash-ph 5.4 or --to would."
    return "Nothing is asked of it: give --recipe or --to."


def _ions(page: Page, work: WaterWork) -> None:
    page.head("What is in it", "mg/L, all liquor together")
    wide = not page.narrow
    words = page.room - (4 * NUMBER + 2 if wide else 3 * NUMBER)
    page.row(
        Cell("", words),
        *(Cell(head, NUMBER, "quiet", right=True) for head in ("source", "wanted", "comes to")),
        *([Cell("band", NUMBER + 2, "quiet", right=True)] if wide else []),
    )
    for place, (ion, row) in enumerate(work.ions.items()):
        if place == 0:
            page.beside("water")
        wanted = span_words(row.wanted_low, row.wanted_high) if row.wanted is None else f"{row.wanted:.0f}"
        low, high = ("", "") if row.got_band is None else (f"{row.got_band.low:.0f}", f"{row.got_band.high:.0f}")
        ends = f"{low} to {high}" if low != high else ""
        page.row(
            Cell(ion, words),
            Cell(f"{'~' if guessed(work.report, ion) else ''}{row.source:.0f}", NUMBER, right=True),
            Cell(wanted, NUMBER, right=True),
            Cell(f"{row.got:.0f}", NUMBER, "strong", right=True),
            *([Cell(ends, NUMBER + 2, "quiet", right=True)] if wide else []),
        )

    ratio, least, most = work.sulfate_to_chloride, 0.0, math.inf
    if ratio.wanted is not None:
        least, most = ratio.wanted
    if ratio.got is not None:
        page.row(
            Cell("sulfate to chloride", words),
            Cell(_quotient(ratio.source), NUMBER, right=True),
            Cell(span_words(least or None, most if math.isfinite(most) else None, ".2g"), NUMBER, right=True),
            Cell(_quotient(ratio.got), NUMBER, "strong", right=True),
            *([Cell("", NUMBER + 2)] if wide else []),
        )
    if (alone := work.mash_calcium_mg_L) is not None and work.doses:
        page.row(
            Cell("calcium in the mash liquor alone", words + 2 * NUMBER),
            Cell(f"{alone:.0f}", NUMBER, right=True),
            *([Cell("", NUMBER + 2)] if wide else []),
        )


def _quotient(value: float | None) -> str:
    return "" if value is None else f"{value:.1f}"


def _acidity(page: Page, work: WaterWork) -> None:
    if not work.ph:
        return
    page.head("pH", "" if page.narrow else "├─┼─┤ band and mean   ◆ aim")
    aim = None if work.treatment is None else work.treatment.aimed_ph
    for place, (name, words) in enumerate((name, words) for name, words in PH_WORDS.items() if name in work.ph):
        if place == 0:
            page.beside("pH")
        page.row(*_ph_row(page, words, work.ph[name], aim if name == "mash" else None))


def _ph_row(page: Page, words: str, band: Band, aim: float | None) -> Iterator[Cell | Ink]:
    if aim is not None:
        words = f"{words} ◆ {aim:g}"
    drawn: list[Ink] = strip(band, aim) if not page.narrow else []
    used = 6 + 1 + 6 + 1 + 6 + len(drawn)
    yield Cell(words, page.room - used)
    yield Cell(f"{band.mean:.2f}", 6, "strong", right=True)
    yield Ink(" ")
    yield Cell(f"{band.low:.2f}", 6, "quiet", right=True)
    yield Ink(" ")
    yield from drawn
    yield Cell(f"{band.high:.2f}", 6, "quiet", right=True)


def _proof(page: Page, work: WaterWork) -> None:
    if work.treatment is None:
        return
    page.head("How near that is", "a miss of 1 can just be told")
    for sentence in near_sentences(work):
        page.text(sentence, indent="  ")
