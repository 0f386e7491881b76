"""The choice of salts against general solvers: one that doses at will and then rounds, one that searches whole steps.

Twelve broad problems have seven salts and two acids, each into mash or sparge, dilution, a mash pH, limits on
calcium, lactate, sparge alkalinity and the sum of sulfate and chloride. The brews go from a hard or a soft report to
a pale and hoppy or a soft lager water: at most four salts, a sulfate-to-chloride band, mash pH 5.35; with one acid;
with two, lime and the band as a limit; or with the mash pH wished for besides. All solvers get the same rows.
Times are the processor's, the least of several, after the first call has imported the solver. The rounding solver's
many small products suffer from threads: run with OPENBLAS_NUM_THREADS=1.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import attrs
import numpy as np
from numpy.typing import NDArray
from scipy.optimize import differential_evolution, minimize

from gyle.decide.salt_matrix import Linear, linear
from gyle.decide.salt_problem import (
    SPARGE_ALKALINITY,
    Acid,
    Dilution,
    Limit,
    Problem,
    Ratio,
    Salt,
    Volumes,
    Water,
    Wish,
)
from gyle.decide.salts import FINE_ENOUGH, best_doses
from gyle.science.acid_demand import carbonate_charge, room_carbon_mmol_L
from gyle.science.acids import ACIDS, acid_strength_mEq_mL
from gyle.science.salts import salt_gain

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests" / "decide"))

from salt_shelf import proton_balance

Array = NDArray[np.float64]
AIM_MS = 50.0
REPEATS = 7
IONS = ("calcium", "magnesium", "sodium", "chloride", "sulfate")
TOLERANCES = (10.0, 5.0, 10.0, 10.0, 20.0)
USUAL = (
    "calcium sulfate dihydrate",
    "calcium chloride dihydrate",
    "magnesium sulfate heptahydrate",
    "sodium chloride",
    "sodium bicarbonate",
)
SALTS = (*USUAL, "magnesium chloride hexahydrate", "sodium sulfate anhydrous")
LIME = "calcium hydroxide"
SOURCES = {
    "hard": ((94.4, 18.3, 13.9, 24.4, 18.1), 5.72),
    "soft": ((20.0, 4.8, 4.6, 24.0, 6.2), 0.58),
    "middling": ((60.0, 8.0, 20.0, 30.0, 45.0), 2.6),
}
TARGETS = {
    "hop-forward pale": (110.0, 8.0, 15.0, 60.0, 220.0),
    "pale lager": (50.0, 5.0, 10.0, 35.0, 30.0),
    "soft and full": (100.0, 8.0, 25.0, 140.0, 80.0),
    "balanced": (80.0, 8.0, 25.0, 75.0, 100.0),
}
MASH_PH, CARBON_KEPT, MALT_KG, MALT_PH, BUFFERING_mEq_kg = 5.35, 0.7, 4.8, 5.68, 45.0
REPORTS = {  # mg/L, mEq/L, pH
    "report A": (
        {"calcium": 94.4, "magnesium": 18.3, "sodium": 13.9, "potassium": 2.3, "sulfate": 18.1}
        | {"chloride": 24.4, "nitrate": 16.4},
        5.72,
        7.3,
    ),
    "report B": ({"calcium": 20.0, "magnesium": 4.8, "sodium": 4.6, "sulfate": 6.2, "chloride": 24.0}, 0.53, 7.8),
}
BEERS = {  # the wanted ions, the band of sulfate to chloride, the least calcium in the mash
    "pale and hoppy": ((110.0, 8.0, 15.0, 50.0, 180.0), (2.0, 5.0), 40.0),
    "soft lager": ((45.0, 5.0, 10.0, 40.0, 30.0), (0.5, 1.5), 20.0),
}
WAYS = ("lactic", "phosphoric", "both acids and lime", "mash pH wished for")
BOTTLES = {  # per cent, kg/L, anion, its molar mass
    "lactic": (80.0, 1.19, "lactate", 89.07),
    "phosphoric": (10.0, 1.05, "phosphate", 94.97),
}


def salt(name: str) -> Salt:
    """A salt from its formula."""
    gain = salt_gain(name, 1.0, volume_L=1.0, purity=1.0)
    ions = {ion: float(getattr(gain, f"{ion}_mg_L")) for ion in IONS if getattr(gain, f"{ion}_mg_L") > 0.0}
    alkalinity = float(gain.alkalinity_mEq_L)
    return Salt(name=name, ions_mg_per_unit=ions, alkalinity_mEq_per_unit=alkalinity, most_units=40.0)


def acid(name: str, ph: float, *, step_mL: float = 0.1) -> Acid:
    """A bottle of acid, as strong as it is at a pH."""
    share, density, anion, molar_mass = BOTTLES[name]
    return Acid(
        name=f"{name} acid",
        mEq_per_mL=float(acid_strength_mEq_mL(name, ph, share_pct=share, density_kg_L=density)),
        brings_mg_per_mL={anion: 10.0 * share * density / ACIDS[name].molar_mass_g_mol * molar_mass},
        step_mL=step_mL,
        most_mL=200.0,
    )


def wanted(amounts: tuple[float, ...]) -> tuple[Wish, ...]:
    """Wishes for the five ions, and for little alkalinity in the sparge."""
    ions = zip(IONS, amounts, TOLERANCES, strict=True)
    return (*(Wish(what=ion, low=x, high=x, tolerance=tolerance) for ion, x, tolerance in ions), SPARGE_ALKALINITY)


def broad(source: str, target: str) -> Problem:
    """One of the twelve broad problems."""
    ions, alkalinity = SOURCES[source]
    water = Water(ions_mg_L=dict(zip(IONS, ions, strict=True)), alkalinity_mEq_L=alkalinity)
    volumes, dilution = Volumes(mash_L=16.0, sparge_L=13.0), Dilution()
    salts, acids = tuple(map(salt, SALTS)), (acid("lactic", 5.4), acid("phosphoric", 5.4, step_mL=0.5))
    mash = proton_balance(
        water,
        volumes,
        grist_mEq=5.0 * 45.0 * (5.70 - 5.40),
        source_mEq_L=0.93 * alkalinity,
        dilution=dilution,
        calcium_release=0.20,
        magnesium_release=0.10,
        slack_mEq=5.0 * 45.0 * 0.03,
        salts=salts,
        acids=acids,
    )
    return Problem(
        source=water,
        volumes=volumes,
        wishes=wanted(TARGETS[target]),
        limits=(
            Limit(what="calcium", low=20.0, high=200.0, at="mash"),
            Limit(what=("sulfate", "chloride"), high=500.0),
            Limit(what="lactate", high=300.0),
            Limit(what="alkalinity", low=0.0, at="sparge"),
        ),
        salts=salts,
        acids=acids,
        dilution=dilution,
        mash=mash,
    )


def brew(report: str, beer: str, way: str) -> Problem:
    """One of the brews: 20 L into the mash, 10 L to sparge."""
    ions, alkalinity, ph = REPORTS[report]
    amounts, (low, high), least_calcium = BEERS[beer]
    water, volumes, dilution = (
        Water(ions_mg_L=ions, alkalinity_mEq_L=alkalinity),
        Volumes(mash_L=20.0, sparge_L=10.0),
        Dilution(),
    )
    both = way == "both acids and lime"
    salts = tuple(map(salt, (*USUAL, LIME) if both else USUAL))
    acids = tuple(acid(name, MASH_PH) for name in (BOTTLES if both else (way,) if way in BOTTLES else ("lactic",)))
    kept, buffering = CARBON_KEPT * float(carbonate_charge(MASH_PH)), MALT_KG * BUFFERING_mEq_kg
    soda = salts[USUAL.index("sodium bicarbonate")]
    mash = proton_balance(
        water,
        volumes,
        grist_mEq=buffering * (MALT_PH - MASH_PH),
        source_mEq_L=alkalinity - kept * float(room_carbon_mmol_L(alkalinity, ph)),
        dilution=dilution,
        calcium_release=0.20,
        magnesium_release=0.10,
        slack_mEq=0.03 * buffering,
        tolerance_mEq=0.03 * buffering if way == "mash pH wished for" else None,
        salts=salts,
        acids=acids,
        taken_up_mEq_per_unit={soda.name: soda.alkalinity_mEq_per_unit * (1.0 - kept)},
    )
    most = {"magnesium": 40.0, "sodium": 150.0, "chloride": 250.0, "sulfate": 350.0, "lactate": 300.0}
    return Problem(
        source=water,
        volumes=volumes,
        wishes=wanted(amounts),
        limits=(
            Limit(what="calcium", low=least_calcium, high=200.0, at="mash"),
            *(Limit(what=ion, high=amount) for ion, amount in most.items()),
            Limit(what=("sulfate", "chloride"), high=500.0),
            Limit(what="alkalinity", low=0.0, at="sparge"),
        ),
        salts=salts,
        acids=acids,
        dilution=dilution,
        ratio=Ratio(low=low, high=high, must=both),
        mash=mash,
        most_salts=4,
    )


def rounded(form: Linear) -> Array:
    """Steps by sequential quadratic programming on the worst miss, doses at will, then rounded to steps.

    The rows are linear, so that one start finds the least; it cannot count kinds of salt.
    """
    count = len(form.columns)
    low, high = np.isfinite(form.wish_low), np.isfinite(form.wish_high)
    parts = [
        (np.c_[form.wish_matrix[low], np.ones(low.sum())], -form.wish_low[low]),
        (np.c_[-form.wish_matrix[high], np.ones(high.sum())], form.wish_high[high]),
    ]
    for sign, end in ((1.0, form.limit_low), (-1.0, form.limit_high)):
        kept = np.isfinite(end)
        parts.append((np.c_[sign * form.limit_matrix[kept], np.zeros(kept.sum())], -sign * end[kept]))
    matrix, constant = np.concatenate([part[0] for part in parts]), np.concatenate([part[1] for part in parts])
    gradient = np.r_[np.zeros(count), 1.0]
    start = np.r_[np.zeros(count), form.misses(np.zeros(count)).max()]
    answer = minimize(
        lambda x: x[-1],
        start,
        jac=lambda _: gradient,
        bounds=[*((0.0, most) for most in form.most), (0.0, None)],
        constraints={"type": "ineq", "fun": lambda x: matrix @ x + constant, "jac": lambda _: matrix},
        method="SLSQP",
        options={"maxiter": 500},
    )
    steps: Array = np.round(answer.x[:-1])
    return steps


def evolved(form: Linear) -> Array:
    """Whole steps by differential evolution on the worst miss, what breaks a limit costing a hundred times as much."""

    def cost(population: Array) -> Array:
        steps = np.round(population)
        value, limit = form.wish_matrix @ steps, form.limit_matrix @ steps
        group = form.group_matrix @ steps
        off = np.maximum(form.wish_low[:, None] - value, value - form.wish_high[:, None]).max(axis=0)
        over = np.maximum(np.maximum(form.limit_low[:, None] - limit, limit - form.limit_high[:, None]), 0.0).sum(
            axis=0
        )
        over += np.maximum(group - form.group_most[:, None], 0.0).sum(axis=0)
        if form.most_salts is not None:
            over += np.maximum((group[form.group_is_salt] > 0.0).sum(axis=0) - form.most_salts, 0.0)
        total: Array = np.maximum(off, FINE_ENOUGH) + 100.0 * over
        return total

    answer = differential_evolution(
        cost,
        [(0.0, most) for most in form.most],
        integrality=np.ones(len(form.columns)),
        maxiter=1000,
        tol=1e-8,
        rng=np.random.default_rng(5),
        polish=False,
        vectorized=True,
        updating="deferred",
    )
    steps: Array = np.round(answer.x)
    return steps


def broken(form: Linear, steps: Array) -> bool:
    """Whether these steps break a limit, or are of more kinds than may be used."""
    value, group = form.limit_matrix @ steps, form.group_matrix @ steps
    outside = np.any(value < form.limit_low - 1e-6) or np.any(value > form.limit_high + 1e-6)
    many = form.most_salts is not None and form.kinds(steps) > form.most_salts
    return bool(outside or many or np.any(group > form.group_most))


def cpu_ms(work: Callable[[], object], *, repeats: int = REPEATS) -> float:
    """The least of several processor times [ms]."""
    times = []
    for _ in range(repeats):
        start = time.process_time()
        work()
        times.append(1e3 * (time.process_time() - start))
    return min(times)


class _Tally:
    """Lines of one set of problems, and what they come to."""

    def __init__(self) -> None:
        self.times: list[float] = []
        self.unproven = 0
        self.theirs: dict[str, list[tuple[float, float, bool]]] = {}

    def add(self, name: str, asked: Problem, others: dict[str, tuple[Callable[[Linear], Array], int]]) -> None:
        form, choice = linear(asked), best_doses(asked)
        ours_ms = cpu_ms(lambda: best_doses(asked))
        self.times.append(ours_ms)
        self.unproven += not choice.proven
        said = [
            f"{ours_ms:.0f} ms, worst miss {choice.worst_miss:.3f}, sum {choice.sum_of_misses:.2f}, "
            f"{len(choice.salts_used)} salts, {'proven' if choice.proven else 'not proven'}"
        ]
        for other, (solver, repeats) in others.items():
            steps, theirs_ms = solver(form), cpu_ms(lambda solver=solver: solver(form), repeats=repeats)  # type: ignore[misc]
            off, broke = form.misses(steps), broken(form, steps)
            ratio = max(float(off.max()), FINE_ENOUGH) / max(choice.worst_miss, FINE_ENOUGH)
            self.theirs.setdefault(other, []).append((ours_ms / theirs_ms, ratio, broke))
            said.append(
                f"{other} {theirs_ms:.3g} ms, {off.max():.3f}, {off.sum():.2f}, {form.kinds(steps)} salts"
                f"{', breaks a limit' if broke else ''}"
            )
        print(f"  {name}: {'; '.join(said)}")

    def close(self) -> None:
        over = sum(ms > AIM_MS for ms in self.times)
        print(
            f"  median {statistics.median(self.times):.0f} ms, longest {max(self.times):.0f} ms "
            f"(aim {AIM_MS:g}, over it in {over} of {len(self.times)}), not proven {self.unproven}"
        )
        for other, found in self.theirs.items():
            times = [ratio for ratio, _, _ in found]
            kept = [miss for _, miss, broke in found if not broke]
            print(
                f"    our time over that of {other}: median {statistics.median(times):.2g}; "
                f"it breaks a limit in {len(found) - len(kept)} of {len(found)}, and where it does not its worst miss "
                f"over ours is {statistics.median(kept):.3g} in the median, {min(kept):.3g} to {max(kept):.3g}"
            )


def main() -> None:
    """Print times and misses, ours beside the general solvers'."""
    best_doses(broad("hard", "balanced"))  # the first call imports the solver
    round_off = {"rounding": (rounded, REPEATS)}
    tally = _Tally()
    for source in SOURCES:
        for target in TARGETS:
            tally.add(f"{source} to {target}", broad(source, target), round_off)
    tally.add("at most three salts", attrs.evolve(broad("hard", "hop-forward pale"), most_salts=3), round_off)
    tally.close()
    tally = _Tally()
    for report in REPORTS:
        for beer in BEERS:
            for way in WAYS:
                others = round_off | ({"evolution": (evolved, 1)} if way == WAYS[0] else {})
                tally.add(f"{report} to {beer}, {way}", brew(report, beer, way), others)
    tally.close()


if __name__ == "__main__":
    main()
