"""Adaptations the tests of this folder share; each takes seconds and is made once."""

from __future__ import annotations

import contextlib
import functools
import tempfile
from collections.abc import Iterator
from pathlib import Path

from gyle.books.lantern_street import load_lantern_street
from gyle.books.store import Store, open_store
from gyle.web.adapt_results import Adaptations, Adapted
from gyle.web.adapt_wish import AdaptForm, AdaptWish, adapt_wish
from gyle.web.beer_state import BeerState, beer_state, recipe_of

__all__ = ["adapted", "lantern_street", "read_wish", "smaller", "stuck"]


@contextlib.contextmanager
def lantern_street() -> Iterator[Store]:
    """Lantern Street in a folder that is gone afterwards."""
    with tempfile.TemporaryDirectory() as folder, open_store(f"sqlite:///{Path(folder) / 'gyle.db'}") as store:
        load_lantern_street(store)
        yield store


def read_wish(store: Store, beer: str, *, system: str = "metric", **asked: str) -> tuple[BeerState, AdaptWish]:
    """A beer, and a wish that can be read."""
    state = beer_state(store, beer)
    wish, faults = adapt_wish(store, recipe_of(store, state.text), AdaptForm(**asked), system=system)
    assert wish is not None, faults
    return state, wish


@functools.cache
def adapted(beer: str, *, system: str = "metric", **asked: str) -> Adapted:
    """A beer of Lantern Street brought elsewhere."""
    with lantern_street() as store:
        state, wish = read_wish(store, beer, system=system, **asked)
        return Adaptations().of(state.text, recipe_of(store, state.text), wish, system=system)


def stuck(system: str = "metric") -> Adapted:
    """One that does not fit as it is: a strong beer on the smaller system, by a double mash."""
    return adapted("copper-beacon", system=system, to="lantern-street-28")


def smaller(system: str = "metric") -> Adapted:
    """One that fits: a little of a lager in the kitchen."""
    return adapted("quiet-harbour", system=system, to="kitchen-bag", volume="6" if system == "metric" else "1.6")
