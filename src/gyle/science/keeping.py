"""Keeping beer: how warmth ages it, what binds oxygen, what heat kills, when diacetyl is smelt."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.ranges import within

__all__ = ["diacetyl_odour_units", "pasteurisation_units", "relative_staling_rate", "scavenger_mg_L"]

Array = NDArray[np.float64]

KELVIN = 273.15
PASTEURISATION_BASE, PASTEURISATION_C = 1.393, 60.0
DIACETYL_THRESHOLD_MG_L = 0.10
OXYGEN_G_MOL = 31.998
GAS_CONSTANT_KJ_MOL_K = 8.314462618e-3


def relative_staling_rate(
    temperature_C: ArrayLike, reference_temperature_C: ArrayLike, *, activation_kJ_mol: ArrayLike
) -> Array:
    """Return how much faster beer ages than at a reference temperature.

    Parameters
    ----------
    temperature_C : array_like of float, any shape
        Store temperature [°C]; -5 to 80.
    reference_temperature_C : array_like of float, broadcastable
        Reference temperature [°C]; -5 to 80.
    activation_kJ_mol : array_like of float, broadcastable
        Activation energy [kJ/mol]; 0 to 300, 60 to 100.

    Returns
    -------
    ndarray of float64, broadcast shape
        Relative rate [1]; never a date.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Arrhenius. From 4 to 20 °C it is 4 to 11 times. A trade saying of ten times from 22 to 32 °C
    is far steeper.

    References
    ----------
    .. [1] Saison et al. 2010, BrewingScience 63:41. Provenance: retrieved (abstract; heat
       quickens ageing).
    .. [2] The range of activation energies. Provenance: ours.

    Examples
    --------
    >>> relative_staling_rate(20.0, 4.0, activation_kJ_mol=[60.0, 100.0]).round(1)
    array([ 4.1, 10.7])
    """
    temperature_C = within(temperature_C, -5.0, 80.0, what="temperature [°C]")
    reference_temperature_C = within(reference_temperature_C, -5.0, 80.0, what="reference temperature [°C]")
    activation_kJ_mol = within(activation_kJ_mol, 0.0, 300.0, what="activation [kJ/mol]")
    result: Array = np.exp(
        activation_kJ_mol
        / GAS_CONSTANT_KJ_MOL_K
        * (1.0 / (reference_temperature_C + KELVIN) - 1.0 / (temperature_C + KELVIN))
    )
    return result


def scavenger_mg_L(oxygen_mg_L: ArrayLike, *, molar_mass_g_mol: ArrayLike) -> Array:
    """Return the metabisulphite that oxygen uses up.

    Parameters
    ----------
    oxygen_mg_L : array_like of float, any shape
        Oxygen to be bound [mg/L]; 0 to 100.
    molar_mass_g_mol : array_like of float, broadcastable
        Molar mass of the salt [g/mol]; 100 to 400: sodium 190.107, potassium 222.32.

    Returns
    -------
    ndarray of float64, broadcast shape
        Salt [mg/L].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    One mole for one mole of oxygen: 5.94 mg sodium or 6.95 mg potassium salt for each milligram.
    Each milligram of oxygen bound stands for 4.0 mg of sulphur dioxide, which labels must declare
    from 10 mg/L.

    References
    ----------
    .. [1] Stoichiometry. Provenance: memory.

    Examples
    --------
    >>> scavenger_mg_L(1.0, molar_mass_g_mol=[190.107, 222.32]).round(2)
    array([5.94, 6.95])
    """
    oxygen_mg_L = within(oxygen_mg_L, 0.0, 100.0, what="oxygen [mg/L]")
    molar_mass_g_mol = within(molar_mass_g_mol, 100.0, 400.0, what="molar mass [g/mol]")
    result: Array = oxygen_mg_L * molar_mass_g_mol / OXYGEN_G_MOL
    return result


def diacetyl_odour_units(diacetyl_mg_L: ArrayLike) -> Array:
    """Return diacetyl over the threshold of lager beer.

    Parameters
    ----------
    diacetyl_mg_L : array_like of float, any shape
        Diacetyl, free and potential [mg/L]; 0 to 100.

    Returns
    -------
    ndarray of float64, same shape
        Odour units [1]; above 1 most tasters name it in lager, ale hides two to four.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    Threshold 0.10 mg/L.

    References
    ----------
    .. [1] MEBAK online, vicinal diketones. Provenance: retrieved.

    Examples
    --------
    >>> float(diacetyl_odour_units(0.25))
    2.5
    """
    diacetyl_mg_L = within(diacetyl_mg_L, 0.0, 100.0, what="diacetyl [mg/L]")
    result: Array = diacetyl_mg_L / DIACETYL_THRESHOLD_MG_L
    return result


def pasteurisation_units(minutes: ArrayLike, temperature_C: ArrayLike) -> Array:
    """Return the pasteurisation units of a time at a temperature.

    Parameters
    ----------
    minutes : array_like of float, any shape
        Time [min]; 0 or more.
    temperature_C : array_like of float, broadcastable
        Coldest beer temperature [°C]; -5 to 120.

    Returns
    -------
    ndarray of float64, broadcast shape
        Pasteurisation units [PU].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside the range given for it; the message names the first.

    Notes
    -----
    t x 1.393^(T - 60).

    References
    ----------
    .. [1] Brewing practice. Provenance: memory.

    Examples
    --------
    >>> float(pasteurisation_units(10.0, 62.0).round(1))
    19.4
    """
    minutes = within(minutes, 0.0, 1e6, what="minutes")
    temperature_C = within(temperature_C, -5.0, 120.0, what="temperature [°C]")
    result: Array = minutes * PASTEURISATION_BASE ** (temperature_C - PASTEURISATION_C)
    return result
