"""Bitter acids where the simple closed solution fails: cooling, draining and saturated wort."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.isomerisation import (
    ACTIVATION_KJ_MOL,
    RATE_100C_1_MIN,
    Isomerisation,
    degradation_rate_1_min,
    isomerisation_rate_1_min,
    step,
)
from gyle.science.ranges import within

__all__ = [
    "isomerised_fraction_while_draining",
    "soluble_alpha_mg_L",
    "step_with_solubility",
    "while_cooling",
]

Array = NDArray[np.float64]

COOLING_STEPS = 16


def _decay_ratio(x: Array) -> Array:
    """Return (1 - exp(-x)) / x, which is 1 at x = 0."""
    ratio = np.ones_like(x)
    np.divide(-np.expm1(-x), x, out=ratio, where=x != 0.0)
    return ratio


def isomerised_fraction_while_draining(temperature_C: ArrayLike, minutes: ArrayLike) -> Array:
    """Return the mean share isomerised when wort leaves a hot kettle at an even flow.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Temperature of the wort still in the kettle [°C]; -5 to 135.
    minutes : array_like of float, broadcastable
        Time from the first drop to the last [min]; 0 or more.

    Returns
    -------
    ndarray of float64, broadcast shape
        Share of alpha acids isomerised while waiting, averaged over the wort [1].

    Raises
    ------
    OutOfRange
        If a temperature is outside -5 to 135 °C, a time negative, or either not a number.

    Notes
    -----
    The average of the closed solution over 0 to D: k1/(k2 - k1) [q(k1 D) - q(k2 D)] with
    q(x) = (1 - exp(-x))/x. Slightly below the share at the mean time D/2.

    References
    ----------
    .. [1] Malowicki & Shellhammer 2005, J. Agric. Food Chem. 53:4434-4439. Provenance: retrieved
       (abstract).

    Examples
    --------
    >>> float(isomerised_fraction_while_draining(98.0, 11.5).round(4))
    0.0576
    """
    k1 = isomerisation_rate_1_min(temperature_C, rate_100C=RATE_100C_1_MIN, activation_kJ_mol=ACTIVATION_KJ_MOL)
    k2 = degradation_rate_1_min(temperature_C)
    whole = within(minutes, 0.0, np.inf, what="minutes")
    mean: Array = k1 / (k2 - k1) * (_decay_ratio(k1 * whole) - _decay_ratio(k2 * whole))
    return mean


def soluble_alpha_mg_L(alpha_mg_L: ArrayLike, *, solubility_mg_L: ArrayLike) -> Array:
    """Cap alpha acids at what boiling wort can dissolve.

    Parameters
    ----------
    alpha_mg_L : array_like of float, any shape
        Alpha acids of all additions together [mg/L]; 0 to 100,000.
    solubility_mg_L : array_like of float, broadcastable
        Solubility [mg/L]; near 250 at pH 5 and 100 °C, with a spread of 80.

    Returns
    -------
    ndarray of float64, broadcast shape
        Dissolved alpha acids [mg/L].

    Raises
    ------
    OutOfRange
        If an amount is not a number or outside 0 to 100,000 mg/L.

    Notes
    -----
    Published values disagree: about 90 mg/L in a buffer of pH 5.2 [2]_ against 250 mg/L at pH 5
    and 100 °C [1]_. Meant as an upper bound and a caution beside the losses a brewer sees, not on
    top of them.

    References
    ----------
    .. [1] Hough et al. 1982, as quoted by Hall, Zymurgy Special Issue 1997. Provenance: retrieved.
    .. [2] Malowicki, thesis, Oregon State University 2004. Provenance: retrieved (abstract).

    Examples
    --------
    >>> soluble_alpha_mg_L([120.0, 669.0], solubility_mg_L=250.0)
    array([120., 250.])
    """
    return np.minimum(within(alpha_mg_L, 0.0, 1e5, what="alpha acids [mg/L]"), solubility_mg_L)


def step_with_solubility(
    alpha: ArrayLike,
    iso: ArrayLike,
    *,
    k1: ArrayLike,
    k2: ArrayLike,
    minutes: ArrayLike,
    solubility: ArrayLike,
) -> Isomerisation:
    """Advance alpha and iso-alpha acids when only dissolved alpha acids react.

    Parameters
    ----------
    alpha, iso : array_like of float, any shape
        Amounts of all additions together at the start [mg/L].
    k1, k2 : array_like of float, broadcastable
        Rates of isomerisation and of decay [1/min]; above 0.
    minutes : array_like of float, broadcastable
        Length of the step at constant temperature [min]; 0 or more.
    solubility : array_like of float, broadcastable
        Solubility of alpha acids [mg/L]; above 0.

    Returns
    -------
    Isomerisation
        Alpha acids, dissolved or not, and iso-alpha acids at the end [mg/L].

    Raises
    ------
    OutOfRange
        If the length is not a number or negative.

    Notes
    -----
    The reaction sees min(alpha, S). While alpha exceeds S it falls linearly at k1 S, for at most
    (alpha - S)/(k1 S) minutes; the rest of the step is the ordinary one.

    References
    ----------
    .. [1] Closed solution with a capped first rate. Provenance: ours.

    Examples
    --------
    >>> after = step_with_solubility(400.0, 0.0, k1=0.01249, k2=0.003087, minutes=60.0, solubility=250.0)
    >>> float(after.iso.round(1))
    168.4
    """
    h = within(minutes, 0.0, np.inf, what="minutes")
    start = np.asarray(alpha, dtype=np.float64)
    first, second = np.asarray(k1, dtype=np.float64), np.asarray(k2, dtype=np.float64)
    most = np.asarray(solubility, dtype=np.float64)
    speed = first * most
    saturated = np.minimum(np.maximum(start - most, 0.0) / speed, h)
    made = speed * saturated * _decay_ratio(second * saturated)
    iso_then = np.asarray(iso, dtype=np.float64) * np.exp(-second * saturated) + made
    return step(start - speed * saturated, iso_then, k1=first, k2=second, minutes=h - saturated)


def while_cooling(
    alpha: ArrayLike,
    iso: ArrayLike,
    *,
    start_temperature_C: ArrayLike,
    surroundings_temperature_C: ArrayLike,
    rate_1_min: ArrayLike,
    minutes: ArrayLike,
    rate_100C: ArrayLike,
    activation_kJ_mol: ArrayLike,
) -> Isomerisation:
    """Advance alpha and iso-alpha acids while wort cools by Newton's law.

    Parameters
    ----------
    alpha, iso : array_like of float, shape (additions, draws) or any broadcastable
        Amounts at the start [any one unit, such as mg/L].
    start_temperature_C : array_like of float, broadcastable
        Temperature at the start [°C].
    surroundings_temperature_C : array_like of float, broadcastable
        Temperature the wort tends to: air or cooling water [°C].
    rate_1_min : array_like of float, broadcastable
        Newton cooling rate [1/min]; 0 or more.
    minutes : array_like of float, broadcastable
        Length of the cooling [min]; 0 or more.
    rate_100C, activation_kJ_mol : array_like of float, broadcastable
        As for `isomerisation_rate_1_min` [1/min], [kJ/mol].

    Returns
    -------
    Isomerisation
        Alpha and iso-alpha acids at the end [same unit].

    Raises
    ------
    OutOfRange
        If a temperature on the way is outside -5 to 135 °C, a time negative, or one not a number.

    Notes
    -----
    Sixteen exact steps, short at the start where wort is hottest, each with the mean of the rates
    by Simpson's rule; against an adaptive integrator the difference stays below 5e-5 of the alpha
    acids for usual chills, and below 5e-4 for a quick chill left to run for a day.

    References
    ----------
    .. [1] Malowicki & Shellhammer 2005, J. Agric. Food Chem. 53:4434-4439. Provenance: retrieved
       (abstract).

    Examples
    --------
    >>> from gyle.science.isomerisation import ACTIVATION_KJ_MOL, RATE_100C_1_MIN
    >>> chilled = while_cooling(
    ...     1.0, 0.0, start_temperature_C=100.0, surroundings_temperature_C=15.0, rate_1_min=0.1,
    ...     minutes=40.0, rate_100C=RATE_100C_1_MIN, activation_kJ_mol=ACTIVATION_KJ_MOL,
    ... )
    >>> float(chilled.iso.round(3))
    0.019
    """
    whole = within(minutes, 0.0, np.inf, what="minutes")
    sink = np.asarray(surroundings_temperature_C, dtype=np.float64)
    excess = np.asarray(start_temperature_C, dtype=np.float64) - sink
    cooling = np.asarray(rate_1_min, dtype=np.float64)

    # Marks in time crowd at the hot start, the more so the further the cooling runs.
    stretch = np.maximum(np.log1p(cooling * whole), 1e-9)
    marks = [whole * np.expm1(stretch * (i / COOLING_STEPS)) / np.expm1(stretch) for i in range(COOLING_STEPS + 1)]

    def rates(time: Array) -> tuple[Array, Array]:
        temperature = sink + excess * np.exp(-cooling * time)
        k1 = isomerisation_rate_1_min(temperature, rate_100C=rate_100C, activation_kJ_mol=activation_kJ_mol)
        return k1, degradation_rate_1_min(temperature)

    at_start = rates(marks[0])
    # The reactions are linear, so one pass with unit amounts serves every addition of a draw.
    unit = np.reshape([1.0, 0.0], (2,) + (1,) * np.ndim(at_start[0] + whole))
    state = Isomerisation(unit, 1.0 - unit)
    for begin, end in pairwise(marks):
        at_end = rates(end)
        at_middle = rates((begin + end) / 2.0)
        k1, k2 = ((a + 4.0 * m + b) / 6.0 for a, m, b in zip(at_start, at_middle, at_end, strict=True))
        state = step(*state, k1=k1, k2=k2, minutes=end - begin)
        at_start = at_end
    amount = np.asarray(alpha, dtype=np.float64)
    made = amount * state.iso[0] + np.asarray(iso, dtype=np.float64) * state.iso[1]
    return Isomerisation(amount * state.alpha[0], made)
