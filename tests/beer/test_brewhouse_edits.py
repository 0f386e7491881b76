"""Editing a figure of a brewhouse: comments stay, the reader has the last word, a fault changes nothing."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.brewhouse_edits import NOTHING_SAID, BrewhouseEdit, edited_brewhouse
from gyle.beer.brewhouse_inputs import brewhouse_inputs
from gyle.beer.brewhouse_places import PLACES
from gyle.beer.reading import brewhouse_from_text
from gyle.errors import BadInput
from gyle.quantities import speaking

EXAMPLES = Path(__file__).parents[2] / "examples" / "lantern-street"
LANTERN = (EXAMPLES / "lantern-street-48.toml").read_text(encoding="utf-8")
KITCHEN = (EXAMPLES / "kitchen-bag.toml").read_text(encoding="utf-8")
ADDRESSES = [place.address for place in PLACES]


def edited(text: str, address: str, *, system: str = "metric", **parts: str) -> tuple[str, Brewhouse, str]:
    return edited_brewhouse(text, BrewhouseEdit(address=address, **parts), system=system)


def refused(text: str, address: str, *, system: str = "metric", **parts: str) -> str:
    with pytest.raises(BadInput) as error:
        edited(text, address, system=system, **parts)
    assert len(error.value.faults) == 1, error.value.faults
    return error.value.faults[0]


def comments(text: str) -> list[str]:
    return re.findall(r"#.*", text)


def line_of(text: str, key: str) -> str:
    return next(line for line in text.splitlines() if line.startswith(f"{key} ="))


def test_a_value_is_set_and_every_other_line_stays() -> None:
    text, house, said = edited(LANTERN, "kettle.left_behind", value="1.8 L")
    assert house.left_behind_L.centre == 1.8
    assert line_of(text, "left_behind") == 'left_behind = "1.8 L"                 # under the tap'
    assert [a for a, b in zip(LANTERN.splitlines(), text.splitlines(), strict=True) if a != b] == [
        line_of(LANTERN, "left_behind")
    ]
    assert said == "wort left in the kettle: 1.5 L becomes 1.8 L"


@pytest.mark.parametrize(
    ("address", "value", "way"),
    [
        ("kettle.boil_off", "200 L/h", "write less, or correct the power first"),
        ("kettle.boil_off", "4.7 L/h", "write less, or correct the power first"),
        ("kettle.power", "1 kW", "correct that first"),
        ("kettle.efficiency", "50 %", "correct that first"),
    ],
)
def test_a_boil_off_no_heat_can_drive_is_refused(address: str, value: str, way: str) -> None:
    fault = refused(LANTERN, address, value=value)
    assert "at the very most, so a boil-off of" in fault
    assert fault.endswith(way)


def test_a_boil_off_that_was_impossible_already_may_be_brought_nearer() -> None:
    wrong = LANTERN.replace('"3.2 L/h"', '"9 L/h"')
    assert edited(wrong, "kettle.boil_off", value="6 L/h")[1].boil_off_L_h.centre == 6.0
    assert edited(wrong, "kettle.trub", value="1 L")[1].trub_L.centre == 1.0
    assert "a boil-off of 10 L/h cannot be" in refused(wrong, "kettle.boil_off", value="10 L/h")
    assert edited(LANTERN, "kettle.boil_off", value="4.4 L/h")[1].boil_off_L_h.centre == 4.4
    assert edited(LANTERN, "kettle.power", value="6 kW")[1].power_kW is not None


def test_a_bare_number_takes_the_unit_it_is_shown_in() -> None:
    assert edited(LANTERN, "kettle.left_behind", value="1,8")[1].left_behind_L.centre == 1.8
    us = edited(LANTERN, "kettle.left_behind", value="0.5", system="us")
    assert us[1].left_behind_L.centre == pytest.approx(1.8927, abs=1e-4)
    assert us[2] == "wort left in the kettle: 0.396 gal becomes 0.5 gal"
    with speaking("us"):
        warm = edited_brewhouse(LANTERN, BrewhouseEdit(address="ambient", value="68", spread="1.8"))[1].ambient_C
    assert (warm.centre, warm.spread) == (pytest.approx(20.0), pytest.approx(1.0))
    assert edited(LANTERN, "chill.minutes", value="30")[1].chill_minutes.centre == 30.0
    assert edited(LANTERN, "mash.loss", value="5")[1].mash_loss_W_K.centre == 5.0


def test_any_unit_may_be_typed() -> None:
    for typed, litres in (("5 gal", 18.927), ("19 qt", 17.98), ("4 imp gal", 18.184), ("0.2 hL", 20.0)):
        assert edited(LANTERN, "keg.vessel", value=typed)[1].keg_vessel_L == pytest.approx(litres, abs=0.001)
    assert edited(LANTERN, "kettle.left_behind", value="1 L at 100 °C")[1].left_behind_L.centre == pytest.approx(
        0.96, abs=2e-3
    )
    assert edited(LANTERN, "tap_water", value="50 °F")[1].tap_water_C.centre == pytest.approx(10.0)


def test_a_figure_carries_spread_what_differs_each_time_and_where_from() -> None:
    text, house, said = edited(
        LANTERN, "kettle.left_behind", value="1.6 L", spread="100 mL", each_time="0.05", source="4 gyles"
    )
    left = house.left_behind_L
    assert (left.centre, left.spread, left.each_time) == (1.6, 0.1, 0.05)
    assert left.source == "stated, from 4 gyles"
    assert line_of(text, "left_behind") == (
        'left_behind = { value = "1.6 L", spread = "100 mL", each_time = "0.05 L", from = "4 gyles" }'
        "                 # under the tap"
    )
    assert said.endswith("becomes 1.6 L, give or take 0.1 L, and 0.05 L from gyle to gyle")
    assert comments(text) == comments(LANTERN)
    bare, house, _ = edited(text, "kettle.left_behind", spread="", each_time="", source="")
    assert line_of(bare, "left_behind") == 'left_behind = "1.6 L"                 # under the tap'
    assert house.left_behind_L.source == "stated"


def test_a_new_value_does_not_come_from_where_the_old_one_did() -> None:
    text = edited(LANTERN, "kettle.boil_off", source="3 gyles")[0]
    text, house, _ = edited(text, "kettle.boil_off", value="3.4 L/h")
    assert house.boil_off_L_h.source == "stated"
    assert house.boil_off_L_h.spread == 0.3  # its spread stays as it was stated
    assert (
        edited(text, "kettle.boil_off", value="3.5", source="4 gyles")[1].boil_off_L_h.source == "stated, from 4 gyles"
    )


def test_a_figure_goes_back_to_what_its_kind_says() -> None:
    text, house, said = edited(LANTERN, "kettle.boil_off", value="")
    assert "boil_off" not in text
    assert house.boil_off_L_h.source.startswith("kind:")
    assert said.startswith("kettle, boil-off: 3.2 L/h is taken back, ")
    assert said.endswith("of its kind, electric all-in-one, from its power")
    assert edited(text, "kettle.boil_off", value="") == (text, house, NOTHING_SAID)
    assert edited(LANTERN, "mash.grain_limit", value="")[1].grain_limit_kg is None


def test_a_spread_alone_states_the_value_its_kind_says() -> None:
    text, house, _ = edited(LANTERN, "ambient", spread="0.5")
    assert line_of(text, "ambient") == 'ambient = { value = "20 °C", spread = "0.5 °C" }'
    assert (house.ambient_C.centre, house.ambient_C.spread) == (20.0, 0.5)
    assert text.index("ambient") < text.index("[mash]")


def test_a_comment_at_the_top_of_the_file_stays_too() -> None:
    text = 'ambient = "20 °C"  # the shed\n' + LANTERN
    once = edited(text, "ambient", spread="1")[0]
    assert line_of(once, "ambient") == 'ambient = { value = "20 °C", spread = "1 °C" }  # the shed'
    assert line_of(edited(once, "ambient", spread="")[0], "ambient") == 'ambient = "20 °C"  # the shed'


def test_the_very_value_of_its_kind_may_be_stated() -> None:
    text, house, said = edited(KITCHEN, "chill.by", value="immersion")
    assert house.chill_by == "immersion"
    assert "[chill]" in text
    assert said == "how you chill: a coil in the kettle, now stated"


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("text", [LANTERN, KITCHEN])
def test_a_row_sent_back_as_it_was_shown_is_no_edit(text: str, system: str) -> None:
    house = brewhouse_from_text(text)
    for one in brewhouse_inputs(text, house, system):
        if not one.value:
            continue
        row = {"value": one.value, "spread": one.spread, "each_time": one.each_time, "source": one.source_text}
        assert edited(text, one.address, system=system, **row) == (text, house, NOTHING_SAID), one.address


def test_tables_that_are_not_there_are_made() -> None:
    text, house, _ = edited(KITCHEN, "chill.stand.rate", value="0.05", spread="0.01")
    assert house.stand_chill_rate_1_min.centre == 0.05
    assert 'rate = { value = "0.05 1/min", spread = "0.01 1/min" }' in text
    text, house, _ = edited(text, "learned.colour", value="1,1", spread="0.05")
    assert (house.colour_factor.centre, round(house.colour_factor.spread, 4)) == (1.1, round(0.05 / 1.1, 4))
    assert "colour = { value = 1.1, spread = 0.05 }" in text
    assert edited(text, "keg.vessel", value="9 L")[1].keg_vessel_L == 9.0
    assert comments(text) == comments(KITCHEN)


def test_choices_flags_and_counts_are_set() -> None:
    assert edited(LANTERN, "chill.stand.by", value="none")[1].stand_chill_by == "none"
    text, house, said = edited(LANTERN, "mash.heated", value="no")
    assert (house.mash_heated, line_of(text, "heated")) == (False, "heated = false")
    assert said == "heat holds the mash: yes becomes no"
    assert edited(LANTERN, "mash.tanks", value="3")[1].sparge_tanks == 3
    assert edited(LANTERN, "kind", value="bag in pot")[1].kind == "bag in pot"
    assert edited(LANTERN, "name", value="  Shed   two ")[1].name == "Shed two"


def test_one_vessel_keeps_one_size() -> None:
    text, house, said = edited(LANTERN, "kettle.vessel", value="50 L")
    assert house.same_vessel
    assert house.mash_vessel_L == house.kettle_vessel_L == 50.0
    assert "one vessel" in said
    assert comments(text) == comments(LANTERN)
    apart = edited(text, "kind", value="mash tun and kettle")[0]
    _, house, said = edited(apart, "mash.vessel", value="40 L")
    assert (house.mash_vessel_L, house.kettle_vessel_L, house.same_vessel) == (40.0, 50.0, False)
    assert "one vessel" not in said


def test_a_habit_is_taken_away_whole() -> None:
    text = edited(KITCHEN, "habit.brewhouse_efficiency", value="70")[0]
    text = edited(text, "habit.gravity", value="1.055")[0]
    text, house, _ = edited(text, "habit.volume", value="9")
    assert house.habit is not None
    assert (house.habit.brewhouse_efficiency, house.habit.gravity_sg, house.habit.volume_L) == (0.70, 1.055, 9.0)
    text, house, _ = edited(text, "habit.brewhouse_efficiency", value="")
    assert house.habit is None
    assert "1.055" not in text
    assert "state the brewhouse efficiency first" in refused(KITCHEN, "habit.gravity", value="1.050")


@pytest.mark.parametrize(
    "written",
    [
        'boil_off = "3.0 L/h" # mine\n',
        'boil_off = { value = "3.0 L/h", spread = "0.4 L/h" } # mine\n',
        'boil_off.value = "3.0 L/h" # mine\nboil_off.spread = "0.4 L/h"\n',
        '[kettle.boil_off] # mine\nvalue = "3.0 L/h"\nspread = "0.4 L/h"\n',
    ],
)
def test_however_a_figure_is_written_it_can_be_edited(written: str) -> None:
    text = f'kind = "bag in pot"\n[kettle]\nvessel = "30 L" # brim\n{written}\n[keg]\nvessel = "19 L" # old\n'
    for parts in ({"value": "2.5"}, {"value": "2.5", "spread": "0.2"}, {"spread": "0.2", "source": "2 gyles"}):
        new, house, _ = edited(text, "kettle.boil_off", **parts)
        assert house.boil_off_L_h.centre == (2.5 if "value" in parts else 3.0)
        assert comments(new) == comments(text)
        if "spread" in parts:
            assert house.boil_off_L_h.spread == 0.2
    back, house, _ = edited(text, "kettle.boil_off", value="")
    assert house.boil_off_L_h.source.startswith("kind:")
    assert [c for c in comments(text) if c != "# mine"] == [c for c in comments(back) if c != "# mine"]


def test_a_text_that_cannot_be_changed_alone_is_left_alone() -> None:
    text = 'kind = "bag in pot"\nchill = { by = "none" }\n'
    assert "edit its text" in refused(text, "chill.stand.rate", value="0.01")


@pytest.mark.parametrize(
    ("address", "parts", "says"),
    [
        ("kettle.boil_off", {"value": "3 kg"}, "is a mass, not a flow"),
        ("kettle.boil_off", {"value": "-1 L/h"}, "must be at least 0"),
        ("kettle.power", {"value": "1e308"}, "not between 0.1 and 1000 kW"),
        ("kettle.power", {"value": "nan"}, "is not a power"),
        ("mash.bypass", {"value": "0.4"}, "may be a share or per cent"),
        ("mash.retention", {"value": "1,050"}, "can be read in two ways"),
        ("mash.tanks", {"value": "2.5"}, "a whole number was wanted"),
        ("mash.heated", {"value": "perhaps"}, "yes or no was wanted"),
        ("mash.loss", {"value": "5 kW"}, "number in W/K was wanted"),
        ("learned.colour", {"value": "dark"}, "a number was wanted"),
        ("learned.isomerisation", {"value": "0"}, "not between 0.1 and 10"),
        ("kettle.heat", {"value": "coal"}, '"electric", "gas" or "induction" was wanted'),
        ("keg.vessel", {"spread": "1 L"}, "has no spread"),
        ("keg.vessel", {"value": "9 L", "source": "a jug"}, "has no source"),
        ("kettle.trub", {"spread": "-1 L"}, "must be at least 0"),
        ("kettle.trub", {"source": "x" * 90}, "longer than 80 characters"),
        ("name", {"value": ""}, "needs a name"),
        ("name", {"value": "x" * 200}, "longer than 120 characters"),
        ("kettle", {"value": "1"}, "no figure of a brewhouse"),
        ("<script>", {"value": "1"}, "no figure of a brewhouse"),
    ],
)
def test_what_cannot_be_meant_is_refused_in_one_sentence(address: str, parts: dict[str, str], says: str) -> None:
    assert says in refused(LANTERN, address, **parts)


@pytest.mark.faults
@pytest.mark.parametrize("hostile", ["x" * 10_000, "\x00", "\ud800", "\x1b[31m", "1" * 500, "<script>" * 60])
def test_hostile_text_changes_nothing(hostile: str) -> None:
    for address in ADDRESSES:
        fault = refused(LANTERN, address, value=hostile)
        assert len(fault) < 300
        assert fault.isprintable()


@pytest.mark.faults
@pytest.mark.parametrize("hostile", ["<script>", "1e308", "inf", "NaN", "'; --", "{ value = 1 }", "1e-400 L x"])
def test_nothing_but_a_name_takes_such_text(hostile: str) -> None:
    text = LANTERN + '[habit]\nbrewhouse_efficiency = "70 %"\n'
    for address in ADDRESSES:
        if address not in ("name", "water"):
            assert len(refused(text, address, value=hostile)) < 300


@pytest.mark.faults
def test_hostile_text_that_is_a_name_or_a_source_is_kept_as_text() -> None:
    name = "<script>alert(\"x\")</script> \\u0000 ''' # [keg]"
    text, house, _ = edited(LANTERN, "name", value=name)
    assert house.name == name
    text, house, _ = edited(text, "kettle.trub", source='"]\\<b>')
    assert house.trub_L.source == 'stated, from "]\\<b>'
    assert comments(text)[1:] == comments(LANTERN)


@pytest.mark.faults
@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow])
@given(
    address=st.sampled_from(ADDRESSES),
    value=st.none()
    | st.text(max_size=12)
    | st.floats().map(str)
    | st.sampled_from(["3", "4 L", "20 %", "none", "5 K"]),
    spread=st.none() | st.text(max_size=6) | st.sampled_from(["0.1", "1 L", "1e-9", "2 °F", "5 %"]),
    each_time=st.none() | st.sampled_from(["", "0.1", "x"]),
    source=st.none() | st.text(max_size=10),
)
def test_any_edit_gives_a_readable_brewhouse_or_a_sentence(
    address: str, value: str | None, spread: str | None, each_time: str | None, source: str | None
) -> None:
    edit = BrewhouseEdit(address=address, value=value, spread=spread, each_time=each_time, source=source)
    try:
        text, house, said = edited_brewhouse(LANTERN, edit, system="metric")
    except BadInput:
        return
    assert brewhouse_from_text(text) == house
    assert said
    assert (said == NOTHING_SAID) == (text == LANTERN)
    kept = [c for c in comments(LANTERN) if value != "" or c in text]
    assert [c for c in comments(text) if c in comments(LANTERN)] == kept
