"""Reading the text files: recipe, brewhouse, water, stock. The kind of a file is told by its keys.

Every fault of a file is reported together, each with the place where it stands; nothing but `BadInput`
(the person's) and `StoreError` (the system's) leaves these functions.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import attrs

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.brewhouse_reading import brewhouse_of
from gyle.beer.page import Page, open_page, parsed
from gyle.beer.recipe import Recipe
from gyle.beer.recipe_reading import Resolve, recipe_of
from gyle.beer.section import Section
from gyle.beer.stock import Stock
from gyle.beer.stock_reading import stock_of
from gyle.beer.water import IONS, Water
from gyle.errors import BadInput

__all__ = [
    "WaterNamed",
    "brewhouse_from_text",
    "kind_of",
    "read_brewhouse",
    "read_recipe",
    "read_stock",
    "read_water",
    "recipe_from_text",
    "water_from_text",
]

_Path = str | os.PathLike[str]
_T = TypeVar("_T")
WaterNamed = Callable[[str], Water | None]
"""Finds a water by the name a text calls it; None if it knows none."""

# Keys that only one kind of file has, and keys whose form tells.
_OWN_KEYS = {
    "recipe": ("grist", "hops", "boil", "yeast", "fermentation", "package", "aim", "printed", "for_brewhouse",
               "volume", "volume_into_keg", "other", "sparge"),
    "brewhouse": ("kind", "kettle", "chill", "fermenter", "keg", "habit", "altitude", "ambient", "tap_water",
                  "learned"),
    "water": (*IONS, "alkalinity", "acid_capacity", "carbonate_hardness", "ph", "hardness", "base_capacity",
              "chlorine", "chloramine", "blend", "treated", "conductivity", "carbonate", "nitrate_N", "sulfate_S"),
    "stock": ("have", "instrument"),
}  # fmt: skip
_A = {"recipe": "a recipe", "brewhouse": "a brewhouse", "water": "a water report", "stock": "a stock file"}


def _kind(data: dict[str, Any]) -> str | None:
    counts = {kind: sum(key in data for key in keys) for kind, keys in _OWN_KEYS.items()}
    if isinstance(data.get("mash"), list):
        counts["recipe"] += 1
    elif isinstance(data.get("mash"), dict):
        counts["brewhouse"] += 1
    best = max(counts.values())
    kinds = [kind for kind, count in counts.items() if count == best]
    return kinds[0] if best and len(kinds) == 1 else None


def kind_of(path: _Path) -> str:
    """Return "recipe", "brewhouse", "water" or "stock".

    Raises
    ------
    BadInput
        If the file cannot be read as text of ours, or its keys do not tell.
    StoreError
        If the system does not let it be read.
    """
    page = open_page(path)
    kind = _kind(page.data)
    if kind is None:
        raise BadInput(f"{page.name} has no key that tells whether it is a recipe, a brewhouse, a water or a stock")
    return kind


def _expect(page: Page, wanted: str) -> None:
    kind = _kind(page.data)
    if kind is not None and kind != wanted:
        raise BadInput(f"{page.name} is {_A[kind]}, and {_A[wanted]} was wanted")
    if kind is None and not any(key in page.data or _other_name(key, page) for key in _OWN_KEYS[wanted]):
        raise BadInput(f"{page.name} holds nothing of {_A[wanted]}")


def _other_name(key: str, page: Page) -> bool:
    """Whether a key of a water stands in the page under another name, which its reader will tell."""
    if key not in _OWN_KEYS["water"]:
        return False
    from gyle.beer.water_names import key_named

    return any(key_named(name) == key for name in page.data)


def read_recipe(path: _Path, *, resolve: Resolve | None = None, for_proofreading: bool = False) -> Recipe:
    """Read a recipe from a file.

    Parameters
    ----------
    path : str or path
        The file.
    resolve : callable, optional
        Finds a brewhouse by name where no file of that name lies beside the recipe; returns None if it
        knows none.
    for_proofreading : bool
        Keep what contradicts itself (shares that do not add to 100 %, an addition before the boil) as
        stated, with a note, instead of refusing or mending it.

    Raises
    ------
    BadInput
        With every fault of the file.
    StoreError
        If the system does not let it be read.
    """
    page = open_page(path)
    _expect(page, "recipe")
    return recipe_of(page, resolve=resolve, for_proofreading=for_proofreading)


def recipe_from_text(
    text: str, *, name: str = "the recipe", resolve: Resolve | None = None, for_proofreading: bool = False
) -> Recipe:
    """Read a recipe from a text; its brewhouse is found by `resolve` only. See `read_recipe`."""
    page = _text_page(text, name)
    _expect(page, "recipe")
    return recipe_of(page, resolve=resolve, for_proofreading=for_proofreading)


def _text_page(text: str, name: str) -> Page:
    if not text.strip():
        raise BadInput(f"{name} is empty")
    return Page(parsed(text.removeprefix("\ufeff"), name), text, name)


def _settled(page: Page, wanted: str, take: Callable[[Section], _T]) -> _T:
    _expect(page, wanted)
    found = take(Section(page, page.data))
    page.settle()
    return found


def read_brewhouse(path: _Path) -> Brewhouse:
    """Read a brewhouse from a file; raises as `read_recipe` does."""
    page = open_page(path)
    house = _settled(page, "brewhouse", lambda top: brewhouse_of(top, otherwise_named=Path(path).stem))
    assert house is not None  # without a fault there is one
    return house


def brewhouse_from_text(text: str, *, name: str = "the brewhouse", water_named: WaterNamed | None = None) -> Brewhouse:
    """Read a brewhouse from a text; its water is found by `water_named` only. Raises as `read_recipe` does."""
    page = _text_page(text, name)
    page.water_named = water_named
    house = _settled(page, "brewhouse", lambda top: brewhouse_of(top, otherwise_named=name))
    assert house is not None
    return house


def read_water(path: _Path) -> Water:
    """Read a water report from a file; raises as `read_recipe` does."""
    from gyle.beer.water_reading import water_of  # and the chemistry behind it

    page = open_page(path)
    water = _settled(page, "water", lambda top: water_of(top, otherwise_named=Path(path).stem))
    return attrs.evolve(water, notes=tuple(page.notes))


def water_from_text(text: str, *, name: str = "the water", water_named: WaterNamed | None = None) -> Water:
    """Read a water report from a text; a blend's parts are found by `water_named`. Raises as `read_recipe` does."""
    from gyle.beer.water_reading import water_of

    page = _text_page(text, name)
    page.water_named = water_named
    water = _settled(page, "water", lambda top: water_of(top, otherwise_named=name))
    return attrs.evolve(water, notes=tuple(page.notes))


def read_stock(path: _Path) -> Stock:
    """Read the store from a file; raises as `read_recipe` does."""
    return _settled(open_page(path), "stock", stock_of)
