"""A recipe to begin with: small and sound, or pasted as it is."""

from __future__ import annotations

from pathlib import Path

import pytest

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.new_recipe import blank_recipe, recipe_from_paste
from gyle.beer.reading import read_brewhouse, recipe_from_text
from gyle.beer.recipe_edits import Set, edited
from gyle.beer.recipe_inputs import recipe_inputs
from gyle.errors import BadInput

EXAMPLES = Path(__file__).parents[2] / "examples" / "lantern-street"
HOUSE = read_brewhouse(EXAMPLES / "lantern-street-48.toml")


def house(_: str) -> Brewhouse:
    return HOUSE


def test_a_new_beer_reads_and_leaves_its_hop_open() -> None:
    recipe = recipe_from_text(blank_recipe("Night Ferry", "21"))
    assert (recipe.name, recipe.volume_L, recipe.into) == ("Night Ferry", 21.0, "fermenter")
    assert recipe.grist[0].share == 1.0
    assert recipe.hops[0].mass_kg is None
    assert recipe.aim("glass.bitterness_tinseth") is not None
    us = recipe_from_text(blank_recipe("Night Ferry", "5.5", system="us", into="keg"))
    assert us.volume_L == pytest.approx(5.5 * 3.785411784)
    assert us.into == "keg"
    assert "°F" in blank_recipe("x", "5.5 gal", system="us")


def test_a_new_beer_can_be_shaped() -> None:
    text = blank_recipe("Night Ferry", "21 L")
    for one in recipe_inputs(text):
        assert edited(text, Set(one.place, one.text)) is None
    done = edited(text, Set("hops.0.amount", "30 g"))
    assert done is not None
    assert done.recipe.hops[0].mass_kg == 0.03


@pytest.mark.parametrize(
    ("yeast", "system", "temperature"),
    [
        ("clean ale yeast", "metric", "19 °C"), ("clean ale yeast", "us", "66 °F"), ("lager yeast", "metric", "10 °C"),
        ("lager yeast", "us", "50 °F"), ("warm farmhouse ale yeast", "metric", "30 °C"),
    ],
)  # fmt: skip
def test_a_new_beer_ferments_where_its_yeast_does(yeast: str, system: str, temperature: str) -> None:
    text = blank_recipe("x", "21", system=system, yeast=yeast, malt="pilsner malt", hop="Saaz")
    assert f'temperature = "{temperature}"' in text
    recipe = recipe_from_text(text)
    assert (recipe.grist[0].what, recipe.hops[0].what) == ("pilsner malt", "Saaz")


@pytest.mark.parametrize(
    ("name", "volume", "says"),
    [
        ("", "21 L", "needs a name"),
        ("x" * 201, "21 L", "longer than 200"),
        ("x", "", "volume"),
        ("x", "21 kg", "not a volume"),
        ("x", "nan", "not a volume"),
        ("x", '21 L"\n[x]', "not a volume"),
        ("x", "1e308", "not between"),
        ("x\x00", "21 L", "cannot be printed"),
    ],
)
def test_what_is_no_name_or_volume_is_refused(name: str, volume: str, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        blank_recipe(name, volume)


def test_hostile_names_are_kept_as_text() -> None:
    for name in ("<script>", 'a" = "b', "\\", "🍺"):
        assert recipe_from_text(blank_recipe(name, "21 L")).name == name


def test_a_pasted_recipe_is_taken_as_it_is() -> None:
    text = (EXAMPLES / "copper-beacon.toml").read_text(encoding="utf-8")
    assert recipe_from_paste(text, resolve=house) == text
    assert recipe_from_paste("\ufeff" + text.strip().replace("\n", "\r\n"), resolve=house) == text


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "empty"),
        ("Pale ale malt, 5 kg\nMagnum 20 g", "line 1"),
        ('kind = "bag in pot"\n[kettle]\nvessel = "15 L"\n', "is a brewhouse"),
        ('name = "x"\n[[grist]]\nwhat = "pail ale malt"\nmass = "4 kg"\n', "perhaps pale ale malt"),
        ("a = 1\n" * 3, "second time"),
        ("x\x00", "line 1"),
        ("\ud800", "half of a character"),
        ('notes = "' + "x" * 1_000_001 + '"', "1 MB"),
        ("[" * 5000, "line 1|too deep"),
    ],
)
def test_a_pasted_text_that_is_none_is_refused_in_the_readers_words(text: str, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        recipe_from_paste(text)
