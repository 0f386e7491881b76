"""Cautions stand where the hazard is, with the figures of this very brew."""

from __future__ import annotations

import re

import attrs
import pytest
from brewing import (
    Amounts,
    Brewhouse,
    GristLine,
    OtherLine,
    Packaging,
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
from gyle.line.allergens import allergens
from gyle.line.cautions import cautions
from gyle.line.figures import band
from gyle.quantities import band_text

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
        assert re.search(r"about 16\.\d+ kg", text)
        assert "two people" in text


def test_who_lifts_goes_by_the_mass() -> None:
    light, middle, heavy = (said("lauter", recipe(), ELECTRIC, (kg, 1.0)) for kg in (3.0, 5.5, 8.0))
    for text in (light, middle, heavy):
        assert text.startswith("Hot and ")
        assert "scalding" in text
    assert "arm's length" not in light
    assert "heavy to hold" in middle
    assert "two people" not in middle
    assert "two people" in heavy


def test_drained_grain_is_written_as_the_figure_is() -> None:
    amounts = Amounts(grist_kg=(7.0, 1.0), hops_kg=(0.03,), liquor_L=(20.0, 0.0), sparge_L=(4.0, 6.0))
    brew = brewed(recipe(), ELECTRIC, amounts, draws=256)
    found = band(brew.figures["lauter.bed_kg"])
    shown = band_text(found.mean, found.low, found.high, "mass", system="metric")
    text = next(one.text for one in cautions(recipe(), ELECTRIC, brew, system="metric") if one.station == "lauter")
    assert f" and {shown.mean} {shown.unit} drained" in text


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
    assert "gluten (barley); milk." in said("glass", recipe(others=(milk,)), ELECTRIC, (4.0, 3.0))
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


@pytest.mark.parametrize(
    ("grains", "listed"),
    [
        (("pale ale malt",), "gluten (barley)"),
        (("flaked oats", "rye malt", "wheat malt, pale", "pale ale malt"), "gluten (barley, oats, rye, wheat)"),
        (("spelt malt",), "gluten (wheat)"),
        (("dried malt extract, wheat",), "gluten (barley, wheat)"),
        (("pale ale malt", "lactose monohydrate", "flaked maize"), "gluten (barley); milk (lactose)"),
        (("flaked rice", "rice hulls", "sucrose"), ""),
    ],
)
def test_cereals_are_named_one_by_one(grains: tuple[str, ...], listed: str) -> None:
    found = allergens(recipe(grist=tuple(grain(name) for name in grains)))
    assert "; ".join(found) == listed


def test_gas_made_in_the_package_is_warned_of() -> None:
    primed, early, bottled, forced = (
        said("keg", recipe(package=package), ELECTRIC, (5.0, 4.0))
        for package in (
            Packaging(carbonation_vol=2.4, by="priming"),
            Packaging(carbonation_vol=2.4, by="closed early"),
            Packaging(carbonation_vol=2.4, into=(("bottle", 0.5),)),
            Packaging(carbonation_vol=2.4),
        )
    )
    for text in (primed, early, bottled, forced):
        assert "Never bottle a beer that is not stable" in text
    assert "stood still for three days" in primed
    assert "relief valve; never a bottle" in early
    assert "stood still for three days" in bottled
    assert "stood still" not in forced
