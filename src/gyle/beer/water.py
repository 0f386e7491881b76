"""A water: what its report states, what follows from that, and what had to be estimated."""

from __future__ import annotations

from typing import Literal

import attrs
import numpy as np
from numpy.typing import NDArray

from gyle.beer.estimate import Estimate
from gyle.beer.water_substances import MAJOR, mEq_L, mmol_L, substance
from gyle.science.carbonate import carbon_from_ph
from gyle.science.hardness import residual_alkalinity
from gyle.science.water_ions import charges, din_imbalance_pct
from gyle.science.water_state import water_totals

__all__ = ["IONS", "Balance", "Part", "Reported", "Softening", "Standing", "Water"]

IONS = (*MAJOR, "bicarbonate")

Standing = Literal["stated", "computed", "estimated"]
Softening = Literal["", "boiled", "lime"]

_MINOR = frozenset({"potassium", "nitrate", "ph"})  # a balance tells without them
# Usual acceptance of a charge balance in the DIN form (DIN 38402-62); memory.
_ALLOWED_PCT, _ALLOWED_DILUTE_PCT, _DILUTE_MEQ_L = 5.0, 10.0, 2.0


@attrs.frozen(kw_only=True)
class Reported(Estimate):
    """A figure of a water, and how it stands.

    "stated": the report says so. "computed": it follows from another statement of the report.
    "estimated": the report does not say; its band is wide.
    """

    standing: Standing = "stated"


@attrs.frozen(kw_only=True)
class Balance:
    """The sums of charges as a laboratory reckons them: alkalinity counts as titrated.

    Parameters
    ----------
    cations_mEq_L, anions_mEq_L : float
        The sums.
    tells : bool
        Whether it is a check at all: every main figure is stated or follows from one that is.
    """

    cations_mEq_L: float
    anions_mEq_L: float
    tells: bool

    @property
    def din_pct(self) -> float:
        """Difference in per cent of the mean of both sums (DIN 38402-62)."""
        return float(din_imbalance_pct(self.cations_mEq_L, self.anions_mEq_L))

    @property
    def standard_methods_pct(self) -> float:
        """Difference in per cent of the total of both sums (Standard Methods 1030 E)."""
        return self.din_pct / 2.0

    @property
    def allowed_pct(self) -> float:
        """What is usually accepted, in the DIN form."""
        dilute = (self.cations_mEq_L + self.anions_mEq_L) / 2.0 < _DILUTE_MEQ_L
        return _ALLOWED_DILUTE_PCT if dilute else _ALLOWED_PCT

    @property
    def acceptable(self) -> bool:
        """Whether the difference is usual."""
        return abs(self.din_pct) <= self.allowed_pct


@attrs.frozen(kw_only=True)
class Part:
    """One water of a blend; `treated` is a wish that whoever fills the kettle computes."""

    water: Water
    share: float
    treated: Softening = ""


@attrs.frozen(kw_only=True)
class Water:
    """A water. Ions in mg/L, alkalinity and hardness in mEq/L, all per litre of cold water.

    Every major ion, the alkalinity, the hardness and the pH are there; `standing` of each says whether the
    report gave it. The charge imbalance of the figures is carried, never spread over them.
    """

    name: str = ""
    calcium_mg_L: Reported
    magnesium_mg_L: Reported
    sodium_mg_L: Reported
    potassium_mg_L: Reported
    sulfate_mg_L: Reported
    chloride_mg_L: Reported
    nitrate_mg_L: Reported
    bicarbonate_mg_L: Reported
    alkalinity_mEq_L: Reported
    alkalinity_from: str = ""  # the key of the report it was taken from; "" where none states it
    acid_capacity_mEq_L: Reported | None = None  # as titrated to pH 4.3, acid of the end point included
    hardness_mEq_L: Reported
    ph: Reported
    ph_temperature_C: float | None = None  # of the reading
    temperature_C: float | None = None  # of the water when sampled
    base_capacity_mmol_L: Reported | None = None
    chlorine_mg_L: Reported | None = None  # free chlorine, as Cl2
    chloramine_mg_L: Reported | None = None  # as Cl2
    conductivity_uS_cm: Reported | None = None  # at 25 °C
    metabisulfite_mg_L: float = 0.0  # that these figures reckon with, against its chlorine
    others_mg_L: tuple[tuple[str, Reported], ...] = ()
    treated: Softening = ""
    parts: tuple[Part, ...] = ()  # what it is blended of; empty for a single source
    doubt: str = ""  # the one of the notes that is of its charges
    notes: tuple[str, ...] = ()  # what a careful reader notices in the report
    supposed: tuple[str, ...] = ()  # what the report does not say, and what is taken instead
    cautions: tuple[str, ...] = ()
    remarks: str = ""  # the author's own words

    def ion_mg_L(self, ion: str) -> Reported | None:
        """Return the concentration of an ion by its name; None for a lesser one that nobody stated."""
        if ion in IONS:
            found: Reported = getattr(self, f"{ion}_mg_L")
            return found
        return dict(self.others_mg_L).get(ion)

    @property
    def estimated(self) -> tuple[str, ...]:
        """The figures nobody stated."""
        names = [ion for ion in MAJOR if getattr(self, f"{ion}_mg_L").standing == "estimated"]
        names += ["alkalinity"] if self.alkalinity_mEq_L.standing == "estimated" else []
        return (*names, *(["ph"] if self.ph.standing == "estimated" else []))

    @property
    def balance(self) -> Balance:
        """The charge balance a laboratory would print."""
        titrated = (self.acid_capacity_mEq_L or self.alkalinity_mEq_L).centre
        sums = charges(max(titrated, 0.0), **{f"{ion}_mg_L": self.mg_L(ion) for ion in (*MAJOR, "fluoride")})
        lesser = [
            (substance(name).charge, mEq_L(name, figure.centre))
            for name, figure in self.others_mg_L
            if name != "fluoride"
        ]
        return Balance(
            cations_mEq_L=float(sums.cations_mEq_L) + max(-titrated, 0.0) + sum(mEq for z, mEq in lesser if z > 0),
            anions_mEq_L=float(sums.anions_mEq_L) + sum(mEq for z, mEq in lesser if z < 0),
            tells=not set(self.estimated) - _MINOR,
        )

    @property
    def imbalance_mEq_L(self) -> float:
        """Cations less anions and alkalinity, as they count here: an inert charge that is carried along."""
        sums = self.balance
        titrated = self.acid_capacity_mEq_L
        more = 0.0 if titrated is None else titrated.centre - self.alkalinity_mEq_L.centre
        return sums.cations_mEq_L - sums.anions_mEq_L + more

    @property
    def residual_alkalinity_mEq_L(self) -> float:
        """Alkalinity less what calcium and magnesium make up for (Kolbach 1953): it describes, no more."""
        return float(
            residual_alkalinity(
                self.alkalinity_mEq_L.centre,
                calcium_mEq_L=mEq_L("calcium", self.calcium_mg_L.centre),
                magnesium_mEq_L=mEq_L("magnesium", self.magnesium_mg_L.centre),
            )
        )

    @property
    def residual_chlorine_mg_L(self) -> float:
        """Chlorine and chloramine together, as Cl2: what sulfite has to take away."""
        return sum(figure.centre for figure in (self.chlorine_mg_L, self.chloramine_mg_L) if figure is not None)

    @property
    def untreated(self) -> bool:
        """Whether a treatment is wished for, here or in a part, that these figures do not hold yet."""
        return bool(self.treated) or any(part.treated or part.water.untreated for part in self.parts)

    def mg_L(self, name: str) -> float:
        """Return the middle of an ion's concentration [mg/L]; 0 for one that nobody stated."""
        found = self.ion_mg_L(name)
        return 0.0 if found is None else found.centre

    def mmol_L(self, name: str) -> float:
        """Return an ion's amount [mmol/L]; 0 for one that nobody stated."""
        return mmol_L(name, self.mg_L(name))

    @property
    def reading_C(self) -> float:
        """The temperature the pH belongs to [°C]; 20 where nobody said."""
        warmth = self.ph_temperature_C if self.ph_temperature_C is not None else self.temperature_C
        return 20.0 if warmth is None else max(warmth, 0.0)

    @property
    def carbon_mmol_L(self) -> float:
        """Inorganic carbon, from alkalinity and pH at the temperature of its reading [mmol/L]."""
        return float(carbon_from_ph(self.totals_mmol_L(0.0), self.ph.centre, temperature_C=self.reading_C))

    def totals_mmol_L(self, carbon_mmol_L: float) -> NDArray[np.float64]:
        """Return the totals that chemistry conserves, as `gyle.science.carbonate.water_totals` orders them.

        A titration ends where phosphate has one charge; the totals count it as the bare ion, of three.
        """
        phosphate = self.mmol_L("phosphate")
        return water_totals(
            self.alkalinity_mEq_L.centre - 2.0 * phosphate,
            carbon_mmol_L,
            phosphate_mmol_kg=phosphate,
            **{f"{ion}_mmol_kg": self.mmol_L(ion) for ion in MAJOR},
        )
