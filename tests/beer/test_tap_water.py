"""The water a brewhouse's file names: found beside it, bought, or by whoever reads the text."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from gyle.beer.reading import brewhouse_from_text, read_brewhouse, read_recipe, water_from_text
from gyle.beer.writing import brewhouse_text
from gyle.errors import BadInput

EXAMPLES = Path(__file__).parents[2] / "examples" / "lantern-street"
HOUSE = 'gyle = 1\nname = "Shed"\nkind = "electric all-in-one"\nwater = "water-hard"\n'


def test_a_water_beside_the_brewhouse_is_what_its_tap_gives(tmp_path: Path) -> None:
    shutil.copy(EXAMPLES / "water-hard.toml", tmp_path)
    (tmp_path / "shed.toml").write_text(HOUSE, encoding="utf-8")
    house = read_brewhouse(tmp_path / "shed.toml")
    assert house.water is not None
    assert house.water.calcium_mg_L.centre == pytest.approx(94.4)
    recipe = (EXAMPLES / "copper-beacon.toml").read_text(encoding="utf-8").replace("lantern-street-48", "shed")
    (tmp_path / "beer.toml").write_text(recipe, encoding="utf-8")
    brewed_on = read_recipe(tmp_path / "beer.toml").for_brewhouse
    assert brewed_on is not None
    assert brewed_on.water == house.water


def test_a_water_that_is_bought_needs_no_file() -> None:
    house = brewhouse_from_text(HOUSE.replace("water-hard", "reverse osmosis"))
    assert house.water is not None
    assert house.water.calcium_mg_L.centre < 5.0


def test_a_text_that_knows_no_waters_keeps_the_name_and_writes_it_again() -> None:
    house = brewhouse_from_text(HOUSE)
    assert house.water is None
    assert house.water_name == "water-hard"
    assert brewhouse_from_text(brewhouse_text(house)) == house


def test_chlorine_is_taken_as_gone_before_it_is_used() -> None:
    soft = (EXAMPLES / "water-soft.toml").read_text(encoding="utf-8")
    house = brewhouse_from_text(HOUSE, water_named=lambda _: water_from_text(soft))
    assert house.water is not None
    assert house.water.residual_chlorine_mg_L == 0.0


def test_a_water_that_is_nowhere_is_a_fault_of_the_file(tmp_path: Path) -> None:
    (tmp_path / "shed.toml").write_text(HOUSE, encoding="utf-8")
    with pytest.raises(BadInput, match='there is no water "water-hard"'):
        read_brewhouse(tmp_path / "shed.toml")
    with pytest.raises(BadInput, match="no water"):
        brewhouse_from_text(HOUSE, water_named=lambda _: None)
    with pytest.raises(BadInput, match="no plain name"):
        brewhouse_from_text(HOUSE.replace("water-hard", "../water-hard"), water_named=lambda _: None)


def test_the_parts_of_a_blend_are_found_by_whoever_reads_the_text() -> None:
    text = (EXAMPLES / "water-blend.toml").read_text(encoding="utf-8")
    hard = (EXAMPLES / "water-hard.toml").read_text(encoding="utf-8")
    mixed = water_from_text(text, water_named=lambda name: water_from_text(hard) if "hard" in name else None)
    assert mixed.calcium_mg_L.centre == pytest.approx(0.4 * 94.4, abs=1.0)
    with pytest.raises(BadInput, match="no water"):
        water_from_text(text, water_named=lambda _: None)
