"""What a water holds, as totals, and what is reported of it once it is balanced.

A water is an array whose first axis is `COMPONENTS`: what salts, acids, mixing, dilution and boiling
add up linearly. pH is not among them; it comes out. Alkalinity counts every acid as fully
ionised (lactate, citrate and phosphate as the bare ion), so adding one mmol of lactic acid takes one
mEq, of citric or phosphoric acid three, and carbon dioxide none. A report's charge imbalance is
carried, because its alkalinity and its ions are totals of their own.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.errors import OutOfRange
from gyle.science.carbonate_balance import balance
from gyle.science.carbonate_constants import ZERO_C_K, Constants, Real, Screening, constants, screening
from gyle.science.carbonate_parts import ARRAYS, FLOATS, TINY, Arithmetic
from gyle.science.carbonate_pass import Known, Solid, State
from gyle.science.ranges import within

__all__ = [
    "COMPONENTS",
    "Speciation",
    "water_totals",
]

Array = NDArray[np.float64]

COMPONENTS = (
    "calcium", "magnesium", "sodium", "potassium", "chloride", "sulfate",
    "nitrate", "phosphate", "lactate", "citrate", "alkalinity", "carbon",
)  # fmt: skip
CALCIUM, SULFATE, LACTATE, ALKALINITY, CARBON = 0, 5, 8, 10, 11
MOST_MMOL = 1000.0  # a kilogram of water holds less of anything here before this model means nothing
LOWEST_LOG_PCO2, HIGHEST_LOG_PCO2 = -6.0, 1.0


class Speciation(NamedTuple):
    """What a water is at equilibrium; amounts per kg of water.

    Parameters
    ----------
    ph, calcite_si, gypsum_si, log_pco2 : ndarray of float64
        Acidity; saturation indices; logarithm of the CO2 pressure in equilibrium [log atm].
    ionic_strength_mmol_kg : ndarray of float64
        Ionic strength.
    carbon_dioxide_mmol_kg, bicarbonate_mmol_kg, carbonate_mmol_kg : ndarray of float64
        Dissolved CO2 and the free ions.
    calcium_mmol_kg, magnesium_mmol_kg : ndarray of float64
        Free ions.
    calcium_bicarbonate_mmol_kg, calcium_carbonate_mmol_kg, calcium_sulfate_mmol_kg : ndarray of float64
        Pairs of calcium.
    magnesium_sulfate_mmol_kg, lactic_acid_mmol_kg : ndarray of float64
        The pair; undissociated lactic acid.
    hydrogen_phosphate_mmol_kg, dihydrogen_phosphate_mmol_kg : ndarray of float64
        Free phosphate ions.
    carbonate_alkalinity_mEq_kg : ndarray of float64
        Alkalinity without phosphate, lactate and citrate.
    alkalinity_mEq_kg, carbon_mmol_kg : ndarray of float64
        The two totals.

    Examples
    --------
    >>> from gyle.science.carbonate import closed
    >>> water = closed(water_totals(2.0, 2.2, calcium_mmol_kg=1.0), 20.0)
    >>> type(water).__name__, float(water.ph.round(2))
    ('Speciation', 7.34)
    """

    ph: Array
    calcite_si: Array
    gypsum_si: Array
    log_pco2: Array
    ionic_strength_mmol_kg: Array
    carbon_dioxide_mmol_kg: Array
    bicarbonate_mmol_kg: Array
    carbonate_mmol_kg: Array
    calcium_mmol_kg: Array
    magnesium_mmol_kg: Array
    calcium_bicarbonate_mmol_kg: Array
    calcium_carbonate_mmol_kg: Array
    calcium_sulfate_mmol_kg: Array
    magnesium_sulfate_mmol_kg: Array
    lactic_acid_mmol_kg: Array
    hydrogen_phosphate_mmol_kg: Array
    dihydrogen_phosphate_mmol_kg: Array
    carbonate_alkalinity_mEq_kg: Array
    alkalinity_mEq_kg: Array
    carbon_mmol_kg: Array


class Problem(NamedTuple):
    """A water that has been checked, in mol/kg, with the constants at its temperature."""

    totals: list[Real]
    temperature_C: Real
    k: Constants
    screening: Screening
    ops: Arithmetic

    def solve(self, known: Known, given: Real = 0.0, *, solid: Solid = Solid.NONE, start: State | None = None) -> State:
        """Balance it."""
        return balance(self.k, self.screening, self.totals, known, given, self.ops, solid=solid, start=start)

    def having(self, component: int, amount: Real) -> Problem:
        """Exchange one total."""
        return self._replace(totals=[*self.totals[:component], amount, *self.totals[component + 1 :]])


def number(value: ArrayLike, low: float, high: float, *, what: str) -> Real:
    """Guard an argument and keep a single number a float, which the solver works through faster."""
    if isinstance(value, float | int) and low <= value <= high:
        return float(value)
    array = within(value, low, high, what=what)
    return array if array.ndim else float(array)


def problem(totals: ArrayLike, temperature_C: ArrayLike, *others: Real) -> Problem:
    """Check a water and choose floats or arrays, according to it and whatever else takes part."""
    t = number(temperature_C, 0.0, 100.0, what="water temperature [°C]")
    amounts = np.asarray(totals, dtype=np.float64)
    if amounts.ndim == 0 or len(amounts) != len(COMPONENTS):
        raise OutOfRange(f"a water has {len(COMPONENTS)} totals along its first axis ({', '.join(COMPONENTS)})")
    if amounts.ndim == 1 and isinstance(t, float) and all(isinstance(x, float) for x in others):
        values = (amounts * 1e-3).tolist()
        if not (min(values) >= 0.0 and max(values) <= 1e-3 * MOST_MMOL):
            _refuse(amounts)
        return Problem(values, t, constants(t), screening(t), FLOATS)
    if amounts.size and not (amounts.min() >= 0.0 and amounts.max() <= MOST_MMOL):
        _refuse(amounts)
    t = np.asarray(t)
    if t.ndim == 0:
        return Problem(list(amounts * 1e-3), t, constants(float(t)), screening(float(t)), ARRAYS)
    return Problem(list(amounts * 1e-3), t, constants(t), screening(t), ARRAYS)


def _refuse(amounts: Array) -> None:
    """Name the first total that no water can have; alkalinity alone may be negative."""
    for amount, name in zip(amounts, COMPONENTS, strict=True):
        within(amount, -MOST_MMOL if name == "alkalinity" else 0.0, MOST_MMOL, what=f"{name} [mmol/kg]")


def carbon_dioxide(water: Problem, log_pco2: Real) -> Real:
    """Give the activity of CO2 under a pressure of it: Henry's constant and the second virial coefficient."""
    pressure: Any = 10.0**log_pco2
    reduced = (water.temperature_C + ZERO_C_K) / 304.13
    virial = 0.083 - 0.422 * reduced**-1.6 + 0.2239 * (0.139 - 0.172 * reduced**-4.2)
    return water.k.henry * pressure * water.ops.exp(virial * pressure / (72.8 * reduced))


def component_column(amount_mmol: Array, brings: dict[str, float]) -> Array:
    """Spread an amount over the components of a water."""
    return np.stack([amount_mmol * brings.get(name, 0.0) for name in COMPONENTS])


def describe(water: Problem, state: State) -> Speciation:
    """Turn a balance into what is reported of it."""
    k, s, w1 = water.k, state, state.w1
    many = water.ops is ARRAYS

    def log10(x: Real) -> Real:
        return np.log10(np.maximum(x, TINY)) if many else math.log10(max(x, TINY))

    lactic = k.lactic * s.h
    values = (
        -log10(s.h),
        log10(s.calcium * s.carbonate / k.calcite),
        log10(s.calcium * s.sulfate / k.gypsum),
        log10(s.co2 / k.henry),
        1e3 * s.strength,
        1e3 * s.co2,
        1e3 * s.bicarbonate * w1,
        1e3 * s.carbonate * s.w2,
        1e3 * s.calcium * s.w_calcium,
        1e3 * s.magnesium * s.w_magnesium,
        1e3 * k.ca_bicarbonate * s.calcium * s.bicarbonate * w1,
        1e3 * k.ca_carbonate * s.calcium * s.carbonate,
        1e3 * k.ca_sulfate * s.calcium * s.sulfate,
        1e3 * k.mg_sulfate * s.magnesium * s.sulfate,
        1e3 * water.totals[LACTATE] * lactic / (w1 + lactic),
        1e3 * k.phosphate_1 * s.h * s.phosphate * s.w2,
        1e3 * k.phosphate_2 * s.h * s.h * s.phosphate * w1,
        1e3 * s.carbonate_alkalinity,
        1e3 * s.alkalinity,
        1e3 * s.carbon,
    )
    if many:
        shape = s.h.shape
        return Speciation(*(np.broadcast_to(value, shape) for value in values))
    return Speciation(*np.array(values))


def water_totals(
    alkalinity_mEq_kg: ArrayLike,
    carbon_mmol_kg: ArrayLike,
    *,
    calcium_mmol_kg: ArrayLike = 0.0,
    magnesium_mmol_kg: ArrayLike = 0.0,
    sodium_mmol_kg: ArrayLike = 0.0,
    potassium_mmol_kg: ArrayLike = 0.0,
    chloride_mmol_kg: ArrayLike = 0.0,
    sulfate_mmol_kg: ArrayLike = 0.0,
    nitrate_mmol_kg: ArrayLike = 0.0,
    phosphate_mmol_kg: ArrayLike = 0.0,
    lactate_mmol_kg: ArrayLike = 0.0,
    citrate_mmol_kg: ArrayLike = 0.0,
) -> Array:
    """Stack amounts into the array that stands for a water.

    Parameters
    ----------
    alkalinity_mEq_kg : array_like of float, any shape
        Alkalinity, counting lactate, citrate and phosphate as bare ions [mEq/kg]; -1000 to 1000.
    carbon_mmol_kg : array_like of float, broadcasting
        Total inorganic carbon [mmol/kg]; 0 to 1000. Give 0 if `carbon_from_ph` shall find it.
    calcium_mmol_kg, magnesium_mmol_kg, sodium_mmol_kg, potassium_mmol_kg : array_like of float, broadcasting
        Cations, 0 if absent [mmol/kg]; 0 to 1000.
    chloride_mmol_kg, sulfate_mmol_kg, nitrate_mmol_kg : array_like of float, broadcasting
        Anions of strong acids, 0 if absent [mmol/kg]; 0 to 1000.
    phosphate_mmol_kg, lactate_mmol_kg, citrate_mmol_kg : array_like of float, broadcasting
        Anions of weak acids, in all their forms, 0 if absent [mmol/kg]; 0 to 1000.

    Returns
    -------
    ndarray of float64, (12, *broadcast shape)
        The totals in the order of `COMPONENTS` [mmol/kg, alkalinity mEq/kg].

    Raises
    ------
    OutOfRange
        If an amount is not a number or outside its range.

    Notes
    -----
    Waters mix by adding such arrays, weighted by their masses.

    References
    ----------
    .. [1] Stumm and Morgan, Aquatic Chemistry, 3rd ed., Wiley, 1996, on conservative totals. Provenance: memory.

    Examples
    --------
    >>> water_totals(2.0, 2.2, calcium_mmol_kg=1.0)[[0, 10, 11]]
    array([1. , 2. , 2.2])
    """
    amounts = (
        calcium_mmol_kg, magnesium_mmol_kg, sodium_mmol_kg, potassium_mmol_kg, chloride_mmol_kg, sulfate_mmol_kg,
        nitrate_mmol_kg, phosphate_mmol_kg, lactate_mmol_kg, citrate_mmol_kg, alkalinity_mEq_kg, carbon_mmol_kg,
    )  # fmt: skip
    checked = [
        within(amount, -MOST_MMOL if name == "alkalinity" else 0.0, MOST_MMOL, what=f"{name} [mmol/kg]")
        for name, amount in zip(COMPONENTS, amounts, strict=True)
    ]
    return np.stack(np.broadcast_arrays(*checked))
