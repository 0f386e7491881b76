from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import oxygen


@pytest.mark.source("Sander 2023, Atmos. Chem. Phys. 23:10901: 1.3e-5 mol/(m3 Pa) and 1500 K", provenance="retrieved")
@pytest.mark.parametrize("temperature", [15.0, 20.0, 25.0])
def test_air_saturation_agrees_with_the_compiled_henry_constant(temperature):
    kelvin = temperature + 273.15
    vapour = 610.94 * np.exp(17.625 * temperature / (temperature + 243.04))
    henry = 1.3e-5 * np.exp(1500.0 * (1.0 / kelvin - 1.0 / 298.15))
    expected = henry * 0.2095 * (101325.0 - vapour) * 31.998
    assert oxygen.oxygen_air_saturated_mg_L(temperature) == pytest.approx(expected, rel=0.04)


def test_air_cannot_give_strong_wort_what_it_wants():
    assert oxygen.oxygen_in_wort_mg_L(10.0, 24.0, gas_oxygen=0.2095) < 12.0
    assert oxygen.oxygen_in_wort_mg_L(20.0, 24.0, gas_oxygen=1.0) > 30.0


@given(st.integers(0, 20), st.integers(0, 20), st.floats(0.0, 4.0))
def test_purges_multiply(first, second, pressure):
    def left(times):
        return oxygen.purge_oxygen_fraction(times, pressure_bar_g=pressure, air_bar=1.0)

    assert left(first + second) == pytest.approx(left(first) * left(second) / 0.2095)
    assert left(0) == 0.2095


@given(st.floats(0.0, 1.0), st.floats(0.0, 0.5), st.floats(0.0, 5.0))
def test_package_oxygen_is_a_sum(share, ratio, dissolved):
    total = oxygen.package_oxygen_mg_L(share, ratio, temperature_C=20.0, pressure_bar_abs=1.0, dissolved_mg_L=dissolved)
    assert total == pytest.approx(dissolved + ratio * share * 1e5 * 31.998 / (8.314462618 * 293.15))


def test_nonsense_is_refused():
    with pytest.raises(OutOfRange, match="temperature"):
        oxygen.oxygen_air_saturated_mg_L(-0.1)
    with pytest.raises(OutOfRange):
        oxygen.purge_oxygen_fraction(np.nan, pressure_bar_g=1.0, air_bar=1.0)
