"""The search itself: a mixed-integer program, solved in turn for the worst miss, their sum, kinds of salt, mass.

First comes what could be had if steps could be divided: no doses miss less, and doses near it are a good start.
Each stage then starts from the best doses known and asks HiGHS only for better ones, so that most stages end with
the proof that there are none. Where no wish much feels how a salt is divided between mash and sparge, only its
total is whole steps at first; the parts are made whole at the end, and should that cost anything, everything is
solved again with whole parts.
"""

from __future__ import annotations

import time
from functools import cached_property

import attrs
import numpy as np
from numpy.typing import NDArray

from gyle.decide.salt_descent import Descent
from gyle.decide.salt_matrix import DILUTION, Linear, Row
from gyle.decide.salt_program import KINDS, MEASURES, WORST, Answer, Program
from gyle.decide.salt_solver import INFEASIBLE, OPTIMAL

__all__ = ["BETTER", "Found", "extreme", "relaxed", "search"]

Array = NDArray[np.float64]
BETTER = 2e-5  # of a tolerance: doses must be better by this much to count as better
HAIR = 5e-6  # of a tolerance: what a stage may yield of an earlier one, for rounding's sake
_LESS = {"worst": BETTER, "sum": BETTER, "kinds": 0.5, "mass": 0.0}
DILUTED = (1.0, -1.0, 2.0, -2.0)  # steps
USED = 1e-6  # of a step: a salt of which there is more is used
NEARLY = 0.045  # of the mass: so near to the least is near enough, and quickly shown
PLACED = 0.003  # of the mass: more than it can change by where things go
_YIELD = {"worst": HAIR, "sum": HAIR, "kinds": 0.5}
_STAGES = {"worst first": MEASURES, "sum": MEASURES[1:]}


@attrs.frozen(kw_only=True, eq=False)
class Found:
    """The best steps, and whether it is proven that none are better."""

    steps: Array
    proven: bool


class _Search:
    """The stages of one problem, and the best steps so far."""

    def __init__(self, form: Linear, *, objective: str, until: float) -> None:
        self.form, self.objective, self.until = form, objective, until
        self.program, self.first = Program(form), MEASURES.index(_STAGES[objective][0])
        self.all = np.zeros_like(form.group_most), form.group_most
        self.kinds = np.inf if form.most_salts is None else float(form.most_salts)
        self.whole = form.felt_in_place.astype(np.float64)
        self.ceilings = np.array([np.inf, np.inf, self.kinds, np.inf])
        self.best: Array | None = None
        self.known: Array | None = None  # the best of which every part is whole
        self.bound = 0.0  # what the first measure cannot come below
        self.proven = self.feasible = True

    @cached_property
    def descent(self) -> Descent:
        """Small moves, made ready when first needed."""
        return Descent(self.form, objective=self.objective)

    def again(self) -> None:
        """Begin the stages anew, with every part whole, from the best of that sort; less cannot be missed so."""
        if self.best is not None and self.proven:
            self.bound = max(self.bound, self.measures(self.best)[self.first])
        self.whole = np.ones_like(self.whole)
        self.ceilings = np.array([np.inf, np.inf, self.kinds, np.inf])
        self.best, self.proven = self.known, True

    def measures(self, steps: Array) -> tuple[float, ...]:
        """The worst miss, their sum, kinds and mass."""
        off, form = self.form.misses(steps), self.form
        return float(off.max(initial=0.0)), float(off.sum()), float(form.kinds(steps)), float(form.mass @ steps)

    def solve(
        self, aim: str, ceilings: Array, *, whole: Array | None = None, totals: tuple[Array, Array] | None = None
    ) -> Answer:
        """The program's answer with what is known by now."""
        return self.program.solve(
            aim,
            whole=whole,
            ceilings=ceilings,
            totals=self.all if totals is None else totals,
            seconds=self.until - time.perf_counter(),
            gap=NEARLY if aim == "mass" else 0.0,
        )

    def used(self, steps: Array) -> NDArray[np.bool_]:
        """Which salts are used."""
        found: NDArray[np.bool_] = (self.form.group_matrix @ steps > USED) & self.form.group_is_salt
        return found

    def of_these(self, steps: Array) -> tuple[Array, Array]:
        """No other salts than are used in these steps."""
        return self.all[0], np.where(self.used(steps) | ~self.form.group_is_salt, self.all[1], 0.0)

    def divided(self, aim: str, ceilings: Array) -> Answer:
        """The least of a measure if steps could be divided at will; kinds count only if they prove too many."""
        answer = self.solve(aim, ceilings)
        if answer.steps is not None and self.used(answer.steps).sum() > self.kinds:
            limited = ceilings.copy()
            limited[KINDS] = self.kinds
            return self.solve(aim, limited)
        return answer

    def start(self) -> None:
        """Find the least the first measure can come to, and from there doses to begin with."""
        ceilings = np.full(4, np.inf)
        answer = self.divided(MEASURES[self.first], ceilings)
        if answer.steps is None:
            self.feasible = answer.status != INFEASIBLE
            return
        self.bound = answer.least if answer.status == OPTIMAL else 0.0
        self.polish(answer.steps)
        # The lightest doses that miss no more are few, and few doses round well.
        ceilings[self.first] = answer.least + HAIR
        totals = self.of_these(answer.steps) if np.isfinite(self.kinds) else None
        light = self.solve("mass", ceilings, totals=totals)
        if light.steps is not None:
            self.polish(light.steps)
        self.dilute()

    def dilute(self) -> None:
        """Try a little more and a little less of the second water, which moves everything else."""
        water, more = len(self.form.columns) - 1, self.form.columns[-1].kind == DILUTION
        while more and self.best is not None and self.measures(self.best)[self.first] > self.bound + BETTER:
            at = self.best
            for change in DILUTED:
                near = self.descent.shifted(at, water, change)
                if near is not None:
                    self.polish(near)
            more = self.measures(self.best)[self.first] < self.measures(at)[self.first] - BETTER

    def polish(self, start: Array, *, lighter: bool = False) -> None:
        """Go downhill from steps, made whole; keep what is better than the best and keeps what is settled."""
        near = self.descent.down(np.round(start), lighter=lighter)
        if near is None:
            return
        reached = self.measures(near)
        if self.known is None or reached < self.measures(self.known):
            self.known = near
        if np.all(reached <= self.ceilings) and (self.best is None or reached < self.measures(self.best)):
            self.best = near

    def stage(self, aim: str, bound: float) -> None:
        """Better the best by one measure, or prove that it cannot be."""
        place, ceilings, totals = MEASURES.index(aim), self.ceilings.copy(), None
        if self.best is not None:
            if aim == "mass":
                self.polish(self.best, lighter=True)
            reached = self.measures(self.best)[place]
            less = NEARLY * reached if aim == "mass" else _LESS[aim]
            if reached <= bound + less:
                self.settle(aim)
                return
            ceilings[place] = min(ceilings[place], reached - less)
            if aim == "mass":  # of the salts that were settled on
                totals, ceilings[KINDS] = self.of_these(self.best), np.inf
        answer = self.solve(aim, ceilings, whole=self.whole, totals=totals)
        if answer.steps is not None:
            self.best = answer.steps
            self.proven &= answer.status == OPTIMAL
        else:
            self.proven &= answer.status == INFEASIBLE
            self.feasible &= self.best is not None or answer.status != INFEASIBLE
        if self.best is not None:
            self.settle(aim)
            if answer.steps is not None:
                self.polish(self.best, lighter=aim == "mass")

    def settle(self, aim: str) -> None:
        """Let nothing that comes after be worse by this measure."""
        assert self.best is not None
        reached = self.measures(self.best)[MEASURES.index(aim)]
        self.ceilings[MEASURES.index(aim)] = reached + (PLACED * reached if aim == "mass" else _YIELD[aim])

    def parts(self) -> bool:
        """Make the parts whole too, the totals staying; whether nothing is lost by it."""
        assert self.best is not None
        if np.all(self.best == np.round(self.best)):
            return True
        asked = np.round(self.form.group_matrix @ self.best)
        ceilings = self.ceilings.copy()
        ceilings[KINDS] = np.inf  # the totals say which are used
        answer = self.solve("mass", ceilings, whole=np.ones_like(self.whole), totals=(asked, asked))
        if answer.steps is None:
            return False
        self.best = answer.steps
        self.polish(self.best, lighter=True)
        return True

    def run(self) -> None:
        """All stages in turn."""
        bound = self.bound
        for aim in _STAGES[self.objective]:
            if self.feasible:
                self.stage(aim, bound)
            if self.best is None:
                return
            # The sum is no less than the worst of it; nothing is known of kinds and mass.
            bound = self.measures(self.best)[WORST] if aim == "worst" and self.proven else 0.0


def search(form: Linear, *, objective: str, fine_enough: float, time_limit_s: float) -> Found | None:
    """The best whole steps; None if nothing keeps every limit.

    Parameters
    ----------
    form : Linear
        The problem in rows and columns.
    objective : str
        "worst first" or "sum".
    fine_enough : float
        Misses count by what they are beyond this, in tolerances.
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
    hunt = _Search(form.with_room(fine_enough), objective=objective, until=until)
    hunt.start()
    hunt.run()
    if hunt.best is not None and not hunt.parts():
        hunt.again()
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
    answer = Program(form).solve(
        "cost",
        whole=np.ones(len(form.columns)) if whole else None,
        ceilings=np.array([np.inf, np.inf, np.inf if form.most_salts is None else form.most_salts, np.inf]),
        totals=(np.zeros_like(form.group_most), form.group_most),
        seconds=seconds,
        cost=np.zeros(len(form.columns)) if row is None else sign * row.per_step,
    )
    if answer.steps is None:
        return None
    return 0.0 if row is None else row.constant + sign * answer.least


def relaxed(form: Linear, *, objective: str) -> Array | None:
    """The misses if a step could be divided at will; None if limits conflict."""
    hunt = _Search(form, objective=objective, until=time.perf_counter() + 10.0)
    ceilings, found = np.full(4, np.inf), None
    for aim in (aim for aim in _STAGES[objective] if aim in ("worst", "sum")):
        answer = hunt.divided(aim, ceilings)
        if answer.steps is None:
            break
        found = form.misses(answer.steps)
        ceilings[MEASURES.index(aim)] = answer.least + HAIR
    return found
