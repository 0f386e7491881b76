"""Versions are numbered densely, keep their parent and never change."""

from __future__ import annotations

import threading
from collections.abc import Callable

import attrs
import pytest
from sqlalchemy import text

from gyle.books.beers import add_beer, beer, shelf
from gyle.books.papers import add_paper
from gyle.books.refusals import NotThere
from gyle.books.store import Store
from gyle.books.versions import save_version, version, versions
from gyle.errors import BadInput, StoreError


def together(deeds: list[Callable[[], object]]) -> list[BaseException]:
    """Do everything at the same moment; give what went wrong."""
    begin, faults = threading.Barrier(len(deeds)), []

    def doing(deed: Callable[[], object]) -> None:
        begin.wait()
        try:
            deed()
        except BaseException as fault:
            faults.append(fault)

    threads = [threading.Thread(target=doing, args=(deed,)) for deed in deeds]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return faults


def test_a_version_is_kept_whole(store: Store) -> None:
    add_beer(store, text='name = "Tram"')
    made = save_version(
        store, "tram", text='name = "Tram"\n# 2', parent=1, why="less crystal", brewhouse="shed", summary={"og": 1.054}
    )
    assert made == version(store, "tram") == version(store, "tram", 2)
    assert (made.beer, made.number, made.parent, made.why, made.brewhouse) == ("tram", 2, 1, "less crystal", "shed")
    assert (made.text, made.summary) == ('name = "Tram"\n# 2', {"og": 1.054})
    assert made.made_at.tzinfo is not None
    first = version(store, "tram", 1)
    assert (first.parent, first.why, first.brewhouse, first.summary) == (None, "", None, {})
    assert versions(store, "tram") == (made, first)


def test_two_made_from_the_same_version_are_siblings(store: Store) -> None:
    add_beer(store, text='name = "Tram"')
    here = save_version(store, "tram", text='name = "Tram"\n# here', parent=1)
    there = save_version(store, "tram", text='name = "Tram"\n# there', parent=1)
    assert [(one.number, one.parent) for one in (here, there)] == [(2, 1), (3, 1)]
    assert there.parent != here.number  # by which the caller tells


@pytest.mark.parametrize("parent", [2, 0, -1, 10**30])
def test_a_parent_that_is_not_there_is_refused(store: Store, parent: int) -> None:
    add_beer(store, text='name = "Tram"')
    with pytest.raises(NotThere):
        save_version(store, "tram", text="x", parent=parent)
    assert beer(store, "tram").newest == 1


def test_a_name_given_by_a_newer_text_is_the_beers_and_its_slug_stays(store: Store) -> None:
    add_beer(store, text='name = "Tram"')
    save_version(store, "tram", text='name = "Träm Depot"', parent=1)
    save_version(store, "tram", text="volume = 3", parent=2)
    assert (beer(store, "tram").name, beer(store, "tram").slug) == ("Träm Depot", "tram")
    assert shelf(store, search="traem dep").total == 1


def test_a_brewhouse_that_is_no_slug_is_refused(store: Store) -> None:
    add_beer(store, text='name = "Tram"')
    with pytest.raises(BadInput):
        save_version(store, "tram", text="x", parent=1, brewhouse="../x")


@pytest.mark.parametrize("table", ["versions", "revisions"])
@pytest.mark.parametrize(
    "deed",
    ["UPDATE {} SET text = 'other'", "UPDATE {} SET number = number", "DELETE FROM {}", "DELETE FROM {} WHERE id = 1"],
)
def test_the_database_itself_refuses_to_change_or_remove_what_was_saved(store: Store, table: str, deed: str) -> None:
    add_beer(store, text='name = "Tram"')
    add_paper(store, "water", text='name = "Tap"')
    with pytest.raises(StoreError, match="nothing was changed"), store.writing() as connection:
        connection.execute(text(deed.format(table)))
    with store.reading() as connection:
        kept = connection.execute(text(f"SELECT text, number FROM {table}")).all()
    assert kept == [('name = "Tram"' if table == "versions" else 'name = "Tap"', 1)]


def test_a_version_at_hand_cannot_be_changed_either(store: Store) -> None:
    add_beer(store, text='name = "Tram"')
    with pytest.raises(attrs.exceptions.FrozenInstanceError):
        version(store, "tram").text = "other"  # type: ignore[misc]


def test_two_threads_that_save_the_same_beer_both_have_their_version(store: Store) -> None:
    add_beer(store, text='name = "Tram"')

    def saving(name: str) -> Callable[[], object]:
        def deed() -> None:
            for number in range(20):
                save_version(store, "tram", text=f"# {name} {number}", parent=1)

        return deed

    assert together([saving("here"), saving("there")]) == []
    kept = versions(store, "tram")
    assert [one.number for one in kept] == list(range(41, 0, -1))
    assert {one.text for one in kept[:-1]} == {f"# {name} {n}" for name in ("here", "there") for n in range(20)}
    assert beer(store, "tram").newest == 41


def test_eight_threads_lose_nothing(store: Store) -> None:
    def adding(thread: int) -> Callable[[], object]:
        def deed() -> None:
            for number in range(50):
                add_beer(store, text=f'name = "Beer"\n# {thread} {number}')

        return deed

    assert together([adding(thread) for thread in range(8)]) == []
    assert shelf(store).total == 400
    assert {one.slug for page in range(0, 400, 100) for one in shelf(store, first=page, count=100).beers} == {
        "beer", *(f"beer-{number}" for number in range(2, 401))
    }  # fmt: skip
