"""Alkalinity taken out of a water before the mash: by boiling and by lime."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.carbonate import open_to_gas
from gyle.science.precipitation import calcite_equilibrium
from gyle.science.ranges import within
from gyle.science.water_state import ALKALINITY, CALCIUM, CARBON, problem

__all__ = ["boiled_totals", "lime_dose_mmol_kg", "limed_totals"]

Array = NDArray[np.float64]


def _less_calcite(totals: ArrayLike, calcite_mmol_kg: Array) -> Array:
    """Take calcite away; it never takes all of the calcium or carbon, but rounding must not overdraw."""
    after: Array = np.array(np.broadcast_arrays(*np.asarray(totals, dtype=np.float64), calcite_mmol_kg)[:-1])
    after[CALCIUM] = np.maximum(after[CALCIUM] - calcite_mmol_kg, 0.0)
    after[CARBON] = np.maximum(after[CARBON] - calcite_mmol_kg, 0.0)
    after[ALKALINITY] -= 2.0 * calcite_mmol_kg
    return after


def boiled_totals(
    totals: ArrayLike, temperature_C: ArrayLike, *, log_pco2: ArrayLike, settled_share: ArrayLike
) -> Array:
    """Find the water that is left when a hard one has been boiled and drawn off its chalk.

    Parameters
    ----------
    totals : array_like of float, (12, ...)
        The water, as `water_totals` makes it [mmol/kg].
    temperature_C : array_like of float, broadcasting
        Temperature at which it stood last on its chalk [°C]; 0 to 100.
    log_pco2 : array_like of float, broadcasting
        Logarithm of the pressure of CO2 over it [log atm]; -6 to 1.
    settled_share : array_like of float, broadcasting
        How far calcite came on its way to equilibrium; 0 to 1.

    Returns
    -------
    ndarray of float64, (12, *broadcast shape)
        Totals of the water, in balance with the gas [mmol/kg, alkalinity mEq/kg].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    Calcium falls mEq for mEq with alkalinity, to about 1 mEq/L in practice (0.6 to 1.2). Water that
    boils away is not reckoned here.

    References
    ----------
    .. [1] Plummer and Busenberg, Geochim. Cosmochim. Acta 46, 1011, 1982. Provenance: retrieved (abstract).

    Examples
    --------
    >>> from gyle.science.water_state import water_totals
    >>> hard = water_totals(6.0, 6.6, calcium_mmol_kg=3.0)
    >>> boiled_totals(hard, 76.0, log_pco2=-3.377, settled_share=[0.0, 0.9])[10].round(2)
    array([6.  , 1.06])
    """
    share = within(settled_share, 0.0, 1.0, what="share of the way to equilibrium")
    limit = calcite_equilibrium(totals, temperature_C, may_dissolve=False, log_pco2=log_pco2).precipitated_mmol_kg
    settled = _less_calcite(totals, share * limit)
    carbon = open_to_gas(settled, temperature_C, log_pco2=log_pco2).carbon_mmol_kg
    after: Array = np.array(np.broadcast_arrays(*settled, carbon)[:-1])
    after[CARBON] = carbon
    return after


def limed_totals(
    totals: ArrayLike, temperature_C: ArrayLike, *, lime_mmol_kg: ArrayLike, settled_share: ArrayLike
) -> Array:
    """Find the water that is left when lime has been stirred into a hard one and the chalk has settled.

    Parameters
    ----------
    totals : array_like of float, (12, ...)
        The water, as `water_totals` makes it [mmol/kg].
    temperature_C : array_like of float, broadcasting
        Temperature [°C]; 0 to 100.
    lime_mmol_kg : array_like of float, broadcasting
        Active calcium hydroxide [mmol/kg]; 0 to 100.
    settled_share : array_like of float, broadcasting
        How far calcite came on its way to equilibrium; 0 to 1.

    Returns
    -------
    ndarray of float64, (12, *broadcast shape)
        Totals of the water [mmol/kg, alkalinity mEq/kg].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    Ca(OH)2 + Ca(HCO3)2 -> 2 CaCO3 + 2 H2O in a closed water; too much lime leaves alkalinity and a pH
    above 10 behind. Magnesium hydroxide is not formed here.

    References
    ----------
    .. [1] Plummer and Busenberg, Geochim. Cosmochim. Acta 46, 1011, 1982. Provenance: retrieved (abstract).

    Examples
    --------
    >>> from gyle.science.water_state import water_totals
    >>> hard = water_totals(6.0, 6.6, calcium_mmol_kg=3.0)
    >>> limed_totals(hard, 15.0, lime_mmol_kg=2.5, settled_share=1.0)[[0, 10]].round(2)
    array([1.03, 2.07])
    """
    lime = within(lime_mmol_kg, 0.0, 100.0, what="calcium hydroxide [mmol/kg]")
    share = within(settled_share, 0.0, 1.0, what="share of the way to equilibrium")
    problem(totals, temperature_C)  # refuses what is not a water
    dosed = np.array(np.broadcast_arrays(*np.asarray(totals, dtype=np.float64), lime)[:-1])
    dosed[CALCIUM] += lime
    dosed[ALKALINITY] += 2.0 * lime
    limit = calcite_equilibrium(dosed, temperature_C, may_dissolve=False).precipitated_mmol_kg
    return _less_calcite(dosed, share * limit)


def lime_dose_mmol_kg(
    carbon_dioxide_mmol_kg: ArrayLike, alkalinity_mEq_kg: ArrayLike, *, end_alkalinity_mEq_kg: ArrayLike
) -> Array:
    """Give the lime that softens a water to an alkalinity.

    Parameters
    ----------
    carbon_dioxide_mmol_kg : array_like of float, any shape
        Dissolved carbon dioxide [mmol/kg]; 0 to 1000.
    alkalinity_mEq_kg : array_like of float, broadcasting
        Alkalinity before [mEq/kg]; 0 to 1000.
    end_alkalinity_mEq_kg : array_like of float, broadcasting
        Alkalinity wanted, 1 to 2 at the least [mEq/kg]; 0 to 1000.

    Returns
    -------
    ndarray of float64, broadcast shape
        Active calcium hydroxide [mmol/kg]; 0 where the water has no more alkalinity than is wanted.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    CO2 + (Alk - end) / 2. It holds while there is calcium enough to go with the alkalinity; measure
    the alkalinity afterwards, and mind that old lime is partly chalk.

    References
    ----------
    .. [1] Stoichiometry of lime softening. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(lime_dose_mmol_kg(0.583, 5.72, end_alkalinity_mEq_kg=2.204).round(2))
    2.34
    """
    gas = within(carbon_dioxide_mmol_kg, 0.0, 1000.0, what="carbon dioxide [mmol/kg]")
    alkalinity = within(alkalinity_mEq_kg, 0.0, 1000.0, what="alkalinity [mEq/kg]")
    surplus = alkalinity - within(end_alkalinity_mEq_kg, 0.0, 1000.0, what="wanted alkalinity [mEq/kg]")
    return np.asarray(np.where(surplus > 0.0, gas + surplus / 2.0, 0.0))
