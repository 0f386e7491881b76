"""The cards of Lantern Street are read as their authors stated them."""

from __future__ import annotations

from pathlib import Path

import attrs
import pytest

from gyle.beer.reading import (
    brewhouse_from_text,
    kind_of,
    read_brewhouse,
    read_recipe,
    read_stock,
    read_water,
    recipe_from_text,
)
from gyle.beer.recipe import Aim, Recipe
from gyle.errors import BadInput

EXAMPLES = Path(__file__).parents[2] / "examples" / "lantern-street"
SMALL = 'gyle = 1\nname = "x"\n[[grist]]\nwhat = "pale ale malt"\nmass = "4 kg"\n'


def card(name: str) -> Recipe:
    return read_recipe(EXAMPLES / f"{name}.toml")


def aim(recipe: Recipe, figure: str) -> Aim:
    found = recipe.aim(figure)
    assert found is not None
    return found


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.toml")), ids=lambda path: path.stem)
def test_every_example_is_told_by_its_keys(path: Path) -> None:
    words = {"lantern-street-stock": "stock", "kitchen-bag": "brewhouse"}
    kinds = {"lantern": "brewhouse", "water": "water"}
    usual = kinds.get(path.stem.partition("-")[0], "recipe")
    assert kind_of(path) == words.get(path.stem, usual)


def test_copper_beacon_is_stated_in_shares_and_aims() -> None:
    beer = card("copper-beacon")
    assert [line.share for line in beer.grist] == [0.48, 0.42, 0.1]
    assert all(line.mass_kg is None for line in beer.grist)
    assert beer.grist[2].at.text == "boil 10 min"
    assert aim(beer, "fermenter.original_gravity").value == 1.102
    assert aim(beer, "fermenter.original_gravity").half_digit == pytest.approx(0.0005)
    assert aim(beer, "glass.bitterness_tinseth").value == 55
    assert aim(beer, "mash.ph").value == 5.4
    assert beer.hops[0].mass_kg is beer.hops[0].rate_g_L is beer.hops[0].bitterness_ibu is None
    assert beer.hops[0].alpha_fraction.centre == pytest.approx(0.086)
    assert beer.hops[2].at.text == "dry 6 points above final 4 days"
    assert beer.for_brewhouse is not None
    assert beer.for_brewhouse.name == "Lantern Street 48"
    assert dict(beer.wanted_ions_mg_L) == {"calcium": 75, "sulfate": 90, "chloride": 110}
    assert beer.volume_L == 21
    assert beer.boil_minutes == 75


def test_signal_lamp_keeps_its_us_amounts_and_its_claims() -> None:
    beer = card("signal-lamp")
    assert beer.volume_L == pytest.approx(5.5 * 3.785411784)
    assert beer.grist[0].mass_kg == pytest.approx(17.5 * 0.45359237)
    assert beer.grist[2].ingredient.colour_ebc.centre == pytest.approx(78.7, abs=0.1)
    assert beer.grist[3].ingredient.name == "dextrose monohydrate"
    assert beer.rests[0].temperature_C == pytest.approx(66.667, abs=0.001)
    assert beer.hops[3].at.temperature_C == 80
    assert beer.hops[4].alpha_fraction.source == "table"
    assert beer.for_brewhouse is None
    printed = {one.figure: one for one in beer.printed}
    assert printed["glass.bitterness_ratio"].value == 0.9
    assert printed["glass.bitterness_ratio"].half_digit == pytest.approx(0.005)
    assert printed["fermenter.alcohol"].value == 10
    assert any("Chinook says no alpha" in note for note in beer.notes)
    assert any("monohydrate" in note for note in beer.notes)


def test_slack_water_is_in_degrees_plato() -> None:
    beer = card("slack-water")
    gravity = aim(beer, "fermenter.original_gravity")
    assert gravity.value == pytest.approx(1.0475, abs=0.0002)
    assert gravity.half_digit == pytest.approx(0.0002, abs=0.00002)
    assert gravity.text == "11.8 °P"
    assert beer.hops[0].bitterness_ibu == 22
    assert beer.hops[2].at.minutes == 0
    assert beer.fermentation[1].from_points_above_final == 5
    assert [rest.minutes for rest in beer.rests] == [10, 45, 20, 5]


def test_ropewalk_has_no_aim() -> None:
    beer = card("ropewalk")
    assert beer.aims == ()
    assert sum(line.mass_kg or 0 for line in beer.grist) == pytest.approx(4.22)


def test_brewhouses_are_as_their_brewer_states_them() -> None:
    big = read_brewhouse(EXAMPLES / "lantern-street-48.toml")
    assert big.boil_off_L_h.centre == 3.2
    assert big.boil_off_L_h.spread == 0.3
    assert big.boil_off_L_h.high == pytest.approx(4.79, abs=0.02)
    assert big.same_vessel
    assert (big.chill_by, big.stand_chill_by) == ("counterflow", "immersion")
    assert big.stated("trub_L")
    assert not big.stated("conversion")
    small = read_brewhouse(EXAMPLES / "lantern-street-28.toml")
    assert small.grain_limit_kg == 7
    assert not small.stated("trub_L")
    assert small.stand_chill_by == "immersion"
    bag = read_brewhouse(EXAMPLES / "kitchen-bag.toml")
    assert bag.drain == "squeezed bag"
    assert bag.heat == "gas"
    assert 1.0 < bag.boil_off_L_h.centre < 2.5


def test_a_bare_figure_is_narrower_than_its_kind_and_wider_than_nothing() -> None:
    bare = brewhouse_from_text('kind = "electric all-in-one"\n[kettle]\nvessel = "48 L"\ntrub = "1.1 L"\n')
    kind = brewhouse_from_text('kind = "electric all-in-one"\n[kettle]\nvessel = "48 L"\n')
    assert 0 < bare.trub_L.spread < kind.trub_L.spread
    assert bare.trub_L.source == "stated"


def test_a_full_figure_says_how_sure_and_from_where() -> None:
    house = brewhouse_from_text(
        'kind = "electric all-in-one"\n[kettle]\nvessel = "48 L"\n'
        'boil_off = { value = "3.4 L/h", spread = "0.3 L/h", each_time = "0.2 L/h", from = "3 gyles" }\n'
        "[chill]\nminutes = 15\n"
        '[habit]\nbrewhouse_efficiency = "72 %"\ngravity = "1.050"\nvolume = "20 L"\n'
    )
    assert (house.boil_off_L_h.spread, house.boil_off_L_h.each_time) == (0.3, 0.2)
    assert house.boil_off_L_h.source == "stated, from 3 gyles"
    assert house.chill_minutes.centre == 15
    assert house.habit is not None
    assert house.habit.brewhouse_efficiency == pytest.approx(0.72)


def test_a_boil_off_beyond_its_power_is_noted() -> None:
    house = brewhouse_from_text(
        'kind = "electric all-in-one"\n[kettle]\nvessel = "48 L"\npower = "2 kW"\nboil_off = "5 L/h"\n'
    )
    assert any("more than 2 kW can evaporate" in note for note in house.notes)
    assert house.boil_off_L_h.high == 5


def test_stock_counts_prices_by_the_kilogram() -> None:
    stock = read_stock(EXAMPLES / "lantern-street-stock.toml")
    malt, wheat, hop = stock.lot("pale ale malt"), stock.lot("Wheat Malt"), stock.lot("cascade")
    assert malt is not None
    assert malt.price_per_kg == pytest.approx(38 / 25)
    assert wheat is not None
    assert wheat.price_per_kg == pytest.approx(1.7)
    assert hop is not None
    assert hop.alpha_fraction is not None
    assert hop.alpha_fraction.centre == pytest.approx(0.068)
    assert hop.analysed is not None
    assert hop.analysed.year == 2024
    assert hop.pack_kg == 0.25
    assert [one.unit for one in stock.instruments] == ["SG", "K"]


def test_defaults_are_taken_with_a_note() -> None:
    beer = recipe_from_text(SMALL)
    assert beer.rests[0].temperature_C == 66
    assert beer.boil_minutes == 60
    assert beer.yeasts[0].yeast.name == "clean ale yeast"
    assert beer.fermentation[0].temperature_C == 19
    assert beer.package.carbonation_vol == 2.4
    for word in ("mash rest", "boil time", "yeast", "fermentation temperature", "carbonation"):
        assert any(word in note for note in beer.notes), word


def test_a_sugar_goes_into_the_boil_with_a_note() -> None:
    beer = recipe_from_text(SMALL + '[[grist]]\nwhat = "sucrose"\nmass = "0,5 kg"\n')
    assert beer.grist[1].at.text == "boil 10 min"
    assert beer.grist[1].mass_kg == 0.5
    assert any("stirred in" in note for note in beer.notes)


def test_a_hot_volume_and_a_warm_gravity_are_brought_to_20_C() -> None:
    beer = recipe_from_text(
        SMALL.replace('name = "x"', 'name = "x"\nvolume = "31.5 L at 76 °C"')
        + '[aim]\noriginal_gravity = "1.062 at 40 °C"\n'
    )
    assert beer.volume_L == pytest.approx(30.75, abs=0.05)
    assert aim(beer, "fermenter.original_gravity").value == pytest.approx(1.0686, abs=0.0008)


def test_any_figure_may_be_aimed_at_by_its_full_name() -> None:
    for key in ('"fermenter.pitch_gravity"', "fermenter.pitch_gravity"):
        beer = recipe_from_text(SMALL + f'[aim]\n{key} = "1.080"\n')
        assert aim(beer, "fermenter.pitch_gravity").value == 1.08
    beer = recipe_from_text(SMALL + '[aim]\n"kettle.end.volume" = "25 L"\n"mash.2.ph" = 5.3\ncolour = "20 SRM"\n')
    assert aim(beer, "kettle.end.volume").value == 25
    assert aim(beer, "mash.2.ph").value == 5.3
    assert aim(beer, "glass.colour").value == pytest.approx(20 * 25 / 12.7)


@pytest.mark.parametrize(
    ("rule", "figure"),
    [
        ("tinseth", "glass.bitterness_tinseth"),
        ("kinetic", "glass.bitterness"),
        ("laboratory", "glass.bitterness"),
        ("rager", "glass.bitterness_rager"),
        ("garetz", "glass.bitterness_garetz"),
    ],
)
def test_a_bitterness_is_counted_by_its_rule(rule: str, figure: str) -> None:
    beer = recipe_from_text(SMALL + f'[aim]\nbitterness = "40 IBU"\nbitterness_by = "{rule}"\n')
    assert beer.bitterness_by == rule
    assert aim(beer, figure).value == 40


def test_shares_leave_the_rest_to_one_line() -> None:
    text = SMALL.replace('mass = "4 kg"', 'share = "90 %"') + '[[grist]]\nwhat = "wheat malt"\n'
    assert recipe_from_text(text).grist[1].share == pytest.approx(0.1)


def test_thirds_add_to_a_hundred_within_their_rounding() -> None:
    line = '[[grist]]\nwhat = "{}"\nshare = "33 %"\n'
    text = 'name = "x"\n' + "".join(line.format(w) for w in ("pale ale malt", "wheat malt", "rye malt"))
    assert len(recipe_from_text(text).grist) == 3


def test_unknown_things_are_taken_with_their_own_figures() -> None:
    beer = recipe_from_text(
        'name = "x"\n[[grist]]\nwhat = "heritage barley"\nmass = "4 kg"\nextract = "70 % as is"\n'
        'moisture = "10 %"\ncolour = "5 EBC"\nfermentable = "64 %"\n'
        '[[hops]]\nwhat = "wild hop"\nalpha = "3 %"\nmass = "30 g"\nat = "boil 30 min"\nform = "whole"\n'
        '[yeast]\nwhat = "shed yeast"\nattenuation = "81 %"\npacks = 2\n'
    )
    malt = beer.grist[0].ingredient
    assert malt.extract_fraction.centre == pytest.approx(0.70 / 0.90)
    assert malt.moisture_fraction.centre == pytest.approx(0.10)
    assert malt.fermentable_fraction.centre == pytest.approx(0.64)
    assert beer.hops[0].hop.name == "wild hop"
    assert beer.hops[0].form == "whole"
    assert beer.yeasts[0].attenuation == pytest.approx(0.81)
    assert beer.yeasts[0].packs == 2
    assert beer.yeasts[0].yeast.maltotriose_use.spread == 0.2


def test_a_lots_own_figures_overrule_the_table() -> None:
    beer = recipe_from_text(SMALL + 'extract = "82.1 %"\ncolour = "6.2 EBC"\n')
    malt = beer.grist[0].ingredient
    assert malt.extract_fraction.centre == pytest.approx(0.821)
    assert malt.extract_fraction.source == "stated"
    assert malt.colour_ebc.centre == 6.2
    assert malt.moisture_fraction.source == "table"


def test_a_double_mash() -> None:
    beer = recipe_from_text(
        SMALL + '[[grist]]\nwhat = "pale ale malt"\nmass = "4 kg"\nmash = 2\n'
        '[[mash]]\ntemperature = "66 °C"\ntime = "60 min"\nthickness = "2.8 L/kg"\n'
        '[[mash]]\nmash = 2\nliquor_from = "mash 1"\ntemperature = "66 °C"\ntime = "90 min"\nby = "infusion"\n'
    )
    assert beer.grist[1].at.mash == 2
    assert beer.rests[1].liquor_from == "mash 1"
    assert beer.rests[1].by == "infusion"
    assert beer.rests[0].thickness_L_kg == 2.8


def test_a_pair_that_disagrees_is_noted_and_the_first_counts() -> None:
    beer = recipe_from_text(SMALL + '[[fermentation]]\ntemperature = "30 °C (75 °F)"\ntime = "9 days"\n')
    assert beer.fermentation[0].temperature_C == 30
    assert any("do not agree" in note for note in beer.notes)
    beer = recipe_from_text(SMALL + '[[fermentation]]\ntemperature = "18 °C (64 °F)"\ntime = "9 days"\n')
    assert not any("do not agree" in note for note in beer.notes)


def test_an_addition_before_the_boil_goes_in_as_it_begins() -> None:
    hop = '[boil]\ntime = "60 min"\n[[hops]]\nwhat = "Magnum"\nmass = "20 g"\nat = "boil 75 min"\n'
    beer = recipe_from_text(SMALL + hop)
    assert beer.hops[0].at.minutes == 60
    assert any("as the boil begins" in note for note in beer.notes)
    kept = recipe_from_text(SMALL + hop, for_proofreading=True)
    assert kept.hops[0].at.minutes == 75


def test_the_contradictory_card_is_read_for_proofreading_only() -> None:
    path = EXAMPLES / "contradictory.toml"
    with pytest.raises(BadInput, match="add to 98 %"):
        read_recipe(path)
    beer = read_recipe(path, for_proofreading=True)
    assert sum(line.share or 0 for line in beer.grist) == pytest.approx(0.98)
    assert beer.hops[0].at.minutes == 75
    assert beer.package.pressure_bar == 0.8


def test_a_brewhouse_is_found_inline_beside_or_by_name(tmp_path: Path) -> None:
    inline = SMALL + '[for_brewhouse]\nname = "Shed"\nkind = "bag in pot"\n[for_brewhouse.kettle]\nvessel = "20 L"\n'
    house = recipe_from_text(inline).for_brewhouse
    assert house is not None
    assert (house.name, house.kettle_vessel_L) == ("Shed", 20)
    text = SMALL.replace("gyle = 1", 'gyle = 1\nfor_brewhouse = "shed"')
    named = recipe_from_text(text, resolve=lambda name: attrs.evolve(house, name=name)).for_brewhouse
    assert named is not None
    assert named.name == "shed"
    (tmp_path / "beer.toml").write_text(text, encoding="utf-8")
    (tmp_path / "shed.toml").write_text('name = "Beside"\nkind = "bag in pot"\n', encoding="utf-8")
    beside = read_recipe(tmp_path / "beer.toml", resolve=lambda _: house).for_brewhouse
    assert beside is not None
    assert beside.name == "Beside"


def test_other_things_and_package() -> None:
    beer = recipe_from_text(
        SMALL
        + '[[other]]\nwhat = "top-up water"\nvolume = "2 L"\nat = "pitch"\nwater = "100 %"\n'
        '[[other]]\nwhat = "whirl finings"\ncount = 1\nat = "boil 15 min"\nallergen = "fish"\n'
        '[sparge]\nvolume = "8 L"\ntemperature = "76 °C"\n'
        '[package]\ncarbonation = "2.5 vol"\nby = "priming"\ninto = ["keg 19 L", "bottles 0.5 L"]\n'
        "x = 1\n".replace("x = 1\n", "")
    )
    assert beer.others[0].volume_L == 2
    assert beer.others[0].water_fraction == 1
    assert beer.others[1].count == 1
    assert beer.package.into == (("keg", 19.0), ("bottle", 0.5))
    assert beer.package.by == "priming"
    assert beer.sparge.volume_L == 8


def test_a_water_report_in_the_units_reports_use(tmp_path: Path) -> None:
    path = tmp_path / "well.toml"
    path.write_text(
        'name = "Well"\nph = "7,41"\ntemperature = "9,3 °C"\ncalcium = "94,4 mg/l"\nmagnesium = 18.3\n'
        'sodium = "0.6046 mmol/L"\nsulfate = "0.3769 mEq/L"\nchloride = { value = 24.4, low = 20, high = 30 }\n'
        'nitrate = 16.4\nacid_capacity = "5,72 mmol/l"\ncarbonate_hardness = "16,0 °dH"\n'
        'hardness = "17.4 °dH"\nbase_capacity = "0.64 mmol/L"\nchlorine = "0.2 mg/L"\n',
        encoding="utf-8",
    )
    water = read_water(path)
    assert water.calcium_mg_L is not None
    assert water.calcium_mg_L.centre == 94.4
    assert water.sodium_mg_L is not None
    assert water.sodium_mg_L.centre == pytest.approx(13.9, abs=0.01)
    assert water.sulfate_mg_L is not None
    assert water.sulfate_mg_L.centre == pytest.approx(18.1, abs=0.01)
    assert water.alkalinity_mEq_L is not None
    assert water.alkalinity_mEq_L.centre == 5.72
    assert water.alkalinity_from == "acid_capacity"
    assert water.hardness_mEq_L is not None
    assert water.hardness_mEq_L.centre == pytest.approx(6.2, abs=0.02)
    assert water.chloride_mg_L is not None
    assert water.chloride_mg_L.each_time == pytest.approx(10 / 2.5631, rel=1e-3)
    assert water.ph is not None
    assert water.ph.centre == 7.41
    assert water.notes == ()


def test_what_makes_a_beer_fit_a_small_brewhouse_is_read() -> None:
    beer = recipe_from_text(
        "gyles = 2\n" + SMALL + '[boil]\ntime = "70 min"\nheld_back = "6 L"\n[sparge]\nsqueeze = true\n'
    )
    assert beer.gyles == 2
    assert beer.held_back_L == 6
    assert beer.sparge.squeeze


def test_an_empty_habit_says_nothing() -> None:
    assert brewhouse_from_text('kind = "bag in pot"\n[habit]\n').habit is None
