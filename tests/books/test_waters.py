"""Waters of a store: read, blended of each other, and named by a brewhouse."""

from __future__ import annotations

import pytest

from gyle.books import brewhouses, waters
from gyle.books.lantern_street import load_lantern_street
from gyle.books.store import Store
from gyle.errors import BadInput
from gyle.quantities import speaking

TAP = 'gyle = 1\nname = "Tap"\ncalcium = "60 mg/L"\nalkalinity = "118 ppm as CaCO3"\nph = "7.4"\n'
CUT = 'gyle = 1\nname = "Cut"\n[[blend]]\nof = "{}"\nshare = "50 %"\n[[blend]]\nof = "reverse osmosis"\n'
HOUSE = 'gyle = 1\nname = "Shed"\nkind = "bag in pot"\nwater = "tap"\n'


def test_a_blend_finds_its_parts_among_the_waters_of_the_store(store: Store) -> None:
    load_lantern_street(store)
    paper = waters.water(store, "water-blend")
    mixed = waters.water_read(store, paper.text, name=paper.name, slug=paper.slug)
    assert mixed.calcium_mg_L.centre == pytest.approx(0.4 * 94.4, abs=1.0)


def test_a_brewhouse_draws_the_water_it_names_as_it_stands_now(store: Store) -> None:
    tap = waters.add_water(store, TAP)
    brewhouses.add_brewhouse(store, HOUSE)
    house = brewhouses.resolver(store)("shed")
    assert house is not None
    assert house.water is not None
    assert house.water.calcium_mg_L.centre == pytest.approx(60.0)
    waters.save_water(store, tap.slug, text=TAP.replace("60", "80"), seen=1)
    later = brewhouses.resolver(store)("Shed")
    assert later is not None
    assert later.water is not None
    assert later.water.calcium_mg_L.centre == pytest.approx(80.0)


def test_a_blend_does_not_come_to_hold_itself(store: Store) -> None:
    waters.add_water(store, TAP)
    cut = waters.add_water(store, CUT.format("tap"))
    with pytest.raises(BadInput, match="leads back"):
        waters.water_read(store, CUT.format("cut"), name="Cut", slug=cut.slug)


def test_a_water_that_cannot_be_read_is_told_by_its_name(store: Store) -> None:
    waters.add_water(store, 'name = "Tap"\ncalcium = "lots"\n')
    brewhouses.add_brewhouse(store, HOUSE)
    with pytest.raises(BadInput, match=r"brewhouse Shed: .*Tap.*calcium"):
        brewhouses.resolver(store)("shed")


def test_what_a_report_leaves_open_is_told_in_the_persons_units(store: Store) -> None:
    bare = waters.add_water(store, 'gyle = 1\nname = "Bare"\ncalcium = "60 mg/L"\nsulfate = "40 mg/L"\n')
    told = []
    for system in ("metric", "us", "metric"):
        with speaking(system):
            told.append(" ".join(waters.water_read(store, bare.text, name=bare.name).supposed))
    assert "mEq/L" in told[0]
    assert "mEq/L" not in told[1]  # though it was read just before
    assert told[2] == told[0]


def test_a_recipe_finds_its_brewhouse_by_slug_name_or_file(store: Store) -> None:
    waters.add_water(store, TAP)
    house = brewhouses.add_brewhouse(store, HOUSE)
    for name in ("shed", "Shed", " shed.toml "):
        found = brewhouses.brewhouse_named_in(store, f'name = "X"\nfor_brewhouse = "{name}"\n')
        assert found == house
    for text in ("", 'for_brewhouse = "barn"', "for_brewhouse = 3", "for_brewhouse = [", 'for_brewhouse = "🍺"'):
        assert brewhouses.brewhouse_named_in(store, text) is None
