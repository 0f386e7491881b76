"""Ethanol in water: density of the mixture, its grams, and the drinks a measure of beer is counted as."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = [
    "ethanol_g",
    "ethanol_water_gravity_sg",
    "ethanol_water_kg_m3",
    "standard_drinks",
]

Array = NDArray[np.float64]

ETHANOL_20C_KG_L = 0.78924  # pure ethanol at 20 °C, by the equation below
WATER_20C_KG_M3 = 998.20123  # first coefficient of the same equation

# OIML R 22 general formula: rho = Σ A p^(k-1) + Σ B (t-20)^k + Σ_i Σ_k C_i p^k (t-20)^i.
_A = (
    *(998.2012300, -192.9769495, 389.1238958, -1668.103923, 13522.15441, -88292.78388, 306287.4042),
    *(-613838.1234, 747017.2998, -547846.1354, 223446.0334, -39032.85426),
)
_B = (-2.0618513e-1, -5.2682542e-3, 3.6130013e-5, -3.8957702e-7, 7.1693540e-9, -9.9739231e-11)
_C = (
    (
        *(1.693443461530087e-1, -1.046914743455169e1, 7.196353469546523e1, -7.047478054272792e2),
        *(3.924090430035045e3, -1.210164659068747e4, 2.248646550400788e4, -2.605562982188164e4),
        *(1.852373922069467e4, -7.420201433430137e3, 1.285617841998974e3),
    ),
    (
        *(-1.193013005057010e-2, 2.517399633803461e-1, -2.170575700536993, 1.353034988843029e1),
        *(-5.029988758547014e1, 1.096355666577570e2, -1.422753946421155e2, 1.080435942856230e2),
        *(-4.414153236817392e1, 7.442971530188783),
    ),
    (
        *(-6.802995733503803e-4, 1.876837790289664e-2, -2.002561813734156e-1, 1.022992966719220),
        *(-2.895696483903638, 4.810060584300675, -4.672147440794683, 2.458043105903461),
        -5.411227621436812e-1,
    ),
    (4.075376675622027e-6, -8.763058573471110e-6, 6.515031360099368e-6, -1.515784836987210e-6),
    (-2.788074354782409e-8, 1.345612883493354e-8),
)
# The 20 °C line relative to water, for the loops that need it many times.
RELATIVE_20C = tuple(a / _A[0] for a in _A)
RELATIVE_20C_SLOPE = tuple(k * r for k, r in enumerate(RELATIVE_20C))[1:]


def horner(coefficients: tuple[float, ...], x: Array) -> Array:
    """Sum a polynomial, lowest power first."""
    total = np.full_like(x, coefficients[-1])
    for coefficient in coefficients[-2::-1]:
        total *= x
        total += coefficient
    return total


def _mass_fraction(alcohol_pct_mass: ArrayLike) -> Array:
    return within(alcohol_pct_mass, 0.0, 100.0, what="alcohol [% by mass]") / 100.0


def ethanol_water_kg_m3(alcohol_pct_mass: ArrayLike, temperature_C: ArrayLike) -> Array:
    """Find the density of ethanol in water at a temperature.

    Parameters
    ----------
    alcohol_pct_mass : array_like of float, any shape
        Ethanol [g per 100 g]; 0 to 100.
    temperature_C : array_like of float, shape that broadcasts with the alcohol
        Temperature [°C]; -20 to 40.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Density [kg/m³].

    Raises
    ------
    OutOfRange
        If an alcohol or temperature is not a number or outside its range.

    Notes
    -----
    The general formula of the international alcoholometric tables, on which the law of strength by
    volume rests. Pure ethanol at 20 °C comes to 789.24.

    References
    ----------
    .. [1] OIML R 22, 1975, and Council Directive 76/766/EEC, annex. Provenance: retrieved.

    Examples
    --------
    >>> ethanol_water_kg_m3([5.0, 10.0, 100.0], 20.0).round(2)
    array([989.38, 981.85, 789.24])
    """
    p = np.asarray(_mass_fraction(alcohol_pct_mass))
    dt = np.asarray(within(temperature_C, -20.0, 40.0, what="temperature [°C]") - 20.0)
    density = horner(_A, p) + dt * horner(_B, dt)
    power = dt
    for row in _C:
        density = density + power * (p * horner(row, p))
        power = power * dt
    return density


def ethanol_water_gravity_sg(alcohol_pct_mass: ArrayLike) -> Array:
    """Find the specific gravity of ethanol in water at 20 °C.

    Parameters
    ----------
    alcohol_pct_mass : array_like of float, any shape
        Ethanol [g per 100 g]; 0 to 100.

    Returns
    -------
    ndarray of float64, same shape
        Specific gravity, 20 °C over water at 20 °C, in vacuo [SG].

    Raises
    ------
    OutOfRange
        If an alcohol is not a number or outside 0 to 100; the message names the first.

    Notes
    -----
    What a distillate made up to its old weight would show in a pyknometer.

    References
    ----------
    .. [1] OIML R 22, 1975, and Council Directive 76/766/EEC, annex. Provenance: retrieved.

    Examples
    --------
    >>> ethanol_water_gravity_sg([0.0, 5.0]).round(4)
    array([1.    , 0.9912])
    """
    return horner(RELATIVE_20C, np.asarray(_mass_fraction(alcohol_pct_mass)))


def ethanol_g(volume_mL: ArrayLike, *, abv_pct: ArrayLike) -> Array:
    """Find the grams of ethanol in a measure of beer.

    Parameters
    ----------
    volume_mL : array_like of float, any shape
        Beer at 20 °C [mL]; 0 or more.
    abv_pct : array_like of float, shape that broadcasts with the volume
        Alcohol by volume at 20 °C [%]; 0 to 100.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Ethanol [g].

    Raises
    ------
    OutOfRange
        If a volume or strength is not a number or outside its range.

    Notes
    -----
    Volume times strength times 0.78924 g/mL, the density of ethanol at 20 °C.

    References
    ----------
    .. [1] OIML R 22, 1975: pure ethanol at 20 °C. Provenance: retrieved.

    Examples
    --------
    >>> float(ethanol_g(330.0, abv_pct=10.0).round(2))
    26.04
    """
    volume = within(volume_mL, 0.0, np.finfo(np.float64).max, what="volume [mL]")
    strength = within(abv_pct, 0.0, 100.0, what="alcohol [% by volume]")
    return volume * strength * (ETHANOL_20C_KG_L / 100.0)


def standard_drinks(volume_mL: ArrayLike, *, abv_pct: ArrayLike, drink_g: ArrayLike) -> Array:
    """Count the standard drinks in a measure of beer.

    Parameters
    ----------
    volume_mL : array_like of float, any shape
        Beer at 20 °C [mL]; 0 or more.
    abv_pct : array_like of float, shape that broadcasts with the volume
        Alcohol by volume at 20 °C [%]; 0 to 100.
    drink_g : array_like of float, shape that broadcasts with the volume
        Ethanol in one drink where the beer is poured [g]; 5 to 50. The United States count 14,
        Australia 10, Denmark 12, Japan 20, Canada 13.45, the United Kingdom 10 mL, which is 7.8924.

    Returns
    -------
    ndarray of float64, the broadcast shape
        Standard drinks [1].

    Raises
    ------
    OutOfRange
        If an argument is not a number or outside its range.

    Notes
    -----
    Grams of ethanol over grams in a drink.

    References
    ----------
    .. [1] National definitions as collected in an encyclopaedia, "Standard drink". Provenance: retrieved.

    Examples
    --------
    >>> float(standard_drinks(355.0, abv_pct=5.0, drink_g=14.0).round(2))
    1.0
    """
    return ethanol_g(volume_mL, abv_pct=abv_pct) / within(drink_g, 5.0, 50.0, what="ethanol in a drink [g]")
