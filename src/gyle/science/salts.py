"""What salts bring into a water: ions, alkalinity and inorganic carbon, all linear in the dose.

The line adds `salt_totals`. `salt_gain` is the same in the milligrams of a report, and `dissolved_salt_g`
the salt in a solution measured out.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.errors import OutOfRange
from gyle.science.ranges import within
from gyle.science.water_ions import MOLAR_MASS
from gyle.science.water_state import component_column

__all__ = [
    "SALTS",
    "Gain",
    "Salt",
    "dissolved_salt_g",
    "salt_gain",
    "salt_totals",
]

Array = NDArray[np.float64]


class Salt(NamedTuple):
    """A salt and what one mole of it brings.

    Parameters
    ----------
    molar_mass_g_mol : float
        Molar mass with its water of crystallisation [g/mol].
    brings : dict
        Moles of each component of a water (equivalents for alkalinity).

    Examples
    --------
    >>> SALTS["sodium chloride"].brings
    {'sodium': 1, 'chloride': 1}
    """

    molar_mass_g_mol: float
    brings: dict[str, float]


class Gain(NamedTuple):
    """What a dose adds to a litre.

    Parameters
    ----------
    calcium_mg_L, magnesium_mg_L, sodium_mg_L, potassium_mg_L, chloride_mg_L, sulfate_mg_L : ndarray of float64
        Ions [mg/L].
    alkalinity_mEq_L, carbon_mmol_L : ndarray of float64
        Alkalinity [mEq/L] and inorganic carbon [mmol/L].

    Examples
    --------
    >>> float(salt_gain("sodium bicarbonate", 1.0, volume_L=20.0, purity=1.0).alkalinity_mEq_L.round(3))
    0.595
    """

    calcium_mg_L: Array
    magnesium_mg_L: Array
    sodium_mg_L: Array
    potassium_mg_L: Array
    chloride_mg_L: Array
    sulfate_mg_L: Array
    alkalinity_mEq_L: Array
    carbon_mmol_L: Array


SALTS = {
    "calcium sulfate dihydrate": Salt(172.164, {"calcium": 1, "sulfate": 1}),
    "calcium chloride anhydrous": Salt(110.978, {"calcium": 1, "chloride": 2}),
    "calcium chloride dihydrate": Salt(147.008, {"calcium": 1, "chloride": 2}),
    "calcium chloride hexahydrate": Salt(219.068, {"calcium": 1, "chloride": 2}),
    "magnesium sulfate heptahydrate": Salt(246.466, {"magnesium": 1, "sulfate": 1}),
    "magnesium sulfate anhydrous": Salt(120.361, {"magnesium": 1, "sulfate": 1}),
    "magnesium chloride hexahydrate": Salt(203.295, {"magnesium": 1, "chloride": 2}),
    "sodium chloride": Salt(58.440, {"sodium": 1, "chloride": 1}),
    "potassium chloride": Salt(74.548, {"potassium": 1, "chloride": 1}),
    "sodium sulfate anhydrous": Salt(142.036, {"sodium": 2, "sulfate": 1}),
    "sodium bicarbonate": Salt(84.006, {"sodium": 1, "alkalinity": 1, "carbon": 1}),
    "potassium bicarbonate": Salt(100.114, {"potassium": 1, "alkalinity": 1, "carbon": 1}),
    "sodium carbonate anhydrous": Salt(105.988, {"sodium": 2, "alkalinity": 2, "carbon": 1}),
    "calcium hydroxide": Salt(74.092, {"calcium": 1, "alkalinity": 2}),
    "calcium carbonate": Salt(100.086, {"calcium": 1, "alkalinity": 2, "carbon": 1}),
}
IONS = ("calcium", "magnesium", "sodium", "potassium", "chloride", "sulfate")
MOST_G_KG = 1000.0


def _salt(name: str) -> Salt:
    if name not in SALTS:
        raise OutOfRange(f"{name!r} is not a salt that is known here; these are: {', '.join(SALTS)}")
    return SALTS[name]


def salt_totals(salt: str, dose_g_kg: ArrayLike, *, purity: ArrayLike) -> Array:
    """Give what a dose of salt adds to the totals of a water.

    Parameters
    ----------
    salt : str
        Name in `SALTS`, with its water of crystallisation.
    dose_g_kg : array_like of float, any shape
        Salt for each kilogram of water; 0 to 1000 [g/kg].
    purity : array_like of float, broadcasting
        Mass fraction that is the salt as named; 0 to 1.1 (more than 1 if it has lost water).

    Returns
    -------
    ndarray of float64, (12, *broadcast shape)
        Totals to add, in the order of `water_state.COMPONENTS` [mmol/kg, alkalinity mEq/kg].

    Raises
    ------
    OutOfRange
        If the salt is unknown or a value is not a number in its range.

    Notes
    -----
    Only the part that dissolves counts: chalk hardly does in a brew day, gypsum slowly above 2 g/kg.

    References
    ----------
    .. [1] IUPAC, Standard Atomic Weights 2021, abridged. Provenance: memory.

    Examples
    --------
    >>> salt_totals("calcium chloride dihydrate", 0.147008, purity=1.0)[[0, 4]].round(3)
    array([1., 2.])
    """
    entry = _salt(salt)
    dose = within(dose_g_kg, 0.0, MOST_G_KG, what=f"{salt} [g/kg]")
    share = within(purity, 0.0, 1.1, what="purity")
    return component_column(1000.0 * dose * share / entry.molar_mass_g_mol, entry.brings)


def salt_gain(salt: str, mass_g: ArrayLike, *, volume_L: ArrayLike, purity: ArrayLike) -> Gain:
    """Give the ions that a weighed salt adds to a volume of water.

    Parameters
    ----------
    salt : str
        Name in `SALTS`, with its water of crystallisation.
    mass_g : array_like of float, any shape
        Salt weighed [g]; 0 to 1e6.
    volume_L : array_like of float, broadcasting
        Water at 20 °C [L]; above 0.
    purity : array_like of float, broadcasting
        Mass fraction that is the salt as named; 0 to 1.1 (more than 1 if it has lost water).

    Returns
    -------
    Gain
        Ions [mg/L], alkalinity and carbon, each of the broadcast shape.

    Raises
    ------
    OutOfRange
        If the salt is unknown or a value is not a number in its range.

    Notes
    -----
    Hot water takes more room: reckon its volume at 20 °C.

    References
    ----------
    .. [1] IUPAC, Standard Atomic Weights 2021, abridged. Provenance: memory.

    Examples
    --------
    >>> gypsum = salt_gain("calcium sulfate dihydrate", 3.0, volume_L=20.0, purity=1.0)
    >>> float(gypsum.calcium_mg_L.round(2)), float(gypsum.sulfate_mg_L.round(2))
    (34.92, 83.69)
    """
    entry = _salt(salt)
    mass = within(mass_g, 0.0, 1e6, what=f"{salt} [g]")
    volume = within(volume_L, 1e-6, 1e9, what="water [L]")
    share = within(purity, 0.0, 1.1, what="purity")
    mmol_L = 1000.0 * mass * share / (entry.molar_mass_g_mol * volume)
    ions = [np.asarray(mmol_L * entry.brings.get(ion, 0.0) * MOLAR_MASS[ion]) for ion in IONS]
    others = [np.asarray(mmol_L * entry.brings.get(total, 0.0)) for total in ("alkalinity", "carbon")]
    return Gain(*ions, *others)


def dissolved_salt_g(volume_mL: ArrayLike, *, density_kg_L: ArrayLike, share_pct: ArrayLike) -> Array:
    """Give the salt in a volume of its solution.

    Parameters
    ----------
    volume_mL : array_like of float, any shape
        Solution [mL]; 0 to 1e6.
    density_kg_L : array_like of float, broadcasting
        Density of the solution [kg/L]; 0.9 to 2.
    share_pct : array_like of float, broadcasting
        Salt by mass, without water of crystallisation [%]; 0 to 100.

    Returns
    -------
    ndarray of float64, broadcast shape
        Salt [g].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    Grams in 100 mL are mass by volume: give them as a share with density 1.

    References
    ----------
    .. [1] Definition of the mass fraction. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(dissolved_salt_g(5.0, density_kg_L=1.315, share_pct=33.0).round(2))
    2.17
    """
    volume = within(volume_mL, 0.0, 1e6, what="solution [mL]")
    density = within(density_kg_L, 0.9, 2.0, what="density [kg/L]")
    return np.asarray(volume * density * within(share_pct, 0.0, 100.0, what="salt by mass [%]") / 100.0)
