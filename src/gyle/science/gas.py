"""Carbon dioxide as a gas: volumes and grams, the space it takes, the pressure in its cylinder."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = [
    "AIR_BAR",
    "CARBON_DIOXIDE_G_MOL",
    "GAS_CONSTANT_L_BAR",
    "GRAMS_PER_VOLUME",
    "g_L_of_volumes",
    "gas_mass_g",
    "gas_volume_L",
    "saturation_pressure_bar_abs",
    "volumes_of_g_L",
]

Array = NDArray[np.float64]

AIR_BAR = 1.01325  # standard atmosphere
CARBON_DIOXIDE_G_MOL = 44.0095
GAS_CONSTANT_L_BAR = 0.0831446261815  # L bar/(mol K)
GRAMS_PER_VOLUME = 1.9768  # real gas at 0 °C and 1 atm
KELVIN = 273.15
CRITICAL_K, CRITICAL_BAR = 304.1282, 73.773


def _kelvin(temperature_C: ArrayLike) -> Array:
    return within(temperature_C, -2.0, 100.0, what="temperature [°C]") + KELVIN


def volumes_of_g_L(carbon_dioxide_g_L: ArrayLike) -> Array:
    """Turn dissolved carbon dioxide from g/L into volumes.

    Parameters
    ----------
    carbon_dioxide_g_L : array_like of float, any shape
        Dissolved carbon dioxide [g/L]; 0 to 1,000.

    Returns
    -------
    ndarray of float64, same shape
        Dissolved carbon dioxide [volumes].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    One volume is the gas that fills the beer's own volume at 0 °C and 1 atm: 1.9768 g/L for the
    real gas; an ideal one would weigh 1.9635.

    References
    ----------
    .. [1] Span & Wagner 1996, J. Phys. Chem. Ref. Data 25:1509. Provenance:
       computed-with-CoolProp.
    .. [2] OIV-MA-AS314-01, pair of constants 1.951/0.987. Provenance: retrieved.

    Examples
    --------
    >>> float(volumes_of_g_L(5.0).round(3))
    2.529
    """
    carbon_dioxide_g_L = within(carbon_dioxide_g_L, 0.0, 1000.0, what="carbon dioxide [g/L]")
    result: Array = carbon_dioxide_g_L / GRAMS_PER_VOLUME
    return result


def g_L_of_volumes(carbon_dioxide_volumes: ArrayLike) -> Array:
    """Turn dissolved carbon dioxide from volumes into g/L.

    Parameters
    ----------
    carbon_dioxide_volumes : array_like of float, any shape
        Dissolved carbon dioxide [volumes]; 0 to 500.

    Returns
    -------
    ndarray of float64, same shape
        Dissolved carbon dioxide [g/L].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    1.9768 g/L for each volume.

    References
    ----------
    .. [1] Span & Wagner 1996, J. Phys. Chem. Ref. Data 25:1509. Provenance:
       computed-with-CoolProp.

    Examples
    --------
    >>> float(g_L_of_volumes(2.5).round(3))
    4.942
    """
    carbon_dioxide_volumes = within(carbon_dioxide_volumes, 0.0, 500.0, what="carbon dioxide [volumes]")
    result: Array = carbon_dioxide_volumes * GRAMS_PER_VOLUME
    return result


def saturation_pressure_bar_abs(temperature_C: ArrayLike) -> Array:
    """Return the pressure above liquid carbon dioxide, as in a gas cylinder.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Cylinder temperature [°C]; -56 to 30.97, just below the critical point.

    Returns
    -------
    ndarray of float64, same shape
        Saturation pressure [bar abs].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    The gauge of a cylinder shows this whatever it still holds: weigh it. Above 31 °C there is no
    liquid and pressure climbs steeply with filling and heat.

    References
    ----------
    .. [1] Span & Wagner 1996, J. Phys. Chem. Ref. Data 25:1509, auxiliary equation. Provenance:
       memory.

    Examples
    --------
    >>> saturation_pressure_bar_abs([10.0, 20.0]).round(1)
    array([45. , 57.3])
    """
    temperature_C = within(temperature_C, -56.0, 30.97, what="temperature [°C]")
    t = temperature_C + KELVIN
    x = 1.0 - t / CRITICAL_K
    sum_of_terms = -7.0602087 * x + 1.9391218 * x**1.5 - 1.6463597 * x**2 - 3.2995634 * x**4
    result: Array = CRITICAL_BAR * np.exp(CRITICAL_K / t * sum_of_terms)
    return result


def gas_mass_g(volume_L: ArrayLike, temperature_C: ArrayLike, *, pressure_bar_abs: ArrayLike) -> Array:
    """Return the mass of carbon dioxide gas in a space.

    Parameters
    ----------
    volume_L : array_like of float, any shape
        Space [L]; 0 or more.
    temperature_C : array_like of float, broadcastable
        Gas temperature [°C]; -2 to 100.
    pressure_bar_abs : array_like of float, broadcastable
        Pressure of carbon dioxide [bar abs]; 0 to 10.

    Returns
    -------
    ndarray of float64, broadcast shape
        Mass [g].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    p V M/(R T), ideal; at 2 bar the real gas is 1.2 % heavier. The gas that pushes V litres of
    beer out of a keg, at the keg's pressure, is this.

    References
    ----------
    .. [1] Ideal gas law. Provenance: memory.

    Examples
    --------
    >>> float(gas_mass_g(20.0, 4.0, pressure_bar_abs=1.8271).round(1))
    69.8
    """
    volume_L = within(volume_L, 0.0, 1e9, what="volume [L]")
    pressure_bar_abs = within(pressure_bar_abs, 0.0, 10.0, what="pressure [bar abs]")
    temperature_C = np.asarray(temperature_C, dtype=np.float64)
    result: Array = pressure_bar_abs * volume_L * CARBON_DIOXIDE_G_MOL / (GAS_CONSTANT_L_BAR * _kelvin(temperature_C))
    return result


def gas_volume_L(mass_g: ArrayLike, temperature_C: ArrayLike, *, pressure_bar_abs: ArrayLike) -> Array:
    """Return the space that carbon dioxide gas takes.

    Parameters
    ----------
    mass_g : array_like of float, any shape
        Carbon dioxide [g]; 0 or more.
    temperature_C : array_like of float, broadcastable
        Gas temperature [°C]; -2 to 100.
    pressure_bar_abs : array_like of float, broadcastable
        Pressure [bar abs]; 1e-6 to 10.

    Returns
    -------
    ndarray of float64, broadcast shape
        Volume [L].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    m R T/(p M), ideal.

    References
    ----------
    .. [1] Ideal gas law. Provenance: memory.

    Examples
    --------
    >>> float(gas_volume_L(799.0, 20.0, pressure_bar_abs=1.01325).round(0))
    437.0
    """
    mass_g = within(mass_g, 0.0, 1e9, what="mass [g]")
    pressure_bar_abs = within(pressure_bar_abs, 1e-6, 10.0, what="pressure [bar abs]")
    temperature_C = np.asarray(temperature_C, dtype=np.float64)
    result: Array = mass_g * GAS_CONSTANT_L_BAR * _kelvin(temperature_C) / (pressure_bar_abs * CARBON_DIOXIDE_G_MOL)
    return result
