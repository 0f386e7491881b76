"""Keeping an adaptation: what is kept is what was seen, under any name that can be written."""

from __future__ import annotations

from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import attrs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.beer.reading import recipe_from_text
from gyle.books import beers, drafts, versions
from gyle.books.store import Store
from gyle.web.adapt_keeping import Keeping, as_beer, as_version, keep_view, mark_of
from gyle.web.beer_state import beer_state, recipe_of

from .adapt_cases import adapted, smaller, stuck

HOSTILE = '"><script>document.title="taken"</script>'


def summarise(text: str) -> Mapping[str, Any]:
    return {"letters": len(text)}


def test_a_new_beer_is_the_text_that_was_seen(store: Store) -> None:
    state = beer_state(store, "copper-beacon")
    done = as_beer(store, state, stuck(), name="  Beacon,  in the small  shed ", summarise=summarise)
    assert done == "/beers/beacon-in-the-small-shed?version=1&saved=1"
    kept = versions.version(store, "beacon-in-the-small-shed")
    assert kept.text == stuck().text(name="Beacon, in the small shed")
    assert kept.brewhouse == "lantern-street-28"
    assert kept.why == ("From version 4 of Copper Beacon. Adapted to Lantern Street 28: double mash + wort held back.")
    assert kept.summary == {"letters": len(kept.text)}
    assert beers.beer(store, "copper-beacon").newest == 4


def test_the_same_form_sent_again_leads_to_the_beer_it_made(store: Store) -> None:
    state, before = beer_state(store, "copper-beacon"), beers.shelf(store).total
    first = as_beer(store, state, stuck(), name="Beacon again", summarise=summarise)
    again = as_beer(store, state, stuck(), name=" Beacon  again ", summarise=summarise)
    assert (first, again) == ("/beers/beacon-again?version=1&saved=1", "/beers/beacon-again?version=1")
    assert beers.shelf(store).total == before + 1
    other = as_beer(store, state, smaller(), name="Beacon again", summarise=summarise)
    assert other == "/beers/beacon-again-2?version=1&saved=1"  # another text, and so another beer
    third = as_beer(store, state, smaller(), name="Beacon again", summarise=summarise)
    assert third == "/beers/beacon-again-2?version=1"


def test_the_same_form_sent_at_once_is_kept_once(store: Store) -> None:
    state, before = beer_state(store, "copper-beacon"), beers.shelf(store).total
    stuck()
    with ThreadPoolExecutor(4) as hands:
        done = set(
            hands.map(lambda _: as_beer(store, state, stuck(), name="Beacon twice", summarise=summarise), range(4))
        )
    assert done == {"/beers/beacon-twice?version=1&saved=1", "/beers/beacon-twice?version=1"}
    assert beers.shelf(store).total == before + 1


def test_the_same_version_sent_again_leads_to_the_one_it_made(store: Store) -> None:
    state = beer_state(store, "copper-beacon")
    first = as_version(store, state, stuck(), why="For the  small shed.", summarise=summarise)
    again = as_version(store, state, stuck(), why="For the small shed. ", summarise=summarise)
    assert (first, again) == ("/beers/copper-beacon?version=5&saved=1", "/beers/copper-beacon?version=5")
    assert beers.beer(store, "copper-beacon").newest == 5
    other = as_version(store, state, stuck(), why="For another reason.", summarise=summarise)
    assert other == "/beers/copper-beacon?version=6&saved=1&beside=1"


def test_a_version_is_the_text_that_was_seen(store: Store) -> None:
    state = beer_state(store, "copper-beacon", version="2")
    done = as_version(store, state, stuck(), why="For the small shed.", summarise=summarise)
    assert done == "/beers/copper-beacon?version=5&saved=1&beside=1"  # beside 3 and 4, which it does not come from
    kept = versions.version(store, "copper-beacon")
    assert (kept.number, kept.parent, kept.why, kept.text) == (5, 2, "For the small shed.", stuck().text())


@pytest.mark.parametrize(
    ("name", "said"),
    [
        (" \t ", "needs a name"),
        ("x" * 10_000, "10,000 characters"),
        ("Beacon\x07", "cannot be printed"),
        ("Beacon\u202e", "cannot be printed"),
    ],
)
def test_a_name_that_cannot_be_kept_is_told(store: Store, name: str, said: str) -> None:
    before = beers.shelf(store).total
    done = as_beer(store, beer_state(store, "copper-beacon"), stuck(), name=name, summarise=summarise)
    assert isinstance(done, Keeping)
    assert said in done.faults["name"]
    assert beers.shelf(store).total == before
    shown = keep_view(beer_state(store, "copper-beacon"), stuck(), done)
    assert shown["name"] == name[:500]
    assert shown["why"].startswith("Adapted to Lantern Street 28")


def test_a_reason_that_cannot_be_kept_is_told(store: Store) -> None:
    done = as_version(store, beer_state(store, "copper-beacon"), stuck(), why="y" * 10_000, summarise=summarise)
    assert isinstance(done, Keeping)
    assert "10,000 characters" in done.faults["why"]
    assert beers.beer(store, "copper-beacon").newest == 4


@given(st.text(st.characters(exclude_categories=["C", "Z"]), min_size=1, max_size=120))
def test_any_name_that_can_be_printed_is_read_back(name: str) -> None:
    assert recipe_from_text(smaller().text(name=name), resolve=lambda _: smaller().wish.house).name == name


def test_hostile_names_are_only_names(store: Store) -> None:
    done = as_beer(store, beer_state(store, "copper-beacon"), stuck(), name=HOSTILE, summarise=summarise)
    assert isinstance(done, str)
    slug = done.removeprefix("/beers/").partition("?")[0]
    assert recipe_of(store, versions.version(store, slug).text).name == HOSTILE


def test_the_mark_is_that_of_the_text() -> None:
    other = adapted("copper-beacon", to="lantern-street-28", choose="smaller volume")
    assert mark_of(stuck()) == mark_of(attrs.evolve(stuck()))
    assert mark_of(stuck()) != mark_of(other)


def test_a_draft_stays_open_and_is_named(store: Store) -> None:
    drafts.open_draft(store, "copper-beacon", base=4)
    state = beer_state(store, "copper-beacon")
    done = as_beer(store, state, stuck(), name="Elsewhere", summarise=summarise)
    assert done == "/beers/elsewhere?version=1&saved=1"
    assert versions.version(store, "elsewhere").why.startswith("From a draft after version 4 of Copper Beacon.")
    assert len(drafts.drafts_of(store, "copper-beacon")) == 1


def test_a_water_that_is_not_kept_is_told(store: Store) -> None:
    watered = adapted("quiet-harbour", to="kitchen-bag", volume="6", water="water-soft")
    assert watered.wish.water is not None
    assert keep_view(beer_state(store, "quiet-harbour"), watered, Keeping())["other_water"] == watered.wish.water.name
    assert keep_view(beer_state(store, "quiet-harbour"), smaller(), Keeping())["other_water"] == ""
