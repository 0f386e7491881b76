"""The refractometer before and after the yeast."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from gyle.errors import OutOfRange
from gyle.science import refractometer
from gyle.science.alcohol import from_gravities
from gyle.science.balling import balling_alcohol
from gyle.science.extract import degrees_plato, specific_gravity

E = 2.0665


@given(st.floats(-5.0, 85.0))
def test_sugar_survives_the_round_trip(brix: float) -> None:
    there = refractometer.refractive_index_of_brix(brix)
    assert abs(refractometer.brix_of_refractive_index(there) - brix) < 1e-8


def test_more_sugar_bends_more() -> None:
    assert (np.diff(refractometer.refractive_index_of_brix(np.linspace(-5.0, 85.0, 901))) > 0).all()


@given(st.floats(1.0, 33.0), st.floats(0.0, 0.98), st.floats(0.95, 1.1))
def test_beer_survives_the_round_trip(plato: float, share: float, factor: float) -> None:
    strength = share * balling_alcohol(plato, 0.0, extract_per_ethanol=E)
    real = plato - (E - (E - 1.0) * plato / 100.0) * strength
    reading = refractometer.beer_brix(real, strength, wort_factor=factor)
    beer = refractometer.beer_from_brix(reading, original_extract_pct=plato, wort_factor=factor, extract_per_ethanol=E)
    assert abs(beer.alcohol_pct - strength) < 1e-7
    assert abs(beer.real_extract_pct - real) < 1e-6
    assert abs(from_gravities(specific_gravity(plato), beer.gravity_sg, extract_per_ethanol=E).abv_pct
               - beer.abv_pct) < 1e-5  # fmt: skip


def test_agrees_with_a_bracketing_solver() -> None:
    plato, factor, reading = 20.0, 1.04, 11.0
    lost = E - (E - 1.0) * plato / 100.0

    def misfit(strength: float) -> float:
        return float(refractometer.beer_brix(plato - lost * strength, strength, wort_factor=factor)) - reading

    strength = brentq(misfit, 0.0, plato / lost - 1e-9, xtol=1e-13)
    beer = refractometer.beer_from_brix(reading, original_extract_pct=plato, wort_factor=factor, extract_per_ethanol=E)
    assert abs(beer.alcohol_pct - strength) < 1e-9


def test_fermenting_lowers_the_reading_less_than_the_gravity() -> None:
    original = 1.060
    final = np.linspace(1.050, 1.005, 10)
    beer = from_gravities(original, final, extract_per_ethanol=E)
    reading = refractometer.beer_brix(beer.real_extract_pct, beer.alcohol_pct, wort_factor=1.0)
    assert (np.diff(reading) < 0).all()
    assert (reading > degrees_plato(final)).all()


@pytest.mark.source("CRC Handbook of Chemistry and Physics, aqueous ethanol at 20 °C", provenance="memory")
def test_alcohol_alone_reads_as_the_handbook_says() -> None:
    for strength, index in ((1.0, 1.3336), (5.0, 1.3360), (10.0, 1.3395)):
        expected = refractometer.brix_of_refractive_index(index)
        assert abs(refractometer.beer_brix(0.0, strength, wort_factor=1.0) - expected) < 0.1


@pytest.mark.source("Barth through Simmonds, Alcohol, 1919", provenance="retrieved")
def test_barths_rule_confirms_the_balance() -> None:
    for original, final in ((1.040, 1.008), (1.050, 1.010), (1.070, 1.014), (1.100, 1.020)):
        beer = from_gravities(original, final, extract_per_ethanol=E)
        index = refractometer.refractive_index_of_brix(
            refractometer.beer_brix(beer.real_extract_pct, beer.alcohol_pct, wort_factor=1.0)
        )
        assert abs(refractometer.alcohol_barth_pct(final, index) - beer.alcohol_pct) < 0.35


@pytest.mark.source("sensitivity of the balance to a tenth of a degree", provenance="computed-with-numpy")
def test_a_tenth_of_a_degree_is_worth_what_is_said() -> None:
    beer = refractometer.beer_from_brix([7.5, 7.6], original_extract_pct=14.741, wort_factor=1.0, extract_per_ethanol=E)
    assert abs(np.diff(beer.gravity_sg)[0] - 0.00065) < 0.0001


def test_arrays_broadcast() -> None:
    beer = refractometer.beer_from_brix(
        [[7.0], [8.0]], original_extract_pct=[14.0, 15.0, 16.0], wort_factor=1.04, extract_per_ethanol=E
    )
    assert all(figure.shape == (2, 3) for figure in beer)
    alone = refractometer.beer_from_brix(8.0, original_extract_pct=16.0, wort_factor=1.04, extract_per_ethanol=E)
    assert abs(beer.gravity_sg[1, 2] - alone.gravity_sg) < 1e-14
    np.testing.assert_allclose(refractometer.wort_extract_pct([10.4, 20.8], wort_factor=1.04), [10.0, 20.0])


def test_impossible_readings_are_refused_and_named() -> None:
    known = {"original_extract_pct": 12.0, "wort_factor": 1.0, "extract_per_ethanol": E}
    with pytest.raises(OutOfRange, match=r"13 Bx is not between .* none"):
        refractometer.beer_from_brix([7.0, 13.0], **known)
    with pytest.raises(OutOfRange, match="1 Bx is not between"):
        refractometer.beer_from_brix(1.0, **known)
    for call in (
        lambda: refractometer.beer_from_brix(np.nan, **known),
        lambda: refractometer.beer_from_brix(7.0, **(known | {"original_extract_pct": np.nan})),
        lambda: refractometer.beer_from_brix(7.0, **(known | {"wort_factor": 2.0})),
        lambda: refractometer.beer_from_brix(7.0, **(known | {"extract_per_ethanol": 0.5})),
        lambda: refractometer.beer_brix(-1.0, 4.0, wort_factor=1.0),
        lambda: refractometer.beer_brix(5.0, np.nan, wort_factor=1.0),
        lambda: refractometer.wort_extract_pct(60.0, wort_factor=1.0),
        lambda: refractometer.brix_of_refractive_index(1.2),
        lambda: refractometer.refractive_index_of_brix(np.nan),
        lambda: refractometer.alcohol_barth_pct(np.nan, 1.34),
        lambda: refractometer.alcohol_barth_pct(1.01, 1.5),
    ):
        with pytest.raises(OutOfRange, match="not between"):
            call()
