"""One plain ale on one brewhouse, whatever its water."""

from __future__ import annotations

from typing import Any

import attrs
from brewing import Amounts, Recipe, Rest, begun, grain, pitched

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.kinds import default_brewhouse, traits
from gyle.beer.recipe import OtherLine
from gyle.beer.water import Water
from gyle.line.brew import Brew

HOUSE = default_brewhouse(traits("electric all-in-one", {"kettle_vessel_L": 48.0}), "case")
BREW = Amounts(grist_kg=(5.0, 0.2), hops_kg=(), liquor_L=(16.0,), sparge_L=(12.0,))


def ale(*others: OtherLine, **changes: Any) -> Recipe:
    plain = Recipe(
        name="ale",
        grist=(grain("pale ale malt"), grain("crystal malt 120 EBC")),
        rests=(Rest(temperature_C=66.0, minutes=60.0),),
        yeasts=(pitched(),),
        others=others,
        volume_L=20.0,
    )
    return attrs.evolve(plain, **changes)


def with_water(water: Water | None) -> Brewhouse:
    return attrs.evolve(HOUSE, water=water)


def figure(brew: Brew, name: str = "mash.ph") -> float:
    return float(brew.figures[name][0])


def mash_ph(water: Water | None, *lines: OtherLine, amounts: Amounts = BREW, **changes: Any) -> float:
    return figure(begun(ale(*lines, **changes), with_water(water), amounts))
