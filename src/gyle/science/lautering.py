"""The mash as masses, and the wort that the grain bed holds back."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = [
    "EXTRACT_SWELLING_L_KG",
    "HYDROLYSIS_WATER_KG_KG",
    "MashMasses",
    "extract_as_is",
    "first_wort_extract_pct",
    "grain_volume_L",
    "mash_masses",
    "retained_L",
    "retention_of_trade_absorption_L_kg",
    "trade_absorption_L_kg",
]

Array = NDArray[np.float64]

HYDROLYSIS_WATER_KG_KG = 0.032
"""Water that starch takes up as it becomes extract [kg/kg extract]; spread 0.005. Provenance: ours."""

EXTRACT_SWELLING_L_KG = 0.65
"""Litres of cold wort that a kilogram of malt extract adds, with the malt's own moisture [L/kg]."""

HUSK_KG_L = 1.45


class MashMasses(NamedTuple):
    """Masses in a mash once conversion is over.

    Parameters
    ----------
    extract_kg : ndarray of float64
        Extract dissolved in the wort [kg].
    water_kg : ndarray of float64
        Water in the wort [kg].
    insoluble_kg : ndarray of float64
        Dry matter that stays solid: husk, protein and unconverted starch [kg].

    Examples
    --------
    >>> MashMasses(extract_kg=0.75, water_kg=3.0, insoluble_kg=0.23).insoluble_kg
    0.23
    """

    extract_kg: Array
    water_kg: Array
    insoluble_kg: Array


def extract_as_is(potential_db: ArrayLike, moisture: ArrayLike) -> Array:
    """Turn a laboratory extract on dry basis into extract of the malt as weighed.

    Parameters
    ----------
    potential_db : array_like of float, any shape
        Fine-grind extract on dry basis [kg/kg dry matter]; 0 to 1.06.
    moisture : array_like of float, broadcasting
        Water in the malt [kg/kg as is]; 0 to 0.5.

    Returns
    -------
    ndarray of float64, broadcast shape
        Extract as is [kg/kg].

    Raises
    ------
    OutOfRange
        If a potential or a moisture is not a number or outside its range.

    Notes
    -----
    e (1 - m). The extract of a laboratory mash holds the water its starch took up.

    References
    ----------
    .. [1] Definition of extract on dry basis. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(extract_as_is(0.805, 0.045).round(4))
    0.7688
    """
    potential = within(potential_db, 0.0, 1.06, what="extract on dry basis [kg/kg]")
    return np.asarray(potential * (1.0 - within(moisture, 0.0, 0.5, what="malt moisture [kg/kg]")))


def mash_masses(
    grist_kg: ArrayLike,
    liquor_kg: ArrayLike,
    *,
    moisture: ArrayLike,
    potential_db: ArrayLike,
    conversion: ArrayLike,
    hydrolysis_water_kg_kg: ArrayLike,
    extract_in_kg: ArrayLike,
) -> MashMasses:
    """Give the masses of extract, water and solids after conversion.

    Parameters
    ----------
    grist_kg : array_like of float, any shape
        Grist as is [kg].
    liquor_kg : array_like of float, broadcasting
        Water in the liquor, or in the first wort that takes its place [kg].
    moisture : array_like of float, broadcasting
        Water in the grist [kg/kg as is]; 0 to 0.5.
    potential_db : array_like of float, broadcasting
        Fine-grind extract on dry basis [kg/kg dry matter]; 0 to 1.
    conversion : array_like of float, broadcasting
        Conversion efficiency [fraction]; 0 to 1.
    hydrolysis_water_kg_kg : array_like of float, broadcasting
        Water bound as starch becomes extract [kg/kg extract]; 0 to 0.12.
    extract_in_kg : array_like of float, broadcasting
        Extract that came with the liquor, 0 for water [kg].

    Returns
    -------
    MashMasses
        Extract, water and insoluble dry matter [kg]; their sum is what went in.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    E = m (1 - w) e eta; water = liquor + m w - 0.032 E; insoluble = m (1 - w) - 0.968 E.

    References
    ----------
    .. [1] Mass balance; hydrolysis 0.032 from a usual sugar spectrum. Provenance: computed-with-numpy.

    Examples
    --------
    >>> mash = mash_masses(1.0, 2.9946, moisture=0.045, potential_db=0.805, conversion=0.97,
    ...     hydrolysis_water_kg_kg=0.032, extract_in_kg=0.0)
    >>> float(mash.extract_kg.round(4)), float(mash.insoluble_kg.round(4))
    (0.7457, 0.2332)
    """
    grist = within(grist_kg, 0.0, 1e6, what="grist [kg]")
    liquor = within(liquor_kg, 0.0, 1e7, what="liquor [kg]")
    water_in_malt = grist * within(moisture, 0.0, 0.5, what="malt moisture [kg/kg]")
    potential = within(potential_db, 0.0, 1.0, what="extract on dry basis [kg/kg]")
    converted = within(conversion, 0.0, 1.0, what="conversion efficiency")
    bound = within(hydrolysis_water_kg_kg, 0.0, 0.12, what="hydrolysis water [kg/kg extract]")
    dry = grist - water_in_malt
    dissolved = dry * potential * converted
    return MashMasses(
        extract_kg=within(extract_in_kg, 0.0, 1e7, what="extract in the liquor [kg]") + dissolved,
        water_kg=liquor + water_in_malt - bound * dissolved,
        insoluble_kg=dry - (1.0 - bound) * dissolved,
    )


def first_wort_extract_pct(extract_kg: ArrayLike, water_kg: ArrayLike) -> Array:
    """Give the strength of a wort from its masses.

    Parameters
    ----------
    extract_kg : array_like of float, any shape
        Extract [kg]; 0 or more.
    water_kg : array_like of float, broadcasting
        Water [kg]; 0 or more, not both 0.

    Returns
    -------
    ndarray of float64, broadcast shape
        Extract [% by mass, °P].

    Raises
    ------
    OutOfRange
        If a mass is not a number or negative, or there is no wort.

    Notes
    -----
    100 X / (X + W). With the masses of a whole mash it is the first wort.

    References
    ----------
    .. [1] Definition of degrees Plato. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(first_wort_extract_pct(12.0, 88.0))
    12.0
    """
    extract = within(extract_kg, 0.0, 1e7, what="extract [kg]")
    total = within(extract + within(water_kg, 0.0, 1e7, what="water [kg]"), 1e-12, 2e7, what="wort [kg]")
    return np.asarray(100.0 * extract / total)


def grain_volume_L(insoluble_kg: ArrayLike, extract_kg: ArrayLike) -> Array:
    """Give the volume that a converted grist adds to its liquor.

    Parameters
    ----------
    insoluble_kg : array_like of float, any shape
        Dry matter that stays solid [kg].
    extract_kg : array_like of float, broadcasting
        Extract that this grist has dissolved [kg].

    Returns
    -------
    ndarray of float64, broadcast shape
        Added volume at 20 °C [L]: about 0.64 for a kilogram of malt.

    Raises
    ------
    OutOfRange
        If a mass is not a number or negative.

    Notes
    -----
    Solids at 1.45 kg/L, extract at 0.65 L/kg. Just wetted, a grist takes 0.70 L/kg.

    References
    ----------
    .. [1] Sum of volumes; density of husk and starch by trade experience. Provenance: common-practice.

    Examples
    --------
    >>> float(grain_volume_L(0.2332, 0.7457).round(2))
    0.65
    """
    solids = within(insoluble_kg, 0.0, 1e6, what="insoluble matter [kg]") / HUSK_KG_L
    return np.asarray(solids + EXTRACT_SWELLING_L_KG * within(extract_kg, 0.0, 1e6, what="extract [kg]"))


def retained_L(grist_kg: ArrayLike, retention_L_kg: ArrayLike, *, dead_space_L: ArrayLike) -> Array:
    """Give the wort that stays behind when a bed has drained.

    Parameters
    ----------
    grist_kg : array_like of float, any shape
        Grist as is [kg].
    retention_L_kg : array_like of float, broadcasting
        Litres of wort held by a kilogram of grist as is, cold volume [L/kg]; 0 to 5.
    dead_space_L : array_like of float, broadcasting
        Wort left below a false bottom or in the pipe [L].

    Returns
    -------
    ndarray of float64, broadcast shape
        Wort held back, at its own strength [L].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    Retention is wort held, not the trade's water absorbed; see `trade_absorption_L_kg`.

    References
    ----------
    .. [1] Definition. Provenance: ours.

    Examples
    --------
    >>> float(retained_L(6.0, 1.25, dead_space_L=0.0))
    7.5
    """
    grist = within(grist_kg, 0.0, 1e6, what="grist [kg]")
    retention = within(retention_L_kg, 0.0, 5.0, what="retention [L/kg]")
    return np.asarray(grist * retention + within(dead_space_L, 0.0, 1e5, what="dead space [L]"))


def trade_absorption_L_kg(retention_L_kg: ArrayLike, extract_kg_kg: ArrayLike, *, hot_reading_L_kg: ArrayLike) -> Array:
    """Give the trade's water absorption from the wort a bed retains.

    Parameters
    ----------
    retention_L_kg : array_like of float, any shape
        Wort held by a kilogram of grist, cold volume [L/kg]; 0 to 5.
    extract_kg_kg : array_like of float, broadcasting
        Extract dissolved from a kilogram of grist [kg/kg]; 0 to 1.
    hot_reading_L_kg : array_like of float, broadcasting
        Litres by which a hot run-off reads larger, for a kilogram of grist; 0 for a cold
        reading, about 0.08 at 70 °C and 0.18 at the boil [L/kg].

    Returns
    -------
    ndarray of float64, broadcast shape
        Water in less wort out, for a kilogram of grist as is [L/kg].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    Dissolving extract swells the wort, so absorption is smaller: A = retention - 0.65 E / m.

    References
    ----------
    .. [1] Mass balance of the lauter. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(trade_absorption_L_kg(1.25, 0.7457, hot_reading_L_kg=0.0).round(2))
    0.77
    """
    retention = within(retention_L_kg, 0.0, 5.0, what="retention [L/kg]")
    return np.asarray(retention - _absorption_gap(extract_kg_kg, hot_reading_L_kg))


def retention_of_trade_absorption_L_kg(
    absorption_L_kg: ArrayLike, extract_kg_kg: ArrayLike, *, hot_reading_L_kg: ArrayLike
) -> Array:
    """Give the wort a bed retains from the trade's water absorption.

    Parameters
    ----------
    absorption_L_kg : array_like of float, any shape
        Water in less wort out, for a kilogram of grist as is [L/kg]; -1 to 5.
    extract_kg_kg : array_like of float, broadcasting
        Extract dissolved from a kilogram of grist [kg/kg]; 0 to 1.
    hot_reading_L_kg : array_like of float, broadcasting
        Litres by which the run-off, read hot, was larger than cold; 0 if read cold [L/kg].

    Returns
    -------
    ndarray of float64, broadcast shape
        Retention [L/kg].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    The inverse of `trade_absorption_L_kg`.

    References
    ----------
    .. [1] Mass balance of the lauter. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(retention_of_trade_absorption_L_kg(0.77, 0.7457, hot_reading_L_kg=0.0).round(2))
    1.25
    """
    absorption = within(absorption_L_kg, -1.0, 5.0, what="absorption [L/kg]")
    return np.asarray(absorption + _absorption_gap(extract_kg_kg, hot_reading_L_kg))


def _absorption_gap(extract_kg_kg: ArrayLike, hot_reading_L_kg: ArrayLike) -> Array:
    extract = within(extract_kg_kg, 0.0, 1.0, what="extract of the grist [kg/kg]")
    hot = within(hot_reading_L_kg, 0.0, 1.0, what="hot reading [L/kg]")
    return np.asarray(EXTRACT_SWELLING_L_KG * extract + hot)
