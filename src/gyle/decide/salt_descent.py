"""Good doses quickly: from rounded doses downhill, a few steps of one or two things at a time.

It proves nothing; what it finds is what the proof then only has to beat.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from gyle.decide.salt_matrix import Linear

__all__ = ["Descent"]

Array = NDArray[np.float64]
STRIDES = (1.0, -1.0, 2.0, -2.0, 5.0, -5.0, 20.0, -20.0, 100.0, -100.0)
PAIRED = (1.0, -1.0)
MOST_STEPS = 20
SAME = 1e-7
USED = 0.5


def _moves(form: Linear) -> Array:
    """Staying put; each thing more or less, or from one place to another, alone and by twos."""
    each = np.eye(len(form.columns))
    places = [np.flatnonzero(group) for group in form.group_matrix]
    across = [each[first] - each[other] for first, *others in places for other in others]
    one = np.array([*each, *across])
    alone = np.concatenate([stride * one for stride in STRIDES])
    base = np.concatenate([stride * one for stride in PAIRED])
    first, second = np.triu_indices(len(base), 1)
    pairs = base[first] + base[second]
    return np.concatenate([0.0 * one[:1], alone, pairs[np.abs(pairs).sum(axis=1) > 0.0]])


class Descent:
    """The small moves of one problem and what each does to every row.

    Parameters
    ----------
    form : Linear
        The problem in rows and columns.
    objective : str
        "worst first" or "sum".
    """

    def __init__(self, form: Linear, *, objective: str) -> None:
        self.form, self.moves, self.worst_counts = form, _moves(form), objective == "worst first"
        self.value, self.limit = form.wish_matrix @ self.moves.T, form.limit_matrix @ self.moves.T
        self.group, self.mass = form.group_matrix @ self.moves.T, form.mass @ self.moves.T

    def down(self, start: Array, *, lighter: bool) -> Array | None:
        """Whole steps near the start that no small move betters, or None if none found keeps every limit.

        Among equal misses and kinds the mass counts only when asked for: it takes many moves.
        """
        steps, broken = start, 1.0
        for _ in range(MOST_STEPS):
            best, broken = self._best(steps, lighter=lighter)
            if best == 0:
                break
            steps = steps + self.moves[best]
        return steps if broken <= SAME else None

    def _best(self, steps: Array, *, lighter: bool) -> tuple[int, float]:
        """The best move, and by how much it leaves limits broken."""
        form = self.form
        values = (form.wish_matrix @ steps)[:, None] + self.value
        limits = (form.limit_matrix @ steps)[:, None] + self.limit
        groups = (form.group_matrix @ steps)[:, None] + self.group
        off = np.maximum(np.maximum(form.wish_low[:, None] - values, values - form.wish_high[:, None]), 0.0)
        over = np.maximum(np.maximum(form.limit_low[:, None] - limits, limits - form.limit_high[:, None]), 0.0)
        kinds = (groups[form.group_is_salt] > USED).sum(axis=0)
        broken = over.sum(axis=0) + np.maximum(groups - form.group_most[:, None], 0.0).sum(axis=0)
        if form.most_salts is not None:
            broken += np.maximum(kinds - form.most_salts, 0.0)
        broken[((steps + self.moves) < 0.0).any(axis=1)] = np.inf
        last = (off.sum(axis=0), kinds.astype(np.float64), *([self.mass] if lighter else []))
        best = _first((broken, off.max(axis=0, initial=0.0), *last) if self.worst_counts else (broken, *last))
        return best, float(broken[best])

    def shifted(self, steps: Array, column: int, change: float) -> Array | None:
        """Steps with one thing changed and what else is used changed along, to keep wishes and two-sided limits."""
        form = self.form
        moved = steps[column] + change
        if not 0.0 <= moved <= form.most[column]:
            return None
        held = np.isfinite(form.limit_low) & np.isfinite(form.limit_high)
        rows = np.concatenate([form.wish_matrix, form.limit_matrix[held]])
        others = np.flatnonzero(steps > 0.0)
        others = others[others != column]
        along = np.linalg.lstsq(rows[:, others], rows[:, column] * -change, rcond=None)[0]
        near = steps.copy()
        near[others] = np.maximum(near[others] + along, 0.0)
        near[column] = moved
        return np.asarray(np.round(near))


def _first(keys: tuple[Array, ...]) -> int:
    """The first index that is least in the first key, then in the next; staying put (index 0) wins ties."""
    left = np.arange(keys[0].size)
    for key in keys:
        left = left[key[left] <= key[left].min() + SAME]
        if left.size == 1:
            break
    return int(left[0])
