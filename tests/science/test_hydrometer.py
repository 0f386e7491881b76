"""The hydrometer away from the temperature of its scale."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from gyle.errors import OutOfRange
from gyle.science.density import sucrose_solution_kg_m3, water_kg_m3
from gyle.science.hydrometer import corrected_gravity, hydrometer_reading

KIT = {"calibration_temperature_C": 20.0, "glass_expansion_per_K": 25e-6}


@given(st.floats(0.98, 1.15), st.floats(0.0, 80.0), st.floats(15.0, 25.0))
def test_reading_survives_the_round_trip(reading: float, t: float, made_for: float) -> None:
    kit = {"calibration_temperature_C": made_for, "glass_expansion_per_K": 25e-6}
    gravity = corrected_gravity(reading, t, **kit)
    assert abs(hydrometer_reading(gravity, t, **kit) - reading) < 1e-10


@given(st.floats(0.98, 1.18))
def test_at_home_it_reads_true(reading: float) -> None:
    assert abs(corrected_gravity(reading, 20.0, **KIT) - reading) < 1e-10


@given(st.floats(1.0, 1.12))
def test_warmer_samples_need_more(reading: float) -> None:
    corrected = corrected_gravity(reading, np.linspace(10.0, 60.0, 51), **KIT)
    assert (np.diff(corrected) > 0).all()


def test_correction_grows_with_gravity() -> None:
    readings = np.array([1.0, 1.05, 1.10])
    correction = corrected_gravity(readings, 40.0, **KIT) - readings
    np.testing.assert_allclose(correction, [0.0056, 0.0065, 0.0074], atol=0.00006)
    assert (np.diff(correction) > 0).all()


def test_buoyancy_balances() -> None:
    """At the found extract the float displaces the mass it displaced at home, glass grown."""
    for reading, t in ((1.02, 12.0), (1.06, 33.0), (1.11, 48.0)):
        wanted = reading * float(water_kg_m3(20.0)) * (1.0 - 25e-6 * (t - 20.0))
        plato = brentq(lambda p, t=t, wanted=wanted: float(sucrose_solution_kg_m3(p, t)) - wanted, -5.0, 60.0)
        expected = float(sucrose_solution_kg_m3(plato, 20.0) / water_kg_m3(20.0))
        assert abs(corrected_gravity(reading, t, **KIT) - expected) < 1e-9


def test_scalar_is_array() -> None:
    table = corrected_gravity([[1.04], [1.08]], [10.0, 20.0, 30.0], **KIT)
    assert table.shape == (2, 3)
    assert table[1, 2] == corrected_gravity(1.08, 30.0, **KIT)


@pytest.mark.parametrize("function", [corrected_gravity, hydrometer_reading])
def test_nonsense_is_refused(function) -> None:
    for arguments, kit in (
        ((1.30, 20.0), KIT),
        ((np.nan, 20.0), KIT),
        ((1.05, 90.0), KIT),
        ((1.05, 20.0), KIT | {"calibration_temperature_C": 60.0}),
        ((1.05, 20.0), KIT | {"glass_expansion_per_K": np.nan}),
    ):
        with pytest.raises(OutOfRange, match="not between"):
            function(*arguments, **kit)
