"""Heat capacities of malt and wort, mixing, and how fast a vessel warms or cools."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = [
    "WATER_HEAT_CAPACITY_KJ_KGK",
    "cooling_rate_K_h",
    "hydration_heat_kJ_kg",
    "malt_heat_capacity_kJ_kgK",
    "mixed_temperature_C",
    "ramp_minutes",
    "wort_heat_capacity_kJ_kgK",
]

Array = NDArray[np.float64]

WATER_HEAT_CAPACITY_KJ_KGK = 4.186
"""Heat capacity of water in every mash balance [kJ/(kg K)]."""

DRY_MALT_KJ_KGK = 1.59

# Bubník et al. 1995 for pure sucrose solution: constant, per °P, per °P and °C.
WORT_HEAT_CAPACITY = (4.1868, -0.0251, 7.5e-5)

# Heat of hydration: 38 kJ/kg for bone-dry malt, falling by a factor e for 7.5 points of moisture.
HYDRATION_DRY_KJ_KG = 38.0
HYDRATION_E_FOLD = 0.075

COLDEST_C, HOTTEST_C = -5.0, 120.0


def _temperature(value: ArrayLike, what: str) -> Array:
    return within(value, COLDEST_C, HOTTEST_C, what=f"{what} temperature [°C]")


def malt_heat_capacity_kJ_kgK(moisture: ArrayLike) -> Array:
    """Give the heat capacity of malt as it comes from the sack.

    Parameters
    ----------
    moisture : array_like of float, any shape
        Water in the malt [kg/kg as is]; 0 to 0.5.

    Returns
    -------
    ndarray of float64, same shape
        Heat capacity [kJ/(kg K)]; spread 0.08 either way.

    Raises
    ------
    OutOfRange
        If a moisture is not a number or outside 0 to 0.5.

    Notes
    -----
    1.59 for the dry matter and 4.186 for the water in it, by mass.

    References
    ----------
    .. [1] Brewing Room Book, 1984/85, table of specific heats of malt, 0.38 dry to 0.42 at
       8 per cent. Provenance: retrieved (second hand).

    Examples
    --------
    >>> malt_heat_capacity_kJ_kgK([0.0, 0.04]).round(3)
    array([1.59 , 1.694])
    """
    m = within(moisture, 0.0, 0.5, what="malt moisture [kg/kg]")
    return np.asarray(DRY_MALT_KJ_KGK + (WATER_HEAT_CAPACITY_KJ_KGK - DRY_MALT_KJ_KGK) * m)


def wort_heat_capacity_kJ_kgK(extract_pct: ArrayLike, temperature_C: ArrayLike) -> Array:
    """Give the heat capacity of wort.

    Parameters
    ----------
    extract_pct : array_like of float, any shape
        Extract [% by mass]; 0 to 60, made for 0 to 40.
    temperature_C : array_like of float, broadcasting with the extract
        Wort temperature [°C]; -5 to 120.

    Returns
    -------
    ndarray of float64, broadcast shape
        Heat capacity [kJ/(kg K)]; spread 1.5 per cent.

    Raises
    ------
    OutOfRange
        If an extract or a temperature is not a number or outside its range.

    Notes
    -----
    c = 4.1868 - 0.0251 P + 7.5e-5 P T, for solutions of pure sucrose.

    References
    ----------
    .. [1] Bubník, Kadlec, Urban and Bruhns, Sugar Technologists Manual, 1995, purity 100.
       Provenance: memory.

    Examples
    --------
    >>> wort_heat_capacity_kJ_kgK([12.0, 20.0], [20.0, 66.0]).round(4)
    array([3.9036, 3.7838])
    """
    p = within(extract_pct, 0.0, 60.0, what="extract [%]")
    c0, c1, c2 = WORT_HEAT_CAPACITY
    return np.asarray(c0 + p * (c1 + c2 * _temperature(temperature_C, "wort")))


def hydration_heat_kJ_kg(moisture: ArrayLike) -> Array:
    """Give the heat that malt sets free as it takes up water at mashing in.

    Parameters
    ----------
    moisture : array_like of float, any shape
        Water in the malt [kg/kg as is]; 0 to 0.5.

    Returns
    -------
    ndarray of float64, same shape
        Heat given off [kJ/kg of malt as is]; spread 8 either way.

    Raises
    ------
    OutOfRange
        If a moisture is not a number or outside 0 to 0.5.

    Notes
    -----
    38 exp(-m / 0.075), fitted to a maltsters' table of corrections to the initial heat. An open
    mashing-in loses about as much, so this heat is not to be counted while the loss is left out.

    References
    ----------
    .. [1] Fit to Brewing Room Book, 1984/85, corrections from 5.5 °F dry to 2 °F at 8 per cent.
       Provenance: ours.

    Examples
    --------
    >>> hydration_heat_kJ_kg([0.04, 0.06]).round(1)
    array([22.3, 17.1])
    """
    m = within(moisture, 0.0, 0.5, what="malt moisture [kg/kg]")
    return np.asarray(HYDRATION_DRY_KJ_KG * np.exp(-m / HYDRATION_E_FOLD))


def mixed_temperature_C(
    first_C: ArrayLike,
    second_C: ArrayLike,
    *,
    first_kJ_K: ArrayLike,
    second_kJ_K: ArrayLike,
    heat_kJ: ArrayLike,
) -> Array:
    """Give the temperature of two portions once mixed.

    Parameters
    ----------
    first_C, second_C : array_like of float, broadcasting
        Temperatures of the two portions [°C]; -5 to 120.
    first_kJ_K, second_kJ_K : array_like of float, broadcasting
        Heat capacities of the two portions, their sum above 0 [kJ/K].
    heat_kJ : array_like of float, broadcasting
        Heat set free by the mixing (hydration) less heat lost; 0 if neither counts [kJ].

    Returns
    -------
    ndarray of float64, broadcast shape
        Temperature of the mixture [°C].

    Raises
    ------
    OutOfRange
        If a temperature is not a number or outside -5 to 120 °C, or a heat capacity is negative
        or both are 0.

    Notes
    -----
    (C1 T1 + C2 T2 + Q) / (C1 + C2).

    References
    ----------
    .. [1] Heat balance. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(mixed_temperature_C(20.0, 80.0, first_kJ_K=10.0, second_kJ_K=20.0, heat_kJ=0.0))
    60.0
    """
    first = within(first_kJ_K, 0.0, 1e9, what="heat capacity of the first portion [kJ/K]")
    second = within(second_kJ_K, 0.0, 1e9, what="heat capacity of the second portion [kJ/K]")
    total = within(first + second, 1e-9, 2e9, what="heat capacity of the mixture [kJ/K]")
    warm = first * _temperature(first_C, "first") + second * _temperature(second_C, "second")
    return np.asarray((warm + within(heat_kJ, -1e9, 1e9, what="heat [kJ]")) / total)


def ramp_minutes(
    from_C: ArrayLike,
    to_C: ArrayLike,
    *,
    heat_capacity_kJ_K: ArrayLike,
    power_kW: ArrayLike,
    loss_W_K: ArrayLike,
    ambient_C: ArrayLike,
) -> Array:
    """Give the time that a vessel under constant power takes between two temperatures.

    Parameters
    ----------
    from_C, to_C : array_like of float, broadcasting
        Temperatures at start and end [°C]; either may be the higher.
    heat_capacity_kJ_K : array_like of float, broadcasting
        Heat capacity of contents and vessel [kJ/K].
    power_kW : array_like of float, broadcasting
        Heat that reaches the contents: element power times its efficiency, less a constant loss
        from an uncovered surface; 0 with the element off [kW].
    loss_W_K : array_like of float, broadcasting
        Heat lost through wall and lid per kelvin above the room; 0 for none [W/K].
    ambient_C : array_like of float, broadcasting
        Temperature of the room [°C].

    Returns
    -------
    ndarray of float64, broadcast shape
        Time [min]. Infinite (`numpy.inf`) where this power never brings the vessel there: too
        weak to heat against the loss, or too strong to let it cool. 0 where both ends agree.

    Raises
    ------
    OutOfRange
        If an input is not a number, a temperature is outside -5 to 120 °C, or a heat capacity or
        a loss is negative.

    Notes
    -----
    C dT/dt = P - UA (T - T_a) in closed form, t = C dT / n1 * (-ln(1 - y) / y) with n1 the net
    heat flow at the start and y = UA dT / n1; without loss the last factor is 1.

    References
    ----------
    .. [1] Heat balance of a heated vessel. Provenance: computed-with-numpy.

    Examples
    --------
    >>> ramp_minutes(63.0, 72.0, heat_capacity_kJ_K=97.73, power_kW=[2.09, 0.3], loss_W_K=6.0,
    ...     ambient_C=18.0).round(2)
    array([8.18,  inf])
    """
    start, end = _temperature(from_C, "starting"), _temperature(to_C, "final")
    capacity = within(heat_capacity_kJ_K, 0.0, 1e9, what="heat capacity [kJ/K]")
    power = within(power_kW, -1e6, 1e6, what="power [kW]")
    loss = within(loss_W_K, 0.0, 1e6, what="heat loss [W/K]") / 1000.0
    ambient = _temperature(ambient_C, "room")
    rise = end - start
    net = power - loss * (start - ambient)
    share = loss * rise  # of the net heat flow, what the loss has taken away by the end
    reached = (net * rise > 0.0) & ((net - share) * rise > 0.0)
    safe_net = np.where(reached, net, 1.0)
    y = np.where(reached, share / safe_net, 0.0)
    small = np.abs(y) < 1e-8
    stretch = np.where(small, 1.0 + 0.5 * y, -np.log1p(-y) / np.where(small, 1.0, y))
    minutes = np.where(reached, capacity * rise / safe_net * stretch / 60.0, np.inf)
    return np.asarray(np.where(rise == 0.0, 0.0, minutes))


def cooling_rate_K_h(
    temperature_C: ArrayLike, ambient_C: ArrayLike, *, heat_capacity_kJ_K: ArrayLike, loss_W_K: ArrayLike
) -> Array:
    """Give how fast a vessel cools with the element off.

    Parameters
    ----------
    temperature_C, ambient_C : array_like of float, broadcasting
        Temperature of the contents and of the room [°C].
    heat_capacity_kJ_K : array_like of float, broadcasting
        Heat capacity of contents and vessel; above 0 [kJ/K].
    loss_W_K : array_like of float, broadcasting
        Heat lost through wall and lid per kelvin above the room [W/K].

    Returns
    -------
    ndarray of float64, broadcast shape
        Fall of temperature, negative where the room is the warmer [K/h].

    Raises
    ------
    OutOfRange
        If an input is not a number, a temperature is outside -5 to 120 °C, or a heat capacity is
        not above 0.

    Notes
    -----
    3.6 UA (T - T_a) / C.

    References
    ----------
    .. [1] Newton's law of cooling. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(cooling_rate_K_h(66.0, 18.0, heat_capacity_kJ_K=97.73, loss_W_K=6.0).round(2))
    10.61
    """
    capacity = within(heat_capacity_kJ_K, 1e-9, 1e9, what="heat capacity [kJ/K]")
    loss = within(loss_W_K, 0.0, 1e6, what="heat loss [W/K]")
    above = _temperature(temperature_C, "vessel") - _temperature(ambient_C, "room")
    return np.asarray(3.6 * loss * above / capacity)
