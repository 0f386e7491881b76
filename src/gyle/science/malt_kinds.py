"""Acidity of the kinds of malt: the pH of each in distilled water and its buffering, with spreads.

Priors, not measurements of a lot: means after the literature, rounded; spreads, which stand for what
differs between lots and makers of a kind, are our own judgement.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.errors import OutOfRange
from gyle.science.ranges import within

__all__ = ["MALT_KINDS", "MaltKind", "crystal_malt_ph", "malt_buffering_mEq_kg", "malt_ph"]

Array = NDArray[np.float64]


class MaltKind(NamedTuple):
    """Prior of a kind of malt.

    Parameters
    ----------
    colour_low_EBC, colour_high_EBC : float
        Colours the kind comes in [EBC].
    ph, ph_sd : float
        Mean and standard deviation of the pH of a mash in distilled water.
    buffering_mEq_kg, buffering_sd : float
        Mean and standard deviation of the buffering [mEq/(kg pH)].

    Examples
    --------
    >>> MALT_KINDS["wheat malt"].ph
    6.0
    """

    colour_low_EBC: float
    colour_high_EBC: float
    ph: float
    ph_sd: float
    buffering_mEq_kg: float
    buffering_sd: float


# Means after Troester (2009) and deLange (MBAA Tech. Quarterly 52(1), 2015), from memory; spreads ours.
MALT_KINDS = {
    "pilsner malt": MaltKind(3, 4, 5.75, 0.08, 45, 7),
    "pale ale malt": MaltKind(5, 7, 5.68, 0.09, 45, 7),
    "vienna malt": MaltKind(7, 10, 5.60, 0.08, 45, 7),
    "light munich malt": MaltKind(12, 18, 5.50, 0.09, 45, 7),
    "dark munich malt": MaltKind(20, 30, 5.42, 0.10, 45, 7),
    "wheat malt": MaltKind(3, 5, 6.00, 0.08, 42, 7),
    "rye malt": MaltKind(4, 8, 6.00, 0.10, 42, 8),
    "flaked oats, barley or wheat": MaltKind(2, 4, 5.9, 0.15, 30, 10),
    "flaked rice or maize": MaltKind(0, 2, 6.0, 0.3, 10, 5),
    "light crystal malt": MaltKind(20, 50, 5.20, 0.15, 50, 10),
    "medium crystal malt": MaltKind(100, 160, 4.85, 0.17, 52, 12),
    "dark crystal malt": MaltKind(250, 400, 4.55, 0.15, 56, 12),
    "dextrin malt": MaltKind(3, 6, 5.6, 0.15, 45, 8),
    "amber, brown or biscuit malt": MaltKind(50, 150, 5.1, 0.2, 45, 10),
    "roasted malt or barley": MaltKind(800, 1500, 4.65, 0.12, 45, 13),
    "acidulated malt": MaltKind(3, 7, 3.45, 0.15, 155, 20),
    "sugar": MaltKind(0, 400, 7.0, 0.0, 0.0, 0.0),  # no buffering: its pH does not matter
}
CRYSTAL_COLOUR_EBC = (25.0, 130.0, 320.0)
CRYSTAL_PH = (5.20, 4.85, 4.55)


def _kind(name: str) -> MaltKind:
    if name not in MALT_KINDS:
        raise OutOfRange(f"{name!r} is not a kind of malt that is known here; these are: {', '.join(MALT_KINDS)}")
    return MALT_KINDS[name]


def malt_ph(kind: str) -> Array:
    """Give the mean pH of a kind of malt in distilled water.

    Parameters
    ----------
    kind : str
        Name in `MALT_KINDS`.

    Returns
    -------
    ndarray of float64, scalar
        Mean pH of a mash at about 4 L/kg and 65 °C, read cool.

    Raises
    ------
    OutOfRange
        If the kind is unknown.

    Notes
    -----
    A maltster's congress wort reads 0.1 to 0.2 higher; between lots its differences hold.

    References
    ----------
    .. [1] Troester, The effect of brewing water and grist composition on the pH of the mash, 2009.
       Provenance: memory.
    .. [2] deLange, MBAA Tech. Quarterly 52(1), 2015. Provenance: memory.

    Examples
    --------
    >>> float(malt_ph("pale ale malt"))
    5.68
    """
    return np.asarray(_kind(kind).ph, dtype=np.float64)


def malt_buffering_mEq_kg(kind: str) -> Array:
    """Give the mean buffering of a kind of malt.

    Parameters
    ----------
    kind : str
        Name in `MALT_KINDS`.

    Returns
    -------
    ndarray of float64, scalar
        Acid that lowers the pH of a kilogram by one [mEq/(kg pH)].

    Raises
    ------
    OutOfRange
        If the kind is unknown.

    Notes
    -----
    Sources disagree for roasted malt: about 42 in one, above 70 in another.

    References
    ----------
    .. [1] Troester, The effect of brewing water and grist composition on the pH of the mash, 2009.
       Provenance: memory.
    .. [2] deLange, MBAA Tech. Quarterly 52(1), 2015. Provenance: memory.

    Examples
    --------
    >>> float(malt_buffering_mEq_kg("acidulated malt"))
    155.0
    """
    return np.asarray(_kind(kind).buffering_mEq_kg, dtype=np.float64)


def crystal_malt_ph(colour_EBC: ArrayLike) -> Array:
    """Give the mean pH of crystal malt in distilled water from its colour.

    Parameters
    ----------
    colour_EBC : array_like of float, any shape
        Colour of the malt [EBC]; 0 to 1000.

    Returns
    -------
    ndarray of float64, same shape
        Mean pH; constant below 25 and above 320 EBC.

    Raises
    ------
    OutOfRange
        If a colour is not a number in the range.

    Notes
    -----
    Straight lines between 25, 130 and 320 EBC. Colour tells acidity within a kind only: roasted malt
    is darker and less acid than its colour would have it.

    References
    ----------
    .. [1] Hansen and Geurts, MBAA Tech. Quarterly, 2015, on colour within a kind. Provenance: memory.
    .. [2] Three points after Troester, 2009, and lines between them. Provenance: ours.

    Examples
    --------
    >>> crystal_malt_ph([25.0, 77.5, 320.0]).round(3)
    array([5.2  , 5.025, 4.55 ])
    """
    return np.asarray(
        np.interp(within(colour_EBC, 0.0, 1000.0, what="malt colour [EBC]"), CRYSTAL_COLOUR_EBC, CRYSTAL_PH)
    )
