"""What is weighed and drawn, in words: amounts as a scale shows them, and when each goes in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from gyle.decide.statement import said_when
from gyle.line.day import HOT_SIDE, mash_numbers
from gyle.quantities import write

if TYPE_CHECKING:
    from gyle.beer.recipe import OtherLine, YeastLine
    from gyle.decide.plan import Plan

__all__ = [
    "amounts_document",
    "dosed",
    "hop_mass_text",
    "mass_text",
    "other_text",
    "said_when",
    "water_text",
    "yeast_text",
]

MANY_CELLS = 1e9


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


def mass_text(kg: float, system: str) -> str:
    """A mass of malt or sugar as a scale shows it."""
    if system == "us":
        return write(kg, "mass", system=system)
    return write(kg, "mass", digits=2 if kg >= 1.0 else 0)


def hop_mass_text(kg: float, system: str) -> str:
    """A mass of hops as a small scale shows it."""
    if system == "us":
        return write(kg, "mass", system=system, unit="oz", digits=2)
    return write(kg, "mass", unit="g", digits=1)


def other_text(other: OtherLine, plan: Plan, system: str) -> str:
    """How much of another thing goes into one gyle; nothing where no amount is known."""
    if other.mineral is not None:
        return f"{dosed(other, plan):.3g} {other.mineral.unit}"
    each = plan.recipe.gyles if other.at.stage in HOT_SIDE else 1  # what is stated is for the whole volume
    if other.mass_kg is not None:
        return mass_text(other.mass_kg / each, system)
    if other.volume_L is not None:
        return write(other.volume_L / each, "volume", system=system)
    if other.count is not None:
        return f"{other.count:g}"
    if other.rate_g_L is not None:
        return mass_text(other.rate_g_L * plan.figures["fermenter.volume"].mean / 1000.0, system)
    return ""


def dosed(line: OtherLine, plan: Plan) -> float:
    """What is given of a salt or acid in one gyle [g or mL], by the day's own moves; nothing where no move gives it."""
    doses = (dose for step in plan.brew.steps for dose in step.move.inputs.get("doses", ()))
    return sum(float(np.mean(dose["amount"])) for dose in doses if dose["line"] is line)


def yeast_text(line: YeastLine, plan: Plan, system: str) -> str:
    """The yeast and how much of it; the cells it should hold where no amount is stated."""
    if line.packs is not None:
        return f"{line.what}, {line.packs:g} {'pack' if line.packs == 1 else 'packs'}"
    if line.mass_kg is not None:
        return f"{line.what}, {mass_text(line.mass_kg, system)}"
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


def water_text(plan: Plan, system: str) -> str:
    """The liquor of a plan: for each mash, to sparge, in all, and what of it is reverse osmosis water."""

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
