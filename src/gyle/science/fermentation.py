"""Fermentation: what a yeast can use, and what temperature, alcohol, pitch and gravity do to its speed."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.errors import OutOfRange
from gyle.science.ranges import within

__all__ = [
    "HoursScale",
    "alcohol_limit_factor",
    "cardinal_temperature_factor",
    "fermentable_by_yeast",
    "hours_scale",
    "q10",
]

Array = NDArray[np.float64]

# Shares of the extract of pale all-malt wort of fermentable share 0.6725: ours, within published ranges.
SIMPLE_SUGARS, MALTOSE, MALTOTRIOSE, DEXTRIN = 0.135, 0.430, 0.125, 0.220
SPECTRUM_FERMENTABLE = 0.6725
GAS_CONSTANT_KJ_MOL_K = 8.314462618e-3
KELVIN = 273.15
STRONG_WORT_SG = 1.060


class HoursScale(NamedTuple):
    """Stretch of a yeast's usual hours.

    Parameters
    ----------
    half : ndarray of float64
        Factor on the hours to half of the fall [1].
    ten_to_ninety : ndarray of float64
        Factor on the hours from a tenth to nine tenths of the fall [1].

    Examples
    --------
    >>> float(HoursScale(np.float64(0.71), np.float64(0.76)).half)
    0.71
    """

    half: Array
    ten_to_ninety: Array


def hours_scale(
    temperature_C: ArrayLike,
    original_gravity_sg: ArrayLike,
    *,
    reference_temperature_C: ArrayLike,
    minimum_C: ArrayLike,
    optimum_C: ArrayLike,
    maximum_C: ArrayLike,
    pitch_ratio: ArrayLike,
    pitch_exponent: ArrayLike,
) -> HoursScale:
    """Return how a class of yeast's usual hours stretch with temperature, pitch and gravity.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Wort temperature [°C].
    original_gravity_sg : array_like of float, broadcastable
        Original gravity [SG]; 0.95 to 1.22.
    reference_temperature_C : array_like of float, broadcastable
        Temperature the usual hours hold for [°C].
    minimum_C, optimum_C, maximum_C : array_like of float, broadcastable
        Cardinal temperatures of the yeast [°C].
    pitch_ratio : array_like of float, broadcastable
        Pitch over the class's usual pitch [1]; 0.01 to 100.
    pitch_exponent : array_like of float, broadcastable
        Power of the pitch [1]; -2 to 2, -0.3 with a spread of 0.1.

    Returns
    -------
    HoursScale
        Factors on the half time and on the time from a tenth to nine tenths [1]; infinite where
        nothing grows.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range, or the cardinal temperatures are out of
        order.

    Notes
    -----
    g(Tref)/g(T) x pitch^-0.3 x (1 + 0.06 or 0.10 for each 0.010 of original gravity above 1.060),
    g the cardinal curve.

    References
    ----------
    .. [1] Speeds of fermentation by class. Provenance: ours.

    Examples
    --------
    >>> warm = hours_scale(
    ...     25.0, 1.080, reference_temperature_C=19.0, minimum_C=2.0, optimum_C=31.0, maximum_C=40.0,
    ...     pitch_ratio=1.0, pitch_exponent=-0.3,
    ... )
    >>> float(warm.half.round(3)), float(warm.ten_to_ninety.round(3))
    (0.713, 0.764)
    """
    original_gravity_sg = within(original_gravity_sg, 0.95, 1.22, what="original gravity [SG]")
    pitch_ratio = within(pitch_ratio, 0.01, 100.0, what="pitch ratio")
    pitch_exponent = within(pitch_exponent, -2.0, 2.0, what="pitch exponent")
    temperature_C = np.asarray(temperature_C, dtype=np.float64)
    reference_temperature_C = np.asarray(reference_temperature_C, dtype=np.float64)
    minimum_C = np.asarray(minimum_C, dtype=np.float64)
    optimum_C = np.asarray(optimum_C, dtype=np.float64)
    maximum_C = np.asarray(maximum_C, dtype=np.float64)
    cardinal = {"minimum_C": minimum_C, "optimum_C": optimum_C, "maximum_C": maximum_C}
    here = cardinal_temperature_factor(temperature_C, **cardinal)
    there = cardinal_temperature_factor(reference_temperature_C, **cardinal)
    with np.errstate(divide="ignore", invalid="ignore"):
        slower = np.where(here > 0.0, there / here, np.inf)
    slower = slower * pitch_ratio**pitch_exponent
    strong = np.maximum(original_gravity_sg - STRONG_WORT_SG, 0.0) / 0.010
    return HoursScale(slower * (1.0 + 0.06 * strong), slower * (1.0 + 0.10 * strong))


def cardinal_temperature_factor(
    temperature_C: ArrayLike, *, minimum_C: ArrayLike, optimum_C: ArrayLike, maximum_C: ArrayLike
) -> Array:
    """Return yeast's speed at a temperature, relative to its best.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Wort temperature [°C]; -50 to 150.
    minimum_C, optimum_C, maximum_C : array_like of float, broadcastable
        Cardinal temperatures [°C]; in this order, the optimum nearer to the maximum than to the
        minimum.

    Returns
    -------
    ndarray of float64, broadcast shape
        Speed over speed at the optimum [1], 0 outside minimum and maximum.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside -50 to 150 °C, or the cardinal temperatures are out
        of order.

    Notes
    -----
    (T - Tmax)(T - Tmin)^2/((To - Tmin)((To - Tmin)(T - To) - (To - Tmax)(To + Tmin - 2T))). Pure
    growth of ale yeast has its optimum at 32.3 and its end at 45.4 °C, of a lager parent 26.2 and
    38.4 [2]_; in beer both are some degrees lower.

    References
    ----------
    .. [1] Rosso et al. 1993, J. Theor. Biol. 162:447. Provenance: memory.
    .. [2] Salvadó et al. 2011, Appl. Environ. Microbiol. 77:2292. Provenance: retrieved
       (abstract).

    Examples
    --------
    >>> speed = cardinal_temperature_factor([18.0, 31.0, 45.0], minimum_C=2.0, optimum_C=31.0, maximum_C=40.0)
    >>> speed.round(4)
    array([0.4807, 1.    , 0.    ])
    """
    temperature_C = within(temperature_C, -50.0, 150.0, what="temperature [°C]")
    minimum_C = within(minimum_C, -50.0, 150.0, what="minimum [°C]")
    optimum_C = within(optimum_C, -50.0, 150.0, what="optimum [°C]")
    maximum_C = within(maximum_C, -50.0, 150.0, what="maximum [°C]")
    if not (np.all(minimum_C < optimum_C) and np.all(optimum_C < maximum_C)):
        raise OutOfRange("cardinal temperatures should rise from minimum to optimum to maximum")
    if not np.all(maximum_C - optimum_C <= optimum_C - minimum_C):
        raise OutOfRange("the optimum temperature should be no nearer to the minimum than to the maximum")
    above = temperature_C - minimum_C
    reach = optimum_C - minimum_C
    past = temperature_C - optimum_C
    lower = reach * (reach * past - (optimum_C - maximum_C) * (optimum_C + minimum_C - 2.0 * temperature_C))
    alive = (temperature_C > minimum_C) & (temperature_C < maximum_C)
    factor = np.zeros(np.broadcast(above, lower).shape)
    np.divide((temperature_C - maximum_C) * above**2, lower, out=factor, where=alive)
    return factor


def q10(activation_kJ_mol: ArrayLike, temperature_C: ArrayLike) -> Array:
    """Return how much faster a reaction runs ten kelvin warmer.

    Parameters
    ----------
    activation_kJ_mol : array_like of float, any shape
        Activation energy [kJ/mol]; 0 to 1,000.
    temperature_C : array_like of float, broadcastable
        Lower of the two temperatures [°C]; -50 to 150.

    Returns
    -------
    ndarray of float64, broadcast shape
        Ratio of the rates at T + 10 K and at T [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Arrhenius. For brewing yeast no single value serves: it is 6 for lager yeast at 10 °C and 1.1
    for a warm farmhouse yeast at 35 °C.

    References
    ----------
    .. [1] Gee & Ramirez 1994, J. Inst. Brew. 100:321. Provenance: retrieved (first page; energies
       of 22.6, 11.3 and 7.16 kcal/mol).

    Examples
    --------
    >>> q10([94.558, 47.279], 10.0).round(2)
    array([3.94, 1.98])
    """
    activation_kJ_mol = within(activation_kJ_mol, 0.0, 1000.0, what="activation [kJ/mol]")
    temperature_C = within(temperature_C, -50.0, 150.0, what="temperature [°C]")
    t = temperature_C + KELVIN
    result: Array = np.exp(activation_kJ_mol / GAS_CONSTANT_KJ_MOL_K * 10.0 / (t * (t + 10.0)))
    return result


def fermentable_by_yeast(
    mash_fraction: ArrayLike, *, maltotriose_use: ArrayLike, dextrin_use: ArrayLike, sugar_share: ArrayLike
) -> Array:
    """Return the share of the extract that this yeast ferments.

    Parameters
    ----------
    mash_fraction : array_like of float, any shape
        Fermentable share of the wort's extract for an ordinary ale yeast [1]; 0.2425 to 0.8925.
    maltotriose_use : array_like of float, broadcastable
        Share of the maltotriose the yeast takes [1]; 0 to 1, 0.86 for ordinary ale yeast.
    dextrin_use : array_like of float, broadcastable
        Share of the dextrin it takes [1]; 0 to 1, 0 unless diastatic.
    sugar_share : array_like of float, broadcastable
        Added sugar over all extract [1]; 0 to 1.

    Returns
    -------
    ndarray of float64, broadcast shape
        Fermentable share [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    (1 - s)(0.135 + maltose + u3 maltotriose + ud dextrin) + s. A mash of another fermentability
    trades maltose for dextrin, one for one. Final gravity follows from this by mass balance, not
    from an attenuation figure.

    References
    ----------
    .. [1] Oxford Companion to Beer (sugars of wort). Provenance: ours, within retrieved ranges.

    Examples
    --------
    >>> fermentable_by_yeast(0.6725, maltotriose_use=[0.50, 0.86], dextrin_use=0.0, sugar_share=0.0)
    array([0.6275, 0.6725])
    """
    mash_fraction = within(mash_fraction, 0.2425, 0.8925, what="mash fraction")
    maltotriose_use = within(maltotriose_use, 0.0, 1.0, what="maltotriose use")
    dextrin_use = within(dextrin_use, 0.0, 1.0, what="dextrin use")
    sugar_share = within(sugar_share, 0.0, 1.0, what="sugar share")
    moved = mash_fraction - SPECTRUM_FERMENTABLE
    malt = SIMPLE_SUGARS + MALTOSE + moved + maltotriose_use * MALTOTRIOSE + dextrin_use * (DEXTRIN - moved)
    result: Array = (1.0 - sugar_share) * malt + sugar_share
    return result


def alcohol_limit_factor(abv_pct: ArrayLike, *, stop_abv_pct: ArrayLike) -> Array:
    """Return how alcohol slows yeast.

    Parameters
    ----------
    abv_pct : array_like of float, any shape
        Alcohol so far [% ABV]; 0 to 30.
    stop_abv_pct : array_like of float, broadcastable
        Alcohol at which the yeast stops [% ABV]; 0.1 to 30, a soft edge.

    Returns
    -------
    ndarray of float64, broadcast shape
        Speed over speed without alcohol [1], 0 to 1.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    (1 - (E/Estop)^2)^1.2. With nitrogen, ergosterol and oleic acid brewers' yeast has reached
    16.2 % vol [1]_, so the limit is nutrition as much as alcohol.

    References
    ----------
    .. [1] Casey, Magnus & Ingledew 1984, Appl. Environ. Microbiol. 48:639. Provenance: retrieved
       (abstract).
    .. [2] The shape of the curve. Provenance: ours.

    Examples
    --------
    >>> alcohol_limit_factor([0.0, 8.0, 12.0], stop_abv_pct=11.0).round(3)
    array([1.   , 0.405, 0.   ])
    """
    abv_pct = within(abv_pct, 0.0, 30.0, what="alcohol [% ABV]")
    stop_abv_pct = within(stop_abv_pct, 0.1, 30.0, what="alcohol at which yeast stops [% ABV]")
    result: Array = (1.0 - np.minimum(abv_pct / stop_abv_pct, 1.0) ** 2) ** 1.2
    return result
