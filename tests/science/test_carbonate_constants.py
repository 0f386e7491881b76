"""Equilibrium constants and activity coefficients."""

from __future__ import annotations

import warnings

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from iapws import IAPWS97
from iapws._iapws import _Dielectric

from gyle.errors import OutOfRange
from gyle.science.carbonate_constants import (
    ROWS,
    activity_coefficient,
    constants,
    davies_slope,
    dielectric_constant,
    lactic_pk,
    log_k,
    screening,
)


@pytest.mark.source("Plummer and Busenberg 1982", provenance="retrieved")
@pytest.mark.parametrize(
    ("reaction", "expected"),
    [
        ("CO2 = H+ + HCO3-", -6.3519),
        ("HCO3- = H+ + CO3--", -10.3289),
        ("CO2(g) = CO2", -1.4679),
        ("calcite", -8.4798),
        ("aragonite", -8.3361),
        ("CaHCO3+", 1.1057),
        ("CaCO3", 3.2241),
    ],
)
def test_constants_at_25_c(reaction: str, expected: float) -> None:
    assert abs(log_k(reaction, 25.0) - expected) < 1e-3


@pytest.mark.source("Plummer and Busenberg 1982, equations", provenance="computed-with-numpy")
@pytest.mark.parametrize(
    ("reaction", "expected"),
    [
        ("CO2 = H+ + HCO3-", (-6.2978, -6.3250)),
        ("HCO3- = H+ + CO3--", (-10.1342, -10.1251)),
        ("CO2(g) = CO2", (-1.8164, -1.8787)),
        ("calcite", (-8.8116, -8.9387)),
    ],
)
def test_constants_in_hot_water(reaction: str, expected: tuple[float, float]) -> None:
    assert np.abs(log_k(reaction, [65.0, 76.0]) - expected).max() < 1e-3


@pytest.mark.source("phreeqc.dat, log K printed beside its analytical expressions", provenance="retrieved")
@pytest.mark.parametrize(
    ("reaction", "printed"),
    [
        ("HSO4-", 1.988), ("MgCO3", 2.98), ("MgHCO3+", 11.399), ("gypsum", -4.58), ("CaSO4", 2.25), ("MgSO4", 2.37),
        ("HPO4--", 12.346), ("H2PO4-", 19.553), ("NaHCO3", -0.25),
    ],
)  # fmt: skip
def test_pairs_at_25_c(reaction: str, printed: float) -> None:
    assert abs(log_k(reaction, 25.0) - printed) < 0.005


@given(st.lists(st.floats(0.0, 100.0), min_size=1, max_size=5))
def test_the_table_at_once_is_each_row_alone(temperatures: list[float]) -> None:
    together = constants(np.array(temperatures))
    one = constants(temperatures[0])
    for index, reaction in enumerate(ROWS):
        assert np.log10(together[index]) == pytest.approx(log_k(reaction, temperatures), abs=1e-9)
        assert one[index] == pytest.approx(float(together[index][0]), rel=1e-9)


@given(st.floats(0.0, 99.0))
def test_warmth_drives_gas_out_and_calcite_down(temperature: float) -> None:
    for reaction in ("CO2(g) = CO2", "calcite"):
        assert log_k(reaction, temperature + 1.0) < log_k(reaction, temperature) + (0.01 if temperature < 15 else 0.0)


@pytest.mark.source("IAPWS R8-97", provenance="computed-with-iapws")
@pytest.mark.parametrize("temperature", [1.0, 20.0, 50.0, 78.0, 99.0])
def test_the_dielectric_constant_is_that_of_water(temperature: float) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        water = IAPWS97(T=temperature + 273.15, P=0.101325)
        expected = _Dielectric(water.rho, temperature + 273.15)
    assert dielectric_constant(temperature) == pytest.approx(expected, rel=0.002 if temperature < 85.0 else 0.004)


@given(st.floats(0.0, 100.0), st.floats(0.0, 0.1))
def test_activity_falls_with_charge_and_strength(temperature: float, strength: float) -> None:
    one, two = activity_coefficient(temperature, strength, charge=[1, -2])
    assert two <= one <= 1.0
    assert two == pytest.approx(one**4, rel=1e-9)
    assert activity_coefficient(temperature, strength + 0.01, charge=1) < one
    assert activity_coefficient(temperature, strength, charge=0) == 1.0


@given(st.floats(0.0, 100.0))
def test_the_slope_for_numbers_and_arrays_is_one(temperature: float) -> None:
    assert davies_slope(temperature) == pytest.approx(screening(temperature).a, rel=1e-12)
    assert davies_slope([temperature]).shape == (1,)


def test_what_is_out_of_range_is_refused() -> None:
    with pytest.raises(OutOfRange, match="not a reaction"):
        log_k("iron", 20.0)
    with pytest.raises(OutOfRange, match="temperature"):
        lactic_pk(np.nan)
    with pytest.raises(OutOfRange, match="strength"):
        activity_coefficient(20.0, 0.6, charge=1)
    with pytest.raises(OutOfRange, match="charge"):
        activity_coefficient(20.0, 0.1, charge=5)
