"""What keeps a treated water from coming nearer: each bound, where it comes from, and what one could do about it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import attrs

from gyle.decide.salt_conflict import givens
from gyle.decide.salt_matrix import linear
from gyle.decide.salt_words import kinds_words, most_words
from gyle.decide.salts import STEPS
from gyle.decide.treatment_problem import CEILING
from gyle.share.sentences import as_sentence, joined
from gyle.share.water_names import called, mineral_held

if TYPE_CHECKING:
    from gyle.decide.salt_matrix import Row
    from gyle.decide.water_work import WaterWork

__all__ = ["Bound", "bound_of"]

_OF_ACIDS = {"lactate": "lactic acid", "citrate": "citric acid"}


@attrs.frozen(kw_only=True)
class Bound:
    """One bound in a brewer's words.

    Parameters
    ----------
    why : str
        What it is and where it comes from, a sentence; "" where it is told elsewhere.
    helps : str
        What one could do about it, to be followed by what would come of that.
    then : str
        What stands before what would come of it.
    """

    why: str
    helps: str
    then: str = ""


def bound_of(work: WaterWork, words: str) -> Bound:
    """Return what a bound is, by the words under which the doses name it.

    Parameters
    ----------
    work : WaterWork
        With a treatment.
    words : str
        As `Binding.what` has them.
    """
    assert work.treatment is not None
    problem = work.treatment.problem
    if words == STEPS:
        return Bound(why=f"The scale shows steps of {work.treatment.shelf.step_g:g} g.", helps="A finer scale")
    if problem.most_salts is not None and words == kinds_words(problem.most_salts):
        return Bound(why=as_sentence(f"there may be {words}"), helps="One kind of salt more")
    for kind, name in linear(problem).group_names:
        if words == most_words(problem, kind, name):
            # As much of the second water as comes near is no bound of anybody's.
            return Bound(why="", helps=f"More {work.pure_name} water") if kind == "dilution" else _dosed(work, name)
    row = next((given.row for given in givens(problem) if given.words == words and given.row is not None), None)
    return Bound(why=as_sentence(words), helps=f"Without {words}") if row is None else _held_down(work, row)


def _dosed(work: WaterWork, name: str) -> Bound:
    """The most of a salt or an acid."""
    assert work.treatment is not None
    problem = work.treatment.problem
    most = {salt.name: f"{salt.most_units:g} {salt.unit}" for salt in problem.salts}
    most |= {acid.name: f"{acid.most_mL:g} mL" for acid in problem.acids}
    spoken, beside = called(work, name), _unasked(work, name)
    if beside:
        return Bound(
            why=as_sentence(f"{spoken} is kept to {most[name]}: it brings {joined(beside)} too, which nobody asks for"),
            helps=f"Wish for some {joined(beside)}, and there is room for more {spoken}",
        )
    return Bound(
        why=as_sentence(f"{spoken} is kept to {most[name]}, the most that is usual in so much liquor"),
        helps=f"More {spoken} than is usual",
    )


def _unasked(work: WaterWork, name: str) -> list[str]:
    """What a salt brings that nobody asks for, where it is kept to little for its sake."""
    assert work.treatment is not None
    mineral = mineral_held(work, name)
    if mineral is None or name not in work.treatment.shelf.most_per_L:
        return []
    asked = {*work.treatment.wanted.moved, "calcium"}
    return [ion for ion in mineral.ions_mg_per_unit() if ion not in asked]


def _held_down(work: WaterWork, row: Row) -> Bound:
    """The most of an ion, or of what an acid leaves."""
    ions, most = row.what.replace(" + ", " and "), f"{row.high:.0f} mg/L"
    if row.what in _OF_ACIDS:
        return Bound(
            why=as_sentence(f"{_OF_ACIDS[row.what]} is kept to {most} of {ions} in the liquor: more of it is tasted"),
            helps="Another acid, such as phosphoric, which leaves no such taste",
            then="without that limit ",
        )
    helps = f"Allow more {ions}, by a range or a greater amount"
    if row.what not in CEILING:
        return Bound(why=as_sentence(f"{ions} together are kept to {most}: more of them is tasted"), helps=helps)
    if math.isclose(row.high, work.source.mg_L(row.what)):
        where = f"the {most} the water has as it comes"
    elif math.isclose(row.high, CEILING[row.what]):
        where = f"{most}: more of it is tasted"
    else:
        where = f"{most}, so that salts do not do the work of the acid"
    return Bound(why=as_sentence(f"{ions} is kept to {where}"), helps=helps)
