"""A water: what its report states, what follows from that, and what had to be estimated."""

from __future__ import annotations

from typing import Literal

import attrs

from gyle.beer.estimate import Estimate
from gyle.beer.water_substances import MAJOR, mEq_L, mmol_L, substance

__all__ = ["IONS", "Balance", "Part", "Reported", "Standing", "Treatment", "Water"]

IONS = (*MAJOR, "bicarbonate")

Standing = Literal["stated", "computed", "estimated"]
Treatment = Literal["", "boiled", "lime"]

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
        total = self.cations_mEq_L + self.anions_mEq_L
        return 200.0 * (self.cations_mEq_L - self.anions_mEq_L) / total if total > 0 else 0.0

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
    treated: Treatment = ""


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
    others_mg_L: tuple[tuple[str, Reported], ...] = ()
    treated: Treatment = ""
    parts: tuple[Part, ...] = ()  # what it is blended of; empty for a single source
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
        cations, anions = self._strong_mEq_L()
        titrated = self.acid_capacity_mEq_L or self.alkalinity_mEq_L
        unsure = set(self.estimated) - {"potassium", "nitrate", "ph"}
        return Balance(cations_mEq_L=cations, anions_mEq_L=anions + titrated.centre, tells=not unsure)

    @property
    def imbalance_mEq_L(self) -> float:
        """Cations less anions and alkalinity, as they count here: an inert charge that is carried along."""
        cations, anions = self._strong_mEq_L()
        return cations - anions - self.alkalinity_mEq_L.centre

    def _strong_mEq_L(self) -> tuple[float, float]:
        """Return the sums of cations and of anions, alkalinity left out."""
        sums = [0.0, 0.0]
        for name, figure in self._each():
            sums[substance(name).charge < 0] += mEq_L(name, figure.centre)
        return sums[0], sums[1]

    def _each(self) -> tuple[tuple[str, Reported], ...]:
        return (*((ion, getattr(self, f"{ion}_mg_L")) for ion in MAJOR), *self.others_mg_L)

    @property
    def residual_alkalinity_mEq_L(self) -> float:
        """Alkalinity less what calcium and magnesium make up for (Kolbach 1953): it describes, no more."""
        lime = mEq_L("calcium", self.calcium_mg_L.centre) / 3.5
        return self.alkalinity_mEq_L.centre - lime - mEq_L("magnesium", self.magnesium_mg_L.centre) / 7.0

    @property
    def residual_chlorine_mg_L(self) -> float:
        """Chlorine and chloramine together, as Cl2: what sulfite has to take away."""
        return sum(figure.centre for figure in (self.chlorine_mg_L, self.chloramine_mg_L) if figure is not None)

    @property
    def untreated(self) -> bool:
        """Whether a treatment is wished for, here or in a part, that these figures do not hold yet."""
        return bool(self.treated) or any(part.treated or part.water.untreated for part in self.parts)

    def mmol_L(self, name: str) -> float:
        """Return an ion's amount [mmol/L]; 0 for one that nobody stated."""
        found = self.ion_mg_L(name)
        return 0.0 if found is None else mmol_L(name, found.centre)
