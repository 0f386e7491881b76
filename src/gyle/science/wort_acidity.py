"""How pH goes on falling after the mash: in the boil, by calcium, and by yeast.

Mixing of runnings, acid and alkaline water needs nothing new: a wort stands in
`gyle.science.malt_acidity.mash_ph` as one more malt, with its extract as mass. pH is that of a cooled sample.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = ["beer_ph", "boil_ph_fall", "calcium_ph_fall", "wort_buffering_mEq"]

Array = NDArray[np.float64]


def wort_buffering_mEq(extract_kg: ArrayLike, *, per_extract_mEq_kg: ArrayLike) -> Array:
    """Give the acid that lowers the pH of a wort by one.

    Parameters
    ----------
    extract_kg : array_like of float, any shape
        Extract of malt dissolved in the wort, sugars not counted [kg]; 0 to 1e6.
    per_extract_mEq_kg : array_like of float, broadcasting
        Buffering of a kilogram of it [mEq/(kg pH)]; 0 to 5000. About 60, standard deviation 18.

    Returns
    -------
    ndarray of float64, broadcast shape
        Buffering of the whole wort [mEq/pH]. At 60 a wort of 12 % has 7.5 in each litre.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    Extract times its buffering, near pH 5; more above it. Sources are twofold apart: the rule for acidifying
    wort [1]_ comes to 42, while Kolbach's shift of cast-out wort [2]_, if all of the liquor's alkalinity
    reaches the kettle, comes to 90 or more. The centre lies between them.

    References
    ----------
    .. [1] Narziss and Back, Die Bierbrauerei 2: 30 g of lactic acid for 100 kg of malt and 0.1 of pH.
       Provenance: memory.
    .. [2] Kolbach, Monatsschr. Brauerei 6, 49, 1953. Provenance: memory.
    .. [3] Centre and spread. Provenance: ours.

    Examples
    --------
    >>> wort_buffering_mEq([3.0, 6.0], per_extract_mEq_kg=60.0)
    array([180., 360.])
    """
    extract = within(extract_kg, 0.0, 1e6, what="extract [kg]")
    return np.asarray(extract * within(per_extract_mEq_kg, 0.0, 5000.0, what="buffering of extract [mEq/(kg pH)]"))


def boil_ph_fall(minutes: ArrayLike, *, fall: ArrayLike, time_constant_min: ArrayLike) -> Array:
    """Give how much the pH of a wort falls in the boil, apart from calcium of the liquor.

    Parameters
    ----------
    minutes : array_like of float, any shape
        Time at the boil [min]; 0 to 1e5.
    fall : array_like of float, broadcasting
        Fall of pH that a very long boil comes to; 0 to 3. About 0.25 (standard deviation 0.07) where
        `calcium_ph_fall` is added.
    time_constant_min : array_like of float, broadcasting
        Time in which 63 % of it happens [min]; 0.001 to 1e5. About 60, times or over 1.4.

    Returns
    -------
    ndarray of float64, broadcast shape
        Fall of pH, 0 or more.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    fall (1 - exp(-t / tau)). Sources give two points, about 0.3 for a long boil [1]_ and 0.1 to 0.25 for
    a modern short one; the form between them and the part left to calcium are ours. Hop acids and the
    browning reactions are in it, acid added to the kettle is not.

    References
    ----------
    .. [1] MacWilliam, J. Inst. Brew. 81, 65, 1975. Provenance: retrieved (abstract).
    .. [2] Short boils. Provenance: common-practice.
    .. [3] Form, centres and spreads. Provenance: ours.

    Examples
    --------
    >>> boil_ph_fall([0.0, 60.0, 120.0], fall=0.25, time_constant_min=60.0).round(2)
    array([0.  , 0.16, 0.22])
    """
    time = within(minutes, 0.0, 1e5, what="time at the boil [min]")
    most = within(fall, 0.0, 3.0, what="fall of pH in the boil")
    return np.asarray(-most * np.expm1(-time / within(time_constant_min, 0.001, 1e5, what="time constant [min]")))


def calcium_ph_fall(calcium_mEq: ArrayLike, *, release: ArrayLike, buffering_mEq: ArrayLike) -> Array:
    """Give how much calcium lowers the pH of a wort after the mash.

    Parameters
    ----------
    calcium_mEq : array_like of float, any shape
        Calcium of the liquor and its salts in the whole wort [mEq]; 0 to 1e9. What lies above the ceiling of
        `gyle.science.malt_acidity.hardness_acid_mEq_L` is to be left out.
    release : array_like of float, broadcasting
        Acid freed from here on by each equivalent [mEq/mEq]; 0 to 1. For calcium that has been in the mash
        the cast-out value less the mash's, 1/3.5 - 0.20 = 0.086 (standard deviation 0.05, not below 0);
        for salts given to the kettle 1/3.5 (0.06). Magnesium does half of it.
    buffering_mEq : array_like of float, broadcasting
        Buffering of the whole wort, from `wort_buffering_mEq` [mEq/pH]; 1e-6 to 1e12.

    Returns
    -------
    ndarray of float64, broadcast shape
        Fall of pH, 0 or more.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    release Ca / buffering: a straight line, good for falls up to about 0.3. Falls of several kinds of
    calcium add.

    References
    ----------
    .. [1] Kolbach, Monatsschr. Brauerei 6, 49, 1953 (cast-out wort). Provenance: memory.
    .. [2] Lewis and Wahnon, J. Am. Soc. Brew. Chem. 42, 159, 1984. Provenance: retrieved (abstract).
    .. [3] Value of the mash and spreads. Provenance: ours.

    Examples
    --------
    >>> calcium_ph_fall(100.0, release=[0.086, 0.286], buffering_mEq=180.0).round(2)
    array([0.05, 0.16])
    """
    calcium = within(calcium_mEq, 0.0, 1e9, what="calcium [mEq]")
    freed = calcium * within(release, 0.0, 1.0, what="acid freed by calcium [mEq/mEq]")
    return np.asarray(freed / within(buffering_mEq, 1e-6, 1e12, what="buffering of the wort [mEq/pH]"))


def beer_ph(
    wort_ph: ArrayLike,
    *,
    fermented_extract_g_L: ArrayLike,
    malt_extract_g_L: ArrayLike,
    acidification: ArrayLike,
    floor_ph: ArrayLike,
) -> Array:
    """Give the pH of a beer from that of its wort, before dry hops.

    Parameters
    ----------
    wort_ph : array_like of float, any shape
        Value of pH of the pitched wort; 0 to 14.
    fermented_extract_g_L : array_like of float, broadcasting
        Extract that the yeast takes up, of malt and sugar, real and not apparent [g/L]; 0 to 2000.
    malt_extract_g_L : array_like of float, broadcasting
        Extract of the wort that buffers: that of malt and grain, without sugars [g/L]; 0 to 2000.
    acidification : array_like of float, broadcasting
        How strongly yeast pulls toward the floor, for equal amounts fermented and buffering; 0 to 100.
        Ale yeast about 1.1, lager yeast 0.95, times or over 1.13 (logarithmic standard deviation 0.12).
    floor_ph : array_like of float, broadcasting
        Value of pH to which yeast would bring a wort without any buffering; 0 to 14. About 3.4, standard
        deviation 0.15.

    Returns
    -------
    ndarray of float64, broadcast shape
        Value of pH of the beer, between floor and wort; that of the wort where it is below the floor.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    floor + (wort - floor) exp(-a F / M). Yeast gives off acid (organic acids, and protons for the ammonium
    and amino acids it takes) in proportion to what it ferments and to how far it still is above the floor,
    against the malt's buffering. So about half of a difference in wort pH is left in the beer, and sugar
    instead of malt lowers the pH. It is the end of a fermentation: pH falls earlier than extract does.
    Long rest on yeast raises it again by up to 0.2; sour cultures are another matter.
    Add `gyle.science.dry_hop.dry_hop_ph_rise` for dry hops. With these spreads and a wort known to 0.1 the
    standard deviation is 0.12.

    References
    ----------
    .. [1] Coote and Kirsop, Factors responsible for the decrease in pH during beer fermentations,
       J. Inst. Brew. 82, 149, 1976. Provenance: memory.
    .. [2] Taylor, The importance of pH control during brewing, MBAA Tech. Quarterly 27, 131, 1990. Provenance: memory.
    .. [3] Form, centres and spreads, set to reach 4.0 to 4.5 in ale, 4.2 to 4.6 in lager. Provenance: ours.

    Examples
    --------
    >>> beer_ph([5.0, 5.2, 5.4], fermented_extract_g_L=82.0, malt_extract_g_L=126.0, acidification=1.1,
    ...         floor_ph=3.4).round(2)
    array([4.18, 4.28, 4.38])
    """
    wort = within(wort_ph, 0.0, 14.0, what="pH of the wort")
    fermented = within(fermented_extract_g_L, 0.0, 2000.0, what="fermented extract [g/L]")
    malt = within(malt_extract_g_L, 0.0, 2000.0, what="extract of malt [g/L]")
    pull = within(acidification, 0.0, 100.0, what="acidification") * fermented
    floor = within(floor_ph, 0.0, 14.0, what="floor of pH")
    # Where nothing ferments nothing falls, whatever the buffering; 1e-9 g/L stands for a wort without malt.
    left = np.exp(-pull / np.maximum(malt, 1e-9))
    return np.asarray(np.minimum(wort, floor) + np.maximum(wort - floor, 0.0) * left)
