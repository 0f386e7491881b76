"""What to weigh and draw, the brewer's first look at a plan."""

from __future__ import annotations

from typing import Any

import numpy as np

from gyle.beer.recipe import OtherLine, YeastLine
from gyle.beer.timing import Timing
from gyle.cli.paper import Cell, Ink, Page
from gyle.decide.plan import Plan
from gyle.line.day import HOT_SIDE, mash_numbers
from gyle.quantities import write

__all__ = ["amounts_document", "said_when", "weighing"]

AMOUNT = 12
SHARE = 8
NARROW_WHEN = 18
MANY_CELLS = 1e9


def said_when(at: Timing, system: str) -> str:
    """When something goes in, as a brewer says it."""
    if at.points_above_final is not None:
        when = f"{at.points_above_final:g} points above final"
    elif at.day is not None:
        when = f"day {at.day:g}"
    elif at.stable_days is not None:
        when = f"stable {at.stable_days:g} days"
    elif at.temperature_C is not None:
        when = write(at.temperature_C, "temperature", system=system)
    else:
        when = ""
    time = f"{at.minutes:.0f} min" if at.minutes is not None else ""
    stay = f"for {at.contact_days:g} days" if at.contact_days is not None else ""
    stage = f"{at.stage} {at.mash}" if at.stage == "mash" and at.mash > 1 else at.stage
    return " ".join(part for part in (stage, when, time, stay) if part)


def amounts_document(plan: Plan) -> dict[str, Any]:
    """What a plan weighs and draws, for JSON."""
    recipe, amounts = plan.recipe, plan.amounts
    return {
        "grist": [
            {"what": line.what, "at": line.at.text, "mass_kg": float(kg)}
            for line, kg in zip(recipe.grist, amounts.grist_kg, strict=True)
        ],
        "doses": [
            {
                "what": line.what,
                "at": line.at.text,
                "amount": dosed(line, plan),
                "unit": line.mineral.unit,
            }
            for line in recipe.others
            if line.mineral is not None
        ],
        "hops": [
            {"what": line.what, "at": line.at.text, "mass_g": 1000.0 * float(kg)}
            for line, kg in zip(recipe.hops, amounts.hops_kg, strict=True)
        ],
        "water": {
            "mash_L": [float(litres) for litres in amounts.liquor_L],
            "sparge_L": [float(litres) for litres in amounts.sparge_L],
            "dilution_share": float(recipe.dilution_share or 0.0),
        },
    }


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
        _entry(page, line.what, _mass(float(kg), system), share, "" if when == "mash" else when)
    if len(recipe.grist) > 1:
        _entry(page, "in all", _mass(total, system), "", "", kind="quiet")
    if recipe.hops:
        page.beside("hops")
    for hop, kg in zip(recipe.hops, amounts.hops_kg, strict=True):
        alpha = f"{100.0 * hop.alpha_fraction.centre:.3g} % α"
        when = said_when(hop.at, system) + (", in the hop vessel" if hop.vessel == "hop vessel" else "")
        _entry(page, hop.what, _hop_mass(float(kg), system), alpha, when)
    if recipe.others:
        page.beside("also")
    for other in recipe.others:
        what = other.what if other.mineral is None else other.mineral.spoken
        _entry(page, what, _other(other, plan, system), "", said_when(other.at, system))
    if recipe.yeasts:
        page.beside("yeast")
    for yeast in recipe.yeasts:
        page.row(Cell(_yeast(yeast, plan, system), page.room))
    page.beside("water")
    page.row(Cell(_water(plan, system), page.room))


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


def _mass(kg: float, system: str) -> str:
    if system == "us":
        return write(kg, "mass", system=system)
    return write(kg, "mass", digits=2 if kg >= 1.0 else 0)


def _hop_mass(kg: float, system: str) -> str:
    if system == "us":
        return write(kg, "mass", system=system, unit="oz", digits=2)
    return write(kg, "mass", unit="g", digits=1)


def _other(other: OtherLine, plan: Plan, system: str) -> str:
    if other.mineral is not None:
        return f"{dosed(other, plan):.3g} {other.mineral.unit}"
    each = plan.recipe.gyles if other.at.stage in HOT_SIDE else 1  # what is stated is for the whole volume
    if other.mass_kg is not None:
        return _mass(other.mass_kg / each, system)
    if other.volume_L is not None:
        return write(other.volume_L / each, "volume", system=system)
    if other.count is not None:
        return f"{other.count:g}"
    if other.rate_g_L is not None:
        return _mass(other.rate_g_L * plan.figures["fermenter.volume"].mean / 1000.0, system)
    return ""


def dosed(line: OtherLine, plan: Plan) -> float:
    """What is given of a salt or acid in one gyle [g or mL], by the day's own moves; nothing where no move gives it."""
    doses = (dose for step in plan.brew.steps for dose in step.move.inputs.get("doses", ()))
    return sum(float(np.mean(dose["amount"])) for dose in doses if dose["line"] is line)


def _yeast(line: YeastLine, plan: Plan, system: str) -> str:
    if line.packs is not None:
        return f"{line.what}, {line.packs:g} {'pack' if line.packs == 1 else 'packs'}"
    if line.mass_kg is not None:
        return f"{line.what}, {_mass(line.mass_kg, system)}"
    if line.cells is not None:
        return f"{line.what}, {_cells(line.cells)}"
    from gyle.science.extract import degrees_plato
    from gyle.science.pitching import cells_needed

    gravity = max(plan.figures["fermenter.pitch_gravity"].mean, 1.0)
    litres = plan.figures["fermenter.volume"].mean
    rate = line.pitch_M_mL_P if line.pitch_M_mL_P is not None else line.yeast.pitch_M_mL_P[1]
    cells = cells_needed(degrees_plato(gravity), litres, pitch_rate_M_mL_P=rate)
    return f"{line.what}, {_cells(float(cells))} ({rate:g} M/mL/°P)"


def _cells(cells: float) -> str:
    return f"about {cells / MANY_CELLS:.0f} billion cells"


def _water(plan: Plan, system: str) -> str:
    def volume(litres: float) -> str:
        return write(litres, "volume", system=system)

    liquor = [float(litres) for litres in plan.amounts.liquor_L]
    sparge = [float(litres) for litres in plan.amounts.sparge_L]
    several = len(mash_numbers(plan.recipe)) > 1
    parts = []
    for number, litres in enumerate(liquor, start=1):
        if litres > 0.05:
            parts.append(f"{volume(litres)} for " + (f"mash {number}" if several else "the mash"))
    for number, litres in enumerate(sparge, start=1):
        if litres > 0.05:
            parts.append(f"{volume(litres)} to sparge" + (f" mash {number}" if several else ""))
    if len(parts) > 1:
        parts.append(f"{volume(sum(liquor) + sum(sparge))} in all")
    if plan.recipe.dilution_share:
        share = plan.recipe.dilution_share
        parts.append(
            f"of it {volume(share * (sum(liquor) + sum(sparge)))} of reverse osmosis water ({100.0 * share:.0f} %)"
        )
    return ", ".join(parts)
