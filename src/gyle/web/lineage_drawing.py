"""A beer's versions as a family: which was made from which, as thin rules beside the lines that tell of them.

The newest stands at the top, its forebears straight below it; what branched off stands to their right. Each line has
a drawing of its own, as high as the line happens to be, so a place across is in pixels and a place down in per cent;
put below each other they join.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import attrs

__all__ = ["LANE_PX", "MOST_LANES", "NODE_PX", "Lineage", "lineage"]

LANE_PX = 16
EDGE_PX = 8
MOST_LANES = 6  # a family with more branches at once lets the last ones share a rule
NODE_PX = 15  # from the top of a line, beside its first words


@attrs.frozen(kw_only=True)
class Lineage:
    """What is drawn beside one version."""

    node_px: float
    rules: tuple[tuple[float, str, str], ...]  # upright: where across, from where down, to where
    joins: tuple[float, ...]  # places across of what stands above and was made from this one too
    width_px: float


def lineage(family: Sequence[tuple[int, int | None]], *, newest: int) -> tuple[Lineage, ...]:
    """Draw a family, one drawing for each of its members.

    Parameters
    ----------
    family : sequence of (int, int or None)
        Number and parent of each, a child always before its parent.
    newest : int
        The one whose forebears stand below each other at the left.
    """
    upright = _forebears(dict(family), newest)
    lanes: list[int | None] = [None]  # the one each rule leads down to; the first is kept for the upright
    rows = []
    for number, parent in family:
        above = [place for place, wanted in enumerate(lanes) if wanted == number]
        if number in upright:
            own = 0
        elif above:
            own = above[0]
        else:
            own = next((place for place, wanted in enumerate(lanes) if place and wanted is None), len(lanes))
            lanes += [None] * (own + 1 - len(lanes))
        passing = [place for place, wanted in enumerate(lanes) if wanted is not None and place not in above]
        for place in above:
            lanes[place] = None
        lanes[own] = parent
        joining = [place for place in above if place != own]
        rows.append((own, own in above, joining, passing, parent is not None))
    width = EDGE_PX * 2 + LANE_PX * (min(len(lanes), MOST_LANES) - 1)
    return tuple(_drawn(*row, width) for row in rows)


def _forebears(parents: Mapping[int, int | None], newest: int) -> set[int]:
    found: set[int] = set()
    one: int | None = newest
    while one is not None and one not in found:
        found.add(one)
        one = parents.get(one)
    return found


def _drawn(own: int, child: bool, joining: list[int], passing: list[int], goes_on: bool, width: float) -> Lineage:
    node = f"{NODE_PX}px"
    upright = [(_across(place), "0%", "100%") for place in passing]
    if child:
        upright.append((_across(own), "0%", node))
    if goes_on:
        upright.append((_across(own), node, "100%"))
    # Branches that share a rule are drawn once, and one that shares the line's own rule has nothing to join.
    joins = dict.fromkeys(_across(place) for place in joining if _across(place) != _across(own))
    return Lineage(node_px=_across(own), rules=tuple(dict.fromkeys(upright)), joins=tuple(joins), width_px=width)


def _across(lane: int) -> float:
    return float(EDGE_PX + LANE_PX * min(lane, MOST_LANES - 1))
