"""Bitterness in beer: what survives the kettle and the yeast, what the meter reads, what is tasted."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = [
    "analytic_bitterness",
    "bitterness_ratio",
    "gravity_survival",
    "iso_in_beer_mg_L",
    "other_bitter_matter_mg_L",
    "rate_survival",
    "relative_bitterness_ratio",
    "sensory_bitterness_mg_L",
]

Array = NDArray[np.float64]

GRAVITY_BASE = 0.000125  # fall of survival with gravity, the shape of Tinseth's bigness
RATE_LOSS_L_G = 0.0967  # ours, through the two published points of the rate survival
RATE_FREE_G_L = 0.5
RATE_FLOOR = 0.5
OTHER_TIME_MIN = 8.0  # ours: how fast other bitter matter is won from hops in hot wort
METER_FACTOR = 5.0 / 7.0
HUMULINONE_WEIGHT, HULUPONE_WEIGHT, ALPHA_WEIGHT = 0.66, 0.84, 0.10
AVERAGE_ATTENUATION = 0.7655


def gravity_survival(gravity_sg: ArrayLike) -> Array:
    """Return the share of iso-alpha acids that a strong wort keeps, against one of 1.050.

    Parameters
    ----------
    gravity_sg : array_like of float, any shape
        Gravity of the wort at the end of the boil [SG]; 0.99 to 1.2.

    Returns
    -------
    ndarray of float64, same shape
        Survival relative to SG 1.050 [1]; above 1 in weaker wort.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    0.000125^(SG - 1.050). Sugar does not slow the reaction [2]_, so the trade's penalty is a
    loss. Very strong worts lose more: one of 20 °P kept only a fifth after 60 min, so treat such
    beers as uncertain by 30 %.

    References
    ----------
    .. [1] G. Tinseth, hop utilisation function, 1997. Provenance: memory.
    .. [2] Malowicki & Shellhammer 2006, J. Am. Soc. Brew. Chem. 64:29-32. Provenance: retrieved
       (abstract).

    Examples
    --------
    >>> gravity_survival([1.050, 1.100]).round(3)
    array([1.   , 0.638])
    """
    gravity_sg = within(gravity_sg, 0.99, 1.2, what="gravity [SG]")
    result: Array = GRAVITY_BASE ** (gravity_sg - 1.050)
    return result


def rate_survival(pellet_rate_g_L: ArrayLike) -> Array:
    """Return the share of iso-alpha acids that survives a high rate of kettle hops.

    Parameters
    ----------
    pellet_rate_g_L : array_like of float, any shape
        Pellets in the kettle over the finished volume [g/L]; 0 to 1,000, meant to 5.

    Returns
    -------
    ndarray of float64, same shape
        Survival [1]; 1 up to 0.5 g/L, never below 0.5.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    exp(-0.0967 (R - 0.5)), through one pair of published points: a 13 °P beer kept 45.3 % at 0.13
    lb/bbl and 30.6 % at 1.18 lb/bbl.

    References
    ----------
    .. [1] Justus 2018, MBAA Tech. Q. 55(3):67-74, as reported by Hieronymus 2018. Provenance:
       retrieved (secondary).

    Examples
    --------
    >>> rate_survival([0.4, 4.561]).round(3)
    array([1.   , 0.675])
    """
    pellet_rate_g_L = within(pellet_rate_g_L, 0.0, 1000.0, what="pellet rate [g/L]")
    result: Array = np.maximum(np.exp(-RATE_LOSS_L_G * np.maximum(pellet_rate_g_L - RATE_FREE_G_L, 0.0)), RATE_FLOOR)
    return result


def iso_in_beer_mg_L(
    iso_in_kettle_mg_L: ArrayLike,
    *,
    hot_survival: ArrayLike,
    fermentation_survival: ArrayLike,
    gravity_sg: ArrayLike,
    pellet_rate_g_L: ArrayLike,
) -> Array:
    """Return the iso-alpha acids that reach the beer.

    Parameters
    ----------
    iso_in_kettle_mg_L : array_like of float, any shape
        Iso-alpha acids by the reaction alone [mg/L]; 0 to 100,000.
    hot_survival : array_like of float, broadcastable
        Share that leaves the kettle [1]; 0 to 1, usually 0.60 to 0.95.
    fermentation_survival : array_like of float, broadcastable
        Share that outlasts yeast and foam [1]; 0 to 1, usually 0.55 to 0.85.
    gravity_sg : array_like of float, broadcastable
        Gravity of the wort at the end of the boil [SG]; 0.99 to 1.2.
    pellet_rate_g_L : array_like of float, broadcastable
        Pellets in the kettle over the finished volume [g/L]; 0 to 1,000.

    Returns
    -------
    ndarray of float64, broadcast shape
        Iso-alpha acids in the beer [mg/L].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    The product of the four survivals. Gravity and rate losses are in it; a solubility cap would
    count the same loss again.

    References
    ----------
    .. [1] Justus 2018, MBAA Tech. Q. 55(3):67-74. Provenance: retrieved (abstract; cellar loss
       33.7 % of bitterness on average).

    Examples
    --------
    >>> beer = iso_in_beer_mg_L(
    ...     47.59, hot_survival=0.75, fermentation_survival=0.65, gravity_sg=1.050, pellet_rate_g_L=0.5
    ... )
    >>> float(beer.round(1))
    23.2
    """
    iso_in_kettle_mg_L = within(iso_in_kettle_mg_L, 0.0, 1e5, what="iso in kettle [mg/L]")
    hot_survival = within(hot_survival, 0.0, 1.0, what="hot survival")
    fermentation_survival = within(fermentation_survival, 0.0, 1.0, what="fermentation survival")
    gravity_sg = np.asarray(gravity_sg, dtype=np.float64)
    pellet_rate_g_L = np.asarray(pellet_rate_g_L, dtype=np.float64)
    result: Array = (
        iso_in_kettle_mg_L
        * hot_survival
        * fermentation_survival
        * gravity_survival(gravity_sg)
        * rate_survival(pellet_rate_g_L)
    )
    return result


def other_bitter_matter_mg_L(alpha_added_mg_L: ArrayLike, minutes: ArrayLike, *, share: ArrayLike) -> Array:
    """Return the bitter matter of hot hops that is not iso-alpha acid.

    Parameters
    ----------
    alpha_added_mg_L : array_like of float, any shape
        Alpha acids added [mg/L]; 0 to 100,000.
    minutes : array_like of float, broadcastable
        Contact above about 60 °C [min]; 0 or more.
    share : array_like of float, broadcastable
        Such matter over alpha acids at long contact [1]; 0 to 1, near 0.09, more in aged hops.

    Returns
    -------
    ndarray of float64, broadcast shape
        Other bitter matter, as the iso-alpha acids that read alike [mg/L].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    share x alpha (1 - exp(-t/8)). It is not reduced by the survivals of iso-alpha acids. With
    0.09 and an iso survival of 0.49 the meter reading follows Tinseth at 1.050 within 1.1 % of
    the alpha acids from 3 to 75 min.

    References
    ----------
    .. [1] Fit to the trade's curve. Provenance: ours.

    Examples
    --------
    >>> float(other_bitter_matter_mg_L(100.0, 60.0, share=0.09).round(3))
    8.995
    """
    alpha_added_mg_L = within(alpha_added_mg_L, 0.0, 1e5, what="alpha added [mg/L]")
    minutes = within(minutes, 0.0, np.inf, what="minutes")
    share = within(share, 0.0, 1.0, what="share")
    result: Array = share * alpha_added_mg_L * -np.expm1(-minutes / OTHER_TIME_MIN)
    return result


def analytic_bitterness(iso_mg_L: ArrayLike, other_mg_L: ArrayLike) -> Array:
    """Return the bitterness that the analytic method reads.

    Parameters
    ----------
    iso_mg_L : array_like of float, any shape
        Iso-alpha acids [mg/L]; 0 to 100,000.
    other_mg_L : array_like of float, broadcastable
        Other matter that reads alike, as iso-alpha acids [mg/L]; 0 to 100,000.

    Returns
    -------
    ndarray of float64, broadcast shape
        Analytic bitterness [BU].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    (5/7)(iso + other): the factor of the method was set on beers of which some 70 % of the
    absorbing matter was iso-alpha acid.

    References
    ----------
    .. [1] Bishop 1967, J. Inst. Brew. 73:525; ASBC Beer-23A and EBC 9.8. Provenance: memory.

    Examples
    --------
    >>> float(analytic_bitterness(23.2, 9.0).round(2))
    23.0
    """
    iso_mg_L = within(iso_mg_L, 0.0, 1e5, what="iso [mg/L]")
    other_mg_L = within(other_mg_L, 0.0, 1e5, what="other [mg/L]")
    result: Array = METER_FACTOR * (iso_mg_L + other_mg_L)
    return result


def sensory_bitterness_mg_L(
    iso_mg_L: ArrayLike, *, humulinones_mg_L: ArrayLike, hulupones_mg_L: ArrayLike, alpha_mg_L: ArrayLike
) -> Array:
    """Return the bitterness as tasters weigh it.

    Parameters
    ----------
    iso_mg_L : array_like of float, any shape
        Iso-alpha acids [mg/L]; 0 to 100,000.
    humulinones_mg_L : array_like of float, broadcastable
        Humulinones [mg/L]; 0 to 100,000.
    hulupones_mg_L : array_like of float, broadcastable
        Hulupones [mg/L]; 0 to 100,000, normally below 2.
    alpha_mg_L : array_like of float, broadcastable
        Alpha acids in the beer [mg/L]; 0 to 100,000, usually 10 to 25 after dry hops.

    Returns
    -------
    ndarray of float64, broadcast shape
        Bitterness as the iso-alpha acids that taste alike [mg/L].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    iso + 0.66 humulinones + 0.84 hulupones + 0.10 alpha. Older work gave humulinones 0.35; take a
    standard deviation of 0.15 on their weight.

    References
    ----------
    .. [1] Maye & Smith 2016, MBAA Tech. Q. 53(3). Provenance: retrieved (weights).

    Examples
    --------
    >>> tasted = sensory_bitterness_mg_L(30.0, humulinones_mg_L=18.0, hulupones_mg_L=0.0, alpha_mg_L=14.0)
    >>> float(tasted.round(2))
    43.28
    """
    iso_mg_L = within(iso_mg_L, 0.0, 1e5, what="iso [mg/L]")
    humulinones_mg_L = within(humulinones_mg_L, 0.0, 1e5, what="humulinones [mg/L]")
    hulupones_mg_L = within(hulupones_mg_L, 0.0, 1e5, what="hulupones [mg/L]")
    alpha_mg_L = within(alpha_mg_L, 0.0, 1e5, what="alpha [mg/L]")
    result: Array = (
        iso_mg_L + HUMULINONE_WEIGHT * humulinones_mg_L + HULUPONE_WEIGHT * hulupones_mg_L + ALPHA_WEIGHT * alpha_mg_L
    )
    return result


def bitterness_ratio(bitterness_bu: ArrayLike, gravity_sg: ArrayLike) -> Array:
    """Return bitterness over original gravity.

    Parameters
    ----------
    bitterness_bu : array_like of float, any shape
        Bitterness [BU or IBU, as named by its model]; 0 to 10,000.
    gravity_sg : array_like of float, broadcastable
        Original gravity [SG]; 1.001 to 1.2.

    Returns
    -------
    ndarray of float64, broadcast shape
        Ratio of bitterness to gravity points [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    BU / (1000 (OG - 1)). Blind to attenuation, alcohol, salts and roast.

    References
    ----------
    .. [1] Daniels 1996, Designing Great Beers. Provenance: memory.

    Examples
    --------
    >>> bitterness_ratio([35.0, 90.0], [1.050, 1.110]).round(3)
    array([0.7  , 0.818])
    """
    bitterness_bu = within(bitterness_bu, 0.0, 1e4, what="bitterness bu")
    gravity_sg = within(gravity_sg, 1.001, 1.2, what="gravity [SG]")
    result: Array = bitterness_bu / (1000.0 * (gravity_sg - 1.0))
    return result


def relative_bitterness_ratio(
    bitterness_bu: ArrayLike, gravity_sg: ArrayLike, *, apparent_attenuation: ArrayLike
) -> Array:
    """Return the bitterness ratio corrected for how dry the beer is.

    Parameters
    ----------
    bitterness_bu : array_like of float, any shape
        Bitterness [BU or IBU, as named by its model]; 0 to 10,000.
    gravity_sg : array_like of float, broadcastable
        Original gravity [SG]; 1.001 to 1.2.
    apparent_attenuation : array_like of float, broadcastable
        Apparent degree of fermentation as a fraction [1]; -0.5 to 1.5.

    Returns
    -------
    ndarray of float64, broadcast shape
        Corrected ratio [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    BU:GU (1 + ADF - 0.7655), where 0.7655 is an average attenuation of beer styles.

    References
    ----------
    .. [1] Shwayder, essay, about 2009. Provenance: memory.

    Examples
    --------
    >>> float(relative_bitterness_ratio(60.0, 1.065, apparent_attenuation=0.80).round(3))
    0.955
    """
    apparent_attenuation = within(apparent_attenuation, -0.5, 1.5, what="apparent attenuation")
    bitterness_bu = np.asarray(bitterness_bu, dtype=np.float64)
    gravity_sg = np.asarray(gravity_sg, dtype=np.float64)
    result: Array = bitterness_ratio(bitterness_bu, gravity_sg) * (1.0 + apparent_attenuation - AVERAGE_ATTENUATION)
    return result
