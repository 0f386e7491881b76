"""What treating a water changes in a recipe, and why."""

from __future__ import annotations

import attrs

from gyle.beer.recipe import OtherLine, Recipe
from gyle.decide.changes import Change
from gyle.decide.treatment import Treatment, treats

__all__ = ["treatment_changes", "without_treatment"]


def without_treatment(recipe: Recipe) -> tuple[Recipe, list[Change]]:
    """The recipe without the doses its author's own water needed, and what that leaves out."""
    gone = [line for line in recipe.others if treats(line)]
    why = "it was for another water; this one is brought to the same ions and mash pH by its own doses"
    told = [Change(what=line.what, before=_amount(line), after="none", why=why) for line in gone]
    kept = tuple(line for line in recipe.others if not treats(line))
    return attrs.evolve(recipe, others=kept, dilution_share=None), told


def treatment_changes(treatment: Treatment) -> list[Change]:
    """The doses as changes: what this water lacks of the recipe's."""
    choice = treatment.choice
    before, after = treatment.problem.source.ions_mg_L, choice.waters["whole"].ions_mg_L
    found = []
    if choice.dilution_share and treatment.shelf.pure_water is not None:
        share = f"{100.0 * choice.dilution_share:.0f} % of all liquor"
        why = f"{treatment.source.name} holds more than the recipe wants"
        found.append(Change(what=f"{treatment.shelf.pure_water.name} water", before="none", after=share, why=why))
    for line in treatment.lines:
        assert line.mineral is not None
        ions = [
            f"{ion} from {before[ion]:.0f} to {after[ion]:.0f} mg/L"
            for ion in line.mineral.ions_mg_per_unit()
            if ion in treatment.wanted.moved
        ]
        why = ", ".join(ions) or ("the mash's pH" if line.at.stage == "mash" else "the sparge liquor's alkalinity")
        found.append(Change(what=f"{line.what}, {line.at.text}", before="none", after=_amount(line), why=why))
    return found


def _amount(line: OtherLine) -> str:
    mineral = line.mineral
    assert mineral is not None
    if line.rate_g_L is not None:
        return f"{line.rate_g_L:g} g/L"
    return f"{mineral.measured(mass_kg=line.mass_kg, volume_L=line.volume_L):.3g} {mineral.unit}"
