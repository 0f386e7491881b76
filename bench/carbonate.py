"""The state of waters against PHREEQC: one alone, and two thousand together, per case, in one run.

A case is a report (its carbon found from its pH), doses, and the dosed water at another temperature,
closed, open to a gas or beside a solid. PHREEQC is given its input as text and asked for five figures.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterable
from pathlib import Path

import numpy as np

from bench.timing import best_s
from gyle.science.carbonate import carbon_from_ph, closed, open_to_gas
from gyle.science.precipitation import calcite_equilibrium, gypsum_equilibrium

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests" / "science"))

from phreeqc_oracle import Case, Found, Oracle, read_cases

MANY = 2000
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


def _per_case_s(work: Callable[[], object], cases: int, repeats: int) -> float:
    return best_s(work, repeats=repeats) / cases


def _row(name: str, reference_s: float, ours_s: float) -> None:
    ratio = f"{reference_s / ours_s:5.0f} times faster"
    print(f"  {name}: {reference_s * 1e6:7.1f} us against {ours_s * 1e6:7.2f} us, {ratio}")


def main() -> None:
    """Print times per case and their ratios."""
    table = [case for case, _ in read_cases()]
    oracle = Oracle()

    def reference(cases: list[Case]) -> list[Found]:
        return [oracle.run(case) for case in cases]

    alone = [Batch((case.log_pco2 is not None, case.solid), [case]).alone() for case in table]
    took = float(np.mean([best_s(lambda case=case: oracle.run(case), repeats=9) for case in table]))
    ours = float(np.mean([best_s(one.solve, repeats=9) for one in alone]))
    _row(f"each of the {len(table)} cases alone", took, ours)
    for name, index in (
        ("hard water warmed, closed", 5),
        ("dosed and soured, closed", 82),
        ("chalk in excess, air", 57),
    ):
        one = _per_case_s(lambda index=index: oracle.run(table[index]), 1, 200)
        mine = _per_case_s(lambda index=index: alone[index].solve(), 1, 200)
        _row(f"alone: {name}", one, mine)

    for kind, some in _by_kind(table).items():
        cases = _varied(some)
        batch = Batch(kind, cases)
        start = time.perf_counter()
        found = reference(cases)
        took = (time.perf_counter() - start) / MANY
        ours = _per_case_s(batch.solve, MANY, 15)
        name = f"{'open' if batch.is_open else 'closed'}{', ' if batch.solid else ''}{batch.solid}"
        _row(f"{MANY} together: {name}", took, ours)
        off = np.abs(batch.solve() - np.array([at.ph for at in found]))
        print(f"    pH differs by {np.median(off):.4f} in the median, {off.max():.4f} at most")


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
