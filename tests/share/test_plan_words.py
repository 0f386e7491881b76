"""A plan in the words terminal and page share: figures, stations, amounts, the day, the beer in a line."""

from __future__ import annotations

from collections.abc import Mapping

import attrs
import pytest

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import Recipe
from gyle.beer.timing import Timing
from gyle.decide.plan import Miss, Plan, plan
from gyle.line.figures import FIGURES, Band
from gyle.share.beer_words import beer_words, colour_code, colour_word, house_name
from gyle.share.compared import compared_figures
from gyle.share.day import day_of, in_order, long_text, said_already, temperatures_text
from gyle.share.documents import figures_document, plan_document
from gyle.share.stations import STATIONS, of_minerals, station_groups
from gyle.share.weighing import amounts_document, hop_mass_text, mass_text, said_when, water_text, yeast_text
from gyle.share.written_figure import aims_of, hours, miss_words, push_words, written


@pytest.fixture(scope="module")
def strong(cards: Mapping[str, Recipe], houses: Mapping[str, Brewhouse]) -> Plan:
    return plan(cards["copper-beacon"], houses["lantern-street-48"], draws=256)


def test_a_figure_is_written_in_the_persons_units(strong: Plan) -> None:
    band = Band(mean=21.0, low=18.9, high=23.1, median=21.0)
    shown = written("fermenter.volume", band, "metric")
    assert (shown.words, shown.value, shown.band) == ("into the fermenter", "21.0 L", "18.9 to 23.1")
    assert written("fermenter.volume", band, "us").unit == "gal"
    minutes = Band(mean=307.4, low=300.0, high=360.0, median=307.0)
    assert written("line.minutes", minutes, "us")[1:] == ("5:07", "h", "5:00", "6:00")
    assert hours(59.6) == "1:00"
    sure = Band(mean=5.4, low=5.4, high=5.4, median=5.4)
    assert written("mash.ph", sure, "metric").band == ""
    assert aims_of(strong) == {
        "fermenter.original_gravity": 1.102,
        "glass.bitterness_tinseth": 55.0,
        "mash.ph": 5.4,
        "fermenter.volume": 21.0,
    }


def test_a_miss_and_a_push_are_said() -> None:
    gravity = Miss(figure="fermenter.original_gravity", wanted=1.06, got=1.05, within_rounding=False)
    assert miss_words(gravity, "metric") == "1.060 is not met: the stated amounts give 1.050"
    water = Miss(figure="water.sulfate", wanted=50.0, got=80.0, within_rounding=False, span=(0.0, 50.0))
    assert "mg/L is not met: it comes to 80 mg/L" in miss_words(water, "metric")
    band = Band(mean=30.0, low=25.0, high=35.0, median=30.0)
    assert push_words(4.0, band, "glass.bitterness", "us").endswith("34 IBU instead of 30")


def test_stations_run_from_water_to_glass() -> None:
    names = ["glass.ph", "mash.2.ph", "lauter.efficiency", "mash.ph", "water.calcium", "line.minutes", "glass.colour"]
    groups = station_groups([*names, "glass.colour_srm"], "metric")
    assert [label for label, _ in groups] == ["water", "mash", "lauter", "mash 2", "glass", "in all"]
    assert dict(groups)["glass"] == ["glass.colour", "glass.ph"]
    assert dict(station_groups([*names, "glass.colour_srm"], "us"))["glass"] == ["glass.colour_srm", "glass.ph"]
    assert STATIONS[0] == "water"
    assert STATIONS[-1] == "glass"
    assert [name for name in names if of_minerals(name)] == ["water.calcium"]


def test_what_is_weighed_is_said_and_listed(strong: Plan) -> None:
    recipe = strong.recipe
    document = amounts_document(strong)
    assert [line["what"] for line in document["grist"]] == [line.what for line in recipe.grist]
    assert [line["mass_g"] for line in document["hops"]] == [1000.0 * kg for kg in strong.amounts.hops_kg]
    assert mass_text(5.494, "metric") == "5.49 kg"
    assert hop_mass_text(0.0454, "metric") == "45.4 g"
    assert hop_mass_text(0.0283495, "us") == "1.00 oz"
    assert said_when(recipe.hops[1].at, "metric") == "stand 85 °C 25 min"
    assert said_when(recipe.hops[1].at, "us") == "stand 185 °F 25 min"
    assert yeast_text(recipe.yeasts[0], strong, "metric").startswith("high-gravity clean ale yeast, about ")
    assert water_text(strong, "metric").endswith(" in all")


def test_the_day_is_told_in_the_order_it_is_done(strong: Plan) -> None:
    steps = in_order(strong.steps)
    processes = [step.move.process for step in steps]
    assert processes.index("dry hop") > processes.index("ferment")
    assert "pour" not in processes
    ferment = next(step for step in steps if step.move.process == "ferment")
    dry = next(step for step in steps if step.move.process == "dry hop")
    assert day_of(ferment, strong) == "day 1"
    assert day_of(dry, strong) == ""
    assert temperatures_text(strong, "us") == "at 65 °F"
    assert (long_text(99.0), long_text(100.0)) == ("99 min", "1:40 h")
    assert said_already(75.0, "boil for 75 min")
    assert not said_already(75.0, "boil")


def test_later_steps_stand_in_the_order_of_their_days(
    cards: Mapping[str, Recipe], houses: Mapping[str, Brewhouse]
) -> None:
    recipe = cards["copper-beacon"]
    first = attrs.evolve(recipe.hops[2], at=Timing(stage="dry", day=9.0, contact_days=7.0))
    second = attrs.evolve(recipe.hops[2], at=Timing(stage="dry", day=3.0, contact_days=2.0))
    late = attrs.evolve(recipe, hops=(*recipe.hops[:2], first, second))
    found = plan(late, houses["lantern-street-48"], draws=16)
    shown = in_order(found.steps)
    later = shown[[step.move.process for step in shown].index("pitch") :]
    told = [(day_of(step, found), step.move.process) for step in later]
    assert told == [
        ("day 1", "pitch"), ("day 1", "ferment"), ("day 3", "dry hop"), ("day 9", "dry hop"), ("day 16", "package"),
    ]  # fmt: skip
    starts = [step["start_min"] for step in plan_document(found, system="metric")["steps"]]
    assert starts == sorted(starts)


def test_no_two_figures_have_the_same_words() -> None:
    words = [known.words for name, known in FIGURES.items() if name != "glass.colour_srm"]
    assert len(set(words)) == len(words)


def test_the_beer_in_a_line(strong: Plan) -> None:
    assert beer_words(strong, "metric").startswith("1.102 original, ")
    assert colour_word(strong.figures["glass.colour"].mean) in beer_words(strong, "metric")
    assert "SRM" in beer_words(strong, "us")
    assert house_name(strong) == "Lantern Street 48"
    code = colour_code(strong)
    red, green, blue = (int(code[place : place + 2], 16) for place in (1, 3, 5))
    assert code[0] == "#"
    assert red > green > blue  # gold
    assert (colour_word(2.0), colour_word(500.0)) == ("straw", "black")


def test_there_and_here_stand_what_both_have(strong: Plan) -> None:
    names = compared_figures(strong, strong, "us")
    assert "glass.colour_srm" in names
    assert "glass.colour" not in names
    assert "mash.ph" in names
    assert len(names) == len(set(names))


def test_documents_carry_plain_numbers(strong: Plan) -> None:
    document = plan_document(strong, system="us", notes=("one more",))
    assert document["notes"][-1] == "one more"
    assert list(document["figures"]) == list(figures_document(strong.figures))
    figure = document["figures"]["fermenter.original_gravity"]
    assert figure["low"] <= figure["mean"] <= figure["high"]
    assert figure["unit"] == "SG"
