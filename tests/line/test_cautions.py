"""Cautions stand where the hazard is, with the figures of this very brew."""

from __future__ import annotations

import attrs
from brewing import (
    Amounts,
    Brewhouse,
    GristLine,
    OtherLine,
    Recipe,
    Rest,
    Timing,
    brewed,
    certain,
    grain,
    hop,
    pitched,
)

from gyle.beer.kinds import default_brewhouse, traits
from gyle.line.cautions import cautions

ELECTRIC = default_brewhouse(traits("electric all-in-one", {"kettle_vessel_L": 48.0}), "electric")


def recipe(**changes: object) -> Recipe:
    plain = Recipe(
        name="strong",
        grist=(grain("pale ale malt"), grain("pale ale malt", mash=2)),
        rests=(Rest(temperature_C=66.0, minutes=60.0),),
        hops=(hop("Magnum", Timing(stage="boil", minutes=60.0)),),
        yeasts=(pitched("high-gravity clean ale yeast"),),
    )
    return attrs.evolve(plain, **changes)


def said(station: str, of: Recipe, house: Brewhouse, grist_kg: tuple[float, ...], system: str = "metric") -> str:
    amounts = Amounts(grist_kg=grist_kg, hops_kg=(0.03,) * len(of.hops), liquor_L=(20.0, 0.0), sparge_L=(4.0, 6.0))
    brew = brewed(of, house, amounts)
    return " ".join(one.text for one in cautions(of, house, brew, system=system) if one.station == station)


def test_the_heavier_of_two_beds_is_weighed() -> None:
    # A kilogram of grist weighs about 2.4 kg as it streams.
    for grist_kg in ((7.0, 4.0), (4.0, 7.0)):
        text = said("lauter", recipe(), ELECTRIC, grist_kg)
        assert "about 17 kg" in text
        assert "hoist" in text
    assert "hoist" not in said("lauter", recipe(), ELECTRIC, (2.0, 2.0))


def test_units_are_the_readers() -> None:
    text = said("lauter", recipe(), ELECTRIC, (7.0, 4.0), system="us")
    assert "lb" in text
    assert "kg" not in text


def test_a_plug_is_held_against_the_element() -> None:
    small, full, large = (
        said("kettle", recipe(), certain(ELECTRIC, power_kW=power), (5.0, 4.0)) for power in (2.0, 3.0, 3.3)
    )
    assert "8.7 A at 230 V" in small
    assert "extension reel" not in small
    assert "extension reel" in full
    assert "circuit of its own" in large
    assert "14.3 A" in large
    for text in (small, full, large):
        assert "residual-current" in text


def test_gas_wants_air() -> None:
    gas = default_brewhouse(traits("bag in pot"), "gas")
    text = said("kettle", recipe(), gas, (3.0, 2.0))
    assert "carbon monoxide" in text
    assert "Mains" not in text


def test_sugar_scorches_only_where_there_is_some() -> None:
    sugar = GristLine(what="sucrose", ingredient=grain("sucrose").ingredient, at=Timing(stage="boil", minutes=5.0))
    assert "scorches" in said("kettle", recipe(grist=(*recipe().grist, sugar)), ELECTRIC, (5.0, 4.0, 1.0))
    assert "scorches" not in said("kettle", recipe(), ELECTRIC, (5.0, 4.0))


def test_strength_gas_and_allergens_are_told() -> None:
    strong, weak = (said("glass", recipe(), ELECTRIC, grist) for grist in ((7.0, 5.0), (2.0, 1.0)))
    assert "Strong: 330 mL holds about" in strong
    assert "Do not drink and drive" in weak
    assert "gluten" in strong
    milk = OtherLine(what="milk powder", at=Timing(stage="boil", minutes=5.0), mass_kg=0.1, allergen="milk")
    assert "gluten, milk" in said("glass", recipe(others=(milk,)), ELECTRIC, (4.0, 3.0))
    assert "suffocates" in said("fermenter", recipe(), ELECTRIC, (5.0, 4.0))
    assert "Diastatic" in said(
        "fermenter", recipe(yeasts=(pitched("diastatic farmhouse ale yeast"),)), ELECTRIC, (5.0, 4.0)
    )


def test_nothing_hot_is_lifted_where_nothing_is_mashed() -> None:
    pack = GristLine(
        what="dried malt extract, pale",
        ingredient=grain("dried malt extract, pale").ingredient,
        at=Timing(stage="boil", minutes=30.0),
    )
    kit = recipe(grist=(pack,), rests=())
    assert said("lauter", kit, ELECTRIC, (3.0,)) == ""
    assert "Hot break" in said("kettle", kit, ELECTRIC, (3.0,))
