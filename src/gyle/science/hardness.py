"""Hardness of a water in every usual unit, and the residual alkalinity it leaves.

Reports are read by `gyle.quantities`, whose units `equivalents_from_hardness` checks.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.errors import OutOfRange
from gyle.science.ranges import within
from gyle.science.water_ions import MOLAR_MASS, millimoles_L

__all__ = [
    "HARDNESS_UNITS",
    "Hardness",
    "equivalents_from_hardness",
    "hardness",
    "residual_alkalinity",
]

Array = NDArray[np.float64]

CACO3_MG_PER_MEQ = MOLAR_MASS["calcium carbonate"] / 2.0

# mEq/L in one of the unit
HARDNESS_UNITS = {
    "mEq/L": 1.0,
    "mmol/L": 2.0,
    "°dH": 20.0 / MOLAR_MASS["calcium oxide"],
    "°fH": 10.0 / CACO3_MG_PER_MEQ,
    "°e": 14.254 / CACO3_MG_PER_MEQ,  # one grain in an imperial gallon
    "gpg": 17.118 / CACO3_MG_PER_MEQ,  # one grain in a US gallon
    "mg/L CaCO3": 1.0 / CACO3_MG_PER_MEQ,
}


class Hardness(NamedTuple):
    """One hardness in the units in use.

    Parameters
    ----------
    mmol_L, german_dH, french_fH, english_e, caco3_mg_L : ndarray of float64
        Calcium and magnesium [mmol/L], degrees German, French and English, and as CaCO3 [mg/L].

    Examples
    --------
    >>> float(hardness(80.0, 12.0).german_dH.round(2))
    13.96
    """

    mmol_L: Array
    german_dH: Array
    french_fH: Array
    english_e: Array
    caco3_mg_L: Array


def hardness(calcium_mg_L: ArrayLike, magnesium_mg_L: ArrayLike) -> Hardness:
    """Find the total hardness of a water in the usual units.

    Parameters
    ----------
    calcium_mg_L : array_like of float, any shape
        Calcium [mg/L]; 0 to 100 000.
    magnesium_mg_L : array_like of float, broadcasting
        Magnesium [mg/L]; 0 to 100 000.

    Returns
    -------
    Hardness
        Calcium and magnesium together, each unit of the broadcast shape.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    1 °dH is 10 mg CaO/L, 1 °fH 10 mg CaCO3/L, 1 °e (Clark) a grain of CaCO3 in an imperial gallon.

    References
    ----------
    .. [1] Definitions of the units. Provenance: computed-with-numpy.

    Examples
    --------
    >>> hardness([94.4, 20.0], [18.3, 4.8]).german_dH.round(2)
    array([17.43,  3.91])
    """
    amount = np.asarray(millimoles_L(calcium_mg_L, "calcium") + millimoles_L(magnesium_mg_L, "magnesium"))
    units = (HARDNESS_UNITS[unit] for unit in ("mmol/L", "°dH", "°fH", "°e", "mg/L CaCO3"))
    return Hardness(*(np.asarray(2.0 * amount / unit) for unit in units))


def equivalents_from_hardness(value: ArrayLike, unit: str) -> Array:
    """Convert a hardness or an alkalinity stated in a hardness unit to equivalents.

    Parameters
    ----------
    value : array_like of float, any shape
        Hardness, carbonate hardness or alkalinity [in the unit]; 0 to 100 000.
    unit : str
        One of ``"mEq/L"``, ``"mmol/L"`` (of calcium), ``"°dH"``, ``"°fH"``, ``"°e"``, ``"gpg"``,
        ``"mg/L CaCO3"``.

    Returns
    -------
    ndarray of float64, same shape
        The same [mEq/L].

    Raises
    ------
    OutOfRange
        If the unit is unknown or a value is not a number in the range.

    Notes
    -----
    By its old definition carbonate hardness ends at the total hardness; a softened water's alkalinity
    is higher and is found from its acid capacity.

    References
    ----------
    .. [1] Definitions of the units. Provenance: computed-with-numpy.

    Examples
    --------
    >>> equivalents_from_hardness([16.0, 1.6], "°dH").round(3)
    array([5.706, 0.571])
    """
    if unit not in HARDNESS_UNITS:
        raise OutOfRange(f"{unit!r} is not a unit of hardness; these are: {', '.join(HARDNESS_UNITS)}")
    return np.asarray(within(value, 0.0, 1e5, what=f"hardness [{unit}]") * HARDNESS_UNITS[unit])


def residual_alkalinity(alkalinity_mEq_L: ArrayLike, *, calcium_mEq_L: ArrayLike, magnesium_mEq_L: ArrayLike) -> Array:
    """Give what calcium and magnesium leave of the alkalinity in cast-out wort.

    Parameters
    ----------
    alkalinity_mEq_L : array_like of float, any shape
        Alkalinity [mEq/L]; -1000 to 1000. Any other unit will do if all three are in it.
    calcium_mEq_L, magnesium_mEq_L : array_like of float, broadcasting
        Hardness by each [mEq/L]; 0 to 1000.

    Returns
    -------
    ndarray of float64, broadcast shape
        Residual alkalinity [mEq/L].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    RA = Alk - Ca / 3.5 - Mg / 7. It describes a water; mash pH depends on thickness and malt as well.

    References
    ----------
    .. [1] Kolbach, Monatsschr. Brauerei 6, 49, 1953. Provenance: memory.
    .. [2] MEBAK W-030.01.900. Provenance: retrieved.

    Examples
    --------
    >>> float(residual_alkalinity(3.0, calcium_mEq_L=3.992, magnesium_mEq_L=0.987).round(3))
    1.718
    """
    alkalinity = within(alkalinity_mEq_L, -1000.0, 1000.0, what="alkalinity [mEq/L]")
    calcium = within(calcium_mEq_L, 0.0, 1000.0, what="calcium [mEq/L]")
    return np.asarray(alkalinity - calcium / 3.5 - within(magnesium_mEq_L, 0.0, 1000.0, what="magnesium [mEq/L]") / 7.0)
