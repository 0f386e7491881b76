from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_bvp

from gyle.errors import OutOfRange
from gyle.science import chillers

flows = st.floats(10.0, 2000.0)


@given(flows, flows, st.floats(0.0, 5000.0))
def test_effectiveness_is_a_share_and_has_no_sides(wort, water, transfer):
    share = chillers.counterflow_effectiveness(wort, water, transfer_W_K=transfer)
    assert 0.0 <= share <= 1.0
    assert share == pytest.approx(chillers.counterflow_effectiveness(water, wort, transfer_W_K=transfer))


def test_equal_flows_are_no_special_case():
    near = chillers.counterflow_effectiveness(200.0, [200.0, 200.0 + 1e-9, 200.0 + 1e-5], transfer_W_K=400.0)
    assert np.allclose(near, 2.0 / 3.0, rtol=1e-6)


@pytest.mark.source("Counterflow exchanger as a boundary value problem", provenance="computed-with-scipy")
def test_outlet_agrees_with_the_differential_equations():
    wort, water, transfer = 167.9, 418.6, 350.0

    def slopes(_, y):
        heat = transfer * (y[0] - y[1])
        return np.array([-heat / wort, -heat / water])

    ends = solve_bvp(
        slopes,
        lambda a, b: np.array([a[0] - 98.0, b[1] - 12.0]),
        np.linspace(0.0, 1.0, 50),
        np.array([np.linspace(98.0, 30.0, 50), np.linspace(45.0, 12.0, 50)]),
        tol=1e-9,
    )
    got = chillers.counterflow_outlet_C(98.0, 12.0, wort_W_K=wort, water_W_K=water, transfer_W_K=transfer)
    assert got == pytest.approx(ends.y[0, -1], abs=1e-4)


@given(st.floats(1.0, 30.0), st.floats(0.0, 2000.0))
def test_a_coil_never_beats_its_water(flow, transfer):
    rate = chillers.immersion_rate_1_min(
        20.0, wort_kg_L=1.05, wort_J_kg_K=4000.0, water_flow_kg_min=flow, transfer_W_K=transfer
    )
    assert 0.0 <= rate <= flow * 4186.0 / (20.0 * 1.05 * 4000.0) * (1.0 + 1e-12)


def test_no_flow_is_refused():
    with pytest.raises(OutOfRange):
        chillers.counterflow_effectiveness(0.0, 100.0, transfer_W_K=100.0)
    with pytest.raises(OutOfRange):
        chillers.heat_capacity_flow_W_K(np.nan, density_kg_L=1.0, capacity_J_kg_K=4000.0)
