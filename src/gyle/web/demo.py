"""Lantern Street in the books, its versions' headline figures computed as the pages would."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from gyle.books.lantern_street import load_lantern_street
from gyle.web.beer_state import headline_of
from gyle.web.local_zone import local_zone

if TYPE_CHECKING:
    from gyle.books.store import Store

__all__ = ["load"]


def load(store: Store) -> tuple[str, ...]:
    """Put Lantern Street into a store; what is there already stays as it is.

    Returns
    -------
    tuple of str
        Slugs of the beers that were added.
    """

    def summarise(text: str, brewhouse: str | None) -> Mapping[str, Any]:
        return headline_of(store, text)

    return load_lantern_street(store, zone=local_zone(), summarise=summarise)
