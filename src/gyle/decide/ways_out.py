"""When it does not fit: the ways out, alone and combined, each solved and held against every vessel.

A way out is a set of knobs. Those that are on or off are tried in sets; to each set at most one that can be
turned by degrees is added, and turned just as far as is needed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import attrs

from gyle.beer.brewhouse import Brewhouse
from gyle.decide.fit import Check, checks
from gyle.decide.knobs import Knobs, leaning, turned
from gyle.decide.restate import Wish
from gyle.decide.solve import Solution, solve
from gyle.errors import GyleError, Infeasible
from gyle.line.amounts import Amounts

__all__ = ["LEAST_VOLUME_SHARE", "Attempt", "attempt", "ways_out"]

MARGIN = 0.001  # of a limit, kept free while searching
TURNS = 8
NEAR_ENOUGH = 0.004  # of a limit beyond the margin: a knob turned this exactly is turned far enough
MOST_HELD_OF_BOIL_OFF = 1.4  # beyond what the author's boil makes room for, the boil grows
MOST_SUGAR_SHARE = 0.25  # of the extract; usual in strong pale beers
MOST_EXTRACT_SHARE = 0.9
LEAST_VOLUME_SHARE = 0.1
LONGEST_BOIL_MIN = 180.0
ON_OFF = (
    Knobs(),
    Knobs(thick=True),
    Knobs(squeeze=True),
    Knobs(thick=True, squeeze=True),
    Knobs(double=True),
    Knobs(double=True, thick=True),
    Knobs(double=True, squeeze=True),
    Knobs(double=True, thick=True, squeeze=True),
    Knobs(gyles=2),
    Knobs(gyles=2, thick=True),
)


@attrs.frozen(kw_only=True, eq=False)
class Attempt:
    """One setting of the knobs, solved on the centre line, or why it could not be."""

    knobs: Knobs
    solution: Solution | None
    checks: tuple[Check, ...] = ()
    refusal: str = ""

    @property
    def fits(self) -> bool:
        """Whether every limit is kept, with a little to spare."""
        return self.solution is not None and all(check.over <= -MARGIN or _exact(check) for check in self.checks)

    @property
    def failing(self) -> frozenset[str]:
        """What is too small, by name."""
        return frozenset(check.what for check in self.checks if not (check.over <= -MARGIN or _exact(check)))

    @property
    def short_of(self) -> tuple[str, ...]:
        """What does not fit, in sentences."""
        if self.refusal:
            return (self.refusal,)
        return tuple(check.sentence for check in self.checks if not check.fits)


def _exact(check: Check) -> bool:
    """Limits that no knob moves need no margin."""
    return check.what in ("heat", "keg") and check.fits


def attempt(wish: Wish, house: Brewhouse, knobs: Knobs, *, start: Amounts | None = None) -> Attempt:
    """Solve one setting of the knobs."""
    recipe, targets = turned(wish, house, knobs)
    try:
        solution = solve(recipe, house, leaning(wish, targets), start=start)
    except Infeasible as refusal:
        return Attempt(knobs=knobs, solution=None, refusal=str(refusal))
    except GyleError as fault:
        return Attempt(knobs=knobs, solution=None, refusal=str(fault))
    return Attempt(knobs=knobs, solution=solution, checks=tuple(checks(recipe, house, solution.centre)))


def _degrees(wish: Wish, house: Brewhouse, base: Attempt) -> Iterator[tuple[str, float]]:
    """Knobs by degrees that could help this attempt, with how far each may be turned."""
    failing = base.failing
    gravity = wish.targets.gravity_sg or 1.050
    extract_g_L = 2600.0 * (gravity - 1.0)
    if failing and failing <= {"kettle"}:
        yield "held_back_L", MOST_HELD_OF_BOIL_OFF * house.boil_off_L_h.centre * wish.recipe.boil_minutes / 60.0
        yield "top_up_L", 0.4 * wish.volume_L / base.knobs.gyles
    mash_side = {"mash vessel", "grain", "thickness", "second wort"}
    if failing & mash_side or base.solution is None:
        if failing <= mash_side and wish.recipe.boil_minutes < LONGEST_BOIL_MIN:
            yield "boil_extra_min", LONGEST_BOIL_MIN - wish.recipe.boil_minutes
        yield "sugar_g_L", MOST_SUGAR_SHARE * extract_g_L
        yield "malt_extract_g_L", MOST_EXTRACT_SHARE * extract_g_L
    yield "volume_share", LEAST_VOLUME_SHARE


def _least(
    wish: Wish, house: Brewhouse, base: Attempt, *, knob: str, most: float, tell: Callable[[str], None]
) -> Attempt:
    """Turn one knob just as far as is needed; the attempt at its end where even that is too little."""
    off = 1.0 if knob == "volume_share" else 0.0

    def set_to(value: float) -> Knobs:
        change: dict[str, Any] = {knob: value}
        return attrs.evolve(base.knobs, **change)

    near = base.solution.amounts if base.solution is not None and knob in _COSTLESS else None
    far = attempt(wish, house, set_to(most), start=near)
    tell(far.knobs.name)
    # Some knobs turned too far do harm of their own: a boil too long, a wort too strong to be made.
    for less in (0.5, 0.25) if knob in _COSTLESS else ():
        if far.fits:
            break
        far = attempt(wish, house, set_to(most * less), start=near)
    if not far.fits:
        return far
    # The worst limit's excess is nearly straight in the knob: regula falsi, kept on the side that fits.
    low, low_over = off, _worst(base)
    high, high_over, best = most, _worst(far), far
    for _ in range(TURNS):
        if low_over - high_over < 1e-9:
            break
        share = 0.5 if knob in _COSTLESS else low_over / (low_over - high_over) + 0.02
        middle = low + (high - low) * min(max(share, 0.05), 0.98)
        start = best.solution.amounts if best.solution else None
        tried = attempt(wish, house, set_to(middle), start=start)
        if tried.fits:
            high, high_over, best = middle, _worst(tried), tried
            low_over /= 2.0
            if high_over > -NEAR_ENOUGH and knob not in _COSTLESS:
                break
        else:
            low, low_over = middle, _worst(tried)
            high_over /= 2.0
    return best


def _worst(one: Attempt) -> float:
    """By how much the worst limit is overrun beyond the margin; negative where all is kept."""
    if one.solution is None:
        return 1.0
    return max((check.over + MARGIN for check in one.checks if not _exact(check)), default=-1.0)


def ways_out(
    wish: Wish, house: Brewhouse, plain: Attempt, *, progress: Callable[[str], None] | None = None
) -> list[Attempt]:
    """Every way out worth comparing: those that fit, and single ones that do not.

    Parameters
    ----------
    wish : Wish
        What the beer is.
    house : Brewhouse
        Where it must fit.
    plain : Attempt
        The attempt without any knob, which does not fit.
    progress : callable, optional
        Told the name of each way out as it is tried.

    Returns
    -------
    list of Attempt
        In the order they were tried; none is held against the others here.
    """
    tell = progress or (lambda _: None)
    found: list[Attempt] = []
    for base_knobs in ON_OFF:
        if base_knobs.squeeze and house.drain == "squeezed bag":
            continue
        if any(one.fits and _turns_less(one.knobs, base_knobs) for one in found):
            continue
        single = sum((base_knobs.double, base_knobs.thick, base_knobs.squeeze, base_knobs.gyles > 1)) <= 1
        base = (
            plain
            if base_knobs == Knobs()
            else attempt(wish, house, base_knobs, start=_alike(base_knobs, [plain, *found]))
        )
        tell(base_knobs.name)
        if base_knobs != Knobs() and (base.fits or single):
            found.append(base)
        if base.fits:
            continue
        for knob, most in _degrees(wish, house, base):
            if _answered(found, base_knobs, knob):
                continue
            tried = _least(wish, house, base, knob=knob, most=most, tell=tell)
            if tried.fits or base_knobs == Knobs():
                found.append(tried)
    return _worth_comparing(found)


def _alike(knobs: Knobs, known: list[Attempt]) -> Amounts | None:
    """Amounts of a setting with the same lines, to start from."""
    for one in reversed(known):
        same = one.knobs.double == knobs.double and one.knobs.gyles == knobs.gyles
        plain = one.knobs.sugar_g_L == one.knobs.malt_extract_g_L == 0.0 and one.knobs.volume_share == 1.0
        if same and plain and one.solution is not None:
            return one.solution.amounts
    return None


_SWITCHES = ("double", "thick", "squeeze")
_COSTLESS = ("held_back_L", "top_up_L", "boil_extra_min")


def _turns_less(knobs: Knobs, more: Knobs) -> bool:
    """Whether a setting without any knob by degrees has only switches that the other has too."""
    plain = Knobs(double=knobs.double, thick=knobs.thick, squeeze=knobs.squeeze, gyles=knobs.gyles)
    if knobs != plain or knobs.gyles > more.gyles:
        return False
    return all(getattr(more, name) or not getattr(knobs, name) for name in _SWITCHES)


def _answered(found: list[Attempt], base: Knobs, knob: str) -> bool:
    """Whether fewer switches with the same knob, or with one that costs no beer, fit already."""
    for one in found:
        if not one.fits or one.knobs.gyles > base.gyles:
            continue
        if not all(getattr(base, name) or not getattr(one.knobs, name) for name in _SWITCHES):
            continue
        costless = any(getattr(one.knobs, name) > 0 for name in _COSTLESS)
        same = getattr(one.knobs, knob) != getattr(Knobs(), knob)
        if costless or (same and knob in ("sugar_g_L", "malt_extract_g_L")):
            return True
    return False


def _worth_comparing(found: list[Attempt]) -> list[Attempt]:
    """Leave out what turns more knobs than another that fits, for nothing."""
    fitting = [one for one in found if one.fits]

    def knobs_on(one: Attempt) -> frozenset[str]:
        return frozenset(one.knobs.name.split(" + "))

    kept = []
    for one in found:
        mine = knobs_on(one)
        if one.fits and any(knobs_on(other) < mine and _no_worse(other, one) for other in fitting):
            continue
        kept.append(one)
    return kept


def _no_worse(other: Attempt, one: Attempt) -> bool:
    """Whether another way out gives up no more beer, malt or volume."""
    a, b = other.knobs, one.knobs
    return (
        a.volume_share >= b.volume_share - 0.01
        and a.sugar_g_L <= b.sugar_g_L + 1.0
        and a.malt_extract_g_L <= b.malt_extract_g_L + 1.0
    )
