from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import carbonation, package
from gyle.science.oxygen import oxygen_let_in_mg_L

temperatures, ratios = st.floats(0.0, 40.0), st.floats(0.0, 1.0)


@given(st.floats(0.5, 5.0), temperatures, ratios, st.floats(0.8, 1.05))
def test_headspace_only_lowers_the_pressure(volumes, temperature, ratio, composition):
    full = package.bottle_pressure_bar_abs(volumes, temperature, headspace_ratio=0.0, composition=composition)
    with_space = package.bottle_pressure_bar_abs(volumes, temperature, headspace_ratio=ratio, composition=composition)
    assert with_space <= full
    exact = carbonation.equilibrium_pressure_bar_abs(volumes / composition, temperature)
    assert full == pytest.approx(exact, rel=0.01)


@given(st.floats(0.5, 3.0), temperatures, temperatures, ratios)
def test_cooling_and_warming_again_gives_the_pressure_back(pressure, first, second, ratio):
    def change(start, end, at):
        return package.closed_cooling_bar_abs(
            at, start_temperature_C=start, end_temperature_C=end, headspace_ratio=ratio, composition=1.0
        )

    assert change(second, first, change(first, second, pressure)) == pytest.approx(pressure, rel=1e-12)


@given(st.floats(0.5, 4.0), temperatures, temperatures, ratios)
def test_a_closed_bottle_cools_as_a_closed_vessel(volumes, first, second, ratio):
    here, there = package.bottle_pressure_bar_abs(
        volumes, np.array([first, second]), headspace_ratio=ratio, composition=0.95
    )
    moved = package.closed_cooling_bar_abs(
        here, start_temperature_C=first, end_temperature_C=second, headspace_ratio=ratio, composition=0.95
    )
    assert moved == pytest.approx(there, rel=1e-12)


def test_the_vacuum_of_a_cooled_vessel_lets_much_oxygen_in():
    cold = package.closed_cooling_bar_abs(
        1.01325, start_temperature_C=20.0, end_temperature_C=2.0, headspace_ratio=0.25, composition=1.0
    )
    assert oxygen_let_in_mg_L(1.01325 - cold, 0.25, temperature_C=2.0) == pytest.approx(28.2, abs=0.3)


def test_the_trades_polynomial_reads_high_most_in_the_cold():
    temperature = np.array([2.0, 20.0])
    ours = package.residual_volumes(temperature, 1.01325, composition=1.0)
    over = package.residual_volumes_polynomial(temperature) / ours - 1.0
    assert over[0] == pytest.approx(0.07, abs=0.01)
    assert over[1] == pytest.approx(0.027, abs=0.005)


def test_nonsense_is_refused():
    with pytest.raises(OutOfRange):
        package.bottle_pressure_bar_abs(np.nan, 20.0, headspace_ratio=0.04, composition=1.0)
    with pytest.raises(OutOfRange):
        package.residual_volumes(20.0, -1.0, composition=1.0)
