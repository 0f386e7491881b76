"""A drawn dip-stick: marks at their heights, words clear of each other, one scale, a ruling that reads."""

from __future__ import annotations

import itertools
import re
from collections.abc import Mapping

import attrs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.reading import brewhouse_from_text
from gyle.beer.recipe import Recipe
from gyle.decide.plan import Plan, plan
from gyle.share.dip_stick import dip_sticks
from gyle.web.dip_stick_drawing import LINE_PX, DrawnStick, apart, drawn_sticks, glyph

DRAWS = 256
LARGE_AND_SMALL = 'kind = "mash tun and kettle"\n[kettle]\nvessel = "900 L"\n[keg]\nvessel = "5 L"\n'


@pytest.fixture(scope="module")
def beacon(cards: Mapping[str, Recipe], houses: Mapping[str, Brewhouse]) -> Plan:
    return plan(cards["copper-beacon"], houses["lantern-street-48"], draws=DRAWS)


@pytest.fixture(scope="module")
def drawn(beacon: Plan) -> dict[str, DrawnStick]:
    return {stick.vessel: stick for stick in drawn_sticks(dip_sticks(beacon.brewhouse, beacon))}


def numbers(stick: DrawnStick) -> list[float]:
    return [float(line.text) for line in stick.ruling if line.text]


def test_a_mark_stands_at_its_volume_on_the_ruling(beacon: Plan, drawn: dict[str, DrawnStick]) -> None:
    """Each mark's height is where the ruling's own numbers put its volume."""
    for stick in dip_sticks(beacon.brewhouse, beacon):
        picture = drawn[stick.vessel]
        low, high = (line for line in (picture.ruling[0], picture.ruling[-1]))
        top_number = max((line for line in picture.ruling if line.text), key=lambda line: float(line.text))
        px_L = (float(low.y) - float(top_number.y)) / float(top_number.text)
        assert float(high.y) <= float(top_number.y)
        for mark, ink in zip(stick.marks, picture.marks[::-1], strict=True):
            assert ink.key == mark.key.replace(".", "-")
            assert float(ink.y) == pytest.approx(float(picture.foot) - px_L * mark.volume_L.mean, abs=0.2)
            if ink.band_height:
                top, bottom = float(ink.band_y), float(ink.band_y) + float(ink.band_height)
                assert top <= float(ink.y) <= bottom


def test_words_cover_no_other_words_and_stay_on_the_drawing(drawn: dict[str, DrawnStick]) -> None:
    for stick in drawn.values():
        feet = [float(line.y) for mark in stick.marks for line in mark.words]
        assert feet == sorted(feet)
        assert all(below - above >= LINE_PX - 0.2 for above, below in itertools.pairwise(feet))
        assert feet[0] > 0.0
        assert feet[-1] < stick.height


def test_all_sticks_are_of_one_scale_and_one_ruling(beacon: Plan, drawn: dict[str, DrawnStick]) -> None:
    px_L = {
        stick.vessel: (float(drawn[stick.vessel].foot) - float(drawn[stick.vessel].brim_y)) / stick.brim_L
        for stick in dip_sticks(beacon.brewhouse, beacon)
    }
    assert max(px_L.values()) - min(px_L.values()) < 0.05
    assert {numbers(stick)[0] for stick in drawn.values()} == {5.0}
    # All stand on one line: what is below the foot is as high on each.
    assert len({stick.height - float(stick.foot) for stick in drawn.values()}) == 1


def test_vessels_too_unlike_have_a_scale_each() -> None:
    kettle, keg = (
        stick
        for stick in drawn_sticks(dip_sticks(brewhouse_from_text(LARGE_AND_SMALL)))
        if stick.vessel in ("kettle", "keg")
    )
    assert float(keg.length) >= 0.9 * float(kettle.length)
    assert numbers(keg)[0] < 1.0
    assert numbers(kettle)[0] == 100.0


@pytest.mark.parametrize("litres", [0.9, 3.0, 9.5, 15.0, 19.0, 48.0, 120.0, 777.0, 4999.0])
@pytest.mark.parametrize("system", ["metric", "us"])
def test_the_ruling_is_even_and_its_numbers_are_round(litres: float, system: str) -> None:
    text = f'kind = "bag in pot"\n[kettle]\nvessel = "{max(litres, 1.0)} L"\n'
    for stick in drawn_sticks(dip_sticks(brewhouse_from_text(text), system=system)):
        heights = [float(line.y) for line in stick.ruling]
        steps = [below - above for below, above in itertools.pairwise(heights)]
        assert max(steps) - min(steps) < 0.21  # as finely as a place is written
        assert min(steps) > 3.8
        found = numbers(stick)
        assert len(found) >= 2
        assert all(n == pytest.approx(found[0] * (i + 1)) for i, n in enumerate(found))
        assert re.fullmatch(r"[125]0*|0\.0*[125]", f"{found[0]:g}")
        assert not any(line.text and line.middle for line in stick.ruling)


def test_what_stands_above_the_brim_is_told_apart(cards: Mapping[str, Recipe], houses: Mapping[str, Brewhouse]) -> None:
    recipe = attrs.evolve(cards["slack-water"], for_brewhouse=None)
    made = plan(recipe, houses["kitchen-bag"], draws=DRAWS)
    kettle, fermenter, keg = drawn_sticks(dip_sticks(made.brewhouse, made))
    assert kettle.over
    assert fermenter.over
    assert not keg.over
    assert (kettle.head, bool(keg.head)) == ("", True)
    bed = next(mark for mark in kettle.marks if mark.key == "bed")
    assert float(bed.y) < float(kettle.brim_y)


def test_an_edit_leaves_a_dotted_mark_where_each_stood(beacon: Plan, houses: Mapping[str, Brewhouse]) -> None:
    house = houses["lantern-street-48"]
    left = attrs.evolve(house.left_behind_L, centre=house.left_behind_L.centre + 2.0)
    before, after = dip_sticks(house), dip_sticks(attrs.evolve(house, left_behind_L=left))
    kettle, fermenter, keg = drawn_sticks(after, before=before)
    moved = {mark.key: mark for mark in kettle.marks if mark.was_y}
    assert set(moved) == {"left_behind", "trub"}
    assert all(float(mark.was_y) > float(mark.y) for mark in moved.values())  # it stood lower
    assert kettle.moved
    assert not fermenter.moved
    assert not keg.moved
    assert not any(stick.moved for stick in drawn_sticks(after))


def test_a_mark_leads_to_its_figure_and_says_where_it_is_from(houses: Mapping[str, Brewhouse]) -> None:
    sources = {
        "kettle.vessel": "stated: the maker's plate",
        "kettle.left_behind": "measured, 3 gyles",
        "kettle.trub": "of its kind, electric all-in-one",
    }
    kettle = drawn_sticks(dip_sticks(houses["lantern-street-48"]), sources=sources)[0]
    by_key = {mark.key: mark for mark in kettle.marks}
    said = {key: next(line.after for line in mark.words if line.sort == "reading") for key, mark in by_key.items()}
    assert said == {
        "brim": "stated",
        "mash_room": "",
        "foam_room": "",
        "trub": "of its kind",
        "left_behind": "measured, 3 gyles",
    }
    assert by_key["left_behind"].sentence.endswith(", measured, 3 gyles")
    assert {key: mark.row for key, mark in by_key.items()} == {
        "brim": "row-kettle-vessel",
        "mash_room": "",
        "foam_room": "",
        "trub": "row-kettle-trub",
        "left_behind": "row-kettle-left_behind",
    }


def test_bands_next_to_each_other_are_hatched_the_other_way(drawn: dict[str, DrawnStick]) -> None:
    slants = [mark.slant for mark in drawn["kettle"].marks if mark.band_height]
    assert len(slants) > 3
    assert all(above != below for above, below in itertools.pairwise(slants))


def test_a_small_drawing_keeps_the_proportions(houses: Mapping[str, Brewhouse]) -> None:
    sticks = dip_sticks(houses["lantern-street-48"])
    small = glyph(sticks)
    heights = [float(one.height) for one in small]
    assert heights[1] / heights[0] == pytest.approx(30.0 / 48.0, rel=0.01)
    assert all(float(one.y) + float(one.height) == pytest.approx(43.0, abs=0.11) for one in small)
    assert [len(one.marks) for one in small] == [len(stick.marks) - 1 for stick in sticks]
    assert glyph(()) == ()
    assert drawn_sticks(()) == ()


@given(
    blocks=st.lists(st.tuples(st.floats(0.0, 500.0), st.floats(10.0, 80.0)), min_size=1, max_size=12),
    length=st.floats(50.0, 2000.0),
)
def test_blocks_of_words_never_overlap(blocks: list[tuple[float, float]], length: float) -> None:
    middles = sorted(middle for middle, _ in blocks)
    sizes = [size for _, size in blocks]
    placed = apart(middles, sizes, length=length)
    ends = [(place - size / 2.0, place + size / 2.0) for place, size in zip(placed, sizes, strict=True)]
    assert all(below[1] <= above[0] + 1e-6 for below, above in itertools.pairwise(ends))
    if sum(sizes) <= length:
        assert ends[0][0] >= -1e-6
        assert ends[-1][1] <= length + 1e-6


def test_words_with_room_stay_beside_their_mark() -> None:
    assert apart([50.0, 200.0], [30.0, 30.0], length=400.0) == (50.0, 200.0)


@given(
    middles=st.lists(st.floats(400.0, 600.0), min_size=2, max_size=6).map(sorted),
    size=st.floats(5.0, 60.0),
)
def test_blocks_are_moved_no_more_than_they_must(middles: list[float], size: float) -> None:
    """Away from the ends, moving all of them by as much either way is no better: they stay centred on their marks."""
    placed = apart(middles, [size] * len(middles), length=1000.0)
    assert sum(placed) == pytest.approx(sum(middles))
