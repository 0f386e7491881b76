"""Kettle balances: wort as extract and water, boiled, diluted, sugared and blended."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.errors import OutOfRange
from gyle.science.ranges import within

__all__ = [
    "BlendShares",
    "addition_for_extract_kg",
    "anhydrous_fraction",
    "blend_two_runs",
    "boil_minutes",
    "dilution_kg",
    "evaporation_for_extract_kg",
    "evaporation_with_addition_kg",
    "extract_addition_kg",
    "temperature_after_sugar_C",
]

Array = NDArray[np.float64]

WATER_G_MOL = 18.015


class BlendShares(NamedTuple):
    """Shares of two runs that make up one beer; feasible only if both lie within 0 and 1.

    Parameters
    ----------
    first : ndarray of float64
        Share of the first run to take [fraction].
    second : ndarray of float64
        Share of the second run to take [fraction].

    Examples
    --------
    >>> BlendShares(first=0.7, second=0.1).first
    0.7
    """

    first: Array
    second: Array


def _extract(value: ArrayLike) -> Array:
    return within(value, 0.0, 1e7, what="extract [kg]")


def _water(value: ArrayLike) -> Array:
    return within(value, 0.0, 1e7, what="water [kg]")


def _share(target_pct: ArrayLike) -> Array:
    return within(target_pct, 0.01, 85.0, what="wanted extract [%]") / 100.0


def dilution_kg(extract_kg: ArrayLike, water_kg: ArrayLike, *, target_pct: ArrayLike) -> Array:
    """Give the water that brings a wort down to a strength.

    Parameters
    ----------
    extract_kg, water_kg : array_like of float, broadcasting
        Extract and water in the wort [kg].
    target_pct : array_like of float, broadcasting
        Wanted extract [% by mass, °P]; 0.01 to 85.

    Returns
    -------
    ndarray of float64, broadcast shape
        Water to add [kg]; negative where the wort is too weak and water has to be boiled off.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    X / p - (X + W). Volumes do not add: points times litres is 0.1 L off for 20 L at SG 1.120.

    References
    ----------
    .. [1] Mass balance. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(dilution_kg(3.0, 9.0, target_pct=20.0))
    3.0
    """
    extract = _extract(extract_kg)
    return np.asarray(extract / _share(target_pct) - (extract + _water(water_kg)))


def evaporation_for_extract_kg(extract_kg: ArrayLike, water_kg: ArrayLike, *, target_pct: ArrayLike) -> Array:
    """Give the water to boil off to bring a wort up to a strength.

    Parameters
    ----------
    extract_kg, water_kg : array_like of float, broadcasting
        Extract and water in the wort [kg].
    target_pct : array_like of float, broadcasting
        Wanted extract [% by mass, °P]; 0.01 to 85.

    Returns
    -------
    ndarray of float64, broadcast shape
        Water to boil off [kg]; negative where the wort is too strong already.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    (X + W) - X / p, the negative of `dilution_kg`. Its price is volume.

    References
    ----------
    .. [1] Mass balance. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(evaporation_for_extract_kg(3.0, 17.0, target_pct=20.0))
    5.0
    """
    return np.asarray(-dilution_kg(extract_kg, water_kg, target_pct=target_pct))


def boil_minutes(evaporation_kg: ArrayLike, evaporation_kg_h: ArrayLike) -> Array:
    """Give the time in which a boil drives off an amount of water.

    Parameters
    ----------
    evaporation_kg : array_like of float, any shape
        Water to boil off [kg]; 0 or more.
    evaporation_kg_h : array_like of float, broadcasting
        Rate of the boil-off; above 0 [kg/h].

    Returns
    -------
    ndarray of float64, broadcast shape
        Time [min].

    Raises
    ------
    OutOfRange
        If a mass or a rate is not a number or outside its range.

    Notes
    -----
    60 M / rate; the rate goes with net power, not with the volume in the kettle.

    References
    ----------
    .. [1] Definition of a rate. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(boil_minutes(5.0, 4.0))
    75.0
    """
    mass = within(evaporation_kg, 0.0, 1e7, what="water to boil off [kg]")
    return np.asarray(60.0 * mass / within(evaporation_kg_h, 1e-9, 1e7, what="boil-off [kg/h]"))


def addition_for_extract_kg(
    extract_kg: ArrayLike, water_kg: ArrayLike, *, target_pct: ArrayLike, dry_fraction: ArrayLike
) -> Array:
    """Give the sugar or malt extract that brings a wort up to a strength, its volume floating.

    Parameters
    ----------
    extract_kg, water_kg : array_like of float, broadcasting
        Extract and water in the wort [kg].
    target_pct : array_like of float, broadcasting
        Wanted extract [% by mass, °P]; 0.01 to 85.
    dry_fraction : array_like of float, broadcasting
        Extract in what is added [kg/kg]; more than the wanted strength, at most 1.

    Returns
    -------
    ndarray of float64, broadcast shape
        Addition [kg]; negative where the wort is too strong already.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range, or the addition is no stronger than the
        wort that is wanted.

    Notes
    -----
    (p M - X) / (s - p) with M = X + W.

    References
    ----------
    .. [1] Mass balance. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(addition_for_extract_kg(2.0, 18.0, target_pct=20.0, dry_fraction=1.0))
    2.5
    """
    extract = _extract(extract_kg)
    p = _share(target_pct)
    headroom = within(dry_fraction, 0.01, 1.0, what="extract in the addition [kg/kg]") - p
    within(headroom, 1e-9, 1.0, what="strength of the addition above that wanted [kg/kg]")
    return np.asarray((p * (extract + _water(water_kg)) - extract) / headroom)


def extract_addition_kg(extract_kg: ArrayLike, target_extract_kg: ArrayLike, *, dry_fraction: ArrayLike) -> Array:
    """Give the sugar or malt extract that makes up for missing extract.

    Parameters
    ----------
    extract_kg : array_like of float, any shape
        Extract in the wort [kg].
    target_extract_kg : array_like of float, broadcasting
        Extract wanted: volume times density times strength [kg].
    dry_fraction : array_like of float, broadcasting
        Extract in what is added [kg/kg]; 0.01 to 1.

    Returns
    -------
    ndarray of float64, broadcast shape
        Addition [kg]; negative where there is more extract than wanted.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    (X_t - X) / s; how much then to evaporate is `evaporation_with_addition_kg`.

    References
    ----------
    .. [1] Mass balance. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(extract_addition_kg(4.0, 4.48, dry_fraction=0.96).round(3))
    0.5
    """
    missing = within(target_extract_kg, 0.0, 1e7, what="wanted extract [kg]") - _extract(extract_kg)
    return np.asarray(missing / within(dry_fraction, 0.01, 1.0, what="extract in the addition [kg/kg]"))


def evaporation_with_addition_kg(wort_kg: ArrayLike, target_kg: ArrayLike, *, addition_kg: ArrayLike) -> Array:
    """Give the water to boil off so that wort and addition end at a mass.

    Parameters
    ----------
    wort_kg : array_like of float, any shape
        Extract and water in the wort [kg].
    target_kg : array_like of float, broadcasting
        Wanted mass of wort [kg].
    addition_kg : array_like of float, broadcasting
        Sugar or malt extract added [kg].

    Returns
    -------
    ndarray of float64, broadcast shape
        Water to boil off [kg]; negative where water has to be added.

    Raises
    ------
    OutOfRange
        If a mass is not a number or negative.

    Notes
    -----
    X + W + d - M_t.

    References
    ----------
    .. [1] Mass balance. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(evaporation_with_addition_kg(30.0, 26.0, addition_kg=0.5))
    4.5
    """
    wort = within(wort_kg, 0.0, 1e7, what="wort [kg]")
    added = within(addition_kg, 0.0, 1e7, what="addition [kg]")
    return np.asarray(wort + added - within(target_kg, 0.0, 1e7, what="wanted wort [kg]"))


def blend_two_runs(
    first_extract_kg: ArrayLike,
    first_wort_kg: ArrayLike,
    *,
    second_extract_kg: ArrayLike,
    second_wort_kg: ArrayLike,
    target_extract_kg: ArrayLike,
    target_wort_kg: ArrayLike,
) -> BlendShares:
    """Give the shares of a strong and a weak run that fill one kettle at a strength.

    Parameters
    ----------
    first_extract_kg, first_wort_kg : array_like of float, broadcasting
        Extract in the first run, and its mass [kg].
    second_extract_kg, second_wort_kg : array_like of float, broadcasting
        Extract in the second run, and its mass [kg].
    target_extract_kg, target_wort_kg : array_like of float, broadcasting
        Extract wanted in the kettle, and the mass of its wort [kg].

    Returns
    -------
    BlendShares
        Shares of either run [fraction]. A share below 0 or above 1 says that these runs cannot
        make that wort.

    Raises
    ------
    OutOfRange
        If a mass is not a number or negative, or both runs are of one strength.

    Notes
    -----
    a X1 + c X2 = X_t and a M1 + c M2 = M_t; the rest of both runs is the small beer.

    References
    ----------
    .. [1] Mass balance of a parti-gyle. Provenance: computed-with-numpy.

    Examples
    --------
    >>> shares = blend_two_runs(4.0, 20.0, second_extract_kg=1.0, second_wort_kg=20.0,
    ...     target_extract_kg=2.5, target_wort_kg=20.0)
    >>> float(shares.first.round(3)), float(shares.second.round(3))
    (0.5, 0.5)
    """
    x1, m1 = _extract(first_extract_kg), within(first_wort_kg, 1e-9, 1e7, what="first run [kg]")
    x2, m2 = _extract(second_extract_kg), within(second_wort_kg, 1e-9, 1e7, what="second run [kg]")
    extract = _extract(target_extract_kg)
    wort = within(target_wort_kg, 0.0, 1e7, what="wanted wort [kg]")
    spread = x1 * m2 - x2 * m1
    if (np.abs(spread) <= 1e-12 * m1 * m2).any():
        raise OutOfRange("both runs have the same strength, so no blend of them changes it")
    return BlendShares(first=(extract * m2 - x2 * wort) / spread, second=(x1 * wort - extract * m1) / spread)


def temperature_after_sugar_C(
    wort_temperature_C: ArrayLike,
    sugar_kg: ArrayLike,
    *,
    wort_kg: ArrayLike,
    wort_heat_capacity_kJ_kgK: ArrayLike,
    sugar_temperature_C: ArrayLike,
    sugar_heat_capacity_kJ_kgK: ArrayLike,
    dissolving_kJ_kg: ArrayLike,
) -> Array:
    """Give the temperature of a wort once cold sugar has dissolved in it.

    Parameters
    ----------
    wort_temperature_C : array_like of float, any shape
        Temperature of the wort before [°C]; 0 to 120.
    sugar_kg : array_like of float, broadcasting
        Sugar added [kg].
    wort_kg : array_like of float, broadcasting
        Wort before; above 0 [kg].
    wort_heat_capacity_kJ_kgK : array_like of float, broadcasting
        Heat capacity of the wort [kJ/(kg K)]; 1 to 5.
    sugar_temperature_C : array_like of float, broadcasting
        Temperature of the sugar [°C]; -20 to 120.
    sugar_heat_capacity_kJ_kgK : array_like of float, broadcasting
        Heat capacity of the sugar, 1.24 for sucrose [kJ/(kg K)]; 0.5 to 5.
    dissolving_kJ_kg : array_like of float, broadcasting
        Heat that dissolving takes up, 16 for sucrose, positive [kJ/kg]; -200 to 200.

    Returns
    -------
    ndarray of float64, broadcast shape
        Temperature after [°C].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    Two kilograms into 22 kg of boiling wort stop the boil by 2.6 K.

    References
    ----------
    .. [1] Heat balance. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(temperature_after_sugar_C(100.0, 2.0, wort_kg=22.0, wort_heat_capacity_kJ_kgK=3.85,
    ...     sugar_temperature_C=20.0, sugar_heat_capacity_kJ_kgK=1.24, dissolving_kJ_kg=16.0).round(2))
    97.36
    """
    sugar = within(sugar_kg, 0.0, 1e6, what="sugar [kg]")
    wort_capacity = within(wort_kg, 1e-9, 1e7, what="wort [kg]") * within(
        wort_heat_capacity_kJ_kgK, 1.0, 5.0, what="heat capacity of the wort [kJ/(kg K)]"
    )
    sugar_capacity = sugar * within(sugar_heat_capacity_kJ_kgK, 0.5, 5.0, what="heat capacity of the sugar [kJ/(kg K)]")
    heat = wort_capacity * within(wort_temperature_C, 0.0, 120.0, what="wort temperature [°C]")
    heat = heat + sugar_capacity * within(sugar_temperature_C, -20.0, 120.0, what="sugar temperature [°C]")
    taken = sugar * within(dissolving_kJ_kg, -200.0, 200.0, what="heat of dissolving [kJ/kg]")
    return np.asarray((heat - taken) / (wort_capacity + sugar_capacity))


def anhydrous_fraction(anhydrous_g_mol: ArrayLike, *, crystal_water: ArrayLike) -> Array:
    """Give the sugar in a kilogram of its hydrate.

    Parameters
    ----------
    anhydrous_g_mol : array_like of float, any shape
        Molar mass of the sugar without water, 180.156 for dextrose [g/mol]; 50 to 2000.
    crystal_water : array_like of float, broadcasting
        Molecules of crystal water for one of sugar; 0 to 10.

    Returns
    -------
    ndarray of float64, broadcast shape
        Sugar without water [kg/kg].

    Raises
    ------
    OutOfRange
        If a molar mass or a number is not a number or outside its range.

    Notes
    -----
    M / (M + 18.015 n). Dextrose of the shop is the monohydrate, and so is lactose.

    References
    ----------
    .. [1] Codex Alimentarius, CXS 212-1999: dextrose monohydrate holds at least 0.900 of solids.
       Provenance: retrieved.

    Examples
    --------
    >>> anhydrous_fraction([180.156, 342.297], crystal_water=1.0).round(4)
    array([0.9091, 0.95  ])
    """
    molar_mass = within(anhydrous_g_mol, 50.0, 2000.0, what="molar mass [g/mol]")
    water = WATER_G_MOL * within(crystal_water, 0.0, 10.0, what="crystal water")
    return np.asarray(molar_mass / (molar_mass + water))
