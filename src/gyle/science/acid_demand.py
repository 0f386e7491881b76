"""Acid that brings a water to a pH, by the convention of the mash: room temperature, no ionic strength.

The mash's own balance is empirical at room temperature; what the liquor brings into it is reckoned
with the constants of 25 °C and without activities, so that both speak the same pH.
`carbonate.alkalinity_from_ph` gives the rigorous answer for a water by itself.

The line strikes its balance in `malt_acidity`, of which water is one term; `acid_demand_mEq` and
`alkalinity_left_mEq_L` answer for water alone.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.carbonate_constants import Real
from gyle.science.ranges import within

__all__ = ["acid_demand_mEq", "alkalinity_left_mEq_L", "carbonate_charge", "room_carbon_mmol_L"]

Array = NDArray[np.float64]

LN10 = math.log(10.0)
PK1, PK2, PKW = 6.352, 10.329, 13.995  # 25 °C


def power_of_ten(x: Real) -> Real:
    """Give 10^x; for arrays by the natural exponential, which is worked out faster."""
    return np.exp(LN10 * x) if isinstance(x, np.ndarray) else 10.0**x


def free_charge_mEq_L(ph: Real) -> Real:
    """Give hydroxide less protons [mEq/L] of a plain number or an array, by the mash's convention.

    The line and the choice of doses reckon the liquor's own charge with it.
    """
    return power_of_ten(ph - PKW + 3.0) - power_of_ten(3.0 - ph)


def charge_and_slope(ph: Real) -> tuple[Real, Real]:
    """Give the mean charge of carbonate and its slope with pH, of a plain number or an array."""
    one = power_of_ten(ph - PK1)
    two = one * power_of_ten(ph - PK2)
    total = 1.0 + one + two
    mean = (one + 2.0 * two) / total
    return mean, LN10 * ((one + 4.0 * two) / total - mean * mean)


def water_and_slope(ph: Real) -> tuple[Real, Real]:
    """Give hydroxide less protons [mEq/L] and its slope with pH, of a plain number or an array."""
    hydroxide, proton = power_of_ten(ph - PKW + 3.0), power_of_ten(3.0 - ph)
    return hydroxide - proton, LN10 * (hydroxide + proton)


def carbonate_charge(ph: ArrayLike) -> Array:
    """Give the mean charge of dissolved carbonate at room temperature.

    Parameters
    ----------
    ph : array_like of float, any shape
        Value of pH; -2 to 16.

    Returns
    -------
    ndarray of float64, same shape
        Charge for each carbon, 0 (CO2) to 2 (carbonate), without sign.

    Raises
    ------
    OutOfRange
        If a pH is not a number in the range.

    Notes
    -----
    (a + 2 b) / (1 + a + b), a = 10^(p - 6.352), b = a 10^(p - 10.329).

    References
    ----------
    .. [1] Plummer and Busenberg, Geochim. Cosmochim. Acta 46, 1011, 1982, at 25 °C. Provenance: retrieved.

    Examples
    --------
    >>> carbonate_charge([5.4, 8.34]).round(3)
    array([0.1, 1. ])
    """
    return np.asarray(charge_and_slope(within(ph, -2.0, 16.0, what="pH"))[0])


def room_carbon_mmol_L(alkalinity_mEq_L: ArrayLike, ph: ArrayLike) -> Array:
    """Find inorganic carbon from alkalinity and pH at room temperature.

    Parameters
    ----------
    alkalinity_mEq_L : array_like of float, any shape
        Alkalinity [mEq/L]; -1000 to 1000.
    ph : array_like of float, broadcasting
        Value of pH at room temperature; 2 to 13.

    Returns
    -------
    ndarray of float64, broadcast shape
        Total inorganic carbon [mmol/L]; 0 where no carbon can make this alkalinity at this pH.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    (Alk - Kw / h + h) / charge.

    References
    ----------
    .. [1] Plummer and Busenberg, Geochim. Cosmochim. Acta 46, 1011, 1982, at 25 °C. Provenance: retrieved.

    Examples
    --------
    >>> float(room_carbon_mmol_L(2.0, 7.5).round(3))
    2.139
    """
    alkalinity = within(alkalinity_mEq_L, -1000.0, 1000.0, what="alkalinity [mEq/L]")
    value = within(ph, 2.0, 13.0, what="pH")
    return np.asarray(np.maximum(alkalinity - free_charge_mEq_L(value), 0.0) / charge_and_slope(value)[0])


def alkalinity_left_mEq_L(
    ph: ArrayLike, *, alkalinity_mEq_L: ArrayLike, carbon_mmol_L: ArrayLike, co2_lost_share: ArrayLike
) -> Array:
    """Give the acid that a litre of water takes to a pH.

    Parameters
    ----------
    ph : array_like of float, any shape
        The pH that is reached; -2 to 16.
    alkalinity_mEq_L : array_like of float, broadcasting
        Alkalinity before [mEq/L]; -1000 to 1000.
    carbon_mmol_L : array_like of float, broadcasting
        Total inorganic carbon before [mmol/L]; 0 to 1000.
    co2_lost_share : array_like of float, broadcasting
        Share of the carbon that leaves as gas; 0 (closed) to 1.

    Returns
    -------
    ndarray of float64, broadcast shape
        Acid [mEq/L]; negative where the water lies below the pH already.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    W = Alk - (1 - lost) C charge(p) - Kw / h + h.

    References
    ----------
    .. [1] Proton balance at 25 °C. Provenance: computed-with-numpy.

    Examples
    --------
    >>> alkalinity_left_mEq_L(5.4, alkalinity_mEq_L=2.0, carbon_mmol_L=2.139, co2_lost_share=[0.0, 1.0]).round(3)
    array([1.789, 2.004])
    """
    value = within(ph, -2.0, 16.0, what="pH")
    alkalinity = within(alkalinity_mEq_L, -1000.0, 1000.0, what="alkalinity [mEq/L]")
    carbon = within(carbon_mmol_L, 0.0, 1000.0, what="inorganic carbon [mmol/L]")
    kept = 1.0 - within(co2_lost_share, 0.0, 1.0, what="share of CO2 lost")
    return np.asarray(alkalinity - kept * carbon * charge_and_slope(value)[0] - free_charge_mEq_L(value))


def acid_demand_mEq(
    volume_L: ArrayLike,
    ph: ArrayLike,
    *,
    alkalinity_mEq_L: ArrayLike,
    carbon_mmol_L: ArrayLike,
    co2_lost_share: ArrayLike,
) -> Array:
    """Give the acid that brings a volume of water to a pH.

    Parameters
    ----------
    volume_L : array_like of float, any shape
        Water at 20 °C [L]; 0 to 1e9.
    ph : array_like of float, broadcasting
        The pH that is reached; -2 to 16.
    alkalinity_mEq_L : array_like of float, broadcasting
        Alkalinity before [mEq/L]; -1000 to 1000.
    carbon_mmol_L : array_like of float, broadcasting
        Total inorganic carbon before [mmol/L]; 0 to 1000.
    co2_lost_share : array_like of float, broadcasting
        Share of the carbon that leaves as gas; 0 (closed) to 1.

    Returns
    -------
    ndarray of float64, broadcast shape
        Acid [mEq]; divide by its strength at the same pH for the dose.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    Lost carbon dioxide costs acid: 15 to 25 % more at mash pH. For sparge water aim at an alkalinity
    (below 0.5 mEq/L), not at a pH.

    References
    ----------
    .. [1] Proton balance at 25 °C. Provenance: computed-with-numpy.

    Examples
    --------
    >>> carbon = room_carbon_mmol_L(5.72, 7.41)
    >>> acid_demand_mEq(10.0, 5.6, alkalinity_mEq_L=5.72, carbon_mmol_L=carbon, co2_lost_share=[0.0, 1.0]).round(2)
    array([47.88, 57.23])
    """
    litre = alkalinity_left_mEq_L(
        ph, alkalinity_mEq_L=alkalinity_mEq_L, carbon_mmol_L=carbon_mmol_L, co2_lost_share=co2_lost_share
    )
    return np.asarray(within(volume_L, 0.0, 1e9, what="water [L]") * litre)
