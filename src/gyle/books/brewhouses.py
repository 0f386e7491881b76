"""Brewhouses of the store, and how a recipe finds the one it names."""

from __future__ import annotations

import tomllib

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.reading import brewhouse_from_text
from gyle.beer.recipe_reading import Resolve
from gyle.books.papers import Paper, add_paper, paper, papers, revisions, save_paper
from gyle.books.refusals import NotThere
from gyle.books.slugs import slug_named
from gyle.books.store import Store
from gyle.books.waters import water_finder
from gyle.errors import BadInput

__all__ = [
    "add_brewhouse",
    "brewhouse",
    "brewhouse_named_in",
    "brewhouse_read",
    "brewhouse_revisions",
    "brewhouses",
    "resolver",
    "save_brewhouse",
]


def add_brewhouse(store: Store, text: str, *, name: str | None = None) -> Paper:
    """Add a brewhouse; see `gyle.books.papers.add_paper`."""
    return add_paper(store, "brewhouse", text=text, name=name)


def save_brewhouse(store: Store, slug: str, *, text: str, seen: int) -> Paper:
    """Save the next revision of a brewhouse; see `gyle.books.papers.save_paper`."""
    return save_paper(store, "brewhouse", slug, text=text, seen=seen)


def brewhouse(store: Store, slug: str, *, number: int | None = None) -> Paper:
    """Return a brewhouse; see `gyle.books.papers.paper`."""
    return paper(store, "brewhouse", slug, number=number)


def brewhouses(store: Store) -> tuple[Paper, ...]:
    """Return every brewhouse, by name."""
    return papers(store, "brewhouse")


def brewhouse_revisions(store: Store, slug: str) -> tuple[Paper, ...]:
    """Return every revision of a brewhouse, the newest first."""
    return revisions(store, "brewhouse", slug)


def brewhouse_read(store: Store, kept: Paper) -> Brewhouse:
    """Return what a brewhouse's text says; the water it names is found among the store's.

    Raises
    ------
    BadInput
        With every fault of the text, or of the water it names.
    """
    return brewhouse_from_text(kept.text, name=kept.name, water_named=water_finder(store))


def brewhouse_named_in(store: Store, recipe_text: str) -> Paper | None:
    """Return the brewhouse of the store that a recipe's text names, None where it names none of it."""
    try:
        name = tomllib.loads(recipe_text.removeprefix("\ufeff")).get("for_brewhouse")
    except (ValueError, RecursionError):
        return None
    return _named(store, name) if isinstance(name, str) else None


def resolver(store: Store) -> Resolve:
    """Return what finds a recipe's ``for_brewhouse`` among the brewhouses of a store, by slug or by name.

    What it returns gives None where there is none, and raises `BadInput` with every fault of one that cannot be
    read and `StoreError` if the store cannot be.
    """

    def resolve(name: str) -> Brewhouse | None:
        found = _named(store, name)
        if found is None:
            return None
        try:
            return brewhouse_read(store, found)
        except BadInput as error:
            raise error.at(f"brewhouse {found.name}") from None

    return resolve


def _named(store: Store, name: str) -> Paper | None:
    try:
        return paper(store, "brewhouse", slug_named(name))
    except NotThere:
        return None
