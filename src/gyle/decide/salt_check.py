"""What is wrong with a question about salts, one sentence for each fault; and whether its charges can balance."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

import attrs
import numpy as np
from numpy.typing import NDArray

from gyle.decide.salt_matrix import charge_row, linear
from gyle.decide.salt_problem import PLACES, WHOLE, Acid, CHARGE_mEq_mg, Limit, Problem, Salt, Water, Wish
from gyle.decide.salt_search import extreme
from gyle.decide.salt_words import amount_words, listed
from gyle.errors import BadInput

__all__ = ["LARGEST_GAP_mEq_L", "charge_gap", "check"]

Array = NDArray[np.float64]
LARGEST_GAP_mEq_L = 0.5
NEUTRAL_WITHIN = 0.01  # of what a salt's cations carry; purity and rounded tables stay inside
_BROUGHT = {ion for ion, charge in CHARGE_mEq_mg.items() if charge == 0.0}


def check(problem: Problem) -> None:
    """Refuse a problem that means nothing.

    Parameters
    ----------
    problem : Problem
        As asked.

    Raises
    ------
    BadInput
        With a sentence for every fault found.
    """
    faults = [*_volumes(problem), *_waters(problem), *_salts(problem), *_acids(problem), *_at_hand(problem)]
    faults += [*_wishes(problem), *_limits(problem), *_ratio(problem), *_mash(problem)]
    if faults:
        raise BadInput(faults)


def _negative(value: float) -> bool:
    return not (math.isfinite(value) and value >= 0.0)


def _not_above_nought(value: float) -> bool:
    return not (math.isfinite(value) and value > 0.0)


def _volumes(problem: Problem) -> Iterator[str]:
    volumes = problem.volumes
    if _not_above_nought(volumes.mash_L):
        yield f"the mash liquor of {volumes.mash_L:g} L is not a volume above nought"
    for place, litres in (("sparge", volumes.sparge_L), ("kettle", volumes.kettle_L)):
        if _negative(litres):
            yield f"the {place} liquor of {litres:g} L is not a volume; where there is none, say 0"


def _unknown(ions: Mapping[str, float], whose: str) -> Iterator[str]:
    for ion, amount in ions.items():
        if ion not in CHARGE_mEq_mg:
            yield f"{whose} states {ion}, which is none of {', '.join(CHARGE_mEq_mg)}"
        elif _negative(amount):
            yield f"{whose} states {amount:g} mg of {ion}; it would be nought or more"


def _waters(problem: Problem) -> Iterator[str]:
    waters: list[tuple[str, Water]] = [("the source water", problem.source)]
    if (second := problem.dilution) is not None:
        waters.append(("the second water", second.water))
        if _not_above_nought(second.step_share) or second.step_share > 1.0:
            yield f"the step of dilution, {second.step_share:g}, is not a share between 0 and 1"
        if _negative(second.most_share) or second.most_share > 1.0:
            yield f"the most dilution, {second.most_share:g}, is not a share from 0 to 1"
    asked = {wish.what for wish in problem.wishes} | {what for limit in problem.limits for what in limit.what}
    asked |= {"sulfate", "chloride"} if problem.ratio is not None else set()
    for whose, water in waters:
        yield from _unknown(water.ions_mg_L, whose)
        if not math.isfinite(water.alkalinity_mEq_L):
            yield f"{whose} has an alkalinity of {water.alkalinity_mEq_L:g} mEq/L, which is not a number"
        for ion in (ion for ion in CHARGE_mEq_mg if ion in asked and ion not in water.ions_mg_L):
            if ion not in _BROUGHT:
                yield f"{whose} states no {ion}, which is asked for; say 0 if it has none"


def _places(thing: Salt | Acid) -> Iterator[str]:
    for place in thing.places:
        if place not in PLACES:
            yield f"{thing.name} may go into {place}, which is none of {', '.join(PLACES)}"


def _salts(problem: Problem) -> Iterator[str]:
    for salt in problem.salts:
        yield from _unknown(salt.ions_mg_per_unit, salt.name)
        yield from _places(salt)
        if salt.unit not in ("g", "mL"):
            yield f"{salt.name} is dosed in {salt.unit}, which is neither g nor mL"
        if _not_above_nought(salt.step_units):
            yield f"the step of {salt.name}, {salt.step_units:g} {salt.unit}, is not above nought"
        if _negative(salt.most_units):
            yield f"the most {salt.name}, {salt.most_units:g} {salt.unit}, is not an amount"
        charges = [CHARGE_mEq_mg.get(ion, 0.0) * amount for ion, amount in salt.ions_mg_per_unit.items()]
        over = sum(charges) - salt.alkalinity_mEq_per_unit
        if not abs(over) <= NEUTRAL_WITHIN * sum(charge for charge in charges if charge > 0.0):
            yield (
                f"{salt.name} brings {over:+.3g} mEq of charge with each {salt.unit}, but a salt brings none: "
                "look at its ions and its alkalinity"
            )


def _acids(problem: Problem) -> Iterator[str]:
    for acid in problem.acids:
        yield from _unknown(acid.brings_mg_per_mL, acid.name)
        yield from _places(acid)
        if _not_above_nought(acid.mEq_per_mL):
            yield f"{acid.name} has a strength of {acid.mEq_per_mL:g} mEq/mL, which is not above nought"
        if _not_above_nought(acid.step_mL):
            yield f"the step of {acid.name}, {acid.step_mL:g} mL, is not above nought"
        if _negative(acid.most_mL):
            yield f"the most {acid.name}, {acid.most_mL:g} mL, is not an amount"


def _at_hand(problem: Problem) -> Iterator[str]:
    if not problem.salts and not problem.acids and problem.dilution is None:
        yield "there is nothing to dose: no salt, no acid and no second water is at hand"
    at_hand: tuple[Salt | Acid, ...] = (*problem.salts, *problem.acids)
    there = [place for place in PLACES if place != "sparge" or problem.volumes.sparge_L > 0.0]
    if at_hand and problem.dilution is None and not any(set(thing.places) & set(there) for thing in at_hand):
        yield "nothing that is at hand may go into a liquor that there is"
    names = [thing.name for thing in at_hand]
    for name in sorted({name for name in names if names.count(name) > 1}):
        yield f"{name} is at hand twice; give each a name of its own"
    if problem.most_salts is not None and problem.most_salts < 0:
        yield f"the most kinds of salt, {problem.most_salts}, is not a number from 0 on"


def _asked(what: str) -> Iterator[str]:
    if what == "bicarbonate":
        yield "bicarbonate is asked for as alkalinity: 61 mg/L of it are 1 mEq/L"
    elif what != "alkalinity" and what not in CHARGE_mEq_mg:
        yield f"{what} is asked for, which is neither alkalinity nor one of {', '.join(CHARGE_mEq_mg)}"


def _where(what: str, at: str) -> Iterator[str]:
    if at not in (WHOLE, *PLACES):
        yield f"{what} is asked for in {at}, which is none of {', '.join((WHOLE, *PLACES))}"


def _band(what: str, low: float, high: float) -> Iterator[str]:
    if math.isnan(low) or math.isnan(high) or low > high or low == math.inf or high == -math.inf:
        yield f"{what} is asked for from {low:g} to {high:g}, which is no range"
    elif what != "alkalinity" and high < 0.0:
        yield f"{what} is asked for at {high:g} mg/L; it would be nought or more"


def _weights(what: str, tolerance: float, weight: float) -> Iterator[str]:
    if _not_above_nought(tolerance):
        yield f"the tolerance of {what}, {tolerance:g}, is not above nought"
    if _not_above_nought(weight):
        yield f"the weight of {what}, {weight:g}, is not above nought"


def _wishes(problem: Problem) -> Iterator[str]:
    if not problem.wishes:
        yield "no amount is wanted: say at least one ion and how much of it"
    seen = set()
    for wish in problem.wishes:
        yield from (*_asked(wish.what), *_where(wish.what, wish.at), *_band(wish.what, wish.low, wish.high))
        yield from _weights(wish.what, wish.tolerance, wish.weight)
        if (wish.what, wish.at) in seen:
            yield f"{wish.what} is wanted twice in the same liquor"
        seen.add((wish.what, wish.at))


def _limits(problem: Problem) -> Iterator[str]:
    for limit in problem.limits:
        if not limit.what:
            yield "a limit names no ion"
        for what in limit.what:
            yield from (*_asked(what), *_where(what, limit.at), *_band(what, limit.low, limit.high))


def _ratio(problem: Problem) -> Iterator[str]:
    if (ratio := problem.ratio) is not None:
        if not (0.0 <= ratio.low <= ratio.high and math.isfinite(ratio.low) and ratio.high > 0.0):
            yield f"the sulfate-to-chloride ratio from {ratio.low:g} to {ratio.high:g} is no range of ratios"
        yield from _weights("the sulfate-to-chloride ratio", ratio.tolerance_mg_L, ratio.weight)


def _mash(problem: Problem) -> Iterator[str]:
    if (mash := problem.mash) is None:
        return
    if not all(math.isfinite(x) for x in (mash.start_mEq, mash.dilution_mEq, *mash.per_unit_mEq.values())):
        yield "the mash's proton balance holds something that is not a number"
    if math.isnan(mash.slack_mEq) or mash.slack_mEq < 0.0:
        yield f"the slack of the mash's proton balance, {mash.slack_mEq:g} mEq, is not an amount"
    if mash.tolerance_mEq is not None:
        yield from _weights("the mash's proton balance", mash.tolerance_mEq, mash.weight)
    at_hand: tuple[Salt | Acid, ...] = (*problem.salts, *problem.acids)
    stated = {thing.name for thing in at_hand}
    mashed = [thing.name for thing in at_hand if "mash" in thing.places]
    for name in (name for name in mashed if name not in mash.per_unit_mEq):
        yield f"the mash's proton balance does not say what {name} does; say 0 if nothing"
    for name in (name for name in mash.per_unit_mEq if name not in stated):
        yield f"the mash's proton balance speaks of {name}, which is not at hand"


def charge_gap(problem: Problem, steps: Array | None = None) -> str:
    """Why the wanted amounts cannot be had together, if their charges say so; else nothing.

    Parameters
    ----------
    problem : Problem
        One that has been checked.
    steps : ndarray or None
        Doses that keep every limit; where these come near enough to the wanted charge, nothing more is asked.

    Returns
    -------
    str
        A sentence that names the gap, or the empty string. The charge of the wanted ions, less the wanted
        alkalinity, is one sum over all doses; it is set against the least and the most that sum can come to.
    """
    row = charge_row(problem)
    if steps is not None:
        got = row.value(steps)
        if row.low - LARGEST_GAP_mEq_L <= got <= row.high + LARGEST_GAP_mEq_L:
            return ""
    # An ion that is asked for may be overdone by its tolerance and no more: else soda would balance anything.
    ions = [wish for wish in problem.wishes if wish.at == WHOLE and wish.what != "alkalinity"]
    bounds = tuple(
        Limit(what=wish.what, high=max(wish.high + wish.tolerance, problem.source.ions_mg_L.get(wish.what, 0.0)))
        for wish in ions
        if math.isfinite(wish.low)
    )
    form = linear(attrs.evolve(problem, limits=bounds, ratio=None, most_salts=None))
    least, most = (extreme(form, row, sign=sign, whole=False) for sign in (1.0, -1.0))
    if least is None or most is None:
        return ""
    if row.low - most > LARGEST_GAP_mEq_L:
        gap, more = row.low - most, "positive"
    elif least - row.high > LARGEST_GAP_mEq_L:
        gap, more = least - row.high, "negative"
    else:
        return ""
    wishes = [wish for wish in problem.wishes if wish.at == WHOLE and math.isfinite(wish.low)]
    return (
        f"these amounts cannot be had together: {listed([_wanted(wish) for wish in wishes])} carry {gap:.2f} mEq/L "
        f"more {more} charge than what is at hand can balance, so at least one of them must be missed"
    )


def _wanted(wish: Wish) -> str:
    if math.isinf(wish.high):
        return f"{wish.what} at least {amount_words(wish.low, wish.what)}"
    if wish.low == wish.high:
        return f"{wish.what} {amount_words(wish.low, wish.what)}"
    return f"{wish.what} {wish.low:.3g} to {amount_words(wish.high, wish.what)}"
