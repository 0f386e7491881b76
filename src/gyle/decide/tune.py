"""Last turns on a proposal: the stand's length for its chiller, the mash's temperature for its worts.

What a slower chiller or a longer heat-up does to a beer is taken out again where there is a handle for it.
"""

from __future__ import annotations

import attrs

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import Recipe
from gyle.decide.changes import Change
from gyle.decide.knobs import leaning
from gyle.decide.plan import planned
from gyle.decide.restate import Wish
from gyle.decide.solve import Solution, Targets, solve
from gyle.line.day import mashed
from gyle.quantities import write

__all__ = ["tuned"]

ROUNDS = 6
NEAR_BITTER = 0.015  # a difference in bitterness by kinetics too small to alter a stand for
STAND_MIN = (2.0, 90.0)
COLOURED_EBC = 30.0
MOREY_EXPONENT = 0.6859
NEAR_COLOUR = 0.01  # a difference in colour too small to alter a grist for
COLOUR_ROUNDS = 6
MASH_C = (60.0, 72.0)
MOST_SHIFT_K = 2.0  # beyond it the beer may end a little drier or sweeter; the plan says by how much
# Starting slopes for the secant: bitterness for a minute of stand, fermentable share for a degree of mash.
FIRST_STAND_IBU_MIN = 0.15
FIRST_MASH_SHARE_K = -0.016


def _with_stand(recipe: Recipe, factor: float) -> Recipe:
    return attrs.evolve(
        recipe,
        hops=tuple(
            attrs.evolve(line, at=attrs.evolve(line.at, minutes=(line.at.minutes or 0.0) * factor))
            if line.at.stage == "stand"
            else line
            for line in recipe.hops
        ),
    )


def _longest_stand(recipe: Recipe) -> float:
    return max((line.at.minutes or 0.0 for line in recipe.hops if line.at.stage == "stand"), default=0.0)


def _main_rest(recipe: Recipe) -> int:
    candidates = [place for place, rest in enumerate(recipe.rests) if MASH_C[0] <= rest.temperature_C <= MASH_C[1]]
    return max(candidates, key=lambda place: recipe.rests[place].minutes, default=-1)


def _with_mash(recipe: Recipe, shift_K: float) -> Recipe:
    """Every rest at the main rest's temperature moves with it, in a second mash too."""
    main = recipe.rests[_main_rest(recipe)].temperature_C
    return attrs.evolve(
        recipe,
        rests=tuple(
            attrs.evolve(rest, temperature_C=rest.temperature_C + shift_K)
            if abs(rest.temperature_C - main) < 0.01
            else rest
            for rest in recipe.rests
        ),
    )


def tuned(wish: Wish, proposal: Recipe, house: Brewhouse, targets: Targets) -> tuple[Recipe, Solution, list[Change]]:
    """Turn stand and mash until bitterness by kinetics and fermentability are the origin's, then solve with bands.

    Returns
    -------
    tuple of Recipe, Solution and list of Change
        The proposal with its turns, solved so that the means meet the aims, and what was turned.
    """
    stand = _longest_stand(proposal) if targets.measure != "glass.bitterness" else 0.0
    handle = _main_rest(proposal) if proposal.rests else -1
    minutes, shift = stand, 0.0
    slope_stand, slope_mash = FIRST_STAND_IBU_MIN, FIRST_MASH_SHARE_K
    current = proposal
    solution = solve(current, house, leaning(wish, targets))
    last: tuple[float, float, float, float] | None = None
    for turn in range(ROUNDS):
        first = turn == 0
        kinetic = float(solution.centre.figures["glass.bitterness"][0])
        wanted = wish.kinetic_ratio * float(solution.centre.figures[targets.measure][0])
        share = float(solution.centre.noted("malt_share")[0])
        if last is not None:
            if abs(minutes - last[0]) > 1e-6:
                slope_stand = max((kinetic - last[2]) / (minutes - last[0]), 0.01)
            if abs(shift - last[1]) > 1e-6:
                slope_mash = min((share - last[3]) / (shift - last[1]), -1e-3)
        last = (minutes, shift, kinetic, share)
        if first and abs(wanted - kinetic) < NEAR_BITTER * wanted:
            stand = minutes = 0.0  # near enough as it is
        near_bitter = stand == 0.0 or abs(wanted - kinetic) < 0.05
        near_share = handle < 0 or abs(wish.fermentable_share - share) < 2e-5
        if near_bitter and near_share:
            break
        if stand > 0.0:
            step = (wanted - kinetic) / slope_stand
            minutes = min(max(minutes + max(min(step, 30.0), -30.0), STAND_MIN[0]), STAND_MIN[1])
        if handle >= 0:
            main = proposal.rests[handle].temperature_C
            step = (wish.fermentable_share - share) / slope_mash
            shift = min(max(shift + step, -MOST_SHIFT_K, MASH_C[0] - main), MOST_SHIFT_K, MASH_C[1] - main)
        current = _with_stand(proposal, minutes / stand) if stand > 0.0 else proposal
        current = _with_mash(current, shift) if handle >= 0 else current
        solution = solve(current, house, leaning(wish, targets), start=solution.amounts)
    changes: list[Change] = []
    if abs(minutes - stand) > 0.5:
        changes.append(
            Change(
                what="stand",
                before=f"{stand:g} min",
                after=f"{minutes:.0f} min",
                why="cooling and chilling take another time here; the bitterness made after the boil is kept",
            )
        )
    if handle >= 0 and abs(shift) > 0.05:
        before = proposal.rests[handle].temperature_C
        changes.append(
            Change(
                what="mash temperature",
                before=write(before, "temperature", digits=1),
                after=write(before + shift, "temperature", digits=1),
                why="the wort stays warm for another time here; how far it ferments is kept",
            )
        )
    return _coloured(wish, current, house, targets, start=solution, changes=changes)


def _coloured(
    wish: Wish, recipe: Recipe, house: Brewhouse, targets: Targets, *, start: Solution, changes: list[Change]
) -> tuple[Recipe, Solution, list[Change]]:
    """Give more or less of the coloured malts, their extract made up by the others, until the colour is kept."""
    settled, brew, _ = planned(recipe, house, targets, start=start.amounts)
    dark = [mashed(line) and line.ingredient.colour_ebc.centre >= COLOURED_EBC for line in recipe.grist]
    units = [line.ingredient.colour_ebc.centre * (line.share or 0.0) for line in recipe.grist]
    whole = sum(units)
    of_dark = sum(one for one, is_dark in zip(units, dark, strict=True) if is_dark)
    ratio = wish.colour_ebc / float(brew.figures["glass.colour"].mean())
    if of_dark <= 0.0 or all(dark) or abs(ratio - 1.0) < NEAR_COLOUR:
        return recipe, settled, changes
    factor, current = 1.0, recipe
    for _ in range(COLOUR_ROUNDS):
        ratio = wish.colour_ebc / float(brew.figures["glass.colour"].mean())
        if abs(ratio - 1.0) < 1e-4:
            break
        wanted = ratio ** (1.0 / MOREY_EXPONENT)
        now = whole - of_dark + of_dark * factor
        factor = min(max((wanted * now - (whole - of_dark)) / of_dark, 0.3), 3.0)
        current = _with_dark(recipe, dark, factor)
        settled, brew, _ = planned(current, house, targets, start=settled.amounts)
    names = " and ".join(dict.fromkeys(line.what for line, is_dark in zip(recipe.grist, dark, strict=True) if is_dark))
    why = "colour washes out of a malt whether or not its starch converts, so another yield needs another share of it"
    share = f"{100.0 * (factor - 1.0):+.0f} % of its share"
    changes.append(Change(what=names, before="the author's share of the malts", after=share, why=why))
    return current, settled, changes


def _with_dark(recipe: Recipe, dark: list[bool], factor: float) -> Recipe:
    """Scale the shares of the coloured malts; all shares together stay what they were."""
    shares = [
        (line.share or 0.0) * (factor if is_dark else 1.0) for line, is_dark in zip(recipe.grist, dark, strict=True)
    ]
    whole = sum(line.share or 0.0 for line in recipe.grist)
    scale = whole / sum(shares)
    return attrs.evolve(
        recipe,
        grist=tuple(
            line if line.share is None else attrs.evolve(line, share=share * scale)
            for line, share in zip(recipe.grist, shares, strict=True)
        ),
    )
