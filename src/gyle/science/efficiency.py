"""The five efficiencies from grist to fermenter, each with one exact meaning."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = ["Efficiencies", "efficiencies"]

Array = NDArray[np.float64]


class Efficiencies(NamedTuple):
    """Efficiencies of one gyle; conversion times lauter is mash, mash times kettle is brewhouse.

    Parameters
    ----------
    conversion : ndarray of float64
        Extract dissolved over potential [fraction].
    lauter : ndarray of float64
        Extract of the mash in the full kettle over extract dissolved [fraction].
    mash : ndarray of float64
        Extract of the mash in the full kettle over potential [fraction].
    kettle : ndarray of float64
        Extract in the fermenter over extract in the kettle after additions [fraction].
    brewhouse : ndarray of float64
        Extract of the mash in the fermenter over potential [fraction].

    Examples
    --------
    >>> Efficiencies._fields
    ('conversion', 'lauter', 'mash', 'kettle', 'brewhouse')
    """

    conversion: Array
    lauter: Array
    mash: Array
    kettle: Array
    brewhouse: Array


def efficiencies(
    potential_kg: ArrayLike,
    dissolved_kg: ArrayLike,
    *,
    kettle_kg: ArrayLike,
    late_sugar_kg: ArrayLike,
    fermenter_kg: ArrayLike,
) -> Efficiencies:
    """Give every efficiency of a brewhouse from masses of extract.

    Parameters
    ----------
    potential_kg : array_like of float, any shape
        Fine-grind extract of the mashed grist alone; above 0 [kg].
    dissolved_kg : array_like of float, broadcasting
        Extract dissolved in the mash; above 0 [kg].
    kettle_kg : array_like of float, broadcasting
        Extract from the mash in the full kettle; above 0 [kg].
    late_sugar_kg : array_like of float, broadcasting
        Extract added to the kettle as sugar or malt extract [kg].
    fermenter_kg : array_like of float, broadcasting
        Extract in the fermenter, cold, before yeast [kg].

    Returns
    -------
    Efficiencies
        Conversion, lauter, mash, kettle and brewhouse efficiency [fraction].

    Raises
    ------
    OutOfRange
        If a mass is not a number or outside its range.

    Notes
    -----
    Late sugar is left out of the brewhouse figure: of the extract in the fermenter the mash is
    given its proportion of the kettle's. A yield over the mass of malt is another quantity.

    References
    ----------
    .. [1] Definitions. Provenance: ours.

    Examples
    --------
    >>> made = efficiencies(7.688, 7.303, kettle_kg=6.462, late_sugar_kg=0.0, fermenter_kg=5.760)
    >>> float(made.mash.round(4)), float(made.brewhouse.round(4))
    (0.8405, 0.7492)
    """
    potential = within(potential_kg, 1e-9, 1e7, what="potential extract [kg]")
    dissolved = within(dissolved_kg, 1e-9, 1e7, what="dissolved extract [kg]")
    kettle = within(kettle_kg, 1e-9, 1e7, what="extract in the kettle [kg]")
    sugar = within(late_sugar_kg, 0.0, 1e7, what="late sugar [kg]")
    fermenter = within(fermenter_kg, 0.0, 1e7, what="extract in the fermenter [kg]")
    transfer = fermenter / (kettle + sugar)
    mash = kettle / potential
    return Efficiencies(
        conversion=dissolved / potential,
        lauter=kettle / dissolved,
        mash=mash,
        kettle=transfer,
        brewhouse=mash * transfer,
    )
