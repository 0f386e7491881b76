"""What a label has to name of what went into a beer."""

from __future__ import annotations

import re

from gyle.beer.recipe import Recipe

__all__ = ["allergens"]

# Cereals with gluten are named one by one: Regulation (EU) No 1169/2011, Annex II. Provenance: memory.
_CEREALS = (
    ("wheat", re.compile(r"(?i)\b(wheat|spelt|emmer|einkorn|khorasan)\b")),
    ("rye", re.compile(r"(?i)\brye\b")),
    ("oats", re.compile(r"(?i)\boats?\b")),
)


def allergens(recipe: Recipe) -> list[str]:
    """What has to be named on a label: the cereals, then whatever else."""
    cereals: set[str] = set()
    others = {line.allergen for line in recipe.others if line.allergen}
    for line in recipe.grist:
        allergen = line.ingredient.allergen
        if allergen == "gluten":
            cereals.update(_cereals(f"{line.what} {line.ingredient.name}"))
        elif allergen:
            others.add("milk (lactose)" if allergen == "milk" else allergen)
    return [*([f"gluten ({', '.join(sorted(cereals))})"] if cereals else []), *sorted(others)]


def _cereals(name: str) -> list[str]:
    """The cereals a malt, a grain or an extract is of: what no name says is barley, and so is a part of an extract."""
    found = [cereal for cereal, said in _CEREALS if said.search(name)]
    return [*found, "barley"] if not found or "extract" in name.casefold() else found
