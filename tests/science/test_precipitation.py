"""Calcite, gypsum, and what boiling and lime make of a water."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science.carbonate import carbon_from_ph, closed, open_to_gas
from gyle.science.decarbonation import boiled_totals, lime_dose_mmol_kg, limed_totals
from gyle.science.precipitation import calcite_equilibrium, gypsum_equilibrium
from gyle.science.water_state import water_totals

waters = st.builds(
    lambda ca, mg, na, so4, phosphate, alkalinity, carbon: water_totals(
        alkalinity, carbon, calcium_mmol_kg=ca, magnesium_mmol_kg=mg, sodium_mmol_kg=na, sulfate_mmol_kg=so4,
        phosphate_mmol_kg=phosphate,
    ),
    st.floats(0.0, 12.0), st.floats(0.0, 5.0), st.floats(0.0, 15.0), st.floats(0.0, 12.0),
    st.one_of(st.just(0.0), st.floats(0.0, 3.0)), st.floats(-5.0, 20.0), st.floats(0.0, 20.0),
)  # fmt: skip
temperatures = st.floats(0.0, 100.0)
pressures = st.one_of(st.none(), st.floats(-4.0, 0.0))


@given(waters, temperatures, pressures, st.booleans())
def test_calcite_ends_at_saturation_and_keeps_its_stoichiometry(
    totals: np.ndarray, temperature: float, pressure: float | None, may_dissolve: bool
) -> None:
    settled = calcite_equilibrium(totals, temperature, may_dissolve=may_dissolve, log_pco2=pressure)
    formed = settled.precipitated_mmol_kg
    if may_dissolve or formed != 0.0:
        assert abs(settled.water.calcite_si) < 1e-6
    else:
        assert settled.water.calcite_si < 1e-6
    assert may_dissolve or formed > -1e-4
    assert settled.totals[0] == pytest.approx(totals[0] - formed, abs=1e-9)
    assert settled.totals[10] == pytest.approx(totals[10] - 2.0 * formed, abs=1e-9)
    assert settled.water.alkalinity_mEq_kg == pytest.approx(totals[10] - 2.0 * formed, abs=2e-3)
    if pressure is None:
        assert settled.totals[11] == pytest.approx(totals[11] - formed, abs=2e-3)
    assert (settled.totals[:10] >= 0.0).all()


@given(waters, temperatures, pressures)
def test_a_settled_water_is_one_that_rests(totals: np.ndarray, temperature: float, pressure: float | None) -> None:
    settled = calcite_equilibrium(totals, temperature, may_dissolve=False, log_pco2=pressure)
    if pressure is None:
        again = closed(settled.totals, temperature)
    else:
        again = open_to_gas(settled.totals, temperature, log_pco2=pressure)
    assert again.calcite_si < 2e-3


@given(waters, temperatures, st.booleans())
def test_gypsum_ends_at_saturation(totals: np.ndarray, temperature: float, may_dissolve: bool) -> None:
    settled = gypsum_equilibrium(totals, temperature, may_dissolve=may_dissolve)
    formed = settled.precipitated_mmol_kg
    assert settled.water.gypsum_si < 1e-6
    assert not may_dissolve or abs(settled.water.gypsum_si) < 1e-6
    assert settled.water.alkalinity_mEq_kg == pytest.approx(totals[10], abs=2e-3)
    assert settled.water.carbon_mmol_kg == pytest.approx(totals[11], abs=1e-9)
    assert settled.totals[5] == pytest.approx(totals[5] - formed, abs=1e-9)
    assert settled.calcium_mmol_kg == pytest.approx(totals[0] - formed, abs=1e-9)


@given(st.lists(waters, min_size=1, max_size=4), temperatures, pressures, st.booleans())
def test_many_waters_settle_each_as_alone(
    several: list[np.ndarray], temperature: float, pressure: float | None, may_dissolve: bool
) -> None:
    together = calcite_equilibrium(np.stack(several, axis=1), temperature, may_dissolve=may_dissolve, log_pco2=pressure)
    for index, totals in enumerate(several):
        alone = calcite_equilibrium(totals, temperature, may_dissolve=may_dissolve, log_pco2=pressure)
        assert together.precipitated_mmol_kg[index] == pytest.approx(float(alone.precipitated_mmol_kg), abs=1e-3)
        assert abs(together.water.ph[index] - alone.water.ph) < 1e-3


@given(waters, temperatures, st.floats(0.0, 1.0))
def test_boiling_takes_alkalinity_and_calcium_alike(totals: np.ndarray, temperature: float, share: float) -> None:
    after = boiled_totals(totals, temperature, log_pco2=-3.377, settled_share=share)
    assert after[10] <= totals[10] + 2e-4
    assert totals[10] - after[10] == pytest.approx(2.0 * (totals[0] - after[0]), abs=1e-9)


@given(waters, temperatures, st.floats(0.0, 6.0))
def test_lime_adds_calcium_and_alkalinity_before_chalk_takes_them(
    totals: np.ndarray, temperature: float, lime: float
) -> None:
    after = limed_totals(totals, temperature, lime_mmol_kg=lime, settled_share=1.0)
    chalk = totals[0] + lime - after[0]
    assert chalk > -1e-4
    assert totals[10] + 2.0 * lime - after[10] == pytest.approx(2.0 * chalk, abs=1e-9)
    assert totals[11] - after[11] == pytest.approx(chalk, abs=1e-9)


@pytest.mark.source("Stoichiometry of lime softening", provenance="computed-with-numpy")
def test_the_lime_reckoned_softens_nearly_to_the_alkalinity_wanted() -> None:
    report = water_totals(5.7, 0.0, calcium_mmol_kg=3.04, magnesium_mmol_kg=0.29, sodium_mmol_kg=0.61)
    report[11] = carbon_from_ph(report, 7.25, temperature_C=11.0)
    gas = closed(report, 15.0).carbon_dioxide_mmol_kg
    lime = lime_dose_mmol_kg(gas, 5.7, end_alkalinity_mEq_kg=2.0)
    left = limed_totals(report, 15.0, lime_mmol_kg=lime, settled_share=1.0)
    assert left[10] == pytest.approx(2.0, abs=0.15)
    assert lime_dose_mmol_kg(gas, 5.7, end_alkalinity_mEq_kg=6.0) == 0.0


def test_draws_of_share_and_temperature_broadcast() -> None:
    hard = water_totals(6.0, 6.6, calcium_mmol_kg=3.0)
    after = boiled_totals(hard, [60.0, 95.0], log_pco2=-3.377, settled_share=[0.5, 0.8])
    assert after.shape == (12, 2)
    assert after[10, 1] < after[10, 0] < 6.0


def test_what_is_no_water_is_refused() -> None:
    with pytest.raises(OutOfRange, match="12 totals"):
        calcite_equilibrium([1.0, 2.0], 20.0, may_dissolve=False)
    with pytest.raises(OutOfRange, match="pressure"):
        gypsum_equilibrium(np.zeros(12), 20.0, may_dissolve=True, log_pco2=3.0)
    with pytest.raises(OutOfRange, match="share"):
        boiled_totals(np.zeros(12), 20.0, log_pco2=-3.4, settled_share=np.nan)
    with pytest.raises(OutOfRange, match="hydroxide"):
        limed_totals(np.zeros(12), 20.0, lime_mmol_kg=-1.0, settled_share=1.0)
    with pytest.raises(OutOfRange, match="alkalinity"):
        lime_dose_mmol_kg(0.1, np.nan, end_alkalinity_mEq_kg=1.0)
