"""Cooling: Newton's law, a lidded kettle left alone, and the wait for a single-pass chiller."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = ["mean_extra_hot_minutes", "minutes_to_reach", "natural_rate_1_min", "temperature_after"]

Array = NDArray[np.float64]


def temperature_after(
    start_temperature_C: ArrayLike,
    minutes: ArrayLike,
    *,
    surroundings_temperature_C: ArrayLike,
    rate_1_min: ArrayLike,
) -> Array:
    """Return the temperature of something that cools by Newton's law.

    Parameters
    ----------
    start_temperature_C : array_like of float, any shape
        Temperature at the start [°C]; -30 to 150.
    minutes : array_like of float, broadcastable
        Time [min]; 0 or more.
    surroundings_temperature_C : array_like of float, broadcastable
        Temperature it tends to [°C]; -60 to 150.
    rate_1_min : array_like of float, broadcastable
        Rate [1/min]; 0 to 10,000: stirred immersion coil near 0.12, still 0.06, lid on and left
        alone 0.004 to 0.008.

    Returns
    -------
    ndarray of float64, broadcast shape
        Temperature at the end [°C].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Ts + (T0 - Ts) exp(-k t).

    References
    ----------
    .. [1] Newton's law of cooling. Provenance: memory.

    Examples
    --------
    >>> float(temperature_after(100.0, 30.0, surroundings_temperature_C=20.0, rate_1_min=0.005).round(2))
    88.86
    """
    start_temperature_C = within(start_temperature_C, -30.0, 150.0, what="start temperature [°C]")
    minutes = within(minutes, 0.0, np.inf, what="minutes")
    surroundings_temperature_C = within(surroundings_temperature_C, -60.0, 150.0, what="surroundings temperature [°C]")
    rate_1_min = within(rate_1_min, 0.0, 1e4, what="rate [1/min]")
    result: Array = surroundings_temperature_C + (start_temperature_C - surroundings_temperature_C) * np.exp(
        -rate_1_min * minutes
    )
    return result


def minutes_to_reach(
    start_temperature_C: ArrayLike,
    end_temperature_C: ArrayLike,
    *,
    surroundings_temperature_C: ArrayLike,
    rate_1_min: ArrayLike,
) -> Array:
    """Return the time Newton cooling takes between two temperatures.

    Parameters
    ----------
    start_temperature_C : array_like of float, any shape
        Temperature at the start [°C]; -30 to 150.
    end_temperature_C : array_like of float, broadcastable
        Wanted temperature [°C]; -30 to 150.
    surroundings_temperature_C : array_like of float, broadcastable
        Temperature it tends to [°C]; -60 to 150.
    rate_1_min : array_like of float, broadcastable
        Rate [1/min]; 1e-9 to 10,000.

    Returns
    -------
    ndarray of float64, broadcast shape
        Time [min]; infinite if the wanted temperature lies at or beyond the surroundings, 0 if
        already passed.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    ln((T0 - Ts)/(T - Ts))/k.

    References
    ----------
    .. [1] Newton's law of cooling. Provenance: memory.

    Examples
    --------
    >>> float(minutes_to_reach(100.0, 20.0, surroundings_temperature_C=12.0, rate_1_min=0.10).round(2))
    23.98
    """
    start_temperature_C = within(start_temperature_C, -30.0, 150.0, what="start temperature [°C]")
    end_temperature_C = within(end_temperature_C, -30.0, 150.0, what="end temperature [°C]")
    surroundings_temperature_C = within(surroundings_temperature_C, -60.0, 150.0, what="surroundings temperature [°C]")
    rate_1_min = within(rate_1_min, 1e-9, 1e4, what="rate [1/min]")
    far = start_temperature_C - surroundings_temperature_C
    near = end_temperature_C - surroundings_temperature_C
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = far / near
        time = np.log(np.where(ratio > 1.0, ratio, 1.0)) / rate_1_min
    beyond = (near * far <= 0.0) & (end_temperature_C != start_temperature_C)
    result: Array = np.where(beyond, np.inf, time)
    return result


def natural_rate_1_min(
    volume_L: ArrayLike, *, wort_kg_L: ArrayLike, wort_J_kg_K: ArrayLike, loss_W_K: ArrayLike
) -> Array:
    """Return the Newton rate of a vessel left to itself.

    Parameters
    ----------
    volume_L : array_like of float, any shape
        Wort [L]; above 0.001.
    wort_kg_L : array_like of float, broadcastable
        Density of the wort [kg/L]; 0.5 to 1.5.
    wort_J_kg_K : array_like of float, broadcastable
        Heat capacity of the wort [J/(kg K)]; 1,000 to 5,000.
    loss_W_K : array_like of float, broadcastable
        Heat loss of the vessel [W/K]; 0 or more, about 6 for 25 L of steel with its lid on.

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
    k = UA/(rho V cp).

    References
    ----------
    .. [1] Heat balance of a well-mixed kettle. Provenance: ours.

    Examples
    --------
    >>> float(natural_rate_1_min(25.0, wort_kg_L=1.0, wort_J_kg_K=4000.0, loss_W_K=6.0).round(4))
    0.0036
    """
    volume_L = within(volume_L, 1e-3, 1e7, what="volume [L]")
    wort_kg_L = within(wort_kg_L, 0.5, 1.5, what="wort density [kg/L]")
    wort_J_kg_K = within(wort_J_kg_K, 1000.0, 5000.0, what="heat capacity [J/(kg K)]")
    loss_W_K = within(loss_W_K, 0.0, 1e6, what="loss [W/K]")
    result: Array = 60.0 * loss_W_K / (wort_kg_L * volume_L * wort_J_kg_K)
    return result


def mean_extra_hot_minutes(volume_L: ArrayLike, flow_L_min: ArrayLike) -> Array:
    """Return how long wort waits hot, on average, for a single pass through a chiller.

    Parameters
    ----------
    volume_L : array_like of float, any shape
        Wort [L]; 0 or more.
    flow_L_min : array_like of float, broadcastable
        Flow through the chiller [L/min]; above 1e-6.

    Returns
    -------
    ndarray of float64, broadcast shape
        Mean waiting time [min].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    V/(2 q). The share isomerised, averaged over the drain, is slightly below the one at this
    time.

    References
    ----------
    .. [1] Mean of an even flow. Provenance: ours.

    Examples
    --------
    >>> float(mean_extra_hot_minutes(23.0, 2.0))
    5.75
    """
    volume_L = within(volume_L, 0.0, 1e7, what="volume [L]")
    flow_L_min = within(flow_L_min, 1e-6, 1e6, what="flow [L/min]")
    result: Array = volume_L / (2.0 * flow_L_min)
    return result
