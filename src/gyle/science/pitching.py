"""Pitching: cells, dry matter and slurries, and what yeast grows to."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = [
    "cells_grown",
    "cells_in_dry_matter",
    "cells_needed",
    "living_cells",
    "viability_after",
    "yeast_dry_matter_g",
]

Array = NDArray[np.float64]

YEAST_PER_ALCOHOL, EXTRACT_PER_ALCOHOL = 0.11, 2.0665  # Balling
MILLION = 1e6


def cells_needed(extract_pct: ArrayLike, volume_L: ArrayLike, *, pitch_rate_M_mL_P: ArrayLike) -> Array:
    """Return the living cells to pitch.

    Parameters
    ----------
    extract_pct : array_like of float, any shape
        Extract of the wort [°P]; 0 to 60.
    volume_L : array_like of float, broadcastable
        Wort [L]; 0 or more.
    pitch_rate_M_mL_P : array_like of float, broadcastable
        Million cells for each mL and °P; 0 to 20: ale 0.75, lager 1.5, warm farmhouse 0.5.

    Returns
    -------
    ndarray of float64, broadcast shape
        Living cells [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    N = r P V. What really went in is known to 15 % when counted, 35 % by dry mass, 50 % by slurry
    volume.

    References
    ----------
    .. [1] The trade's rule of one million cells for each mL and °P. Provenance: common-practice.

    Examples
    --------
    >>> round(float(cells_needed(12.387, 20.0, pitch_rate_M_mL_P=0.75)) / 1e9, 1)
    185.8
    """
    extract_pct = within(extract_pct, 0.0, 60.0, what="extract [°P]")
    volume_L = within(volume_L, 0.0, 1e7, what="volume [L]")
    pitch_rate_M_mL_P = within(pitch_rate_M_mL_P, 0.0, 20.0, what="pitch rate [million/(mL °P)]")
    result: Array = pitch_rate_M_mL_P * MILLION * extract_pct * volume_L * 1000.0
    return result


def living_cells(amount: ArrayLike, *, cells_per_unit: ArrayLike, viability: ArrayLike) -> Array:
    """Return the living cells in a pitch of dry yeast or slurry.

    Parameters
    ----------
    amount : array_like of float, any shape
        Grams of dry yeast or millilitres of slurry [g or mL]; 0 or more.
    cells_per_unit : array_like of float, broadcastable
        Cells in each gram or millilitre [1/g or 1/mL]; dry 5e9 to 11e9, thick slurry 1.0e9 to
        1.5e9, thin 0.4e9 to 0.8e9.
    viability : array_like of float, broadcastable
        Share alive [1]; 0 to 1.

    Returns
    -------
    ndarray of float64, broadcast shape
        Living cells [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    A product; its uncertainty is that of the cells in a gram or millilitre.

    References
    ----------
    .. [1] Pitching practice. Provenance: common-practice.

    Examples
    --------
    >>> float(living_cells(11.5, cells_per_unit=8e9, viability=0.8)) / 1e9
    73.6
    """
    amount = within(amount, 0.0, 1e9, what="amount")
    cells_per_unit = within(cells_per_unit, 0.0, 1e12, what="cells per unit")
    viability = within(viability, 0.0, 1.0, what="viability")
    result: Array = amount * cells_per_unit * viability
    return result


def viability_after(days: ArrayLike, *, start_viability: ArrayLike, loss_1_day: ArrayLike) -> Array:
    """Return the share of a kept slurry still alive.

    Parameters
    ----------
    days : array_like of float, any shape
        Days in the cold [d]; 0 to 3,650.
    start_viability : array_like of float, broadcastable
        Share alive at the crop [1]; 0 to 1, near 0.95.
    loss_1_day : array_like of float, broadcastable
        Death rate [1/d]; 0 to 10, 0.010 to 0.025 at 2 to 4 °C.

    Returns
    -------
    ndarray of float64, broadcast shape
        Share alive [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    v0 exp(-k d).

    References
    ----------
    .. [1] Pitching practice, weak. Provenance: common-practice.

    Examples
    --------
    >>> float(viability_after(14.0, start_viability=0.95, loss_1_day=0.015).round(2))
    0.77
    """
    days = within(days, 0.0, 3650.0, what="days")
    start_viability = within(start_viability, 0.0, 1.0, what="start viability")
    loss_1_day = within(loss_1_day, 0.0, 10.0, what="loss [1/d]")
    result: Array = start_viability * np.exp(-loss_1_day * days)
    return result


def cells_grown(
    extract_fermented_g: ArrayLike, start_cells: ArrayLike, *, doublings: ArrayLike, cells_per_g: ArrayLike
) -> Array:
    """Return the new cells that a starter or a fermentation grows.

    Parameters
    ----------
    extract_fermented_g : array_like of float, any shape
        Extract fermented [g]; 0 or more.
    start_cells : array_like of float, broadcastable
        Living cells pitched [1]; 0 or more.
    doublings : array_like of float, broadcastable
        Doublings that the sterols allow [1]; 0 to 30, 3 to 5, more with air.
    cells_per_g : array_like of float, broadcastable
        Cells for each gram of extract [1/g]; 0 or more, 1.4e9 with a spread of 0.4e9.

    Returns
    -------
    ndarray of float64, broadcast shape
        New cells [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    The lesser of Y E and N0 (2^d - 1). Never better than within 30 %.

    References
    ----------
    .. [1] Growth of brewing yeast. Provenance: ours.

    Examples
    --------
    >>> float(cells_grown(100.0, 50e9, doublings=3.0, cells_per_g=1.4e9)) / 1e9
    140.0
    """
    extract_fermented_g = within(extract_fermented_g, 0.0, 1e9, what="extract fermented [g]")
    start_cells = within(start_cells, 0.0, 1e18, what="start cells")
    doublings = within(doublings, 0.0, 30.0, what="doublings")
    cells_per_g = within(cells_per_g, 0.0, 1e11, what="cells per [g]")
    result: Array = np.minimum(cells_per_g * extract_fermented_g, start_cells * np.expm1(doublings * np.log(2.0)))
    return result


def yeast_dry_matter_g(extract_fermented_g: ArrayLike) -> Array:
    """Return the yeast dry matter that Balling's equation makes of extract.

    Parameters
    ----------
    extract_fermented_g : array_like of float, any shape
        Extract fermented [g]; 0 or more.

    Returns
    -------
    ndarray of float64, same shape
        Yeast dry matter [g].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    0.11/2.0665 of the extract: an upper bound on growth.

    References
    ----------
    .. [1] Balling, 1843-65, via Nielsen et al., Scandinavian School of Brewing. Provenance:
       retrieved.

    Examples
    --------
    >>> float(yeast_dry_matter_g(1000.0).round(2))
    53.23
    """
    extract_fermented_g = within(extract_fermented_g, 0.0, 1e12, what="extract fermented [g]")
    result: Array = YEAST_PER_ALCOHOL / EXTRACT_PER_ALCOHOL * extract_fermented_g
    return result


def cells_in_dry_matter(dry_matter_g: ArrayLike, *, cell_pg: ArrayLike) -> Array:
    """Return the cells in a mass of yeast dry matter.

    Parameters
    ----------
    dry_matter_g : array_like of float, any shape
        Yeast dry matter [g]; 0 or more.
    cell_pg : array_like of float, broadcastable
        Dry matter of one cell [pg]; 1 to 1,000, 25 to 40.

    Returns
    -------
    ndarray of float64, broadcast shape
        Cells [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Division.

    References
    ----------
    .. [1] Definition. Provenance: ours.

    Examples
    --------
    >>> float(cells_in_dry_matter(0.05323, cell_pg=25.0)) / 1e9
    2.1292
    """
    dry_matter_g = within(dry_matter_g, 0.0, 1e12, what="dry matter [g]")
    cell_pg = within(cell_pg, 1.0, 1000.0, what="dry matter of a cell [pg]")
    result: Array = dry_matter_g / (cell_pg * 1e-12)
    return result
