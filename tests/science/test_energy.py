"""Energy in beer."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import energy

REAL, STRENGTH = st.floats(0.2, 20.0), st.floats(0.0, 15.0)


@given(REAL, STRENGTH)
def test_laboratory_and_label_agree(real: float, strength: float) -> None:
    laboratory = energy.energy_asbc_kcal_100mL(real, strength, gravity_sg=1.01, ash_pct=0.1)
    label = energy.energy_eu_kcal_100mL(real, strength, gravity_sg=1.01)
    assert 0.0 < label - laboratory < 0.5 + 0.11 * strength
    joules = energy.energy_eu_kJ_100mL(real, strength, gravity_sg=1.01)
    assert abs(joules / label - 4.184) < 0.07


@given(REAL, STRENGTH)
def test_energy_is_that_of_its_parts(real: float, strength: float) -> None:
    whole = energy.energy_eu_kJ_100mL(real, strength, gravity_sg=1.02)
    parts = energy.energy_eu_kJ_100mL(real, 0.0, gravity_sg=1.02) + energy.energy_eu_kJ_100mL(
        0.0, strength, gravity_sg=1.02
    )
    assert abs(whole - parts) < 1e-9


@pytest.mark.source("ASBC Beer-33 through The Oxford Companion to Beer", provenance="retrieved")
def test_a_gram_of_each() -> None:
    """Per 100 g, which is a density of one: 6.9 for ethanol, 4 for extract without its ash."""
    one = 1.0 / 0.9982012
    alcohol = energy.energy_asbc_kcal_100mL(0.1, 1.0, gravity_sg=one, ash_pct=0.1)
    extract = energy.energy_asbc_kcal_100mL([1.1, 2.1], 0.0, gravity_sg=one, ash_pct=0.1)
    assert alcohol == pytest.approx(6.9)
    np.testing.assert_allclose(extract, [4.0, 8.0])


def test_nonsense_is_refused() -> None:
    for real, strength, gravity in (
        (np.nan, 4.0, 1.01),
        (4.0, -1.0, 1.01),
        (4.0, 4.0, np.nan),
        (4.0, 4.0, 2.0),
    ):
        with pytest.raises(OutOfRange, match="not between"):
            energy.energy_eu_kcal_100mL(real, strength, gravity_sg=gravity)
        with pytest.raises(OutOfRange, match="not between"):
            energy.energy_eu_kJ_100mL(real, strength, gravity_sg=gravity)
        with pytest.raises(OutOfRange, match="not between"):
            energy.energy_asbc_kcal_100mL(real, strength, gravity_sg=gravity, ash_pct=0.1)
    with pytest.raises(OutOfRange, match="ash"):
        energy.energy_asbc_kcal_100mL(4.0, 4.0, gravity_sg=1.01, ash_pct=np.nan)
