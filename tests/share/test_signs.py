"""A true minus in front of numbers below nought, and hyphens left where they are."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.share.signs import true_minus


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("-2.4 % (DIN form)", "−2.4 % (DIN form)"),
        ("anions 7.05 mEq/L: -2.4 to -1.0", "anions 7.05 mEq/L: −2.4 to −1.0"),
        ("(-5)", "(−5)"),
        ("60-120 mg/L", "60-120 mg/L"),
        ("lactic-80 of 2026-11-25", "lactic-80 of 2026-11-25"),
        ("dry-hopped, 4 %-5", "dry-hopped, 4 %-5"),
        ("--mash-ph 5.4", "--mash-ph 5.4"),
        ("", ""),
    ],
)
def test_only_a_minus_becomes_one(text: str, said: str) -> None:
    assert true_minus(text) == said


@given(st.floats(-1e6, -1e-3))
def test_any_number_below_nought_has_a_true_minus(value: float) -> None:
    assert true_minus(f"it is {value:f} °C").startswith("it is −")
