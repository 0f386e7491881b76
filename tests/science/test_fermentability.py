"""From exposure to the share a yeast can take."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science.conversion import ANCHOR_FIT, conversion_efficiency, rest, starting_state
from gyle.science.fermentability import attenuation_limit, fermentable_fraction, grist_fermentable_fraction

LIMITS = {"floor": 0.24, "ceiling": 0.85}


@given(st.floats(0.0, 50.0), st.floats(0.0, 5.0))
def test_limit_rises_from_floor_to_ceiling(exposure: float, more: float) -> None:
    limit = float(attenuation_limit(exposure, **LIMITS))
    assert 0.24 <= limit <= 0.85
    assert float(attenuation_limit(exposure + more, **LIMITS)) >= limit
    assert float(attenuation_limit(0.0, **LIMITS)) == 0.24


@given(st.lists(st.floats(0.0, 20.0), min_size=1, max_size=20))
def test_draws_equal_scalars_and_keep_the_ratio(exposures: list[float]) -> None:
    together = fermentable_fraction(exposures, **LIMITS)
    assert together.tolist() == pytest.approx([float(fermentable_fraction(x, **LIMITS)) for x in exposures])
    assert together / attenuation_limit(exposures, **LIMITS) == pytest.approx(0.8192)


@pytest.mark.source("fitted reduced kinetics", provenance="ours")
def test_sheet_values_refer_to_an_hour_at_66() -> None:
    state = rest(starting_state(1.0, 1.0), 66.0, minutes=60.0, parameters=ANCHOR_FIT)
    model = fermentable_fraction(state.exposure, **LIMITS)
    assert grist_fermentable_fraction([0.68, 0.30], model) == pytest.approx([0.68, 0.30], abs=1e-4)
    assert float(conversion_efficiency(state.accessible, eventual=0.97)) == pytest.approx(0.95, abs=0.005)


@given(st.floats(0.0, 1.0), st.floats(0.0, 0.7))
def test_scaled_fraction_never_passes_its_cap(sheet: float, model: float) -> None:
    assert 0.0 <= float(grist_fermentable_fraction(sheet, model)) <= 0.92


def test_what_means_nothing_is_refused() -> None:
    with pytest.raises(OutOfRange, match="exposure"):
        attenuation_limit([1.0, np.nan], **LIMITS)
    with pytest.raises(OutOfRange, match="exposure"):
        fermentable_fraction(-0.1, **LIMITS)
    with pytest.raises(OutOfRange, match="fraction of a malt"):
        grist_fermentable_fraction(1.1, 0.6)
    with pytest.raises(OutOfRange, match="eventual"):
        conversion_efficiency(0.9, eventual=1.2)
