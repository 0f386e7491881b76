"""What is compared, as an address or a person names it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.books import beers, drafts, versions
from gyle.books.beers import Beer
from gyle.books.refusals import NotThere
from gyle.books.store import Store, open_store
from gyle.errors import BadInput
from gyle.web.comparison_sides import choices, draft_words, side_of, side_of_another, usual_sides


@pytest.fixture(scope="module")
def lantern_street_store(lantern_street_file: Path) -> Iterator[Store]:
    """Lantern Street, only looked at."""
    with open_store(f"sqlite:///{lantern_street_file}") as opened:
        yield opened


@pytest.fixture
def beer(store: Store) -> Beer:
    return beers.beer(store, "copper-beacon")


def test_a_version_a_draft_and_another_beer_are_found(store: Store, beer: Beer) -> None:
    made = drafts.open_draft(store, beer.slug, base=2, text="name = 'a draft'", said="all of it")
    assert side_of(store, beer, "3").text == versions.version(store, beer.slug, 3).text
    assert side_of(store, beer, "3").href == "/beers/copper-beacon?version=3"
    draft = side_of(store, beer, f"draft-{made.id}")
    assert draft.text == "name = 'a draft'"
    assert draft.words.startswith("the draft from version ")
    other = side_of(store, beer, "tram-depot:2")
    assert (other.words, other.key) == ("Tram Depot, version 2", "tram-depot:2")
    assert other.text == versions.version(store, "tram-depot", 2).text


def test_a_draft_is_called_by_what_it_came_from_and_what_was_edited_last(store: Store, beer: Beer) -> None:
    bare = drafts.open_draft(store, beer.slug, base=2)
    assert draft_words(bare).startswith("draft from version 2: not edited yet (today, ")
    made = drafts.open_draft(store, beer.slug, base=4, text="name = 'x'", said="Cascade 60 g to 70 g")
    assert draft_words(made).startswith("draft from version 4: Cascade 60 g to 70 g (today, ")
    listed = dict(choices(beer, versions.versions(store, beer.slug), drafts.drafts_of(store, beer.slug)))
    assert listed[f"draft-{made.id}"] == draft_words(made)


@pytest.mark.parametrize(("key", "plain"), [("copper-beacon:3", "3"), ("0003", "3"), ("tram-depot:02", "tram-depot:2")])
def test_a_side_has_one_name(store: Store, beer: Beer, key: str, plain: str) -> None:
    assert side_of(store, beer, key).key == plain


def test_a_draft_of_another_beer_is_not_this_beers(store: Store, beer: Beer) -> None:
    made = drafts.open_draft(store, "tram-depot")
    with pytest.raises(NotThere, match="no longer open"):
        side_of(store, beer, f"draft-{made.id}")
    assert side_of(store, beer, f"tram-depot:draft-{made.id}").words.startswith("Tram Depot, the draft")


@pytest.mark.parametrize(
    "key",
    ["", "0", "99", "-1", "1e3", "NaN", "１", "draft-", "draft-99", "draft-x", ":", "::", "nope:1", "tram-depot:"],
)
def test_what_is_not_there_is_refused_in_one_sentence(store: Store, beer: Beer, key: str) -> None:
    with pytest.raises(NotThere) as refused:
        side_of(store, beer, key)
    assert len(refused.value.faults) == 1


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("Tram Depot", "tram-depot:3"),
        ("tram-depot", "tram-depot:3"),
        ("tram depot : 2", "tram-depot:2"),
        ("  QUIET harbour  ", "quiet-harbour:2"),
        ("ropewalk", "ropewalk:1"),
        ("Copper Beacon", "4"),
        ("copper-beacon:2", "2"),
    ],
)
def test_another_beer_is_named_as_one_likes(store: Store, beer: Beer, typed: str, key: str) -> None:
    assert side_of_another(store, beer, typed) == key


def test_the_whole_name_goes_before_a_part_of_one(store: Store, beer: Beer) -> None:
    for number in range(3):
        beers.add_beer(store, text=f'name = "Tram Depot {number}"')
    assert side_of_another(store, beer, "tram Depot") == "tram-depot:3"
    beers.add_beer(store, text='name = "TRAM DEPOT"')
    assert side_of_another(store, beer, "tram-depot") == "tram-depot:3"
    with pytest.raises(BadInput, match="5 beers have “Tram Depot” in their name"):
        side_of_another(store, beer, "Tram Depot")


@pytest.mark.parametrize("typed", ["zorkmid", ":", "\x00", "%", "_", "x" * 10_000, "<script>alert(1)</script>"])
def test_a_beer_that_is_not_there_is_refused_in_one_sentence(store: Store, beer: Beer, typed: str) -> None:
    with pytest.raises(BadInput, match="there is no beer") as refused:
        side_of_another(store, beer, typed)
    (fault,) = refused.value.faults
    assert fault.isprintable()
    assert len(fault) < 120


@given(typed=st.text(max_size=60))
def test_whatever_is_typed_is_a_side_or_a_sentence(typed: str, lantern_street_store: Store) -> None:
    beer = beers.beer(lantern_street_store, "copper-beacon")
    try:
        said = side_of_another(lantern_street_store, beer, typed)
    except BadInput as error:
        (said,) = error.faults
    else:
        assert side_of(lantern_street_store, beer, said).key == said
    assert said.isprintable()


def test_the_choices_are_all_of_the_beer_and_what_is_chosen_already(store: Store, beer: Beer) -> None:
    made = drafts.open_draft(store, beer.slug)
    found = choices(
        beer,
        versions.versions(store, beer.slug),
        drafts.drafts_of(store, beer.slug),
        side_of(store, beer, "tram-depot:1"),
    )
    keys = [key for key, _ in found]
    assert keys == [f"draft-{made.id}", "4", "3", "2", "1", "tram-depot:1"]
    assert dict(found)["3"].startswith("version 3 – More Golding")
    assert all(len(words) < 90 for _, words in found)


def test_a_draft_is_compared_with_its_base_and_a_version_with_its_parent(store: Store, beer: Beer) -> None:
    family = versions.versions(store, beer.slug)
    assert usual_sides(family, ()) == ("3", "4")
    made = drafts.open_draft(store, beer.slug, base=2)
    assert usual_sides(family, drafts.drafts_of(store, beer.slug)) == ("2", f"draft-{made.id}")
    assert usual_sides(versions.versions(store, "ropewalk"), ()) == ("1", "1")
