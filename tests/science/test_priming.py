from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import priming
from gyle.science.package import residual_volumes


@given(st.floats(0.0, 4.0), st.floats(0.1, 500.0), st.floats(0.3, 0.52), st.floats(0.9, 1.0))
def test_the_sugar_makes_the_gas(volumes, beer, yields, growth):
    sugar = priming.priming_mass_g(volumes, beer, yield_g_g=yields, growth_factor=growth)
    assert sugar * yields * growth == pytest.approx(volumes * beer * 1.9768, rel=1e-12, abs=1e-12)


def test_mass_is_kept_in_the_reaction():
    for molar, hexoses, water in ((180.156, 1.0, 0.0), (342.297, 2.0, 18.015)):
        gas = priming.carbon_dioxide_yield_g_g(molar, hexoses=hexoses) * molar
        alcohol = 2.0 * hexoses * 46.068
        assert gas + alcohol == pytest.approx(molar + water, rel=2e-4)


def test_a_whole_bottling_day():
    left = residual_volumes(20.0, 1.01325, composition=1.0)
    sucrose = priming.carbon_dioxide_yield_g_g(342.297, hexoses=2.0)
    assert priming.priming_mass_g(2.4 - left, 20.0, yield_g_g=sucrose, growth_factor=1.0) == pytest.approx(
        120.0, abs=0.3
    )


@given(st.floats(1.0, 1.05), st.floats(0.0, 0.01))
def test_two_small_falls_are_one_large_one(gravity, drop):
    once = priming.volumes_from_gravity_drop(gravity, 2.0 * drop)
    twice = priming.volumes_from_gravity_drop(gravity, drop) + priming.volumes_from_gravity_drop(gravity - drop, drop)
    assert twice == pytest.approx(once, rel=0.011, abs=1e-9)


@pytest.mark.source("Balling's equation: gas and alcohol from one extract", provenance="memory")
def test_gas_and_alcohol_of_creep_belong_together():
    volumes = priming.volumes_from_extract(1.0, beer_kg_L=1.010)
    abv = priming.alcohol_from_extract_pct_abv(1.0, beer_kg_L=1.010)
    assert volumes * 1.9768 / (abv * 7.8924) == pytest.approx(0.9565, rel=1e-9)


def test_nonsense_is_refused():
    with pytest.raises(OutOfRange, match="added volumes"):
        priming.priming_mass_g(-0.1, 20.0, yield_g_g=0.5, growth_factor=1.0)
    with pytest.raises(OutOfRange):
        priming.volumes_from_gravity_drop(float("nan"), 0.001)
