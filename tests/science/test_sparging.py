"""Rinsing a bed: ideal stages, and tanks in series against their differential equations."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.linalg import expm
from scipy.special import gammaincc

from gyle.errors import OutOfRange
from gyle.science.sparging import (
    batch_lauter_efficiency,
    left_in_bed,
    left_in_bed_with_bypass,
    staged_lauter_efficiency,
)

TANKS = st.integers(1, 12)


@pytest.mark.source("matrix exponential of a chain of tanks", provenance="computed-with-scipy")
@given(st.floats(0.0, 6.0), TANKS)
def test_left_in_bed_solves_the_chain_of_tanks(theta: float, tanks: int) -> None:
    chain = tanks * (np.eye(tanks, k=-1) - np.eye(tanks))
    left = expm(chain * theta) @ np.full(tanks, 1.0 / tanks)
    assert float(left_in_bed(theta, tanks=tanks)) == pytest.approx(left.sum(), abs=1e-12)


@pytest.mark.source("incomplete gamma function", provenance="computed-with-scipy")
@given(st.floats(0.0, 50.0), st.integers(1, 64))
def test_left_in_bed_is_a_mean_of_gamma_tails(theta: float, tanks: int) -> None:
    tails = gammaincc(np.arange(1, tanks + 1), tanks * theta)
    assert float(left_in_bed(theta, tanks=tanks)) == pytest.approx(tails.mean(), abs=1e-12)


@given(st.floats(0.01, 3.0), TANKS)
def test_more_sparge_or_less_mixing_leaves_less(theta: float, tanks: int) -> None:
    left = float(left_in_bed(theta, tanks=tanks))
    assert max(0.0, 1.0 - theta) <= left + 1e-12 <= 1.0 + 1e-12  # not below plug flow
    assert float(left_in_bed(theta + 0.1, tanks=tanks)) < left
    less_mixed = float(left_in_bed(theta, tanks=tanks + 1))
    assert less_mixed <= left + 1e-12
    assert less_mixed < left or theta < 0.2  # both stay at plug flow while theta is small


def test_tanks_may_differ_from_draw_to_draw() -> None:
    tanks, theta = np.array([1, 2, 4, 8, 3]), np.array([1.0, 0.5, 2.0, 0.0, 0.7])
    alone = [float(left_in_bed(t, tanks=n)) for t, n in zip(theta, tanks, strict=True)]
    assert left_in_bed(theta, tanks=tanks).tolist() == pytest.approx(alone, abs=1e-15)
    assert left_in_bed(theta[:, None], tanks=tanks).shape == (5, 5)


@given(st.floats(0.0, 40.0), st.floats(1.0, 20.0), TANKS)
def test_bypass_is_sparge_that_was_not_there(sparge: float, held: float, tanks: int) -> None:
    all_past = left_in_bed_with_bypass(sparge, held, bypass=1.0, tanks=tanks)
    assert float(all_past) == pytest.approx(1.0)
    half = left_in_bed_with_bypass(sparge, held, bypass=0.5, tanks=tanks)
    assert float(half) == pytest.approx(float(left_in_bed(0.5 * sparge / held, tanks=tanks)), abs=1e-12)


@given(st.floats(0.0, 100.0), st.floats(0.5, 30.0), st.integers(1, 6))
def test_equal_drains_are_staged_drains_and_the_best(total: float, held: float, drains: int) -> None:
    equal = float(batch_lauter_efficiency(total, held, drains=drains))
    staged = staged_lauter_efficiency(np.full(drains, total / drains), held)
    assert float(staged) == pytest.approx(equal, abs=1e-12)
    uneven = np.full(drains, total / drains)
    if drains > 1:
        uneven[:2] *= [1.3, 0.7]
        assert float(staged_lauter_efficiency(uneven, held)) <= equal + 1e-12


@given(st.floats(0.1, 100.0), st.floats(0.5, 30.0))
def test_more_drains_rinse_better_up_to_a_limit(total: float, held: float) -> None:
    got = batch_lauter_efficiency(total, held, drains=[1.0, 2.0, 3.0, 10.0, 1e6, np.inf])
    assert (np.diff(got) >= -1e-12).all()
    assert got[-1] == pytest.approx(1.0 - np.exp(-total / held), abs=1e-12)


def test_draws_keep_their_axis() -> None:
    run_offs = np.array([[12.0, 13.0, 14.0], [6.0, 6.0, 6.0]])
    held = np.array([7.0, 7.5, 8.0])
    alone = [float(staged_lauter_efficiency(run_offs[:, i], held[i])) for i in range(3)]
    assert staged_lauter_efficiency(run_offs, held).tolist() == pytest.approx(alone)


def test_what_means_nothing_is_refused() -> None:
    with pytest.raises(OutOfRange, match="whole number"):
        left_in_bed(1.0, tanks=[2, 2.5])
    with pytest.raises(OutOfRange, match="tanks"):
        left_in_bed(1.0, tanks=0)
    with pytest.raises(OutOfRange, match="sparge over wort"):
        left_in_bed(np.nan, tanks=1)
    with pytest.raises(OutOfRange, match="bypass"):
        left_in_bed_with_bypass(12.0, 7.5, bypass=1.1, tanks=1)
    with pytest.raises(OutOfRange, match="held"):
        batch_lauter_efficiency(25.0, 0.0, drains=1)
    with pytest.raises(OutOfRange, match="drains"):
        batch_lauter_efficiency(25.0, 7.5, drains=np.nan)
    with pytest.raises(OutOfRange, match="run-off"):
        staged_lauter_efficiency([10.0, -1.0], 7.5)
