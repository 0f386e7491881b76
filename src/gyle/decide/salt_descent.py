"""Good doses quickly: from rounded doses downhill, a few steps of one or two things at a time.

It proves nothing; what it finds is what the proof then only has to beat.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from gyle.decide.salt_matrix import Linear

__all__ = ["descend"]

Array = NDArray[np.float64]
STRIDES = (1.0, -1.0, 2.0, -2.0, 5.0, -5.0)
PAIRED = (1.0, -1.0)
MOST_STEPS = 40
SAME = 1e-7


def _moves(columns: int) -> Array:
    one = np.eye(columns)
    alone = np.concatenate([stride * one for stride in STRIDES])
    base = np.concatenate([stride * one for stride in PAIRED])
    first, second = np.triu_indices(len(base), 1)
    pairs = base[first] + base[second]
    return np.concatenate([np.zeros((1, columns)), alone, pairs[np.abs(pairs).sum(axis=1) > 0.0]])


def descend(form: Linear, start: Array, *, objective: str, fine_enough: float) -> Array | None:
    """Whole steps near the start that no small move betters, or None if none found keeps every limit."""
    moves = _moves(len(start))
    value_moves, limit_moves = form.wish_matrix @ moves.T, form.limit_matrix @ moves.T
    group_moves, mass_moves = form.group_matrix @ moves.T, form.mass @ moves.T
    floor_t, floor_sum = fine_enough, fine_enough * len(form.wishes)
    salts = form.group_is_salt
    steps, value, limit = start, form.wish_matrix @ start, form.limit_matrix @ start
    group, mass = form.group_matrix @ start, form.mass @ start
    broken_now = 1.0
    for _ in range(MOST_STEPS):
        values, limits = value[:, None] + value_moves, limit[:, None] + limit_moves
        groups = group[:, None] + group_moves
        off = np.maximum(np.maximum(form.wish_low[:, None] - values, values - form.wish_high[:, None]), 0.0)
        over = np.maximum(np.maximum(form.limit_low[:, None] - limits, limits - form.limit_high[:, None]), 0.0)
        kinds = (groups[salts] > 0.5).sum(axis=0)
        broken = over.sum(axis=0) + np.maximum(groups - form.group_most[:, None], 0.0).sum(axis=0)
        if form.most_salts is not None:
            broken += np.maximum(kinds - form.most_salts, 0.0)
        broken[((steps + moves) < 0.0).any(axis=1)] = np.inf
        worst = np.maximum(off.max(axis=0, initial=0.0), floor_t)
        total = np.maximum(off.sum(axis=0), floor_sum)
        last = (total, kinds.astype(np.float64), mass + mass_moves)
        keys = (broken, worst, *last) if objective == "worst first" else (broken, *last)
        best = _best(keys)
        broken_now = float(broken[best])
        if best == 0:
            break
        steps, value, limit = steps + moves[best], value + value_moves[:, best], limit + limit_moves[:, best]
        group, mass = group + group_moves[:, best], mass + mass_moves[best]
    return steps if broken_now <= SAME else None


def _best(keys: tuple[Array, ...]) -> int:
    """The first index that is least in the first key, then in the next; staying put (index 0) wins ties."""
    left = np.arange(keys[0].size)
    for key in keys:
        left = left[key[left] <= key[left].min() + SAME]
        if left.size == 1:
            break
    return int(left[0])
