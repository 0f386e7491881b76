"""Beer away from 20 °C."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science.alcohol import beer_gravity
from gyle.science.beer_density import beer_kg_L, beer_volume_ratio
from gyle.science.density import volume_at_20C_ratio
from gyle.science.ethanol import ethanol_water_kg_m3


@given(st.floats(0.0, 20.0), st.floats(0.0, 15.0))
def test_at_20_degrees_it_is_the_gravity(real: float, strength: float) -> None:
    assert abs(beer_volume_ratio(20.0, real_extract_pct=real, alcohol_pct=strength) - 1.0) < 1e-12
    kg_L = beer_kg_L(real, strength, temperature_C=20.0)
    assert abs(kg_L - beer_gravity(real, strength) * 0.9982012) < 1e-12


@given(st.floats(0.0, 30.0), st.floats(0.0, 40.0))
def test_without_alcohol_it_expands_as_wort(real: float, t: float) -> None:
    beer = beer_volume_ratio(t, real_extract_pct=real, alcohol_pct=0.0)
    assert abs(beer * volume_at_20C_ratio(real, t) - 1.0) < 5e-6


@pytest.mark.source("OIML R 22, 1975", provenance="retrieved")
def test_without_extract_it_expands_as_ethanol_in_water() -> None:
    for t in (2.0, 12.0, 30.0):
        mixture = ethanol_water_kg_m3(6.0, 20.0) / ethanol_water_kg_m3(6.0, t)
        assert abs(beer_volume_ratio(t, real_extract_pct=0.0, alcohol_pct=6.0) - mixture) < 1e-5


@given(st.floats(0.0, 12.0), st.floats(0.0, 12.0), st.floats(0.0, 40.0))
def test_mass_is_kept(real: float, strength: float, t: float) -> None:
    ratio = beer_volume_ratio(t, real_extract_pct=real, alcohol_pct=strength)
    cold, home = (beer_kg_L(real, strength, temperature_C=x) for x in (t, 20.0))
    assert abs(cold * ratio - home) < 1e-12


def test_stronger_beer_shrinks_more() -> None:
    ratio = beer_volume_ratio(3.0, real_extract_pct=5.0, alcohol_pct=np.array([0.0, 4.0, 8.0]))
    assert (np.diff(ratio) < 0).all()
    table = beer_volume_ratio([2.0, 4.0], real_extract_pct=[[5.0], [6.0], [7.0]], alcohol_pct=4.0)
    assert table.shape == (3, 2)


def test_nonsense_is_refused() -> None:
    for real, strength, t in ((np.nan, 4.0, 4.0), (5.0, np.nan, 4.0), (5.0, 4.0, np.nan), (5.0, 4.0, 60.0)):
        with pytest.raises(OutOfRange, match="not between"):
            beer_volume_ratio(t, real_extract_pct=real, alcohol_pct=strength)
        with pytest.raises(OutOfRange, match="not between"):
            beer_kg_L(real, strength, temperature_C=t)
