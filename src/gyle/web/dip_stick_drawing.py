"""Dip-sticks as they are drawn: where the ruling, the ink marks, their bands and their words go, in pixels.

All sticks of a brewhouse stand on one ground and are drawn and ruled to one scale, so that their lengths compare;
where the smallest would then be too short for its words, each has a scale and a ruling of its own.
"""

from __future__ import annotations

import math
import textwrap
from collections.abc import Mapping, Sequence

import attrs

from gyle.share.dip_stick import DipStick
from gyle.share.ink_marks import InkMark

__all__ = ["DrawnMark", "DrawnStick", "Glyph", "RuledLine", "Words", "apart", "drawn_sticks", "glyph"]

LINE_PX = 17  # of words beside a mark
BETWEEN_PX = 8  # of the words of two marks
LETTERS = 38  # in one line of words, so that stick and words stand on a phone
FROM_LETTERS = 22  # of where a figure comes from, beside it
ROOM_PX = 10  # above and below the stick, for the numbers at its ends
HEAD_PX = 30  # of the stick above the brim, by which it is held
SHORTEST_PX, USUAL_PX, LONGEST_PX = 110.0, 380.0, 1100.0
LEADER_PX = (71.0, 77.0, 91.0)  # leaves the mark level, bends, arrives at its words
FINE_PX = 4.0  # least between two lines of the ruling
SEEN_PX = 1.0  # a mark that moved by less is not seen to have moved
GLYPH_PX, GLYPH_STEP_PX = 42.0, 14
# Into how many parts the space between two numbers may be ruled, the finest first, and at every which part the line
# is longer, by the leading digit of the space: tenths, halves and ones, never fourths of anything odd.
PARTS = {1: ((10, 5), (5, 0), (2, 0)), 2: ((4, 2), (2, 0)), 5: ((10, 2), (5, 0))}
# The figure of the brewhouse that a mark shows, by its key; the brim is the vessel's own.
FIGURE_OF = {
    "dead": "mash.dead",
    "kettle.left_behind": "kettle.left_behind",
    "kettle.trub": "kettle.trub",
    "kettle.stays": "kettle.hops_hold",
    "kettle.end": "kettle.boil_off",
    "fermenter.left_behind": "fermenter.left_behind",
    "fermenter.stays": "fermenter.hops_hold",
}
_TOLD_FROM = ("brim", "dead", "left_behind", "trub")  # the marks that are one figure, and not what comes of several


@attrs.frozen(kw_only=True)
class RuledLine:
    """One line of the ruling: the longest have a number, the middle ones are longer than the fine."""

    y: str
    text: str = ""
    middle: bool = False


@attrs.frozen(kw_only=True)
class Words:
    """One line of the words beside a mark."""

    y: str
    text: str
    sort: str  # "words", "reading" or "cold"
    after: str = ""  # beside a reading: where it is from


@attrs.frozen(kw_only=True)
class DrawnMark:
    """A mark, its band, its words and the leader between them."""

    key: str
    sort: str
    y: str
    band_y: str
    band_height: str  # "" where it is sure
    slant: str  # of the band's hatching, so that two that overlap are told apart
    was_y: str  # where it stood before, "" where it has not moved
    leader: str
    wedge: str
    words: tuple[Words, ...]
    sentence: str  # the same for those who do not see it
    row: str  # the id of its figure's row, "" where it is no figure of the brewhouse


@attrs.frozen(kw_only=True)
class DrawnStick:
    """One stick."""

    vessel: str
    title: str
    brim: str
    unit: str
    height: int  # of the whole drawing
    top: str
    foot: str
    brim_y: str
    length: str  # from the brim to the foot
    over: bool  # something would stand above the brim
    head: str  # the stick above the brim, "" where the marks go on there
    eye_y: str
    ruling: tuple[RuledLine, ...]
    marks: tuple[DrawnMark, ...]

    @property
    def moved(self) -> bool:
        """Whether a mark stood elsewhere before."""
        return any(mark.was_y for mark in self.marks)


@attrs.frozen(kw_only=True)
class Glyph:
    """One stick of a small drawing: a length and its marks."""

    x: int
    y: str
    height: str
    marks: tuple[str, ...]


def drawn_sticks(
    sticks: Sequence[DipStick], *, before: Sequence[DipStick] = (), sources: Mapping[str, str] | None = None
) -> tuple[DrawnStick, ...]:
    """Return the drawings of a brewhouse's sticks.

    Parameters
    ----------
    sticks : sequence of DipStick
        As `gyle.share.dip_stick.dip_sticks` gives them.
    before : sequence of DipStick, optional
        The same as they stood before an edit.
    sources : mapping of str to str, optional
        Where each figure of the brewhouse is from, in words, by its address.
    """
    said = [[_lines(mark, stick.vessel, sources or {}) for mark in stick.marks] for stick in sticks]
    least = [max(sum(map(_height, lines)), SHORTEST_PX) for lines in said]
    lengths, alike = _lengths([stick.top_L for stick in sticks], least)
    step = max((_step(stick) for stick in sticks), default=0.0) if alike else math.inf
    earlier = {stick.vessel: {mark.key: mark.volume_L.mean for mark in stick.marks} for stick in before}
    return tuple(
        _drawn(stick, lines, length, step=_shared(stick, step), earlier_L=earlier.get(stick.vessel, {}))
        for stick, lines, length in zip(sticks, said, lengths, strict=True)
    )


def glyph(sticks: Sequence[DipStick]) -> tuple[Glyph, ...]:
    """Return a small drawing of the sticks side by side, to one scale."""
    tallest = max((stick.top_L for stick in sticks), default=1.0)
    found = []
    for place, stick in enumerate(sticks):
        height = max(GLYPH_PX * stick.top_L / tallest, 4.0)
        foot = GLYPH_PX + 1.0
        marks = tuple(_px(foot - height * mark.share) for mark in stick.marks if mark.sort != "brim")
        found.append(Glyph(x=place * GLYPH_STEP_PX, y=_px(foot - height), height=_px(height), marks=marks))
    return tuple(found)


def apart(middles: Sequence[float], sizes: Sequence[float], *, length: float) -> tuple[float, ...]:
    """Push blocks of words along a stick apart, moving them as little as that allows.

    Parameters
    ----------
    middles : sequence of float
        Where the middle of each block would like to be, in rising order.
    sizes : sequence of float
        How much of the stick each block takes.
    length : float
        The stick's; whole blocks stay on it where there is room for all, else they reach beyond both ends alike.

    Returns
    -------
    tuple of float
        The middles, so that no block covers another.

    Notes
    -----
    With all that lies below a block taken off, its place need only not lie under the one before. The nearest such
    places, in squares of the distance, are found by pooling neighbours that are out of order at their mean.
    """
    below = [sum(sizes[:place]) + size / 2.0 for place, size in enumerate(sizes)]
    pools: list[tuple[float, int]] = []
    for middle, off in zip(middles, below, strict=True):
        mean, count = middle - off, 1
        while pools and pools[-1][0] >= mean:
            before, more = pools.pop()
            mean, count = (before * more + mean * count) / (more + count), more + count
        pools.append((mean, count))
    room = length - sum(sizes)
    low, high = (0.0, room) if room >= 0.0 else (room / 2.0, room / 2.0)
    placed = [min(max(mean, low), high) for mean, count in pools for _ in range(count)]
    return tuple(place + off for place, off in zip(placed, below, strict=True))


def _height(lines: Sequence[Words]) -> float:
    return float(len(lines) * LINE_PX + BETWEEN_PX)


def _lengths(tops_L: Sequence[float], least_px: Sequence[float]) -> tuple[list[float], bool]:
    """Return how long each stick is drawn, and whether to one scale: so, if none grows beyond all measure by it."""
    if not tops_L:
        return [], True
    tallest = max(tops_L)
    px_L = max(USUAL_PX / tallest, *(least / top for least, top in zip(least_px, tops_L, strict=True)))
    if px_L * tallest <= LONGEST_PX:
        return [float(round(px_L * top)) for top in tops_L], True  # whole, so that all stand on one line
    return [float(round(max(USUAL_PX, least))) for least in least_px], False


def _figure(mark: InkMark, vessel: str) -> str:
    """Return the address of the figure a mark shows, "" where it shows none."""
    if mark.key == "brim":
        return f"{vessel}.vessel"
    return FIGURE_OF.get(mark.key) or FIGURE_OF.get(f"{vessel}.{mark.key}", "")


def _lines(mark: InkMark, vessel: str, sources: Mapping[str, str]) -> list[Words]:
    """Return the words of a mark, line by line; they are placed later."""
    source = _in_short(sources.get(_figure(mark, vessel), "")) if mark.key in _TOLD_FROM else ""
    found = [Words(y="", text=line, sort="words") for line in _balanced(mark.words)]
    found.append(Words(y="", text=mark.reading, sort="reading", after=source))
    if mark.cold:
        found.append(Words(y="", text=f"{mark.cold} when cold", sort="cold"))
    return found


def _balanced(words: str) -> list[str]:
    """Break words into as few lines as they need, all about as long."""
    lines = textwrap.wrap(words, LETTERS)
    for letters in range(max(len(words) // max(len(lines), 1), 1), LETTERS):
        tried = textwrap.wrap(words, letters)
        if len(tried) <= len(lines):
            return tried
    return lines


def _in_short(source: str) -> str:
    """Say where a figure is from in the room beside it: "of its kind", "stated", "measured, 3 gyles"."""
    if source.startswith("of its kind"):
        return "of its kind"
    if source.startswith("stated"):
        return "stated"
    return source if len(source) <= FROM_LETTERS else source.partition(":")[0].partition(",")[0][:FROM_LETTERS]


def _drawn(
    stick: DipStick, lines: Sequence[Sequence[Words]], length_px: float, *, step: float, earlier_L: Mapping[str, float]
) -> DrawnStick:
    over = stick.top_L > stick.brim_L
    room = float(ROOM_PX if over else ROOM_PX + HEAD_PX)

    def y(share: float) -> float:
        return room + length_px * (1.0 - share)

    up = [length_px * mark.share for mark in stick.marks]
    places = apart(up, [_height(said) for said in lines], length=length_px)
    bands = 0
    marks = []
    for mark, said, place in zip(stick.marks, lines, places, strict=True):
        was = earlier_L.get(mark.key)
        marks.append(
            _mark(
                mark,
                said,
                y(mark.share),
                (y(mark.low_share), y(mark.high_share)),
                y(place / length_px),
                was_y=None if was is None or was > stick.top_L else y(was / stick.top_L),
                slant="ab"[bands % 2],
                figure=_figure(mark, stick.vessel),
            )
        )
        bands += marks[-1].band_height != ""
    brim = y(stick.brim_L / stick.top_L)
    return DrawnStick(
        vessel=stick.vessel,
        title=stick.words,
        brim=stick.brim,
        unit=stick.unit,
        height=round(room + length_px + ROOM_PX),
        top=_px(y(1.0)),
        foot=_px(y(0.0)),
        brim_y=_px(brim),
        length=_px(y(0.0) - brim),
        over=over,
        head="" if over else f"M36 {_px(brim)}V{_px(brim - HEAD_PX + 8)}q0 -8 13 -8t13 8V{_px(brim)}",
        eye_y=_px(brim - HEAD_PX + 11),
        ruling=_ruling(stick, length_px, room, step),
        marks=tuple(marks[::-1]),  # read from the brim down, as they stand
    )


def _mark(
    mark: InkMark,
    lines: Sequence[Words],
    y: float,
    ends: tuple[float, float],
    words_y: float,
    *,
    was_y: float | None,
    slant: str,
    figure: str,
) -> DrawnMark:
    leaves, bends, arrives = LEADER_PX
    low_y, high_y = ends
    # The middle of the block of words stands at its place; a line's own place is its foot.
    first = words_y - (len(lines) - 1) * LINE_PX / 2.0 + LINE_PX * 0.28
    source = next((line.after for line in lines if line.after), "")
    return DrawnMark(
        key=mark.key.replace(".", "-"),
        sort=mark.sort,
        y=_px(y),
        band_y=_px(high_y),
        band_height=_px(low_y - high_y) if low_y - high_y >= 0.05 else "",
        slant=slant,
        was_y="" if was_y is None or abs(was_y - y) < SEEN_PX else _px(was_y),
        leader=f"{_px(leaves)},{_px(y)} {_px(bends)},{_px(y)} {_px(arrives)},{_px(words_y)}",
        wedge=f"64,{_px(y)} {_px(leaves)},{_px(y - 3.5)} {_px(leaves)},{_px(y + 3.5)}",
        words=tuple(attrs.evolve(line, y=_px(first + number * LINE_PX)) for number, line in enumerate(lines)),
        sentence=f"{mark.words}: {mark.reading}"
        + (f", {mark.cold} when cold" if mark.cold else "")
        + (f", {source}" if source else ""),
        row=f"row-{figure.replace('.', '-')}" if figure else "",
    )


def _step(stick: DipStick) -> float:
    """Return what lies between two numbers of a stick, in its unit; 0 where it has no second one."""
    return float(stick.ticks[1].text) if len(stick.ticks) > 1 else 0.0


def _shared(stick: DipStick, step: float) -> float:
    """Return the step of all sticks, where this one is long enough to show it; else its own."""
    own = _step(stick)
    return step if own and 2.0 * step <= own / stick.ticks[1].share else own


def _ruling(stick: DipStick, length_px: float, room_px: float, step: float) -> tuple[RuledLine, ...]:
    """Return the lines of the ruling from the foot up; between two numbers stand fine ones, where there is room."""
    if not step:
        return ()
    px = length_px * stick.ticks[1].share / _step(stick) * step  # between two numbers
    fitting = (parts for parts in PARTS[int(f"{step:e}"[0])] if px / parts[0] >= FINE_PX)
    parts, longer = next(fitting, (1, 0))
    return tuple(
        RuledLine(
            y=_px(room_px + length_px - number * px / parts),
            text="" if number % parts or not number else f"{number // parts * step:g}",  # the foot is 0
            middle=bool(longer and number % parts and number % longer == 0),
        )
        for number in range(int(length_px * parts / px + 1e-9) + 1)
    )


def _px(value: float) -> str:
    return f"{value:.1f}"
