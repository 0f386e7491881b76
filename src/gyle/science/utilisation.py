"""Trade estimates of bitterness: what published recipes were written with."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = [
    "rager_ibu",
    "rager_utilisation",
    "tinseth_alpha_mg_L",
    "tinseth_bigness",
    "tinseth_ibu",
    "tinseth_utilisation",
]

Array = NDArray[np.float64]

# Tinseth: largest utilisation at gravity 1.000, its fall with gravity, and the time curve.
TINSETH_BIGNESS = 1.65
TINSETH_GRAVITY_BASE = 0.000125
TINSETH_RATE_1_MIN = 0.04
TINSETH_SCALE = 4.15
# Last minute of each class of boiling time, and the utilisation of the class [%].
RAGER_CLASSES = (5, 10, 15, 20, 25, 30, 35, 40, 45, 50, 60)
RAGER_PCT = (5.0, 6.0, 8.0, 10.1, 12.1, 15.3, 18.8, 22.8, 26.9, 28.1, 30.0)
RAGER_GRAVITY_SG, RAGER_GRAVITY_STEP = 1.050, 0.2


def _class_fraction(minutes: Array, classes: tuple[int, ...], percent: tuple[float, ...]) -> Array:
    """Look up the class a time falls in; times beyond the last class take the last value."""
    index = np.searchsorted(np.asarray(classes, dtype=np.float64), minutes, side="left")
    fraction: Array = np.asarray(percent)[np.minimum(index, len(percent) - 1)] / 100.0
    return fraction


def tinseth_bigness(gravity_sg: ArrayLike) -> Array:
    """Return Tinseth's gravity factor.

    Parameters
    ----------
    gravity_sg : array_like of float, any shape
        Gravity of the boiling wort [SG]; 0.99 to 1.2, published for 1.030 to 1.130.

    Returns
    -------
    ndarray of float64, same shape
        Bigness factor [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    1.65 x 0.000125^(SG - 1). Brewers feed it the mean gravity of the boil or that at its end; a
    figure should say which.

    References
    ----------
    .. [1] G. Tinseth, hop utilisation function, 1997. Provenance: memory.

    Examples
    --------
    >>> tinseth_bigness([1.050, 1.100]).round(4)
    array([1.0528, 0.6717])
    """
    gravity_sg = within(gravity_sg, 0.99, 1.2, what="gravity [SG]")
    result: Array = TINSETH_BIGNESS * TINSETH_GRAVITY_BASE ** (gravity_sg - 1.0)
    return result


def tinseth_utilisation(minutes: ArrayLike, gravity_sg: ArrayLike) -> Array:
    """Return Tinseth's utilisation of alpha acids.

    Parameters
    ----------
    minutes : array_like of float, any shape
        Boiling time [min]; 0 or more, published to 120.
    gravity_sg : array_like of float, broadcastable
        Gravity of the boiling wort [SG]; 0.99 to 1.2, published for 1.030 to 1.130.

    Returns
    -------
    ndarray of float64, broadcast shape
        Utilisation, whole hops [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Bigness x (1 - exp(-0.04 t))/4.15. It gives nothing to hops added after the boil, which is its
    known failure and never means that they bring no bitterness.

    References
    ----------
    .. [1] G. Tinseth, hop utilisation function, 1997. Provenance: memory.

    Examples
    --------
    >>> tinseth_utilisation([15.0, 60.0], 1.050).round(3)
    array([0.114, 0.231])
    """
    minutes = within(minutes, 0.0, np.inf, what="minutes")
    gravity_sg = within(gravity_sg, 0.99, 1.2, what="gravity [SG]")
    curve = -np.expm1(-TINSETH_RATE_1_MIN * minutes) / TINSETH_SCALE
    result: Array = TINSETH_BIGNESS * TINSETH_GRAVITY_BASE ** (gravity_sg - 1.0) * curve
    return result


def tinseth_ibu(alpha_mg_L: ArrayLike, minutes: ArrayLike, *, gravity_sg: ArrayLike) -> Array:
    """Return the trade estimate of bitterness after Tinseth.

    Parameters
    ----------
    alpha_mg_L : array_like of float, any shape
        Alpha acids added, over the finished volume [mg/L]; 0 to 100,000.
    minutes : array_like of float, broadcastable
        Boiling time [min]; 0 or more.
    gravity_sg : array_like of float, broadcastable
        Gravity of the boiling wort [SG]; 0.99 to 1.2.

    Returns
    -------
    ndarray of float64, broadcast shape
        Estimated bitterness [IBU after Tinseth].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Whole hops; multiply by a form factor near 1.10 (1.00 to 1.25) for pellets, as the trade does.

    References
    ----------
    .. [1] G. Tinseth, hop utilisation function, 1997. Provenance: memory.

    Examples
    --------
    >>> float(tinseth_ibu(150.0, 60.0, gravity_sg=1.050).round(2))
    34.6
    """
    alpha_mg_L = within(alpha_mg_L, 0.0, 100000.0, what="alpha [mg/L]")
    minutes = np.asarray(minutes, dtype=np.float64)
    gravity_sg = np.asarray(gravity_sg, dtype=np.float64)
    result: Array = alpha_mg_L * tinseth_utilisation(minutes, gravity_sg)
    return result


def tinseth_alpha_mg_L(ibu: ArrayLike, minutes: ArrayLike, *, gravity_sg: ArrayLike) -> Array:
    """Return the alpha acids that a wanted bitterness takes after Tinseth.

    Parameters
    ----------
    ibu : array_like of float, any shape
        Wanted bitterness [IBU after Tinseth]; 0 to 10,000.
    minutes : array_like of float, broadcastable
        Boiling time [min]; above 0.01.
    gravity_sg : array_like of float, broadcastable
        Gravity of the boiling wort [SG]; 0.99 to 1.2.

    Returns
    -------
    ndarray of float64, broadcast shape
        Alpha acids to add [mg/L].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    The inverse of `tinseth_ibu`. In strong wort the answer passes what boiling wort dissolves,
    near 250 mg/L: then the aim is out of reach with one addition.

    References
    ----------
    .. [1] G. Tinseth, hop utilisation function, 1997. Provenance: memory.

    Examples
    --------
    >>> float(tinseth_alpha_mg_L(90.0, 60.0, gravity_sg=1.110).round(0))
    669.0
    """
    ibu = within(ibu, 0.0, 10000.0, what="ibu")
    minutes = within(minutes, 0.01, np.inf, what="minutes")
    gravity_sg = np.asarray(gravity_sg, dtype=np.float64)
    result: Array = ibu / tinseth_utilisation(minutes, gravity_sg)
    return result


def rager_utilisation(minutes: ArrayLike) -> Array:
    """Return Rager's utilisation of alpha acids.

    Parameters
    ----------
    minutes : array_like of float, any shape
        Boiling time [min]; 0 or more; beyond 60 the value of 60.

    Returns
    -------
    ndarray of float64, same shape
        Utilisation [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Eleven classes of boiling time. Hops after the boil keep the first class, 5 %.

    References
    ----------
    .. [1] Rager 1990, Zymurgy Special Issue 13(4):53-54. Provenance: retrieved (quoted in a hops
       list of the 1990s up to 45 min; above from memory, 60 min in a letter of 1992).

    Examples
    --------
    >>> rager_utilisation([12.0, 33.0, 60.0])
    array([0.08 , 0.188, 0.3  ])
    """
    minutes = within(minutes, 0.0, np.inf, what="minutes")
    result: Array = _class_fraction(minutes, RAGER_CLASSES, RAGER_PCT)
    return result


def rager_ibu(alpha_mg_L: ArrayLike, minutes: ArrayLike, *, boil_gravity_sg: ArrayLike) -> Array:
    """Return the trade estimate of bitterness after Rager.

    Parameters
    ----------
    alpha_mg_L : array_like of float, any shape
        Alpha acids added, over the finished volume [mg/L]; 0 to 100,000.
    minutes : array_like of float, broadcastable
        Boiling time [min]; 0 or more.
    boil_gravity_sg : array_like of float, broadcastable
        Gravity of the boiling wort [SG]; 0.99 to 1.2.

    Returns
    -------
    ndarray of float64, broadcast shape
        Estimated bitterness [IBU after Rager].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Utilisation over 1 + (SG - 1.050)/0.2 above 1.050. The article prints the constant as .050, a
    slip; 1.050 is meant.

    References
    ----------
    .. [1] Rager 1990, Zymurgy Special Issue 13(4):53-54, with the correction of 1992. Provenance:
       retrieved (quotation).

    Examples
    --------
    >>> float(rager_ibu(150.0, 60.0, boil_gravity_sg=1.050).round(1))
    45.0
    """
    alpha_mg_L = within(alpha_mg_L, 0.0, 100000.0, what="alpha [mg/L]")
    boil_gravity_sg = within(boil_gravity_sg, 0.99, 1.2, what="boil gravity [SG]")
    minutes = np.asarray(minutes, dtype=np.float64)
    strong = np.maximum(boil_gravity_sg - RAGER_GRAVITY_SG, 0.0) / RAGER_GRAVITY_STEP
    result: Array = alpha_mg_L * rager_utilisation(minutes) / (1.0 + strong)
    return result
