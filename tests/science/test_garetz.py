from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import garetz


@given(st.floats(1.0, 900.0), st.floats(11.0, 90.0), st.floats(1.0, 1.15), st.floats(0.5, 3.0), st.floats(0.0, 3000.0))
def test_the_answer_satisfies_its_own_hop_rate_factor(alpha, minutes, gravity, concentration, altitude):
    ibu = garetz.garetz_ibu(alpha, minutes, gravity_sg=gravity, concentration_factor=concentration, altitude_m=altitude)
    factor = garetz.garetz_hop_rate_factor(ibu, concentration_factor=concentration)
    strong = max(0.0, (concentration * (gravity - 1.0) - 0.050) / 0.2) + 1.0
    high = 1.0 + 0.02 * altitude / 0.3048 / 550.0
    plain = alpha * float(garetz.garetz_utilisation(minutes)) / (strong * high)
    assert ibu * factor == pytest.approx(plain, rel=1e-9)


def test_iteration_as_in_the_book_tends_to_the_same():
    ibu = 30.0
    for _ in range(60):
        ibu = 150.0 * 0.20 / float(garetz.garetz_hop_rate_factor(ibu, concentration_factor=1.0))
    got = garetz.garetz_ibu(150.0, 60.0, gravity_sg=1.040, concentration_factor=1.0, altitude_m=0.0)
    assert got == pytest.approx(ibu, rel=1e-12)


@pytest.mark.source("Hall 1997, smooth fit to Garetz's classes", provenance="memory")
def test_classes_follow_the_published_fit():
    middle = np.array([13.0, 18.0, 23.0, 28.0, 33.0, 38.0, 43.0, 48.0, 55.5, 65.5, 75.5, 85.5])
    fit = (7.2994 + 15.0746 * np.tanh((middle - 21.86) / 24.71)) / 100.0
    assert np.abs(garetz.garetz_utilisation(middle) - fit).max() < 0.0105


def test_a_height_that_is_no_number_is_refused():
    with pytest.raises(OutOfRange, match="altitude"):
        garetz.garetz_ibu(1.0, 1.0, gravity_sg=1.05, concentration_factor=1.0, altitude_m=np.nan)
