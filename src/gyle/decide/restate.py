"""What makes a beer this beer, taken from its origin and asked of another brewhouse.

Held: every aim; the gravity; each malt's share of the malts; each sugar's grams in a litre of beer; the
bitterness of each addition that is boiled long; the grams in a litre of each that gives aroma; how far the
wort ferments. Not held, because they belong to the brewhouse: liquor, sparge, efficiency, minutes of heating.
"""

from __future__ import annotations

import attrs

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import Aim, GristLine, HopLine, OtherLine, Recipe
from gyle.decide.plan import Plan
from gyle.decide.solve import Targets
from gyle.line.brew import Brew
from gyle.line.day import bitterness_measure, mashed

__all__ = ["LONG_BOIL_MIN", "MASH_OUT_C", "Wish", "restate", "wish_of"]

MASH_OUT_C = 74.0  # a rest this hot ends a mash
LONG_BOIL_MIN = 20.0  # boiled at least this long, an addition is there for its bitterness


@attrs.frozen(kw_only=True, eq=False)
class Wish:
    """What the beer is, free of any brewhouse."""

    recipe: Recipe
    targets: Targets
    volume_L: float
    beer_g_L: tuple[float, ...]  # grams of each grist line for a litre of the volume the recipe counts
    hop_g_L: tuple[float, ...]
    hop_ibu: tuple[float, ...]  # of each hop line, in the measure that is held
    kinetic_ratio: float  # bitterness by kinetics over the measure that is held, on the centre line
    fermentable_share: float  # of the malts' extract, for this yeast, on the centre line
    colour_ebc: float  # of the beer, by its mean
    lean_volume: float = 1.0  # the centre line's volume over the mean's, so that a search on it fits the mean too
    lean_gravity: float = 0.0
    stated_L: float | None = None  # the volume that amounts of other things were stated for


def _centre(brew: Brew, figure: str) -> float:
    return float(brew.figures[figure][0])


def wish_of(recipe: Recipe, origin: Plan, centre: Brew, *, volume_L: float | None, into: str | None) -> Wish:
    """Read from the plan on the origin what must hold elsewhere."""
    explicit = {aim.figure for aim in recipe.aims}
    measure = bitterness_measure(recipe)
    by_line = any(hop.bitterness_ibu is not None for hop in recipe.hops)
    aimed = measure in explicit or "glass.bitterness_ratio" in explicit
    if not aimed and not by_line:
        measure = "glass.bitterness"
    kind = measure.removeprefix("glass.bitterness").removeprefix("_") or "kinetic"
    gyles = recipe.gyles
    gravity_aim = recipe.aim("fermenter.original_gravity")
    if gravity_aim is not None and not _missed(origin, "fermenter.original_gravity"):
        gravity = gravity_aim.value
    else:
        gravity = origin.figures["fermenter.original_gravity"].mean
    if aimed and not _missed(origin, measure):
        aim = recipe.aim(measure)
        ratio = recipe.aim("glass.bitterness_ratio")
        bitterness = aim.value if aim else (ratio.value if ratio else 0.0) * 1000.0 * (gravity - 1.0)
    else:
        bitterness = origin.figures[measure].mean
    target_into = into or recipe.into
    # The same measure of volume at both ends, stated by the author where it can be, so that there and back is exact.
    if target_into == recipe.into and recipe.volume_L is not None:
        reference = recipe.volume_L
    else:
        reference = (
            float(origin.brew.noted("clear_L").mean())
            if target_into == "keg"
            else float(origin.brew.figures["fermenter.volume"].mean())
        )
    volume = reference if volume_L is None else volume_L
    plain, grist_kg = _plain(recipe, origin.amounts.grist_kg)
    return Wish(
        recipe=plain,
        targets=Targets(
            volume_L=volume,
            into=target_into,
            gravity_sg=gravity,
            bitterness=bitterness,
            measure=measure,
        ),
        volume_L=volume,
        beer_g_L=tuple(1000.0 * kg * gyles / reference for kg in grist_kg),
        hop_g_L=tuple(1000.0 * kg * gyles / reference for kg in origin.amounts.hops_kg),
        hop_ibu=tuple(float(centre.noted(f"{kind}.{place}")[0]) for place in range(len(recipe.hops))),
        kinetic_ratio=_centre(centre, "glass.bitterness") / max(_centre(centre, measure), 1e-9),
        fermentable_share=float(centre.noted("malt_share")[0]),
        colour_ebc=origin.figures["glass.colour"].mean,
        stated_L=reference,
    )


def _plain(recipe: Recipe, grist_kg: tuple[float, ...]) -> tuple[Recipe, tuple[float, ...]]:
    """The beer without what its own brewhouse made necessary: a second mash, wort held back, water after the boil.

    Lines that a double mash split are one line again; a new brewhouse finds its own ways out.
    """
    lines: list[GristLine] = []
    masses: list[float] = []
    for line, kg in zip(recipe.grist, grist_kg, strict=True):
        single = attrs.evolve(line, at=attrs.evolve(line.at, mash=1))
        twin = next((place for place, one in enumerate(lines) if _same(one, single)), None)
        if twin is None:
            lines.append(single)
            masses.append(kg)
        else:
            masses[twin] += kg
    rests = [rest for rest in recipe.rests if rest.mash == 1]
    rests.extend(
        attrs.evolve(rest, mash=1, liquor_from=None)
        for rest in recipe.rests
        if rest.mash == 2 and rest.temperature_C >= MASH_OUT_C
    )
    return (
        attrs.evolve(
            recipe,
            grist=tuple(lines),
            rests=tuple(rests) if rests else recipe.rests,
            others=tuple(line for line in recipe.others if not (line.what == "water" and line.at.stage == "pitch")),
            sparge=attrs.evolve(recipe.sparge, squeeze=False),
            held_back_L=None,
            gyles=1,
        ),
        tuple(masses),
    )


def _same(one: GristLine, other: GristLine) -> bool:
    return one.what == other.what and one.at == other.at and one.ingredient == other.ingredient


def _missed(origin: Plan, figure: str) -> bool:
    return any(miss.figure == figure and not miss.within_rounding for miss in origin.misses)


def _by_bitterness(line: HopLine) -> bool:
    if line.at.stage in ("mash", "first wort"):
        return True
    return line.at.stage == "boil" and (line.at.minutes or 0.0) >= LONG_BOIL_MIN


def open_hop(wish: Wish) -> int | None:
    """The hop line that is solved so that the whole bitterness holds: the most bitter of those boiled."""
    boiled = [
        place
        for place, line in enumerate(wish.recipe.hops)
        if line.at.stage in ("mash", "first wort", "boil") and wish.hop_ibu[place] > 0.0
    ]
    if not boiled:
        return None
    long = [place for place in boiled if _by_bitterness(wish.recipe.hops[place])]
    return max(long or boiled, key=lambda place: wish.hop_ibu[place])


def restate(wish: Wish, house: Brewhouse) -> Recipe:
    """The recipe to be solved on another brewhouse: what is held is stated, the rest left open."""
    recipe = wish.recipe
    malts = sum(wish.beer_g_L[place] for place, line in enumerate(recipe.grist) if mashed(line))
    grist: list[GristLine] = []
    for place, line in enumerate(recipe.grist):
        if mashed(line) and malts > 0.0:
            grist.append(attrs.evolve(line, mass_kg=None, share=wish.beer_g_L[place] / malts))
        else:
            kg = wish.beer_g_L[place] * wish.volume_L / 1000.0
            grist.append(attrs.evolve(line, mass_kg=kg, share=None))
    solved = open_hop(wish)
    hops: list[HopLine] = []
    for place, hop in enumerate(recipe.hops):
        plain = attrs.evolve(hop, mass_kg=None, rate_g_L=None, bitterness_ibu=None)
        if place == solved:
            hops.append(plain)
        elif _by_bitterness(hop) and wish.hop_ibu[place] > 0.0:
            hops.append(attrs.evolve(plain, bitterness_ibu=wish.hop_ibu[place]))
        else:
            hops.append(attrs.evolve(plain, mass_kg=wish.hop_g_L[place] * wish.volume_L / 1000.0))
    aims = tuple(aim for aim in recipe.aims if aim.figure not in ("fermenter.original_gravity", wish.targets.measure))
    rests = tuple(
        rest if place else attrs.evolve(rest, liquor_L=None, thickness_L_kg=None)
        for place, rest in enumerate(recipe.rests)
    )
    scale = wish.volume_L / wish.stated_L if wish.stated_L else 1.0
    return attrs.evolve(
        recipe,
        others=tuple(_scaled(line, scale) for line in recipe.others),
        grist=tuple(grist),
        hops=tuple(hops),
        rests=rests,
        sparge=attrs.evolve(recipe.sparge, volume_L=None),
        volume_L=wish.volume_L,
        into=wish.targets.into,
        aims=(*aims, *_held_aims(wish)),
        for_brewhouse=house,
    )


def _scaled(line: OtherLine, scale: float) -> OtherLine:
    """Another thing for another volume; a rate and a count of whole things hold as they are."""
    if scale == 1.0:
        return line
    mass = None if line.mass_kg is None else line.mass_kg * scale
    volume = None if line.volume_L is None else line.volume_L * scale
    return attrs.evolve(line, mass_kg=mass, volume_L=volume)


def _held_aims(wish: Wish) -> tuple[Aim, ...]:
    assert wish.targets.gravity_sg is not None
    assert wish.targets.bitterness is not None
    return (
        Aim(figure="fermenter.original_gravity", value=wish.targets.gravity_sg),
        Aim(figure=wish.targets.measure, value=wish.targets.bitterness),
    )
