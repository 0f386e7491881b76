"""Salts, acid and dilution for a wanted water, in doses a scale can weigh, with the proof that none do better.

The misses come first: the worst of them, in tolerances, is made as small as it can be, then their sum; then the
fewest kinds of salt, and of the salts settled on the least mass, to within a twentieth. A miss counts only by what
it is beyond `fine_enough`: a tenth of a tolerance is a milligram or two in a litre, less than a salt's purity is
known to.
"""

from __future__ import annotations

import attrs
import numpy as np
from numpy.typing import NDArray

from gyle.decide.salt_check import charge_gap, check
from gyle.decide.salt_conflict import conflict, givens
from gyle.decide.salt_matrix import BALANCE, DILUTION, Linear, linear, waters
from gyle.decide.salt_problem import Choice, Dose, Miss, Problem
from gyle.decide.salt_search import relaxed, search
from gyle.decide.salt_words import kinds_words, limit_words, most_words
from gyle.errors import BadInput, GyleError, Infeasible

__all__ = [
    "FINE_ENOUGH",
    "OBJECTIVES",
    "STEPS",
    "Binding",
    "Without",
    "best_doses",
    "left_out",
    "what_binds",
    "without_each",
]

Array = NDArray[np.float64]
FINE_ENOUGH = 0.1
OBJECTIVES = ("worst first", "sum")
TIME_LIMIT_s = 10.0
STEPS = "whole steps of the scale"


@attrs.frozen(kw_only=True)
class Binding:
    """Something that keeps the misses from being smaller, and what they would be without it, in tolerances."""

    what: str
    worst_miss: float
    sum_of_misses: float


@attrs.frozen(kw_only=True)
class Without:
    """The next best without one salt: a choice, or the sentence why there is none."""

    what: str
    choice: Choice | None
    refusal: str = ""


def best_doses(
    problem: Problem,
    *,
    objective: str = "worst first",
    fine_enough: float = FINE_ENOUGH,
    time_limit_s: float = TIME_LIMIT_s,
) -> Choice:
    """The doses that come nearest to the wanted amounts and keep every limit.

    Parameters
    ----------
    problem : Problem
        Waters, volumes, wishes and limits, and what is at hand.
    objective : str
        "worst first": the worst miss, then the sum of misses; "sum": the sum alone.
    fine_enough : float
        Misses count by what they are beyond this [tolerances]; 0 goes to the last step.
    time_limit_s : float
        After this the best so far is taken, and said not to be proven.

    Returns
    -------
    Choice
        The doses, what comes of them, and what leaves no room.

    Raises
    ------
    BadInput
        If the problem means nothing; with a sentence for each fault.
    Infeasible
        If the limits cannot all be kept; names those that stand against each other.
    """
    if objective not in OBJECTIVES:
        raise BadInput(f"the objective {objective} is none of {', '.join(OBJECTIVES)}")
    if not (np.isfinite(fine_enough) and fine_enough >= 0.0 and time_limit_s > 0.0):
        raise BadInput(f"fine enough at {fine_enough:g} tolerances in {time_limit_s:g} s is no aim")
    check(problem)
    form = linear(problem)
    if not form.wishes:
        raise BadInput("no amount is wanted of a liquor that there is")
    try:
        found = search(form, objective=objective, fine_enough=fine_enough, time_limit_s=time_limit_s)
    except TimeoutError:
        raise Infeasible(f"no doses that keep every limit were found in {time_limit_s:g} s") from None
    if found is None:
        raise Infeasible(conflict(problem))
    return _choice(problem, form, found.steps, proven=found.proven)


def _choice(problem: Problem, form: Linear, steps: Array, *, proven: bool) -> Choice:
    units = {salt.name: salt.unit for salt in problem.salts}
    names = [salt.name for salt in problem.salts] + [acid.name for acid in problem.acids]
    share, doses = 0.0, []
    for column, count in zip(form.columns, steps, strict=True):
        amount = round(float(count) * column.step, 9)
        if column.kind == DILUTION:
            share = amount
        elif count > 0.0:
            unit = units.get(column.name, "mL")
            doses.append(Dose(what=column.name, kind=column.kind, into=column.place, amount=amount, unit=unit))
    doses.sort(key=lambda dose: (("mash", "sparge", "kettle").index(dose.into), names.index(dose.what)))
    off = form.misses(steps)
    misses = [
        Miss(what=row.what, at=row.at, low=row.low, high=row.high, got=row.value(steps), scaled=float(miss))
        for row, miss in zip(form.wishes, off, strict=True)
    ]
    balance = next((row.value(steps) for row in form.limits if row.what == BALANCE), None)
    return Choice(
        doses=tuple(doses),
        dilution_share=share,
        waters=waters(problem, steps),
        misses=tuple(misses),
        worst_miss=float(off.max()),
        sum_of_misses=float(off.sum()),
        mash_balance_mEq=balance,
        proven=proven,
        at_limits=_at_limits(problem, form, steps),
        charge_gap=charge_gap(problem, steps),
    )


def _at_limits(problem: Problem, form: Linear, steps: Array) -> tuple[str, ...]:
    """What leaves no room for another step."""
    found: list[str] = []
    for row in form.limits:
        moving = np.abs(row.per_step[row.per_step != 0.0])
        step = float(moving.min(initial=np.inf)) if moving.size else 0.0
        value = row.value(steps)
        found.extend(
            limit_words(row, side) for side, end in (("low", row.low), ("high", row.high)) if abs(end - value) < step
        )
    used = form.group_matrix @ steps
    for (kind, name), most, amount in zip(form.group_names, form.group_most, used, strict=True):
        whole_share = kind == DILUTION and problem.dilution is not None and problem.dilution.most_share >= 1.0
        if amount >= most and not whole_share:
            found.append(most_words(problem, kind, name))
    if form.most_salts is not None and form.most_salts == form.kinds(steps) < int(form.group_is_salt.sum()):
        found.append(kinds_words(form.most_salts))
    return tuple(dict.fromkeys(found))


def what_binds(problem: Problem, choice: Choice, *, objective: str = "worst first") -> tuple[Binding, ...]:
    """What would let the misses be smaller if it were given up: each limit in turn, and the scale's steps.

    Parameters
    ----------
    problem : Problem
        The problem.
    choice : Choice
        Its best doses.
    objective : str
        As in `best_doses`.

    Returns
    -------
    tuple of Binding
        Those whose loss would lessen the worst miss or, at an equal worst, the sum; each found by solving again.
    """
    found, off = [], np.array([miss.scaled for miss in choice.misses])
    if (free := relaxed(linear(problem), objective=objective)) is not None and _smaller(free, off, objective):
        found.append(Binding(what=STEPS, worst_miss=float(free.max()), sum_of_misses=float(free.sum())))
    for given in givens(problem):
        if given.words in choice.at_limits:
            again = best_doses(given.eased(problem), objective=objective)
            if _smaller(np.array([miss.scaled for miss in again.misses]), off, objective):
                found.append(Binding(what=given.words, worst_miss=again.worst_miss, sum_of_misses=again.sum_of_misses))
    return tuple(found)


def _smaller(these: Array, those: Array, objective: str) -> bool:
    """Whether misses are less than others by more than is fine enough, counted beyond it."""
    worst = max(those.max(), FINE_ENOUGH) - max(these.max(), FINE_ENOUGH)
    total = float(np.maximum(those, FINE_ENOUGH).sum() - np.maximum(these, FINE_ENOUGH).sum())
    if objective == "sum":
        return total > FINE_ENOUGH
    return bool(worst > FINE_ENOUGH or (worst > -FINE_ENOUGH and total > FINE_ENOUGH))


def left_out(problem: Problem, name: str) -> Problem:
    """The problem with one salt less at hand."""
    mash = problem.mash
    if mash is not None:
        rest = {key: change for key, change in mash.per_unit_mEq.items() if key != name}
        mash = attrs.evolve(mash, per_unit_mEq=rest)
    return attrs.evolve(problem, salts=tuple(salt for salt in problem.salts if salt.name != name), mash=mash)


def without_each(
    problem: Problem, choice: Choice, *, objective: str = "worst first", fine_enough: float = FINE_ENOUGH
) -> tuple[Without, ...]:
    """The next best without each of the salts used, one at a time.

    Parameters
    ----------
    problem : Problem
        The problem.
    choice : Choice
        Its best doses.
    objective, fine_enough
        As in `best_doses`.

    Returns
    -------
    tuple of Without
        In the order the salts are used.
    """
    found = []
    for name in choice.salts_used:
        try:
            again = best_doses(left_out(problem, name), objective=objective, fine_enough=fine_enough)
            found.append(Without(what=name, choice=again))
        except GyleError as fault:
            found.append(Without(what=name, choice=None, refusal=str(fault)))
    return tuple(found)
