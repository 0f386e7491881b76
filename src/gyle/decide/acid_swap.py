"""How much acid or acid malt brings a mash to a pH, found on the line itself.

The beer is brewed along its centre with more and less of it, so that water, salts, hardness, a first wort and
infusions count as they do in any plan. What acid malt brings beside its acid, extract and mass, the other malts
give up or make good.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import attrs

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.ingredient import Fermentable
from gyle.beer.mineral import Mineral
from gyle.beer.recipe import GristLine, OtherLine, Recipe
from gyle.beer.timing import Timing
from gyle.decide.solve import brewed
from gyle.decide.swap import extract_per_kg, is_acid_malt
from gyle.errors import Infeasible
from gyle.line.amounts import Amounts
from gyle.line.beliefs import inputs_for
from gyle.line.brew import Brew
from gyle.line.day import mashed
from gyle.science.acids import protons_given

__all__ = [
    "MaltDose",
    "acid_for_ph",
    "acid_line",
    "acid_mEq_per_unit",
    "acid_malt_for_ph",
    "centre_line",
    "mash_figure",
    "unheld",
    "without_malt",
]

CLOSE_PH = 1e-10
STEPS = 60
FIRST_SHARE = 0.05  # of the most that may be tried
MOST_TIMES = 100.0  # what a liquor can take of an acid: tried that far, so that a refusal can say how much it would be


class MaltDose(NamedTuple):
    """Acid malt for one mash [kg], and what every other malt of that mash is multiplied by."""

    mass_kg: float
    others_ratio: float


def mash_figure(mash: int) -> str:
    """The name of a mash's pH among the figures."""
    return "mash.ph" if mash == 1 else f"mash.{mash}.ph"


def unheld(recipe: Recipe) -> Recipe:
    """The recipe without the mash pH it aims at, which an unstated water would be held to."""
    return attrs.evolve(
        recipe,
        aims=tuple(aim for aim in recipe.aims if not (aim.figure.startswith("mash.") and aim.figure.endswith("ph"))),
    )


def centre_line(recipe: Recipe, house: Brewhouse, amounts: Amounts) -> Brew:
    """The centre line of a recipe, its mash held to no pH."""
    recipe = unheld(recipe)
    return brewed(recipe, house, amounts, inputs_for(recipe, house, draws=1))


def without_malt(recipe: Recipe, amounts: Amounts, mash: int) -> tuple[Recipe, Amounts]:
    """The recipe without the acid malt of one mash; the other amounts stay."""
    kept = [
        (line, kg)
        for line, kg in zip(recipe.grist, amounts.grist_kg, strict=True)
        if not (is_acid_malt(line) and line.at.mash == mash)
    ]
    grist, kilograms = tuple(line for line, _ in kept), tuple(kg for _, kg in kept)
    return attrs.evolve(recipe, grist=grist), attrs.evolve(amounts, grist_kg=kilograms)


def acid_line(mineral: Mineral, at: Timing, amount: float) -> OtherLine:
    """A dose of an acid for the whole volume [g or mL, by its unit] as a line of a recipe."""
    amount = round(amount / 1000.0, 12)
    if mineral.unit == "mL":
        return OtherLine(what=mineral.name, at=at, volume_L=amount, mineral=mineral)
    return OtherLine(what=mineral.name, at=at, mass_kg=amount, mineral=mineral)


def acid_mEq_per_unit(mineral: Mineral, ph: float) -> float:
    """Protons that a gram or millilitre of an acid gives on the way to a pH [mEq]."""
    mmol = 1000.0 * mineral.substance_g(1.0) / mineral.molar_mass_g_mol
    return mmol * float(protons_given(mineral.key, ph))


def acid_for_ph(
    recipe: Recipe, house: Brewhouse, amounts: Amounts, *, mineral: Mineral, ph: float, mash: int = 1
) -> float:
    """Find how much of an acid brings a mash to a pH on the centre line.

    Parameters
    ----------
    recipe, house, amounts : Recipe, Brewhouse, Amounts
        The beer with everything but this dose, where it is brewed, and how much of everything.
    mineral : Mineral
        The acid.
    ph : float
        Value of pH wanted, read cool.
    mash : int
        Which mash.

    Returns
    -------
    float
        Amount for one gyle [g or mL, by the acid's unit]; nought or less where the mash is that acid already.

    Raises
    ------
    Infeasible
        If no amount of it has that pH.
    """
    at = Timing(stage="mash", mash=mash)

    def moved(amount: float) -> float:
        dosed = attrs.evolve(recipe, others=(*recipe.others, acid_line(mineral, at, amount * recipe.gyles)))
        return float(centre_line(dosed, house, amounts).figures[mash_figure(mash)][0]) - ph

    litres = max(sum(amounts.liquor_L) + sum(amounts.sparge_L), 1e-3)
    usual = mineral.most_g_L * litres / mineral.substance_g(1.0)
    return _amount(moved, first=FIRST_SHARE * usual, most=MOST_TIMES * usual, what=mineral.name, ph=ph)


def acid_malt_for_ph(
    recipe: Recipe, house: Brewhouse, amounts: Amounts, *, malt: Fermentable, ph: float, mash: int = 1
) -> MaltDose:
    """Find how much acid malt brings a mash to a pH on the centre line, while the grist's extract stays.

    Parameters
    ----------
    recipe, house, amounts : Recipe, Brewhouse, Amounts
        The beer without the acid, where it is brewed, and how much of everything; acid malt that is in the
        mash already counts as part of what is found.
    malt : Fermentable
        The acid malt.
    ph : float
        Value of pH wanted, read cool.
    mash : int
        Which mash.

    Returns
    -------
    MaltDose
        Its mass for one gyle; nought or less where the mash is that acid already.

    Raises
    ------
    Infeasible
        If no share of it has that pH.
    """

    def extract_kg(recipe: Recipe, amounts: Amounts) -> float:
        lines = zip(recipe.grist, amounts.grist_kg, strict=True)
        own = (kg * extract_per_kg(line.ingredient) for line, kg in lines if mashed(line) and line.at.mash == mash)
        return float(sum(own))

    bare, others = without_malt(recipe, amounts, mash)
    whole, of_others, own = extract_kg(recipe, amounts), extract_kg(bare, others), extract_per_kg(malt)
    extra = GristLine(what=malt.name, ingredient=malt, at=Timing(stage="mash", mash=mash))
    with_malt = attrs.evolve(bare, grist=(*bare.grist, extra))

    def ratio(kg: float) -> float:
        return (whole - kg * own) / of_others

    def moved(kg: float) -> float:
        scaled = (
            one * ratio(kg) if mashed(line) and line.at.mash == mash else one
            for line, one in zip(bare.grist, others.grist_kg, strict=True)
        )
        brew = centre_line(with_malt, house, attrs.evolve(others, grist_kg=(*scaled, kg)))
        return float(brew.figures[mash_figure(mash)][0]) - ph

    found = _amount(moved, first=FIRST_SHARE * whole / own, most=whole / own, what=malt.name, ph=ph)
    return MaltDose(mass_kg=found, others_ratio=ratio(found))


def _amount(moved: Callable[[float], float], *, first: float, most: float, what: str, ph: float) -> float:
    """Find where a pH that falls with an amount is as wanted: false position, with the idle end's weight halved.

    `moved` says how far an amount leaves it above. Where it is below without any, a straight line leads back.
    """
    low, high = 0.0, first
    above, below = moved(low), moved(high)
    if above <= 0.0:
        return high * above / max(above - below, CLOSE_PH)
    while below > 0.0:
        if high >= most:
            raise Infeasible(f"{what} cannot bring the mash to pH {ph:.2f}, however much of it there is")
        low, above = high, below
        high = min(2.0 * high, most)
        below = moved(high)
    side = 0
    for _ in range(STEPS):
        middle = low + (high - low) * above / (above - below)
        left = moved(middle)
        if abs(left) < CLOSE_PH:
            return middle
        if left > 0.0:
            low, above, below = middle, left, below / 2.0 if side > 0 else below
            side = 1
        else:
            high, below, above = middle, left, above / 2.0 if side < 0 else above
            side = -1
    return (low + high) / 2.0
