"""Salts and acids a recipe doses, liquor by liquor, under the short names a narrow column has room for."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from gyle.share.water_names import short_name
from gyle.web.beer_rows import station_of

if TYPE_CHECKING:
    from gyle.beer.recipe import Recipe

__all__ = ["DosedLiquor", "ShortDose", "dosed_liquors"]

_INTO = {"mash": "into the mash liquor", "sparge": "into the sparge liquor"}


@attrs.frozen(kw_only=True)
class ShortDose:
    """One dose: the place of its row, such as "other.2", and what a brewer calls it."""

    place: str
    name: str


@attrs.frozen(kw_only=True)
class DosedLiquor:
    """One liquor and what goes into it."""

    key: str
    words: str
    doses: tuple[ShortDose, ...]


def dosed_liquors(recipe: Recipe) -> tuple[DosedLiquor, ...]:
    """Return the liquors of a recipe that are dosed; the rows are those that `rows_of` puts at the water."""
    found: dict[str, list[ShortDose]] = {}
    for number, line in enumerate(recipe.others):
        if line.mineral is not None and station_of(line.at) == "mash":
            dose = ShortDose(place=f"other.{number}", name=short_name(line.mineral))
            found.setdefault(line.at.stage, []).append(dose)
    return tuple(
        DosedLiquor(key=stage, words=_INTO.get(stage, f"at the {stage}"), doses=tuple(doses))
        for stage, doses in found.items()
    )
