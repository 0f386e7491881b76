"""The brewhouse a recipe's amounts hold for: the one it names, or an unstated one calibrated from what is printed."""

from __future__ import annotations

import attrs
import numpy as np

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.estimate import Estimate
from gyle.beer.kinds import unstated_brewhouse
from gyle.beer.recipe import Aim, Recipe
from gyle.decide.solve import free_of, solve, targets_of
from gyle.line.beliefs import inputs_for, restated
from gyle.line.day import day
from gyle.line.run import run

__all__ = ["calibrated", "origin_of"]

# What a printed gravity tells of, and which way each goes when the author's brewhouse yields more.
_YIELD = (("conversion", 1.0), ("sparge_bypass", -1.0), ("retention", -1.0))
STEPS = np.linspace(-3.0, 3.0, 61)
KNOWN_NOW = 0.4  # of each spread is left once the gravity fixes their sum


def printed_gravity(recipe: Recipe) -> Aim | None:
    """The gravity an author with stated masses reached: aimed at, or printed."""
    aim = recipe.aim("fermenter.original_gravity")
    if aim is not None:
        return aim
    return next((one for one in recipe.printed if one.figure == "fermenter.original_gravity"), None)


def calibrated(recipe: Recipe, house: Brewhouse) -> tuple[Brewhouse, tuple[str, ...]]:
    """Fit an unstated brewhouse to a printed gravity and volume.

    The yield's three figures are moved together, each by the same number of its own spreads, until the stated
    grist gives the printed gravity in the printed volume; what is left of their spreads is kept.

    Returns
    -------
    tuple of Brewhouse and tuple of str
        The brewhouse and what to say about it.
    """
    printed = printed_gravity(recipe)
    if printed is None or recipe.volume_L is None or free_of(recipe, house).grist:
        return house, ()
    solution = solve(recipe, house, targets_of(recipe))
    moves = day(recipe, house, solution.amounts)
    inputs = inputs_for(recipe, house, draws=1)
    for name, way in _YIELD:
        belief = inputs.beliefs[f"brewhouse.{name}"]
        moved = belief.centre + way * STEPS * max(belief.spread, 1e-9)
        inputs.derive(f"brewhouse.{name}", np.clip(moved, belief.low, belief.high))
    brew = run(moves, inputs, hop_additions=len(recipe.hops))
    # The same extract in the printed volume: what is run off beyond it is less water, not less extract.
    content = np.asarray(brew.figures["fermenter.original_gravity"], dtype=np.float64)
    volume = np.asarray(brew.figures["fermenter.volume"], dtype=np.float64)
    gravity = 1.0 + (content - 1.0) * volume / recipe.volume_L
    order = np.argsort(gravity)
    step = float(np.interp(printed.value, gravity[order], STEPS[order]))
    reached = float(np.interp(step, STEPS, gravity))
    for name, way in _YIELD:
        belief = inputs.beliefs[f"brewhouse.{name}"]
        centre = float(np.clip(belief.centre + way * step * belief.spread, belief.low, belief.high))
        fitted = attrs.evolve(belief, centre=centre, spread=belief.spread * KNOWN_NOW, source="printed gravity")
        house = restated(house, name, _inside(fitted))
    if abs(reached - printed.value) > max(printed.half_digit, 5e-4) + 1e-6:
        note = (
            f"the printed gravity {printed.value:.3f} does not follow from these amounts in {recipe.volume_L:.3g} L:"
            f" {reached:.3f} is the nearest any likely brewhouse gives"
        )
    else:
        note = (
            f"the author's brewhouse is not stated; it is taken as one that gives {printed.value:.3f}"
            " with these amounts"
        )
    return house, (note,)


def _inside(estimate: Estimate) -> Estimate:
    low, high = estimate.low, estimate.high
    return attrs.evolve(estimate, centre=min(max(estimate.centre, low), high))


def origin_of(recipe: Recipe) -> tuple[Brewhouse, tuple[str, ...]]:
    """The brewhouse a recipe's amounts hold for, and what had to be supposed."""
    if recipe.for_brewhouse is not None:
        return recipe.for_brewhouse, ()
    house = unstated_brewhouse(recipe.volume_L)
    house, notes = calibrated(recipe, house)
    if not notes:
        notes = ("the author's brewhouse is not stated, so its bands are the widest",)
    return house, notes
