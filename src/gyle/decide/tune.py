"""Last turns on a proposal: the stand's length for its chiller, the mash's temperature for its worts.

What a slower chiller or a longer heat-up does to a beer is taken out again where there is a handle for it.
"""

from __future__ import annotations

import math

import attrs

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import Recipe
from gyle.decide.changes import Change
from gyle.decide.knobs import leaning
from gyle.decide.plan import planned
from gyle.decide.restate import Wish
from gyle.decide.solve import Solution, Targets, solve
from gyle.line.amounts import Amounts
from gyle.line.brew import Brew
from gyle.line.day import mashed
from gyle.quantities import write

__all__ = ["Tuned", "tuned"]

ROUNDS = 6
NEAR_BITTER = 0.015  # a difference in bitterness by kinetics too small to alter a stand for
# A stand is also there for its aroma: it is turned by at most this share of it and this long. Provenance: ours.
MOST_STAND_SHARE = 0.5
MOST_STAND_MIN = 15.0
WORTH_TURNING = 0.5  # part of a missing bitterness: a stand that makes up less of it is left as it is; ours
LEAST_TOLD_IBU = 0.5
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


def _stand_bounds(stand: float) -> tuple[float, float]:
    """How short and how long a stand may become [min]."""
    most = float(math.floor(min(MOST_STAND_SHARE * stand, MOST_STAND_MIN)))
    return stand - most, stand + most


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


@attrs.frozen(kw_only=True, eq=False)
class Tuned:
    """A proposal with its turns, solved so that the means meet the aims, and what was turned."""

    recipe: Recipe
    targets: Targets
    solution: Solution
    brew: Brew
    changes: tuple[Change, ...] = ()
    notes: tuple[str, ...] = ()  # what the turns leave


def tuned(wish: Wish, proposal: Recipe, house: Brewhouse, targets: Targets, *, start: Amounts | None = None) -> Tuned:
    """Turn stand and mash until bitterness by kinetics and fermentability are the origin's, then solve with bands.

    Parameters
    ----------
    wish : Wish
        What the beer is.
    proposal, house : Recipe, Brewhouse
        What is to be brewed, and where.
    targets : Targets
        What must come out.
    start : Amounts, optional
        A solution of nearly the same problem, to begin from.
    """
    found = _turns(wish, proposal, house, targets, start=start)
    if found.idle:
        found = attrs.evolve(
            _turns(wish, proposal, house, targets, start=found.solution.amounts, of_stand=False), idle=True
        )
    changes: list[Change] = []
    if abs(found.minutes - found.stand) > 0.5:
        why = "cooling and chilling take another time here; the bitterness made after the boil is kept"
        if found.bounded:
            why = "cooling and chilling take another time here; as far as a stand may be turned, its bitterness is kept"
        before, after = f"{found.stand:g} min", f"{found.minutes:.0f} min"
        changes.append(Change(what="stand", before=before, after=after, why=why))
    handle = _main_rest(proposal) if proposal.rests else -1
    if handle >= 0 and abs(found.shift) > 0.05:
        degrees = proposal.rests[handle].temperature_C
        changes.append(
            Change(
                what="mash temperature",
                before=write(degrees, "temperature", digits=1),
                after=write(degrees + found.shift, "temperature", digits=1),
                why="the wort stays warm for another time here; how far it ferments is kept",
            )
        )
    notes = _of_stand(wish, targets, found) if found.idle or found.bounded else []
    return _coloured(wish, found.recipe, house, targets, start=found.solution, changes=changes, notes=notes)


@attrs.frozen(kw_only=True, eq=False)
class _Turns:
    """How far stand and mash are turned, and the centre line with that."""

    recipe: Recipe
    solution: Solution
    stand: float  # as it was; 0 where it is not turned
    minutes: float
    shift: float
    bounded: bool  # the stand is turned as far as it may be
    idle: bool = False  # and that makes up little


def _turns(
    wish: Wish, proposal: Recipe, house: Brewhouse, targets: Targets, *, start: Amounts | None, of_stand: bool = True
) -> _Turns:
    """Turn both by the secant until bitterness and fermentability are the origin's, or a bound is met."""
    stand = _longest_stand(proposal) if of_stand and targets.measure != "glass.bitterness" else 0.0
    handle = _main_rest(proposal) if proposal.rests else -1
    minutes, shift = stand, 0.0
    slope_stand, slope_mash = FIRST_STAND_IBU_MIN, FIRST_MASH_SHARE_K
    current = proposal
    shortest, longest = _stand_bounds(stand)
    solution = solve(current, house, leaning(wish, targets), start=start)
    last: tuple[float, float, float, float] | None = None
    begun = missed = 0.0
    for turn in range(ROUNDS):
        kinetic, missed = _missed_ibu(wish, targets, solution)
        share = float(solution.centre.noted("malt_share")[0])
        if last is not None:
            if abs(minutes - last[0]) > 1e-6:
                slope_stand = max((kinetic - last[2]) / (minutes - last[0]), 0.01)
            if abs(shift - last[1]) > 1e-6:
                slope_mash = min((share - last[3]) / (shift - last[1]), -1e-3)
        last = (minutes, shift, kinetic, share)
        if turn == 0:
            begun = missed
            if abs(missed) < NEAR_BITTER * (kinetic - missed):
                stand = minutes = 0.0  # near enough as it is
        at_bound = minutes >= longest if missed < 0.0 else minutes <= shortest
        near_bitter = stand == 0.0 or abs(missed) < 0.05 or at_bound
        near_share = handle < 0 or abs(wish.fermentable_share - share) < 2e-5
        if near_bitter and near_share:
            break
        if stand > 0.0:
            minutes = min(max(minutes - missed / slope_stand, shortest), longest)
        if handle >= 0:
            main = proposal.rests[handle].temperature_C
            step = (wish.fermentable_share - share) / slope_mash
            shift = min(max(shift + step, -MOST_SHIFT_K, MASH_C[0] - main), MOST_SHIFT_K, MASH_C[1] - main)
        current = _with_stand(proposal, minutes / stand) if stand > 0.0 else proposal
        current = _with_mash(current, shift) if handle >= 0 else current
        solution = solve(current, house, leaning(wish, targets), start=solution.amounts)
    bounded = stand > 0.0 and minutes in (shortest, longest)
    idle = bounded and abs(missed) > (1.0 - WORTH_TURNING) * abs(begun)
    return _Turns(
        recipe=current, solution=solution, stand=stand, minutes=minutes, shift=shift, bounded=bounded, idle=idle
    )


def _missed_ibu(wish: Wish, targets: Targets, solution: Solution) -> tuple[float, float]:
    """Bitterness by kinetics on the centre line, and how far above what is wanted it is."""
    figures = solution.centre.figures
    kinetic = float(figures["glass.bitterness"][0])
    return kinetic, kinetic - wish.kinetic_ratio * float(figures[targets.measure][0])


def _of_stand(wish: Wish, targets: Targets, found: _Turns) -> list[str]:
    """What a stand cannot make up for."""
    _, missed = _missed_ibu(wish, targets, found.solution)
    if abs(missed) < LEAST_TOLD_IBU:
        return []
    side = "above" if missed > 0.0 else "below"
    ends = f"bitterness by kinetics ends about {abs(missed):.0f} IBU {side} what it is there"
    if not found.idle:
        return [f"the stand is turned to {found.minutes:.0f} min and no further, for its aroma: {ends}"]
    return [f"the stand is left as it is, as no length that suits its aroma would make up for it: {ends}"]


def _coloured(
    wish: Wish,
    recipe: Recipe,
    house: Brewhouse,
    targets: Targets,
    *,
    start: Solution,
    changes: list[Change],
    notes: list[str],
) -> Tuned:
    """Give more or less of the coloured malts, their extract made up by the others, until the colour is kept."""
    settled, brew, _ = planned(recipe, house, targets, start=start.amounts)
    dark = [mashed(line) and line.ingredient.colour_ebc.centre >= COLOURED_EBC for line in recipe.grist]
    units = [line.ingredient.colour_ebc.centre * (line.share or 0.0) for line in recipe.grist]
    whole = sum(units)
    of_dark = sum(one for one, is_dark in zip(units, dark, strict=True) if is_dark)
    ratio = wish.colour_ebc / float(brew.figures["glass.colour"].mean())
    if of_dark <= 0.0 or all(dark) or abs(ratio - 1.0) < NEAR_COLOUR:
        return Tuned(
            recipe=recipe, targets=targets, solution=settled, brew=brew, changes=tuple(changes), notes=tuple(notes)
        )
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
    return Tuned(
        recipe=current, targets=targets, solution=settled, brew=brew, changes=tuple(changes), notes=tuple(notes)
    )


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
