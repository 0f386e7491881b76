"""The pH of mash and wort answers to acids, salts, malts and water the way it should."""

from __future__ import annotations

from typing import Any

import attrs
import numpy as np
import pytest
from ales import BREW, HOUSE, ale, figure, mash_ph, with_water
from brewing import Aim, Amounts, Brew, Timing, begun, brewed, grain
from hypothesis import given
from hypothesis import strategies as st
from waters import BOUGHT, HARD, SOFT, STRANGE, dosed, mineral, stated, waters

from gyle.beer.mineral import minerals
from gyle.beer.water import Water
from gyle.line.acidity import met
from gyle.line.beliefs import water_of

ACIDS = [one for one in minerals() if one.kind == "acid"]
RAISE = ("sodium bicarbonate", "potassium bicarbonate", "sodium carbonate", "chalk", "slaked lime")
LOWER = ("gypsum", "calcium chloride", "calcium chloride solution 33 %", "epsom salt", "magnesium chloride")
KEEP = ("sodium chloride", "potassium chloride", "sodium sulfate")
AMOUNT = st.floats(0.05, 1.0)
# Soda springs apart: in those a mash comes to where carbon dioxide stops leaving, and stands still there.
ORDINARY = waters().filter(lambda water: water is None or water.alkalinity_mEq_L.centre < 15.0)


@given(ORDINARY, st.sampled_from(ACIDS), AMOUNT, AMOUNT)
def test_every_acid_lowers_the_mash(water: Water | None, acid: Any, one: float, more: float) -> None:
    doses = [dosed(acid, rate_g_L=share * 0.5 * acid.most_g_L) for share in (one, one + more)]
    found = [mash_ph(water), *(mash_ph(water, dose) for dose in doses)]
    assert found[0] > found[1] > found[2]


@given(ORDINARY, AMOUNT, st.data())
def test_salts_move_the_mash_the_way_they_should(water: Water | None, share: float, data: st.DataObject) -> None:
    plain = mash_ph(water)

    def with_(names: tuple[str, ...]) -> float:
        salt = mineral(data.draw(st.sampled_from(names)))
        return mash_ph(water, dosed(salt, rate_g_L=share * salt.most_g_L))

    assert with_(RAISE) > plain
    assert with_(KEEP) == pytest.approx(plain, abs=1e-9)
    assert with_(LOWER[3:]) < plain
    # Calcium beyond a ceiling frees no more acid.
    calcium = with_(LOWER[:3])
    below = water_of(ale(), with_water(water)).mmol_L("calcium") * 2.0 < 8.7
    assert calcium < plain if below else calcium == pytest.approx(plain, abs=1e-9)


@given(st.floats(0.1, 8.0), st.floats(0.05, 3.0), st.floats(6.8, 8.2))
def test_alkalinity_raises_the_mash_and_hardness_lowers_it(alkalinity: float, more: float, water_ph: float) -> None:
    low = mash_ph(stated(alkalinity_mEq_L=round(alkalinity, 3), ph=round(water_ph, 2)))
    high = mash_ph(stated(alkalinity_mEq_L=round(alkalinity + more, 3), ph=round(water_ph, 2)))
    hard = mash_ph(stated(alkalinity_mEq_L=round(alkalinity, 3), ph=round(water_ph, 2), calcium_mg_L=120.0))
    assert hard < low < high


@given(ORDINARY, st.floats(0.02, 0.5))
def test_acid_malt_and_roast_lower_the_mash(water: Water | None, kg: float) -> None:
    for name in ("acid malt", "black malt", "crystal malt 240 EBC"):
        grist = (*ale().grist, grain(name))
        none, some = (
            mash_ph(water, amounts=attrs.evolve(BREW, grist_kg=(5.0, 0.2, own)), grist=grist) for own in (0.0, kg)
        )
        assert some < none


@given(st.floats(1.0, 15.0))
def test_first_wort_as_liquor_buffers(grams: float) -> None:
    """Bicarbonate moves a second mash in wort less than the same mash in as much water."""

    def second(of: float) -> float:
        both = ale(
            grist=(grain("pale ale malt"), grain("pale ale malt", mash=2)),
            others=(dosed("sodium bicarbonate", Timing(stage="mash", mash=2), grams=of),),
        )
        amounts = Amounts(grist_kg=(5.0, 4.0), hops_kg=(), liquor_L=(18.0, 3.0), sparge_L=(4.0, 4.0))
        brew = begun(both, with_water(SOFT), amounts, upto="mash.2.in")
        nonlocal litres
        litres = float(dict(brew.kept)["mash.2.strike"]["mash"].volume_L[0])
        return figure(brew, "mash.2.ph")

    litres = 0.0
    moved = second(grams) - second(0.0)
    alone = attrs.evolve(BREW, grist_kg=(4.0,), liquor_L=(litres,))
    grist = (grain("pale ale malt"),)
    in_water = mash_ph(SOFT, dosed("sodium bicarbonate", grams=grams), amounts=alone, grist=grist) - mash_ph(
        SOFT, amounts=alone, grist=grist
    )
    assert 0.0 < moved < 0.85 * in_water


@pytest.mark.parametrize("aim", [5.2, 5.4, 5.6])
def test_an_unstated_water_is_held_at_the_aim_and_a_stated_one_is_not(aim: float) -> None:
    recipe = ale(aims=(Aim(figure="mash.ph", value=aim),))
    for draws in (1, 512):
        figures = brewed(recipe, with_water(None), BREW, draws=draws).figures["mash.ph"]
        assert float(figures.mean()) == pytest.approx(aim, abs=1e-3)
    assert mash_ph(HARD, aims=recipe.aims) == mash_ph(HARD)


@pytest.mark.parametrize("water", [HARD, SOFT, *BOUGHT], ids=lambda water: water.name)
def test_wort_struck_again_is_where_it_was(water: Water) -> None:
    """Balance holds: nothing joins, nothing moves."""
    lines = (dosed("lactic acid 80 %", grams=6.0), dosed("gypsum", grams=4.0), dosed("citric acid", grams=2.0))
    kept = dict(brewed(ale(*lines), with_water(water), BREW).kept)
    brew = brewed(ale(*lines), with_water(water), BREW)
    for move in ("kettle.full", "kettle.end"):
        again = met(kept[move]["kettle"], lost=np.zeros(1))[1]
        assert float(again[0]) == pytest.approx(figure(brew, f"{move}.ph"), abs=1e-6)


@pytest.mark.source("bicarbonate's own pH, the end point of phenolphthalein", provenance="common-practice")
@pytest.mark.parametrize(("water", "limed_to"), [(HARD, 8.6), (SOFT, 10.0), (STRANGE[0], 8.3)])
def test_carbon_dioxide_that_leaves_takes_no_liquor_beyond_bicarbonate(water: Water, limed_to: float) -> None:
    pack = attrs.evolve(grain("dried malt extract, pale"), at=Timing(stage="boil", minutes=60.0))
    brew = brewed(ale(grist=(pack,)), with_water(water), attrs.evolve(BREW, grist_kg=(3.0,)))
    assert figure(brew, "kettle.full.ph") == pytest.approx(max(8.34, water.ph.centre), abs=0.15)
    again = met(dict(brew.kept)["kettle.full"]["kettle"], lost=np.ones(1))[1]
    assert float(again[0]) == pytest.approx(figure(brew, "kettle.full.ph"), abs=1e-4)
    # Lime lifts it all the same, where there is more of it than of carbon dioxide.
    limed = ale(dosed("slaked lime", rate_g_L=2.0), grist=(pack,))
    assert figure(brewed(limed, with_water(water), attrs.evolve(BREW, grist_kg=(3.0,))), "kettle.full.ph") > limed_to


def test_salts_in_the_kettle_have_their_whole_effect_on_the_wort_still_before_them() -> None:
    """Kolbach's 1/3.5 of what is given to the kettle, and only the rest of it of what went through the mash."""

    def end(*lines: Any) -> Brew:
        return brewed(ale(*lines, boil_minutes=60.0), with_water(BOUGHT[0]), BREW)

    grams = 8.0
    plain = end()
    given_mEq = 2.0 * 1000.0 * 0.99 * grams / 172.164
    buffer = float(dict(plain.kept)["kettle.end"]["kettle"]["~buffer"][0])
    fall = figure(plain, "kettle.end.ph") - figure(
        end(dosed("gypsum", Timing(stage="first wort"), grams=grams)), "kettle.end.ph"
    )
    assert fall == pytest.approx(given_mEq / 3.5 / buffer, rel=1e-3)
    in_the_mash = end(dosed("gypsum", grams=grams))
    later = (figure(in_the_mash, "kettle.full.ph") - figure(in_the_mash, "kettle.end.ph")) - (
        figure(plain, "kettle.full.ph") - figure(plain, "kettle.end.ph")
    )
    assert 0.0 < later < 0.4 * fall


def test_malt_extract_in_the_mash_still_buffers_in_the_kettle() -> None:
    pack = attrs.evolve(grain("dried malt extract, pale"), at=Timing(stage="mash"))
    amounts = attrs.evolve(BREW, grist_kg=(5.0, 0.2, 2.0))
    held = [
        float(dict(brewed(ale(grist=(*ale().grist, pack)), HOUSE, own).kept)["lauter.bed"]["kettle"]["~buffer"][0])
        for own in (amounts, attrs.evolve(amounts, grist_kg=(5.0, 0.2, 0.0)))
    ]
    assert held[0] > held[1] + 40.0
