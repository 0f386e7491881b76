"""Strike heat, and the infusion or decoction that lifts a mash to its next rest."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.errors import OutOfRange
from gyle.science.heat import WATER_HEAT_CAPACITY_KJ_KGK
from gyle.science.ranges import within

__all__ = [
    "decoction_fraction",
    "infusion_kg",
    "strike_temperature_C",
    "strike_temperature_separate_tun_C",
]

Array = NDArray[np.float64]

COLDEST_C, HOTTEST_C = -5.0, 120.0


def _temperature(value: ArrayLike, what: str) -> Array:
    return within(value, COLDEST_C, HOTTEST_C, what=f"{what} temperature [°C]")


def strike_temperature_C(
    mash_temperature_C: ArrayLike,
    grist_kg: ArrayLike,
    *,
    grist_temperature_C: ArrayLike,
    grist_heat_capacity_kJ_kgK: ArrayLike,
    hydration_kJ_kg: ArrayLike,
    liquor_kJ_K: ArrayLike,
    vessel_kJ_K: ArrayLike,
    heat_loss_kJ: ArrayLike,
) -> Array:
    """Give the liquor temperature at mashing in when the vessel is as hot as the liquor.

    Parameters
    ----------
    mash_temperature_C : array_like of float, any shape
        Wanted temperature of the even mash [°C].
    grist_kg : array_like of float, broadcasting
        Grist as is [kg].
    grist_temperature_C : array_like of float, broadcasting
        Temperature of the grist before [°C].
    grist_heat_capacity_kJ_kgK : array_like of float, broadcasting
        Heat capacity of the grist [kJ/(kg K)].
    hydration_kJ_kg : array_like of float, broadcasting
        Heat set free by wetting, positive [kJ/kg grist].
    liquor_kJ_K : array_like of float, broadcasting
        Heat capacity of all the liquor, mass times 4.186; above 0. When a first wort takes the
        liquor's place, the sum of its mass times its own heat capacity [kJ/K].
    vessel_kJ_K : array_like of float, broadcasting
        Heat capacity of the vessel [kJ/K].
    heat_loss_kJ : array_like of float, broadcasting
        Heat lost between strike and even mash [kJ]; 100 to 250 for 20 L mashed in with the lid
        off and the element off, 0 only where the element holds meanwhile.

    Returns
    -------
    ndarray of float64, broadcast shape
        Strike temperature [°C]. It may come out above the boil: then the liquor is too little.

    Raises
    ------
    OutOfRange
        If a temperature is not a number or outside -5 to 120 °C, or the liquor's heat capacity
        is not above 0.

    Notes
    -----
    T_s = T_m + [m c (T_m - T_g) - m h + Q] / (C_liquor + C_vessel).

    References
    ----------
    .. [1] Heat balance of the mash. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(strike_temperature_C(66.0, 6.0, grist_temperature_C=18.0,
    ...     grist_heat_capacity_kJ_kgK=1.694, hydration_kJ_kg=22.3, liquor_kJ_K=83.57,
    ...     vessel_kJ_K=4.0, heat_loss_kJ=0.0).round(2))
    70.04
    """
    mash = _temperature(mash_temperature_C, "mash")
    demand = _mashing_in_demand_kJ(
        mash,
        grist_kg=grist_kg,
        grist_temperature_C=grist_temperature_C,
        grist_heat_capacity_kJ_kgK=grist_heat_capacity_kJ_kgK,
        hydration_kJ_kg=hydration_kJ_kg,
        heat_loss_kJ=heat_loss_kJ,
    )
    liquor = within(liquor_kJ_K, 1e-6, 1e9, what="heat capacity of the liquor [kJ/K]")
    vessel = within(vessel_kJ_K, 0.0, 1e6, what="heat capacity of the vessel [kJ/K]")
    return np.asarray(mash + demand / (liquor + vessel))


def strike_temperature_separate_tun_C(
    mash_temperature_C: ArrayLike,
    grist_kg: ArrayLike,
    *,
    grist_temperature_C: ArrayLike,
    grist_heat_capacity_kJ_kgK: ArrayLike,
    hydration_kJ_kg: ArrayLike,
    liquor_kJ_K: ArrayLike,
    vessel_kJ_K: ArrayLike,
    vessel_temperature_C: ArrayLike,
    heat_loss_kJ: ArrayLike,
) -> Array:
    """Give the liquor temperature at mashing in to a tun that has a temperature of its own.

    Parameters
    ----------
    mash_temperature_C : array_like of float, any shape
        Wanted temperature of the even mash [°C].
    grist_kg : array_like of float, broadcasting
        Grist as is [kg].
    grist_temperature_C : array_like of float, broadcasting
        Temperature of the grist before [°C].
    grist_heat_capacity_kJ_kgK : array_like of float, broadcasting
        Heat capacity of the grist [kJ/(kg K)].
    hydration_kJ_kg : array_like of float, broadcasting
        Heat set free by wetting, positive [kJ/kg grist].
    liquor_kJ_K : array_like of float, broadcasting
        Heat capacity of all the liquor, mass times 4.186; above 0 [kJ/K].
    vessel_kJ_K : array_like of float, broadcasting
        Heat capacity of the tun [kJ/K].
    vessel_temperature_C : array_like of float, broadcasting
        Temperature of the tun before the liquor comes [°C].
    heat_loss_kJ : array_like of float, broadcasting
        Heat lost between strike and even mash [kJ].

    Returns
    -------
    ndarray of float64, broadcast shape
        Strike temperature [°C].

    Raises
    ------
    OutOfRange
        If a temperature is not a number or outside -5 to 120 °C, or the liquor's heat capacity
        is not above 0.

    Notes
    -----
    T_s = T_m + [m c (T_m - T_g) + C_vessel (T_m - T_vessel) - m h + Q] / C_liquor.

    References
    ----------
    .. [1] Heat balance of the mash. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(strike_temperature_separate_tun_C(67.0, 5.0, grist_temperature_C=20.0,
    ...     grist_heat_capacity_kJ_kgK=1.694, hydration_kJ_kg=22.3, liquor_kJ_K=58.5,
    ...     vessel_kJ_K=3.5, vessel_temperature_C=20.0, heat_loss_kJ=0.0).round(2))
    74.71
    """
    mash = _temperature(mash_temperature_C, "mash")
    demand = _mashing_in_demand_kJ(
        mash,
        grist_kg=grist_kg,
        grist_temperature_C=grist_temperature_C,
        grist_heat_capacity_kJ_kgK=grist_heat_capacity_kJ_kgK,
        hydration_kJ_kg=hydration_kJ_kg,
        heat_loss_kJ=heat_loss_kJ,
    )
    liquor = within(liquor_kJ_K, 1e-6, 1e9, what="heat capacity of the liquor [kJ/K]")
    vessel = within(vessel_kJ_K, 0.0, 1e6, what="heat capacity of the vessel [kJ/K]")
    warming = vessel * (mash - _temperature(vessel_temperature_C, "vessel"))
    return np.asarray(mash + (demand + warming) / liquor)


def _mashing_in_demand_kJ(
    mash_C: Array,
    *,
    grist_kg: ArrayLike,
    grist_temperature_C: ArrayLike,
    grist_heat_capacity_kJ_kgK: ArrayLike,
    hydration_kJ_kg: ArrayLike,
    heat_loss_kJ: ArrayLike,
) -> Array:
    grist = within(grist_kg, 0.0, 1e6, what="grist [kg]")
    capacity = within(grist_heat_capacity_kJ_kgK, 0.0, 5.0, what="heat capacity of the grist [kJ/(kg K)]")
    hydration = within(hydration_kJ_kg, -200.0, 200.0, what="heat of hydration [kJ/kg]")
    loss = within(heat_loss_kJ, -1e9, 1e9, what="heat loss [kJ]")
    warming = capacity * (mash_C - _temperature(grist_temperature_C, "grist"))
    return np.asarray(grist * (warming - hydration) + loss)


def infusion_kg(
    from_C: ArrayLike,
    to_C: ArrayLike,
    *,
    mash_kJ_K: ArrayLike,
    liquor_C: ArrayLike,
    liquor_heat_capacity_kJ_kgK: ArrayLike = WATER_HEAT_CAPACITY_KJ_KGK,
) -> Array:
    """Give the hot liquor that lifts a mash to its next rest.

    Parameters
    ----------
    from_C, to_C : array_like of float, broadcasting
        Mash temperature now and wanted [°C].
    mash_kJ_K : array_like of float, broadcasting
        Heat capacity of grist, liquor and vessel together [kJ/K].
    liquor_C : array_like of float, broadcasting
        Temperature at which the hot liquor arrives [°C].
    liquor_heat_capacity_kJ_kgK : array_like of float, broadcasting
        Heat capacity of the liquor, that of water unless it is not water [kJ/(kg K)].

    Returns
    -------
    ndarray of float64, broadcast shape
        Hot liquor [kg].

    Raises
    ------
    OutOfRange
        If a temperature is not a number or outside -5 to 120 °C, or the wanted temperature does
        not lie between the mash's and the liquor's.

    Notes
    -----
    M = C (T2 - T1) / [c (T_liquor - T2)]. Cold liquor cools a mash by the same balance.

    References
    ----------
    .. [1] Heat balance of an infusion. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(infusion_kg(52.0, 63.0, mash_kJ_K=81.02, liquor_C=99.97).round(3))
    5.759
    """
    start, end = _temperature(from_C, "mash"), _temperature(to_C, "wanted")
    liquor = _temperature(liquor_C, "liquor")
    _refuse_unless_between(start, end, liquor, what="liquor")
    capacity = within(mash_kJ_K, 0.0, 1e9, what="heat capacity of the mash [kJ/K]")
    water = within(liquor_heat_capacity_kJ_kgK, 1.0, 5.0, what="heat capacity of the liquor [kJ/(kg K)]")
    return np.asarray(capacity * (end - start) / (water * (liquor - end)))


def decoction_fraction(
    from_C: ArrayLike,
    to_C: ArrayLike,
    *,
    decoction_C: ArrayLike,
    mash_kJ_K: ArrayLike,
    vessel_kJ_K: ArrayLike,
) -> Array:
    """Give the share of the mash to be boiled to lift the whole to the next rest.

    Parameters
    ----------
    from_C, to_C : array_like of float, broadcasting
        Temperature of the resting mash and the one wanted [°C].
    decoction_C : array_like of float, broadcasting
        Temperature at which the boiled portion comes back [°C].
    mash_kJ_K : array_like of float, broadcasting
        Heat capacity of the whole mash, grist and liquor, without the vessel; above 0 [kJ/K].
    vessel_kJ_K : array_like of float, broadcasting
        Heat capacity of the vessel the mash rests in [kJ/K].

    Returns
    -------
    ndarray of float64, broadcast shape
        Share of the mash by heat capacity, so by mass for a portion of the same composition.
        Above 1 means that no decoction reaches the temperature.

    Raises
    ------
    OutOfRange
        If a temperature is not a number or outside -5 to 120 °C, the mash has no heat capacity,
        or the wanted temperature does not lie between the mash's and the portion's.

    Notes
    -----
    f = (C_mash + C_vessel) (T2 - T1) / [C_mash (T_d - T1)]: the portion has left a vessel that
    stays warm. Allow 5 to 10 per cent more for what cools on the way.

    References
    ----------
    .. [1] Heat balance of a decoction. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(decoction_fraction(63.0, 72.0, decoction_C=99.5, mash_kJ_K=85.4, vessel_kJ_K=0.0).round(4))
    0.2466
    """
    start, end = _temperature(from_C, "mash"), _temperature(to_C, "wanted")
    portion = _temperature(decoction_C, "decoction")
    _refuse_unless_between(start, end, portion, what="decoction")
    mash = within(mash_kJ_K, 1e-9, 1e9, what="heat capacity of the mash [kJ/K]")
    vessel = within(vessel_kJ_K, 0.0, 1e6, what="heat capacity of the vessel [kJ/K]")
    return np.asarray((mash + vessel) * (end - start) / (mash * (portion - start)))


def _refuse_unless_between(start: Array, end: Array, source: Array, *, what: str) -> None:
    start, end, source = np.broadcast_arrays(start, end, source)
    wrong = ~(((source - end) * (end - start) > 0.0) | ((end == start) & (source != end)))
    if wrong.any():
        at = np.flatnonzero(wrong)[0]
        raise OutOfRange(
            f"{what} at {source.flat[at]:g} °C cannot bring a mash from {start.flat[at]:g} to {end.flat[at]:g} °C"
        )
