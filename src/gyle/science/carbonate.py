"""The state of a water from its totals: pH, free and paired ions, saturation, carbon dioxide.

The totals (`water_state.water_totals`) are what salts, acids, mixing, dilution and boiling change
linearly; pH is not among them, it comes out here. `alkalinity_from_ph` is the peer that `acid_demand`
is tested against.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.carbonate_pass import Known
from gyle.science.water_state import (
    CARBON,
    HIGHEST_LOG_PCO2,
    LOWEST_LOG_PCO2,
    Speciation,
    carbon_dioxide,
    describe,
    number,
    problem,
)

__all__ = [
    "AIR_LOG_PCO2",
    "alkalinity_from_ph",
    "carbon_from_ph",
    "closed",
    "open_to_gas",
    "partly_degassed",
]

Array = NDArray[np.float64]

AIR_LOG_PCO2 = -3.377  # of the open air, 420 millionths of an atmosphere


def carbon_from_ph(totals: ArrayLike, ph: ArrayLike, *, temperature_C: ArrayLike) -> Array:
    """Find the inorganic carbon that gives a water of known alkalinity its measured pH.

    Parameters
    ----------
    totals : array_like of float, (12, ...)
        The water, as `water_totals` makes it; its carbon is not looked at [mmol/kg].
    ph : array_like of float, broadcasting
        Reading of pH taken at the temperature; 2 to 13.
    temperature_C : array_like of float, broadcasting
        Temperature of the pH reading [°C]; 0 to 100.

    Returns
    -------
    ndarray of float64, broadcast shape
        Total inorganic carbon [mmol/kg]; 0 if no carbon can make this alkalinity at this pH, since the
        alkalinity is the firmer of the two figures.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    The balance of `closed`, solved for carbon. A pH holds at its own temperature only.

    References
    ----------
    .. [1] Plummer and Busenberg, Geochim. Cosmochim. Acta 46, 1011, 1982 (constants). Provenance: retrieved.

    Examples
    --------
    >>> from gyle.science.water_state import water_totals
    >>> float(carbon_from_ph(water_totals(2.0, 0.0, calcium_mmol_kg=1.0), 7.4, temperature_C=20.0).round(2))
    2.17
    """
    reading = number(ph, 2.0, 13.0, what="pH")
    water = problem(totals, temperature_C, reading)
    return np.asarray(1e3 * water.solve(Known.PH, 10.0**-reading).carbon)


def alkalinity_from_ph(totals: ArrayLike, ph: ArrayLike, *, temperature_C: ArrayLike) -> Array:
    """Find the alkalinity a water of known inorganic carbon has at a pH.

    Parameters
    ----------
    totals : array_like of float, (12, ...)
        The water, as `water_totals` makes it; its alkalinity is not looked at [mmol/kg].
    ph : array_like of float, broadcasting
        Value of pH at the temperature; 2 to 13.
    temperature_C : array_like of float, broadcasting
        Temperature [°C]; 0 to 100.

    Returns
    -------
    ndarray of float64, broadcast shape
        Alkalinity [mEq/kg]; what the water has beyond it is the acid that brings it to the pH.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    The balance of `closed`, solved for alkalinity.

    References
    ----------
    .. [1] Plummer and Busenberg, Geochim. Cosmochim. Acta 46, 1011, 1982 (constants). Provenance: retrieved.

    Examples
    --------
    >>> from gyle.science.water_state import water_totals
    >>> float(alkalinity_from_ph(water_totals(0.0, 2.2, calcium_mmol_kg=1.0), 7.4, temperature_C=20.0).round(2))
    2.02
    """
    reading = number(ph, 2.0, 13.0, what="pH")
    water = problem(totals, temperature_C, reading)
    return np.asarray(1e3 * water.solve(Known.PH_CARBON, 10.0**-reading).alkalinity)


def closed(totals: ArrayLike, temperature_C: ArrayLike) -> Speciation:
    """Find the state of a water that keeps all its carbon dioxide.

    Parameters
    ----------
    totals : array_like of float, (12, ...)
        The water, as `water_totals` makes it [mmol/kg].
    temperature_C : array_like of float, broadcasting
        Temperature [°C]; 0 to 100.

    Returns
    -------
    Speciation
        State, species and saturation, each of the broadcast shape.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    Balances of alkalinity, carbon and each ion with some thirty equilibria; activities by Debye and
    Hückel's extended equation, with an ion size of 5.4 Å for all but Ca++, Mg++ and SO4--, which have
    their own size and linear term. Nothing precipitates.

    References
    ----------
    .. [1] Plummer and Busenberg, Geochim. Cosmochim. Acta 46, 1011, 1982. Provenance: retrieved (abstract).
    .. [2] Parkhurst and Appelo, USGS Techniques and Methods 6-A43, 2013 (pairs). Provenance: retrieved.
    .. [3] Truesdell and Jones, J. Res. U.S. Geol. Surv. 2, 233, 1974. Provenance: retrieved (in [2]).

    Examples
    --------
    >>> from gyle.science.water_state import water_totals
    >>> warm = closed(water_totals(2.0, 2.2, calcium_mmol_kg=1.0), [20.0, 65.0])
    >>> warm.ph.round(2)
    array([7.34, 7.23])
    """
    water = problem(totals, temperature_C)
    return describe(water, water.solve(Known.CARBON))


def open_to_gas(totals: ArrayLike, temperature_C: ArrayLike, *, log_pco2: ArrayLike) -> Speciation:
    """Find the state of a water in equilibrium with a gas that holds carbon dioxide.

    Parameters
    ----------
    totals : array_like of float, (12, ...)
        The water, as `water_totals` makes it; its carbon is not looked at [mmol/kg].
    temperature_C : array_like of float, broadcasting
        Temperature [°C]; 0 to 100.
    log_pco2 : array_like of float, broadcasting
        Logarithm of the pressure of CO2 [log atm]; -6 to 1.

    Returns
    -------
    Speciation
        State, species and saturation, each of the broadcast shape.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    As `closed`, with the carbon balance replaced by Henry's law; alkalinity is kept.

    References
    ----------
    .. [1] Plummer and Busenberg, Geochim. Cosmochim. Acta 46, 1011, 1982. Provenance: retrieved (abstract).
    .. [2] Abbott's virial coefficient, in Smith and Van Ness, Chemical Engineering Thermodynamics.
       Provenance: memory.

    Examples
    --------
    >>> from gyle.science.water_state import water_totals
    >>> float(open_to_gas(water_totals(2.0, 2.2, calcium_mmol_kg=1.0), 20.0, log_pco2=AIR_LOG_PCO2).ph.round(2))
    8.42
    """
    pressure = number(log_pco2, LOWEST_LOG_PCO2, HIGHEST_LOG_PCO2, what="log10 of the CO2 pressure [log atm]")
    water = problem(totals, temperature_C, pressure)
    return describe(water, water.solve(Known.CO2, carbon_dioxide(water, pressure)))


def partly_degassed(
    totals: ArrayLike, temperature_C: ArrayLike, *, log_pco2: ArrayLike, lost_share: ArrayLike
) -> Speciation:
    """Find the state of a water that has lost part of the carbon dioxide it would lose to a gas.

    Parameters
    ----------
    totals : array_like of float, (12, ...)
        The water, as `water_totals` makes it [mmol/kg].
    temperature_C : array_like of float, broadcasting
        Temperature [°C]; 0 to 100.
    log_pco2 : array_like of float, broadcasting
        Logarithm of the pressure of CO2 in the gas [log atm]; -6 to 1.
    lost_share : array_like of float, broadcasting
        Part of the way from the carbon it had to the carbon it would have in equilibrium; 0 to 1.

    Returns
    -------
    Speciation
        State, species and saturation, each of the broadcast shape.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    Carbon is moved linearly between `closed` (0) and `open_to_gas` (1). A water with less CO2 than the
    gas takes some up.

    References
    ----------
    .. [1] Two ends by Plummer and Busenberg's constants, a line between them. Provenance: ours.

    Examples
    --------
    >>> from gyle.science.water_state import water_totals
    >>> water = water_totals(2.0, 2.2, calcium_mmol_kg=1.0)
    >>> partly_degassed(water, 20.0, log_pco2=AIR_LOG_PCO2, lost_share=[0.0, 0.5, 1.0]).ph.round(2)
    array([7.34, 7.68, 8.42])
    """
    pressure = number(log_pco2, LOWEST_LOG_PCO2, HIGHEST_LOG_PCO2, what="log10 of the CO2 pressure [log atm]")
    share = number(lost_share, 0.0, 1.0, what="share of CO2 lost")
    water = problem(totals, temperature_C, pressure, share)
    ends = water.solve(Known.CO2, carbon_dioxide(water, pressure))
    water = water.having(CARBON, (1.0 - share) * water.totals[CARBON] + share * ends.carbon)
    return describe(water, water.solve(Known.CARBON))
