"""Find the amounts a recipe leaves open, so that its aims are met on a brewhouse.

Everything is solved on the centre line, with many candidate grists side by side as if they were draws: one
run of the line judges all of them. Efficiency is never put in; it comes out of each candidate's own balance,
so the gravity a growing grist gives rises, flattens and ends, and an aim beyond that end is refused with it.
"""

from __future__ import annotations

from collections.abc import Mapping

import attrs
import numpy as np
from numpy.typing import NDArray

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import Recipe
from gyle.decide.candidates import THICKEST_L_KG, Candidates
from gyle.decide.grist_scan import scan_grists
from gyle.decide.start import Start
from gyle.decide.targets import Free, Targets, free_of, targets_of
from gyle.errors import Infeasible
from gyle.line.amounts import Amounts
from gyle.line.brew import Brew
from gyle.line.day import day
from gyle.line.ensemble import Ensemble
from gyle.line.run import run
from gyle.quantities import write

__all__ = [
    "THICKEST_L_KG",
    "Free",
    "Search",
    "Solution",
    "Targets",
    "brewed",
    "free_of",
    "nearby",
    "searched",
    "solve",
    "targets_of",
]

Array = NDArray[np.float64]

NEAR = 0.002  # how far the neighbours of a Newton step are, as a share
SETTLED = 1e-5  # a step by less than this share is the last; what it leaves is its square
NEARLY = 1e-3  # the same where the ensemble's means are still to be met
STILL = 1e-5  # a step by less than this share leaves the means as they were, as far as they count
LEAST_STEP = 1e-12  # a share that moves no digit anyone could weigh
PASSES = 12
COUNTED = {"grist": "gravity_sg", "water": "volume_L", "hops": "bitterness"}  # what decides an unknown


@attrs.frozen(kw_only=True, eq=False)
class Solution:
    """Amounts found, and how the centre line brews with them."""

    amounts: Amounts
    centre: Brew
    notes: tuple[str, ...] = ()


@attrs.define(kw_only=True, eq=False)
class Search:
    """Candidates that met the targets on the centre line, and what each unknown does: there, then to the means.

    Attributes
    ----------
    wanted : Targets
        What the ensemble's means are to come to; the candidates' own targets may lie beside it.
    moved : bool
        Whether the search went any way from where it began, so that the means are likely to have moved too.
    """

    candidates: Candidates
    wanted: Targets
    slopes: Array  # change of each miss for the whole of each unknown
    moved: bool = True
    _last: tuple[Array, Array] | None = attrs.field(default=None, init=False)  # misses before a step, what it went

    @property
    def amounts(self) -> Amounts:
        """What was found, as plain numbers."""
        return self.candidates.amounts().settled()

    def missed(self, means: Mapping[str, float]) -> Array:
        """What each unknown is to be changed for, as shares: the means' misses, and every hop line's own wish.

        The means are the ensemble's; a line that has a rate or a bitterness of its own has it on the centre line.
        """
        found = self.candidates
        own = any(unknown.hop is not None for unknown in found.unknowns)
        centre = found.misses(found.run())[:, 0] if own else np.zeros(len(found.unknowns))
        for place, unknown in enumerate(found.unknowns):
            if unknown.hop is None:
                target = COUNTED[unknown.name]
                centre[place] = (getattr(self.wanted, target) - means[target]) / found.scale(target)
        return centre

    def furthest(self, missed: Array) -> float:
        """The widest miss that can be lessened."""
        return float(np.abs(missed[self.candidates.movable(missed)]).max(initial=0.0))

    def nudge(self, missed: Array) -> bool:
        """Move the amounts for what is still missed; say whether anything could be moved.

        What a step did betters the slopes for the next (Broyden's rule), so that a few steps meet the aims to more
        digits than anyone reads.
        """
        if self._last is not None:
            before, went = self._last
            self.slopes = self.slopes + np.outer(before - missed - self.slopes @ went, went) / (went @ went)
        went = self.candidates.step(_newton(self.slopes, missed, self.candidates.movable(missed)))
        self._last = missed, went
        return bool(np.abs(went).max(initial=0.0) > LEAST_STEP)


def _newton(slopes: Array, misses: Array, movable: NDArray[np.bool_]) -> Array:
    """Shares by which to change the unknowns that can move; where two do the same, both by as little as serves."""
    shares = np.zeros(misses.size)
    if movable.any():
        shares[movable] = np.linalg.lstsq(slopes[np.ix_(movable, movable)], misses[movable], rcond=1e-9)[0]
    return shares


def _polish(search: Candidates, *, settled: float) -> tuple[Array, Brew, bool]:
    """Meet all targets together, by Newton's method on neighbouring candidates.

    Returns the last slopes, a brew at or next to the amounts found, and whether the last step was small enough.
    """
    slopes: Array = np.zeros((0, 0))
    for _ in range(PASSES if search.unknowns else 0):
        search.spread(NEAR)
        brew = search.run()
        misses = search.misses(brew)
        slopes = (misses[:, :1] - misses[:, 1:]) / NEAR
        shares = _newton(slopes, misses[:, 0], search.movable(misses[:, 0]))
        if np.abs(search.step(shares)).sum() < settled:
            return slopes, brew, True
    return slopes, search.run(), not search.unknowns


def _met(search: Candidates, brew: Brew) -> bool:
    """Whether gravity and volume are where they should be."""
    targets = search.targets
    if targets.gravity_sg is not None and search.free.grist:
        if not abs(float(brew.figures["fermenter.original_gravity"][0]) - targets.gravity_sg) < 2e-5:
            return False
        if bool(search.too_thick(brew)[0]):
            return False
    if targets.volume_L is not None and search.free.water is not None and search.free.grist:
        return abs(float(search.volume(brew)[0]) - targets.volume_L) < 5e-3
    return True


def nearby(recipe: Recipe, brewhouse: Brewhouse, wanted: Targets, start: Start) -> Search | None:
    """Go from amounts of nearly the same problem straight to the targets, as nearly as the ensemble can judge.

    None if that leads to no mash that can be stirred, or beyond the grist that gives the most gravity.
    """
    search = Candidates(recipe, brewhouse, start.middle, free_of(recipe, brewhouse))
    search.begin(start.amounts)
    begun = search.first_values()
    slopes, brew, found = _polish(search, settled=NEARLY)
    for place, unknown in enumerate(search.unknowns):
        if unknown.name == "grist" and (slopes[place, place] <= 0.0 or bool(search.too_thick(brew)[0])):
            return None
    if not found:
        return None
    went = np.abs(search.first_values() / begun - 1.0).max(initial=0.0)
    return Search(candidates=search, wanted=wanted, slopes=slopes, moved=bool(went > STILL))


def searched(recipe: Recipe, brewhouse: Brewhouse, targets: Targets, *, start: Amounts | None = None) -> Search:
    """Find what a recipe leaves open; takes and raises what `solve` does."""
    search = Candidates(recipe, brewhouse, targets, free_of(recipe, brewhouse))
    if start is not None:
        search.begin(start)
        slopes, brew, found = _polish(search, settled=SETTLED)
        if found and _met(search, brew):
            return Search(candidates=search, wanted=targets, slopes=slopes)
        search = Candidates(recipe, brewhouse, targets, search.free)
    scan_grists(search)
    slopes, brew, _ = _polish(search, settled=SETTLED)
    if not _met(search, brew):
        raise Infeasible(
            f"no grist was found that gives {targets.gravity_sg or 0.0:.3f} and"
            f" {write(targets.volume_L or 0.0, 'volume')} on {brewhouse.name} this way"
        )
    return Search(candidates=search, wanted=targets, slopes=slopes)


def solve(recipe: Recipe, brewhouse: Brewhouse, targets: Targets, *, start: Amounts | None = None) -> Solution:
    """Find what a recipe leaves open on a brewhouse.

    Parameters
    ----------
    recipe, brewhouse : Recipe, Brewhouse
        The beer and where it is brewed.
    targets : Targets
        What must come out on the centre line.
    start : Amounts, optional
        A solution of nearly the same problem, to begin from.

    Returns
    -------
    Solution
        Plain amounts, and the centre line with them.

    Raises
    ------
    Infeasible
        If no grist gives the gravity; the text names the greatest.
    BadInput
        If the recipe leaves open what nothing decides.
    """
    found = searched(recipe, brewhouse, targets, start=start)
    amounts = found.amounts
    return Solution(amounts=amounts, centre=brewed(recipe, brewhouse, amounts, found.candidates.inputs))


def brewed(
    recipe: Recipe,
    brewhouse: Brewhouse,
    amounts: Amounts,
    inputs: Ensemble,
    *,
    chemistry: bool = True,
    keep: bool = True,
) -> Brew:
    """Run the line with given amounts."""
    moves = day(recipe, brewhouse, amounts)
    return run(moves, inputs, hop_additions=len(recipe.hops), chemistry=chemistry, keep=keep)
