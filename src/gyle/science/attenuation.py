"""Attenuation, in the three senses in which the trade uses the word."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.alcohol import per_ethanol
from gyle.science.ranges import within

__all__ = ["apparent_attenuation_pct", "real_attenuation_by_mass_pct", "real_attenuation_pct"]

Array = NDArray[np.float64]


def _original(original_extract_pct: ArrayLike) -> Array:
    return within(original_extract_pct, 0.1, 46.0, what="original extract [°P]")


def apparent_attenuation_pct(original_extract_pct: ArrayLike, apparent_extract_pct: ArrayLike) -> Array:
    """Find the apparent attenuation of a beer.

    Parameters
    ----------
    original_extract_pct : array_like of float, any shape
        Extract of the wort, all sugars counted [°P]; 0.1 to 46.
    apparent_extract_pct : array_like of float, shape that broadcasts with the original extract
        Extract that the beer's gravity pretends, negative in very dry beer [°P]; -14 to 46.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Share of the extract that seems gone [%]; above 100 where a beer is lighter than water.

    Raises
    ------
    OutOfRange
        If an extract is not a number or outside its range.

    Notes
    -----
    ADF = 100 (OE - AE) / OE, from degrees Plato and not from gravity points.

    References
    ----------
    .. [1] ASBC, Methods of Analysis, Beer-6. Provenance: memory.

    Examples
    --------
    >>> float(apparent_attenuation_pct(12.388, 2.561).round(1))
    79.3
    """
    original = _original(original_extract_pct)
    apparent = within(apparent_extract_pct, -14.0, 46.0, what="apparent extract [°P]")
    return 100.0 * (original - apparent) / original


def real_attenuation_pct(original_extract_pct: ArrayLike, real_extract_pct: ArrayLike) -> Array:
    """Find the real attenuation of a beer by its extract before and after.

    Parameters
    ----------
    original_extract_pct : array_like of float, any shape
        Extract of the wort, all sugars counted [°P]; 0.1 to 46.
    real_extract_pct : array_like of float, shape that broadcasts with the original extract
        Extract that is left [g per 100 g of beer]; 0 to 46.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Fall of the extract over the original extract [%].

    Raises
    ------
    OutOfRange
        If an extract is not a number or outside its range.

    Notes
    -----
    100 (OE - RE) / OE. It sets 100 g of wort against 100 g of beer, though the beer is the lighter by its
    gas and yeast; `real_attenuation_by_mass_pct` does not and is 1.5 to 4 points higher.

    References
    ----------
    .. [1] Cutaia, Reid, Speers, J. Inst. Brew. 115, 318-327, 2009. Provenance: memory.

    Examples
    --------
    >>> float(real_attenuation_pct(12.388, 4.477).round(1))
    63.9
    """
    original = _original(original_extract_pct)
    real = within(real_extract_pct, 0.0, 46.0, what="real extract [%]")
    return 100.0 * (original - real) / original


def real_attenuation_by_mass_pct(
    alcohol_pct: ArrayLike, real_extract_pct: ArrayLike, *, extract_per_ethanol: ArrayLike
) -> Array:
    """Find the share of the extract's mass that the yeast has used.

    Parameters
    ----------
    alcohol_pct : array_like of float, any shape
        Ethanol [g per 100 g of beer]; 0 to 40.
    real_extract_pct : array_like of float, shape that broadcasts with the alcohol
        Extract that is left [g per 100 g of beer]; 0.001 to 46.
    extract_per_ethanol : array_like of float, shape that broadcasts with the alcohol
        Extract used for each gram of ethanol [g/g]; 1.9565 to 2.5. Balling found 2.0665.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Extract used over extract there was, mass by mass [%].

    Raises
    ------
    OutOfRange
        If an argument is not a number or outside its range.

    Notes
    -----
    RDF = 100 e A / (e A + RE): the real degree of fermentation of the analyst's certificate.

    References
    ----------
    .. [1] ASBC, Methods of Analysis, Beer-6. Provenance: memory.

    Examples
    --------
    >>> float(real_attenuation_by_mass_pct(4.089, 4.477, extract_per_ethanol=2.0665).round(1))
    65.4
    """
    used = per_ethanol(extract_per_ethanol) * within(alcohol_pct, 0.0, 40.0, what="alcohol [% by mass]")
    return 100.0 * used / (used + within(real_extract_pct, 0.001, 46.0, what="real extract [%]"))
