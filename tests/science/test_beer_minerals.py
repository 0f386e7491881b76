"""Minerals that malt brings, and calcium left behind."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science.beer_minerals import MALT_MINERALS, calcium_left_mEq_L, malt_mineral_mg_L
from gyle.science.malt_acidity import hardness_acid_mEq_L
from gyle.science.water_ions import CHARGE, milliequivalents_L


@pytest.mark.source("Briggs et al. 2004, wort of 10 °P from distilled water", provenance="memory")
@pytest.mark.parametrize(
    ("mineral", "found_mg_L"),
    [("sodium", 10.0), ("potassium", 380.0), ("zinc", 0.17), ("sulfate", 5.0), ("phosphate", 550.0)],
)
def test_a_wort_from_distilled_water_holds_what_malt_gave(mineral: str, found_mg_L: float) -> None:
    assert malt_mineral_mg_L(mineral, 103.8, lot_factor=1.0) == pytest.approx(found_mg_L, rel=0.1)


@pytest.mark.source("Usual ranges in wort of 12 %", provenance="memory")
@pytest.mark.parametrize(
    ("mineral", "low_mg_L", "high_mg_L"),
    [("calcium", 15.0, 40.0), ("magnesium", 70.0, 120.0), ("potassium", 400.0, 600.0), ("phosphate", 300.0, 900.0)],
)
def test_a_usual_wort_lies_in_the_usual_ranges(mineral: str, low_mg_L: float, high_mg_L: float) -> None:
    assert low_mg_L <= malt_mineral_mg_L(mineral, 126.0, lot_factor=1.0) <= high_mg_L


def test_organic_acids_are_left_to_balance_the_charges() -> None:
    """Mineral cations outweigh the mineral anions, by less than the wort's organic and bound anions can make up."""

    def charge(mineral: str) -> float:
        return float(milliequivalents_L(malt_mineral_mg_L(mineral, 103.8, lot_factor=1.0), mineral))

    cations = sum(charge(mineral) for mineral in ("calcium", "magnesium", "sodium", "potassium"))
    phosphate = float(malt_mineral_mg_L("phosphate", 103.8, lot_factor=1.0)) / 94.970  # one charge each near pH 5
    anions = phosphate + sum(abs(charge(mineral)) for mineral in ("chloride", "sulfate"))
    assert 0.0 < cations - anions < 12.0
    assert CHARGE["chloride"] == -1


@given(st.sampled_from(sorted(MALT_MINERALS)), st.floats(0.0, 300.0), st.floats(0.1, 5.0))
def test_minerals_keep_pace_with_extract(mineral: str, extract: float, times: float) -> None:
    once = malt_mineral_mg_L(mineral, extract, lot_factor=1.0)
    assert malt_mineral_mg_L(mineral, extract * times, lot_factor=1.0) == pytest.approx(float(once) * times)
    assert malt_mineral_mg_L(mineral, extract, lot_factor=times) == pytest.approx(float(once) * times)
    assert MALT_MINERALS[mineral].log_sd > 0.0


@given(st.floats(0.0, 20.0), st.floats(0.0, 0.6), st.floats(0.33, 1.0))
def test_what_is_left_and_what_fell_make_the_calcium(calcium: float, release: float, ratio: float) -> None:
    freed = hardness_acid_mEq_L(
        calcium, 0.0, calcium_release=release, magnesium_release=0.0, calcium_ceiling_mEq_L=10.0
    )
    left = float(calcium_left_mEq_L(calcium, freed, acid_per_calcium=ratio))
    assert 0.0 <= left <= calcium
    if left > 0.0:
        assert (calcium - left) * ratio == pytest.approx(float(freed), abs=1e-9)
    if calcium > 10.0:  # beyond the ceiling none is lost
        assert left >= calcium - 10.0 / ratio * release - 1e-9


@pytest.mark.source("20 to 50 % of the liquor's calcium stays behind", provenance="ours")
@pytest.mark.parametrize("release", [0.20, 1.0 / 3.5])
def test_the_loss_of_calcium_is_of_the_usual_size(release: float) -> None:
    left = calcium_left_mEq_L(5.0, 5.0 * release, acid_per_calcium=0.67)
    assert 0.5 <= left / 5.0 <= 0.8


def test_many_at_once_and_sixty_thousand_draws_pass() -> None:
    draw = np.random.default_rng(9)
    n = 65_536
    extract, factor = draw.uniform(0.0, 2000.0, n), np.exp(draw.normal(0.0, 0.8, n))
    sulfate = malt_mineral_mg_L("sulfate", extract, lot_factor=factor)
    assert sulfate.shape == (n,)
    assert sulfate[7] == malt_mineral_mg_L("sulfate", extract[7], lot_factor=factor[7])
    calcium = draw.uniform(0.0, 1000.0, n)
    left = calcium_left_mEq_L(calcium, draw.uniform(0.0, 1000.0, n), acid_per_calcium=draw.uniform(0.1, 10.0, n))
    assert ((left >= 0.0) & (left <= calcium)).all()


def test_what_is_no_mineral_is_refused() -> None:
    with pytest.raises(OutOfRange, match="calcium, magnesium"):
        malt_mineral_mg_L("iron", 100.0, lot_factor=1.0)
    with pytest.raises(OutOfRange, match="extract of malt"):
        malt_mineral_mg_L("zinc", np.nan, lot_factor=1.0)
    with pytest.raises(OutOfRange, match="content"):
        malt_mineral_mg_L("zinc", 100.0, lot_factor=-1.0)
    with pytest.raises(OutOfRange, match="calcium"):
        calcium_left_mEq_L(np.nan, 1.0, acid_per_calcium=0.67)
    with pytest.raises(OutOfRange, match="acid freed by calcium"):
        calcium_left_mEq_L(1.0, -1.0, acid_per_calcium=0.67)
    with pytest.raises(OutOfRange, match="precipitated"):
        calcium_left_mEq_L(1.0, 1.0, acid_per_calcium=0.0)
