"""Two versions held against each other: what changed, and what it does to the figures.

Two plans share their named draws: draw by draw the same malt lot, the same kettle, the same weather. What both
versions are equally unsure of cancels, so a difference is known far better than either figure. It answers "what
does this change do, all else alike", not "by how much will two brew days differ".
"""

from __future__ import annotations

import attrs
import numpy as np

from gyle.decide.plain_difference import InputDifference
from gyle.decide.plan import Plan, figure_order
from gyle.decide.recipe_difference import input_differences
from gyle.line.content import Array
from gyle.line.figures import Band, Figure, band, figure

__all__ = ["FigureDifference", "InputDifference", "figure_differences", "input_differences", "worth_telling"]

# The least difference worth a brewer's attention, in the figure's unit, by kind. Provenance: ours.
WORTH = {
    "gravity": 0.0005,
    "bitterness": 1.0,
    "colour": 1.0,
    "volume": 0.5,
    "temperature": 0.5,
    "ph": 0.02,
    "percent": 1.0,
    "thickness": 0.1,
    "mass": 0.2,
    "concentration": 5.0,
    "alkalinity": 0.1,
    "pressure": 0.03,
    "carbonation": 0.05,
    "ratio": 0.02,
    "food_energy": 1.0,
    "time": 5.0,
}
# And of figures that are finer or coarser than their kind. Provenance: ours.
WORTH_OF = {
    "fermenter.alcohol": 0.1,
    "glass.colour_srm": 0.5,
    "glass.alcohol_g": 0.3,
    "stand.iso_alpha": 1.0,
}
VOLUME_PART = 0.02  # of a small volume a smaller part of a litre is worth saying; ours
QUANTILES = 101


@attrs.frozen(kw_only=True)
class FigureDifference:
    """What a change does to one figure.

    Parameters
    ----------
    name, unit, kind : str
        The figure, its own unit, and its kind of quantity.
    before, after : Band or None
        The figure of each version; None where one has no such figure.
    difference : Band or None
        After less before, in the figure's unit, from paired draws.
    worth : float
        The least difference worth saying.
    telling : bool
        Whether the band of the difference keeps clear of zero and its mean is worth saying.
    """

    name: str
    unit: str
    kind: str
    before: Band | None
    after: Band | None
    difference: Band | None
    worth: float
    telling: bool


def figure_differences(old: Plan, new: Plan) -> tuple[FigureDifference, ...]:
    """Hold every figure of two plans against each other, from water to glass.

    Parameters
    ----------
    old, new : Plan
        The plans; of the same number of simulated brews, or the draws cannot be paired and the bands of the
        differences are as wide as if nothing were shared. Inputs of the same name are taken as the same thing:
        on two brewhouses what each is unsure of is taken to be off the same way.

    Returns
    -------
    tuple of FigureDifference
        One for each figure either has.
    """
    names = sorted({*old.figures, *new.figures}, key=lambda name: (figure_order(name), name))
    return tuple(_of(name, old, new) for name in names)


def _of(name: str, old: Plan, new: Plan) -> FigureDifference:
    known = figure(name)
    assert known is not None
    before, after = old.figures.get(name), new.figures.get(name)
    least = worth_telling(known, before, after)
    difference, telling = None, False
    if before is not None and after is not None:
        difference = band(_less(new.brew.figures[name], old.brew.figures[name]))
        clear = difference.low > 0.0 or difference.high < 0.0
        telling = clear and abs(difference.mean) >= least
    return FigureDifference(
        name=name,
        unit=known.unit,
        kind=known.kind,
        before=before,
        after=after,
        difference=difference,
        worth=least,
        telling=telling,
    )


def _less(after: Array, before: Array) -> Array:
    """The difference draw by draw; of ensembles of other sizes that of every pair of their quantiles."""
    if after.size == before.size or 1 in (after.size, before.size):
        return after - before
    levels = (np.arange(QUANTILES) + 0.5) / QUANTILES
    apart = np.subtract.outer(np.quantile(after, levels), np.quantile(before, levels))
    return np.asarray(apart.ravel(), dtype=np.float64)


def worth_telling(known: Figure, before: Band | None, after: Band | None) -> float:
    """The least difference of a figure that is worth saying, in its own unit."""
    least = WORTH_OF.get(known.name, WORTH[known.kind])
    if known.kind == "volume":
        sizes = [abs(side.mean) for side in (before, after) if side is not None]
        least = min(least, VOLUME_PART * max(sizes, default=0.0))
    return least
