"""Rules of thumb for alcohol by volume, kept beside the mass balance to show what each is worth."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.alcohol import alcohol_by_volume_pct
from gyle.science.extract import degrees_plato
from gyle.science.ranges import within

__all__ = [
    "abv_cutaia_2009_pct",
    "abv_hall_1995_pct",
    "abv_real_extract_rule_pct",
    "abv_simple_rule_pct",
]

Array = NDArray[np.float64]


def _gravities(original_gravity: ArrayLike, final_gravity: ArrayLike) -> tuple[Array, Array]:
    return (
        within(original_gravity, 1.0, 1.2, what="original gravity [SG]"),
        within(final_gravity, 0.95, 1.2, what="final gravity [SG]"),
    )


def abv_simple_rule_pct(original_gravity: ArrayLike, final_gravity: ArrayLike) -> Array:
    """Estimate alcohol by volume as 131.25 times the fall in gravity.

    Parameters
    ----------
    original_gravity : array_like of float, any shape
        Gravity of the wort [SG]; 1.000 to 1.200.
    final_gravity : array_like of float, shape that broadcasts with the original gravity
        Gravity of the beer [SG]; 0.95 to 1.20.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Alcohol by volume [%].

    Raises
    ------
    OutOfRange
        If a gravity is not a number or outside its range.

    Notes
    -----
    Within 0.05 of the mass balance up to 1.070, 0.2 below it at 1.100 and 0.5 at 1.140.

    References
    ----------
    .. [1] The home brewer's rule. Provenance: common-practice.

    Examples
    --------
    >>> float(abv_simple_rule_pct(1.050, 1.010).round(2))
    5.25
    """
    original, final = _gravities(original_gravity, final_gravity)
    return 131.25 * (original - final)


def abv_hall_1995_pct(original_gravity: ArrayLike, final_gravity: ArrayLike) -> Array:
    """Estimate alcohol by volume by Hall's form of 1995.

    Parameters
    ----------
    original_gravity : array_like of float, any shape
        Gravity of the wort [SG]; 1.000 to 1.200.
    final_gravity : array_like of float, shape that broadcasts with the original gravity
        Gravity of the beer [SG]; 0.95 to 1.20.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Alcohol by volume [%].

    Raises
    ------
    OutOfRange
        If a gravity is not a number or outside its range.

    Notes
    -----
    76.08 (OG - FG) / (1.775 - OG) times FG / 0.794. It has the name of suiting strong beer; against the
    mass balance and the duty tables it is 0.9 too high at 1.100 and 2 too high at 1.140.

    References
    ----------
    .. [1] Hall, "Brew by the Numbers", Zymurgy, 1995. Provenance: memory (title retrieved).

    Examples
    --------
    >>> float(abv_hall_1995_pct(1.100, 1.020).round(2))
    11.58
    """
    original, final = _gravities(original_gravity, final_gravity)
    return 76.08 * (original - final) / (1.775 - original) * (final / 0.794)


def abv_cutaia_2009_pct(original_gravity: ArrayLike, final_gravity: ArrayLike) -> Array:
    """Estimate alcohol by volume by the regression of Cutaia, Reid and Speers.

    Parameters
    ----------
    original_gravity : array_like of float, any shape
        Gravity of the wort [SG]; 1.000 to 1.200, fitted from 1.037 to 1.074.
    final_gravity : array_like of float, shape that broadcasts with the original gravity
        Gravity of the beer [SG]; 0.95 to 1.20.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Alcohol by volume [%].

    Raises
    ------
    OutOfRange
        If a gravity is not a number or outside its range.

    Notes
    -----
    A = (0.372 + 0.00357 OE)(OE - AE) by mass, made alcohol by volume with the beer's gravity. A fit to 532
    brews from 9.4 to 18 °P; above, it runs 0.3 to 0.7 high.

    References
    ----------
    .. [1] Cutaia, Reid, Speers, J. Inst. Brew. 115, 318-327, 2009. Provenance: retrieved.

    Examples
    --------
    >>> float(abv_cutaia_2009_pct(1.050, 1.010).round(2))
    5.22
    """
    original, final = _gravities(original_gravity, final_gravity)
    extract = degrees_plato(original)
    alcohol = (0.372 + 0.00357 * extract) * (extract - degrees_plato(final))
    return alcohol_by_volume_pct(np.maximum(alcohol, 0.0), final)


def abv_real_extract_rule_pct(original_gravity: ArrayLike, final_gravity: ArrayLike) -> Array:
    """Estimate alcohol by volume through the fixed real-extract rule and Balling.

    Parameters
    ----------
    original_gravity : array_like of float, any shape
        Gravity of the wort [SG]; 1.000 to 1.200.
    final_gravity : array_like of float, shape that broadcasts with the original gravity
        Gravity of the beer [SG]; 0.95 to 1.20.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Alcohol by volume [%].

    Raises
    ------
    OutOfRange
        If a gravity is not a number or outside its range.

    Notes
    -----
    RE = 0.1808 OE + 0.8192 AE, then A = (OE - RE) / (2.0665 - 0.010665 OE). Both the physics and the 532
    brews of [2]_ put the second constant near 0.805, so that this is 0.1 to 0.3 too high.

    References
    ----------
    .. [1] The rule of the older handbooks. Provenance: common-practice.
    .. [2] Cutaia, Reid, Speers, J. Inst. Brew. 115, 318-327, 2009. Provenance: retrieved (tables of means).

    Examples
    --------
    >>> float(abv_real_extract_rule_pct(1.050, 1.010).round(2))
    5.32
    """
    original, final = _gravities(original_gravity, final_gravity)
    extract = degrees_plato(original)
    real = 0.1808 * extract + 0.8192 * degrees_plato(final)
    alcohol = (extract - real) / (2.0665 - 0.010665 * extract)
    return alcohol_by_volume_pct(np.maximum(alcohol, 0.0), final)
