from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import fermentation_output as output
from gyle.science.extract import WATER_20C_KG_L, degrees_plato
from gyle.science.pitching import yeast_dry_matter_g


@given(st.floats(0.0, 1e4))
def test_balling_keeps_mass(extract):
    ethanol = extract / 2.0665
    assert output.extract_fermented_kg(ethanol) == pytest.approx(extract)
    gas = output.carbon_dioxide_from_extract_kg(extract)
    assert ethanol + gas + yeast_dry_matter_g(extract) == pytest.approx(extract, rel=1e-9)


@pytest.mark.source("Balling with the classical real extract, from gravities", provenance="computed-with-numpy")
@pytest.mark.parametrize(("original", "final", "grams"), [(1.050, 1.010, 799.0), (1.110, 1.025, 1736.0)])
def test_gas_of_a_whole_fermentation(original, final, grams):
    made = output.carbon_dioxide_classical_kg(
        20.0 * original * WATER_20C_KG_L,
        original_extract_pct=degrees_plato(original),
        apparent_extract_pct=degrees_plato(final),
    )
    assert made * 1000.0 == pytest.approx(grams, abs=4.0)


@given(st.floats(0.0, 8.0), st.floats(1.0, 100.0), st.floats(0.5, 0.7))
def test_power_and_heat_are_one_energy(points, volume, heat):
    power = output.fermentation_power_W(points, volume, heat_kJ_g=heat)
    hourly = output.fermentation_heat_kJ(points * 2.12 * volume / 1000.0, heat_kJ_g=heat)
    assert power * 3.6 == pytest.approx(hourly, abs=1e-12)


@given(st.floats(0.0, 5.0), st.floats(0.05, 1.0))
def test_self_heating_balances_the_loss(points, loss):
    rise = output.self_heating_K(points, loss_1_h=loss, heat_kJ_g=0.60, beer_kJ_L_K=4.0)
    assert rise * loss * 4.0 / 3.6 == pytest.approx(output.fermentation_power_W(points, 1.0, heat_kJ_g=0.60), abs=1e-12)


def test_nonsense_is_refused():
    with pytest.raises(OutOfRange):
        output.fermentation_power_W(-1.0, 20.0, heat_kJ_g=0.6)
    with pytest.raises(OutOfRange):
        output.real_attenuation(float("nan"))
