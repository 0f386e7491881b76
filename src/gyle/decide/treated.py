"""A solved beer with its water treated: doses chosen on a straight balance, held against the simulated mashes.

The balance knows neither the calcium beyond which no more acid is freed nor that the mean of skewed mashes is
not their middle; what is off is taken off the aim, once.
"""

from __future__ import annotations

import itertools
from typing import Any

import attrs

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import Recipe
from gyle.decide.solve import Solution, brewed
from gyle.decide.treatment import Treatment, treat
from gyle.line.amounts import Amounts
from gyle.line.beliefs import inputs_for
from gyle.line.brew import Brew
from gyle.line.day import day
from gyle.line.ensemble import DRAWS
from gyle.line.run import run

__all__ = ["Treated", "treated"]

WORTH_LEANING = 0.005  # pH


@attrs.frozen(kw_only=True, eq=False)
class Treated:
    """A treatment, and the beer brewed with it; what is dissolved in a liquor moves no volume and no gravity."""

    treatment: Treatment
    recipe: Recipe
    solution: Solution
    brew: Brew


def treated(recipe: Recipe, house: Brewhouse, solution: Solution, *, draws: int = DRAWS, **wishes: Any) -> Treated:
    """Treat the water of a solved beer, so that the mean of the simulated mashes meets the aimed pH.

    Parameters
    ----------
    recipe, house, solution : Recipe, Brewhouse, Solution
        The beer, where it is brewed with which water, and its amounts.
    draws : int
        Simulated brews.
    **wishes
        As `gyle.decide.treatment.treat` takes them: ``shelf``, ``wanted_mg_L``, ``ph``, ``dilute``.

    Raises
    ------
    Infeasible
        If no doses keep every limit.
    """
    liquor, centre = _all_liquor(solution), solution.centre.inputs
    treatment = treat(recipe, house, liquor, centre, **wishes)
    if treatment.aimed_ph is not None and treatment.reckoned_ph is not None:
        lean = _mean_mash_ph(treatment.applied(recipe), house, solution.amounts, draws) - treatment.reckoned_ph
        if abs(lean) >= WORTH_LEANING:
            treatment = treat(recipe, house, liquor, centre, lean=lean, **wishes)
    dosed = treatment.applied(recipe)
    return Treated(
        treatment=treatment,
        recipe=dosed,
        solution=Solution(
            amounts=solution.amounts,
            centre=brewed(dosed, house, solution.amounts, inputs_for(dosed, house, 1)),
            notes=(*solution.notes, *treatment.notes),
        ),
        brew=brewed(dosed, house, solution.amounts, inputs_for(dosed, house, draws)),
    )


def _all_liquor(solution: Solution) -> Amounts:
    """The amounts with infusions counted as liquor of their mash: they are drawn and treated with it."""
    amounts, centre = solution.amounts, solution.centre
    infused = [float(centre.noted(f"infused_L.{number}")[0]) for number in range(1, len(amounts.liquor_L) + 1)]
    liquor = tuple(float(litres) + more for litres, more in zip(amounts.liquor_L, infused, strict=True))
    return attrs.evolve(amounts, liquor_L=liquor)


def _mean_mash_ph(recipe: Recipe, house: Brewhouse, amounts: Amounts, draws: int) -> float:
    """The mean pH of the first mash; the brew goes no further."""
    mashing = itertools.takewhile(lambda move: move.process != "drain", day(recipe, house, amounts))
    brew = run(mashing, inputs_for(recipe, house, draws), hop_additions=len(recipe.hops))
    return float(brew.figures["mash.ph"].mean())
