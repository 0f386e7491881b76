"""Salts, acids, the acid a water takes, chlorine and chalk."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from gyle.errors import OutOfRange
from gyle.science.acid_demand import acid_demand_mEq, alkalinity_left_mEq_L, carbonate_charge, room_carbon_mmol_L
from gyle.science.acids import ACIDS, acid_strength_mEq_g, acid_strength_mEq_mL, acid_totals, protons_given
from gyle.science.carbonate import alkalinity_from_ph, carbon_from_ph
from gyle.science.carbonate_constants import lactic_pk, log_k
from gyle.science.chalk import chalk_dissolved_share, chalk_rate_mmol_cm2_s
from gyle.science.dechlorination import metabisulfite
from gyle.science.salts import SALTS, dissolved_salt_g, salt_gain, salt_totals
from gyle.science.water_state import water_totals

names = st.sampled_from(sorted(ACIDS))
phs = st.floats(-1.0, 15.0)


@given(names, phs, st.floats(0.001, 1.0))
def test_an_acid_gives_more_the_higher_the_ph_but_never_more_than_it_has(acid: str, ph: float, step: float) -> None:
    low, high = protons_given(acid, [ph, ph + step])
    assert 0.0 <= low <= high <= ACIDS[acid].protons + 1e-12


def test_the_steps_are_those_of_the_waters_table() -> None:
    cumulative = {"phosphoric": ("HPO4--", "H2PO4-", "H3PO4"), "citric": ("Hcitrate--", "H2citrate-", "H3citrate")}
    for acid, ions in cumulative.items():
        steps = np.diff([0.0, *(float(log_k(ion, 25.0)) for ion in ions)])
        assert ACIDS[acid].pk == pytest.approx(steps[::-1], abs=1e-9)
    assert ACIDS["lactic"].pk[0] == pytest.approx(float(lactic_pk(25.0)), abs=0.005)


@pytest.mark.source("Dissociation solved step by step", provenance="computed-with-scipy")
@pytest.mark.parametrize("acid", ["lactic", "phosphoric", "citric"])
def test_half_of_each_step_is_given_at_its_pk(acid: str) -> None:
    entry = ACIDS[acid]
    for step, pk in enumerate(entry.pk):
        at = brentq(lambda ph, step=step: float(protons_given(acid, ph)) - step - 0.5, -1.0, 15.0)
        assert abs(at - pk) < (0.04 if acid == "citric" else 0.02)  # its steps overlap


@given(st.sampled_from(sorted(SALTS)), st.floats(0.0, 100.0), st.floats(1.0, 1000.0), st.floats(0.5, 1.0))
def test_ions_gained_are_the_totals_gained(salt: str, mass: float, volume: float, purity: float) -> None:
    gain = salt_gain(salt, mass, volume_L=volume, purity=purity)
    totals = salt_totals(salt, mass / volume, purity=purity) if mass / volume <= 1000.0 else None
    assert totals is not None
    assert gain.calcium_mg_L == pytest.approx(totals[0] * 40.078)
    assert gain.chloride_mg_L == pytest.approx(totals[4] * 35.45)
    assert gain.alkalinity_mEq_L == pytest.approx(totals[10])
    assert gain.carbon_mmol_L == pytest.approx(totals[11])


@given(st.sampled_from(sorted(SALTS)))
def test_a_salt_adds_up_to_its_mass(salt: str) -> None:
    gain = salt_gain(salt, 1.0, volume_L=1.0, purity=1.0)
    ions = sum(float(getattr(gain, f"{ion}_mg_L")) for ion in ("calcium", "magnesium", "sodium", "potassium"))
    ions += float(gain.chloride_mg_L + gain.sulfate_mg_L)
    rest = 1000.0 - ions
    water_or_carbonate = float(gain.alkalinity_mEq_L) * 61.1
    crystal = 18.015 * 7.0 / SALTS[salt].molar_mass_g_mol * 1000.0
    assert -0.1 <= rest <= max(water_or_carbonate, crystal) + 0.5


@given(names, st.floats(0.0, 50.0), st.floats(0.0, 50.0))
def test_doses_of_acid_add(acid: str, one: float, other: float) -> None:
    assert acid_totals(acid, one) + acid_totals(acid, other) == pytest.approx(acid_totals(acid, one + other))
    assert acid_totals(acid, [one, other]).shape == (12, 2)


def test_strengths_agree() -> None:
    by_volume = acid_strength_mEq_mL("citric", 5.4, share_pct=50.0, density_kg_L=1.2)
    assert by_volume == pytest.approx(0.6 * float(acid_strength_mEq_g("citric", 5.4)))
    assert dissolved_salt_g(10.0, density_kg_L=1.0, share_pct=10.0) == pytest.approx(1.0)


@given(st.floats(-2.0, 15.9), st.floats(0.001, 0.1))
def test_the_charge_of_carbonate_rises_from_none_to_two(ph: float, step: float) -> None:
    low, high = carbonate_charge([ph, ph + step])
    assert 0.0 <= low <= high <= 2.0


@given(st.floats(0.1, 10.0), st.floats(6.0, 9.0), st.floats(3.0, 6.0), st.floats(0.0, 1.0))
def test_lost_gas_costs_acid_and_nothing_is_needed_where_the_water_is(
    alkalinity: float, before: float, aim: float, lost: float
) -> None:
    carbon = room_carbon_mmol_L(alkalinity, before)
    water = {"alkalinity_mEq_L": alkalinity, "carbon_mmol_L": carbon}
    closed, part, open_ = (acid_demand_mEq(5.0, aim, co2_lost_share=share, **water) for share in (0.0, lost, 1.0))
    assert closed <= part + 1e-9 <= open_ + 2e-9
    if carbon > 0.0:
        assert alkalinity_left_mEq_L(before, co2_lost_share=0.0, **water) == pytest.approx(0.0, abs=1e-9)


@given(st.floats(1.0, 8.0), st.floats(6.8, 8.2), st.floats(4.6, 6.0))
def test_the_room_convention_is_near_the_whole_balance(alkalinity: float, before: float, aim: float) -> None:
    totals = water_totals(alkalinity, 0.0, calcium_mmol_kg=1.0, chloride_mmol_kg=2.0)
    totals[11] = carbon_from_ph(totals, before, temperature_C=25.0)
    whole = alkalinity - alkalinity_from_ph(totals, aim, temperature_C=25.0)
    carbon = room_carbon_mmol_L(alkalinity, before)
    simple = alkalinity_left_mEq_L(aim, alkalinity_mEq_L=alkalinity, carbon_mmol_L=carbon, co2_lost_share=0.0)
    assert simple == pytest.approx(float(whole), rel=0.03, abs=0.03)


@given(st.floats(0.0, 5.0), st.floats(1.0, 3.0), st.floats(0.2, 1.0), st.floats(0.0, 1.0))
def test_metabisulfite_keeps_sulfur_and_charge(chlorine: float, margin: float, strength: float, bound: float) -> None:
    dose = metabisulfite(10.0, chlorine, salt="sodium", margin=margin, strength=strength, chloramine_share=bound)
    sulfur_in = 2.0 * dose.dose_mg / 10.0 * strength / 190.094
    assert dose.sulfate_mg_L / 96.056 + dose.sulfur_dioxide_mg_L / 64.058 == pytest.approx(float(sulfur_in), abs=1e-12)
    assert dose.potassium_mg_L == 0.0
    assert dose.sodium_mg_L / 22.990 == pytest.approx(float(sulfur_in), abs=1e-12)


@given(st.floats(0.0, 100.0), st.floats(3.0, 9.0), st.floats(-8.0, -0.1), st.floats(0.5, 200.0), st.floats(0.0, 500.0))
def test_chalk_dissolves_slower_the_nearer_to_saturation(
    temperature: float, ph: float, si: float, diameter: float, minutes: float
) -> None:
    far, near, at = chalk_rate_mmol_cm2_s(temperature, ph, carbon_dioxide_mmol_L=0.5, calcite_si=[si - 1.0, si, 0.0])
    assert far >= near >= at == 0.0
    early, late = chalk_dissolved_share(diameter, [minutes, minutes + 1.0], rate_mmol_cm2_s=near)
    assert 0.0 <= early <= late <= 1.0


def test_the_branches_of_the_rate_meet_at_25_c() -> None:
    cool, warm = chalk_rate_mmol_cm2_s([25.0, 25.01], 9.0, carbon_dioxide_mmol_L=0.0, calcite_si=-3.0)
    assert warm == pytest.approx(float(cool), rel=0.15)


@pytest.mark.parametrize("wrong", [np.nan, -0.1])
def test_wrong_doses_are_refused(wrong: float) -> None:
    with pytest.raises(OutOfRange, match="g/kg"):
        salt_totals("sodium chloride", wrong, purity=1.0)
    with pytest.raises(OutOfRange, match="purity"):
        salt_gain("sodium chloride", 1.0, volume_L=1.0, purity=wrong)
    with pytest.raises(OutOfRange, match="lactic"):
        acid_totals("lactic", wrong)
    with pytest.raises(OutOfRange, match="share"):
        alkalinity_left_mEq_L(5.0, alkalinity_mEq_L=1.0, carbon_mmol_L=1.0, co2_lost_share=wrong)
    with pytest.raises(OutOfRange, match="chlorine"):
        metabisulfite(1.0, wrong, salt="sodium", margin=1.0, strength=1.0, chloramine_share=0.0)
    with pytest.raises(OutOfRange, match="diameter"):
        chalk_dissolved_share(wrong, 1.0, rate_mmol_cm2_s=1e-6)


def test_unknown_substances_are_refused_with_those_that_are_known() -> None:
    with pytest.raises(OutOfRange, match="calcium sulfate dihydrate"):
        salt_gain("salt", 1.0, volume_L=1.0, purity=1.0)
    with pytest.raises(OutOfRange, match="lactic, phosphoric"):
        protons_given("malic", 5.0)
    with pytest.raises(OutOfRange, match="sodium, potassium"):
        metabisulfite(1.0, 1.0, salt="calcium", margin=1.0, strength=1.0, chloramine_share=0.0)
