"""One thing instead of another: a sugar for a sugar at equal extract, a hop for a hop at equal alpha or rate.

What is there for the mash's pH, acid malt or an acid, is only read and refused here; how much of it another
brewhouse takes is found by `gyle.decide.acid_swap`.
"""

from __future__ import annotations

import re

import attrs

from gyle.beer.entries import ACID_MALT
from gyle.beer.ingredient import Fermentable
from gyle.beer.mineral import Mineral, mineral_of, minerals
from gyle.beer.recipe import GristLine, OtherLine, Recipe
from gyle.beer.tables import fermentable, hop, name_key, near_names
from gyle.errors import BadInput
from gyle.line.day import mashed

__all__ = ["AcidWish", "Swap", "acid_wish_of", "extract_per_kg", "is_acid_malt", "swapped"]

AROMA_MIN = 20.0
SAME_STRENGTH = 5e-4  # mass fraction


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


@attrs.frozen(kw_only=True)
class AcidWish:
    """What is to come in for the mash's pH, and the lines it takes the place of.

    One of `acid` and `malt` comes in; one of `malts` and `acids` goes out.
    """

    acid: Mineral | None = None
    malt: Fermentable | None = None
    malts: tuple[GristLine, ...] = ()
    acids: tuple[OtherLine, ...] = ()
    note: str = ""


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


def is_acid_malt(line: GristLine) -> bool:
    """Whether a grist line is acid malt, of whatever lot."""
    return line.ingredient.name == ACID_MALT


def extract_per_kg(ingredient: Fermentable) -> float:
    """Extract that a kilogram can give."""
    return ingredient.extract_fraction.centre * (1.0 - ingredient.moisture_fraction.centre)


def acid_wish_of(recipe: Recipe, wish: str) -> AcidWish | None:
    """Read a wish that is about the mash's acid; None where it is about something else.

    Parameters
    ----------
    recipe : Recipe
        The beer as its author wrote it.
    wish : str
        "NEW for OLD": one of them acid malt, the other an acid; or both an acid.

    Raises
    ------
    BadInput
        If the one cannot stand for the other, or there is none in the recipe, or no mash.
    """
    new, old, how = _parts(wish)
    found = fermentable(old)
    asks_malt = found is not None and found[0].name == ACID_MALT
    acids = tuple(line for line in recipe.others if line.mineral is not None and _means(old, line.mineral))
    asks_acid = bool(acids) or _is_an_acid(old)
    incoming, note = _incoming(new, old if asks_malt or asks_acid else "")
    if incoming is None:
        if asks_acid:
            raise BadInput(f"{new[:40]} cannot stand for {old[:40]}: an acid or acid malt can")
        return None
    if asks_malt and isinstance(incoming, Fermentable):
        return None  # at equal extract, as any malt
    if not asks_malt and not asks_acid:
        names = [line.what for line in recipe.grist] + [line.what for line in recipe.hops]
        names += [line.what for line in recipe.others]
        if name_key(old) in _keys(*names) or found is not None:
            raise BadInput(
                f"{incoming.name} cannot stand for {old[:40]}: it stands for acid malt or an acid, at equal mash pH"
            )
        return None
    if how:
        raise BadInput(f"{incoming.name} takes the place of {old[:40]} at equal mash pH, not at equal {how}")
    malts = tuple(line for line in recipe.grist if is_acid_malt(line)) if asks_malt else ()
    _must_be_there(recipe, old, malts, acids)
    if isinstance(incoming, Fermentable):
        if not any(line.at.stage == "mash" for line in acids):
            raise BadInput(f"{incoming.name} belongs in the mash, and {recipe.name} has {old[:40]} elsewhere alone")
        return AcidWish(malt=incoming, acids=acids, note=note)
    return AcidWish(acid=incoming, malts=malts, acids=() if asks_malt else acids, note=note)


def _must_be_there(recipe: Recipe, old: str, malts: tuple[GristLine, ...], acids: tuple[OtherLine, ...]) -> None:
    """Refuse where the old thing is not in the recipe, may be either of two, or has no mash to be in."""
    if not malts and not acids:
        have = [line.mineral.name for line in recipe.others if line.mineral is not None and line.mineral.kind == "acid"]
        have += [line.what for line in recipe.grist if is_acid_malt(line)]
        names = ", ".join(dict.fromkeys(have))
        holds = f"of that kind it holds {names}" if names else "it holds no acid and no acid malt"
        raise BadInput(f"{old[:40]} is not in {recipe.name}; {holds}")
    names = " and ".join(dict.fromkeys(line.mineral.name for line in acids if line.mineral is not None))
    if " and " in names and not malts:
        raise BadInput(f"{recipe.name} holds {names}: say which of them")
    into_mash = bool(malts) or any(line.at.stage == "mash" for line in acids)
    if into_mash and not any(mashed(line) and not is_acid_malt(line) for line in recipe.grist):
        raise BadInput(f"{recipe.name} has no mash whose pH could be held")


def _incoming(new: str, old: str) -> tuple[Fermentable | Mineral | None, str]:
    """The acid malt or the acid that is to come in, and a note; `old` is empty where it is no matter of acids."""
    found = fermentable(new)
    if found is not None:
        return (found[0], found[1]) if found[0].name == ACID_MALT else (None, "")
    try:
        mineral = mineral_of(new)
    except BadInput as fault:
        usual = next((one for one in minerals() if name_key(new) in name_key(one.name)), None)
        if usual is None or "%" in new or usual.kind != "acid":
            raise
        raise BadInput(f'how strong is the {new[:40]}? Write it into its name, such as "{usual.name}"') from fault
    if mineral is None:
        return None, ""
    if mineral.kind != "acid":
        if old:
            raise BadInput(f"{mineral.name} is no acid and cannot stand for {old[:40]}")
        return None, ""
    return mineral, mineral.note


def _is_an_acid(name: str) -> bool:
    """Whether a name is an acid's, its strength said or not."""
    for strength in (None, 50.0, 10.0):
        try:
            mineral = mineral_of(name, strength)
        except BadInput:
            continue
        if mineral is not None:
            return mineral.kind == "acid"
    return False


def _means(name: str, mineral: Mineral) -> bool:
    """Whether a name means an acid of the recipe; without a strength it means it at any."""
    if mineral.kind != "acid":
        return False
    strength = mineral.strength_fraction.centre
    for said in (None, 100.0 * strength):
        try:
            found = mineral_of(name, said)
        except BadInput:
            continue
        if found is not None:
            same = abs(found.strength_fraction.centre - strength) < SAME_STRENGTH or "%" not in name
            return found.key == mineral.key and found.unit == mineral.unit and same
    return False


def _keys(*names: str) -> set[str]:
    keys = {name_key(name) for name in names}
    # "dextrose" finds dextrose monohydrate, "sucrose" sucrose.
    return keys | {key.split(" ")[0] for key in keys if key.startswith(("dextrose", "sucrose"))}


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
        before, after = extract_per_kg(line.ingredient), extract_per_kg(ingredient)
        lines[place] = attrs.evolve(line, what=ingredient.name, ingredient=ingredient)
        ratios[place] = before / after
        why = f"equal extract: {before:.3f} and {after:.3f} kg in a kilogram"
        if is_acid_malt(line) != (ingredient.name == ACID_MALT):
            why += "; the mash pH is not kept, as an acid would keep it"
        told.append((line.what, line.what, ingredient.name, before / after, why + (f"; {note}" if note else "")))
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
