"""A water's work as a page: the report, what to weigh and where it goes, what comes of it, and how sure that is."""

from __future__ import annotations

import math
from collections.abc import Iterator

from gyle.cli.figure_lines import strip
from gyle.cli.paper import Cell, Ink, Page, as_sentence, joined
from gyle.cli.plan_page import house_name, notes
from gyle.decide.salt_matrix import BALANCE
from gyle.decide.salt_problem import Miss
from gyle.decide.salts import STEPS
from gyle.decide.water_work import WaterWork
from gyle.line.figures import Band
from gyle.quantities import write

__all__ = ["water_page"]

NUMBER = 9
BALANCED_SI = 0.2
WORDS = {
    "mash": "mash, cooled sample",
    "mash_hot": "as it stands in the mash, hot",
    "mash_2": "second mash, cooled sample",
    "sparge": "sparge liquor, cold",
    "kettle": "full kettle, cooled sample",
    "kettle_end": "end of boil, cooled sample",
    "beer": "beer",
}
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
    later = plan.recipe.gyles * (float(sum(plan.amounts.sparge_L)) + float(sum(plan.amounts.liquor_L[1:])))
    parts = [f"{write(work.volume_L - later, 'volume', system=system)} to mash"]
    if later > 0.05:
        parts.append(f"{write(later, 'volume', system=system)} to sparge")
    page.text(f"{house_name(plan)} · {', '.join(parts)}, measured cold")
    page.text(f"{plan.brew.inputs.draws:,} brews simulated; bands hold 8 of 10", "quiet")


def _report(page: Page, work: WaterWork, system: str) -> None:
    report, balance = work.report, work.report.balance
    page.head("The report")
    page.beside("charge")
    verdict = "usual" if balance.acceptable else "more than usual: see below"
    if not balance.tells:
        verdict = "no check, since figures are missing"
    page.row(
        Cell(
            f"cations {balance.cations_mEq_L:.2f}, anions {balance.anions_mEq_L:.2f} mEq/L: {balance.din_pct:+.1f} %"
            f" (DIN form), {verdict}",
            page.room,
        )
    )
    page.beside("alkaline")
    page.row(
        Cell(
            f"alkalinity {write(report.alkalinity_mEq_L.centre, 'alkalinity')}"
            f" ({write(report.alkalinity_mEq_L.centre, 'alkalinity', system='us')}); residual alkalinity"
            f" {write(report.residual_alkalinity_mEq_L, 'alkalinity')}",
            page.room,
        )
    )

    page.beside("lime")
    state = work.standing
    sign = "near balance with chalk"
    if abs(state.calcite_si) > BALANCED_SI:
        sign = "it leaves chalk when warm" if state.calcite_si > 0.0 else "it takes up chalk"
    page.row(
        Cell(
            f"pH {report.ph.centre:.2f} at {write(report.reading_C, 'temperature', system=system)}; calcite saturation"
            f" index {state.calcite_si:+.2f} ({sign}); free CO2 {state.carbon_dioxide_mg_L:.2g} mg/L",
            page.room,
        )
    )


def _weighing(page: Page, work: WaterWork, system: str) -> None:
    page.head("To weigh", _for_all(work))
    before = len(page.lines)
    if work.dilution_share:
        share = work.dilution_share
        page.beside("water")
        pure = f"{write(share * work.volume_L, 'volume', system=system)} of {work.pure_name} water"
        own = f"{write((1.0 - share) * work.volume_L, 'volume', system=system)} from the tap"
        page.row(Cell(f"{pure} ({100.0 * share:.0f} %), {own if share < 1.0 else 'none from the tap'}", page.room))
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
        amount = f"{dose.amount:.2f}".rstrip("0").rstrip(".")
        spoken = work.spoken(dose.what)
        what = dose.what if spoken == dose.what else f"{spoken} ({dose.what})"
        page.row(Cell(what, page.room - NUMBER - 5), Cell(amount, NUMBER, "strong", right=True), Ink(f" {dose.unit}"))


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
        wanted = _span(row.wanted_low, row.wanted_high) if row.wanted is None else f"{row.wanted:.0f}"
        low, high = ("", "") if row.got_band is None else (f"{row.got_band.low:.0f}", f"{row.got_band.high:.0f}")
        ends = f"{low} to {high}" if low != high else ""
        page.row(
            Cell(ion, words),
            Cell(f"{'~' if _guessed(work, ion) else ''}{row.source:.0f}", NUMBER, right=True),
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
            Cell(_span(least or None, most if math.isfinite(most) else None, ".2g"), NUMBER, right=True),
            Cell(_quotient(ratio.got), NUMBER, "strong", right=True),
            *([Cell("", NUMBER + 2)] if wide else []),
        )
    if (alone := work.mash_calcium_mg_L) is not None and work.doses:
        page.row(
            Cell("calcium in the mash liquor alone", words + 2 * NUMBER),
            Cell(f"{alone:.0f}", NUMBER, right=True),
            *([Cell("", NUMBER + 2)] if wide else []),
        )


def _guessed(work: WaterWork, ion: str) -> bool:
    """Whether the report does not say it: the figure is estimated, and marked."""
    return ("alkalinity" if ion == "bicarbonate" else ion) in work.report.estimated


def _quotient(value: float | None) -> str:
    return "" if value is None else f"{value:.1f}"


def _span(low: float | None, high: float | None, form: str = ".0f") -> str:
    """A range in a narrow column; nothing where nobody asks."""
    if low is not None and high is not None:
        return f"{low:{form}}-{high:{form}}"
    return f">{low:{form}}" if low is not None else f"<{high:{form}}" if high is not None else ""


def _acidity(page: Page, work: WaterWork) -> None:
    if not work.ph:
        return
    page.head("pH", "" if page.narrow else "├─┼─┤ band and mean   ◆ aim")
    aim = None if work.treatment is None else work.treatment.aimed_ph
    for place, (name, words) in enumerate((name, words) for name, words in WORDS.items() if name in work.ph):
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
    choice = work.treatment.choice
    page.head("How near that is", "a miss of 1 can just be told")
    near = "everything wanted is met, to within a tenth of what can be told"
    if choice.worst_miss > 0.1:
        worst = max(choice.misses, key=lambda miss: miss.scaled)
        near = f"farthest off is {_named(worst)}: a miss of {choice.worst_miss:.1f}"
    bound = ", and no more of the second water," if choice.dilution_share else ""
    proof = f"no other amounts of these{bound} come nearer (proven)" if choice.proven else "others may come nearer"
    page.text(as_sentence(f"{near}; {proof}"), indent="  ")
    said = f"{choice.worst_miss:.1f}"
    better = [(_eased(one.what), f"{one.worst_miss:.1f}") for one in work.binding]
    eased = [f"{miss} {how}" for how, miss in better if miss != said]
    if eased:
        page.text(as_sentence(f"it would be {joined(eased)}"), indent="  ")
    worse = [(one.what, "no answer" if one.choice is None else f"{one.choice.worst_miss:.1f}") for one in work.without]
    named = [f"{miss} without {work.spoken(what)}" for what, miss in worse if miss != said]
    if named:
        page.text(as_sentence(f"and {joined(named)}"), indent="  ")


def _eased(bound: str) -> str:
    """What it would take to come nearer."""
    if bound == STEPS:
        return "with a finer scale"
    if bound.endswith("of the second water"):
        return "with more of the second water"
    return f"without the bound of {bound}"


def _named(miss: Miss) -> str:
    """A wish that is missed, with what it comes to."""
    if miss.what == BALANCE:
        return "the pH of the mash"
    unit = "mEq/L" if miss.what == "alkalinity" else "mg/L"
    digits = 2 if miss.what == "alkalinity" else 0
    wanted = miss.high if miss.got > miss.high else miss.low
    where = "" if miss.at == "whole" else f" of the {miss.at} liquor"
    return f"{miss.what}{where}, {miss.got:.{digits}f} for {wanted:.{digits}f} {unit}"
