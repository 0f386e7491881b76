"""What an open vessel gives off, against an independent code of the properties of water."""

from __future__ import annotations

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from CoolProp.HumidAirProp import HAPropsSI
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science.atmosphere import pressure_Pa
from gyle.science.evaporation import (
    evaporation_bound_L_h,
    evaporation_kg_h,
    surface_evaporation_kg_h,
    surface_loss_kW,
    vapour_power_kW,
)

ROOM = {"ambient_C": 18.0, "relative_humidity": 0.5}
KETTLE = {"efficiency": 0.97, "duty": 1.0, "loss_W_K": 6.0, "ambient_C": 18.0}


@pytest.mark.source("energy balance with IAPWS-95", provenance="computed-with-CoolProp")
@pytest.mark.parametrize("altitude_m", [0.0, 40.0, 1500.0, 3000.0])
def test_boil_off_is_the_energy_balance(altitude_m: float) -> None:
    pressure = float(pressure_Pa(altitude_m))
    boil_K = PropsSI("T", "P", pressure, "Q", 0, "Water")
    latent = (PropsSI("H", "P", pressure, "Q", 1, "Water") - PropsSI("H", "P", pressure, "Q", 0, "Water")) / 1e3
    expected = 3600.0 * (0.97 * 3.3 - 0.006 * (boil_K - 273.15 - 18.0)) / latent
    assert float(evaporation_kg_h(3.3, pressure, **KETTLE)) == pytest.approx(expected, rel=1e-4)


@pytest.mark.source("vapour density of humid air, Lewis analogy", provenance="computed-with-CoolProp")
@pytest.mark.parametrize("celsius", [40.0, 66.0, 76.0, 90.0])
def test_open_surface_against_vapour_densities_of_real_gases(celsius: float) -> None:
    at_surface = PropsSI("D", "T", celsius + 273.15, "Q", 1, "Water")
    in_room = HAPropsSI("W", "T", 291.15, "P", 101325.0, "R", 0.5) / HAPropsSI(
        "Vda", "T", 291.15, "P", 101325.0, "R", 0.5
    )
    film_K = 0.5 * (celsius + 18.0) + 273.15
    heat_per_m3 = PropsSI("D", "T", film_K, "P", 101325.0, "Air") * PropsSI("C", "T", film_K, "P", 101325.0, "Air")
    expected = 3600.0 * 6.0 / (heat_per_m3 * 0.87 ** (2.0 / 3.0)) * (at_surface - in_room)
    assert float(surface_evaporation_kg_h(celsius, 1.0, **ROOM)) == pytest.approx(expected, rel=0.02)


@given(st.floats(20.0, 99.0), st.floats(0.01, 1.0))
def test_a_hotter_or_wider_surface_loses_more(celsius: float, area: float) -> None:
    loss = float(surface_loss_kW(celsius, area, **ROOM))
    assert float(surface_loss_kW(celsius + 0.5, area, **ROOM)) > loss
    assert float(surface_loss_kW(celsius, 2.0 * area, **ROOM)) == pytest.approx(2.0 * loss)


def test_a_surface_cooler_than_the_dew_loses_nothing() -> None:
    assert float(surface_loss_kW(10.0, 1.0, ambient_C=30.0, relative_humidity=0.9)) == 0.0


@given(st.floats(0.0, 6.0), st.floats(0.3, 1.0), st.floats(0.0, 15.0), st.floats(60e3, 105e3))
def test_no_boil_exceeds_its_bound(power: float, efficiency: float, loss: float, pressure: float) -> None:
    off = float(evaporation_kg_h(power, pressure, efficiency=efficiency, duty=1.0, loss_W_K=loss, ambient_C=18.0))
    bound = float(evaporation_bound_L_h(power, pressure)) * 0.9982012
    assert 0.0 <= off <= bound * (1.0 + 1e-12)


@given(st.floats(0.1, 6.0), st.floats(60e3, 105e3))
def test_steam_carries_the_power_that_made_it(power: float, pressure: float) -> None:
    off = evaporation_kg_h(power, pressure, efficiency=1.0, duty=1.0, loss_W_K=0.0, ambient_C=18.0)
    assert float(vapour_power_kW(off, pressure)) == pytest.approx(power, rel=1e-12)


def test_too_little_power_boils_nothing_and_draws_equal_scalars() -> None:
    power = np.array([0.0, 0.3, 0.6, 3.3])
    together = evaporation_kg_h(power, 101325.0, **KETTLE)
    assert together[:2].tolist() == [0.0, 0.0]
    assert together.tolist() == [float(evaporation_kg_h(p, 101325.0, **KETTLE)) for p in power]


def test_what_means_nothing_is_refused() -> None:
    with pytest.raises(OutOfRange, match="efficiency"):
        evaporation_kg_h(3.3, 101325.0, **{**KETTLE, "efficiency": 1.1})
    with pytest.raises(OutOfRange, match="pressure"):
        evaporation_bound_L_h(3.3, np.nan)
    with pytest.raises(OutOfRange, match="evaporation"):
        vapour_power_kW(-1.0, 101325.0)
    with pytest.raises(OutOfRange, match="humidity"):
        surface_loss_kW(66.0, 0.1, ambient_C=18.0, relative_humidity=50.0)
    with pytest.raises(OutOfRange, match="surface temperature"):
        surface_evaporation_kg_h(101.0, 0.1, **ROOM)
