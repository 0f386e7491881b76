"""The refractometer: sugar in wort, and what is left to be known once alcohol bends the light too."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.errors import OutOfRange
from gyle.science.alcohol import alcohol_by_volume_pct, binary_solutions, per_ethanol
from gyle.science.balling import balling_alcohol
from gyle.science.extract import degrees_plato
from gyle.science.ranges import within

__all__ = [
    "BeerByLight",
    "alcohol_barth_pct",
    "beer_brix",
    "beer_from_brix",
    "brix_of_refractive_index",
    "refractive_index_of_brix",
    "wort_extract_pct",
]

Array = NDArray[np.float64]

# Bx of n at 589 nm and 20 °C, highest power first; the terms cancel nearly, so every digit counts.
_ICUMSA = (11758.74, -88885.21, 270177.93, -413145.80, 318417.95, -99127.4536)
_ICUMSA_SLOPE = tuple((5 - i) * c for i, c in enumerate(_ICUMSA[:-1]))
# Refractive index that p % ethanol by mass adds to water: a p + b p².
_ETHANOL = (5.8209e-4, 6.810e-6)
_BRIX_LOW, _BRIX_HIGH = -5.0, 85.0
_STEPS = 8


class BeerByLight(NamedTuple):
    """What a refractometer reading says of a beer whose original extract is known.

    Parameters
    ----------
    gravity_sg : ndarray of float64
        Gravity of the degassed beer, 20 °C over water at 20 °C [SG].
    alcohol_pct : ndarray of float64
        Ethanol [g per 100 g of beer].
    real_extract_pct : ndarray of float64
        Extract that is left [g per 100 g of beer].
    abv_pct : ndarray of float64
        Alcohol by volume at 20 °C [%].

    Examples
    --------
    >>> beer = beer_from_brix(7.5, original_extract_pct=14.741, wort_factor=1.0, extract_per_ethanol=2.0665)
    >>> round(float(beer.gravity_sg), 3)
    1.013
    """

    gravity_sg: Array
    alcohol_pct: Array
    real_extract_pct: Array
    abv_pct: Array


def _polynomial(coefficients: tuple[float, ...], n: Array) -> Array:
    total = np.full_like(n, coefficients[0])
    for coefficient in coefficients[1:]:
        total = total * n + coefficient
    return total


def _index(brix: Array) -> Array:
    n = 1.33299 + brix * (1.4275e-3 + brix * (5.4e-6 + 1.0e-8 * brix))
    for _ in range(3):
        n = n - (_polynomial(_ICUMSA, n) - brix) / _polynomial(_ICUMSA_SLOPE, n)
    return n


_WATER = float(_index(np.asarray(0.0)))  # the fit's own water, so that its small error there cancels


def brix_of_refractive_index(refractive_index: ArrayLike) -> Array:
    """Convert refractive index to per cent sucrose.

    Parameters
    ----------
    refractive_index : array_like of float, any shape
        Refractive index at 589 nm and 20 °C [1]; 1.325 to 1.51.

    Returns
    -------
    ndarray of float64, same shape
        Sucrose of the solution with that index [Bx, g per 100 g].

    Raises
    ------
    OutOfRange
        If an index is not a number or outside 1.325 to 1.51; the message names the first.

    Notes
    -----
    A fit of the fifth degree to the international table, within 0.02 Bx of its points.

    References
    ----------
    .. [1] ICUMSA table of the refractive index of sucrose, as a polynomial. Provenance: retrieved.

    Examples
    --------
    >>> float(brix_of_refractive_index(1.34782).round(1))
    10.0
    """
    n = within(refractive_index, 1.325, 1.51, what="refractive index")
    return _polynomial(_ICUMSA, n)


def refractive_index_of_brix(sucrose_brix: ArrayLike) -> Array:
    """Convert per cent sucrose to refractive index.

    Parameters
    ----------
    sucrose_brix : array_like of float, any shape
        Sucrose [Bx, g per 100 g]; -5 to 85.

    Returns
    -------
    ndarray of float64, same shape
        Refractive index at 589 nm and 20 °C [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside -5 to 85; the message names the first.

    Notes
    -----
    The numerical inverse of `brix_of_refractive_index` by three Newton steps.

    References
    ----------
    .. [1] ICUMSA table of the refractive index of sucrose, as a polynomial. Provenance: retrieved.

    Examples
    --------
    >>> float(refractive_index_of_brix(20.0).round(4))
    1.3639
    """
    return _index(within(sucrose_brix, _BRIX_LOW, _BRIX_HIGH, what="sucrose [Bx]"))


def _factor(wort_factor: ArrayLike) -> Array:
    return within(wort_factor, 0.9, 1.2, what="wort factor [Bx/°P]")


def wort_extract_pct(reading_brix: ArrayLike, *, wort_factor: ArrayLike) -> Array:
    """Convert a refractometer reading of unfermented wort to extract.

    Parameters
    ----------
    reading_brix : array_like of float, any shape
        Reading at 20 °C, or of an instrument that corrects for temperature [Bx]; -1 to 55.
    wort_factor : array_like of float, shape that broadcasts with the reading
        How high this instrument reads wort, reading over extract [Bx/°P]; 0.9 to 1.2. About 1.04,
        standard deviation 0.02 between instruments; five paired readings bring it to 0.01.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Extract [°P].

    Raises
    ------
    OutOfRange
        If a reading or factor is not a number or outside its range.

    Notes
    -----
    P = Bx / k: maltose, dextrins and salts bend light a little more than sucrose of equal density.

    References
    ----------
    .. [1] The trade's wort factor. Provenance: common-practice.

    Examples
    --------
    >>> float(wort_extract_pct(13.0, wort_factor=1.04))
    12.5
    """
    return within(reading_brix, -1.0, 55.0, what="refractometer reading [Bx]") / _factor(wort_factor)


def _beer_brix(real: Array, alcohol: Array, factor: Array) -> tuple[Array, Array]:
    gravity, sugar_sg, ethanol_share = binary_solutions(real, alcohol)
    p = 100.0 * ethanol_share
    n = _WATER + factor * (_index(degrees_plato(sugar_sg)) - _WATER) + p * (_ETHANOL[0] + _ETHANOL[1] * p)
    return _polynomial(_ICUMSA, n), gravity


def beer_brix(real_extract_pct: ArrayLike, alcohol_pct: ArrayLike, *, wort_factor: ArrayLike) -> Array:
    """Find what a refractometer shows in a beer.

    Parameters
    ----------
    real_extract_pct : array_like of float, any shape
        Extract [g per 100 g of beer]; 0 to 46.
    alcohol_pct : array_like of float, shape that broadcasts with the extract
        Ethanol [g per 100 g of beer]; 0 to 30.
    wort_factor : array_like of float, shape that broadcasts with the extract
        How high the instrument reads wort, reading over extract [Bx/°P]; 0.9 to 1.2.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Reading at 20 °C [Bx].

    Raises
    ------
    OutOfRange
        If an argument is not a number or outside its range.

    Notes
    -----
    n - n_water = k (n_sucrose(P_E) - n_water) + 5.8209e-4 p + 6.810e-6 p², with P_E and p the strengths of
    the sugar and ethanol solutions that hold in a litre what the beer holds. The factor touches the
    extract alone, for alcohol is read as it is.

    References
    ----------
    .. [1] ICUMSA table of the refractive index of sucrose, as a polynomial. Provenance: retrieved.
    .. [2] CRC Handbook, aqueous ethanol, 0.5 to 16 %, fitted to 7e-5. Provenance: memory.
    .. [3] Adding the two at equal volume. Provenance: ours.

    Examples
    --------
    >>> float(beer_brix(4.477, 4.089, wort_factor=1.0).round(2))
    6.15
    """
    real = within(real_extract_pct, 0.0, 46.0, what="real extract [%]")
    alcohol = within(alcohol_pct, 0.0, 30.0, what="alcohol [% by mass]")
    return _beer_brix(real, alcohol, _factor(wort_factor))[0]


def beer_from_brix(
    reading_brix: ArrayLike,
    *,
    original_extract_pct: ArrayLike,
    wort_factor: ArrayLike,
    extract_per_ethanol: ArrayLike,
) -> BeerByLight:
    """Find what a beer holds from a refractometer and the wort it was made from.

    Parameters
    ----------
    reading_brix : array_like of float, any shape
        Reading as the instrument shows it, not divided by the factor [Bx]; -1 to 55.
    original_extract_pct : array_like of float, shape that broadcasts
        Extract of the wort, all sugars counted [°P]; 0.5 to 45.
    wort_factor : array_like of float, shape that broadcasts
        How high the instrument reads wort, reading over extract [Bx/°P]; 0.9 to 1.2. One where the reading
        was divided by the factor already, which costs up to 0.001 SG.
    extract_per_ethanol : array_like of float, shape that broadcasts
        Extract used for each gram of ethanol [g/g]; 1.9565 to 2.5. Balling found 2.0665.

    Returns
    -------
    BeerByLight
        Gravity, alcohol and extract, each of the broadcast shape.

    Raises
    ------
    OutOfRange
        If an argument is not a number or outside its range, or if the reading is higher than the wort's
        or lower than that of the wort fermented to the last gram.

    Notes
    -----
    Balling gives the extract that goes with each alcohol; the alcohol whose `beer_brix` is the reading is
    found by secant steps inside its bracket. Without the original extract the question has no answer.
    Standard deviation of the gravity: 0.0015 to 16 °P, 0.0025 at 24, 0.004 above 28, and 0.00065 for
    each 0.1 Bx of reading error. Dark, strong beers are the worst [2]_.

    References
    ----------
    .. [1] Nielsen et al., "Balling's formula - scrutiny of a brewing dogma". Provenance: retrieved.
    .. [2] Koestler, Hagen, Master Brewers Technical Quarterly 36, 231-233, 1999.
       Provenance: retrieved (abstract).

    Examples
    --------
    >>> beer = beer_from_brix(13.0, original_extract_pct=23.769, wort_factor=1.04, extract_per_ethanol=2.0665)
    >>> round(float(beer.gravity_sg), 3)
    1.023
    """
    reading = within(reading_brix, -1.0, 55.0, what="refractometer reading [Bx]")
    original = within(original_extract_pct, 0.5, 45.0, what="original extract [°P]")
    factor = _factor(wort_factor)
    e = per_ethanol(extract_per_ethanol)
    reading, original, factor, e = np.broadcast_arrays(reading, original, factor, e)
    lost = e - (e - 1.0) * original / 100.0  # real extract lost for each per cent of alcohol
    none = np.zeros_like(original)
    most = balling_alcohol(original, none, extract_per_ethanol=e)
    wort = _beer_brix(original, none, factor)[0]
    driest = _beer_brix(none, most, factor)[0]
    if (wrong := np.atleast_1d((reading > wort + 1e-6) | (reading < driest - 1e-6))).any():
        at = np.flatnonzero(wrong)[0]
        raise OutOfRange(
            f"refractometer reading {reading.flat[at]:g} Bx is not between {np.ravel(driest)[at]:.2f}, all"
            f" extract fermented, and {np.ravel(wort)[at]:.2f}, none"
        )
    old, old_misfit = none, wort - reading
    alcohol = np.clip(most * old_misfit / (wort - driest), 0.0, most)
    for _ in range(_STEPS):
        misfit = _beer_brix(np.maximum(original - lost * alcohol, 0.0), alcohol, factor)[0] - reading
        change = misfit - old_misfit
        moving = np.abs(change) > 1e-13
        step = np.where(moving, misfit * (alcohol - old) / np.where(moving, change, 1.0), 0.0)
        old, old_misfit = alcohol, misfit
        alcohol = np.clip(alcohol - step, 0.0, most)
    real = np.maximum(original - lost * alcohol, 0.0)
    gravity = _beer_brix(real, alcohol, factor)[1]
    return BeerByLight(gravity, alcohol, real, alcohol_by_volume_pct(alcohol, gravity))


def alcohol_barth_pct(gravity_sg: ArrayLike, refractive_index: ArrayLike) -> Array:
    """Estimate alcohol from gravity and refractive index of the same beer, knowing nothing of its wort.

    Parameters
    ----------
    gravity_sg : array_like of float, any shape
        Gravity of the degassed beer [SG]; 0.95 to 1.20.
    refractive_index : array_like of float, shape that broadcasts with the gravity
        Refractive index at 20 °C [1]; 1.325 to 1.45.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Ethanol [g per 100 g of beer].

    Raises
    ------
    OutOfRange
        If an argument is not a number or outside its range.

    Notes
    -----
    A = 759.8 (n - n_water) - 292.3 (SG - 1). The source counts the index "referred to water as unity"; the
    constants only make sense for the difference, as here. An independent check on an original gravity
    or on forgotten sugar, not a measurement: it gives 3.9 % where the mass balance gives 4.1 %.

    References
    ----------
    .. [1] Barth, through Simmonds, Alcohol, Macmillan, 1919. Provenance: retrieved (year from memory).

    Examples
    --------
    >>> float(alcohol_barth_pct(1.010, 1.3421).round(1))
    4.0
    """
    gravity = within(gravity_sg, 0.95, 1.2, what="gravity [SG]")
    n = within(refractive_index, 1.325, 1.45, what="refractive index")
    return 759.8 * (n - _WATER) - 292.3 * (gravity - 1.0)
