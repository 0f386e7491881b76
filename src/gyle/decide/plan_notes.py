"""What is said beside a plan's figures: what was taken for granted, and what bears on them."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import Recipe
from gyle.decide.wanted import ratio_note
from gyle.line.brew import Brew
from gyle.line.cellar_calendar import LEAST_DAYS, cellar_calendar
from gyle.line.day import CARBONATION_VOL, KEG_C
from gyle.line.figures import Band
from gyle.quantities import write

__all__ = ["notes"]


def notes(recipe: Recipe, brewhouse: Brewhouse, brew: Brew, figures: Mapping[str, Band]) -> list[str]:
    """The sentences, in the order they are told."""
    found = []
    stood = [line.what for line in recipe.hops if line.at.stage in ("stand", "chill")]
    if stood and recipe.bitterness_by not in ("kinetic", "laboratory"):
        found.append("the trade's function counts nothing for hops after the boil; bitterness by kinetics counts them")
    if figures["fermenter.final_gravity"].skewed:
        middle = write(figures["fermenter.final_gravity"].median, "gravity", digits=3)
        found.append(
            f"final gravity leans upwards because a strong fermentation sometimes stops early: half of the brews"
            f" end below {middle}"
        )
    alpha = sum(
        float(np.mean(brew.noted(f"alpha_kg.{place}")))
        for place, line in enumerate(recipe.hops)
        if line.at.stage == "boil"
    )
    per_litre = alpha * 1e6 / max(figures["kettle.end.volume"].mean, 1e-9)
    if per_litre > 250.0:
        found.append(
            f"{per_litre:.0f} mg/L of alpha acids is more than wort dissolves (about 250 mg/L), so bitterness may"
            " come out lower than either figure says"
        )
    if recipe.package.temperature_C is None:
        found.append(f"no keg temperature is written: {write(KEG_C, 'temperature')} is taken")
    if recipe.package.carbonation_vol is None and recipe.package.pressure_bar is None:
        found.append(f"no carbonation is written: {CARBONATION_VOL:g} volumes are taken")
    og = figures["fermenter.original_gravity"].mean
    head = brewhouse.fermenter_vessel_L / max(float(np.mean(brew.noted("fermenter_full_L"))), 1e-9) - 1.0
    wanted_head = 0.30 if og > 1.080 else 0.20
    if 0.0 < head < wanted_head:
        found.append(
            f"the fermenter has {100.0 * head:.0f} % of head room where {100.0 * wanted_head:.0f} % is usual: fit a"
            " blow-off tube"
        )
    spare = figures["keg.left_over"].mean
    if spare > 0.2:
        found.append(
            f"about {write(spare, 'volume')} of clear beer is left when the keg is full: bottles or a second keg"
        )
    found.extend(_of_package(recipe))
    if len(recipe.yeasts) > 1:
        found.append(f"only {recipe.yeasts[0].what} is reckoned with; a second yeast changes no figure yet")
    found.extend(_of_water(recipe, brewhouse))
    if brewhouse.water is not None:
        held = (figures[f"water.{ion}"].mean for ion in ("sulfate", "chloride"))
        found.extend(ratio_note(recipe.sulfate_to_chloride, *held))
    return found


def _of_package(recipe: Recipe) -> list[str]:
    """What is not computed of how it is packaged, and how soon that may be."""
    found = []
    stable = "never bottle before the gravity has stood still for three days"
    if recipe.package.by == "priming":
        found.append(
            "carbonation by priming: the keg's pressure is that of forced carbonation, and the priming sugar is not"
            f" weighed out yet; {stable}"
        )
    elif recipe.package.by == "closed early":
        found.append(
            "carbonation by closing early: the keg's pressure is that of forced carbonation, and the gravity to close"
            f" at is not computed yet; {stable}"
        )
    days = cellar_calendar(recipe)
    if days.fermented < LEAST_DAYS:
        found.append(
            f"{days.fermented:g} days of fermentation are stated: no beer can be done and have stood still before day"
            f" {LEAST_DAYS + 1:g}, so none is packaged before"
        )
    return found


def _of_water(recipe: Recipe, brewhouse: Brewhouse) -> tuple[str, ...]:
    """Where nobody states the water: what is taken in its place."""
    if brewhouse.water is not None:
        return (*brewhouse.water.notes, *brewhouse.water.supposed)
    aim = recipe.aim("mash.ph")
    held = "" if aim is None else f", and its mash pH of {aim.value:g} as held by whatever acid that takes"
    if recipe.wanted_ions_mg_L or recipe.wanted_ranges_mg_L:
        return (
            f"no water report is given: the wanted ions are taken as met{held}; a water report tells what that takes",
        )
    return (f"no water report is given: a usual tap water is taken, of wide bands{held}",)
