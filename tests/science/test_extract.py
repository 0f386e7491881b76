"""Extract: two scales, one curve, and the way back."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from gyle.errors import OutOfRange
from gyle.science import extract

GRAVITIES = st.floats(0.965, 1.205)
EXTRACTS = st.floats(-5.0, 45.0)


@given(GRAVITIES)
def test_gravity_survives_the_round_trip(sg: float) -> None:
    assert abs(extract.specific_gravity(extract.degrees_plato(sg)) - sg) < 1e-11


@given(EXTRACTS)
def test_extract_survives_the_round_trip(plato: float) -> None:
    assert abs(extract.degrees_plato(extract.specific_gravity(plato)) - plato) < 1e-9


@given(GRAVITIES)
def test_grams_in_a_litre_survive_the_round_trip(sg: float) -> None:
    assert abs(extract.specific_gravity_of_extract(extract.extract_g_L(sg)) - sg) < 1e-11


def test_inverse_agrees_with_a_bracketing_solver() -> None:
    for plato in (-5.0, 0.0, 12.0, 32.0, 45.0):
        root = brentq(lambda sg, p=plato: float(extract.degrees_plato(sg)) - p, 0.95, 1.21, xtol=1e-14)
        assert abs(extract.specific_gravity(plato) - root) < 1e-12


def test_more_sugar_is_always_heavier() -> None:
    plato = np.linspace(-10.0, 46.0, 2001)
    assert (np.diff(extract.specific_gravity(plato)) > 0).all()
    grams = np.linspace(-100.0, 550.0, 2001)
    assert (np.diff(extract.specific_gravity_of_extract(grams)) > 0).all()


@given(st.lists(EXTRACTS, min_size=1, max_size=5))
def test_array_is_each_scalar(platos: list[float]) -> None:
    together = extract.specific_gravity(platos)
    assert together.shape == (len(platos),)
    assert together.tolist() == [float(extract.specific_gravity(p)) for p in platos]


@pytest.mark.source("NBS Circular C440, 1942", provenance="retrieved")
def test_two_tables_agree_over_a_brewers_range() -> None:
    sg = np.linspace(1.002, 1.100, 200)
    difference = extract.degrees_plato(sg) - extract.degrees_brix_nbs(sg)
    assert np.abs(difference).max() < 0.0065
    assert abs(extract.degrees_plato(1.14) - extract.degrees_brix_nbs(1.14)) < 0.04


def test_a_litre_holds_what_its_mass_and_extract_say() -> None:
    plato = np.array([2.0, 12.0, 30.0])
    sg = extract.specific_gravity(plato)
    np.testing.assert_allclose(extract.extract_g_L(sg), 10.0 * plato * extract.solution_kg_L(plato), rtol=1e-12)
    np.testing.assert_allclose(
        extract.gravity_points_per_kg_L(plato) * extract.extract_g_L(sg) / 1000.0, 1000.0 * (sg - 1.0)
    )


@pytest.mark.parametrize(
    ("function", "bad"),
    [
        (extract.degrees_plato, 0.94),
        (extract.degrees_plato, 1.23),
        (extract.extract_g_L, 12.0),
        (extract.specific_gravity, 47.0),
        (extract.specific_gravity, -11.0),
        (extract.solution_kg_L, 100.0),
        (extract.specific_gravity_of_extract, 600.0),
        (extract.gravity_points_per_kg_L, 0.0),
        (extract.degrees_brix_nbs, 0.999),
        (extract.degrees_plato_lincoln, 2.0),
    ],
)
def test_nonsense_is_refused(function, bad) -> None:
    for value in (bad, np.nan, [1.0, np.nan], np.inf):
        with pytest.raises(OutOfRange, match="not between"):
            function(value)
