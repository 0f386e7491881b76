"""The pH of the mash."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from gyle.errors import OutOfRange
from gyle.science.acid_demand import room_carbon_mmol_L
from gyle.science.malt_acidity import hardness_acid_mEq_L, hot_ph, mash_acid_demand_mEq, mash_ph, mash_ph_slope
from gyle.science.malt_kinds import crystal_malt_ph

Mash = dict[str, Any]

# pH in distilled water and buffering [mEq/(kg pH)], from wheat malt to acid malt; the last does not buffer.
MALTS = ((6.0, 42.0), (5.75, 45.0), (5.5, 45.0), (6.0, 10.0), (4.85, 52.0), (4.65, 45.0), (3.45, 155.0), (7.0, 0.0))


@st.composite
def mashes(draw: st.DrawFn) -> Mash:
    """Up to four malts in some water with something dosed."""
    malts = draw(st.lists(st.sampled_from(MALTS), min_size=1, max_size=4))
    alkalinity = draw(st.floats(-1.0, 15.0))
    return {
        "malt_kg": [draw(st.floats(0.0, 20.0)) for _ in malts],
        "malt_ph": [ph for ph, _ in malts],
        "malt_buffering_mEq_kg": [buffering for _, buffering in malts],
        "liquor_L": draw(st.floats(0.0, 80.0)),
        "alkalinity_mEq_L": alkalinity,
        "carbon_mmol_L": float(room_carbon_mmol_L(alkalinity, draw(st.floats(5.0, 9.0)))),
        "co2_lost_share": draw(st.floats(0.0, 1.0)),
        "freed_mEq_L": draw(st.floats(0.0, 3.0)),
        "lactic_mmol": draw(st.one_of(st.just(0.0), st.floats(0.0, 200.0))),
        "phosphoric_mmol": draw(st.one_of(st.just(0.0), st.floats(0.0, 200.0))),
        "citric_mmol": draw(st.one_of(st.just(0.0), st.floats(0.0, 100.0))),
        "strong_acid_mEq": draw(st.one_of(st.just(0.0), st.floats(0.0, 200.0))),
        "base_mEq": draw(st.one_of(st.just(0.0), st.floats(0.0, 200.0))),
    }


def demand(ph: float, mash: Mash) -> float:
    return float(mash_acid_demand_mEq(ph, **mash))


@given(mashes())
def test_nothing_is_left_to_bring_at_the_ph_found(mash: Mash) -> None:
    ph = float(mash_ph(**mash))
    if 0.0 < ph < 12.0:
        scale = 1.0 + sum(mash["malt_kg"]) * 60.0 + mash["liquor_L"]
        assert abs(demand(ph, mash)) < 1e-6 * scale


@pytest.mark.source("The same balance by Brent's method", provenance="computed-with-scipy")
@given(mashes())
def test_brent_finds_the_same_root(mash: Mash) -> None:
    ph = float(mash_ph(**mash))
    if demand(0.0, mash) > 0.0 > demand(12.0, mash):
        assert abs(brentq(lambda p: demand(p, mash), 0.0, 12.0, xtol=1e-12) - ph) < 1e-6


@given(
    mashes(),
    st.sampled_from(["lactic_mmol", "phosphoric_mmol", "citric_mmol", "strong_acid_mEq", "freed_mEq_L"]),
    st.floats(0.01, 20.0),
)
def test_acid_never_raises_the_ph_nor_base_lowers_it(mash: Mash, which: str, more: float) -> None:
    ph = mash_ph(**mash)
    assert mash_ph(**{**mash, which: mash[which] + more}) <= ph + 1e-9
    assert mash_ph(**{**mash, "base_mEq": mash["base_mEq"] + more}) >= ph - 1e-9
    assert mash_ph(**{**mash, "alkalinity_mEq_L": mash["alkalinity_mEq_L"] + more}) >= ph - 1e-9


@given(mashes(), st.floats(0.0, 1.0))
def test_lost_gas_raises_the_ph(mash: Mash, lost: float) -> None:
    ends = [float(mash_ph(**{**mash, "co2_lost_share": share})) for share in (0.0, lost, 1.0)]
    assert ends == pytest.approx(sorted(ends), abs=1e-9)


@given(mashes(), st.floats(4.5, 6.5))
def test_the_balance_at_one_ph_is_linear_in_every_amount(mash: Mash, ph: float) -> None:
    twice = dict(mash)
    for key in ("liquor_L", "lactic_mmol", "phosphoric_mmol", "citric_mmol", "strong_acid_mEq", "base_mEq"):
        twice[key] = 2.0 * mash[key]
    twice["malt_kg"] = [2.0 * mass for mass in mash["malt_kg"]]
    assert demand(ph, twice) == pytest.approx(2.0 * demand(ph, mash), abs=1e-9)


@given(mashes(), st.floats(4.8, 6.2))
def test_the_acid_said_to_be_needed_brings_the_mash_there(mash: Mash, aim: float) -> None:
    needed = demand(aim, mash)
    if sum(m * b for m, b in zip(mash["malt_kg"], mash["malt_buffering_mEq_kg"], strict=True)) < 1.0:
        return
    key = "strong_acid_mEq" if needed > 0.0 else "base_mEq"
    assert abs(mash_ph(**{**mash, key: mash[key] + abs(needed)}) - aim) < 1e-6


@given(st.lists(mashes(), min_size=1, max_size=4))
def test_many_mashes_at_once_are_each_as_alone(several: list[Mash]) -> None:
    most = max(len(mash["malt_kg"]) for mash in several)
    columns = {
        key: np.array([mash[key] + [0.0] * (most - len(mash[key])) for mash in several]).T
        if key.startswith("malt_")
        else np.array([mash[key] for mash in several])
        for key in several[0]
    }
    together = mash_ph(**columns)
    assert together.shape == (len(several),)
    for ph, mash in zip(together, several, strict=True):
        assert abs(ph - mash_ph(**mash)) < 1e-7


@given(st.floats(3.5, 8.0))
def test_a_malt_in_distilled_water_has_its_own_ph(own: float) -> None:
    ph = mash_ph(
        [5.0], [own], malt_buffering_mEq_kg=[45.0], liquor_L=20.0, alkalinity_mEq_L=0.0, carbon_mmol_L=0.0,
        co2_lost_share=0.0, freed_mEq_L=0.0,
    )  # fmt: skip
    assert abs(ph - own) < 0.03


def test_wort_as_liquor_buffers_the_second_mash() -> None:
    water = {"alkalinity_mEq_L": 2.0, "carbon_mmol_L": 2.1, "co2_lost_share": 1.0, "freed_mEq_L": 0.0}
    malt = {"malt_kg": [5.0], "malt_ph": [5.75], "malt_buffering_mEq_kg": [45.0]}
    with_wort = {"malt_kg": [5.0, 3.0], "malt_ph": [5.75, 5.4], "malt_buffering_mEq_kg": [45.0, 40.0]}
    bare = mash_ph(liquor_L=18.0, **malt, **water)
    wort = mash_ph(liquor_L=18.0, **with_wort, **{**water, "alkalinity_mEq_L": 0.0, "carbon_mmol_L": 0.0})
    assert 5.4 < wort < 5.75 < bare


def test_thickness_and_alkalinity_move_the_ph_by_the_slope() -> None:
    low, high = mash_ph(
        [5.0], [5.75], malt_buffering_mEq_kg=[45.0], liquor_L=20.0, alkalinity_mEq_L=[0.0, 3.566], carbon_mmol_L=0.0,
        co2_lost_share=1.0, freed_mEq_L=0.0,
    )  # fmt: skip
    assert high - low == pytest.approx(3.566 * float(mash_ph_slope(4.0, 45.0)), abs=0.002)
    assert high - low == pytest.approx(0.317, abs=0.002)


@given(st.floats(0.0, 50.0), st.floats(0.0, 20.0))
def test_calcium_beyond_the_ceiling_frees_no_more(calcium: float, ceiling: float) -> None:
    kinds = {"calcium_release": 0.2, "magnesium_release": 0.1, "calcium_ceiling_mEq_L": ceiling}
    assert hardness_acid_mEq_L(calcium, 0.0, **kinds) <= 0.2 * ceiling + 1e-12
    assert hardness_acid_mEq_L(calcium, 1.0, **kinds) == pytest.approx(
        float(hardness_acid_mEq_L(calcium, 0.0, **kinds)) + 0.1
    )


@given(st.floats(4.0, 7.0), st.floats(0.0, 100.0))
def test_hot_and_back(ph: float, temperature: float) -> None:
    hot = hot_ph(ph, temperature, room_temperature_C=20.0, slope_per_C=-0.0082)
    assert hot_ph(hot, 20.0, room_temperature_C=temperature, slope_per_C=-0.0082) == pytest.approx(ph)


@given(st.floats(0.0, 999.0))
def test_darker_crystal_malt_is_more_acid(colour: float) -> None:
    assert crystal_malt_ph(colour + 1.0) <= crystal_malt_ph(colour)


def test_sixty_thousand_draws_of_anything_pass() -> None:
    draw = np.random.default_rng(11)
    n = 65_536
    ph = mash_ph(
        draw.uniform(0.0, 1e3, (3, n)), draw.uniform(2.0, 9.0, (3, n)),
        malt_buffering_mEq_kg=draw.uniform(0.0, 300.0, (3, n)), liquor_L=draw.uniform(0.0, 1e4, n),
        alkalinity_mEq_L=draw.uniform(-50.0, 50.0, n), carbon_mmol_L=draw.uniform(0.0, 50.0, n),
        co2_lost_share=draw.uniform(0.0, 1.0, n), freed_mEq_L=draw.uniform(0.0, 50.0, n),
        lactic_mmol=draw.uniform(0.0, 1e5, n), phosphoric_mmol=draw.uniform(0.0, 1e5, n),
        base_mEq=draw.uniform(0.0, 1e5, n),
    )  # fmt: skip
    assert ((ph > -1.1) & (ph < 15.1)).all()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"malt_kg": [np.nan]}, "malt"),
        ({"malt_kg": 5.0}, "first axis"),
        ({"malt_ph": [13.0]}, "pH of a malt"),
        ({"liquor_L": -1.0}, "liquor"),
        ({"co2_lost_share": 1.2}, "CO2 lost"),
        ({"lactic_mmol": np.nan}, "lactic"),
        ({"base_mEq": -5.0}, "base"),
    ],
)
def test_what_is_no_mash_is_refused(change: Mash, words: str) -> None:
    mash: Mash = {
        "malt_kg": [5.0], "malt_ph": [5.75], "malt_buffering_mEq_kg": [45.0], "liquor_L": 20.0,
        "alkalinity_mEq_L": 2.0, "carbon_mmol_L": 2.1, "co2_lost_share": 0.5, "freed_mEq_L": 0.0,
    }  # fmt: skip
    with pytest.raises(OutOfRange, match=words):
        mash_ph(**{**mash, **change})


def test_a_colour_that_is_none_is_refused() -> None:
    with pytest.raises(OutOfRange, match="colour"):
        crystal_malt_ph(np.nan)
