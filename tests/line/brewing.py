"""Recipes, brewhouses and amounts out of a hat, and the books of a brew: what went in, where it is now."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import attrs
import numpy as np
from hypothesis import strategies as st
from numpy.typing import NDArray
from waters import mineral_lines, waters

from gyle.beer import tables
from gyle.beer.brewhouse import KINDS, Brewhouse
from gyle.beer.estimate import Estimate, known
from gyle.beer.ingredient import Fermentable, Hop, Yeast
from gyle.beer.kinds import default_brewhouse, traits
from gyle.beer.recipe import (
    Aim,
    FermentationStep,
    GristLine,
    HopLine,
    OtherLine,
    Packaging,
    Recipe,
    Rest,
    Sparge,
    YeastLine,
)
from gyle.beer.timing import Timing
from gyle.line.amounts import Amounts
from gyle.line.beliefs import inputs_for
from gyle.line.brew import Brew, Move
from gyle.line.content import MINERALS, WATER_KG_L, Content, species
from gyle.line.day import day, mash_numbers, mashed
from gyle.line.ensemble import Ensemble
from gyle.line.model import MODEL
from gyle.line.run import run

Array = NDArray[np.float64]

LOTS = ("1", "2", "kettle")
MALT = ("fermentable", "convertible", "inert")
HOP = ("alpha", "iso", "lost", "latent", "bitter")
BEFORE_THE_FERMENTER = ("mash", "first wort", "kettle", "held back", "spent grain")


def ingredient(name: str) -> Fermentable:
    found = tables.fermentable(name)
    assert found is not None
    return found[0]


def variety(name: str) -> Hop:
    found = tables.hop(name)
    assert found is not None
    return found[0]


def yeast(name: str) -> Yeast:
    found = tables.yeast(name)
    assert found is not None
    return found[0]


def grain(name: str, *, mash: int = 1, kg: float | None = None) -> GristLine:
    return GristLine(what=name, ingredient=ingredient(name), at=Timing(stage="mash", mash=mash), mass_kg=kg)


def hop(name: str, at: Timing, *, kg: float | None = None, alpha: float | None = None, **more: Any) -> HopLine:
    found = variety(name)
    fraction = found.alpha_fraction if alpha is None else known(alpha)
    return HopLine(what=name, hop=found, alpha_fraction=fraction, at=at, mass_kg=kg, **more)


def pitched(name: str = "clean ale yeast", **more: Any) -> YeastLine:
    return YeastLine(what=name, yeast=yeast(name), **more)


GRAINS = [name for name in tables.fermentable_names() if ingredient(name).mashed]
SUGARS = [name for name in tables.fermentable_names() if not ingredient(name).mashed]

_HOP_AT = st.one_of(
    st.sampled_from([Timing(stage=stage) for stage in ("mash", "sparge", "first wort", "chill", "pitch", "keg")]),
    st.builds(Timing, stage=st.just("boil"), minutes=st.floats(0, 120)),
    st.builds(Timing, stage=st.just("stand"), temperature_C=st.floats(50, 100), minutes=st.floats(0, 90)),
    st.builds(Timing, stage=st.just("dry"), points_above_final=st.floats(0, 20), contact_days=st.floats(0.5, 10)),
    st.builds(Timing, stage=st.just("dry"), day=st.floats(1, 10), contact_days=st.none()),
)
_SUGAR_AT = st.one_of(
    st.sampled_from([Timing(stage=stage) for stage in ("mash", "first wort", "chill", "pitch", "bottle")]),
    st.builds(Timing, stage=st.just("boil"), minutes=st.floats(0, 120)),
    st.builds(Timing, stage=st.just("ferment"), day=st.floats(1, 10)),
)
_OTHER_AT = st.one_of(
    st.sampled_from(
        [Timing(stage=stage) for stage in ("mash", "sparge", "first wort", "chill", "pitch", "keg", "bottle")]
    ),
    st.builds(Timing, stage=st.just("boil"), minutes=st.floats(0, 120)),
    st.builds(Timing, stage=st.just("stand"), temperature_C=st.floats(50, 100), minutes=st.floats(0, 30)),
    st.builds(Timing, stage=st.just("ferment"), day=st.floats(1, 10)),
)


@st.composite
def brewhouses(draw: st.DrawFn) -> Brewhouse:
    """Any brewhouse a kind and its ways make, at any height, with any water or none stated."""
    brim = draw(st.floats(10.0, 90.0))
    of = traits(
        draw(st.sampled_from(KINDS)),
        {
            "mash_vessel_L": brim * draw(st.floats(0.8, 1.2)),
            "kettle_vessel_L": brim,
            "fermenter_vessel_L": brim * 0.8,
            "drain": draw(st.sampled_from(("gravity basket", "hung bag", "squeezed bag", "lauter tun"))),
            "sparge": draw(st.sampled_from(("hand", "none", "continuous", "batch"))),
            "mash_heated": draw(st.booleans()),
            "recirculated": draw(st.booleans()),
            "heat": draw(st.sampled_from(("electric", "gas", "induction"))),
            "chill_by": draw(st.sampled_from(("counterflow", "immersion", "none"))),
            "stand_chill_by": draw(st.sampled_from(("counterflow", "immersion", "none"))),
            "altitude_m": draw(st.floats(0.0, 2500.0)),
        },
    )
    return attrs.evolve(default_brewhouse(of, "out of a hat"), water=draw(waters()))


@st.composite
def recipes(draw: st.DrawFn) -> Recipe:
    """Any recipe: grains, sugars, hops, salts and acids anywhere, one mash or two, wort held back, water, gyles."""
    two = draw(st.booleans())
    grist = [grain(name) for name in draw(st.lists(st.sampled_from(GRAINS), min_size=int(two), max_size=4))]
    if two:
        grist += [grain(name, mash=2) for name in draw(st.lists(st.sampled_from(GRAINS), min_size=1, max_size=2))]
    grist += [
        GristLine(what=name, ingredient=ingredient(name), at=draw(_SUGAR_AT))
        for name in draw(st.lists(st.sampled_from(SUGARS), max_size=3))
    ]
    hops = tuple(
        hop(name, draw(_HOP_AT), vessel=draw(st.sampled_from(("kettle", "hop vessel"))))
        for name in draw(st.lists(st.sampled_from(tables.hop_names()), max_size=8))
    )
    others = tuple(
        OtherLine(
            what=draw(st.sampled_from(("water", "plums", "finings"))),
            at=at,
            mass_kg=draw(st.floats(0.001, 2.0)),
            water_fraction=draw(st.floats(0.0, 0.6)),
            extract_fraction=draw(st.floats(0.0, 0.4)),
        )
        for at in draw(st.lists(_OTHER_AT, max_size=3))
    )
    others += tuple(draw(st.lists(mineral_lines(mashes=2 if two else 1), max_size=4)))
    rests = []
    for mash in (1, 2) if two and draw(st.booleans()) else (1,):
        for _ in range(draw(st.integers(1, 4))):
            rests.append(
                Rest(
                    temperature_C=draw(st.floats(38.0, 79.0)),
                    minutes=draw(st.floats(1.0, 120.0)),
                    by=draw(st.sampled_from(("heat", "infusion", "decoction"))),
                    mash=mash,
                )
            )
    return Recipe(
        name="out of a hat",
        grist=tuple(grist),
        rests=tuple(rests),
        boil_minutes=draw(st.floats(0.0, 150.0)),
        held_back_L=draw(st.none() | st.floats(0.5, 5.0)),
        gyles=draw(st.sampled_from((1, 1, 2))),
        hops=hops,
        others=others,
        yeasts=(
            pitched(draw(st.sampled_from(tables.yeast_names())), attenuation=draw(st.none() | st.floats(0.3, 1.05))),
        ),
        fermentation=(FermentationStep(temperature_C=draw(st.floats(4.0, 35.0)), days=draw(st.floats(2.0, 30.0))),),
        package=Packaging(carbonation_vol=draw(st.floats(1.0, 4.0)), temperature_C=draw(st.floats(0.0, 15.0))),
        sparge=Sparge(squeeze=draw(st.booleans())),
        volume_L=draw(st.none() | st.floats(5.0, 60.0)),
        aims=(Aim(figure="mash.ph", value=draw(st.floats(5.0, 5.8))),) if draw(st.booleans()) else (),
        dilution_share=draw(st.none() | st.floats(0.0, 1.0)),
    )


@st.composite
def amounts_for(draw: st.DrawFn, recipe: Recipe) -> Amounts:
    """Amounts of one gyle a brewer could pour together, sensible or not."""
    grist = tuple(draw(st.floats(0.1, 6.0)) if mashed(line) else draw(st.floats(0.01, 2.0)) for line in recipe.grist)
    mashes = mash_numbers(recipe)
    first = sum(kg for line, kg in zip(recipe.grist, grist, strict=True) if mashed(line) and line.at.mash == 1)
    liquor = [draw(st.floats(2.0, 6.0)) * first + 2.0] + [draw(st.floats(0.0, 4.0)) for _ in mashes[1:]]
    return Amounts(
        grist_kg=grist,
        hops_kg=tuple(draw(st.floats(0.0, 0.2)) for _ in recipe.hops),
        liquor_L=tuple(liquor),
        sparge_L=tuple(draw(st.floats(0.0, 20.0)) for _ in mashes),
    )


@st.composite
def brews(draw: st.DrawFn) -> tuple[Recipe, Brewhouse, Amounts]:
    recipe = draw(recipes())
    return recipe, draw(brewhouses()), draw(amounts_for(recipe))


def brewed(recipe: Recipe, house: Brewhouse, amounts: Amounts, *, draws: int = 1) -> Brew:
    return run(day(recipe, house, amounts), inputs_for(recipe, house, draws), hop_additions=len(recipe.hops))


def begun(
    recipe: Recipe, house: Brewhouse, amounts: Amounts, *, upto: str = "mash.in", inputs: Ensemble | None = None
) -> Brew:
    """A brew as far as one of its moves."""
    moves = day(recipe, house, amounts)
    last = [move.id for move in moves].index(upto)
    own = inputs_for(recipe, house, 1) if inputs is None else inputs
    return run(moves[: last + 1], own, hop_additions=len(recipe.hops))


def malt_kg(content: Content) -> Array:
    """Extract of every mash and of malt extract."""
    return np.sum([content[f"malt.{lot}.{part}"] for lot in LOTS for part in MALT], axis=0)


def everywhere(brew: Brew, gyles: int, row: str) -> Array:
    """A species in all vessels at the end, each gyle's own vessels counted as often as there are gyles."""
    total: Array = np.zeros(1)
    for vessel, content in brew.contents.items():
        total = total + content[row] * (gyles if vessel in BEFORE_THE_FERMENTER else 1)
    return total


def whole_kg(brew: Brew, gyles: int) -> Array:
    """Everything that has mass, wherever it is, and what boiled away."""
    total = brew.noted("evaporated_kg") * gyles
    for vessel, content in brew.contents.items():
        total = total + content.mass_kg * (gyles if vessel in BEFORE_THE_FERMENTER else 1)
    return total


def put_in_kg(brew: Brew, recipe: Recipe, amounts: Amounts) -> Array:
    """Everything a recipe's brewer has poured, weighed or drawn, of all gyles."""
    weighed = sum(amounts.grist_kg) + sum(amounts.hops_kg)
    others = sum(line.mass_kg or 0.0 for line in recipe.others if line.mineral is None)
    return (brew.noted("water_used_L") * WATER_KG_L + weighed) * recipe.gyles + others


# Below: a kettle, a stove and nothing else, for what one move does.


def bare_inputs(beliefs: Mapping[str, Estimate | float], draws: int = 1) -> Ensemble:
    """Inputs of the model and a water with nothing in it, with whatever a test sets beside or instead."""
    own = {name: known(one) if isinstance(one, float | int) else one for name, one in beliefs.items()}
    pure = {f"water.total.{row.removeprefix('~')}": known(0.0) for row in MINERALS}
    return Ensemble({**MODEL, **pure, **own}, draws)


def wort(litres: float, gravity_sg: float, *, hops: int = 0, temperature_C: float = 100.0) -> Content:
    """Wort of one malt."""
    from gyle.science.extract import degrees_plato

    share = float(degrees_plato(gravity_sg)) / 100.0
    mass = litres * gravity_sg * WATER_KG_L
    return Content.of(
        species(hops),
        {"water": mass * (1.0 - share), "malt.1.fermentable": mass * share},
        temperature_C=temperature_C,
    )


def after(content: Content, moves: Iterable[tuple[str, Mapping[str, Any]]], inputs: Ensemble, *, hops: int = 0) -> Brew:
    """A brew whose kettle holds a content, after some moves."""
    from gyle.line.run import PROCESSES

    brew = Brew(inputs, species(hops))
    brew.put("kettle", content)
    for process, given in moves:
        PROCESSES[process](brew, Move(id=process, station="kettle", vessel="kettle", process=process, inputs=given))
    return brew


def certain(house: Brewhouse, **figures: Any) -> Brewhouse:
    """A brewhouse of which some figures are known for sure."""
    return attrs.evolve(house, **{key: known(one) if isinstance(one, float) else one for key, one in figures.items()})
