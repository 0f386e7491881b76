"""Metabisulfite against chlorine and chloramine, and what it leaves behind."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.errors import OutOfRange
from gyle.science.ranges import within
from gyle.science.water_ions import MOLAR_MASS

__all__ = ["METABISULFITES", "Dechlorination", "metabisulfite"]

Array = NDArray[np.float64]

CHLORINE, SULFUR_DIOXIDE = 70.90, 64.058  # Cl2 and SO2 [g/mol]
METABISULFITES = {"sodium": 190.094, "potassium": 222.310}  # molar mass of M2S2O5 [g/mol]


class Dechlorination(NamedTuple):
    """A dose and what becomes of it.

    Parameters
    ----------
    dose_mg : ndarray of float64
        Metabisulfite as weighed [mg].
    sulfate_mg_L, chloride_mg_L, sodium_mg_L, potassium_mg_L, ammonium_mg_L : ndarray of float64
        Ions added [mg/L].
    alkalinity_lost_mEq_L : ndarray of float64
        Alkalinity used up [mEq/L].
    sulfur_dioxide_mg_L : ndarray of float64
        Sulfite left over, as SO2 [mg/L].

    Examples
    --------
    >>> dose = metabisulfite(30.0, 1.0, salt="potassium", margin=1.0, strength=1.0, chloramine_share=0.0)
    >>> float(dose.dose_mg.round())
    47.0
    """

    dose_mg: Array
    sulfate_mg_L: Array
    chloride_mg_L: Array
    sodium_mg_L: Array
    potassium_mg_L: Array
    ammonium_mg_L: Array
    alkalinity_lost_mEq_L: Array
    sulfur_dioxide_mg_L: Array


def metabisulfite(
    volume_L: ArrayLike,
    residual_mg_L: ArrayLike,
    *,
    salt: str,
    margin: ArrayLike,
    strength: ArrayLike,
    chloramine_share: ArrayLike,
) -> Dechlorination:
    """Give the metabisulfite that takes chlorine out of a water, and what it leaves.

    Parameters
    ----------
    volume_L : array_like of float, any shape
        Water [L]; 0 to 1e9.
    residual_mg_L : array_like of float, broadcasting
        Chlorine, free and as chloramine, stated as Cl2 [mg/L]; 0 to 20.
    salt : str
        One of ``"sodium"``, ``"potassium"``.
    margin : array_like of float, broadcasting
        Active salt taken for what the reaction needs; 1 to 3 (1.3 is usual, 2 the most).
    strength : array_like of float, broadcasting
        Active part of the salt as weighed; 0.2 to 1 (it ages).
    chloramine_share : array_like of float, broadcasting
        Part of the residual that is monochloramine; 0 to 1.

    Returns
    -------
    Dechlorination
        Dose for the volume, ions added and sulfite left, each of the broadcast shape.

    Raises
    ------
    OutOfRange
        If the salt is unknown or a value is not a number in its range.

    Notes
    -----
    S2O5-- + H2O -> 2 HSO3-; HSO3- + HOCl -> SO4-- + Cl- + 2 H+; HSO3- + NH2Cl + H2O -> SO4-- + Cl- +
    NH4+ + H+. Either form of chlorine takes one sulfite, so the dose is the same. Sulfite left over
    ends as sulfate too; people who are sensitive to it should know.

    References
    ----------
    .. [1] Stoichiometry with IUPAC standard atomic weights. Provenance: computed-with-numpy.

    Examples
    --------
    >>> dose = metabisulfite(30.0, 1.0, salt="sodium", margin=1.0, strength=1.0, chloramine_share=0.0)
    >>> float(dose.dose_mg.round(1)), float(dose.sulfate_mg_L.round(3))
    (40.2, 1.355)
    """
    if salt not in METABISULFITES:
        raise OutOfRange(f"{salt!r} is not a metabisulfite that is known here; these are: {', '.join(METABISULFITES)}")
    volume = within(volume_L, 0.0, 1e9, what="water [L]")
    chlorine = within(residual_mg_L, 0.0, 20.0, what="chlorine [mg/L as Cl2]") / CHLORINE
    excess = within(margin, 1.0, 3.0, what="margin")
    active = within(strength, 0.2, 1.0, what="strength of the metabisulfite")
    bound = within(chloramine_share, 0.0, 1.0, what="share of chloramine")
    sulfite = chlorine * excess
    metal = {name: (sulfite * MOLAR_MASS[name] if name == salt else 0.0 * sulfite) for name in METABISULFITES}
    values = (
        volume * sulfite * METABISULFITES[salt] / (2.0 * active),
        chlorine * MOLAR_MASS["sulfate"],
        chlorine * MOLAR_MASS["chloride"],
        metal["sodium"],
        metal["potassium"],
        chlorine * bound * MOLAR_MASS["ammonium"],
        chlorine * (2.0 - bound),
        (sulfite - chlorine) * SULFUR_DIOXIDE,
    )
    return Dechlorination(*(np.asarray(value) for value in np.broadcast_arrays(*values)))
