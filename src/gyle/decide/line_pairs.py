"""Which line of one version is which line of another."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from typing import TypeVar

from gyle.beer.timing import STAGES, Timing

__all__ = ["Pairs", "aligned", "matched", "time_apart"]

_T = TypeVar("_T")
Pairs = list[tuple[int | None, int | None]]  # places in the old and the new list; None where there is none

OTHER_STAGE = 1e6  # farther than any time within a stage
MANY = 200  # lists longer than this are not searched for what was turned into what


def time_apart(one: Timing, other: Timing) -> float:
    """How far one time is from another: another stage is farther than any time within one."""
    if one.stage != other.stage:
        return OTHER_STAGE * (1.0 + abs(STAGES.index(one.stage) - STAGES.index(other.stage)))

    def apart(a: float | None, b: float | None, weight: float) -> float:
        return 0.0 if a == b else weight if a is None or b is None else min(weight, abs(a - b))

    return (
        apart(one.minutes, other.minutes, 1000.0)
        + apart(one.temperature_C, other.temperature_C, 100.0)
        + apart(one.day, other.day, 100.0)
        + apart(one.points_above_final, other.points_above_final, 100.0)
        + apart(one.stable_days, other.stable_days, 100.0)
        + apart(one.contact_days, other.contact_days, 10.0)
        + 100.0 * abs(one.mash - other.mash)
    )


def matched(old: Sequence[_T], new: Sequence[_T], *, apart: Callable[[_T, _T], float | None]) -> Pairs:
    """Pair the lines of two lists, the nearest first; `apart` is None where two lines are not the same thing.

    The order of lines in a file says nothing. What finds no pair is given with None, in place of its pair.
    The same lines are paired whichever list is the old one.
    """
    ways = [
        (distance, i + j, abs(i - j), i, j)
        for (i, one), (j, other) in itertools.product(enumerate(old), enumerate(new))
        if (distance := apart(one, other)) is not None
    ]
    partner: dict[int, int] = {}
    taken: set[int] = set()
    for *_, i, j in sorted(ways):
        if i not in partner and j not in taken:
            partner[i] = j
            taken.add(j)
    back = {j: i for i, j in partner.items()}
    pairs: Pairs = [(back.get(j), j) for j in range(len(new))]
    return pairs + [(i, None) for i in range(len(old)) if i not in partner]


def aligned(old: Sequence[_T], new: Sequence[_T], *, apart: Callable[[_T, _T], float]) -> Pairs:
    """Pair two lists whose order counts: as many as the shorter has, in order, as near as can be."""
    if max(len(old), len(new)) > MANY:
        shorter = min(len(old), len(new))
        pairs: Pairs = [(place, place) for place in range(shorter)]
        pairs += [(place, None) for place in range(shorter, len(old))]
        return pairs + [(None, place) for place in range(shorter, len(new))]
    if len(old) > len(new):
        return [(i, j) for j, i in aligned(new, old, apart=lambda one, other: apart(other, one))]
    best: list[tuple[float, Pairs]] = [(0.0, []), *((float("inf"), []) for _ in old)]
    for j, other in enumerate(new):
        # best[i]: the first i old ones paired among the new ones seen so far
        for i in range(min(j + 1, len(old)), 0, -1):
            spared = (best[i][0], [*best[i][1], (None, j)]) if best[i][0] < float("inf") else best[i]
            with_it = best[i - 1][0] + apart(old[i - 1], other)
            best[i] = spared if spared[0] <= with_it else (with_it, [*best[i - 1][1], (i - 1, j)])
        best[0] = (0.0, [*best[0][1], (None, j)])
    return best[len(old)][1]
