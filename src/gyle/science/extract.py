"""Extract: what a gravity says about the sugar in a wort, and the way back.

All gravities are 20 °C over water at 20 °C. A degree Plato is one gram of sucrose in 100 g of the sucrose
solution that is as dense as the wort; that the wort's own solids differ a little is not modelled here.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = [
    "degrees_brix_nbs",
    "degrees_plato",
    "degrees_plato_lincoln",
    "extract_g_L",
    "gravity_points_per_kg_L",
    "solution_kg_L",
    "specific_gravity",
    "specific_gravity_of_extract",
]

Array = NDArray[np.float64]

WATER_20C_KG_L = 0.9982012  # water at 20 °C, 1 atm; the value every part of one beer's balance shares
GRAVITY_LOW, GRAVITY_HIGH = 0.95, 1.22  # SG; the ends of what the cubic is asked for
EXTRACT_LOW, EXTRACT_HIGH = -10.0, 46.0  # °P

# ASBC cubic, °P of SG, lowest power first.
_A, _B, _C, _D = -616.868, 1111.14, -630.272, 135.997


def cubic(sg: Array) -> Array:
    """Evaluate the ASBC cubic unguarded, for the inside of a loop."""
    return ((_D * sg + _C) * sg + _B) * sg + _A


def cubic_slope(sg: Array) -> Array:
    """Differentiate the same."""
    return (3.0 * _D * sg + 2.0 * _C) * sg + _B


def degrees_plato(gravity_sg: ArrayLike) -> Array:
    """Convert specific gravity to extract in degrees Plato.

    Parameters
    ----------
    gravity_sg : array_like of float, any shape
        Specific gravity, 20 °C over water at 20 °C [SG]; 0.95 to 1.22.

    Returns
    -------
    ndarray of float64, same shape
        Extract [°P]: grams of sucrose in 100 g of the solution of equal density.
        Below SG 1.000 it is negative, as a dry beer's apparent extract is.

    Raises
    ------
    OutOfRange
        If a gravity is not a number or outside 0.95 to 1.22; the message names the first.

    Notes
    -----
    P = -616.868 + 1111.14 S - 630.272 S² + 135.997 S³, increasing everywhere. The table behind it
    ends near 20 °P; beyond, it departs from the NBS fit [2]_ by 0.01 °P at SG 1.120 and 0.04 °P at
    1.140. At SG 1.000 it gives -0.003 °P; this is left so that solvers see one smooth curve.

    References
    ----------
    .. [1] ASBC, Methods of Analysis, Table 1 (cubic). Provenance: retrieved (encyclopaedia citing it).
    .. [2] Bates et al., NBS Circular C440, 1942. Provenance: retrieved (encyclopaedia citing it).

    Examples
    --------
    >>> degrees_plato([1.040, 1.098]).round(2)
    array([ 9.99, 23.33])
    """
    return cubic(within(gravity_sg, GRAVITY_LOW, GRAVITY_HIGH, what="gravity [SG]"))


def specific_gravity(extract_pct: ArrayLike) -> Array:
    """Convert extract in degrees Plato to specific gravity.

    Parameters
    ----------
    extract_pct : array_like of float, any shape
        Extract [°P, g per 100 g]; -10 to 46.

    Returns
    -------
    ndarray of float64, same shape
        Specific gravity, 20 °C over water at 20 °C [SG].

    Raises
    ------
    OutOfRange
        If an extract is not a number or outside -10 to 46; the message names the first.

    Notes
    -----
    The numerical inverse of `degrees_plato`: a rational starter, good to 0.001 SG over the whole range,
    and two Newton steps on the cubic, which bring the round trip below 1e-9 °P.

    References
    ----------
    .. [1] ASBC, Methods of Analysis, Table 1 (cubic). Provenance: retrieved (encyclopaedia citing it).
    .. [2] The starter 1 + P/(258.6 - 0.8796 P) is a trade approximation. Provenance: memory.

    Examples
    --------
    >>> specific_gravity([12.0, 20.0, 30.0]).round(5)
    array([1.04837, 1.08297, 1.12925])
    """
    extract = within(extract_pct, EXTRACT_LOW, EXTRACT_HIGH, what="extract [°P]")
    sg = 1.0 + extract / (258.6 - (227.1 / 258.2) * extract)
    for _ in range(2):
        sg = sg - (cubic(sg) - extract) / cubic_slope(sg)
    return sg


def extract_g_L(gravity_sg: ArrayLike) -> Array:
    """Convert specific gravity to grams of extract in a litre.

    Parameters
    ----------
    gravity_sg : array_like of float, any shape
        Specific gravity, 20 °C over water at 20 °C [SG]; 0.95 to 1.22.

    Returns
    -------
    ndarray of float64, same shape
        Extract in a litre of solution at 20 °C [g/L].

    Raises
    ------
    OutOfRange
        If a gravity is not a number or outside 0.95 to 1.22; the message names the first.

    Notes
    -----
    c = 10 P S 0.9982012. Leaving the density of water out errs by 0.18 %; leaving the gravity out
    errs by 8 % at 20 °P.

    References
    ----------
    .. [1] ASBC, Methods of Analysis, Table 1 (cubic). Provenance: retrieved (encyclopaedia citing it).
    .. [2] OIML R 22, 1975: water at 20 °C. Provenance: retrieved.

    Examples
    --------
    >>> extract_g_L([1.048, 1.100]).round(1)
    array([124.6, 261. ])
    """
    sg = within(gravity_sg, GRAVITY_LOW, GRAVITY_HIGH, what="gravity [SG]")
    return 10.0 * WATER_20C_KG_L * cubic(sg) * sg


def specific_gravity_of_extract(extract_g_L: ArrayLike) -> Array:
    """Find the specific gravity of a sugar solution from its grams of extract in a litre.

    Parameters
    ----------
    extract_g_L : array_like of float, any shape
        Extract in a litre of solution at 20 °C [g/L]; -100 to 550.

    Returns
    -------
    ndarray of float64, same shape
        Specific gravity, 20 °C over water at 20 °C [SG].

    Raises
    ------
    OutOfRange
        If a concentration is not a number or outside -100 to 550; the message names the first.

    Notes
    -----
    The numerical inverse of `extract_g_L`: gravity points per kg/L are nearly constant, so a
    quadratic starts three Newton steps on the quartic P(S) S.

    References
    ----------
    .. [1] ASBC, Methods of Analysis, Table 1 (cubic). Provenance: retrieved (encyclopaedia citing it).

    Examples
    --------
    >>> float(specific_gravity_of_extract(100.0).round(5))
    1.03856
    """
    amount = within(extract_g_L, -100.0, 550.0, what="extract [g/L]") / (10.0 * WATER_20C_KG_L)
    sg = 1.0 + amount * (3.863e-3 - 1.4e-6 * amount)
    for _ in range(3):
        plato = cubic(sg)
        sg = sg - (plato * sg - amount) / (cubic_slope(sg) * sg + plato)
    return sg


def solution_kg_L(extract_pct: ArrayLike) -> Array:
    """Find the mass of a litre of wort at 20 °C from its extract.

    Parameters
    ----------
    extract_pct : array_like of float, any shape
        Extract [°P, g per 100 g]; -10 to 46.

    Returns
    -------
    ndarray of float64, same shape
        Density at 20 °C [kg/L].

    Raises
    ------
    OutOfRange
        If an extract is not a number or outside -10 to 46; the message names the first.

    Notes
    -----
    Specific gravity times 0.9982012 kg/L, the density of water at 20 °C.

    References
    ----------
    .. [1] ASBC, Methods of Analysis, Table 1 (cubic). Provenance: retrieved (encyclopaedia citing it).
    .. [2] OIML R 22, 1975: water at 20 °C. Provenance: retrieved.

    Examples
    --------
    >>> solution_kg_L([0.0, 20.0]).round(3)
    array([0.998, 1.081])
    """
    return specific_gravity(extract_pct) * WATER_20C_KG_L


def gravity_points_per_kg_L(extract_pct: ArrayLike) -> Array:
    """Find how many gravity points one kilogram of extract in a litre is worth.

    Parameters
    ----------
    extract_pct : array_like of float, any shape
        Extract of the wort the rule is wanted for [°P]; 0.5 to 46.

    Returns
    -------
    ndarray of float64, same shape
        Gravity points, 1000 (SG - 1), per kilogram of extract in a litre at 20 °C [points L/kg].

    Raises
    ------
    OutOfRange
        If an extract is not a number or outside 0.5 to 46; the message names the first.

    Notes
    -----
    Nearly constant, 387 to 381, which is why bookkeeping in points times litres works at all.
    Below 0.5 °P the cubic's offset at water makes the ratio meaningless.

    References
    ----------
    .. [1] ASBC, Methods of Analysis, Table 1 (cubic). Provenance: retrieved (encyclopaedia citing it).

    Examples
    --------
    >>> gravity_points_per_kg_L([5.0, 10.0, 30.0]).round(1)
    array([386.6, 385.6, 382.2])
    """
    extract = within(extract_pct, 0.5, EXTRACT_HIGH, what="extract [°P]")
    sg = specific_gravity(extract)
    return 1e5 * (sg - 1.0) / (extract * sg * WATER_20C_KG_L)


def degrees_brix_nbs(gravity_sg: ArrayLike) -> Array:
    """Convert specific gravity to per cent sucrose by the NBS table's fit.

    Parameters
    ----------
    gravity_sg : array_like of float, any shape
        Specific gravity, 20 °C over water at 20 °C [SG]; 1.000 to 1.179.

    Returns
    -------
    ndarray of float64, same shape
        Sucrose [Bx, g per 100 g].

    Raises
    ------
    OutOfRange
        If a gravity is not a number or outside 1.000 to 1.179; the message names the first.

    Notes
    -----
    Bx = 182.46007 S³ - 775.68212 S² + 1262.7794 S - 669.56218, 0.0009 Bx rms from the table from 0 to
    40 Bx. An independent check of `degrees_plato` beyond the end of the latter's table.

    References
    ----------
    .. [1] Bates et al., Polarimetry, Saccharimetry and the Sugars, NBS Circular C440, 1942.
       Provenance: retrieved (encyclopaedia citing it).

    Examples
    --------
    >>> degrees_brix_nbs([1.0149, 1.140]).round(2)
    array([ 3.8 , 32.25])
    """
    sg = within(gravity_sg, 1.0, 1.179, what="gravity [SG]")
    return ((182.46007 * sg - 775.68212) * sg + 1262.7794) * sg - 669.56218


def degrees_plato_lincoln(gravity_sg: ArrayLike) -> Array:
    """Convert specific gravity to degrees Plato by Lincoln's quadratic.

    Parameters
    ----------
    gravity_sg : array_like of float, any shape
        Specific gravity, 20 °C over water at 20 °C [SG]; 0.95 to 1.22.

    Returns
    -------
    ndarray of float64, same shape
        Extract [°P].

    Raises
    ------
    OutOfRange
        If a gravity is not a number or outside 0.95 to 1.22; the message names the first.

    Notes
    -----
    P = (463 - 205 S)(S - 1), the form to reach for on the back of an envelope: within 0.01 °P of the
    cubic at 1.080, 0.05 below it at 1.120, 0.11 below it at 1.140. Used for comparison alone.

    References
    ----------
    .. [1] Lincoln, Master Brewers Technical Quarterly 24, 129-132, 1987.
       Provenance: retrieved (encyclopaedia giving the formula), citation from memory.

    Examples
    --------
    >>> degrees_plato_lincoln([1.040, 1.080]).round(2)
    array([ 9.99, 19.33])
    """
    sg = within(gravity_sg, GRAVITY_LOW, GRAVITY_HIGH, what="gravity [SG]")
    return (463.0 - 205.0 * sg) * (sg - 1.0)
