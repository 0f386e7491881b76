"""Time to carbonate a keg through its surface: by convection, as it is, and by diffusion alone."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.gas import CARBON_DIOXIDE_G_MOL
from gyle.science.ranges import within

__all__ = [
    "carbonated_fraction",
    "carbonation_days",
    "convection_time_days",
    "density_rise",
    "diffusion_days",
]

Array = NDArray[np.float64]

GRAVITY_M_S2 = 9.80665
PARTIAL_VOLUME_M3_MOL = 37.6e-6  # of dissolved carbon dioxide
DAY_S = 86400.0


def density_rise(beer_kg_m3: ArrayLike) -> Array:
    """Return how much denser beer becomes with dissolved carbon dioxide.

    Parameters
    ----------
    beer_kg_m3 : array_like of float, any shape
        Density of the beer [kg/m³]; 900 to 1,300.

    Returns
    -------
    ndarray of float64, same shape
        Rise of density over carbon dioxide, both by mass and volume [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    1 - rho v/M with a partial molar volume of 37.6 cm³/mol. The carbonated layer at the surface
    therefore sinks.

    References
    ----------
    .. [1] Partial molar volume of dissolved carbon dioxide. Provenance: memory.

    Examples
    --------
    >>> float(density_rise(1010.0).round(4))
    0.1371
    """
    beer_kg_m3 = within(beer_kg_m3, 900.0, 1300.0, what="beer density [kg/m³]")
    result: Array = 1.0 - beer_kg_m3 * PARTIAL_VOLUME_M3_MOL / (CARBON_DIOXIDE_G_MOL / 1000.0)
    return result


def convection_time_days(
    depth_m: ArrayLike,
    *,
    deficit_g_L: ArrayLike,
    diffusion_m2_s: ArrayLike,
    viscosity_Pa_s: ArrayLike,
    beer_kg_m3: ArrayLike,
    transport_constant: ArrayLike,
) -> Array:
    """Return the time scale of carbonating a keg at rest.

    Parameters
    ----------
    depth_m : array_like of float, any shape
        Depth of the beer [m]; 0.001 to 100.
    deficit_g_L : array_like of float, broadcastable
        Carbon dioxide to be gained at the start [g/L]; 1e-6 to 100.
    diffusion_m2_s : array_like of float, broadcastable
        Diffusion coefficient in the beer [m²/s]; 1e-12 to 1e-6.
    viscosity_Pa_s : array_like of float, broadcastable
        Viscosity of the beer [Pa s]; 1e-5 to 10, 0.0024 for 5 % at 6 °C.
    beer_kg_m3 : array_like of float, broadcastable
        Density of the beer [kg/m³]; 900 to 1,300.
    transport_constant : array_like of float, broadcastable
        Constant of turbulent free convection [1]; 1e-6 to 10, 0.05 to 0.15, fitted to a brewer's
        own kegs.

    Returns
    -------
    ndarray of float64, broadcast shape
        Depth over the first transfer speed [d].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    k = C D (g b dc/(mu D))^(1/3).

    References
    ----------
    .. [1] Textbook law of turbulent free convection, Sherwood number C Ra^(1/3). Provenance:
       ours.

    Examples
    --------
    >>> scale = convection_time_days(
    ...     0.45, deficit_g_L=3.28, diffusion_m2_s=6.82e-10, viscosity_Pa_s=2.42e-3,
    ...     beer_kg_m3=1010.0, transport_constant=0.15
    ... )
    >>> float(scale.round(2))
    3.67
    """
    depth_m = within(depth_m, 0.001, 100.0, what="depth [m]")
    deficit_g_L = within(deficit_g_L, 1e-6, 100.0, what="deficit [g/L]")
    diffusion_m2_s = within(diffusion_m2_s, 1e-12, 1e-6, what="diffusion [m²/s]")
    viscosity_Pa_s = within(viscosity_Pa_s, 1e-5, 10.0, what="viscosity [Pa s]")
    transport_constant = within(transport_constant, 1e-6, 10.0, what="transport constant")
    beer_kg_m3 = np.asarray(beer_kg_m3, dtype=np.float64)
    buoyancy = GRAVITY_M_S2 * density_rise(beer_kg_m3) * deficit_g_L / (viscosity_Pa_s * diffusion_m2_s)
    speed = transport_constant * diffusion_m2_s * np.cbrt(buoyancy)
    result: Array = depth_m / speed / DAY_S
    return result


def carbonation_days(fraction: ArrayLike, *, convection_time_days: ArrayLike) -> Array:
    """Return the days a keg at rest takes to carbonate through its surface.

    Parameters
    ----------
    fraction : array_like of float, any shape
        Share of the way wanted [1]; 0 to 0.9999.
    convection_time_days : array_like of float, broadcastable
        Time scale of the keg [d]; 0 or more.

    Returns
    -------
    ndarray of float64, broadcast shape
        Time [d].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    t = 3 t0 ((1 - X)^(-1/3) - 1), since the deficit itself drives the flow. Ninety in a hundred
    takes one to two weeks. Shaking needs minutes.

    References
    ----------
    .. [1] Closed solution of dc/dt = -k c^(4/3). Provenance: ours.

    Examples
    --------
    >>> float(carbonation_days(0.90, convection_time_days=3.668).round(1))
    12.7
    """
    fraction = within(fraction, 0.0, 0.9999, what="fraction")
    convection_time_days = within(convection_time_days, 0.0, 1e6, what="time scale [d]")
    result: Array = 3.0 * convection_time_days * ((1.0 - fraction) ** (-1.0 / 3.0) - 1.0)
    return result


def carbonated_fraction(days: ArrayLike, *, convection_time_days: ArrayLike) -> Array:
    """Return how far a keg at rest has carbonated.

    Parameters
    ----------
    days : array_like of float, any shape
        Time under pressure [d]; 0 to 100,000.
    convection_time_days : array_like of float, broadcastable
        Time scale of the keg [d]; above 1e-9.

    Returns
    -------
    ndarray of float64, broadcast shape
        Share of the way [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    X = 1 - (1 + t/(3 t0))^-3, the inverse of `carbonation_days`.

    References
    ----------
    .. [1] Closed solution of dc/dt = -k c^(4/3). Provenance: ours.

    Examples
    --------
    >>> float(carbonated_fraction(12.70, convection_time_days=3.668).round(3))
    0.9
    """
    days = within(days, 0.0, 1e5, what="days")
    convection_time_days = within(convection_time_days, 1e-9, 1e6, what="time scale [d]")
    result: Array = 1.0 - (1.0 + days / (3.0 * convection_time_days)) ** -3.0
    return result


def diffusion_days(fraction: ArrayLike, *, depth_m: ArrayLike, diffusion_m2_s: ArrayLike) -> Array:
    """Return the days that carbonation by pure diffusion would take.

    Parameters
    ----------
    fraction : array_like of float, any shape
        Share of the way [1]; 0.5 to 0.9999.
    depth_m : array_like of float, broadcastable
        Depth below the one open face [m]; 0.001 to 100.
    diffusion_m2_s : array_like of float, broadcastable
        Diffusion coefficient in the beer [m²/s]; 1e-12 to 1e-6.

    Returns
    -------
    ndarray of float64, broadcast shape
        Time [d].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    First term of the series: t = -(4/pi^2) ln(pi^2 (1 - X)/8) L^2/D. Years: it shows that kegs
    carbonate by convection.

    References
    ----------
    .. [1] Crank, The Mathematics of Diffusion. Provenance: memory.

    Examples
    --------
    >>> float(diffusion_days(0.90, depth_m=0.5, diffusion_m2_s=6.82e-10).round(-1))
    3600.0
    """
    fraction = within(fraction, 0.5, 0.9999, what="fraction")
    depth_m = within(depth_m, 0.001, 100.0, what="depth [m]")
    diffusion_m2_s = within(diffusion_m2_s, 1e-12, 1e-6, what="diffusion [m²/s]")
    result: Array = -4.0 / np.pi**2 * np.log(np.pi**2 * (1.0 - fraction) / 8.0) * depth_m**2 / diffusion_m2_s / DAY_S
    return result
