"""Energy in beer, by the analyst's form and by the law's factors."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.extract import WATER_20C_KG_L
from gyle.science.ranges import within

__all__ = ["energy_asbc_kcal_100mL", "energy_eu_kJ_100mL", "energy_eu_kcal_100mL"]

Array = NDArray[np.float64]


def _per_100mL(
    real_extract_pct: ArrayLike, alcohol_pct: ArrayLike, gravity_sg: ArrayLike
) -> tuple[Array, Array, Array]:
    real = within(real_extract_pct, 0.0, 46.0, what="real extract [%]")
    alcohol = within(alcohol_pct, 0.0, 40.0, what="alcohol [% by mass]")
    gravity = within(gravity_sg, 0.9, 1.25, what="gravity [SG]")
    return real, alcohol, gravity * WATER_20C_KG_L


def energy_asbc_kcal_100mL(
    real_extract_pct: ArrayLike, alcohol_pct: ArrayLike, *, gravity_sg: ArrayLike, ash_pct: ArrayLike
) -> Array:
    """Find the energy of beer by the American analyst's form.

    Parameters
    ----------
    real_extract_pct : array_like of float, any shape
        Extract that is left [g per 100 g of beer]; 0 to 46.
    alcohol_pct : array_like of float, shape that broadcasts
        Ethanol [g per 100 g of beer]; 0 to 40.
    gravity_sg : array_like of float, shape that broadcasts
        Gravity of the degassed beer [SG]; 0.9 to 1.25.
    ash_pct : array_like of float, shape that broadcasts
        Minerals in the extract, about 0.1 [g per 100 g of beer]; 0 to 2.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Energy [kcal per 100 mL].

    Raises
    ------
    OutOfRange
        If an argument is not a number or outside its range.

    Notes
    -----
    (6.9 A + 4 (RE - ash)) in 100 g, times the beer's kilograms in a litre. The true extract is meant;
    the apparent one would leave out a third of what is left. Standard deviation 2 %.

    References
    ----------
    .. [1] ASBC, Methods of Analysis, Beer-33, through The Oxford Companion to Beer, "calories".
       Provenance: retrieved.

    Examples
    --------
    >>> float(energy_asbc_kcal_100mL(4.477, 4.089, gravity_sg=1.010, ash_pct=0.1).round(1))
    46.1
    """
    real, alcohol, kg_L = _per_100mL(real_extract_pct, alcohol_pct, gravity_sg)
    ash = within(ash_pct, 0.0, 2.0, what="ash [%]")
    return (6.9 * alcohol + 4.0 * (real - ash)) * kg_L


def energy_eu_kcal_100mL(real_extract_pct: ArrayLike, alcohol_pct: ArrayLike, *, gravity_sg: ArrayLike) -> Array:
    """Find the kilocalories of beer by the European label's factors.

    Parameters
    ----------
    real_extract_pct : array_like of float, any shape
        Extract that is left, all taken for carbohydrate and protein [g per 100 g of beer]; 0 to 46.
    alcohol_pct : array_like of float, shape that broadcasts
        Ethanol [g per 100 g of beer]; 0 to 40.
    gravity_sg : array_like of float, shape that broadcasts
        Gravity of the degassed beer [SG]; 0.9 to 1.25.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Energy [kcal per 100 mL].

    Raises
    ------
    OutOfRange
        If an argument is not a number or outside its range.

    Notes
    -----
    7 kcal for each gram of ethanol, 4 for each gram of carbohydrate or protein.

    References
    ----------
    .. [1] Regulation (EU) No 1169/2011, Annex XIV. Provenance: memory.

    Examples
    --------
    >>> float(energy_eu_kcal_100mL(5.347, 4.92, gravity_sg=1.012).round(1))
    56.4
    """
    real, alcohol, kg_L = _per_100mL(real_extract_pct, alcohol_pct, gravity_sg)
    return (7.0 * alcohol + 4.0 * real) * kg_L


def energy_eu_kJ_100mL(real_extract_pct: ArrayLike, alcohol_pct: ArrayLike, *, gravity_sg: ArrayLike) -> Array:
    """Find the kilojoules of beer by the European label's factors.

    Parameters
    ----------
    real_extract_pct : array_like of float, any shape
        Extract that is left, all taken for carbohydrate and protein [g per 100 g of beer]; 0 to 46.
    alcohol_pct : array_like of float, shape that broadcasts
        Ethanol [g per 100 g of beer]; 0 to 40.
    gravity_sg : array_like of float, shape that broadcasts
        Gravity of the degassed beer [SG]; 0.9 to 1.25.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Energy [kJ per 100 mL].

    Raises
    ------
    OutOfRange
        If an argument is not a number or outside its range.

    Notes
    -----
    29 kJ for each gram of ethanol, 17 for each gram of carbohydrate or protein; the law rounds each
    factor by itself, so this is not exactly 4.184 times the kilocalories.

    References
    ----------
    .. [1] Regulation (EU) No 1169/2011, Annex XIV. Provenance: memory.

    Examples
    --------
    >>> float(energy_eu_kJ_100mL(5.347, 4.92, gravity_sg=1.012).round())
    236.0
    """
    real, alcohol, kg_L = _per_100mL(real_extract_pct, alcohol_pct, gravity_sg)
    return (29.0 * alcohol + 17.0 * real) * kg_L
