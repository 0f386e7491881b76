from __future__ import annotations

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import gas


@pytest.mark.source("Span & Wagner 1996", provenance="computed-with-CoolProp")
def test_a_volume_is_the_real_gas_at_the_ice_point():
    density = PropsSI("D", "T", 273.15, "P", 101325.0, "CO2")
    assert pytest.approx(density, abs=5e-4) == gas.GRAMS_PER_VOLUME


@pytest.mark.source("Span & Wagner 1996", provenance="computed-with-CoolProp")
@pytest.mark.parametrize("temperature", [-50.0, -20.0, 0.0, 12.0, 25.0, 30.5])
def test_cylinder_pressure(temperature):
    expected = PropsSI("P", "T", temperature + 273.15, "Q", 1, "CO2") / 1e5
    assert gas.saturation_pressure_bar_abs(temperature) == pytest.approx(expected, rel=5e-4)


@pytest.mark.source("Span & Wagner 1996", provenance="computed-with-CoolProp")
def test_ideal_gas_is_near_enough_at_keg_pressure():
    density = PropsSI("D", "T", 277.15, "P", 1.8271e5, "CO2")
    assert gas.gas_mass_g(20.0, 4.0, pressure_bar_abs=1.8271) == pytest.approx(20.0 * density, rel=0.015)


@given(st.floats(0.0, 1e5), st.floats(-2.0, 60.0), st.floats(0.1, 5.0))
def test_mass_and_space_are_inverses(mass, temperature, pressure):
    space = gas.gas_volume_L(mass, temperature, pressure_bar_abs=pressure)
    assert gas.gas_mass_g(space, temperature, pressure_bar_abs=pressure) == pytest.approx(mass, abs=1e-9, rel=1e-12)


@given(st.floats(0.0, 10.0))
def test_volumes_and_grams_are_inverses(volumes):
    assert gas.volumes_of_g_L(gas.g_L_of_volumes(volumes)) == pytest.approx(volumes)


def test_above_the_critical_point_there_is_no_liquid():
    with pytest.raises(OutOfRange, match="temperature"):
        gas.saturation_pressure_bar_abs(31.0)
    with pytest.raises(OutOfRange):
        gas.volumes_of_g_L(float("nan"))
