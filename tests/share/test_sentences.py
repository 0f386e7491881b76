"""Sentences: harmless, whole, listed."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import BadInput, Infeasible
from gyle.share.sentences import as_sentence, faults_of, joined, plain


def test_text_is_made_harmless_and_whole() -> None:
    assert plain("a\x1b[0m\nb\u202ec") == "a [0m b c"
    assert as_sentence("about 2.9 L is left:  bottles") == "About 2.9 L is left: bottles."
    assert as_sentence("It stays.") == "It stays."
    assert as_sentence("") == ""


def test_parts_are_listed_as_a_sentence_lists_them() -> None:
    assert joined([]) == ""
    assert joined(["malt"]) == "malt"
    assert joined(["malt", "hops"]) == "malt and hops"
    assert joined(["malt", "hops", "yeast"], last="or") == "malt, hops or yeast"


def test_each_fault_of_an_error_stands_alone() -> None:
    assert faults_of(BadInput(("one", "two"))) == ("one", "two")
    assert faults_of(Infeasible("no more\nthan this")) == ("no more\nthan this",)


@given(st.text(max_size=200))
def test_nothing_a_terminal_obeys_is_left(text: str) -> None:
    assert plain(text).isprintable()
    assert len(plain(text)) == len(text)
    said = as_sentence(text)
    assert "\n" not in said
    assert as_sentence(said) == said
