"""Carbon dioxide in the air of a room: limits for people, and how far a fermentation or a leak takes it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.errors import OutOfRange
from gyle.science.gas import AIR_BAR, CARBON_DIOXIDE_G_MOL, GAS_CONSTANT_L_BAR
from gyle.science.ranges import within

__all__ = [
    "caustic_consumed_g",
    "exposure_limit_ppm",
    "oxygen_left_pct",
    "released_pct",
    "room_concentration_ppm",
    "steady_concentration_ppm",
    "unventilated_ppm",
]

Array = NDArray[np.float64]

KELVIN = 273.15
SODIUM_HYDROXIDE_G_MOL = 39.997
AIR_OXYGEN_PCT = 20.95
LITRES_PER_M3 = 1000.0
# Exposure limits [ppm]: a working day, a quarter of an hour, and danger to life at once.
EXPOSURE_LIMITS_PPM = {"working day": 5_000.0, "short term": 30_000.0, "danger to life": 40_000.0}


def _gas_L_g(temperature_C: Array) -> Array:
    litres: Array = GAS_CONSTANT_L_BAR * (temperature_C + KELVIN) / (AIR_BAR * CARBON_DIOXIDE_G_MOL)
    return litres


def exposure_limit_ppm(limit: str) -> float:
    """Return a limit of carbon dioxide for people.

    Parameters
    ----------
    limit : str
        One of "working day", "short term" and "danger to life".

    Returns
    -------
    float
        Limit by volume [ppm].

    Raises
    ------
    OutOfRange
        If the name is not one of the three.

    Notes
    -----
    Working day: 5,000 ppm as a weighted mean, of both NIOSH and OSHA. Short term: 30,000 ppm,
    NIOSH. Danger to life: 40,000 ppm. At 70,000 to 100,000 ppm people fall unconscious within
    minutes. The gas harms by itself: an oxygen alarm does not protect.

    References
    ----------
    .. [1] NIOSH, documentation for immediately dangerous concentrations, carbon dioxide, 1994.
       Provenance: retrieved (danger to life second-hand).

    Examples
    --------
    >>> exposure_limit_ppm("short term")
    30000.0
    """
    if limit not in EXPOSURE_LIMITS_PPM:
        raise OutOfRange(f"limit {limit!r} is not one of {', '.join(EXPOSURE_LIMITS_PPM)}")
    return EXPOSURE_LIMITS_PPM[limit]


def room_concentration_ppm(
    hours: ArrayLike,
    *,
    release_g_h: ArrayLike,
    room_m3: ArrayLike,
    air_changes_1_h: ArrayLike,
    start_ppm: ArrayLike,
    outdoor_ppm: ArrayLike,
    temperature_C: ArrayLike,
) -> Array:
    """Return the carbon dioxide in a well-mixed room with a steady source.

    Parameters
    ----------
    hours : array_like of float, any shape
        Time [h]; 0 or more.
    release_g_h : array_like of float, broadcastable
        Carbon dioxide set free [g/h]; 0 or more.
    room_m3 : array_like of float, broadcastable
        Air in the room [m³]; 0.01 to 1,000,000.
    air_changes_1_h : array_like of float, broadcastable
        Air changes [1/h]; 0 to 1,000.
    start_ppm : array_like of float, broadcastable
        Concentration at the start [ppm]; 0 to 1,000,000.
    outdoor_ppm : array_like of float, broadcastable
        Concentration outside [ppm]; 0 to 1,000,000, about 420.
    temperature_C : array_like of float, broadcastable
        Air temperature [°C]; -20 to 60.

    Returns
    -------
    ndarray of float64, broadcast shape
        Concentration by volume [ppm].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    C' = G/V - n (C - C_out), solved for constant G. Mixing well is the hopeful case: the gas is
    half as heavy again as air, so floors, pits, cupboards and chest freezers are worse.

    References
    ----------
    .. [1] Box model. Provenance: ours.

    Examples
    --------
    >>> air = room_concentration_ppm(
    ...     8.0, release_g_h=23.33, room_m3=10.0, air_changes_1_h=0.2, start_ppm=420.0,
    ...     outdoor_ppm=420.0, temperature_C=20.0
    ... )
    >>> float(air.round(-1))
    5510.0
    """
    hours = within(hours, 0.0, 1e6, what="hours")
    release_g_h = within(release_g_h, 0.0, 1e6, what="release [g/h]")
    room_m3 = within(room_m3, 0.01, 1e6, what="room [m³]")
    air_changes_1_h = within(air_changes_1_h, 0.0, 1000.0, what="air changes [1/h]")
    start_ppm = within(start_ppm, 0.0, 1e6, what="start ppm")
    outdoor_ppm = within(outdoor_ppm, 0.0, 1e6, what="outdoor ppm")
    temperature_C = within(temperature_C, -20.0, 60.0, what="temperature [°C]")
    rise = release_g_h * _gas_L_g(temperature_C) / (room_m3 * LITRES_PER_M3) * 1e6
    x = np.asarray(air_changes_1_h * hours, dtype=np.float64)
    ratio = np.ones_like(x)
    np.divide(-np.expm1(-x), x, out=ratio, where=x != 0.0)
    result: Array = outdoor_ppm + (start_ppm - outdoor_ppm) * np.exp(-x) + rise * hours * ratio
    return result


def steady_concentration_ppm(
    release_g_h: ArrayLike,
    *,
    room_m3: ArrayLike,
    air_changes_1_h: ArrayLike,
    outdoor_ppm: ArrayLike,
    temperature_C: ArrayLike,
) -> Array:
    """Return the carbon dioxide that a well-mixed room tends to.

    Parameters
    ----------
    release_g_h : array_like of float, any shape
        Carbon dioxide set free [g/h]; 0 or more.
    room_m3 : array_like of float, broadcastable
        Air in the room [m³]; 0.01 to 1,000,000.
    air_changes_1_h : array_like of float, broadcastable
        Air changes [1/h]; 1e-6 to 1,000.
    outdoor_ppm : array_like of float, broadcastable
        Concentration outside [ppm]; 0 to 1,000,000.
    temperature_C : array_like of float, broadcastable
        Air temperature [°C]; -20 to 60.

    Returns
    -------
    ndarray of float64, broadcast shape
        Concentration by volume [ppm].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    C_out + G/(n V).

    References
    ----------
    .. [1] Box model. Provenance: ours.

    Examples
    --------
    >>> tends_to = steady_concentration_ppm(
    ...     23.33, room_m3=10.0, air_changes_1_h=0.2, outdoor_ppm=420.0, temperature_C=20.0
    ... )
    >>> float(tends_to.round(-1))
    6800.0
    """
    release_g_h = within(release_g_h, 0.0, 1e6, what="release [g/h]")
    room_m3 = within(room_m3, 0.01, 1e6, what="room [m³]")
    air_changes_1_h = within(air_changes_1_h, 1e-6, 1000.0, what="air changes [1/h]")
    outdoor_ppm = within(outdoor_ppm, 0.0, 1e6, what="outdoor ppm")
    temperature_C = within(temperature_C, -20.0, 60.0, what="temperature [°C]")
    litres_h = release_g_h * _gas_L_g(temperature_C)
    result: Array = outdoor_ppm + litres_h / (air_changes_1_h * room_m3 * LITRES_PER_M3) * 1e6
    return result


def unventilated_ppm(carbon_dioxide_g: ArrayLike, *, room_m3: ArrayLike, temperature_C: ArrayLike) -> Array:
    """Return the carbon dioxide in a closed room that a whole fermentation adds.

    Parameters
    ----------
    carbon_dioxide_g : array_like of float, any shape
        Carbon dioxide of the whole fermentation [g]; 0 or more.
    room_m3 : array_like of float, broadcastable
        Air in the room [m³]; 0.01 to 1,000,000.
    temperature_C : array_like of float, broadcastable
        Air temperature [°C]; -20 to 60.

    Returns
    -------
    ndarray of float64, broadcast shape
        Concentration added by volume, an upper bound when well mixed [ppm].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Gas volume over room volume.

    References
    ----------
    .. [1] Mass balance. Provenance: ours.

    Examples
    --------
    >>> float(unventilated_ppm(1736.0, room_m3=20.0, temperature_C=20.0).round(-3))
    47000.0
    """
    carbon_dioxide_g = within(carbon_dioxide_g, 0.0, 1e9, what="carbon dioxide [g]")
    room_m3 = within(room_m3, 0.01, 1e6, what="room [m³]")
    temperature_C = within(temperature_C, -20.0, 60.0, what="temperature [°C]")
    result: Array = carbon_dioxide_g * _gas_L_g(temperature_C) / (room_m3 * LITRES_PER_M3) * 1e6
    return result


def released_pct(carbon_dioxide_g: ArrayLike, *, room_m3: ArrayLike, temperature_C: ArrayLike) -> Array:
    """Return the carbon dioxide in a room after a cylinder empties at once.

    Parameters
    ----------
    carbon_dioxide_g : array_like of float, any shape
        Carbon dioxide set free [g]; 0 or more.
    room_m3 : array_like of float, broadcastable
        Air in the room [m³]; 0.01 to 1,000,000.
    temperature_C : array_like of float, broadcastable
        Air temperature [°C]; -20 to 60.

    Returns
    -------
    ndarray of float64, broadcast shape
        Carbon dioxide by volume [%].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    1 - exp(-Vg/V): the gas pushes mixed air out. Two kilograms in ten cubic metres reach a tenth,
    which kills.

    References
    ----------
    .. [1] Displacement with mixing. Provenance: ours.

    Examples
    --------
    >>> float(released_pct(2000.0, room_m3=10.0, temperature_C=20.0).round(1))
    10.4
    """
    carbon_dioxide_g = within(carbon_dioxide_g, 0.0, 1e9, what="carbon dioxide [g]")
    room_m3 = within(room_m3, 0.01, 1e6, what="room [m³]")
    temperature_C = within(temperature_C, -20.0, 60.0, what="temperature [°C]")
    result: Array = -100.0 * np.expm1(-carbon_dioxide_g * _gas_L_g(temperature_C) / (room_m3 * LITRES_PER_M3))
    return result


def oxygen_left_pct(carbon_dioxide_pct: ArrayLike) -> Array:
    """Return the oxygen left in air diluted by carbon dioxide.

    Parameters
    ----------
    carbon_dioxide_pct : array_like of float, any shape
        Carbon dioxide by volume [%]; 0 to 100.

    Returns
    -------
    ndarray of float64, same shape
        Oxygen by volume [%].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    20.95 (1 - C). Air with a deadly tenth of carbon dioxide still has near 19 % oxygen.

    References
    ----------
    .. [1] Dilution. Provenance: ours.

    Examples
    --------
    >>> float(oxygen_left_pct(10.36).round(1))
    18.8
    """
    carbon_dioxide_pct = within(carbon_dioxide_pct, 0.0, 100.0, what="carbon dioxide [%]")
    result: Array = AIR_OXYGEN_PCT * (1.0 - carbon_dioxide_pct / 100.0)
    return result


def caustic_consumed_g(gas_L: ArrayLike, *, temperature_C: ArrayLike) -> Array:
    """Return the sodium hydroxide that carbon dioxide in a vessel uses up.

    Parameters
    ----------
    gas_L : array_like of float, any shape
        Carbon dioxide gas at 1 atm [L]; 0 or more.
    temperature_C : array_like of float, broadcastable
        Gas temperature [°C]; -20 to 100.

    Returns
    -------
    ndarray of float64, broadcast shape
        Sodium hydroxide [g].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Two moles for one. The gas vanishes, and the vacuum crushes a closed vessel: never caustic in
    a vessel that holds carbon dioxide.

    References
    ----------
    .. [1] Stoichiometry. Provenance: memory.

    Examples
    --------
    >>> float(caustic_consumed_g(20.0, temperature_C=20.0).round(1))
    66.5
    """
    gas_L = within(gas_L, 0.0, 1e9, what="gas [L]")
    temperature_C = within(temperature_C, -20.0, 100.0, what="temperature [°C]")
    result: Array = 2.0 * SODIUM_HYDROXIDE_G_MOL * gas_L / (_gas_L_g(temperature_C) * CARBON_DIOXIDE_G_MOL)
    return result
