"""Parts of the inner solver: activity coefficients, and how phosphate, organic acids and carbonate distribute.

All of it runs on Python floats as on arrays of draws. Symbols: w1, w2 inverse activity coefficients of
charge 1 and 2; h the proton activity; lower-case ions are activities.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from gyle.science.carbonate_constants import LN_10, Constants, Real, Screening

__all__: list[str] = []

TINY = 1e-30  # keeps 0 / 0 a 0


class Arithmetic(NamedTuple):
    """The few operations that floats and arrays do not share."""

    exp: Callable[[Real], Real]
    sqrt: Callable[[Real], Real]
    bound: Callable[[Real, float, float], Real]
    largest: Callable[[Real], float]


def _largest(x: Real) -> float:
    return max(float(x.max()), -float(x.min())) if x.size else 0.0


FLOATS = Arithmetic(math.exp, math.sqrt, lambda x, low, high: min(max(x, low), high), abs)
ARRAYS = Arithmetic(np.exp, np.sqrt, lambda x, low, high: np.minimum(np.maximum(x, low), high), _largest)


# Ion size [Å] and linear term [kg/mol] (Truesdell and Jones): calcium, magnesium and sulfate have their own;
# bicarbonate's and carbonate's size, without a term, stands for every other ion.
SIZE = 5.4
CALCIUM_SIZE, CALCIUM_TERM = 5.0, 0.165
MAGNESIUM_SIZE, MAGNESIUM_TERM = 5.5, 0.20
SULFATE_TERM = -0.04  # its size is calcium's


def coefficients(sc: Screening, strength: Real, ops: Arithmetic) -> tuple[Real, Real, Real, Real, Real]:
    """Give the inverse activity coefficients: charge 1 and 2 in general, then Ca++, Mg++, SO4--."""
    exp = ops.exp
    a, b = sc
    root = ops.sqrt(strength)
    size, linear = b * root, LN_10 * strength
    one = LN_10 * a * root
    four = 4.0 * one
    w1 = exp(one / (1.0 + SIZE * size))
    w2 = w1 * w1
    same = four / (1.0 + CALCIUM_SIZE * size)
    calcium = exp(same - CALCIUM_TERM * linear)
    magnesium = exp(four / (1.0 + MAGNESIUM_SIZE * size) - MAGNESIUM_TERM * linear)
    return w1, w2 * w2, calcium, magnesium, exp(same - SULFATE_TERM * linear)


@dataclass(slots=True)  # read in every pass, and quicker to read than a tuple
class Buffer:
    """What phosphate or citrate or lactate adds: protons, their slope, ions by charge, pairs of each metal."""

    protons: Real
    steep: Real
    ones: Real
    twos: Real
    threes: Real
    calcium: Real = 0.0
    magnesium: Real = 0.0
    sodium: Real = 0.0
    potassium: Real = 0.0
    phosphate: Real = 0.0


def phosphate_buffer(
    k: Constants, total: Real, metals: tuple[Real, Real, Real, Real], h: Real, w1: Real, w2: Real
) -> Buffer:
    ca, mg, na, kk = metals
    b1, b2, b3 = k.phosphate_1 * h, k.phosphate_2 * h * h, k.phosphate_3 * h * h * h
    w3 = w2 * w2 * w1
    pairs = w1 * (k.ca_phosphate_0 * ca + k.mg_phosphate_0 * mg)
    alkali = w1 * (k.na_phosphate_1 * na + k.k_phosphate_1 * kk)
    g1 = b1 * (w2 + k.ca_phosphate_1 * ca + k.mg_phosphate_1 * mg + alkali)
    g2 = b2 * w1 * (1.0 + k.ca_phosphate_2 * ca + k.mg_phosphate_2 * mg)
    po4 = total / (w3 + pairs + g1 + g2 + b3)
    protons = po4 * (g1 + 2.0 * g2 + 3.0 * b3)
    return Buffer(
        protons=protons,
        steep=po4 * (g1 + 4.0 * g2 + 9.0 * b3) - protons * protons / (total + TINY),
        ones=po4 * (pairs + b1 * alkali + g2),
        twos=po4 * b1 * w2,
        threes=po4 * w3,
        calcium=po4 * (k.ca_phosphate_1 * b1 + w1 * (k.ca_phosphate_0 + k.ca_phosphate_2 * b2)),
        magnesium=po4 * (k.mg_phosphate_1 * b1 + w1 * (k.mg_phosphate_0 + k.mg_phosphate_2 * b2)),
        sodium=po4 * b1 * k.na_phosphate_1,
        potassium=po4 * b1 * k.k_phosphate_1,
        phosphate=po4,
    )


def organic_buffer(k: Constants, lactate: Real, citrate: Real, h: Real, w1: Real, w2: Real) -> Buffer:
    lactic = lactate * (k.lactic * h) / (w1 + k.lactic * h)
    e0, e1, e2, e3 = w2 * w2 * w1, k.citrate_1 * h * w2, k.citrate_2 * h * h * w1, k.citrate_3 * h * h * h
    each = citrate / (e0 + e1 + e2 + e3)
    protons = each * (e1 + 2.0 * e2 + 3.0 * e3)
    steep = each * (e1 + 4.0 * e2 + 9.0 * e3) - protons * protons / (citrate + TINY)
    return Buffer(
        protons=protons + lactic,
        steep=steep + lactic * (1.0 - lactic / (lactate + TINY)),
        ones=lactate - lactic + each * e2,
        twos=each * e1,
        threes=each * e0,
    )


NOTHING = Buffer(0.0, 0.0, 0.0, 0.0, 0.0)


class Carbonate(NamedTuple):
    """Carbonate: CO2, its one-proton and no-proton forms for each mol of it, their slope."""

    co2: Real
    one: Real
    none: Real
    steep: Real


def answered(steep: Real, base: Real, carbon: Real, metals: tuple[tuple[Real, Real, Real, Real], ...]) -> Real:
    """Take from the slope of alkalinity with ln h what carbon (if its total is kept) and metals answer.

    `carbon` is None where carbon dioxide is held. Of each metal: its total, and its pairs with
    bicarbonate, carbonate and hydroxide. What one answers is the square of the protons that go with it
    over its total.
    """
    left, with_carbon, own = steep, base, carbon
    for total, first, second, hydroxide in metals:
        share = 1.0 / (total + first + second + hydroxide + TINY)  # pairs lag behind: never more of them than metal
        protons, paired = first + 2.0 * second + hydroxide, first + second
        left = left - protons * protons * share
        if carbon is not None:
            with_carbon = with_carbon - protons * paired * share
            own = own - paired * paired * share
    if carbon is not None:
        left = left - with_carbon * with_carbon / (own + TINY)
    return left


class Calcite(NamedTuple):
    """A pass's answer to calcite: carbonate, free calcium, calcite dissolved."""

    carbonate: Carbonate
    calcium: Real
    extent: Real


def calcite_forms(
    knows_co2: bool, co2: Real, one: Real, none: Real, pairs: tuple[Real, Real], free: Real, less: Real, excess: Real,
    sqrt: Callable[[Real], Real],
) -> Calcite:  # fmt: skip
    """Find free calcium where calcite neither dissolves nor precipitates.

    `one` and `none` are the forms of carbonate that hold no calcium, `pairs` those that hold one, for
    each mol of CO2 and free calcium; `free` is CO2 times free calcium at saturation, `less` the calcium
    outside carbonate for each of the free, `excess` carbon less calcium (which calcite cannot change).
    The slope is that of the alkalinity less twice the calcium, as free calcium answers to h.
    """
    if knows_co2:
        calcium, response = free / co2, 2.0
    else:
        forms = 1.0 + one + none
        calcium = (sqrt(excess * excess + 4.0 * less * free * forms) - excess) / (2.0 * less)
        co2 = free / calcium
        response = co2 * (2.0 + one) / (co2 * forms + less * calcium)
    slope = co2 * (one * (response - 1.0) + 2.0 * response * none) + 2.0 * response * less * calcium + free * pairs[0]
    forms_with = Carbonate(co2, one + pairs[0] * calcium, none + pairs[1] * calcium, slope)
    return Calcite(forms_with, calcium, less * calcium + free * (pairs[0] + pairs[1]))
