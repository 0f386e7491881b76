"""The search itself: a mixed-integer program, solved in turn for the worst miss, their sum, and the least to weigh.

HiGHS proves each stage; the doses are then whole numbers, and every figure is computed from them again.
"""

from __future__ import annotations

from typing import Any

import attrs
import numpy as np
from numpy.typing import NDArray

from gyle.decide.salt_matrix import DILUTION, Linear, Row

__all__ = ["Found", "extreme", "search"]

Array = NDArray[np.float64]
HAIR = 1e-6  # of a tolerance: what an earlier stage yields to a later one, and what counts as equally good
_TIME_OUT = 1


@attrs.frozen(kw_only=True, eq=False)
class Found:
    """The best steps, their misses in tolerances, and whether both are proven."""

    steps: Array
    misses: Array
    proven: bool


class _Rows:
    """Rows gathered for the solver; columns are steps first, then whatever the stage adds."""

    def __init__(self, columns: int) -> None:
        self.columns = columns
        self.parts: list[tuple[Array, Array, Array]] = []

    def add(self, matrix: Array, low: Any, high: Any) -> None:
        if len(matrix):
            block = np.zeros((len(matrix), self.columns))
            block[:, : matrix.shape[1]] = matrix
            self.parts.append((block, np.broadcast_to(low, len(matrix)), np.broadcast_to(high, len(matrix))))

    def joined(self) -> tuple[Array, Array, Array]:
        matrix, low, high = zip(*self.parts, strict=True)
        return np.concatenate(matrix), np.concatenate(low), np.concatenate(high)


def misses(form: Linear, steps: Array) -> Array:
    """How far each wish is missed at these steps, in tolerances."""
    off = []
    for row, scale in zip(form.wishes, form.scales, strict=True):
        value = row.value(steps)
        off.append(scale * max(row.low - value, value - row.high, 0.0))
    return np.array(off)


def _scaled(rows: tuple[Row, ...]) -> tuple[Array, Array, Array]:
    """Rows with the constant taken to the bounds, each divided by its largest change per step."""
    matrix = np.array([row.per_step for row in rows])
    scale = np.maximum(np.abs(matrix).max(axis=1), 1e-9)
    low = np.array([row.low - row.constant for row in rows]) / scale
    high = np.array([row.high - row.constant for row in rows]) / scale
    return matrix / scale[:, None], low, high


class _Program:
    """One problem made ready for its stages."""

    def __init__(self, form: Linear, *, whole: bool, time_limit_s: float) -> None:
        self.form, self.whole, self.time_limit_s = form, whole, time_limit_s
        self.count = len(form.columns)
        self.salts = [(most, member) for kind, most, member in form.groups if kind == "salt"]
        if form.wishes:
            scale = np.array(form.scales)
            self.wish = np.array([row.per_step for row in form.wishes]) * scale[:, None]
            self.low = np.array([row.low - row.constant for row in form.wishes]) * scale
            self.high = np.array([row.high - row.constant for row in form.wishes]) * scale

    def solve(self, stage: str, *, most_miss: float = np.inf, most_sum: float = np.inf) -> Any:
        """One stage: "worst", "sum" or "least"; the columns are steps, misses, and which salts are used."""
        from scipy.optimize import Bounds, LinearConstraint, milp

        form, count = self.form, self.count
        wishes = 1 if stage == "worst" else len(form.wishes)
        used = len(self.salts) if form.most_salts is not None or stage == "least" else 0
        rows = _Rows(count + wishes + used)
        off = np.ones((len(form.wishes), 1)) if stage == "worst" else np.eye(len(form.wishes))
        for end, sign in ((self.low, 1.0), (self.high, -1.0)):
            kept = np.isfinite(end)
            rows.add(np.hstack([sign * self.wish, off])[kept], sign * end[kept], np.inf)
        if form.limits:
            rows.add(*_scaled(form.limits))
        for _, most, member in form.groups:
            if member.sum() > 1.0:
                rows.add(member[None, :], -np.inf, most)
        if used:
            block = np.zeros((used, count + wishes + used))
            for index, (most, member) in enumerate(self.salts):
                block[index, :count] = member
                block[index, count + wishes + index] = -most
            rows.add(block, -np.inf, 0.0)
        if form.most_salts is not None:
            rows.add(np.r_[np.zeros(count + wishes), np.ones(used)][None, :], -np.inf, form.most_salts)
        if np.isfinite(most_sum):
            rows.add(np.r_[np.zeros(count), np.ones(wishes)][None, :], -np.inf, most_sum + HAIR)
        cost = np.zeros(count + wishes + used)
        if stage == "least":
            cost[:count] = (least := _least(form))
            cost[count + wishes :] = 1.0 + float(least @ form.most)
        else:
            cost[count : count + wishes] = 1.0
        ceiling = np.full(wishes, most_miss + HAIR)
        kinds = np.r_[np.full(count, int(self.whole)), np.zeros(wishes), np.ones(used)]
        matrix, low, high = rows.joined()
        return milp(
            cost,
            integrality=kinds,
            bounds=Bounds(np.zeros(cost.size), np.r_[form.most, ceiling, np.ones(used)]),
            constraints=LinearConstraint(matrix, low, high),
            options={"mip_rel_gap": 0.0, "time_limit": self.time_limit_s},
        )


def _least(form: Linear) -> Array:
    """The cost of a step when nothing but effort is left: its mass, then dilution, then sparge before mash."""
    finest = min((column.step for column in form.columns if column.kind != DILUTION), default=1.0)
    places = {"mash": 0.0, "sparge": 1.0, "kettle": 2.0, "": 0.0}
    cost = []
    for index, column in enumerate(form.columns):
        size = 0.1 if column.kind == DILUTION else column.step / finest
        cost.append(size * (1.0 + 1e-3 * places[column.place] + 1e-5 * index))
    return np.array(cost)


def search(form: Linear, *, objective: str, whole: bool = True, time_limit_s: float = 10.0) -> Found | None:
    """The best steps; None if nothing keeps every limit.

    `objective` is "worst first" or "sum"; without `whole`, steps may be parts of steps.
    """
    program = _Program(form, whole=whole, time_limit_s=time_limit_s)
    proven, most_miss, best = True, np.inf, None
    stages = ("worst", "sum", "least") if objective == "worst first" else ("sum", "least")
    most_sum = np.inf
    for stage in stages:
        answer = program.solve(stage, most_miss=most_miss, most_sum=most_sum)
        proven = proven and answer.status == 0
        if answer.x is None:
            if best is None and answer.status != _TIME_OUT:
                return None
            proven = False
            break
        best = answer.x[: len(form.columns)]
        best = np.round(best) if whole else best
        off = misses(form, best)
        if stage == "worst":
            most_miss = float(off.max(initial=0.0))
        elif stage == "sum":
            most_sum = float(off.sum())
    if best is None:
        return None
    return Found(steps=best, misses=misses(form, best), proven=proven)
