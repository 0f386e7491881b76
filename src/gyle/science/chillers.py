"""Chillers: immersion coils, and counterflow or plate exchangers."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = [
    "counterflow_effectiveness",
    "counterflow_outlet_C",
    "heat_capacity_flow_W_K",
    "immersion_effectiveness",
    "immersion_rate_1_min",
]

Array = NDArray[np.float64]

WATER_J_KG_K = 4186.0  # cooling water near 15 °C


def immersion_effectiveness(water_flow_kg_min: ArrayLike, *, transfer_W_K: ArrayLike) -> Array:
    """Return the effectiveness of a cooling coil in well-mixed wort.

    Parameters
    ----------
    water_flow_kg_min : array_like of float, any shape
        Cooling water [kg/min]; above 1e-6.
    transfer_W_K : array_like of float, broadcastable
        Heat transfer of the whole coil, UA [W/K]; 0 or more: 8 m of 9.5 mm copper about 130
        still, 330 stirred.

    Returns
    -------
    ndarray of float64, broadcast shape
        Effectiveness [1]: how near the water comes to the wort's temperature.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    1 - exp(-UA/(m c)).

    References
    ----------
    .. [1] Effectiveness of an exchanger with one side at one temperature. Provenance: memory.

    Examples
    --------
    >>> immersion_effectiveness(8.0, transfer_W_K=[134.0, 336.0]).round(4)
    array([0.2134, 0.4523])
    """
    water_flow_kg_min = within(water_flow_kg_min, 1e-6, 1e4, what="water flow [kg/min]")
    transfer_W_K = within(transfer_W_K, 0.0, 1e6, what="transfer [W/K]")
    result: Array = -np.expm1(-transfer_W_K / (water_flow_kg_min / 60.0 * WATER_J_KG_K))
    return result


def immersion_rate_1_min(
    volume_L: ArrayLike,
    *,
    wort_kg_L: ArrayLike,
    wort_J_kg_K: ArrayLike,
    water_flow_kg_min: ArrayLike,
    transfer_W_K: ArrayLike,
) -> Array:
    """Return the Newton rate of an immersion chiller.

    Parameters
    ----------
    volume_L : array_like of float, any shape
        Wort [L]; above 0.001.
    wort_kg_L : array_like of float, broadcastable
        Density of the wort [kg/L]; 0.5 to 1.5.
    wort_J_kg_K : array_like of float, broadcastable
        Heat capacity of the wort [J/(kg K)]; 1,000 to 5,000.
    water_flow_kg_min : array_like of float, broadcastable
        Cooling water [kg/min]; above 1e-6.
    transfer_W_K : array_like of float, broadcastable
        Heat transfer of the whole coil [W/K]; 0 or more.

    Returns
    -------
    ndarray of float64, broadcast shape
        Cooling rate [1/min].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    k = m c eps/(rho V cp).

    References
    ----------
    .. [1] Heat balance of a well-mixed kettle. Provenance: ours.

    Examples
    --------
    >>> rate = immersion_rate_1_min(
    ...     23.0, wort_kg_L=1.0, wort_J_kg_K=3900.0, water_flow_kg_min=8.0, transfer_W_K=336.0
    ... )
    >>> float(rate.round(4))
    0.1689
    """
    volume_L = within(volume_L, 1e-3, 1e7, what="volume [L]")
    wort_kg_L = within(wort_kg_L, 0.5, 1.5, what="wort density [kg/L]")
    wort_J_kg_K = within(wort_J_kg_K, 1000.0, 5000.0, what="heat capacity [J/(kg K)]")
    water_flow_kg_min = np.asarray(water_flow_kg_min, dtype=np.float64)
    transfer_W_K = np.asarray(transfer_W_K, dtype=np.float64)
    effectiveness = immersion_effectiveness(water_flow_kg_min, transfer_W_K=transfer_W_K)
    water_flow_kg_min = np.asarray(water_flow_kg_min, dtype=np.float64)
    result: Array = water_flow_kg_min * WATER_J_KG_K * effectiveness / (wort_kg_L * volume_L * wort_J_kg_K)
    return result


def counterflow_effectiveness(wort_W_K: ArrayLike, water_W_K: ArrayLike, *, transfer_W_K: ArrayLike) -> Array:
    """Return the effectiveness of a counterflow or plate chiller.

    Parameters
    ----------
    wort_W_K, water_W_K : array_like of float, any shape
        Heat capacity flow of wort and of water [W/K]; above 1e-6.
    transfer_W_K : array_like of float, broadcastable
        Heat transfer of the whole chiller, UA [W/K]; 0 or more.

    Returns
    -------
    ndarray of float64, broadcast shape
        Effectiveness [1]: heat moved over the most that could be.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    (1 - exp(-N (1 - c)))/(1 - c exp(-N (1 - c))) with N = UA over the smaller flow and c the
    ratio of the flows; N/(1 + N) for equal flows.

    References
    ----------
    .. [1] Effectiveness and number of transfer units, counterflow. Provenance: memory.

    Examples
    --------
    >>> float(counterflow_effectiveness(167.9, 418.6, transfer_W_K=350.0).round(4))
    0.8058
    """
    wort_W_K = within(wort_W_K, 1e-6, 1e9, what="wort [W/K]")
    water_W_K = within(water_W_K, 1e-6, 1e9, what="water [W/K]")
    transfer_W_K = within(transfer_W_K, 0.0, 1e9, what="transfer [W/K]")
    least, most = np.minimum(wort_W_K, water_W_K), np.maximum(wort_W_K, water_W_K)
    units = transfer_W_K / least
    x = np.asarray(units * (1.0 - least / most), dtype=np.float64)
    ratio = np.ones_like(x)
    np.divide(-np.expm1(-x), x, out=ratio, where=x != 0.0)
    result: Array = np.minimum(units * ratio / (1.0 + least / most * units * ratio), 1.0)
    return result


def counterflow_outlet_C(
    wort_temperature_C: ArrayLike,
    water_temperature_C: ArrayLike,
    *,
    wort_W_K: ArrayLike,
    water_W_K: ArrayLike,
    transfer_W_K: ArrayLike,
) -> Array:
    """Return the temperature of wort leaving a counterflow or plate chiller.

    Parameters
    ----------
    wort_temperature_C : array_like of float, any shape
        Wort at the inlet [°C]; -5 to 120.
    water_temperature_C : array_like of float, broadcastable
        Cooling water at its inlet [°C]; -20 to 120.
    wort_W_K, water_W_K : array_like of float, broadcastable
        Heat capacity flow of wort and of water [W/K]; above 1e-6.
    transfer_W_K : array_like of float, broadcastable
        Heat transfer of the whole chiller, UA [W/K]; 0 or more.

    Returns
    -------
    ndarray of float64, broadcast shape
        Wort at the outlet [°C].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    T - eps C_least (T - T_water)/C_wort.

    References
    ----------
    .. [1] Effectiveness and number of transfer units, counterflow. Provenance: memory.

    Examples
    --------
    >>> out = counterflow_outlet_C(98.0, 12.0, wort_W_K=167.9, water_W_K=418.6, transfer_W_K=350.0)
    >>> float(out.round(1))
    28.7
    """
    wort_temperature_C = within(wort_temperature_C, -5.0, 120.0, what="wort temperature [°C]")
    water_temperature_C = within(water_temperature_C, -20.0, 120.0, what="water temperature [°C]")
    wort_W_K = within(wort_W_K, 1e-6, 1e9, what="wort [W/K]")
    water_W_K = within(water_W_K, 1e-6, 1e9, what="water [W/K]")
    transfer_W_K = np.asarray(transfer_W_K, dtype=np.float64)
    share = counterflow_effectiveness(wort_W_K, water_W_K, transfer_W_K=transfer_W_K)
    share = share * np.minimum(wort_W_K, water_W_K) / wort_W_K
    result: Array = wort_temperature_C - share * (wort_temperature_C - water_temperature_C)
    return result


def heat_capacity_flow_W_K(flow_L_min: ArrayLike, *, density_kg_L: ArrayLike, capacity_J_kg_K: ArrayLike) -> Array:
    """Return the heat that a flow carries for each kelvin.

    Parameters
    ----------
    flow_L_min : array_like of float, any shape
        Flow [L/min]; 0 or more.
    density_kg_L : array_like of float, broadcastable
        Density [kg/L]; 0.5 to 1.5.
    capacity_J_kg_K : array_like of float, broadcastable
        Heat capacity [J/(kg K)]; 1,000 to 5,000.

    Returns
    -------
    ndarray of float64, broadcast shape
        Heat capacity flow [W/K].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    q rho cp/60.

    References
    ----------
    .. [1] Heat balance. Provenance: ours.

    Examples
    --------
    >>> float(heat_capacity_flow_W_K(2.5, density_kg_L=1.02, capacity_J_kg_K=3950.0).round(1))
    167.9
    """
    flow_L_min = within(flow_L_min, 0.0, 1e6, what="flow [L/min]")
    density_kg_L = within(density_kg_L, 0.5, 1.5, what="density [kg/L]")
    capacity_J_kg_K = within(capacity_J_kg_K, 1000.0, 5000.0, what="heat capacity [J/(kg K)]")
    result: Array = flow_L_min / 60.0 * density_kg_L * capacity_J_kg_K
    return result
