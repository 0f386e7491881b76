"""Drawing the ribbon: one picture for each station, that meets its neighbours at the edges of its column.

The body of the ribbon stretches with its column; streams that leave or join keep their shape, so they are
drawn in pixels and hung at a share of the column's width. Heights are the same in every column.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import attrs

from gyle.share.ribbon import Moment, Ribbon, Side, Stretch, srgb_hex

__all__ = ["BAND_PX", "Across", "Drawn", "Stream", "Tone", "drawn_across", "drawn_down", "ink_on", "outline",
           "tones_of"]  # fmt: skip

BAND_PX = 150.0  # the widest the ribbon gets
TOP_PX = 46.0  # room above it for what joins and what boils off
BELOW_PX = 64.0  # and below it for what stays behind
HEIGHT_PX = TOP_PX + BAND_PX + BELOW_PX
CENTRE_PX = TOP_PX + BAND_PX / 2.0
WIDE = 1000.0  # inner units across a column
LEAST_STREAM_PX = 3.0
BEND_PX = 15.0
LINE_PX = 15.0  # between the words of two streams
DOWN_PX = 46.0  # the widest the ribbon gets on a narrow screen


@attrs.frozen(kw_only=True)
class Tone:
    """The ribbon's colour at a share of the way."""

    at_pct: str
    colour: str


@attrs.frozen(kw_only=True)
class Stream:
    """A side ribbon: where it hangs, its outline in pixels, where its words go."""

    at_pct: str
    path: str
    colour: str
    joins: bool
    upwards: bool
    side: Side
    text_x: float
    text_y: float
    label_y: float


@attrs.frozen(kw_only=True)
class Drawn:
    """One stretch of ribbon, drawn."""

    key: str
    outline: str
    tones: tuple[Tone, ...]
    streams: tuple[Stream, ...]
    volume_L: float
    ink: str  # "light" or "dark": what can be read on it
    stretch: Stretch


@attrs.frozen(kw_only=True)
class Across:
    """The ribbon from left to right."""

    height_px: float
    centre_px: float
    stretches: tuple[Drawn, ...]

    def of(self, *stations: str) -> tuple[Drawn, ...]:
        """The stretches a column shows."""
        return tuple(drawn for drawn in self.stretches if drawn.stretch.station in stations)


def ink_on(colour: str) -> str:
    """Return "dark" or "light": the ink with the better contrast on a colour."""
    red, green, blue = (int(colour[place : place + 2], 16) / 255.0 for place in (1, 3, 5))

    def linear(part: float) -> float:
        return part / 12.92 if part <= 0.03928 else float(((part + 0.055) / 1.055) ** 2.4)

    luminance = 0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue)
    return "dark" if (luminance + 0.05) / 0.06 >= 1.05 / (luminance + 0.05) else "light"


def _number(value: float) -> str:
    return f"{value:.1f}".rstrip("0").rstrip(".")


def _edge(points: Sequence[tuple[float, float]]) -> str:
    """A smooth line through points: level at each of them."""
    parts = []
    for (x0, y0), (x1, y1) in itertools.pairwise(points):
        middle = _number((x0 + x1) / 2.0)
        parts.append(f"C{middle} {_number(y0)} {middle} {_number(y1)} {_number(x1)} {_number(y1)}")
    return "".join(parts)


def outline(moments: Sequence[Moment], *, px_L: float, centre_px: float) -> str:
    """Return the edges of a ribbon from left to right, in a box 1000 wide."""
    upper = [(WIDE * m.at, centre_px - px_L * m.volume_L / 2.0) for m in moments]
    lower = [(x, 2.0 * centre_px - y) for x, y in reversed(upper)]
    start = f"M{_number(upper[0][0])} {_number(upper[0][1])}"
    turn = f"L{_number(lower[0][0])} {_number(lower[0][1])}"
    return f"{start}{_edge(upper)}{turn}{_edge(lower)}Z"


def tones_of(moments: Sequence[Moment]) -> tuple[Tone, ...]:
    """Return the colours of a ribbon on its way."""
    return tuple(Tone(at_pct=f"{100.0 * m.at:.0f}%", colour=srgb_hex(m.colour_srm)) for m in moments)


def _at(moments: Sequence[Moment], place: float) -> Moment:
    """The ribbon at a place between two moments."""
    return max((m for m in moments if m.at <= place), key=lambda m: m.at, default=moments[0])


def _stream(side: Side, moments: Sequence[Moment], px_L: float) -> Stream:
    here = _at(moments, side.at)
    wide = max(px_L * side.volume_L.mean, LEAST_STREAM_PX)
    half = px_L * here.volume_L / 2.0
    upwards = side.joins or side.words == "boiled off"
    sign = -1.0 if upwards else 1.0
    edge = CENTRE_PX + sign * half
    far = CENTRE_PX + sign * (BAND_PX / 2.0 + (TOP_PX if upwards else BELOW_PX) - 20.0)
    run, bend = BEND_PX + wide, BEND_PX
    inner = edge - sign * wide
    # From inside the ribbon along its edge, then round a bend and away (what joins comes the same way in).
    flip = -1.0 if side.joins else 1.0

    def x(value: float) -> str:
        return _number(flip * value)

    path = (
        f"M{x(-bend)} {_number(edge)}L{x(-bend)} {_number(inner)}"
        f"C{x(bend)} {_number(inner)} {x(run)} {_number(edge)} {x(run)} {_number(edge + sign * bend)}"
        f"L{x(run)} {_number(far)}L{x(run - wide)} {_number(far)}L{x(run - wide)} {_number(edge + sign * bend)}"
        f"C{x(run - wide)} {_number(edge + sign * 4.0)} {x(0.0)} {_number(edge)} {x(-bend)} {_number(edge)}Z"
    )
    return Stream(
        at_pct=f"{100.0 * side.at:.0f}%",
        path=path,
        colour=srgb_hex(here.colour_srm),
        joins=side.joins,
        upwards=upwards,
        side=side,
        text_x=run + 6.0 if not side.joins else -run - 6.0,
        text_y=far,
        label_y=far + (10.0 if upwards else 0.0),
    )


def _apart(streams: list[Stream]) -> tuple[Stream, ...]:
    """Let the words of neighbouring streams stand on lines of their own."""
    found: list[Stream] = []
    for upwards in (True, False):
        same = sorted((s for s in streams if s.upwards is upwards), key=lambda s: s.side.at)
        found += [
            attrs.evolve(
                stream, label_y=stream.label_y - (LINE_PX * (len(same) - 1 - place) * (1.0 if not upwards else -1.0))
            )
            for place, stream in enumerate(same)
        ]
    return tuple(found)


def drawn_across(ribbon: Ribbon) -> Across:
    """Draw the ribbon from left to right, every stretch to one scale."""
    px_L = BAND_PX / max(ribbon.widest_L, 1e-9)
    return Across(
        height_px=HEIGHT_PX,
        centre_px=CENTRE_PX,
        stretches=tuple(_drawn(stretch, px_L) for stretch in ribbon.stretches),
    )


def _drawn(stretch: Stretch, px_L: float) -> Drawn:
    last = stretch.moments[-1]
    return Drawn(
        key=stretch.label.replace(" ", "-"),
        outline=outline(stretch.moments, px_L=px_L, centre_px=CENTRE_PX),
        tones=tones_of(stretch.moments),
        streams=_apart([_stream(side, stretch.moments, px_L) for side in stretch.sides]),
        volume_L=last.volume_L,
        ink=ink_on(srgb_hex(last.colour_srm)),
        stretch=stretch,
    )


def drawn_down(stretches: Sequence[Stretch], widest_L: float) -> tuple[str, tuple[Tone, ...]]:
    """Draw stretches from top to bottom for a narrow screen: an outline in a 46 by 1000 box, and its tones."""
    px_L = DOWN_PX / max(widest_L, 1e-9)
    share = 1.0 / len(stretches)
    moments = [
        attrs.evolve(moment, at=share * (place + moment.at))
        for place, stretch in enumerate(stretches)
        for moment in stretch.moments
    ]
    left = [(DOWN_PX / 2.0 - px_L * m.volume_L / 2.0, WIDE * m.at) for m in moments]
    right = [(DOWN_PX - x, y) for x, y in reversed(left)]
    path = f"M{_number(left[0][0])} {_number(left[0][1])}"
    for points in (left, right):
        if points is right:
            path += f"L{_number(right[0][0])} {_number(right[0][1])}"
        for (x0, y0), (x1, y1) in itertools.pairwise(points):
            middle = _number((y0 + y1) / 2.0)
            path += f"C{_number(x0)} {middle} {_number(x1)} {middle} {_number(x1)} {_number(y1)}"
    return path + "Z", tones_of(moments)
