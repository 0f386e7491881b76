"""pH in boil and fermentation."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from gyle.errors import OutOfRange
from gyle.science.malt_acidity import mash_ph
from gyle.science.wort_acidity import beer_ph, boil_ph_fall, calcium_ph_fall, wort_buffering_mEq

PH = st.floats(3.0, 7.0)
EXTRACT = st.floats(1.0, 300.0)
PULL = st.floats(0.0, 3.0)


def beer(wort: float, fermented: float = 82.0, malt: float = 126.0, pull: float = 1.1, floor: float = 3.4) -> float:
    return float(
        beer_ph(wort, fermented_extract_g_L=fermented, malt_extract_g_L=malt, acidification=pull, floor_ph=floor)
    )


@given(PH, EXTRACT, EXTRACT, PULL, st.floats(2.5, 4.0))
def test_beer_lies_between_the_floor_and_its_wort(
    wort: float, fermented: float, malt: float, pull: float, floor: float
) -> None:
    ph = beer(wort, fermented, malt, pull, floor)
    assert min(wort, floor) - 1e-12 <= ph <= wort + 1e-12
    assert beer(wort, 0.0, malt, pull, floor) == pytest.approx(wort)


@given(PH, EXTRACT, EXTRACT, st.floats(0.0, 1.0))
def test_each_thing_moves_the_beer_its_own_way(wort: float, fermented: float, malt: float, more: float) -> None:
    ph = beer(wort, fermented, malt)
    assert ph - 1e-12 <= beer(wort + more, fermented, malt) <= ph + more + 1e-12
    assert beer(wort, fermented * (1.0 + more), malt) <= ph + 1e-12
    assert beer(wort, fermented, malt * (1.0 + more)) >= ph - 1e-12
    assert beer(wort, fermented, malt, pull=1.1 + more) <= ph + 1e-12


@pytest.mark.source("The balance dp/dF = -a (p - floor) / M, integrated", provenance="computed-with-scipy")
@given(st.floats(4.0, 6.5), st.floats(0.0, 150.0), st.floats(40.0, 250.0))
def test_the_balance_step_by_step_comes_to_the_same(wort: float, fermented: float, malt: float) -> None:
    steps = solve_ivp(lambda _, p: -1.1 * (p - 3.4) / malt, (0.0, fermented), [wort], rtol=1e-9, atol=1e-10)
    assert beer(wort, fermented, malt) == pytest.approx(steps.y[0, -1], abs=1e-6)


@pytest.mark.source("About half of a difference of wort pH is left in the beer", provenance="common-practice")
def test_half_of_a_difference_stays() -> None:
    assert beer(5.4) - beer(5.0) == pytest.approx(0.2, abs=0.04)


@pytest.mark.source("pH falls by 0.8 to 1.0 in most ale fermentations", provenance="common-practice")
@pytest.mark.parametrize("fermented", [75.0, 82.0, 90.0])
def test_an_ale_falls_by_nearly_one(fermented: float) -> None:
    assert 0.8 <= 5.2 - beer(5.2, fermented) <= 1.0


def test_sugar_instead_of_malt_makes_the_beer_more_acid() -> None:
    assert beer(5.2, 90.0, 100.0) < beer(5.2, 82.0, 126.0) - 0.1


def test_a_wort_below_the_floor_stays_as_it_is() -> None:
    assert beer(3.2) == 3.2


@pytest.mark.source("Ales end at 4.0 to 4.5", provenance="common-practice")
def test_the_spreads_named_span_what_ales_come_to() -> None:
    draw = np.random.default_rng(5)
    n = 65_536
    ph = beer_ph(
        draw.normal(5.2, 0.1, n),
        fermented_extract_g_L=82.0,
        malt_extract_g_L=126.0,
        acidification=1.1 * np.exp(draw.normal(0.0, 0.12, n)),
        floor_ph=draw.normal(3.4, 0.15, n),
    )
    low, high = np.quantile(ph, [0.025, 0.975])
    assert low == pytest.approx(4.0, abs=0.06)
    assert high == pytest.approx(4.5, abs=0.06)


@given(st.floats(0.0, 300.0), st.floats(0.0, 300.0), st.floats(0.0, 1.0), st.floats(1.0, 500.0))
def test_a_boil_in_two_parts_falls_as_one(first: float, second: float, fall: float, tau: float) -> None:
    def part(minutes: float, left: float) -> float:
        return float(boil_ph_fall(minutes, fall=left, time_constant_min=tau))

    before = part(first, fall)
    assert before + part(second, fall - before) == pytest.approx(part(first + second, fall), abs=1e-9)
    assert 0.0 <= before <= fall


@pytest.mark.source("MacWilliam 1975, J. Inst. Brew. 81:65: about 0.3", provenance="memory")
def test_boil_and_calcium_together_make_the_long_boils_fall() -> None:
    boil = boil_ph_fall(120.0, fall=0.25, time_constant_min=60.0)
    # 30 L of liquor with 4 mEq/L of calcium for 3.2 kg of extract
    calcium = calcium_ph_fall(120.0, release=0.086, buffering_mEq=wort_buffering_mEq(3.2, per_extract_mEq_kg=40.0))
    assert boil + calcium == pytest.approx(0.3, abs=0.05)


@given(st.floats(0.0, 200.0), st.floats(0.0, 0.3), st.floats(0.5, 20.0), st.floats(20.0, 80.0))
def test_calcium_in_the_wort_agrees_with_the_balance_of_the_mash(
    calcium: float, release: float, extract: float, each: float
) -> None:
    """A wort is one more malt there; only water's own ions are left out here."""
    balanced = mash_ph(
        [extract], [5.4], malt_buffering_mEq_kg=[each], liquor_L=extract / 0.126, alkalinity_mEq_L=0.0,
        carbon_mmol_L=0.0, co2_lost_share=1.0, freed_mEq_L=0.0, strong_acid_mEq=[0.0, calcium * release],
    )  # fmt: skip
    fall = float(
        calcium_ph_fall(calcium, release=release, buffering_mEq=wort_buffering_mEq(extract, per_extract_mEq_kg=each))
    )
    if fall < 1.0:
        assert balanced[0] - balanced[1] == pytest.approx(fall, rel=0.1, abs=1e-6)


@pytest.mark.source(
    "Titratable acidity of beer, 0.1 to 0.3 % as lactic acid between about pH 4.3 and 8.2", provenance="memory"
)
def test_a_litre_buffers_about_as_titration_says() -> None:
    litre = wort_buffering_mEq(0.126, per_extract_mEq_kg=40.0)
    low, high = (10.0 * share_pct / 90.08 * 1000.0 / (8.2 - 4.3) for share_pct in (0.1, 0.3))
    assert low <= litre <= high


def test_many_at_once_are_each_as_alone() -> None:
    worts, malts = np.array([5.0, 5.2, 3.0]), np.array([[0.0], [126.0]])
    together = beer_ph(worts, fermented_extract_g_L=82.0, malt_extract_g_L=malts, acidification=1.1, floor_ph=3.4)
    assert together.shape == (2, 3)
    for row, malt in zip(together, (0.0, 126.0), strict=True):
        assert row.tolist() == pytest.approx([beer(float(wort), malt=malt) for wort in worts], abs=1e-14)


def test_sixty_thousand_draws_of_anything_pass() -> None:
    draw = np.random.default_rng(3)
    n = 65_536
    fall = boil_ph_fall(
        draw.uniform(0.0, 600.0, n), fall=draw.uniform(0.0, 3.0, n), time_constant_min=draw.uniform(0.001, 600.0, n)
    )
    calcium = calcium_ph_fall(
        draw.uniform(0.0, 1e4, n), release=draw.uniform(0.0, 1.0, n), buffering_mEq=draw.uniform(1e-6, 1e4, n)
    )
    ph = beer_ph(
        draw.uniform(0.0, 14.0, n), fermented_extract_g_L=draw.uniform(0.0, 2000.0, n),
        malt_extract_g_L=draw.uniform(0.0, 2000.0, n), acidification=draw.uniform(0.0, 100.0, n),
        floor_ph=draw.uniform(0.0, 14.0, n),
    )  # fmt: skip
    assert ((fall >= 0.0) & (fall <= 3.0)).all()
    assert np.isfinite(calcium).all()
    assert ((ph >= 0.0) & (ph <= 14.0)).all()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"wort_ph": np.nan}, "pH of the wort"),
        ({"fermented_extract_g_L": -1.0}, "fermented"),
        ({"malt_extract_g_L": np.nan}, "extract of malt"),
        ({"acidification": -0.1}, "acidification"),
        ({"floor_ph": 15.0}, "floor"),
    ],
)
def test_what_is_no_beer_is_refused(change: dict[str, float], words: str) -> None:
    kinds = {
        "wort_ph": 5.2, "fermented_extract_g_L": 82.0, "malt_extract_g_L": 126.0, "acidification": 1.1, "floor_ph": 3.4,
    }  # fmt: skip
    with pytest.raises(OutOfRange, match=words):
        beer_ph(**{**kinds, **change})


def test_what_is_no_wort_is_refused() -> None:
    with pytest.raises(OutOfRange, match="extract"):
        wort_buffering_mEq(-1.0, per_extract_mEq_kg=40.0)
    with pytest.raises(OutOfRange, match="buffering of extract"):
        wort_buffering_mEq(1.0, per_extract_mEq_kg=np.nan)
    with pytest.raises(OutOfRange, match="time at the boil"):
        boil_ph_fall(np.nan, fall=0.25, time_constant_min=60.0)
    with pytest.raises(OutOfRange, match="fall of pH"):
        boil_ph_fall(60.0, fall=-0.1, time_constant_min=60.0)
    with pytest.raises(OutOfRange, match="time constant"):
        boil_ph_fall(60.0, fall=0.25, time_constant_min=0.0)
    with pytest.raises(OutOfRange, match="calcium"):
        calcium_ph_fall(-1.0, release=0.1, buffering_mEq=100.0)
    with pytest.raises(OutOfRange, match="freed"):
        calcium_ph_fall(1.0, release=1.1, buffering_mEq=100.0)
    with pytest.raises(OutOfRange, match="buffering of the wort"):
        calcium_ph_fall(1.0, release=0.1, buffering_mEq=0.0)
