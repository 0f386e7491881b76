"""Facts of the trade T01 to T12, each as a brewer would check it; docs/science.md says how the model stands to them."""

from __future__ import annotations

from pathlib import Path

import attrs
import pytest

from gyle.beer.reading import read_brewhouse, read_recipe, recipe_from_text
from gyle.decide.adapt import adapt
from gyle.decide.plan import Plan, plan
from gyle.quantities import convert, read, write

EXAMPLES = Path(__file__).parents[2] / "examples" / "lantern-street"
common_practice = pytest.mark.source("common practice, no source", provenance="common-practice")


def _house(name: str = "lantern-street-48"):  # type: ignore[no-untyped-def]
    return read_brewhouse(EXAMPLES / f"{name}.toml")


def _plan(text: str) -> Plan:
    return plan(recipe_from_text(text, name="fact.toml"), _house())


STRONG_PALE = """
name = "Strong pale"
volume = "21 L"
[aim]
original_gravity = "1.090"
bitterness = "80 IBU"
[[grist]]
what = "pale malt, two-row"
share = "85 %"
[[grist]]
what = "dextrose monohydrate"
share = "15 %"
at = "boil 10 min"
[[mash]]
temperature = "65 °C"
time = "75 min"
[boil]
time = "30 min"
[[hops]]
what = "Magnum"
alpha = "13 %"
at = "boil 30 min"
[[hops]]
what = "Citadel"
alpha = "10 %"
mass = "20 g"
at = "boil 20 min"
[[hops]]
what = "Centennial"
mass = "20 g"
at = "boil 15 min"
[[hops]]
what = "Centennial"
mass = "20 g"
at = "boil 10 min"
[[hops]]
what = "Cascade"
mass = "20 g"
at = "boil 5 min"
[[hops]]
what = "Cascade"
mass = "40 g"
at = "stand 80 °C 15 min"
in = "hop vessel"
[[yeast]]
what = "high-gravity clean ale yeast"
[[fermentation]]
temperature = "19 °C"
time = "12 days"
""".replace("Citadel", "Chinook")


@pytest.fixture(scope="module")
def strong() -> Plan:
    return _plan(STRONG_PALE)


@common_practice
@pytest.mark.parametrize(
    ("metric", "kind", "us", "digits"),
    [
        ("65 °C", "temperature", "149 °F", 0),
        ("80 °C", "temperature", "176 °F", 0),
        ("5 °C", "temperature", "41 °F", 0),
    ],
)
def test_t01_displayed_pairs_round_as_the_trade_rounds_them(metric: str, kind: str, us: str, digits: int) -> None:
    assert write(read(metric, kind).value, kind, system="us", digits=digits) == us


@common_practice
def test_t01_twelve_psi() -> None:
    assert convert(read("12 psi", "pressure").value, "pressure", "bar") == pytest.approx(0.83, abs=0.005)


@common_practice
def test_t02_a_firmly_bitter_strong_pale_ale(strong: Plan) -> None:
    ratio = strong.figures["glass.bitterness_ratio"]
    assert ratio.mean == pytest.approx(80.0 / 90.0, rel=0.02)
    assert ratio.low < 0.9 < ratio.high


@common_practice
def test_t03_where_a_strong_pale_ale_with_sugar_ends(strong: Plan) -> None:
    final = strong.figures["fermenter.final_gravity"]
    assert final.low < 1.007
    assert final.high > 1.010
    assert 1.007 <= final.median <= 1.0115


@common_practice
def test_t04_dextrose_or_sucrose_at_equal_extract(strong: Plan) -> None:
    found = adapt(strong.recipe, _house(), instead="sucrose for dextrose")
    there, here = found.origin.figures, found.unrounded.figures
    assert here["fermenter.original_gravity"].mean == pytest.approx(there["fermenter.original_gravity"].mean, abs=2e-4)
    # Sucrose takes up water as it ferments: a little more alcohol for the same extract, never less.
    assert 0.0 < here["fermenter.alcohol"].mean - there["fermenter.alcohol"].mean < 0.3


@common_practice
def test_t06_two_in_a_hundred_of_crystal_colours_a_beer() -> None:
    plain = _plan(STRONG_PALE)
    with_crystal = _plan(
        STRONG_PALE.replace('share = "85 %"', 'share = "83 %"').replace(
            "[[mash]]", '[[grist]]\nwhat = "crystal malt 120 EBC"\nshare = "2 %"\n[[mash]]', 1
        )
    )
    gained = with_crystal.figures["glass.colour"].mean - plain.figures["glass.colour"].mean
    assert 2.0 < gained < 12.0


@common_practice
def test_t07_a_grist_too_large_is_mashed_in_two_steps_the_second_in_the_first_wort() -> None:
    found = adapt(read_recipe(EXAMPLES / "copper-beacon.toml"), _house("lantern-street-28"))
    best = next(option for option in found.options if option.recommended)
    assert "double mash" in best.name
    assert any(rest.liquor_from == "mash 1" for rest in found.recipe.rests)


@common_practice
def test_t08_the_hot_break_is_cautioned(strong: Plan) -> None:
    assert any(one.station == "kettle" and "Hot break" in one.text for one in strong.cautions())


@common_practice
def test_t09_sugar_is_dissolved_or_it_scorches(strong: Plan) -> None:
    assert any(one.station == "kettle" and "scorch" in one.text for one in strong.cautions())
    dry = plan(read_recipe(EXAMPLES / "ropewalk.toml"), _house())
    assert not any("scorch" in one.text for one in dry.cautions())


@common_practice
def test_t10_a_short_boil_with_hops_every_five_minutes_then_a_stand(strong: Plan) -> None:
    boil_end = next(float(s.start_min.mean()) for s in strong.brew.steps if s.move.id == "kettle.end")
    added = [
        round(boil_end - float(step.start_min.mean()))
        for step in strong.brew.steps
        if step.move.id.startswith("kettle.hops")
    ]
    assert added == [30, 20, 15, 10, 5]
    stand = next(step for step in strong.brew.steps if step.move.id == "stand.rest.1")
    assert float(stand.minutes.mean()) == pytest.approx(15.0)


@common_practice
def test_t11_one_chiller_to_the_stand_another_for_the_transfer(strong: Plan) -> None:
    house = _house()
    assert house.stand_chill_by == "immersion"
    assert house.chill_by == "counterflow"
    steps = {step.move.id: step for step in strong.brew.steps}
    assert float(steps["stand.cool.1"].minutes.mean()) < float(steps["stand.chill"].minutes.mean())


@common_practice
def test_t12_a_hop_vessel_extracts_less_than_hops_in_the_kettle(strong: Plan) -> None:
    open_hops = tuple(attrs.evolve(line, vessel="kettle") for line in strong.recipe.hops)
    masses = tuple(attrs.evolve(line, mass_kg=kg) for line, kg in zip(open_hops, strong.amounts.hops_kg, strict=True))
    in_kettle = plan(attrs.evolve(strong.recipe, hops=masses, aims=strong.recipe.aims[:1]), _house())
    assert in_kettle.figures["glass.bitterness"].mean > strong.figures["glass.bitterness"].mean
