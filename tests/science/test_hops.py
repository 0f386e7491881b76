from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import hops


@given(st.floats(0.0, 99.0), st.floats(101.8, 114.6))
def test_storage_index_round_trip(lost, slope):
    index = hops.hop_storage_index(lost, slope_pct=slope)
    assert hops.alpha_beta_lost_pct(index, slope_pct=slope) == pytest.approx(lost, abs=1e-9)


@given(st.floats(0.05, 0.25))
def test_very_fresh_hops_have_lost_nothing(index):
    assert hops.alpha_beta_lost_pct(index, slope_pct=110.0) == 0.0


@given(st.floats(0.0, 900.0), st.floats(-30.0, 35.0), st.floats(0.0, 90.0), st.floats(0.3, 1.0))
def test_storage_only_loses_and_composes(days, temperature, lost, package):
    def left(time):
        return hops.alpha_left_fraction(time, temperature, lost_6_months_pct=lost, storage_factor=package)

    assert 0.0 <= left(days) <= 1.0
    assert left(days) == pytest.approx(left(days / 2.0) ** 2, rel=1e-9)


def test_cold_and_tight_keep_more():
    kept = hops.alpha_left_fraction(365.0, [20.0, 4.0, -18.0], lost_6_months_pct=50.0, storage_factor=[1.0, 1.0, 0.5])
    assert np.all(np.diff(kept) > 0.0)


def test_every_word_has_a_band_and_spacing_does_not_matter():
    for word in hops.STORAGE_WORDS:
        band = hops.alpha_left_6_months(f"  {word.upper()} ")
        assert 0.0 < band.low_pct <= band.high_pct <= 100.0


def test_other_words_are_refused():
    with pytest.raises(OutOfRange, match="storage word 'excellent' is not one of very good"):
        hops.alpha_left_6_months("excellent")
    with pytest.raises(OutOfRange):
        hops.alpha_left_fraction(np.nan, 20.0, lost_6_months_pct=50.0, storage_factor=1.0)
