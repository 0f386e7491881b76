"""Candidates side by side: amounts of everything a recipe leaves open, and one run of the line that judges them all.

On the centre line a column is not a draw but a candidate, so that many grists, or one grist and its near
neighbours, cost one run.
"""

from __future__ import annotations

from typing import Any

import attrs
import numpy as np
from numpy.typing import NDArray

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import HopLine, Recipe
from gyle.decide.targets import Free, Targets
from gyle.errors import BadInput
from gyle.line.amounts import Amounts
from gyle.line.beliefs import inputs_for
from gyle.line.brew import Brew
from gyle.line.day import day, mash_numbers, mashed, rests_of
from gyle.line.ensemble import Ensemble
from gyle.line.run import run
from gyle.science.extract import degrees_plato, solution_kg_L

__all__ = ["THICKEST_L_KG", "Candidates", "Unknown"]

Array = NDArray[np.float64]

THICKEST_L_KG = 2.0  # no grist is stirred in with less liquor than this
FIRST_HOPS_KG = 0.03
LEAST_HOPS_KG = 1e-7
LEAST_WATER_L, MOST_WATER_L = 0.5, 1e5
MOST_GRIST_STEP, MOST_WATER_STEP_L, MOST_HOP_STEP = 0.3, 20.0, 1e4


@attrs.frozen(kw_only=True)
class Unknown:
    """Something left open, and the figure that decides it: "grist", "water", the open "hops", or one hop line."""

    name: str
    hop: int | None = None


class Candidates:
    """The amounts of every candidate, and what comes of them.

    Attributes
    ----------
    grist : ndarray
        Total mass of the lines given in shares, or mass of the open one [kg].
    water : ndarray
        All liquor for a gyle [L].
    hops : list of ndarray
        Mass of each hop line [kg].
    """

    def __init__(self, recipe: Recipe, brewhouse: Brewhouse, targets: Targets, free: Free) -> None:
        self.recipe, self.brewhouse, self.targets, self.free = recipe, brewhouse, targets, free
        self.inputs: Ensemble = inputs_for(recipe, brewhouse, draws=1)
        self.mashes = mash_numbers(recipe)
        self.hops: list[Array] = [np.full(1, self._first_hops(hop)) for hop in recipe.hops]
        stated = sum(line.mass_kg or 0.0 for line in recipe.grist) / recipe.gyles
        volume = (targets.volume_L or 20.0) / recipe.gyles
        self.grist = np.ones(1)
        if free.grist:
            aim = targets.gravity_sg or 1.050
            extract = volume * float(solution_kg_L(degrees_plato(aim))) * float(degrees_plato(aim)) / 100.0
            rough = extract / 0.62 if free.shares else max(extract / 0.75 - stated * 0.8, 0.2)
            self.grist = np.full(1, rough)
            stated = stated + rough
        losses = brewhouse.boil_off_L_h.centre * recipe.boil_minutes / 60.0 + 3.0
        self.water = np.full(1, volume + losses + 0.8 * stated)
        self.unknowns = self._unknowns()

    def _first_hops(self, hop: HopLine) -> float:
        if hop.mass_kg is not None:
            return hop.mass_kg / self.recipe.gyles
        if hop.rate_g_L is not None and self.recipe.volume_L is not None:
            return hop.rate_g_L * self.recipe.volume_L / 1000.0 / self.recipe.gyles
        return FIRST_HOPS_KG

    def _unknowns(self) -> tuple[Unknown, ...]:
        targets, free = self.targets, self.free
        found = []
        if free.grist and targets.gravity_sg is not None:
            found.append(Unknown(name="grist"))
        if free.water is not None and targets.volume_L is not None:
            found.append(Unknown(name="water"))
        if free.hops:
            if targets.bitterness is None:
                names = ", ".join(self.recipe.hops[place].what for place in free.hops)
                raise BadInput(f"{names} has no amount and there is no bitterness to solve it from")
            found.append(Unknown(name="hops"))
        found += [
            Unknown(name=f"hop.{place}", hop=place)
            for place, hop in enumerate(self.recipe.hops)
            if hop.rate_g_L is not None or hop.bitterness_ibu is not None
        ]
        return tuple(found)

    def begin(self, start: Amounts) -> None:
        """Begin from amounts of nearly the same problem; what the recipe states stays as stated."""
        recipe, free = self.recipe, self.free
        if free.shares:
            self.grist = np.full(1, sum(start.grist_kg))
        elif free.line is not None:
            self.grist = np.full(1, start.grist_kg[free.line])
        self.water = np.full(1, sum(start.liquor_L) + sum(start.sparge_L))
        self.hops = [
            own if line.mass_kg is not None else np.full(1, max(float(begun), LEAST_HOPS_KG))
            for line, own, begun in zip(recipe.hops, self.hops, start.hops_kg, strict=True)
        ]

    def amounts(self) -> Amounts:
        """The candidates' amounts."""
        recipe, gyles = self.recipe, self.recipe.gyles
        grist: list[Any] = []
        for place, line in enumerate(recipe.grist):
            if line.share is not None:
                grist.append(line.share * self.grist)
            elif place == self.free.line:
                grist.append(self.grist)
            else:
                grist.append((line.mass_kg or 0.0) / gyles)
        by_mash = [
            sum(
                (
                    np.atleast_1d(kg)
                    for line, kg in zip(recipe.grist, grist, strict=True)
                    if mashed(line) and line.at.mash == number
                ),
                start=np.zeros(1),
            )
            for number in self.mashes
        ]
        liquor, sparge = self._water(by_mash)
        return Amounts(grist_kg=tuple(grist), hops_kg=tuple(self.hops), liquor_L=tuple(liquor), sparge_L=tuple(sparge))

    def _water(self, by_mash: list[Array]) -> tuple[list[Any], list[Any]]:
        """Split the liquor: what the first mash takes, the rest as sparge."""
        recipe, house = self.recipe, self.brewhouse
        rest = rests_of(recipe, 1)[0]
        mashes = len(self.mashes)
        if rest.liquor_L is not None:
            first: Any = np.full(1, rest.liquor_L / recipe.gyles)
        else:
            first = (rest.thickness_L_kg or house.thickness_L_kg) * by_mash[0]
        if self.free.water == "sparge":
            if rest.liquor_L is None:
                first = np.minimum(first, self.water)
            return [first, *([0.0] * (mashes - 1))], self._sparges(np.maximum(self.water - first, 0.0))
        stated = (recipe.sparge.volume_L or 0.0) / recipe.gyles
        if self.free.water == "liquor":
            first = np.maximum(self.water - stated, 0.1)
        return [first, *([0.0] * (mashes - 1))], self._sparges(stated)

    def _sparges(self, whole: Any) -> list[Any]:
        """Two parts of three through a second bed, which holds the stronger wort; too thin a second mash else."""
        if len(self.mashes) == 1:
            return [whole]
        return [whole / 3.0, whole * 2.0 / 3.0]

    def run(self) -> Brew:
        """Brew all candidates."""
        moves = day(self.recipe, self.brewhouse, self.amounts())
        return run(moves, self.inputs, hop_additions=len(self.recipe.hops), chemistry=False, keep=False)

    def volume(self, brew: Brew) -> Array:
        """The volume the recipe counts."""
        return brew.noted("clear_L") if self.targets.into == "keg" else brew.figures["fermenter.volume"]

    def too_thick(self, brew: Brew) -> NDArray[np.bool_]:
        """Which candidates no one could stir."""
        if "mash.thickness" not in brew.figures:
            return np.zeros(1, dtype=np.bool_)  # nothing is mashed
        thickness: Array = brew.figures["mash.thickness"]
        for number in self.mashes[1:]:
            thickness = np.minimum(thickness, brew.figures[f"mash.{number}.thickness"])
        thick: NDArray[np.bool_] = thickness < THICKEST_L_KG
        return thick

    def settle_water(self, brew: Brew) -> None:
        """Draw as much more or less water as each candidate's volume missed."""
        if self.free.water is None or self.targets.volume_L is None:
            return
        miss = self.targets.volume_L - self.volume(brew)
        self.water = np.clip(self.water + miss / self.recipe.gyles, LEAST_WATER_L, MOST_WATER_L)

    # Steps that settle all unknowns together.

    def spread(self, near: float) -> None:
        """Put beside the first candidate one neighbour for each unknown, in which that is greater by a share."""
        grist, water, hops = float(self.grist[0]), float(self.water[0]), [float(mass[0]) for mass in self.hops]
        width = 1 + len(self.unknowns)
        self.grist, self.water = np.full(width, grist), np.full(width, water)
        self.hops = [np.full(width, mass) for mass in hops]
        for column, unknown in enumerate(self.unknowns, start=1):
            for values in self._values(unknown):
                values[column] *= 1.0 + near

    def _values(self, unknown: Unknown) -> list[Array]:
        if unknown.hop is not None:
            return [self.hops[unknown.hop]]
        if unknown.name == "hops":
            return [self.hops[place] for place in self.free.hops]
        return [self.grist if unknown.name == "grist" else self.water]

    def misses(self, brew: Brew) -> Array:
        """What each unknown is to be changed for, as a share of what is wanted; (unknowns, candidates)."""
        width = self.grist.shape
        return np.array([np.broadcast_to(self._miss(unknown, brew), width) for unknown in self.unknowns]).reshape(
            len(self.unknowns), *width
        )

    def _miss(self, unknown: Unknown, brew: Brew) -> Array:
        targets = self.targets
        if unknown.hop is not None:
            return self._line_miss(unknown.hop, brew)
        if unknown.name == "grist":
            gravity = brew.figures["fermenter.original_gravity"]
            return ((targets.gravity_sg or 1.0) - gravity) / self.scale("gravity_sg")
        if unknown.name == "water":
            return ((targets.volume_L or 0.0) - self.volume(brew)) / self.scale("volume_L")
        own = sum((self._own_bitterness(brew, place) for place in self.free.hops), start=np.zeros(1))
        self._need_bitterness(own, self.recipe.hops[self.free.hops[0]])
        return ((targets.bitterness or 0.0) - brew.figures[targets.measure]) / self.scale("bitterness")

    def _line_miss(self, place: int, brew: Brew) -> Array:
        """Of a hop line that has a rate or a bitterness of its own."""
        hop, mass = self.recipe.hops[place], self.hops[place]
        if hop.rate_g_L is not None:
            wanted = hop.rate_g_L * brew.figures["fermenter.volume"] / 1000.0 / self.recipe.gyles
            return (wanted - mass) / np.maximum(mass, LEAST_HOPS_KG)
        assert hop.bitterness_ibu is not None
        own = self._own_bitterness(brew, place)
        self._need_bitterness(own, hop)
        return (hop.bitterness_ibu - own) / max(hop.bitterness_ibu, 1.0)

    def scale(self, target: str) -> float:
        """What a miss of a target is a share of."""
        if target == "gravity_sg":
            return max((self.targets.gravity_sg or 1.0) - 1.0, 1e-3)
        return max(getattr(self.targets, target) or 0.0, 1.0)

    def _own_bitterness(self, brew: Brew, place: int) -> Array:
        kind = self.targets.measure.removeprefix("glass.bitterness").removeprefix("_") or "kinetic"
        return brew.noted(f"{kind}.{place}")

    @staticmethod
    def _need_bitterness(own: Array, hop: HopLine) -> None:
        if not (own > 0).all():
            raise BadInput(
                f"{hop.what} at {hop.at.text} adds no bitterness by this measure, so its amount cannot be solved;"
                " give a mass or a rate, or let a boiled hop be solved"
            )

    def movable(self, misses: Array) -> NDArray[np.bool_]:
        """Which unknowns can follow their miss; open hops that are as good as none cannot become fewer."""
        none_left = all(self.hops[place][0] <= LEAST_HOPS_KG for place in self.free.hops)
        return np.array(
            [
                not (unknown.name == "hops" and none_left and miss < 0.0)
                for unknown, miss in zip(self.unknowns, misses, strict=True)
            ],
            dtype=np.bool_,
        )

    def step(self, shares: Array) -> Array:
        """Change the first candidate's unknowns by these shares, as far as a step may go; return what they went."""
        self.grist, self.water, self.hops = self.grist[:1], self.water[:1], [mass[:1] for mass in self.hops]
        before = self.first_values()
        for unknown, share in zip(self.unknowns, shares, strict=True):
            if unknown.name == "grist":
                self.grist = self.grist * (1.0 + np.clip(share, -MOST_GRIST_STEP, MOST_GRIST_STEP))
            elif unknown.name == "water":
                more = np.clip(self.water * share, -MOST_WATER_STEP_L, MOST_WATER_STEP_L)
                self.water = np.clip(self.water + more, LEAST_WATER_L, MOST_WATER_L)
            else:
                for place in self.free.hops if unknown.hop is None else (unknown.hop,):
                    grown = self.hops[place] * np.clip(1.0 + share, 0.0, MOST_HOP_STEP)
                    self.hops[place] = np.maximum(grown, LEAST_HOPS_KG)
        went: Array = self.first_values() / before - 1.0
        return went

    def first_values(self) -> Array:
        """The first candidate's unknowns."""
        return np.array([self._values(unknown)[0][0] for unknown in self.unknowns])
