"""Which brewhouse draws which water: the line in a brewhouse's text that names it."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import TYPE_CHECKING

from gyle.books import brewhouses
from gyle.books.slugs import slug_named

if TYPE_CHECKING:
    from gyle.books.papers import Paper
    from gyle.books.store import Store

__all__ = ["drawers", "name_tap_water", "tap_slug"]


def tap_slug(text: str) -> str:
    """Return the slug of the water a brewhouse's text names, "" where it names none."""
    try:
        named = tomllib.loads(text).get("water")
    except (ValueError, RecursionError):
        return ""
    return slug_named(named) if isinstance(named, str) else ""


def drawers(store: Store) -> Mapping[str, tuple[Paper, ...]]:
    """Return the brewhouses that draw each water, by the water's slug."""
    found: dict[str, tuple[Paper, ...]] = {}
    for house in brewhouses.brewhouses(store):
        if slug := tap_slug(house.text):
            found[slug] = (*found.get(slug, ()), house)
    return found


def name_tap_water(store: Store, house: Paper, name: str) -> Paper:
    """Write down that a brewhouse draws a water: every beer brewed there is reckoned with it from now on.

    Raises
    ------
    BadInput
        If its text cannot be read then, or was changed meanwhile.
    """
    from gyle.beer.reading import brewhouse_from_text
    from gyle.beer.rewriting import rewrite
    from gyle.books.waters import water_finder

    text = rewrite(house.text, {("water",): name}, name=house.name)
    brewhouse_from_text(text, name=house.name, water_named=water_finder(store))
    return brewhouses.save_brewhouse(store, house.slug, text=text, seen=house.number)
