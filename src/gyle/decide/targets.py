"""What a recipe's open amounts must meet, and which of them are open."""

from __future__ import annotations

import attrs

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import HopLine, Recipe
from gyle.errors import BadInput
from gyle.line.day import bitterness_measure, rests_of

__all__ = ["Free", "Targets", "free_of", "targets_of"]


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
