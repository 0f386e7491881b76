from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from gyle.errors import OutOfRange
from gyle.science import carbonation as fizz
from gyle.science.atmosphere import pressure_Pa
from gyle.science.gas_in_water import water_solubility_g_L_bar

temperatures = st.floats(-2.0, 40.0)


@given(st.floats(0.0, 6.0), temperatures)
def test_pressure_is_the_exact_inverse(volumes, temperature):
    pressure = fizz.equilibrium_pressure_bar_abs(volumes, temperature)
    assert fizz.carbon_dioxide_volumes(temperature, pressure) == pytest.approx(volumes, abs=1e-12)


@pytest.mark.source("deLange 2011, fit to ASBC Beer-13, in its own units", provenance="computed-with-scipy")
@pytest.mark.parametrize(("fahrenheit", "volumes"), [(33.0, 2.7), (40.0, 2.4), (58.0, 2.2)])
def test_inverse_agrees_with_a_root_search_in_the_charts_units(fahrenheit, volumes):
    def chart(psig):
        return (psig + 14.695) * (0.01821 + 0.090115 * np.exp(-(fahrenheit - 32.0) / 43.11)) - 0.003342 - volumes

    expected = (brentq(chart, -14.0, 80.0) + 14.695) * 0.0689476
    got = fizz.equilibrium_pressure_bar_abs(volumes, (fahrenheit - 32.0) / 1.8)
    assert got == pytest.approx(expected, rel=1e-9)


@pytest.mark.source("Carroll et al. 1991 against the chart's fit", provenance="computed-with-numpy")
def test_beer_holds_a_twentieth_less_than_water_at_every_temperature():
    temperature = np.linspace(0.0, 30.0, 16)
    ratio = fizz.solubility_g_L_bar(temperature) / water_solubility_g_L_bar(temperature)
    assert ratio.min() > 0.94
    assert ratio.max() < 0.96


@given(st.floats(0.0, 15.0), st.floats(0.0, 120.0), st.floats(0.0, 1.0))
def test_alcohol_and_extract_only_lower_solubility(abv, extract, weight):
    here = fizz.composition_factor(abv, extract, extract_weight=weight)
    assert fizz.composition_factor(abv + 1.0, extract, extract_weight=weight) < here
    assert fizz.composition_factor(abv, extract + 10.0, extract_weight=weight) <= here


def test_full_weight_is_the_wine_formula_as_a_ratio():
    strong = fizz.oiv_solubility_g_L(1.0, abv_pct=12.0, sugar_g_L=75.0)
    standard = fizz.oiv_solubility_g_L(1.0, abv_pct=fizz.STANDARD_ABV_PCT, sugar_g_L=fizz.STANDARD_EXTRACT_G_L)
    assert fizz.composition_factor(12.0, 75.0, extract_weight=1.0) == pytest.approx(strong / standard)


@given(st.floats(0.0, 3000.0))
def test_the_gauge_makes_up_for_thin_air(altitude):
    air = pressure_Pa(altitude)
    gauge = fizz.regulator_pressure_bar_g(2.5, 4.0, composition=1.0, air_pressure_Pa=air)
    assert gauge + air / 1e5 == pytest.approx(fizz.equilibrium_pressure_bar_abs(2.5, 4.0))


def test_pure_gas_needs_no_more_than_its_own_pressure():
    assert fizz.mixed_gas_pressure_bar_abs(1.8, carbon_dioxide_share=1.0) == 1.8


@pytest.mark.parametrize(("volumes", "temperature"), [(-0.1, 4.0), (np.nan, 4.0), (2.5, 90.0), (2.5, np.nan)])
def test_nonsense_is_refused(volumes, temperature):
    with pytest.raises(OutOfRange):
        fizz.equilibrium_pressure_bar_abs(volumes, temperature)
