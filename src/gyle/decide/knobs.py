"""What a brewer can turn when a beer does not fit, and the recipe that comes of it.

Each knob is a change of the recipe alone, in keys a file can carry, so that a way out can be written down and
planned again to the same figures.
"""

from __future__ import annotations

import math

import attrs

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import GristLine, OtherLine, Recipe, Rest
from gyle.beer.tables import fermentable
from gyle.beer.timing import Timing
from gyle.decide.restate import MASH_OUT_C, Wish, restate
from gyle.decide.solve import Targets
from gyle.line.day import mashed

__all__ = ["THICK_L_KG", "Knobs", "leaning", "turned"]

THICK_L_KG = 2.3
LAST_PORTION_MIN = 10.0  # the last of the wort held back boils at least this long
SECOND_MASH_MIN = 90.0
SECOND_SHARE = 0.45  # of the base malts: the bed that holds the strongest wort is the smaller one


@attrs.frozen(kw_only=True)
class Knobs:
    """How far each knob is turned; the defaults turn nothing."""

    thick: bool = False
    squeeze: bool = False
    double: bool = False
    gyles: int = 1
    held_back_L: float = 0.0
    top_up_L: float = 0.0
    sugar_g_L: float = 0.0
    malt_extract_g_L: float = 0.0
    boil_extra_min: float = 0.0
    volume_share: float = 1.0

    def measurable(self, volume_L: float) -> Knobs:
        """The same in steps a brewer can measure, each rounded to the side that fits."""
        less = math.floor(10.0 * volume_L * self.volume_share) / 10.0
        return attrs.evolve(
            self,
            held_back_L=math.ceil(10.0 * self.held_back_L - 1e-9) / 10.0,
            top_up_L=math.ceil(10.0 * self.top_up_L - 1e-9) / 10.0,
            boil_extra_min=float(math.ceil(self.boil_extra_min - 1e-9)),
            volume_share=less / volume_L if self.volume_share < 1.0 else 1.0,
        )

    @property
    def name(self) -> str:
        """The ways out in words, joined."""
        parts = [
            (self.double, "double mash"),
            (self.gyles > 1, "two gyles blended"),
            (self.thick, "thicker mash, more sparge"),
            (self.squeeze, "squeezed grain"),
            (self.boil_extra_min > 0, "longer boil"),
            (self.held_back_L > 0, "wort held back"),
            (self.top_up_L > 0, "topped up after the boil"),
            (self.sugar_g_L > 0, "more sugar"),
            (self.malt_extract_g_L > 0, "malt extract for part of the grist"),
            (self.volume_share < 1.0, "smaller volume"),
        ]
        return " + ".join(words for on, words in parts if on) or "as it is"


def turned(wish: Wish, house: Brewhouse, knobs: Knobs) -> tuple[Recipe, Targets]:
    """The recipe and targets with the knobs turned, still to be solved."""
    volume = wish.volume_L * knobs.volume_share
    smaller = attrs.evolve(wish, volume_L=volume, targets=attrs.evolve(wish.targets, volume_L=volume))
    recipe = restate(smaller, house)
    if knobs.double:
        recipe = _double(recipe)
    if knobs.thick:
        recipe = attrs.evolve(
            recipe,
            rests=tuple(
                attrs.evolve(rest, thickness_L_kg=THICK_L_KG) if place == 0 else rest
                for place, rest in enumerate(recipe.rests)
            ),
        )
    if knobs.squeeze:
        recipe = attrs.evolve(recipe, sparge=attrs.evolve(recipe.sparge, squeeze=True))
    if knobs.sugar_g_L > 0.0:
        recipe = _with_sugar(recipe, knobs.sugar_g_L * volume / 1000.0)
    if knobs.malt_extract_g_L > 0.0:
        recipe = _with_line(recipe, "dried malt extract, pale", knobs.malt_extract_g_L * volume / 1000.0)
    if knobs.top_up_L > 0.0:
        water = OtherLine(what="water", at=Timing(stage="pitch"), volume_L=knobs.top_up_L, water_fraction=1.0)
        recipe = attrs.evolve(recipe, others=(*recipe.others, water))
    return (
        attrs.evolve(
            recipe,
            gyles=knobs.gyles if knobs.gyles > 1 else recipe.gyles,
            held_back_L=knobs.held_back_L or recipe.held_back_L,
            boil_minutes=max(recipe.boil_minutes + knobs.boil_extra_min, _minutes_to_make_room(house, knobs)),
        ),
        smaller.targets,
    )


def _minutes_to_make_room(house: Brewhouse, knobs: Knobs) -> float:
    """A boil long enough that all wort held back goes in and is itself boiled a while."""
    if knobs.held_back_L <= 0.0:
        return 0.0
    return float(math.ceil(60.0 * knobs.held_back_L / house.boil_off_L_h.centre + LAST_PORTION_MIN))


def leaning(wish: Wish, targets: Targets) -> Targets:
    """The targets as the centre line must meet them for the mean to meet them."""
    assert targets.volume_L is not None
    gravity = targets.gravity_sg
    if gravity is not None:
        gravity += wish.lean_gravity
    return attrs.evolve(targets, volume_L=targets.volume_L * wish.lean_volume, gravity_sg=gravity)


def _with_sugar(recipe: Recipe, kg: float) -> Recipe:
    """More of the sugar that is in already, else dextrose."""
    for place, line in enumerate(recipe.grist):
        if line.ingredient.group == "sugar" and line.ingredient.name in ("sucrose", "dextrose monohydrate"):
            more = attrs.evolve(line, mass_kg=(line.mass_kg or 0.0) + kg)
            return attrs.evolve(recipe, grist=(*recipe.grist[:place], more, *recipe.grist[place + 1 :]))
    return _with_line(recipe, "dextrose monohydrate", kg)


def _with_line(recipe: Recipe, what: str, kg: float) -> Recipe:
    found = fermentable(what)
    assert found is not None, f"{what} is in the table"
    line = GristLine(what=what, ingredient=found[0], at=Timing(stage="boil", minutes=10.0), mass_kg=kg)
    return attrs.evolve(recipe, grist=(*recipe.grist, line))


def _double(recipe: Recipe) -> Recipe:
    """Mash twice, the second grist in the first wort.

    What brings no enzymes, and what colours, goes into the first mash: the second must convert itself in
    strong wort. Every base malt is split alike, so that both beds have husk and enzymes.
    """
    if any(line.at.mash == 2 for line in recipe.grist):
        return recipe
    whole = sum(line.share or 0.0 for line in recipe.grist)
    base = sum(line.share or 0.0 for line in recipe.grist if _base(line))
    if base <= 0.0 or whole <= 0.0:
        return recipe
    part = min(SECOND_SHARE * whole / base, 0.95)
    grist: list[GristLine] = []
    second: list[GristLine] = []
    for line in recipe.grist:
        if not _base(line) or line.share is None:
            grist.append(line)
            continue
        grist.append(attrs.evolve(line, share=line.share * (1.0 - part)))
        second.append(attrs.evolve(line, share=line.share * part, at=attrs.evolve(line.at, mash=2)))
    places = [place for place, line in enumerate(grist) if mashed(line)]
    cut = places[-1] + 1
    main = max(recipe.rests, key=lambda rest: rest.minutes)
    first = tuple(rest for rest in recipe.rests if rest.temperature_C < MASH_OUT_C) or (main,)
    outs = tuple(attrs.evolve(rest, mash=2) for rest in recipe.rests if rest.temperature_C >= MASH_OUT_C)
    again = Rest(
        temperature_C=main.temperature_C,
        minutes=max(SECOND_MASH_MIN, main.minutes),
        mash=2,
        liquor_from="mash 1",
    )
    return attrs.evolve(recipe, grist=(*grist[:cut], *second, *grist[cut:]), rests=(*first, again, *outs))


def _base(line: GristLine) -> bool:
    return mashed(line) and line.ingredient.group == "base malt" and line.ingredient.diastatic_lintner > 0.0
