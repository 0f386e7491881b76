"""Waters in equilibrium with calcite or gypsum: what comes out, what goes in, and the pH then.

Boiling and lime rest on calcite. Gypsum tells how much of it a liquor can hold at all, far above what is
ever dosed: nothing in the line needs it.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.carbonate_parts import FLOATS
from gyle.science.carbonate_pass import Known, Solid, State
from gyle.science.water_state import (
    ALKALINITY,
    CALCIUM,
    CARBON,
    HIGHEST_LOG_PCO2,
    LOWEST_LOG_PCO2,
    SULFATE,
    Problem,
    Speciation,
    carbon_dioxide,
    describe,
    number,
    problem,
)

__all__ = ["Settled", "calcite_equilibrium", "gypsum_equilibrium"]

Array = NDArray[np.float64]

LEAST_CALCIUM = 1e-12  # mol/kg; lets a saturated solid start from a water without any


class Settled(NamedTuple):
    """A water beside its solid.

    Parameters
    ----------
    totals : ndarray of float64, (12, ...)
        The water's totals then [mmol/kg].
    precipitated_mmol_kg : ndarray of float64
        Solid that formed [mmol/kg]; negative if it dissolved.
    calcium_mmol_kg : ndarray of float64
        All calcium in the water then [mmol/kg].
    water : Speciation
        Its state.

    Examples
    --------
    >>> from gyle.science.water_state import water_totals
    >>> hard = water_totals(6.0, 6.6, calcium_mmol_kg=3.0)
    >>> float(calcite_equilibrium(hard, 76.0, may_dissolve=False).precipitated_mmol_kg.round(2))
    1.18
    """

    totals: Array
    precipitated_mmol_kg: Array
    calcium_mmol_kg: Array
    water: Speciation


def _settle(
    totals: ArrayLike, temperature_C: ArrayLike, log_pco2: ArrayLike | None, solid: Solid, grows: bool
) -> Settled:
    """Solve without the solid, and with it where it is wanted."""
    known: Known = Known.CARBON
    given: Any = 0.0
    if log_pco2 is not None:
        pressure = number(log_pco2, LOWEST_LOG_PCO2, HIGHEST_LOG_PCO2, what="log10 of the CO2 pressure [log atm]")
        water = problem(totals, temperature_C, pressure)
        known, given = Known.CO2, carbon_dioxide(water, pressure)
    else:
        water = problem(totals, temperature_C)
    if grows:
        state = water.solve(known, given, solid=solid)
    else:
        plain = water.solve(known, given)
        partner = plain.carbonate if solid is Solid.CALCITE else plain.sulfate
        acts = plain.calcium * partner > (water.k.calcite if solid is Solid.CALCITE else water.k.gypsum)
        state = plain
        if np.any(acts):
            state = _choose(water, acts, water.solve(known, given, solid=solid, start=_seeded(plain)), plain)
    extent = state.dissolved
    after = [*water.totals]
    after[CALCIUM] = after[CALCIUM] + extent
    if solid is Solid.CALCITE:
        after[ALKALINITY] = after[ALKALINITY] + 2.0 * extent
    else:
        after[SULFATE] = after[SULFATE] + extent
    after[CARBON] = state.carbon
    stacked = 1e3 * np.stack(np.broadcast_arrays(*(np.asarray(x, dtype=np.float64) for x in after)))
    moved = np.asarray(-1e3 * extent)
    return Settled(stacked, moved, stacked[CALCIUM], describe(water, state))


def _seeded(state: State) -> State:
    """Keep the seed of every Newton step off zero."""
    if isinstance(state.calcium, float):
        return state._replace(calcium=max(state.calcium, LEAST_CALCIUM), co2=max(state.co2, LEAST_CALCIUM))
    return state._replace(calcium=np.maximum(state.calcium, LEAST_CALCIUM), co2=np.maximum(state.co2, LEAST_CALCIUM))


def _choose(water: Problem, acts: Any, with_solid: State, plain: State) -> State:
    """Take the state with the solid where it acts."""
    if water.ops is FLOATS:
        return with_solid if acts else plain
    return State(*(np.where(acts, settled, free) for settled, free in zip(with_solid, plain, strict=True)))


def calcite_equilibrium(
    totals: ArrayLike, temperature_C: ArrayLike, *, may_dissolve: bool, log_pco2: ArrayLike | None = None
) -> Settled:
    """Bring a water to calcite saturation, by precipitation alone or beside chalk in excess.

    Parameters
    ----------
    totals : array_like of float, (12, ...)
        The water, as `water_totals` makes it [mmol/kg].
    temperature_C : array_like of float, broadcasting
        Temperature [°C]; 0 to 100.
    may_dissolve : bool
        Whether chalk lies in the water in excess; if not, an undersaturated water stays as it is.
    log_pco2 : array_like of float, broadcasting, or None
        Logarithm of the pressure of CO2 over the water [log atm], -6 to 1; None for a closed water.

    Returns
    -------
    Settled
        Totals, calcite formed, calcium and state of the water.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    Each mmol of calcite takes one of calcium and of carbon and two mEq of alkalinity. This is the
    limit: without seed or a hot surface calcite waits for a saturation index of 0.8 to 1 within a brew
    day, and chalk in contact with air needs days to dissolve.

    References
    ----------
    .. [1] Plummer and Busenberg, Geochim. Cosmochim. Acta 46, 1011, 1982. Provenance: retrieved (abstract).

    Examples
    --------
    >>> from gyle.science.water_state import water_totals
    >>> hard = water_totals(6.0, 6.6, calcium_mmol_kg=3.0)
    >>> boiled = calcite_equilibrium(hard, 76.0, may_dissolve=False, log_pco2=-3.377)
    >>> float(boiled.water.alkalinity_mEq_kg.round(2))
    0.52
    """
    return _settle(totals, temperature_C, log_pco2, Solid.CALCITE, may_dissolve)


def gypsum_equilibrium(
    totals: ArrayLike, temperature_C: ArrayLike, *, may_dissolve: bool, log_pco2: ArrayLike | None = None
) -> Settled:
    """Bring a water to gypsum saturation, by precipitation alone or beside gypsum in excess.

    Parameters
    ----------
    totals : array_like of float, (12, ...)
        The water, as `water_totals` makes it [mmol/kg].
    temperature_C : array_like of float, broadcasting
        Temperature [°C]; 0 to 100.
    may_dissolve : bool
        Whether gypsum lies in the water in excess; if not, an undersaturated water stays as it is.
    log_pco2 : array_like of float, broadcasting, or None
        Logarithm of the pressure of CO2 over the water [log atm], -6 to 1; None for a closed water.

    Returns
    -------
    Settled
        Totals, gypsum formed, calcium and state of the water.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    About 15 mmol/kg (2.6 g/kg) dissolve in pure water, hardly depending on temperature.

    References
    ----------
    .. [1] Parkhurst and Appelo, USGS Techniques and Methods 6-A43, 2013, data base. Provenance: retrieved.

    Examples
    --------
    >>> from gyle.science.water_state import water_totals
    >>> pure = water_totals(0.0, 0.0)
    >>> float(gypsum_equilibrium(pure, 25.0, may_dissolve=True).calcium_mmol_kg.round(1))
    15.1
    """
    return _settle(totals, temperature_C, log_pco2, Solid.GYPSUM, may_dissolve)
