"""Diastatic power: the enzyme a malt brings, in its two trade scales, and that of a grist."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = ["lintner_of_wk", "mean_diastatic_power_lintner", "wk_of_lintner"]

Array = NDArray[np.float64]

# Windisch-Kolbach = 3.5 Lintner - 16.
WK_PER_LINTNER = 3.5
WK_OFFSET = 16.0


def lintner_of_wk(power_wk: ArrayLike) -> Array:
    """Convert diastatic power from Windisch-Kolbach to Lintner degrees.

    Parameters
    ----------
    power_wk : array_like of float, any shape
        Diastatic power [°WK]; -16 to 1000.

    Returns
    -------
    ndarray of float64, same shape
        Diastatic power [°L]. A malt without enzyme is 0 °L, not the 4.6 °L of 0 °WK: say so by
        giving 0 °L and do not convert.

    Raises
    ------
    OutOfRange
        If a power is not a number or outside -16 to 1000 °WK.

    Notes
    -----
    (WK + 16) / 3.5.

    References
    ----------
    .. [1] EBC and ASBC conversion of diastatic power. Provenance: memory.

    Examples
    --------
    >>> float(lintner_of_wk(250.0))
    76.0
    """
    return np.asarray((within(power_wk, -WK_OFFSET, 1000.0, what="diastatic power [°WK]") + WK_OFFSET) / WK_PER_LINTNER)


def wk_of_lintner(power_lintner: ArrayLike) -> Array:
    """Convert diastatic power from Lintner to Windisch-Kolbach degrees.

    Parameters
    ----------
    power_lintner : array_like of float, any shape
        Diastatic power [°L]; 0 to 300.

    Returns
    -------
    ndarray of float64, same shape
        Diastatic power [°WK].

    Raises
    ------
    OutOfRange
        If a power is not a number or outside 0 to 300 °L.

    Notes
    -----
    3.5 L - 16.

    References
    ----------
    .. [1] EBC and ASBC conversion of diastatic power. Provenance: memory.

    Examples
    --------
    >>> float(wk_of_lintner(140.0))
    474.0
    """
    return np.asarray(WK_PER_LINTNER * within(power_lintner, 0.0, 300.0, what="diastatic power [°L]") - WK_OFFSET)


def mean_diastatic_power_lintner(mass_kg: ArrayLike, power_lintner: ArrayLike) -> Array:
    """Give the diastatic power of a grist.

    Parameters
    ----------
    mass_kg : array_like of float, shape (malts, ...)
        Mass of each malt, or its share; their sum above 0 [kg].
    power_lintner : array_like of float, shape (malts, ...) that broadcasts
        Diastatic power of each, 0 for one without enzyme [°L]; 0 to 300.

    Returns
    -------
    ndarray of float64, shape (...)
        Mean over the mass of the grist [°L]. 40 and more is safe, 30 to 40 slow, below 30 calls
        for caution, and below 20 a mash does not convert reliably.

    Raises
    ------
    OutOfRange
        If a mass is negative, all are 0, or a power is not a number or outside 0 to 300 °L.

    Notes
    -----
    Mean in Lintner degrees: in Windisch-Kolbach degrees a malt without enzyme would count as -16.

    References
    ----------
    .. [1] Mean over mass; the bounds are trade experience. Provenance: common-practice.

    Examples
    --------
    >>> float(mean_diastatic_power_lintner([9.0, 1.0], [80.0, 0.0]))
    72.0
    """
    mass = within(mass_kg, 0.0, 1e6, what="mass of a malt [kg]")
    power = within(power_lintner, 0.0, 300.0, what="diastatic power [°L]")
    mass, power = np.broadcast_arrays(mass, power)
    total = within(mass.sum(axis=0), 1e-9, 1e9, what="mass of the grist [kg]")
    return np.asarray((mass * power).sum(axis=0) / total)
