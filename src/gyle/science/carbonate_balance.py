"""The inner solver: acid, ion pairs and ionic strength, passed over until nothing moves.

Known are totals; sought is the proton activity h (or, where the pH is known, what makes it so). Each pass
(`carbonate_pass.Passage`) does activity coefficients, ligands, one Newton step in ln h on the alkalinity,
metals, ionic strength. A solid in equilibrium adds a quadratic for free calcium to the pass.

The lines run on Python floats (one water, without the cost of arrays of one) and on arrays of draws.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from gyle.science.carbonate_constants import Constants, Real, Screening
from gyle.science.carbonate_parts import FLOATS, Arithmetic, coefficients
from gyle.science.carbonate_pass import Known, Passage, Solid, State

__all__: list[str] = []

MOST_PASSES = 320
FIRST_PASSES = 9  # of all draws together; then only those that still move go on, and so on, doubling
CLOSE = 1e-6  # last move in ln h; what is left is less than that unless half the metals are paired
CLOSE_STRENGTH = 1e-8  # mol/kg


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
        return _passed(Passage(k, sc, totals, known, solid, ops, now), now.passes, MOST_PASSES)[0]
    most = FIRST_PASSES
    state, moving = _passed(Passage(k, sc, totals, known, solid, ops, now), now.passes, most)
    shape = state.h.shape
    left: Real = None  # places of the draws that still move, among all
    whole = state
    while moving is not None and most < MOST_PASSES:
        most *= 2
        some = np.flatnonzero(moving)

        def pick(x: Real, some: Real = some, shape: tuple[int, ...] = shape) -> Real:
            return x if isinstance(x, float | int) else np.broadcast_to(x, shape).reshape(-1)[some]

        k, sc, totals = Constants(*map(pick, k)), Screening(*map(pick, sc)), [pick(x) for x in totals]
        now = State(*map(pick, state))
        left = some if left is None else left[some]
        state, moving = _passed(Passage(k, sc, totals, known, solid, ops, now), now.passes, most)
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


def _passed(water: Passage, before: int, most: int) -> tuple[State, Real]:
    """Pass over a water until it stands still or has had enough; say which draws still move, None if none does.

    `before` is how many passes it had already.
    """
    largest = water.ops.largest
    move: Real = None
    shift: Real = None
    for passes in range(1, most + 1):
        move, shift = water.once()
        if largest(move) < CLOSE and largest(shift) < CLOSE_STRENGTH:
            return water.state(before + passes), None
    return water.state(before + most), (abs(move) >= CLOSE) | (abs(shift) >= CLOSE_STRENGTH)
