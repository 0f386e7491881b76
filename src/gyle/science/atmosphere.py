"""Air pressure, the boil of water and wort, and the heat that leaves as steam."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = [
    "boiling_point_elevation_K",
    "latent_heat_kJ_kg",
    "pressure_Pa",
    "saturation_pressure_Pa",
    "water_boiling_temperature_C",
]

Array = NDArray[np.float64]

KELVIN_AT_0_C = 273.15

# ISO 2533 standard atmosphere below 11 km: sea level, lapse of temperature, gravity, gas constant of air.
SEA_LEVEL_PA = 101_325.0
SEA_LEVEL_K = 288.15
LAPSE_K_M = 0.0065
GRAVITY_M_S2 = 9.80665
AIR_GAS_CONSTANT_J_KGK = 287.05287
BAROMETRIC_EXPONENT = GRAVITY_M_S2 / (LAPSE_K_M * AIR_GAS_CONSTANT_J_KGK)

# IAPWS R7-97, region 4, coefficients n1 to n10 of the saturation line.
N1, N2, N3, N4, N5 = 1167.0521452767, -724213.16703206, -17.073846940092, 12020.82470247, -3232555.0322333
N6, N7, N8, N9, N10 = 14.91510861353, -4823.2657361591, 405113.40542057, -0.23855557567849, 650.17534844798

TRIPLE_LINE_PA = 611.213
CRITICAL_PA = 22.064e6
CRITICAL_C = 373.946

# Heat of vaporisation, cubic in °C fitted to IAPWS-95 from 0 to 120 °C; worst misfit 0.053 kJ/kg.
LATENT_HEAT_KJ_KG = (2500.92581, -2.37736111, 5.94287946e-4, -1.27509694e-5)

WATER_EBULLIOSCOPIC_K_KG_MOL = 0.512


def pressure_Pa(altitude_m: ArrayLike) -> Array:
    """Give the air pressure of the standard atmosphere at an altitude.

    Parameters
    ----------
    altitude_m : array_like of float, any shape
        Altitude above sea level [m]; -500 to 9000.

    Returns
    -------
    ndarray of float64, same shape
        Air pressure [Pa].

    Raises
    ------
    OutOfRange
        If an altitude is not a number or outside -500 to 9000 m.

    Notes
    -----
    p = p0 (1 - L z / T0)^(g / (L R)), the same as 101325 (1 - 2.25577e-5 z)^5.25588.
    Weather moves it by about 2 kPa either way; a barometer's own reading is better.

    References
    ----------
    .. [1] ISO 2533, Standard Atmosphere, 1975. Provenance: memory.

    Examples
    --------
    >>> pressure_Pa([0.0, 1000.0]).round(1)
    array([101325. ,  89874.6])
    """
    altitude = within(altitude_m, -500.0, 9000.0, what="altitude [m]")
    return np.asarray(SEA_LEVEL_PA * (1.0 - LAPSE_K_M / SEA_LEVEL_K * altitude) ** BAROMETRIC_EXPONENT)


def water_boiling_temperature_C(pressure_Pa: ArrayLike) -> Array:
    """Give the temperature at which water boils under a pressure.

    Parameters
    ----------
    pressure_Pa : array_like of float, any shape
        Absolute pressure over the water [Pa]; 611.213 to 22.064e6.

    Returns
    -------
    ndarray of float64, same shape
        Boiling temperature of pure water [°C].

    Raises
    ------
    OutOfRange
        If a pressure is not a number or outside 611.213 Pa to 22.064 MPa.

    Notes
    -----
    Backward equation of region 4: a closed quadratic in the fourth root of the pressure. From 50
    to 110 kPa it stays within 0.005 K of the scientific formulation.

    References
    ----------
    .. [1] IAPWS R7-97(2012), equation 31. Provenance: retrieved.

    Examples
    --------
    >>> water_boiling_temperature_C([101325.0, 84000.0]).round(3)
    array([99.974, 94.804])
    """
    pressure = within(pressure_Pa, TRIPLE_LINE_PA, CRITICAL_PA, what="pressure [Pa]")
    root = np.sqrt(np.sqrt(pressure * 1e-6))
    e = (root + N3) * root + N6
    f = (N1 * root + N4) * root + N7
    g = (N2 * root + N5) * root + N8
    d = 2.0 * g / (-f - np.sqrt(f * f - 4.0 * e * g))
    total = N10 + d
    return np.asarray(0.5 * (total - np.sqrt(total * total - 4.0 * (N9 + N10 * d))) - KELVIN_AT_0_C)


def saturation_pressure_Pa(temperature_C: ArrayLike) -> Array:
    """Give the vapour pressure of water at a temperature.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Water temperature [°C]; 0 to 373.946.

    Returns
    -------
    ndarray of float64, same shape
        Pressure of the saturated vapour [Pa].

    Raises
    ------
    OutOfRange
        If a temperature is not a number or outside 0 to 373.946 °C.

    Notes
    -----
    The basic equation of region 4, of which the boiling temperature is the exact inverse.

    References
    ----------
    .. [1] IAPWS R7-97(2012), equation 30. Provenance: retrieved.

    Examples
    --------
    >>> saturation_pressure_Pa([18.0, 66.0]).round(0)
    array([ 2065., 26183.])
    """
    kelvin = within(temperature_C, 0.0, CRITICAL_C, what="temperature [°C]") + KELVIN_AT_0_C
    theta = kelvin + N9 / (kelvin - N10)
    a = (theta + N1) * theta + N2
    b = (N3 * theta + N4) * theta + N5
    c = (N6 * theta + N7) * theta + N8
    root = 2.0 * c / (-b + np.sqrt(b * b - 4.0 * a * c))
    return np.asarray(1e6 * (root * root) ** 2)


def latent_heat_kJ_kg(temperature_C: ArrayLike) -> Array:
    """Give the heat that turns water into steam at a temperature.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Temperature of the boiling or evaporating water [°C]; 0 to 120.

    Returns
    -------
    ndarray of float64, same shape
        Heat of vaporisation [kJ/kg].

    Raises
    ------
    OutOfRange
        If a temperature is not a number or outside 0 to 120 °C.

    Notes
    -----
    A cubic in the temperature, fitted by least squares to the difference of the saturated
    enthalpies of the scientific formulation; it misses none by more than 0.003 per cent.

    References
    ----------
    .. [1] Wagner and Pruss, J. Phys. Chem. Ref. Data 31, 387 (2002), IAPWS-95.
       Provenance: computed-with-CoolProp.

    Examples
    --------
    >>> latent_heat_kJ_kg([20.0, 99.974]).round(1)
    array([2453.5, 2256.5])
    """
    t = within(temperature_C, 0.0, 120.0, what="temperature [°C]")
    c0, c1, c2, c3 = LATENT_HEAT_KJ_KG
    return np.asarray(c0 + t * (c1 + t * (c2 + t * c3)))


def boiling_point_elevation_K(extract_pct: ArrayLike, *, solute_g_mol: ArrayLike) -> Array:
    """Give how much hotter than water a wort boils.

    Parameters
    ----------
    extract_pct : array_like of float, any shape
        Extract of the wort [% by mass]; 0 to 60.
    solute_g_mol : array_like of float, broadcasting with the extract
        Mean molar mass of the extract [g/mol]; 100 to 2000. Maltose alone has 342;
        400 stands for a wort with its dextrins.

    Returns
    -------
    ndarray of float64, broadcast shape
        Boiling point of the wort less that of water [K].

    Raises
    ------
    OutOfRange
        If an extract or a molar mass is not a number or outside its range.

    Notes
    -----
    0.512 K times the moles of solute in a kilogram of water (Raoult, ideal).

    References
    ----------
    .. [1] Ebullioscopic constant of water, 0.512 K kg/mol. Provenance: memory.

    Examples
    --------
    >>> boiling_point_elevation_K([12.0, 20.0], solute_g_mol=342.0).round(3)
    array([0.204, 0.374])
    """
    p = within(extract_pct, 0.0, 60.0, what="extract [%]")
    molar_mass = within(solute_g_mol, 100.0, 2000.0, what="molar mass of the extract [g/mol]")
    return np.asarray(WATER_EBULLIOSCOPIC_K_KG_MOL * 1000.0 * p / ((100.0 - p) * molar_mass))
