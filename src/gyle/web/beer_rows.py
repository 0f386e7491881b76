"""Which row of a recipe stands at which station of the page, in the order of the beer's way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from gyle.beer.recipe import Recipe
from gyle.beer.recipe_inputs import Input
from gyle.beer.timing import Timing
from gyle.decide.recipe_difference import STATION_OF_STAGE
from gyle.line.day import mashed
from gyle.web.station_axes import letters_of

__all__ = ["aims_by_column", "rows_of", "station_of"]

# A page shows the lauter in the mash's column.
_STATION = {**STATION_OF_STAGE, "sparge": "mash"}


def station_of(at: Timing) -> str:
    """The station's column in which an addition stands."""
    return _STATION[at.stage]


def rows_of(recipe: Recipe) -> Mapping[str, list[Any]]:
    """Places of rows, such as "hops.2", by where a page shows them.

    Returns
    -------
    mapping of str to list
        Grist, rests, yeast and fermentation steps as places; what a station shares between kinds as pairs of
        kind and place.
    """
    order = {place: number for number, place in enumerate(letters_of(recipe))}
    rows: dict[str, list[Any]] = {
        "rests": [f"mash.{n}" for n in range(len(recipe.rests))],
        "grist": [f"grist.{n}" for n, line in enumerate(recipe.grist) if mashed(line)],
        "mash_hops": [],
        "mash_others": [],
        "water": [],
        "kettle": [],
        "stand": [],
        "fermenter": [],
        "keg": [],
        "yeast": [f"yeast.{n}" for n in range(len(recipe.yeasts))],
        "fermentation": [f"fermentation.{n}" for n in range(len(recipe.fermentation))],
    }
    timed = [("hops", n, line.at) for n, line in enumerate(recipe.hops)]
    timed += [("grist", n, line.at) for n, line in enumerate(recipe.grist) if not mashed(line)]
    timed.sort(key=lambda row: order.get(f"{row[0]}.{row[1]}", 0))
    for kind, number, at in timed:
        place, station = f"{kind}.{number}", station_of(at)
        if station == "mash":
            rows["mash_hops" if kind == "hops" else "grist"].append(place)
        else:
            rows[station].append((kind, place))
    for number, line in enumerate(recipe.others):
        place, station = f"other.{number}", station_of(line.at)
        if station == "mash":
            rows["water" if line.mineral is not None else "mash_others"].append(place)
        else:
            rows[station].append(("other", place))
    return rows


_COLUMNS = ("water", "mash", "kettle", "stand", "fermenter", "keg", "glass")


def aims_by_column(inputs: Sequence[Input]) -> dict[str, list[str]]:
    """Places of aims, by the column of the page each belongs to; an aim at the whole line goes to the glass."""
    found: dict[str, list[str]] = {column: [] for column in _COLUMNS}
    for one in inputs:
        if one.place.startswith("aim."):
            station = "mash" if one.station == "lauter" else one.station
            found[station if station in found else "glass"].append(one.place)
    return found
