"""What fits in a vessel and what a back can lift."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science.capacity import (
    foam_headroom_L,
    kettle_hot_volume_L,
    mash_volume_L,
    most_kettle_volume_L,
    most_mash_liquor_L,
    recommended_weight_limit_kg,
    wet_grain_kg,
)
from gyle.science.density import volume_at_20C_ratio

MASH = {"hot_over_cold": 1.0186, "displacement_L_kg": 0.67, "basket_L": 0.5}
LIFT = {"travel_cm": 60.0, "asymmetry_deg": 0.0, "frequency_multiplier": 1.0, "coupling_multiplier": 0.9}


@given(st.floats(20.0, 100.0), st.floats(0.0, 15.0), st.floats(0.0, 5.0))
def test_the_most_liquor_fills_the_vessel_to_its_mark(vessel: float, grist: float, free: float) -> None:
    liquor = float(most_mash_liquor_L(vessel, grist, free_L=free, **MASH))
    assert liquor > 0.0
    assert float(mash_volume_L(grist, liquor, **MASH)) == pytest.approx(vessel - free, abs=1e-9)


@given(st.floats(5.0, 100.0), st.floats(0.0, 4.0))
def test_the_most_wort_fills_the_kettle_to_its_headroom(vessel: float, headroom: float) -> None:
    cold = most_kettle_volume_L(vessel, headroom, hot_over_cold=1.0416)
    assert float(kettle_hot_volume_L(cold, 1.0416)) == pytest.approx(vessel - headroom, abs=1e-9)
    assert float(most_kettle_volume_L(vessel, vessel + 1.0, hot_over_cold=1.0416)) == 0.0


@pytest.mark.source("ratio of the densities of water", provenance="computed-with-CoolProp")
def test_expansions_are_those_of_the_wort() -> None:
    ratio = 1.0 / volume_at_20C_ratio(0.0, [66.0, 100.0])
    assert ratio == pytest.approx([1.0186, 1.0416], abs=0.0002)


@given(st.floats(1.0, 200.0), st.floats(0.0, 5.0), st.floats(0.0, 0.5), st.floats(0.0, 0.2))
def test_headroom_is_the_larger_of_two(vessel: float, least: float, share: float, extra: float) -> None:
    headroom = float(foam_headroom_L(vessel, least, share=share, extra_share=extra))
    assert headroom >= least
    assert headroom >= (share + extra) * vessel
    assert headroom in (least, (share + extra) * vessel)


@pytest.mark.source(
    "mass of a hot basket, 1.55 drained and 2.4 at the lift for a kilogram", provenance="computed-with-numpy"
)
def test_a_kilogram_of_grist_weighs_more_wet() -> None:
    wet = wet_grain_kg(0.248, [1.25, 2.0], wort_kg_L=[1.045, 1.06])
    assert wet == pytest.approx([1.55, 2.4], abs=0.05)


@given(st.floats(25.0, 62.0), st.floats(0.0, 175.0), st.floats(0.0, 135.0))
def test_no_posture_allows_more_than_the_load_constant(reach: float, height: float, turn: float) -> None:
    limit = float(recommended_weight_limit_kg(reach, height, **{**LIFT, "asymmetry_deg": turn}))
    assert 0.0 < limit <= 23.0
    assert float(recommended_weight_limit_kg(reach + 1.0, height, **{**LIFT, "asymmetry_deg": turn})) < limit


def test_short_reach_and_travel_count_as_25_cm() -> None:
    near = recommended_weight_limit_kg([0.0, 25.0], 75.0, **{**LIFT, "travel_cm": [0.0, 25.0]})
    assert near[0] == near[1]


def test_draws_equal_scalars() -> None:
    grist = np.array([3.0, 6.0, 12.0])
    together = mash_volume_L(grist, 20.0, **MASH)
    assert together.tolist() == pytest.approx([float(mash_volume_L(g, 20.0, **MASH)) for g in grist])


def test_what_means_nothing_is_refused() -> None:
    with pytest.raises(OutOfRange, match="hot over cold"):
        kettle_hot_volume_L(20.0, 0.0)
    with pytest.raises(OutOfRange, match="grist"):
        mash_volume_L(np.nan, 20.0, **MASH)
    with pytest.raises(OutOfRange, match="vessel"):
        most_mash_liquor_L(-1.0, 5.0, free_L=2.0, **MASH)
    with pytest.raises(OutOfRange, match="headroom"):
        most_kettle_volume_L(30.0, np.nan, hot_over_cold=1.04)
    with pytest.raises(OutOfRange, match="share"):
        foam_headroom_L(30.0, 2.0, share=10.0, extra_share=0.0)
    with pytest.raises(OutOfRange, match="density"):
        wet_grain_kg(3.0, 15.0, wort_kg_L=1045.0)
    with pytest.raises(OutOfRange, match="reach"):
        recommended_weight_limit_kg(64.0, 60.0, **LIFT)
