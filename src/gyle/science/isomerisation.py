"""Alpha acids become iso-alpha acids, and these decay: two first-order reactions in series."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = [
    "ACTIVATION_KJ_MOL",
    "RATE_100C_1_MIN",
    "Isomerisation",
    "activation_energy_kJ_mol",
    "alpha_half_life_minutes",
    "degradation_rate_1_min",
    "degraded_fraction",
    "isomerisation_rate_1_min",
    "isomerised_fraction",
    "step",
    "time_of_maximum_minutes",
]

Array = NDArray[np.float64]

GAS_CONSTANT_KJ_MOL_K = 8.314462618e-3  # CODATA 2018
KELVIN = 273.15
BOIL_K = 373.15
# Malowicki & Shellhammer 2005: k = factor * exp(-slope / T), 1/min, T in kelvin.
ALPHA_FACTOR_1_MIN = 7.9e11
ALPHA_SLOPE_K = 11858.0
ISO_FACTOR_1_MIN = 4.1e12
ISO_SLOPE_K = 12994.0
# The first reaction written about the boil, so that its two uncertain numbers are not correlated.
RATE_100C_1_MIN = ALPHA_FACTOR_1_MIN * float(np.exp(-ALPHA_SLOPE_K / BOIL_K))
ACTIVATION_KJ_MOL = GAS_CONSTANT_KJ_MOL_K * ALPHA_SLOPE_K
TEMPERATURE_LOW_C, TEMPERATURE_HIGH_C = -5.0, 135.0


class Isomerisation(NamedTuple):
    """Alpha acids and iso-alpha acids after a step.

    Parameters
    ----------
    alpha : ndarray of float64
        Alpha acids left [in the unit they came in].
    iso : ndarray of float64
        Iso-alpha acids present [same unit].

    Examples
    --------
    >>> float(Isomerisation(np.float64(52.4), np.float64(44.1)).iso)
    44.1
    """

    alpha: Array
    iso: Array


def activation_energy_kJ_mol(slope_K: ArrayLike) -> Array:
    """Turn the slope of an Arrhenius line into an activation energy.

    Parameters
    ----------
    slope_K : array_like of float, any shape
        Slope B of k = A exp(-B/T) [K]; 0 to 100,000.

    Returns
    -------
    ndarray of float64, same shape
        Activation energy [kJ/mol].

    Raises
    ------
    OutOfRange
        If a slope is not a number or outside its range.

    Notes
    -----
    E = R B with R = 8.314462618 J/(mol K).

    References
    ----------
    .. [1] CODATA 2018, molar gas constant. Provenance: memory.

    Examples
    --------
    >>> activation_energy_kJ_mol([11858.0, 12994.0]).round(2)
    array([ 98.59, 108.04])
    """
    return GAS_CONSTANT_KJ_MOL_K * within(slope_K, 0.0, 1e5, what="slope [K]")


def isomerisation_rate_1_min(temperature_C: ArrayLike, *, rate_100C: ArrayLike, activation_kJ_mol: ArrayLike) -> Array:
    """Return the rate at which alpha acids isomerise.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Wort temperature [°C]; -5 to 135.
    rate_100C : array_like of float, broadcastable
        Rate at 100 °C [1/min]; published value `RATE_100C_1_MIN`, 0.01249.
    activation_kJ_mol : array_like of float, broadcastable
        Activation energy [kJ/mol]; published value `ACTIVATION_KJ_MOL`, 98.6.

    Returns
    -------
    ndarray of float64, broadcast shape
        First-order rate [1/min].

    Raises
    ------
    OutOfRange
        If a temperature is not a number or outside -5 to 135 °C.

    Notes
    -----
    k = k100 exp(-E/R (1/T - 1/373.15)). Measured from 90 to 130 °C in a buffer of pH 5.2; below
    90 °C it is an extrapolation, supported from 80 °C [2]_. Glucose, maltose, calcium and a pH
    between 4.8 and 6.0 do not change it.

    References
    ----------
    .. [1] Malowicki & Shellhammer 2005, J. Agric. Food Chem. 53:4434-4439. Provenance: retrieved
       (abstract).
    .. [2] Jaskula et al. 2008, J. Agric. Food Chem. 56:6408-6415. Provenance: retrieved (abstract).

    Examples
    --------
    >>> isomerisation_rate_1_min(
    ...     [80.0, 100.0], rate_100C=RATE_100C_1_MIN, activation_kJ_mol=ACTIVATION_KJ_MOL
    ... ).round(5)
    array([0.00207, 0.01249])
    """
    celsius = within(temperature_C, TEMPERATURE_LOW_C, TEMPERATURE_HIGH_C, what="temperature [°C]")
    slope = np.asarray(activation_kJ_mol, dtype=np.float64) / GAS_CONSTANT_KJ_MOL_K
    rate: Array = np.asarray(rate_100C, dtype=np.float64) * np.exp(slope * (1.0 / BOIL_K - 1.0 / (celsius + KELVIN)))
    return rate


def degradation_rate_1_min(temperature_C: ArrayLike) -> Array:
    """Return the rate at which iso-alpha acids decay in hot wort.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Wort temperature [°C]; -5 to 135.

    Returns
    -------
    ndarray of float64, same shape
        First-order rate [1/min].

    Raises
    ------
    OutOfRange
        If a temperature is not a number or outside -5 to 135 °C.

    Notes
    -----
    k = 4.1e12 exp(-12994/T). Low pH, high gravity and magnesium quicken it [2]_, by amounts not
    known well enough to model.

    References
    ----------
    .. [1] Malowicki & Shellhammer 2005, J. Agric. Food Chem. 53:4434-4439. Provenance: retrieved
       (abstract).
    .. [2] Kappler et al. 2010, J. Inst. Brew. 116:332-338. Provenance: retrieved (abstract).

    Examples
    --------
    >>> float(degradation_rate_1_min(100.0).round(6))
    0.003087
    """
    celsius = within(temperature_C, TEMPERATURE_LOW_C, TEMPERATURE_HIGH_C, what="temperature [°C]")
    rate: Array = ISO_FACTOR_1_MIN * np.exp(-ISO_SLOPE_K / (celsius + KELVIN))
    return rate


def step(alpha: ArrayLike, iso: ArrayLike, *, k1: ArrayLike, k2: ArrayLike, minutes: ArrayLike) -> Isomerisation:
    """Advance alpha and iso-alpha acids through a time of constant temperature, exactly.

    Parameters
    ----------
    alpha, iso : array_like of float, shape (additions, draws) or any broadcastable
        Amounts at the start [any one unit, such as mg/L].
    k1, k2 : array_like of float, shape (draws,) or any broadcastable
        Rates of isomerisation and of decay [1/min]; 0 or more.
    minutes : array_like of float, broadcastable to the rates
        Length of the step [min]; 0 or more.

    Returns
    -------
    Isomerisation
        Alpha and iso-alpha acids at the end [same unit].

    Raises
    ------
    OutOfRange
        If the length is not a number or negative.

    Notes
    -----
    alpha' = alpha exp(-k1 h) and iso' = iso exp(-k2 h) + alpha k1/(k2 - k1) (exp(-k1 h) -
    exp(-k2 h)). The last term is computed as k1 h exp(-k h) (1 - exp(-x))/x with k the lesser rate and
    x = |k2 - k1| h, which needs no special case for equal rates and cannot overflow. Two
    exponentials a draw, whatever the number of additions.

    References
    ----------
    .. [1] Closed solution of two first-order reactions in series. Provenance: ours.

    Examples
    --------
    >>> after = step(100.0, 0.0, k1=0.01249, k2=0.00309, minutes=60.0)
    >>> float(after.alpha.round(2)), float(after.iso.round(2))
    (47.27, 47.58)
    """
    h = within(minutes, 0.0, np.inf, what="minutes")
    first = np.asarray(k1, dtype=np.float64) * h
    second = np.asarray(k2, dtype=np.float64) * h
    x: Array = np.abs(second - first)
    slower = np.exp(-np.minimum(first, second))
    decayed = np.expm1(-x)
    faster = slower * (1.0 + decayed)
    ratio = np.ones_like(decayed)
    np.divide(-decayed, x, out=ratio, where=x != 0.0)
    made = first * slower * ratio
    alpha_slower = first <= second
    left, kept = np.where(alpha_slower, slower, faster), np.where(alpha_slower, faster, slower)
    start = np.asarray(alpha, dtype=np.float64)
    return Isomerisation(start * left, np.asarray(iso, dtype=np.float64) * kept + start * made)


def isomerised_fraction(temperature_C: ArrayLike, minutes: ArrayLike) -> Array:
    """Return the share of alpha acids present as iso-alpha acids after a constant temperature.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Wort temperature [°C]; -5 to 135.
    minutes : array_like of float, broadcastable
        Time at that temperature [min]; 0 or more.

    Returns
    -------
    ndarray of float64, broadcast shape
        Iso-alpha acids over alpha acids added, both by mass [1].

    Raises
    ------
    OutOfRange
        If a temperature is outside -5 to 135 °C, a time negative, or either not a number.

    Notes
    -----
    Uses the published centre of both rates. Losses to trub, yeast and hop matter are not in it.

    References
    ----------
    .. [1] Malowicki & Shellhammer 2005, J. Agric. Food Chem. 53:4434-4439. Provenance: retrieved
       (abstract).

    Examples
    --------
    >>> isomerised_fraction([80.0, 100.0], [20.0, 60.0]).round(4)
    array([0.0403, 0.4759])
    """
    k1 = isomerisation_rate_1_min(temperature_C, rate_100C=RATE_100C_1_MIN, activation_kJ_mol=ACTIVATION_KJ_MOL)
    return step(1.0, 0.0, k1=k1, k2=degradation_rate_1_min(temperature_C), minutes=minutes).iso


def degraded_fraction(temperature_C: ArrayLike, minutes: ArrayLike) -> Array:
    """Return the share of ready-made iso-alpha acids lost after a constant temperature.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Wort temperature [°C]; -5 to 135.
    minutes : array_like of float, broadcastable
        Time at that temperature [min]; 0 or more.

    Returns
    -------
    ndarray of float64, broadcast shape
        Share lost [1].

    Raises
    ------
    OutOfRange
        If a temperature is outside -5 to 135 °C, a time negative, or either not a number.

    Notes
    -----
    1 - exp(-k2 t). Dosed iso-alpha acids lost over a fifth in 90 min of boiling [2]_.

    References
    ----------
    .. [1] Malowicki & Shellhammer 2005, J. Agric. Food Chem. 53:4434-4439. Provenance: retrieved
       (abstract).
    .. [2] Kappler et al. 2010, J. Inst. Brew. 116:332-338. Provenance: retrieved (abstract).

    Examples
    --------
    >>> float(degraded_fraction(100.0, 90.0).round(4))
    0.2426
    """
    time = within(minutes, 0.0, np.inf, what="minutes")
    lost: Array = -np.expm1(-degradation_rate_1_min(temperature_C) * time)
    return lost


def time_of_maximum_minutes(temperature_C: ArrayLike) -> Array:
    """Return the boiling time after which iso-alpha acids begin to fall.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Wort temperature [°C]; -5 to 135.

    Returns
    -------
    ndarray of float64, same shape
        Time of the greatest amount of iso-alpha acids [min].

    Raises
    ------
    OutOfRange
        If a temperature is not a number or outside -5 to 135 °C.

    Notes
    -----
    t = ln(k1/k2)/(k1 - k2); the two published rates meet only at 417 °C, so no case is singular.

    References
    ----------
    .. [1] Malowicki & Shellhammer 2005, J. Agric. Food Chem. 53:4434-4439. Provenance: retrieved
       (abstract).

    Examples
    --------
    >>> float(time_of_maximum_minutes(100.0).round(1))
    148.6
    """
    k1 = isomerisation_rate_1_min(temperature_C, rate_100C=RATE_100C_1_MIN, activation_kJ_mol=ACTIVATION_KJ_MOL)
    k2 = degradation_rate_1_min(temperature_C)
    time: Array = np.log(k1 / k2) / (k1 - k2)
    return time


def alpha_half_life_minutes(temperature_C: ArrayLike) -> Array:
    """Return the time in which half of the alpha acids isomerise.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Wort temperature [°C]; -5 to 135.

    Returns
    -------
    ndarray of float64, same shape
        Half-life [min].

    Raises
    ------
    OutOfRange
        If a temperature is not a number or outside -5 to 135 °C.

    Notes
    -----
    ln 2 / k1. Loss of iso-alpha acids becomes pronounced beyond two of these.

    References
    ----------
    .. [1] Malowicki & Shellhammer 2005, J. Agric. Food Chem. 53:4434-4439. Provenance: retrieved
       (abstract).

    Examples
    --------
    >>> float(alpha_half_life_minutes(100.0).round(1))
    55.5
    """
    k1 = isomerisation_rate_1_min(temperature_C, rate_100C=RATE_100C_1_MIN, activation_kJ_mol=ACTIVATION_KJ_MOL)
    time: Array = np.log(2.0) / k1
    return time
