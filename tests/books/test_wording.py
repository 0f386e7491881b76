"""Words that go in, words that are refused, and slugs."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.books.beers import add_beer, beer, shelf
from gyle.books.refusals import NotThere
from gyle.books.slugs import SLUG_LENGTH, checked_number, checked_slug, slug_of
from gyle.books.store import Store
from gyle.books.versions import version
from gyle.books.wording import checked_line, checked_summary, checked_text, folded, name_in, said_line
from gyle.errors import BadInput


@pytest.mark.parametrize(
    ("name", "slug"),
    [
        ("Copper Beacon", "copper-beacon"),
        ("  Märzen, Nr. 3!  ", "maerzen-nr-3"),
        ("Weiße Brücke", "weisse-bruecke"),
        ("Ölands Sommarøl", "oelands-sommaroel"),
        ("Café Noir", "cafe-noir"),
        ("brewer's best", "brewers-best"),
        ("啤酒", "beer"),
        ("🍺", "beer"),
        ("", "beer"),
        ("---", "beer"),
        ("<script>alert(1)</script>", "script-alert-1-script"),
        ("../../etc/passwd", "etc-passwd"),
        ("a" * 500, "a" * 60),
    ],
)
def test_a_name_has_a_plain_slug(name: str, slug: str) -> None:
    assert slug_of(name) == slug


@given(st.text())
def test_every_name_has_a_slug_that_an_address_can_hold(name: str) -> None:
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", slug_of(name))
    assert checked_slug(slug_of(name), "beer") == slug_of(name)


@given(st.text(alphabet="ABCÄÖÜßÉéÅå ç"))
def test_case_and_marks_do_not_matter_to_a_search(name: str) -> None:
    assert folded(name.upper()) == folded(name.lower()) == folded(folded(name))


def test_slugs_are_numbered_when_taken_and_never_a_word_of_an_address(store: Store) -> None:
    made = [add_beer(store, text=f'name = "{name}"').slug for name in ("Tram", "tram", "TRÁM", "New", "Tram 2", "啤")]
    assert made == ["tram", "tram-2", "tram-3", "new-2", "tram-2-2", "beer"]


@pytest.mark.parametrize("slug", ["", "A", "a--b", "-a", "a/b", "a\0", "\ud800", "ä", "a" * (SLUG_LENGTH + 1), "a b"])
def test_what_is_no_slug_is_not_there(store: Store, slug: str) -> None:
    with pytest.raises(NotThere):
        beer(store, slug)


@pytest.mark.parametrize("number", [0, -1, 2**31, 10**40])
def test_what_is_no_number_of_a_version_is_not_there(store: Store, number: int) -> None:
    add_beer(store, text='name = "Tram"')
    with pytest.raises(NotThere):
        version(store, "tram", number)
    with pytest.raises(NotThere):
        checked_number(number, "draft")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "is empty"),
        (" \n\t", "is empty"),
        ("name\n= \0", r"U\+0000 in line 2"),
        ("a\x1b[31m", r"U\+001B"),
        ("a\x85", r"U\+0085"),
        ("\ud800", r"U\+D800"),
        ("x" * 1_000_001, "1,000,001 bytes, and at most 1 MB"),
        ("ä" * 500_001, "1,000,002 bytes, and at most 1 MB"),
    ],
)
def test_a_text_the_store_cannot_keep_is_refused_in_one_sentence(store: Store, text: str, says: str) -> None:
    with pytest.raises(BadInput, match=says) as caught:
        add_beer(store, text=text, name="Tram")
    assert "nothing was changed" in str(caught.value)
    assert len(caught.value.faults) == 1
    assert shelf(store).total == 0


@given(st.text(alphabet=st.characters(exclude_categories=["Cs", "Cc"]), min_size=1).filter(str.strip))
def test_any_other_text_is_kept_as_it_is(text: str) -> None:
    assert checked_text(text, "the recipe") == text


def test_a_text_comes_back_sign_for_sign(store: Store) -> None:
    text = '# ½ oz, "quoted", \\, \u202e, 😀\r\nname = "<script>alert(1)</script>"\t\n\n' + "#" * 10_000
    add_beer(store, text=text)
    assert version(store, "script-alert-1-script").text == text
    assert shelf(store).beers[0].name == "<script>alert(1)</script>"


def test_a_long_name_is_cut_and_the_text_keeps_it_whole(store: Store) -> None:
    text = f'name = "{"ß" * 10_000}"'
    made = add_beer(store, text=text)
    assert made.name == "ß" * 120
    assert version(store, made.slug).text == text


def test_signs_that_fold_to_many_letters_still_fit(store: Store) -> None:
    assert add_beer(store, text=f'name = "{"ﷺ" * 200}"').name == "ﷺ" * 120
    assert shelf(store, search="ﷺ").total == 1


def test_a_line_of_the_brewers_is_refused_rather_than_cut() -> None:
    assert checked_line("  less\ncrystal malt ", "the line") == "less crystal malt"
    with pytest.raises(BadInput, match="10,000 characters, and at most 400"):
        checked_line("x" * 10_000, "the line")
    with pytest.raises(BadInput, match=r"U\+0007"):
        checked_line("\a", "the line")


@given(st.text())
def test_a_line_of_the_programs_always_fits(text: str) -> None:
    line = said_line(text)
    assert len(line) <= 400
    assert checked_line(line, "the line") == line


@pytest.mark.parametrize(
    "summary", [{"a": float("nan")}, {"a": float("inf")}, {"a": object()}, {"a": "\0"}, {"a": "x" * 30_000}]
)
def test_headline_figures_that_no_database_keeps_are_refused(store: Store, summary: dict[str, object]) -> None:
    with pytest.raises(BadInput, match="headline figures"):
        add_beer(store, text='name = "Tram"', summary=summary)
    assert shelf(store).total == 0


def test_headline_figures_come_back_as_they_were(store: Store) -> None:
    figures = {
        "original gravity": [1.096, 1.102, 1.108],
        "says": "11,9 % vol ½ 😀 </script>",
        "fits": True,
        "none": None,
    }
    add_beer(store, text='name = "Tram"', summary=figures)
    assert shelf(store).beers[0].summary == figures == version(store, "tram").summary
    assert checked_summary(None) == {}


@pytest.mark.parametrize("text", ["", "name = 3", 'name = " "', "name = ", "[" * 5000, r'name = "\u0007"'])
def test_a_text_without_a_name_names_nothing(text: str) -> None:
    assert name_in(text) is None
