"""The inputs of a recipe: every one a brewer can edit, where it acts, in the person's units."""

from __future__ import annotations

from pathlib import Path

import pytest

from gyle.beer.reading import read_recipe
from gyle.beer.recipe_inputs import STATIONS, Input, recipe_inputs
from gyle.beer.timing import Timing
from gyle.errors import BadInput
from gyle.quantities import read

EXAMPLES = Path(__file__).parents[2] / "examples" / "lantern-street"
CARDS = ("copper-beacon", "contradictory", "quiet-harbour", "ropewalk", "signal-lamp", "slack-water", "tram-depot")


def text_of(card: str) -> str:
    return (EXAMPLES / f"{card}.toml").read_text(encoding="utf-8")


def inputs_of(text: str) -> dict[str, Input]:
    return {one.place: one for one in recipe_inputs(text)}


def test_every_input_of_the_wheat_wine_stands_where_it_acts() -> None:
    found = inputs_of(text_of("copper-beacon"))
    for place, station, text in (
        ("name", "line", "Copper Beacon"),
        ("notes", "line", ""),
        ("water.calcium", "water", "75"),
        ("grist.1.amount", "mash", "42 %"),
        ("mash.0.temperature", "mash", "66 °C"),
        ("aim.mash_ph", "mash", "5.4"),
        ("sparge.volume", "lauter", ""),
        ("boil.time", "kettle", "75 min"),
        ("grist.2.at", "kettle", "boil 10 min"),
        ("hops.1.amount", "stand", "45 g"),
        ("hops.2.amount", "fermenter", "60 g"),
        ("volume", "fermenter", "21 L"),
        ("volume.into", "fermenter", "fermenter"),
        ("yeast.0.what", "fermenter", "high-gravity clean ale yeast"),
        ("fermentation.0.end", "fermenter", ""),
        ("package.carbonation", "keg", "2.3 vol"),
        ("aim.bitterness", "glass", "55 IBU"),
    ):
        assert (found[place].station, found[place].text) == (station, text), place


def test_they_come_in_the_order_of_the_beers_way() -> None:
    for card in CARDS:
        inputs = recipe_inputs(text_of(card))
        rows = list(dict.fromkeys(one.row or one.place for one in inputs))
        # A row is one piece, and its station is that of when it goes in.
        assert [one.row or one.place for one in inputs] == [
            row for row in rows for one in inputs if (one.row or one.place) == row
        ]
        stations = [STATIONS.index(one.station) for one in inputs]
        assert stations == sorted(stations)
    boiled = [one.row_name for one in recipe_inputs(text_of("signal-lamp")) if one.place.endswith(".at")]
    assert boiled[-6:] == ["Centennial", "dextrose", "Centennial", "Cascade", "Chinook", "Cascade"] or boiled.index(
        "Magnum"
    ) < boiled.index("dextrose")


def test_an_addition_carries_its_timing_and_a_keg_hop_acts_at_the_keg() -> None:
    found = inputs_of(text_of("copper-beacon"))
    assert found["hops.1.amount"].timing == Timing(stage="stand", temperature_C=85.0, minutes=25.0)
    assert found["mash.0.time"].timing is None
    keg = text_of("copper-beacon").replace("dry 6 points above final 4 days", "keg")
    assert inputs_of(keg)["hops.2.alpha"].station == "keg"
    early = text_of("copper-beacon").replace('[boil]\ntime = "75 min"', '[boil]\ntime = "50 min"')
    assert inputs_of(early)["hops.0.at"].text == "boil 60 min"
    assert inputs_of(early)["hops.0.at"].timing == Timing(stage="boil", minutes=50.0)


def test_what_is_left_open_says_so_and_what_is_taken_is_told() -> None:
    found = inputs_of(text_of("copper-beacon"))
    assert {place for place, one in found.items() if one.open} == {"hops.0.amount", "mash.0.liquor", "sparge.volume"}
    bare = inputs_of('name = "x"\nvolume = "20 L"\n[[grist]]\nwhat = "pale ale malt"\nmass = "4 kg"\n')
    assert bare["mash.0.temperature"].otherwise == "66 °C"
    assert bare["mash.0.temperature"].taken("us") == "151 °F"
    assert bare["boil.time"].otherwise == "60 min"
    assert bare["yeast.0.what"].otherwise == "clean ale yeast"
    assert bare["package.carbonation"].otherwise == "2.4 vol"
    assert bare["fermentation.0.end"].otherwise == "stable 3 days"
    assert all(one.text == "" for place, one in bare.items() if place.startswith(("mash.", "boil", "yeast", "package")))


def test_a_written_unit_is_kept_where_it_is_the_persons_own() -> None:
    metric, us = (inputs_of(text_of(card)) for card in ("copper-beacon", "signal-lamp"))
    assert metric["hops.1.amount"].shown("metric") == "45 g"
    assert metric["hops.1.amount"].shown("us") == "1.59 oz"
    assert metric["hops.1.at"].shown("us") == "stand 185 °F 25 min"
    assert metric["aim.original_gravity"].shown("us") == "1.102"
    assert us["grist.0.amount"].shown("us") == "17 lb 8 oz"
    assert read(us["grist.0.amount"].shown("metric"), "mass").value == pytest.approx(17.5 * 0.45359237, abs=0.005)
    assert us["mash.0.temperature"].unit("us") == "°F"
    assert us["mash.0.temperature"].unit("metric") == "°C"
    assert us["grist.0.amount"].unit("us") == ""  # two units: none is certain


def test_salts_stay_in_grams_whoever_reads_them() -> None:
    text = text_of("tram-depot") + '\n[[other]]\nwhat = "gypsum"\nmass = "3 g"\nat = "mash"\n'
    gypsum = inputs_of(text)["other.0.amount"]
    assert gypsum.station == "mash"
    assert gypsum.shown("us") == "3 g"


def test_words_to_choose_from() -> None:
    found = inputs_of(text_of("copper-beacon"))
    assert found["mash.0.by"].choices == ("heat", "infusion", "decoction")
    assert found["volume.into"].choices == ("fermenter", "keg")
    assert "lager yeast" in found["yeast.0.what"].choices
    assert found["package.by"].otherwise == "force"


@pytest.mark.parametrize("card", CARDS)
def test_a_recipe_read_before_gives_the_same_inputs(card: str) -> None:
    if card == "contradictory":
        recipe = read_recipe(EXAMPLES / f"{card}.toml", for_proofreading=True)
    else:
        recipe = read_recipe(EXAMPLES / f"{card}.toml")
    assert recipe_inputs(text_of(card), recipe) == recipe_inputs(text_of(card))


def test_a_recipe_that_does_not_read_has_its_inputs_too() -> None:
    text = 'name = "x"\n[[grist]]\nwhat = "no such malt"\nshare = "100 %"\n[[hops]]\nwhat = "Saaz"\nat = "at noon"\n'
    found = inputs_of(text)
    assert found["grist.0.what"].text == "no such malt"
    assert found["hops.0.at"].text == "at noon"
    assert found["hops.0.at"].timing is None
    with pytest.raises(BadInput, match="line 1"):
        recipe_inputs("name = ")


def test_odd_ways_of_writing_are_read_as_text() -> None:
    text = (
        'name = "x"\nvolume_into_keg = "19 L"\nyeast = { what = "lager yeast", packs = 2 }\n'
        'grist = [{ what = "pilsner malt", mass = "4 kg", mash = 1 }]\n'
        "aim.kettle.end.volume = '25 L'\n[water]\ncalcium = { low = 60, high = 120 }\nchloride = { high = 60.0 }\n"
        'sulfate = "at least 50"\n[package]\ncarbonation = "2 vol"\npressure = "0.9 bar"\ninto = "keg 19 L"\n'
    )
    found = inputs_of(text)
    for place, said in (
        ("yeast.0.amount", "2"),
        ("grist.0.at", "mash"),
        ("aim.kettle.end.volume", "25 L"),
        ("water.calcium", "60 to 120"),
        ("water.chloride", "at most 60"),
        ("water.sulfate", "at least 50"),
        ("package.carbonation", "2 vol"),
        ("package.pressure", "0.9 bar"),
        ("volume", "19 L"),
        ("volume.into", "keg"),
    ):
        assert found[place].text == said, place
    assert found["package.into"].shown("us") == "keg 5.02 gal"
    assert found["volume"].station == "keg"
