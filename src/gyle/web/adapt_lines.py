"""Two lines of a beer, there above and here below, station under station and to one scale.

The drawings are those of the beer's own page, made lower so that both stand on a screen.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import attrs

from gyle.decide.difference import figure_differences
from gyle.decide.plan import figure_order
from gyle.quantities import write
from gyle.share.beer_words import house_name
from gyle.share.comparison_words import comparison_sentence
from gyle.share.difference_words import written_difference
from gyle.share.ribbon import Ribbon
from gyle.share.sentences import as_sentence
from gyle.share.signs import true_minus
from gyle.share.stations import of_minerals
from gyle.share.written_figure import aims_of, written
from gyle.web.line_view import COLUMNS, figure_view
from gyle.web.ribbon_drawing import HEIGHT_PX, LINE_PX, Drawn, Tone, drawn_across, drawn_down

if TYPE_CHECKING:
    from gyle.decide.difference import FigureDifference
    from gyle.decide.plan import Plan
    from gyle.line.figures import Band
    from gyle.share.ribbon import Side
    from gyle.web.adapt_results import Adapted
    from gyle.web.figure_strip import Strip

__all__ = ["LOWER", "PairedFigure", "Reach", "StationPair", "TwoLines", "two_lines"]

SERVING_L = 0.33  # that "alcohol in 330 mL" speaks of
LOWER = 0.66  # of the height a ribbon has on the beer's own page


@attrs.frozen(kw_only=True)
class StreamWords:
    """What is said of a stream, and where."""

    at_pct: str
    dx: float
    y: float
    joins: bool
    words: str


@attrs.frozen(kw_only=True)
class Reach:
    """One ribbon through one column."""

    drawn: tuple[Drawn, ...]
    words: tuple[tuple[StreamWords, ...], ...]  # of the streams of each stretch
    down: str
    tones: tuple[Tone, ...]
    litres: str  # that leave the station
    ink: str
    told: str  # the same for who cannot see it


@attrs.frozen(kw_only=True)
class PairedFigure:
    """A figure there and here; a side without it is empty."""

    name: str
    words: str
    there: str
    there_ends: str
    here: str
    here_ends: str
    strip: Strip | None
    aim: str
    miss: str
    first: bool
    by: str  # how it differs, "" where that is not worth saying
    beyond: bool  # whether it lies outside the band it has there


@attrs.frozen(kw_only=True)
class StationPair:
    """One column: both ribbons through it, its figures on both sides, what can hurt here."""

    key: str
    title: str
    there: Reach
    here: Reach
    figures: tuple[PairedFigure, ...]
    cautions: tuple[str, ...]

    @property
    def first(self) -> tuple[PairedFigure, ...]:
        """Figures that stand open: what a brewer looks at first, and whatever is quite another here."""
        return tuple(one for one in self.figures if one.first)

    @property
    def more(self) -> tuple[PairedFigure, ...]:
        """Figures that unfold."""
        return tuple(one for one in self.figures if not one.first)

    @property
    def more_words(self) -> str:
        """What is said of those."""
        differ = sum(bool(one.by) for one in self.more)
        return f"{len(self.more)} more" + (f", {differ} of them other than there" if differ else "")


@attrs.frozen(kw_only=True)
class TwoLines:
    """Both lines."""

    there: str  # the brewhouse above
    here: str  # and below
    sentence: str  # what differs most
    columns: tuple[StationPair, ...]
    whole: tuple[PairedFigure, ...]
    height_px: float
    lower: float


def two_lines(found: Adapted, *, system: str) -> TwoLines:
    """Put both plans of an adaptation under each other.

    Parameters
    ----------
    found : Adapted
        The beer there and here.
    system : {"metric", "us"}
        The person's units.
    """
    there, here = found.origin, found.plan
    differences = figure_differences(there, here)
    measured = any(side.brewhouse.water is not None for side in (there, here))
    known = {one.name: one for one in differences if measured or not of_minerals(one.name)}
    paired = _paired(there, here, known, system)
    ribbons = _reaches(found.there, found.here, system)
    cautions = here.cautions(system)
    columns = tuple(
        StationPair(
            key=key,
            title=title,
            there=ribbons["there"][key],
            here=ribbons["here"][key],
            figures=tuple(one for one in paired if one.name.partition(".")[0] in stations),
            cautions=tuple(as_sentence(one.text) for one in cautions if one.station in stations),
        )
        for key, title, stations in COLUMNS
    )
    return TwoLines(
        there=house_name(there),
        here=house_name(here),
        sentence=as_sentence(comparison_sentence(known.values(), system=system, bitterness=_measure(here))),
        columns=columns,
        whole=tuple(one for one in paired if one.name.startswith("line.")),
        height_px=round(LOWER * HEIGHT_PX, 1),
        lower=LOWER,
    )


def _measure(plan: Plan) -> str:
    by = plan.recipe.bitterness_by
    return "glass.bitterness" if by in ("kinetic", "laboratory") else f"glass.bitterness_{by}"


def _paired(there: Plan, here: Plan, known: Mapping[str, FigureDifference], system: str) -> list[PairedFigure]:
    other_scale = "glass.colour_srm" if system == "metric" else "glass.colour"
    names = sorted((name for name in known if name != other_scale), key=lambda name: (figure_order(name), name))
    aims = aims_of(here)
    # Every amount here is rounded to a scale, so what that moves is no news.
    misses = {miss.figure: miss for miss in here.misses if not miss.within_rounding}
    found = []
    for name in names:
        before, after = there.figures.get(name), here.figures.get(name)
        said, ends = _side(name, before, system)
        if after is None:
            assert before is not None
            view = figure_view(name, before, None, None, {}, system)
            value, band, by, beyond = "", "", "", False
        else:
            view = figure_view(name, after, aims.get(name), before, misses, system)
            value, band = true_minus(view.value), true_minus(view.ends)
            by, beyond = _difference(known[name], system)
        found.append(
            PairedFigure(
                name=name,
                words=_words(name, view.words, system),
                there=said,
                there_ends=ends,
                here=value,
                here_ends=band,
                strip=view.strip if before is not None and after is not None else None,
                aim=view.aim,
                miss=view.miss,
                first=view.first or beyond,
                by=by,
                beyond=beyond,
            )
        )
    return found


def _words(name: str, words: str, system: str) -> str:
    """A figure's words; a serving in the name of one is told in the person's units too."""
    if name != "glass.alcohol_g" or system == "metric":
        return words
    return f"{words} ({write(SERVING_L, 'volume', system=system)})"


def _side(name: str, band: Band | None, system: str) -> tuple[str, str]:
    if band is None:
        return "", ""
    said = written(name, band, system)
    return true_minus(said.value), true_minus(said.band)


def _difference(found: FigureDifference, system: str) -> tuple[str, bool]:
    """How a figure differs, and whether it is quite another: outside the band it has there."""
    said = written_difference(found, system)
    if said is None or not found.telling or found.before is None or found.after is None:
        return "", False
    by = f"{said.number} {said.unit}".strip()
    return by, not found.before.low <= found.after.mean <= found.before.high


def _reaches(there: Ribbon, here: Ribbon, system: str) -> dict[str, dict[str, Reach]]:
    """Both ribbons to one scale, by line and column."""
    drawn = drawn_across(Ribbon(stretches=(*there.stretches, *here.stretches))).stretches
    widest_L = max(there.widest_L, here.widest_L)
    split = len(there.stretches)
    found = {}
    for line, stretches in (("there", drawn[:split]), ("here", drawn[split:])):
        named = [attrs.evolve(one, key=f"{line}-{one.key}") for one in stretches]
        found[line] = {
            key: _reach([one for one in named if one.stretch.station in stations], widest_L, key, system)
            for key, _, stations in COLUMNS
        }
    return found


def _reach(drawn: list[Drawn], widest_L: float, key: str, system: str) -> Reach:
    down, tones = drawn_down([one.stretch for one in drawn], widest_L)
    litres = _volume(drawn[-1].volume_L, system)
    sides = [f"; {_stream_words(side, system)}" for one in drawn for side in one.stretch.sides]
    return Reach(
        drawn=tuple(drawn),
        words=_placed(drawn, system),
        down=down,
        tones=tones,
        litres=litres,
        ink=drawn[-1].ink,
        told=f"{litres} {'to drink' if key == 'glass' else 'go on from here'}{''.join(sides)}",
    )


def _placed(drawn: list[Drawn], system: str) -> tuple[tuple[StreamWords, ...], ...]:
    """Words beside the ends of streams, each of a column on a line of its own."""
    lines: dict[tuple[int, int], float] = {}
    for upwards in (True, False):
        same = [
            (place, number, stream.side.at)
            for place, one in enumerate(drawn)
            for number, stream in enumerate(one.streams)
            if stream.upwards is upwards
        ]
        same.sort(key=lambda found: (found[0], found[2]))
        for line, (place, number, _) in enumerate(same):
            aside = LINE_PX * (len(same) - 1 - line)
            lines[place, number] = 10.0 + aside if upwards else -aside
    return tuple(
        tuple(
            StreamWords(
                at_pct=stream.at_pct,
                dx=stream.text_x,
                y=round(LOWER * stream.text_y + lines[place, number], 1),
                joins=stream.joins,
                words=_stream_words(stream.side, system),
            )
            for number, stream in enumerate(one.streams)
        )
        for place, one in enumerate(drawn)
    )


def _stream_words(side: Side, system: str) -> str:
    return f"{_volume(side.volume_L.mean, system)} {side.words}"


def _volume(litres: float, system: str) -> str:
    return write(litres, "volume", system=system, unit="L" if system == "metric" else "gal", digits=1)
