"""The inner solver: one pass over acid, pairs and ionic strength, repeated until nothing moves.

Known are totals; sought is the proton activity h (or, if the pH is known, what makes it so). Given h
and the free metals, every ligand's distribution is explicit, and given the ligands so is every
metal's; so one pass does activity coefficients, ligands, one Newton step in ln h on the alkalinity,
metals and ionic strength. The same lines run on Python floats (one water: fast, without arrays of
one) and on arrays of draws.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from enum import Enum
from typing import NamedTuple

import numpy as np

from gyle.science.carbonate_constants import LN_10, Constants, Real

__all__: list[str] = []

MOST_PASSES = 200
CLOSE = 1e-7
TINY = 1e-30


class Known(Enum):
    """Which two of pH, alkalinity, inorganic carbon and carbon dioxide are given."""

    CARBON = "alkalinity and inorganic carbon"
    CO2 = "alkalinity and carbon dioxide"
    PH = "alkalinity and pH"
    PH_CARBON = "pH and inorganic carbon"


class Arithmetic(NamedTuple):
    """The few operations that floats and arrays do not share."""

    exp: Callable[[Real], Real]
    sqrt: Callable[[Real], Real]
    bound: Callable[[Real, float, float], Real]
    largest: Callable[[Real], float]


FLOATS = Arithmetic(math.exp, math.sqrt, lambda x, low, high: min(max(x, low), high), abs)
ARRAYS = Arithmetic(
    np.exp,
    np.sqrt,
    lambda x, low, high: np.minimum(np.maximum(x, low), high),
    lambda x: max(float(x.max()), -float(x.min())),
)


class State(NamedTuple):
    """What a balance came to: activities, inverse activity coefficients, concentrations [mol/kg]."""

    h: Real
    co2: Real
    calcium: Real
    magnesium: Real
    sodium: Real
    potassium: Real
    sulfate: Real
    hydrogen_phosphate: Real
    w1: Real
    w2: Real
    strength: Real
    bicarbonate: Real
    carbonate: Real
    carbonate_alkalinity: Real
    alkalinity: Real
    carbon: Real
    passes: int


def first_guess(a: Real, ct: Real, k: Constants, ops: Arithmetic, w1: Real, w2: Real) -> Real:
    """Guess the proton activity of a closed water from carbonate alone, or from water at the ends."""
    low = 0.02 * ct + 1e-9
    inside = ops.bound(a, 0.0, 1.0) if False else a
    return inside, low


def balance(  # noqa: PLR0915
    k: Constants,
    davies: Real,
    totals: Sequence[Real],
    known: Known,
    given: Real,
    ops: Arithmetic,
    start: State | None = None,
) -> State:
    ca_t, mg_t, na_t, k_t, cl_t, s_t, n_t, p_t, l_t, c_t, alk, carbon = totals
    exp, sqrt, bound, largest = ops
    kw, k1, k2 = k.kw, k.k1, k.k2
    ca_b, ca_c, ca_s, ca_oh = k.ca_bicarbonate, k.ca_carbonate, k.ca_sulfate, k.ca_hydroxide
    mg_b, mg_c, mg_s, mg_oh = k.mg_bicarbonate * k2, k.mg_carbonate, k.mg_sulfate, k.mg_hydroxide
    na_b, na_c, na_s, k_s, h_s = k.na_bicarbonate, k.na_carbonate, k.na_sulfate, k.k_sulfate, k.h_sulfate
    has_p, has_l, has_c = largest(p_t) > 0.0, largest(l_t) > 0.0, largest(c_t) > 0.0
    sl = davies * LN_10
    inert = cl_t + n_t
    if start is None:
        strength = 0.5 * (4.0 * (ca_t + mg_t + 0.8 * s_t) + na_t + k_t + inert + bound(alk, 0.0, 1.0)) + 1e-7
        root = sqrt(strength)
        w1 = exp(sl * (root / (1.0 + root) - 0.3 * strength))
        w2 = w1**4
        ca, mg, na, kk = 0.9 * ca_t / w2, 0.9 * mg_t / w2, na_t / w1, k_t / w1
        a = alk + 2.0 * p_t + 1.2 * c_t
        c1, c2 = k1 * w1, k2 * w2 / w1  # constants in concentrations
        if known is Known.CARBON:
            a_in = bound(a, 1e-9, 1.0)
            m = carbon - a_in
            u = c1 * (2.0 * carbon - a_in)
            root = sqrt(bound(m * m * c1 * c1 + 4.0 * a_in * c2 * u, 0.0, 1.0))
            # h a^2 form: positive root, written without cancellation through both signs
            h = (c1 * m + root) / (2.0 * a_in)
            h = bound(h, 1e-12, 1.0) / w1
        elif known is Known.CO2:
            co2 = given
            h = 0.5 * (sqrt(a * a + 4.0 * (c1 * co2 + kw)) - a)
            h = bound(h, 1e-12, 1.0)
        else:
            h = given
        co2 = given if known is Known.CO2 else 0.0 * h
    else:
        h, co2, ca, mg, na, kk = start.h, start.co2, start.calcium, start.magnesium, start.sodium, start.potassium
        strength = start.strength
        if known is Known.CO2:
            co2 = given
        elif known is not Known.CARBON:
            h = given
    q = 0.0
    for passes in range(1, MOST_PASSES + 1):
        root = sqrt(strength)
        w1 = exp(sl * (root / (1.0 + root) - 0.3 * strength))
        w2 = w1 * w1
        w2 = w2 * w2
        # carbonate, for each mol of CO2
        bh = k1 / h
        ch = bh * k2 / h
        f1 = bh * (w1 * (1.0 + ca_b * ca + mg_b * mg) + na_b * na)
        f2 = ch * (w2 + ca_c * ca + mg_c * mg + w1 * na_c * na)
        # sulfate
        singles = na_s * na + k_s * kk + h_s * h
        s = s_t / (w2 + ca_s * ca + mg_s * mg + w1 * singles)
        hs = w1 * h_s * h * s
        proton, hydroxide = w1 * h, w1 / h * (kw + ca_oh * ca + mg_oh * mg)
        water = hydroxide - proton - hs
        rest = water
        steep = hydroxide + proton + hs
        if s_t is not None:
            steep = steep - hs * hs / (s_t + TINY)
        ca_more = mg_more = na_more = k_more = 0.0
        ones = twos = threes = 0.0
        if has_p:
            b1, b2, b3 = k.phosphate_1 * h, k.phosphate_2 * h * h, k.phosphate_3 * h * h * h
            w3 = w2 * w2 * w1
            g0 = w3 + w1 * (k.ca_phosphate_0 * ca + k.mg_phosphate_0 * mg)
            na_k = w1 * (k.na_phosphate_1 * na + k.k_phosphate_1 * kk)
            g1 = b1 * (w2 + k.ca_phosphate_1 * ca + k.mg_phosphate_1 * mg + na_k)
            g2 = b2 * w1 * (1.0 + k.ca_phosphate_2 * ca + k.mg_phosphate_2 * mg)
            po4 = p_t / (g0 + g1 + g2 + b3)
            q = po4 * b1
            protons = po4 * (g1 + 2.0 * g2 + 3.0 * b3)
            rest = rest - protons
            steep = steep + po4 * (g1 + 4.0 * g2 + 9.0 * b3) - protons * protons / (p_t + TINY)
            ca_more = k.ca_phosphate_1 * q + w1 * (k.ca_phosphate_0 * po4 + k.ca_phosphate_2 * po4 * b2)
            mg_more = k.mg_phosphate_1 * q + w1 * (k.mg_phosphate_0 * po4 + k.mg_phosphate_2 * po4 * b2)
            na_more, k_more = k.na_phosphate_1 * q, k.k_phosphate_1 * q
            ones = po4 * (g2 + b1 * na_k + g0 - w3)
            twos, threes = q * w2, po4 * w3
        if has_l:
            free = k.lactic * h
            bound_l = l_t * free / (w1 + free)
            rest = rest - bound_l
            steep = steep + bound_l * (1.0 - bound_l / (l_t + TINY))
            ones = ones + l_t - bound_l
        if has_c:
            e0, e1, e2, e3 = w2 * w2 * w1, k.citrate_1 * h * w2, k.citrate_2 * h * h * w1, k.citrate_3 * h * h * h
            each = c_t / (e0 + e1 + e2 + e3)
            protons = each * (e1 + 2.0 * e2 + 3.0 * e3)
            rest = rest - protons
            steep = steep + each * (e1 + 4.0 * e2 + 9.0 * e3) - protons * protons / (c_t + TINY)
            ones, twos, threes = ones + each * e2, twos + each * e1, threes + each * e0
        before = strength
        f12 = f1 + f2
        if known is Known.CARBON or known is Known.PH_CARBON:
            co2 = carbon / (1.0 + f12)
            base = co2 * (f12 + f2)
            steep = steep + co2 * (f12 + 3.0 * f2) - base * base / (carbon + TINY)
        elif known is Known.CO2:
            base = co2 * (f12 + f2)
            steep = steep + co2 * (f12 + 3.0 * f2)
        else:
            base = bound(alk - rest, 0.0, 10.0)
            new = base / (f12 + f2)
            move = new - co2
            co2 = new
        if known is Known.CARBON or known is Known.CO2:
            move = bound((base + rest - alk) / steep, -3.0, 3.0)
            h = bound(h * exp(move), 1e-15, 10.0)
        elif known is Known.PH_CARBON:
            move = 0.0 * h
        b, c = bh * co2, ch * co2
        ca = ca_t / (w2 + w1 * (ca_b * b + ca_oh / h) + ca_c * c + ca_s * s + ca_more)
        mg = mg_t / (w2 + w1 * (mg_b * b + mg_oh / h) + mg_c * c + mg_s * s + mg_more)
        na = na_t / (w1 * (1.0 + na_c * c + na_s * s + na_more) + na_b * b)
        kk = k_t / (w1 * (1.0 + k_s * s + k_more))
        strength = 0.5 * (
            inert
            + ones
            + w1 * (b * (1.0 + ca_b * ca + mg_b * mg) + c * na_c * na + s * singles + na + kk)
            + hydroxide
            + proton
            + 4.0 * (twos + w2 * (ca + mg + c + s))
            + 9.0 * threes
        )
        if largest(move) < CLOSE and largest(strength - before) < CLOSE * 1e-2:
            break
    return State(
        h,
        co2,
        ca,
        mg,
        na,
        kk,
        s,
        q,
        w1,
        w2,
        strength,
        b,
        c,
        base + water,
        base + rest,
        co2 * (1.0 + f12),
        passes,
    )
