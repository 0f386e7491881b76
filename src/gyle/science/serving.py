"""Serving: friction in a beer line, its length for a wanted pour, and the pour of a given line."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = ["friction_factor", "line_friction_kPa_m", "line_length_m", "pour_mL_s", "reynolds_number"]

Array = NDArray[np.float64]

GRAVITY_M_S2 = 9.80665
LOWEST_ML_S, HIGHEST_ML_S = 1e-3, 1e4
HALVINGS = 60


def friction_factor(reynolds: ArrayLike, *, relative_roughness: ArrayLike) -> Array:
    """Return the Darcy friction factor of a pipe at any flow.

    Parameters
    ----------
    reynolds : array_like of float, any shape
        Reynolds number [1]; above 0.001.
    relative_roughness : array_like of float, broadcastable
        Roughness over inner diameter [1]; 0 to 0.1.

    Returns
    -------
    ndarray of float64, broadcast shape
        Darcy friction factor [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Churchill's single equation for laminar, transitional and turbulent flow. Between 2,000 and
    4,500 nature itself varies by a quarter.

    References
    ----------
    .. [1] Churchill 1977, Chem. Eng. 84(24):91. Provenance: memory.

    Examples
    --------
    >>> friction_factor([1000.0, 1e5], relative_roughness=0.0).round(4)
    array([0.064 , 0.0179])
    """
    reynolds = within(reynolds, 1e-3, 1e9, what="Reynolds number")
    relative_roughness = within(relative_roughness, 0.0, 0.1, what="relative roughness")
    a = (2.457 * np.log(1.0 / ((7.0 / reynolds) ** 0.9 + 0.27 * relative_roughness))) ** 16
    c = (37530.0 / reynolds) ** 16
    result: Array = 8.0 * ((8.0 / reynolds) ** 12 + (a + c) ** -1.5) ** (1.0 / 12.0)
    return result


def reynolds_number(
    flow_mL_s: ArrayLike, *, bore_mm: ArrayLike, viscosity_Pa_s: ArrayLike, beer_kg_m3: ArrayLike
) -> Array:
    """Return the Reynolds number of beer in a line.

    Parameters
    ----------
    flow_mL_s : array_like of float, any shape
        Flow [mL/s]; above 1e-6, a home pour 30 to 45.
    bore_mm : array_like of float, broadcastable
        Inner diameter [mm]; 0.1 to 1,000.
    viscosity_Pa_s : array_like of float, broadcastable
        Viscosity of the beer [Pa s]; 1e-5 to 10.
    beer_kg_m3 : array_like of float, broadcastable
        Density of the beer [kg/m³]; 500 to 2,000.

    Returns
    -------
    ndarray of float64, broadcast shape
        Reynolds number [1].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    4 rho Q/(pi D mu).

    References
    ----------
    .. [1] Definition. Provenance: memory.

    Examples
    --------
    >>> float(reynolds_number(59.15, bore_mm=4.76, viscosity_Pa_s=2.42e-3, beer_kg_m3=1010.0).round(0))
    6603.0
    """
    flow_mL_s = within(flow_mL_s, 1e-6, 1e6, what="flow [mL/s]")
    bore_mm = within(bore_mm, 0.1, 1000.0, what="bore [mm]")
    viscosity_Pa_s = within(viscosity_Pa_s, 1e-5, 10.0, what="viscosity [Pa s]")
    beer_kg_m3 = within(beer_kg_m3, 500.0, 2000.0, what="beer density [kg/m³]")
    result: Array = 4.0 * beer_kg_m3 * flow_mL_s * 1e-6 / (np.pi * bore_mm * 1e-3 * viscosity_Pa_s)
    return result


def line_friction_kPa_m(
    flow_mL_s: ArrayLike,
    *,
    bore_mm: ArrayLike,
    viscosity_Pa_s: ArrayLike,
    beer_kg_m3: ArrayLike,
    roughness_um: ArrayLike,
) -> Array:
    """Return the pressure lost in each metre of beer line.

    Parameters
    ----------
    flow_mL_s : array_like of float, any shape
        Flow [mL/s]; above 1e-6.
    bore_mm : array_like of float, broadcastable
        Inner diameter [mm]; 0.1 to 1,000.
    viscosity_Pa_s : array_like of float, broadcastable
        Viscosity of the beer [Pa s]; 1e-5 to 10.
    beer_kg_m3 : array_like of float, broadcastable
        Density of the beer [kg/m³]; 500 to 2,000.
    roughness_um : array_like of float, broadcastable
        Roughness of the wall [µm]; 0 to 1,000, 1.5 for plastic.

    Returns
    -------
    ndarray of float64, broadcast shape
        Pressure lost [kPa/m].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    f rho v^2/(2 D). It is no property of the tube alone: it grows as Q^1.75 and D^-4.75, so 3 %
    on the bore is 14 % on the length.

    References
    ----------
    .. [1] Darcy-Weisbach equation. Provenance: memory.

    Examples
    --------
    >>> lost = line_friction_kPa_m(
    ...     59.15, bore_mm=4.76, viscosity_Pa_s=2.42e-3, beer_kg_m3=1010.0, roughness_um=1.5
    ... )
    >>> float(lost.round(1))
    41.4
    """
    roughness_um = within(roughness_um, 0.0, 1000.0, what="roughness [µm]")
    flow_mL_s = np.asarray(flow_mL_s, dtype=np.float64)
    bore_mm = np.asarray(bore_mm, dtype=np.float64)
    viscosity_Pa_s = np.asarray(viscosity_Pa_s, dtype=np.float64)
    beer_kg_m3 = np.asarray(beer_kg_m3, dtype=np.float64)
    reynolds = reynolds_number(flow_mL_s, bore_mm=bore_mm, viscosity_Pa_s=viscosity_Pa_s, beer_kg_m3=beer_kg_m3)
    bore = np.asarray(bore_mm, dtype=np.float64) * 1e-3
    speed = np.asarray(flow_mL_s, dtype=np.float64) * 1e-6 / (np.pi * bore**2 / 4.0)
    factor = friction_factor(reynolds, relative_roughness=roughness_um * 1e-6 / bore)
    result: Array = factor * np.asarray(beer_kg_m3, dtype=np.float64) * speed**2 / (2.0 * bore) / 1000.0
    return result


def line_length_m(
    flow_mL_s: ArrayLike,
    *,
    pressure_bar_g: ArrayLike,
    rise_m: ArrayLike,
    fittings: ArrayLike,
    bore_mm: ArrayLike,
    viscosity_Pa_s: ArrayLike,
    beer_kg_m3: ArrayLike,
    roughness_um: ArrayLike,
) -> Array:
    """Return the length of line that gives a wanted pour.

    Parameters
    ----------
    flow_mL_s : array_like of float, any shape
        Wanted flow [mL/s]; above 1e-6.
    pressure_bar_g : array_like of float, broadcastable
        Keg pressure, set by the carbonation [bar gauge]; 0 to 10.
    rise_m : array_like of float, broadcastable
        Tap above the beer in the keg [m]; -100 to 100.
    fittings : array_like of float, broadcastable
        Sum of the loss coefficients of fittings and tap [1]; 0 to 1,000.
    bore_mm : array_like of float, broadcastable
        Inner diameter [mm]; 0.1 to 1,000.
    viscosity_Pa_s : array_like of float, broadcastable
        Viscosity of the beer [Pa s]; 1e-5 to 10.
    beer_kg_m3 : array_like of float, broadcastable
        Density of the beer [kg/m³]; 500 to 2,000.
    roughness_um : array_like of float, broadcastable
        Roughness of the wall [µm]; 0 to 1,000.

    Returns
    -------
    ndarray of float64, broadcast shape
        Length [m]; 0 where the pressure does not even lift and speed the beer.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    What is left of the keg pressure after rho g dh and (1 + K) rho v^2/2, over the friction of a
    metre.

    References
    ----------
    .. [1] Darcy-Weisbach equation. Provenance: memory.

    Examples
    --------
    >>> length = line_length_m(
    ...     45.0, pressure_bar_g=0.814, rise_m=0.3, fittings=0.0,
    ...     bore_mm=4.76, viscosity_Pa_s=2.42e-3, beer_kg_m3=1010.0, roughness_um=1.5,
    ... )
    >>> float(length.round(2))
    2.9
    """
    pressure_bar_g = within(pressure_bar_g, 0.0, 10.0, what="keg pressure [bar gauge]")
    rise_m = within(rise_m, -100.0, 100.0, what="rise [m]")
    fittings = within(fittings, 0.0, 1000.0, what="loss coefficients")
    flow_mL_s = np.asarray(flow_mL_s, dtype=np.float64)
    bore_mm = np.asarray(bore_mm, dtype=np.float64)
    viscosity_Pa_s = np.asarray(viscosity_Pa_s, dtype=np.float64)
    beer_kg_m3 = np.asarray(beer_kg_m3, dtype=np.float64)
    roughness_um = np.asarray(roughness_um, dtype=np.float64)
    each = line_friction_kPa_m(
        flow_mL_s,
        bore_mm=bore_mm,
        viscosity_Pa_s=viscosity_Pa_s,
        beer_kg_m3=beer_kg_m3,
        roughness_um=roughness_um,
    )
    density = np.asarray(beer_kg_m3, dtype=np.float64)
    speed = np.asarray(flow_mL_s, dtype=np.float64) * 1e-6 / (np.pi * (np.asarray(bore_mm) * 1e-3) ** 2 / 4.0)
    left = pressure_bar_g * 100.0 - density * (GRAVITY_M_S2 * rise_m + (1.0 + fittings) * speed**2 / 2.0) / 1000.0
    result: Array = np.maximum(left, 0.0) / each
    return result


def pour_mL_s(
    length_m: ArrayLike,
    *,
    pressure_bar_g: ArrayLike,
    rise_m: ArrayLike,
    fittings: ArrayLike,
    bore_mm: ArrayLike,
    viscosity_Pa_s: ArrayLike,
    beer_kg_m3: ArrayLike,
    roughness_um: ArrayLike,
) -> Array:
    """Return the pour that a given line gives.

    Parameters
    ----------
    length_m : array_like of float, any shape
        Length of the line [m]; 0.001 to 1,000.
    pressure_bar_g : array_like of float, broadcastable
        Keg pressure [bar gauge]; 0 to 10.
    rise_m : array_like of float, broadcastable
        Tap above the beer in the keg [m]; -100 to 100.
    fittings : array_like of float, broadcastable
        Sum of the loss coefficients of fittings and tap [1]; 0 to 1,000.
    bore_mm : array_like of float, broadcastable
        Inner diameter [mm]; 0.1 to 1,000.
    viscosity_Pa_s : array_like of float, broadcastable
        Viscosity of the beer [Pa s]; 1e-5 to 10.
    beer_kg_m3 : array_like of float, broadcastable
        Density of the beer [kg/m³]; 500 to 2,000.
    roughness_um : array_like of float, broadcastable
        Roughness of the wall [µm]; 0 to 1,000.

    Returns
    -------
    ndarray of float64, broadcast shape
        Flow [mL/s], from 0.001 to 10,000.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    The inverse of `line_length_m`, by sixty halvings of the flow's logarithm; the length falls as
    the flow grows, so there is one answer. Zero if the beer does not reach the tap.

    References
    ----------
    .. [1] Darcy-Weisbach equation. Provenance: memory.

    Examples
    --------
    >>> flow = pour_mL_s(
    ...     2.90, pressure_bar_g=0.814, rise_m=0.3, fittings=0.0,
    ...     bore_mm=4.76, viscosity_Pa_s=2.42e-3, beer_kg_m3=1010.0, roughness_um=1.5,
    ... )
    >>> float(flow.round(0))
    45.0
    """
    length_m = within(length_m, 0.001, 1000.0, what="length [m]")
    pressure_bar_g = np.asarray(pressure_bar_g, dtype=np.float64)
    rise_m = np.asarray(rise_m, dtype=np.float64)
    fittings = np.asarray(fittings, dtype=np.float64)
    bore_mm = np.asarray(bore_mm, dtype=np.float64)
    viscosity_Pa_s = np.asarray(viscosity_Pa_s, dtype=np.float64)
    beer_kg_m3 = np.asarray(beer_kg_m3, dtype=np.float64)
    roughness_um = np.asarray(roughness_um, dtype=np.float64)

    def length_at(flow: Array) -> Array:
        return line_length_m(
            flow,
            pressure_bar_g=pressure_bar_g,
            rise_m=rise_m,
            fittings=fittings,
            bore_mm=bore_mm,
            viscosity_Pa_s=viscosity_Pa_s,
            beer_kg_m3=beer_kg_m3,
            roughness_um=roughness_um,
        )

    low = np.full_like(length_m + length_at(np.asarray(LOWEST_ML_S)), np.log(LOWEST_ML_S))
    high = np.full_like(low, np.log(HIGHEST_ML_S))
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        slower = length_at(np.exp(middle)) >= length_m
        low, high = np.where(slower, middle, low), np.where(slower, high, middle)
    reaches = length_at(np.asarray(LOWEST_ML_S)) > 0.0
    result: Array = np.where(reaches, np.exp(low), 0.0)
    return result
