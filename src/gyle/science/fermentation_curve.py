"""Fermentation curves: extract or gravity against hours, and the hours at which it passes a level."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = [
    "CurveShape",
    "curve_of_hours",
    "fall_left",
    "gravity_curve",
    "hours_to_share_left",
    "logistic_curve",
    "richards_curve",
    "steepest_fall_1_h",
]

Array = NDArray[np.float64]


class CurveShape(NamedTuple):
    """What fixes a fermentation curve of a given skew.

    Parameters
    ----------
    rate_1_h : ndarray of float64
        Rate B [1/h].
    midpoint_h : ndarray of float64
        Time M of the steepest fall [h].

    Examples
    --------
    >>> float(CurveShape(np.float64(0.12), np.float64(40.0)).midpoint_h)
    40.0
    """

    rate_1_h: Array
    midpoint_h: Array


def fall_left(hours: ArrayLike, *, rate_1_h: ArrayLike, midpoint_h: ArrayLike, skew: ArrayLike) -> Array:
    """Return the share of the fall still to come, on the Richards curve.

    Parameters
    ----------
    hours : array_like of float, any shape
        Time since pitching [h]; -1,000,000 to 1,000,000.
    rate_1_h : array_like of float, broadcastable
        Rate B [1/h]; 0 to 1,000.
    midpoint_h : array_like of float, broadcastable
        Time of the steepest fall [h]; may be negative.
    skew : array_like of float, broadcastable
        Skewness s [1]; 0.01 to 100, 1 for the logistic curve.

    Returns
    -------
    ndarray of float64, broadcast shape
        Share left [1]; it starts below 1 unless B M is large.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    (1 + s exp(B (t - M)))^(-1/s), computed by its logarithm so that it never overflows.

    References
    ----------
    .. [1] Speers, Rogers & Smith 2003, J. Inst. Brew. 109(3):229. Provenance: retrieved
       (abstract; logistic form).
    .. [2] Predicting Fermentation Rates in Ale, Lager and Whisky, Fermentation 2021, 7(1):13.
       Provenance: memory (skewed form).

    Examples
    --------
    >>> fall_left([24.0, 40.0, 60.0], rate_1_h=0.12, midpoint_h=40.0, skew=1.0).round(3)
    array([0.872, 0.5  , 0.083])
    """
    hours = within(hours, -1e6, 1e6, what="hours")
    rate_1_h = within(rate_1_h, 0.0, 1e3, what="rate [1/h]")
    midpoint_h = within(midpoint_h, -1e6, 1e6, what="midpoint [h]")
    skew = within(skew, 0.01, 100.0, what="skew")
    growth = rate_1_h * (hours - midpoint_h)
    result: Array = np.exp(-np.logaddexp(0.0, growth + np.log(skew)) / skew)
    return result


def richards_curve(
    hours: ArrayLike,
    *,
    start: ArrayLike,
    end: ArrayLike,
    rate_1_h: ArrayLike,
    midpoint_h: ArrayLike,
    skew: ArrayLike,
) -> Array:
    """Return extract or gravity on the Richards curve.

    Parameters
    ----------
    hours : array_like of float, any shape
        Time since pitching [h]; -1,000,000 to 1,000,000.
    start, end : array_like of float, broadcastable
        Levels before and after the fall [°P or SG]; -100 to 1,000.
    rate_1_h : array_like of float, broadcastable
        Rate B [1/h]; 0 to 1,000.
    midpoint_h : array_like of float, broadcastable
        Time of the steepest fall [h].
    skew : array_like of float, broadcastable
        Skewness s [1]; 0.01 to 100, below 1 for a long start, above 1 for a long tail.

    Returns
    -------
    ndarray of float64, broadcast shape
        Extract or gravity [as given].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    end + (start - end) x `fall_left`. The start level is not the original gravity unless B M is
    large; `gravity_curve` corrects that.

    References
    ----------
    .. [1] Predicting Fermentation Rates in Ale, Lager and Whisky, Fermentation 2021, 7(1):13.
       Provenance: memory (skewed form).

    Examples
    --------
    >>> level = richards_curve([24.0, 60.0], start=12.4, end=2.5, rate_1_h=0.12, midpoint_h=40.0, skew=0.5)
    >>> level.round(3)
    array([11.094,  2.733])
    """
    start = within(start, -100.0, 1000.0, what="extract or gravity")
    end = within(end, -100.0, 1000.0, what="extract or gravity")
    hours = np.asarray(hours, dtype=np.float64)
    rate_1_h = np.asarray(rate_1_h, dtype=np.float64)
    midpoint_h = np.asarray(midpoint_h, dtype=np.float64)
    skew = np.asarray(skew, dtype=np.float64)
    result: Array = end + (start - end) * fall_left(hours, rate_1_h=rate_1_h, midpoint_h=midpoint_h, skew=skew)
    return result


def logistic_curve(
    hours: ArrayLike, *, start: ArrayLike, end: ArrayLike, rate_1_h: ArrayLike, midpoint_h: ArrayLike
) -> Array:
    """Return extract or gravity on the logistic curve of four parameters.

    Parameters
    ----------
    hours : array_like of float, any shape
        Time since pitching [h]; -1,000,000 to 1,000,000.
    start, end : array_like of float, broadcastable
        Levels before and after the fall [°P or SG]; -100 to 1,000.
    rate_1_h : array_like of float, broadcastable
        Rate B [1/h]; 0 to 1,000.
    midpoint_h : array_like of float, broadcastable
        Time of half the fall [h].

    Returns
    -------
    ndarray of float64, broadcast shape
        Extract or gravity [as given].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    end + (start - end)/(1 + exp(B (t - M))). Readings before three quarters of the fall do not
    tell the end.

    References
    ----------
    .. [1] Speers, Rogers & Smith 2003, J. Inst. Brew. 109(3):229; ASBC Methods of Analysis,
       Yeast-14. Provenance: retrieved (abstract).

    Examples
    --------
    >>> logistic_curve([0.0, 40.0], start=12.4, end=2.5, rate_1_h=0.12, midpoint_h=40.0).round(3)
    array([12.319,  7.45 ])
    """
    hours = np.asarray(hours, dtype=np.float64)
    start = np.asarray(start, dtype=np.float64)
    end = np.asarray(end, dtype=np.float64)
    rate_1_h = np.asarray(rate_1_h, dtype=np.float64)
    midpoint_h = np.asarray(midpoint_h, dtype=np.float64)
    result: Array = richards_curve(hours, start=start, end=end, rate_1_h=rate_1_h, midpoint_h=midpoint_h, skew=1.0)
    return result


def gravity_curve(
    hours: ArrayLike,
    *,
    original_gravity_sg: ArrayLike,
    final_gravity_sg: ArrayLike,
    rate_1_h: ArrayLike,
    midpoint_h: ArrayLike,
    skew: ArrayLike,
) -> Array:
    """Return gravity on a Richards curve that begins at the original gravity.

    Parameters
    ----------
    hours : array_like of float, any shape
        Time since pitching [h]; 0 or more.
    original_gravity_sg, final_gravity_sg : array_like of float, broadcastable
        Gravity at pitching and at the end [SG]; 0.95 to 1.22.
    rate_1_h : array_like of float, broadcastable
        Rate B [1/h]; 0 to 1,000.
    midpoint_h : array_like of float, broadcastable
        Time of the steepest fall [h].
    skew : array_like of float, broadcastable
        Skewness s [1]; 0.01 to 100.

    Returns
    -------
    ndarray of float64, broadcast shape
        Gravity [SG].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    The curve's share left, over its own value at hour 0.

    References
    ----------
    .. [1] Normalised Richards curve. Provenance: ours.

    Examples
    --------
    >>> gravity = gravity_curve(
    ...     [0.0, 36.0], original_gravity_sg=1.050, final_gravity_sg=1.010,
    ...     rate_1_h=0.1, midpoint_h=36.0, skew=1.0,
    ... )
    >>> gravity.round(4)
    array([1.05  , 1.0305])
    """
    original_gravity_sg = within(original_gravity_sg, 0.95, 1.22, what="original gravity [SG]")
    final_gravity_sg = within(final_gravity_sg, 0.95, 1.22, what="final gravity [SG]")
    hours = np.asarray(hours, dtype=np.float64)
    rate_1_h = np.asarray(rate_1_h, dtype=np.float64)
    midpoint_h = np.asarray(midpoint_h, dtype=np.float64)
    skew = np.asarray(skew, dtype=np.float64)
    now = fall_left(hours, rate_1_h=rate_1_h, midpoint_h=midpoint_h, skew=skew)
    first = fall_left(0.0, rate_1_h=rate_1_h, midpoint_h=midpoint_h, skew=skew)
    result: Array = final_gravity_sg + (original_gravity_sg - final_gravity_sg) * now / first
    return result


def hours_to_share_left(share_left: ArrayLike, *, rate_1_h: ArrayLike, midpoint_h: ArrayLike, skew: ArrayLike) -> Array:
    """Return the time at which a share of the fall is still to come.

    Parameters
    ----------
    share_left : array_like of float, any shape
        Share left [1]; between 0 and 1: points above the final gravity over all points.
    rate_1_h : array_like of float, broadcastable
        Rate B [1/h]; above 1e-9.
    midpoint_h : array_like of float, broadcastable
        Time of the steepest fall [h].
    skew : array_like of float, broadcastable
        Skewness s [1]; 0.01 to 100.

    Returns
    -------
    ndarray of float64, broadcast shape
        Time [h].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    M + ln((y^-s - 1)/s)/B. Ten points above the end in a fall of forty is a share of 0.25.

    References
    ----------
    .. [1] Inverse of the Richards curve. Provenance: ours.

    Examples
    --------
    >>> hours_to_share_left([0.25, 0.125], rate_1_h=0.1, midpoint_h=36.0, skew=1.0).round(3)
    array([46.986, 55.459])
    """
    share_left = within(share_left, 1e-9, 0.999999999, what="share left")
    rate_1_h = within(rate_1_h, 1e-9, 1e3, what="rate [1/h]")
    midpoint_h = within(midpoint_h, -1e6, 1e6, what="midpoint [h]")
    skew = within(skew, 0.01, 100.0, what="skew")
    result: Array = midpoint_h + np.log(np.expm1(-skew * np.log(share_left)) / skew) / rate_1_h
    return result


def steepest_fall_1_h(fall: ArrayLike, *, rate_1_h: ArrayLike, skew: ArrayLike) -> Array:
    """Return the steepest fall of the curve.

    Parameters
    ----------
    fall : array_like of float, any shape
        Whole fall [°P or SG]; 0 to 1,000.
    rate_1_h : array_like of float, broadcastable
        Rate B [1/h]; 0 to 1,000.
    skew : array_like of float, broadcastable
        Skewness s [1]; 0.01 to 100.

    Returns
    -------
    ndarray of float64, broadcast shape
        Steepest fall [°P/h or SG/h].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    At the midpoint: B (start - end)(1 + s)^(-1 - 1/s); a quarter of B times the fall for the
    logistic curve.

    References
    ----------
    .. [1] Derivative of the Richards curve. Provenance: ours.

    Examples
    --------
    >>> float(steepest_fall_1_h(9.9, rate_1_h=0.12, skew=1.0).round(3))
    0.297
    """
    fall = within(fall, 0.0, 1000.0, what="fall")
    skew = within(skew, 0.01, 100.0, what="skew")
    rate_1_h = np.asarray(rate_1_h, dtype=np.float64)
    rate_1_h = np.asarray(rate_1_h, dtype=np.float64)
    result: Array = rate_1_h * fall * (1.0 + skew) ** (-1.0 - 1.0 / skew)
    return result


def curve_of_hours(half_h: ArrayLike, ten_to_ninety_h: ArrayLike, *, skew: ArrayLike) -> CurveShape:
    """Return the rate and midpoint of a curve from its two times.

    Parameters
    ----------
    half_h : array_like of float, any shape
        Time to half of the fall [h]; above 0.001.
    ten_to_ninety_h : array_like of float, broadcastable
        Time from a tenth to nine tenths of the fall [h]; above 0.001.
    skew : array_like of float, broadcastable
        Skewness s [1]; 0.01 to 100.

    Returns
    -------
    CurveShape
        Rate [1/h] and midpoint [h].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    From the inverse of the curve; for the logistic one B = 4.394/t and M is the half time.

    References
    ----------
    .. [1] Inverse of the Richards curve. Provenance: ours.

    Examples
    --------
    >>> shape = curve_of_hours(38.0, 36.62, skew=1.0)
    >>> float(shape.rate_1_h.round(3)), float(shape.midpoint_h.round(3))
    (0.12, 38.0)
    """
    half_h = within(half_h, 1e-3, 1e6, what="hours to half")
    ten_to_ninety_h = within(ten_to_ninety_h, 1e-3, 1e6, what="hours from a tenth to nine tenths")
    skew = within(skew, 0.01, 100.0, what="skew")

    def time_of(share: float) -> Array:
        position: Array = np.log(np.expm1(-skew * np.log(share)) / skew)
        return position

    rate = (time_of(0.1) - time_of(0.9)) / ten_to_ninety_h
    return CurveShape(rate, half_h - time_of(0.5) / rate)
