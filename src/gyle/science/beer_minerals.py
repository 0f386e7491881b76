"""Minerals of the wort that are not the liquor's: what malt brings, and the calcium that is left behind.

Other ions of the liquor and of salts pass through mash and boil; their amounts simply add to the malt's.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.errors import OutOfRange
from gyle.science.ranges import within

__all__ = ["MALT_MINERALS", "MaltMineral", "calcium_left_mEq_L", "malt_mineral_mg_L"]

Array = NDArray[np.float64]


class MaltMineral(NamedTuple):
    """Prior of a mineral that malt gives to the wort.

    Parameters
    ----------
    per_extract_mg_g : float
        Median for each gram of malt extract [mg/g].
    log_sd : float
        Standard deviation of its natural logarithm between lots.

    Examples
    --------
    >>> MALT_MINERALS["potassium"].per_extract_mg_g
    3.7
    """

    per_extract_mg_g: float
    log_sd: float


# Medians after the analysis of an all-malt wort of 10 °P from distilled water in Briggs, Boulton, Brookes and
# Stevens, Brewing: Science and Practice, 2004, from memory (mg/L: Na 10, K 380, Ca 35, Mg 70, Zn 0.17, Cl 125,
# SO4 5, free PO4 550; over 103.8 g/L), calcium a little lower after other worts; spreads ours.
MALT_MINERALS = {
    "calcium": MaltMineral(0.30, 0.35),
    "magnesium": MaltMineral(0.68, 0.15),
    "sodium": MaltMineral(0.10, 0.5),
    "potassium": MaltMineral(3.7, 0.15),
    "zinc": MaltMineral(0.0016, 0.4),
    "chloride": MaltMineral(1.2, 0.25),
    "sulfate": MaltMineral(0.05, 0.8),  # malt that has been dried over sulfur brings more
    "phosphate": MaltMineral(5.3, 0.25),  # free, as PO4; half as much again is bound
}


def malt_mineral_mg_L(mineral: str, malt_extract_g_L: ArrayLike, *, lot_factor: ArrayLike) -> Array:
    """Give what malt brings of a mineral to a wort.

    Parameters
    ----------
    mineral : str
        Name in `MALT_MINERALS`.
    malt_extract_g_L : array_like of float, any shape
        Extract of malt in the wort, sugars not counted [g/L]; 0 to 2000.
    lot_factor : array_like of float, broadcasting
        Content of this malt over the usual; 0 to 1000. The median is 1, with the logarithmic standard
        deviation of the mineral.

    Returns
    -------
    ndarray of float64, broadcast shape
        Mineral from malt [mg/L] of wort, zinc before trub and yeast take most of it; of beer nearly the same
        but for phosphate, of which yeast takes some.

    Raises
    ------
    OutOfRange
        If the mineral is unknown, or a value is not a number or outside its range.

    Notes
    -----
    Extract times the table's content. All grains and colours of malt count alike, which is part of the
    spread; sugars, and starch from rice or maize, bring next to nothing.

    References
    ----------
    .. [1] Briggs, Boulton, Brookes and Stevens, Brewing: Science and Practice, 2004 (wort from distilled water).
       Provenance: memory.
    .. [2] Spreads. Provenance: ours.

    Examples
    --------
    >>> malt_mineral_mg_L("chloride", [104.0, 126.0], lot_factor=1.0).round(0)
    array([125., 151.])
    """
    if mineral not in MALT_MINERALS:
        raise OutOfRange(
            f"{mineral!r} is not a mineral of malt that is known here; these are: {', '.join(MALT_MINERALS)}"
        )
    extract = within(malt_extract_g_L, 0.0, 2000.0, what="extract of malt [g/L]")
    factor = within(lot_factor, 0.0, 1000.0, what="content over the usual")
    return np.asarray(MALT_MINERALS[mineral].per_extract_mg_g * extract * factor)


def calcium_left_mEq_L(calcium_mEq_L: ArrayLike, acid_freed_mEq_L: ArrayLike, *, acid_per_calcium: ArrayLike) -> Array:
    """Give how much of the liquor's calcium stays in solution when it has freed acid.

    Parameters
    ----------
    calcium_mEq_L : array_like of float, any shape
        Calcium of the liquor with its salts [mEq/L]; 0 to 1000.
    acid_freed_mEq_L : array_like of float, broadcasting
        Acid that this calcium, without magnesium, has freed up to cast-out, from
        `gyle.science.malt_acidity.hardness_acid_mEq_L` [mEq/L]; 0 to 1000.
    acid_per_calcium : array_like of float, broadcasting
        Acid freed by each equivalent that precipitates [mEq/mEq]; 0.1 to 10. About 0.67, standard deviation
        0.15, not below 0.33.

    Returns
    -------
    ndarray of float64, broadcast shape
        Calcium left [mEq/L], 0 or more. What malt brings is to be added: it was measured after its own loss.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    Ca - freed / acid_per_calcium. The ratio is 4/6 for tricalcium phosphate, 7/10 for hydroxyapatite and 1/2
    for the hydrogen phosphate, all out of dihydrogen phosphate. With Kolbach's 1/3.5 it leaves 57 % of the
    calcium; with both spreads (0.06 and 0.15) the 80 % band is 36 to 71 %. That phosphate is the cause is not
    proved [2]_; oxalate and the spent grains take calcium too.

    References
    ----------
    .. [1] Kolbach, Monatsschr. Brauerei 6, 49, 1953. Provenance: memory.
    .. [2] Lewis and Wahnon, J. Am. Soc. Brew. Chem. 42, 159, 1984. Provenance: retrieved (abstract).
    .. [3] Loss tied to acid by stoichiometry, and its spread. Provenance: ours.

    Examples
    --------
    >>> calcium_left_mEq_L([2.0, 5.0], [0.571, 1.429], acid_per_calcium=0.67).round(2)
    array([1.15, 2.87])
    """
    calcium = within(calcium_mEq_L, 0.0, 1000.0, what="calcium [mEq/L]")
    freed = within(acid_freed_mEq_L, 0.0, 1000.0, what="acid freed by calcium [mEq/L]")
    ratio = within(acid_per_calcium, 0.1, 10.0, what="acid freed by precipitated calcium [mEq/mEq]")
    return np.asarray(np.maximum(calcium - freed / ratio, 0.0))
