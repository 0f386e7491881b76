"""What to weigh and draw, the brewer's first look at a plan."""

from __future__ import annotations

from gyle.cli.paper import Cell, Ink, Page
from gyle.decide.plan import Plan
from gyle.share.weighing import hop_mass_text, mass_text, other_text, said_when, water_text, yeast_text

__all__ = ["weighing"]

AMOUNT = 12
SHARE = 8
NARROW_WHEN = 18


def weighing(page: Page, plan: Plan, system: str) -> None:
    """Add what to weigh: grist with shares, hops with their times, yeast, water."""
    recipe, amounts = plan.recipe, plan.amounts
    aside = f"for each of the {recipe.gyles} gyles" if recipe.gyles > 1 else ""
    page.head("To weigh", aside)
    total = sum(float(kg) for kg in amounts.grist_kg) or 1.0
    page.beside("grist")
    for line, kg in zip(recipe.grist, amounts.grist_kg, strict=True):
        when = said_when(line.at, system)
        share = f"{100.0 * float(kg) / total:.1f} %"
        _entry(page, line.what, mass_text(float(kg), system), share, "" if when == "mash" else when)
    if len(recipe.grist) > 1:
        _entry(page, "in all", mass_text(total, system), "", "", kind="quiet")
    if recipe.hops:
        page.beside("hops")
    for hop, kg in zip(recipe.hops, amounts.hops_kg, strict=True):
        alpha = f"{100.0 * hop.alpha_fraction.centre:.3g} % α"
        when = said_when(hop.at, system) + (", in the hop vessel" if hop.vessel == "hop vessel" else "")
        _entry(page, hop.what, hop_mass_text(float(kg), system), alpha, when)
    if recipe.others:
        page.beside("also")
    for other in recipe.others:
        what = other.what if other.mineral is None else other.mineral.spoken
        _entry(page, what, other_text(other, plan, system), "", said_when(other.at, system))
    if recipe.yeasts:
        page.beside("yeast")
    for yeast in recipe.yeasts:
        page.row(Cell(yeast_text(yeast, plan, system), page.room))
    page.beside("water")
    page.row(Cell(water_text(plan, system), page.room))


def _entry(page: Page, what: str, amount: str, share: str, when: str, *, kind: str = "") -> None:
    mass = Cell(amount, AMOUNT, kind or "strong", right=True)
    if page.narrow:
        name = page.room - AMOUNT - NARROW_WHEN - 2
        page.row(Cell(", ".join(filter(None, (what, share))), name, kind), mass, Ink("  "), Cell(when, NARROW_WHEN))
        return
    left = page.room - AMOUNT - SHARE - 4
    name = min(30, left // 2 + 1)
    page.row(
        Cell(what, name, kind),
        Ink(" "),
        mass,
        Ink(" "),
        Cell(share, SHARE, "quiet", right=True),
        Ink("  "),
        Cell(when, left - name),
    )
