"""Dry hopping: aroma won, bitterness changed, pH raised, and sugar set free by hop enzymes."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = [
    "aroma_extracted_fraction",
    "creep_extract_pct",
    "creep_time_days",
    "dextrin_released_g_L",
    "dry_hop_ph_rise",
    "dry_hop_saturation",
    "humulinones_mg_L",
    "iso_after_dry_hop_mg_L",
]

Array = NDArray[np.float64]

SPARED_ISO_MG_L = 20.0  # iso-alpha acids that hop matter leaves alone
PH_RISE_L_G = 0.14 / 3.8654  # 0.14 for one pound a US barrel, which is 3.8654 g/L
# Ours, through the laboratory study: real extract lost in the end, its scale of rate, and of time at 20 °C.
CREEP_EXTRACT_PCT = 2.63
CREEP_RATE_G_L = 7.0
CREEP_DAYS = 7.21
CREEP_DOUBLING_K = 10.0


def aroma_extracted_fraction(hours: ArrayLike, *, time_constant_h: ArrayLike) -> Array:
    """Return the share of the terpene alcohols that dry hops have given.

    Parameters
    ----------
    hours : array_like of float, any shape
        Contact time [h]; 0 or more.
    time_constant_h : array_like of float, broadcastable
        Time constant [h]; above 0.001: stirred 7, loose pellets at rest near 19 °C 30, twice that
        at 4 °C, half more in a bag.

    Returns
    -------
    ndarray of float64, broadcast shape
        Share of what will dissolve [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    1 - exp(-t/tau). Hydrocarbon terpenes behave otherwise: they peak at 3 to 6 h and fall [1]_.

    References
    ----------
    .. [1] Wolfe, thesis, Oregon State University 2012. Provenance: retrieved (abstract).

    Examples
    --------
    >>> aroma_extracted_fraction([24.0, 72.0], time_constant_h=30.0).round(2)
    array([0.55, 0.91])
    """
    hours = within(hours, 0.0, np.inf, what="hours")
    time_constant_h = within(time_constant_h, 0.001, 1e6, what="time constant [h]")
    result: Array = -np.expm1(-hours / time_constant_h)
    return result


def dry_hop_saturation(hop_rate_g_L: ArrayLike, *, scale_g_L: ArrayLike) -> Array:
    """Return how near a dry hop rate comes to the most aroma that more hops would give.

    Parameters
    ----------
    hop_rate_g_L : array_like of float, any shape
        Dry hops [g/L]; 0 to 1,000.
    scale_g_L : array_like of float, broadcastable
        Rate at which 63 % is reached [g/L]; 0.001 to 1,000, about 3.

    Returns
    -------
    ndarray of float64, broadcast shape
        Aroma relative to very many hops [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    1 - exp(-R/scale). Aroma of a citrus variety flattened between 4 and 8 g/L, then turned
    herbal.

    References
    ----------
    .. [1] Lafontaine & Shellhammer 2018, J. Inst. Brew. 124:434-442. Provenance: memory
       (numbers).

    Examples
    --------
    >>> dry_hop_saturation([4.0, 8.0], scale_g_L=3.0).round(2)
    array([0.74, 0.93])
    """
    hop_rate_g_L = within(hop_rate_g_L, 0.0, 1000.0, what="hop rate [g/L]")
    scale_g_L = within(scale_g_L, 0.001, 1000.0, what="scale [g/L]")
    result: Array = -np.expm1(-hop_rate_g_L / scale_g_L)
    return result


def humulinones_mg_L(hop_rate_g_L: ArrayLike, *, mass_fraction: ArrayLike, extraction: ArrayLike) -> Array:
    """Return the humulinones that dry hops add.

    Parameters
    ----------
    hop_rate_g_L : array_like of float, any shape
        Dry hops [g/L]; 0 to 1,000.
    mass_fraction : array_like of float, broadcastable
        Humulinones in the hops [1]; 0 to 1, usually 0.002 to 0.005.
    extraction : array_like of float, broadcastable
        Share that dissolves [1]; 0 to 1, near 0.9.

    Returns
    -------
    ndarray of float64, broadcast shape
        Humulinones added [mg/L].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    1000 R w x. Up to 24 mg/L has been found in beer.

    References
    ----------
    .. [1] Maye et al., MBAA annual conference 2015. Provenance: retrieved (abstract).

    Examples
    --------
    >>> float(humulinones_mg_L(7.73, mass_fraction=0.0026, extraction=0.9).round(2))
    18.09
    """
    hop_rate_g_L = within(hop_rate_g_L, 0.0, 1000.0, what="hop rate [g/L]")
    mass_fraction = within(mass_fraction, 0.0, 1.0, what="mass fraction")
    extraction = within(extraction, 0.0, 1.0, what="extraction")
    result: Array = 1000.0 * hop_rate_g_L * mass_fraction * extraction
    return result


def iso_after_dry_hop_mg_L(iso_mg_L: ArrayLike, hop_rate_g_L: ArrayLike, *, adsorption_L_g: ArrayLike) -> Array:
    """Return the iso-alpha acids left after hop matter has taken some up.

    Parameters
    ----------
    iso_mg_L : array_like of float, any shape
        Iso-alpha acids before [mg/L]; 0 to 100,000.
    hop_rate_g_L : array_like of float, broadcastable
        Dry hops [g/L]; 0 to 1,000.
    adsorption_L_g : array_like of float, broadcastable
        Uptake [L/g]; 0 to 10, 0.133 with a standard deviation of 0.05.

    Returns
    -------
    ndarray of float64, broadcast shape
        Iso-alpha acids after [mg/L].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    What exceeds 20 mg/L falls as exp(-a R): milder beers lose little [1]_. The value 0.133 passes
    through 48 to 30 mg/L at 7.7 g/L.

    References
    ----------
    .. [1] Parkin & Shellhammer 2017, J. Am. Soc. Brew. Chem. 75:363-368. Provenance: retrieved
       (abstract).

    Examples
    --------
    >>> iso_after_dry_hop_mg_L([15.0, 48.0], 7.73, adsorption_L_g=0.133).round(2)
    array([15.  , 30.02])
    """
    iso_mg_L = within(iso_mg_L, 0.0, 1e5, what="iso [mg/L]")
    hop_rate_g_L = within(hop_rate_g_L, 0.0, 1000.0, what="hop rate [g/L]")
    adsorption_L_g = within(adsorption_L_g, 0.0, 10.0, what="adsorption L [g]")
    safe = np.minimum(iso_mg_L, SPARED_ISO_MG_L)
    result: Array = safe + (iso_mg_L - safe) * np.exp(-adsorption_L_g * hop_rate_g_L)
    return result


def dry_hop_ph_rise(hop_rate_g_L: ArrayLike) -> Array:
    """Return the rise of pH from dry hops.

    Parameters
    ----------
    hop_rate_g_L : array_like of float, any shape
        Dry hops [g/L]; 0 to 1,000, linear to 10.

    Returns
    -------
    ndarray of float64, same shape
        Rise of pH near 4.2 [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    0.14 for each pound in a US barrel, 0.036 for each g/L; take a standard deviation of 0.01 for
    each g/L.

    References
    ----------
    .. [1] Maye 2016. Provenance: retrieved (secondary).

    Examples
    --------
    >>> dry_hop_ph_rise([3.8654, 8.0]).round(3)
    array([0.14, 0.29])
    """
    hop_rate_g_L = within(hop_rate_g_L, 0.0, 1000.0, what="hop rate [g/L]")
    result: Array = PH_RISE_L_G * hop_rate_g_L
    return result


def creep_time_days(days: ArrayLike, temperature_C: ArrayLike) -> Array:
    """Return contact time in days at 20 °C, as hop enzymes count it.

    Parameters
    ----------
    days : array_like of float, any shape
        Contact time of beer, hops and yeast [d]; 0 to 36,500.
    temperature_C : array_like of float, broadcastable
        Beer temperature [°C]; -5 to 60.

    Returns
    -------
    ndarray of float64, broadcast shape
        Equal time at 20 °C [d].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    The speed doubles for each 10 K.

    References
    ----------
    .. [1] Temperature law of hop enzymes in beer. Provenance: ours.

    Examples
    --------
    >>> creep_time_days(14.0, [10.0, 20.0])
    array([ 7., 14.])
    """
    days = within(days, 0.0, 36500.0, what="days")
    temperature_C = within(temperature_C, -5.0, 60.0, what="temperature [°C]")
    result: Array = days * 2.0 ** ((temperature_C - 20.0) / CREEP_DOUBLING_K)
    return result


def dextrin_released_g_L(
    hop_rate_g_L: ArrayLike,
    days: ArrayLike,
    *,
    temperature_C: ArrayLike,
    release_g_g: ArrayLike,
    time_constant_h: ArrayLike,
) -> Array:
    """Return the dextrin that hop enzymes turn into fermentable sugar.

    Parameters
    ----------
    hop_rate_g_L : array_like of float, any shape
        Dry hops [g/L]; 0 to 1,000.
    days : array_like of float, broadcastable
        Contact time of beer, hops and yeast [d]; 0 to 36,500.
    temperature_C : array_like of float, broadcastable
        Beer temperature [°C]; -5 to 60.
    release_g_g : array_like of float, broadcastable
        Dextrin set free in the end for each gram of hops [g/g]; 0 to 10, 0.7 with a range of 0.2
        to 2.0.
    time_constant_h : array_like of float, broadcastable
        Time constant at 20 °C [h]; above 0.001, 60 to 100.

    Returns
    -------
    ndarray of float64, broadcast shape
        Dextrin made fermentable [g/L]; the caller caps it by the dextrin there is.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    c R (1 - exp(-t/tau)), the time counted by `creep_time_days`. Hops taken out after three days,
    as at home, give about a third of what hops left for good gave in the laboratory. Heated hops
    give none.

    References
    ----------
    .. [1] Kirkpatrick & Shellhammer 2018, J. Agric. Food Chem. 66:9121. Provenance: retrieved
       (second-hand).
    .. [2] Bruner, Marcus & Fox 2021, Fermentation 7(2):66. Provenance: retrieved (abstract).

    Examples
    --------
    >>> released = dextrin_released_g_L(8.0, 14.0, temperature_C=18.0, release_g_g=0.7, time_constant_h=80.0)
    >>> float(released.round(2))
    5.46
    """
    hop_rate_g_L = within(hop_rate_g_L, 0.0, 1000.0, what="hop rate [g/L]")
    release_g_g = within(release_g_g, 0.0, 10.0, what="release [g/g]")
    time_constant_h = within(time_constant_h, 0.001, 1e5, what="time constant [h]")
    days = np.asarray(days, dtype=np.float64)
    temperature_C = np.asarray(temperature_C, dtype=np.float64)
    time = creep_time_days(days, temperature_C) * 24.0
    result: Array = release_g_g * hop_rate_g_L * -np.expm1(-time / time_constant_h)
    return result


def creep_extract_pct(
    hop_rate_g_L: ArrayLike, days: ArrayLike, *, temperature_C: ArrayLike, lot_factor: ArrayLike
) -> Array:
    """Return the real extract that beer lost in the laboratory study of hop creep.

    Parameters
    ----------
    hop_rate_g_L : array_like of float, any shape
        Dry hops [g/L]; 0 to 1,000.
    days : array_like of float, broadcastable
        Contact time of beer, hops and yeast [d]; 0 to 36,500.
    temperature_C : array_like of float, broadcastable
        Beer temperature [°C]; -5 to 60.
    lot_factor : array_like of float, broadcastable
        Variety, lot and contact [1]; 0 to 10: the study itself 1, a home dry hop of three days
        0.32.

    Returns
    -------
    ndarray of float64, broadcast shape
        Real extract lost [°P].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    2.63 v (1 - exp(-R/7))(1 - exp(-t/7.21 d)), fitted to 1 °P after 5 days and 2 °P after 40 at
    10 g/L and 20 °C, hops never removed. For a plan use `dextrin_released_g_L`; at 8 g/L in the
    end both agree within 5 % when v is 0.32.

    References
    ----------
    .. [1] Kirkpatrick & Shellhammer 2018, J. Agric. Food Chem. 66:9121. Provenance: retrieved
       (second-hand).

    Examples
    --------
    >>> creep_extract_pct(10.0, [5.0, 40.0], temperature_C=20.0, lot_factor=1.0).round(2)
    array([1.  , 1.99])
    """
    hop_rate_g_L = within(hop_rate_g_L, 0.0, 1000.0, what="hop rate [g/L]")
    lot_factor = within(lot_factor, 0.0, 10.0, what="lot factor")
    days = np.asarray(days, dtype=np.float64)
    temperature_C = np.asarray(temperature_C, dtype=np.float64)
    most = CREEP_EXTRACT_PCT * -np.expm1(-hop_rate_g_L / CREEP_RATE_G_L)
    result: Array = lot_factor * most * -np.expm1(-creep_time_days(days, temperature_C) / CREEP_DAYS)
    return result
