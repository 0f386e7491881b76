"""How well drains and sparges rinse the extract out of a grain bed."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.errors import OutOfRange
from gyle.science.ranges import within

__all__ = [
    "batch_lauter_efficiency",
    "left_in_bed",
    "left_in_bed_with_bypass",
    "staged_lauter_efficiency",
]

Array = NDArray[np.float64]

MOST_TANKS = 64


def batch_lauter_efficiency(run_off_L: ArrayLike, held_L: ArrayLike, *, drains: ArrayLike) -> Array:
    """Give the share of the extract that equal stirred drains bring out.

    Parameters
    ----------
    run_off_L : array_like of float, any shape
        Volume of all run-offs together [L].
    held_L : array_like of float, broadcasting
        Wort that the bed holds after each drain; above 0 [L].
    drains : array_like of float, broadcasting
        Number of equal drains, 1 for no sparge; 1 or more, `numpy.inf` for the limit.

    Returns
    -------
    ndarray of float64, broadcast shape
        Lauter efficiency [fraction].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    1 - [1 + V / (n H)]^-n; endless drains give 1 - exp(-V / H). Equal run-offs are best.

    References
    ----------
    .. [1] Ideal stages, mixed whole. Provenance: computed-with-numpy.

    Examples
    --------
    >>> batch_lauter_efficiency(25.3, 7.5, drains=[1.0, 2.0]).round(4)
    array([0.7713, 0.8615])
    """
    volume = within(run_off_L, 0.0, 1e7, what="run-off [L]")
    held = within(held_L, 1e-9, 1e7, what="wort held in the bed [L]")
    n = within(drains, 1.0, np.inf, what="number of drains")
    each = volume / (held * n)
    endless = np.isinf(n)
    exponent = np.where(endless, volume / held, np.where(endless, 1.0, n) * np.log1p(each))
    return np.asarray(-np.expm1(-exponent))


def staged_lauter_efficiency(run_offs_L: ArrayLike, held_L: ArrayLike) -> Array:
    """Give the share of the extract that stirred drains of any size bring out.

    Parameters
    ----------
    run_offs_L : array_like of float, shape (drains, ...)
        Volume of each run-off in turn [L].
    held_L : array_like of float, broadcasting with one run-off
        Wort that the bed holds after each drain; above 0 [L].

    Returns
    -------
    ndarray of float64, shape (...)
        Lauter efficiency [fraction].

    Raises
    ------
    OutOfRange
        If a volume is not a number or outside its range.

    Notes
    -----
    1 - product of H / (V_i + H).

    References
    ----------
    .. [1] Ideal stages, mixed whole. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(staged_lauter_efficiency([25.388], 7.5).round(3))
    0.772
    """
    volumes = within(run_offs_L, 0.0, 1e7, what="run-off [L]")
    held = within(held_L, 1e-9, 1e7, what="wort held in the bed [L]")
    return np.asarray(1.0 - np.prod(held / (volumes + held), axis=0))


def left_in_bed(theta: ArrayLike, *, tanks: ArrayLike) -> Array:
    """Give the share of a bed's extract that a trickled sparge leaves behind.

    Parameters
    ----------
    theta : array_like of float, any shape
        Sparge that flows through the bed over the wort the bed holds [L/L]; 0 to 1000.
    tanks : array_like of int, broadcasting
        Equal stirred tanks in series that the bed behaves like; whole numbers, 1 to 64. Hand
        sparging over a basket is 1, a slow lauter tun about 4.

    Returns
    -------
    ndarray of float64, broadcast shape
        Extract left, over what the bed held before the sparge [fraction].

    Raises
    ------
    OutOfRange
        If a ratio is not a number or outside 0 to 1000, or a number of tanks is not whole or
        outside 1 to 64.

    Notes
    -----
    Mean over j = 1..N of Q(j, N theta), Q(j, x) = exp(-x) sum over k < j of x^k / k!, summed here
    as exp(-x) sum over k < N of (1 - k/N) x^k / k!. One tank leaves exp(-theta).

    References
    ----------
    .. [1] Levenspiel, Chemical Reaction Engineering: tanks in series. Provenance: memory.

    Examples
    --------
    >>> left_in_bed(1.0, tanks=[1, 2, 4]).round(5)
    array([0.36788, 0.27067, 0.19537])
    """
    ratio = within(theta, 0.0, 1000.0, what="sparge over wort held")
    n = within(tanks, 1.0, MOST_TANKS, what="number of tanks")
    if (broken := n != np.rint(n)).any():
        raise OutOfRange(f"number of tanks is {n[broken].flat[0]:g}, which is not a whole number")
    x = n * ratio
    term = np.ones(np.broadcast_shapes(n.shape, ratio.shape))
    total = term.copy()
    for k in range(1, int(n.max(initial=1.0))):
        term = term * x / k
        total += np.maximum(1.0 - k / n, 0.0) * term
    return np.asarray(np.exp(-x) * total)


def left_in_bed_with_bypass(sparge_L: ArrayLike, held_L: ArrayLike, *, bypass: ArrayLike, tanks: ArrayLike) -> Array:
    """Give the share of a bed's extract left by a sparge of which some runs past the grain.

    Parameters
    ----------
    sparge_L : array_like of float, any shape
        Sparge liquor [L].
    held_L : array_like of float, broadcasting
        Wort that the bed holds, the same after as before; above 0 [L].
    bypass : array_like of float, broadcasting
        Share of the sparge that runs along the wall or through channels [fraction]; 0 to 1.
        About 0.4 for hand sparging over a basket, 0.15 for a slow lauter tun.
    tanks : array_like of int, broadcasting
        Tanks in series, as for `left_in_bed`.

    Returns
    -------
    ndarray of float64, broadcast shape
        Extract left, over what the bed held before the sparge [fraction].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    `left_in_bed` at theta = (1 - b) V / H. The run-off is as large as the sparge, apart from what
    mixing changes, for the volume held stays.

    References
    ----------
    .. [1] Levenspiel, Chemical Reaction Engineering: tanks in series with bypass.
       Provenance: memory.

    Examples
    --------
    >>> float(left_in_bed_with_bypass(12.0, 7.5, bypass=0.4, tanks=1).round(5))
    0.38289
    """
    sparge = within(sparge_L, 0.0, 1e7, what="sparge [L]")
    held = within(held_L, 1e-9, 1e7, what="wort held in the bed [L]")
    through = 1.0 - within(bypass, 0.0, 1.0, what="bypass")
    return left_in_bed(through * sparge / held, tanks=tanks)
