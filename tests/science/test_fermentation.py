from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from gyle.errors import OutOfRange
from gyle.science import fermentation as yeast

ALE = {"minimum_C": 2.0, "optimum_C": 31.0, "maximum_C": 40.0}
shares = st.floats(0.0, 1.0)


@given(st.floats(-20.0, 80.0))
def test_cardinal_factor_is_a_share(temperature):
    factor = yeast.cardinal_temperature_factor(temperature, **ALE)
    assert 0.0 <= factor <= 1.0
    if not 2.0 < temperature < 40.0:
        assert factor == 0.0


@pytest.mark.source("Salvadó et al. 2011: optimum 32.3, maximum 45.4 °C for ale yeast", provenance="retrieved")
@pytest.mark.parametrize(("minimum", "optimum", "maximum"), [(2.8, 32.3, 45.4), (2.8, 26.2, 38.4)])
def test_the_optimum_is_the_largest_value(minimum, optimum, maximum):
    best = minimize_scalar(
        lambda t: -float(yeast.cardinal_temperature_factor(t, minimum_C=minimum, optimum_C=optimum, maximum_C=maximum)),
        bounds=(minimum, maximum),
        method="bounded",
        options={"xatol": 1e-8},
    )
    assert best.x == pytest.approx(optimum, abs=1e-3)
    assert -best.fun == pytest.approx(1.0, abs=1e-9)


@given(st.floats(0.3, 0.85), shares, shares, shares)
def test_fermentable_share_stays_a_share_and_rises_with_use(mash, maltotriose, dextrin, sugar):
    share = yeast.fermentable_by_yeast(mash, maltotriose_use=maltotriose, dextrin_use=dextrin, sugar_share=sugar)
    more = yeast.fermentable_by_yeast(
        mash, maltotriose_use=min(1.0, maltotriose + 0.1), dextrin_use=dextrin, sugar_share=sugar
    )
    assert 0.0 < share <= more <= 1.0


def test_what_no_yeast_takes_is_nine_in_a_hundred():
    all_taken = yeast.fermentable_by_yeast(0.6725, maltotriose_use=1.0, dextrin_use=1.0, sugar_share=0.0)
    assert all_taken == pytest.approx(0.91)


@given(st.floats(0.0, 15.0), st.floats(0.0, 15.0))
def test_alcohol_only_slows(first, second):
    weak, strong = sorted((first, second))
    assert yeast.alcohol_limit_factor(strong, stop_abv_pct=11.0) <= yeast.alcohol_limit_factor(weak, stop_abv_pct=11.0)


@given(st.floats(8.0, 31.0), st.floats(0.2, 4.0), st.floats(1.03, 1.12))
def test_hours_stretch_as_they_should(temperature, pitch, gravity):
    def scale(t, p, g):
        return yeast.hours_scale(t, g, reference_temperature_C=19.0, pitch_ratio=p, pitch_exponent=-0.3, **ALE)

    here = scale(temperature, pitch, gravity)
    assert here.half > 0.0
    assert here.ten_to_ninety >= here.half
    assert scale(temperature, pitch * 1.5, gravity).half < here.half
    assert scale(temperature, pitch, gravity + 0.01).half >= here.half
    assert scale(temperature - 2.0, pitch, gravity).half > here.half


def test_too_cold_takes_for_ever_and_raises_nothing():
    scale = yeast.hours_scale(
        np.array([0.0, 19.0, 45.0]), 1.050, reference_temperature_C=19.0, pitch_ratio=1.0, pitch_exponent=-0.3, **ALE
    )
    assert scale.half.tolist() == [np.inf, 1.0, np.inf]


@given(st.floats(20.0, 120.0), st.floats(0.0, 35.0))
def test_q10_is_the_ratio_of_two_rates(energy, temperature):
    rate = np.exp(-energy / 8.314462618e-3 / (np.array([temperature, temperature + 10.0]) + 273.15))
    assert yeast.q10(energy, temperature) == pytest.approx(rate[1] / rate[0])


@pytest.mark.parametrize(
    ("minimum", "optimum", "maximum"), [(31.0, 2.0, 40.0), (2.0, 41.0, 40.0), (2.0, 10.0, 40.0), (np.nan, 31.0, 40.0)]
)
def test_cardinal_temperatures_out_of_order_are_refused(minimum, optimum, maximum):
    with pytest.raises(OutOfRange):
        yeast.cardinal_temperature_factor(20.0, minimum_C=minimum, optimum_C=optimum, maximum_C=maximum)
