"""The shelf as a page shows it: each beer a line of words and a piece of its ribbon, from the figures kept with it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import attrs

from gyle.line.figures import Band
from gyle.share.beer_words import colour_word
from gyle.share.ribbon import srgb_hex
from gyle.share.written_figure import bitterness_figure, written
from gyle.web.day_words import when_words
from gyle.web.figure_strip import Strip

if TYPE_CHECKING:
    from gyle.books.beers import Shelf, ShelfBeer

__all__ = ["PAGE", "Headline", "Paging", "Patch", "ShelfLine", "headline_figures", "paging", "patch_of", "shelf_lines"]

PAGE = 50
RIBBON_PX = 26.0  # as thick as the largest volume of a page
THINNEST_PX = 3.0
LARGEST = 1e6  # no figure of a beer is larger
ROOM_PCT = 2.0  # kept free at either end of a rule

Scale = tuple[float, float]

# What is said of a beer, shortly; the measure of its bitterness is put in where it is known.
_SAID = (
    ("fermenter.original_gravity", "original gravity"),
    ("fermenter.alcohol", "alcohol"),
    ("glass.bitterness", "bitterness"),
    ("fermenter.volume", "volume"),
)


@attrs.frozen(kw_only=True)
class Headline:
    """A headline figure in words."""

    key: str
    words: str
    value: str
    ends: str
    strip: Strip | None = None  # on the rule it shares with the other beers of the page


@attrs.frozen(kw_only=True)
class Patch:
    """A piece of a beer's ribbon: its thickness is the volume, its colour the beer's."""

    colour: str
    thick_px: float
    words: str  # what is drawn, for who does not see it

    @property
    def top_px(self) -> float:
        """Where it begins, so that it lies in the middle of its line."""
        return round((RIBBON_PX - self.thick_px) / 2.0, 1)


@attrs.frozen(kw_only=True)
class ShelfLine:
    """One beer."""

    name: str
    home: str
    versions: str  # how many
    saved: str  # when the newest was
    draft: bool
    figures: tuple[Headline, ...]
    patch: Patch | None


@attrs.frozen(kw_only=True)
class Paging:
    """Where a page of the shelf stands among all that match."""

    first: int  # number of its first beer, from 1; 0 where there is none
    last: int
    total: int
    page: int
    pages: int

    @property
    def words(self) -> str:
        """How many there are, and which of them are here."""
        if self.total == 0:
            return "no beer"
        if self.pages == 1:
            return "1 beer" if self.total == 1 else f"{self.total} beers"
        return f"{self.first:,} to {self.last:,} of {self.total:,} beers"


def paging(page: int | None, total: int, *, shown: int = PAGE) -> Paging:
    """Place a page among all; one that lies beyond the last is the last.

    Parameters
    ----------
    page : int or None
        The page asked for, from 1.
    total : int
        Of all beers that match.
    shown : int
        How many are on a page.
    """
    pages = max(math.ceil(total / shown), 1)
    at = min(max(page or 1, 1), pages)
    return Paging(
        first=min((at - 1) * shown + 1, total), last=min(at * shown, total), total=total, page=at, pages=pages
    )


def shelf_lines(found: Shelf, *, system: str) -> tuple[ShelfLine, ...]:
    """Put a page of the shelf into words; nothing is brewed for it.

    Parameters
    ----------
    found : Shelf
        The page.
    system : {"metric", "us"}
        The person's units.
    """
    summaries = [beer.summary for beer in found.beers]
    widest = max((_mean(summary, "fermenter.volume") or 0.0 for summary in summaries), default=0.0)
    scales = {name: _scale([_said_band(summary, name)[1] for summary in summaries]) for name, _ in _SAID}
    return tuple(_line(beer, widest, scales, system) for beer in found.beers)


def _line(beer: ShelfBeer, widest_L: float, scales: Mapping[str, Scale | None], system: str) -> ShelfLine:
    return ShelfLine(
        name=beer.name,
        home=f"/beers/{beer.slug}",
        versions="1 version" if beer.newest == 1 else f"{beer.newest:,} versions",
        saved=f"saved {when_words(beer.saved_at)}",
        draft=beer.has_draft,
        figures=headline_figures(beer.summary, system=system, scales=scales),
        patch=patch_of(beer.summary, widest_L=widest_L, system=system),
    )


def headline_figures(
    summary: Mapping[str, Any], *, system: str, scales: Mapping[str, Scale | None] | None = None
) -> tuple[Headline, ...]:
    """Return the headline figures kept with a version, each with its band; what is not kept is left out.

    Parameters
    ----------
    summary : mapping
        As a version keeps it.
    system : {"metric", "us"}
        The person's units.
    scales : mapping, optional
        From where to where the rule of each figure goes; without one it has none.
    """
    found = []
    for name, words in _SAID:
        kept, band = _said_band(summary, name)
        if band is None:
            continue
        said, scale = written(kept, band, system), (scales or {}).get(name)
        drawn = None if scale is None else _strip(band, scale)
        key = name.rpartition(".")[2]
        found.append(Headline(key=key, words=words, value=said.value, ends=said.band, strip=drawn))
    return tuple(found)


def _scale(bands: Sequence[Band | None]) -> Scale | None:
    """From where to where a rule goes that all bands lie on; None where there are fewer than two to tell apart."""
    known = [band for band in bands if band is not None]
    if len(known) < 2:
        return None
    low, high = min(band.low for band in known), max(band.high for band in known)
    return (low, high) if low < high else None


def _strip(band: Band, scale: Scale) -> Strip:
    low, high = scale

    def place(value: float) -> float:
        share = (min(max(value, low), high) - low) / (high - low)
        return ROOM_PCT + (100.0 - 2.0 * ROOM_PCT) * share

    left, right = place(band.low), place(band.high)
    return Strip(low=f"{left:.1f}%", width=f"{right - left:.1f}%", mean=f"{place(band.mean):.1f}%")


def patch_of(summary: Mapping[str, Any], *, widest_L: float, system: str) -> Patch | None:
    """Return a piece of a version's ribbon, None where its figures are not kept.

    Parameters
    ----------
    summary : mapping
        As a version keeps it.
    widest_L : float
        The volume that is drawn thickest.
    system : {"metric", "us"}
        The person's units.
    """
    colour, volume = _band(summary, "glass.colour_srm"), _mean(summary, "fermenter.volume")
    if colour is None or volume is None or widest_L <= 0.0:
        return None
    ebc = _band(summary, "glass.colour")
    scale = "glass.colour_srm" if system == "us" or ebc is None else "glass.colour"
    said = written(scale, colour if ebc is None or scale != "glass.colour" else ebc, system)
    parts = ["" if ebc is None else colour_word(ebc.mean), said.value, said.band]
    return Patch(
        colour=srgb_hex(colour.mean),
        thick_px=round(max(RIBBON_PX * min(volume / widest_L, 1.0), THINNEST_PX), 1),
        words=", ".join(part for part in parts if part),
    )


def _said_band(summary: Mapping[str, Any], name: str) -> tuple[str, Band | None]:
    """The figure that is shown under a headline, and its band."""
    kept = _measure(summary) if name == "glass.bitterness" else name
    return kept, _band(summary, kept)


def _measure(summary: Mapping[str, Any]) -> str:
    """The figure a version's bitterness is counted by, or the nearest to it that is kept."""
    by = summary.get("measure")
    wanted = (bitterness_figure(by) if isinstance(by, str) else "", "glass.bitterness_tinseth")
    return next((name for name in wanted if _band(summary, name) is not None), "glass.bitterness")


def _mean(summary: Mapping[str, Any], name: str) -> float | None:
    band = _band(summary, name)
    return None if band is None else band.mean


def _band(summary: Mapping[str, Any], name: str) -> Band | None:
    """Read a figure as it was kept; a store may hold what another program wrote."""
    figures = summary.get("figures")
    kept = figures.get(name) if isinstance(figures, Mapping) else None
    if not isinstance(kept, Sequence) or isinstance(kept, str) or len(kept) != 3:
        return None
    if not all(isinstance(end, (int, float)) and abs(end) <= LARGEST for end in kept):  # a NaN is not, either
        return None
    mean, low, high = (float(end) for end in kept)
    return Band(mean=mean, low=low, high=high, median=mean) if low <= high else None
