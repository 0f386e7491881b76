"""Two published analyses end to end: the laboratory's own computed lines come out again."""

from __future__ import annotations

import numpy as np
import pytest
from water_reports import EXAMPLES, report_file

from gyle.beer.water import Water
from gyle.beer.water_substances import mmol_L
from gyle.beer.water_suspect import conductivity_expected_uS_cm, suspects
from gyle.quantities import convert
from gyle.science.carbonate import closed

LABORATORY = pytest.mark.source("municipal analysis, lines its laboratory computed and printed", provenance="retrieved")


@pytest.fixture(scope="module")
def hard() -> Water:
    return report_file(EXAMPLES / "water-hard.toml")


@pytest.fixture(scope="module")
def soft() -> Water:
    return report_file(EXAMPLES / "water-soft.toml")


@LABORATORY
def test_sums_of_ions_of_the_hard_water(hard: Water) -> None:
    assert round(hard.balance.cations_mEq_L, 2) == 6.88
    assert round(hard.balance.anions_mEq_L, 2) == 7.05
    assert hard.balance.din_pct == pytest.approx(-2.43, abs=0.02)
    assert hard.balance.standard_methods_pct == pytest.approx(-1.22, abs=0.02)
    assert hard.balance.tells
    assert hard.balance.acceptable


@LABORATORY
def test_hardness_of_the_hard_water(hard: Water) -> None:
    made = mmol_L("calcium", 94.4) + mmol_L("magnesium", 18.3)
    assert made == pytest.approx(3.1, abs=0.05)
    assert convert(hard.hardness_mEq_L.centre, "hardness", "°dH") == pytest.approx(17.40)
    assert convert(2 * made, "hardness", "°dH") == pytest.approx(17.40, abs=0.05)
    assert convert(hard.alkalinity_mEq_L.centre, "alkalinity", "°dH") == pytest.approx(16.0, abs=0.05)


@LABORATORY
def test_carbon_dioxide_and_saturation_of_the_hard_water(hard: Water) -> None:
    """The laboratory does not print its temperature; at 17 °C everything it printed comes out."""
    assert hard.reading_C == 9.3
    state = closed(hard.totals_mmol_L(hard.carbon_mmol_L), 17.0)
    assert float(state.ph) == pytest.approx(7.34, abs=0.03)
    assert float(state.calcite_si) == pytest.approx(0.24, abs=0.05)
    assert float(state.carbon_dioxide_mmol_kg) * 44.009 == pytest.approx(25.4, rel=0.03)
    assert float(state.ionic_strength_mmol_kg) == pytest.approx(9.81, rel=0.02)


def test_the_hard_water_has_nothing_to_question(hard: Water) -> None:
    assert hard.notes == hard.supposed == hard.cautions == ()
    assert hard.estimated == ()
    assert hard.alkalinity_mEq_L.centre == 5.72
    assert hard.alkalinity_from == "acid_capacity"
    assert hard.calcium_mg_L.centre == 94.4
    assert hard.calcium_mg_L.standing == "stated"
    assert hard.bicarbonate_mg_L.standing == "computed"
    assert hard.bicarbonate_mg_L.centre == pytest.approx(5.72 * 61.017, rel=1e-6)
    assert hard.imbalance_mEq_L == pytest.approx(-0.1695, abs=0.001)


@pytest.mark.source("Kolbach 1953", provenance="memory")
def test_residual_alkalinity_of_the_hard_water(hard: Water) -> None:
    assert hard.residual_alkalinity_mEq_L == pytest.approx(4.159, abs=0.005)


def test_sums_of_ions_of_the_soft_water(soft: Water) -> None:
    assert soft.balance.cations_mEq_L == pytest.approx(1.608, abs=0.005)
    assert soft.balance.anions_mEq_L == pytest.approx(1.439, abs=0.005)
    assert soft.balance.din_pct == pytest.approx(11.07, abs=0.05)
    assert not soft.balance.acceptable


def test_the_soft_waters_balance_is_questioned_and_carried(soft: Water) -> None:
    told = [note for note in soft.notes if "charge balance" in note]
    assert len(told) == 1
    assert "+11.1 % (DIN form; +5.5 % in the Standard Methods form)" in told[0]
    assert "question chloride first: 30 mg/L instead of 24 mg/L" in told[0]
    assert "nothing was changed" in told[0]
    assert soft.chloride_mg_L.centre == 24
    counted = soft.balance.cations_mEq_L - soft.balance.anions_mEq_L
    less = 0.58 - soft.alkalinity_mEq_L.centre
    assert 0.04 < less < 0.05
    assert soft.imbalance_mEq_L == pytest.approx(counted + less)


def test_the_soft_waters_chlorine_is_a_caution_and_a_spread(soft: Water) -> None:
    assert soft.chlorine_mg_L is not None
    assert soft.chlorine_mg_L.centre == 0.21
    assert soft.chlorine_mg_L.each_time == pytest.approx(0.2 / 3.258)
    assert any("Free chlorine of 0.21 mg/L" in caution for caution in soft.cautions)
    assert any("asthma" in caution for caution in soft.cautions)
    assert soft.residual_chlorine_mg_L == 0.21


@LABORATORY
def test_conductivity_comes_near_the_measured(hard: Water, soft: Water) -> None:
    for water, measured in ((hard, 651), (soft, 172)):
        assert conductivity_expected_uS_cm(water) == pytest.approx(measured, rel=0.08)


def test_each_suspect_closes_the_balance(soft: Water) -> None:
    for suspect in suspects(soft):
        if suspect.name in ("chloride", "nitrate") and not suspect.why:
            changed = {"chloride": (1, 35.45), "nitrate": (1, 62.004)}[suspect.name]
            more = (suspect.implied - suspect.stated) * changed[0] / changed[1]
            assert soft.balance.anions_mEq_L + more == pytest.approx(soft.balance.cations_mEq_L, abs=1e-9)


def test_totals_hold_every_ion(hard: Water) -> None:
    totals = hard.totals_mmol_L(6.0)
    assert totals.shape == (12,)
    assert np.all(totals >= 0)
    assert totals[0] == pytest.approx(94.4 / 40.078)
    assert totals[10] == 5.72
    assert totals[11] == 6.0
