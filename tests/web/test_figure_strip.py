"""A strip's places: the same scale for a kind, everything that must be seen on it, and a change that moves it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.line.figures import Band
from gyle.web.figure_strip import Strip, reach_of, strip


def band(mean: float, half: float) -> Band:
    return Band(mean=mean, low=mean - half, high=mean + half, median=mean)


def places(drawn: Strip) -> list[float]:
    low, width, mean = (float(text.rstrip("%")) for text in (drawn.low, drawn.width, drawn.mean))
    found = [low, low + width, mean]
    if drawn.aim is not None:
        found.append(float(drawn.aim.rstrip("%")))
    if drawn.before_low is not None and drawn.before_width is not None:
        start = float(drawn.before_low.rstrip("%"))
        found += [start, start + float(drawn.before_width.rstrip("%"))]
    return found


def test_the_surer_of_two_has_the_narrower_grey() -> None:
    reach = reach_of("fermenter.original_gravity", "gravity", 1.05)
    sure, unsure = (float(strip(band(1.05, half), reach=reach).width.rstrip("%")) for half in (0.003, 0.006))
    assert unsure == pytest.approx(2.0 * sure, rel=1e-2)


def test_a_share_of_the_mean_serves_where_a_unit_does_not() -> None:
    assert reach_of("glass.bitterness", "bitterness", 60.0) == 2.0 * reach_of("glass.bitterness", "bitterness", 30.0)
    assert reach_of("mash.ph", "ph", 5.4) == reach_of("glass.ph", "ph", 4.2)


def test_an_edit_moves_the_mean_along_a_rule_that_stays() -> None:
    before, now = band(50.0, 5.0), band(60.0, 5.0)
    still, moved = strip(before, reach=25.0), strip(now, reach=25.0, before=before)
    assert moved.before_low == still.low
    assert float(moved.mean.rstrip("%")) == pytest.approx(50.0 + 100.0 * 10.0 / 50.0, abs=0.01)
    assert strip(before, reach=25.0, before=before).before_low is None


@given(
    mean=st.floats(-1e6, 1e6),
    half=st.floats(0.0, 1e6),
    was=st.floats(-1e6, 1e6),
    aim=st.none() | st.floats(-1e6, 1e6),
    reach=st.none() | st.floats(0.0, 1e3),
)
def test_all_that_must_be_seen_is_on_the_rule(
    mean: float, half: float, was: float, aim: float | None, reach: float | None
) -> None:
    drawn = strip(band(mean, half), reach=reach, aim=aim, before=band(was, half))
    assert all(-0.02 <= place <= 100.02 for place in places(drawn))
