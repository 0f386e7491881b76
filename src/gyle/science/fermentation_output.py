"""What a fermentation gives off: carbon dioxide, heat, attenuation."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = [
    "carbon_dioxide_classical_kg",
    "carbon_dioxide_from_extract_kg",
    "extract_fermented_kg",
    "fermentation_heat_kJ",
    "fermentation_power_W",
    "heat_kJ_g",
    "real_attenuation",
    "self_heating_K",
]

Array = NDArray[np.float64]

# Balling: for each gram of alcohol.
CARBON_DIOXIDE_PER_ALCOHOL, EXTRACT_PER_ALCOHOL = 0.9565, 2.0665
REAL_OF_APPARENT = 0.8192
POINT_G_L = 2.12  # real extract that ferments for 0.001 of gravity, at an original gravity of 1.050
HOUR_S = 3600.0
# Classical real extract from original and apparent extract.
ORIGINAL_WEIGHT = 0.1808


def extract_fermented_kg(ethanol_kg: ArrayLike) -> Array:
    """Return the extract that a mass of alcohol came from.

    Parameters
    ----------
    ethanol_kg : array_like of float, any shape
        Ethanol formed [kg]; 0 or more.

    Returns
    -------
    ndarray of float64, same shape
        Extract fermented [kg].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    2.0665 times the ethanol.

    References
    ----------
    .. [1] Balling, 1843-65, via Nielsen et al., Scandinavian School of Brewing. Provenance:
       retrieved.

    Examples
    --------
    >>> float(extract_fermented_kg(0.8213).round(3))
    1.697
    """
    ethanol_kg = within(ethanol_kg, 0.0, 1e9, what="ethanol [kg]")
    result: Array = EXTRACT_PER_ALCOHOL * ethanol_kg
    return result


def carbon_dioxide_from_extract_kg(extract_fermented_kg: ArrayLike) -> Array:
    """Return the carbon dioxide that fermented extract gives.

    Parameters
    ----------
    extract_fermented_kg : array_like of float, any shape
        Extract fermented [kg]; 0 or more.

    Returns
    -------
    ndarray of float64, same shape
        Carbon dioxide [kg].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    0.9565/2.0665 of the extract; 0.489 or 0.514 by stoichiometry of a hexose or of maltose,
    without growth.

    References
    ----------
    .. [1] Balling, 1843-65, via Nielsen et al., Scandinavian School of Brewing. Provenance:
       retrieved.

    Examples
    --------
    >>> float(carbon_dioxide_from_extract_kg(3.230).round(3))
    1.495
    """
    extract_fermented_kg = within(extract_fermented_kg, 0.0, 1e9, what="extract fermented [kg]")
    result: Array = CARBON_DIOXIDE_PER_ALCOHOL / EXTRACT_PER_ALCOHOL * extract_fermented_kg
    return result


def carbon_dioxide_classical_kg(
    wort_mass_kg: ArrayLike, *, original_extract_pct: ArrayLike, apparent_extract_pct: ArrayLike
) -> Array:
    """Return the carbon dioxide of a whole fermentation by the classical rule.

    Parameters
    ----------
    wort_mass_kg : array_like of float, any shape
        Wort [kg]; 0 or more.
    original_extract_pct : array_like of float, broadcastable
        Original extract [°P]; -1 to 60.
    apparent_extract_pct : array_like of float, broadcastable
        Apparent extract of the beer [°P]; -10 to 60.

    Returns
    -------
    ndarray of float64, broadcast shape
        Carbon dioxide [kg].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    RE = 0.1808 OE + 0.8192 AE, A = (OE - RE)/(2.0665 - 0.010665 OE), of a beer mass of wort/(1 +
    1.0665 A/100). Some 2 % above the closed balance of alcohol and density: on the safe side for
    a room.

    References
    ----------
    .. [1] Balling, 1843-65, via Nielsen et al., Scandinavian School of Brewing. Provenance:
       retrieved.

    Examples
    --------
    >>> made = carbon_dioxide_classical_kg(20.962, original_extract_pct=12.387, apparent_extract_pct=2.561)
    >>> float(made.round(2))
    0.8
    """
    wort_mass_kg = within(wort_mass_kg, 0.0, 1e9, what="wort mass [kg]")
    original_extract_pct = within(original_extract_pct, -1.0, 60.0, what="original extract [°P]")
    apparent_extract_pct = within(apparent_extract_pct, -10.0, 60.0, what="apparent extract [°P]")
    real = ORIGINAL_WEIGHT * original_extract_pct + REAL_OF_APPARENT * apparent_extract_pct
    alcohol = (original_extract_pct - real) / (EXTRACT_PER_ALCOHOL - 0.010665 * original_extract_pct) / 100.0
    result: Array = CARBON_DIOXIDE_PER_ALCOHOL * alcohol * wort_mass_kg / (1.0 + 1.0665 * alcohol)
    return result


def heat_kJ_g(heat_kJ_mol: ArrayLike, *, molar_mass_g_mol: ArrayLike) -> Array:
    """Turn a heat of fermentation from moles to grams.

    Parameters
    ----------
    heat_kJ_mol : array_like of float, any shape
        Heat [kJ/mol]; 0 to 10,000.
    molar_mass_g_mol : array_like of float, broadcastable
        Molar mass of the sugar [g/mol]; 10 to 10,000.

    Returns
    -------
    ndarray of float64, broadcast shape
        Heat [kJ/g].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Division. Take 0.60 with a spread of 0.04 kJ for each gram of extract; a circulating 1.22 is
    thermochemically impossible.

    References
    ----------
    .. [1] Gee & Ramirez 1994, J. Inst. Brew. 100:321. Provenance: retrieved (91.2, 226.3 and
       361.3 kJ/mol).

    Examples
    --------
    >>> heat_kJ_g([91.2, 226.3], molar_mass_g_mol=[180.156, 342.297]).round(3)
    array([0.506, 0.661])
    """
    heat_kJ_mol = within(heat_kJ_mol, 0.0, 1e4, what="heat [kJ/mol]")
    molar_mass_g_mol = within(molar_mass_g_mol, 10.0, 1e4, what="molar mass [g/mol]")
    result: Array = heat_kJ_mol / molar_mass_g_mol
    return result


def fermentation_heat_kJ(extract_fermented_kg: ArrayLike, *, heat_kJ_g: ArrayLike) -> Array:
    """Return the heat that fermented extract gives off.

    Parameters
    ----------
    extract_fermented_kg : array_like of float, any shape
        Extract fermented [kg]; 0 or more.
    heat_kJ_g : array_like of float, broadcastable
        Heat [kJ/g]; 0 to 10, near 0.60.

    Returns
    -------
    ndarray of float64, broadcast shape
        Heat [kJ].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Product; without cooling it warms 1.050 wort by 12 K and 1.090 wort by 25 K.

    References
    ----------
    .. [1] Heat balance. Provenance: ours.

    Examples
    --------
    >>> float(fermentation_heat_kJ(3.230, heat_kJ_g=0.59).round(0))
    1906.0
    """
    extract_fermented_kg = within(extract_fermented_kg, 0.0, 1e9, what="extract fermented [kg]")
    heat_kJ_g = within(heat_kJ_g, 0.0, 10.0, what="heat [kJ/g]")
    result: Array = 1000.0 * heat_kJ_g * extract_fermented_kg
    return result


def fermentation_power_W(points_per_hour: ArrayLike, volume_L: ArrayLike, *, heat_kJ_g: ArrayLike) -> Array:
    """Return the heat that a fermentation gives off at its present speed.

    Parameters
    ----------
    points_per_hour : array_like of float, any shape
        Fall of gravity [0.001 SG/h]; 0 to 100.
    volume_L : array_like of float, broadcastable
        Beer [L]; 0 or more.
    heat_kJ_g : array_like of float, broadcastable
        Heat [kJ/g]; 0 to 10, near 0.60.

    Returns
    -------
    ndarray of float64, broadcast shape
        Power [W].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    A point is 2.12 g of real extract in a litre (2.15 from 1.090).

    References
    ----------
    .. [1] Heat balance with Balling's equation. Provenance: ours.

    Examples
    --------
    >>> float(fermentation_power_W(1.0, 20.0, heat_kJ_g=0.60).round(2))
    7.07
    """
    points_per_hour = within(points_per_hour, 0.0, 100.0, what="points per hour")
    volume_L = within(volume_L, 0.0, 1e7, what="volume [L]")
    heat_kJ_g = within(heat_kJ_g, 0.0, 10.0, what="heat [kJ/g]")
    result: Array = points_per_hour * POINT_G_L * volume_L * heat_kJ_g * 1000.0 / HOUR_S
    return result


def self_heating_K(
    points_per_hour: ArrayLike, *, loss_1_h: ArrayLike, heat_kJ_g: ArrayLike, beer_kJ_L_K: ArrayLike
) -> Array:
    """Return how much warmer than its room a fermenting beer settles.

    Parameters
    ----------
    points_per_hour : array_like of float, any shape
        Fall of gravity [0.001 SG/h]; 0 to 100.
    loss_1_h : array_like of float, broadcastable
        Heat loss over heat capacity of the full vessel, UA/C [1/h]; above 1e-6: 0.07 to 0.12 for
        20 L in a room.
    heat_kJ_g : array_like of float, broadcastable
        Heat [kJ/g]; 0 to 10, near 0.60.
    beer_kJ_L_K : array_like of float, broadcastable
        Heat capacity of beer [kJ/(L K)]; 1 to 10, near 4.0.

    Returns
    -------
    ndarray of float64, broadcast shape
        Rise above the room at a steady speed [K].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Heat made over heat lost; a few hours are needed to reach it.

    References
    ----------
    .. [1] Heat balance with Balling's equation. Provenance: ours.

    Examples
    --------
    >>> float(self_heating_K(1.0, loss_1_h=0.09, heat_kJ_g=0.60, beer_kJ_L_K=4.0).round(1))
    3.5
    """
    points_per_hour = within(points_per_hour, 0.0, 100.0, what="points per hour")
    loss_1_h = within(loss_1_h, 1e-6, 100.0, what="loss [1/h]")
    heat_kJ_g = within(heat_kJ_g, 0.0, 10.0, what="heat [kJ/g]")
    beer_kJ_L_K = within(beer_kJ_L_K, 1.0, 10.0, what="heat capacity [kJ/(L K)]")
    result: Array = points_per_hour * POINT_G_L * heat_kJ_g / (beer_kJ_L_K * loss_1_h)
    return result


def real_attenuation(apparent_attenuation: ArrayLike) -> Array:
    """Return the real degree of fermentation by the classical rule.

    Parameters
    ----------
    apparent_attenuation : array_like of float, any shape
        Apparent degree of fermentation [1]; -0.5 to 1.5.

    Returns
    -------
    ndarray of float64, same shape
        Real degree of fermentation, (OE - RE)/OE [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    0.8192 of the apparent one.

    References
    ----------
    .. [1] Balling, 1843-65, via Nielsen et al., Scandinavian School of Brewing. Provenance:
       retrieved.

    Examples
    --------
    >>> float(real_attenuation(0.80).round(3))
    0.655
    """
    apparent_attenuation = within(apparent_attenuation, -0.5, 1.5, what="apparent attenuation")
    result: Array = REAL_OF_APPARENT * apparent_attenuation
    return result
