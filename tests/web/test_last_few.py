"""The last few of something: which go, which stay, and what is put back once."""

from __future__ import annotations

import pytest

from gyle.web.last_few import Held, LastFew


def test_what_was_asked_for_longest_ago_goes_first() -> None:
    few: LastFew[str, int] = LastFew(2)
    few.put("a", 1)
    few.put("b", 2)
    assert few.get("a") == 1
    few.put("c", 3)
    assert (few.get("a"), few.get("b"), few.get("c")) == (1, None, 3)


def test_what_is_there_is_not_made_again() -> None:
    few: LastFew[str, list[int]] = LastFew(1)
    first = few.settle("a", list)
    assert few.settle("a", list) is first
    few.settle("b", list)
    assert few.settle("a", list) is not first


def test_what_is_taken_is_gone() -> None:
    few: LastFew[str, int] = LastFew(2)
    few.put("a", 1)
    assert (few.take("a"), few.take("a")) == (1, None)


def test_only_so_many_are_held() -> None:
    held: Held[str] = Held(kept=1)
    one, two = held.hold("first"), held.hold("second")
    assert held.look(one) is None
    assert held.look(two) == "second"
    with held.taken(two) as thing:
        assert thing == "second"
    with held.taken(two) as again:
        assert again is None


def test_what_could_not_be_put_back_is_held_still() -> None:
    held: Held[str] = Held()
    mark = held.hold("a draft")
    with pytest.raises(OSError, match="full"), held.taken(mark):
        raise OSError("the disk is full")
    assert held.look(mark) == "a draft"
