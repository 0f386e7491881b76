"""From a recipe, a brewhouse and amounts to the flat list of moves that is the day."""

from __future__ import annotations

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import Recipe
from gyle.line.amounts import Amounts
from gyle.line.brew import Move
from gyle.line.cellar_day import bitterness_measure, fermenter_moves, package_moves
from gyle.line.kettle_day import kettle_moves, stand_moves
from gyle.line.layout import (
    BOILED,
    CARBONATION_VOL,
    HOT_SIDE,
    KEG_C,
    MASH_HOP_SHARE,
    SLOW_GRAIN,
    Layout,
    mash_numbers,
    mashed,
    rests_of,
)
from gyle.line.mash_day import before_all, mash_moves

__all__ = [
    "BOILED",
    "CARBONATION_VOL",
    "HOT_SIDE",
    "KEG_C",
    "MASH_HOP_SHARE",
    "SLOW_GRAIN",
    "bitterness_measure",
    "day",
    "mash_numbers",
    "mashed",
    "rests_of",
]


def day(recipe: Recipe, brewhouse: Brewhouse, amounts: Amounts) -> list[Move]:
    """Lay out the whole way from water to glass.

    Parameters
    ----------
    recipe : Recipe
        What is wanted.
    brewhouse : Brewhouse
        Where it is brewed.
    amounts : Amounts
        How much of everything, for one gyle.

    Returns
    -------
    list of Move
        In the order they are done.
    """
    layout = Layout(recipe, brewhouse, amounts)
    moves: list[Move] = list(before_all(layout))
    for number in layout.mashes:
        moves.extend(mash_moves(layout, number))
    moves.extend(kettle_moves(layout))
    moves.extend(stand_moves(layout))
    moves.extend(fermenter_moves(layout))
    moves.extend(package_moves(layout))
    return moves
