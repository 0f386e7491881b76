"""Two ribbons one above the other, station under station and to one scale, so that the eye can tell them apart."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import attrs

from gyle.share.ribbon import Moment, srgb_hex
from gyle.share.written_figure import litres_text
from gyle.web.line_view import COLUMNS
from gyle.web.ribbon_drawing import ink_on, outline, tones_of

if TYPE_CHECKING:
    from gyle.share.ribbon import Ribbon
    from gyle.web.ribbon_drawing import Tone

__all__ = ["HEIGHT_PX", "Reach", "RibbonDrawn", "ribbons_drawn"]

HEIGHT_PX = 76.0  # of the greater one where it is widest


@attrs.frozen(kw_only=True)
class Reach:
    """A ribbon through one station: its outline in a box of 1000 by the height, and its colours."""

    station: str
    outline: str
    tones: tuple[Tone, ...]
    volume: str  # that leaves the station
    ink: str  # "light" or "dark": what can be read on it


@attrs.frozen(kw_only=True)
class RibbonDrawn:
    """One whole ribbon."""

    words: str
    reaches: tuple[Reach, ...]
    told: str  # the same in words


def ribbons_drawn(ribbons: Sequence[tuple[str, Ribbon]], *, system: str) -> tuple[RibbonDrawn, ...]:
    """Draw ribbons to one scale.

    Parameters
    ----------
    ribbons : sequence of (str, Ribbon)
        What each is called, and the ribbon.
    system : {"metric", "us"}
        The person's units.
    """
    px_L = HEIGHT_PX / max((ribbon.widest_L for _, ribbon in ribbons), default=1.0)
    return tuple(_ribbon(words, ribbon, px_L, system) for words, ribbon in ribbons)


def _ribbon(words: str, ribbon: Ribbon, px_L: float, system: str) -> RibbonDrawn:
    reaches = []
    for key, _, stations in COLUMNS:
        moments = _moments(ribbon, stations)
        if moments:
            last = moments[-1]
            reaches.append(
                Reach(
                    station=key,
                    outline=outline(moments, px_L=px_L, centre_px=HEIGHT_PX / 2.0),
                    tones=tones_of(moments),
                    volume=litres_text(last.volume_L, system),
                    ink=ink_on(srgb_hex(last.colour_srm)),
                )
            )
    drawn, left = (litres_text(moments.volume_L, system) for moments in _ends(ribbon))
    return RibbonDrawn(words=words, reaches=tuple(reaches), told=f"{drawn} of water become {left} of beer")


def _moments(ribbon: Ribbon, stations: Sequence[str]) -> tuple[Moment, ...]:
    """What flows through a column; the stations in it share its width."""
    stretches = [stretch for stretch in ribbon.stretches if stretch.station in stations]
    share = 1.0 / max(len(stretches), 1)
    return tuple(
        attrs.evolve(moment, at=share * (place + moment.at))
        for place, stretch in enumerate(stretches)
        for moment in stretch.moments
    )


def _ends(ribbon: Ribbon) -> tuple[Moment, Moment]:
    return ribbon.stretches[0].moments[-1], ribbon.stretches[-1].moments[-1]
