"""What a water report may name: molar masses, charges, what is usual, and other ways to state it."""

from __future__ import annotations

import csv
import functools
from pathlib import Path

import attrs

__all__ = ["FORMS", "MAJOR", "OTHERS", "Substance", "mEq_L", "mg_L", "mmol_L", "substance"]

MAJOR = ("calcium", "magnesium", "sodium", "potassium", "sulfate", "chloride", "nitrate")
OTHERS = (
    "nitrite", "ammonium", "fluoride", "phosphate", "silicate", "iron", "manganese", "copper", "zinc", "lead",
)  # fmt: skip

_N, _S, _P, _SI = 14.007, 32.06, 30.974, 28.085  # IUPAC 2021 abridged atomic weights
_NO3, _NO2, _NH4, _SO4, _PO4, _SIO2 = 62.004, 46.005, 18.039, 96.056, 94.970, 60.083
# What a milligram stated as another substance is worth in milligrams of the ion: "3.7 mg/L as N".
FORMS: dict[str, dict[str, float]] = {
    "nitrate": {"no3": 1.0, "n": _NO3 / _N, "no3-n": _NO3 / _N},
    "nitrite": {"no2": 1.0, "n": _NO2 / _N, "no2-n": _NO2 / _N},
    "ammonium": {"nh4": 1.0, "n": _NH4 / _N, "nh4-n": _NH4 / _N},
    "sulfate": {"so4": 1.0, "s": _SO4 / _S, "so4-s": _SO4 / _S},
    "phosphate": {"po4": 1.0, "p": _PO4 / _P, "po4-p": _PO4 / _P},
    "silicate": {"sio2": 1.0, "si": _SIO2 / _SI},
    "bicarbonate": {"hco3": 1.0},
    "carbonate": {"co3": 1.0},
    "chloride": {"cl": 1.0},
    "calcium": {"ca": 1.0},
    "magnesium": {"mg": 1.0},
    "sodium": {"na": 1.0},
    "potassium": {"k": 1.0},
    "chlorine": {"cl2": 1.0},
    "chloramine": {"cl2": 1.0},
}


def _number(text: str) -> float:
    return float(text) if text else 0.0


@attrs.frozen(kw_only=True)
class Substance:
    """One substance of a report.

    `charge` is what it carries at pH 4.3, where alkalinity ends; whatever charge a weak acid has beyond
    that is titrated as alkalinity. The conductivity is that of one milliequivalent at infinite dilution.
    """

    name: str
    molar_mass_g_mol: float
    charge: int
    highest_mg_L: float
    usual_mg_L: float
    usual_sd_mg_L: float
    most_plausible_mg_L: float
    error_relative: float
    error_mg_L: float
    conductivity_S_cm2_mEq: float

    @property
    def valence(self) -> int:
        """Charges of one ion, counted without their sign; 1 for what carries none."""
        return abs(self.charge) or 1


@functools.cache
def _table() -> dict[str, Substance]:
    text = (Path(__file__).parent / "data" / "water_substances.csv").read_text(encoding="utf-8")
    rows = list(csv.DictReader(text.splitlines()))
    return {
        row["name"]: Substance(
            name=row["name"],
            charge=int(row["charge"]),
            **{key: _number(value) for key, value in row.items() if key not in ("name", "charge", "provenance")},
        )
        for row in rows
    }


def substance(name: str) -> Substance:
    """Return a substance by the key a report has it under."""
    return _table()[name]


def mEq_L(name: str, concentration_mg_L: float) -> float:
    """Return milliequivalents per litre; 0 for what carries no charge."""
    known = substance(name)
    return abs(known.charge) * concentration_mg_L / known.molar_mass_g_mol


def mmol_L(name: str, concentration_mg_L: float) -> float:
    """Return millimoles per litre."""
    return concentration_mg_L / substance(name).molar_mass_g_mol


def mg_L(name: str, concentration_mEq_L: float) -> float:
    """Return milligrams per litre from milliequivalents per litre."""
    known = substance(name)
    return concentration_mEq_L * known.molar_mass_g_mol / known.valence
