"""What a brewer knows instead of single losses, hops that aged in the store, and colour that is kept."""

from __future__ import annotations

import datetime
from pathlib import Path

import attrs
import pytest

from gyle.beer.brewhouse import Habit
from gyle.beer.estimate import Estimate
from gyle.beer.reading import read_brewhouse, read_recipe
from gyle.beer.stock import Lot, Stock
from gyle.decide.adapt import adapt
from gyle.decide.lots import aged, with_lots
from gyle.decide.origin import with_habit
from gyle.decide.plan import plan

EXAMPLES = Path(__file__).parents[2] / "examples" / "lantern-street"


def _house(name: str):
    return read_brewhouse(EXAMPLES / f"{name}.toml")


@pytest.mark.parametrize("stated", [0.68, 0.74, 0.80])
def test_a_stated_habit_gives_its_efficiency_to_a_plain_beer(stated: float) -> None:
    house = _house("lantern-street-48")
    habitual = attrs.evolve(house, habit=Habit(brewhouse_efficiency=stated, gravity_sg=1.050, volume_L=20.0))
    recipe = read_recipe(EXAMPLES / "ropewalk.toml")
    before = plan(recipe, house).figures["line.brewhouse_efficiency"].mean
    after = plan(recipe, with_habit(habitual)).figures["line.brewhouse_efficiency"].mean
    # Ropewalk is near the habit's gravity and volume, so its efficiency must come near the stated one.
    assert abs(after - 100.0 * stated) < 4.0
    assert (after > before) == (100.0 * stated > before) or abs(after - before) < 2.0


def test_a_habit_no_brewhouse_has_is_said() -> None:
    house = attrs.evolve(
        _house("lantern-street-48"), habit=Habit(brewhouse_efficiency=0.99, gravity_sg=1.050, volume_L=20.0)
    )
    assert any("99 %" in note for note in with_habit(house).notes)


def test_a_habit_narrows_the_band() -> None:
    house = _house("lantern-street-48")
    habitual = attrs.evolve(house, habit=Habit(brewhouse_efficiency=0.74, gravity_sg=1.050, volume_L=20.0))
    recipe = read_recipe(EXAMPLES / "ropewalk.toml")
    wide = plan(recipe, house).figures["fermenter.original_gravity"]
    narrow = plan(recipe, with_habit(habitual)).figures["fermenter.original_gravity"]
    assert narrow.high - narrow.low < wide.high - wide.low


def _lot(days: int, today: datetime.date) -> Lot:
    return Lot(
        what="Cascade",
        alpha_fraction=Estimate(centre=0.07, spread=0.003, low=0.001, high=0.3),
        analysed=today - datetime.timedelta(days=days),
    )


@pytest.mark.source(
    "Garetz 1994, BrewingTechniques 2(1): loss rate halves for 15 K; sealed halves it again", provenance="memory"
)
def test_alpha_falls_with_time_in_the_store() -> None:
    today = datetime.date(2026, 11, 25)
    fresh, since = aged(_lot(0, today), 50.0, today)
    assert fresh.centre == 0.07
    assert since == ""
    half, _ = aged(_lot(180, today), 50.0, today)
    year, since = aged(_lot(365, today), 50.0, today)
    assert 0.07 > half.centre > year.centre > 0.035
    assert year.spread > half.spread > fresh.spread
    assert "365 days" in since


def test_older_hops_are_weighed_out_heavier() -> None:
    today = datetime.date(2026, 11, 25)
    recipe = read_recipe(EXAMPLES / "signal-lamp.toml")
    old, changes, _ = with_lots(recipe, Stock(lots=(_lot(300, today),)), today=today)
    new, _, _ = with_lots(recipe, Stock(lots=(_lot(0, today),)), today=today)
    place = next(i for i, line in enumerate(recipe.hops) if line.what == "Cascade")
    assert old.hops[place].alpha_fraction.centre < new.hops[place].alpha_fraction.centre
    assert any("300 days after its analysis" in change.why for change in changes)


def test_colour_is_kept_by_the_share_of_the_coloured_malts() -> None:
    recipe = read_recipe(EXAMPLES / "ropewalk.toml")
    found = adapt(recipe, _house("lantern-street-28"))
    there = found.origin.figures["glass.colour"].mean
    assert found.unrounded.figures["glass.colour"].mean == pytest.approx(there, rel=0.003)
    assert any("chocolate malt" in change.what and "share" in change.before for change in found.changes)
