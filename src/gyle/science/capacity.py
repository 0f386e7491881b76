"""What a vessel holds and what a person should lift."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = [
    "foam_headroom_L",
    "kettle_hot_volume_L",
    "mash_volume_L",
    "most_kettle_volume_L",
    "most_mash_liquor_L",
    "recommended_weight_limit_kg",
    "wet_grain_kg",
]

Array = NDArray[np.float64]

# NIOSH lifting equation, metric: load constant and reference position.
LOAD_CONSTANT_KG = 23.0
NEAREST_HORIZONTAL_CM, FARTHEST_HORIZONTAL_CM = 25.0, 63.0
KNUCKLE_HEIGHT_CM = 75.0
LEAST_TRAVEL_CM = 25.0


def _expansion(value: ArrayLike) -> Array:
    return within(value, 0.95, 1.10, what="hot over cold volume [L/L]")


def mash_volume_L(
    grist_kg: ArrayLike,
    liquor_L: ArrayLike,
    *,
    hot_over_cold: ArrayLike,
    displacement_L_kg: ArrayLike,
    basket_L: ArrayLike,
) -> Array:
    """Give the room that a mash takes.

    Parameters
    ----------
    grist_kg : array_like of float, any shape
        Grist as is [kg].
    liquor_L : array_like of float, broadcasting
        Liquor, measured at 20 °C [L].
    hot_over_cold : array_like of float, broadcasting
        Volume of the liquor at mash temperature over that at 20 °C, 1.0186 at 66 °C [L/L].
    displacement_L_kg : array_like of float, broadcasting
        Volume that a kilogram of grist adds, 0.67 as a rule [L/kg]; 0 to 3.
    basket_L : array_like of float, broadcasting
        Volume of the steel of a basket, 0.3 to 0.6, or 0 without one [L].

    Returns
    -------
    ndarray of float64, broadcast shape
        Volume of the mash, hot [L].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    Leave 2 L of the vessel free for stirring or a pump.

    References
    ----------
    .. [1] Sum of volumes; 0.67 +- 0.03 L/kg by trade experience. Provenance: common-practice.

    Examples
    --------
    >>> float(mash_volume_L(6.0, 20.0, hot_over_cold=1.0186, displacement_L_kg=0.67, basket_L=0.0).round(2))
    24.39
    """
    liquor = within(liquor_L, 0.0, 1e7, what="liquor [L]") * _expansion(hot_over_cold)
    grain = within(grist_kg, 0.0, 1e6, what="grist [kg]") * within(
        displacement_L_kg, 0.0, 3.0, what="volume of the grain [L/kg]"
    )
    return np.asarray(liquor + grain + within(basket_L, 0.0, 1e4, what="basket [L]"))


def most_mash_liquor_L(
    vessel_L: ArrayLike,
    grist_kg: ArrayLike,
    *,
    free_L: ArrayLike,
    hot_over_cold: ArrayLike,
    displacement_L_kg: ArrayLike,
    basket_L: ArrayLike,
) -> Array:
    """Give the most liquor, measured cold, that a vessel takes with a grist.

    Parameters
    ----------
    vessel_L : array_like of float, any shape
        Vessel to the brim [L].
    grist_kg : array_like of float, broadcasting
        Grist as is [kg].
    free_L : array_like of float, broadcasting
        Room to leave free [L].
    hot_over_cold : array_like of float, broadcasting
        Volume of the liquor at mash temperature over that at 20 °C [L/L].
    displacement_L_kg : array_like of float, broadcasting
        Volume that a kilogram of grist adds [L/kg]; 0 to 3.
    basket_L : array_like of float, broadcasting
        Volume of the steel of a basket, or 0 without one [L].

    Returns
    -------
    ndarray of float64, broadcast shape
        Liquor at 20 °C [L]; negative where the grist alone is too much.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    The inverse of `mash_volume_L`.

    References
    ----------
    .. [1] Sum of volumes. Provenance: common-practice.

    Examples
    --------
    >>> float(most_mash_liquor_L(50.0, 12.0, free_L=3.0, hot_over_cold=1.0186, displacement_L_kg=0.67,
    ...     basket_L=0.0).round(2))
    38.25
    """
    solids = mash_volume_L(
        grist_kg, 0.0, hot_over_cold=hot_over_cold, displacement_L_kg=displacement_L_kg, basket_L=basket_L
    )
    room = within(vessel_L, 0.0, 1e7, what="vessel [L]") - within(free_L, 0.0, 1e7, what="free room [L]")
    return np.asarray((room - solids) / _expansion(hot_over_cold))


def foam_headroom_L(vessel_L: ArrayLike, least_L: ArrayLike, *, share: ArrayLike, extra_share: ArrayLike) -> Array:
    """Give the room to leave free for foam.

    Parameters
    ----------
    vessel_L : array_like of float, any shape
        Vessel to the brim [L].
    least_L : array_like of float, broadcasting
        Room that is left free in any case, 2 L over a kettle [L].
    share : array_like of float, broadcasting
        Share of the vessel: 0.10 for a kettle someone watches, 0.15 to 0.20 for one left alone,
        0.20 for an ale fermenter, 0.30 for one above SG 1.080 or with wheat [fraction]; 0 to 1.
    extra_share : array_like of float, broadcasting
        Share added for foam of much protein, 0.10 above 40 per cent wheat or oats or above
        18 °P, else 0 [fraction]; 0 to 1.

    Returns
    -------
    ndarray of float64, broadcast shape
        Free room [L]: the larger of the two, not their sum.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    max(least, (share + extra) vessel).

    References
    ----------
    .. [1] Trade experience. Provenance: common-practice.

    Examples
    --------
    >>> foam_headroom_L([15.0, 50.0], 2.0, share=0.10, extra_share=0.0)
    array([2., 5.])
    """
    vessel = within(vessel_L, 0.0, 1e7, what="vessel [L]")
    part = within(share, 0.0, 1.0, what="share of the vessel left free")
    extra = within(extra_share, 0.0, 1.0, what="extra share of the vessel left free")
    return np.asarray(np.maximum(within(least_L, 0.0, 1e7, what="least free room [L]"), (part + extra) * vessel))


def kettle_hot_volume_L(volume_L: ArrayLike, hot_over_cold: ArrayLike) -> Array:
    """Give the volume that a cold volume of wort takes in the kettle.

    Parameters
    ----------
    volume_L : array_like of float, any shape
        Wort at 20 °C [L].
    hot_over_cold : array_like of float, broadcasting
        Volume hot over cold, 1.0416 at the boil [L/L]; 0.95 to 1.10.

    Returns
    -------
    ndarray of float64, broadcast shape
        Hot volume [L].

    Raises
    ------
    OutOfRange
        If a volume or a ratio is not a number or outside its range.

    Notes
    -----
    Sight glass and dip stick read this one.

    References
    ----------
    .. [1] Ratio of the densities of water. Provenance: computed-with-CoolProp.

    Examples
    --------
    >>> float(kettle_hot_volume_L(24.0, 1.0416).round(2))
    25.0
    """
    return np.asarray(within(volume_L, 0.0, 1e7, what="wort [L]") * _expansion(hot_over_cold))


def most_kettle_volume_L(vessel_L: ArrayLike, headroom_L: ArrayLike, *, hot_over_cold: ArrayLike) -> Array:
    """Give the most wort, measured cold, that may come to the boil in a kettle.

    Parameters
    ----------
    vessel_L : array_like of float, any shape
        Kettle to the brim [L].
    headroom_L : array_like of float, broadcasting
        Room to leave free for foam [L].
    hot_over_cold : array_like of float, broadcasting
        Volume hot over cold, 1.0416 at the boil [L/L]; 0.95 to 1.10.

    Returns
    -------
    ndarray of float64, broadcast shape
        Wort at 20 °C, 0 where there is no room [L].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    (vessel - headroom) / ratio.

    References
    ----------
    .. [1] Ratio of the densities of water. Provenance: computed-with-CoolProp.

    Examples
    --------
    >>> float(most_kettle_volume_L(35.0, 3.5, hot_over_cold=1.0416).round(2))
    30.24
    """
    room = within(vessel_L, 0.0, 1e7, what="vessel [L]") - within(headroom_L, 0.0, 1e7, what="headroom [L]")
    return np.asarray(np.maximum(room, 0.0) / _expansion(hot_over_cold))


def wet_grain_kg(insoluble_kg: ArrayLike, held_L: ArrayLike, *, wort_kg_L: ArrayLike) -> Array:
    """Give the mass of the spent grain with the wort it holds.

    Parameters
    ----------
    insoluble_kg : array_like of float, any shape
        Dry matter that stays solid [kg].
    held_L : array_like of float, broadcasting
        Wort in the bed: 1.25 L for a kilogram of grist once drained, 2.0 at the first lift [L].
    wort_kg_L : array_like of float, broadcasting
        Density of that wort [kg/L]; 0.95 to 1.4.

    Returns
    -------
    ndarray of float64, broadcast shape
        Mass to be lifted, without the basket [kg].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    About 1.55 kg for a kilogram of grist when drained, 2.4 while still streaming.

    References
    ----------
    .. [1] Mass balance of the bed. Provenance: computed-with-numpy.

    Examples
    --------
    >>> float(wet_grain_kg(2.98, 15.0, wort_kg_L=1.045).round(2))
    18.65
    """
    dry = within(insoluble_kg, 0.0, 1e6, what="insoluble matter [kg]")
    held = within(held_L, 0.0, 1e7, what="wort held in the bed [L]")
    return np.asarray(dry + held * within(wort_kg_L, 0.95, 1.4, what="wort density [kg/L]"))


def recommended_weight_limit_kg(
    horizontal_cm: ArrayLike,
    vertical_cm: ArrayLike,
    *,
    travel_cm: ArrayLike,
    asymmetry_deg: ArrayLike,
    frequency_multiplier: ArrayLike,
    coupling_multiplier: ArrayLike,
) -> Array:
    """Give the weight that nearly every healthy worker may lift in a given posture.

    Parameters
    ----------
    horizontal_cm : array_like of float, any shape
        Hands in front of the ankles [cm]; 0 to 63, below 25 taken as 25.
    vertical_cm : array_like of float, broadcasting
        Hands above the floor at the start [cm]; 0 to 175.
    travel_cm : array_like of float, broadcasting
        Height of the lift [cm]; 0 to 175, below 25 taken as 25.
    asymmetry_deg : array_like of float, broadcasting
        Turn of the body [degrees]; 0 to 135.
    frequency_multiplier : array_like of float, broadcasting
        1 for a lift now and then [fraction]; 0 to 1.
    coupling_multiplier : array_like of float, broadcasting
        1 for good handles, 0.90 for poor ones [fraction]; 0 to 1.

    Returns
    -------
    ndarray of float64, broadcast shape
        Recommended weight limit [kg].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    23 (25/H) (1 - 0.003 |V - 75|) (0.82 + 4.5/D) (1 - 0.0032 A) FM CM. It does not know of heat,
    steam or a wet floor: a hot basket asks for less.

    References
    ----------
    .. [1] Waters, Putz-Anderson and Garg, Applications Manual for the Revised NIOSH Lifting
       Equation, NIOSH 94-110, revised 2021. Provenance: retrieved.

    Examples
    --------
    >>> float(recommended_weight_limit_kg(40.0, 60.0, travel_cm=60.0, asymmetry_deg=0.0,
    ...     frequency_multiplier=1.0, coupling_multiplier=0.9).round(2))
    11.06
    """
    reach = within(horizontal_cm, 0.0, FARTHEST_HORIZONTAL_CM, what="reach [cm]")
    height = within(vertical_cm, 0.0, 175.0, what="height of the hands [cm]")
    travel = within(travel_cm, 0.0, 175.0, what="height of the lift [cm]")
    turn = within(asymmetry_deg, 0.0, 135.0, what="turn of the body [degrees]")
    frequency = within(frequency_multiplier, 0.0, 1.0, what="frequency multiplier")
    coupling = within(coupling_multiplier, 0.0, 1.0, what="coupling multiplier")
    horizontal = NEAREST_HORIZONTAL_CM / np.maximum(reach, NEAREST_HORIZONTAL_CM)
    vertical = 1.0 - 0.003 * np.abs(height - KNUCKLE_HEIGHT_CM)
    distance = 0.82 + 4.5 / np.maximum(travel, LEAST_TRAVEL_CM)
    asymmetry = 1.0 - 0.0032 * turn
    return np.asarray(LOAD_CONSTANT_KG * horizontal * vertical * distance * asymmetry * frequency * coupling)
