"""Where the search for a plan begins: at a plan of nearly the same beer, such as it was before an edit."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import attrs

from gyle.beer.recipe import GristLine, HopLine, Recipe
from gyle.decide.candidates import FIRST_HOPS_KG
from gyle.decide.targets import Targets, targets_of
from gyle.line.amounts import Amounts

__all__ = ["Start", "nearly_alike", "start_from"]

MOVED = ("volume_L", "gravity_sg", "bitterness")
MOST_RATIO = 2.0  # of two volumes, one begun from the other; ours


@attrs.frozen(kw_only=True, eq=False)
class Start:
    """Amounts to begin from, and the centre line's targets that are likely to bring the means to the aims."""

    amounts: Amounts
    middle: Targets


def nearly_alike(recipe: Recipe, before: Recipe) -> bool:
    """Whether a plan's amounts are near enough to begin from: a search from far too little water stays there."""
    ratio = _ratio(targets_of(recipe).volume_L, targets_of(before).volume_L)
    return 1.0 / MOST_RATIO <= ratio <= MOST_RATIO


def start_from(recipe: Recipe, *, before: Recipe, had: Amounts, middle: Targets | None) -> Start:
    """Take a plan's amounts over, line by line, to a recipe that is nearly the same.

    They decide where the search begins and not where it ends. A line that is new begins as it would without a plan.

    Parameters
    ----------
    recipe : Recipe
        What is to be planned.
    before : Recipe
        What was planned.
    had : Amounts
        Its amounts.
    middle : Targets or None
        What its centre line came to where its means met the aims, if that is known.
    """
    wanted, old = targets_of(recipe), targets_of(before)
    volume = _ratio(wanted.volume_L, old.volume_L) * before.gyles / recipe.gyles
    extract = volume * _ratio(_points(wanted), _points(old))
    grist = sum(had.grist_kg) * extract
    masses = _matched(recipe.grist, before.grist, had.grist_kg)
    hops = _matched(recipe.hops, before.hops, had.hops_kg)
    water = (sum(had.liquor_L) + sum(had.sparge_L)) * volume
    amounts = Amounts(
        grist_kg=tuple(
            line.share * grist if line.share is not None else (0.1 * grist if kg is None else kg * extract)
            for line, kg in zip(recipe.grist, masses, strict=True)
        ),
        hops_kg=tuple(FIRST_HOPS_KG if kg is None else kg * volume for kg in hops),
        liquor_L=(water,),
        sparge_L=(0.0,),
    )
    return Start(amounts=amounts, middle=wanted if middle is None else _moved(wanted, old, middle))


def _moved(wanted: Targets, old: Targets, middle: Targets) -> Targets:
    """The targets moved as the old ones were, in proportion."""
    if (wanted.into, wanted.measure) != (old.into, old.measure):
        return wanted
    moved: dict[str, Any] = {}
    for name in MOVED:
        now, was, at = (getattr(targets, name) for targets in (wanted, old, middle))
        if now is not None and was and at is not None:
            zero = 1.0 if name == "gravity_sg" else 0.0
            moved[name] = now + (at - was) * _ratio(now - zero, was - zero)
    return attrs.evolve(wanted, **moved)


def _points(targets: Targets) -> float | None:
    return None if targets.gravity_sg is None else targets.gravity_sg - 1.0


def _ratio(now: float | None, before: float | None) -> float:
    return now / before if now and before and now > 0.0 < before else 1.0


def _matched(
    lines: Sequence[GristLine | HopLine], before: Sequence[GristLine | HopLine], amounts: Sequence[float]
) -> list[float | None]:
    """The amount each line had: of one that goes in at the same time, else of any of the same thing."""
    left = dict(enumerate(before))
    found: list[float | None] = [None] * len(lines)
    for same_time in (True, False):
        for place, line in enumerate(lines):
            if found[place] is None:
                old = next(
                    (
                        number
                        for number, other in left.items()
                        if other.what == line.what and (other.at == line.at or not same_time)
                    ),
                    None,
                )
                if old is not None:
                    found[place] = amounts[old]
                    del left[old]
    return found
