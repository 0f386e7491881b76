"""The hydrometer: what a float made for one temperature means when it swims at another."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.density import sucrose_pct_of_density, sucrose_solution_kg_m3, water_kg_m3
from gyle.science.ranges import within

__all__ = ["corrected_gravity", "hydrometer_reading"]

Array = NDArray[np.float64]


def _float_stretch(
    sample_temperature_C: ArrayLike,
    calibration_temperature_C: ArrayLike,
    glass_expansion_per_K: ArrayLike,
) -> tuple[Array, Array, Array]:
    sample = within(sample_temperature_C, 0.0, 80.0, what="sample temperature [°C]")
    made_for = within(calibration_temperature_C, 0.0, 40.0, what="calibration temperature [°C]")
    glass = within(glass_expansion_per_K, 0.0, 1e-4, what="cubic expansion of glass [1/K]")
    return sample, made_for, 1.0 - glass * (sample - made_for)


def corrected_gravity(
    reading_sg: ArrayLike,
    sample_temperature_C: ArrayLike,
    *,
    calibration_temperature_C: ArrayLike,
    glass_expansion_per_K: ArrayLike,
) -> Array:
    """Correct a hydrometer reading to gravity at 20 °C.

    Parameters
    ----------
    reading_sg : array_like of float, any shape
        What the scale shows in degassed wort or beer [SG]; 0.95 to 1.20.
    sample_temperature_C : array_like of float, shape that broadcasts
        Temperature of the sample in the jar [°C]; 0 to 80. Above 45 the reading itself is poor.
    calibration_temperature_C : array_like of float, shape that broadcasts
        Temperature printed on the scale, 20 or 15.56 (60 °F) as a rule [°C]; 0 to 40.
    glass_expansion_per_K : array_like of float, shape that broadcasts
        Cubic expansion of the float's glass [1/K]; 0 to 0.0001. ISO 1768 fixes 25e-6 by convention.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Specific gravity, 20 °C over water at 20 °C [SG].

    Raises
    ------
    OutOfRange
        If an argument is not a number or outside its range, or if no sugar solution explains the reading.

    Notes
    -----
    The float displaces its own mass, so the liquid's density at T is R rho_water(Tc) [1 - g (T - Tc)].
    The sugar solution of that density at T is found and its gravity at 20 °C returned. The correction
    grows with gravity (at 40 °C: 0.0056 in water, 0.0074 at 1.100), which cubics made for water cannot show.
    Alcohol in the sample changes it by about 0.0002 for 10 K. Reading error: 0.0005 SG, and 0.0003 more
    for each 10 K (standard deviations).

    References
    ----------
    .. [1] ISO 1768:1975, conventional cubic expansion of glass. Provenance: retrieved.
    .. [2] Bettin et al., Zuckerindustrie 123, 341-348, 1998; ICUMSA SPS-4.
       Provenance: retrieved (coefficients).

    Examples
    --------
    >>> reading = [1.050, 1.100]
    >>> corrected_gravity(
    ...     reading, 35.0, calibration_temperature_C=20.0, glass_expansion_per_K=25e-6
    ... ).round(4)
    array([1.0546, 1.1053])
    """
    reading = within(reading_sg, 0.95, 1.20, what="hydrometer reading [SG]")
    sample, made_for, stretch = _float_stretch(sample_temperature_C, calibration_temperature_C, glass_expansion_per_K)
    extract = sucrose_pct_of_density(reading * water_kg_m3(made_for) * stretch, sample)
    return sucrose_solution_kg_m3(extract, 20.0) / water_kg_m3(20.0)


def hydrometer_reading(
    gravity_sg: ArrayLike,
    sample_temperature_C: ArrayLike,
    *,
    calibration_temperature_C: ArrayLike,
    glass_expansion_per_K: ArrayLike,
) -> Array:
    """Find what a hydrometer shows in wort of a known gravity.

    Parameters
    ----------
    gravity_sg : array_like of float, any shape
        Specific gravity, 20 °C over water at 20 °C [SG]; 0.95 to 1.20.
    sample_temperature_C : array_like of float, shape that broadcasts
        Temperature of the sample in the jar [°C]; 0 to 80.
    calibration_temperature_C : array_like of float, shape that broadcasts
        Temperature printed on the scale [°C]; 0 to 40.
    glass_expansion_per_K : array_like of float, shape that broadcasts
        Cubic expansion of the float's glass [1/K]; 0 to 0.0001.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Reading of the scale [SG].

    Raises
    ------
    OutOfRange
        If an argument is not a number or outside its range.

    Notes
    -----
    `corrected_gravity` run backwards, for telling a brewer what to expect in a warm jar.

    References
    ----------
    .. [1] ISO 1768:1975, conventional cubic expansion of glass. Provenance: retrieved.
    .. [2] Bettin et al., Zuckerindustrie 123, 341-348, 1998; ICUMSA SPS-4.
       Provenance: retrieved (coefficients).

    Examples
    --------
    >>> float(
    ...     hydrometer_reading(
    ...         1.0544, 40.0, calibration_temperature_C=20.0, glass_expansion_per_K=25e-6
    ...     ).round(3)
    ... )
    1.048
    """
    gravity = within(gravity_sg, 0.95, 1.20, what="gravity [SG]")
    sample, made_for, stretch = _float_stretch(sample_temperature_C, calibration_temperature_C, glass_expansion_per_K)
    extract = sucrose_pct_of_density(gravity * water_kg_m3(20.0), 20.0)
    return sucrose_solution_kg_m3(extract, sample) / (water_kg_m3(made_for) * stretch)
