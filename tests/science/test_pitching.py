from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import pitching
from gyle.science.extract import degrees_plato


@pytest.mark.source("N = r P V with the ASBC cubic", provenance="computed-with-numpy")
def test_cells_from_a_gravity():
    cells = pitching.cells_needed(degrees_plato([1.050, 1.090]), 20.0, pitch_rate_M_mL_P=[0.75, 1.0])
    assert cells == pytest.approx([1.858e11, 4.314e11], rel=1e-3)


@given(st.floats(0.0, 30.0), st.floats(0.0, 100.0), st.floats(0.1, 2.0))
def test_twice_the_wort_takes_twice_the_cells(extract, volume, rate):
    one = pitching.cells_needed(extract, volume, pitch_rate_M_mL_P=rate)
    assert pitching.cells_needed(extract, 2.0 * volume, pitch_rate_M_mL_P=rate) == pytest.approx(2.0 * one)


@given(st.floats(0.0, 1000.0), st.floats(0.0, 1e12), st.floats(0.0, 6.0))
def test_growth_is_held_by_both_limits(extract, start, doublings):
    new = pitching.cells_grown(extract, start, doublings=doublings, cells_per_g=1.4e9)
    assert 0.0 <= new <= min(1.4e9 * extract, start * math.expm1(doublings * math.log(2.0))) * (1.0 + 1e-9)


@given(st.floats(0.0, 60.0), st.floats(0.0, 60.0), st.floats(0.0, 0.05))
def test_death_composes(first, second, loss):
    whole = pitching.viability_after(first + second, start_viability=0.95, loss_1_day=loss)
    then = pitching.viability_after(first, start_viability=0.95, loss_1_day=loss)
    assert pitching.viability_after(second, start_viability=then, loss_1_day=loss) == pytest.approx(whole)


def test_more_than_all_alive_is_refused():
    with pytest.raises(OutOfRange, match="viability"):
        pitching.living_cells(10.0, cells_per_unit=1e9, viability=1.1)
    with pytest.raises(OutOfRange):
        pitching.cells_needed(float("nan"), 20.0, pitch_rate_M_mL_P=0.75)
