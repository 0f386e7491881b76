"""The family of a beer's versions, drawn: whatever it is like, its rules meet and lead down to the parent."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.web.lineage_drawing import LANE_PX, MOST_LANES, NODE_PX, Lineage, lineage

NODE = f"{NODE_PX}px"
Family = Sequence[tuple[int, int | None]]


def below(drawn: Lineage) -> set[float]:
    """Where rules leave a line at its foot."""
    return {across for across, _, end in drawn.rules if end == "100%"}


def above(drawn: Lineage) -> set[float]:
    """Where rules come into a line at its head, those that bend to its node included."""
    return {across for across, start, _ in drawn.rules if start == "0%"} | set(drawn.joins)


@st.composite
def families(draw: st.DrawFn) -> tuple[Family, int]:
    """Versions each made from an older one, and some drafts of them."""
    count = draw(st.integers(1, 20))
    versions = [(1, None), *((number, draw(st.integers(1, number - 1))) for number in range(2, count + 1))]
    drafts = [(-place, draw(st.integers(1, count))) for place in range(1, draw(st.integers(0, 6)) + 1)]
    return [*drafts, *reversed(versions)], count


def test_a_family_without_branches_is_one_upright_rule() -> None:
    drawn = lineage([(3, 2), (2, 1), (1, None)], newest=3)
    assert {one.node_px for one in drawn} == {drawn[0].node_px}
    assert [one.rules for one in drawn] == [
        ((drawn[0].node_px, NODE, "100%"),),
        ((drawn[0].node_px, "0%", NODE), (drawn[0].node_px, NODE, "100%")),
        ((drawn[0].node_px, "0%", NODE),),
    ]
    assert not any(one.joins for one in drawn)


def test_a_sibling_stands_beside_the_line_of_the_newest() -> None:
    four, three, two, one = lineage([(4, 2), (3, 2), (2, 1), (1, None)], newest=4)
    assert four.node_px == two.node_px == one.node_px
    assert three.node_px == four.node_px + LANE_PX
    assert two.joins == (three.node_px,)
    assert above(three) == {four.node_px}  # the line of the newest passes it by
    assert below(three) == {four.node_px, three.node_px}


def test_a_draft_stands_beside_what_it_was_begun_from() -> None:
    draft, two, one = lineage([(-7, 2), (2, 1), (1, None)], newest=2)
    assert draft.node_px > two.node_px
    assert two.joins == (draft.node_px,)
    assert above(draft) == set()
    assert one.joins == ()


def test_a_lone_version_has_no_rule() -> None:
    (one,) = lineage([(1, None)], newest=1)
    assert one.rules == one.joins == ()


def test_many_branches_share_the_last_rule() -> None:
    family = [*((-place, 1) for place in range(1, 30)), (1, None)]
    drawn = lineage(family, newest=1)
    assert {one.width_px for one in drawn} == {LANE_PX * MOST_LANES}
    assert len(drawn[-1].joins) == MOST_LANES - 1


@given(families())
def test_what_leaves_one_line_comes_into_the_next(made: tuple[Family, int]) -> None:
    family, newest = made
    drawn = lineage(family, newest=newest)
    assert len(drawn) == len(family)
    assert above(drawn[0]) == set()
    assert below(drawn[-1]) == set()
    for upper, lower in itertools.pairwise(drawn):
        assert below(upper) == above(lower)


@given(families())
def test_a_rule_leads_from_each_down_to_its_parent(made: tuple[Family, int]) -> None:
    family, newest = made
    drawn = dict(zip((number for number, _ in family), lineage(family, newest=newest), strict=True))
    order = [number for number, _ in family]
    for number, parent in family:
        child = drawn[number]
        assert 0.0 < child.node_px < child.width_px
        if parent is None:
            assert child.node_px not in below(child)
            continue
        assert child.node_px in below(child)
        for between in order[order.index(number) + 1 : order.index(parent)]:
            assert (child.node_px, "0%", "100%") in drawn[between].rules or child.node_px == drawn[between].node_px
        kin = drawn[parent]
        assert child.node_px in kin.joins or (child.node_px == kin.node_px and child.node_px in above(kin))


@pytest.mark.parametrize("newest", [1, 2, 3])
def test_the_forebears_of_the_newest_are_never_moved_aside(newest: int) -> None:
    drawn = lineage([(3, 1), (2, 1), (1, None)], newest=newest)
    assert drawn[3 - newest].node_px == drawn[2].node_px
