"""Find the amounts a recipe leaves open, so that its aims are met on a brewhouse.

Everything is solved on the centre line, with many candidate grists side by side as if they were draws: one
run of the line judges all of them. Efficiency is never put in; it comes out of each candidate's own balance,
so the gravity a growing grist gives rises, flattens and ends, and an aim beyond that end is refused with it.
"""

from __future__ import annotations

from typing import Any, NoReturn

import attrs
import numpy as np
from numpy.typing import NDArray

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import HopLine, Recipe
from gyle.errors import BadInput, Infeasible
from gyle.line.amounts import Amounts
from gyle.line.beliefs import inputs_for
from gyle.line.brew import Brew
from gyle.line.day import bitterness_measure, day, mash_numbers, mashed, rests_of
from gyle.line.ensemble import Ensemble
from gyle.line.run import run
from gyle.quantities import write
from gyle.science.extract import degrees_plato, solution_kg_L

__all__ = ["THICKEST_L_KG", "Free", "Solution", "Targets", "brewed", "free_of", "solve", "targets_of"]

Array = NDArray[np.float64]

THICKEST_L_KG = 2.0  # no grist is stirred in with less liquor than this
CANDIDATES = 40
NEAR = 0.002  # how far apart the two candidates of a Newton step are, as a share
SETTLED = 2e-7  # a pass that moves amounts by less than this share is the last
FIRST_HOPS_KG = 0.03


@attrs.frozen(kw_only=True)
class Targets:
    """What the solved amounts must give; None where nothing is asked or nothing is free."""

    volume_L: float | None
    into: str = "fermenter"
    gravity_sg: float | None = None
    bitterness: float | None = None
    measure: str = "glass.bitterness_tinseth"


@attrs.frozen(kw_only=True)
class Free:
    """Which amounts a recipe leaves open."""

    shares: bool  # the whole grist scales
    line: int | None  # or one grist line does
    water: str | None  # "sparge", "liquor", or None where both are stated
    hops: tuple[int, ...]

    @property
    def grist(self) -> bool:
        """Whether gravity can be met at all."""
        return self.shares or self.line is not None


@attrs.frozen(kw_only=True, eq=False)
class Solution:
    """Amounts found, and how the centre line brews with them."""

    amounts: Amounts
    centre: Brew
    notes: tuple[str, ...] = ()


def targets_of(recipe: Recipe) -> Targets:
    """The aims of a recipe that amounts can meet."""
    gravity = recipe.aim("fermenter.original_gravity")
    measure = bitterness_measure(recipe)
    bitterness = recipe.aim(measure)
    ratio = recipe.aim("glass.bitterness_ratio")
    ibu = bitterness.value if bitterness else None
    if ibu is None and ratio is not None and gravity is not None:
        ibu = ratio.value * 1000.0 * (gravity.value - 1.0)
    return Targets(
        volume_L=recipe.volume_L,
        into=recipe.into,
        gravity_sg=gravity.value if gravity else None,
        bitterness=ibu,
        measure=measure,
    )


def free_of(recipe: Recipe, brewhouse: Brewhouse) -> Free:
    """Which amounts are open; several open grist lines are refused in one sentence."""
    for line in recipe.grist:
        if line.at.stage not in ("mash", "sparge") and line.ingredient.group not in ("sugar", "no extract"):
            raise BadInput(f"{line.what} at {line.at.text} cannot be dissolved there: grain belongs in the mash")
    shares = any(line.share is not None for line in recipe.grist)
    open_lines = [place for place, line in enumerate(recipe.grist) if line.mass_kg is None and line.share is None]
    if len(open_lines) > 1 or (open_lines and shares):
        names = ", ".join(recipe.grist[place].what for place in open_lines)
        raise BadInput(f"the amounts of {names} are all left open; at most one grist line can be solved for")
    if open_lines and recipe.aim("fermenter.original_gravity") is None:
        raise BadInput(
            f"{recipe.grist[open_lines[0]].what} has no amount and there is no original gravity to solve it from"
        )
    if shares and recipe.aim("fermenter.original_gravity") is None:
        raise BadInput("the grist is given in shares, so an original gravity is needed to find its mass")
    first = rests_of(recipe, 1)[0]
    liquor_stated = first.liquor_L is not None
    sparge_stated = recipe.sparge.volume_L is not None or brewhouse.sparge == "none"
    water = None
    if recipe.volume_L is not None:
        water = "sparge" if not sparge_stated else (None if liquor_stated else "liquor")
    hops = tuple(place for place, hop in enumerate(recipe.hops) if _open(hop))
    return Free(shares=shares, line=open_lines[0] if open_lines else None, water=water, hops=hops)


def _open(hop: HopLine) -> bool:
    return hop.mass_kg is None and hop.rate_g_L is None and hop.bitterness_ibu is None


class _Search:
    """Candidates side by side: grist scale, water, hops; and one run that judges them."""

    def __init__(self, recipe: Recipe, brewhouse: Brewhouse, targets: Targets, free: Free) -> None:
        self.recipe, self.brewhouse, self.targets, self.free = recipe, brewhouse, targets, free
        self.inputs: Ensemble = inputs_for(recipe, brewhouse, draws=1)
        self.mashes = mash_numbers(recipe)
        self.grist = np.ones(1)  # total mass of shared lines, or mass of the open one [kg]
        self.water = np.full(1, 30.0)  # all liquor for the gyle [L]
        self.hops: list[Any] = [self._first_hops(hop) for hop in recipe.hops]
        self.notes: list[str] = []

    def _first_hops(self, hop: HopLine) -> Any:
        if hop.mass_kg is not None:
            return hop.mass_kg / self.recipe.gyles
        if hop.rate_g_L is not None and self.recipe.volume_L is not None:
            return hop.rate_g_L * self.recipe.volume_L / 1000.0 / self.recipe.gyles
        return FIRST_HOPS_KG

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
        return run(moves, self.inputs, hop_additions=len(self.recipe.hops), chemistry=False)

    def volume(self, brew: Brew) -> Array:
        """The volume the recipe counts."""
        return brew.noted("clear_L") if self.targets.into == "keg" else brew.figures["fermenter.volume"]

    def settle_water(self, brew: Brew) -> None:
        """Draw as much more or less water as the volume missed."""
        if self.free.water is None or self.targets.volume_L is None:
            return
        miss = self.targets.volume_L - self.volume(brew)
        self.water = np.clip(self.water + miss / self.recipe.gyles, 0.5, 1e5)

    def settle_hops(self, brew: Brew) -> None:
        """Weigh out hops anew: by rate, by each line's own bitterness, and the open ones for the aim."""
        kind = self.targets.measure.removeprefix("glass.bitterness").removeprefix("_") or "kinetic"
        recipe = self.recipe
        for place, hop in enumerate(recipe.hops):
            if hop.rate_g_L is not None:
                self.hops[place] = hop.rate_g_L * brew.figures["fermenter.volume"] / 1000.0 / recipe.gyles
            elif hop.bitterness_ibu is not None:
                own = brew.noted(f"{kind}.{place}")
                self._need_bitterness(own, hop)
                self.hops[place] = self.hops[place] * hop.bitterness_ibu / np.maximum(own, 1e-9)
        if not self.free.hops:
            return
        if self.targets.bitterness is None:
            names = ", ".join(recipe.hops[place].what for place in self.free.hops)
            raise BadInput(f"{names} has no amount and there is no bitterness to solve it from")
        own = sum((brew.noted(f"{kind}.{place}") for place in self.free.hops), start=np.zeros(1))
        self._need_bitterness(own, recipe.hops[self.free.hops[0]])
        others = brew.figures[self.targets.measure] - own
        scale = np.clip((self.targets.bitterness - others) / np.maximum(own, 1e-9), 0.0, 1e4)
        for place in self.free.hops:
            self.hops[place] = np.maximum(self.hops[place] * scale, 1e-7)

    @staticmethod
    def _need_bitterness(own: Array, hop: HopLine) -> None:
        if not (own > 0).all():
            raise BadInput(
                f"{hop.what} at {hop.at.text} adds no bitterness by this measure, so its amount cannot be solved;"
                " give a mass or a rate, or let a boiled hop be solved"
            )


def _start(search: _Search) -> None:
    recipe, targets = search.recipe, search.targets
    stated = sum(line.mass_kg or 0.0 for line in recipe.grist) / recipe.gyles
    volume = (targets.volume_L or 20.0) / recipe.gyles
    if search.free.grist:
        aim = targets.gravity_sg or 1.050
        extract = volume * float(solution_kg_L(degrees_plato(aim))) * float(degrees_plato(aim)) / 100.0
        rough = extract / 0.62 if search.free.shares else max(extract / 0.75 - stated * 0.8, 0.2)
        search.grist = np.full(1, rough)
        stated = stated + rough
    losses = search.brewhouse.boil_off_L_h.centre * recipe.boil_minutes / 60.0 + 3.0
    search.water = np.full(1, volume + losses + 0.8 * stated)


def _too_thick(search: _Search, brew: Brew) -> NDArray[np.bool_]:
    if "mash.thickness" not in brew.figures:
        return np.zeros(1, dtype=np.bool_)  # nothing is mashed
    thickness: Array = brew.figures["mash.thickness"]
    for number in search.mashes[1:]:
        thickness = np.minimum(thickness, brew.figures[f"mash.{number}.thickness"])
    thick: NDArray[np.bool_] = thickness < THICKEST_L_KG
    return thick


def _grist_for_gravity(search: _Search) -> None:
    """Find the smallest grist that gives the aim, the greatest gravity first."""
    aim = search.targets.gravity_sg
    if aim is None or not search.free.grist:
        return
    middle = float(search.grist[0])
    low, high = np.log(0.3), np.log(3.2)
    if search.free.line is not None:
        low, high = np.log(0.02), np.log(8.0)
    sharpened = False
    for _ in range(4):
        search.grist = middle * np.exp(np.linspace(low, high, CANDIDATES))
        search.water = np.full(CANDIDATES, float(search.water[0]))
        for _ in range(4):
            brew = search.run()
            search.settle_water(brew)
        gravity = np.broadcast_to(brew.figures["fermenter.original_gravity"], search.grist.shape)
        usable = ~np.broadcast_to(_too_thick(search, brew), search.grist.shape)
        above = np.flatnonzero(usable & (gravity >= aim))
        if above.size == 0:
            last = int(np.flatnonzero(usable)[-1]) if usable.any() else CANDIDATES
            if sharpened or last + 1 >= CANDIDATES:
                _refuse_gravity(search, gravity, usable, aim)
            # The end lies between two candidates: look there before refusing.
            sharpened = True
            low, high = np.log(search.grist[last] / middle), np.log(search.grist[last + 1] / middle)
            continue
        first = int(above[0])
        if first > 0:
            break
        if sharpened:
            search.grist, search.water = search.grist[:1], search.water[:1]
            return
        low, high = low - 2.0, low + (high - low) / (CANDIDATES - 1)
    else:
        raise Infeasible(f"less than a handful of grist gives {aim:.3f} already; the stated amounts alone are too much")
    fraction = (aim - gravity[first - 1]) / (gravity[first] - gravity[first - 1])
    step = np.log(search.grist[first] / search.grist[first - 1])
    water = search.water[first - 1] + fraction * (search.water[first] - search.water[first - 1])
    search.grist = search.grist[first - 1 : first] * np.exp(fraction * step)
    search.water = np.full(1, water)


def _volume(search: _Search) -> str:
    return write(search.targets.volume_L or 0.0, "volume")


def _refuse_gravity(search: _Search, gravity: Array, usable: NDArray[np.bool_], aim: float) -> NoReturn:
    if not usable.any():
        raise Infeasible(
            f"{search.brewhouse.name} cannot mash this: with {_volume(search)} wanted, every grist"
            f" that could be tried is thicker than {write(THICKEST_L_KG, 'thickness')}"
        )
    best = int(np.argmax(np.where(usable, gravity, -np.inf)))
    raise Infeasible(
        f"an original gravity of {aim:.3f} cannot be reached on {search.brewhouse.name} with"
        f" {_volume(search)} and this way of mashing: {gravity[best]:.3f} is the most,"
        f" with {write(float(np.sum(search.grist[best])), 'mass')} of grist"
    )


def _polish(search: _Search, passes: int) -> Brew:
    """Meet gravity, volume and bitterness together, by Newton's method on a pair of near candidates."""
    aim = search.targets.gravity_sg if search.free.grist else None
    brew = search.run()
    for _ in range(passes):
        if aim is not None:
            search.grist = search.grist[:1] * np.array([1.0, 1.0 + NEAR])
            search.water = search.water[:1].repeat(2)
            brew = search.run()
        moved = _step_grist_and_water(search, brew, aim)
        brew = _first_only(brew)
        before = [float(np.atleast_1d(mass)[0]) for mass in search.hops]
        search.settle_hops(brew)
        search.hops = [np.atleast_1d(mass)[:1] for mass in search.hops]
        moved += sum(abs(float(new[0]) / old - 1.0) for new, old in zip(search.hops, before, strict=True) if old > 0)
        if moved < SETTLED:
            break
        if aim is None:
            brew = search.run()
    return search.run() if aim is None or moved >= SETTLED else brew


def _step_grist_and_water(search: _Search, brew: Brew, aim: float | None) -> float:
    """Step both unknowns; return by how much they moved, as a share."""
    target = search.targets.volume_L if search.free.water is not None else None
    water = float(search.water[0])
    if aim is None:
        search.settle_water(brew)
        return abs(float(search.water[0]) / water - 1.0)
    # Both candidates had the same water, so their difference is what grist alone does.
    volume = np.broadcast_to(np.atleast_1d(search.volume(brew)), (2,))
    gravity = degrees_plato(np.broadcast_to(brew.figures["fermenter.original_gravity"], (2,)))
    by_grist = float(gravity[1] - gravity[0]) / NEAR
    volume_by_grist = float(volume[1] - volume[0]) / NEAR
    wanted = float(degrees_plato(aim)) - float(gravity[0])
    if target is None:
        change = wanted / by_grist if abs(by_grist) > 1e-9 else 0.0
        more = 0.0
    else:
        # Thinner wort for each litre more, its extract partly washed out of the bed.
        by_water = -float(gravity[0]) / max(float(volume[0]), 1e-6) * 0.55
        matrix = np.array([[by_grist, by_water], [volume_by_grist, search.recipe.gyles]])
        if abs(np.linalg.det(matrix)) < 1e-9:
            return 0.0
        change, more = np.linalg.solve(matrix, np.array([wanted, target - float(volume[0])]))
    change = float(np.clip(change, -0.3, 0.3))
    search.water = np.clip(search.water[:1] + np.clip(more, -20.0, 20.0), 0.5, 1e5)
    search.grist = search.grist[:1] * (1.0 + change)
    return abs(change) + abs(float(search.water[0]) / water - 1.0)


def _first_only(brew: Brew) -> Brew:
    """The same brew seen by its first candidate alone."""
    brew.figures = {name: value[:1] for name, value in brew.figures.items()}
    brew.notes = {name: value[:1] for name, value in brew.notes.items()}
    return brew


def _met(search: _Search, brew: Brew) -> bool:
    """Whether gravity and volume are where they should be."""
    targets = search.targets
    if targets.gravity_sg is not None and search.free.grist:
        if not abs(float(brew.figures["fermenter.original_gravity"][0]) - targets.gravity_sg) < 2e-5:
            return False
        if bool(_too_thick(search, brew).any()):
            return False
    if targets.volume_L is not None and search.free.water is not None and search.free.grist:
        return abs(float(search.volume(brew)[0]) - targets.volume_L) < 5e-3
    return True


def solve(recipe: Recipe, brewhouse: Brewhouse, targets: Targets, *, start: Amounts | None = None) -> Solution:
    """Find what a recipe leaves open on a brewhouse.

    Parameters
    ----------
    recipe, brewhouse : Recipe, Brewhouse
        The beer and where it is brewed.
    targets : Targets
        What must come out on the centre line.
    start : Amounts, optional
        A solution of nearly the same problem, to begin from.

    Returns
    -------
    Solution
        Plain amounts, and the centre line with them.

    Raises
    ------
    Infeasible
        If no grist gives the gravity; the text names the greatest.
    BadInput
        If the recipe leaves open what nothing decides.
    """
    search = _Search(recipe, brewhouse, targets, free_of(recipe, brewhouse))
    _start(search)
    if start is None:
        _grist_for_gravity(search)
        brew = _polish(search, passes=12)
        if not _met(search, brew):
            raise Infeasible(
                f"no grist was found that gives {targets.gravity_sg or 0.0:.3f} and"
                f" {write(targets.volume_L or 0.0, 'volume')} on {brewhouse.name} this way"
            )
    else:
        if search.free.shares:
            search.grist = np.full(1, sum(start.grist_kg))
        elif search.free.line is not None:
            search.grist = np.full(1, start.grist_kg[search.free.line])
        search.water = np.full(1, sum(start.liquor_L) + sum(start.sparge_L))
        search.hops = list(start.hops_kg)
        brew = _polish(search, passes=8)
        if not _met(search, brew):
            return solve(recipe, brewhouse, targets)
    amounts = search.amounts().settled()
    centre = brewed(recipe, brewhouse, amounts, search.inputs)
    return Solution(amounts=amounts, centre=centre, notes=tuple(search.notes))


def brewed(recipe: Recipe, brewhouse: Brewhouse, amounts: Amounts, inputs: Ensemble) -> Brew:
    """Run the line with given amounts."""
    return run(day(recipe, brewhouse, amounts), inputs, hop_additions=len(recipe.hops))
