from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import hop_matter


@given(st.floats(0.01, 0.98), st.floats(0.0, 0.2), st.floats(0.0, 0.6))
def test_spent_mass_has_the_moisture_it_was_said_to_have(moisture, hop_moisture, dissolved):
    held = hop_matter.liquid_held_g_g(moisture, hop_moisture=hop_moisture, dry_matter_dissolved=dissolved)
    dry = (1.0 - hop_moisture) * (1.0 - dissolved)
    assert held / (held + dry) == pytest.approx(moisture, rel=1e-9)


@given(st.floats(0.0, 1000.0), st.floats(0.6, 0.9), st.floats(0.05, 0.15))
def test_drying_keeps_the_dry_matter(wet, wet_moisture, dried_moisture):
    dried = hop_matter.dried_mass_g(wet, wet_moisture=wet_moisture, dried_moisture=dried_moisture)
    assert dried * (1.0 - dried_moisture) == pytest.approx(wet * (1.0 - wet_moisture), abs=1e-9)


@given(st.floats(0.0, 120.0))
def test_pellets_are_ahead_of_whole_hops_most_when_late(minutes):
    pellets = hop_matter.dissolved_fraction(minutes, rate_1_min=0.3)
    whole = hop_matter.dissolved_fraction(minutes, rate_1_min=0.15)
    assert 0.0 <= whole <= pellets <= 1.0


def test_a_whole_litre_of_moisture_in_nothing_is_refused():
    with pytest.raises(OutOfRange, match="spent moisture"):
        hop_matter.liquid_held_g_g(1.0, hop_moisture=0.08, dry_matter_dissolved=0.3)
    with pytest.raises(OutOfRange):
        hop_matter.liquid_lost_L(-1.0, held_mL_g=5.0)
