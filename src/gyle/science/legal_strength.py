"""Strength as the law counts, rounds and tolerates it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = [
    "eu_label_tolerance_pct",
    "uk_duty_factor",
    "uk_duty_strength_pct",
    "us_label_strength_pct",
    "us_label_tolerance_pct",
]

Array = NDArray[np.float64]

# Last degree of excess gravity of each row, and % by volume for each degree in it.
_DUTY_ROWS = (
    (6.9, 0.125),
    (10.4, 0.126),
    (17.2, 0.127),
    (26.1, 0.128),
    (36.0, 0.129),
    (46.5, 0.130),
    (57.1, 0.131),
    (67.9, 0.132),
    (78.8, 0.133),
    (89.7, 0.134),
    (100.7, 0.135),
)
_DUTY_ENDS = np.array([end for end, _ in _DUTY_ROWS])
_DUTY_FACTORS = np.array([factor for _, factor in _DUTY_ROWS])
_EPSILON = 1e-9  # %, so that 7.6 written in binary is not taken for 7.5999


def uk_duty_factor(original_gravity: ArrayLike, present_gravity: ArrayLike) -> Array:
    """Look up the factor that turns a fall in gravity into duty strength.

    Parameters
    ----------
    original_gravity : array_like of float, any shape
        Gravity of the wort [SG]; 1.000 to 1.200.
    present_gravity : array_like of float, shape that broadcasts with the original gravity
        Gravity of the beer [SG]; the original gravity less 0 to 0.1007.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Alcohol by volume for each degree, a thousandth, of gravity lost [% per degree].

    Raises
    ------
    OutOfRange
        If a gravity is not a number or outside its range, or if the fall is not in the table.

    Notes
    -----
    Eleven rows from 0.125 to 0.135, entered with the fall in degrees rounded to one decimal. They agree
    with `alcohol.from_gravities` within 1.2 % for falls of 26 degrees and more.

    References
    ----------
    .. [1] HM Revenue and Customs, Notice 226. Provenance: memory.

    Examples
    --------
    >>> float(uk_duty_factor(1.050, 1.010))
    0.13
    """
    original = within(original_gravity, 1.0, 1.2, what="original gravity [SG]")
    present = within(present_gravity, 0.95, 1.2, what="present gravity [SG]")
    degrees = np.round(1000.0 * (original - present), 1)
    within(degrees, 0.0, _DUTY_ENDS[-1], what="fall in gravity [degrees]")
    return np.asarray(_DUTY_FACTORS[np.searchsorted(_DUTY_ENDS, degrees - 0.01)])


def uk_duty_strength_pct(abv_pct: ArrayLike) -> Array:
    """Cut a strength to the one decimal on which United Kingdom duty is charged.

    Parameters
    ----------
    abv_pct : array_like of float, any shape
        Alcohol by volume at 20 °C [%]; 0 to 100.

    Returns
    -------
    ndarray of float64, same shape
        Strength truncated to one decimal [%].

    Raises
    ------
    OutOfRange
        If a strength is not a number or outside 0 to 100; the message names the first.

    Notes
    -----
    Truncated, not rounded: 7.59 is 7.5.

    References
    ----------
    .. [1] HM Revenue and Customs, Alcoholic products technical guide, section 11. Provenance: retrieved.

    Examples
    --------
    >>> uk_duty_strength_pct([7.59, 7.6]).tolist()
    [7.5, 7.6]
    """
    strength = within(abv_pct, 0.0, 100.0, what="alcohol [% by volume]")
    return np.asarray(np.floor(10.0 * (strength + _EPSILON)) / 10.0)


def eu_label_tolerance_pct(abv_pct: ArrayLike) -> Array:
    """Find how far a beer's true strength may lie from its label in the European Union.

    Parameters
    ----------
    abv_pct : array_like of float, any shape
        Alcohol by volume at 20 °C [%]; 1.2 to 100. Weaker beer declares none.

    Returns
    -------
    ndarray of float64, same shape
        Tolerance either way [% by volume].

    Raises
    ------
    OutOfRange
        If a strength is not a number or outside 1.2 to 100; the message names the first.

    Notes
    -----
    0.5 up to and including 5.5 % by volume, 1.0 above.

    References
    ----------
    .. [1] Regulation (EU) No 1169/2011, Annex XII. Provenance: retrieved.

    Examples
    --------
    >>> eu_label_tolerance_pct([5.5, 5.6]).tolist()
    [0.5, 1.0]
    """
    strength = within(abv_pct, 1.2, 100.0, what="alcohol [% by volume]")
    return np.where(strength <= 5.5 + _EPSILON, 0.5, 1.0)


def us_label_strength_pct(abv_pct: ArrayLike) -> Array:
    """Round a strength as a label in the United States states it.

    Parameters
    ----------
    abv_pct : array_like of float, any shape
        Alcohol by volume [%]; 0 to 100.

    Returns
    -------
    ndarray of float64, same shape
        Strength to the nearest tenth [%].

    Raises
    ------
    OutOfRange
        If a strength is not a number or outside 0 to 100; the message names the first.

    Notes
    -----
    Volumes there are at 60 °F; a strength at 20 °C reads 0.02 lower at 5 % and 0.04 lower at 10 %, which
    this leaves alone.

    References
    ----------
    .. [1] 27 CFR 7.71(c), now 7.65. Provenance: retrieved; the 60 °F basis from memory.

    Examples
    --------
    >>> us_label_strength_pct([5.04, 5.06]).tolist()
    [5.0, 5.1]
    """
    strength = within(abv_pct, 0.0, 100.0, what="alcohol [% by volume]")
    return np.asarray(np.floor(10.0 * (strength + _EPSILON) + 0.5) / 10.0)


def us_label_tolerance_pct(abv_pct: ArrayLike) -> Array:
    """Find how far a beer's true strength may lie from its label in the United States.

    Parameters
    ----------
    abv_pct : array_like of float, any shape
        Alcohol by volume [%]; 0.5 to 100.

    Returns
    -------
    ndarray of float64, same shape
        Tolerance either way [% by volume].

    Raises
    ------
    OutOfRange
        If a strength is not a number or outside 0.5 to 100; the message names the first.

    Notes
    -----
    0.3 at any strength.

    References
    ----------
    .. [1] 27 CFR 7.71(c), now 7.65. Provenance: retrieved.

    Examples
    --------
    >>> us_label_tolerance_pct([4.5, 11.2]).tolist()
    [0.3, 0.3]
    """
    return np.full_like(within(abv_pct, 0.5, 100.0, what="alcohol [% by volume]"), 0.3)
