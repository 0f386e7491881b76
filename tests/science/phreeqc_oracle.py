"""PHREEQC as an independent reference: the same water, dosed and warmed, brought to equilibrium by it."""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

import numpy as np
from phreeqpython import PhreeqPython

from gyle.science.acids import acid_totals
from gyle.science.salts import salt_totals
from gyle.science.water_ions import millimoles_L
from gyle.science.water_state import water_totals

CASES = Path(__file__).parents[1] / "data" / "phreeqc_cases.csv"
ELEMENTS = {
    "calcium": "Ca", "magnesium": "Mg", "sodium": "Na", "potassium": "K", "chloride": "Cl", "sulfate": "S(6)",
    "nitrate": "N(5)",
}  # fmt: skip
COLUMNS = {
    "calcium": "Ca_mg", "magnesium": "Mg_mg", "sodium": "Na_mg", "potassium": "K_mg", "chloride": "Cl_mg",
    "sulfate": "SO4_mg", "nitrate": "NO3_mg",
}  # fmt: skip
# Column of the table, our name, PHREEQC's formula, molar mass (1 where the column is in mmol already).
SALTS = (
    ("gypsum_mg", "calcium sulfate dihydrate", "CaSO4", 172.164),
    ("cacl2_anh_mg", "calcium chloride anhydrous", "CaCl2", 110.978),
    ("cacl2_2h2o_mg", "calcium chloride dihydrate", "CaCl2", 147.008),
    ("epsom_mg", "magnesium sulfate heptahydrate", "MgSO4", 246.466),
    ("mgcl2_6h2o_mg", "magnesium chloride hexahydrate", "MgCl2", 203.295),
    ("nacl_mg", "sodium chloride", "NaCl", 58.440),
    ("kcl_mg", "potassium chloride", "KCl", 74.548),
    ("nahco3_mg", "sodium bicarbonate", "NaHCO3", 84.006),
    ("na2so4_mg", "sodium sulfate anhydrous", "Na2SO4", 142.036),
    ("lime_mg", "calcium hydroxide", "Ca(OH)2", 74.092),
    ("chalk_mg", "calcium carbonate", "CaCO3", 100.086),
)
ACIDS = (
    ("lactic_mmol", "lactic", "HLact"),
    ("phosphoric_mmol", "phosphoric", "H3PO4"),
    ("hydrochloric_mmol", "hydrochloric", "HCl"),
    ("sulfuric_mmol", "sulfuric", "H2SO4"),
    ("citric_mmol", "citric", "H3Citr"),
)
ORGANIC = f"""
SOLUTION_MASTER_SPECIES
Lact Lact- 0 89.07 89.07
Citr Citr-3 0 189.10 189.10
SOLUTION_SPECIES
Lact- = Lact-
  log_k 0
Lact- + H+ = HLact
  -analytic {3.857 + 5e-5 * 295.65**2} {-1e-4 * 295.65} 0 0 0 5e-5
Citr-3 = Citr-3
  log_k 0
Citr-3 + H+ = HCitr-2
  log_k 6.396
  delta_h 3.38 kJ
Citr-3 + 2H+ = H2Citr-
  log_k 11.157
  delta_h 1.15 kJ
Citr-3 + 3H+ = H3Citr
  log_k 14.285
  delta_h -2.92 kJ
END
"""


class Found(NamedTuple):
    """What PHREEQC found."""

    ph: float
    calcite_si: float
    ionic_strength_mmol_kg: float
    carbon_dioxide_mmol_kg: float
    carbon_mmol_kg: float


class Case(NamedTuple):
    """A report, doses, a temperature, and what the water stands against."""

    ions_mmol: dict[str, float]
    alkalinity_mEq: float
    ph: float
    report_C: float
    salts_mg: dict[str, float]  # by the names in the table's columns
    acids_mmol: dict[str, float]
    temperature_C: float
    log_pco2: float | None
    solid: str  # "", "Calcite:0", "Calcite:10", "Gypsum:10"

    def totals(self, *, dosed: bool) -> np.ndarray:
        """Our totals of the report, its carbon left at 0, without or with what is dosed."""
        ions = {f"{name}_mmol_kg": amount for name, amount in self.ions_mmol.items()}
        totals = water_totals(self.alkalinity_mEq, 0.0, **ions)
        if dosed:
            for column, name, _, _ in SALTS:
                totals = totals + salt_totals(name, self.salts_mg.get(column, 0.0) / 1000.0, purity=1.0)
            for column, name, _ in ACIDS:
                totals = totals + acid_totals(name, self.acids_mmol.get(column, 0.0))
        return totals

    def script(self) -> str:
        """PHREEQC's input."""
        lines = [f"SOLUTION 1\nunits mmol/kgw\ntemp {self.report_C}\npH {self.ph}"]
        lines += [f"{ELEMENTS[name]} {amount:.10g}" for name, amount in self.ions_mmol.items()]
        lines += [f"Alkalinity {self.alkalinity_mEq:.10g} meq/kgw", "SAVE SOLUTION 1\nEND\nUSE SOLUTION 1\nREACTION 1"]
        doses: Counter[str] = Counter()  # two hydrates of one salt are one reactant
        for column, _, formula, mass in SALTS:
            doses[formula] += self.salts_mg.get(column, 0.0) / mass
        for column, _, formula in ACIDS:
            doses[formula] += self.acids_mmol.get(column, 0.0)
        lines += [f"{formula} {amount:.10g}" for formula, amount in doses.items() if amount] or ["H2O 1e-9"]
        lines += [f"1 mmol\nREACTION_TEMPERATURE 1\n{self.temperature_C}"]
        if self.log_pco2 is not None or self.solid:
            lines += ["EQUILIBRIUM_PHASES 1"]
        if self.log_pco2 is not None:
            lines += [f"CO2(g) {self.log_pco2} 10"]
        if self.solid:
            mineral, amount = self.solid.split(":")
            lines += [f"{mineral} 0 {amount}"]
        return "\n".join([*lines, "SAVE SOLUTION 2\nEND\n"])


class Oracle:
    """One PHREEQC with the organic acids in its data base."""

    def __init__(self) -> None:
        self.engine = PhreeqPython(database="phreeqc.dat").ip
        self.engine.run_string(ORGANIC)

    def run(self, case: Case) -> Found:
        """Bring a case to equilibrium."""
        engine = self.engine
        engine.run_string(case.script())
        return Found(
            engine.get_ph(2),
            engine.get_si(2, "Calcite"),
            1e3 * engine.get_mu(2),
            1e3 * engine.get_molality(2, "CO2"),
            1e3 * engine.get_total_element(2, "C"),
        )


def read_cases() -> list[tuple[Case, Mapping[str, str]]]:
    """Every row of the table: the case and what PHREEQC gave for it."""
    with CASES.open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    return [(_case(row), row) for row in rows]


def _case(row: Mapping[str, str]) -> Case:
    return Case(
        {name: float(millimoles_L(float(row[column]), name)) for name, column in COLUMNS.items()},
        float(row["alk_in_mEq"]),
        float(row["pH_in"]),
        float(row["temp_in_C"]),
        {column: float(row[column]) for column, *_ in SALTS if float(row[column])},
        {column: float(row[column]) for column, *_ in ACIDS if float(row[column])},
        float(row["T_C"]),
        float(row["log_pCO2_set"]) if row["co2"] == "open" else None,
        row["phases_allowed"],
    )


def random_cases(number: int, seed: int) -> list[Case]:
    """Waters between membrane permeate and hard gypseous, dosed as a brewer might, cold to sparge-hot."""
    draw = np.random.default_rng(seed)
    return [_random_case(draw, index) for index in range(number)]


def _random_case(draw: np.random.Generator, index: int) -> Case:
    strength = 10.0 ** draw.uniform(-1.0, 0.3)
    shares = {
        "calcium": 2.5, "magnesium": 0.8, "sodium": 1.2, "potassium": 0.15, "chloride": 1.2, "sulfate": 1.0,
        "nitrate": 0.3,
    }  # fmt: skip
    ions = {name: strength * share * draw.uniform(0.2, 1.5) for name, share in shares.items()}
    alkalinity = strength * draw.uniform(0.5, 6.0)
    salts: dict[str, float] = {}
    acids: dict[str, float] = {}
    if index % 3:
        for column in draw.choice([column for column, *_ in SALTS[:9]], 2, replace=False):
            salts[str(column)] = float(draw.uniform(20.0, 400.0))
    if index % 2:
        column, protons = list(zip((name for name, *_ in ACIDS), (1, 1, 1, 2, 2), strict=True))[draw.integers(5)]
        acids[column] = float(alkalinity * draw.uniform(0.3, 0.95) / protons)
    solid = ("", "", "", "Calcite:0", "", "Calcite:10")[index % 6]
    return Case(
        ions, alkalinity, float(draw.uniform(6.6, 8.4)), float(draw.uniform(4.0, 20.0)), salts, acids,
        float(draw.uniform(5.0, 80.0)), float(draw.uniform(-3.5, -1.0)) if index % 4 == 3 else None, solid,
    )  # fmt: skip
