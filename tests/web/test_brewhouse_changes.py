"""What was changed of a brewhouse, in words, and undone."""

from __future__ import annotations

import pytest

from gyle.books import brewhouses
from gyle.books.papers import Paper
from gyle.books.store import Store
from gyle.errors import BadInput
from gyle.web.brewhouse_changes import LastChange, change_since, last_change, undone

SLUG = "lantern-street-48"


def changed(store: Store, *replaced: tuple[str, str]) -> Paper:
    now = brewhouses.brewhouse(store, SLUG)
    text = now.text
    for old, new in replaced:
        assert old in text
        text = text.replace(old, new)
    return brewhouses.save_brewhouse(store, SLUG, text=text, seen=now.number)


def told(store: Store, paper: Paper, system: str = "metric") -> LastChange:
    found = last_change(store, paper, system=system)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("old", "new", "words", "again"),
    [
        ('"3.2 L/h"', '"3.9 L/h"', "kettle, boil-off 3.2 L/h to 3.9 L/h", "kettle, boil-off is 3.2 L/h again"),
        ('"48 L"', '"50 L"', "kettle, to the brim 48 L to 50 L", "kettle, to the brim is 48 L again"),
        ("# under the tap", "# below it", "its text", "its text stands as it did before"),
        (
            'spread = "0.3 L/h"', 'spread = "0.2 L/h"', "kettle, boil-off, give or take: 0.3 L/h to 0.2 L/h",
            "kettle, boil-off is 3.2 L/h again",
        ),
    ],
)  # fmt: skip
def test_one_change_is_told_by_its_figure(store: Store, old: str, new: str, words: str, again: str) -> None:
    found = told(store, changed(store, (old, new)))
    assert (found.words, found.again) == (words, again)
    assert found.figures == (words != "its text")


def test_several_are_counted_and_what_follows_from_them_is_not(store: Store) -> None:
    paper = changed(store, ('"3.2 L/h"', '"3.9 L/h"'), ('"48 L"', '"50 L"'))
    found = told(store, paper)
    assert found.words == "kettle, to the brim 48 L to 50 L and 1 more figure"
    assert (found.figures, found.address) == (2, "")
    paper = changed(store, ('"3.9 L/h"', '"4 L/h"'))
    assert told(store, paper).address == "kettle.boil_off"
    assert change_since(store, paper, number=1, system="metric").figures == 2


def test_it_is_told_in_the_persons_units(store: Store) -> None:
    assert told(store, changed(store, ('"48 L"', '"50 L"')), "us").words == "kettle, to the brim 12.68 gal to 13.21 gal"


def test_what_was_never_changed_has_no_last_change(store: Store) -> None:
    paper = brewhouses.brewhouse(store, SLUG)
    assert last_change(store, paper, system="metric") is None
    with pytest.raises(BadInput, match="nothing to undo"):
        undone(store, paper, seen=1, system="metric")


def test_undoing_writes_the_former_text_as_a_revision_of_its_own(store: Store) -> None:
    first = brewhouses.brewhouse(store, SLUG)
    paper = changed(store, ('"48 L"', '"50 L"'))
    assert undone(store, paper, seen=2, system="metric").address == "kettle.vessel"
    now = brewhouses.brewhouse(store, SLUG)
    assert (now.number, now.parent, now.text) == (3, 2, first.text)
    undone(store, now, seen=3, system="metric")  # and undoing that brings it back
    assert brewhouses.brewhouse(store, SLUG).text == paper.text
    with pytest.raises(BadInput, match="changed elsewhere"):
        undone(store, brewhouses.brewhouse(store, SLUG), seen=3, system="metric")


def test_a_former_text_that_reads_no_more_is_not_brought_back(store: Store) -> None:
    now = brewhouses.brewhouse(store, SLUG)
    lost = brewhouses.save_brewhouse(store, SLUG, text=f'water = "lost"\n{now.text}', seen=1)
    whole = brewhouses.save_brewhouse(store, SLUG, text=now.text, seen=lost.number)
    with pytest.raises(BadInput, match="what stood before does not read any more: "):
        undone(store, whole, seen=3, system="metric")
    assert brewhouses.brewhouse(store, SLUG).number == 3
