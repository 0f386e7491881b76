"""Heat capacities, mixing and ramps."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import quad

from gyle.errors import OutOfRange
from gyle.science.heat import (
    cooling_rate_K_h,
    hydration_heat_kJ_kg,
    malt_heat_capacity_kJ_kgK,
    mixed_temperature_C,
    ramp_minutes,
    wort_heat_capacity_kJ_kgK,
)

VESSEL = {"heat_capacity_kJ_K": 97.73, "ambient_C": 18.0}


@pytest.mark.source(
    "Brewing Room Book 1984/85: corrections 5.5 to 2 °F, as heat at 2.68 hL for 100 kg", provenance="retrieved"
)
def test_hydration_follows_the_maltsters_table() -> None:
    moisture = np.array([0.0, 0.01, 0.02, 0.03, 0.04, 0.06, 0.08])
    correction_K = np.array([5.5, 5.0, 4.0, 3.5, 3.0, 2.5, 2.0]) / 1.8
    heat = correction_K * (malt_heat_capacity_kJ_kgK(moisture) + 2.68 * 4.186)
    assert hydration_heat_kJ_kg(moisture) == pytest.approx(heat, abs=2.6)


@pytest.mark.source("Choi and Okos 1986", provenance="memory")
def test_dry_malt_against_the_sum_of_its_parts() -> None:
    t = 20.0
    parts = [
        (0.74, 1.5488 + 1.9625e-3 * t - 5.9399e-6 * t * t),
        (0.105, 2.0082 + 1.2089e-3 * t - 1.3129e-6 * t * t),
        (0.02, 1.9842 + 1.4733e-3 * t - 4.8008e-6 * t * t),
        (0.11, 1.8459 + 1.8306e-3 * t - 4.6509e-6 * t * t),
        (0.025, 1.0926 + 1.8896e-3 * t - 3.6817e-6 * t * t),
    ]
    summed = sum(share * capacity for share, capacity in parts)
    assert summed == pytest.approx(1.662, abs=0.005)
    assert float(malt_heat_capacity_kJ_kgK(0.0)) == pytest.approx(summed, abs=0.08)


@given(st.floats(0.0, 40.0), st.floats(0.0, 100.0))
def test_wort_holds_less_heat_than_water_and_more_when_hot(extract_pct: float, celsius: float) -> None:
    assert float(wort_heat_capacity_kJ_kgK(extract_pct, celsius)) <= 4.1868
    warmer = wort_heat_capacity_kJ_kgK(extract_pct, celsius + 5.0)
    assert float(warmer) >= float(wort_heat_capacity_kJ_kgK(extract_pct, celsius))


CELSIUS, CAPACITY = st.floats(0.0, 100.0), st.floats(0.1, 500.0)


@given(CELSIUS, CELSIUS, CAPACITY, CAPACITY)
def test_a_mixture_lies_between_and_keeps_the_heat(t1: float, t2: float, c1: float, c2: float) -> None:
    mixed = float(mixed_temperature_C(t1, t2, first_kJ_K=c1, second_kJ_K=c2, heat_kJ=0.0))
    assert min(t1, t2) - 1e-9 <= mixed <= max(t1, t2) + 1e-9
    assert (c1 + c2) * mixed == pytest.approx(c1 * t1 + c2 * t2, rel=1e-9, abs=1e-9)
    other = mixed_temperature_C(t2, t1, first_kJ_K=c2, second_kJ_K=c1, heat_kJ=0.0)
    assert float(other) == pytest.approx(mixed, abs=1e-9)


@pytest.mark.source("numerical integral of the same heat balance", provenance="computed-with-scipy")
@given(st.floats(10.0, 95.0), st.floats(10.0, 95.0), st.floats(0.0, 4.0), st.floats(0.0, 20.0))
def test_ramp_is_the_integral_of_its_heat_balance(start: float, end: float, power: float, loss: float) -> None:
    def net(t: float) -> float:
        return power - loss / 1000.0 * (t - 18.0)

    rise = end - start
    assume(abs(rise) > 0.01 and net(start) * rise > 0.001 and net(end) * rise > 0.001)
    expected, _ = quad(lambda t: 97.73 / net(t) / 60.0, start, end, epsrel=1e-11)
    got = ramp_minutes(start, end, power_kW=power, loss_W_K=loss, **VESSEL)
    assert float(got) == pytest.approx(expected, rel=1e-7)


def test_ramp_that_never_arrives_is_infinite() -> None:
    weak = ramp_minutes(66.0, 76.0, power_kW=[0.0, 0.2, 0.34, 0.36], loss_W_K=6.0, **VESSEL)
    assert np.isinf(weak).tolist() == [True, True, True, False]
    assert np.isinf(ramp_minutes(66.0, 60.0, power_kW=2.0, loss_W_K=6.0, **VESSEL))
    assert np.isinf(ramp_minutes(66.0, 60.0, power_kW=0.0, loss_W_K=0.0, **VESSEL))
    assert float(ramp_minutes(66.0, 66.0, power_kW=0.0, loss_W_K=6.0, **VESSEL)) == 0.0


def test_ramp_with_the_element_off_starts_at_the_cooling_rate() -> None:
    minutes = float(ramp_minutes(66.0, 65.99, power_kW=0.0, loss_W_K=6.0, **VESSEL))
    rate = float(cooling_rate_K_h(66.0, 18.0, heat_capacity_kJ_K=97.73, loss_W_K=6.0))
    assert 0.01 / minutes * 60.0 == pytest.approx(rate, rel=2e-4)


@given(st.floats(1e-12, 1e-3))
def test_ramp_has_no_seam_where_the_loss_vanishes(loss: float) -> None:
    lossy = float(ramp_minutes(63.0, 72.0, power_kW=2.0, loss_W_K=loss, **VESSEL))
    free = float(ramp_minutes(63.0, 72.0, power_kW=2.0, loss_W_K=0.0, **VESSEL))
    assert free * (1.0 - 1e-12) <= lossy <= free * (1.0 + 1e-4)


def test_ramp_of_many_draws_equals_each_alone() -> None:
    power = np.linspace(0.1, 3.5, 50)
    together = ramp_minutes(63.0, 72.0, power_kW=power, loss_W_K=6.0, **VESSEL)
    alone = [float(ramp_minutes(63.0, 72.0, power_kW=p, loss_W_K=6.0, **VESSEL)) for p in power]
    assert together.tolist() == pytest.approx(alone)


def test_what_means_nothing_is_refused() -> None:
    with pytest.raises(OutOfRange, match="moisture"):
        malt_heat_capacity_kJ_kgK(np.nan)
    with pytest.raises(OutOfRange, match="moisture"):
        hydration_heat_kJ_kg(0.51)
    with pytest.raises(OutOfRange, match="extract"):
        wort_heat_capacity_kJ_kgK(-1.0, 20.0)
    with pytest.raises(OutOfRange, match="mixture"):
        mixed_temperature_C(20.0, 20.0, first_kJ_K=0.0, second_kJ_K=0.0, heat_kJ=0.0)
    with pytest.raises(OutOfRange, match="heat loss"):
        ramp_minutes(20.0, 66.0, power_kW=2.0, loss_W_K=-1.0, **VESSEL)
    with pytest.raises(OutOfRange, match="heat capacity"):
        cooling_rate_K_h(66.0, 18.0, heat_capacity_kJ_K=0.0, loss_W_K=6.0)
