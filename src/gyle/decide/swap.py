"""One thing instead of another: a sugar for a sugar at equal extract, a hop for a hop at equal alpha or rate."""

from __future__ import annotations

import re

import attrs

from gyle.beer.ingredient import Fermentable
from gyle.beer.recipe import Recipe
from gyle.beer.tables import fermentable, hop, name_key, near_names
from gyle.errors import BadInput

__all__ = ["Swap", "swapped"]

AROMA_MIN = 20.0


@attrs.frozen(kw_only=True)
class Swap:
    """A substitution: the recipe with the new thing in, and what each line's mass is multiplied by.

    `lines` names each changed line with the reason: (grist or hop place, before, after, why).
    """

    recipe: Recipe
    grist_ratio: tuple[float, ...]
    hop_ratio: tuple[float, ...]
    hop_bitterness_ratio: tuple[float, ...]
    lines: tuple[tuple[str, str, str, float, str], ...]  # what, before, after, mass ratio, why


def _parts(text: str) -> tuple[str, str, str]:
    """New name, old name, and "alpha" or "rate" where the wish says which."""
    match = re.fullmatch(r"\s*(.+?)\s+for\s+(.+?)(?:\s+(?:at|by)\s+equal\s+(alpha|rate))?\s*", text, re.IGNORECASE)
    if match is None or len(text) > 200:
        raise BadInput(
            f'--instead "{text[:60]}" is not understood: write the new thing, "for", the old one,'
            ' such as "sucrose for dextrose" or "Chinook for Cascade at equal rate"'
        )
    return match[1], match[2], (match[3] or "").lower()


def swapped(recipe: Recipe, wish: str) -> Swap:
    """Replace one ingredient by another.

    Parameters
    ----------
    recipe : Recipe
        The beer; its amounts may be masses or shares.
    wish : str
        "NEW for OLD", for hops with "at equal alpha" (default where it is boiled 20 min or longer) or "at
        equal rate" (default elsewhere).

    Returns
    -------
    Swap
        The recipe with the new thing in, and by how much each line's mass changes.
    """
    new, old, how = _parts(wish)
    key = name_key(old)
    grist = [place for place, line in enumerate(recipe.grist) if key in _keys(line.what, line.ingredient.name)]
    hops = [place for place, line in enumerate(recipe.hops) if key in _keys(line.what, line.hop.name)]
    if grist:
        return _grist(recipe, grist, new)
    if hops:
        return _hops(recipe, hops, new, how)
    have = ", ".join([*(line.what for line in recipe.grist), *(line.what for line in recipe.hops)])
    raise BadInput(f"{old[:40]} is not in {recipe.name}; it holds {have}")


def _keys(*names: str) -> set[str]:
    keys = {name_key(name) for name in names}
    # "dextrose" finds dextrose monohydrate, "sucrose" sucrose.
    return keys | {key.split(" ")[0] for key in keys if key.startswith(("dextrose", "sucrose"))}


def _extract(ingredient: Fermentable) -> float:
    return ingredient.extract_fraction.centre * (1.0 - ingredient.moisture_fraction.centre)


def _unknown(what: str, table: str) -> BadInput:
    near = ", ".join(near_names(table, what))
    return BadInput(f"{what[:40]} is not in the table of {table}" + (f"; near names are {near}" if near else ""))


def _grist(recipe: Recipe, places: list[int], new: str) -> Swap:
    found = fermentable(new)
    if found is None:
        raise _unknown(new, "fermentables")
    ingredient, note = found
    lines, ratios = list(recipe.grist), [1.0] * len(recipe.grist)
    told = []
    for place in places:
        line = lines[place]
        if (line.ingredient.group == "sugar") != (ingredient.group == "sugar"):
            raise BadInput(f"{ingredient.name} cannot stand for {line.what}: one is mashed, the other dissolved")
        ratio = _extract(line.ingredient) / _extract(ingredient)
        lines[place] = attrs.evolve(line, what=ingredient.name, ingredient=ingredient)
        ratios[place] = ratio
        why = f"equal extract: {_extract(line.ingredient):.3f} and {_extract(ingredient):.3f} kg in a kilogram"
        told.append((line.what, line.what, ingredient.name, ratio, why + (f"; {note}" if note else "")))
    return Swap(
        recipe=attrs.evolve(recipe, grist=tuple(lines)),
        grist_ratio=tuple(ratios),
        hop_ratio=(1.0,) * len(recipe.hops),
        hop_bitterness_ratio=(1.0,) * len(recipe.hops),
        lines=tuple(told),
    )


def _hops(recipe: Recipe, places: list[int], new: str, how: str) -> Swap:
    found = hop(new)
    if found is None:
        raise _unknown(new, "hops")
    variety, note = found
    lines = list(recipe.hops)
    ratios, bitter_ratios = [1.0] * len(lines), [1.0] * len(lines)
    told = []
    for place in places:
        line = lines[place]
        bitter = line.at.stage in ("mash", "first wort") or (
            line.at.stage == "boil" and (line.at.minutes or 0.0) >= AROMA_MIN
        )
        by_alpha = how == "alpha" or (not how and bitter)
        alphas = line.alpha_fraction.centre / variety.alpha_fraction.centre
        ratios[place] = alphas if by_alpha else 1.0
        bitter_ratios[place] = ratios[place] / alphas
        lines[place] = attrs.evolve(line, what=variety.name, hop=variety, alpha_fraction=variety.alpha_fraction)
        both = f"{100 * line.alpha_fraction.centre:.1f} % and {100 * variety.alpha_fraction.centre:.1f} %"
        why = f"equal alpha acids ({both})" if by_alpha else f"equal rate; alpha acids {both}"
        told.append(
            (
                f"{line.what}, {line.at.text}",
                line.what,
                variety.name,
                ratios[place],
                why + (f"; {note}" if note else ""),
            )
        )
    return Swap(
        recipe=attrs.evolve(recipe, hops=tuple(lines)),
        grist_ratio=(1.0,) * len(recipe.grist),
        hop_ratio=tuple(ratios),
        hop_bitterness_ratio=tuple(bitter_ratios),
        lines=tuple(told),
    )
