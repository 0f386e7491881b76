"""What `gyle water` is given: a water by file or name, a wished water, the shelf."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import attrs

from gyle.beer.mineral import Mineral, mineral_of
from gyle.beer.reading import kind_of, read_recipe, read_water
from gyle.beer.stock import Stock
from gyle.beer.tables import name_key
from gyle.beer.water import Water
from gyle.beer.water_blend import bought_water
from gyle.errors import BadInput
from gyle.quantities import read
from gyle.share.water_wishes import wished_by

if TYPE_CHECKING:
    from gyle.decide.treatment_problem import Shelf
    from gyle.decide.wanted import Wanted

__all__ = ["a_shelf", "a_step_g", "a_water", "from_file", "go_together", "wanted_of"]

_T = TypeVar("_T")
FINEST_G, COARSEST_G = 0.001, 10.0


def a_water(name: str) -> Water:
    """Return the water of a report, or one everybody can buy; raises BadInput if there is neither."""
    if not os.path.exists(name) and (bought := bought_water(name)) is not None:
        return bought
    return read_water(name)


def from_file(path: str, reading: Callable[[str], _T]) -> _T:
    """Read a file; where several are given, a fault says whose it is."""
    try:
        return reading(path)
    except BadInput as error:
        name = Path(path).name[:60]
        if any(name in fault for fault in error.faults):
            raise
        raise error.at(name) from None


def go_together(*, recipe: str | None, mash_ph: str | None, volume: str | None) -> None:
    """Refuse options that mean nothing beside or without others."""
    if recipe is None and mash_ph is not None:
        raise BadInput("--mash-ph means nothing without --recipe: there is no mash")
    if recipe is not None and volume is not None:
        raise BadInput("--volume means nothing beside --recipe, which says how much water there is")


def wanted_of(path: str) -> Wanted:
    """Return what a file asks for: a recipe's wanted water with its ranges and ratio, or what a report states.

    Raises
    ------
    BadInput
        If the file asks for none.
    """
    from gyle.decide.wanted import as_wanted, wanted_by

    if kind_of(path) == "recipe":
        found = wanted_by(read_recipe(path))
        if not found:
            raise BadInput("the recipe has no [water], so it wants no ions")
        return found
    return as_wanted(wished_by(read_water(path)))


def a_step_g(text: str) -> float:
    """Return the step of a scale [g]."""
    try:
        grams = read(text, "mass").value * 1000.0
    except BadInput as error:
        raise error.at("--scale") from None
    if not FINEST_G <= grams <= COARSEST_G:
        raise BadInput(f"--scale is {text[:40]!r}, and a step between {FINEST_G:g} g and {COARSEST_G:g} g was wanted")
    return grams


def a_shelf(stock: Stock | None, *, without: str | None, acid: str | None, step_g: float | None, at_most: int) -> Shelf:
    """Return what is at hand: the stock's salts and acids, or the usual ones, without those not to be used."""
    from gyle.decide.treatment_problem import Shelf, usual_shelf  # with the optimiser behind it

    minerals = usual_shelf()
    if stock is not None:
        stocked = tuple(dict.fromkeys(lot.mineral for lot in stock.lots if lot.mineral is not None))
        if not stocked:
            raise BadInput("the stock holds no salt and no acid; leave out --lots to reckon with the usual ones")
        minerals = stocked
    if acid is not None:
        found = mineral_of(acid)
        if found is None or found.kind != "acid":
            raise BadInput(f'--acid {acid[:40]!r} is no acid that is known here; write such as "phosphoric acid 10 %"')
        if found.unit == "g":
            raise BadInput(f"--acid {found.name} is dry; only a dissolved acid is dosed, such as lactic acid 80 %")
        minerals = (*(mineral for mineral in minerals if mineral.kind != "acid"), found)
    for name in (part.strip() for part in (without or "").split(",") if part.strip()):
        minerals = _left(minerals, name)
    shelf = Shelf(minerals=minerals, most_salts=at_most)
    return shelf if step_g is None else attrs.evolve(shelf, step_g=step_g)


def _left(minerals: tuple[Mineral, ...], name: str) -> tuple[Mineral, ...]:
    """The shelf without one thing: by a usual name, or every acid of a kind."""
    known = mineral_of(name) if name_key(name).split()[-1:] != ["acid"] else None
    gone = [
        mineral
        for mineral in minerals
        if (known is not None and mineral.key == known.key) or name_key(mineral.name).startswith(name_key(name))
    ]
    if not gone:
        have = ", ".join(mineral.name for mineral in minerals)
        raise BadInput(f"--without {name[:40]!r} is not at hand anyway; at hand are {have}")
    return tuple(mineral for mineral in minerals if mineral not in gone)
