"""What becomes of extract, by mass."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import balling
from gyle.science.alcohol import from_gravities
from gyle.science.extract import degrees_plato, specific_gravity

PER_ETHANOL = st.floats(1.9565, 2.4)


@given(st.floats(0.0, 20.0), st.floats(0.0, 20.0), PER_ETHANOL)
def test_balance_survives_the_round_trip(strength: float, real: float, e: float) -> None:
    original = balling.balling_original_extract(strength, real, extract_per_ethanol=e)
    if original <= 46.0:
        back = balling.balling_alcohol(original, real, extract_per_ethanol=e)
        assert abs(back - strength) < 1e-9


@given(st.floats(0.001, 1e4), st.floats(0.0, 0.45), st.floats(0.0, 1.0), PER_ETHANOL)
def test_no_mass_is_lost(total: float, plato: float, share: float, e: float) -> None:
    extract = total * plato
    beer = balling.fermented(extract, share * extract, total, extract_per_ethanol=e)
    assert abs(beer.beer_kg + beer.co2_kg + beer.yeast_kg - total) < 1e-9 * total
    ethanol = beer.alcohol_pct * beer.beer_kg / 100.0
    left = beer.real_extract_pct * beer.beer_kg / 100.0
    assert abs(ethanol + left + beer.co2_kg + beer.yeast_kg - extract) < 1e-9 * total
    assert beer.yeast_kg >= 0.0


@given(st.floats(2.0, 30.0), st.floats(0.05, 0.95))
def test_forward_and_backward_agree(plato: float, share: float) -> None:
    """Brewing by mass and then reading two gravities gives the same beer."""
    beer = balling.fermented(plato, share * plato, 100.0, extract_per_ethanol=2.0665)
    read = from_gravities(specific_gravity(plato), beer.gravity_sg, extract_per_ethanol=2.0665)
    assert abs(read.abv_pct - beer.abv_pct) < 1e-6
    assert abs(read.real_extract_pct - beer.real_extract_pct) < 1e-6
    original = balling.balling_original_extract(beer.alcohol_pct, beer.real_extract_pct, extract_per_ethanol=2.0665)
    assert abs(original - plato) < 1e-9


def test_nothing_fermented_is_wort() -> None:
    beer = balling.fermented([2.0, 4.0], 0.0, 20.0, extract_per_ethanol=2.0665)
    np.testing.assert_allclose(beer.gravity_sg, specific_gravity([10.0, 20.0]), atol=1e-11)
    assert (beer.alcohol_pct == 0.0).all()
    assert (beer.co2_kg == 0.0).all()


@pytest.mark.source("molar masses: ethanol 46.069, hexose 180.156, sucrose 342.297", provenance="computed-with-numpy")
def test_a_simple_sugar_gives_a_twentieth_less_alcohol() -> None:
    mixed = balling.fermented(2.0, 1.5, 20.0, extract_per_ethanol=[2.0665, 2.175])
    ethanol = mixed.alcohol_pct * mixed.beer_kg
    by_moles = (2 * 46.069 / 180.156) / (4 * 46.069 / 342.297)
    assert abs(ethanol[1] / ethanol[0] - by_moles) < 0.001


@pytest.mark.source(
    "mass balance: sugar added to 20 L of 1.080 at 78 % apparent attenuation",
    provenance="computed-with-scipy",
)
def test_late_sugar_raises_attenuation_not_the_yeast() -> None:
    """Two kilograms of sucrose on top: 1.1111 to 1.0088, 91 % apparent, 13.8 % by volume."""
    wort_kg = 20.0 * 1.080 * 0.9982012
    malt_kg = wort_kg * float(degrees_plato(1.080)) / 100.0
    malt_final = specific_gravity(float(degrees_plato(1.080)) * 0.22)
    malt = from_gravities(1.080, malt_final, extract_per_ethanol=2.0665)
    real, e = float(malt.real_extract_pct) / 100.0, 2.0665
    left_kg = real * (wort_kg - (e - 1) / e * malt_kg) / (1.0 - real * (e - 1) / e)
    beer = balling.fermented(malt_kg + 2.0, malt_kg + 2.0 - left_kg, wort_kg + 2.0, extract_per_ethanol=e)
    original = 100.0 * (malt_kg + 2.0) / (wort_kg + 2.0)
    assert abs(specific_gravity(original) - 1.1111) < 0.0003
    assert abs(beer.gravity_sg - 1.0088) < 0.0006
    assert abs(beer.abv_pct - 13.8) < 0.08
    assert abs(100.0 * (1.0 - degrees_plato(beer.gravity_sg) / original) - 91.0) < 0.6


def test_impossible_masses_are_refused() -> None:
    with pytest.raises(OutOfRange, match="more extract"):
        balling.fermented(2.0, [1.0, 2.1], 20.0, extract_per_ethanol=2.0665)
    with pytest.raises(OutOfRange, match="46 %"):
        balling.fermented(10.0, 1.0, 20.0, extract_per_ethanol=2.0665)
    for arguments in (
        (np.nan, 0.0, 20.0),
        (2.0, np.nan, 20.0),
        (2.0, 1.0, np.nan),
        (-1.0, 0.0, 20.0),
        (0.0, 0.0, 0.0),
    ):
        with pytest.raises(OutOfRange, match="not between"):
            balling.fermented(*arguments, extract_per_ethanol=2.0665)
    for call in (
        lambda: balling.fermented(2.0, 1.0, 20.0, extract_per_ethanol=np.nan),
        lambda: balling.balling_alcohol(47.0, 5.0, extract_per_ethanol=2.0665),
        lambda: balling.balling_alcohol(12.0, np.nan, extract_per_ethanol=2.0665),
        lambda: balling.balling_original_extract(50.0, 5.0, extract_per_ethanol=2.0665),
        lambda: balling.balling_original_extract(5.0, 5.0, extract_per_ethanol=3.0),
    ):
        with pytest.raises(OutOfRange, match="not between"):
            call()
