from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import dry_hop

rates = st.floats(0.0, 40.0)


@given(st.floats(0.0, 150.0), rates, st.floats(0.0, 0.5))
def test_hop_matter_takes_only_above_twenty(iso, rate, adsorption):
    left = dry_hop.iso_after_dry_hop_mg_L(iso, rate, adsorption_L_g=adsorption)
    assert min(iso, 20.0) <= left <= iso


@given(rates, st.floats(0.0, 60.0), st.floats(0.0, 30.0))
def test_creep_rises_with_time_and_never_passes_its_end(rate, days, temperature):
    def released(time):
        return dry_hop.dextrin_released_g_L(
            rate, time, temperature_C=temperature, release_g_g=0.7, time_constant_h=80.0
        )

    assert 0.0 <= released(days) <= released(days + 1.0) <= 0.7 * rate


def test_plan_model_and_study_agree_in_the_end_at_a_usual_rate():
    plan = dry_hop.dextrin_released_g_L(8.0, 365.0, temperature_C=20.0, release_g_g=0.7, time_constant_h=80.0)
    study = dry_hop.creep_extract_pct(8.0, 365.0, temperature_C=20.0, lot_factor=0.32) * 10.0
    assert plan == pytest.approx(study, rel=0.05)


@given(st.floats(0.0, 30.0), st.floats(0.0, 20.0))
def test_ten_kelvin_warmer_counts_double(days, temperature):
    assert dry_hop.creep_time_days(days, temperature + 10.0) == pytest.approx(
        2.0 * dry_hop.creep_time_days(days, temperature)
    )


@pytest.mark.source("Maye et al., MBAA 2015: up to 24 mg/L of humulinones found in beer", provenance="retrieved")
def test_usual_rates_of_usual_hops_stay_near_what_has_been_found():
    assert dry_hop.humulinones_mg_L(8.0, mass_fraction=0.0035, extraction=0.9) == pytest.approx(24.0, abs=3.0)


def test_more_hops_win_ever_less():
    gain = np.diff(dry_hop.dry_hop_saturation(np.arange(0.0, 20.0, 2.0), scale_g_L=3.0))
    assert np.all(gain > 0.0)
    assert np.all(np.diff(gain) < 0.0)


@pytest.mark.parametrize("rate", [-1.0, np.nan])
def test_rates_below_nothing_are_refused(rate):
    for call in (
        lambda: dry_hop.dry_hop_ph_rise(rate),
        lambda: dry_hop.humulinones_mg_L(rate, mass_fraction=0.003, extraction=0.9),
        lambda: dry_hop.creep_extract_pct(rate, 3.0, temperature_C=18.0, lot_factor=1.0),
    ):
        with pytest.raises(OutOfRange, match="hop rate"):
            call()
