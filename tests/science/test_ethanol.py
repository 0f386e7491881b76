"""Ethanol in water."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import ethanol
from gyle.science.density import water_kg_m3


def test_no_ethanol_is_water() -> None:
    t = np.linspace(0.0, 40.0, 81)
    assert np.abs(ethanol.ethanol_water_kg_m3(0.0, t) - water_kg_m3(t)).max() < 0.012


@given(st.floats(-20.0, 40.0))
def test_more_ethanol_is_lighter(t: float) -> None:
    strength = np.linspace(0.0, 100.0, 301) if t >= 10.0 else np.linspace(0.0, 20.0, 61)
    assert (np.diff(ethanol.ethanol_water_kg_m3(strength, t)) < 0).all()


@given(st.floats(0.0, 100.0))
def test_gravity_is_the_20_degree_line(p: float) -> None:
    expected = ethanol.ethanol_water_kg_m3(p, 20.0) / 998.20123
    assert abs(ethanol.ethanol_water_gravity_sg(p) - expected) < 1e-12


def test_mixing_contracts() -> None:
    """Half and half by mass takes up less room than its parts, by the well-known 3 to 4 %."""
    parts = 0.5 / 998.2012 + 0.5 / 789.24
    together = 1.0 / float(ethanol.ethanol_water_kg_m3(50.0, 20.0))
    assert 0.030 < 1.0 - together / parts < 0.040


@given(st.floats(0.0, 1e5), st.floats(0.0, 100.0))
def test_grams_add_up(volume: float, strength: float) -> None:
    whole = ethanol.ethanol_g(volume, abv_pct=strength)
    halves = 2.0 * ethanol.ethanol_g(volume / 2.0, abv_pct=strength)
    assert abs(whole - halves) <= 1e-9 * max(1.0, whole)
    drinks = ethanol.standard_drinks(volume, abv_pct=strength, drink_g=12.0)
    assert abs(drinks * 12.0 - whole) <= 1e-9 * max(1.0, whole)


def test_arrays_broadcast() -> None:
    table = ethanol.ethanol_water_kg_m3([[5.0], [10.0]], [4.0, 20.0])
    assert table.shape == (2, 2)
    assert table[1, 0] == ethanol.ethanol_water_kg_m3(10.0, 4.0)


def test_nonsense_is_refused() -> None:
    for call in (
        lambda: ethanol.ethanol_water_kg_m3(101.0, 20.0),
        lambda: ethanol.ethanol_water_kg_m3(5.0, 41.0),
        lambda: ethanol.ethanol_water_kg_m3(np.nan, 20.0),
        lambda: ethanol.ethanol_water_gravity_sg([5.0, -1.0]),
        lambda: ethanol.ethanol_g(-1.0, abv_pct=5.0),
        lambda: ethanol.ethanol_g(330.0, abv_pct=np.nan),
        lambda: ethanol.standard_drinks(330.0, abv_pct=5.0, drink_g=0.0),
    ):
        with pytest.raises(OutOfRange, match="not between"):
            call()
