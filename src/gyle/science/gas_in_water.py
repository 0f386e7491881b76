"""Carbon dioxide in water, the physics beside which beer is judged: solubility and diffusion."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.density import water_kg_m3
from gyle.science.gas import AIR_BAR, CARBON_DIOXIDE_G_MOL
from gyle.science.ranges import within

__all__ = [
    "carroll_henry_MPa",
    "diffusion_water_m2_s",
    "water_solubility_g_L_bar",
    "water_solubility_two_parameter_g_L_bar",
    "water_solubility_weiss_g_L_bar",
    "water_solubility_wilhelm_g_L_bar",
]

Array = NDArray[np.float64]

WATER_G_MOL = 18.01528
KELVIN = 273.15


def _kelvin(temperature_C: ArrayLike) -> Array:
    return within(temperature_C, -2.0, 100.0, what="temperature [°C]") + KELVIN


def _of_mole_fraction(fraction: Array, temperature_C: ArrayLike) -> Array:
    """Turn the mole fraction of a dilute solution into g/L."""
    water = water_kg_m3(np.clip(np.asarray(temperature_C, dtype=np.float64), 0.0, 100.0))
    return water / WATER_G_MOL * CARBON_DIOXIDE_G_MOL * fraction


def carroll_henry_MPa(temperature_C: ArrayLike) -> Array:
    """Return the Henry constant of carbon dioxide in water after Carroll.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Water temperature [°C]; -2 to 100, published for 0 to 160.

    Returns
    -------
    ndarray of float64, same shape
        Henry constant, fugacity over mole fraction [MPa].

    Raises
    ------
    OutOfRange
        If a temperature is not a number or outside -2 to 100 °C.

    Notes
    -----
    ln H = -6.8346 + 12817/T - 3.7668e6/T^2 + 2.997e8/T^3.

    References
    ----------
    .. [1] Carroll, Slupsky & Mather 1991, J. Phys. Chem. Ref. Data 20:1201. Provenance: retrieved
       (abstract).

    Examples
    --------
    >>> float(carroll_henry_MPa(25.0).round(2))
    161.97
    """
    temperature_C = np.asarray(temperature_C, dtype=np.float64)
    t = _kelvin(temperature_C)
    result: Array = np.exp(-6.8346 + (1.2817e4 + (-3.7668e6 + 2.997e8 / t) / t) / t)
    return result


def water_solubility_g_L_bar(temperature_C: ArrayLike) -> Array:
    """Return the solubility of carbon dioxide in water, the recommended one.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Water temperature [°C]; -2 to 100.

    Returns
    -------
    ndarray of float64, same shape
        Solubility [g/(L bar)] of carbon dioxide pressure.

    Raises
    ------
    OutOfRange
        If a temperature is not a number or outside -2 to 100 °C.

    Notes
    -----
    Carroll's Henry constant turned to grams by the density of water. Full correlations agree
    within 2 %. The gas is taken as ideal; its fugacity coefficient is 0.995 at 1 bar and 0.985 at
    3.

    References
    ----------
    .. [1] Carroll, Slupsky & Mather 1991, J. Phys. Chem. Ref. Data 20:1201. Provenance: retrieved
       (abstract).

    Examples
    --------
    >>> float(water_solubility_g_L_bar(20.0).round(3))
    1.725
    """
    temperature_C = np.asarray(temperature_C, dtype=np.float64)
    return _of_mole_fraction(0.1 / carroll_henry_MPa(temperature_C), temperature_C)


def water_solubility_weiss_g_L_bar(temperature_C: ArrayLike) -> Array:
    """Return the solubility of carbon dioxide in water after Weiss.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Water temperature [°C]; -2 to 100, published for 0 to 40.

    Returns
    -------
    ndarray of float64, same shape
        Solubility [g/(L bar)].

    Raises
    ------
    OutOfRange
        If a temperature is not a number or outside -2 to 100 °C.

    Notes
    -----
    ln K0 = -58.0931 + 90.5069 (100/T) + 22.2940 ln(T/100), mol/(L atm), fresh water.

    References
    ----------
    .. [1] Weiss 1974, Marine Chemistry 2:203. Provenance: memory.

    Examples
    --------
    >>> float(water_solubility_weiss_g_L_bar(20.0).round(3))
    1.698
    """
    temperature_C = np.asarray(temperature_C, dtype=np.float64)
    t = _kelvin(temperature_C) / 100.0
    result: Array = np.exp(-58.0931 + 90.5069 / t + 22.2940 * np.log(t)) * CARBON_DIOXIDE_G_MOL / AIR_BAR
    return result


def water_solubility_wilhelm_g_L_bar(temperature_C: ArrayLike) -> Array:
    """Return the solubility of carbon dioxide in water after Wilhelm.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Water temperature [°C]; -2 to 100, published for 0 to 80.

    Returns
    -------
    ndarray of float64, same shape
        Solubility [g/(L bar)].

    Raises
    ------
    OutOfRange
        If a temperature is not a number or outside -2 to 100 °C.

    Notes
    -----
    ln x = -159.854 + 8741.68/T + 21.6694 ln T - 1.10261e-3 T, mole fraction at 1 atm.

    References
    ----------
    .. [1] Wilhelm, Battino & Wilcock 1977, Chem. Rev. 77:219. Provenance: memory.

    Examples
    --------
    >>> float(water_solubility_wilhelm_g_L_bar(20.0).round(3))
    1.691
    """
    temperature_C = np.asarray(temperature_C, dtype=np.float64)
    t = _kelvin(temperature_C)
    fraction: Array = np.exp(-159.854 + 8741.68 / t + 21.6694 * np.log(t) - 1.10261e-3 * t)
    return _of_mole_fraction(fraction, temperature_C) / AIR_BAR


def water_solubility_two_parameter_g_L_bar(temperature_C: ArrayLike) -> Array:
    """Return the solubility of carbon dioxide in water by a two-parameter law.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Water temperature [°C]; -2 to 100, honest from 15 to 35.

    Returns
    -------
    ndarray of float64, same shape
        Solubility [g/(L bar)].

    Raises
    ------
    OutOfRange
        If a temperature is not a number or outside -2 to 100 °C.

    Notes
    -----
    3.3e-4 exp(2400 (1/T - 1/298.15)) mol/(m3 Pa). From 6 to 10 % low between 0 and 5 °C, for its
    slope is that of 25 °C: here to be compared with, not to be used for cold beer.

    References
    ----------
    .. [1] Sander 2023, Atmos. Chem. Phys. 23:10901. Provenance: retrieved.

    Examples
    --------
    >>> float(water_solubility_two_parameter_g_L_bar(4.0).round(3))
    2.673
    """
    temperature_C = np.asarray(temperature_C, dtype=np.float64)
    result: Array = (
        3.3e-4 * np.exp(2400.0 * (1.0 / _kelvin(temperature_C) - 1.0 / 298.15)) * 100.0 * CARBON_DIOXIDE_G_MOL
    )
    return result


def diffusion_water_m2_s(temperature_C: ArrayLike) -> Array:
    """Return the diffusion coefficient of carbon dioxide in water.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Water temperature [°C]; -2 to 100, published for 10 to 35.

    Returns
    -------
    ndarray of float64, same shape
        Diffusion coefficient [m²/s].

    Raises
    ------
    OutOfRange
        If a temperature is not a number or outside -2 to 100 °C.

    Notes
    -----
    5.019e-6 exp(-19510/(R T)). For beer divide by the ratio of the viscosities: 6.8e-10 at 6 °C.

    References
    ----------
    .. [1] Jähne, Heinz & Dietrich 1987, J. Geophys. Res. 92:10767. Provenance: retrieved
       (handbook table; parameters from memory).

    Examples
    --------
    >>> float((1e9 * diffusion_water_m2_s(25.0)).round(2))
    1.92
    """
    temperature_C = np.asarray(temperature_C, dtype=np.float64)
    result: Array = 5.019e-6 * np.exp(-19510.0 / (8.314462618 * _kelvin(temperature_C)))
    return result
