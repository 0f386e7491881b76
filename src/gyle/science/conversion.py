"""Conversion of starch in the mash: accessible starch, enzymes left, and their exposure.

A reduced kinetic model with one state for each vessel: starch made accessible, the two enzymes that are
left, and the *exposure* of dissolved starch to them. Its form and its enzyme decay follow published
work; its scales are fitted to a set of anchors, and a brewery's own log is to move them.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = [
    "ANCHOR_FIT",
    "ANCHOR_FIT_SPREAD",
    "ConversionParameters",
    "MashState",
    "Spread",
    "conversion_efficiency",
    "conversion_parameters",
    "gelatinised_fraction",
    "rest",
    "starting_state",
]

Array = NDArray[np.float64]

KELVIN_AT_0_C = 273.15
REFERENCE_K = 338.15  # 65 °C
GAS_CONSTANT_KJ_MOLK = 8.314e-3

# Gelatinisation rate at 65 °C [1/min], its growth [1/K], and the onset that opens it.
GELATINISATION_PER_MIN = 0.35
GELATINISATION_GROWTH_PER_K = 0.11
GELATINISATION_ONSET_C = 58.8
GELATINISATION_ONSET_WIDTH_K = 1.2

# Activation energies with which the enzymes die [kJ/mol] (Brandam et al. 2003).
BETA_DECAY_KJ_MOL = 410.7
ALPHA_DECAY_KJ_MOL = 224.2

HOTTEST_C = 110.0
LONGEST_MIN = 2880.0


class MashState(NamedTuple):
    """State of one mash between two rests; every field [fraction], exposure [-], broadcasting.

    Parameters
    ----------
    accessible : ndarray of float64
        Starch that has been wetted and gelatinised; 0 to 1.
    beta : ndarray of float64
        Beta-amylase left, 1 at mashing in.
    alpha : ndarray of float64
        Alpha-amylase left, 1 at mashing in.
    exposure : ndarray of float64
        Action of the enzymes on accessible starch so far; 0 or more.

    Examples
    --------
    >>> MashState(accessible=0.9, beta=0.1, alpha=0.6, exposure=2.0).alpha
    0.6
    """

    accessible: Array
    beta: Array
    alpha: Array
    exposure: Array


class ConversionParameters(NamedTuple):
    """Parameters of the conversion model, scalars or one value a draw; all above 0.

    Parameters
    ----------
    k_access : ndarray of float64
        Rate of wetting by crush and stirring [1/min].
    beta_rate, alpha_rate : ndarray of float64
        Rates at which the two enzymes die at 65 °C [1/min].
    beta_scale, alpha_scale : ndarray of float64
        Exposure takes this long for one unit at 65 °C with the enzyme whole [min].
    beta_activation_kJ, alpha_activation_kJ : ndarray of float64
        Activation energies with which the two enzymes act [kJ/mol].
    floor, ceiling : ndarray of float64
        Limits of apparent attenuation without exposure and with endless exposure [fraction].

    Examples
    --------
    >>> ConversionParameters._fields[-2:]
    ('floor', 'ceiling')
    """

    k_access: Array
    beta_rate: Array
    alpha_rate: Array
    beta_scale: Array
    alpha_scale: Array
    beta_activation_kJ: Array
    alpha_activation_kJ: Array
    floor: Array
    ceiling: Array


class Spread(NamedTuple):
    """One standard deviation of a parameter, as data.

    Parameters
    ----------
    size : float
        In the parameter's own unit, or of its natural logarithm.
    logarithmic : bool
        Whether it is the logarithm that spreads.

    Examples
    --------
    >>> Spread(0.3, logarithmic=True).size
    0.3
    """

    size: float
    logarithmic: bool


def _gelatinisation_per_min(temperature_C: Array) -> Array:
    opening = 1.0 + np.exp((GELATINISATION_ONSET_C - temperature_C) / GELATINISATION_ONSET_WIDTH_K)
    return np.asarray(GELATINISATION_PER_MIN * np.exp(GELATINISATION_GROWTH_PER_K * (temperature_C - 65.0)) / opening)


def gelatinised_fraction(temperature_C: ArrayLike, minutes: ArrayLike) -> Array:
    """Give the share of wetted starch that gelatinises in a rest.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Mash temperature [°C]; 0 to 110.
    minutes : array_like of float, broadcasting
        Length of the rest [min]; 0 to 2880.

    Returns
    -------
    ndarray of float64, broadcast shape
        Gelatinised starch [fraction].

    Raises
    ------
    OutOfRange
        If a temperature or a time is not a number or outside its range.

    Notes
    -----
    First order, k = 0.35 exp[0.11 (T - 65)] / {1 + exp[-(T - 58.8) / 1.2]} per minute: barley
    starch hardly opens below 57 °C and needs only minutes above 62 °C.

    References
    ----------
    .. [1] Shape fitted to Rittenauer et al., Foods 10:1733 (2021) and to the rates of Brandam et
       al., Biochem. Eng. J. 13:43 (2003). Provenance: ours.

    Examples
    --------
    >>> gelatinised_fraction([56.0, 63.0], 10.0).round(3)
    array([0.109, 0.935])
    """
    t = within(temperature_C, 0.0, HOTTEST_C, what="mash temperature [°C]")
    duration = within(minutes, 0.0, LONGEST_MIN, what="rest [min]")
    return np.asarray(-np.expm1(-_gelatinisation_per_min(t) * duration))


def conversion_parameters(
    *,
    k_access: ArrayLike,
    beta_rate: ArrayLike,
    alpha_rate: ArrayLike,
    beta_scale: ArrayLike,
    alpha_scale: ArrayLike,
    beta_activation_kJ: ArrayLike,
    alpha_activation_kJ: ArrayLike,
    floor: ArrayLike,
    ceiling: ArrayLike,
) -> ConversionParameters:
    """Check a set of parameters once, so that no rest has to.

    Parameters
    ----------
    k_access : array_like of float, broadcasting
        Rate of wetting [1/min]; 0.0001 to 10. A mash neither stirred nor recirculated takes 0.6
        of it.
    beta_rate, alpha_rate : array_like of float, broadcasting
        Rates at which the enzymes die at 65 °C [1/min]; 1e-6 to 10.
    beta_scale, alpha_scale : array_like of float, broadcasting
        Minutes for one unit of exposure at 65 °C [min]; 0.01 to 10,000.
    beta_activation_kJ, alpha_activation_kJ : array_like of float, broadcasting
        Activation energies of their action [kJ/mol]; 0 to 200.
    floor, ceiling : array_like of float, broadcasting
        Limits of apparent attenuation [fraction]; 0 to 1, floor not above the ceiling.

    Returns
    -------
    ConversionParameters
        The same values as float64 arrays.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range, or a floor lies above its ceiling.

    Notes
    -----
    Draws are truncated to these ranges when they are made, so none of them raises here.

    References
    ----------
    .. [1] Ranges of the fitted model. Provenance: ours.

    Examples
    --------
    >>> conversion_parameters(**ANCHOR_FIT._asdict()).beta_scale
    array(1.8)
    """
    low = within(floor, 0.0, 1.0, what="floor of attenuation")
    high = within(ceiling, 0.0, 1.0, what="ceiling of attenuation")
    within(high - low, 0.0, 1.0, what="ceiling less floor of attenuation")
    return ConversionParameters(
        k_access=within(k_access, 1e-4, 10.0, what="rate of wetting [1/min]"),
        beta_rate=within(beta_rate, 1e-6, 10.0, what="decay of beta-amylase [1/min]"),
        alpha_rate=within(alpha_rate, 1e-6, 10.0, what="decay of alpha-amylase [1/min]"),
        beta_scale=within(beta_scale, 0.01, 1e4, what="scale of beta-amylase [min]"),
        alpha_scale=within(alpha_scale, 0.01, 1e4, what="scale of alpha-amylase [min]"),
        beta_activation_kJ=within(beta_activation_kJ, 0.0, 200.0, what="activation of beta-amylase [kJ/mol]"),
        alpha_activation_kJ=within(alpha_activation_kJ, 0.0, 200.0, what="activation of alpha-amylase [kJ/mol]"),
        floor=low,
        ceiling=high,
    )


ANCHOR_FIT = conversion_parameters(
    k_access=0.08,
    beta_rate=0.105,
    alpha_rate=0.0096,
    beta_scale=1.8,
    alpha_scale=15.5,
    beta_activation_kJ=55.0,
    alpha_activation_kJ=61.0,
    floor=0.24,
    ceiling=0.85,
)
"""Centre of the fit to attenuation anchors for all-malt pale mashes at pH 5.2 to 5.6. Provenance: ours."""

ANCHOR_FIT_SPREAD: Mapping[str, Spread] = MappingProxyType(
    {
        "k_access": Spread(0.3, logarithmic=True),
        "beta_rate": Spread(0.3, logarithmic=True),
        "beta_scale": Spread(0.3, logarithmic=True),
        "alpha_scale": Spread(0.15, logarithmic=True),
        "beta_activation_kJ": Spread(8.0, logarithmic=False),
        "alpha_activation_kJ": Spread(9.0, logarithmic=False),
        "floor": Spread(0.03, logarithmic=False),
        "ceiling": Spread(0.015, logarithmic=False),
    }
)
"""Standard deviations of the fitted parameters; `alpha_rate` has none. Provenance: ours."""


def starting_state(beta: ArrayLike, alpha: ArrayLike) -> MashState:
    """Give the state of a mash as the grist meets the liquor.

    Parameters
    ----------
    beta, alpha : array_like of float, any shapes that broadcast
        Enzymes that the mash begins with, 1 for a malt of ample diastatic power [fraction];
        0 to 5. A boiled decoction or a second mash in a first wort begins with others.

    Returns
    -------
    MashState
        Nothing accessible, no exposure, these enzymes.

    Raises
    ------
    OutOfRange
        If an enzyme is not a number or outside 0 to 5.

    Notes
    -----
    Accessible starch and exposure take the shape of both enzymes broadcast.

    References
    ----------
    .. [1] Start of the fitted model. Provenance: ours.

    Examples
    --------
    >>> starting_state(1.0, 1.0).beta
    array(1.)
    """
    b = within(beta, 0.0, 5.0, what="beta-amylase at the start")
    a = within(alpha, 0.0, 5.0, what="alpha-amylase at the start")
    shape = np.broadcast_shapes(b.shape, a.shape)
    return MashState(np.zeros(shape), b, a, np.zeros(shape))


def rest(
    state: MashState, temperature_C: ArrayLike, *, minutes: ArrayLike, parameters: ConversionParameters
) -> MashState:
    """Take a mash through one rest at a constant temperature.

    Parameters
    ----------
    state : MashState
        State before; a sequence of its four fields serves too.
    temperature_C : array_like of float, broadcasting
        Mash temperature [°C]; 0 to 110. A ramp is a run of two-minute rests.
    minutes : array_like of float, broadcasting
        Length of the rest [min]; 0 to 2880.
    parameters : ConversionParameters
        Checked once by `conversion_parameters`, not here.

    Returns
    -------
    MashState
        State after; its accessible starch and exposure never fall, its enzymes never rise.

    Raises
    ------
    OutOfRange
        If a temperature or a time is not a number or outside its range.

    Notes
    -----
    dH/dt = k (1 - H), dB/dt = -k_B B, dA/dt = -k_A A, dx/dt = H (B r_B + A r_A) with 1/k the sum
    of the two resistances to gelatinise and to wet. With g(q) = (1 - exp(-q t)) / q, the integral
    of B H is B0 [g(k_B) - (1 - H0) g(k_B + k)]: exact for any length of rest. As a single rest of
    60 min it gives a limit of attenuation of 85.0, 82.3, 77.9 and 65.5 per cent at 62.5, 66, 68 and
    72 °C; the fit ties it to consensus anchors with a spread of 2 points, 4 above 75 °C.

    References
    ----------
    .. [1] Reduced form fitted to anchors. Provenance: ours.
    .. [2] Brandam et al., Biochem. Eng. J. 13:43 (2003): activation energies of enzyme decay.
       Provenance: memory.

    Examples
    --------
    >>> after = rest(starting_state(1.0, 1.0), 66.0, minutes=60.0, parameters=ANCHOR_FIT)
    >>> float(after.alpha.round(4)), float(after.accessible.round(4))
    (0.4825, 0.9814)
    """
    accessible, beta, alpha, exposure = (np.asarray(field, dtype=np.float64) for field in state)
    hidden = 1.0 - accessible
    k_access, beta_rate, alpha_rate, beta_scale, alpha_scale, beta_activation, alpha_activation, _, _ = (
        np.asarray(field, dtype=np.float64) for field in parameters
    )
    t = within(temperature_C, 0.0, HOTTEST_C, what="mash temperature [°C]")
    duration = within(minutes, 0.0, LONGEST_MIN, what="rest [min]")

    inverse_kelvin = (1.0 / REFERENCE_K - 1.0 / (t + KELVIN_AT_0_C)) / GAS_CONSTANT_KJ_MOLK
    beta_decay = beta_rate * np.exp(BETA_DECAY_KJ_MOL * inverse_kelvin)
    alpha_decay = alpha_rate * np.exp(ALPHA_DECAY_KJ_MOL * inverse_kelvin)
    beta_action = np.exp(beta_activation * inverse_kelvin) / beta_scale
    alpha_action = np.exp(alpha_activation * inverse_kelvin) / alpha_scale
    gelatinise = _gelatinisation_per_min(t)
    k = gelatinise * k_access / (gelatinise + k_access)

    # One less than each decay over the rest; products keep the small ones exact.
    opened = np.expm1(-k * duration)
    beta_lost = np.expm1(-beta_decay * duration)
    alpha_lost = np.expm1(-alpha_decay * duration)
    beta_both = opened + beta_lost + opened * beta_lost
    alpha_both = opened + alpha_lost + opened * alpha_lost
    beta_on_starch = beta * (hidden * beta_both / (beta_decay + k) - beta_lost / beta_decay)
    alpha_on_starch = alpha * (hidden * alpha_both / (alpha_decay + k) - alpha_lost / alpha_decay)
    gained = beta_on_starch * beta_action + alpha_on_starch * alpha_action
    return MashState(
        accessible=1.0 - hidden * (1.0 + opened),
        beta=beta * (1.0 + beta_lost),
        alpha=alpha * (1.0 + alpha_lost),
        exposure=exposure + np.maximum(gained, 0.0),
    )


def conversion_efficiency(accessible: ArrayLike, *, eventual: ArrayLike) -> Array:
    """Give the share of the fine-grind potential that a mash has dissolved.

    Parameters
    ----------
    accessible : array_like of float, any shape
        Accessible starch at the end of the mash [fraction]; 0 to 1.
    eventual : array_like of float, broadcasting
        What the crush yields in the end: 0.97 as a rule, 0.93 coarse, 0.985 very fine [fraction].

    Returns
    -------
    ndarray of float64, broadcast shape
        Conversion efficiency [fraction].

    Raises
    ------
    OutOfRange
        If a fraction is not a number or outside 0 to 1.

    Notes
    -----
    Their product; 0.95 for 60 min at 66 °C.

    References
    ----------
    .. [1] Modelling choice; eventual yields by trade experience. Provenance: ours.

    Examples
    --------
    >>> float(conversion_efficiency(0.9814, eventual=0.97).round(3))
    0.952
    """
    share = within(accessible, 0.0, 1.0, what="accessible starch")
    return np.asarray(share * within(eventual, 0.0, 1.0, what="eventual conversion"))
