"""The state of waters, against PHREEQC's and against what must hold for any."""

from __future__ import annotations

import numpy as np
import phreeqc_oracle as phreeqc
import pytest
from hypothesis import given
from hypothesis import strategies as st
from phreeqc_oracle import Case, Oracle

from gyle.errors import OutOfRange
from gyle.science.acids import ACIDS, acid_totals
from gyle.science.carbonate import alkalinity_from_ph, carbon_from_ph, closed, open_to_gas, partly_degassed
from gyle.science.precipitation import calcite_equilibrium, gypsum_equilibrium
from gyle.science.salts import SALTS, salt_totals
from gyle.science.water_state import COMPONENTS, Speciation, water_totals

TABLE = phreeqc.read_cases()
RANDOM = phreeqc.random_cases(48, seed=20250612)
AIR = -3.377


def ours(case: Case) -> Speciation:
    """Our answer to a case."""
    carbon = carbon_from_ph(case.totals(dosed=False), case.ph, temperature_C=case.report_C)
    totals = case.totals(dosed=True)
    totals[11] += carbon
    if case.solid:
        mineral, amount = case.solid.split(":")
        settle = calcite_equilibrium if mineral == "Calcite" else gypsum_equilibrium
        return settle(totals, case.temperature_C, may_dissolve=amount == "10", log_pco2=case.log_pco2).water
    if case.log_pco2 is None:
        return closed(totals, case.temperature_C)
    return open_to_gas(totals, case.temperature_C, log_pco2=case.log_pco2)


@pytest.mark.source("PHREEQC 3 with phreeqc.dat", provenance="computed-with-phreeqpython")
@pytest.mark.parametrize("index", range(len(TABLE)), ids=[row["id"] for _, row in TABLE])
def test_a_water_is_as_the_table_of_phreeqc_has_it(index: int) -> None:
    case, row = TABLE[index]
    water = ours(case)
    assert abs(water.ph - float(row["pH"])) < 0.005
    assert abs(water.calcite_si - float(row["SI_calcite"])) < 0.006
    assert abs(water.gypsum_si - float(row["SI_gypsum"])) < 0.006
    near = {
        "I_mmol": (water.ionic_strength_mmol_kg, 0.005, 0.0),
        "carbonate_alk_mEq": (water.carbonate_alkalinity_mEq_kg, 0.003, 1e-4),
        "DIC_mmol": (water.carbon_mmol_kg, 0.006, 0.0),
        "CO2aq_mmol": (water.carbon_dioxide_mmol_kg, 0.01, 0.0),
        "HCO3_mmol": (water.bicarbonate_mmol_kg, 0.02, 0.0),
        "CO3_mmol": (water.carbonate_mmol_kg, 0.03, 0.0),
        "Ca_free_mmol": (water.calcium_mmol_kg, 0.01 if case.solid else 0.005, 0.0),
        "CaHCO3_mmol": (water.calcium_bicarbonate_mmol_kg, 0.03, 0.0),
        "CaCO3aq_mmol": (water.calcium_carbonate_mmol_kg, 0.02, 0.0),
        "CaSO4aq_mmol": (water.calcium_sulfate_mmol_kg, 0.02, 0.0),
        "Mg_free_mmol": (water.magnesium_mmol_kg, 0.01, 0.0),
        "MgSO4aq_mmol": (water.magnesium_sulfate_mmol_kg, 0.02, 0.0),
        "HLactate_mmol": (water.lactic_acid_mmol_kg, 0.02, 0.0),
        "H2PO4_mmol": (water.dihydrogen_phosphate_mmol_kg, 0.01, 0.0),
        "HPO4_mmol": (water.hydrogen_phosphate_mmol_kg, 0.04, 0.0),
    }
    wrong = {
        name: (float(got), float(row[name]))
        for name, (got, relative, absolute) in near.items()
        if abs(got - float(row[name])) > relative * abs(float(row[name])) + absolute
    }
    assert wrong == {}


@pytest.mark.source("PHREEQC 3 with phreeqc.dat", provenance="computed-with-phreeqpython")
def test_the_table_is_met_closely_in_the_median() -> None:
    off = [abs(float(ours(case).ph) - float(row["pH"])) for case, row in TABLE]
    assert len(off) >= 86
    assert np.median(off) < 0.001


@pytest.fixture(scope="module")
def oracle() -> Oracle:
    return Oracle()


@pytest.mark.source("PHREEQC 3 with phreeqc.dat", provenance="computed-with-phreeqpython")
@pytest.mark.parametrize("index", range(len(RANDOM)))
def test_a_random_water_is_as_phreeqc_has_it(index: int, oracle: Oracle) -> None:
    found, water = oracle.run(RANDOM[index]), ours(RANDOM[index])
    assert abs(water.ph - found.ph) < 0.01
    assert abs(water.calcite_si - found.calcite_si) < 0.02
    assert water.ionic_strength_mmol_kg == pytest.approx(found.ionic_strength_mmol_kg, rel=0.01)
    assert water.carbon_dioxide_mmol_kg == pytest.approx(found.carbon_dioxide_mmol_kg, rel=0.02)
    assert water.carbon_mmol_kg == pytest.approx(found.carbon_mmol_kg, rel=0.01)


@pytest.mark.source("PHREEQC 3 with phreeqc.dat", provenance="computed-with-phreeqpython")
def test_random_waters_are_met_closely_in_the_median(oracle: Oracle) -> None:
    off = [abs(float(ours(case).ph) - oracle.run(case).ph) for case in RANDOM]
    assert np.median(off) < 0.002


amounts = st.fixed_dictionaries(
    {
        f"{name}_mmol_kg": st.one_of(st.just(0.0), st.floats(0.0, high))
        for name, high in {
            "calcium": 12.0, "magnesium": 6.0, "sodium": 20.0, "potassium": 5.0, "chloride": 20.0, "sulfate": 8.0,
            "nitrate": 2.0, "phosphate": 5.0, "lactate": 8.0, "citrate": 3.0,
        }.items()
    }
)  # fmt: skip
waters = st.builds(
    lambda ions, alkalinity, carbon: water_totals(alkalinity, carbon, **ions),
    amounts, st.floats(-20.0, 30.0), st.one_of(st.just(0.0), st.floats(0.0, 40.0)),
)  # fmt: skip
temperatures = st.floats(0.0, 100.0)
pressures = st.floats(-6.0, 1.0)


def charge_gap_mEq(totals: np.ndarray, water: Speciation) -> float:
    """The water's alkalinity that the species add up to, less the one it was given."""
    return float(water.alkalinity_mEq_kg - totals[COMPONENTS.index("alkalinity")])


@given(waters, temperatures)
def test_charge_and_carbon_are_kept_in_a_closed_water(totals: np.ndarray, temperature: float) -> None:
    water = closed(totals, temperature)
    assert abs(charge_gap_mEq(totals, water)) < 1e-3
    assert float(water.carbon_mmol_kg) == pytest.approx(totals[11], abs=1e-9)
    assert all(np.isfinite(field) for field in water)


@given(waters, temperatures, pressures)
def test_charge_is_kept_in_an_open_water(totals: np.ndarray, temperature: float, pressure: float) -> None:
    water = open_to_gas(totals, temperature, log_pco2=pressure)
    assert abs(charge_gap_mEq(totals, water)) < 1e-3 * (1.0 + water.carbon_mmol_kg)
    assert abs(water.log_pco2 - pressure) < (0.1 if pressure > 0.0 else 0.01)


@given(waters, temperatures, st.sampled_from(sorted(ACIDS)), st.floats(0.01, 5.0))
def test_acid_lowers_the_ph(totals: np.ndarray, temperature: float, acid: str, dose: float) -> None:
    soured = closed(totals + acid_totals(acid, dose), temperature)
    assert soured.ph < closed(totals, temperature).ph + 1e-6


@given(waters, temperatures, st.floats(0.01, 5.0))
def test_carbon_dioxide_lowers_the_ph(totals: np.ndarray, temperature: float, dose: float) -> None:
    more = totals.copy()
    more[11] += dose
    assert closed(more, temperature).ph < closed(totals, temperature).ph + 1e-6


@given(waters, temperatures)
def test_as_much_acid_as_alkalinity_is_lost_gives_the_ph(totals: np.ndarray, temperature: float) -> None:
    water = closed(totals, temperature)
    if 2.0 < water.ph < 13.0:
        again = alkalinity_from_ph(totals, water.ph, temperature_C=temperature)
        assert float(again) == pytest.approx(totals[10], abs=2e-3)


@given(amounts, st.floats(0.2, 20.0), st.floats(6.0, 9.0), temperatures)
def test_carbon_found_from_a_ph_gives_that_ph(
    ions: dict[str, float], alkalinity: float, ph: float, temperature: float
) -> None:
    plain = {**ions, "phosphate_mmol_kg": 0.0, "lactate_mmol_kg": 0.0, "citrate_mmol_kg": 0.0}
    totals = water_totals(alkalinity, 0.0, **plain)
    totals[11] = carbon_from_ph(totals, ph, temperature_C=temperature)
    if totals[11] > 0.0:
        assert abs(closed(totals, temperature).ph - ph) < 1e-4
    else:  # such an alkalinity is above the pH even without any carbon
        assert closed(totals, temperature).ph < ph + 1e-4


@given(waters, waters, temperatures, st.floats(0.0, 1.0))
def test_mixing_is_adding_and_nothing_is_lost(
    one: np.ndarray, other: np.ndarray, temperature: float, share: float
) -> None:
    mixed = closed(share * one + (1.0 - share) * other, temperature)
    for index, field in ((10, mixed.alkalinity_mEq_kg), (11, mixed.carbon_mmol_kg)):
        assert float(field) == pytest.approx(share * one[index] + (1.0 - share) * other[index], abs=1e-3)


@given(waters, temperatures, st.floats(0.0, 1.0))
def test_degassing_lies_between_closed_and_open(totals: np.ndarray, temperature: float, lost: float) -> None:
    part = partly_degassed(totals, temperature, log_pco2=AIR, lost_share=lost)
    ends = (closed(totals, temperature).ph, open_to_gas(totals, temperature, log_pco2=AIR).ph)
    assert min(ends) - 1e-5 <= part.ph <= max(ends) + 1e-5


@given(st.lists(waters, min_size=1, max_size=4), temperatures, pressures)
def test_many_waters_at_once_are_each_as_alone(several: list[np.ndarray], temperature: float, pressure: float) -> None:
    stacked = np.stack(several, axis=1)
    for index, totals in enumerate(several):
        for many, one in (
            (closed(stacked, temperature), closed(totals, temperature)),
            (
                open_to_gas(stacked, temperature, log_pco2=pressure),
                open_to_gas(totals, temperature, log_pco2=pressure),
            ),
        ):
            assert many.ph.shape == (len(several),)
            assert abs(many.ph[index] - one.ph) < 2e-5
            assert many.ionic_strength_mmol_kg[index] == pytest.approx(float(one.ionic_strength_mmol_kg), rel=1e-4)


def test_temperature_and_pressure_broadcast_over_draws() -> None:
    totals = water_totals(3.0, 3.2, calcium_mmol_kg=1.5)
    warm = closed(totals, [10.0, 40.0, 70.0])
    assert warm.ph.shape == (3,)
    assert [float(closed(totals, t).ph) for t in (10.0, 40.0, 70.0)] == pytest.approx(warm.ph.tolist(), abs=1e-5)
    wide = open_to_gas(totals[:, np.newaxis, np.newaxis], [[20.0], [70.0]], log_pco2=[-3.4, -2.0, -1.0])
    assert wide.ph.shape == (2, 3)
    assert (np.diff(wide.ph, axis=1) < 0.0).all()


def test_an_imbalance_of_charge_is_carried_and_not_repaired() -> None:
    even = water_totals(2.0, 2.2, calcium_mmol_kg=1.0)
    odd = water_totals(2.0, 2.2, calcium_mmol_kg=1.0, nitrate_mmol_kg=1.0)
    assert abs(closed(even, 20.0).ph - closed(odd, 20.0).ph) < 0.02
    assert closed(odd, 20.0).alkalinity_mEq_kg == pytest.approx(2.0, abs=1e-5)


def test_pure_water_is_neutral() -> None:
    assert abs(closed(water_totals(0.0, 0.0), 25.0).ph - 7.0) < 0.01


def test_sixty_thousand_draws_of_anything_pass() -> None:
    draw = np.random.default_rng(7)
    n = 65_536
    totals = draw.uniform(0.0, 30.0, (12, n)) * (draw.random((12, n)) < 0.7)
    totals[7:10] *= draw.random(n) < 0.2
    totals[10] = draw.uniform(-40.0, 60.0, n)
    water = closed(totals, draw.uniform(0.0, 100.0, n))
    assert np.isfinite(water.ph).all()
    assert np.abs(water.alkalinity_mEq_kg - totals[10]).max() < 1e-2


@pytest.mark.parametrize("salt", sorted(SALTS))
def test_salts_bring_charges_that_balance(salt: str) -> None:
    charge = {
        "calcium": 2,
        "magnesium": 2,
        "sodium": 1,
        "potassium": 1,
        "chloride": -1,
        "sulfate": -2,
        "alkalinity": -1,
    }
    gained = salt_totals(salt, 1.0, purity=1.0)
    assert sum(charge.get(name, 0) * amount for name, amount in zip(COMPONENTS, gained, strict=True)) == pytest.approx(
        0
    )


def test_no_water_at_all_is_an_empty_answer() -> None:
    assert closed(np.zeros((12, 0)), 20.0).ph.shape == (0,)


@pytest.mark.parametrize(
    ("totals", "temperature", "words"),
    [
        (np.zeros(11), 20.0, "12 totals"),
        (0.0, 20.0, "12 totals"),
        (np.full(12, np.nan), 20.0, "calcium"),
        (np.full((12, 3), np.nan), 20.0, "calcium"),
        (np.eye(12)[6] * -1.0, 20.0, "nitrate"),
        (np.eye(12)[0] * 2000.0, 20.0, "calcium"),
        (np.zeros(12), 101.0, "temperature"),
        (np.zeros(12), np.nan, "temperature"),
        (np.zeros(12), [20.0, -1.0], "temperature"),
    ],
)
def test_what_is_no_water_is_refused(totals: object, temperature: object, words: str) -> None:
    with pytest.raises(OutOfRange, match=words):
        closed(totals, temperature)  # type: ignore[arg-type]


def test_a_ph_or_pressure_out_of_range_is_refused() -> None:
    with pytest.raises(OutOfRange, match="pH"):
        carbon_from_ph(np.zeros(12), 0.0, temperature_C=20.0)
    with pytest.raises(OutOfRange, match="pressure"):
        open_to_gas(np.zeros(12), 20.0, log_pco2=np.inf)
    with pytest.raises(OutOfRange, match="share"):
        partly_degassed(np.zeros(12), 20.0, log_pco2=-3.4, lost_share=1.01)


def test_one_ph_holds_for_many_waters_and_many_phs_for_one() -> None:
    totals = water_totals([1.0, 3.0], 0.0, calcium_mmol_kg=1.0)
    carbon = carbon_from_ph(totals, 7.4, temperature_C=12.0)
    assert carbon.shape == (2,)
    for index in range(2):
        assert carbon_from_ph(totals[:, index], 7.4, temperature_C=12.0) == pytest.approx(carbon[index], rel=1e-4)
    assert carbon_from_ph(totals[:, 0], [7.0, 7.4, 8.0], temperature_C=12.0).shape == (3,)
    assert carbon_from_ph(totals[:, 0], 7.4, temperature_C=[5.0, 12.0]).shape == (2,)
    assert alkalinity_from_ph(totals, 7.4, temperature_C=[[5.0], [12.0]]).shape == (2, 2)
