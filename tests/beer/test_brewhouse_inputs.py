"""The figures of a brewhouse as a person sees them, in the order of the stations, and where each comes from."""

from __future__ import annotations

import math
from pathlib import Path

import attrs
import pytest

from gyle.beer.brewhouse import KINDS, Brewhouse
from gyle.beer.brewhouse_inputs import BrewhouseInput, band_of, brewhouse_inputs
from gyle.beer.brewhouse_places import PLACES, STATIONS, place_at
from gyle.beer.brewhouse_reading import CHILLS, DRAINS, FIGURE_KEYS, HEATS, SPARGES
from gyle.beer.estimate import Estimate
from gyle.beer.reading import brewhouse_from_text
from gyle.errors import BadInput
from gyle.quantities import read, speaking

EXAMPLES = Path(__file__).parents[2] / "examples" / "lantern-street"
HOUSES = ("lantern-street-48", "lantern-street-28", "kitchen-bag")
STATED = """kind = "electric all-in-one"
name = "x"
[kettle]
vessel = "48 L"
boil_off = { value = "3.2 L/h", spread = "0.3 L/h", each_time = "0.2 L/h", from = "3 gyles" }
left_behind = { value = "1.5 L", from = "a jug" }
trub = "1.2 L"
"""


def shown(text: str, system: str = "metric") -> dict[str, BrewhouseInput]:
    return {one.address: one for one in brewhouse_inputs(text, brewhouse_from_text(text), system)}


def example(name: str) -> str:
    return (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")


def test_every_figure_of_a_brewhouse_has_a_place() -> None:
    fields = {place.field for place in PLACES if place.field}
    known = {field.name for field in attrs.fields(Brewhouse)} - {"same_vessel", "water", "habit", "notes"}
    assert fields == known
    addresses = {place.address for place in PLACES}
    assert {f"{key.table}.{key.key}".lstrip(".") for key in FIGURE_KEYS} <= addresses
    assert len(addresses) == len(PLACES)
    assert place_at("kettle.boil_off") is not None
    assert place_at("kettle.colour") is None


def test_every_place_is_read_under_its_address() -> None:
    """Each address is one the reader knows: stated with its own shown value, no key is refused."""
    text = "kind = 'mash tun and kettle'\nname = 'x'\n"
    for one in shown(text).values():
        if one.station == "habit" or not one.value or one.address in ("kind", "name"):
            continue
        quoted = one.value if one.kind in ("flag", "count") or (one.kind == "number" and not one.unit) else None
        value = quoted or f"'{one.value}'"
        *tables, key = one.address.split(".")
        line = f"[{'.'.join(tables)}]\n{key} = {value}\n" if tables else f"{key} = {value}\n"
        house = brewhouse_from_text(text + line)
        assert {i.address: i for i in brewhouse_inputs(text + line, house)}[one.address].stated, one.address


def test_figures_stand_in_the_order_of_the_stations() -> None:
    places = [STATIONS.index(place.station) for place in PLACES]
    assert places == sorted(places)
    assert set(places) == set(range(len(STATIONS)))


def test_choices_are_those_the_reader_takes() -> None:
    found = {place.address: tuple(c.value for c in place.choices) for place in PLACES if place.kind == "choice"}
    assert found == {
        "kind": KINDS,
        "mash.drain": DRAINS,
        "mash.sparge": SPARGES,
        "kettle.heat": HEATS,
        "chill.by": CHILLS,
        "chill.stand.by": CHILLS,
    }


def test_where_a_figure_comes_from_is_said_in_words() -> None:
    found = shown(STATED)
    assert found["kettle.boil_off"].source == "measured, 3 gyles"
    assert found["kettle.boil_off"].source_text == "3 gyles"
    assert found["kettle.left_behind"].source == "stated: a jug"
    assert found["kettle.trub"].source == "stated"
    assert found["kettle.loss"].source == "of its kind, electric all-in-one"
    assert found["mash.retention"].source == "of its kind, electric all-in-one, gravity basket"
    assert found["chill.water"].source == "the tap water's"
    assert found["mash.vessel"].source == "as large as the kettle"
    assert found["mash.grain_limit"].value == ""
    powered = shown(STATED.replace('trub = "1.2 L"', 'power = "3 kW"').replace("boil_off", "#"))
    assert powered["kettle.boil_off"].source == "of its kind, electric all-in-one, from its power"


def test_a_tap_water_that_is_stated_does_not_state_the_chilling_water() -> None:
    found = shown('tap_water = "9 °C"\n' + STATED)
    assert (found["tap_water"].stated, found["chill.water"].stated) == (True, False)
    assert found["chill.water"].value == "9 °C"


def test_value_spread_and_what_differs_each_time_are_written_as_stated() -> None:
    one = shown(STATED)["kettle.boil_off"]
    assert (one.value, one.spread, one.each_time) == ("3.2 L/h", "0.3 L/h", "0.2 L/h")
    assert (one.unit, one.spread_unit, one.stated, one.takes_spread) == ("L/h", "L/h", True, True)


def test_a_spread_of_a_temperature_has_no_zero_of_its_own() -> None:
    text = 'kind = "bag in pot"\nambient = { value = "18 °C", spread = "2 °C", each_time = "1 K" }\n'
    one = shown(text, "us")["ambient"]
    assert one.value == "64.4 °F"
    assert one.spread == "3.6 °F"
    assert one.each_time == "1.8 °F"


def test_a_relative_spread_is_written_in_the_figures_own_unit() -> None:
    text = 'kind = "bag in pot"\n[kettle]\npower = { value = "5 kW", spread = "0.5 kW" }\n'
    house = brewhouse_from_text(text)
    assert house.power_kW is not None
    assert house.power_kW.spread == pytest.approx(0.1)
    assert shown(text)["kettle.power"].spread == "0.5 kW"


@pytest.mark.parametrize("name", HOUSES)
@pytest.mark.parametrize("system", ["metric", "us"])
def test_what_is_shown_reads_back_as_what_is_believed(name: str, system: str) -> None:
    house = brewhouse_from_text(example(name))
    for one in brewhouse_inputs(example(name), house, system):
        place = place_at(one.address)
        assert place is not None
        estimate = getattr(house, place.field, None)
        if not isinstance(estimate, Estimate) or not place.measured or not one.value:
            continue
        assert place.figure is not None
        scale = place.figure.scale
        sd = math.hypot(estimate.spread, estimate.each_time) * (estimate.centre if estimate.log else 1.0)
        value = read(one.value, place.kind).value * scale
        assert abs(value - estimate.centre) <= 0.06 * sd + 1e-3 * abs(estimate.centre), one.address
        spread = read(one.spread, place.spread_kind).value * scale
        own = estimate.spread * (estimate.centre if estimate.log else 1.0)
        assert spread == pytest.approx(own, rel=0.06, abs=1e-6), one.address
        assert one.unit in one.value
        assert one.spread_unit in one.spread


def test_units_follow_the_person() -> None:
    text = example("lantern-street-48")
    assert shown(text)["kettle.vessel"].value == "48 L"
    us = shown(text, "us")
    assert us["kettle.vessel"].value == "12.68 gal"
    assert us["altitude"].unit == "ft"
    assert us["mash.retention"].unit == "qt/lb"
    with speaking("us"):
        assert brewhouse_inputs(text, brewhouse_from_text(text))[6].value == "12.68 gal"


def test_a_habit_is_shown_where_there_is_one() -> None:
    text = 'kind = "bag in pot"\n[habit]\nbrewhouse_efficiency = "72 %"\ngravity = "1.050"\nvolume = "20 L"\n'
    found = shown(text)
    assert [found[f"habit.{key}"].value for key in ("brewhouse_efficiency", "gravity", "volume")] == [
        "72 %",
        "1.050",
        "20 L",
    ]
    assert shown(STATED)["habit.gravity"].value == ""


def test_words_are_said_for_choices_and_flags() -> None:
    found = shown(STATED)
    assert (found["mash.heated"].value, found["mash.heated"].value_words) == ("true", "yes")
    assert found["kettle.heat"].value_words == "an element in the wort"
    assert found["kettle.trub"].value_words == "1.2 L"


def test_a_band_stays_within_what_the_figure_can_be() -> None:
    near = Estimate(centre=0.97, spread=0.03, low=0.6, high=1.0)
    low, high = band_of(near)
    assert (round(low, 4), high) == (0.9316, 1.0)
    low, high = band_of(Estimate(centre=2.0, spread=0.3, each_time=0.4, low=0.1, log=True))
    reach = 1.2816 * 0.5  # the normal's 90th percentile, from its printed table, times the joint deviation
    assert (low, high) == pytest.approx((2.0 * math.exp(-reach), 2.0 * math.exp(reach)), rel=1e-4)


@pytest.mark.faults
def test_hostile_text_is_survived() -> None:
    with pytest.raises(BadInput):
        brewhouse_inputs("kind = ", brewhouse_from_text(STATED))
    tiny = STATED.replace('"0.3 L/h"', '"1e-300 L/h"')
    assert len(shown(tiny)["kettle.boil_off"].spread) < 20
    script = STATED.replace("3 gyles", "<script>")
    assert shown(script)["kettle.boil_off"].source == "stated: <script>"
