"""Fermentability of the wort that a mash leaves: what a yeast can take of its extract."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = ["attenuation_limit", "fermentable_fraction", "grist_fermentable_fraction"]

Array = NDArray[np.float64]

FERMENTABLE_PER_APPARENT = 0.8192
REFERENCE_FERMENTABLE = 0.6743  # 66 °C for 60 min with the fitted parameters: what malt sheets refer to
MOST_FERMENTABLE = 0.92


def attenuation_limit(exposure: ArrayLike, *, floor: ArrayLike, ceiling: ArrayLike) -> Array:
    """Give the limit of apparent attenuation that an exposure leads to.

    Parameters
    ----------
    exposure : array_like of float, any shape
        Exposure at the end of the mash; 0 or more [-].
    floor, ceiling : array_like of float, broadcasting
        Limits without exposure and with endless exposure [fraction].

    Returns
    -------
    ndarray of float64, broadcast shape
        Limit of apparent attenuation of an ordinary ale yeast, all-malt wort [fraction].

    Raises
    ------
    OutOfRange
        If an exposure, a floor or a ceiling is not a number or outside its range.

    Notes
    -----
    floor + (ceiling - floor) [1 - exp(-x)]. Add 1.5 points for the spread from malt to malt.

    References
    ----------
    .. [1] Fitted to anchors; optimum near 62.5 °C after Hamilton and Lewis (1974). Provenance: ours.

    Examples
    --------
    >>> attenuation_limit([0.0, 1.0, 3.0], floor=0.24, ceiling=0.85).round(3)
    array([0.24 , 0.626, 0.82 ])
    """
    x = within(exposure, 0.0, np.inf, what="exposure")
    low = within(floor, 0.0, 1.0, what="floor of attenuation")
    high = within(ceiling, 0.0, 1.0, what="ceiling of attenuation")
    return np.asarray(low - (high - low) * np.expm1(-x))


def fermentable_fraction(exposure: ArrayLike, *, floor: ArrayLike, ceiling: ArrayLike) -> Array:
    """Give the share of the mash extract that an ordinary ale yeast can ferment.

    Parameters
    ----------
    exposure : array_like of float, any shape
        Exposure at the end of the mash; 0 or more [-].
    floor, ceiling : array_like of float, broadcasting
        Limits of apparent attenuation [fraction].

    Returns
    -------
    ndarray of float64, broadcast shape
        Fermentable extract [kg/kg extract].

    Raises
    ------
    OutOfRange
        If an exposure, a floor or a ceiling is not a number or outside its range.

    Notes
    -----
    0.8192 times the limit of apparent attenuation (Balling at normal gravity). It is a share of mass:
    go on with the unfermentable mass, and do not turn it back into attenuation above 15 °P.

    References
    ----------
    .. [1] Balling's factor for real against apparent attenuation. Provenance: memory.

    Examples
    --------
    >>> fermentable_fraction([1.0, 3.0], floor=0.24, ceiling=0.85).round(3)
    array([0.512, 0.671])
    """
    return np.asarray(FERMENTABLE_PER_APPARENT * attenuation_limit(exposure, floor=floor, ceiling=ceiling))


def grist_fermentable_fraction(sheet_fraction: ArrayLike, model_fraction: ArrayLike) -> Array:
    """Scale one malt's fermentable fraction from its sheet to the mash it goes through.

    Parameters
    ----------
    sheet_fraction : array_like of float, any shape
        Fermentable extract of the malt after 60 min at 66 °C with ample enzyme [kg/kg]; 0 to 1.
    model_fraction : array_like of float, broadcasting
        What `fermentable_fraction` gives for this mash [kg/kg]; 0 to 1.

    Returns
    -------
    ndarray of float64, broadcast shape
        Fermentable extract of that malt in this mash, at most 0.92 [kg/kg].

    Raises
    ------
    OutOfRange
        If a fraction is not a number or outside 0 to 1.

    Notes
    -----
    phi F / 0.6743, the model's own value at 66 °C and 60 min. Sugar added to the kettle is not
    scaled; the grist's share is the mean over extract.

    References
    ----------
    .. [1] Scaling of the fitted model. Provenance: ours.

    Examples
    --------
    >>> grist_fermentable_fraction([0.68, 0.45], 0.62).round(3)
    array([0.625, 0.414])
    """
    sheet = within(sheet_fraction, 0.0, 1.0, what="fermentable fraction of a malt")
    model = within(model_fraction, 0.0, 1.0, what="fermentable fraction of the mash")
    return np.asarray(np.minimum(sheet * model / REFERENCE_FERMENTABLE, MOST_FERMENTABLE))
