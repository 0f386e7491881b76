"""The state of waters and the pH of mashes against PHREEQC: one alone, and two thousand together, per case, in one run.

A case is a report (its carbon found from its pH), doses, and the dosed water at another temperature,
closed, open to a gas or beside a solid. PHREEQC is given its input as text and asked for five figures.

PHREEQC knows no malt, and has no natural way to say one (a surface would have to be made up for it). So the pH of a
mash, from the report's alkalinity and pH through its carbon and the acid that hardness frees to the balance of the
protons, is timed against the least that PHREEQC would have to do for it: the state of that mash's liquor, with its
salts and its acid and without the malt, cold and closed. The answers are not the same quantity, only the times are
set side by side.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterable
from pathlib import Path

import numpy as np

from bench.timing import best_s
from gyle.science.acid_demand import room_carbon_mmol_L
from gyle.science.carbonate import carbon_from_ph, closed, open_to_gas
from gyle.science.malt_acidity import hardness_acid_mEq_L, mash_ph
from gyle.science.precipitation import calcite_equilibrium, gypsum_equilibrium

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests" / "science"))

from phreeqc_oracle import Case, Found, Oracle, read_cases

MANY = 2000
AIM_ALONE, AIM_TOGETHER = 5.0, 100.0  # times faster
MALT_KG, MALT_PH, BUFFERING_mEq_kg, LIQUOR_L = 5.0, 5.70, 45.0, 20.0
CO2_LOST, CALCIUM_RELEASE, MAGNESIUM_RELEASE, CEILING_mEq_L = 0.3, 0.20, 0.10, 9.0
Kind = tuple[bool, str]


class Batch:
    """Cases of one kind side by side, their reports and doses as totals already."""

    def __init__(self, kind: Kind, cases: Iterable[Case]) -> None:
        chosen = list(cases)
        self.is_open, self.solid = kind
        self.size = len(chosen)
        self.report = np.stack([case.totals(dosed=False) for case in chosen], axis=-1)
        self.doses = np.stack([case.totals(dosed=True) for case in chosen], axis=-1) - self.report
        self.ph = np.array([case.ph for case in chosen])
        self.report_C = np.array([case.report_C for case in chosen])
        self.temperature_C = np.array([case.temperature_C for case in chosen])
        self.log_pco2 = np.array([0.0 if case.log_pco2 is None else case.log_pco2 for case in chosen])

    def alone(self) -> Batch:
        """The first case as plain numbers."""
        one = Batch.__new__(Batch)
        one.is_open, one.solid, one.size = self.is_open, self.solid, 1
        one.report, one.doses = self.report[:, 0].copy(), self.doses[:, 0].copy()
        for name in ("ph", "report_C", "temperature_C", "log_pco2"):
            setattr(one, name, float(getattr(self, name)[0]))
        return one

    def solve(self) -> np.ndarray:
        """From report to state; the pH."""
        totals = self.report + self.doses
        totals[11] += carbon_from_ph(self.report, self.ph, temperature_C=self.report_C)
        pressure = self.log_pco2 if self.is_open else None
        if self.solid:
            mineral, amount = self.solid.split(":")
            settle = calcite_equilibrium if mineral == "Calcite" else gypsum_equilibrium
            return settle(totals, self.temperature_C, may_dissolve=amount == "10", log_pco2=pressure).water.ph
        if pressure is None:
            return closed(totals, self.temperature_C).ph
        return open_to_gas(totals, self.temperature_C, log_pco2=pressure).ph


class Mashes:
    """The same malt in the liquor of each case, with what is dosed into it."""

    def __init__(self, cases: Iterable[Case]) -> None:
        chosen = list(cases)
        self.ph = np.array([case.ph for case in chosen])
        self.report = np.stack([case.totals(dosed=False) for case in chosen], axis=-1)
        # The acid goes in by itself; what else is dosed is part of the liquor.
        salted = np.stack([case._replace(acids_mmol={}).totals(dosed=True) for case in chosen], axis=-1)
        self.alkalinity, self.salt_carbon = salted[10], (salted - self.report)[11]
        self.calcium, self.magnesium = 2.0 * salted[0], 2.0 * salted[1]
        self.acids = {
            name: LIQUOR_L * np.array([case.acids_mmol.get(f"{name}_mmol", 0.0) for case in chosen])
            for name in ("lactic", "phosphoric", "citric")
        }
        strong = [case.acids_mmol.get("hydrochloric_mmol", 0.0) for case in chosen]
        twice = [case.acids_mmol.get("sulfuric_mmol", 0.0) for case in chosen]
        self.strong_mEq = LIQUOR_L * (np.array(strong) + 2.0 * np.array(twice))
        self.malt = (np.full((1, *self.ph.shape), MALT_KG), np.array([[MALT_PH]]), np.array([[BUFFERING_mEq_kg]]))

    def alone(self) -> Mashes:
        """The first mash as plain numbers."""
        one = Mashes.__new__(Mashes)
        for name in ("ph", "alkalinity", "salt_carbon", "calcium", "magnesium", "strong_mEq"):
            setattr(one, name, float(getattr(self, name)[0]))
        one.report, one.malt = self.report[:, 0], ([MALT_KG], [MALT_PH], [BUFFERING_mEq_kg])
        one.acids = {name: float(amount[0]) for name, amount in self.acids.items()}
        return one

    def solve(self) -> np.ndarray:
        """From report to the pH of the mash."""
        carbon = room_carbon_mmol_L(self.report[10], self.ph) + self.salt_carbon
        freed = hardness_acid_mEq_L(
            self.calcium,
            self.magnesium,
            calcium_release=CALCIUM_RELEASE,
            magnesium_release=MAGNESIUM_RELEASE,
            calcium_ceiling_mEq_L=CEILING_mEq_L,
        )
        mass, own, buffering = self.malt
        return mash_ph(
            mass,
            own,
            malt_buffering_mEq_kg=buffering,
            liquor_L=LIQUOR_L,
            alkalinity_mEq_L=self.alkalinity,
            carbon_mmol_L=carbon,
            co2_lost_share=CO2_LOST,
            freed_mEq_L=freed,
            lactic_mmol=self.acids["lactic"],
            phosphoric_mmol=self.acids["phosphoric"],
            citric_mmol=self.acids["citric"],
            strong_acid_mEq=self.strong_mEq,
        )


def _liquor(case: Case) -> Case:
    """The liquor of a mash by itself: cold, closed and with nothing falling out."""
    return case._replace(temperature_C=25.0, log_pco2=None, solid="")


def _mashes(table: list[Case], oracle: Oracle) -> None:
    """Print the times of mashes."""
    liquors = [_liquor(case) for case in table]
    alone = [Mashes([case]).alone() for case in liquors]
    took = float(np.mean([best_s(lambda case=case: oracle.run(case), repeats=9) for case in liquors]))
    ours = float(np.mean([best_s(one.solve, repeats=9) for one in alone]))
    _row(f"each of {len(liquors)} mashes alone", took, ours, AIM_ALONE)
    cases = [_liquor(case) for case in _varied(liquors)]
    mashes = Mashes(cases)
    start = time.perf_counter()
    for case in cases:
        oracle.run(case)
    took = (time.perf_counter() - start) / MANY
    _row(f"{MANY} mashes together", took, _per_case_s(mashes.solve, MANY, 15), AIM_TOGETHER)
    found = mashes.solve()
    off = np.abs(np.array([Mashes([case]).alone().solve() for case in cases[:50]]) - found[:50])
    print(f"    mash pH {found.min():.2f} to {found.max():.2f}; alone and together differ by {off.max():.1g} at most")


def _per_case_s(work: Callable[[], object], cases: int, repeats: int) -> float:
    return best_s(work, repeats=repeats) / cases


def _row(name: str, reference_s: float, ours_s: float, aim: float) -> None:
    ratio = reference_s / ours_s
    met = "" if ratio >= aim else f", short of the aim of {aim:g}"
    print(f"  {name}: {reference_s * 1e6:7.1f} us against {ours_s * 1e6:7.2f} us, {ratio:5.0f} times faster{met}")


def main() -> None:
    """Print times per case and their ratios."""
    table = [case for case, _ in read_cases()]
    oracle = Oracle()

    def reference(cases: list[Case]) -> list[Found]:
        return [oracle.run(case) for case in cases]

    alone = [Batch((case.log_pco2 is not None, case.solid), [case]).alone() for case in table]
    took = float(np.mean([best_s(lambda case=case: oracle.run(case), repeats=9) for case in table]))
    ours = float(np.mean([best_s(one.solve, repeats=9) for one in alone]))
    _row(f"each of the {len(table)} cases alone", took, ours, AIM_ALONE)
    for name, index in (
        ("hard water warmed, closed", 5),
        ("dosed and soured, closed", 82),
        ("chalk in excess, air", 57),
    ):
        one = _per_case_s(lambda index=index: oracle.run(table[index]), 1, 200)
        mine = _per_case_s(lambda index=index: alone[index].solve(), 1, 200)
        _row(f"alone: {name}", one, mine, AIM_ALONE)

    for kind, some in _by_kind(table).items():
        cases = _varied(some)
        batch = Batch(kind, cases)
        start = time.perf_counter()
        found = reference(cases)
        took = (time.perf_counter() - start) / MANY
        ours = _per_case_s(batch.solve, MANY, 15)
        name = f"{'open' if batch.is_open else 'closed'}{', ' if batch.solid else ''}{batch.solid}"
        _row(f"{MANY} together: {name}", took, ours, AIM_TOGETHER)
        off = np.abs(batch.solve() - np.array([at.ph for at in found]))
        print(f"    pH differs by {np.median(off):.4f} in the median, {off.max():.4f} at most")
    _mashes(table, oracle)


def _by_kind(cases: Iterable[Case]) -> dict[Kind, list[Case]]:
    kinds: dict[Kind, list[Case]] = {}
    for case in cases:
        kinds.setdefault((case.log_pco2 is not None, case.solid), []).append(case)
    return kinds


def _varied(some: list[Case]) -> list[Case]:
    """Two thousand cases, each one of those given with every amount and the temperature moved a little."""
    draw = np.random.default_rng(3)
    chosen = []
    for index in range(MANY):
        case = some[index % len(some)]
        factor = float(np.exp(0.1 * draw.standard_normal()))
        chosen.append(
            case._replace(
                ions_mmol={name: amount * factor for name, amount in case.ions_mmol.items()},
                alkalinity_mEq=case.alkalinity_mEq * factor,
                salts_mg={name: amount * factor for name, amount in case.salts_mg.items()},
                acids_mmol={name: amount * factor for name, amount in case.acids_mmol.items()},
                temperature_C=case.temperature_C + float(draw.uniform(-3.0, 3.0)),
            )
        )
    return chosen


if __name__ == "__main__":
    main()
