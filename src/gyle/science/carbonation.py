"""Carbonation of beer: what it holds at a pressure and a temperature, and the pressure it asks for."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.gas import GRAMS_PER_VOLUME
from gyle.science.ranges import within

__all__ = [
    "STANDARD_ABV_PCT",
    "STANDARD_EXTRACT_G_L",
    "carbon_dioxide_volumes",
    "composition_factor",
    "equilibrium_pressure_bar_abs",
    "mixed_gas_pressure_bar_abs",
    "oiv_solubility_g_L",
    "regulator_pressure_bar_g",
    "solubility_g_L_bar",
]

Array = NDArray[np.float64]

KELVIN = 273.15
PSI_BAR = 0.0689476
# Fit to the chart of standard beer: volumes = psi (a + b exp(-(F - 32)/c)) - d.
FIT_BASE, FIT_RISE, FIT_SCALE_F, FIT_OFFSET = 0.01821, 0.090115, 43.11, 0.003342
# The beers behind the chart, as inferred in 2013.
STANDARD_ABV_PCT, STANDARD_EXTRACT_G_L = 5.41, 58.5
# Relative fall of solubility with alcohol and with sugar, at 20 °C.
ALCOHOL_ZERO_PCT, EXTRACT_SLOPE_L_G = 86.0, 0.00144


def _slope(temperature_C: ArrayLike) -> Array:
    """Return volumes for each bar of standard beer."""
    celsius = within(temperature_C, -10.0, 80.0, what="temperature [°C]")
    slope: Array = (FIT_BASE + FIT_RISE * np.exp(celsius * (-1.8 / FIT_SCALE_F))) / PSI_BAR
    return slope


def carbon_dioxide_volumes(temperature_C: ArrayLike, pressure_bar_abs: ArrayLike) -> Array:
    """Return the carbon dioxide that standard beer holds in equilibrium.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Beer temperature [°C]; -10 to 80, published for 0 to 16.
    pressure_bar_abs : array_like of float, broadcastable
        Pressure of carbon dioxide [bar abs]; 0 to 30, published for 1 to 3.

    Returns
    -------
    ndarray of float64, broadcast shape
        Dissolved carbon dioxide [volumes].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    V = p (0.01821 + 0.090115 exp(-(F - 32)/43.11)) - 0.003342, p in psi absolute, F in °F. Beyond
    the chart it keeps 0.945 to 0.953 of the solubility in water from 0 to 30 °C. Sources on beer
    differ: take a standard deviation of 4 %, the same for a whole batch. Beer of another strength
    holds `composition_factor` times as much.

    References
    ----------
    .. [1] deLange 2011, fit to ASBC Methods of Analysis, Beer-13. Provenance: memory
       (coefficients; definition of the volume retrieved).
    .. [2] Speers & MacIntosh 2013, J. Am. Soc. Brew. Chem. 71:242. Provenance: retrieved
       (abstract; strength of the standard beer).

    Examples
    --------
    >>> float(carbon_dioxide_volumes(4.0, 1.8271).round(3))
    2.5
    """
    pressure_bar_abs = within(pressure_bar_abs, 0.0, 30.0, what="pressure [bar abs]")
    temperature_C = np.asarray(temperature_C, dtype=np.float64)
    result: Array = np.maximum(_slope(temperature_C) * pressure_bar_abs - FIT_OFFSET, 0.0)
    return result


def equilibrium_pressure_bar_abs(volumes: ArrayLike, temperature_C: ArrayLike) -> Array:
    """Return the pressure at which standard beer holds the wanted carbon dioxide.

    Parameters
    ----------
    volumes : array_like of float, any shape
        Wanted carbon dioxide over its composition factor [volumes]; 0 to 20.
    temperature_C : array_like of float, broadcastable
        Beer temperature [°C]; -10 to 80, published for 0 to 16.

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
    The exact inverse of `carbon_dioxide_volumes`. For beer of another strength divide the volumes
    by `composition_factor` first.

    References
    ----------
    .. [1] deLange 2011, fit to ASBC Methods of Analysis, Beer-13. Provenance: memory
       (coefficients).

    Examples
    --------
    >>> float(equilibrium_pressure_bar_abs(2.5, 4.0).round(4))
    1.8271
    """
    volumes = within(volumes, 0.0, 20.0, what="carbon dioxide [volumes]")
    temperature_C = np.asarray(temperature_C, dtype=np.float64)
    result: Array = (volumes + FIT_OFFSET) / _slope(temperature_C)
    return result


def regulator_pressure_bar_g(
    volumes: ArrayLike, temperature_C: ArrayLike, *, composition: ArrayLike, air_pressure_Pa: ArrayLike
) -> Array:
    """Return the gauge pressure to set for the wanted carbon dioxide.

    Parameters
    ----------
    volumes : array_like of float, any shape
        Wanted carbon dioxide [volumes]; 0 to 20 over the composition factor.
    temperature_C : array_like of float, broadcastable
        Beer temperature [°C]; -10 to 80.
    composition : array_like of float, broadcastable
        Composition factor of the beer [1]; 0.3 to 1.5, 1 for standard beer.
    air_pressure_Pa : array_like of float, broadcastable
        Pressure of the air at the place [Pa]; 20,000 to 120,000.

    Returns
    -------
    ndarray of float64, broadcast shape
        Gauge pressure [bar]; negative where the air alone presses more.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Absolute pressure less that of the air: at 1,600 m the gauge reads 0.18 bar more than at the
    sea for the same beer.

    References
    ----------
    .. [1] deLange 2011, fit to ASBC Methods of Analysis, Beer-13. Provenance: memory
       (coefficients).

    Examples
    --------
    >>> float(regulator_pressure_bar_g(2.5, 4.0, composition=1.0, air_pressure_Pa=101325.0).round(3))
    0.814
    """
    composition = within(composition, 0.3, 1.5, what="composition factor")
    air_pressure_Pa = within(air_pressure_Pa, 2e4, 1.2e5, what="air pressure [Pa]")
    volumes = np.asarray(volumes, dtype=np.float64)
    temperature_C = np.asarray(temperature_C, dtype=np.float64)
    standard = np.asarray(volumes, dtype=np.float64) / composition
    return equilibrium_pressure_bar_abs(standard, temperature_C) - air_pressure_Pa / 1e5


def solubility_g_L_bar(temperature_C: ArrayLike) -> Array:
    """Return the solubility of carbon dioxide in standard beer.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Beer temperature [°C]; -10 to 80.

    Returns
    -------
    ndarray of float64, same shape
        Solubility [g/(L bar)].

    Raises
    ------
    OutOfRange
        If a temperature is not a number or outside -10 to 80 °C.

    Notes
    -----
    The slope of the chart's fit, without its small intercept. Other sources give 2.40 to 2.56 at
    6 °C.

    References
    ----------
    .. [1] deLange 2011, fit to ASBC Methods of Analysis, Beer-13. Provenance: memory
       (coefficients).
    .. [2] Liger-Belair & Cilindre 2021, ACS Omega 6:9672. Provenance: retrieved.

    Examples
    --------
    >>> float(solubility_g_L_bar(6.0).round(2))
    2.53
    """
    temperature_C = np.asarray(temperature_C, dtype=np.float64)
    result: Array = _slope(temperature_C) * GRAMS_PER_VOLUME
    return result


def oiv_solubility_g_L(pressure_bar_abs: ArrayLike, *, abv_pct: ArrayLike, sugar_g_L: ArrayLike) -> Array:
    """Return the carbon dioxide that wine holds at 20 °C, after the wine office's formula.

    Parameters
    ----------
    pressure_bar_abs : array_like of float, any shape
        Pressure of carbon dioxide [bar abs]; 0 to 10.
    abv_pct : array_like of float, broadcastable
        Alcohol [% ABV]; 0 to 20.
    sugar_g_L : array_like of float, broadcastable
        Sugar [g/L]; 0 to 300.

    Returns
    -------
    ndarray of float64, broadcast shape
        Dissolved carbon dioxide [g/L].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    1.951 p (0.86 - 0.01 A)(1 - 0.00144 S). Here as the source of how strength matters, not as a
    value for beer.

    References
    ----------
    .. [1] OIV-MA-AS314-01; Regulation (EEC) 2676/90, Annex. Provenance: retrieved.

    Examples
    --------
    >>> float(oiv_solubility_g_L(1.0, abv_pct=12.5, sugar_g_L=10.0).round(4))
    1.4133
    """
    pressure_bar_abs = within(pressure_bar_abs, 0.0, 10.0, what="pressure [bar abs]")
    abv_pct = within(abv_pct, 0.0, 20.0, what="alcohol [% ABV]")
    sugar_g_L = within(sugar_g_L, 0.0, 300.0, what="sugar [g/L]")
    result: Array = 1.951 * pressure_bar_abs * (0.86 - 0.01 * abv_pct) * (1.0 - EXTRACT_SLOPE_L_G * sugar_g_L)
    return result


def composition_factor(abv_pct: ArrayLike, real_extract_g_L: ArrayLike, *, extract_weight: ArrayLike) -> Array:
    """Return how much carbon dioxide a beer holds against standard beer.

    Parameters
    ----------
    abv_pct : array_like of float, any shape
        Alcohol [% ABV]; 0 to 20, sound to about 15.
    real_extract_g_L : array_like of float, broadcastable
        Real extract [g/L]; 0 to 400.
    extract_weight : array_like of float, broadcastable
        Effect of beer extract against that of sugar [1]; 0 to 1, 0.5 with all of the range open.

    Returns
    -------
    ndarray of float64, broadcast shape
        Carbon dioxide relative to standard beer at the same temperature and pressure [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    (86 - A)/(86 - 5.41) x (1 - 0.00144 w E)/(1 - 0.00144 w 58.5): the relative form of a formula
    for wine at 20 °C, anchored on the beers behind the chart. The weight is ours, for dextrins
    are larger molecules than sugar. At 12 % ABV a beer holds a tenth less.

    References
    ----------
    .. [1] OIV-MA-AS314-01; Regulation (EEC) 2676/90, Annex. Provenance: retrieved.
    .. [2] Speers & MacIntosh 2013, J. Am. Soc. Brew. Chem. 71:242. Provenance: retrieved
       (abstract).

    Examples
    --------
    >>> float(composition_factor(12.0, 75.0, extract_weight=0.5).round(4))
    0.9068
    """
    abv_pct = within(abv_pct, 0.0, 20.0, what="alcohol [% ABV]")
    real_extract_g_L = within(real_extract_g_L, 0.0, 400.0, what="real extract [g/L]")
    extract_weight = within(extract_weight, 0.0, 1.0, what="extract weight")
    slope = EXTRACT_SLOPE_L_G * extract_weight
    alcohol = (ALCOHOL_ZERO_PCT - abv_pct) / (ALCOHOL_ZERO_PCT - STANDARD_ABV_PCT)
    result: Array = alcohol * (1.0 - slope * real_extract_g_L) / (1.0 - slope * STANDARD_EXTRACT_G_L)
    return result


def mixed_gas_pressure_bar_abs(equilibrium_bar_abs: ArrayLike, *, carbon_dioxide_share: ArrayLike) -> Array:
    """Return the total pressure of a gas mixture that keeps the carbonation.

    Parameters
    ----------
    equilibrium_bar_abs : array_like of float, any shape
        Equilibrium pressure of carbon dioxide [bar abs]; 0 to 30.
    carbon_dioxide_share : array_like of float, broadcastable
        Carbon dioxide in the gas by volume [1]; 0.01 to 1.

    Returns
    -------
    ndarray of float64, broadcast shape
        Total pressure [bar abs].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Only the partial pressure of carbon dioxide counts: p/x.

    References
    ----------
    .. [1] Dalton's law. Provenance: memory.

    Examples
    --------
    >>> float(mixed_gas_pressure_bar_abs(0.88, carbon_dioxide_share=0.30).round(2))
    2.93
    """
    equilibrium_bar_abs = within(equilibrium_bar_abs, 0.0, 30.0, what="equilibrium [bar abs]")
    carbon_dioxide_share = within(carbon_dioxide_share, 0.01, 1.0, what="carbon dioxide share")
    result: Array = equilibrium_bar_abs / carbon_dioxide_share
    return result
