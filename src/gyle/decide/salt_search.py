"""The search itself: a mixed-integer program, solved in turn for the worst miss, their sum, kinds of salt, mass.

Each stage starts from the best doses known and asks HiGHS only for better ones, so that most stages end with
the proof that there are none. Where no wish feels how a salt is divided between mash and sparge, only its
total is whole steps at first; the parts are made whole at the end, and should that cost anything, everything is
solved again with whole parts.
"""

from __future__ import annotations

import itertools
import time
from typing import Any

import attrs
import numpy as np
from numpy.typing import NDArray

from gyle.decide.salt_descent import descend
from gyle.decide.salt_matrix import Linear, Row
from gyle.decide.salt_solver import minimise

__all__ = ["BETTER", "Found", "extreme", "relaxed", "search"]

Array = NDArray[np.float64]
BETTER = 2e-5  # of a tolerance: doses must be better by this much to count as better
HAIR = 5e-6  # of a tolerance: what a stage may yield of an earlier one, for rounding's sake
MEASURES = ("worst", "sum", "kinds", "mass")
_LESS = {"worst": BETTER, "sum": BETTER, "kinds": 0.5, "mass": 0.0}
NEARLY = 0.05  # of the mass: so near to the least is near enough, and quickly shown
_YIELD = {"worst": HAIR, "sum": HAIR, "kinds": 0.5, "mass": np.inf}
_OPTIMAL, _INFEASIBLE = 0, 2
_STAGES = {"worst first": MEASURES, "sum": MEASURES[1:]}


@attrs.frozen(kw_only=True, eq=False)
class Found:
    """The best steps, and whether it is proven that none are better."""

    steps: Array
    proven: bool


class _Program:
    """The program of one problem: steps, totals, misses, the worst, their sum, and which salts are used."""

    def __init__(self, form: Linear) -> None:
        self.form = form
        wishes, salts = len(form.wishes), int(form.group_is_salt.sum())
        ends = np.cumsum([0, len(form.columns), len(form.group_names), wishes, 1, 1, salts])
        self.steps, self.totals, self.off, self.worst, self.sum, self.used = (
            slice(*pair) for pair in itertools.pairwise(ends)
        )
        self.count = int(ends[-1])
        self.costs = {aim: np.zeros(self.count) for aim in MEASURES}
        self.costs["worst"][self.worst] = self.costs["sum"][self.sum] = self.costs["kinds"][self.used] = 1.0
        self.costs["mass"][self.steps] = form.mass
        self.matrix, self.low, self.high = self._rows()

    def _rows(self) -> tuple[Array, Array, Array]:
        form, parts = self.form, []

        def add(low: Any, high: Any, count: int, **blocks: Any) -> None:
            block = np.zeros((count, self.count))
            for name, values in blocks.items():
                block[:, getattr(self, name)] = values
            parts.append((block, np.broadcast_to(low, count), np.broadcast_to(high, count)))

        wishes, groups = len(form.wishes), len(form.group_names)
        for end, sign in ((form.wish_low, 1.0), (form.wish_high, -1.0)):
            kept = np.isfinite(end)
            add(sign * end[kept], np.inf, kept.sum(), steps=sign * form.wish_matrix[kept], off=np.eye(wishes)[kept])
        add(-np.inf, 0.0, wishes, off=np.eye(wishes), worst=-1.0)
        add(0.0, np.inf, 1, off=-1.0, sum=1.0)
        add(form.limit_low, form.limit_high, len(form.limits), steps=form.limit_matrix)
        add(0.0, 0.0, groups, steps=form.group_matrix, totals=-np.eye(groups))
        salts = np.flatnonzero(form.group_is_salt)
        add(-np.inf, 0.0, len(salts), totals=np.eye(groups)[salts], used=np.diag(-form.group_most[salts]))
        add(-np.inf, np.inf, 1, used=1.0)  # the last two rows are the ceilings of kinds and mass
        add(-np.inf, np.inf, 1, steps=form.mass)
        matrix, low, high = zip(*parts, strict=True)
        return np.concatenate(matrix), np.concatenate(low), np.concatenate(high)

    def solve(
        self,
        cost: Array,
        *,
        whole: Array | None,
        floors: Array,
        ceilings: Array,
        totals: tuple[Array, Array],
        seconds: float,
    ) -> Any:
        """Minimise one measure, or what costs are given, with floors and ceilings on all measures.

        `whole` says which steps are whole, totals always being so; with None only the kinds of salt are counted.
        """
        kinds, low, high = np.zeros(self.count), np.zeros(self.count), np.full(self.count, np.inf)
        high[self.steps], high[self.used] = self.form.most, 1.0
        low[self.totals], high[self.totals] = totals
        low[self.worst], low[self.sum] = floors[0], floors[1]
        high[self.off], high[self.worst], high[self.sum] = ceilings[0], ceilings[0], ceilings[1]
        kinds[self.used] = float(np.isfinite(ceilings[2]) or cost is self.costs["kinds"])
        if whole is not None:
            kinds[self.totals], kinds[self.steps] = 1.0, whole
        row_high = self.high.copy()
        row_high[-2:] = ceilings[2:]
        # Making the program smaller first pays only where hardly anything is left to be searched.
        easy = whole is None or bool(np.array_equal(*totals))
        rows = self.matrix, self.low, row_high
        return minimise(cost, whole=kinds, bounds=(low, high), rows=rows, seconds=seconds, presolve=easy)


class _Search:
    """The stages of one problem, and the best steps so far."""

    def __init__(self, form: Linear, *, objective: str, fine_enough: float, until: float) -> None:
        self.form, self.objective, self.fine_enough, self.until = form, objective, fine_enough, until
        self.program = _Program(form)
        self.floors = np.array([fine_enough * (objective == "worst first"), fine_enough * len(form.wishes), 0.0, 0.0])
        self.most = form.group_most
        self.reset(form.felt_in_place.astype(np.float64))

    def reset(self, whole: Array) -> None:
        """Begin the stages anew, with these steps whole."""
        self.whole = whole
        self.ceilings = np.full(4, np.inf)
        if self.form.most_salts is not None:
            self.ceilings[2] = self.form.most_salts
        self.best: Array | None = None
        self.continuous: tuple[float, float] | None = None
        self.proven = self.feasible = True

    def measures(self, steps: Array) -> Array:
        """The worst miss, their sum, kinds and mass; misses no better than fine enough."""
        off, form = self.form.misses(steps), self.form
        found = np.array([off.max(initial=0.0), off.sum(), form.kinds(steps), form.mass @ steps])
        above: Array = np.maximum(found, self.floors)
        return above

    def solve(self, aim: str, whole: Array | None, ceilings: Array, totals: tuple[Array, Array] | None = None) -> Any:
        """The program's answer with what is known by now."""
        return self.program.solve(
            self.program.costs[aim],
            whole=whole,
            floors=self.floors,
            ceilings=ceilings,
            totals=(np.zeros_like(self.most), self.most) if totals is None else totals,
            seconds=self.until - time.perf_counter(),
        )

    def start(self, stages: tuple[str, ...]) -> float:
        """Find doses to begin with; return the least that the first stage can come to."""
        ceilings, bound, answer = np.full(4, np.inf), 0.0, None
        for number, aim in enumerate(stage for stage in stages if stage in ("worst", "sum")):
            found = self.solve(aim, None, ceilings)
            if found.x is None:
                self.feasible = found.status != _INFEASIBLE or number > 0
                break
            answer = found
            off = self.form.misses(found.x[self.program.steps])
            self.continuous = float(off.max(initial=0.0)), float(off.sum())
            bound = bound if number else float(found.fun)
            ceilings[MEASURES.index(aim)] = found.fun + HAIR
        if answer is not None:
            # The lightest doses that miss no more are few, and few doses round well.
            light = self.solve("mass", None, np.maximum(ceilings, self.floors + HAIR))
            near = [self._downhill(one.x[self.program.steps]) for one in (answer, light) if one.x is not None]
            self.best = min((x for x in near if x is not None), key=lambda x: tuple(self.measures(x)), default=None)
        return bound

    def _downhill(self, start: Array) -> Array | None:
        return descend(self.form, np.round(start), objective=self.objective, fine_enough=self.fine_enough)

    def stage(self, aim: str, bound: float) -> None:
        """Better the best by one measure, or prove that it cannot be."""
        place, ceilings, totals = MEASURES.index(aim), self.ceilings.copy(), None
        if self.best is not None:
            if aim == "mass":
                self.lighten()
            reached = float(self.measures(self.best)[place])
            less = NEARLY * reached if aim == "mass" else _LESS[aim]
            if reached <= max(float(self.floors[place]), bound) + less:
                self.ceilings[place] = reached + _YIELD[aim]
                return
            ceilings[place] = min(ceilings[place], reached - less)
            if aim == "mass":  # of the salts that were settled on
                used = self.form.group_matrix @ self.best > 0.5
                totals = np.zeros_like(self.most), np.where(used | ~self.form.group_is_salt, self.most, 0.0)
                ceilings[2] = np.inf
        answer = self.solve(aim, self.whole, ceilings, totals)
        if answer.x is not None:
            self.best = self._exact(answer.x)
            self.proven &= answer.status == _OPTIMAL
        else:
            self.proven &= answer.status == _INFEASIBLE
            self.feasible &= self.best is not None or answer.status != _INFEASIBLE
        if self.best is not None:
            self.ceilings[place] = float(self.measures(self.best)[place]) + _YIELD[aim]

    def lighten(self) -> None:
        """Go downhill once more from the best, keeping what is settled."""
        assert self.best is not None
        near = self._downhill(self.best)
        if near is not None and np.all(self.measures(near) <= np.minimum(self.ceilings, self.measures(self.best))):
            self.best = near

    def _exact(self, x: Array) -> Array:
        """An answer's steps, with what was to be whole exactly so and parts that add up to whole totals."""
        steps, groups = np.array(x[self.program.steps], dtype=np.float64), self.form.group_matrix
        steps[self.whole > 0.0] = np.round(steps[self.whole > 0.0])
        steps = np.maximum(steps, 0.0)
        got, asked = groups @ steps, np.round(x[self.program.totals])
        free = self.whole == 0.0
        ratio = np.divide(asked, got, out=np.ones_like(got), where=got > 0.0)
        return np.where(free, steps * (groups.T @ ratio), steps)

    def parts(self) -> bool:
        """Make the parts whole too, the totals staying; whether nothing is lost by it."""
        assert self.best is not None
        asked = np.round(self.form.group_matrix @ self.best)
        ceilings = self.ceilings.copy()
        ceilings[2] = np.inf  # the totals say which are used
        answer = self.solve("mass", np.ones_like(self.whole), ceilings, (asked, asked))
        if answer.x is None:
            return False
        self.best = np.round(answer.x[self.program.steps])
        return True

    def run(self) -> None:
        """All stages in turn."""
        stages = _STAGES[self.objective]
        bound = self.start(stages)
        for number, aim in enumerate(stages):
            if self.feasible:
                self.stage(aim, 0.0 if number else bound)
            if self.best is None:
                return


def search(form: Linear, *, objective: str, fine_enough: float, time_limit_s: float) -> Found | None:
    """The best whole steps; None if nothing keeps every limit.

    Parameters
    ----------
    form : Linear
        The problem in rows and columns.
    objective : str
        "worst first" or "sum".
    fine_enough : float
        Misses below this are as good as none, in tolerances.
    time_limit_s : float
        After this the best so far is returned, unproven.

    Returns
    -------
    Found or None
        The steps, and whether it is proven that none are better.

    Raises
    ------
    TimeoutError
        If time is up before any doses are found.
    """
    until = time.perf_counter() + time_limit_s
    hunt = _Search(form, objective=objective, fine_enough=fine_enough, until=until)
    hunt.run()
    if hunt.best is not None and not hunt.parts():
        hunt.reset(np.ones_like(hunt.whole))
        hunt.run()
    if hunt.best is None:
        if hunt.feasible:
            raise TimeoutError
        return None
    return Found(steps=np.round(hunt.best), proven=hunt.proven)


def extreme(form: Linear, row: Row | None, *, sign: float, whole: bool, seconds: float = 10.0) -> float | None:
    """The least (sign 1) or most (sign -1) a row can come to under every limit; None if they conflict.

    Without a row it only says, with 0, that the limits can be kept. Steps may be in parts unless `whole`.
    """
    program = _Program(form)
    cost = np.zeros(program.count)
    if row is not None:
        cost[program.steps] = sign * row.per_step
    answer = program.solve(
        cost,
        whole=np.ones(len(form.columns)) if whole else None,
        floors=np.zeros(4),
        ceilings=np.array([np.inf, np.inf, np.inf if form.most_salts is None else form.most_salts, np.inf]),
        totals=(np.zeros_like(form.group_most), form.group_most),
        seconds=seconds,
    )
    if answer.x is None:
        return None
    return 0.0 if row is None else row.constant + sign * float(answer.fun)


def relaxed(form: Linear, *, objective: str) -> tuple[float, float] | None:
    """The worst miss and the sum of misses if a step could be divided at will; None if limits conflict."""
    hunt = _Search(form, objective=objective, fine_enough=0.0, until=time.perf_counter() + 10.0)
    hunt.start(_STAGES[objective])
    return hunt.continuous
