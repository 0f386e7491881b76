from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import fermentation_curve as curve

rates, middles, skews = st.floats(0.01, 1.0), st.floats(-50.0, 150.0), st.floats(0.1, 5.0)


@given(rates, middles, skews, st.floats(0.001, 0.999))
def test_time_to_a_share_is_the_inverse(rate, middle, skew, share):
    hours = curve.hours_to_share_left(share, rate_1_h=rate, midpoint_h=middle, skew=skew)
    back = curve.fall_left(hours, rate_1_h=rate, midpoint_h=middle, skew=skew)
    assert back == pytest.approx(share, rel=1e-7)


@given(rates, middles, skews, st.floats(-1e5, 1e5))
def test_gravity_never_rises_and_never_overflows(rate, middle, skew, hours):
    now, later = curve.fall_left(np.array([hours, hours + 1.0]), rate_1_h=rate, midpoint_h=middle, skew=skew)
    assert 0.0 <= later <= now <= 1.0


@given(st.floats(3.0, 200.0), st.floats(2.0, 200.0), skews)
def test_curve_has_the_times_it_was_made_from(half, wide, skew):
    shape = curve.curve_of_hours(half, wide, skew=skew)
    at = curve.hours_to_share_left(
        np.array([0.9, 0.5, 0.1]), rate_1_h=shape.rate_1_h, midpoint_h=shape.midpoint_h, skew=skew
    )
    assert at[1] == pytest.approx(half, rel=1e-9)
    assert at[2] - at[0] == pytest.approx(wide, rel=1e-9)


@pytest.mark.source("Slope by differences", provenance="computed-with-numpy")
@pytest.mark.parametrize("skew", [0.3, 1.0, 2.5])
def test_steepest_fall_is_at_the_midpoint(skew):
    hours = np.linspace(0.0, 120.0, 24001)
    level = curve.richards_curve(hours, start=12.4, end=2.5, rate_1_h=0.12, midpoint_h=40.0, skew=skew)
    slope = -np.gradient(level, hours)
    assert slope.max() == pytest.approx(float(curve.steepest_fall_1_h(9.9, rate_1_h=0.12, skew=skew)), rel=1e-5)
    assert hours[slope.argmax()] == pytest.approx(40.0, abs=0.02)


@given(rates, st.floats(-20.0, 60.0), skews, st.floats(1.03, 1.12), st.floats(1.0, 1.03))
def test_normalised_curve_begins_at_the_original_gravity(rate, middle, skew, original, final):
    level = curve.gravity_curve(
        np.array([0.0, 1e5]),
        original_gravity_sg=original,
        final_gravity_sg=final,
        rate_1_h=rate,
        midpoint_h=middle,
        skew=skew,
    )
    assert level[0] == pytest.approx(original, rel=1e-12)
    assert level[1] == pytest.approx(final, abs=1e-9)


def test_skew_of_one_is_the_logistic_curve():
    hours = np.linspace(0.0, 100.0, 11)
    parts = {"start": 12.4, "end": 2.5, "rate_1_h": 0.12, "midpoint_h": 40.0}
    textbook = 2.5 + 9.9 / (1.0 + np.exp(0.12 * (hours - 40.0)))
    assert np.allclose(curve.logistic_curve(hours, **parts), textbook, rtol=1e-12)


def test_a_grid_of_hours_and_draws_broadcasts():
    hours, middles_h = np.arange(0.0, 48.0)[:, None], np.array([20.0, 30.0, 40.0])
    left = curve.fall_left(hours, rate_1_h=0.1, midpoint_h=middles_h, skew=0.8)
    assert left.shape == (48, 3)
    assert left[30, 1] == curve.fall_left(30.0, rate_1_h=0.1, midpoint_h=30.0, skew=0.8)


def test_shares_without_an_hour_are_refused():
    for share in (0.0, 1.0, np.nan):
        with pytest.raises(OutOfRange, match="share left"):
            curve.hours_to_share_left(share, rate_1_h=0.1, midpoint_h=36.0, skew=1.0)
