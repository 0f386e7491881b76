"""Efficiencies chain, and late sugar stays out of the brewhouse figure."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science.efficiency import efficiencies

SHARE = st.floats(0.05, 1.0)


@given(SHARE, SHARE, SHARE, st.floats(0.0, 5.0))
def test_the_chain_multiplies(conversion: float, lauter: float, transfer: float, sugar: float) -> None:
    dissolved = 8.0 * conversion
    kettle = dissolved * lauter
    made = efficiencies(8.0, dissolved, kettle_kg=kettle, late_sugar_kg=sugar, fermenter_kg=transfer * (kettle + sugar))
    assert float(made.conversion) == pytest.approx(conversion)
    assert float(made.lauter) == pytest.approx(lauter)
    assert float(made.mash) == pytest.approx(conversion * lauter)
    assert float(made.kettle) == pytest.approx(transfer)
    assert float(made.brewhouse) == pytest.approx(conversion * lauter * transfer)


def test_draws_equal_scalars() -> None:
    fermenter = np.array([5.5, 5.8, 6.0])
    made = efficiencies(7.7, 7.3, kettle_kg=6.5, late_sugar_kg=0.5, fermenter_kg=fermenter)
    alone = [
        float(efficiencies(7.7, 7.3, kettle_kg=6.5, late_sugar_kg=0.5, fermenter_kg=f).brewhouse) for f in fermenter
    ]
    assert made.brewhouse.tolist() == pytest.approx(alone)


def test_what_means_nothing_is_refused() -> None:
    with pytest.raises(OutOfRange, match="potential"):
        efficiencies(0.0, 7.3, kettle_kg=6.5, late_sugar_kg=0.0, fermenter_kg=5.0)
    with pytest.raises(OutOfRange, match="fermenter"):
        efficiencies(7.7, 7.3, kettle_kg=6.5, late_sugar_kg=0.0, fermenter_kg=np.nan)
