from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import bitterness as taste
from gyle.science.dry_hop import humulinones_mg_L, iso_after_dry_hop_mg_L

shares = st.floats(0.0, 1.0)


@given(st.floats(0.0, 500.0), shares, shares, st.floats(1.050, 1.19), st.floats(0.0, 50.0))
def test_survivals_only_take(iso, hot, ferment, gravity, rate):
    kept = taste.iso_in_beer_mg_L(
        iso, hot_survival=hot, fermentation_survival=ferment, gravity_sg=gravity, pellet_rate_g_L=rate
    )
    assert 0.0 <= kept <= iso


@given(st.floats(0.0, 20.0), st.floats(0.0, 20.0))
def test_rate_survival_never_rises(a, b):
    low, high = sorted((a, b))
    assert 0.5 <= taste.rate_survival(high) <= taste.rate_survival(low) <= 1.0


@given(st.floats(0.0, 300.0), st.floats(0.0, 500.0), shares)
def test_other_matter_stays_below_its_share(alpha, minutes, share):
    assert 0.0 <= taste.other_bitter_matter_mg_L(alpha, minutes, share=share) <= share * alpha


def test_dry_hops_lower_a_bitter_beer_and_raise_a_mild_one():
    iso = np.array([48.0, 15.0])
    left = iso_after_dry_hop_mg_L(iso, 7.73, adsorption_L_g=0.133)
    added = humulinones_mg_L(7.73, mass_fraction=0.0026, extraction=0.9)
    after = taste.sensory_bitterness_mg_L(left, humulinones_mg_L=added, hulupones_mg_L=0.0, alpha_mg_L=14.0)
    assert after[0] < iso[0]
    assert after[1] > iso[1]
    meter = taste.analytic_bitterness(left, added + 14.0)
    assert meter[0] > taste.analytic_bitterness(48.0, 0.0)


@given(st.floats(1.0, 120.0), st.floats(1.02, 1.15))
def test_average_attenuation_leaves_the_ratio(bitterness, gravity):
    ratio = taste.relative_bitterness_ratio(bitterness, gravity, apparent_attenuation=0.7655)
    assert ratio == pytest.approx(taste.bitterness_ratio(bitterness, gravity))


def test_shares_beyond_one_are_refused():
    with pytest.raises(OutOfRange, match="hot survival"):
        taste.iso_in_beer_mg_L(1.0, hot_survival=1.2, fermentation_survival=1.0, gravity_sg=1.05, pellet_rate_g_L=0.0)
    with pytest.raises(OutOfRange):
        taste.bitterness_ratio(30.0, 1.0)
    with pytest.raises(OutOfRange):
        taste.gravity_survival(np.nan)
