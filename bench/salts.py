"""The choice of salts against a general nonlinear solver that doses at will and then rounds.

Both get the same problems: seven salts and two acids, each into mash or sparge, dilution, a mash pH, limits on
calcium, lactate, sparge alkalinity and the sum of sulfate and chloride. The general solver's many small products
suffer badly from threads on a busy machine: run with OPENBLAS_NUM_THREADS=1.
"""

from __future__ import annotations

import statistics
import time

import attrs
import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from bench.timing import best_s
from gyle.decide.salt_mash import proton_balance
from gyle.decide.salt_matrix import Linear, linear
from gyle.decide.salt_problem import SPARGE_ALKALINITY, Acid, Dilution, Limit, Problem, Salt, Volumes, Water, Wish
from gyle.decide.salts import FINE_ENOUGH, best_doses

Array = NDArray[np.float64]
AIM_MS = 50.0
IONS = ("calcium", "magnesium", "sodium", "chloride", "sulfate")
TOLERANCES = (10.0, 5.0, 10.0, 10.0, 20.0)
SALTS = (
    ("calcium sulfate dihydrate", {"calcium": 232.79, "sulfate": 557.93}, 0.0),
    ("calcium chloride dihydrate", {"calcium": 272.62, "chloride": 482.29}, 0.0),
    ("magnesium sulfate heptahydrate", {"magnesium": 98.61, "sulfate": 389.73}, 0.0),
    ("magnesium chloride hexahydrate", {"magnesium": 119.56, "chloride": 348.75}, 0.0),
    ("sodium chloride", {"sodium": 393.39, "chloride": 606.61}, 0.0),
    ("sodium sulfate", {"sodium": 323.72, "sulfate": 676.28}, 0.0),
    ("sodium bicarbonate", {"sodium": 273.67}, 11.904),
)
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


def problem(source: str, target: str) -> Problem:
    """One of the twelve problems."""
    ions, alkalinity = SOURCES[source]
    water = Water(ions_mg_L=dict(zip(IONS, ions, strict=True)), alkalinity_mEq_L=alkalinity)
    volumes, dilution = Volumes(mash_L=16.0, sparge_L=13.0), Dilution()
    salts = tuple(
        Salt(name=name, ions_mg_per_unit=brings, alkalinity_mEq_per_unit=base, most_units=40.0)
        for name, brings, base in SALTS
    )
    acids = (
        Acid(name="lactic acid 88 %", mEq_per_mL=11.45, brings_mg_per_mL={"lactate": 1048.8}, most_mL=30.0),
        Acid(
            name="phosphoric acid 10 %",
            mEq_per_mL=1.092,
            brings_mg_per_mL={"phosphate": 102.2},
            step_mL=0.5,
            most_mL=200.0,
        ),
    )
    wishes = [
        Wish(what=ion, low=amount, high=amount, tolerance=tolerance)
        for ion, amount, tolerance in zip(IONS, TARGETS[target], TOLERANCES, strict=True)
    ]
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
        wishes=(*wishes, SPARGE_ALKALINITY),
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


def general(form: Linear) -> Array:
    """Steps by sequential quadratic programming on the worst miss, doses at will, then rounded to steps."""
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
    rounded: Array = np.round(answer.x[:-1])
    return rounded


def broken(form: Linear, steps: Array) -> bool:
    """Whether these steps break a limit."""
    value = form.limit_matrix @ steps
    return bool(np.any(value < form.limit_low - 1e-6) or np.any(value > form.limit_high + 1e-6))


def main() -> None:
    """Print times and misses, ours beside the general solver's."""
    best_doses(problem("hard", "balanced"))  # the first call imports the solver
    times, ratios, worse, breaks, kinds = [], [], [], 0, []
    for source in SOURCES:
        for target in TARGETS:
            asked = problem(source, target)
            form = linear(asked)
            choice = best_doses(asked)
            ours_s = best_s(lambda asked=asked: best_doses(asked), repeats=7)
            theirs_s = best_s(lambda form=form: general(form), repeats=7)
            steps = general(form)
            miss, off = max(choice.worst_miss, FINE_ENOUGH), max(float(form.misses(steps).max()), FINE_ENOUGH)
            broke = broken(form, steps)
            times.append(1e3 * ours_s)
            ratios.append(ours_s / theirs_s)
            worse.append(off / miss)
            breaks += broke
            kinds.append((len(choice.salts_used), form.kinds(steps)))
            print(
                f"  {source} to {target}: {1e3 * ours_s:.0f} ms, {ours_s / theirs_s:.2g} times the general solver's; "
                f"worst miss {choice.worst_miss:.2f} of a tolerance with {kinds[-1][0]} salts, "
                f"{'proven' if choice.proven else 'not proven'}; it misses by {off:.2f} with {kinds[-1][1]}"
                f"{', and breaks a limit' if broke else ''}"
            )
    print(
        f"  median {statistics.median(times):.0f} ms, longest {max(times):.0f} ms (aim under {AIM_MS:g}); "
        f"time over the general solver's, median {statistics.median(ratios):.2g}; "
        f"its worst miss over ours, median {statistics.median(worse):.2g}, most {max(worse):.2g}; "
        f"it broke a limit in {breaks} of {len(times)}"
    )
    three = attrs.evolve(problem("hard", "hop-forward pale"), most_salts=3)
    began = time.perf_counter()
    best_doses(three)
    print(f"  at most three kinds of salt: {1e3 * (time.perf_counter() - began):.0f} ms")


if __name__ == "__main__":
    main()
