"""Habits of writing are brought to the text form's words; what could mean two things is left alone."""

from __future__ import annotations

import pytest

from gyle.beer.recipe_edits import Set, edited
from gyle.beer.timing_text import FORMS, read_at
from gyle.beer.trade_words import in_our_words
from gyle.books.examples import examples

RECIPE = (examples() / "copper-beacon.toml").read_text(encoding="utf-8").replace("for_brewhouse", "# for_brewhouse")


@pytest.mark.parametrize(
    ("typed", "ours"),
    [
        ("FWH", "first wort"),
        ("first wort hops", "first wort"),
        ("flameout", "boil 0 min"),
        ("Flame-out", "boil 0 min"),
        ("end of the boil", "boil 0 min"),
        ("whirlpool 80 °C 20 min", "stand 80 °C 20 min"),
        ("hop stand 176 F for 20 min", "stand 176 F for 20 min"),
        ("dry hop day 3 4 days", "dry day 3 4 days"),
        ("60 min boil", "boil 60 min"),
        ("15 minutes boil", "boil 15 minutes"),
    ],
)
def test_a_timing_is_read_as_a_brewer_says_it(typed: str, ours: str) -> None:
    assert in_our_words(typed, "at") == ours
    assert read_at(ours)
    now = edited(RECIPE, Set("hops.1.at", typed))
    assert now is not None
    assert read_at(ours) == now.recipe.hops[1].at


@pytest.mark.parametrize("form", FORMS)
def test_the_text_forms_own_words_stay(form: str) -> None:
    assert in_our_words(form, "at") == form


@pytest.mark.parametrize(
    ("typed", "kind", "ours"),
    [
        ("1:15", "time", "1 h 15 min"),
        ("1h15", "time", "1 h 15 min"),
        ("1 h 05", "time", "1 h 5 min"),
        ("1102", "gravity", "1.102"),
        ("1000", "gravity", "1.000"),
        ("75 min", "time", "75 min"),
        ("54", "gravity", "54"),  # points or degrees: asked, not guessed
        ("1300", "gravity", "1300"),
        ("1102", "mass", "1102"),
        ("whirlpool", "at", "whirlpool"),
        ("dry", "at", "dry"),
        ("60 min", "at", "60 min"),  # of the boil or of the stand: the row says
        ("<script>", "at", "<script>"),
        ("", "at", ""),
    ],
)
def test_what_is_sure_is_brought_over_and_the_rest_is_left(typed: str, kind: str, ours: str) -> None:
    assert in_our_words(typed, kind) == ours
