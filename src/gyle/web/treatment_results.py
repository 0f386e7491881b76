"""Treatments worked out for a page; the last few are kept, since putting one into a recipe asks for it again."""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING

import attrs

from gyle.errors import GyleError
from gyle.share.sentences import faults_of
from gyle.web.last_few import LastFew

if TYPE_CHECKING:
    from gyle.beer.brewhouse import Brewhouse
    from gyle.beer.recipe import Recipe
    from gyle.decide.plan import Plan
    from gyle.decide.water_work import WaterWork
    from gyle.web.treatment_wish import Wish

__all__ = ["KEPT", "Treated", "treated", "untreated"]

KEPT = 4  # some ten megabytes each
_found: LastFew[tuple[str, ...], Treated] = LastFew(KEPT)
_solving = threading.Lock()


@attrs.frozen(kw_only=True, eq=False)
class Treated:
    """What came of a wish.

    Parameters
    ----------
    wish : Wish
        What was asked.
    recipe : Recipe
        The beer without whatever treated its water before.
    work : WaterWork or None
        The doses and what comes of them, None where it is refused.
    before : Plan or None
        The same beer with this water as it comes.
    refused : tuple of str
        Why there are none.
    supposed : tuple of str
        What was taken for granted about the brewhouse.
    replaced : tuple of str
        What the recipe itself doses into its liquor, whose place these doses take.
    """

    wish: Wish
    recipe: Recipe
    work: WaterWork | None
    before: Plan | None = None
    refused: tuple[str, ...] = ()
    supposed: tuple[str, ...] = ()
    replaced: tuple[str, ...] = ()


def treated(wish: Wish) -> Treated:
    """Return what comes of a wish; it takes a second or two where it is asked for the first time."""
    if (known := _found.get(wish.key)) is not None:
        return known
    with _solving:  # one at a time: it keeps a processor busy, and the same wish may come twice at once
        if (known := _found.get(wish.key)) is not None:
            return known
        return _found.put(wish.key, _worked(wish))


def _worked(wish: Wish) -> Treated:
    from gyle.decide.origin import origin_of, with_habit
    from gyle.decide.treatment_changes import without_treatment
    from gyle.decide.water_work import water_work

    recipe, gone = without_treatment(wish.recipe)
    try:
        house, supposed = origin_of(recipe)
        house = with_habit(house)
        before = untreated(recipe, house, wish)
        work = water_work(wish.report, recipe, house, shelf=wish.shelf, dilute=wish.dilute)
    except GyleError as error:
        return Treated(wish=wish, recipe=recipe, work=None, refused=faults_of(error))
    replaced = tuple(f"{change.what} {change.before}" for change in gone)
    return Treated(wish=wish, recipe=recipe, work=work, before=before.slim(), supposed=supposed, replaced=replaced)


def untreated(recipe: Recipe, house: Brewhouse, wish: Wish) -> Plan:
    """Plan the beer with the water as it comes: nothing is wanted of it, so nothing is dosed.

    Raises
    ------
    GyleError
        If it cannot be brewed there.
    """
    from gyle.decide.plan import plan
    from gyle.decide.water_work import ready

    plain = attrs.evolve(
        recipe,
        wanted_ions_mg_L=(),
        wanted_ranges_mg_L=(),
        sulfate_to_chloride=None,
        aims=tuple(aim for aim in recipe.aims if aim.figure != "mash.ph"),
    )
    return plan(plain, attrs.evolve(house, water=ready(wish.report)))
