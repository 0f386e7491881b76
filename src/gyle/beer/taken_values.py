"""What reading takes where a recipe says nothing, as the text that would say it."""

from __future__ import annotations

from gyle.beer import tables
from gyle.beer.amount_text import amount_text, plain_number
from gyle.beer.process_reading import USUAL_BOIL_MIN, USUAL_CARBONATION_VOL, USUAL_REST, USUAL_STABLE_DAYS
from gyle.beer.recipe import Recipe, YeastLine
from gyle.beer.recipe_fields import Spot

__all__ = ["taken"]

_PLAIN = {
    ("mash", "by"): "heat",
    ("mash", "mash"): "1",
    ("sparge", "squeeze"): "no",
    ("boil", "time"): f"{USUAL_BOIL_MIN:g} min",
    ("hops", "form"): "pellets",
    ("hops", "in"): "kettle",
    ("package", "by"): "force",
    ("package", "carbonation"): f"{USUAL_CARBONATION_VOL:g} vol",
    ("", "bitterness_by"): "tinseth",
    ("", "gyles"): "1",
}


def taken(spot: Spot, recipe: Recipe | None) -> str:
    """Return the text of what is taken at a place where nothing is written.

    Parameters
    ----------
    spot : Spot
        The place.
    recipe : Recipe or None
        The recipe as it reads, if it does.

    Returns
    -------
    str
        "" where nothing is taken, or where planning solves for it.
    """
    name = spot.field.name
    plain = _PLAIN.get((spot.group, name))
    if plain is not None:
        return plain
    row = spot.row or 0
    text = ""
    match spot.group:
        case "mash" if not spot.table:
            text = _rest(name, recipe)  # only where no rest is written at all
        case "grist" if name == "at" and recipe is not None and row < len(recipe.grist):
            text = recipe.grist[row].at.text
        case "hops" if name == "alpha":
            text = _alpha(spot)
        case "yeast" if recipe is not None and row < len(recipe.yeasts):
            text = _yeast(name, recipe.yeasts[row])
        case "fermentation" if recipe is not None and row < len(recipe.fermentation):
            text = _step(name, recipe, row)
    return text


def _rest(name: str, recipe: Recipe | None) -> str:
    rest = recipe.rests[0] if recipe is not None and recipe.rests else USUAL_REST
    if name == "temperature":
        return amount_text(rest.temperature_C, "temperature")
    return f"{rest.minutes:g} min" if name == "time" else ""


def _step(name: str, recipe: Recipe, row: int) -> str:
    step = recipe.fermentation[row]
    if name == "temperature":
        return amount_text(step.temperature_C, "temperature")
    if name == "end" and row == len(recipe.fermentation) - 1:
        return f"stable {plain_number(step.stable_days or USUAL_STABLE_DAYS)} days"
    return ""


def _alpha(spot: Spot) -> str:
    what = spot.table.get("what")
    found = tables.hop(what) if isinstance(what, str) else None
    return f"{100.0 * found[0].alpha_fraction.centre:.3g} %" if found is not None else ""


def _yeast(name: str, line: YeastLine) -> str:
    if name == "what":
        return line.what
    return f"{line.yeast.pitch_M_mL_P[1]:g} M/mL/°P" if name == "amount" else ""
