"""What recipes' texts read as; the last few are kept, for an edit looks at the same texts several times."""

from __future__ import annotations

import functools
from typing import TYPE_CHECKING

from gyle.beer.reading import recipe_from_text
from gyle.beer.recipe_inputs import recipe_inputs
from gyle.books import brewhouses
from gyle.books.papers import papers_mark
from gyle.errors import BadInput
from gyle.quantities import speaking, spoken

if TYPE_CHECKING:
    from gyle.beer.recipe import Recipe
    from gyle.beer.recipe_inputs import Input
    from gyle.books.store import Store

__all__ = ["house_slug_of", "inputs_of", "recipe_of"]

KEPT = 24


def recipe_of(store: Store, text: str) -> Recipe:
    """Read a recipe's text; its brewhouse, and that one's water, are looked for in the books.

    Raises
    ------
    BadInput
        With every fault of the text.
    """
    return _read(store, papers_mark(store), text, spoken())


def inputs_of(store: Store, text: str) -> tuple[Input, ...]:
    """Return every input of a recipe's text, also of one that contradicts itself; see `recipe_inputs`.

    Raises
    ------
    BadInput
        If the text is no TOML.
    """
    return _inputs(store, papers_mark(store), text, spoken())


def house_slug_of(store: Store, text: str) -> str | None:
    """Return the slug of the brewhouse a recipe names, None where it is none of the books'."""
    house = brewhouses.brewhouse_named_in(store, text)
    return None if house is None else house.slug


@functools.lru_cache(maxsize=KEPT)
def _read(store: Store, mark: tuple[int, int], text: str, system: str) -> Recipe:
    with speaking(system):  # what a water's report leaves open is told in units
        return recipe_from_text(text, name="the recipe", resolve=brewhouses.resolver(store))


@functools.lru_cache(maxsize=KEPT)
def _inputs(store: Store, mark: tuple[int, int], text: str, system: str) -> tuple[Input, ...]:
    try:
        read = _read(store, mark, text, system)
    except BadInput:
        read = None
    return recipe_inputs(text, read)
