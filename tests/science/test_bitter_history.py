from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from gyle.errors import OutOfRange
from gyle.science import bitter_history as history
from gyle.science.cooling import minutes_to_reach, temperature_after
from gyle.science.isomerisation import (
    ACTIVATION_KJ_MOL,
    RATE_100C_1_MIN,
    degradation_rate_1_min,
    isomerisation_rate_1_min,
    isomerised_fraction,
    step,
)

CENTRE = {"rate_100C": RATE_100C_1_MIN, "activation_kJ_mol": ACTIVATION_KJ_MOL}


def integrated(temperature_at, minutes, alpha=1.0, iso=0.0):
    def slope(t, y):
        kelvin = temperature_at(t) + 273.15
        k1, k2 = 7.9e11 * np.exp(-11858.0 / kelvin), 4.1e12 * np.exp(-12994.0 / kelvin)
        return [-k1 * y[0], k1 * y[0] - k2 * y[1]]

    return solve_ivp(slope, (0.0, minutes), [alpha, iso], rtol=1e-10, atol=1e-13).y[:, -1]


@pytest.mark.source("Malowicki & Shellhammer 2005 along Newton cooling", provenance="computed-with-scipy")
@pytest.mark.parametrize(
    ("rate", "sink", "minutes"), [(0.3, 10.0, 60.0), (0.1, 15.0, 40.0), (0.005, 20.0, 600.0), (0.0, 20.0, 30.0)]
)
def test_cooling_agrees_with_an_adaptive_integrator(rate, sink, minutes):
    got = history.while_cooling(
        0.7, 0.2, start_temperature_C=100.0, surroundings_temperature_C=sink, rate_1_min=rate, minutes=minutes, **CENTRE
    )
    expected = integrated(lambda t: sink + (100.0 - sink) * np.exp(-rate * t), minutes, 0.7, 0.2)
    assert np.allclose(got, expected, atol=5e-5)


def hold(state, temperature, minutes):
    k1 = isomerisation_rate_1_min(temperature, **CENTRE)
    return step(*state, k1=k1, k2=degradation_rate_1_min(temperature), minutes=minutes)


def chill(state, start, end, sink, rate):
    minutes = minutes_to_reach(start, end, surroundings_temperature_C=sink, rate_1_min=rate)
    return history.while_cooling(
        *state, start_temperature_C=start, surroundings_temperature_C=sink, rate_1_min=rate, minutes=minutes, **CENTRE
    )


@pytest.mark.source("Boil, chill, stand, chill: Malowicki & Shellhammer 2005", provenance="computed-with-scipy")
@pytest.mark.parametrize(
    ("boil", "stand", "expected"),
    [
        ((60.0, 98.3), (80.0, 20.0, 12.0, 0.12, 20.0), {60.0: 0.46005, 0.0: 0.05286, None: 0.04316}),
        ((90.0, 95.0), (85.0, 30.0, 18.0, 0.08, 22.0), {90.0: 0.51119, 15.0: 0.20579, None: 0.10002}),
    ],
)
def test_a_whole_evening_in_stages(boil, stand, expected):
    """Additions at the start, late in the boil, and (None) at the start of the stand."""
    _, boiling = boil
    warm, minutes, sink, rate, end = stand
    for boiled, made in expected.items():
        state = (np.float64(1.0), np.float64(0.0))
        if boiled is not None:
            state = chill(hold(state, boiling, boiled), boiling, warm, sink, rate)
        state = chill(hold(state, warm, minutes), warm, end, sink, rate)
        assert state[1] == pytest.approx(made, abs=2e-4)
        if boiled == 60.0:
            assert state[0] == pytest.approx(0.49529, abs=5e-4)


@pytest.mark.source("Mean of the closed solution by quadrature", provenance="computed-with-scipy")
def test_drained_wort_is_the_average_over_the_drain():
    mean = quad(lambda t: float(isomerised_fraction(98.0, t)), 0.0, 11.5)[0] / 11.5
    assert history.isomerised_fraction_while_draining(98.0, 11.5) == pytest.approx(mean, rel=1e-9)
    assert history.isomerised_fraction_while_draining(98.0, 0.0) == pytest.approx(0.0, abs=1e-15)


@settings(deadline=None)
@given(st.floats(1.0, 2000.0), st.floats(50.0, 400.0), st.floats(0.0, 180.0))
def test_saturation_never_helps_and_never_makes_matter(alpha, solubility, minutes):
    capped = history.step_with_solubility(alpha, 0.0, k1=0.0125, k2=0.0031, minutes=minutes, solubility=solubility)
    free = step(alpha, 0.0, k1=0.0125, k2=0.0031, minutes=minutes)
    assert capped.alpha >= free.alpha - 1e-9
    assert capped.alpha + capped.iso <= alpha * (1.0 + 1e-12)
    if alpha <= solubility:
        assert capped.iso == pytest.approx(free.iso, rel=1e-12)


@pytest.mark.source("Capped first rate by an adaptive integrator", provenance="computed-with-scipy")
def test_saturated_wort_agrees_with_an_adaptive_integrator():
    def slope(_, y):
        speed = 0.0125 * min(y[0], 250.0)
        return [-speed, speed - 0.0031 * y[1]]

    path = solve_ivp(slope, (0.0, 150.0), [400.0, 10.0], rtol=1e-10, atol=1e-10, max_step=1.0)
    got = history.step_with_solubility(400.0, 10.0, k1=0.0125, k2=0.0031, minutes=150.0, solubility=250.0)
    assert np.allclose(got, path.y[:, -1], atol=1e-3)


def test_cooling_needs_a_rate_for_each_draw_only():
    k = np.array([0.05, 0.1])
    both = history.while_cooling(
        np.ones((3, 1)),
        0.0,
        start_temperature_C=98.0,
        surroundings_temperature_C=14.0,
        rate_1_min=k,
        minutes=30.0,
        rate_100C=RATE_100C_1_MIN * np.array([0.9, 1.1]),
        activation_kJ_mol=ACTIVATION_KJ_MOL,
    )
    assert both.iso.shape == (3, 2)
    assert temperature_after(98.0, 30.0, surroundings_temperature_C=14.0, rate_1_min=k).shape == (2,)


def test_a_negative_wait_is_refused():
    with pytest.raises(OutOfRange):
        history.isomerised_fraction_while_draining(98.0, -1.0)
