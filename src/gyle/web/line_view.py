"""The line as a page shows it: one column for each station, what goes in, its axis, its figures, its cautions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import attrs

from gyle.line.figures import Band, figure
from gyle.line.words import sentence
from gyle.quantities import write
from gyle.share.day import day_of, in_order, long_text, said_already
from gyle.share.ribbon import srgb_hex
from gyle.share.sentences import as_sentence
from gyle.share.signs import true_minus
from gyle.share.stations import of_minerals
from gyle.share.written_figure import aims_of, bitterness_figure, hours, miss_words, written
from gyle.web.figure_strip import Strip, reach_of, strip
from gyle.web.ribbon_drawing import Across, Drawn, Tone, drawn_across, drawn_down
from gyle.web.station_axes import Axis, Curve, boil_axis, fermentation_axis, letters_of, mash_curves, stand_axis

if TYPE_CHECKING:
    from gyle.beer.recipe import Recipe
    from gyle.decide.plan import Plan
    from gyle.web.forecasts import Forecast

__all__ = ["COLUMNS", "Column", "FigureView", "LineView", "bare_line", "figure_view", "line_view"]

# Columns of the page and the stations each shows.
COLUMNS = (
    ("water", "Water", ("water",)),
    ("mash", "Mash", ("mash", "lauter")),
    ("kettle", "Kettle", ("kettle",)),
    ("stand", "Stand", ("stand",)),
    ("fermenter", "Fermenter", ("fermenter",)),
    ("keg", "Keg", ("keg",)),
    ("glass", "Glass", ("glass",)),
)
# What a brewer looks at first; the rest unfolds below it.
_FIRST = {
    "water.residual_alkalinity",
    "mash.strike_temperature",
    "mash.volume",
    "mash.ph",
    "lauter.efficiency",
    "lauter.bed_kg",
    "kettle.full.volume",
    "kettle.full.gravity",
    "kettle.end.volume",
    "kettle.end.gravity",
    "stand.iso_alpha",
    "fermenter.volume",
    "fermenter.original_gravity",
    "fermenter.final_gravity",
    "fermenter.alcohol",
    "keg.volume",
    "keg.pressure",
    "keg.carbonation",
    "glass.bitterness",
    "glass.bitterness_tinseth",
    "glass.colour",
    "glass.colour_srm",
    "glass.alcohol_g",
}


@attrs.frozen(kw_only=True)
class FigureView:
    """A figure beside its strip."""

    name: str
    words: str
    value: str
    ends: str
    strip: Strip | None
    aim: str = ""
    miss: str = ""
    first: bool = True
    moved: str = ""  # from where, if it was elsewhere before the edits


@attrs.frozen(kw_only=True)
class Column:
    """One station's column."""

    key: str
    title: str
    drawn: tuple[Drawn, ...] = ()
    down: str = ""
    down_tones: tuple[Tone, ...] = ()
    figures: tuple[FigureView, ...] = ()
    cautions: tuple[str, ...] = ()
    axis: Axis | None = None
    curves: tuple[Curve, ...] = ()

    @property
    def first(self) -> tuple[FigureView, ...]:
        """Figures that stand open."""
        return tuple(figure for figure in self.figures if figure.first)

    @property
    def more(self) -> tuple[FigureView, ...]:
        """Figures that unfold."""
        return tuple(figure for figure in self.figures if not figure.first)

    @property
    def volume_L(self) -> float:
        """Litres that leave the station."""
        return self.drawn[-1].volume_L if self.drawn else 0.0


@attrs.frozen(kw_only=True)
class DayStep:
    """One step of the day in words."""

    clock: str
    words: str
    minutes: str
    station: str


@attrs.frozen(kw_only=True)
class LineView:
    """The whole line."""

    columns: tuple[Column, ...]
    letters: Mapping[str, str]
    across: Across | None = None  # None where there is no forecast
    whole: tuple[FigureView, ...] = ()
    day: tuple[DayStep, ...] = ()
    day_words: str = ""
    notes: tuple[str, ...] = ()
    short_of: tuple[str, ...] = ()
    glass: str = ""
    gist: tuple[FigureView, ...] = ()  # the beer in five figures
    solved: Mapping[str, str] = attrs.field(factory=dict)


def line_view(now: Forecast, *, system: str, before: Forecast | None = None) -> LineView:
    """Put a forecast in the order of the line.

    Parameters
    ----------
    now : Forecast
        What is shown.
    system : {"metric", "us"}
        The person's units.
    before : Forecast, optional
        What bands are compared with: the version the edits began from.
    """
    plan = now.plan
    across = drawn_across(now.ribbon)
    figures = _figures(plan, before.plan if before is not None and before is not now else None, system)
    cautions = plan.cautions(system)
    columns = []
    for key, title, stations in COLUMNS:
        drawn = across.of(*stations)
        down, tones = drawn_down([part.stretch for part in drawn], now.ribbon.widest_L)
        columns.append(
            Column(
                key=key,
                title=title,
                drawn=drawn,
                down=down,
                down_tones=tones,
                figures=tuple(view for view in figures if view.name.partition(".")[0] in stations),
                cautions=tuple(as_sentence(c.text) for c in cautions if c.station in stations),
                **_axis(key, plan, system),
            )
        )
    minutes = plan.figures["line.minutes"]
    return LineView(
        across=across,
        columns=tuple(columns),
        whole=tuple(view for view in figures if view.name.startswith("line.")),
        day=tuple(_day(plan, system)),
        day_words=f"{hours(minutes.mean)} h from water to pitched ({hours(minutes.low)} to {hours(minutes.high)})",
        notes=tuple(dict.fromkeys(as_sentence(note) for note in (*now.supposed, *plan.notes))),
        short_of=tuple(as_sentence(one) for one in plan.short_of),
        letters=letters_of(plan.recipe),
        gist=tuple(view for name in gist_names(plan, system) for view in figures if view.name == name),
        glass=srgb_hex(plan.figures["glass.colour_srm"].mean),
        solved=_solved(plan, system),
    )


def gist_names(plan: Plan, system: str) -> tuple[str, ...]:
    """Return the five figures a beer is known by."""
    colour = "glass.colour" if system == "metric" else "glass.colour_srm"
    wort = ("fermenter.original_gravity", "fermenter.final_gravity", "fermenter.alcohol")
    return (*wort, bitterness_figure(plan.recipe.bitterness_by), colour)


def bare_line(recipe: Recipe, *, system: str) -> LineView:
    """Put in the order of the line what a recipe says that cannot be brewed: what goes in, and no figures."""
    axes = {"kettle": boil_axis(recipe, system=system), "stand": stand_axis(recipe, system=system)}
    return LineView(
        columns=tuple(Column(key=key, title=title, axis=axes.get(key)) for key, title, _ in COLUMNS),
        letters=letters_of(recipe),
        solved={"water": ""},
    )


def _axis(key: str, plan: Plan, system: str) -> dict[str, Any]:
    if key == "mash":
        return {"curves": mash_curves(plan, system=system)}
    if key == "kettle":
        return {"axis": boil_axis(plan.recipe, system=system)}
    if key == "stand":
        return {"axis": stand_axis(plan.recipe, system=system)}
    if key == "fermenter":
        return {"axis": fermentation_axis(plan, system=system)}
    return {}


def _figures(plan: Plan, before: Plan | None, system: str) -> list[FigureView]:
    other_scale = "glass.colour_srm" if system == "metric" else "glass.colour"
    aims = aims_of(plan)
    misses = {miss.figure: miss for miss in plan.misses}
    stated = plan.brewhouse.water is not None
    views = []
    for name, band in plan.figures.items():
        if name == other_scale or (of_minerals(name) and not stated):
            continue
        was = before.figures.get(name) if before is not None else None
        views.append(figure_view(name, band, aims.get(name), was, misses, system))
    from gyle.decide.plan import figure_order

    return sorted(views, key=lambda view: (figure_order(view.name), view.name))


def figure_view(
    name: str, band: Band, aim: float | None, was: Band | None, misses: Mapping[str, Any], system: str
) -> FigureView:
    shown = written(name, band, system)
    known = figure(name)
    assert known is not None
    number = name.rpartition(".")[0]
    again = next((piece for piece in number.split(".") if piece.isdigit()), "")
    words = shown.words + (f", mash {again}" if again else "")
    before = written(name, was, system) if was is not None else None
    reach = reach_of(name, known.kind, (was or band).mean)
    moved = before is not None and before.number != shown.number
    return FigureView(
        name=name,
        words=words,
        value=true_minus(shown.value),
        ends=true_minus(shown.band),
        strip=None if shown.sure and aim is None else strip(band, reach=reach, aim=aim, before=was),
        aim="" if aim is None else write(aim, known.kind, system=system),
        miss="" if name not in misses else miss_words(misses[name], system),
        first=name in _FIRST or aim is not None or name in misses,
        moved=f"was {before.value}" if moved and before is not None else "",
    )


def _day(plan: Plan, system: str) -> Sequence[DayStep]:
    found = []
    pitched = False
    for step in in_order(plan.steps):
        start, minutes = float(step.start_min.mean()), float(step.minutes.mean())
        clock = day_of(step, plan) if pitched else hours(start)
        pitched = pitched or step.move.process == "pitch"
        words = sentence(step, plan.brew, system=system)
        found.append(
            DayStep(
                clock=clock,
                words=words,
                minutes="" if said_already(minutes, words) else long_text(minutes),
                station=step.move.station,
            )
        )
    return found


def _solved(plan: Plan, system: str) -> dict[str, str]:
    """What the recipe leaves open, by the place of the input that would state it; and what a share comes to."""
    amounts = plan.amounts
    found = {}
    for place, kg in enumerate(amounts.grist_kg):
        found[f"grist.{place}.amount"] = write(float(kg) * plan.recipe.gyles, "mass", system=system)
    for place, kg in enumerate(amounts.hops_kg):
        unit = "oz" if system == "us" else "g"
        found[f"hops.{place}.amount"] = write(float(kg) * plan.recipe.gyles, "mass", system=system, unit=unit)
    liquor = [float(part) for part in amounts.liquor_L]
    sparge = [float(part) for part in amounts.sparge_L]
    found["mash.0.liquor"] = write(liquor[0] * plan.recipe.gyles, "volume", system=system)
    found["sparge.volume"] = write(sum(sparge) * plan.recipe.gyles, "volume", system=system)
    found["water"] = write((sum(liquor) + sum(sparge)) * plan.recipe.gyles, "volume", system=system)
    for step in plan.brew.steps:
        stated_at = {"sparge": "sparge.temperature", "package": "package.temperature"}.get(step.move.process)
        if stated_at is not None and stated_at not in found:
            found[stated_at] = write(float(step.move.inputs["temperature_C"]), "temperature", system=system)
    return found
