"""Density of water and sugar solutions, and hot volumes."""

from __future__ import annotations

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import density, extract

TEMPERATURES = st.floats(-5.0, 110.0)


@pytest.mark.source("IAPWS-95 through CoolProp", provenance="computed-with-CoolProp")
def test_water_agrees_with_the_international_formulation() -> None:
    for t in np.linspace(0.5, 99.5, 34):
        expected = PropsSI("D", "T", t + 273.15, "P", 101325.0, "Water")
        assert abs(density.water_kg_m3(t) - expected) < 0.03
    superheated = PropsSI("D", "T", 378.15, "Q", 0.0, "Water")
    assert abs(density.water_kg_m3(105.0) - superheated) < 0.05


def test_water_is_heaviest_at_four_degrees() -> None:
    t = np.linspace(0.0, 20.0, 2001)
    assert abs(t[np.argmax(density.water_kg_m3(t))] - 4.0) < 0.05


@given(TEMPERATURES)
def test_no_sugar_is_water(t: float) -> None:
    assert density.sucrose_solution_kg_m3(0.0, t) == density.water_kg_m3(t)


@given(st.floats(-9.9, 84.9), TEMPERATURES)
def test_sucrose_survives_the_round_trip(w: float, t: float) -> None:
    there = density.sucrose_solution_kg_m3(w, t)
    assert abs(density.sucrose_pct_of_density(there, t) - w) < 1e-9


@given(TEMPERATURES)
def test_more_sugar_is_heavier_at_any_temperature(t: float) -> None:
    assert (np.diff(density.sucrose_solution_kg_m3(np.linspace(-10.0, 85.0, 400), t)) > 0).all()


@given(st.floats(0.0, 35.0))
def test_wort_expands_with_heat(w: float) -> None:
    ratio = density.volume_at_20C_ratio(w, np.linspace(10.0, 105.0, 96))
    assert (np.diff(ratio) < 0).all()
    assert density.volume_at_20C_ratio(w, 20.0) == 1.0


@pytest.mark.source("ASBC Methods of Analysis, Table 1 (cubic)", provenance="retrieved")
def test_two_sources_agree_on_wort_at_20_degrees() -> None:
    plato = np.linspace(0.0, 32.0, 65)
    air = 1.2  # the table was weighed in it
    relative = (density.sucrose_solution_kg_m3(plato, 20.0) - air) / (density.water_kg_m3(20.0) - air)
    assert np.abs(relative - extract.specific_gravity(plato)).max() < 0.00015


def test_temperatures_and_extracts_broadcast() -> None:
    both = density.sucrose_solution_kg_m3([[0.0], [12.0]], [4.0, 20.0, 78.0])
    assert both.shape == (2, 3)
    assert both[1, 2] == density.sucrose_solution_kg_m3(12.0, 78.0)


def test_steel_grows_alike_in_three_directions() -> None:
    hot = density.steel_volume_ratio(100.0, calibration_temperature_C=20.0, expansion_per_K=16.5e-6)
    assert abs(hot - 1.0 - 3 * 16.5e-6 * 80.0) < 1e-5
    assert density.steel_volume_ratio(20.0, calibration_temperature_C=20.0, expansion_per_K=1e-5) == 1.0


@pytest.mark.parametrize("t", [-6.0, 111.0, np.nan])
def test_impossible_temperatures_are_refused(t: float) -> None:
    for call in (
        lambda: density.water_kg_m3(t),
        lambda: density.sucrose_solution_kg_m3(10.0, t),
        lambda: density.sucrose_pct_of_density(1040.0, t),
        lambda: density.volume_at_20C_ratio(10.0, [20.0, t]),
        lambda: density.steel_volume_ratio(t, calibration_temperature_C=20.0, expansion_per_K=1e-5),
        lambda: density.steel_volume_ratio(20.0, calibration_temperature_C=t, expansion_per_K=1e-5),
    ):
        with pytest.raises(OutOfRange, match="temperature"):
            call()


def test_impossible_solutions_are_refused() -> None:
    with pytest.raises(OutOfRange, match="extract"):
        density.sucrose_solution_kg_m3(86.0, 20.0)
    with pytest.raises(OutOfRange, match="density"):
        density.sucrose_pct_of_density(800.0, 20.0)
    with pytest.raises(OutOfRange, match="sucrose of that density"):
        density.sucrose_pct_of_density(1480.0, 20.0)
    with pytest.raises(OutOfRange, match="expansion"):
        density.steel_volume_ratio(90.0, calibration_temperature_C=20.0, expansion_per_K=-1e-5)
