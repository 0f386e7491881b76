"""Brewhouses, waters and the stock: revisions, and a change that comes too late."""

from __future__ import annotations

from pathlib import Path

import pytest

from gyle.beer.reading import brewhouse_from_text, recipe_from_text
from gyle.books.brewhouses import (
    add_brewhouse,
    brewhouse,
    brewhouse_revisions,
    brewhouses,
    resolver,
    save_brewhouse,
)
from gyle.books.refusals import MovedOn, NotThere
from gyle.books.stock import save_stock, stock, stock_revisions
from gyle.books.store import Store
from gyle.books.waters import add_water, save_water, water, water_revisions, waters
from gyle.errors import BadInput

EXAMPLES = Path(__file__).parents[2] / "examples" / "lantern-street"
SMALL = (EXAMPLES / "lantern-street-28.toml").read_text(encoding="utf-8")
CARD = 'gyle = 1\nname = "Tram"\nfor_brewhouse = "{}"\n[[grist]]\nwhat = "pale ale malt"\nmass = "4 kg"\n'


def test_a_paper_is_kept_with_its_revisions(store: Store) -> None:
    first = add_water(store, 'name = "Tap"\ncalcium = 20')
    assert (first.kind, first.slug, first.name, first.number, first.parent, first.newest) == (
        "water", "tap", "Tap", 1, None, 1,
    )  # fmt: skip
    second = save_water(store, "tap", text='name = "Tap in May"\ncalcium = 22', seen=1)
    assert (second.slug, second.name, second.number, second.parent, second.newest) == ("tap", "Tap in May", 2, 1, 2)
    assert water(store, "tap") == second
    old = water(store, "tap", number=1)
    assert (old.text, old.name, old.newest) == (first.text, "Tap", 2)
    assert water_revisions(store, "tap") == (second, old)
    assert waters(store) == (second,)


def test_kinds_do_not_get_into_each_others_way(store: Store) -> None:
    add_water(store, 'name = "Shed"')
    house = add_brewhouse(store, 'name = "Shed"')
    assert house.slug == "shed"
    assert add_brewhouse(store, "kind = 3", name="SHED").slug == "shed-2"
    assert [one.name for one in brewhouses(store)] == ["Shed", "SHED"]
    assert len(waters(store)) == 1


def test_papers_stand_by_name_on_both_databases(store: Store) -> None:
    for name in ("b", "A", "c", "B a"):
        add_water(store, f'name = "{name}"')
    assert [one.name for one in waters(store)] == ["A", "b", "B a", "c"]


def test_a_change_to_what_has_moved_on_is_refused_and_both_are_at_hand(store: Store) -> None:
    add_brewhouse(store, 'name = "Shed"')
    here = save_brewhouse(store, "shed", text='name = "Shed"\n# here', seen=1)
    with pytest.raises(MovedOn, match="you saw revision 1, and it is at 2; nothing was changed") as caught:
        save_brewhouse(store, "shed", text='name = "Shed"\n# there', seen=1)
    assert (caught.value.newest, caught.value.mine) == (here, 'name = "Shed"\n# there')
    assert len(brewhouse_revisions(store, "shed")) == 2
    assert save_brewhouse(store, "shed", text=caught.value.mine or "", seen=here.number).number == 3


def test_the_same_text_again_is_no_revision(store: Store) -> None:
    first = add_brewhouse(store, 'name = "Shed"')
    second = save_brewhouse(store, "shed", text="# 2", seen=1)
    assert save_brewhouse(store, "shed", text="# 2", seen=1) == second  # sent twice
    assert second.name == first.name


def test_a_paper_wants_a_name_and_a_text_that_can_be_kept(store: Store) -> None:
    with pytest.raises(BadInput, match="the water has no name"):
        add_water(store, "calcium = 3")
    with pytest.raises(BadInput, match="the brewhouse is empty"):
        add_brewhouse(store, " ", name="Shed")
    add_brewhouse(store, "# 1", name="Shed")
    with pytest.raises(BadInput, match=r"U\+0000"):
        save_brewhouse(store, "shed", text="\0", seen=1)
    assert brewhouse(store, "shed").number == 1


@pytest.mark.parametrize(("slug", "number"), [("shed", None), ("Shed", None), ("", None), ("tap", 2), ("tap", 10**40)])
def test_what_is_not_there_is_told(store: Store, slug: str, number: int | None) -> None:
    add_water(store, 'name = "Tap"')
    with pytest.raises(NotThere):
        water(store, slug, number=number)
    with pytest.raises(NotThere):
        brewhouse(store, "tap")
    with pytest.raises(NotThere):
        save_brewhouse(store, "tap", text="x", seen=1)
    with pytest.raises(NotThere):
        water_revisions(store, "spring")


def test_the_stock_is_one_text(store: Store) -> None:
    assert stock(store) is None
    assert stock_revisions(store) == ()
    with pytest.raises(NotThere):
        stock(store, number=1)
    first = save_stock(store, text="[[have]]", seen=None)
    assert stock(store) == first
    assert save_stock(store, text="[[have]]", seen=None) == first  # sent twice
    with pytest.raises(MovedOn, match="written down elsewhere") as caught:
        save_stock(store, text="# other", seen=None)
    assert caught.value.newest == first
    second = save_stock(store, text="# other", seen=1)
    assert (second.number, second.name) == (2, "Stock")
    with pytest.raises(MovedOn):
        save_stock(store, text="# third", seen=1)
    assert [one.number for one in stock_revisions(store)] == [2, 1]


@pytest.mark.parametrize("name", ["lantern-street-28", "Lantern Street 28", "lantern-street-28.toml"])
def test_a_recipe_finds_its_brewhouse_in_the_store(store: Store, name: str) -> None:
    add_brewhouse(store, SMALL)
    found = recipe_from_text(CARD.format(name), resolve=resolver(store)).for_brewhouse
    assert found == brewhouse_from_text(SMALL, name="Lantern Street 28")


def test_a_recipe_finds_the_newest_revision(store: Store) -> None:
    add_brewhouse(store, SMALL)
    save_brewhouse(store, "lantern-street-28", text=SMALL.replace("2.0 kW", "2.2 kW"), seen=1)
    found = resolver(store)("lantern-street-28")
    assert found == brewhouse_from_text(SMALL.replace("2.0 kW", "2.2 kW"))


@pytest.mark.parametrize("name", ["no-such", "啤酒", "'; DROP TABLE papers; --", "x" * 119])
def test_a_brewhouse_that_is_not_in_the_store_is_a_fault_of_the_recipe(store: Store, name: str) -> None:
    add_brewhouse(store, SMALL)
    assert resolver(store)(name) is None
    with pytest.raises(BadInput, match="there is no brewhouse"):
        recipe_from_text(CARD.format(name), resolve=resolver(store))


def test_a_brewhouse_that_cannot_be_read_says_which_it_is(store: Store) -> None:
    add_brewhouse(store, SMALL.replace("2.0 kW", "two horses"))
    with pytest.raises(BadInput, match=r"brewhouse Lantern Street 28: .*two horses"):
        recipe_from_text(CARD.format("lantern-street-28"), resolve=resolver(store))
