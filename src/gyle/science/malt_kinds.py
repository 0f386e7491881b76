"""Acidity of crystal malt by its colour, of whatever colour a sack carries.

A prior, not a measurement of a lot. What other kinds of malt have is data, not an equation.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = ["crystal_malt_ph"]

Array = NDArray[np.float64]

CRYSTAL_COLOUR_EBC = (25.0, 130.0, 320.0)
CRYSTAL_PH = (5.20, 4.85, 4.55)


def crystal_malt_ph(colour_EBC: ArrayLike) -> Array:
    """Give the mean pH of crystal malt in distilled water from its colour.

    Parameters
    ----------
    colour_EBC : array_like of float, any shape
        Colour of the malt [EBC]; 0 to 1000.

    Returns
    -------
    ndarray of float64, same shape
        Mean pH; constant below 25 and above 320 EBC.

    Raises
    ------
    OutOfRange
        If a colour is not a number in the range.

    Notes
    -----
    Straight lines between 25, 130 and 320 EBC. Colour tells acidity within a kind only: roasted malt
    is darker and less acid than its colour would have it.

    References
    ----------
    .. [1] Hansen and Geurts, MBAA Tech. Quarterly, 2015, on colour within a kind. Provenance: memory.
    .. [2] Three points after Troester, 2009, and lines between them. Provenance: ours.

    Examples
    --------
    >>> crystal_malt_ph([25.0, 77.5, 320.0]).round(3)
    array([5.2  , 5.025, 4.55 ])
    """
    return np.asarray(
        np.interp(within(colour_EBC, 0.0, 1000.0, what="malt colour [EBC]"), CRYSTAL_COLOUR_EBC, CRYSTAL_PH)
    )
