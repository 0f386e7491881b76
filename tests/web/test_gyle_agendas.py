"""Plans of planned gyles: brewed once, and again when what they rest on has changed."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import Recipe
from gyle.books import brewhouses, gyles, waters
from gyle.books.gyles import plan_gyle
from gyle.books.store import Store
from gyle.quantities import speaking
from gyle.web import gyle_agendas
from gyle.web.gyle_agendas import Agenda, Agendas, Task
from gyle.web.gyle_plans import gyle_views
from gyle.web.tap_link import name_tap_water

AGENDA = Agenda(day=(Task(words="draw 28 L of water", due_min=0.0, until_min=10.0),), later=(), pitched_min=170.0)


def agendas_of(store: Store, kept: Agendas, system: str = "metric") -> list[Agenda | str]:
    return [kept.of(store, one, system=system) for one in gyles.gyles(store)]


@pytest.fixture
def brewed(monkeypatch: pytest.MonkeyPatch) -> list[Brewhouse]:
    """The brewhouses of the plans that were made."""
    made: list[Brewhouse] = []

    def counting(recipe: Recipe, house: Brewhouse, system: str) -> Agenda:
        made.append(house)
        return AGENDA

    monkeypatch.setattr(gyle_agendas, "_agenda", counting)
    return made


def test_a_fault_of_ours_in_one_gyle_does_not_take_the_others_away(
    store: Store, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def failing(recipe: Recipe, house: Brewhouse, system: str) -> Agenda:
        if recipe.name == "Tram Depot":
            raise ZeroDivisionError
        return AGENDA

    monkeypatch.setattr(gyle_agendas, "_agenda", failing)
    with speaking("metric"):
        found = gyle_views(store, Agendas(), system="metric", now=datetime.now(UTC))
    assert len(found) == 2
    (trouble,) = (view.trouble for view in found if view.trouble)
    assert "a fault of gyle and not of yours (ZeroDivisionError)" in trouble
    assert "could not be planned" in caplog.text  # and it is not hushed up


def test_a_plan_is_brewed_once(store: Store, brewed: list[Brewhouse]) -> None:
    kept = Agendas()
    for _ in range(3):
        agendas_of(store, kept)
    assert len(brewed) == 2
    agendas_of(store, kept, "us")
    assert len(brewed) == 4  # the sentence is another in other units


def test_only_so_many_are_kept(store: Store, brewed: list[Brewhouse]) -> None:
    kept = Agendas(kept=1)
    agendas_of(store, kept)
    agendas_of(store, kept)
    assert len(brewed) == 4


def test_another_report_of_its_tap_water_brews_it_again(store: Store, brewed: list[Brewhouse]) -> None:
    kept = Agendas()
    house = brewhouses.add_brewhouse(store, brewhouses.brewhouse(store, "lantern-street-28").text, name="Other")
    name_tap_water(store, house, "water-soft")
    start = datetime.now(UTC) + timedelta(days=4)
    planned = plan_gyle(store, "tram-depot", version=1, brewhouse=house.slug, planned_start=start, zone="UTC")
    kept.of(store, planned, system="metric")
    first = brewed[-1].water
    assert first is not None  # its tap's own
    hard = waters.water(store, "water-hard")
    waters.save_water(store, "water-hard", text=hard.text + "\n# read again\n", seen=hard.number)
    kept.of(store, planned, system="metric")
    assert len(brewed) == 1  # a paper it does not rest on
    soft = waters.water(store, "water-soft")
    waters.save_water(store, "water-soft", text=hard.text, seen=soft.number)
    kept.of(store, planned, system="metric")
    assert len(brewed) == 2
    assert brewed[-1].water != first


def test_what_could_not_be_brewed_is_tried_again_once_the_books_have_changed(
    store: Store, brewed: list[Brewhouse]
) -> None:
    kept = Agendas()
    text = brewhouses.brewhouse(store, "lantern-street-28").text
    house = brewhouses.add_brewhouse(store, 'water = "lost-water"\n' + text, name="Thirsty")
    start = datetime.now(UTC) + timedelta(days=4)
    planned = plan_gyle(store, "tram-depot", version=1, brewhouse=house.slug, planned_start=start, zone="UTC")
    for _ in range(2):
        refused = kept.of(store, planned, system="metric")
        assert isinstance(refused, str)
        assert "lost-water" in refused
    assert not brewed
    found = waters.add_water(store, waters.water(store, "water-soft").text.replace("Soft water", "Lost water"))
    assert found.slug == "lost-water"
    assert kept.of(store, planned, system="metric") == AGENDA
