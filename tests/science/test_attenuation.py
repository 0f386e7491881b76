"""Attenuation in its three senses."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import attenuation
from gyle.science.alcohol import from_gravities
from gyle.science.balling import fermented
from gyle.science.extract import degrees_plato


@given(st.floats(1.0, 40.0), st.floats(0.0, 0.999), st.floats(1.96, 2.3))
def test_by_mass_is_the_share_the_yeast_took(plato: float, share: float, e: float) -> None:
    beer = fermented(plato, share * plato, 100.0, extract_per_ethanol=e)
    by_mass = attenuation.real_attenuation_by_mass_pct(beer.alcohol_pct, beer.real_extract_pct, extract_per_ethanol=e)
    assert abs(by_mass - 100.0 * share) < 1e-8


@given(st.floats(1.03, 1.14), st.floats(0.5, 0.95))
def test_apparent_is_above_by_mass_is_above_simple(original: float, share: float) -> None:
    final = original - share * (original - 1.0)
    beer = from_gravities(original, final, extract_per_ethanol=2.0665)
    plato = degrees_plato(original)
    apparent = attenuation.apparent_attenuation_pct(plato, degrees_plato(final))
    by_mass = attenuation.real_attenuation_by_mass_pct(
        beer.alcohol_pct, beer.real_extract_pct, extract_per_ethanol=2.0665
    )
    simple = attenuation.real_attenuation_pct(plato, beer.real_extract_pct)
    assert apparent > by_mass > simple


def test_limits() -> None:
    assert attenuation.apparent_attenuation_pct(12.0, 12.0) == 0.0
    assert attenuation.apparent_attenuation_pct(12.0, -2.4) == pytest.approx(120.0)
    assert attenuation.real_attenuation_pct(12.0, 0.0) == 100.0
    np.testing.assert_allclose(attenuation.apparent_attenuation_pct([10.0, 20.0], 5.0), [50.0, 75.0])


def test_nonsense_is_refused() -> None:
    for call in (
        lambda: attenuation.apparent_attenuation_pct(0.0, 0.0),
        lambda: attenuation.apparent_attenuation_pct(12.0, np.nan),
        lambda: attenuation.real_attenuation_pct(np.nan, 3.0),
        lambda: attenuation.real_attenuation_pct(12.0, -1.0),
        lambda: attenuation.real_attenuation_by_mass_pct(np.nan, 3.0, extract_per_ethanol=2.0665),
        lambda: attenuation.real_attenuation_by_mass_pct(4.0, 0.0, extract_per_ethanol=2.0665),
        lambda: attenuation.real_attenuation_by_mass_pct(4.0, 3.0, extract_per_ethanol=1.0),
    ):
        with pytest.raises(OutOfRange, match="not between"):
            call()
