"""The brewhouse a recipe's amounts hold for: the one it names, or an unstated one calibrated from what is printed."""

from __future__ import annotations

import attrs

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.ingredient import Yeast
from gyle.beer.kinds import unstated_brewhouse
from gyle.beer.recipe import Aim, FermentationStep, GristLine, Recipe, Rest, YeastLine
from gyle.beer.tables import fermentable, yeast
from gyle.beer.timing import Timing
from gyle.decide.plan import planned
from gyle.decide.solve import free_of, solve, targets_of
from gyle.errors import Infeasible
from gyle.line.beliefs import beliefs, restated
from gyle.quantities import write

__all__ = ["calibrated", "origin_of", "with_habit"]

# What a printed gravity tells of, and which way each goes when the author's brewhouse yields more.
_YIELD = (("conversion", 1.0), ("sparge_bypass", -1.0), ("retention", -1.0))
MOST_SPREADS = 2.5
CALIBRATION_DRAWS = 512
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

    def moved(step: float) -> Brewhouse:
        return _yielding(recipe, house, step, "printed gravity")

    def gravity(step: float) -> float:
        _, brew, _ = planned(recipe, moved(step), draws=CALIBRATION_DRAWS)
        return float(brew.figures["fermenter.original_gravity"].mean())

    low, high = -MOST_SPREADS, MOST_SPREADS
    at_low, at_high = gravity(low), gravity(high)
    if at_low < printed.value < at_high:
        for _ in range(12):
            step = low + (high - low) * (printed.value - at_low) / (at_high - at_low)
            reached = gravity(step)
            if abs(reached - printed.value) < 2e-5:
                break
            if reached < printed.value:
                low, at_low = step, reached
            else:
                high, at_high = step, reached
        note = (
            f"the author's brewhouse is not stated; it is taken as one that gives {printed.value:.3f} with these"
            " amounts"
        )
        return moved(step), (note,)
    step, reached = (low, at_low) if printed.value <= at_low else (high, at_high)
    note = (
        f"the printed gravity {printed.value:.3f} does not follow from these amounts in"
        f" {write(recipe.volume_L, 'volume')}: {reached:.3f} is the nearest any likely brewhouse gives"
    )
    return moved(step), (note,)


def with_habit(house: Brewhouse) -> Brewhouse:
    """A brewhouse known by its usual efficiency: its yield is moved until a plain beer of that gravity has it."""
    habit = house.habit
    if habit is None:
        return house
    found = fermentable("pale ale malt")
    assert found is not None
    plain = Recipe(
        name="habit",
        grist=(GristLine(what="pale ale malt", ingredient=found[0], at=Timing(stage="mash"), share=1.0),),
        rests=(Rest(temperature_C=66.0, minutes=60.0),),
        yeasts=(YeastLine(what="clean ale yeast", yeast=_yeast("clean ale yeast")),),
        fermentation=(FermentationStep(temperature_C=19.0, days=14.0),),
        volume_L=habit.volume_L,
        aims=(Aim(figure="fermenter.original_gravity", value=habit.gravity_sg),),
    )
    free = attrs.evolve(house, habit=None)

    def efficiency(step: float) -> float:
        try:
            solution = solve(plain, _yielding(plain, free, step, "habit"), targets_of(plain))
        except Infeasible:
            return 0.0
        return float(solution.centre.figures["line.brewhouse_efficiency"][0])

    wanted = 100.0 * habit.brewhouse_efficiency
    low, high = -MOST_SPREADS, MOST_SPREADS
    if not efficiency(low) < wanted < efficiency(high):
        nearest = low if wanted <= efficiency(low) else high
        note = (
            f"a brewhouse efficiency of {wanted:.0f} % is beyond what its vessels and losses allow; the nearest is"
            " taken"
        )
        return attrs.evolve(_yielding(plain, free, nearest, "habit"), notes=(*house.notes, note))
    for _ in range(14):
        middle = (low + high) / 2.0
        low, high = (middle, high) if efficiency(middle) < wanted else (low, middle)
    return _yielding(plain, free, (low + high) / 2.0, "habit")


def _yeast(name: str) -> Yeast:
    found = yeast(name)
    assert found is not None
    return found[0]


def _yielding(recipe: Recipe, house: Brewhouse, step: float, source: str) -> Brewhouse:
    """The brewhouse with the figures of its yield moved together by so many of their spreads."""
    believed = beliefs(recipe, house)
    for name, way in _YIELD:
        belief = believed[f"brewhouse.{name}"]
        centre = min(max(belief.centre + way * step * belief.spread, belief.low), belief.high)
        fitted = attrs.evolve(belief, centre=centre, spread=belief.spread * KNOWN_NOW, source=source)
        house = restated(house, name, fitted)
    return house


def origin_of(recipe: Recipe) -> tuple[Brewhouse, tuple[str, ...]]:
    """The brewhouse a recipe's amounts hold for, and what had to be supposed."""
    if recipe.for_brewhouse is not None:
        return with_habit(recipe.for_brewhouse), ()
    house = unstated_brewhouse(recipe.volume_L)
    house, notes = calibrated(recipe, house)
    if not notes:
        notes = ("the author's brewhouse is not stated, so its bands are the widest",)
    return house, notes
