"""The program that HiGHS is given: as few rows and columns as say the same, in ranges as narrow as can be shown.

A thing that goes into several places is counted by its total, and by its parts in all places but the first: so an
amount in the whole hangs on totals alone. Each question is put with only the rows it needs. What is known by then,
how far a wish may be missed above all, narrows the ranges first, and with them the rows that count kinds of salt.
"""

from __future__ import annotations

from typing import Any

import attrs
import numpy as np
from numpy.typing import NDArray

from gyle.decide.salt_matrix import Linear
from gyle.decide.salt_narrow import SURE, narrowed
from gyle.decide.salt_solver import INFEASIBLE, minimise

__all__ = ["KINDS", "MASS", "MEASURES", "SUM", "WORST", "Answer", "Program"]

Array = NDArray[np.float64]
MEASURES = ("worst", "sum", "kinds", "mass")
WORST, SUM, KINDS, MASS = range(4)


@attrs.frozen(kw_only=True, eq=False)
class Answer:
    """The steps, none if there are none, what the measure comes to, and SciPy's status."""

    steps: Array | None
    least: float
    status: int


class _Draft:
    """A program put together block by block; a block of columns goes by a name."""

    def __init__(self) -> None:
        self.at: dict[str, slice] = {}
        self.columns: list[tuple[Array, ...]] = []
        self.rows: list[tuple[dict[str, Any], Array, Array]] = []
        self.count = 0

    def add_columns(self, name: str, low: Any, high: Any, *, whole: Any = 0.0, cost: Any = 0.0) -> None:
        block = np.broadcast_arrays(*(np.asarray(part, dtype=np.float64) for part in (low, high, whole, cost)))
        self.at[name] = slice(self.count, self.count + block[0].size)
        self.count += block[0].size
        self.columns.append(block)

    def add_rows(self, low: Any, high: Any, **blocks: Any) -> None:
        count = len(next(iter(blocks.values())))
        self.rows.append((blocks, np.broadcast_to(low, count), np.broadcast_to(high, count)))

    def minimised(self, *, seconds: float, gap: float) -> Any:
        low, high, whole, cost = (np.concatenate(parts) for parts in zip(*self.columns, strict=True))
        row_low, row_high = (np.concatenate([row[end] for row in self.rows]) for end in (1, 2))
        matrix, begin = np.zeros((len(row_low), self.count)), 0
        for blocks, ends, _ in self.rows:
            for name, values in blocks.items():
                matrix[begin : begin + len(ends), self.at[name]] = values
            begin += len(ends)
        return minimise(
            cost, whole=whole, bounds=(low, high), rows=(matrix, row_low, row_high), seconds=seconds, gap=gap
        )


class Program:
    """One problem in totals and parts.

    Parameters
    ----------
    form : Linear
        The problem in rows and columns.
    """

    def __init__(self, form: Linear) -> None:
        self.form = form
        groups, count = form.group_matrix, len(form.columns)
        self.totals, self.group = groups.argmax(axis=1), groups.argmax(axis=0)
        self.is_total = np.zeros(count, dtype=bool)
        self.is_total[self.totals] = True
        # The total stands where the first part stood; that part is the total less the others.
        self.to_steps = np.eye(count)
        others = np.flatnonzero(~self.is_total)
        self.to_steps[self.totals[self.group[others]], others] = -1.0
        self.wishes, self.limits = form.wish_matrix @ self.to_steps, form.limit_matrix @ self.to_steps
        self.first_parts = self.to_steps[self.totals[groups.sum(axis=1) > 1.0]]
        self.mass = form.mass @ self.to_steps
        self.salts = self.totals[form.group_is_salt]

    def solve(
        self,
        aim: str,
        *,
        whole: Array | None,
        ceilings: Array,
        totals: tuple[Array, Array],
        seconds: float,
        cost: Array | None = None,
        gap: float = 0.0,
    ) -> Answer:
        """Minimise one measure, or the costs given, with ceilings on all measures.

        `whole` says which steps are whole, totals always being so; with None only the kinds of salt are counted.
        """
        form = self.form
        counted = np.zeros(len(form.columns), dtype=bool)
        if whole is not None:
            counted = self.is_total | ((form.group_matrix @ whole) > 0.0)[self.group]
        box = self._box(ceilings, totals, counted)
        if box is None:
            return Answer(steps=None, least=np.inf, status=INFEASIBLE)
        draft = _Draft()
        costs = self.mass if aim == "mass" else np.zeros_like(self.mass) if cost is None else cost @ self.to_steps
        draft.add_columns("counts", *box, whole=counted, cost=costs)
        draft.add_rows(0.0, np.inf, counts=self.first_parts)
        self._limits(draft, box)
        self._misses(draft, aim, ceilings)
        if aim == "kinds" or np.isfinite(ceilings[KINDS]):
            self._kinds(draft, box, most=ceilings[KINDS], cost=float(aim == "kinds"))
        if np.isfinite(ceilings[MASS]):
            draft.add_rows(-np.inf, ceilings[MASS], counts=self.mass[None, :])
        found = draft.minimised(seconds=seconds, gap=gap)
        if found.x is None:
            return Answer(steps=None, least=np.inf, status=found.status)
        counts = found.x[draft.at["counts"]]
        steps = self.to_steps @ np.where(counted, np.round(counts), counts)
        return Answer(steps=np.maximum(steps, 0.0), least=float(found.fun), status=found.status)

    def _box(
        self, ceilings: Array, totals: tuple[Array, Array], counted: NDArray[np.bool_]
    ) -> tuple[Array, Array] | None:
        """The ranges of totals and parts with which no wish is missed by more than the ceilings allow."""
        form, most = self.form, min(ceilings[WORST], ceilings[SUM])
        parts = len(self.first_parts)
        rows = (
            np.concatenate([self.wishes, self.limits, self.first_parts]),
            np.concatenate([form.wish_low - most, form.limit_low, np.zeros(parts)]),
            np.concatenate([form.wish_high + most, form.limit_high, np.full(parts, np.inf)]),
        )
        low, high = np.where(self.is_total, totals[0][self.group], 0.0), totals[1][self.group]
        return narrowed(rows, (low, high), whole=counted)

    def _limits(self, draft: _Draft, box: tuple[Array, Array]) -> None:
        """Those limits that the ranges do not keep by themselves."""
        form, (low, high) = self.form, box
        up, down = np.maximum(self.limits, 0.0), np.minimum(self.limits, 0.0)
        least, most = up @ low + down @ high, up @ high + down @ low
        left = (least < form.limit_low) | (most > form.limit_high)
        draft.add_rows(form.limit_low[left], form.limit_high[left], counts=self.limits[left])

    def _misses(self, draft: _Draft, aim: str, ceilings: Array) -> None:
        """The misses, where they are asked for or have a ceiling."""
        form = self.form
        below, above = np.isfinite(form.wish_low), np.isfinite(form.wish_high)
        if aim == "worst":
            draft.add_columns("worst", [0.0], ceilings[WORST], cost=1.0)
            draft.add_rows(form.wish_low[below], np.inf, counts=self.wishes[below], worst=np.ones((below.sum(), 1)))
            draft.add_rows(-np.inf, form.wish_high[above], counts=self.wishes[above], worst=-np.ones((above.sum(), 1)))
        elif aim == "sum" or np.isfinite(ceilings[SUM]):
            each = np.eye(len(form.wishes))
            draft.add_columns("below", np.zeros(below.sum()), ceilings[WORST])
            draft.add_columns("above", np.zeros(above.sum()), ceilings[WORST])
            draft.add_columns("sum", [0.0], ceilings[SUM], cost=float(aim == "sum"))
            draft.add_rows(
                form.wish_low, form.wish_high, counts=self.wishes, below=each[:, below], above=-each[:, above]
            )
            draft.add_rows(0.0, np.inf, sum=np.ones((1, 1)), below=-1.0, above=-1.0)
        elif np.isfinite(most := ceilings[WORST]):
            draft.add_rows(form.wish_low - most, form.wish_high + most, counts=self.wishes)

    def _kinds(self, draft: _Draft, box: tuple[Array, Array], *, most: float, cost: float) -> None:
        """Which salts are used, and how many may be."""
        low, high = box[0][self.salts], box[1][self.salts]
        draft.add_columns("used", low > SURE, high > SURE, whole=1.0, cost=cost)
        draft.add_rows(-np.inf, 0.0, counts=np.eye(len(self.form.columns))[self.salts], used=-np.diag(high))
        draft.add_rows(-np.inf, most, used=np.ones((1, len(self.salts))))
