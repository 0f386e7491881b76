"""Doses on the beer's page: short names, and each a field by its place."""

from __future__ import annotations

import html
import re

from gyle.beer.recipe_inputs import recipe_inputs
from gyle.books.store import Store
from gyle.web.beer_fields import field_views
from gyle.web.beer_rows import rows_of
from gyle.web.beer_state import beer_state
from gyle.web.readings import recipe_of
from gyle.web.rendering import environment
from gyle.web.treatment_doses import dosed_liquors

SALTS = """
[[other]]
what = "calcium sulfate dihydrate"
at = "mash"
mass = "5.5 g"

[[other]]
what = "calcium chloride dihydrate"
at = "mash"
mass = "8.3 g"

[[other]]
what = "lactic acid 80 %"
at = "sparge"
volume = "2 mL"
"""


def dosed_text(store: Store) -> str:
    return beer_state(store, "slack-water").text + SALTS


def test_every_row_at_the_water_is_dosed_into_its_liquor(store: Store) -> None:
    recipe = recipe_of(store, dosed_text(store))
    liquors = dosed_liquors(recipe)
    assert [(one.words, [dose.name for dose in one.doses]) for one in liquors] == [
        ("into the mash liquor", ["gypsum", "calcium chloride"]),
        ("into the sparge liquor", ["lactic acid 80 %"]),
    ]
    assert [dose.place for one in liquors for dose in one.doses] == rows_of(recipe)["water"]


def test_each_dose_is_a_field_by_its_place_under_its_short_name(store: Store) -> None:
    text = dosed_text(store)
    fields = field_views(recipe_inputs(text), system="metric")
    liquors = dosed_liquors(recipe_of(store, text))
    parts = environment().get_template("dose_parts.html").module
    page = html.unescape(str(parts.doses(fields, liquors)))  # type: ignore[attr-defined]
    places = [dose.place for one in liquors for dose in one.doses]
    shown = dict(re.findall(r'<label for="in-[^"]+">([^<]+)</label>.*?value="([^"]*)"', page, re.DOTALL))
    assert shown == {"gypsum": "5.5 g", "calcium chloride": "8.3 g", "lactic acid 80 %": "2 mL"}
    for place in places:
        for part in ("what", "at", "amount"):
            assert page.count(f'name="{place}.{part}"') == 1
        assert f'value="remove {place}"' in page
    assert 'value="calcium sulfate dihydrate"' in page  # the recipe's own words
    assert "<details" in page
    assert " open" not in page


def test_a_fault_folded_away_is_unfolded(store: Store) -> None:
    text = dosed_text(store)
    liquors = dosed_liquors(recipe_of(store, text))
    place = f"{liquors[0].doses[0].place}.what"
    fields = field_views(recipe_inputs(text), system="metric", faults={place: "No such salt."}, typed={place: "dust"})
    page = str(environment().get_template("dose_parts.html").module.doses(fields, liquors))  # type: ignore[attr-defined]
    assert "No such salt." in page
    assert page.count(" open>") == 1
