"""The invented brewery in a store."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from gyle.beer.reading import read_recipe, recipe_from_text
from gyle.books.beers import add_beer, shelf
from gyle.books.brewhouses import brewhouses, resolver, save_brewhouse
from gyle.books.examples import examples
from gyle.books.gyles import gyles
from gyle.books.lantern_street import load_lantern_street
from gyle.books.stock import stock
from gyle.books.store import Store, open_store
from gyle.books.versions import versions
from gyle.books.waters import waters
from gyle.decide.origin import origin_of, with_habit
from gyle.decide.plan import plan
from gyle.errors import GyleError
from gyle.web import demo

NOW = datetime(2026, 11, 25, 16, 28, tzinfo=UTC)
BEERS = ("copper-beacon", "quiet-harbour", "ropewalk", "signal-lamp", "slack-water", "tram-depot")


def everything(store: Store) -> object:
    return (
        shelf(store), tuple(versions(store, slug) for slug in BEERS), gyles(store), brewhouses(store), waters(store),
        stock(store),
    )  # fmt: skip


def test_every_card_that_can_be_brewed_is_a_beer_and_ends_as_its_file(store: Store) -> None:
    assert load_lantern_street(store, now=NOW) == BEERS
    assert {one.slug for one in shelf(store).beers} == set(BEERS)
    for slug in BEERS:
        assert versions(store, slug)[0].text == (examples() / f"{slug}.toml").read_text(encoding="utf-8")
    assert {one.slug for one in brewhouses(store)} == {"lantern-street-48", "lantern-street-28", "kitchen-bag"}
    assert {one.slug for one in waters(store)} == {"water-hard", "water-soft", "water-hoppy", "water-blend"}
    found = stock(store)
    assert found is not None
    assert "Northern Brewer" in found.text


def test_three_beers_have_a_past_whose_every_version_is_a_recipe_of_its_own(store: Store) -> None:
    load_lantern_street(store, now=NOW)
    for slug, count in (("copper-beacon", 4), ("tram-depot", 3), ("quiet-harbour", 2)):
        chain = versions(store, slug)[::-1]
        assert [one.number for one in chain] == list(range(1, count + 1))
        assert [one.parent for one in chain] == [None, *range(1, count)]
        assert all(one.why for one in chain)
        assert [one.made_at for one in chain] == sorted(one.made_at for one in chain)
        assert chain[-1].made_at < NOW
        recipes = [recipe_from_text(one.text, resolve=resolver(store)) for one in chain]
        assert all(recipes[i] != recipes[i + 1] for i in range(count - 1))
        assert len({one.name for one in recipes}) == 1


def test_two_gyles_are_planned_from_now_on(store: Store) -> None:
    load_lantern_street(store, now=NOW, zone="America/Lima")
    planned = gyles(store, since=NOW)
    assert [(one.beer, one.version, one.brewhouse) for one in planned] == [
        ("copper-beacon", 4, "lantern-street-48"),
        ("tram-depot", 3, "lantern-street-28"),
    ]
    assert [one.local_start.replace(tzinfo=None) for one in planned] == [
        datetime(2026, 11, 27, 9), datetime(2026, 12, 4, 10),
    ]  # fmt: skip


def test_loading_twice_changes_nothing(store: Store) -> None:
    load_lantern_street(store, now=NOW)
    before = everything(store)
    assert load_lantern_street(store, now=NOW + timedelta(days=3)) == ()
    assert everything(store) == before


def test_what_the_brewer_changed_or_had_is_left_alone(store: Store) -> None:
    own = add_beer(store, text='name = "Tram Depot"\n# my own')
    load_lantern_street(store, now=NOW)
    save_brewhouse(store, "kitchen-bag", text='name = "Kitchen bag"\n# my own', seen=1)
    load_lantern_street(store, now=NOW)
    assert [one.text for one in versions(store, own.slug)] == ['name = "Tram Depot"\n# my own']
    assert [one.beer for one in gyles(store)] == ["copper-beacon"]
    assert [one.number for one in brewhouses(store)] == [2, 1, 1]


def test_headline_figures_are_the_callers_and_brewhouses_are_there_by_then(store: Store) -> None:
    asked: list[str | None] = []

    def summarise(text: str, house: str | None) -> Mapping[str, object]:
        asked.append(house)
        recipe = recipe_from_text(text, resolve=resolver(store))
        return {"name": recipe.name, "stated": recipe.for_brewhouse is not None}

    load_lantern_street(store, now=NOW, summarise=summarise)
    assert all(one.summary["name"] == one.name for one in shelf(store).beers)
    assert all(one.summary["stated"] == (one.brewhouse is not None) for one in shelf(store).beers)
    assert len(asked) == 12
    load_lantern_street(store, now=NOW, summarise=summarise)
    assert len(asked) == 12


def test_the_figures_on_the_shelf_are_those_of_a_plan_and_loading_twice_adds_nothing(tmp_path: Path) -> None:
    """Each beer's file is brewed here by itself, as on the command line."""
    with open_store(f"sqlite:///{tmp_path / 'gyle.db'}") as store:
        assert demo.load(store) == BEERS
        before = everything(store)
        assert demo.load(store) == ()
        assert everything(store) == before
        for one in shelf(store).beers:
            beer = read_recipe(examples() / f"{one.slug}.toml")
            house, _ = origin_of(beer)
            found = plan(beer, with_habit(house)).figures
            shown = one.summary["figures"]
            assert {"fermenter.original_gravity", "fermenter.alcohol", "glass.bitterness", "glass.colour"} <= set(shown)
            for name, figures in shown.items():
                band = found[name]
                assert figures == pytest.approx([band.mean, band.low, band.high], rel=1e-9)
        # An older version's are its own: the first Copper Beacon was made without sugar, and weaker.
        first, *_, last = versions(store, "copper-beacon")[::-1]
        weaker, stronger = (one.summary["figures"]["fermenter.alcohol"][0] for one in (first, last))
        assert weaker < 10 < stronger


def test_a_loading_that_fails_half_way_is_made_good_by_the_next(store: Store) -> None:
    def fails(text: str, house: str | None) -> Mapping[str, object]:
        raise GyleError("no figures today")

    with pytest.raises(GyleError, match="no figures today"):
        load_lantern_street(store, now=NOW, summarise=fails)
    assert shelf(store).total == 0
    assert load_lantern_street(store, now=NOW) == BEERS
    assert len(gyles(store)) == 2
