"""Oxygen in wort, headspace and package: what air brings, what purging leaves."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.gas import GAS_CONSTANT_L_BAR
from gyle.science.ranges import within

__all__ = [
    "oxygen_air_saturated_mg_L",
    "oxygen_in_gas_mg_L",
    "oxygen_in_wort_mg_L",
    "oxygen_let_in_mg_L",
    "package_oxygen_mg_L",
    "purge_oxygen_fraction",
]

Array = NDArray[np.float64]

KELVIN = 273.15
AIR_OXYGEN = 0.2095
OXYGEN_G_MOL = 31.998
WORT_SALTING_PCT = 0.0075  # ours: fall of solubility for each °P


def oxygen_air_saturated_mg_L(temperature_C: ArrayLike) -> Array:
    """Return the oxygen in water that stands in air at 1 atm.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Water temperature [°C]; 0 to 40.

    Returns
    -------
    ndarray of float64, same shape
        Dissolved oxygen [mg/L].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    ln c = -139.34411 + 1.575701e5/T - 6.642308e7/T^2 + 1.243800e10/T^3 - 8.621949e11/T^4.

    References
    ----------
    .. [1] Benson & Krause 1984, Limnol. Oceanogr. 29:620. Provenance: memory.

    Examples
    --------
    >>> oxygen_air_saturated_mg_L([10.0, 20.0]).round(2)
    array([11.29,  9.09])
    """
    temperature_C = within(temperature_C, 0.0, 40.0, what="temperature [°C]")
    t = temperature_C + KELVIN
    result: Array = np.exp(-139.34411 + (1.575701e5 + (-6.642308e7 + (1.243800e10 - 8.621949e11 / t) / t) / t) / t)
    return result


def oxygen_in_wort_mg_L(temperature_C: ArrayLike, extract_pct: ArrayLike, *, gas_oxygen: ArrayLike) -> Array:
    """Return the oxygen in wort that stands in a gas at 1 atm.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Wort temperature [°C]; 0 to 40.
    extract_pct : array_like of float, broadcastable
        Extract [°P]; 0 to 60.
    gas_oxygen : array_like of float, broadcastable
        Oxygen in the gas by volume [1]; 0 to 1, 0.2095 for air.

    Returns
    -------
    ndarray of float64, broadcast shape
        Dissolved oxygen [mg/L].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Water's value times (1 - 0.0075 P), with a standard deviation of 3 %. With air no wort reaches
    the 12 mg/L that strong beer wants; only pure oxygen does. Pure oxygen feeds fire.

    References
    ----------
    .. [1] Benson & Krause 1984 with a salting-out term. Provenance: ours.

    Examples
    --------
    >>> oxygen_in_wort_mg_L(20.0, [12.0, 24.0], gas_oxygen=0.2095).round(1)
    array([8.3, 7.5])
    """
    extract_pct = within(extract_pct, 0.0, 60.0, what="extract [°P]")
    gas_oxygen = within(gas_oxygen, 0.0, 1.0, what="oxygen in the gas")
    temperature_C = np.asarray(temperature_C, dtype=np.float64)
    result: Array = (
        oxygen_air_saturated_mg_L(temperature_C) * gas_oxygen / AIR_OXYGEN * (1.0 - WORT_SALTING_PCT * extract_pct)
    )
    return result


def oxygen_in_gas_mg_L(oxygen_share: ArrayLike, temperature_C: ArrayLike, *, pressure_bar_abs: ArrayLike) -> Array:
    """Return the mass of oxygen in a litre of gas.

    Parameters
    ----------
    oxygen_share : array_like of float, any shape
        Oxygen by volume [1]; 0 to 1, 0.2095 for air.
    temperature_C : array_like of float, broadcastable
        Gas temperature [°C]; -20 to 100.
    pressure_bar_abs : array_like of float, broadcastable
        Pressure [bar abs]; 0 to 10.

    Returns
    -------
    ndarray of float64, broadcast shape
        Oxygen [mg/L of gas].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Ideal gas. A millilitre of air at 20 °C brings 0.279 mg.

    References
    ----------
    .. [1] Ideal gas law. Provenance: memory.

    Examples
    --------
    >>> float(oxygen_in_gas_mg_L(0.2095, 20.0, pressure_bar_abs=1.01325).round(0))
    279.0
    """
    oxygen_share = within(oxygen_share, 0.0, 1.0, what="oxygen share")
    temperature_C = within(temperature_C, -20.0, 100.0, what="temperature [°C]")
    pressure_bar_abs = within(pressure_bar_abs, 0.0, 10.0, what="pressure [bar abs]")
    result: Array = (
        1000.0 * OXYGEN_G_MOL * oxygen_share * pressure_bar_abs / (GAS_CONSTANT_L_BAR * (temperature_C + KELVIN))
    )
    return result


def purge_oxygen_fraction(purges: ArrayLike, *, pressure_bar_g: ArrayLike, air_bar: ArrayLike) -> Array:
    """Return the oxygen left in a headspace after it is filled with gas and vented.

    Parameters
    ----------
    purges : array_like of float, any shape
        Number of times [1]; 0 to 1,000.
    pressure_bar_g : array_like of float, broadcastable
        Pressure each time [bar gauge]; 0 to 10.
    air_bar : array_like of float, broadcastable
        Pressure of the air at the place [bar]; 0.2 to 1.2.

    Returns
    -------
    ndarray of float64, broadcast shape
        Oxygen by volume [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    0.2095 (p/(p + pg))^n, if each time mixes wholly. Pushing a brim-full keg empty with carbon
    dioxide leaves less.

    References
    ----------
    .. [1] Dilution. Provenance: ours.

    Examples
    --------
    >>> float(purge_oxygen_fraction(3, pressure_bar_g=2.07, air_bar=1.01325).round(4))
    0.0074
    """
    purges = within(purges, 0.0, 1000.0, what="purges")
    pressure_bar_g = within(pressure_bar_g, 0.0, 10.0, what="purge pressure [bar gauge]")
    air_bar = within(air_bar, 0.2, 1.2, what="air pressure [bar]")
    result: Array = AIR_OXYGEN * (air_bar / (air_bar + pressure_bar_g)) ** purges
    return result


def package_oxygen_mg_L(
    headspace_oxygen: ArrayLike,
    headspace_ratio: ArrayLike,
    *,
    temperature_C: ArrayLike,
    pressure_bar_abs: ArrayLike,
    dissolved_mg_L: ArrayLike,
) -> Array:
    """Return all oxygen in a package over its beer.

    Parameters
    ----------
    headspace_oxygen : array_like of float, any shape
        Oxygen in the headspace by volume [1]; 0 to 1.
    headspace_ratio : array_like of float, broadcastable
        Headspace over beer volume [1]; 0 to 100.
    temperature_C : array_like of float, broadcastable
        Temperature [°C]; -20 to 100.
    pressure_bar_abs : array_like of float, broadcastable
        Pressure at which the share was taken [bar abs]; 0 to 10.
    dissolved_mg_L : array_like of float, broadcastable
        Oxygen dissolved in the beer [mg/L]; 0 to 100.

    Returns
    -------
    ndarray of float64, broadcast shape
        Total oxygen [mg/L of beer].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Below 0.03 is wanted for hop-forward beer, 0.05 to 0.3 is what closed transfer gives, 1 and
    more what pouring in air gives (common practice).

    References
    ----------
    .. [1] Mass balance. Provenance: ours.

    Examples
    --------
    >>> total = package_oxygen_mg_L(
    ...     0.007435, 1 / 19, temperature_C=20.0, pressure_bar_abs=1.01325, dissolved_mg_L=0.0
    ... )
    >>> float(total.round(3))
    0.521
    """
    headspace_oxygen = within(headspace_oxygen, 0.0, 1.0, what="headspace oxygen")
    headspace_ratio = within(headspace_ratio, 0.0, 100.0, what="headspace ratio")
    dissolved_mg_L = within(dissolved_mg_L, 0.0, 100.0, what="dissolved [mg/L]")
    temperature_C = np.asarray(temperature_C, dtype=np.float64)
    pressure_bar_abs = np.asarray(pressure_bar_abs, dtype=np.float64)
    result: Array = dissolved_mg_L + headspace_ratio * oxygen_in_gas_mg_L(
        headspace_oxygen, temperature_C, pressure_bar_abs=pressure_bar_abs
    )
    return result


def oxygen_let_in_mg_L(vacuum_bar: ArrayLike, headspace_ratio: ArrayLike, *, temperature_C: ArrayLike) -> Array:
    """Return the oxygen that air brings when it fills a vacuum.

    Parameters
    ----------
    vacuum_bar : array_like of float, any shape
        Air pressure less pressure in the vessel [bar]; 0 to 1.2.
    headspace_ratio : array_like of float, broadcastable
        Headspace over beer volume [1]; 0 to 100.
    temperature_C : array_like of float, broadcastable
        Temperature of the headspace [°C]; -20 to 100.

    Returns
    -------
    ndarray of float64, broadcast shape
        Oxygen [mg/L of beer], at most.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Air enters until the pressures are equal; then all its oxygen goes into the beer.

    References
    ----------
    .. [1] Mass balance. Provenance: ours.

    Examples
    --------
    >>> float(oxygen_let_in_mg_L(0.385, 0.25, temperature_C=2.0).round(1))
    28.2
    """
    vacuum_bar = within(vacuum_bar, 0.0, 1.2, what="vacuum [bar]")
    headspace_ratio = within(headspace_ratio, 0.0, 100.0, what="headspace ratio")
    temperature_C = np.asarray(temperature_C, dtype=np.float64)
    result: Array = headspace_ratio * oxygen_in_gas_mg_L(AIR_OXYGEN, temperature_C, pressure_bar_abs=vacuum_bar)
    return result
