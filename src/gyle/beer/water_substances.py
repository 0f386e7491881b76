"""What a water report may name: molar masses, charges, what is usual, and other ways to state it."""

from __future__ import annotations

import csv
import functools
from pathlib import Path

import attrs

from gyle.science.water_ions import CHARGE, MOLAR_MASS, NITROGEN, nitrate_from_nitrogen, sulfate_from_sulfur

__all__ = [
    "FORMS", "MAJOR", "OTHERS", "USUAL_PH", "USUAL_PH_SD", "Substance",
    "in_words", "mEq_L", "mg_L", "mmol_L", "substance",
]  # fmt: skip

MAJOR = ("calcium", "magnesium", "sodium", "potassium", "sulfate", "chloride", "nitrate")
OTHERS = (
    "nitrite", "ammonium", "fluoride", "phosphate", "silicate", "iron", "manganese", "copper", "zinc", "lead",
)  # fmt: skip

# Of a tap water nobody described; its other figures are columns of the table. Provenance: ours.
USUAL_PH, USUAL_PH_SD = 7.6, 0.4

_P, _SI = 30.974, 28.085  # IUPAC 2021 abridged atomic weights
_NH4, _PO4 = MOLAR_MASS["ammonium"], MOLAR_MASS["phosphate"]
_NO3_OF_N, _SO4_OF_S = float(nitrate_from_nitrogen(1.0)), float(sulfate_from_sulfur(1.0))
_NO2, _SIO2 = 46.005, 60.083
# What a milligram stated as another substance is worth in milligrams of the ion: "3.7 mg/L as N".
FORMS: dict[str, dict[str, float]] = {
    "nitrate": {"NO3": 1.0, "N": _NO3_OF_N, "NO3-N": _NO3_OF_N},
    "nitrite": {"NO2": 1.0, "N": _NO2 / NITROGEN, "NO2-N": _NO2 / NITROGEN},
    "ammonium": {"NH4": 1.0, "N": _NH4 / NITROGEN, "NH4-N": _NH4 / NITROGEN},
    "sulfate": {"SO4": 1.0, "S": _SO4_OF_S, "SO4-S": _SO4_OF_S},
    "phosphate": {"PO4": 1.0, "P": _PO4 / _P, "PO4-P": _PO4 / _P},
    "silicate": {"SiO2": 1.0, "Si": _SIO2 / _SI},
    "bicarbonate": {"HCO3": 1.0},
    "carbonate": {"CO3": 1.0},
    "chloride": {"Cl": 1.0},
    "calcium": {"Ca": 1.0},
    "magnesium": {"Mg": 1.0},
    "sodium": {"Na": 1.0},
    "potassium": {"K": 1.0},
    "chlorine": {"Cl2": 1.0},
    "chloramine": {"Cl2": 1.0},
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
    return {row["name"]: _of_row(row) for row in rows}


def _of_row(row: dict[str, str]) -> Substance:
    """Return a substance; the equations' own molar masses and charges count where a row leaves them open."""
    name = row.pop("name")
    ion = "bicarbonate" if name == "alkalinity" else name
    mass, charge = row.pop("molar_mass_g_mol"), row.pop("charge")
    del row["provenance"]
    return Substance(
        name=name,
        molar_mass_g_mol=float(mass) if mass else MOLAR_MASS[ion],
        charge=int(charge) if charge else CHARGE[ion],
        **{key: _number(value) for key, value in row.items()},
    )


def substance(name: str) -> Substance:
    """Return a substance by the key a report has it under."""
    return _table()[name]


def in_words(value: float, unit: str = "mg/L") -> str:
    """Return a figure of a report to three digits, never as a power of ten."""
    figure = f"{value:.3g}" if abs(value) < 999.5 else f"{value:.0f}"
    return f"{figure} {unit}"


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
