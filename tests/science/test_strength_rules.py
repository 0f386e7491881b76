"""Rules of thumb beside the mass balance."""

from __future__ import annotations

import numpy as np
import pytest

from gyle.errors import OutOfRange
from gyle.science import strength_rules
from gyle.science.alcohol import from_gravities

RULES = [
    strength_rules.abv_simple_rule_pct,
    strength_rules.abv_hall_1995_pct,
    strength_rules.abv_cutaia_2009_pct,
    strength_rules.abv_real_extract_rule_pct,
]


@pytest.mark.parametrize("rule", RULES)
def test_rules_agree_with_the_balance_on_ordinary_beer(rule) -> None:
    original = np.array([1.040, 1.045, 1.050])
    balance = from_gravities(original, 1.010, extract_per_ethanol=2.0665).abv_pct
    np.testing.assert_allclose(rule(original, 1.010), balance, atol=0.13)


@pytest.mark.parametrize("rule", RULES)
def test_nothing_fermented_is_no_alcohol(rule) -> None:
    np.testing.assert_allclose(rule([1.03, 1.10], [1.03, 1.10]), 0.0, atol=1e-12)


@pytest.mark.parametrize("rule", RULES)
def test_arrays_broadcast_and_rise(rule) -> None:
    table = rule(np.linspace(1.04, 1.12, 9)[:, None], [1.02, 1.01])
    assert table.shape == (9, 2)
    assert (np.diff(table, axis=0) > 0).all()
    assert (table[:, 1] > table[:, 0]).all()


def test_what_is_said_of_strong_beer_is_true() -> None:
    balance = from_gravities([1.100, 1.140], [1.020, 1.035], extract_per_ethanol=2.0665).abv_pct
    hall = strength_rules.abv_hall_1995_pct([1.100, 1.140], [1.020, 1.035]) - balance
    simple = strength_rules.abv_simple_rule_pct([1.100, 1.140], [1.020, 1.035]) - balance
    np.testing.assert_allclose(hall, [0.89, 2.13], atol=0.05)
    np.testing.assert_allclose(simple, [-0.19, -0.49], atol=0.05)


@pytest.mark.parametrize("rule", RULES)
def test_nonsense_is_refused(rule) -> None:
    for pair in ((np.nan, 1.01), (1.05, np.nan), (1.3, 1.01), (1.05, 0.9)):
        with pytest.raises(OutOfRange, match="not between"):
            rule(*pair)
