"""Colour of beer as one number: its scales, and what malt in the kettle makes of it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = [
    "daniels_srm",
    "ebc_of_absorbance",
    "ebc_of_srm",
    "lovibond_of_srm",
    "malt_colour_units",
    "morey_srm",
    "mosher_srm",
    "srm_of_absorbance",
    "srm_of_ebc",
    "srm_of_lovibond",
]

Array = NDArray[np.float64]

SRM_PER_ABSORBANCE = 12.7  # ten times the absorbance in half an inch, told for 1 cm
EBC_PER_ABSORBANCE = 25.0
LB_US_GAL_PER_KG_L = 8.3454  # pounds in a US gallon for each kilogram in a litre
_LARGEST = 1e4


def _absorbance(absorbance_430nm: ArrayLike, dilution: ArrayLike, path_cm: ArrayLike) -> Array:
    absorbance = within(absorbance_430nm, 0.0, 10.0, what="absorbance at 430 nm")
    times = within(dilution, 1.0, 1000.0, what="dilution")
    return absorbance * times / within(path_cm, 0.1, 10.0, what="cell [cm]")


def srm_of_absorbance(absorbance_430nm: ArrayLike, *, dilution: ArrayLike, path_cm: ArrayLike) -> Array:
    """Convert absorbance to beer colour on the SRM scale.

    Parameters
    ----------
    absorbance_430nm : array_like of float, any shape
        Absorbance of clear beer at 430 nm [decadic]; 0 to 10.
    dilution : array_like of float, shape that broadcasts
        Volume after dilution over volume before [L/L]; 1 to 1000.
    path_cm : array_like of float, shape that broadcasts
        Length of the cell [cm]; 0.1 to 10.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Colour [SRM].

    Raises
    ------
    OutOfRange
        If an argument is not a number or outside its range.

    Notes
    -----
    SRM = 12.7 D A in 1 cm, by definition 10 A in a half-inch cell. The sample counts as clear if its
    absorbance at 700 nm is not above 0.039 times that at 430 nm.

    References
    ----------
    .. [1] Encyclopaedia, "Standard Reference Method" (ASBC, Beer-10A). Provenance: retrieved.
    .. [2] deLange, ASBC annual meeting, 2007: the limit at 700 nm. Provenance: retrieved.

    Examples
    --------
    >>> float(srm_of_absorbance(0.8, dilution=1.0, path_cm=1.0).round(2))
    10.16
    """
    return SRM_PER_ABSORBANCE * _absorbance(absorbance_430nm, dilution, path_cm)


def ebc_of_absorbance(absorbance_430nm: ArrayLike, *, dilution: ArrayLike, path_cm: ArrayLike) -> Array:
    """Convert absorbance to beer colour on the EBC scale.

    Parameters
    ----------
    absorbance_430nm : array_like of float, any shape
        Absorbance of clear beer at 430 nm [decadic]; 0 to 10.
    dilution : array_like of float, shape that broadcasts
        Volume after dilution over volume before [L/L]; 1 to 1000.
    path_cm : array_like of float, shape that broadcasts
        Length of the cell [cm]; 0.1 to 10.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Colour [EBC].

    Raises
    ------
    OutOfRange
        If an argument is not a number or outside its range.

    Notes
    -----
    EBC = 25 D A in 1 cm. Figures from before 1991 were read by eye or at 530 nm and do not convert.

    References
    ----------
    .. [1] EBC, Analytica 9.6, through an encyclopaedia, "Standard Reference Method". Provenance: retrieved.

    Examples
    --------
    >>> float(ebc_of_absorbance(0.8, dilution=1.0, path_cm=1.0))
    20.0
    """
    return EBC_PER_ABSORBANCE * _absorbance(absorbance_430nm, dilution, path_cm)


def ebc_of_srm(colour_srm: ArrayLike) -> Array:
    """Convert beer colour from SRM to EBC.

    Parameters
    ----------
    colour_srm : array_like of float, any shape
        Colour [SRM]; 0 to 10000.

    Returns
    -------
    ndarray of float64, same shape
        Colour [EBC].

    Raises
    ------
    OutOfRange
        If a colour is not a number or outside its range; the message names the first.

    Notes
    -----
    Both are defined on the same absorbance: 25 / 12.7 = 1.9685.

    References
    ----------
    .. [1] Encyclopaedia, "Standard Reference Method". Provenance: retrieved.

    Examples
    --------
    >>> float(ebc_of_srm(10.0).round(3))
    19.685
    """
    return within(colour_srm, 0.0, _LARGEST, what="colour [SRM]") * (EBC_PER_ABSORBANCE / SRM_PER_ABSORBANCE)


def srm_of_ebc(colour_ebc: ArrayLike) -> Array:
    """Convert beer colour from EBC to SRM.

    Parameters
    ----------
    colour_ebc : array_like of float, any shape
        Colour [EBC]; 0 to 20000.

    Returns
    -------
    ndarray of float64, same shape
        Colour [SRM].

    Raises
    ------
    OutOfRange
        If a colour is not a number or outside its range; the message names the first.

    Notes
    -----
    Both are defined on the same absorbance: 12.7 / 25 = 0.508.

    References
    ----------
    .. [1] Encyclopaedia, "Standard Reference Method". Provenance: retrieved.

    Examples
    --------
    >>> float(srm_of_ebc(20.0).round(2))
    10.16
    """
    ebc = within(colour_ebc, 0.0, 2 * _LARGEST, what="colour [EBC]")
    return ebc * (SRM_PER_ABSORBANCE / EBC_PER_ABSORBANCE)


def srm_of_lovibond(colour_lovibond: ArrayLike) -> Array:
    """Convert malt colour from degrees Lovibond to SRM.

    Parameters
    ----------
    colour_lovibond : array_like of float, any shape
        Colour of the malt's congress wort by comparison of glasses [°L]; 0.6 to 1000.

    Returns
    -------
    ndarray of float64, same shape
        Colour of the same wort [SRM].

    Raises
    ------
    OutOfRange
        If a colour is not a number or outside its range; the message names the first.

    Notes
    -----
    1.3546 °L - 0.76. It matters for crystal and roast malts alone, and price lists mix the two scales.

    References
    ----------
    .. [1] The maltsters' conversion. Provenance: memory.

    Examples
    --------
    >>> float(srm_of_lovibond(60.0).round(1))
    80.5
    """
    return 1.3546 * within(colour_lovibond, 0.6, 1000.0, what="malt colour [°L]") - 0.76


def lovibond_of_srm(colour_srm: ArrayLike) -> Array:
    """Convert malt colour from SRM to degrees Lovibond.

    Parameters
    ----------
    colour_srm : array_like of float, any shape
        Colour of the malt's congress wort [SRM]; 0 to 1400.

    Returns
    -------
    ndarray of float64, same shape
        Colour of the same wort [°L].

    Raises
    ------
    OutOfRange
        If a colour is not a number or outside its range; the message names the first.

    Notes
    -----
    (SRM + 0.76) / 1.3546, the inverse of `srm_of_lovibond`.

    References
    ----------
    .. [1] The maltsters' conversion. Provenance: memory.

    Examples
    --------
    >>> float(lovibond_of_srm(80.516).round(1))
    60.0
    """
    return (within(colour_srm, 0.0, 1400.0, what="malt colour [SRM]") + 0.76) / 1.3546


def malt_colour_units(mass_kg: ArrayLike, colour_lovibond: ArrayLike, *, volume_L: ArrayLike) -> Array:
    """Find the malt colour units that one malt brings to a beer.

    Parameters
    ----------
    mass_kg : array_like of float, any shape
        Malt [kg]; 0 or more.
    colour_lovibond : array_like of float, shape that broadcasts with the mass
        Its colour [°L]; 0 to 1000.
    volume_L : array_like of float, shape that broadcasts with the mass
        Wort into the fermenter at 20 °C [L]; above 0.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Malt colour units [lb °L per US gal]; those of a grist add up.

    Raises
    ------
    OutOfRange
        If an argument is not a number or outside its range.

    Notes
    -----
    Mass times colour over volume, in the pounds and gallons of its origin: 8.3454 kg °L/L.

    References
    ----------
    .. [1] The home brewer's unit, as in Morey, "Beer's Law", BrewingTechniques. Provenance: retrieved.

    Examples
    --------
    >>> float(malt_colour_units([4.5, 0.5], [2.0, 12.0], volume_L=20.0).sum().round(2))
    6.26
    """
    most = np.finfo(np.float64).max
    mass = within(mass_kg, 0.0, most, what="malt [kg]")
    colour = within(colour_lovibond, 0.0, 1000.0, what="malt colour [°L]")
    volume = within(volume_L, 1e-6, most, what="volume [L]")
    return mass * colour / volume * LB_US_GAL_PER_KG_L


def _units(malt_colour_units: ArrayLike, least: float) -> Array:
    return within(malt_colour_units, least, _LARGEST, what="malt colour [MCU]")


def morey_srm(malt_colour_units: ArrayLike) -> Array:
    """Estimate beer colour from malt colour units by Morey's curve.

    Parameters
    ----------
    malt_colour_units : array_like of float, any shape
        Malt colour of the whole grist [lb °L per US gal]; 0 to 10000. Sound to about 170, SRM 50.

    Returns
    -------
    ndarray of float64, same shape
        Colour [SRM].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range; the message names the first.

    Notes
    -----
    1.4922 MCU^0.6859: a curve through the three straight pieces SRM = MCU to 10.5, Daniels to 37 and Mosher
    beyond, not through beers. A beer's colour scatters by 20 % about it (lognormal), by 25 % with much
    roast malt or beyond SRM 30; long boils and kettle concentration come on top.

    References
    ----------
    .. [1] Morey, "Beer's Law", letter to BrewingTechniques. Provenance: retrieved.

    Examples
    --------
    >>> morey_srm([10.0, 50.0]).round(2)
    array([ 7.24, 21.83])
    """
    return np.asarray(1.4922 * _units(malt_colour_units, 0.0) ** 0.6859)


def daniels_srm(malt_colour_units: ArrayLike) -> Array:
    """Estimate beer colour from malt colour units by Daniels' line.

    Parameters
    ----------
    malt_colour_units : array_like of float, any shape
        Malt colour of the whole grist [lb °L per US gal]; 10 to 10000.

    Returns
    -------
    ndarray of float64, same shape
        Colour [SRM].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range; below 10 the line's floor of 8.4 is absurd.

    Notes
    -----
    0.2 MCU + 8.4.

    References
    ----------
    .. [1] Daniels, Designing Great Beers, 1996. Provenance: memory (break point retrieved in Morey's letter).

    Examples
    --------
    >>> float(daniels_srm(50.0).round(2))
    18.4
    """
    return 0.2 * _units(malt_colour_units, 10.0) + 8.4


def mosher_srm(malt_colour_units: ArrayLike) -> Array:
    """Estimate beer colour from malt colour units by Mosher's line.

    Parameters
    ----------
    malt_colour_units : array_like of float, any shape
        Malt colour of the whole grist [lb °L per US gal]; 7 to 10000.

    Returns
    -------
    ndarray of float64, same shape
        Colour [SRM].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range; below 7 the line's floor of 4.7 is absurd.

    Notes
    -----
    0.3 MCU + 4.7.

    References
    ----------
    .. [1] Mosher, The Brewer's Companion, 1994. Provenance: memory (break point retrieved in Morey's letter).

    Examples
    --------
    >>> float(mosher_srm(50.0).round(2))
    19.7
    """
    return 0.3 * _units(malt_colour_units, 7.0) + 4.7
