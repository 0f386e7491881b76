"""Solved amounts as a brewer can weigh and measure them, and the recipe that states them all."""

from __future__ import annotations

import attrs

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import Recipe
from gyle.decide.solve import Targets
from gyle.line.amounts import Amounts
from gyle.line.day import mash_numbers, mashed
from gyle.quantities import spoken

__all__ = ["Scale", "concrete", "measured", "rounded"]

OUNCE_KG = 0.028349523125
GALLON_L = 3.785411784
SMALL_L = 12.0


@attrs.frozen(kw_only=True)
class Scale:
    """The finest steps a brewer weighs and measures in."""

    grain_kg: float = 0.01
    sugar_kg: float = 0.005
    hops_kg: float = 0.001
    water_L: float = 0.1

    @classmethod
    def spoken(cls) -> Scale:
        """Steps in the units the brewer reads: half an ounce of grain, a twentieth of an ounce of hops."""
        if spoken() == "us":
            return cls(
                grain_kg=0.5 * OUNCE_KG, sugar_kg=0.25 * OUNCE_KG, hops_kg=0.05 * OUNCE_KG, water_L=0.05 * GALLON_L
            )
        return cls()


def measured(recipe: Recipe) -> Recipe:
    """Mash temperatures to a tenth of a degree, a stand to a minute."""
    return attrs.evolve(
        recipe,
        rests=tuple(attrs.evolve(rest, temperature_C=round(rest.temperature_C, 1)) for rest in recipe.rests),
        hops=tuple(
            attrs.evolve(line, at=attrs.evolve(line.at, minutes=float(round(line.at.minutes))))
            if line.at.stage == "stand" and line.at.minutes is not None
            else line
            for line in recipe.hops
        ),
    )


def _to(value: float, step: float) -> float:
    steps = round(value / step)
    if steps == 0 and value > 0.0:
        return value  # less than half a step is weighed as finely as it takes
    return round(steps * step, 12)


def _jug(litres: float, scale: Scale) -> float:
    """A small volume is measured in a smaller jug."""
    return scale.water_L if litres > SMALL_L else scale.water_L / 4.0


def rounded(recipe: Recipe, amounts: Amounts, scale: Scale) -> Amounts:
    """Amounts rounded to the scale's steps; for several gyles each gyle's own."""
    return Amounts(
        grist_kg=tuple(
            _to(kg, scale.grain_kg if mashed(line) else scale.sugar_kg)
            for line, kg in zip(recipe.grist, amounts.grist_kg, strict=True)
        ),
        hops_kg=tuple(_to(kg, scale.hops_kg) for kg in amounts.hops_kg),
        liquor_L=tuple(_to(litres, _jug(litres, scale)) for litres in amounts.liquor_L),
        sparge_L=tuple(_to(litres, _jug(litres, scale)) for litres in amounts.sparge_L),
    )


def concrete(recipe: Recipe, house: Brewhouse, amounts: Amounts, targets: Targets) -> Recipe:
    """The recipe with every amount stated, for one brewhouse: written down, it plans to the same figures."""
    gyles = recipe.gyles
    grist = tuple(
        attrs.evolve(line, mass_kg=kg * gyles, share=None, half_digit=0.0)
        for line, kg in zip(recipe.grist, amounts.grist_kg, strict=True)
    )
    hops = tuple(
        attrs.evolve(line, mass_kg=kg * gyles, rate_g_L=None, bitterness_ibu=None, half_digit=0.0)
        for line, kg in zip(recipe.hops, amounts.hops_kg, strict=True)
    )
    rests = tuple(
        attrs.evolve(rest, liquor_L=amounts.liquor_L[0] * gyles, thickness_L_kg=None) if place == 0 else rest
        for place, rest in enumerate(recipe.rests)
    )
    sparge = recipe.sparge
    whole = sum(amounts.sparge_L) * gyles
    if house.sparge != "none" or whole > 0.0:
        sparge = attrs.evolve(sparge, volume_L=whole)
    assert len(amounts.sparge_L) == len(mash_numbers(recipe))
    return attrs.evolve(
        recipe,
        grist=grist,
        hops=hops,
        rests=rests,
        sparge=sparge,
        volume_L=targets.volume_L,
        into=targets.into,
        for_brewhouse=house,
    )
