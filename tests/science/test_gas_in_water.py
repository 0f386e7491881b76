from __future__ import annotations

import numpy as np
import pytest
from iapws._iapws import _Henry

from gyle.errors import OutOfRange
from gyle.science import gas_in_water as water


@pytest.mark.source("IAPWS G7-04", provenance="computed-with-iapws")
@pytest.mark.parametrize("temperature", [5.0, 15.0, 25.0, 40.0])
def test_henry_constant_agrees_with_the_steam_association(temperature):
    expected = _Henry(temperature + 273.15, "CO2")
    assert water.carroll_henry_MPa(temperature) == pytest.approx(expected, rel=0.03)


def test_full_correlations_agree_within_three_per_cent():
    temperature = np.linspace(0.0, 35.0, 8)
    carroll = water.water_solubility_g_L_bar(temperature)
    for other in (water.water_solubility_weiss_g_L_bar, water.water_solubility_wilhelm_g_L_bar):
        assert np.abs(other(temperature) / carroll - 1.0).max() < 0.03


def test_two_parameters_fail_in_the_cold_and_serve_at_25():
    ratio = water.water_solubility_two_parameter_g_L_bar([0.0, 4.0, 25.0]) / water.water_solubility_weiss_g_L_bar(
        [0.0, 4.0, 25.0]
    )
    assert ratio[0] < 0.92
    assert ratio[1] < 0.94
    assert ratio[2] == pytest.approx(1.0, abs=0.02)


def test_warm_water_holds_less_and_lets_gas_move_faster():
    temperature = np.linspace(0.0, 60.0, 13)
    assert np.all(np.diff(water.water_solubility_g_L_bar(temperature)) < 0.0)
    assert np.all(np.diff(water.diffusion_water_m2_s(temperature)) > 0.0)


@pytest.mark.parametrize("temperature", [-3.0, 101.0, np.nan])
def test_ice_and_steam_are_refused(temperature):
    for solubility in (
        water.water_solubility_g_L_bar,
        water.water_solubility_weiss_g_L_bar,
        water.diffusion_water_m2_s,
    ):
        with pytest.raises(OutOfRange, match="temperature"):
            solubility([20.0, temperature])
