"""Names a field offers while one types: what the tables know of grain, hops and yeast."""

from __future__ import annotations

import functools
from collections.abc import Mapping

__all__ = ["ingredient_names"]


@functools.cache
def ingredient_names() -> Mapping[str, tuple[str, ...]]:
    """Return the names the tables know, by kind."""
    from gyle.beer import tables

    return {
        "grist": tuple(tables.fermentable_names()),
        "hops": tuple(tables.hop_names()),
        "yeasts": tuple(tables.yeast_names()),
    }
