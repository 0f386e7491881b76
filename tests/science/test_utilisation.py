from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import utilisation as trade
from gyle.science.bitter_history import soluble_alpha_mg_L
from gyle.science.bitterness import analytic_bitterness, iso_in_beer_mg_L, other_bitter_matter_mg_L
from gyle.science.isomerisation import isomerised_fraction

gravities, times = st.floats(1.0, 1.19), st.floats(0.1, 180.0)


@given(times, gravities)
def test_tinseth_rises_with_time_and_falls_with_gravity(minutes, gravity):
    here = trade.tinseth_utilisation(minutes, gravity)
    assert trade.tinseth_utilisation(minutes + 1.0, gravity) > here
    assert trade.tinseth_utilisation(minutes, gravity + 0.005) < here


@given(st.floats(0.1, 200.0), times, gravities)
def test_alpha_needed_gives_the_bitterness_back(ibu, minutes, gravity):
    alpha = trade.tinseth_alpha_mg_L(ibu, minutes, gravity_sg=gravity)
    if alpha <= 1e5:
        assert trade.tinseth_ibu(alpha, minutes, gravity_sg=gravity) == pytest.approx(ibu, rel=1e-12)


def test_a_strong_and_bitter_aim_passes_what_wort_dissolves():
    needed = trade.tinseth_alpha_mg_L(90.0, 60.0, gravity_sg=1.110)
    assert soluble_alpha_mg_L(needed, solubility_mg_L=250.0) == 250.0 < needed


@pytest.mark.source("G. Tinseth 1997 at 1.050 against the reaction and default survivals", provenance="ours")
def test_trade_and_reaction_agree_at_1050():
    minutes = np.array([3.0, 10.0, 20.0, 45.0, 60.0, 75.0])
    iso = iso_in_beer_mg_L(
        100.0 * isomerised_fraction(100.0, minutes),
        hot_survival=0.75,
        fermentation_survival=0.65,
        gravity_sg=1.050,
        pellet_rate_g_L=0.0,
    )
    reading = analytic_bitterness(iso, other_bitter_matter_mg_L(100.0, minutes, share=0.09))
    assert np.abs(reading - trade.tinseth_ibu(100.0, minutes, gravity_sg=1.050)).max() < 1.2


def test_rager_changes_class_after_the_last_minute_of_a_class():
    assert trade.rager_utilisation([0.0, 5.0, 5.5, 6.0]).tolist() == [0.05, 0.05, 0.06, 0.06]
    assert trade.rager_utilisation([60.0, 500.0]).tolist() == [0.30, 0.30]


@given(st.floats(1.0, 1.19))
def test_rager_counts_gravity_only_above_1050(gravity):
    factor = 30.0 / trade.rager_ibu(100.0, 60.0, boil_gravity_sg=gravity)
    assert factor == pytest.approx(1.0 + max(0.0, (gravity - 1.050) / 0.2), rel=1e-12)


@pytest.mark.parametrize(("minutes", "gravity"), [(-1.0, 1.05), (np.nan, 1.05), (60.0, 0.9), (60.0, np.nan)])
def test_nonsense_is_refused(minutes, gravity):
    with pytest.raises(OutOfRange):
        trade.tinseth_utilisation(minutes, gravity)
