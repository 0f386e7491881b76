"""Priming: sugar, or extract not yet fermented, that becomes carbon dioxide in the package."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.extract import degrees_plato
from gyle.science.gas import CARBON_DIOXIDE_G_MOL, GRAMS_PER_VOLUME
from gyle.science.ranges import within

__all__ = [
    "alcohol_from_extract_pct_abv",
    "carbon_dioxide_yield_g_g",
    "priming_mass_g",
    "volumes_from_extract",
    "volumes_from_gravity_drop",
]

Array = NDArray[np.float64]

# Balling: carbon dioxide and extract for each gram of alcohol.
CARBON_DIOXIDE_PER_ALCOHOL, EXTRACT_PER_ALCOHOL = 0.9565, 2.0665
REAL_OF_APPARENT = 0.8192
ETHANOL_KG_L = 0.78924


def carbon_dioxide_yield_g_g(molar_mass_g_mol: ArrayLike, *, hexoses: ArrayLike) -> Array:
    """Return the carbon dioxide that a sugar gives when wholly fermented.

    Parameters
    ----------
    molar_mass_g_mol : array_like of float, any shape
        Molar mass of the sugar as weighed [g/mol]; 100 to 2,000.
    hexoses : array_like of float, broadcastable
        Hexose units in the molecule [1]; 1 to 10.

    Returns
    -------
    ndarray of float64, broadcast shape
        Carbon dioxide over sugar [g/g].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Two molecules for each hexose: anhydrous glucose 0.489, its monohydrate 0.444, sucrose or
    maltose 0.514. Dry malt extract gives 0.26 to 0.36.

    References
    ----------
    .. [1] Stoichiometry. Provenance: memory.

    Examples
    --------
    >>> carbon_dioxide_yield_g_g([180.156, 342.297], hexoses=[1.0, 2.0]).round(4)
    array([0.4886, 0.5143])
    """
    molar_mass_g_mol = within(molar_mass_g_mol, 100.0, 2000.0, what="molar mass [g/mol]")
    hexoses = within(hexoses, 1.0, 10.0, what="hexoses")
    result: Array = 2.0 * hexoses * CARBON_DIOXIDE_G_MOL / molar_mass_g_mol
    return result


def priming_mass_g(
    added_volumes: ArrayLike, beer_volume_L: ArrayLike, *, yield_g_g: ArrayLike, growth_factor: ArrayLike
) -> Array:
    """Return the sugar that adds the wanted carbon dioxide in the package.

    Parameters
    ----------
    added_volumes : array_like of float, any shape
        Wanted less residual carbon dioxide [volumes]; 0 to 20.
    beer_volume_L : array_like of float, broadcastable
        Beer [L]; 0 or more.
    yield_g_g : array_like of float, broadcastable
        Carbon dioxide for each gram of sugar [g/g]; 0.01 to 1.
    growth_factor : array_like of float, broadcastable
        Share of the yield left after yeast growth [1]; 0.5 to 1, near 0.95.

    Returns
    -------
    ndarray of float64, broadcast shape
        Sugar [g].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    m = dV 1.9768 V/(y g).

    References
    ----------
    .. [1] Stoichiometry; growth after Balling, as scrutinised by Nielsen et al., Scandinavian
       School of Brewing. Provenance: retrieved.

    Examples
    --------
    >>> float(priming_mass_g(1.561, 20.0, yield_g_g=0.5143, growth_factor=1.0).round(1))
    120.0
    """
    added_volumes = within(added_volumes, 0.0, 20.0, what="added volumes")
    beer_volume_L = within(beer_volume_L, 0.0, 1e7, what="beer volume [L]")
    yield_g_g = within(yield_g_g, 0.01, 1.0, what="yield [g/g]")
    growth_factor = within(growth_factor, 0.5, 1.0, what="growth factor")
    result: Array = added_volumes * GRAMS_PER_VOLUME * beer_volume_L / (yield_g_g * growth_factor)
    return result


def volumes_from_extract(extract_pct: ArrayLike, *, beer_kg_L: ArrayLike) -> Array:
    """Return the carbon dioxide that unfermented extract will make in a closed package.

    Parameters
    ----------
    extract_pct : array_like of float, any shape
        Real extract that ferments [°P]; 0 to 60.
    beer_kg_L : array_like of float, broadcastable
        Density of the beer [kg/L]; 0.9 to 1.3.

    Returns
    -------
    ndarray of float64, broadcast shape
        Carbon dioxide made [volumes].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Balling: 0.9565/2.0665 g for each gram of extract.

    References
    ----------
    .. [1] Nielsen et al., Balling's formula - scrutiny of a brewing dogma, Scandinavian School of
       Brewing. Provenance: retrieved.

    Examples
    --------
    >>> float(volumes_from_extract(1.0, beer_kg_L=1.010).round(2))
    2.36
    """
    extract_pct = within(extract_pct, 0.0, 60.0, what="real extract [°P]")
    beer_kg_L = within(beer_kg_L, 0.9, 1.3, what="beer density [kg/L]")
    grams = 10.0 * beer_kg_L * extract_pct * CARBON_DIOXIDE_PER_ALCOHOL / EXTRACT_PER_ALCOHOL
    result: Array = grams / GRAMS_PER_VOLUME
    return result


def alcohol_from_extract_pct_abv(extract_pct: ArrayLike, *, beer_kg_L: ArrayLike) -> Array:
    """Return the alcohol that unfermented extract will make in the beer.

    Parameters
    ----------
    extract_pct : array_like of float, any shape
        Real extract that ferments [°P]; 0 to 60.
    beer_kg_L : array_like of float, broadcastable
        Density of the beer [kg/L]; 0.9 to 1.3.

    Returns
    -------
    ndarray of float64, broadcast shape
        Alcohol made [% ABV].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Balling: extract/2.0665 by mass, times the beer's density over that of ethanol.

    References
    ----------
    .. [1] Nielsen et al., Balling's formula - scrutiny of a brewing dogma, Scandinavian School of
       Brewing. Provenance: retrieved.

    Examples
    --------
    >>> float(alcohol_from_extract_pct_abv(2.0, beer_kg_L=1.010).round(2))
    1.24
    """
    extract_pct = within(extract_pct, 0.0, 60.0, what="real extract [°P]")
    beer_kg_L = within(beer_kg_L, 0.9, 1.3, what="beer density [kg/L]")
    result: Array = extract_pct / EXTRACT_PER_ALCOHOL * beer_kg_L / ETHANOL_KG_L
    return result


def volumes_from_gravity_drop(gravity_sg: ArrayLike, drop_sg: ArrayLike) -> Array:
    """Return the carbon dioxide made when gravity falls after closing.

    Parameters
    ----------
    gravity_sg : array_like of float, any shape
        Gravity when the package is closed [SG]; 0.98 to 1.2.
    drop_sg : array_like of float, broadcastable
        Fall of gravity to come [SG]; 0 to 0.1.

    Returns
    -------
    ndarray of float64, broadcast shape
        Carbon dioxide made [volumes].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Real extract is taken as 0.8192 of the fall in apparent extract. Each 0.001 makes half a
    volume: bottling before the gravity is at its limit bursts bottles.

    References
    ----------
    .. [1] Nielsen et al., Balling's formula - scrutiny of a brewing dogma, Scandinavian School of
       Brewing. Provenance: retrieved.

    Examples
    --------
    >>> float(volumes_from_gravity_drop(1.010, 0.001).round(2))
    0.49
    """
    gravity_sg = within(gravity_sg, 0.98, 1.2, what="gravity [SG]")
    drop_sg = within(drop_sg, 0.0, 0.1, what="gravity drop [SG]")
    fall = REAL_OF_APPARENT * (degrees_plato(gravity_sg) - degrees_plato(gravity_sg - drop_sg))
    return volumes_from_extract(fall, beer_kg_L=gravity_sg)
