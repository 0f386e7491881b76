"""Units of water reports, charge balance, salts and acids, chlorine, chalk."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.quantities import read
from gyle.science.alkalinity import (
    alkalinity_from_acid_capacity,
    alkalinity_from_bicarbonate,
    bicarbonate_mg_L,
    carbon_from_base_capacity,
)
from gyle.science.hardness import HARDNESS_UNITS, equivalents_from_hardness, hardness, residual_alkalinity
from gyle.science.water_ions import (
    CHARGE,
    MOLAR_MASS,
    charges,
    ionic_strength_mmol_L,
    milliequivalents_L,
    millimoles_L,
    nitrate_from_nitrogen,
    sulfate_from_sulfur,
)

amounts = st.floats(0.0, 500.0)
# Historic waters of brewing cities: Ca, carbonate column, Cl, Mg, Na, SO4 [mg/L]; gap in the Standard Methods form
# when that column is read as carbonate and as bicarbonate.
CITIES = {
    "Burton": (268, 275, 36, 62, 54, 638, -6.0, 5.1),
    "Edinburgh": (140, 140, 34, 60, 80, 96, 34.0, 49.0),
    "Munich": (75, 148, 2, 18, 2, 10, 1.1, 33.0),
    "Pilsen": (7, 14, 5, 2, 2, 5, -8.0, 12.0),
    "Vienna": (200, 118, 12, 60, 8, 125, 37.9, 51.6),
}


@pytest.mark.source("Draper, Brewing Waters of the World, 1995", provenance="retrieved")
@pytest.mark.parametrize("city", CITIES)
def test_historic_waters_balance_one_way_or_not_at_all(city: str) -> None:
    calcium, column, chloride, magnesium, sodium, sulfate, as_carbonate, as_bicarbonate = CITIES[city]
    for ion, expected in (("carbonate", as_carbonate), ("bicarbonate", as_bicarbonate)):
        found = charges(
            milliequivalents_L(column, ion), calcium_mg_L=calcium, chloride_mg_L=chloride, magnesium_mg_L=magnesium,
            sodium_mg_L=sodium, sulfate_mg_L=sulfate,
        )  # fmt: skip
        assert abs(found.standard_methods_pct - expected) < (0.1 if city == "Vienna" else 0.6)


@given(amounts, amounts, st.floats(0.0, 20.0))
def test_both_forms_of_the_balance_differ_by_two(calcium: float, sulfate: float, alkalinity: float) -> None:
    found = charges(alkalinity, calcium_mg_L=calcium, sulfate_mg_L=sulfate)
    assert found.din_pct == pytest.approx(2.0 * found.standard_methods_pct)
    assert abs(found.din_pct) < 200.0 + 1e-9
    assert np.sign(found.din_pct) == np.sign(found.cations_mEq_L - found.anions_mEq_L)


def test_nothing_listed_is_no_difference() -> None:
    assert charges(0.0).din_pct == 0.0
    assert charges([0.0, 1.0], calcium_mg_L=20.039).din_pct.shape == (2,)


@given(amounts, st.sampled_from(sorted(CHARGE)))
def test_equivalents_are_charges_of_moles(mass: float, ion: str) -> None:
    assert milliequivalents_L(mass, ion) == pytest.approx(abs(CHARGE[ion]) * float(millimoles_L(mass, ion)))
    assert millimoles_L(mass, ion) * MOLAR_MASS[ion] == pytest.approx(mass)


@given(amounts, amounts, st.sampled_from(sorted(HARDNESS_UNITS)))
def test_hardness_comes_back_from_any_unit(calcium: float, magnesium: float, unit: str) -> None:
    found = hardness(calcium, magnesium)
    fields = {
        "mmol/L": found.mmol_L, "°dH": found.german_dH, "°fH": found.french_fH, "°e": found.english_e,
        "mg/L CaCO3": found.caco3_mg_L,
    }  # fmt: skip
    if unit in fields:
        assert equivalents_from_hardness(fields[unit], unit) == pytest.approx(2.0 * float(found.mmol_L))
    assert equivalents_from_hardness(1.0, unit) > 0.0


@pytest.mark.parametrize("unit", sorted(HARDNESS_UNITS))
def test_a_report_is_read_with_the_same_units(unit: str) -> None:
    written = "mg/L as CaCO3" if unit == "mg/L CaCO3" else unit
    assert read(f"3 {written}", "hardness").value == pytest.approx(
        float(equivalents_from_hardness(3.0, unit)), rel=2e-5
    )


@given(st.floats(0.0, 20.0), st.floats(0.0, 20.0), st.floats(0.0, 20.0))
def test_hardness_lowers_residual_alkalinity(alkalinity: float, calcium: float, magnesium: float) -> None:
    bare = residual_alkalinity(alkalinity, calcium_mEq_L=0.0, magnesium_mEq_L=0.0)
    assert bare == alkalinity
    left = residual_alkalinity(alkalinity, calcium_mEq_L=calcium, magnesium_mEq_L=magnesium)
    assert left == pytest.approx(alkalinity - (2.0 * calcium + magnesium) / 7.0)


@given(st.floats(1.0, 500.0), st.floats(5.0, 10.5), st.floats(0.0, 100.0))
def test_carbonate_counts_twice_only_at_high_ph(bicarbonate: float, ph: float, temperature: float) -> None:
    plain = millimoles_L(bicarbonate, "bicarbonate")
    found = alkalinity_from_bicarbonate(bicarbonate, ph, temperature_C=temperature, ionic_strength_mmol_L=5.0)
    assert found > plain - 0.02
    if 6.0 < ph < 7.5 and plain > 0.5 and temperature < 30.0:
        assert found == pytest.approx(float(plain), rel=0.01)


@given(amounts)
def test_alkalinity_written_as_bicarbonate_reads_back(mass: float) -> None:
    assert bicarbonate_mg_L(milliequivalents_L(mass, "bicarbonate")) == pytest.approx(mass)


@given(amounts)
def test_reporting_forms_scale(mass: float) -> None:
    assert nitrate_from_nitrogen(mass) == pytest.approx(mass * 62.004 / 14.007)
    assert sulfate_from_sulfur(mass) == pytest.approx(mass * 96.056 / 32.06)


def test_small_conversions() -> None:
    assert alkalinity_from_acid_capacity(0.02, end_point_excess_mmol_L=0.05) == pytest.approx(-0.03)
    assert carbon_from_base_capacity([2.0, 3.0], 0.1).tolist() == pytest.approx([2.1, 3.1])
    zero = dict.fromkeys(("calcium", "magnesium", "sodium", "potassium", "chloride", "sulfate", "nitrate"), 0.0)
    assert ionic_strength_mmol_L(2.0, **{f"{ion}_mg_L": mass for ion, mass in zero.items()}) == 1.0


@pytest.mark.parametrize("wrong", [np.nan, -1.0, np.inf])
def test_what_no_report_can_say_is_refused(wrong: float) -> None:
    with pytest.raises(OutOfRange, match="calcium"):
        charges(1.0, calcium_mg_L=wrong)
    with pytest.raises(OutOfRange, match="magnesium"):
        hardness(1.0, wrong)
    with pytest.raises(OutOfRange, match="hardness"):
        equivalents_from_hardness(wrong, "°dH")
    with pytest.raises(OutOfRange, match="acid capacity"):
        alkalinity_from_acid_capacity(wrong, end_point_excess_mmol_L=0.05)
    with pytest.raises(OutOfRange, match="nitrogen"):
        nitrate_from_nitrogen(wrong)


def test_unknown_names_are_refused_with_those_that_are_known() -> None:
    with pytest.raises(OutOfRange, match="calcium, magnesium"):
        millimoles_L(1.0, "unobtainium")
    with pytest.raises(OutOfRange, match="°dH"):
        equivalents_from_hardness(1.0, "°Ba")
