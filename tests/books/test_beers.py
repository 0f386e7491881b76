"""The shelf."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from sqlalchemy import event, insert, text

from gyle.books import schema
from gyle.books.beers import add_beer, beer, by_brewhouse, shelf
from gyle.books.drafts import drop, open_draft, save_draft
from gyle.books.refusals import NotThere
from gyle.books.store import Store
from gyle.books.versions import save_version
from gyle.errors import BadInput


def names(store: Store, **asked: object) -> list[str]:
    return [one.name for one in shelf(store, **asked).beers]  # type: ignore[arg-type]


def test_a_new_beer_has_its_first_version(store: Store) -> None:
    made = add_beer(
        store, text='name = "Tram Depot"', why="first", brewhouse="lantern-street-48", summary={"og": 1.054}
    )
    assert made == beer(store, "tram-depot")
    assert (made.slug, made.name, made.newest) == ("tram-depot", "Tram Depot", 1)
    (line,) = shelf(store).beers
    assert (line.slug, line.name, line.newest, line.has_draft) == ("tram-depot", "Tram Depot", 1, False)
    assert (line.summary, line.brewhouse) == ({"og": 1.054}, "lantern-street-48")
    assert line.saved_at == line.touched_at == made.touched_at
    assert made.touched_at.utcoffset() is not None


def test_a_beer_wants_a_name(store: Store) -> None:
    with pytest.raises(BadInput, match=r'write name = "\.\.\."'):
        add_beer(store, text="volume = 3")
    assert add_beer(store, text="volume = 3", name="Tram").name == "Tram"
    assert add_beer(store, text='name = "Own"', name="Tram").name == "Own"


def test_an_empty_shelf_is_empty(store: Store) -> None:
    assert shelf(store).beers == ()
    assert shelf(store).total == 0


def test_what_was_touched_last_stands_first(store: Store) -> None:
    for name in ("One", "Two", "Three"):
        add_beer(store, text=f'name = "{name}"')
    assert names(store) == ["Three", "Two", "One"]
    save_version(store, "two", text='name = "Two"\n# again', parent=1)
    assert names(store) == ["Two", "Three", "One"]
    open_draft(store, "one", text='name = "One"\n# edited', said="edited")
    assert names(store) == ["One", "Two", "Three"]


def test_the_shelf_shows_the_newest_version_and_whether_a_draft_is_open(store: Store) -> None:
    add_beer(store, text='name = "One"', summary={"og": 1.040})
    save_version(store, "one", text='name = "Eins"', parent=1, summary={"og": 1.050})
    first = open_draft(store, "one")
    second = open_draft(store, "one")
    (line,) = shelf(store).beers
    assert (line.name, line.newest, line.summary, line.has_draft) == ("Eins", 2, {"og": 1.050}, True)
    drop(store, first.id, seen=0)
    assert shelf(store).beers[0].has_draft
    save_draft(store, second.id, seen=0, summary={"og": 1.060})
    (line,) = shelf(store).beers
    assert (line.newest, line.summary, line.has_draft) == (3, {"og": 1.060}, False)


@pytest.mark.parametrize(
    ("search", "found"),
    [
        ("", ["100 % Malt", "Märzen_2", "Copper Beacon"]),
        ("beac", ["Copper Beacon"]),
        ("BEACON", ["Copper Beacon"]),
        ("märz", ["Märzen_2"]),
        ("MAERZ", ["Märzen_2"]),
        ("%", ["100 % Malt"]),
        ("_", ["Märzen_2"]),
        ("  copper   beacon ", ["Copper Beacon"]),
        ("' OR 1=1 --", []),
        ("\\", []),
        ("\0", ["100 % Malt", "Märzen_2", "Copper Beacon"]),
        ("\ud800x", []),
        ("x" * 100_000, []),
    ],
)
def test_a_search_looks_into_the_name(store: Store, search: str, found: list[str]) -> None:
    for name in ("Copper Beacon", "Märzen_2", "100 % Malt"):
        add_beer(store, text=f'name = "{name}"')
    assert names(store, search=search) == found
    assert shelf(store, search=search).total == len(found)


def test_pages_follow_each_other_and_tell_the_total_beyond_the_last(store: Store) -> None:
    for number in range(5):
        add_beer(store, text=f'name = "Beer {number}"')
    assert names(store, count=2) == ["Beer 4", "Beer 3"]
    assert names(store, first=2, count=2) == ["Beer 2", "Beer 1"]
    assert names(store, first=4, count=2) == ["Beer 0"]
    assert shelf(store, first=6, count=2).beers == ()
    assert shelf(store, first=6, count=2).total == 5
    assert shelf(store, first=-5, count=10**30).total == 5
    assert shelf(store, first=10**30, count=0).total == 5


def test_the_shelf_is_one_query_that_sorts_by_an_index(store: Store) -> None:
    with store.writing() as connection:
        now = datetime(2026, 1, 2, 3, 4, 5, tzinfo=UTC)
        connection.execute(
            insert(schema.beers),
            [
                {"slug": f"b-{i}", "name": f"B {i}", "folded": f"b {i}", "newest": 1, "made_at": now, "touched_at": now}
                for i in range(300)
            ],
        )
        ids = connection.scalars(text("SELECT id FROM beers")).all()
        connection.execute(
            insert(schema.versions),
            [
                {"beer_id": one, "number": 1, "parent": None, "text": "x", "made_at": now, "why": "", "summary": {}}
                for one in ids
            ],
        )
    asked: list[tuple[str, object]] = []
    event.listen(store._engine, "before_cursor_execute", lambda *given: asked.append((given[2], given[3])))
    assert len(shelf(store, count=50).beers) == 50
    queries = [(query, given) for query, given in asked if "beers" in query]
    assert len(queries) == 1
    if store.kind == "sqlite":
        with store.reading() as connection:
            query, given = queries[0]
            plan = [row[3] for row in connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {query}", given)]
        assert any("USING INDEX ix_beers_touched_at_id" in line for line in plan), plan


def test_a_beer_that_is_not_there_is_told_by_its_slug(store: Store) -> None:
    with pytest.raises(NotThere, match="there is no beer copper-beacn in the store"):
        beer(store, "copper-beacn")


def test_beers_are_told_apart_by_the_brewhouse_of_their_newest_version(store: Store) -> None:
    for name in ("One", "Two", "Three"):
        add_beer(store, text=f'name = "{name}"', brewhouse="shed")
    add_beer(store, text='name = "Four"')
    save_version(store, "two", text='name = "Two"\n# moved', parent=1, brewhouse="barn")
    found = by_brewhouse(store, "shed", count=5)
    assert [one.name for one in found.here] == ["Three", "One"]  # what was last touched first
    assert [one.slug for one in found.elsewhere] == ["two", "four"]
    assert (found.more, found.named("four"), found.named("five")) == (0, True, False)
    few = by_brewhouse(store, "shed", count=1)
    assert ([one.slug for one in few.here], few.more, len(few.elsewhere)) == (["three"], 1, 1)
    assert by_brewhouse(store, "nowhere", count=5).here == ()
