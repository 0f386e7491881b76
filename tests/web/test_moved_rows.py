"""Rows that moved between two texts of a recipe."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.web.moved_rows import moved_place, moved_rows


def text(*hops: str) -> str:
    return 'name = "X"\n' + "".join(f'[[hops]]\nwhat = "{what}"\nmass = "{grams} g"\n' for what, _, grams in
                                   (hop.partition(" ") for hop in hops))  # fmt: skip


@pytest.mark.parametrize(
    ("before", "after", "moved"),
    [
        (("A 1", "B 2", "C 3"), ("B 2", "C 3"), {"hops.0": None, "hops.1": "hops.0", "hops.2": "hops.1"}),
        (("A 1", "B 2", "C 3"), ("A 1", "C 3"), {"hops.1": None, "hops.2": "hops.1"}),
        (("A 1", "B 2"), ("A 1", "B 2", "C 3"), {}),
        (("A 1", "B 2"), ("A 9", "B 2"), {}),  # edited where it stands
        (("A 1", "B 2"), ("Z 1", "B 2"), {}),
        (("A 1", "B 2", "C 3"), ("B 8", "C 3"), {"hops.0": None, "hops.1": "hops.0", "hops.2": "hops.1"}),
        (("A 1",), (), {"hops.0": None}),
        ((), ("A 1",), {}),
    ],
)
def test_each_row_is_found_again(before: tuple[str, ...], after: tuple[str, ...], moved: dict[str, str | None]) -> None:
    assert moved_rows(text(*before), text(*after)) == moved


def test_a_place_follows_its_row() -> None:
    moved = {"hops.1": "hops.0", "hops.2": None}
    assert moved_place("hops.1.amount", moved) == "hops.0.amount"
    assert moved_place("hops.1", moved) == "hops.0"
    assert moved_place("hops.2.at", moved) is None
    assert moved_place("hops.12.at", moved) == "hops.12.at"
    assert moved_place("boil.time", moved) == "boil.time"
    assert moved_place("name", moved) == "name"


@given(st.lists(st.sampled_from("ABCD"), max_size=8), st.data())
def test_taking_one_out_moves_those_behind_it_by_one(rows: list[str], data: st.DataObject) -> None:
    named = [f"{what} {number}" for number, what in enumerate(rows, 1)]
    if not named:
        assert moved_rows(text(), text()) == {}
        return
    gone = data.draw(st.integers(0, len(named) - 1))
    moved = moved_rows(text(*named), text(*named[:gone], *named[gone + 1 :]))
    expected: dict[str, str | None] = {f"hops.{n}": f"hops.{n - 1}" for n in range(gone + 1, len(named))}
    assert moved == {f"hops.{gone}": None, **expected}
