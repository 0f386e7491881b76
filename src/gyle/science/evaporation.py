"""What leaves an open vessel as vapour, below the boil and at it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.atmosphere import latent_heat_kJ_kg, saturation_pressure_Pa, water_boiling_temperature_C
from gyle.science.extract import WATER_20C_KG_L
from gyle.science.ranges import within

__all__ = [
    "evaporation_bound_L_h",
    "evaporation_kg_h",
    "surface_evaporation_kg_h",
    "surface_loss_kW",
    "vapour_power_kW",
]

Array = NDArray[np.float64]

# Still air over an open vessel: film coefficient, and the Lewis number of water vapour in air.
SURFACE_FILM_W_M2K = 6.0
LEWIS_NUMBER = 0.87
AIR_HEAT_CAPACITY_J_KGK = 1006.0
AIR_GAS_CONSTANT_J_KGK = 287.05287
VAPOUR_GAS_CONSTANT_J_KGK = 461.526
ROOM_PRESSURE_PA = 101_325.0

KELVIN_AT_0_C = 273.15


def surface_evaporation_kg_h(
    temperature_C: ArrayLike, area_m2: ArrayLike, *, ambient_C: ArrayLike, relative_humidity: ArrayLike
) -> Array:
    """Give the water that an uncovered vessel gives to the room below the boil.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Temperature of the surface [°C]; 0 to 100.
    area_m2 : array_like of float, broadcasting
        Open surface [m2].
    ambient_C : array_like of float, broadcasting
        Temperature of the room [°C]; 0 to 60.
    relative_humidity : array_like of float, broadcasting
        Relative humidity of the room [fraction]; 0 to 1.

    Returns
    -------
    ndarray of float64, broadcast shape
        Water evaporated, 0 where the room is too moist [kg/h]; spread 30 per cent.

    Raises
    ------
    OutOfRange
        If an input is not a number or outside its range.

    Notes
    -----
    Analogy of Lewis: the film that lets 6 W/(m2 K) through carries vapour at h / (rho c Le^(2/3))
    times the difference of vapour densities, air taken midway between surface and room.

    References
    ----------
    .. [1] Lewis analogy with h = 6 W/(m2 K) and Le = 0.87. Provenance: ours.

    Examples
    --------
    >>> surface_evaporation_kg_h([66.0, 90.0], 1.0, ambient_C=18.0, relative_humidity=0.5).round(1)
    array([3.4, 9. ])
    """
    surface_C = within(temperature_C, 0.0, 100.0, what="surface temperature [°C]")
    room_C = within(ambient_C, 0.0, 60.0, what="room temperature [°C]")
    humidity = within(relative_humidity, 0.0, 1.0, what="relative humidity")
    area = within(area_m2, 0.0, 1e4, what="open surface [m2]")
    surface_K, room_K = surface_C + KELVIN_AT_0_C, room_C + KELVIN_AT_0_C
    at_surface = saturation_pressure_Pa(surface_C) / (VAPOUR_GAS_CONSTANT_J_KGK * surface_K)
    in_room = humidity * saturation_pressure_Pa(room_C) / (VAPOUR_GAS_CONSTANT_J_KGK * room_K)
    air_kg_m3 = ROOM_PRESSURE_PA / (AIR_GAS_CONSTANT_J_KGK * 0.5 * (surface_K + room_K))
    film_m_s = SURFACE_FILM_W_M2K / (air_kg_m3 * AIR_HEAT_CAPACITY_J_KGK * LEWIS_NUMBER ** (2.0 / 3.0))
    return np.asarray(3600.0 * film_m_s * area * np.maximum(at_surface - in_room, 0.0))


def surface_loss_kW(
    temperature_C: ArrayLike, area_m2: ArrayLike, *, ambient_C: ArrayLike, relative_humidity: ArrayLike
) -> Array:
    """Give the heat that evaporation takes from an uncovered vessel below the boil.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Temperature of the surface [°C]; 0 to 100.
    area_m2 : array_like of float, broadcasting
        Open surface [m2].
    ambient_C : array_like of float, broadcasting
        Temperature of the room [°C]; 0 to 60.
    relative_humidity : array_like of float, broadcasting
        Relative humidity of the room [fraction]; 0 to 1.

    Returns
    -------
    ndarray of float64, broadcast shape
        Heat taken by evaporation alone [kW]; spread 30 per cent. What the surface gives to the
        air by convection belongs to the vessel's loss per kelvin.

    Raises
    ------
    OutOfRange
        If an input is not a number or outside its range.

    Notes
    -----
    Evaporated mass times its heat of vaporisation: 2.2, 3.4 and 5.8 kW/m2 at 66, 76 and 90 °C in
    a room of 18 °C and half saturated.

    References
    ----------
    .. [1] Lewis analogy with h = 6 W/(m2 K) and Le = 0.87. Provenance: ours.

    Examples
    --------
    >>> surface_loss_kW([66.0, 90.0], 0.0962, ambient_C=18.0, relative_humidity=0.5).round(2)
    array([0.21, 0.55])
    """
    evaporated = surface_evaporation_kg_h(
        temperature_C, area_m2, ambient_C=ambient_C, relative_humidity=relative_humidity
    )
    return np.asarray(evaporated * latent_heat_kJ_kg(temperature_C) / 3600.0)


def evaporation_kg_h(
    power_kW: ArrayLike,
    pressure_Pa: ArrayLike,
    *,
    efficiency: ArrayLike,
    duty: ArrayLike,
    loss_W_K: ArrayLike,
    ambient_C: ArrayLike,
) -> Array:
    """Give the water that a boil drives off, by the heat it is given.

    Parameters
    ----------
    power_kW : array_like of float, any shape
        Rated power of the element or burner [kW].
    pressure_Pa : array_like of float, broadcasting
        Air pressure [Pa]; 30,000 to 120,000.
    efficiency : array_like of float, broadcasting
        Share of the power that reaches the wort [fraction]; 0 to 1.
    duty : array_like of float, broadcasting
        Share of the time that the element is on [fraction]; 0 to 1.
    loss_W_K : array_like of float, broadcasting
        Heat lost through the wall per kelvin above the room [W/K].
    ambient_C : array_like of float, broadcasting
        Temperature of the room [°C].

    Returns
    -------
    ndarray of float64, broadcast shape
        Water driven off, 0 where the power does not cover the loss [kg/h].

    Raises
    ------
    OutOfRange
        If an input is not a number or outside its range.

    Notes
    -----
    3600 (eta P duty - UA (T_b - T_a)) / h_fg, with the boiling point and the heat of vaporisation
    of water at the pressure. A brewhouse's own logged boil-off goes before this.

    References
    ----------
    .. [1] Energy balance of the boil, water by IAPWS R7-97. Provenance: computed-with-CoolProp.

    Examples
    --------
    >>> float(evaporation_kg_h(3.3, 100845.0, efficiency=0.97, duty=1.0, loss_W_K=6.0,
    ...     ambient_C=18.0).round(2))
    4.32
    """
    power = within(power_kW, 0.0, 1e6, what="power [kW]")
    pressure = within(pressure_Pa, 3e4, 1.2e5, what="air pressure [Pa]")
    reaching = within(efficiency, 0.0, 1.0, what="heating efficiency")
    on = within(duty, 0.0, 1.0, what="duty")
    loss = within(loss_W_K, 0.0, 1e6, what="heat loss [W/K]") / 1000.0
    boil_C = water_boiling_temperature_C(pressure)
    net = reaching * power * on - loss * (boil_C - within(ambient_C, -5.0, 120.0, what="room temperature [°C]"))
    return np.asarray(3600.0 * np.maximum(net, 0.0) / latent_heat_kJ_kg(boil_C))


def evaporation_bound_L_h(power_kW: ArrayLike, pressure_Pa: ArrayLike) -> Array:
    """Give the most water that a power can drive off if nothing else takes heat.

    Parameters
    ----------
    power_kW : array_like of float, any shape
        Rated power of the element or burner [kW].
    pressure_Pa : array_like of float, broadcasting
        Air pressure [Pa]; 30,000 to 120,000.

    Returns
    -------
    ndarray of float64, broadcast shape
        Water driven off, measured cold at 20 °C [L/h].

    Raises
    ------
    OutOfRange
        If a power or a pressure is not a number or outside its range.

    Notes
    -----
    3600 P / h_fg: nothing can exceed it, and a full boil in the open reaches 0.65 to 0.85 of it.

    References
    ----------
    .. [1] Energy balance of the boil, water by IAPWS R7-97. Provenance: computed-with-CoolProp.

    Examples
    --------
    >>> float(evaporation_bound_L_h(1.0, 101325.0).round(3))
    1.598
    """
    power = within(power_kW, 0.0, 1e6, what="power [kW]")
    pressure = within(pressure_Pa, 3e4, 1.2e5, what="air pressure [Pa]")
    latent = latent_heat_kJ_kg(water_boiling_temperature_C(pressure))
    return np.asarray(3600.0 * power / (latent * WATER_20C_KG_L))


def vapour_power_kW(evaporated_kg_h: ArrayLike, pressure_Pa: ArrayLike) -> Array:
    """Give the power that leaves a boil as steam.

    Parameters
    ----------
    evaporated_kg_h : array_like of float, any shape
        Water driven off [kg/h].
    pressure_Pa : array_like of float, broadcasting
        Air pressure [Pa]; 30,000 to 120,000.

    Returns
    -------
    ndarray of float64, broadcast shape
        Power in the steam [kW].

    Raises
    ------
    OutOfRange
        If a rate or a pressure is not a number or outside its range.

    Notes
    -----
    Mass rate times the heat of vaporisation at the boiling point of water.

    References
    ----------
    .. [1] Energy balance of the boil, water by IAPWS R7-97. Provenance: computed-with-CoolProp.

    Examples
    --------
    >>> float(vapour_power_kW(3.394, 101325.0).round(3))
    2.127
    """
    rate = within(evaporated_kg_h, 0.0, 1e6, what="evaporation [kg/h]")
    pressure = within(pressure_Pa, 3e4, 1.2e5, what="air pressure [Pa]")
    return np.asarray(rate * latent_heat_kJ_kg(water_boiling_temperature_C(pressure)) / 3600.0)
