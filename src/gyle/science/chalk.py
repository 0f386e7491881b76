"""How slowly chalk dissolves."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.carbonate_constants import ZERO_C_K
from gyle.science.ranges import within

__all__ = ["chalk_dissolved_share", "chalk_rate_mmol_cm2_s"]

Array = NDArray[np.float64]

CALCITE_CM3_MOL = 36.9


def chalk_rate_mmol_cm2_s(
    temperature_C: ArrayLike, ph: ArrayLike, *, carbon_dioxide_mmol_L: ArrayLike, calcite_si: ArrayLike
) -> Array:
    """Give the rate at which calcite dissolves from its surface.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Temperature [°C]; 0 to 100.
    ph : array_like of float, broadcasting
        Value of pH; 2 to 12.
    carbon_dioxide_mmol_L : array_like of float, broadcasting
        Dissolved carbon dioxide [mmol/L]; 0 to 1000.
    calcite_si : array_like of float, broadcasting
        Saturation index of calcite; -50 to 5.

    Returns
    -------
    ndarray of float64, broadcast shape
        Rate [mmol/(cm2 s)]; 0 where the water is saturated.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    (k1 h + k2 CO2 + k3) (1 - 10^(2 SI / 3)), activities in mmol/cm3; log k1 = 0.198 - 444/T, log k2 =
    2.84 - 2177/T, log k3 = -5.86 - 317/T up to 25 °C and -1.10 - 1737/T above.

    References
    ----------
    .. [1] Plummer, Wigley and Parkhurst, Am. J. Sci. 278, 179, 1978. Provenance: retrieved (in a data base).

    Examples
    --------
    >>> float(1e6 * chalk_rate_mmol_cm2_s(65.0, 5.4, carbon_dioxide_mmol_L=1.0, calcite_si=-6.0).round(9))
    1.137
    """
    t = within(temperature_C, 0.0, 100.0, what="temperature [°C]") + ZERO_C_K
    h = 10.0 ** -within(ph, 2.0, 12.0, what="pH")
    gas = within(carbon_dioxide_mmol_L, 0.0, 1000.0, what="carbon dioxide [mmol/L]") / 1000.0
    si = within(calcite_si, -50.0, 5.0, what="saturation index of calcite")
    k1, k2 = 10.0 ** (0.198 - 444.0 / t), 10.0 ** (2.84 - 2177.0 / t)
    k3 = 10.0 ** np.where(t > 298.15, -1.10 - 1737.0 / t, -5.86 - 317.0 / t)
    return np.asarray((k1 * h + k2 * gas + k3) * np.maximum(1.0 - 10.0 ** (2.0 * si / 3.0), 0.0))


def chalk_dissolved_share(diameter_um: ArrayLike, minutes: ArrayLike, *, rate_mmol_cm2_s: ArrayLike) -> Array:
    """Give the share of chalk grains that has dissolved after a time.

    Parameters
    ----------
    diameter_um : array_like of float, any shape
        Diameter of the grains [µm]; 0.1 to 10 000.
    minutes : array_like of float, broadcasting
        Time [min]; 0 to 1e6.
    rate_mmol_cm2_s : array_like of float, broadcasting
        Rate of dissolution, as if constant [mmol/(cm2 s)]; 0 to 1.

    Returns
    -------
    ndarray of float64, broadcast shape
        Share dissolved; 0 to 1.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    The radius falls steadily: 1 - (1 - 2 v t / d)^3, v from the molar volume 36.9 cm3/mol.

    References
    ----------
    .. [1] Shrinking spheres with the rate of Plummer, Wigley and Parkhurst, 1978. Provenance: computed-with-numpy.

    Examples
    --------
    >>> chalk_dissolved_share([5.0, 20.0], 60.0, rate_mmol_cm2_s=1.138e-6).round(2)
    array([0.94, 0.39])
    """
    diameter = within(diameter_um, 0.1, 1e4, what="diameter of the grains [µm]")
    time = within(minutes, 0.0, 1e6, what="time [min]")
    rate = within(rate_mmol_cm2_s, 0.0, 1.0, what="rate of dissolution [mmol/(cm2 s)]")
    um_min = rate * 1e-3 * CALCITE_CM3_MOL * 60.0 * 1e4
    return np.asarray(1.0 - np.maximum(1.0 - 2.0 * um_min * time / diameter, 0.0) ** 3)
