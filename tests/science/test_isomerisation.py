from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from gyle.errors import OutOfRange
from gyle.science import isomerisation as iso

rates = st.floats(1e-6, 0.2)


@given(rates, rates, st.floats(0.0, 300.0), st.floats(0.0, 300.0))
def test_two_steps_are_one_long_step(k1, k2, first, second):
    once = iso.step(80.0, 5.0, k1=k1, k2=k2, minutes=first + second)
    twice = iso.step(*iso.step(80.0, 5.0, k1=k1, k2=k2, minutes=first), k1=k1, k2=k2, minutes=second)
    assert np.allclose(once, twice, rtol=1e-9, atol=1e-12)


@given(rates, rates, st.floats(0.0, 1e4))
def test_step_makes_no_matter(k1, k2, minutes):
    alpha, made = iso.step(100.0, 0.0, k1=k1, k2=k2, minutes=minutes)
    assert alpha >= 0.0
    assert made >= 0.0
    assert alpha + made <= 100.0 * (1.0 + 1e-12)


@given(rates, st.floats(-1e-12, 1e-12), st.floats(0.1, 300.0))
def test_nearly_equal_rates_are_the_limit(k, difference, minutes):
    made = iso.step(1.0, 0.0, k1=k, k2=k + difference, minutes=minutes).iso
    assert made == pytest.approx(k * minutes * np.exp(-k * minutes), rel=1e-7)


@given(st.floats(60.0, 99.0), st.floats(1.0, 60.0))
def test_hotter_gives_more_within_an_hour(temperature, minutes):
    assert iso.isomerised_fraction(temperature + 1.0, minutes) > iso.isomerised_fraction(temperature, minutes)


@pytest.mark.source(
    "Malowicki & Shellhammer 2005, both rates, by an adaptive integrator", provenance="computed-with-scipy"
)
@pytest.mark.parametrize("temperature", [75.0, 95.0, 100.0, 120.0])
def test_closed_solution_is_the_differential_equation(temperature):
    k1 = float(7.9e11 * np.exp(-11858.0 / (temperature + 273.15)))
    k2 = float(4.1e12 * np.exp(-12994.0 / (temperature + 273.15)))
    path = solve_ivp(lambda _, y: [-k1 * y[0], k1 * y[0] - k2 * y[1]], (0.0, 90.0), [1.0, 0.0], rtol=1e-10, atol=1e-12)
    assert iso.isomerised_fraction(temperature, 90.0) == pytest.approx(path.y[1, -1], abs=1e-8)


def test_no_time_gives_more_than_the_time_of_the_maximum():
    for temperature in (90.0, 100.0, 110.0):
        best = iso.time_of_maximum_minutes(temperature)
        around = iso.isomerised_fraction(temperature, best * np.array([0.98, 1.0, 1.02]))
        assert around[1] == around.max()


def test_additions_and_draws_broadcast_as_one_by_one():
    rng = np.random.default_rng(3)
    alpha, made = rng.uniform(0.0, 100.0, (2, 8, 16))
    k1, k2 = rng.uniform(0.001, 0.02, (2, 16))
    together = iso.step(alpha, made, k1=k1, k2=k2, minutes=12.0)
    for i in range(8):
        for j in range(16):
            alone = iso.step(alpha[i, j], made[i, j], k1=k1[j], k2=k2[j], minutes=12.0)
            assert alone.iso == pytest.approx(together.iso[i, j], rel=1e-13)
            assert alone.alpha == pytest.approx(together.alpha[i, j], rel=1e-13)


@pytest.mark.parametrize("temperature", [-6.0, 136.0, np.nan])
def test_temperatures_beyond_wort_are_refused(temperature):
    with pytest.raises(OutOfRange, match="temperature"):
        iso.isomerised_fraction([100.0, temperature], 10.0)


@pytest.mark.parametrize("minutes", [-1.0, np.nan])
def test_times_that_run_backwards_are_refused(minutes):
    with pytest.raises(OutOfRange, match="minutes"):
        iso.step(1.0, 0.0, k1=0.01, k2=0.001, minutes=minutes)
