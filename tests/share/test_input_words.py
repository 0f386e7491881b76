"""Inputs in words."""

from __future__ import annotations

from pathlib import Path

from gyle.beer.reading import read_recipe
from gyle.line.beliefs import beliefs
from gyle.share.input_words import input_words

BEER = Path(__file__).parents[2] / "examples" / "lantern-street" / "copper-beacon.toml"


def test_every_input_has_words_of_its_own() -> None:
    recipe = read_recipe(BEER)
    assert recipe.for_brewhouse is not None
    for name in beliefs(recipe, recipe.for_brewhouse):
        words = input_words(name)
        assert "_" not in words
        assert words != name.replace("_", " ").replace(".", ", "), name
