"""Kettle balances: what they ask for gives the wort that was wanted."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science.wort import (
    addition_for_extract_kg,
    anhydrous_fraction,
    blend_two_runs,
    boil_minutes,
    dilution_kg,
    evaporation_for_extract_kg,
    evaporation_with_addition_kg,
    extract_addition_kg,
    temperature_after_sugar_C,
)

EXTRACT, WATER, TARGET = st.floats(0.1, 10.0), st.floats(15.0, 40.0), st.floats(1.0, 35.0)


@given(EXTRACT, WATER, TARGET)
def test_water_added_or_boiled_off_brings_the_strength(extract: float, water: float, target: float) -> None:
    added = float(dilution_kg(extract, water, target_pct=target))
    assert 100.0 * extract / (extract + water + added) == pytest.approx(target, rel=1e-9)
    assert float(evaporation_for_extract_kg(extract, water, target_pct=target)) == -added


@given(EXTRACT, WATER, TARGET, st.floats(0.5, 1.0))
def test_sugar_brings_the_strength(extract: float, water: float, target: float, dry: float) -> None:
    d = float(addition_for_extract_kg(extract, water, target_pct=target, dry_fraction=dry))
    assert 100.0 * (extract + dry * d) / (extract + water + d) == pytest.approx(target, rel=1e-9)


@given(EXTRACT, WATER, TARGET, st.floats(10.0, 40.0), st.floats(0.7, 1.0))
def test_addition_and_evaporation_meet_volume_and_strength(
    extract: float, water: float, target: float, mass: float, dry: float
) -> None:
    wanted = mass * target / 100.0
    d = float(extract_addition_kg(extract, wanted, dry_fraction=dry))
    assume(d >= 0.0)
    off = float(evaporation_with_addition_kg(extract + water, mass, addition_kg=d))
    assert extract + dry * d == pytest.approx(wanted)
    assert extract + water + d - off == pytest.approx(mass)


@given(st.floats(0.05, 0.95), st.floats(0.05, 0.95), st.floats(0.15, 0.25), st.floats(0.02, 0.1))
def test_blending_finds_the_shares_again(a: float, c: float, strong: float, weak: float) -> None:
    x1, m1, x2, m2 = 25.0 * strong, 25.0, 20.0 * weak, 20.0
    shares = blend_two_runs(
        x1,
        m1,
        second_extract_kg=x2,
        second_wort_kg=m2,
        target_extract_kg=a * x1 + c * x2,
        target_wort_kg=a * m1 + c * m2,
    )
    assert (float(shares.first), float(shares.second)) == pytest.approx((a, c), abs=1e-9)


@given(st.floats(0.0, 5.0), st.floats(60.0, 101.0))
def test_sugar_cools_and_keeps_the_heat(sugar: float, wort_C: float) -> None:
    after = float(
        temperature_after_sugar_C(
            wort_C,
            sugar,
            wort_kg=22.0,
            wort_heat_capacity_kJ_kgK=3.85,
            sugar_temperature_C=20.0,
            sugar_heat_capacity_kJ_kgK=1.24,
            dissolving_kJ_kg=16.0,
        )
    )
    assert after <= wort_C + 1e-9
    given_up = 22.0 * 3.85 * (wort_C - after)
    assert given_up == pytest.approx(sugar * (1.24 * (after - 20.0) + 16.0), abs=1e-6)


def test_draws_equal_scalars() -> None:
    extract = np.array([2.0, 3.0, 4.0])
    assert dilution_kg(extract, 20.0, target_pct=10.0).tolist() == pytest.approx(
        [float(dilution_kg(x, 20.0, target_pct=10.0)) for x in extract]
    )
    assert boil_minutes(extract, 4.0).tolist() == [30.0, 45.0, 60.0]
    assert anhydrous_fraction(180.156, crystal_water=[0.0, 1.0])[0] == 1.0


def test_what_means_nothing_is_refused() -> None:
    with pytest.raises(OutOfRange, match="wanted extract"):
        dilution_kg(3.0, 20.0, target_pct=0.0)
    with pytest.raises(OutOfRange, match="water"):
        evaporation_for_extract_kg(3.0, np.nan, target_pct=10.0)
    with pytest.raises(OutOfRange, match="boil-off"):
        boil_minutes(3.0, 0.0)
    with pytest.raises(OutOfRange, match="strength of the addition"):
        addition_for_extract_kg(3.0, 20.0, target_pct=30.0, dry_fraction=0.25)
    with pytest.raises(OutOfRange, match="extract in the addition"):
        extract_addition_kg(3.0, 4.0, dry_fraction=0.0)
    with pytest.raises(OutOfRange, match="addition"):
        evaporation_with_addition_kg(20.0, 20.0, addition_kg=-1.0)
    with pytest.raises(OutOfRange, match="same strength"):
        blend_two_runs(2.0, 20.0, second_extract_kg=1.0, second_wort_kg=10.0, target_extract_kg=1.0, target_wort_kg=9.0)
    with pytest.raises(OutOfRange, match="molar mass"):
        anhydrous_fraction(0.0, crystal_water=1.0)
    with pytest.raises(OutOfRange, match="sugar"):
        temperature_after_sugar_C(
            100.0,
            -1.0,
            wort_kg=22.0,
            wort_heat_capacity_kJ_kgK=3.85,
            sugar_temperature_C=20.0,
            sugar_heat_capacity_kJ_kgK=1.24,
            dissolving_kJ_kg=16.0,
        )
