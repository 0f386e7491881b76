"""Boil and steam against two independent codes of the properties of water."""

from __future__ import annotations

import iapws
import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import atmosphere
from gyle.science.atmosphere import (
    boiling_point_elevation_K,
    latent_heat_kJ_kg,
    pressure_Pa,
    saturation_pressure_Pa,
    water_boiling_temperature_C,
)


@pytest.mark.source("IAPWS-95", provenance="computed-with-CoolProp")
def test_boiling_temperature_lies_within_5_mK_of_the_scientific_formulation() -> None:
    pressures = np.linspace(50e3, 110e3, 61)
    reference = np.array([PropsSI("T", "P", p, "Q", 0, "Water") for p in pressures]) - 273.15
    assert np.abs(water_boiling_temperature_C(pressures) - reference).max() < 0.005


@pytest.mark.source("IAPWS R7-97", provenance="computed-with-iapws")
@pytest.mark.parametrize("mega_pascal", [0.001, 0.05, 0.101325, 1.0, 15.0])
def test_boiling_temperature_is_region_4_of_the_industrial_formulation(mega_pascal: float) -> None:
    reference = iapws.iapws97._TSat_P(mega_pascal) - 273.15
    assert float(water_boiling_temperature_C(1e6 * mega_pascal)) == pytest.approx(reference, abs=1e-6)


@pytest.mark.source("IAPWS-95", provenance="computed-with-CoolProp")
def test_latent_heat_lies_within_a_thousandth() -> None:
    celsius = np.linspace(0.5, 119.5, 60)
    reference = [
        (PropsSI("H", "T", t + 273.15, "Q", 1, "Water") - PropsSI("H", "T", t + 273.15, "Q", 0, "Water")) / 1e3
        for t in celsius
    ]
    assert latent_heat_kJ_kg(celsius) == pytest.approx(np.array(reference), rel=3e-5)


@pytest.mark.source("ISO 2533 and IAPWS-95", provenance="computed-with-CoolProp")
@pytest.mark.parametrize(
    ("altitude_m", "boil_C"),
    [(0, 99.974), (300, 98.98), (500, 98.312), (1000, 96.649), (1609, 94.620), (2000, 93.315), (3000, 89.972)],
)
def test_water_boils_cooler_in_the_hills(altitude_m: float, boil_C: float) -> None:
    assert float(water_boiling_temperature_C(pressure_Pa(altitude_m))) == pytest.approx(boil_C, abs=0.01)


@pytest.mark.source("ISO 2533, short form of the same formula", provenance="computed-with-numpy")
def test_pressure_agrees_with_the_short_form() -> None:
    altitude = np.linspace(-500.0, 9000.0, 40)
    short = 101325.0 * (1.0 - 2.25577e-5 * altitude) ** 5.25588
    assert pressure_Pa(altitude) == pytest.approx(short, rel=2e-6)


@given(st.floats(0.01, 373.9))
def test_saturation_and_boiling_are_inverse(celsius: float) -> None:
    assert float(water_boiling_temperature_C(saturation_pressure_Pa(celsius))) == pytest.approx(celsius, abs=2e-6)


@given(st.lists(st.floats(611.3, 22e6), min_size=1, max_size=20), st.floats(100.0, 2000.0))
def test_arrays_equal_scalars(pressures: list[float], molar_mass: float) -> None:
    together = water_boiling_temperature_C(pressures)
    assert together.dtype == np.float64
    assert together == pytest.approx([float(water_boiling_temperature_C(p)) for p in pressures], abs=1e-12)
    elevation = boiling_point_elevation_K(np.full(len(pressures), 12.0), solute_g_mol=molar_mass)
    assert elevation == pytest.approx(float(boiling_point_elevation_K(12.0, solute_g_mol=molar_mass)))


@given(st.floats(0.0, 59.0), st.floats(0.1, 1.0))
def test_stronger_wort_boils_hotter_and_water_like_water(extract_pct: float, step: float) -> None:
    weak = float(boiling_point_elevation_K(extract_pct, solute_g_mol=400.0))
    assert float(boiling_point_elevation_K(extract_pct + step, solute_g_mol=400.0)) > weak
    assert float(boiling_point_elevation_K(0.0, solute_g_mol=400.0)) == 0.0


@pytest.mark.parametrize(
    ("function", "arguments"),
    [
        ("pressure_Pa", {"altitude_m": 9001.0}),
        ("pressure_Pa", {"altitude_m": np.nan}),
        ("water_boiling_temperature_C", {"pressure_Pa": 600.0}),
        ("water_boiling_temperature_C", {"pressure_Pa": [1e5, np.nan]}),
        ("saturation_pressure_Pa", {"temperature_C": -0.1}),
        ("latent_heat_kJ_kg", {"temperature_C": 121.0}),
        ("boiling_point_elevation_K", {"extract_pct": 61.0, "solute_g_mol": 400.0}),
        ("boiling_point_elevation_K", {"extract_pct": 12.0, "solute_g_mol": 0.0}),
    ],
)
def test_what_means_nothing_is_refused(function: str, arguments: dict[str, object]) -> None:
    with pytest.raises(OutOfRange, match="is not between"):
        getattr(atmosphere, function)(**arguments)
