"""What laying out a day needs at hand: which line of a recipe goes where, and how much of it."""

from __future__ import annotations

from typing import Any

import numpy as np

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import GristLine, HopLine, Recipe, Rest
from gyle.line.amounts import Amounts
from gyle.line.beliefs import lots

__all__ = [
    "BOILED",
    "CARBONATION_VOL",
    "COLD",
    "EARLY",
    "HOT_SIDE",
    "KEG_C",
    "MASH_HOP_SHARE",
    "PITCHING_C",
    "SLOW_GRAIN",
    "SLOW_SHARE",
    "SPARGE_C",
    "Layout",
    "mash_numbers",
    "mashed",
    "rests_of",
]

EARLY = ("sparge", "first wort")  # into the kettle as it fills
BOILED = ("mash", *EARLY, "boil")
HOT_SIDE = (*BOILED, "stand", "chill")
COLD = ("ferment", "dry", "keg", "bottle")  # into the beer, at whatever hour
MASH_HOP_SHARE = 0.2  # of their alpha reaches the kettle: 9.1 % against 44 % use, Justus 2018
SPARGE_C = 76.0
USUAL_REST = Rest(temperature_C=66.0, minutes=60.0)  # where nobody says; common practice
PITCHING_C = 20.0
KEG_C = 5.0  # where nobody says; common practice
CARBONATION_VOL = 2.4
SLOW_GRAIN = ("wheat", "rye", "flaked", "torrified", "oat")
SLOW_SHARE = 0.30
# These give less than their alkalinity, lime in the mash and chalk anywhere: how much is an input of the model.
WORKS = {"calcium hydroxide": "model.lime_works", "calcium carbonate": "model.chalk_works"}


def mashed(line: GristLine) -> bool:
    """Whether a grist line is mashed; a sugar stirred into the mash is not."""
    return line.at.stage in ("mash", "sparge") and line.ingredient.group != "sugar"


def mash_numbers(recipe: Recipe) -> tuple[int, ...]:
    """Numbers of the mashes of this day: (1,) or (1, 2)."""
    numbers = {rest.mash for rest in recipe.rests} | {line.at.mash for line in recipe.grist if line.at.stage == "mash"}
    return tuple(sorted(numbers)) or (1,)


def rests_of(recipe: Recipe, mash: int) -> tuple[Rest, ...]:
    """Rests of one mash; a second mash without its own rests at the first's main rest, longer."""
    own = tuple(rest for rest in recipe.rests if rest.mash == mash)
    if own:
        return own
    first = max((rest for rest in recipe.rests if rest.mash == 1), key=lambda rest: rest.minutes, default=USUAL_REST)
    if mash == 1:
        return (first,)
    return (Rest(temperature_C=first.temperature_C, minutes=max(first.minutes, 90.0), mash=mash),)


def _sugar(line: GristLine, lot: str, mass: Any) -> dict[str, Any]:
    what = line.ingredient
    if "malt extract" in what.name:
        kind = "malt extract"
    else:
        kind = "monosaccharide" if what.monosaccharide else "disaccharide"
    return {"lot": lot, "mass_kg": mass, "as": kind, "what": line.what}


def _hop(line: HopLine, place: int, lot: str, mass: Any) -> dict[str, Any]:
    return {
        "addition": place,
        "lot": lot,
        "mass_kg": mass,
        "what": line.what,
        "form": line.form,
        "vessel": line.vessel,
    }


class Layout:
    """What laying out a day needs at hand."""

    def __init__(self, recipe: Recipe, brewhouse: Brewhouse, amounts: Amounts) -> None:
        self.recipe, self.brewhouse, self.amounts = recipe, brewhouse, amounts
        grist_lots, hop_lots = lots(recipe)
        self.grist = list(zip(recipe.grist, grist_lots, amounts.grist_kg, strict=True))
        self.hops = [
            (line, _hop(line, place, lot, mass))
            for place, (line, lot, mass) in enumerate(zip(recipe.hops, hop_lots, amounts.hops_kg, strict=True))
        ]
        self.mashes = mash_numbers(recipe)

    def whole(self, thing: dict[str, Any]) -> dict[str, Any]:
        """What goes into the fermenter, where all gyles meet."""
        return {**thing, "mass_kg": thing["mass_kg"] * self.recipe.gyles}

    def sugars_at(self, *stages: str) -> list[tuple[GristLine, dict[str, Any]]]:
        return [
            (line, _sugar(line, lot, kg))
            for line, lot, kg in self.grist
            if line.at.stage in stages and not mashed(line)
        ]

    def hops_at(self, *stages: str) -> list[tuple[HopLine, dict[str, Any]]]:
        return [(line, hop) for line, hop in self.hops if line.at.stage in stages]

    def others_at(self, *stages: str) -> list[dict[str, Any]]:
        found = []
        for line in self.recipe.others:
            if line.at.stage not in stages or line.mineral is not None:
                continue
            each = self.recipe.gyles if line.at.stage in HOT_SIDE else 1  # what is stated is for the whole volume
            mass = (line.mass_kg or (line.rate_g_L or 0.0) * (self.recipe.volume_L or 0.0) / 1000.0) / each
            water = line.water_fraction
            if line.volume_L is not None:
                mass = line.volume_L * 0.9982 / each
                water = 1.0 - line.extract_fraction if line.what.casefold() != "water" else 1.0
            found.append(
                {
                    "what": line.what,
                    "mass_kg": mass,
                    "water": water,
                    "extract": line.extract_fraction,
                    "at": line.at,
                }
            )
        return [other for other in found if other["mass_kg"]]

    def doses_at(self, *stages: str, liquor_L: Any = None, share: Any = 1.0, mash: int = 1) -> list[dict[str, Any]]:
        """Salts and acids for one gyle; a rate is for each litre of the liquor it goes into, or of the beer."""
        found: list[dict[str, Any]] = []
        for line in self.recipe.others:
            mineral = line.mineral
            if mineral is None or line.at.stage not in stages or (line.at.stage == "mash" and line.at.mash != mash):
                continue
            each = self.recipe.gyles if line.at.stage in HOT_SIDE else 1
            amount: Any
            if line.rate_g_L is not None:
                litres = liquor_L if liquor_L is not None else (self.recipe.volume_L or 0.0) / each * share
                amount = mineral.measured(mass_kg=line.rate_g_L * litres / 1000.0)
            else:
                amount = mineral.measured(mass_kg=line.mass_kg, volume_L=line.volume_L) / each * share
            in_mash = line.at.stage == "mash" or mineral.key != "calcium hydroxide"
            works = WORKS.get(mineral.key) if in_mash else None
            found.append({"mineral": mineral, "amount": amount, "works": works, "at": line.at, "line": line})
        return [dose for dose in found if np.any(dose["amount"])]

    @property
    def kettle_hop_kg(self) -> Any:
        """All hops that end in the kettle, whatever their hour."""
        return sum((hop["mass_kg"] for line, hop in self.hops if line.at.stage in HOT_SIDE[1:]), start=np.zeros(1))
