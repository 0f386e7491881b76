from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from gyle.errors import OutOfRange
from gyle.science import carbonating

KEG = {"depth_m": 0.45, "diffusion_m2_s": 6.82e-10, "viscosity_Pa_s": 2.42e-3, "beer_kg_m3": 1010.0}


@given(st.floats(0.0, 0.99), st.floats(0.1, 30.0))
def test_days_and_share_are_inverses(fraction, scale):
    days = carbonating.carbonation_days(fraction, convection_time_days=scale)
    assert carbonating.carbonated_fraction(days, convection_time_days=scale) == pytest.approx(fraction, abs=1e-12)


@pytest.mark.source("Turbulent free convection as a differential equation", provenance="computed-with-scipy")
def test_closed_solution_is_the_differential_equation():
    scale = carbonating.convection_time_days(deficit_g_L=3.28, transport_constant=0.15, **KEG)

    def slope(_, y):
        now = carbonating.convection_time_days(deficit_g_L=y[0], transport_constant=0.15, **KEG)
        return [-y[0] / float(now)]

    path = solve_ivp(slope, (0.0, 12.7), [3.28], rtol=1e-9)
    share = carbonating.carbonated_fraction(12.7, convection_time_days=scale)
    assert 1.0 - path.y[0, -1] / 3.28 == pytest.approx(share, abs=1e-6)
    assert share == pytest.approx(0.9, abs=0.003)


@pytest.mark.source("Diffusion into a layer, full series", provenance="computed-with-scipy")
def test_one_term_of_the_series_is_enough():
    def filled(time):  # in units of L^2/D
        odd = range(1, 81, 2)
        return 1.0 - sum(8.0 / (math.pi * k) ** 2 * math.exp(-((k * math.pi) ** 2) * time / 4.0) for k in odd)

    for fraction in (0.5, 0.7, 0.9):
        days = carbonating.diffusion_days(fraction, depth_m=1.0, diffusion_m2_s=1e-9)
        assert filled(float(days) * 86400.0 * 1e-9) == pytest.approx(fraction, abs=2e-3)
    assert quad(lambda t: 1.0 - filled(t), 0.0, 20.0)[0] == pytest.approx(1.0 / 3.0, abs=1e-3)


def test_deeper_and_thicker_beer_takes_longer():
    base = carbonating.convection_time_days(deficit_g_L=3.0, transport_constant=0.1, **KEG)
    assert carbonating.convection_time_days(deficit_g_L=3.0, transport_constant=0.1, **{**KEG, "depth_m": 0.9}) > base
    assert (
        carbonating.convection_time_days(deficit_g_L=3.0, transport_constant=0.1, **{**KEG, "viscosity_Pa_s": 4e-3})
        > base
    )


def test_the_whole_way_is_refused_for_it_has_no_end():
    with pytest.raises(OutOfRange, match="fraction"):
        carbonating.carbonation_days(1.0, convection_time_days=3.0)
    with pytest.raises(OutOfRange):
        carbonating.density_rise(float("nan"))
