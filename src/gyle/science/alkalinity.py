"""Alkalinity from the forms in which reports state it, and inorganic carbon from base capacity."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.carbonate_constants import activity_coefficient, log_k
from gyle.science.ranges import within
from gyle.science.water_ions import MOLAR_MASS, millimoles_L

__all__ = [
    "alkalinity_from_acid_capacity",
    "alkalinity_from_bicarbonate",
    "bicarbonate_mg_L",
    "carbon_from_base_capacity",
]

Array = NDArray[np.float64]


def alkalinity_from_acid_capacity(acid_capacity_mmol_L: ArrayLike, *, end_point_excess_mmol_L: ArrayLike) -> Array:
    """Find alkalinity from the acid capacity to pH 4.3.

    Parameters
    ----------
    acid_capacity_mmol_L : array_like of float, any shape
        Acid used to pH 4.3 [mmol/L]; 0 to 1000.
    end_point_excess_mmol_L : array_like of float, broadcasting
        Acid free at the end point, 0.05 by the definition of pH, 0 where the report has taken it off
        [mmol/L]; 0 to 0.2.

    Returns
    -------
    ndarray of float64, broadcast shape
        Alkalinity [mEq/L]; may be slightly negative in water without any.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    In soft water the acid that makes the end point what it is weighs.

    References
    ----------
    .. [1] DIN 38409-7, acid capacity. Provenance: memory.

    Examples
    --------
    >>> alkalinity_from_acid_capacity([5.72, 0.58], end_point_excess_mmol_L=0.05).round(2)
    array([5.67, 0.53])
    """
    capacity = within(acid_capacity_mmol_L, 0.0, 1000.0, what="acid capacity [mmol/L]")
    return np.asarray(capacity - within(end_point_excess_mmol_L, 0.0, 0.2, what="acid at the end point [mmol/L]"))


def alkalinity_from_bicarbonate(
    bicarbonate_mg_L: ArrayLike, ph: ArrayLike, *, temperature_C: ArrayLike, ionic_strength_mmol_L: ArrayLike
) -> Array:
    """Find alkalinity from the bicarbonate ion itself and the pH.

    Parameters
    ----------
    bicarbonate_mg_L : array_like of float, any shape
        Bicarbonate ion, truly the ion and not alkalinity written as bicarbonate [mg/L]; 0 to 100 000.
    ph : array_like of float, broadcasting
        Value of pH; 4 to 11.
    temperature_C : array_like of float, broadcasting
        Temperature of the pH [°C]; 0 to 100.
    ionic_strength_mmol_L : array_like of float, broadcasting
        Ionic strength [mmol/L]; 0 to 500.

    Returns
    -------
    ndarray of float64, broadcast shape
        Alkalinity, carbonate counted twice [mEq/L].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    Alk = [HCO3-] (1 + 2 K2' / h) + Kw' / h - h', without ion pairs. Below pH 8.3 the correction is
    under 2 %.

    References
    ----------
    .. [1] Plummer and Busenberg, Geochim. Cosmochim. Acta 46, 1011, 1982 (constants). Provenance: retrieved.

    Examples
    --------
    >>> alkalinity_from_bicarbonate(122.0, [7.0, 9.5], temperature_C=20.0, ionic_strength_mmol_L=5.0).round(2)
    array([2.  , 2.69])
    """
    amount = millimoles_L(bicarbonate_mg_L, "bicarbonate")
    h = 10.0 ** -within(ph, 4.0, 11.0, what="pH")
    strength = within(ionic_strength_mmol_L, 0.0, 500.0, what="ionic strength [mmol/L]") / 1000.0
    g1 = activity_coefficient(temperature_C, strength, charge=1)
    k2 = 10.0 ** log_k("HCO3- = H+ + CO3--", temperature_C)
    kw = 10.0 ** log_k("water", temperature_C)
    return np.asarray(amount * (1.0 + 2.0 * k2 / (h * g1**3)) + 1e3 * (kw / h - h) / g1)


def bicarbonate_mg_L(alkalinity_mEq_L: ArrayLike) -> Array:
    """Write an alkalinity as bicarbonate.

    Parameters
    ----------
    alkalinity_mEq_L : array_like of float, any shape
        Alkalinity [mEq/L]; -1000 to 1000.

    Returns
    -------
    ndarray of float64, same shape
        Alkalinity as bicarbonate [mg/L].

    Raises
    ------
    OutOfRange
        If an alkalinity is not a number in the range.

    Notes
    -----
    A way of stating alkalinity: above pH 8.3 the bicarbonate ion itself is noticeably less.

    References
    ----------
    .. [1] Molar mass of the ion. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(bicarbonate_mg_L(4.0).round(1))
    244.1
    """
    return np.asarray(MOLAR_MASS["bicarbonate"] * within(alkalinity_mEq_L, -1000.0, 1000.0, what="alkalinity [mEq/L]"))


def carbon_from_base_capacity(alkalinity_mEq_L: ArrayLike, base_capacity_mmol_L: ArrayLike) -> Array:
    """Estimate inorganic carbon from alkalinity and the base capacity to pH 8.2.

    Parameters
    ----------
    alkalinity_mEq_L : array_like of float, any shape
        Alkalinity [mEq/L]; 0 to 1000.
    base_capacity_mmol_L : array_like of float, broadcasting
        Base used to pH 8.2, free carbon dioxide nearly [mmol/L]; 0 to 1000.

    Returns
    -------
    ndarray of float64, broadcast shape
        Total inorganic carbon [mmol/L].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    A check on the field pH, whose error is 0.05 to 0.1.

    References
    ----------
    .. [1] DIN 38409-7, base capacity. Provenance: memory.

    Examples
    --------
    >>> float(carbon_from_base_capacity(5.72, 0.64).round(2))
    6.36
    """
    alkalinity = within(alkalinity_mEq_L, 0.0, 1000.0, what="alkalinity [mEq/L]")
    return np.asarray(alkalinity + within(base_capacity_mmol_L, 0.0, 1000.0, what="base capacity [mmol/L]"))
