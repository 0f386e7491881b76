"""One pass of the inner solver: activity coefficients, ligands, a step of the protons, metals, ionic strength.

Given h and the free metals the distribution of every ligand is explicit, and given the ligands that of
every metal. What is found along the way stands on the object, since the later parts of a pass and the
next pass need most of it.

Symbols: w1, w2, w3 inverse activity coefficients of charge 1, 2, 3; lower-case ions are activities, `_t`
marks a total [mol/kg].
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from typing import NamedTuple

from gyle.science.carbonate_constants import Constants, Real, Screening
from gyle.science.carbonate_parts import (
    NOTHING,
    TINY,
    Arithmetic,
    answered,
    calcite_forms,
    coefficients,
    organic_buffer,
    phosphate_buffer,
)

__all__: list[str] = []

MOST_STRENGTH = 1.0  # mol/kg, on the way beside a solid
MOST_MOVE = 3.0  # of ln h in a pass


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


class Passage:
    """A water on its way to equilibrium: what is known of it, and where the last pass left it."""

    __slots__ = (
        "acid", "alk", "b", "base", "bh", "bisulfate", "bound", "c", "c_t", "ca", "ca_t", "calcite", "carbon", "ch",
        "co2", "exp", "extent", "found", "gas", "gypsum", "h", "has_organic", "has_phosphate", "hydroxide", "inert",
        "k", "k_t", "kk", "knows_co2", "knows_ph", "l_t", "mg", "mg_t", "na", "na_t", "none", "of_calcium",
        "of_magnesium", "of_sodium", "of_sulfate", "of_water", "one", "ops", "organic", "p_t", "proton", "rest", "s",
        "s_t", "sc", "seeks_ph", "single", "sqrt", "steep", "strength", "sulfate", "w1", "w2", "w_ca", "w_mg", "w_s",
    )  # fmt: skip

    def __init__(
        self,
        k: Constants,
        sc: Screening,
        totals: Sequence[Real],
        known: Known,
        solid: Solid,
        ops: Arithmetic,
        now: State,
    ) -> None:
        """Set out from a state; its own totals do not count."""
        self.k, self.sc, self.ops = k, sc, ops
        self.exp, self.sqrt, self.bound = ops[:3]
        self.of_water = k.kw, k.k1, k.k2
        self.of_calcium = k.ca_bicarbonate, k.ca_carbonate, k.ca_sulfate, k.ca_hydroxide
        self.of_magnesium = k.mg_bicarbonate * k.k2, k.mg_carbonate, k.mg_sulfate, k.mg_hydroxide
        self.of_sodium = k.na_bicarbonate, k.na_carbonate, k.na_sulfate
        self.of_sulfate = k.k_sulfate, k.h_sulfate
        self.ca_t, self.mg_t, self.na_t, self.k_t, chloride, self.s_t, nitrate, self.p_t, self.l_t, self.c_t = totals[
            :10
        ]
        self.alk, self.carbon = totals[10:]
        self.inert = chloride + nitrate
        self.has_phosphate = ops.largest(self.p_t) > 0.0
        self.has_organic = ops.largest(self.l_t) > 0.0 or ops.largest(self.c_t) > 0.0
        self.knows_ph, self.knows_co2 = known is Known.PH, known is Known.CO2
        self.seeks_ph = known is Known.CARBON or known is Known.CO2
        self.calcite, self.gypsum = solid is Solid.CALCITE, solid is Solid.GYPSUM
        self.h, self.co2, self.ca, self.mg, self.na, self.kk, self.b, self.c = now[:8]
        self.strength = now.strength
        self.extent = self.found = 0.0 * self.h
        self.acid = self.organic = NOTHING

    def once(self) -> tuple[Real, Real]:
        """Pass once; say how far ln h (or what stands for it) and the ionic strength [mol/kg] moved."""
        self.w1, self.w2, self.w_ca, self.w_mg, self.w_s = coefficients(self.sc, self.strength, self.ops)
        if self.has_phosphate:
            metals = (self.ca, self.mg, self.na, self.kk)
            self.acid = phosphate_buffer(self.k, self.p_t, metals, self.h, self.w1, self.w2)
        if self.has_organic:
            self.organic = organic_buffer(self.k, self.l_t, self.c_t, self.h, self.w1, self.w2)
        self._share_sulfate()
        self._count_protons()
        move = self._share_carbonate()
        return move, self._share_metals()

    def _share_sulfate(self) -> None:
        """Find free sulfate; beside gypsum, free calcium and what dissolves too."""
        h, w1 = self.h, self.w1
        ca_b, ca_c, ca_s, ca_oh = self.of_calcium
        k_s, h_s = self.of_sulfate
        self.single = self.of_sodium[2] * self.na + k_s * self.kk + h_s * h
        unpaired = self.w_s + self.of_magnesium[2] * self.mg + w1 * self.single
        if not self.gypsum:
            self.sulfate = self.s_t
            self.s = self.s_t / (unpaired + ca_s * self.ca)
            return
        less = self.w_ca + w1 * (ca_b * self.b + ca_oh / h) + ca_c * self.c + self.acid.calcium
        excess, product = self.s_t - self.ca_t, self.k.gypsum
        self.ca = (self.sqrt(excess * excess + 4.0 * less * unpaired * product) - excess) / (2.0 * less)
        self.s = product / self.ca
        self.sulfate = self.s * (unpaired + ca_s * self.ca)
        self.extent = self.sulfate - self.s_t

    def _count_protons(self) -> None:
        """Add up the alkalinity outside carbonate, and its slope with ln h."""
        h, w1, acid, organic = self.h, self.w1, self.acid, self.organic
        bisulfate = self.bisulfate = w1 * self.of_sulfate[1] * h * self.s
        proton = self.proton = w1 * h
        pairs = self.of_water[0] + self.of_calcium[3] * self.ca + self.of_magnesium[3] * self.mg
        hydroxide = self.hydroxide = w1 / h * pairs
        self.rest = hydroxide - proton - bisulfate - acid.protons - organic.protons
        kept = bisulfate * (1.0 - bisulfate / (self.sulfate + TINY))
        self.steep = hydroxide + proton + kept + acid.steep + organic.steep

    def _share_carbonate(self) -> Real:
        """Distribute carbonate and move h where it is sought; say how far it moved."""
        h, w1, ca = self.h, self.w1, self.ca
        _, k1, k2 = self.of_water
        ca_b, ca_c = self.of_calcium[:2]
        mg_b, mg_c = self.of_magnesium[:2]
        na_b, na_c, _ = self.of_sodium
        # Forms that hold no calcium, and calcium pairs, for each mol of CO2.
        bh = self.bh = k1 / h
        ch = self.ch = bh * k2 / h
        one, pair_b = bh * (w1 * (1.0 + mg_b * self.mg) + na_b * self.na), bh * w1 * ca_b
        none, pair_c = ch * (self.w2 + mg_c * self.mg + w1 * na_c * self.na), ch * ca_c
        if self.calcite:
            return self._beside_calcite(one, none, (pair_b, pair_c))
        one, none = one + pair_b * ca, none + pair_c * ca
        if self.knows_ph:
            return self._of_alkalinity(one, none)
        co2 = self.co2 if self.knows_co2 else self.carbon / (1.0 + one + none)
        self._hold(co2, one, none)
        if self.seeks_ph:
            return self._step(pair_b, pair_c)
        before, self.found = self.found, self.base + self.rest
        return 100.0 * (self.found - before)  # to 1e-8 mol of alkalinity

    def _hold(self, co2: Real, one: Real, none: Real) -> None:
        """Take over a distribution of carbonate."""
        self.gas = self.co2 = co2
        self.one, self.none = one, none
        self.base = co2 * (one + 2.0 * none)
        self.b, self.c = self.bh * co2, self.ch * co2

    def _beside_calcite(self, one: Real, none: Real, pairs: tuple[Real, Real]) -> Real:
        """Let calcite dissolve or fall out, and move h."""
        less = self.w_ca + self.w1 * self.of_calcium[3] / self.h + self.of_calcium[2] * self.s + self.acid.calcium
        free, excess = self.k.calcite / self.ch, self.carbon - self.ca_t
        forms, self.ca, calcium = calcite_forms(
            self.knows_co2, self.co2, one, none, pairs, free, less, excess, self.sqrt
        )
        self._hold(forms.co2, forms.one, forms.none)
        self.extent = calcium - self.ca_t
        off = self.base + self.rest - (self.alk + 2.0 * self.extent)
        move = self.bound(off / (self.steep + forms.steep), -MOST_MOVE, MOST_MOVE)
        self.h = self.h * self.exp(move)
        return move

    def _of_alkalinity(self, one: Real, none: Real) -> Real:
        """Find the carbonate that alkalinity leaves room for at the known h; the move is that of CO2."""
        before = self.co2
        self._hold(self.bound(self.alk - self.rest, 0.0, 10.0) / (one + 2.0 * none), one, none)
        return (self.co2 - before) / (self.co2 + TINY)

    def _step(self, pair_b: Real, pair_c: Real) -> Real:
        """Move h by one step of Newton on the alkalinity, with what carbon and metals answer to it."""
        h, w1, ca, mg, one, none, co2 = self.h, self.w1, self.ca, self.mg, self.one, self.none, self.co2
        mg_b, mg_c, _, mg_oh = self.of_magnesium
        metals = (
            (self.ca_t + self.extent, ca * pair_b * co2, ca * pair_c * co2, w1 * self.of_calcium[3] * ca / h),
            (self.mg_t, w1 * mg_b * mg * self.b, mg_c * mg * self.c, w1 * mg_oh * mg / h),
        )
        steep = self.steep + co2 * (one + 4.0 * none)
        steep = answered(steep, self.base, None if self.knows_co2 else self.carbon, metals)
        move = self.bound((self.base + self.rest - self.alk) / steep, -MOST_MOVE, MOST_MOVE)
        fall = self.exp(-move)
        self.h = h / fall
        if not self.knows_co2:  # what the step of h makes of the carbonate, for the metals to answer to
            co2 = self.co2 = self.carbon / (1.0 + fall * (one + fall * none))
        self.b, self.c = self.bh * fall * co2, self.ch * fall * fall * co2
        return move

    def _share_metals(self) -> Real:
        """Find the free metals and the ionic strength; say how far that moved."""
        h, b, c, s, w1, acid, organic = self.h, self.b, self.c, self.s, self.w1, self.acid, self.organic
        ca_b, ca_c, ca_s, ca_oh = self.of_calcium
        mg_b, mg_c, mg_s, mg_oh = self.of_magnesium
        na_b, na_c, na_s = self.of_sodium
        solid = self.calcite or self.gypsum
        if not solid:
            self.ca = self.ca_t / (self.w_ca + w1 * (ca_b * b + ca_oh / h) + ca_c * c + ca_s * s + acid.calcium)
        ca = self.ca
        mg = self.mg = self.mg_t / (self.w_mg + w1 * (mg_b * b + mg_oh / h) + mg_c * c + mg_s * s + acid.magnesium)
        na = self.na = self.na_t / (w1 * (1.0 + na_c * c + na_s * s + acid.sodium) + na_b * b)
        kk = self.kk = self.k_t / (w1 * (1.0 + self.of_sulfate[0] * s + acid.potassium))
        ones = b * (1.0 + ca_b * ca + mg_b * mg) + c * na_c * na + s * self.single + na + kk
        ones = self.inert + w1 * ones + self.hydroxide + self.proton + acid.ones + organic.ones
        twos = self.w_ca * ca + self.w_mg * mg + self.w2 * c + self.w_s * s + acid.twos + organic.twos
        before, strength = self.strength, 0.5 * ones + 2.0 * twos + 4.5 * (acid.threes + organic.threes)
        if solid:  # far from the end so much may dissolve that activities mean nothing
            strength = self.bound(strength, 0.0, MOST_STRENGTH)
        self.strength = strength
        return strength - before

    def state(self, passes: int) -> State:
        """Say where the last pass left the water; `passes` is how many it took in all."""
        return State(
            self.h, self.gas, self.ca, self.mg, self.na, self.kk, self.b, self.c, self.s, self.acid.phosphate,
            self.w1, self.w2, self.w_ca, self.w_mg, self.strength,
            carbonate_alkalinity=self.base + self.hydroxide - self.proton - self.bisulfate,
            alkalinity=self.base + self.rest,
            carbon=self.gas * (1.0 + self.one + self.none),
            dissolved=self.extent,
            passes=passes,
        )  # fmt: skip
