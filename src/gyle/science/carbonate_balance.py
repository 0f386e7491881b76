"""The inner solver: acid, ion pairs and ionic strength, passed over until nothing moves.

Known are totals; sought is the proton activity h (or, where the pH is known, what makes it so). Given
h and the free metals the distribution of every ligand is explicit, and given the ligands that of every
metal; so one pass does activity coefficients, ligands, one Newton step in ln h on the alkalinity,
metals, ionic strength. A solid in equilibrium adds a quadratic for free calcium to the pass.

The lines run on Python floats (one water, without the cost of arrays of one) and on arrays of draws.
Symbols: w1, w2, w3 inverse activity coefficients of charge 1, 2, 3; lower-case ions are activities.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from typing import NamedTuple

import numpy as np

from gyle.science.carbonate_constants import Constants, Real, Screening
from gyle.science.carbonate_parts import (
    FLOATS,
    NOTHING,
    TINY,
    Arithmetic,
    Carbonate,
    answered,
    calcite_forms,
    carbonate_forms,
    coefficients,
    organic_buffer,
    phosphate_buffer,
)

__all__: list[str] = []

MOST_PASSES = 320
FIRST_PASSES = 9  # of all draws together; then only those that still move go on, and so on, doubling
CLOSE = 1e-6  # last move in ln h; what is left is less than that unless half the metals are paired
CLOSE_STRENGTH = 1e-8  # mol/kg
MOST_STRENGTH = 1.0  # mol/kg, on the way beside a solid


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
    strength: Real
    carbonate_alkalinity: Real
    alkalinity: Real
    carbon: Real
    dissolved: Real  # mol of the solid that went into solution; negative if it precipitated
    passes: int


def _guess(k: Constants, sc: Screening, totals: Sequence[Real], known: Known, given: Real, ops: Arithmetic) -> State:
    """Start from carbonate alone, without pairs, at a rough ionic strength."""
    ca_t, mg_t, na_t, k_t, cl_t, s_t, n_t, p_t, _, c_t, alk, carbon = totals
    singly = na_t + k_t + cl_t + n_t + ops.bound(alk, 0.0, 1.0)
    strength = 2.0 * (ca_t + mg_t + 0.8 * s_t) + 0.5 * singly + 1e-7
    w1, w2 = coefficients(sc, strength, ops)[:2]
    k1, k2 = k.k1 * w1, k.k2 * w2 / w1
    co2 = given if known is Known.CO2 else 0.0 * strength
    h = given + 0.0 * strength * k1  # of the shape that all together have
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
        h, co2, ca, mg, na, kk, zero, zero, zero, zero, w1, w2, w2, w2, strength, alk, alk, carbon, zero, passes=0
    )  # fmt: skip


def balance(
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

    The totals [mol/kg] stand in the order of `water_state.COMPONENTS`; `given` is the activity of carbon
    dioxide or of protons that `known` calls for. With a solid, calcium and what goes with it are the
    totals before any of the solid dissolved. Returns the state even if the last pass still moved it.
    """
    now = start or _guess(k, sc, totals, known, given, ops)
    if ops is FLOATS:
        return _passes(k, sc, totals, known, given, ops, solid, now, MOST_PASSES)[0]
    most = FIRST_PASSES
    state, moving = _passes(k, sc, totals, known, given, ops, solid, now, most)
    shape = state.h.shape
    left: Real = None  # places of the draws that still move, among all
    whole = state
    while moving is not None and most < MOST_PASSES:
        most *= 2
        some = np.flatnonzero(moving)

        def pick(x: Real, some: Real = some, shape: tuple[int, ...] = shape) -> Real:
            return x if isinstance(x, float | int) else np.broadcast_to(x, shape).reshape(-1)[some]

        k, sc, totals = Constants(*map(pick, k)), Screening(*map(pick, sc)), [pick(x) for x in totals]
        given, now = pick(given), State(*map(pick, state))
        left = some if left is None else left[some]
        state, moving = _passes(k, sc, totals, known, given, ops, solid, now, most)
        shape = state.h.shape
        whole = _merged(whole, state, left)
    return whole


def _merged(whole: State, part: State, places: Real) -> State:
    """Put the draws that went on back among all."""
    shape = whole.h.shape

    def put(all_of_it: Real, some: Real) -> Real:
        merged = np.array(np.broadcast_to(all_of_it, shape), dtype=np.float64)
        merged.reshape(-1)[places] = some
        return merged

    fields = [put(x, y) for x, y in zip(whole, part, strict=True)]
    return State(*fields)._replace(passes=part.passes)


def _passes(  # noqa: PLR0912, PLR0915 - one pass reads best in one place
    k: Constants,
    sc: Screening,
    totals: Sequence[Real],
    known: Known,
    given: Real,
    ops: Arithmetic,
    solid: Solid,
    now: State,
    most: int,
) -> tuple[State, Real]:
    """Pass over a water until it stands still or has had enough; say which draws still move, None if none does."""
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

    h, co2, ca, mg, na, kk, b, c = now[:8]
    strength = now.strength
    extent = found = 0.0 * h
    acid = organic = NOTHING
    passes = 0
    moving: Real = None
    while passes < most:
        passes += 1
        w1, w2, w_ca, w_mg, w_s = coefficients(sc, strength, ops)
        if has_phosphate:
            acid = phosphate_buffer(k, p_t, (ca, mg, na, kk), h, w1, w2)
        if has_organic:
            organic = organic_buffer(k, l_t, c_t, h, w1, w2)

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
        none, pair_c = ch * (w2 + mg_c * mg + w1 * na_c * na), ch * ca_c
        wanted = alk
        if calcite:
            less = w_ca + w1 * ca_oh / h + ca_s * s + acid.calcium
            pairs, free = (pair_b, pair_c), k.calcite / ch
            forms, ca, calcium = calcite_forms(knows_co2, co2, one, none, pairs, free, less, carbon - ca_t, ops.sqrt)
            extent = calcium - ca_t
            wanted = alk + 2.0 * extent
        elif knows_ph:
            one, none = one + pair_b * ca, none + pair_c * ca
            before = co2
            forms = Carbonate(bound(alk - rest, 0.0, 10.0) / (one + 2.0 * none), one, none, 0.0)
            move = (forms.co2 - before) / (forms.co2 + TINY)
        else:
            forms = carbonate_forms(knows_co2, co2, one + pair_b * ca, none + pair_c * ca, carbon)
        co2 = forms.co2
        base = co2 * (forms.one + 2.0 * forms.none)
        b, c = bh * co2, ch * co2
        if calcite:
            move = bound((base + rest - wanted) / (steep + forms.steep), -3.0, 3.0)
            h = h * ops.exp(move)
        elif seeks_ph:
            metals = (
                (ca_t + extent, ca * pair_b * co2, ca * pair_c * co2, w1 * ca_oh * ca / h),
                (mg_t, w1 * mg_b * mg * b, mg_c * mg * c, w1 * mg_oh * mg / h),
            )
            steep = answered(steep + forms.steep, base, None if knows_co2 else carbon, metals)
            move = bound((base + rest - alk) / steep, -3.0, 3.0)
            fall = ops.exp(-move)
            h = h / fall
            if not knows_co2:  # what the step of h makes of the carbonate, for the metals to answer to
                co2 = carbon / (1.0 + fall * (forms.one + fall * forms.none))
            b, c = bh * fall * co2, ch * fall * fall * co2
        elif not knows_ph:
            before, found = found, base + rest
            move = 100.0 * (found - before)  # to 1e-8 mol of alkalinity

        # Metals and ionic strength
        if solid is Solid.NONE:
            ca = ca_t / (w_ca + w1 * (ca_b * b + ca_oh / h) + ca_c * c + ca_s * s + acid.calcium)
        mg = mg_t / (w_mg + w1 * (mg_b * b + mg_oh / h) + mg_c * c + mg_s * s + acid.magnesium)
        na = na_t / (w1 * (1.0 + na_c * c + na_s * s + acid.sodium) + na_b * b)
        kk = k_t / (w1 * (1.0 + k_s * s + acid.potassium))
        ones = b * (1.0 + ca_b * ca + mg_b * mg) + c * na_c * na + s * single + na + kk
        ones = inert + w1 * ones + hydroxide + proton + acid.ones + organic.ones
        twos = w_ca * ca + w_mg * mg + w2 * c + w_s * s + acid.twos + organic.twos
        before, strength = strength, 0.5 * ones + 2.0 * twos + 4.5 * (acid.threes + organic.threes)
        if calcite or gypsum:  # far from the end so much may dissolve that activities mean nothing
            strength = bound(strength, 0.0, MOST_STRENGTH)
        shift = strength - before
        if largest(move) < CLOSE and largest(shift) < CLOSE_STRENGTH:
            break
    else:
        moving = (abs(move) >= CLOSE) | (abs(shift) >= CLOSE_STRENGTH)
    state = State(
        h, forms.co2, ca, mg, na, kk, b, c, s, acid.phosphate, w1, w2, w_ca, w_mg, strength,
        carbonate_alkalinity=base + hydroxide - proton - bisulfate,
        alkalinity=base + rest,
        carbon=forms.co2 * (1.0 + forms.one + forms.none),
        dissolved=extent,
        passes=now.passes + passes,
    )  # fmt: skip
    return state, moving
