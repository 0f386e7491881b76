"""Closed vessels: the gas left in beer, the pressure in a bottle, the vacuum of a vessel that cools."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.carbonation import carbon_dioxide_volumes, solubility_g_L_bar
from gyle.science.gas import CARBON_DIOXIDE_G_MOL, GAS_CONSTANT_L_BAR, GRAMS_PER_VOLUME
from gyle.science.ranges import within

__all__ = [
    "bottle_pressure_bar_abs",
    "closed_cooling_bar_abs",
    "residual_volumes",
    "residual_volumes_polynomial",
]

Array = NDArray[np.float64]

KELVIN = 273.15


def _headspace_g_L_bar(temperature_C: Array, headspace_ratio: Array) -> Array:
    """Return the gas that a headspace holds for each litre of beer and bar."""
    held: Array = headspace_ratio * CARBON_DIOXIDE_G_MOL / (GAS_CONSTANT_L_BAR * (temperature_C + KELVIN))
    return held


def residual_volumes(temperature_C: ArrayLike, pressure_bar_abs: ArrayLike, *, composition: ArrayLike) -> Array:
    """Return the carbon dioxide that beer still holds after fermentation.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Highest temperature reached after fermentation slowed [°C]; -10 to 80.
    pressure_bar_abs : array_like of float, broadcastable
        Carbon dioxide above the beer then [bar abs]; 0 to 30: the air's pressure in an open
        vessel, the valve's in a closed one.
    composition : array_like of float, broadcastable
        Composition factor of the beer [1]; 0.3 to 1.5.

    Returns
    -------
    ndarray of float64, broadcast shape
        Carbon dioxide left [volumes].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Later cooling puts no gas back unless the vessel is closed under carbon dioxide. True values
    lie between 0.8 (stirred, degassed) and 1.15 times this (just finished).

    References
    ----------
    .. [1] deLange 2011, fit to ASBC Methods of Analysis, Beer-13. Provenance: memory
       (coefficients).

    Examples
    --------
    >>> float(residual_volumes(20.0, 1.01325, composition=1.0).round(3))
    0.839
    """
    composition = within(composition, 0.3, 1.5, what="composition factor")
    temperature_C = np.asarray(temperature_C, dtype=np.float64)
    pressure_bar_abs = np.asarray(pressure_bar_abs, dtype=np.float64)
    result: Array = composition * carbon_dioxide_volumes(temperature_C, pressure_bar_abs)
    return result


def residual_volumes_polynomial(temperature_C: ArrayLike) -> Array:
    """Return the carbon dioxide left after fermentation, by the trade's polynomial.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Beer temperature [°C]; -5 to 40.

    Returns
    -------
    ndarray of float64, same shape
        Carbon dioxide left [volumes].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    3.0378 - 0.050062 F + 2.6555e-4 F^2 with F in °F. It is the solubility in pure water, 3 %
    above beer at 20 °C and 7 % at 2 °C: for comparison.

    References
    ----------
    .. [1] Hall 1995, Zymurgy. Provenance: memory.

    Examples
    --------
    >>> residual_volumes_polynomial([0.0, 20.0]).round(3)
    array([1.708, 0.861])
    """
    temperature_C = within(temperature_C, -5.0, 40.0, what="temperature [°C]")
    fahrenheit = 1.8 * temperature_C + 32.0
    result: Array = 3.0378 + (-0.050062 + 2.6555e-4 * fahrenheit) * fahrenheit
    return result


def bottle_pressure_bar_abs(
    volumes: ArrayLike, temperature_C: ArrayLike, *, headspace_ratio: ArrayLike, composition: ArrayLike
) -> Array:
    """Return the pressure of carbon dioxide in a bottle at rest.

    Parameters
    ----------
    volumes : array_like of float, any shape
        Carbon dioxide in the closed package, over the beer's volume [volumes]; 0 to 20.
    temperature_C : array_like of float, broadcastable
        Temperature of bottle and beer [°C]; -5 to 80.
    headspace_ratio : array_like of float, broadcastable
        Headspace over beer volume [1]; 0 to 10.
    composition : array_like of float, broadcastable
        Composition factor of the beer [1]; 0.3 to 1.5.

    Returns
    -------
    ndarray of float64, broadcast shape
        Pressure of carbon dioxide [bar abs]; air shut in adds its own.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    V 1.9768 = p (k(T) + h M/(R T)), k the solubility in the beer. A warm bottle is what bursts:
    at 40 °C its pressure is near twice that at 20.

    References
    ----------
    .. [1] deLange 2011, fit to ASBC Methods of Analysis, Beer-13, beyond the chart. Provenance:
       memory (coefficients).

    Examples
    --------
    >>> float(bottle_pressure_bar_abs(2.5, 20.0, headspace_ratio=0.04, composition=1.0).round(3))
    2.881
    """
    volumes = within(volumes, 0.0, 20.0, what="carbon dioxide [volumes]")
    temperature_C = within(temperature_C, -5.0, 80.0, what="temperature [°C]")
    headspace_ratio = within(headspace_ratio, 0.0, 10.0, what="headspace ratio")
    composition = within(composition, 0.3, 1.5, what="composition factor")
    held = composition * solubility_g_L_bar(temperature_C) + _headspace_g_L_bar(temperature_C, headspace_ratio)
    result: Array = volumes * GRAMS_PER_VOLUME / held
    return result


def closed_cooling_bar_abs(
    pressure_bar_abs: ArrayLike,
    *,
    start_temperature_C: ArrayLike,
    end_temperature_C: ArrayLike,
    headspace_ratio: ArrayLike,
    composition: ArrayLike,
) -> Array:
    """Return the pressure in a closed vessel of carbon dioxide and beer after cooling.

    Parameters
    ----------
    pressure_bar_abs : array_like of float, any shape
        Pressure when the vessel is closed [bar abs]; 0 to 10.
    start_temperature_C, end_temperature_C : array_like of float, broadcastable
        Temperature at closing and after cooling [°C]; -5 to 80.
    headspace_ratio : array_like of float, broadcastable
        Headspace over beer volume [1]; 0 to 100.
    composition : array_like of float, broadcastable
        Composition factor of the beer [1]; 0.3 to 1.5.

    Returns
    -------
    ndarray of float64, broadcast shape
        Pressure of carbon dioxide [bar abs].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    The gas in headspace and beer together stays: p2 = p1 (h/(R T1) + k1)/(h/(R T2) + k2). Cold
    beer takes gas up, so a vacuum forms that may crush a vessel or draw air in.

    References
    ----------
    .. [1] Mole balance with the chart's fit. Provenance: ours.

    Examples
    --------
    >>> cold = closed_cooling_bar_abs(
    ...     1.01325, start_temperature_C=20.0, end_temperature_C=2.0, headspace_ratio=0.25, composition=1.0
    ... )
    >>> float(cold.round(3))
    0.628
    """
    pressure_bar_abs = within(pressure_bar_abs, 0.0, 10.0, what="pressure [bar abs]")
    start_temperature_C = within(start_temperature_C, -5.0, 80.0, what="start temperature [°C]")
    end_temperature_C = within(end_temperature_C, -5.0, 80.0, what="end temperature [°C]")
    headspace_ratio = within(headspace_ratio, 0.0, 100.0, what="headspace ratio")
    composition = within(composition, 0.3, 1.5, what="composition factor")
    start = composition * solubility_g_L_bar(start_temperature_C) + _headspace_g_L_bar(
        start_temperature_C, headspace_ratio
    )
    end = composition * solubility_g_L_bar(end_temperature_C) + _headspace_g_L_bar(end_temperature_C, headspace_ratio)
    result: Array = pressure_bar_abs * start / end
    return result
