"""Two scales of diastatic power, and the mean of a grist."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science.diastatic_power import lintner_of_wk, mean_diastatic_power_lintner, wk_of_lintner


@given(st.floats(0.0, 250.0))
def test_scales_are_inverse(lintner: float) -> None:
    assert float(lintner_of_wk(wk_of_lintner(lintner))) == pytest.approx(lintner, abs=1e-9)


MALTS = st.lists(st.tuples(st.floats(0.01, 20.0), st.floats(0.0, 160.0)), min_size=1, max_size=8)


@given(MALTS, st.floats(0.1, 10.0))
def test_mean_lies_between_and_ignores_the_size_of_the_mash(malts: list[tuple[float, float]], size: float) -> None:
    mass, power = np.array(malts).T
    mean = float(mean_diastatic_power_lintner(mass, power))
    assert power.min() - 1e-9 <= mean <= power.max() + 1e-9
    assert float(mean_diastatic_power_lintner(size * mass, power)) == pytest.approx(mean, abs=1e-9)


def test_draws_keep_their_axis() -> None:
    mass = np.array([[4.0], [1.0]])
    power = np.array([[80.0, 100.0, 120.0], [0.0, 0.0, 0.0]])
    assert mean_diastatic_power_lintner(mass, power).tolist() == [64.0, 80.0, 96.0]


def test_what_means_nothing_is_refused() -> None:
    with pytest.raises(OutOfRange, match="WK"):
        lintner_of_wk(-17.0)
    with pytest.raises(OutOfRange, match="L"):
        wk_of_lintner(np.nan)
    with pytest.raises(OutOfRange, match="mass of the grist"):
        mean_diastatic_power_lintner([0.0, 0.0], [80.0, 80.0])
