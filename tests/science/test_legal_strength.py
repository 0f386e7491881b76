"""Strength before the law."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import legal_strength as law

TENTHS = np.arange(0, 1001) / 10.0


def test_a_whole_tenth_is_left_alone() -> None:
    np.testing.assert_allclose(law.uk_duty_strength_pct(TENTHS), TENTHS, atol=1e-12)
    np.testing.assert_allclose(law.us_label_strength_pct(TENTHS), TENTHS, atol=1e-12)


@given(st.floats(0.0, 100.0))
def test_cutting_never_raises_and_rounding_stays_near(strength: float) -> None:
    assert -1e-8 < strength - law.uk_duty_strength_pct(strength) < 0.1
    assert abs(law.us_label_strength_pct(strength) - strength) < 0.05 + 1e-8


@pytest.mark.source("Regulation (EU) No 1169/2011, Annex XII", provenance="retrieved")
def test_tolerance_steps_just_above_five_and_a_half() -> None:
    assert law.eu_label_tolerance_pct([1.3, 5.5, 5.51, 12.0]).tolist() == [0.5, 0.5, 1.0, 1.0]
    assert law.us_label_tolerance_pct([[4.0, 12.0]]).shape == (1, 2)


@pytest.mark.source("HM Revenue and Customs, Notice 226", provenance="memory")
def test_duty_rows_begin_and_end_where_the_table_says() -> None:
    falls = np.array([0.0, 6.9, 7.0, 10.4, 10.5, 17.2, 17.3, 36.0, 36.1, 89.7, 89.8, 100.7])
    factors = law.uk_duty_factor(1.110, 1.110 - falls / 1000.0)
    expected = [0.125, 0.125, 0.126, 0.126, 0.127, 0.127, 0.128, 0.129, 0.130, 0.134, 0.135, 0.135]
    assert factors.tolist() == expected


def test_every_tenth_of_a_degree_has_a_row_and_factors_rise() -> None:
    falls = np.arange(0, 1008) / 10.0
    factors = law.uk_duty_factor(1.110, 1.110 - falls / 1000.0)
    assert (np.diff(factors) >= 0).all()
    assert len(np.unique(factors)) == 11


def test_nonsense_is_refused() -> None:
    for call in (
        lambda: law.uk_duty_factor(1.120, 1.010),
        lambda: law.uk_duty_factor(1.040, 1.050),
        lambda: law.uk_duty_factor(np.nan, 1.0),
        lambda: law.uk_duty_strength_pct(-0.1),
        lambda: law.eu_label_tolerance_pct(1.1),
        lambda: law.us_label_strength_pct(np.nan),
        lambda: law.us_label_tolerance_pct(0.4),
    ):
        with pytest.raises(OutOfRange, match="not between"):
            call()
