"""The one guard every equation uses for its hard range."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.errors import OutOfRange

__all__ = ["within"]


def within(value: ArrayLike, low: float, high: float, *, what: str) -> NDArray[np.float64]:
    """Return the values as float64 if all lie in the range, else refuse.

    Parameters
    ----------
    value : array_like of float, any shape
        The values to be checked [in the unit that `what` names].
    low, high : float
        Both ends of the range, included [same unit].
    what : str
        Name and unit of the quantity for the message, such as ``"gravity [SG]"``.

    Returns
    -------
    ndarray of float64, same shape
        The values.

    Raises
    ------
    OutOfRange
        If a value is not a number or lies outside; the message names the first such value.

    Notes
    -----
    The comparison is written so that NaN fails it.

    References
    ----------
    .. [1] A guard, no physics. Provenance: ours.

    Examples
    --------
    >>> within([0.2, 0.4], 0.0, 1.0, what="share")
    array([0.2, 0.4])
    """
    array = np.asarray(value, dtype=np.float64)
    if array.size == 1:  # the centre line asks thousands of times
        inside = low <= array.item() <= high
    else:
        inside = not array.size or (array.min() >= low and array.max() <= high)
    if not inside:
        wrong = array[~((array >= low) & (array <= high))].flat[0]
        raise OutOfRange(f"{what} is {wrong:g}, which is not between {low:g} and {high:g}")
    return array
