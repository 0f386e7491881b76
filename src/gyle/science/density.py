"""Density of water and of sugar solutions at any temperature a brewery has, and what it does to volumes."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = [
    "steel_volume_ratio",
    "sucrose_pct_of_density",
    "sucrose_solution_kg_m3",
    "volume_at_20C_ratio",
    "water_kg_m3",
]

Array = NDArray[np.float64]

TEMPERATURE_LOW, TEMPERATURE_HIGH = -5.0, 110.0  # °C; liquid, from a cold crash to a strong wort's boil
SUCROSE_LOW, SUCROSE_HIGH = -10.0, 85.0  # g per 100 g; the negative end serves hydrometers in dry beer

# ICUMSA sucrose density: term [k][i] multiplies w^(i+1) ((t - 20)/100)^k.
_SUCROSE = (
    (385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.2890),
    (-46.2720, -7.1720, 1.1597, 5.1126, 17.5254, 0.0),
    (59.7712, 7.2491, 12.3630, -35.4791, 0.0, 0.0),
    (-47.2207, -21.6977, 27.6301, 0.0, 0.0, 0.0),
    (18.3184, 12.3081, 0.0, 0.0, 0.0, 0.0),
)
_POWERS = len(_SUCROSE[0])


def _temperature(temperature_C: ArrayLike) -> Array:
    return within(temperature_C, TEMPERATURE_LOW, TEMPERATURE_HIGH, what="temperature [°C]")


def _water(t: Array) -> Array:
    above = 999.83952 + t * (
        16.952577 + t * (-7.9905127e-3 + t * (-46.241757e-6 + t * (105.84601e-9 - t * 281.03006e-12)))
    )
    return above / (1.0 + 16.887236e-3 * t)


def _sucrose_terms(t: Array) -> list[Array]:
    """Coefficients of w, w², ... at these temperatures."""
    x = (t - 20.0) / 100.0
    terms = []
    for i in range(_POWERS):
        total = np.full_like(x, _SUCROSE[-1][i])
        for k in range(len(_SUCROSE) - 2, -1, -1):
            total = total * x + _SUCROSE[k][i]
        terms.append(total)
    return terms


def _excess(terms: list[Array], w: Array) -> Array:
    total = terms[-1] * w
    for term in terms[-2::-1]:
        total = (total + term) * w
    return total


def _excess_slope(terms: list[Array], w: Array) -> Array:
    total = _POWERS * terms[-1]
    for i in range(_POWERS - 2, -1, -1):
        total = total * w + (i + 1) * terms[i]
    return total


def water_kg_m3(temperature_C: ArrayLike) -> Array:
    """Find the density of air-free water at one atmosphere.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Temperature [°C, ITS-90]; -5 to 110.

    Returns
    -------
    ndarray of float64, same shape
        Density of the liquid [kg/m³].

    Raises
    ------
    OutOfRange
        If a temperature is not a number or outside -5 to 110; the message names the first.

    Notes
    -----
    Kell's rational form on ITS-90, the water term that the sucrose equation below was fitted with.
    Within 0.03 kg/m³ of IAPWS-95 from 0 to 100 °C; above the boil it is the superheated liquid's.

    References
    ----------
    .. [1] Kell, J. Chem. Eng. Data 20, 97-105, 1975, moved to ITS-90.
       Provenance: retrieved (transcription of the sugar literature).

    Examples
    --------
    >>> water_kg_m3([4.0, 20.0, 67.0]).round(2)
    array([999.97, 998.2 , 979.45])
    """
    return _water(_temperature(temperature_C))


def sucrose_solution_kg_m3(extract_pct: ArrayLike, temperature_C: ArrayLike) -> Array:
    """Find the density of a sucrose solution, the stand-in for wort, at a temperature.

    Parameters
    ----------
    extract_pct : array_like of float, any shape
        Extract [°P, g per 100 g]; -10 to 85.
    temperature_C : array_like of float, shape that broadcasts with the extract
        Temperature [°C]; -5 to 110.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Density [kg/m³].

    Raises
    ------
    OutOfRange
        If an extract or temperature is not a number or outside its range.

    Notes
    -----
    rho = rho_water(t) + Σ_k Σ_i C[k][i] w^(i+1) ((t - 20)/100)^k with w the mass fraction. The equation's
    own domain is 0 to 80 °C; to the boil it is continued smoothly, which is sound up to about 35 °P.
    A real wort of the same extract differs by about 0.3 kg/m³ (one standard deviation).

    References
    ----------
    .. [1] Bettin, Emmerich, Spieweck, Rieger, Zuckerindustrie 123, 341-348, 1998; ICUMSA SPS-4.
       Provenance: retrieved (coefficients, in two agreeing transcriptions), citation from memory.

    Examples
    --------
    >>> sucrose_solution_kg_m3([10.0, 20.0], 20.0).round(2)
    array([1038.12, 1080.98])
    """
    w = within(extract_pct, SUCROSE_LOW, SUCROSE_HIGH, what="extract [°P]") / 100.0
    t = _temperature(temperature_C)
    return _water(t) + _excess(_sucrose_terms(t), w)


def sucrose_pct_of_density(density_kg_m3: ArrayLike, temperature_C: ArrayLike) -> Array:
    """Find the sucrose in a solution from its density at a temperature.

    Parameters
    ----------
    density_kg_m3 : array_like of float, any shape
        Density at that temperature [kg/m³]; 900 to 1500.
    temperature_C : array_like of float, shape that broadcasts with the density
        Temperature [°C]; -5 to 110.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Sucrose [g per 100 g]; negative where the liquid is lighter than water.

    Raises
    ------
    OutOfRange
        If a density or temperature is not a number or outside its range, or if the density is that of no
        sucrose solution from -10 to 85 %.

    Notes
    -----
    The numerical inverse of `sucrose_solution_kg_m3` by six Newton steps.

    References
    ----------
    .. [1] Bettin, Emmerich, Spieweck, Rieger, Zuckerindustrie 123, 341-348, 1998; ICUMSA SPS-4.
       Provenance: retrieved (coefficients, in two agreeing transcriptions), citation from memory.

    Examples
    --------
    >>> float(sucrose_pct_of_density(1080.98, 20.0).round(2))
    20.0
    """
    density = within(density_kg_m3, 900.0, 1500.0, what="density [kg/m³]")
    t = _temperature(temperature_C)
    terms = _sucrose_terms(t)
    excess = density - _water(t)
    w = excess / (385.0 + 0.35 * excess)
    for _ in range(6):
        w = w - (_excess(terms, w) - excess) / _excess_slope(terms, w)
    return within(100.0 * w, SUCROSE_LOW, SUCROSE_HIGH, what="sucrose of that density [%]")


def volume_at_20C_ratio(extract_pct: ArrayLike, temperature_C: ArrayLike) -> Array:
    """Find what a litre of wort at a temperature becomes at 20 °C.

    Parameters
    ----------
    extract_pct : array_like of float, any shape
        Extract [°P, g per 100 g]; -10 to 85.
    temperature_C : array_like of float, shape that broadcasts with the extract
        Temperature at which the volume was read [°C]; -5 to 110.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Volume at 20 °C over volume at the temperature, of the same mass [L/L].

    Raises
    ------
    OutOfRange
        If an extract or temperature is not a number or outside its range.

    Notes
    -----
    The ratio of the two densities. From the boil it is 0.960 at every gravity, the trade's "4 %"; from
    a mash at 67 °C it is 0.981, so one shrinkage for all hot readings is wrong by 2 %.

    References
    ----------
    .. [1] Bettin, Emmerich, Spieweck, Rieger, Zuckerindustrie 123, 341-348, 1998; ICUMSA SPS-4.
       Provenance: retrieved (coefficients, in two agreeing transcriptions), citation from memory.

    Examples
    --------
    >>> volume_at_20C_ratio([0.0, 12.0, 30.0], 100.0).round(4)
    array([0.9601, 0.9601, 0.9604])
    """
    hot = sucrose_solution_kg_m3(extract_pct, temperature_C)
    return hot / sucrose_solution_kg_m3(extract_pct, 20.0)


def steel_volume_ratio(
    temperature_C: ArrayLike,
    *,
    calibration_temperature_C: ArrayLike,
    expansion_per_K: ArrayLike,
) -> Array:
    """Find how much more a metal vessel holds at its marks when it is hot.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Temperature of the vessel when its mark is read [°C]; -5 to 110.
    calibration_temperature_C : array_like of float, shape that broadcasts
        Temperature at which the mark was made [°C]; -5 to 110.
    expansion_per_K : array_like of float, shape that broadcasts
        Linear expansion of the metal [1/K]; 0 to 0.0001. Austenitic steel has about 16.5e-6.

    Returns
    -------
    ndarray of float64, the broadcast shape
        True volume over the volume that the mark says [L/L].

    Raises
    ------
    OutOfRange
        If an argument is not a number or outside its range.

    Notes
    -----
    A vessel grows alike in its three directions: (1 + a ΔT)³. Steel marked cold holds 0.4 % more at the boil.

    References
    ----------
    .. [1] Linear expansion of a solid, any physics handbook; 16.5e-6 /K for austenitic steel.
       Provenance: memory.

    Examples
    --------
    >>> float(steel_volume_ratio(100.0, calibration_temperature_C=20.0, expansion_per_K=16.5e-6).round(4))
    1.004
    """
    read = _temperature(temperature_C)
    made = within(calibration_temperature_C, TEMPERATURE_LOW, TEMPERATURE_HIGH, what="calibration temperature [°C]")
    per_K = within(expansion_per_K, 0.0, 1e-4, what="linear expansion [1/K]")
    return (1.0 + per_K * (read - made)) ** 3
