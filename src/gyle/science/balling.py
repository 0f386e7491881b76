"""Balling's balance: what becomes of extract, by mass."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.errors import OutOfRange
from gyle.science.alcohol import PER_ETHANOL_LOW, alcohol_by_volume_pct, beer_gravity, per_ethanol
from gyle.science.ranges import within

__all__ = [
    "Fermented",
    "balling_alcohol",
    "balling_original_extract",
    "fermented",
]

Array = NDArray[np.float64]

CO2_PER_ETHANOL = PER_ETHANOL_LOW - 1.0  # 0.9565 g of carbon dioxide for each g of ethanol
_ROUNDING = 1e-9  # relative; a draw may overshoot what it holds by this much


class Fermented(NamedTuple):
    """What a wort has become.

    Parameters
    ----------
    alcohol_pct : ndarray of float64
        Ethanol [g per 100 g of beer].
    real_extract_pct : ndarray of float64
        Extract that is left [g per 100 g of beer].
    beer_kg : ndarray of float64
        Beer, without the gas and the yeast that left it [kg].
    co2_kg : ndarray of float64
        Carbon dioxide made, whether it left or not [kg].
    gravity_sg : ndarray of float64
        Gravity of the degassed beer, 20 °C over water at 20 °C [SG].
    abv_pct : ndarray of float64
        Alcohol by volume at 20 °C [%].
    yeast_kg : ndarray of float64
        Extract gone into yeast and the rest that no longer weighs in the beer [kg dry].

    Examples
    --------
    >>> beer = fermented(2.5, 2.0, 20.0, extract_per_ethanol=2.0665)
    >>> beer.beer_kg + beer.co2_kg + beer.yeast_kg
    np.float64(20.0)
    """

    alcohol_pct: Array
    real_extract_pct: Array
    beer_kg: Array
    co2_kg: Array
    gravity_sg: Array
    abv_pct: Array
    yeast_kg: Array


def balling_original_extract(
    alcohol_pct: ArrayLike, real_extract_pct: ArrayLike, *, extract_per_ethanol: ArrayLike
) -> Array:
    """Find the extract a wort had from what its beer holds.

    Parameters
    ----------
    alcohol_pct : array_like of float, any shape
        Ethanol [g per 100 g of beer]; 0 to 40.
    real_extract_pct : array_like of float, shape that broadcasts with the alcohol
        Extract that is left [g per 100 g of beer]; -1 to 46.
    extract_per_ethanol : array_like of float, shape that broadcasts with the alcohol
        Extract used for each gram of ethanol [g/g]; 1.9565 to 2.5. Balling found 2.0665.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Original extract [°P, g per 100 g of wort].

    Raises
    ------
    OutOfRange
        If an argument is not a number or outside its range.

    Notes
    -----
    OE = 100 (e A + RE) / (100 + (e - 1) A). Of the 2.0665 g of extract 1 g becomes ethanol, 0.9565 g carbon
    dioxide and 0.11 g yeast (standard deviation 0.025); the last two leave the beer.

    References
    ----------
    .. [1] Balling, Die Gährungschemie, 1845-65, through Nielsen, Kristiansen, Lassen, Erikstrøm,
       "Balling's formula - scrutiny of a brewing dogma". Provenance: retrieved.

    Examples
    --------
    >>> float(balling_original_extract(5.0, 5.0, extract_per_ethanol=2.0665).round(3))
    14.556
    """
    alcohol = within(alcohol_pct, 0.0, 40.0, what="alcohol [% by mass]")
    real = within(real_extract_pct, -1.0, 46.0, what="real extract [%]")
    e = per_ethanol(extract_per_ethanol)
    return 100.0 * (e * alcohol + real) / (100.0 + (e - 1.0) * alcohol)


def balling_alcohol(
    original_extract_pct: ArrayLike, real_extract_pct: ArrayLike, *, extract_per_ethanol: ArrayLike
) -> Array:
    """Find the alcohol of a beer from its extract before and after fermentation.

    Parameters
    ----------
    original_extract_pct : array_like of float, any shape
        Extract of the wort, all sugars counted [°P]; 0 to 46.
    real_extract_pct : array_like of float, shape that broadcasts with the original extract
        Extract that is left [g per 100 g of beer]; -1 to 46.
    extract_per_ethanol : array_like of float, shape that broadcasts with the original extract
        Extract used for each gram of ethanol [g/g]; 1.9565 to 2.5. Balling found 2.0665.

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
    A = 100 (OE - RE) / (100 e - (e - 1) OE), the inverse of `balling_original_extract`.

    References
    ----------
    .. [1] Balling, Die Gährungschemie, 1845-65, through Nielsen, Kristiansen, Lassen, Erikstrøm,
       "Balling's formula - scrutiny of a brewing dogma". Provenance: retrieved.

    Examples
    --------
    >>> float(balling_alcohol(14.5566, 5.0, extract_per_ethanol=2.0665).round(3))
    5.0
    """
    original = within(original_extract_pct, 0.0, 46.0, what="original extract [°P]")
    real = within(real_extract_pct, -1.0, 46.0, what="real extract [%]")
    e = per_ethanol(extract_per_ethanol)
    return 100.0 * (original - real) / (100.0 * e - (e - 1.0) * original)


def fermented(
    extract_kg: ArrayLike,
    fermented_kg: ArrayLike,
    total_kg: ArrayLike,
    *,
    extract_per_ethanol: ArrayLike,
) -> Fermented:
    """Turn wort into beer by mass.

    Parameters
    ----------
    extract_kg : array_like of float, any shape
        All extract that went in, late sugars too [kg]; 0 to 46 % of the total mass.
    fermented_kg : array_like of float, shape that broadcasts
        Extract the yeast has taken up [kg]; 0 to the extract.
    total_kg : array_like of float, shape that broadcasts
        Wort and late sugars together [kg]; above 0.
    extract_per_ethanol : array_like of float, shape that broadcasts
        Extract used for each gram of ethanol [g/g]; 1.9565 to 2.5. Balling found 2.0665 for maltose and
        sucrose; glucose and fructose, which have taken up their water already, need 2.175.

    Returns
    -------
    Fermented
        Strength and extract [%], masses [kg] and gravity of the beer, each of the broadcast shape.

    Raises
    ------
    OutOfRange
        If a mass is not a number, negative, or more than what holds it.

    Notes
    -----
    ethanol = fermented / e; carbon dioxide is 0.9565 of it; the rest, (e - 1.9565) ethanol, has become yeast
    and is counted as gone from the beer, as is all the gas: beer = total - (e - 1) ethanol. What is not
    fermented stays. Total = beer + carbon dioxide + yeast, always.

    References
    ----------
    .. [1] Nielsen et al., "Balling's formula - scrutiny of a brewing dogma". Provenance: retrieved.
    .. [2] 2.175 from the molar masses of glucose and sucrose. Provenance: computed-with-numpy.

    Examples
    --------
    >>> beer = fermented(2.5, 2.0, 20.0, extract_per_ethanol=2.0665)
    >>> round(float(beer.abv_pct), 2), round(float(beer.gravity_sg), 4)
    (6.46, 1.0011)
    """
    most = np.finfo(np.float64).max
    total = within(total_kg, np.finfo(np.float64).tiny, most, what="total mass [kg]")
    extract = within(extract_kg, 0.0, most, what="extract [kg]")
    taken = within(fermented_kg, 0.0, most, what="fermented extract [kg]")
    e = per_ethanol(extract_per_ethanol)
    if (taken > extract * (1.0 + _ROUNDING)).any():
        raise OutOfRange("more extract is said to have fermented than there was")
    if (extract > 0.46 * total).any():
        raise OutOfRange("extract is more than 46 % of the total mass, which no wort is")
    ethanol = taken / e
    beer_kg = total - (e - 1.0) * ethanol
    alcohol = 100.0 * ethanol / beer_kg
    real = 100.0 * np.maximum(extract - taken, 0.0) / beer_kg
    gravity = beer_gravity(real, alcohol)
    return Fermented(
        alcohol_pct=alcohol,
        real_extract_pct=real,
        beer_kg=beer_kg,
        co2_kg=CO2_PER_ETHANOL * ethanol,
        gravity_sg=gravity,
        abv_pct=alcohol_by_volume_pct(alcohol, gravity),
        yeast_kg=(e - PER_ETHANOL_LOW) * ethanol,
    )
