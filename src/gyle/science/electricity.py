"""Current and power of a heating element."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = [
    "current_A",
    "element_power_W",
    "power_W",
]

Array = NDArray[np.float64]


def current_A(power_W: ArrayLike, voltage_V: ArrayLike) -> Array:
    """Give the current that a heating element draws.

    Parameters
    ----------
    power_W : array_like of float, any shape
        Power [W].
    voltage_V : array_like of float, broadcasting
        Mains voltage [V]; 1 to 1000.

    Returns
    -------
    ndarray of float64, broadcast shape
        Current [A].

    Raises
    ------
    OutOfRange
        If a power or a voltage is not a number or outside its range.

    Notes
    -----
    I = P / V for a resistive load.

    References
    ----------
    .. [1] P = V I. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(current_A(3300.0, 230.0).round(2))
    14.35
    """
    voltage = within(voltage_V, 1.0, 1000.0, what="voltage [V]")
    return np.asarray(within(power_W, 0.0, 1e9, what="power [W]") / voltage)


def power_W(current_A: ArrayLike, voltage_V: ArrayLike) -> Array:
    """Give the most power that a plug or circuit of a rated current carries.

    Parameters
    ----------
    current_A : array_like of float, any shape
        Rated current [A].
    voltage_V : array_like of float, broadcasting
        Mains voltage [V]; 1 to 1000.

    Returns
    -------
    ndarray of float64, broadcast shape
        Power [W].

    Raises
    ------
    OutOfRange
        If a current or a voltage is not a number or outside its range.

    Notes
    -----
    P = V I for a resistive load.

    References
    ----------
    .. [1] P = V I. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(power_W(13.0, 230.0))
    2990.0
    """
    voltage = within(voltage_V, 1.0, 1000.0, what="voltage [V]")
    return np.asarray(within(current_A, 0.0, 1e6, what="current [A]") * voltage)


def element_power_W(rated_power_W: ArrayLike, voltage_V: ArrayLike, *, rated_voltage_V: ArrayLike) -> Array:
    """Give the power of an element on mains other than it is rated for.

    Parameters
    ----------
    rated_power_W : array_like of float, any shape
        Power at the rated voltage [W].
    voltage_V : array_like of float, broadcasting
        Voltage at the socket under load [V]; 1 to 1000.
    rated_voltage_V : array_like of float, broadcasting
        Rated voltage [V]; 1 to 1000.

    Returns
    -------
    ndarray of float64, broadcast shape
        Power [W].

    Raises
    ------
    OutOfRange
        If a power or a voltage is not a number or outside its range.

    Notes
    -----
    The resistance stays, so power goes with the square of the voltage.

    References
    ----------
    .. [1] P = V^2 / R. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(element_power_W(3300.0, 216.0, rated_voltage_V=230.0).round(0))
    2910.0
    """
    ratio = within(voltage_V, 1.0, 1000.0, what="voltage [V]") / within(
        rated_voltage_V, 1.0, 1000.0, what="rated voltage [V]"
    )
    return np.asarray(within(rated_power_W, 0.0, 1e9, what="power [W]") * ratio * ratio)
