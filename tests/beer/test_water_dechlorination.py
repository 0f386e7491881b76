"""Metabisulfite: doses by stoichiometry, what they leave, and waters that need none."""

from __future__ import annotations

import attrs
import pytest
from hypothesis import given
from hypothesis import strategies as st
from water_reports import EXAMPLES, IONS, report, report_file

from gyle.beer.water import Water
from gyle.beer.water_blend import bought_water
from gyle.beer.water_dechlorination import Metabisulfite, dechlorinated, sulfite_dose
from gyle.beer.water_guides import SULFITE_CAUTION
from gyle.beer.water_prepared import prepared
from gyle.beer.water_substances import MAJOR
from gyle.errors import OutOfRange

HARD, SOFT = (report_file(EXAMPLES / f"water-{name}.toml") for name in ("hard", "soft"))
STOICHIOMETRY = pytest.mark.source("stoichiometry with IUPAC atomic weights", provenance="computed-with-numpy")
SALTS: tuple[Metabisulfite, ...] = ("sodium", "potassium")


def chlorinated(*, chlorine: float = 0.0, chloramine: float = 0.0) -> Water:
    return report(IONS + f'alkalinity = "4.05 mEq/L"\nchlorine = {chlorine}\nchloramine = {chloramine}\n')


@STOICHIOMETRY
def test_the_soft_waters_chlorine_in_30_litres() -> None:
    """One Cl2 takes one sulfite, half a metabisulfite: 40.2 mg for 30 L at 1 mg/L, so 8.4 mg at 0.21 mg/L."""
    dose = sulfite_dose(SOFT, 30.0)
    assert dose is not None
    need_mg = 30.0 * 0.21 / 70.90 * 190.094 / 2.0
    assert need_mg == pytest.approx(40.2 * 0.21, rel=0.005)
    assert dose.mg == pytest.approx(need_mg * 1.3 / 0.9)
    assert dose.mg == pytest.approx(12.2, abs=0.05)
    assert dose.most_mg == pytest.approx(need_mg * 2.0 / 0.9)
    assert dose.solution_mL == pytest.approx(dose.mg, rel=0.05)  # 1 g/L, in what a syringe shows
    assert dose.sulfate_mg_L == pytest.approx(1.355 * 0.21, rel=0.005)
    assert dose.chloride_mg_L == pytest.approx(0.500 * 0.21, rel=0.005)
    assert dose.sodium_mg_L == pytest.approx(0.324 * 0.21 * 1.3, rel=0.005)
    assert dose.potassium_mg_L == dose.ammonium_mg_L == 0.0
    assert dose.alkalinity_lost_mEq_L * 50.043 == pytest.approx(1.41 * 0.21, rel=0.005)
    assert dose.sulfur_dioxide_mg_L == pytest.approx(0.3 * 0.21 / 70.90 * 64.058)
    first, second, _, third = dose.steps
    assert "12 mL of a solution of 1 g of sodium metabisulfite in 1 L of water, made fresh" in first
    assert "30 L of water and wait 5 min" in first
    assert "never take more than 19 mg" in second
    assert "open vessel, a boil or slow activated carbon" in third
    assert dose.cautions == (SULFITE_CAUTION,)


@STOICHIOMETRY
def test_chloramine_takes_as_much_and_leaves_ammonium() -> None:
    free, bound = (
        sulfite_dose(chlorinated(**{form: 1.0}), 30.0, salt="potassium") for form in ("chlorine", "chloramine")
    )
    assert free is not None
    assert bound is not None
    assert bound.mg == pytest.approx(free.mg)
    assert bound.mg == pytest.approx(47.0 * 1.3 / 0.9, rel=0.005)
    assert bound.potassium_mg_L == pytest.approx(0.551 * 1.3, rel=0.005)
    assert bound.ammonium_mg_L == pytest.approx(0.254, rel=0.005)
    assert bound.alkalinity_lost_mEq_L == pytest.approx(free.alkalinity_lost_mEq_L / 2.0)
    assert "drives off free chlorine but not chloramine" in bound.steps[-1]
    assert "chloramine" not in free.steps[-1]


def test_a_dose_that_can_be_weighed_is_weighed() -> None:
    dose = sulfite_dose(chlorinated(chloramine=2.5), 400.0)
    assert dose is not None
    assert dose.mg > 1000.0
    assert dose.solution_mL is None
    assert dose.steps[0] == f"Stir {dose.mg:.0f} mg of sodium metabisulfite into 400 L of water and wait 5 min."


@given(
    residual=st.floats(0.05, 20.0), bound=st.floats(0.0, 1.0), volume=st.floats(1.0, 500.0), salt=st.sampled_from(SALTS)
)
def test_what_is_left_is_below_what_has_to_be_declared(
    residual: float, bound: float, volume: float, salt: Metabisulfite
) -> None:
    water = chlorinated(chlorine=residual * (1.0 - bound), chloramine=residual * bound)
    dose = sulfite_dose(water, volume, salt=salt)
    assert dose is not None
    assert 0.0 <= dose.sulfur_dioxide_mg_L < dose.most_sulfur_dioxide_mg_L < 10.0
    assert 1.0 < dose.margin <= 1.3
    assert dose.mg <= dose.most_mg
    double = sulfite_dose(water, 2.0 * volume, salt=salt)
    assert double is not None
    assert double.mg == pytest.approx(2.0 * dose.mg)
    assert double.sulfate_mg_L == dose.sulfate_mg_L


@pytest.mark.parametrize("salt", SALTS)
@pytest.mark.parametrize(
    "water", [SOFT, chlorinated(chlorine=0.5), chlorinated(chloramine=2.0), chlorinated(chlorine=0.5, chloramine=2.5)]
)
def test_a_dechlorinated_water(water: Water, salt: Metabisulfite) -> None:
    after = dechlorinated(water, salt=salt)
    dose = sulfite_dose(water, 1.0, salt=salt)
    assert dose is not None
    assert after.residual_chlorine_mg_L == 0.0
    assert sulfite_dose(after, 30.0) is None
    assert dechlorinated(after) == after
    # Charge is kept: what metal brings, and acid takes, are there as anions.
    assert after.imbalance_mEq_L == pytest.approx(water.imbalance_mEq_L, abs=1e-9)
    assert after.carbon_mmol_L == pytest.approx(water.carbon_mmol_L, rel=1e-5)
    assert after.mg_L("chloride") == pytest.approx(water.mg_L("chloride") + dose.chloride_mg_L)
    left = dose.sulfur_dioxide_mg_L * 96.056 / 64.058  # it ends as sulfate too
    assert after.mg_L("sulfate") == pytest.approx(water.mg_L("sulfate") + dose.sulfate_mg_L + left, rel=1e-4)
    assert after.mg_L("ammonium") == pytest.approx(dose.ammonium_mg_L)
    for ion in ("calcium", "magnesium", "nitrate", {"sodium": "potassium", "potassium": "sodium"}[salt]):
        assert after.mg_L(ion) == water.mg_L(ion)
    assert after.alkalinity_mEq_L.centre < water.alkalinity_mEq_L.centre
    assert after.ph.centre < water.ph.centre
    assert all(getattr(after, f"{ion}_mg_L").low >= 0.0 for ion in MAJOR)
    assert after.cautions == (SULFITE_CAUTION,)  # no word of chlorine, and ammonium is none of pollution
    assert "metabisulfite takes away" in after.notes[-1]


@pytest.mark.faults
@pytest.mark.parametrize("water", [HARD, report(IONS), report(IONS + 'chlorine = "< 0.05 mg/L"\n'), chlorinated()])
def test_no_chlorine_no_dose(water: Water) -> None:
    assert sulfite_dose(water, 30.0) is None
    assert dechlorinated(water) is water


def test_a_boil_leaves_the_chloramine_to_sulfite() -> None:
    both = chlorinated(chlorine=1.0, chloramine=1.5)
    boiled = prepared(attrs.evolve(both, treated="boiled"))
    dose = sulfite_dose(boiled, 10.0)
    assert dose is not None
    assert (dose.chlorine_mg_L, dose.chloramine_mg_L) == (0.0, 1.5)


@pytest.mark.faults
def test_hostile_cases() -> None:
    unbuffered = report('alkalinity = "0 mEq/L"\nph = 6\nchlorine = 20\nchloramine = 20\n')
    after = dechlorinated(unbuffered)
    assert after.alkalinity_mEq_L.centre < 0.0
    assert 3.0 <= after.ph.centre < 5.0
    assert any("chlorine 20 mg/L is above" in caution for caution in unbuffered.cautions)
    dose = sulfite_dose(unbuffered, 0.0)
    assert dose is not None
    assert dose.mg == 0.0
    assert dose.most_sulfur_dioxide_mg_L < 10.0
    ro = bought_water("RO")
    assert ro is not None
    assert sulfite_dose(ro, 30.0) is None
    for volume in (-1.0, float("nan")):
        with pytest.raises(OutOfRange, match=r"water \[L\]"):
            sulfite_dose(SOFT, volume)
    with pytest.raises(OutOfRange, match="is not a metabisulfite"):
        sulfite_dose(SOFT, 30.0, salt="calcium")  # type: ignore[arg-type]
