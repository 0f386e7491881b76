"""Behind a figure: its equations, their sources, and the three inputs that move it most, in a brewer's words."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from gyle.decide.sources import Equation, sources
from gyle.share.input_words import input_words
from gyle.share.written_figure import aims_of, push_words
from gyle.web.line_view import FigureView, figure_view

if TYPE_CHECKING:
    from gyle.web.forecasts import Forecast

__all__ = ["Behind", "behind"]


@attrs.frozen(kw_only=True)
class MoverView:
    """An input that moves a figure."""

    words: str
    source: str
    share: str
    width: str
    push: str


@attrs.frozen(kw_only=True)
class Behind:
    """What stands behind a figure."""

    words: str
    station: str
    equations: tuple[Equation, ...]
    movers: tuple[MoverView, ...]


def behind(now: Forecast, name: str, *, system: str) -> tuple[Behind, FigureView]:
    """Explain a figure of a forecast.

    Raises
    ------
    BadInput
        If there is no such figure.
    """
    found = sources(now.plan.brew, name)
    band = now.plan.figures[name]
    movers = tuple(
        MoverView(
            words=input_words(mover.name),
            source=mover.source,
            share=f"{100.0 * mover.share:.0f} %",
            width=f"{100.0 * min(mover.share, 1.0):.1f}%",
            push=push_words(mover.push, band, name, system),
        )
        for mover in found.movers
    )
    view = figure_view(name, band, aims_of(now.plan).get(name), None, {}, system)
    return Behind(words=found.words, station=name.partition(".")[0], equations=found.equations, movers=movers), view
