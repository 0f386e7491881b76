"""Hops in store: the alpha acids they lose."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.errors import OutOfRange
from gyle.science.ranges import within

__all__ = [
    "StorageBand",
    "alpha_beta_lost_pct",
    "alpha_left_6_months",
    "alpha_left_fraction",
    "hop_storage_index",
    "storage_temperature_factor",
]

Array = NDArray[np.float64]

STORAGE_REFERENCE_C = 20.0
STORAGE_DOUBLING_K = 15.0
STORAGE_DAYS = 180.0
FRESH_INDEX = 0.25
# Alpha acids left after six months at room temperature [%] for each word of the descriptions.
STORAGE_WORDS = {
    "very good": (70.0, 85.0),
    "good to very good": (71.0, 90.0),
    "good": (61.0, 78.0),
    "fair to good": (51.0, 66.0),
    "fair": (60.0, 60.0),
    "fair to poor": (42.0, 58.0),
    "poor": (40.0, 40.0),
}


class StorageBand(NamedTuple):
    """What alpha acids are left that go with one storage word.

    Parameters
    ----------
    low_pct : float
        Least left [% of the original].
    high_pct : float
        Most left [% of the original].

    Examples
    --------
    >>> StorageBand(70.0, 85.0).low_pct
    70.0
    """

    low_pct: float
    high_pct: float


def alpha_beta_lost_pct(storage_index: ArrayLike, *, slope_pct: ArrayLike) -> Array:
    """Return the alpha and beta acids lost, from the hop storage index.

    Parameters
    ----------
    storage_index : array_like of float, any shape
        Hop storage index, A275 over A325 [1]; 0.05 to 20.
    slope_pct : array_like of float, broadcastable
        Loss for a tenfold index [%]; 0 to 1,000, published 101.8 to 114.6 by crop.

    Returns
    -------
    ndarray of float64, broadcast shape
        Alpha plus beta acids lost [% of the original], 0 to 100.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    s log10(HSI/0.25); an index below 0.25 means none lost. The loss is of alpha plus beta acids,
    not of alpha acids alone.

    References
    ----------
    .. [1] Nickerson & Likens 1979, J. Am. Soc. Brew. Chem. 37:184-187. Provenance: retrieved
       (abstract).

    Examples
    --------
    >>> alpha_beta_lost_pct([0.20, 0.40], slope_pct=110.0).round(2)
    array([ 0.  , 22.45])
    """
    storage_index = within(storage_index, 0.05, 20.0, what="storage index")
    slope_pct = within(slope_pct, 0.0, 1000.0, what="slope [%]")
    result: Array = np.clip(slope_pct * np.log10(storage_index / FRESH_INDEX), 0.0, 100.0)
    return result


def hop_storage_index(lost_pct: ArrayLike, *, slope_pct: ArrayLike) -> Array:
    """Return the hop storage index that goes with a loss.

    Parameters
    ----------
    lost_pct : array_like of float, any shape
        Alpha plus beta acids lost [% of the original]; 0 to 100.
    slope_pct : array_like of float, broadcastable
        Loss for a tenfold index [%]; 1 to 1,000.

    Returns
    -------
    ndarray of float64, broadcast shape
        Hop storage index [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    The inverse of `alpha_beta_lost_pct`.

    References
    ----------
    .. [1] Nickerson & Likens 1979, J. Am. Soc. Brew. Chem. 37:184-187. Provenance: retrieved
       (abstract).

    Examples
    --------
    >>> hop_storage_index([20.0, 50.0], slope_pct=110.0).round(4)
    array([0.38 , 0.712])
    """
    lost_pct = within(lost_pct, 0.0, 100.0, what="lost [%]")
    slope_pct = within(slope_pct, 1.0, 1000.0, what="slope [%]")
    result: Array = FRESH_INDEX * 10.0 ** (lost_pct / slope_pct)
    return result


def storage_temperature_factor(temperature_C: ArrayLike) -> Array:
    """Return how much faster or slower than at 20 °C stored hops lose alpha acids.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Store temperature [°C]; -80 to 60, checked by the source to 20.

    Returns
    -------
    ndarray of float64, same shape
        Speed relative to 20 °C [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Doubles for each 15 K.

    References
    ----------
    .. [1] Garetz, BrewingTechniques 2(1), 1994. Provenance: retrieved (table notes).

    Examples
    --------
    >>> storage_temperature_factor([20.0, 5.0])
    array([1. , 0.5])
    """
    temperature_C = within(temperature_C, -80.0, 60.0, what="temperature [°C]")
    result: Array = 2.0 ** ((temperature_C - STORAGE_REFERENCE_C) / STORAGE_DOUBLING_K)
    return result


def alpha_left_fraction(
    days: ArrayLike, temperature_C: ArrayLike, *, lost_6_months_pct: ArrayLike, storage_factor: ArrayLike
) -> Array:
    """Return the share of alpha acids left after storage.

    Parameters
    ----------
    days : array_like of float, any shape
        Days since the analysis on the packet [d]; 0 to 36,500.
    temperature_C : array_like of float, broadcastable
        Store temperature [°C]; -80 to 60.
    lost_6_months_pct : array_like of float, broadcastable
        Alpha acids a variety loses in six months at 20 °C in air [%]; 0 to 99.9.
    storage_factor : array_like of float, broadcastable
        Speed by package [1]; 0 to 2: open 1, sealed with air 0.75, vacuum or inert gas 0.5.

    Returns
    -------
    ndarray of float64, broadcast shape
        Share of the original alpha acids [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    exp(-k TF SF days) with k = -ln(1 - lost/100)/180. Foil packs kept frozen lose less than a
    factor of 0.5 says; 0.3 to 0.5 is common.

    References
    ----------
    .. [1] Garetz, BrewingTechniques 2(1), 1994. Provenance: retrieved (table notes; package
       factors from memory).

    Examples
    --------
    >>> float(alpha_left_fraction(180.0, 20.0, lost_6_months_pct=50.0, storage_factor=1.0).round(6))
    0.5
    """
    days = within(days, 0.0, 36500.0, what="days")
    lost_6_months_pct = within(lost_6_months_pct, 0.0, 99.9, what="lost 6 months [%]")
    storage_factor = within(storage_factor, 0.0, 2.0, what="storage factor")
    temperature_C = np.asarray(temperature_C, dtype=np.float64)
    rate = -np.log1p(-lost_6_months_pct / 100.0) / STORAGE_DAYS
    result: Array = np.exp(-rate * storage_temperature_factor(temperature_C) * storage_factor * days)
    return result


def alpha_left_6_months(storage_word: str) -> StorageBand:
    """Return the alpha acids left after six months that go with a storage word.

    Parameters
    ----------
    storage_word : str
        Word of the public hop descriptions, such as "good" or "fair to poor".

    Returns
    -------
    StorageBand
        Lowest and highest share seen beside that word [% of the original].

    Raises
    ------
    OutOfRange
        If the word is not one of the seven known; the message lists them.

    Notes
    -----
    From descriptions that give both the word and a figure, at room temperature. Two public
    sources often differ by 10 to 15 points for one variety.

    References
    ----------
    .. [1] USDA-ARS, Corvallis, hop cultivar descriptions. Provenance: retrieved.

    Examples
    --------
    >>> alpha_left_6_months("good")
    StorageBand(low_pct=61.0, high_pct=78.0)
    """
    word = " ".join(storage_word.lower().split())
    if word not in STORAGE_WORDS:
        raise OutOfRange(f"storage word {storage_word!r} is not one of {', '.join(STORAGE_WORDS)}")
    return StorageBand(*STORAGE_WORDS[word])
