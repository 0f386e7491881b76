"""Garetz's estimate of bitterness, which sees altitude and hop rate in its own way."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = ["garetz_hop_rate_factor", "garetz_ibu", "garetz_utilisation"]

Array = NDArray[np.float64]

# Last minute of each class of boiling time, and the utilisation of the class [%].
GARETZ_CLASSES = (10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90)
GARETZ_PCT = (0.0, 2.0, 5.0, 8.0, 11.0, 14.0, 16.0, 18.0, 19.0, 20.0, 21.0, 22.0, 23.0)
GARETZ_HOP_RATE_IBU = 260.0
FOOT_M = 0.3048


def garetz_utilisation(minutes: ArrayLike) -> Array:
    """Return Garetz's utilisation of alpha acids for an average yeast.

    Parameters
    ----------
    minutes : array_like of float, any shape
        Boiling time [min]; 0 or more; beyond 90 the value of 90.

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
    Thirteen classes of boiling time; nothing in the first ten minutes.

    References
    ----------
    .. [1] Garetz 1994, Using Hops. Provenance: memory.

    Examples
    --------
    >>> garetz_utilisation([5.0, 12.0, 60.0])
    array([0.  , 0.02, 0.2 ])
    """
    minutes = within(minutes, 0.0, np.inf, what="minutes")
    index = np.searchsorted(np.asarray(GARETZ_CLASSES, dtype=np.float64), minutes, side="left")
    result: Array = np.asarray(GARETZ_PCT)[np.minimum(index, len(GARETZ_PCT) - 1)] / 100.0
    return result


def garetz_hop_rate_factor(ibu: ArrayLike, *, concentration_factor: ArrayLike) -> Array:
    """Return Garetz's divisor for a high hop rate.

    Parameters
    ----------
    ibu : array_like of float, any shape
        Bitterness of the beer [IBU after Garetz]; 0 to 10,000.
    concentration_factor : array_like of float, broadcastable
        Finished volume over boiled volume [1]; 0.01 to 100, 1 for a full boil.

    Returns
    -------
    ndarray of float64, broadcast shape
        Hop rate factor [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    CF x IBU/260 + 1.

    References
    ----------
    .. [1] Garetz 1994, Using Hops. Provenance: retrieved (the constant 260).

    Examples
    --------
    >>> float(garetz_hop_rate_factor(26.0, concentration_factor=1.0).round(3))
    1.1
    """
    ibu = within(ibu, 0.0, 10000.0, what="ibu")
    concentration_factor = within(concentration_factor, 0.01, 100.0, what="concentration factor")
    result: Array = concentration_factor * ibu / GARETZ_HOP_RATE_IBU + 1.0
    return result


def garetz_ibu(
    alpha_mg_L: ArrayLike,
    minutes: ArrayLike,
    *,
    gravity_sg: ArrayLike,
    concentration_factor: ArrayLike,
    altitude_m: ArrayLike,
) -> Array:
    """Return the trade estimate of bitterness after Garetz.

    Parameters
    ----------
    alpha_mg_L : array_like of float, any shape
        Alpha acids added, over the finished volume [mg/L]; 0 to 100,000.
    minutes : array_like of float, broadcastable
        Boiling time [min]; 0 or more.
    gravity_sg : array_like of float, broadcastable
        Gravity of the finished wort [SG]; 0.99 to 1.2.
    concentration_factor : array_like of float, broadcastable
        Finished volume over boiled volume [1]; 0.01 to 100, 1 for a full boil.
    altitude_m : array_like of float, broadcastable
        Height above the sea [m]; -500 to 9,000.

    Returns
    -------
    ndarray of float64, broadcast shape
        Estimated bitterness [IBU after Garetz].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    The hop rate factor holds the answer itself; where the book iterates, the quadratic it tends
    to is solved here. The gravity factor is not let below 1, which the book leaves open.
    Altitude: 1 + 0.02 for each 550 ft.

    References
    ----------
    .. [1] Garetz 1994, Using Hops. Provenance: memory.

    Examples
    --------
    >>> float(garetz_ibu(150.0, 60.0, gravity_sg=1.050, concentration_factor=1.0, altitude_m=0.0).round(2))
    27.16
    """
    alpha_mg_L = within(alpha_mg_L, 0.0, 100000.0, what="alpha [mg/L]")
    gravity_sg = within(gravity_sg, 0.99, 1.2, what="gravity [SG]")
    concentration_factor = within(concentration_factor, 0.01, 100.0, what="concentration factor")
    altitude_m = within(altitude_m, -500.0, 9000.0, what="altitude [m]")
    minutes = np.asarray(minutes, dtype=np.float64)
    boil_gravity = concentration_factor * (gravity_sg - 1.0) + 1.0
    strong = np.maximum((boil_gravity - 1.050) / 0.2, 0.0) + 1.0
    high = 1.0 + 0.02 * np.maximum(altitude_m, 0.0) / FOOT_M / 550.0
    plain = alpha_mg_L * garetz_utilisation(minutes) / (strong * high)
    result: Array = 2.0 * plain / (1.0 + np.sqrt(1.0 + 4.0 * concentration_factor / GARETZ_HOP_RATE_IBU * plain))
    return result
