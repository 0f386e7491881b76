"""What a line of the shelf says and draws, from figures kept or hostile."""

from __future__ import annotations

import math
from datetime import UTC, datetime
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.books.beers import Shelf, ShelfBeer
from gyle.web.shelf_view import PAGE, RIBBON_PX, THINNEST_PX, headline_figures, paging, patch_of, shelf_lines

KEPT = {
    "figures": {
        "fermenter.volume": [20.0, 18.0, 22.0],
        "fermenter.original_gravity": [1.052, 1.049, 1.055],
        "fermenter.alcohol": [5.2, 4.8, 5.6],
        "glass.bitterness": [41.0, 34.0, 48.0],
        "glass.bitterness_tinseth": [32.0, 28.0, 36.0],
        "glass.colour": [12.0, 8.0, 16.0],
        "glass.colour_srm": [6.1, 4.1, 8.1],
    },
    "brewhouse": "Shed",
    "measure": "tinseth",
}
numbers = st.floats() | st.integers(-(10**400), 10**400) | st.text(max_size=3) | st.none() | st.booleans()
hostile = st.recursive(
    numbers, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=5), inner, max_size=4)
)


def kept(**figures: Any) -> dict[str, Any]:
    """The figures above, some of them otherwise; a double line stands for the dot."""
    changed = {name.replace("__", "."): band for name, band in figures.items()}
    return {**KEPT, "figures": {**KEPT["figures"], **changed}}  # type: ignore[dict-item]


def beer(name: str, summary: dict[str, Any], *, newest: int = 1) -> ShelfBeer:
    now = datetime.now(UTC)
    return ShelfBeer(
        slug=name.lower(), name=name, newest=newest, saved_at=now, touched_at=now, summary=summary,
        brewhouse=None, has_draft=False,
    )  # fmt: skip


def lines(*summaries: dict[str, Any]) -> tuple[Any, ...]:
    found = tuple(beer(f"Beer{place}", summary) for place, summary in enumerate(summaries))
    return shelf_lines(Shelf(beers=found, total=len(found)), system="metric")


def test_every_headline_figure_has_its_band() -> None:
    said = {one.words: (one.value, one.ends) for one in headline_figures(KEPT, system="metric")}
    assert said == {
        "original gravity": ("1.052", "1.049 to 1.055"),
        "alcohol": ("5.2 % vol", "4.8 to 5.6"),
        "bitterness": ("32 IBU", "28 to 36"),
        "volume": ("20.0 L", "18.0 to 22.0"),
    }


def test_figures_are_in_the_persons_units() -> None:
    said = {one.key: one.value for one in headline_figures(KEPT, system="us")}
    assert said["volume"].endswith("gal")


@pytest.mark.parametrize(("measure", "value"), [("kinetic", "41 IBU"), ("laboratory", "41 IBU"), ("tinseth", "32 IBU")])
def test_bitterness_is_by_the_measure_the_recipe_counts_by(measure: str, value: str) -> None:
    said = {one.key: one.value for one in headline_figures({**KEPT, "measure": measure}, system="metric")}
    assert said["bitterness"] == value


@pytest.mark.parametrize(
    ("measure", "value"), [("rager", "37 IBU"), ("garetz", "32 IBU"), ("nothing", "32 IBU"), (7, "32 IBU")]
)
def test_a_measure_that_is_not_kept_gives_way_to_the_usual_one(measure: Any, value: str) -> None:
    bands = {**kept(glass__bitterness_rager=[37.0, 33.0, 41.0])["figures"], "glass.bitterness_nothing": [1.0, 1.0, 1.0]}
    said = {one.key: one.value for one in headline_figures({"figures": bands, "measure": measure}, system="metric")}
    assert [value for key, value in said.items() if key.startswith("bitterness")] == [value]


def test_what_is_not_kept_is_left_out() -> None:
    assert headline_figures({}, system="metric") == ()
    assert patch_of({}, widest_L=20.0, system="metric") is None
    (line,) = lines({})
    assert line.figures == ()
    assert line.patch is None


def test_a_patch_is_as_thick_as_its_volume_and_lies_in_the_middle() -> None:
    large, small = lines(kept(), kept(fermenter__volume=[5.0, 4.0, 6.0]))
    assert large.patch.thick_px == RIBBON_PX
    assert small.patch.thick_px == pytest.approx(RIBBON_PX / 4.0)
    for patch in (large.patch, small.patch):
        assert 2.0 * patch.top_px + patch.thick_px == pytest.approx(RIBBON_PX, abs=0.2)
    (tiny,) = lines(kept(fermenter__volume=[5000.0, 4000.0, 6000.0]), kept(fermenter__volume=[0.1, 0.1, 0.1]))[1:]
    assert tiny.patch.thick_px == THINNEST_PX


def test_a_patch_says_in_words_what_it_shows() -> None:
    patch = patch_of(KEPT, widest_L=20.0, system="metric")
    assert patch is not None
    assert patch.words == "gold, 12 EBC, 8 to 16"
    assert "SRM" in getattr(patch_of(KEPT, widest_L=20.0, system="us"), "words", "")


def test_a_darker_beer_has_a_darker_patch() -> None:
    pale, dark = lines(kept(), kept(glass__colour_srm=[40.0, 30.0, 50.0], glass__colour=[79.0, 60.0, 98.0]))
    light = [sum(int(one.patch.colour[at : at + 2], 16) for at in (1, 3, 5)) for one in (pale, dark)]
    assert light[0] > light[1]


@given(st.lists(st.tuples(st.floats(1.01, 1.15), st.floats(0.0001, 0.01)), min_size=2, max_size=8))
def test_one_rule_serves_all_beers_of_a_page(gravities: list[tuple[float, float]]) -> None:
    bands = [[mean, mean - half, mean + half] for mean, half in gravities]
    found = lines(*({"figures": {"fermenter.original_gravity": band}} for band in bands))
    strips = [line.figures[0].strip for line in found]
    places = [tuple(float(part.rstrip("%")) for part in (s.low, s.mean, s.width)) for s in strips]
    for low, mean, width in places:
        assert 0.0 <= low <= mean + 0.1
        assert mean <= low + width + 0.2
        assert low + width <= 100.1
    in_order = sorted(zip(bands, places, strict=True))
    assert all(one[1][1] <= next_[1][1] for one, next_ in pairwise(in_order))


def test_a_beer_alone_has_no_rule_to_share() -> None:
    (line,) = lines(KEPT)
    assert [one.strip for one in line.figures] == [None] * 4


@given(st.dictionaries(st.sampled_from([*KEPT["figures"], "other"]), hostile))  # type: ignore[misc]
def test_hostile_figures_are_left_out(figures: dict[str, Any]) -> None:
    found = lines({"figures": figures, "measure": 7}, {"figures": 7}, KEPT)
    for line in found:
        for one in line.figures:
            assert "nan" not in f"{one.value} {one.ends}".lower()
            assert "inf" not in f"{one.value} {one.ends}".lower()
        if line.patch is not None:
            assert THINNEST_PX <= line.patch.thick_px <= RIBBON_PX
            assert len(line.patch.colour) == 7


@pytest.mark.parametrize("huge", [1e308, -1e308, 1e-308])
def test_huge_figures_do_not_take_the_page_away(huge: float) -> None:
    band = [huge, min(-1e308, huge), max(1e308, huge)]
    figures = dict.fromkeys(KEPT["figures"], band)  # type: ignore[arg-type]
    first, second = lines({"figures": figures}, KEPT)
    assert second.figures[0].value == "1.052"
    assert first.name == "Beer0"


@given(st.none() | st.integers(-5, 10**12), st.integers(0, 10**6))
def test_a_page_lies_within_all(page: int | None, total: int) -> None:
    place = paging(page, total)
    assert 1 <= place.page <= place.pages == max(math.ceil(total / PAGE), 1)
    assert place.last - place.first + 1 == min(PAGE, total - (place.page - 1) * PAGE) if total else place.last == 0


@pytest.mark.parametrize(
    ("page", "total", "words"),
    [(None, 0, "no beer"), (1, 1, "1 beer"), (1, 12, "12 beers"), (3, 10_001, "101 to 150 of 10,001 beers")],
)
def test_a_page_says_what_it_shows(page: int | None, total: int, words: str) -> None:
    assert paging(page, total).words == words


@given(st.integers(1, 2000))
def test_the_pages_together_show_every_beer_once(total: int) -> None:
    places = [paging(page, total) for page in range(1, paging(1, total).pages + 1)]
    shown = [number for place in places for number in range(place.first, place.last + 1)]
    assert shown == list(range(1, total + 1))
