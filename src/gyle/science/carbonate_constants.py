"""Equilibrium constants of natural waters between 0 and 100 °C, and what ionic strength does to them.

Every constant is six numbers on the same six functions of temperature, so that all of them together
are one product of a table with a short column. The solver reads `constants` and `screening`; the public
functions give the same numbers one at a time, guarded and cited, and by Davies' equation an activity
coefficient beside the solver's own.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.errors import OutOfRange
from gyle.science.ranges import within

__all__ = [
    "activity_coefficient",
    "davies_slope",
    "dielectric_constant",
    "lactic_pk",
    "log_k",
]

Array = NDArray[np.float64]
Real = Any  # one float, or an array of draws: the same lines of arithmetic serve both

LN_10 = math.log(10.0)
ZERO_C_K = 273.15
ROOM_K = 298.15
GAS_CAL, GAS_J = 1.987204e-3, 8.314463e-3  # gas constant [kcal/(mol K)] and [kJ/(mol K)]

Row = tuple[float, float, float, float, float, float]


def _fixed(log_k25: float, enthalpy: float = 0.0, gas: float = GAS_CAL) -> Row:
    """Turn a constant at 25 °C and its enthalpy [in the gas constant's unit] into a row (van 't Hoff)."""
    slope = enthalpy / (gas * LN_10)
    return (log_k25 + slope / ROOM_K, 0.0, -slope, 0.0, 0.0, 0.0)


# log10 K = A + B T + C/T + D log10 T + E/T^2 + F T^2, T in kelvin. M+ stands for the free ion.
ROWS: dict[str, Row] = {
    "CO2(g) = CO2": (108.3865, 0.01985076, -6919.53, -40.45154, 669365.0, 0.0),
    "CO2 = H+ + HCO3-": (-356.3094, -0.06091964, 21834.37, 126.8339, -1684915.0, 0.0),
    "HCO3- = H+ + CO3--": (-107.8871, -0.03252849, 5151.79, 38.92561, -563713.9, 0.0),
    "water": (293.29227, 0.1360833, -10576.913, -123.73158, 0.0, -6.996455e-5),
    "calcite": (-171.9065, -0.077993, 2839.319, 71.595, 0.0, 0.0),
    "aragonite": (-171.9773, -0.077993, 2903.293, 71.595, 0.0, 0.0),
    "gypsum": (68.2401, 0.0, -3221.51, -25.0627, 0.0, 0.0),
    "CaHCO3+": (1209.120, 0.31294, -34765.05, -478.782, 0.0, 0.0),
    "CaCO3": (-1228.732, -0.299444, 35512.75, 485.818, 0.0, 0.0),
    "CaSO4": _fixed(2.25, 1.325),
    "CaOH+": _fixed(-12.78),
    "MgHCO3+": (48.6721, 0.03252849, -2614.335, -18.00263, 563713.9, 0.0),
    "MgCO3": (0.9910, 0.00667, 0.0, 0.0, 0.0, 0.0),
    "MgSO4": _fixed(2.37, 4.55),
    "MgOH+": _fixed(-11.44, 15.952),
    "NaHCO3": _fixed(-0.25, -1.0),
    "NaCO3-": _fixed(1.27, 8.91),
    "NaSO4-": _fixed(0.7, 1.12),
    "KSO4-": _fixed(0.85, 2.25),
    "HSO4-": (-56.889, 0.006473, 2307.9, 19.8858, 0.0, 0.0),
    "HPO4--": _fixed(12.346, -3.53),
    "H2PO4-": _fixed(19.553, -4.52),
    "H3PO4": _fixed(21.721, -10.1, GAS_J),
    "CaPO4-": _fixed(6.459, 3.1),
    "CaHPO4": _fixed(2.739, 3.3),
    "CaH2PO4+": _fixed(1.408, 3.4),
    "MgPO4-": _fixed(6.589, 3.1),
    "MgHPO4": _fixed(2.87, 3.3),
    "MgH2PO4+": _fixed(1.513, 3.4),
    "NaHPO4-": _fixed(0.29),
    "KHPO4-": _fixed(0.29),
    # 3.857 + 5e-5 (t - 22.5)^2 with t in °C, multiplied out
    "lactic acid": (3.857 + 5e-5 * 295.65**2, -1e-4 * 295.65, 0.0, 0.0, 0.0, 5e-5),
    "Hcitrate--": _fixed(6.396, 3.38, GAS_J),
    "H2citrate-": _fixed(11.157, 1.15, GAS_J),
    "H3citrate": _fixed(14.285, -2.92, GAS_J),
}
_TABLE = LN_10 * np.array(list(ROWS.values()))


class Constants(NamedTuple):
    """All equilibrium constants at one temperature (or one for each draw), in the order of the table."""

    henry: Real
    k1: Real
    k2: Real
    kw: Real
    calcite: Real
    aragonite: Real
    gypsum: Real
    ca_bicarbonate: Real
    ca_carbonate: Real
    ca_sulfate: Real
    ca_hydroxide: Real
    mg_bicarbonate: Real  # from Mg++, H+ and CO3--
    mg_carbonate: Real
    mg_sulfate: Real
    mg_hydroxide: Real
    na_bicarbonate: Real
    na_carbonate: Real
    na_sulfate: Real
    k_sulfate: Real
    h_sulfate: Real
    phosphate_1: Real  # cumulative, from PO4---
    phosphate_2: Real
    phosphate_3: Real
    ca_phosphate_0: Real
    ca_phosphate_1: Real
    ca_phosphate_2: Real
    mg_phosphate_0: Real
    mg_phosphate_1: Real
    mg_phosphate_2: Real
    na_phosphate_1: Real
    k_phosphate_1: Real
    lactic: Real  # protonation
    citrate_1: Real  # cumulative, from the citrate ion
    citrate_2: Real
    citrate_3: Real


@lru_cache(maxsize=256)
def _constants_at(temperature_C: float) -> Constants:
    t = temperature_C + ZERO_C_K
    column = np.array((1.0, t, 1.0 / t, math.log10(t), 1.0 / (t * t), t * t))
    return Constants(*np.exp(_TABLE @ column).tolist())


def constants(temperature_C: Real) -> Constants:
    """Evaluate the whole table at a temperature that has been checked: floats for a float, else arrays."""
    if isinstance(temperature_C, float):
        return _constants_at(temperature_C)
    t = temperature_C + ZERO_C_K
    flat = t.ravel()
    columns = np.stack((np.ones_like(flat), flat, 1.0 / flat, np.log10(flat), flat**-2, flat * flat))
    logarithms = np.einsum("ij,jn->in", _TABLE, columns)  # not a matrix product: its threads cost more than they save
    return Constants(*np.exp(logarithms).reshape(len(ROWS), *t.shape))


class Screening(NamedTuple):
    """The two temperature-dependent numbers of Debye and Hückel: A [(kg/mol)^1/2] and B [per Å of ion size]."""

    a: Real
    b: Real


def _dielectric(t: Real) -> Real:
    return 87.740 + t * (-0.40008 + t * (9.398e-4 - 1.410e-6 * t))


def screening(temperature_C: Real) -> Screening:
    """Evaluate A and B at a temperature that has been checked."""
    root = (_dielectric(temperature_C) * (temperature_C + ZERO_C_K)) ** -0.5
    return Screening(1.82483e6 * root * root * root, 50.2916 * root)


def log_k(reaction: str, temperature_C: ArrayLike) -> Array:
    """Give the logarithm of an equilibrium constant of the water's table.

    Parameters
    ----------
    reaction : str
        Its name in `ROWS`: an equation as ``"CO2 = H+ + HCO3-"``, a solid for its solubility product,
        ``"water"``, an ion pair for its formation from free ions (hydroxides: from water, giving a
        proton; MgHCO3+: from Mg++, H+ and CO3--), or an acid's ion for its cumulative protonation.
    temperature_C : array_like of float, any shape
        Temperature [°C]; 0 to 100.

    Returns
    -------
    ndarray of float64, same shape
        Logarithm of the constant on the molal scale (gas: mol/kg and atm).

    Raises
    ------
    OutOfRange
        If the reaction is not in the table or the temperature is not between 0 and 100 °C.

    Notes
    -----
    log10 K = A + B T + C/T + D log10 T + E/T^2 + F T^2. The carbonate rows were measured between
    0 and 90 °C; lactic acid up to 50 °C; rows with an enthalpy only are extrapolated by van 't Hoff.

    References
    ----------
    .. [1] Plummer and Busenberg, Geochim. Cosmochim. Acta 46, 1011, 1982. Provenance: retrieved (abstract).
    .. [2] Parkhurst and Appelo, USGS Techniques and Methods 6-A43, 2013, data base. Provenance: retrieved.
    .. [3] Goldberg, Kishore and Lennen, J. Phys. Chem. Ref. Data 31, 231, 2002 (citrate). Provenance: memory.

    Examples
    --------
    >>> log_k("CO2 = H+ + HCO3-", [25.0, 65.0]).round(3)
    array([-6.352, -6.298])
    """
    t = within(temperature_C, 0.0, 100.0, what="water temperature [°C]") + ZERO_C_K
    if reaction not in ROWS:
        raise OutOfRange(f"{reaction!r} is not a reaction of the water's table; it holds {', '.join(ROWS)}")
    a, b, c, d, e, f = ROWS[reaction]
    return np.asarray(a + b * t + c / t + d * np.log10(t) + e / (t * t) + f * t * t)


def lactic_pk(temperature_C: ArrayLike) -> Array:
    """Give the pK of lactic acid at no ionic strength.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Temperature [°C]; 0 to 100.

    Returns
    -------
    ndarray of float64, same shape
        Negative logarithm of the dissociation constant.

    Raises
    ------
    OutOfRange
        If the temperature is not between 0 and 100 °C.

    Notes
    -----
    pK = 3.857 + 5e-5 (t - 22.5)^2, measured between 0 and 50 °C and extrapolated above.

    References
    ----------
    .. [1] Martin and Tartar, J. Am. Chem. Soc. 59, 2672, 1937. Provenance: retrieved (registration dossier).

    Examples
    --------
    >>> lactic_pk([22.5, 65.0]).round(3)
    array([3.857, 3.947])
    """
    return log_k("lactic acid", temperature_C)


def dielectric_constant(temperature_C: ArrayLike) -> Array:
    """Give the static dielectric constant of water.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Temperature [°C]; 0 to 100.

    Returns
    -------
    ndarray of float64, same shape
        Relative permittivity.

    Raises
    ------
    OutOfRange
        If the temperature is not between 0 and 100 °C.

    Notes
    -----
    A cubic in t, within 0.2 % of the present international formulation up to 85 °C, 0.35 % at 100 °C.

    References
    ----------
    .. [1] Malmberg and Maryott, J. Res. Natl. Bur. Stand. 56, 1, 1956. Provenance: memory.

    Examples
    --------
    >>> float(dielectric_constant(25.0).round(2))
    78.3
    """
    return np.asarray(_dielectric(within(temperature_C, 0.0, 100.0, what="water temperature [°C]")))


def davies_slope(temperature_C: ArrayLike) -> Array:
    """Give the slope A of Debye and Hückel that Davies' equation uses.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Temperature [°C]; 0 to 100.

    Returns
    -------
    ndarray of float64, same shape
        A, base 10 [(kg/mol)^1/2].

    Raises
    ------
    OutOfRange
        If the temperature is not between 0 and 100 °C.

    Notes
    -----
    A = 1.82483e6 (eps T)^-1.5.

    References
    ----------
    .. [1] Truesdell and Jones, J. Res. U.S. Geol. Surv. 2, 233, 1974. Provenance: memory.

    Examples
    --------
    >>> davies_slope([20.0, 65.0]).round(4)
    array([0.5071, 0.5559])
    """
    t = within(temperature_C, 0.0, 100.0, what="water temperature [°C]")
    return np.asarray(screening(t).a)


def activity_coefficient(temperature_C: ArrayLike, ionic_strength_mol_kg: ArrayLike, *, charge: ArrayLike) -> Array:
    """Give the activity coefficient of an ion by Davies' equation.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Temperature [°C]; 0 to 100.
    ionic_strength_mol_kg : array_like of float, broadcasting
        Ionic strength [mol/kg]; 0 to 0.5.
    charge : array_like of float, broadcasting
        Charge number of the ion, of either sign; -4 to 4.

    Returns
    -------
    ndarray of float64, broadcast shape
        Activity divided by molality.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    log10 g = -A z^2 (I^1/2 / (1 + I^1/2) - 0.3 I).

    References
    ----------
    .. [1] Davies, Ion Association, Butterworths, 1962. Provenance: memory.

    Examples
    --------
    >>> activity_coefficient(20.0, 0.01, charge=[1, 2]).round(3)
    array([0.902, 0.663])
    """
    strength = within(ionic_strength_mol_kg, 0.0, 0.5, what="ionic strength [mol/kg]")
    z = within(charge, -4.0, 4.0, what="charge number")
    root = np.sqrt(strength)
    return np.asarray(10.0 ** (-davies_slope(temperature_C) * z * z * (root / (1.0 + root) - 0.3 * strength)))
