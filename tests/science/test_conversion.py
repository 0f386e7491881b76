"""Mash kinetics: the closed form against a solver, its limits, and published observations."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from gyle.errors import OutOfRange
from gyle.science.conversion import (
    ANCHOR_FIT,
    ANCHOR_FIT_SPREAD,
    ConversionParameters,
    MashState,
    conversion_parameters,
    gelatinised_fraction,
    rest,
    starting_state,
)
from gyle.science.fermentability import attenuation_limit

Steps = list[tuple[float, float]]


def _mash(steps: Steps, parameters: ConversionParameters = ANCHOR_FIT) -> MashState:
    state = starting_state(1.0, 1.0)
    for temperature_C, minutes in steps:
        state = rest(state, temperature_C, minutes=minutes, parameters=parameters)
    return state


def _attenuation(state: MashState) -> float:
    return float(attenuation_limit(state.exposure, floor=ANCHOR_FIT.floor, ceiling=ANCHOR_FIT.ceiling))


def _solved(steps: Steps) -> NDArray[np.float64]:
    """The differential equations themselves, by a stiff solver."""
    state = np.array([0.0, 1.0, 1.0, 0.0])
    for celsius, minutes in steps:

        def rate(k65: float, energy: float, kelvin: float = celsius + 273.15) -> float:
            return k65 * float(np.exp(-energy / 8.314e-3 * (1.0 / kelvin - 1.0 / 338.15)))

        gelatinise = 0.35 * np.exp(0.11 * (celsius - 65.0)) / (1.0 + np.exp(-(celsius - 58.8) / 1.2))
        k = 1.0 / (1.0 / gelatinise + 1.0 / 0.08)
        dying = rate(0.105, 410.7), rate(0.0096, 224.2)
        acting = rate(1.0, 55.0) / 1.8, rate(1.0, 61.0) / 15.5

        def slope(
            _: float,
            y: NDArray[np.float64],
            k: float = k,
            dying: tuple[float, float] = dying,
            acting: tuple[float, float] = acting,
        ) -> list[float]:
            h, b, a, _x = y
            return [k * (1.0 - h), -dying[0] * b, -dying[1] * a, h * (b * acting[0] + a * acting[1])]

        state = solve_ivp(slope, (0.0, minutes), state, method="LSODA", rtol=1e-10, atol=1e-12).y[:, -1]
    return state


PROGRAMMES: list[tuple[Steps, float, float, float, float]] = [
    ([(62.5, 60.0)], 84.99, 0.9740, 0.11976, 0.7276),
    ([(66.0, 60.0)], 82.32, 0.9814, 0.00006, 0.4825),
    ([(68.0, 60.0)], 77.93, 0.9838, 0.0, 0.3130),
    ([(66.0, 20.0)], 71.00, 0.7349, 0.03953, 0.7844),
    ([(72.0, 30.0)], 57.37, 0.8859, 0.0, 0.2342),
    ([(66.0, 75.0), (76.0, 10.0)], 83.73, 0.9967, 0.0, 0.1231),
    ([(52.0, 10.0), (63.0, 45.0), (72.0, 20.0), (77.0, 5.0)], 84.97, 0.9900, 0.0, 0.1383),
]


@pytest.mark.source("fitted reduced kinetics", provenance="ours")
@pytest.mark.parametrize("programme", PROGRAMMES, ids=lambda row: " ".join(f"{t:g}x{m:g}" for t, m in row[0]))
def test_mash_programmes(programme: tuple[Steps, float, float, float, float]) -> None:
    steps, attenuation_pct, converted, beta, alpha = programme
    state = _mash(steps)
    assert 100.0 * _attenuation(state) == pytest.approx(attenuation_pct, abs=0.05)
    got = [float(state.accessible), float(state.beta), float(state.alpha)]
    assert got == pytest.approx([converted, beta, alpha], abs=0.0005)


@pytest.mark.source("stiff solver on the same differential equations", provenance="computed-with-scipy")
@pytest.mark.parametrize("steps", [row[0] for row in PROGRAMMES])
def test_closed_form_is_the_solution_of_the_equations(steps: Steps) -> None:
    assert [float(value) for value in _mash(steps)] == pytest.approx(_solved(steps), rel=1e-6, abs=1e-8)


@pytest.mark.source("anchors of the limit of attenuation, consensus", provenance="memory")
@pytest.mark.parametrize(
    ("celsius", "anchor_pct", "allowed"),
    [
        (60, 84.5, 2), (62.5, 86, 2), (65, 83.5, 2), (66, 82, 2), (67, 80.5, 2), (68, 78, 2),
        (70, 72, 2), (72, 64.5, 2), (75, 51, 4), (78, 38, 4), (80, 31, 4),
    ],
)  # fmt: skip
def test_an_hour_comes_near_the_anchors(celsius: float, anchor_pct: float, allowed: float) -> None:
    assert 100.0 * _attenuation(_mash([(celsius, 60.0)])) == pytest.approx(anchor_pct, abs=allowed)


@pytest.mark.source("anchors of the limit of attenuation at 65 °C, consensus", provenance="memory")
@pytest.mark.parametrize(("minutes", "anchor_pct"), [(15.0, 72.0), (30.0, 79.5), (120.0, 85.0)])
def test_time_at_65_comes_near_the_anchors(minutes: float, anchor_pct: float) -> None:
    assert 100.0 * _attenuation(_mash([(65.0, minutes)])) == pytest.approx(anchor_pct, abs=4.0)


@pytest.mark.source("Hamilton and Lewis 1974: optimum at 62.5 °C, abstract", provenance="retrieved")
def test_an_hour_yields_most_fermentable_extract_near_62_5() -> None:
    celsius = np.linspace(55.0, 75.0, 401)
    state = rest(starting_state(1.0, 1.0), celsius, minutes=60.0, parameters=ANCHOR_FIT)
    attenuation = attenuation_limit(state.exposure, floor=ANCHOR_FIT.floor, ceiling=ANCHOR_FIT.ceiling)
    best = celsius[np.argmax(attenuation * np.asarray(state.accessible))]
    assert best == pytest.approx(62.5, abs=2.0)
    assert _attenuation(_mash([(62.5, 60.0)])) == pytest.approx(float(attenuation.max()), abs=0.003)


@pytest.mark.source("enzyme half-lives from Brandam et al. 2003", provenance="memory")
@pytest.mark.parametrize(
    ("enzyme", "celsius", "half_life"),
    [
        ("beta", 62.0, 24.4), ("beta", 65.0, 6.6), ("beta", 68.0, 1.8), ("beta", 70.0, 0.8),
        ("alpha", 65.0, 72.0), ("alpha", 70.0, 23.0), ("alpha", 75.0, 7.0), ("alpha", 78.0, 3.8),
    ],
)  # fmt: skip
def test_half_lives(enzyme: str, celsius: float, half_life: float) -> None:
    left = float(getattr(_mash([(celsius, half_life)]), enzyme))
    assert left == pytest.approx(0.5, abs=0.03)


REST = st.tuples(st.floats(20.0, 100.0), st.floats(0.0, 240.0))


@given(REST, st.floats(0.0, 1.0))
@settings(max_examples=200)
def test_a_rest_in_two_parts_is_one_rest(whole: tuple[float, float], share: float) -> None:
    celsius, minutes = whole
    parts = _mash([(celsius, minutes * share), (celsius, minutes * (1.0 - share))])
    assert [float(v) for v in parts] == pytest.approx([float(v) for v in _mash([whole])], rel=1e-9, abs=1e-12)


@given(st.lists(REST, min_size=1, max_size=6))
def test_time_only_runs_forward(steps: Steps) -> None:
    state = starting_state(1.0, 1.0)
    for celsius, minutes in steps:
        after = rest(state, celsius, minutes=minutes, parameters=ANCHOR_FIT)
        assert state.accessible - 1e-15 <= after.accessible <= 1.0
        assert 0.0 <= after.beta <= state.beta
        assert 0.0 <= after.alpha <= state.alpha
        assert after.exposure >= state.exposure
        state = after
    assert all(np.isfinite(value) for value in state)


@given(st.floats(0.0, 110.0), st.floats(0.0, 1e-6))
def test_no_time_changes_nothing(celsius: float, minutes: float) -> None:
    before = MashState(np.float64(0.4), np.float64(0.3), np.float64(0.8), np.float64(1.2))
    after = rest(before, celsius, minutes=0.0, parameters=ANCHOR_FIT)
    assert [float(v) for v in after] == pytest.approx([0.4, 0.3, 0.8, 1.2], abs=1e-15)
    nearly = rest(before, celsius, minutes=minutes, parameters=ANCHOR_FIT)
    assert float(nearly.exposure) == pytest.approx(1.2, abs=1e-4)


def test_draws_equal_scalars() -> None:
    rng = np.random.default_rng(7)
    wide = {
        name: np.asarray(value) * np.exp(rng.normal(0.0, 0.1, 32)) if name not in ("floor", "ceiling") else value
        for name, value in ANCHOR_FIT._asdict().items()
    }
    draws = conversion_parameters(**wide)
    celsius = rng.uniform(60.0, 76.0, 32)
    together = rest(starting_state(1.0, 1.0), celsius, minutes=45.0, parameters=draws)
    for i in range(32):
        one = ConversionParameters(*(np.broadcast_to(field, 32)[i] for field in draws))
        alone = rest(starting_state(1.0, 1.0), celsius[i], minutes=45.0, parameters=one)
        assert [float(np.asarray(v)[i]) for v in together] == pytest.approx([float(v) for v in alone], rel=1e-12)


def test_a_high_rest_adds_extract_and_leaves_the_limit() -> None:
    low, both = _mash([(63.0, 45.0)]), _mash([(63.0, 45.0), (72.0, 20.0)])
    assert float(both.accessible) > float(low.accessible) + 0.02
    assert _attenuation(both) == pytest.approx(_attenuation(low), abs=0.005)


def test_every_parameter_but_one_has_a_spread() -> None:
    assert set(ANCHOR_FIT._fields) - set(ANCHOR_FIT_SPREAD) == {"alpha_rate"}
    assert all(spread.size > 0.0 for spread in ANCHOR_FIT_SPREAD.values())


def test_what_means_nothing_is_refused() -> None:
    for refused in (111.0, np.nan):
        with pytest.raises(OutOfRange, match="mash temperature"):
            rest(starting_state(1.0, 1.0), refused, minutes=10.0, parameters=ANCHOR_FIT)
    with pytest.raises(OutOfRange, match="rest"):
        rest(starting_state(1.0, 1.0), 66.0, minutes=-1.0, parameters=ANCHOR_FIT)
    with pytest.raises(OutOfRange, match="beta-amylase"):
        starting_state(-0.1, 1.0)
    with pytest.raises(OutOfRange, match="ceiling less floor"):
        conversion_parameters(**{**ANCHOR_FIT._asdict(), "floor": 0.9})
    with pytest.raises(OutOfRange, match="wetting"):
        conversion_parameters(**{**ANCHOR_FIT._asdict(), "k_access": 0.0})
    with pytest.raises(OutOfRange, match="rest"):
        gelatinised_fraction(63.0, np.nan)
