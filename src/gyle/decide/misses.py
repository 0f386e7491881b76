"""Aims that a plan does not meet."""

from __future__ import annotations

import attrs

from gyle.beer.recipe import Aim, Recipe
from gyle.decide.tolerances import TOLERANCE
from gyle.decide.wanted import outside
from gyle.line.brew import Brew
from gyle.science.water_ions import MOLAR_MASS

__all__ = ["Miss", "misses"]

# What the solver leaves between an aim and the figure, by figure: closer than this is met.
_MET = {
    "fermenter.original_gravity": 5e-5,
    "glass.bitterness_tinseth": 0.1,
    "glass.bitterness": 0.1,
    "glass.bitterness_rager": 0.1,
    "glass.bitterness_garetz": 0.1,
    "glass.bitterness_ratio": 0.002,
    "mash.ph": 0.05,
    **{f"water.{ion}": miss for ion, miss in TOLERANCE.items()},
}
MET_BICARBONATE_MG_L = TOLERANCE["alkalinity"] * MOLAR_MASS["bicarbonate"]  # of a range


@attrs.frozen(kw_only=True)
class Miss:
    """An aim that stated amounts do not meet; of a range, `wanted` is its nearest end."""

    figure: str
    wanted: float
    got: float
    within_rounding: bool
    span: tuple[float, float] | None = None  # the range, where one is wanted; an open side is infinite


def misses(recipe: Recipe, brew: Brew, centre: Brew) -> list[Miss]:
    """Aims met neither on the centre line nor by the ensemble's mean."""
    found = []
    aims = list(recipe.aims)
    if recipe.volume_L is not None:
        name = "fermenter.volume" if recipe.into == "fermenter" else "keg.volume"
        aims.append(Aim(figure=name, value=recipe.volume_L, half_digit=recipe.volume_half_digit))
    named = {aim.figure for aim in aims}
    aims += [
        Aim(figure=f"water.{ion}", value=amount)
        for ion, amount in recipe.wanted_ions_mg_L
        if f"water.{ion}" not in named
    ]
    for aim in aims:
        if aim.figure not in brew.figures:
            continue
        got = float(brew.figures[aim.figure].mean())
        middle = float(centre.figures[aim.figure].mean())
        tolerance = _MET.get(aim.figure, 0.005 * max(abs(aim.value), 1e-9))
        off = min(abs(got - aim.value), abs(middle - aim.value))
        if off > tolerance:
            found.append(Miss(figure=aim.figure, wanted=aim.value, got=got, within_rounding=off <= aim.half_digit))
    ranges = {f"water.{ion}": (low, high) for ion, low, high in recipe.wanted_ranges_mg_L}
    for name, span in ranges.items():
        if name in named or name not in brew.figures:
            continue
        got = float(brew.figures[name].mean())
        off = min(outside(got, *span), outside(float(centre.figures[name].mean()), *span))
        if off > _MET.get(name, MET_BICARBONATE_MG_L):
            nearest = min(span, key=lambda end: abs(end - got))
            found.append(Miss(figure=name, wanted=nearest, got=got, within_rounding=False, span=span))
    return found
