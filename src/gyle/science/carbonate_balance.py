"""The inner solver: acid, ion pairs and ionic strength, passed over until nothing moves.

Known are totals; sought is the proton activity h (or, where the pH is known, what makes it so). Given
h and the free metals the distribution of every ligand is explicit, and given the ligands that of every
metal; so one pass does activity coefficients, ligands, one Newton step in ln h on the alkalinity,
metals, ionic strength. A solid in equilibrium adds a quadratic for free calcium to the pass.

The lines run on Python floats (one water, without the cost of arrays of one) and on arrays of draws.
Symbols: w1, w2, w3 inverse activity coefficients of charge 1, 2, 3; lower-case ions are activities.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from enum import Enum
from typing import NamedTuple

import numpy as np

from gyle.science.carbonate_constants import LN_10, Constants, Real, Screening

__all__: list[str] = []

MOST_PASSES = 300
CLOSE = 1e-6  # last move in ln h; what is left is less than that unless half the metals are paired
CLOSE_STRENGTH = 1e-8  # mol/kg
TINY = 1e-30


class Known(Enum):
    """Which two of pH, alkalinity, inorganic carbon and carbon dioxide are given."""

    CARBON = "alkalinity and inorganic carbon"
    CO2 = "alkalinity and carbon dioxide"
    PH = "alkalinity and pH"
    PH_CARBON = "pH and inorganic carbon"


class Solid(Enum):
    """The solid that is present and in equilibrium."""

    NONE = "none"
    CALCITE = "calcite"
    GYPSUM = "gypsum"


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


class State(NamedTuple):
    """What a balance came to: activities, inverse activity coefficients, totals [mol/kg]."""

    h: Real
    co2: Real
    calcium: Real
    magnesium: Real
    sodium: Real
    potassium: Real
    bicarbonate: Real
    carbonate: Real
    sulfate: Real
    phosphate: Real
    w1: Real
    w2: Real
    w_calcium: Real
    w_magnesium: Real
    w_carbonate: Real
    strength: Real
    carbonate_alkalinity: Real
    alkalinity: Real
    carbon: Real
    dissolved: Real  # mol of the solid that went into solution; negative if it precipitated
    passes: int


# Ion size [Å] and linear term [kg/mol] of the doubly charged ions that matter (Truesdell and Jones).
CALCIUM_SIZE, CALCIUM_TERM = 5.0, 0.165
MAGNESIUM_SIZE, MAGNESIUM_TERM = 5.5, 0.20
SULFATE_SIZE, SULFATE_TERM = 5.0, -0.04
CARBONATE_SIZE = 5.4


def coefficients(sc: Screening, strength: Real, ops: Arithmetic) -> tuple[Real, Real, Real, Real, Real, Real]:
    """Give the inverse activity coefficients: charge 1 and 2 in general, then Ca++, Mg++, SO4--, CO3--."""
    root = ops.sqrt(strength)
    a, size = LN_10 * sc.a, sc.b * root
    four = 4.0 * a * root
    linear = LN_10 * strength
    w1 = ops.exp(a * (root / (1.0 + root) - 0.3 * strength))
    w2 = w1 * w1
    same = four / (1.0 + CALCIUM_SIZE * size)  # calcium and sulfate share their size
    calcium = ops.exp(same - CALCIUM_TERM * linear)
    magnesium = ops.exp(four / (1.0 + MAGNESIUM_SIZE * size) - MAGNESIUM_TERM * linear)
    sulfate = ops.exp(same - SULFATE_TERM * linear)
    return w1, w2 * w2, calcium, magnesium, sulfate, ops.exp(four / (1.0 + CARBONATE_SIZE * size))


def _guess(k: Constants, sc: Screening, totals: Sequence[Real], known: Known, given: Real, ops: Arithmetic) -> State:
    """Start from carbonate alone, without pairs, at a rough ionic strength."""
    ca_t, mg_t, na_t, k_t, cl_t, s_t, n_t, p_t, _, c_t, alk, carbon = totals
    singly = na_t + k_t + cl_t + n_t + ops.bound(alk, 0.0, 1.0)
    strength = 2.0 * (ca_t + mg_t + 0.8 * s_t) + 0.5 * singly + 1e-7
    w1, w2 = coefficients(sc, strength, ops)[:2]
    k1, k2 = k.k1 * w1, k.k2 * w2 / w1
    co2 = given if known is Known.CO2 else 0.0 * strength
    h = given
    a = alk + 2.0 * p_t + 1.2 * c_t  # phosphate and citrate keep protons near pH 5
    if known is Known.CARBON:
        a = ops.bound(a, 1e-9, 1.0)
        m = k1 * (carbon - a)
        root = ops.sqrt(ops.bound(m * m + 4.0 * a * k1 * k2 * (2.0 * carbon - a), 0.0, 1.0))
        h = ops.bound((m + root) / (2.0 * a), 1e-12, 1.0) / w1
    elif known is Known.CO2:
        h = ops.bound(0.5 * (ops.sqrt(a * a + 4.0 * (k1 * co2 + k.kw)) - a), 1e-12, 1.0)
    ca, mg, na, kk = 0.9 * ca_t / w2, 0.9 * mg_t / w2, na_t / w1, k_t / w1
    zero = 0.0 * h
    return State(
        h, co2, ca, mg, na, kk, zero, zero, zero, zero, w1, w2, w2, w2, w2, strength, alk, alk, carbon, zero, passes=0
    )  # fmt: skip


class Buffer(NamedTuple):
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


def _phosphate(k: Constants, total: Real, metals: tuple[Real, Real, Real, Real], h: Real, w1: Real, w2: Real) -> Buffer:
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


def _organic(k: Constants, lactate: Real, citrate: Real, h: Real, w1: Real, w2: Real) -> Buffer:
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


_NOTHING = Buffer(0.0, 0.0, 0.0, 0.0, 0.0)


class Carbonate(NamedTuple):
    """The carbonate of a pass: CO2, its one-proton and no-proton forms for each mol of it, their slope."""

    co2: Real
    one: Real
    none: Real
    steep: Real


def _carbonate(knows_co2: bool, co2: Real, one: Real, none: Real, carbon: Real) -> Carbonate:
    """Distribute the carbon, or what a given CO2 brings with it, among its forms."""
    if knows_co2:
        return Carbonate(co2, one, none, co2 * (one + 4.0 * none))
    co2 = carbon / (1.0 + one + none)
    base = co2 * (one + 2.0 * none)
    return Carbonate(co2, one, none, co2 * (one + 4.0 * none) - base * base / (carbon + TINY))


class Calcite(NamedTuple):
    """A pass's answer to calcite: carbonate, free calcium, calcite dissolved."""

    carbonate: Carbonate
    calcium: Real
    extent: Real


def _calcite(
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


def balance(  # noqa: PLR0915 - one pass reads best in one place
    k: Constants,
    sc: Screening,
    totals: Sequence[Real],
    known: Known,
    given: Real,
    ops: Arithmetic,
    *,
    solid: Solid = Solid.NONE,
    start: State | None = None,
) -> State:
    """Bring a water to equilibrium.

    The totals [mol/kg] stand in the order of `carbonate.COMPONENTS`; `given` is the activity of carbon
    dioxide or of protons that `known` calls for. With a solid, calcium and what goes with it are the
    totals before any of the solid dissolved. Returns the state even if the last pass still moved it.
    """
    ca_t, mg_t, na_t, k_t, cl_t, s_t, n_t, p_t, l_t, c_t, alk, carbon = totals
    bound, largest = ops.bound, ops.largest
    kw, k1, k2 = k.kw, k.k1, k.k2
    ca_b, ca_c, ca_s, ca_oh = k.ca_bicarbonate, k.ca_carbonate, k.ca_sulfate, k.ca_hydroxide
    mg_b, mg_c, mg_s, mg_oh = k.mg_bicarbonate * k2, k.mg_carbonate, k.mg_sulfate, k.mg_hydroxide
    na_b, na_c, na_s, k_s, h_s = k.na_bicarbonate, k.na_carbonate, k.na_sulfate, k.k_sulfate, k.h_sulfate
    has_phosphate, has_organic = largest(p_t) > 0.0, largest(l_t) > 0.0 or largest(c_t) > 0.0
    seeks_ph, knows_ph, knows_co2 = known is Known.CARBON or known is Known.CO2, known is Known.PH, known is Known.CO2
    calcite, gypsum = solid is Solid.CALCITE, solid is Solid.GYPSUM
    inert = cl_t + n_t

    now = start or _guess(k, sc, totals, known, given, ops)
    h, co2, ca, mg, na, kk, b, c = now[:8]
    strength = now.strength
    extent = 0.0 * h
    acid = organic = _NOTHING
    passes = 0
    while passes < MOST_PASSES:
        passes += 1
        w1, w2, w_ca, w_mg, w_s, w_c = coefficients(sc, strength, ops)
        if has_phosphate:
            acid = _phosphate(k, p_t, (ca, mg, na, kk), h, w1, w2)
        if has_organic:
            organic = _organic(k, l_t, c_t, h, w1, w2)

        # Sulfate
        single = na_s * na + k_s * kk + h_s * h
        unpaired = w_s + mg_s * mg + w1 * single
        sulfate = s_t
        if gypsum:
            less = w_ca + w1 * (ca_b * b + ca_oh / h) + ca_c * c + acid.calcium
            excess = s_t - ca_t
            ca = (ops.sqrt(excess * excess + 4.0 * less * unpaired * k.gypsum) - excess) / (2.0 * less)
            s = k.gypsum / ca
            sulfate = s * (unpaired + ca_s * ca)
            extent = sulfate - s_t
        else:
            s = s_t / (unpaired + ca_s * ca)

        # Protons outside carbonate
        bisulfate, proton = w1 * h_s * h * s, w1 * h
        hydroxide = w1 / h * (kw + ca_oh * ca + mg_oh * mg)
        rest = hydroxide - proton - bisulfate - acid.protons - organic.protons
        steep = hydroxide + proton + bisulfate * (1.0 - bisulfate / (sulfate + TINY)) + acid.steep + organic.steep

        # Carbonate: forms that hold no calcium and calcium pairs, for each mol of CO2
        bh = k1 / h
        ch = bh * k2 / h
        one, pair_b = bh * (w1 * (1.0 + mg_b * mg) + na_b * na), bh * w1 * ca_b
        none, pair_c = ch * (w_c + mg_c * mg + w1 * na_c * na), ch * ca_c
        wanted = alk
        if calcite:
            less = w_ca + w1 * ca_oh / h + ca_s * s + acid.calcium
            pairs, free = (pair_b, pair_c), k.calcite / ch
            forms, ca, calcium = _calcite(knows_co2, co2, one, none, pairs, free, less, carbon - ca_t, ops.sqrt)
            extent = calcium - ca_t
            wanted = alk + 2.0 * extent
        elif knows_ph:
            one, none = one + pair_b * ca, none + pair_c * ca
            before = co2
            forms = Carbonate(bound(alk - rest, 0.0, 10.0) / (one + 2.0 * none), one, none, 0.0)
            move = (forms.co2 - before) / (forms.co2 + TINY)
        else:
            forms = _carbonate(knows_co2, co2, one + pair_b * ca, none + pair_c * ca, carbon)
        co2 = forms.co2
        base = co2 * (forms.one + 2.0 * forms.none)
        b, c = bh * co2, ch * co2
        if seeks_ph:
            move = bound((base + rest - wanted) / (steep + forms.steep), -3.0, 3.0)
            h = h * ops.exp(move)
        elif not knows_ph:
            move = 0.0 * h

        # Metals and ionic strength
        if not (calcite or gypsum):
            ca = ca_t / (w_ca + w1 * (ca_b * b + ca_oh / h) + ca_c * c + ca_s * s + acid.calcium)
        mg = mg_t / (w_mg + w1 * (mg_b * b + mg_oh / h) + mg_c * c + mg_s * s + acid.magnesium)
        na = na_t / (w1 * (1.0 + na_c * c + na_s * s + acid.sodium) + na_b * b)
        kk = k_t / (w1 * (1.0 + k_s * s + acid.potassium))
        ones = b * (1.0 + ca_b * ca + mg_b * mg) + c * na_c * na + s * single + na + kk
        ones = inert + w1 * ones + hydroxide + proton + acid.ones + organic.ones
        twos = w_ca * ca + w_mg * mg + w_c * c + w_s * s + acid.twos + organic.twos
        before, strength = strength, 0.5 * ones + 2.0 * twos + 4.5 * (acid.threes + organic.threes)
        if largest(move) < CLOSE and largest(strength - before) < CLOSE_STRENGTH:
            break
    return State(
        h, co2, ca, mg, na, kk, b, c, s, acid.phosphate, w1, w2, w_ca, w_mg, w_c, strength,
        carbonate_alkalinity=base + hydroxide - proton - bisulfate,
        alkalinity=base + rest,
        carbon=co2 * (1.0 + forms.one + forms.none),
        dissolved=extent,
        passes=passes,
    )  # fmt: skip
