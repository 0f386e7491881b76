from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from gyle.errors import OutOfRange
from gyle.science import serving

BEER = {"viscosity_Pa_s": 2.42e-3, "beer_kg_m3": 1010.0}


@given(st.floats(1.0, 1500.0))
def test_slow_flow_is_laminar(reynolds):
    factor = serving.friction_factor(reynolds, relative_roughness=3e-4)
    assert factor == pytest.approx(64.0 / reynolds, rel=1e-3)


@pytest.mark.source("Colebrook's equation", provenance="computed-with-scipy")
@pytest.mark.parametrize("reynolds", [8e3, 3e4, 1e5, 1e6])
@pytest.mark.parametrize("roughness", [1e-6, 3e-4, 1e-2])
def test_turbulent_flow_follows_colebrook(reynolds, roughness):
    root = brentq(lambda x: x + 2.0 * np.log10(roughness / 3.7 + 2.51 * x / reynolds), 1.0, 30.0)
    got = serving.friction_factor(reynolds, relative_roughness=roughness)
    assert got == pytest.approx(root**-2, rel=0.035)


@settings(deadline=None, max_examples=40)
@given(st.floats(2.0, 200.0), st.floats(3.0, 10.0), st.floats(-0.5, 1.0), st.floats(0.0, 10.0))
def test_length_and_pour_are_inverses(flow, bore, rise, fittings):
    given_line = {
        "pressure_bar_g": 0.9,
        "rise_m": rise,
        "fittings": fittings,
        "bore_mm": bore,
        "roughness_um": 1.5,
        **BEER,
    }
    length = serving.line_length_m(flow, **given_line)
    if 0.001 <= length <= 1000.0:
        assert serving.pour_mL_s(length, **given_line) == pytest.approx(flow, rel=1e-6)


def test_a_keg_without_pressure_pours_nothing():
    line = {"rise_m": 0.5, "fittings": 0.0, "bore_mm": 4.76, "roughness_um": 1.5, **BEER}
    pours = serving.pour_mL_s(3.0, pressure_bar_g=np.array([0.0, 0.02, 0.8]), **line)
    assert pours[0] == pours[1] == 0.0
    assert pours[2] > 30.0


def test_friction_grows_as_the_trades_number_does_not():
    slow, fast = serving.line_friction_kPa_m([59.0, 118.0], bore_mm=4.76, roughness_um=1.5, **BEER)
    assert np.log2(fast / slow) == pytest.approx(1.75, abs=0.06)
    narrow, wide = serving.line_friction_kPa_m(59.0, bore_mm=[4.76, 9.52], roughness_um=1.5, **BEER)
    assert np.log2(narrow / wide) == pytest.approx(4.75, abs=0.15)


def test_nonsense_is_refused():
    with pytest.raises(OutOfRange, match="bore"):
        serving.reynolds_number(45.0, bore_mm=0.0, **BEER)
    with pytest.raises(OutOfRange, match="Reynolds number"):
        serving.friction_factor(np.nan, relative_roughness=0.0)
