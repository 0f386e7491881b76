"""A beer begun from nothing, from a card's text, from a file; and what is refused, with nothing typed lost."""

from __future__ import annotations

import io
import tomllib
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gyle.beer.page import LARGEST_BYTES
from gyle.beer.reading import recipe_from_text
from gyle.books.store import Store, open_store
from gyle.web.new_beer import FAULTS_SHOWN, FIELDS, NewBeer, choices, example_card, from_file, from_plain, from_text

SOUND = {"name": "Ferry Steps", "volume": "21 L", "brewhouse": "", "gravity": ""}
BEERS = ("copper-beacon", "quiet-harbour", "ropewalk", "signal-lamp", "slack-water", "tram-depot")
CARDS = sorted((Path(__file__).parents[2] / "examples" / "lantern-street").glob("*.toml"))


def plain(store: Store, system: str = "metric", **typed: str) -> NewBeer:
    return from_plain(store, {**SOUND, **typed}, system=system)


def test_a_beer_from_nothing_is_a_sound_recipe(store: Store) -> None:
    made = plain(store, brewhouse="lantern-street-28", gravity="12.4 °P")
    assert made.faults == {}
    assert made.brewhouse == "lantern-street-28"
    found = tomllib.loads(made.recipe_text or "")
    assert (found["name"], found["volume"], found["for_brewhouse"]) == ("Ferry Steps", "21 L", "lantern-street-28")
    assert found["aim"]["original_gravity"] == "12.4 °P"
    assert from_text(store, made.recipe_text or "").text_faults == ()


def test_a_bare_number_is_in_the_persons_units(store: Store) -> None:
    assert tomllib.loads(plain(store, volume="5").recipe_text or "")["volume"] == "5 L"
    assert tomllib.loads(plain(store, "us", volume="5").recipe_text or "")["volume"] == "5 gal"


@pytest.mark.parametrize(
    "name",
    [
        "<script>alert(1)</script>", '"; DROP TABLE beers; --', "{{ 7 * 7 }}", "Bière d'été №7", "a\\b\"c'''d",
        "تجربة", "🍺" * 20, "new", "x" * 120,
    ],
)  # fmt: skip
def test_any_name_is_kept_as_it_is(store: Store, name: str) -> None:
    made = plain(store, name=name)
    assert made.faults == {}
    assert tomllib.loads(made.recipe_text or "")["name"] == name


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("name", "", "needs a name"),
        ("name", " \t ", "needs a name"),
        ("name", "x" * 10_000, "The name has 10,000 characters, and at most 120 are kept"),
        ("volume", "", "needs a volume"),
        ("volume", "some", '"some" is not a volume: write a number with L'),
        ("volume", "NaN", '"NaN" is not a volume'),
        ("volume", "1e308 L", '"1e308 L" is not between 0.5 and 5000 L'),
        ("volume", "-3 L", "at least 0 L"),
        ("volume", "20 min", "is a time, not a volume"),
        ("volume", "<script>", '"<script>" is not a volume'),
        ("gravity", "strong", '"strong" is not a gravity'),
        ("gravity", "NaN", "is not a gravity"),
        ("gravity", "9e99", "has no unit"),
        ("brewhouse", "elsewhere", "There is no such brewhouse"),
        ("brewhouse", "../../etc", "There is no such brewhouse"),
        ("malt", "sucrose", "There is no such malt in the list"),
        ("hop", "<script>", "There is no such hop in the list"),
        ("yeast", "x" * 10_000, "There is no such yeast in the list"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(store: Store, field: str, typed: str, said: str) -> None:
    made = plain(store, **{field: typed})
    assert made.recipe_text is None
    assert list(made.faults) == [field]
    assert said in made.faults[field]
    assert made.faults[field].endswith(".")
    assert "line" not in made.faults[field].lower()  # of a text that nobody has seen
    assert made.typed == {**SOUND, field: typed}  # nothing that was typed is lost


def test_every_field_at_fault_is_told_at_once(store: Store) -> None:
    faults = plain(store, name="", volume="", gravity="x", brewhouse="y", malt="z", hop="z", yeast="z").faults
    assert list(faults) == list(FIELDS)  # the first at fault is the first of the form


def test_malt_hop_and_yeast_may_be_chosen(store: Store) -> None:
    offered = choices()
    assert {key: names[0] for key, names in offered.items()} == {
        "malt": "pale ale malt", "hop": "Northern Brewer", "yeast": "clean ale yeast"
    }  # fmt: skip
    assert all(len(set(names)) == len(names) > 5 for names in offered.values())
    for place in range(max(len(names) for names in offered.values())):
        made = plain(store, **{key: names[min(place, len(names) - 1)] for key, names in offered.items()})
        assert made.faults == {}
        found = tomllib.loads(made.recipe_text or "")
        assert found["grist"][0]["what"] in offered["malt"]


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40, deadline=None)
@given(st.text(max_size=60), st.text(max_size=20), st.text(max_size=12))
def test_whatever_is_typed_gives_a_recipe_or_a_sentence(store: Store, name: str, volume: str, gravity: str) -> None:
    made = plain(store, name=name, volume=volume, gravity=gravity)
    assert (made.recipe_text is None) == bool(made.faults)
    if made.recipe_text is not None:
        assert recipe_from_text(made.recipe_text).name


@pytest.mark.parametrize("system", ["metric", "us"])
def test_the_card_that_is_shown_can_be_begun_with(store: Store, system: str) -> None:
    made = from_text(store, example_card(system))
    assert made.text_faults == ()
    assert recipe_from_text(made.recipe_text or "").name == "Ferry Steps"


@pytest.mark.parametrize("system", ["metric", "us"])
def test_the_card_that_is_shown_can_be_brewed(store: Store, system: str) -> None:
    from gyle.web.beer_state import headline_of

    figures = headline_of(store, example_card(system))["figures"]
    assert figures["fermenter.original_gravity"][0] == pytest.approx(1.048, abs=0.002)


def test_a_recipe_finds_the_brewhouse_it_names(store: Store) -> None:
    text = next(card for card in CARDS if card.stem == "tram-depot").read_text(encoding="utf-8")
    made = from_text(store, text.replace("\n", "\r\n"))  # as a browser sends it
    assert made.recipe_text == text
    assert made.brewhouse is not None
    assert text.count(made.brewhouse) >= 1


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "The pasted text is empty."),
        ("Ferry Steps\n20 L, 4 kg pale malt\n", "line 1: a line is a key, an equals sign and a value"),
        ("<script>alert(1)</script>", "line 1: a line is a key"),
        ("gyle = 1\nname = 'Bare'\n", "holds nothing of a recipe"),
        (example_card("metric").replace("20 L", "nan L"), "Line 3: volume"),
        (example_card("metric").replace("20 L", "1e308 L"), "Line 3: volume"),
        (example_card("metric").replace('name = "Ferry Steps"', ""), "has no name of the beer"),
        (example_card("metric") + 'notes = "\\u0000"\n', ""),
        ("x" * (LARGEST_BYTES + 1), "larger than 1 MB"),
        ("\ud800", "half of a character"),
    ],
)
def test_a_text_at_fault_is_shown_again_with_every_fault(store: Store, text: str, said: str) -> None:
    made = from_text(store, text)
    assert made.recipe_text is None
    assert said in " ".join(made.text_faults)
    assert made.text == text


def test_of_very_many_faults_the_first_are_told(store: Store) -> None:
    many = example_card("metric") + "".join(f'[[grist]]\nwhat = "malt"\nmass = "{n} parsecs"\n' for n in range(400))
    made = from_text(store, many)
    assert len(made.text_faults) == FAULTS_SHOWN + 1
    assert made.text_faults[-1].startswith("And 788 more")


@pytest.mark.parametrize("card", CARDS, ids=[card.stem for card in CARDS])
def test_a_file_is_a_recipe_or_says_why_not(store: Store, card: Path) -> None:
    made = from_file(store, io.BytesIO(card.read_bytes()), card.name)
    assert (made.recipe_text is None) == bool(made.text_faults)
    assert (made.recipe_text is None) == (card.stem not in BEERS)


@pytest.mark.parametrize(
    ("held", "called", "said"),
    [
        (None, "", "No file was chosen"),
        (b"", "", "No file was chosen"),
        (b"\xff\xfe\x00x", "photo.jpg", "photo.jpg is no text in UTF-8"),
        (b"#" * (LARGEST_BYTES + 1), "large.toml", "large.toml is larger than 1 MB"),
        (b"", "empty.toml", "Empty.toml is empty."),
        (b"hello", "a\x00\n<b>.toml", "A<b>.toml, line 1"),
    ],
)
def test_a_file_that_cannot_be_read_says_so(store: Store, held: bytes | None, called: str, said: str) -> None:
    made = from_file(store, None if held is None else io.BytesIO(held), called)
    assert made.recipe_text is None
    assert said in made.text_faults[0]


def test_a_file_with_a_byte_order_mark_is_read(store: Store) -> None:
    made = from_file(store, io.BytesIO("\ufeff".encode() + example_card("us").encode()), "card.txt")
    assert made.recipe_text == example_card("us")


def test_it_can_be_begun_without_any_brewhouse(tmp_path: Path) -> None:
    with open_store(f"sqlite:///{tmp_path / 'bare.db'}") as bare:
        assert plain(bare).brewhouse is None
        assert plain(bare).recipe_text is not None
