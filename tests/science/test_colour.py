"""Colour as one number."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import colour


@given(st.floats(0.0, 5000.0))
def test_scales_survive_the_round_trip(srm: float) -> None:
    assert abs(colour.srm_of_ebc(colour.ebc_of_srm(srm)) - srm) < 1e-9
    lovibond = colour.lovibond_of_srm(min(srm, 1300.0))
    if lovibond >= 0.6:
        assert abs(colour.srm_of_lovibond(lovibond) - min(srm, 1300.0)) < 1e-9


@given(st.floats(0.0, 5.0), st.floats(1.0, 50.0), st.floats(0.5, 5.0))
def test_both_scales_read_one_absorbance(absorbance: float, dilution: float, path: float) -> None:
    srm = colour.srm_of_absorbance(absorbance, dilution=dilution, path_cm=path)
    ebc = colour.ebc_of_absorbance(absorbance, dilution=dilution, path_cm=path)
    assert abs(colour.ebc_of_srm(srm) - ebc) <= 1e-9 * max(1.0, ebc)


@pytest.mark.source("Morey, Beer's Law, BrewingTechniques: break points", provenance="retrieved")
def test_lines_meet_where_the_letter_breaks_them() -> None:
    assert abs(colour.daniels_srm(10.5) - 10.5) < 1e-9
    assert abs(colour.daniels_srm(37.0) - colour.mosher_srm(37.0)) < 1e-9


@pytest.mark.source("Morey, Beer's Law, BrewingTechniques: fitted lines", provenance="retrieved")
def test_curve_follows_the_lines_it_was_drawn_through() -> None:
    middle, dark = np.linspace(15.0, 37.0, 20), np.linspace(37.0, 120.0, 40)
    assert np.abs(colour.morey_srm(middle) / colour.daniels_srm(middle) - 1.0).max() < 0.2
    assert np.abs(colour.morey_srm(dark) / colour.mosher_srm(dark) - 1.0).max() < 0.2


@given(st.floats(0.0, 1000.0))
def test_more_malt_is_darker_but_ever_less_so(units: float) -> None:
    one, two, three = colour.morey_srm([units, units + 1.0, units + 2.0])
    assert 0.0 < three - two < two - one


def test_a_grist_adds_up_and_bigger_batches_are_paler() -> None:
    units = colour.malt_colour_units([4.0, 1.0], [3.0, 3.0], volume_L=20.0)
    assert units.sum() == pytest.approx(float(colour.malt_colour_units(5.0, 3.0, volume_L=20.0)))
    assert colour.malt_colour_units(5.0, 3.0, volume_L=40.0) == pytest.approx(units.sum() / 2.0)
    pound, gallon = 0.45359237, 3.785411784
    assert colour.malt_colour_units(pound, 1.0, volume_L=gallon) == pytest.approx(1.0, abs=1e-5)


def test_nonsense_is_refused() -> None:
    for call in (
        lambda: colour.srm_of_absorbance(np.nan, dilution=1.0, path_cm=1.0),
        lambda: colour.srm_of_absorbance(0.5, dilution=0.5, path_cm=1.0),
        lambda: colour.ebc_of_absorbance(0.5, dilution=1.0, path_cm=0.0),
        lambda: colour.ebc_of_srm(-1.0),
        lambda: colour.srm_of_ebc(np.nan),
        lambda: colour.srm_of_lovibond(0.1),
        lambda: colour.lovibond_of_srm(np.nan),
        lambda: colour.malt_colour_units(5.0, 3.0, volume_L=0.0),
        lambda: colour.malt_colour_units(np.nan, 3.0, volume_L=20.0),
        lambda: colour.morey_srm(-1.0),
        lambda: colour.daniels_srm(9.0),
        lambda: colour.mosher_srm(6.0),
    ):
        with pytest.raises(OutOfRange, match="not between"):
            call()
