"""Nothing is made and nothing lost, whatever is brewed wherever."""

from __future__ import annotations

import numpy as np
from brewing import (
    HOP,
    LOTS,
    MALT,
    Amounts,
    Brew,
    bare_inputs,
    brewed,
    brews,
    everywhere,
    put_in_kg,
    whole_kg,
    wort,
)
from hypothesis import given, settings
from hypothesis import strategies as st

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import Recipe
from gyle.line.brew import Move
from gyle.line.content import Content, draw_off, mix, species
from gyle.line.day import mashed
from gyle.line.mash import HYDROLYSIS_WATER
from gyle.line.run import PROCESSES

EXACT = 1e-9
KINDS = species(3)
POSITIVE = [name for name in KINDS.names if name != "~alkalinity"]  # acid counts as alkalinity below nothing


def assert_same(got: np.ndarray, wanted: np.ndarray, *, within: float = EXACT, nothing: float = 0.0) -> None:
    """Equal draw by draw; one of the two may be the same for all draws."""
    np.testing.assert_allclose(*np.broadcast_arrays(got, wanted), rtol=within, atol=nothing)


def contents() -> st.SearchStrategy[Content]:
    """Any content: each species from nothing to a thousand kilograms, three draws."""
    row = st.lists(st.just(0.0) | st.floats(1e-9, 1e3), min_size=3, max_size=3)
    return st.builds(
        lambda rows, temperature: Content.of_array(KINDS, np.array(rows), np.array(temperature)),
        st.lists(row, min_size=KINDS.count, max_size=KINDS.count),
        st.lists(st.floats(0.0, 105.0), min_size=3, max_size=3),
    )


@given(contents(), contents())
def test_mixing_keeps_every_species_and_the_mass(one: Content, other: Content) -> None:
    both = mix(one, other)
    np.testing.assert_allclose(both.amounts, one.amounts + other.amounts, rtol=EXACT)
    np.testing.assert_allclose(both.mass_kg, one.mass_kg + other.mass_kg, rtol=EXACT)
    low, high = np.minimum(one.temperature_C, other.temperature_C), np.maximum(one.temperature_C, other.temperature_C)
    weighed = one.mass_kg + other.mass_kg > 0.0
    assert ((both.temperature_C >= low - 1e-9) & (both.temperature_C <= high + 1e-9))[weighed].all()


@given(contents(), st.lists(st.floats(0.0, 1.0), min_size=3, max_size=3), st.booleans())
def test_drawing_off_keeps_every_species_and_the_mass(content: Content, share: list[float], solids: bool) -> None:
    drawn, left = draw_off(content, share, solids=solids)
    np.testing.assert_allclose(drawn.amounts + left.amounts, content.amounts, rtol=EXACT, atol=1e-300)
    np.testing.assert_allclose(drawn.mass_kg + left.mass_kg, content.mass_kg, rtol=EXACT)
    assert (drawn.amounts >= 0.0).all()
    assert (left.amounts >= 0.0).all()
    if not solids:
        for stays in ("starch.1", "starch.2", "husk", "hop matter", "yeast"):
            assert (drawn[stays] == 0.0).all()


def _dry_grist(brew: Brew, recipe: Recipe, amounts: Amounts) -> tuple[np.ndarray, np.ndarray]:
    """Dry matter and potential extract of what is mashed in one gyle [kg]."""
    from gyle.line.beliefs import lots

    dry = potential = np.zeros(1)
    for line, lot, kg in zip(recipe.grist, lots(recipe)[0], amounts.grist_kg, strict=True):
        if mashed(line):
            solid = kg * (1.0 - brew.inputs[f"lot.{lot}.moisture"])
            dry = dry + solid
            potential = potential + solid * brew.inputs[f"lot.{lot}.extract"]
    return dry, potential


@settings(max_examples=150)
@given(brews())
def test_all_that_went_in_is_somewhere(drawn: tuple[Recipe, Brewhouse, Amounts]) -> None:
    recipe, house, amounts = drawn
    for draws in (1, 8):
        brew = brewed(recipe, house, amounts, draws=draws)
        assert_same(whole_kg(brew, recipe.gyles), put_in_kg(brew, recipe, amounts))


@settings(max_examples=100)
@given(brews())
def test_solids_that_only_lie_there_are_all_found_again(drawn: tuple[Recipe, Brewhouse, Amounts]) -> None:
    recipe, house, amounts = drawn
    brew = brewed(recipe, house, amounts, draws=8)
    gyles = recipe.gyles
    # Husk is what is neither water nor extract: of the grist, and of whatever else was put in.
    dry, _ = _dry_grist(brew, recipe, amounts)
    starch_and_extract = sum(
        everywhere(brew, gyles, f"starch.{lot}") + (1.0 - HYDROLYSIS_WATER) * brew_extract(brew, gyles, lot)
        for lot in ("1", "2")
    )
    eaten = taken_from_malt(brew)
    other = sum(
        (line.mass_kg or 0.0) * (1.0 - line.water_fraction - line.extract_fraction)
        for line in recipe.others
        if line.mineral is None and line.what != "water"
    )
    husk = everywhere(brew, gyles, "husk")
    assert_same(husk + starch_and_extract + (1.0 - HYDROLYSIS_WATER) * eaten, dry * gyles + other)
    # Hops: all their mass is hop matter or followed resin, addition by addition.
    resin = np.zeros(1)
    for place in range(len(recipe.hops)):
        brought = brew.noted(f"alpha_kg.{place}") * (1.0 + brew.inputs["model.other_bitter_matter"]) * gyles
        found = sum(everywhere(brew, gyles, f"hop.{place}.{part}") for part in HOP)
        assert_same(found, brought, nothing=1e-15)
        resin = resin + found
    matter = everywhere(brew, gyles, "hop matter")
    assert_same(matter + resin, np.array(sum(amounts.hops_kg) * gyles), nothing=1e-15)


def brew_extract(brew: Brew, gyles: int, lot: str) -> np.ndarray:
    return sum((everywhere(brew, gyles, f"malt.{lot}.{part}") for part in MALT), start=np.zeros(1))


def taken_from_malt(brew: Brew) -> np.ndarray:
    """Extract of mashed malt that the yeast took, from what it held before and after."""
    steps = [step for step, _ in brew.kept]
    place = steps.index("fermenter.ferment")
    before, now = brew.kept[place - 1][1]["fermenter"], brew.kept[place][1]["fermenter"]
    return np.sum([before[f"malt.{lot}.{part}"] - now[f"malt.{lot}.{part}"] for lot in "12" for part in MALT], axis=0)


@settings(max_examples=100)
@given(brews())
def test_fermentation_keeps_its_stoichiometry(drawn: tuple[Recipe, Brewhouse, Amounts]) -> None:
    recipe, house, amounts = drawn
    brew = brewed(recipe, house, amounts, draws=8)
    place = [step for step, _ in brew.kept].index("fermenter.ferment")
    before, now = brew.kept[place - 1][1]["fermenter"], brew.kept[place][1]["fermenter"]
    taken = before.extract_kg - now.extract_kg
    made = now["ethanol"] + brew.contents["air"]["carbon dioxide"] + now["yeast"]
    assert_same(made, taken, nothing=1e-12)
    assert_same(brew.contents["air"]["carbon dioxide"], 0.9565 * now["ethanol"])
    for row in ("water", "husk", "hop matter", "other", "sugar.inert"):
        assert_same(now[row], before[row], within=0.0)
    for row in (f"malt.{lot}.{part}" for lot in LOTS for part in MALT):
        assert (now[row] >= -1e-12).all(), row


@settings(max_examples=60)
@given(brews())
def test_no_vessel_ever_holds_less_than_nothing(drawn: tuple[Recipe, Brewhouse, Amounts]) -> None:
    recipe, house, amounts = drawn
    brew = brewed(recipe, house, amounts, draws=8)
    for step, vessels in brew.kept:
        for vessel, content in vessels.items():
            wrong = [name for name in POSITIVE if name in content.species.index and (content[name] < -1e-9).any()]
            assert not wrong, (step, vessel, wrong)


_SUGAR = {"lot": "sugar", "mass_kg": 0.7, "as": "disaccharide", "what": "sucrose"}
_KETTLE_MOVES = st.one_of(
    st.tuples(st.just("boil"), st.fixed_dictionaries({"minutes": st.floats(0.0, 90.0)})),
    st.tuples(st.just("hold back"), st.fixed_dictionaries({"volume_L": st.floats(0.0, 30.0)})),
    st.tuples(st.just("pour back"), st.fixed_dictionaries({"share": st.floats(0.0, 1.0)})),
    st.tuples(st.just("fill"), st.fixed_dictionaries({"volume_L": st.floats(0.0, 20.0)})),
    st.tuples(st.just("add"), st.just({"sugars": [_SUGAR]})),
    st.tuples(
        st.just("add"),
        st.builds(
            lambda place, kg: {"hops": [{"addition": place, "lot": "hop", "mass_kg": kg, "what": "hop"}]},
            st.integers(0, 2),
            st.floats(0.0, 0.3),
        ),
    ),
    st.just(("heat up", {})),
    st.tuples(st.just("stand"), st.fixed_dictionaries({"minutes": st.floats(0.0, 60.0)})),
    st.tuples(st.just("cool to stand"), st.fixed_dictionaries({"temperature_C": st.floats(30.0, 99.0)})),
    st.tuples(
        st.just("chill"),
        st.fixed_dictionaries(
            {"by": st.sampled_from(("counterflow", "immersion", "none")), "to_C": st.floats(5.0, 30.0)}
        ),
    ),
)
_STOVE = {
    "brewhouse.ambient": 20.0,
    "brewhouse.tap_water": 12.0,
    "brewhouse.power": 3.0,
    "brewhouse.heat_efficiency": 0.95,
    "brewhouse.kettle_loss": 6.0,
    "brewhouse.kettle_heat_capacity": 5.0,
    "brewhouse.boiling_water": 99.9,
    "brewhouse.boil_off": 3.0,
    "brewhouse.isomerisation": 1.0,
    "brewhouse.stand_chill_rate": 0.1,
    "brewhouse.chill_water": 12.0,
    "brewhouse.chill_minutes": 20.0,
    "lot.hop.alpha": 0.1,
    "lot.sugar.extract": 0.9995,
    "lot.sugar.moisture": 0.0005,
    "lot.sugar.fermentable": 1.0,
    "lot.sugar.colour": 0.0,
}


@settings(max_examples=200)
@given(st.lists(_KETTLE_MOVES, max_size=14))
def test_any_list_of_moves_keeps_what_it_was_given(moves: list[tuple[str, dict[str, object]]]) -> None:
    inputs = bare_inputs(_STOVE)
    brew = Brew(inputs, KINDS)
    start = wort(25.0, 1.060, hops=3)
    brew.put("kettle", start)
    given_kg, extract, hops = start.mass_kg, start.extract_kg, np.zeros(1)
    for process, wanted in moves:
        move = Move(id=process, station="kettle", vessel="kettle", process=process, inputs=wanted)
        PROCESSES[process](brew, move)
        if process == "fill":
            given_kg = given_kg + wanted["volume_L"] * 0.9982012  # type: ignore[operator]
        for one in wanted.get("hops", ()):  # type: ignore[attr-defined]
            given_kg, hops = given_kg + one["mass_kg"], hops + one["mass_kg"]
        for one in wanted.get("sugars", ()):  # type: ignore[attr-defined]
            given_kg, extract = given_kg + one["mass_kg"], extract + one["mass_kg"] * 0.9995 * 0.9995
    vessels = list(brew.contents.values())
    mass = np.sum([content.mass_kg for content in vessels], axis=0) + brew.noted("evaporated_kg")
    np.testing.assert_allclose(mass, given_kg, rtol=EXACT)
    np.testing.assert_allclose(np.sum([one.extract_kg for one in vessels], axis=0), extract, rtol=EXACT)
    resin = [one[f"hop.{place}.{part}"] for one in vessels for place in range(3) for part in HOP]
    found = np.sum([*resin, *(one["hop matter"] for one in vessels)], axis=0)
    np.testing.assert_allclose(found, hops, rtol=EXACT, atol=1e-15)
