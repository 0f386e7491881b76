"""Three kernels over 2,048 draws against the same kernel in scalar `math` code."""

from __future__ import annotations

import math

import numpy as np

from bench.timing import best_s
from gyle.science.conversion import ANCHOR_FIT, MashState, rest
from gyle.science.extract import specific_gravity
from gyle.science.isomerisation import isomerisation_rate_1_min

DRAWS = 2048
AIM = 10.0


def _gravity(extract_pct: float) -> float:
    sg = 1.0 + extract_pct / (258.6 - 227.1 * extract_pct / 258.2)
    for _ in range(2):
        off = -616.868 + sg * (1111.14 + sg * (-630.272 + sg * 135.997)) - extract_pct
        sg -= off / (1111.14 + sg * (-2.0 * 630.272 + sg * 3.0 * 135.997))
    return sg


def _rate(temperature_C: float) -> float:
    return 0.01249 * math.exp(-98.6 / 8.314462618e-3 * (1.0 / (temperature_C + 273.15) - 1.0 / 373.15))


def _rest(temperature_C: float, minutes: float) -> tuple[float, float, float, float]:
    kelvin = temperature_C + 273.15
    inverse = (1.0 / kelvin - 1.0 / 338.15) / 8.314e-3
    gel = 0.35 * math.exp(0.11 * (temperature_C - 65.0)) / (1.0 + math.exp(-(temperature_C - 58.8) / 1.2))
    k = 1.0 / (1.0 / gel + 1.0 / 0.08)
    kb, ka = 0.105 * math.exp(-410.7 * inverse), 0.0096 * math.exp(-224.2 * inverse)

    def area(q: float) -> float:
        return -math.expm1(-q * minutes) / q

    beta = area(kb) - area(kb + k)
    alpha = area(ka) - area(ka + k)
    x = beta * math.exp(-55.0 * inverse) / 1.8 + alpha * math.exp(-61.0 * inverse) / 15.5
    return 1.0 - math.exp(-k * minutes), math.exp(-kb * minutes), math.exp(-ka * minutes), x


def main() -> None:
    """Print each ratio, after checking that both ways agree."""
    generator = np.random.default_rng(7)
    extract = generator.uniform(5.0, 30.0, DRAWS)
    temperature = generator.uniform(60.0, 72.0, DRAWS)
    hot = generator.uniform(75.0, 100.0, DRAWS)
    start = MashState(np.zeros(DRAWS), np.ones(DRAWS), np.ones(DRAWS), np.zeros(DRAWS))
    rates = {"rate_100C": np.array([0.01249]), "activation_kJ_mol": np.array([98.6])}
    cases = (
        ("gravity from extract", lambda: specific_gravity(extract), lambda: [_gravity(p) for p in extract.tolist()]),
        (
            "isomerisation rate",
            lambda: isomerisation_rate_1_min(hot, **rates),
            lambda: [_rate(t) for t in hot.tolist()],
        ),
        (
            "an hour's mash rest",
            lambda: rest(start, temperature, minutes=np.array([60.0]), parameters=ANCHOR_FIT).exposure,
            lambda: [_rest(t, 60.0)[3] for t in temperature.tolist()],
        ),
    )
    for name, array, scalar in cases:
        np.testing.assert_allclose(np.asarray(array()), np.array(scalar()), rtol=1e-6)
        print(f"  {name}: scalar over array {best_s(scalar) / best_s(array):.0f} (aim over {AIM:g})")
