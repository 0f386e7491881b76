"""What acids bring into a water, and how many protons each gives at the pH it is to reach.

The two strengths, in a gram and in a millilitre, are what a brewer compares bottles by; the line needs only
totals and protons.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.errors import OutOfRange
from gyle.science.carbonate_constants import Real
from gyle.science.ranges import within
from gyle.science.water_state import component_column

__all__ = [
    "ACIDS",
    "Acid",
    "acid_strength_mEq_g",
    "acid_strength_mEq_mL",
    "acid_totals",
    "protons_given",
]

Array = NDArray[np.float64]
LN10 = math.log(10.0)


class Acid(NamedTuple):
    """An acid: its steps of dissociation and what it leaves in the water.

    Parameters
    ----------
    molar_mass_g_mol : float
        Molar mass [g/mol].
    protons : int
        Protons a molecule has to give.
    pk : tuple of float
        Steps at 25 °C and no ionic strength; none for an acid that is always fully dissociated.
    anion : str
        Component of a water that it adds to.

    Examples
    --------
    >>> ACIDS["phosphoric"].pk
    (2.168, 7.207, 12.346)
    """

    molar_mass_g_mol: float
    protons: int
    pk: tuple[float, ...]
    anion: str


ACIDS = {
    "lactic": Acid(90.078, 1, (3.86,), "lactate"),
    "phosphoric": Acid(97.994, 3, (2.168, 7.207, 12.346), "phosphate"),
    "citric": Acid(192.123, 3, (3.128, 4.761, 6.396), "citrate"),
    "citric monohydrate": Acid(210.138, 3, (3.128, 4.761, 6.396), "citrate"),
    "hydrochloric": Acid(36.458, 1, (), "chloride"),
    "sulfuric": Acid(98.072, 2, (), "sulfate"),
}


def _acid(name: str) -> Acid:
    if name not in ACIDS:
        raise OutOfRange(f"{name!r} is not an acid that is known here; these are: {', '.join(ACIDS)}")
    return ACIDS[name]


def acid_totals(acid: str, dose_mmol_kg: ArrayLike) -> Array:
    """Give what a dose of acid adds to the totals of a water.

    Parameters
    ----------
    acid : str
        Name in `ACIDS`.
    dose_mmol_kg : array_like of float, any shape
        Molecules of acid for each kilogram of water; 0 to 1000 [mmol/kg].

    Returns
    -------
    ndarray of float64, (12, *shape)
        Totals to add, in the order of `water_state.COMPONENTS` [mmol/kg, alkalinity mEq/kg].

    Raises
    ------
    OutOfRange
        If the acid is unknown or a dose is not a number in the range.

    Notes
    -----
    Alkalinity loses every proton of the molecule, also those that a weak acid keeps at the final pH:
    the balance counts these as held by its anion.

    References
    ----------
    .. [1] Stumm and Morgan, Aquatic Chemistry, 3rd ed., Wiley, 1996, on conservative totals. Provenance: memory.

    Examples
    --------
    >>> acid_totals("phosphoric", 1.0)[[7, 10]]
    array([ 1., -3.])
    """
    entry = _acid(acid)
    dose = within(dose_mmol_kg, 0.0, 1000.0, what=f"{acid} acid [mmol/kg]")
    return component_column(dose, {entry.anion: 1.0, "alkalinity": -float(entry.protons)})


def protons_and_slope(pk: tuple[float, ...], protons: int, ph: Real) -> tuple[Real, Real]:
    """Give the mean number of protons lost and its slope with pH."""
    if not pk:
        return protons + 0.0 * ph, 0.0 * ph
    weight: Real = 1.0
    total, first, second = weight, 0.0 * weight, 0.0 * weight
    for lost, step in enumerate(pk, start=1):
        weight = weight * 10.0 ** (ph - step)
        total = total + weight
        first = first + lost * weight
        second = second + lost * lost * weight
    mean = first / total
    return mean, LN10 * (second / total - mean * mean)


def protons_given(acid: str, ph: ArrayLike) -> Array:
    """Give how many protons a molecule of an acid has lost at a pH.

    Parameters
    ----------
    acid : str
        Name in `ACIDS`.
    ph : array_like of float, any shape
        The pH that is reached; -2 to 16.

    Returns
    -------
    ndarray of float64, same shape
        Protons lost [mEq/mmol].

    Raises
    ------
    OutOfRange
        If the acid is unknown or a pH is not a number in the range.

    Notes
    -----
    sum(i 10^(sum(p - pK))) / sum(...), 25 °C, no ionic strength: in brewing liquor phosphoric acid
    gives under 1 % more, citric acid about 4 % more. Hydrochloric and sulfuric acid give all.

    References
    ----------
    .. [1] Martin and Tartar, J. Am. Chem. Soc. 59, 2672, 1937 (lactic). Provenance: retrieved.
    .. [2] Parkhurst and Appelo, USGS Techniques and Methods 6-A43, 2013, data base (phosphoric; as in
       `carbonate_constants`). Provenance: retrieved.
    .. [3] Goldberg, Kishore and Lennen, J. Phys. Chem. Ref. Data 31, 231, 2002 (citric). Provenance: memory.

    Examples
    --------
    >>> protons_given("phosphoric", [5.2, 5.6]).round(3)
    array([1.009, 1.024])
    """
    entry = _acid(acid)
    return np.asarray(protons_and_slope(entry.pk, entry.protons, within(ph, -2.0, 16.0, what="pH"))[0])


def acid_strength_mEq_g(acid: str, ph: ArrayLike) -> Array:
    """Give the protons that a gram of undiluted acid gives at a pH.

    Parameters
    ----------
    acid : str
        Name in `ACIDS`.
    ph : array_like of float, any shape
        The pH that is reached; -2 to 16.

    Returns
    -------
    ndarray of float64, same shape
        Strength [mEq/g].

    Raises
    ------
    OutOfRange
        If the acid is unknown or a pH is not a number in the range.

    Notes
    -----
    Protons given for each molecule over the molar mass.

    References
    ----------
    .. [1] IUPAC, Standard Atomic Weights 2021, abridged. Provenance: memory.

    Examples
    --------
    >>> acid_strength_mEq_g("citric", [5.2, 5.6]).round(2)
    array([ 9.3 , 10.47])
    """
    entry = _acid(acid)
    return np.asarray(1000.0 * protons_given(acid, ph) / entry.molar_mass_g_mol)


def acid_strength_mEq_mL(acid: str, ph: ArrayLike, *, share_pct: ArrayLike, density_kg_L: ArrayLike) -> Array:
    """Give the protons that a millilitre of an acid's solution gives at a pH.

    Parameters
    ----------
    acid : str
        Name in `ACIDS`.
    ph : array_like of float, any shape
        The pH that is reached; -2 to 16.
    share_pct : array_like of float, broadcasting
        Acid by mass [%]; 0 to 100.
    density_kg_L : array_like of float, broadcasting
        Density of the solution [kg/L]; 0.9 to 2. For grams in 100 mL, give 1.

    Returns
    -------
    ndarray of float64, broadcast shape
        Strength [mEq/mL].

    Raises
    ------
    OutOfRange
        If the acid is unknown or a value is not a number in its range.

    Notes
    -----
    Ask whether "10 %" is by mass or by volume: for phosphoric acid the difference is 5 %.

    References
    ----------
    .. [1] Laliberté and Cooper, J. Chem. Eng. Data 49, 141, 2004 (densities to use). Provenance: memory.

    Examples
    --------
    >>> float(acid_strength_mEq_mL("lactic", 5.4, share_pct=88.0, density_kg_L=1.206).round(2))
    11.45
    """
    density = within(density_kg_L, 0.9, 2.0, what="density [kg/L]")
    share = within(share_pct, 0.0, 100.0, what="acid by mass [%]") / 100.0
    return np.asarray(acid_strength_mEq_g(acid, ph) * share * density)
