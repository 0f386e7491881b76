"""Strike, infusion and decoction: mixing what they ask for gives the wanted temperature."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science.heat import WATER_HEAT_CAPACITY_KJ_KGK, mixed_temperature_C
from gyle.science.strike import (
    decoction_fraction,
    infusion_kg,
    strike_temperature_C,
    strike_temperature_separate_tun_C,
)

MALT = {"grist_temperature_C": 18.0, "grist_heat_capacity_kJ_kgK": 1.694, "hydration_kJ_kg": 22.3}


@pytest.mark.source("heat balance of mashing in", provenance="computed-with-numpy")
@given(
    mash=st.floats(45.0, 75.0),
    grist=st.floats(0.5, 15.0),
    liquor=st.floats(20.0, 200.0),
    vessel=st.floats(0.0, 8.0),
    loss=st.floats(0.0, 250.0),
)
def test_mixing_gives_the_wanted_mash(mash: float, grist: float, liquor: float, vessel: float, loss: float) -> None:
    strike = strike_temperature_C(mash, grist, liquor_kJ_K=liquor, vessel_kJ_K=vessel, heat_loss_kJ=loss, **MALT)
    mixed = ((liquor + vessel) * float(strike) + grist * 1.694 * 18.0 + grist * 22.3 - loss) / (
        liquor + vessel + grist * 1.694
    )
    assert mixed == pytest.approx(mash, abs=1e-9)


@given(st.floats(45.0, 75.0), st.floats(20.0, 200.0), st.floats(0.0, 8.0))
def test_a_tun_as_hot_as_its_strike_is_an_all_in_one(mash: float, liquor: float, vessel: float) -> None:
    strike = float(strike_temperature_C(mash, 6.0, liquor_kJ_K=liquor, vessel_kJ_K=vessel, heat_loss_kJ=0.0, **MALT))
    if strike > 120.0:
        return
    tun = strike_temperature_separate_tun_C(
        mash, 6.0, liquor_kJ_K=liquor, vessel_kJ_K=vessel, vessel_temperature_C=strike, heat_loss_kJ=0.0, **MALT
    )
    assert float(tun) == pytest.approx(strike, abs=1e-7)


@pytest.mark.source("heat balance of an infusion", provenance="computed-with-numpy")
@given(st.floats(35.0, 65.0), st.floats(0.5, 12.0), st.floats(85.0, 100.0), st.floats(10.0, 300.0))
def test_infusing_reaches_the_step(start: float, step: float, liquor_C: float, mash_kJ_K: float) -> None:
    mass = float(infusion_kg(start, start + step, mash_kJ_K=mash_kJ_K, liquor_C=liquor_C))
    mixed = mixed_temperature_C(
        start, liquor_C, first_kJ_K=mash_kJ_K, second_kJ_K=mass * WATER_HEAT_CAPACITY_KJ_KGK, heat_kJ=0.0
    )
    assert float(mixed) == pytest.approx(start + step, abs=1e-9)


@pytest.mark.source("heat balance of a decoction", provenance="computed-with-numpy")
@given(st.floats(35.0, 65.0), st.floats(0.5, 12.0), st.floats(10.0, 300.0), st.floats(0.0, 8.0))
def test_returning_the_decoction_reaches_the_step(start: float, step: float, mash: float, vessel: float) -> None:
    share = float(decoction_fraction(start, start + step, decoction_C=99.5, mash_kJ_K=mash, vessel_kJ_K=vessel))
    mixed = mixed_temperature_C(
        start,
        99.5,
        first_kJ_K=max((1.0 - share) * mash + vessel, 0.0),
        second_kJ_K=share * mash,
        heat_kJ=0.0,
    )
    assert float(mixed) == pytest.approx(start + step, abs=1e-9)


def test_cold_liquor_cools_a_mash_and_no_step_needs_none() -> None:
    assert float(infusion_kg(70.0, 66.0, mash_kJ_K=80.0, liquor_C=15.0)) > 0.0
    assert float(infusion_kg(66.0, 66.0, mash_kJ_K=80.0, liquor_C=99.0)) == 0.0


def test_draws_equal_scalars() -> None:
    hydration = np.linspace(10.0, 30.0, 9)
    inputs = {**MALT, "liquor_kJ_K": 83.57, "vessel_kJ_K": 4.0, "heat_loss_kJ": 100.0}
    together = strike_temperature_C(66.0, 6.0, **{**inputs, "hydration_kJ_kg": hydration})
    alone = [float(strike_temperature_C(66.0, 6.0, **{**inputs, "hydration_kJ_kg": h})) for h in hydration]
    assert together.tolist() == pytest.approx(alone)


@pytest.mark.parametrize(("start", "end", "liquor"), [(52.0, 63.0, 63.0), (52.0, 63.0, 60.0), (66.0, 60.0, 90.0)])
def test_liquor_that_cannot_reach_the_step_is_refused(start: float, end: float, liquor: float) -> None:
    with pytest.raises(OutOfRange, match="cannot bring a mash"):
        infusion_kg([start, 52.0], [end, 53.0], mash_kJ_K=80.0, liquor_C=[liquor, 99.0])
    with pytest.raises(OutOfRange, match="cannot bring a mash"):
        decoction_fraction(start, end, decoction_C=liquor, mash_kJ_K=80.0, vessel_kJ_K=0.0)


def test_what_means_nothing_is_refused() -> None:
    with pytest.raises(OutOfRange, match="mash temperature"):
        strike_temperature_C(np.nan, 6.0, liquor_kJ_K=80.0, vessel_kJ_K=4.0, heat_loss_kJ=0.0, **MALT)
    with pytest.raises(OutOfRange, match="liquor"):
        strike_temperature_C(66.0, 6.0, liquor_kJ_K=0.0, vessel_kJ_K=4.0, heat_loss_kJ=0.0, **MALT)
    with pytest.raises(OutOfRange, match="vessel temperature"):
        strike_temperature_separate_tun_C(
            66.0, 6.0, liquor_kJ_K=80.0, vessel_kJ_K=4.0, vessel_temperature_C=200.0, heat_loss_kJ=0.0, **MALT
        )
