"""Alcohol and real extract from two gravities."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from gyle.errors import OutOfRange
from gyle.science import alcohol, balling
from gyle.science.ethanol import ethanol_water_gravity_sg
from gyle.science.extract import degrees_plato, extract_g_L, specific_gravity, specific_gravity_of_extract
from gyle.science.legal_strength import uk_duty_factor

E = 2.0665


def tabarie(real: float, strength: float) -> float:
    """Solve the rule the slow way: nested brackets."""

    def misfit(sg: float) -> float:
        sugar = float(specific_gravity_of_extract(10.0 * real * sg * 0.9982012))
        share = brentq(
            lambda p: p * float(ethanol_water_gravity_sg(100.0 * p)) - strength * sg / 100.0,
            0.0,
            0.6,
            xtol=1e-15,
        )
        return sugar + float(ethanol_water_gravity_sg(100.0 * share)) - 1.0 - sg

    return float(brentq(misfit, 0.85, 1.25, xtol=1e-14))


@pytest.mark.parametrize("real", [0.0, 4.5, 13.0, 25.0])
@pytest.mark.parametrize("strength", [0.0, 4.0, 12.0, 25.0])
def test_gravity_agrees_with_nested_brackets(real: float, strength: float) -> None:
    assert abs(alcohol.beer_gravity(real, strength) - tabarie(real, strength)) < 1e-8


@given(st.floats(0.0, 45.0))
def test_beer_without_alcohol_is_wort(plato: float) -> None:
    assert abs(alcohol.beer_gravity(plato, 0.0) - specific_gravity(plato)) < 1e-11


@given(st.floats(0.0, 15.0), st.floats(0.0, 15.0))
def test_sugar_raises_and_alcohol_lowers_gravity(real: float, strength: float) -> None:
    here = alcohol.beer_gravity(real, strength)
    assert alcohol.beer_gravity(real + 0.01, strength) > here
    assert alcohol.beer_gravity(real, strength + 0.01) < here


@given(st.floats(0.5, 33.0), st.floats(0.0, 0.999), st.floats(1.96, 2.3))
def test_two_gravities_give_back_what_made_them(plato: float, share: float, e: float) -> None:
    most = balling.balling_alcohol(plato, 0.0, extract_per_ethanol=e)
    strength = share * most
    real = plato - (e - (e - 1.0) * plato / 100.0) * strength
    final = alcohol.beer_gravity(real, strength)
    beer = alcohol.from_gravities(specific_gravity(plato), final, extract_per_ethanol=e)
    assert abs(beer.alcohol_pct - strength) < 1e-6
    assert abs(beer.real_extract_pct - real) < 1e-6
    assert abs(beer.abv_pct - alcohol.alcohol_by_volume_pct(strength, final)) < 1e-6


@given(st.floats(1.0, 1.2))
def test_nothing_fermented_is_no_alcohol(gravity: float) -> None:
    beer = alcohol.from_gravities(gravity, gravity, extract_per_ethanol=E)
    assert 0.0 <= beer.alcohol_pct < 1e-6
    assert abs(beer.real_extract_pct - max(float(degrees_plato(gravity)), 0.0)) < 1e-6


@given(st.floats(1.03, 1.14))
def test_lower_final_gravity_is_stronger(original: float) -> None:
    final = np.linspace(original, 1.0, 30)
    beer = alcohol.from_gravities(original, final, extract_per_ethanol=E)
    assert (np.diff(beer.abv_pct) > 0).all()
    assert (np.diff(beer.real_extract_pct) < 0).all()


@pytest.mark.source("Cutaia, Reid, Speers, J. Inst. Brew. 115, 318-327, 2009, means", provenance="retrieved")
def test_tabarie_gives_the_measured_apparent_extract() -> None:
    strength, real = [4.72, 5.14, 6.56, 3.82, 4.21], [5.28, 4.88, 5.38, 3.80, 4.74]
    apparent = degrees_plato(alcohol.beer_gravity(real, strength))
    np.testing.assert_allclose(apparent, [3.11, 2.51, 2.45, 2.01, 2.79], atol=0.04)


@pytest.mark.source("HM Revenue and Customs, Notice 226", provenance="memory")
def test_duty_table_agrees_without_fitting() -> None:
    original, final = np.meshgrid([1.040, 1.050, 1.060, 1.080, 1.100], [1.005, 1.012, 1.016])
    known = original - final >= 0.026
    original, final = original[known], final[known]
    legal = 1000.0 * (original - final) * uk_duty_factor(original, final)
    ours = alcohol.from_gravities(original, final, extract_per_ethanol=E).abv_pct
    assert np.abs(ours / legal - 1.0).max() < 0.012


def test_plato_and_gravity_are_the_same_question() -> None:
    by_plato = alcohol.from_extracts([12.0, 24.0], [2.5, 6.0], extract_per_ethanol=E)
    by_gravity = alcohol.from_gravities(
        specific_gravity([12.0, 24.0]), specific_gravity([2.5, 6.0]), extract_per_ethanol=E
    )
    for one, other in zip(by_plato, by_gravity, strict=True):
        np.testing.assert_array_equal(one, other)


@pytest.mark.source("Balling's balance; unit standard deviation of the yeast's share", provenance="computed-with-numpy")
def test_less_yeast_is_more_alcohol() -> None:
    e = 1.9565 + np.array([0.11, 0.12])
    beer = alcohol.from_gravities(1.100, 1.020, extract_per_ethanol=e)
    assert abs((beer.abv_pct[1] - beer.abv_pct[0]) / 0.01 + 3.7) < 0.3


def test_arrays_broadcast() -> None:
    beer = alcohol.from_gravities([[1.05], [1.10]], [1.01, 1.02, 1.03], extract_per_ethanol=E)
    assert all(figure.shape == (2, 3) for figure in beer)
    alone = alcohol.from_gravities(1.10, 1.03, extract_per_ethanol=E)
    assert beer.abv_pct[1, 2] == alone.abv_pct
    grid = alcohol.beer_gravity([[4.0], [8.0]], [3.0, 5.0])
    assert grid[1, 0] == alcohol.beer_gravity(8.0, 3.0)


def test_grams_in_a_litre_are_the_same_in_beer_and_in_its_two_solutions() -> None:
    gravity, sugar, share = alcohol.binary_solutions(np.asarray(6.0), np.asarray(7.0))
    assert abs(extract_g_L(sugar) - 60.0 * gravity * 0.9982012) < 1e-6
    ethanol_kg_L = share * ethanol_water_gravity_sg(100.0 * share)
    assert abs(ethanol_kg_L - 0.07 * gravity) < 1e-9


def test_impossible_readings_are_refused_and_named() -> None:
    with pytest.raises(OutOfRange, match=r"1\.06 is above the original"):
        alcohol.from_gravities(1.05, [1.01, 1.06], extract_per_ethanol=E)
    with pytest.raises(OutOfRange, match=r"0\.98 is lower than fermenting all"):
        alcohol.from_gravities([1.06, 1.10], [0.98, 1.02], extract_per_ethanol=E)
    for call in (
        lambda: alcohol.from_gravities(np.nan, 1.01, extract_per_ethanol=E),
        lambda: alcohol.from_gravities(1.05, np.nan, extract_per_ethanol=E),
        lambda: alcohol.from_gravities(1.05, 1.01, extract_per_ethanol=1.0),
        lambda: alcohol.from_extracts(50.0, 3.0, extract_per_ethanol=E),
        lambda: alcohol.from_extracts(12.0, np.nan, extract_per_ethanol=E),
        lambda: alcohol.beer_gravity(np.nan, 5.0),
        lambda: alcohol.beer_gravity(5.0, 41.0),
        lambda: alcohol.alcohol_by_volume_pct(-1.0, 1.0),
        lambda: alcohol.alcohol_by_volume_pct(5.0, np.inf),
    ):
        with pytest.raises(OutOfRange, match="not between"):
            call()
