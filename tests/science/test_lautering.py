"""Masses of the mash and what the bed holds back."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science.capacity import wet_grain_kg
from gyle.science.lautering import (
    extract_as_is,
    first_wort_extract_pct,
    grain_volume_L,
    mash_masses,
    retained_L,
    retention_of_trade_absorption_L_kg,
    trade_absorption_L_kg,
)

MALT = {"moisture": 0.045, "potential_db": 0.805, "hydrolysis_water_kg_kg": 0.032}


@given(
    grist=st.floats(0.0, 50.0),
    liquor=st.floats(0.0, 200.0),
    moisture=st.floats(0.0, 0.1),
    potential=st.floats(0.0, 0.9),
    conversion=st.floats(0.0, 1.0),
    bound=st.floats(0.0, 0.05),
    extract_in=st.floats(0.0, 20.0),
)
def test_no_mass_is_lost(
    *,
    grist: float,
    liquor: float,
    moisture: float,
    potential: float,
    conversion: float,
    bound: float,
    extract_in: float,
) -> None:
    made = mash_masses(
        grist,
        liquor,
        moisture=moisture,
        potential_db=potential,
        conversion=conversion,
        hydrolysis_water_kg_kg=bound,
        extract_in_kg=extract_in,
    )
    assert float(sum(made)) == pytest.approx(grist + liquor + extract_in, rel=1e-12, abs=1e-12)
    dissolved = grist * float(extract_as_is(potential, moisture)) * conversion
    assert float(made.extract_kg) - extract_in == pytest.approx(dissolved, rel=1e-9, abs=1e-9)


@pytest.mark.source("ceilings of one unsparged mash: 27.0, 22.9 and 19.8 °P", provenance="computed-with-numpy")
def test_first_wort_weakens_with_the_liquor() -> None:
    liquor = np.array([2.0, 2.5, 3.0]) * 0.998203
    made = mash_masses(1.0, liquor, conversion=0.97, extract_in_kg=0.0, **MALT)
    strength = first_wort_extract_pct(made.extract_kg, made.water_kg)
    assert strength == pytest.approx([27.0, 22.9, 19.8], abs=0.1)


@pytest.mark.source("trade: first wort near 100 e / (r + e)", provenance="common-practice")
@given(st.floats(2.0, 5.0))
def test_first_wort_is_a_little_below_the_trade_form(ratio: float) -> None:
    made = mash_masses(1.0, ratio, conversion=1.0, extract_in_kg=0.0, **MALT)
    trade = 100.0 * 0.76878 / (ratio + 0.76878)
    assert 0.0 < trade - float(first_wort_extract_pct(made.extract_kg, made.water_kg)) < 0.3


@pytest.mark.source("Kunze, quoted in the Oxford Companion to Beer", provenance="retrieved")
def test_industrial_retention_makes_spent_grain_of_the_usual_moisture() -> None:
    dry = float(mash_masses(1.0, 3.0, conversion=0.97, extract_in_kg=0.0, **MALT).insoluble_kg)
    wet = float(wet_grain_kg(dry, 0.85, wort_kg_L=1.0))
    assert 1.0 <= wet <= 1.3
    assert 0.75 <= 1.0 - dry / wet <= 0.80


@given(st.floats(0.5, 2.0), st.floats(0.0, 0.85), st.floats(0.0, 0.2))
def test_retention_and_absorption_are_inverse(retention: float, extract: float, hot: float) -> None:
    absorption = trade_absorption_L_kg(retention, extract, hot_reading_L_kg=hot)
    back = retention_of_trade_absorption_L_kg(absorption, extract, hot_reading_L_kg=hot)
    assert float(back) == pytest.approx(retention, abs=1e-12)
    assert float(absorption) <= retention


def test_draws_equal_scalars() -> None:
    conversion = np.linspace(0.8, 1.0, 7)
    together = mash_masses(6.0, 20.0, conversion=conversion, extract_in_kg=0.0, **MALT)
    for i, share in enumerate(conversion):
        alone = mash_masses(6.0, 20.0, conversion=share, extract_in_kg=0.0, **MALT)
        assert [float(field[i]) for field in together] == pytest.approx([float(field) for field in alone])
    assert retained_L([5.0, 6.0], 1.2, dead_space_L=0.5).tolist() == pytest.approx([6.5, 7.7])
    assert grain_volume_L([0.23, 0.46], [0.74, 1.48]).tolist() == pytest.approx(
        [0.23 / 1.45 + 0.65 * 0.74, 0.46 / 1.45 + 0.65 * 1.48]
    )


def test_what_means_nothing_is_refused() -> None:
    with pytest.raises(OutOfRange, match="grist"):
        mash_masses(-1.0, 20.0, conversion=0.95, extract_in_kg=0.0, **MALT)
    with pytest.raises(OutOfRange, match="conversion"):
        mash_masses(5.0, 20.0, conversion=[0.9, np.nan], extract_in_kg=0.0, **MALT)
    with pytest.raises(OutOfRange, match="wort"):
        first_wort_extract_pct(0.0, 0.0)
    with pytest.raises(OutOfRange, match="moisture"):
        extract_as_is(0.8, 4.5)
    with pytest.raises(OutOfRange, match="retention"):
        retained_L(5.0, np.nan, dead_space_L=0.0)
    with pytest.raises(OutOfRange, match="insoluble"):
        grain_volume_L(-0.1, 0.7)
    with pytest.raises(OutOfRange, match="absorption"):
        retention_of_trade_absorption_L_kg(6.0, 0.7, hot_reading_L_kg=0.0)
    with pytest.raises(OutOfRange, match="hot reading"):
        trade_absorption_L_kg(1.2, 0.7, hot_reading_L_kg=np.nan)
