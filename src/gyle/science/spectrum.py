"""The spectrum of beer, and the colour an eye or a screen makes of it."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.colour import SRM_PER_ABSORBANCE
from gyle.science.ranges import within

__all__ = ["normalised_absorbance", "srgb_of_beer", "transmission", "xyz_of_beer"]

Array = NDArray[np.float64]

# IEC 61966-2-1: linear sRGB of XYZ under D65.
_SRGB = np.array([[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]])


class _Observer(NamedTuple):
    wavelength_nm: Array
    weights: Array  # one row for each wavelength; the transmission's XYZ is its sum over them


@cache
def _observer() -> _Observer:
    text = (files("gyle.science") / "observer.csv").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    table = np.array([[float(cell) for cell in line.split(",")] for line in lines[1:]])
    weights = table[:, 1:4] * table[:, 4:5]
    return _Observer(table[:, 0], weights / weights[:, 1].sum())


def normalised_absorbance(wavelength_nm: ArrayLike) -> Array:
    """Find the absorbance of the average beer relative to that at 430 nm.

    Parameters
    ----------
    wavelength_nm : array_like of float, any shape
        Wavelength [nm]; 380 to 780.

    Returns
    -------
    ndarray of float64, same shape
        Absorbance over absorbance at 430 nm [1].

    Raises
    ------
    OutOfRange
        If a wavelength is not a number or outside 380 to 780; the message names the first.

    Notes
    -----
    a = 0.02465 exp(-(l - 430)/17.591) + 0.97535 exp(-(l - 430)/82.122), the mean of 99 beers. At 700 nm it is
    0.036, below the 0.039 that clear beer may have.

    References
    ----------
    .. [1] deLange, J. Am. Soc. Brew. Chem. 66, 143-150, 2008, and "Color" in Bamforth (ed.), Brewing
       Materials and Processes, Elsevier, 2016. Provenance: memory (constants; abstract retrieved).

    Examples
    --------
    >>> normalised_absorbance([430.0, 700.0]).round(4)
    array([1.    , 0.0364])
    """
    beyond = 430.0 - within(wavelength_nm, 380.0, 780.0, what="wavelength [nm]")
    return np.asarray(0.02465 * np.exp(beyond / 17.591) + 0.97535 * np.exp(beyond / 82.122))


def _optical_depth(colour_srm: ArrayLike, path_cm: ArrayLike) -> Array:
    colour = within(colour_srm, 0.0, 500.0, what="colour [SRM]")
    path = within(path_cm, 0.0, 100.0, what="path [cm]")
    return np.asarray(colour * path / SRM_PER_ABSORBANCE)


def transmission(wavelength_nm: ArrayLike, colour_srm: ArrayLike, *, path_cm: ArrayLike) -> Array:
    """Find the share of light that beer lets through.

    Parameters
    ----------
    wavelength_nm : array_like of float, any shape
        Wavelength [nm]; 380 to 780.
    colour_srm : array_like of float, shape that broadcasts
        Colour [SRM]; 0 to 500.
    path_cm : array_like of float, shape that broadcasts
        Thickness of the beer that the light crosses [cm]; 0 to 100.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Transmission [1], 0 to 1.

    Raises
    ------
    OutOfRange
        If an argument is not a number or outside its range.

    Notes
    -----
    Beer-Lambert: 10^(-(SRM / 12.7) L a(wavelength)). No haze: cloudy beer looks lighter than this.

    References
    ----------
    .. [1] deLange, J. Am. Soc. Brew. Chem. 66, 143-150, 2008. Provenance: memory (constants).

    Examples
    --------
    >>> transmission([430.0, 650.0], 12.7, path_cm=1.0).round(3)
    array([0.1  , 0.857])
    """
    depth = _optical_depth(colour_srm, path_cm)
    return np.asarray(10.0 ** (-depth * normalised_absorbance(wavelength_nm)))


def xyz_of_beer(colour_srm: ArrayLike, *, path_cm: ArrayLike) -> Array:
    """Find the tristimulus values of beer held against daylight.

    Parameters
    ----------
    colour_srm : array_like of float, any shape
        Colour [SRM]; 0 to 500.
    path_cm : array_like of float, shape that broadcasts with the colour
        Thickness of the beer that the light crosses [cm]; 0 to 100.

    Returns
    -------
    ndarray of float64, the broadcast shape with a last axis of three
        X, Y and Z [1], with Y = 1 for a glass of water.

    Raises
    ------
    OutOfRange
        If an argument is not a number or outside its range.

    Notes
    -----
    Summed at 5 nm from 380 to 780 nm over the CIE 1931 2° observer under illuminant D65. Only the
    product of colour and path matters.

    References
    ----------
    .. [1] CIE 015, Colorimetry. Provenance: computed-with-colour-science (tables).
    .. [2] deLange, J. Am. Soc. Brew. Chem. 66, 143-150, 2008. Provenance: memory (constants).

    Examples
    --------
    >>> xyz_of_beer(10.0, path_cm=5.0).round(3)
    array([0.238, 0.178, 0.005])
    """
    observer = _observer()
    depth = _optical_depth(colour_srm, path_cm)[..., np.newaxis]
    return np.asarray(10.0 ** (-depth * normalised_absorbance(observer.wavelength_nm)) @ observer.weights)


def srgb_of_beer(colour_srm: ArrayLike, *, path_cm: ArrayLike) -> Array:
    """Find the screen colour of beer held against daylight.

    Parameters
    ----------
    colour_srm : array_like of float, any shape
        Colour [SRM]; 0 to 500.
    path_cm : array_like of float, shape that broadcasts with the colour
        Thickness of the beer that the light crosses [cm]; 0 to 100. A glass is 5 to 7, its rim 1 to 2.

    Returns
    -------
    ndarray of float64, the broadcast shape with a last axis of three
        Red, green and blue [sRGB], whole numbers from 0 to 255.

    Raises
    ------
    OutOfRange
        If an argument is not a number or outside its range.

    Notes
    -----
    Beer's reds lie outside the screen's gamut from a product of colour and path of about 26 on: blue, and
    later green, are cut to zero. At 5 cm everything beyond SRM 35 is nearly black; show a rim too.

    References
    ----------
    .. [1] IEC 61966-2-1, sRGB. Provenance: memory.
    .. [2] deLange, J. Am. Soc. Brew. Chem. 66, 143-150, 2008. Provenance: memory (constants).

    Examples
    --------
    >>> srgb_of_beer([2.0, 10.0], path_cm=5.0)
    array([[244., 209., 128.],
           [186.,  91.,   0.]])
    """
    linear = np.clip(xyz_of_beer(colour_srm, path_cm=path_cm) @ _SRGB.T, 0.0, 1.0)
    curved = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1.0 / 2.4) - 0.055)
    return np.asarray(np.round(255.0 * np.clip(curved, 0.0, 1.0)))
