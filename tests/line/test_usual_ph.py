"""pH from mash to glass where brewers find it, and its band as wide as it must be."""

from __future__ import annotations

from typing import Any

import attrs
import pytest
from ales import BREW, ale, figure, with_water
from brewing import Timing, brewed, grain
from waters import HARD, SOFT, acid, dosed

from gyle.beer.recipe import OtherLine
from gyle.beer.water import Water


def ordinary(water: Water, *lines: OtherLine, draws: int = 2048, boil: float = 60.0, sparge_L: float = 10.0) -> Any:
    grist = (grain("pale ale malt"), grain("crystal malt 60 EBC"))
    much = attrs.evolve(BREW, grist_kg=(4.6, 0.3), liquor_L=(15.0,), sparge_L=(sparge_L,))
    return brewed(ale(*lines, grist=grist, boil_minutes=boil), with_water(water), much, draws=draws).figures


TREATED = (
    dosed("gypsum", grams=3.0),
    dosed("calcium chloride dihydrate", grams=3.0),
    dosed("lactic acid 80 %", grams=3.0),
)


@pytest.mark.source("propagated spreads of malts, water, balance and meter", provenance="ours")
@pytest.mark.parametrize(("water", "lines"), [(HARD, ()), (SOFT, ()), (SOFT, TREATED)], ids=["hard", "soft", "treated"])
def test_a_mash_ph_is_known_to_a_tenth(water: Water, lines: tuple[OtherLine, ...]) -> None:
    assert 0.07 < float(ordinary(water, *lines)["mash.ph"].std()) < 0.14


@pytest.mark.source("usual targets of treated soft water", provenance="common-practice")
def test_an_ale_of_treated_soft_water() -> None:
    figures = ordinary(SOFT, *TREATED)
    mash, full, end, glass = (
        figures[name].mean() for name in ("mash.ph", "kettle.full.ph", "kettle.end.ph", "glass.ph")
    )
    assert 5.3 < mash < 5.6
    assert abs(full - mash) < 0.15
    assert 0.05 < mash - end < 0.35
    assert 5.0 < end < 5.4
    assert 4.0 < glass < 4.7


@pytest.mark.source("MacWilliam, J. Inst. Brew. 81, 65, 1975: about 0.3 in a long boil", provenance="retrieved")
def test_a_long_boil_of_soft_wort() -> None:
    falls = []
    for minutes in (0.0, 30.0, 60.0, 90.0, 150.0):
        figures = ordinary(SOFT, *TREATED, draws=1, boil=minutes)
        falls.append(float((figures["kettle.full.ph"] - figures["kettle.end.ph"])[0]))
    assert falls == sorted(falls)
    assert falls[-1] == pytest.approx(0.3, abs=0.1)


@pytest.mark.source("residual alkalinity of the sparge liquor raises the runnings", provenance="common-practice")
def test_hard_sparge_liquor_raises_the_kettle_and_acid_holds_it() -> None:
    def rise(*lines: OtherLine, sparge_L: float) -> float:
        figures = ordinary(HARD, *lines, draws=1, sparge_L=sparge_L)
        return float((figures["kettle.full.ph"] - figures["mash.ph"])[0])

    rises = [rise(sparge_L=litres) for litres in (0.0, 8.0, 16.0)]
    assert rises == sorted(rises)
    assert rises[-1] > 0.1  # how much is ours: bed and hot tank take up more than half of it
    # Acid enough for the alkalinity: 5.72 mEq/L in 16 L.
    sour = attrs.evolve(acid(0.95 * 16.0 * 5.72, "lactic acid 80 %"), at=Timing(stage="sparge"))
    assert abs(rise(sour, sparge_L=16.0) - rises[0]) < 0.05


@pytest.mark.source("sugar leaves less malt to buffer", provenance="common-practice")
def test_sugar_in_the_place_of_malt_sours_the_beer() -> None:
    sugar = attrs.evolve(grain("sucrose"), at=Timing(stage="boil", minutes=5.0))
    mixed = ale(grist=(grain("pale ale malt"), sugar))
    beers = [
        figure(brewed(mixed, with_water(SOFT), attrs.evolve(BREW, grist_kg=(malt, sweet))), "glass.ph")
        for malt, sweet in ((5.0, 0.0), (4.0, 0.6), (3.0, 1.2))
    ]
    assert beers == sorted(beers, reverse=True)
    assert beers[0] > 4.0
