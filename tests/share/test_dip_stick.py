"""Dip-sticks: every vessel has one, its marks agree with the plan and its limits."""

from __future__ import annotations

import itertools
from collections.abc import Mapping

import attrs
import pytest

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.reading import brewhouse_from_text, recipe_from_text
from gyle.beer.recipe import Recipe
from gyle.decide.plan import Plan, plan
from gyle.quantities import read
from gyle.share.dip_stick import DipStick, dip_sticks
from gyle.share.ink_marks import InkMark

DRAWS = 256
TUN = 'name = "two"\nkind = "mash tun and kettle"\n[mash]\nvessel = "40 L"\n[kettle]\nvessel = "50 L"\n'
SLACK = 1e-9


@pytest.fixture(scope="module")
def beacon(cards: Mapping[str, Recipe], houses: Mapping[str, Brewhouse]) -> Plan:
    return plan(cards["copper-beacon"], houses["lantern-street-48"], draws=DRAWS)


@pytest.fixture(scope="module")
def beacon_sticks(beacon: Plan) -> dict[str, DipStick]:
    return {stick.vessel: stick for stick in dip_sticks(beacon.brewhouse, beacon)}


def inked(stick: DipStick, key: str) -> InkMark:
    mark = stick.mark(key)
    assert mark is not None, key
    return mark


def check_limit(made: Plan, what: str) -> tuple[float, float]:
    check = next(check for check in made.checks if check.what == what and check.unit == "L")
    return check.needed, check.room


def test_one_vessel_has_one_stick_and_two_vessels_have_two(houses: Mapping[str, Brewhouse]) -> None:
    assert [s.vessel for s in dip_sticks(houses["lantern-street-48"])] == ["kettle", "fermenter", "keg"]
    apart = dip_sticks(brewhouse_from_text(TUN))
    assert [s.vessel for s in apart] == ["mash", "kettle", "fermenter", "keg"]
    assert [s.brim_L for s in apart[:2]] == [40.0, 50.0]
    assert apart[0].mark("dead") is not None
    assert apart[0].mark("left_behind") is None
    assert apart[1].mark("mash_room") is None


def test_without_a_plan_there_are_the_vessels_own_marks(houses: Mapping[str, Brewhouse]) -> None:
    kettle, fermenter, keg = dip_sticks(houses["lantern-street-48"])
    assert [m.key for m in kettle.marks] == ["left_behind", "trub", "foam_room", "mash_room", "brim"]
    assert [m.key for m in fermenter.marks] == ["left_behind", "foam_room", "brim"]
    assert [m.key for m in keg.marks] == ["brim"]
    assert not any(m.sort == "fill" for stick in (kettle, fermenter, keg) for m in stick.marks)
    left, trub, foam = kettle.marks[:3]
    assert left.volume_L.mean == pytest.approx(1.5)
    assert trub.volume_L.mean == pytest.approx(2.7)  # 1.5 L below the tap and 1.2 L of trub above it
    assert left.volume_L.low < 1.5 < left.volume_L.high
    # Two figures that do not hang together: the sum's band is wider than either, narrower than both laid end to end.
    widths = [m.volume_L.high - m.volume_L.low for m in (left, trub)]
    assert widths[0] < widths[1]
    assert foam.volume_L.mean == pytest.approx(48.0 * 0.9)


def test_marks_stand_where_the_plan_and_its_limits_say(beacon: Plan, beacon_sticks: dict[str, DipStick]) -> None:
    kettle, fermenter = beacon_sticks["kettle"], beacon_sticks["fermenter"]
    figures = beacon.figures
    for stick, key, figure in (
        (kettle, "full", "kettle.full.volume"),
        (kettle, "end", "kettle.end.volume"),
        (fermenter, "filled", "fermenter.volume"),
        (beacon_sticks["keg"], "filled", "keg.volume"),
    ):
        mark = inked(stick, key)
        for end in ("mean", "low", "high"):
            assert getattr(mark.cold_L, end) == pytest.approx(getattr(figures[figure], end))
    needed, room = check_limit(beacon, "kettle")
    fullest = kettle.mark("fullest") or inked(kettle, "full")
    foam, bed, stir = inked(kettle, "foam_room"), inked(kettle, "bed"), inked(kettle, "mash_room")
    assert foam.volume_L.mean == pytest.approx(room)
    assert fullest.volume_L.mean == pytest.approx(needed, rel=0.02)  # the check is of the centre line
    needed, room = check_limit(beacon, "mash vessel")
    assert bed.volume_L.mean == pytest.approx(needed, rel=0.01)
    assert stir.volume_L.mean == pytest.approx(room)
    assert bed.cold_L.mean == pytest.approx(figures["mash.volume"].mean)
    head = inked(fermenter, "foam_room")
    assert head.volume_L.mean == pytest.approx(check_limit(beacon, "fermenter")[1])


def test_what_is_read_hot_stands_higher_than_its_volume_at_20_C(beacon_sticks: dict[str, DipStick]) -> None:
    for key, least, most in (("full", 1.035, 1.045), ("end", 1.035, 1.045), ("liquor", 1.015, 1.03)):
        mark = inked(beacon_sticks["kettle"], key)
        assert mark.at_C is not None
        assert least < mark.volume_L.mean / mark.cold_L.mean < most
        assert "°C" in mark.reading
        assert mark.cold
    filled = inked(beacon_sticks["fermenter"], "filled")
    assert (filled.at_C, filled.cold, filled.volume_L) == (None, "", filled.cold_L)


def test_what_stays_behind_is_what_the_kettle_had_and_the_fermenter_did_not(
    beacon: Plan, beacon_sticks: dict[str, DipStick]
) -> None:
    kettle = beacon_sticks["kettle"]
    stays, end = inked(kettle, "stays"), inked(kettle, "end")
    assert end.cold_L.mean - stays.cold_L.mean == pytest.approx(beacon.figures["fermenter.volume"].mean, rel=0.01)
    assert [m.key for m in kettle.marks][:3] == ["left_behind", "trub", "stays"]


def test_a_second_mash_has_marks_of_its_own(houses: Mapping[str, Brewhouse]) -> None:
    text = """name = "twice"
volume = "18 L"
[[grist]]
what = "pale ale malt"
mass = "5 kg"
[[grist]]
what = "pale ale malt"
mass = "5 kg"
mash = 2
[[mash]]
temperature = "66 °C"
time = "60 min"
[[mash]]
mash = 2
liquor_from = "mash 1"
temperature = "64 °C"
time = "90 min"
[yeast]
what = "clean ale yeast"
"""
    made = plan(recipe_from_text(text), houses["lantern-street-48"], draws=64)
    kettle = dip_sticks(made.brewhouse, made)[0]
    for key in ("liquor", "bed", "liquor.2", "bed.2"):
        assert inked(kettle, key).volume_L.mean > 5.0
    assert inked(kettle, "bed.2").cold_L.mean == pytest.approx(made.figures["mash.2.volume"].mean)


def test_a_kettle_too_full_is_marked_above_its_brim(beacon: Plan) -> None:
    small = attrs.evolve(beacon.brewhouse, kettle_vessel_L=25.0, mash_vessel_L=25.0)
    kettle = dip_sticks(small, beacon)[0]
    assert inked(kettle, "full").share > inked(kettle, "brim").share
    assert kettle.top_L > kettle.brim_L == 25.0
    assert all(0.0 <= m.low_share <= m.share <= m.high_share <= 1.0 + SLACK for m in kettle.marks)


def test_everything_is_written_in_the_persons_units(beacon: Plan) -> None:
    for stick in dip_sticks(beacon.brewhouse, beacon, system="us"):
        assert stick.unit == "gal"
        assert read(stick.brim, "volume").value == pytest.approx(stick.brim_L, rel=0.01)
        for mark in stick.marks:
            assert "gal" in mark.reading
            assert "°C" not in mark.reading
            assert " L" not in mark.reading + mark.cold


def test_bottles_alone_leave_the_keg_empty(beacon: Plan) -> None:
    package = attrs.evolve(beacon.recipe.package, into=(("bottle", 0.5),))
    bottled = attrs.evolve(beacon, recipe=attrs.evolve(beacon.recipe, package=package))
    keg = dip_sticks(bottled.brewhouse, bottled)[-1]
    assert [m.key for m in keg.marks] == ["brim"]


def test_ruling_is_even_numbered_and_within_the_stick(beacon: Plan) -> None:
    for system, litres in (("metric", 1.0), ("us", 3.785411784)):
        for stick in dip_sticks(beacon.brewhouse, beacon, system=system):
            numbers = [float(tick.text) for tick in stick.ticks]
            steps = {round(b - a, 9) for a, b in itertools.pairwise(numbers)}
            assert len(steps) == 1
            assert 4 <= len(numbers) <= 13
            for tick, number in zip(stick.ticks, numbers, strict=True):
                assert tick.share == pytest.approx(number * litres / stick.top_L)
                assert tick.share <= 1.0 + SLACK


def test_marks_of_a_stick_are_in_order(beacon: Plan) -> None:
    for stick in dip_sticks(beacon.brewhouse, beacon):
        assert [m.share for m in stick.marks] == sorted(m.share for m in stick.marks)
        assert all(m.low_share <= m.share <= m.high_share for m in stick.marks)
