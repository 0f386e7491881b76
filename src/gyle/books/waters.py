"""Waters of the store: reports of what there is, and waters to wish for."""

from __future__ import annotations

import functools
import tomllib
from typing import TYPE_CHECKING

from gyle.beer.reading import WaterNamed, water_from_text
from gyle.books.papers import Paper, add_paper, paper, papers, revisions, save_paper
from gyle.books.refusals import NotThere
from gyle.books.slugs import slug_named
from gyle.books.store import Store
from gyle.errors import BadInput
from gyle.quantities import speaking, spoken

if TYPE_CHECKING:
    from gyle.beer.water import Water

__all__ = ["add_water", "save_water", "water", "water_finder", "water_read", "water_revisions", "waters"]

MOST_NESTED = 6


def add_water(store: Store, text: str, *, name: str | None = None) -> Paper:
    """Add a water; see `gyle.books.papers.add_paper`."""
    return add_paper(store, "water", text=text, name=name)


def save_water(store: Store, slug: str, *, text: str, seen: int) -> Paper:
    """Save the next revision of a water; see `gyle.books.papers.save_paper`."""
    return save_paper(store, "water", slug, text=text, seen=seen)


def water(store: Store, slug: str, *, number: int | None = None) -> Paper:
    """Return a water; see `gyle.books.papers.paper`."""
    return paper(store, "water", slug, number=number)


def waters(store: Store) -> tuple[Paper, ...]:
    """Return every water, by name."""
    return papers(store, "water")


def water_revisions(store: Store, slug: str) -> tuple[Paper, ...]:
    """Return every revision of a water, the newest first."""
    return revisions(store, "water", slug)


def water_read(store: Store, text: str, *, name: str = "the water", slug: str = "") -> Water:
    """Return what a water's text says; the parts of a blend are found among the store's waters.

    Parameters
    ----------
    store : Store
        The store.
    text, name : str
        The text, and what it is called in a sentence.
    slug : str
        The slug it is kept under, so that a blend does not come to hold itself.

    Raises
    ------
    BadInput
        With every fault of the text.
    """
    return _read(text, name, water_finder(store, within=(slug,) if slug else ()))


def water_finder(store: Store, *, within: tuple[str, ...] = ()) -> WaterNamed:
    """Return what finds a water by the name a text calls it: its slug, its name, or its file's.

    What it returns gives None where there is none, and raises `BadInput` for one that cannot be read or that leads
    back to where it was named.
    """

    def found(name: str) -> Water | None:
        slug = slug_named(name)
        try:
            kept = paper(store, "water", slug)
        except NotThere:
            return None
        if slug in within or len(within) >= MOST_NESTED:
            raise BadInput(f"{kept.name} leads back to this blend, or is blended of blends too deep")
        try:
            return _read(kept.text, kept.name, water_finder(store, within=(*within, slug)))
        except BadInput as error:
            raise error.at(f"water {kept.name}") from None

    return found


def _read(text: str, name: str, find: WaterNamed) -> Water:
    return water_from_text(text, name=name, water_named=find) if _blended(text) else _alone(text, name, spoken())


def _blended(text: str) -> bool:
    try:
        return "blend" in tomllib.loads(text)
    except (ValueError, RecursionError):
        return False


@functools.lru_cache(maxsize=64)
def _alone(text: str, name: str, system: str) -> Water:
    """What the text of one source says, its sentences in one system; it is read with each edit of a beer."""
    with speaking(system):
        return water_from_text(text, name=name)
