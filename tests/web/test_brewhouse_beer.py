"""The beer whose marks are shown: which may be chosen, and what an edit of the brewhouse does to it."""

from __future__ import annotations

import re
from collections.abc import Mapping

import attrs
import pytest

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.estimate import Estimate
from gyle.beer.recipe import Recipe
from gyle.decide.plan import Plan, plan
from gyle.quantities import speaking
from gyle.web.brewhouse_beer import Effect, effect_of, short_of

DRAWS = 512


def brewed(recipe: Recipe, house: Brewhouse) -> Plan:
    return plan(recipe, house, draws=DRAWS)


@pytest.fixture(scope="module")
def house(houses: Mapping[str, Brewhouse]) -> Brewhouse:
    return houses["lantern-street-48"]


@pytest.fixture(scope="module")
def before(cards: Mapping[str, Recipe], house: Brewhouse) -> Plan:
    return brewed(cards["copper-beacon"], house)


def edited(before: Plan, **fields: object) -> Effect:
    after = brewed(before.recipe, attrs.evolve(before.brewhouse, **fields))
    return effect_of(before, after, system="metric")


def more(estimate: Estimate, centre: float) -> Estimate:
    return attrs.evolve(estimate, centre=centre)


def test_more_boil_off_asks_for_a_fuller_kettle(before: Plan, house: Brewhouse) -> None:
    found = edited(before, boil_off_L_h=more(house.boil_off_L_h, 4.5))
    changes = {change.words: change for change in found.changes}
    assert re.match(r"[\w ]*full kettle [\d.]+ L more", found.sentence, re.IGNORECASE)
    was, now = (float(text.split()[0]) for text in changes["water to draw, in all"][1:])
    assert now > was + 0.5
    full = next(change for words, change in changes.items() if words.endswith("full kettle"))
    assert float(full.now.split()[0]) > float(full.was.split()[0]) + 1.0
    assert "(" in full.now  # with its band
    assert "into the fermenter" not in changes  # that is aimed at, and met before and after


def test_a_figure_better_known_narrows_a_band_and_moves_nothing_else(before: Plan, house: Brewhouse) -> None:
    known = {
        field: attrs.evolve(getattr(house, field), spread=0.001, each_time=0.001)
        for field in ("retention_L_kg", "sparge_bypass", "conversion")
    }
    found = edited(before, **known)
    reached = next(change for change in found.changes if change.words == "of the grist's extract in the fermenter")
    was, now = (
        [float(end) for end in text.partition("(")[2].rstrip(")").split(" to ")] for text in (reached.was, reached.now)
    )
    assert now[1] - now[0] < 0.8 * (was[1] - was[0])
    assert found.fit == ()


def test_a_smaller_vessel_is_said_not_to_take_it_and_a_larger_one_to(before: Plan, house: Brewhouse) -> None:
    small = attrs.evolve(house, mash_vessel_L=30.0, kettle_vessel_L=30.0)
    after = brewed(before.recipe, small)
    found = effect_of(before, after, system="metric")
    assert any(line.startswith("No longer fits: the bed and liquor take") for line in found.fit)
    assert effect_of(after, before, system="metric").fit == ("It fits now.",)
    assert short_of(before) == ()
    assert any("28 L is the most here." in line for line in short_of(after))
    with speaking("us"):  # whatever it was planned in
        assert any("7.4 gal is the most here." in line for line in short_of(after))


def test_nothing_edited_does_nothing(before: Plan) -> None:
    found = effect_of(before, before, system="us")
    assert found.changes == ()
    assert found.fit == ()
    assert found.sentence.startswith("Alike")
