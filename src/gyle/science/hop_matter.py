"""Hop matter in wort and beer: how it dissolves, dries, and holds liquid back."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = ["dissolved_fraction", "dried_mass_g", "liquid_held_g_g", "liquid_lost_L"]

Array = NDArray[np.float64]


def dissolved_fraction(minutes: ArrayLike, *, rate_1_min: ArrayLike) -> Array:
    """Return the share of alpha acids that has left the hops in boiling wort.

    Parameters
    ----------
    minutes : array_like of float, any shape
        Time in boiling wort [min]; 0 or more.
    rate_1_min : array_like of float, broadcastable
        Extraction rate [1/min]; 0 to 100: pellets near 0.3, whole hops 0.15, each within a factor
        of 2.

    Returns
    -------
    ndarray of float64, broadcast shape
        Share in solution [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    1 - exp(-k t). It is why pellets give more than whole hops mainly in late additions; in early
    ones 1.00 to 1.25 times as much, commonly 1.10.

    References
    ----------
    .. [1] Extraction lag of hot hops. Provenance: ours.

    Examples
    --------
    >>> dissolved_fraction([5.0, 60.0], rate_1_min=0.3).round(3)
    array([0.777, 1.   ])
    """
    minutes = within(minutes, 0.0, np.inf, what="minutes")
    rate_1_min = within(rate_1_min, 0.0, 100.0, what="rate [1/min]")
    result: Array = -np.expm1(-rate_1_min * minutes)
    return result


def dried_mass_g(wet_mass_g: ArrayLike, *, wet_moisture: ArrayLike, dried_moisture: ArrayLike) -> Array:
    """Return the dried hops that hold as much hop matter as undried ones.

    Parameters
    ----------
    wet_mass_g : array_like of float, any shape
        Mass of undried hops [g]; 0 or more.
    wet_moisture : array_like of float, broadcastable
        Moisture of the undried hops [1]; 0 to 0.99, about 0.80.
    dried_moisture : array_like of float, broadcastable
        Moisture of dried hops [1]; 0 to 0.99, about 0.08 to 0.10.

    Returns
    -------
    ndarray of float64, broadcast shape
        Mass of dried hops [g].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Equal dry matter: m (1 - w)/(1 - w_dried). The trade divides by 4 to 6.

    References
    ----------
    .. [1] Mass balance. Provenance: common-practice.

    Examples
    --------
    >>> float(dried_mass_g(500.0, wet_moisture=0.80, dried_moisture=0.09).round(1))
    109.9
    """
    wet_mass_g = within(wet_mass_g, 0.0, 1e9, what="wet mass [g]")
    wet_moisture = within(wet_moisture, 0.0, 0.99, what="wet moisture")
    dried_moisture = within(dried_moisture, 0.0, 0.99, what="dried moisture")
    result: Array = wet_mass_g * (1.0 - wet_moisture) / (1.0 - dried_moisture)
    return result


def liquid_held_g_g(spent_moisture: ArrayLike, *, hop_moisture: ArrayLike, dry_matter_dissolved: ArrayLike) -> Array:
    """Return the liquid that spent hops hold for each gram of hops added.

    Parameters
    ----------
    spent_moisture : array_like of float, any shape
        Moisture of the spent mass [1]; 0 to 0.99: drained pellets 0.84, trub slurry 0.90 to 0.92.
    hop_moisture : array_like of float, broadcastable
        Moisture of the hops as weighed [1]; 0 to 0.99, about 0.08.
    dry_matter_dissolved : array_like of float, broadcastable
        Share of dry matter that dissolves [1]; 0 to 1, about a third.

    Returns
    -------
    ndarray of float64, broadcast shape
        Liquid held [g/g]; divide by its density for a volume.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    (1 - hop moisture)(1 - dissolved) w/(1 - w). The liquid carries extract, alcohol and
    bitterness as the bulk does.

    References
    ----------
    .. [1] Hauser, Lafontaine & Shellhammer 2019, J. Am. Soc. Brew. Chem. 77:188-198. Provenance:
       retrieved (abstract; a third dissolves).

    Examples
    --------
    >>> liquid_held_g_g([0.85, 0.90], hop_moisture=0.08, dry_matter_dissolved=1 / 3).round(2)
    array([3.48, 5.52])
    """
    spent_moisture = within(spent_moisture, 0.0, 0.99, what="spent moisture")
    hop_moisture = within(hop_moisture, 0.0, 0.99, what="hop moisture")
    dry_matter_dissolved = within(dry_matter_dissolved, 0.0, 1.0, what="dry matter dissolved")
    result: Array = (1.0 - hop_moisture) * (1.0 - dry_matter_dissolved) * spent_moisture / (1.0 - spent_moisture)
    return result


def liquid_lost_L(hop_mass_g: ArrayLike, *, held_mL_g: ArrayLike) -> Array:
    """Return the volume left behind in spent hops.

    Parameters
    ----------
    hop_mass_g : array_like of float, any shape
        Hops added [g]; 0 or more.
    held_mL_g : array_like of float, broadcastable
        Liquid held [mL/g]; 0 to 50: drained whole hops 5, drained pellets 4, pellet slurry 8,
        settled dry hops 7.

    Returns
    -------
    ndarray of float64, broadcast shape
        Volume lost [L].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Mass times liquid held; a brewer's own spent hops, weighed once, beat these figures.

    References
    ----------
    .. [1] Home and small-brewery practice. Provenance: common-practice.

    Examples
    --------
    >>> float(liquid_lost_L(200.0, held_mL_g=8.0))
    1.6
    """
    hop_mass_g = within(hop_mass_g, 0.0, 1e9, what="hop mass [g]")
    held_mL_g = within(held_mL_g, 0.0, 50.0, what="held mL [g]")
    result: Array = hop_mass_g * held_mL_g / 1000.0
    return result
