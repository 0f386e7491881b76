"""When limits cannot all be kept: which of them stand against each other, and how far one can go."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

import attrs

from gyle.decide.salt_matrix import BALANCE, Row, linear
from gyle.decide.salt_problem import Problem
from gyle.decide.salt_search import extreme
from gyle.decide.salt_words import amount_words, kinds_words, limit_words, listed, most_words, place_words

__all__ = ["Given", "conflict", "givens"]

FREE = 1e3  # times what may be used at most: as good as no limit
Easing = Callable[[Problem], Problem]


@attrs.frozen(kw_only=True, eq=False)
class Given:
    """One thing that must be kept, in words, how to do without it, and its row and side if it has one."""

    words: str
    eased: Easing
    row: Row | None = None
    side: str = ""


def _side(number: int, side: str, open_end: float) -> Easing:
    def eased(problem: Problem) -> Problem:
        limits = list(problem.limits)
        limit = limits[number]
        low, high = (open_end, limit.high) if side == "low" else (limit.low, open_end)
        limits[number] = attrs.evolve(limit, low=low, high=high)
        return attrs.evolve(problem, limits=tuple(limits))

    return eased


def _more(kind: str, name: str) -> Easing:
    def eased(problem: Problem) -> Problem:
        if kind == "salt":
            salts = (attrs.evolve(x, most_units=FREE * x.most_units) if x.name == name else x for x in problem.salts)
            return attrs.evolve(problem, salts=tuple(salts))
        if kind == "acid":
            acids = (attrs.evolve(x, most_mL=FREE * x.most_mL) if x.name == name else x for x in problem.acids)
            return attrs.evolve(problem, acids=tuple(acids))
        assert problem.dilution is not None
        return attrs.evolve(problem, dilution=attrs.evolve(problem.dilution, most_share=1.0))

    return eased


def _ratio_side(side: str) -> Easing:
    def eased(problem: Problem) -> Problem:
        assert problem.ratio is not None
        low, high = (0.0, problem.ratio.high) if side == "low" else (problem.ratio.low, math.inf)
        return attrs.evolve(problem, ratio=attrs.evolve(problem.ratio, low=low, high=high))

    return eased


def _any_mash(problem: Problem) -> Problem:
    assert problem.mash is not None
    return attrs.evolve(problem, mash=attrs.evolve(problem.mash, slack_mEq=math.inf))


def givens(problem: Problem) -> Iterator[Given]:
    """Everything that must be kept, what a brewer would sooner give up last."""
    form = linear(problem)
    if problem.most_salts is not None:
        yield Given(words=kinds_words(problem.most_salts), eased=lambda given: attrs.evolve(given, most_salts=None))
    for kind, name in form.group_names:
        if kind != "dilution" or (problem.dilution is not None and problem.dilution.most_share < 1.0):
            yield Given(words=most_words(problem, kind, name), eased=_more(kind, name))
    if problem.ratio is not None and problem.ratio.must:
        for side in ("low", "high"):
            end = problem.ratio.low if side == "low" else problem.ratio.high
            if 0.0 < end < math.inf:
                how = "least" if side == "low" else "most"
                yield Given(words=f"a sulfate-to-chloride ratio of at {how} {end:g}", eased=_ratio_side(side))
    there = [number for number, limit in enumerate(problem.limits) if problem.volumes.at_L(limit.at) > 0.0]
    for number, row in zip(there, form.limits, strict=False):
        for side, end, open_end in (("low", row.low, -math.inf), ("high", row.high, math.inf)):
            if math.isfinite(end):
                eased = _side(number, side, open_end)
                yield Given(words=limit_words(row, side), eased=eased, row=row, side=side)
    if problem.mash is not None:
        row = next(row for row in form.limits if row.what == BALANCE)
        yield Given(words=limit_words(row, ""), eased=_any_mash, row=row)


def _can(problem: Problem, *, whole: bool) -> bool:
    return extreme(linear(problem), None, sign=1.0, whole=whole) is not None


def conflict(problem: Problem) -> str:
    """Why a problem has no solution.

    Parameters
    ----------
    problem : Problem
        One that has been checked, and whose limits cannot all be kept.

    Returns
    -------
    str
        A sentence that names limits of which none can be left out, and how near the first can be come to.
    """
    whole, left, eased = _can(problem, whole=False), [], problem
    for given in givens(problem):
        without = given.eased(eased)
        if _can(without, whole=whole):
            left.append(given)
        else:
            eased = without
    left.reverse()
    named = [given.words for given in left]
    doses = "doses in whole steps of the scale" if whole else "doses"
    reach = next((sentence for given in left if (sentence := _reach(eased, given, whole=whole))), "")
    if len(named) == 1 and not whole:
        return f"{named[0]} cannot be had with what is at hand{reach}"
    return f"no {doses} keep {listed(named)}{' at once' if len(named) > 1 else ''}{reach}"


def _reach(problem: Problem, given: Given, *, whole: bool) -> str:
    """How near a limit can be come to when it alone is given up."""
    if (row := given.row) is None:
        return ""
    free = linear(given.eased(problem))
    if row.what == BALANCE:
        over = extreme(free, row, sign=1.0, whole=whole)
        if over is not None and over > row.high:
            return f"; the mash stays {over:.3g} mEq on the alkaline side of it"
        under = extreme(free, row, sign=-1.0, whole=whole)
        return "" if under is None else f"; the mash stays {-under:.3g} mEq on the acid side of it"
    end = extreme(free, row, sign=-1.0 if given.side == "low" else 1.0, whole=whole)
    if end is None:
        return ""
    how = "most" if given.side == "low" else "least"
    return f"; {amount_words(end, row.what)} of {row.what} is the {how}{place_words(row.at)} that can be had"
