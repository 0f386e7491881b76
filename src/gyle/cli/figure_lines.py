"""The line from water to glass: every figure at its station with its band, its aim and what can hurt there."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, NamedTuple

from gyle.cli.paper import Cell, Ink, Page
from gyle.decide.plan import Miss, Plan, figure_order
from gyle.decide.wanted import span_words
from gyle.line.figures import Band, Figure, figure
from gyle.quantities import band_text, write

if TYPE_CHECKING:
    from gyle.quantities import BandText

__all__ = ["STATIONS", "Written", "aims_of", "figure_rows", "hours", "station_groups", "written"]

STATIONS = ("water", "mash", "lauter", "kettle", "stand", "fermenter", "keg", "glass")
_AGAIN = ("mash", "lauter")  # stations that come again, in turn, with a second mash

_OWN_UNITS = ("% vol", "IBU/point", "pH", "SRM")  # said as the figure says it
LONGEST_UNIT = 6
NUMBER = 6
STRIP = 9


class Written(NamedTuple):
    """A figure as it is printed."""

    words: str
    number: str
    unit: str
    low: str
    high: str

    @property
    def sure(self) -> bool:
        """Whether the band is closed at the precision shown."""
        return self.low == self.high

    @property
    def value(self) -> str:
        """Number and unit."""
        return f"{self.number} {self.unit}" if self.unit and self.unit != "SG" else self.number

    @property
    def band(self) -> str:
        """The ends of the band."""
        return "" if self.sure else f"{self.low} to {self.high}"


def texts(known: Figure, band: Band, system: str) -> BandText:
    """A figure's numbers in the units of a system."""
    unit, scale = None, 1.0
    if known.name == "glass.alcohol_g":
        unit, scale = "g", 1e-3
    elif known.name == "glass.colour_srm":
        unit = "EBC"  # the number stays as it is: the figure is on the other scale already
    elif known.kind == "volume" and system == "metric":
        unit = "L"  # a line's volumes are compared with each other
    mean, low, high = (scale * end for end in (band.mean, band.low, band.high))
    text = band_text(mean, low, high, known.kind, system=system, unit=unit)
    return text._replace(unit=known.unit) if known.unit in _OWN_UNITS else text


def written(name: str, band: Band, system: str) -> Written:
    """A figure as it is printed: words, number, unit and the ends of its band."""
    known = figure(name)
    assert known is not None
    text = texts(known, band, system)
    if known.name == "line.minutes":
        return Written(known.words, hours(band.mean), "h", hours(band.low), hours(band.high))
    return Written(known.words, text.mean, text.unit, text.low, text.high)


def hours(minutes: float) -> str:
    """Return minutes as a clock shows them, 5:07."""
    whole = round(minutes)
    return f"{whole // 60}:{whole % 60:02d}"


def aims_of(plan: Plan) -> dict[str, float]:
    """Every aim a figure of the plan has."""
    recipe = plan.recipe
    aims = {aim.figure: aim.value for aim in recipe.aims}
    if recipe.volume_L is not None:
        aims["fermenter.volume" if recipe.into == "fermenter" else "keg.volume"] = recipe.volume_L
    return {name: value for name, value in aims.items() if name in plan.figures}


def station_groups(names: Iterable[str], system: str) -> list[tuple[str, list[str]]]:
    """Put figures in the order of the beer's way: by station, a second mash after the first.

    The colour is said on one scale only, that of the system.
    """
    other_scale = "glass.colour_srm" if system == "metric" else "glass.colour"
    groups: dict[tuple[int, int, int, str], list[str]] = {}
    for name in names:
        if name != other_scale:
            groups.setdefault(_place(name), []).append(name)
    return [(_label(found[0]), sorted(found, key=figure_order)) for _, found in sorted(groups.items())]


def _place(name: str) -> tuple[int, int, int, str]:
    """Where a figure's station stands; with a second mash the line goes mash, lauter, mash, lauter, kettle."""
    station, *rest = name.split(".")
    part = rest[0] if len(rest) > 1 and (rest[0].isdigit() or len(rest[0]) == 1) else ""
    place = STATIONS.index(station) if station in STATIONS else len(STATIONS)
    if station == "water":
        return (0, 0, place, part)
    if station in _AGAIN:
        return (1, int(part) if part.isdigit() else 1, place, "")
    return (2, 0, place, part)


def _label(name: str) -> str:
    station, part = name.partition(".")[0], _place(name)[3]
    if station in _AGAIN and _place(name)[1] > 1:
        part = str(_place(name)[1])
    return "in all" if station == "line" else f"{station} {part}".strip()


def strip(band: Band, aim: float | None) -> list[Ink]:
    """Draw a band: its ends, the mean, and the aim where it lies inside."""
    marks = ["├", *"─" * (STRIP - 2), "┤"]
    width = band.high - band.low

    def place(value: float) -> int:
        return round((value - band.low) / width * (STRIP - 1))

    marks[min(max(place(band.mean), 1), STRIP - 2)] = "┼"
    inks = [Ink(mark, "quiet") for mark in marks]
    if aim is not None and band.low <= aim <= band.high:
        inks[place(aim)] = Ink("◆", "aim")
    return inks


def figure_rows(page: Page, plan: Plan, names: Iterable[str], system: str) -> None:
    """Add figures beside the rule: words, value, band, aim; a missed aim says so below."""
    aims = aims_of(plan)
    misses = {miss.figure: miss for miss in plan.misses}
    for name in names:
        band = plan.figures[name]
        shown = written(name, band, system)
        known = figure(name)
        assert known is not None
        words, unit = shown.words, shown.unit
        aim = aims.get(name)
        if aim is not None:
            words += f" ◆ {write(aim, known.kind, system=system)}"
        if len(unit) > LONGEST_UNIT:
            words, unit = f"{words} ({unit})", ""
        if page.narrow:
            ends = shown.band
            ends_width = 16
            space = page.room - NUMBER - 1 - LONGEST_UNIT - ends_width
            tail: list[Cell | Ink] = [Cell(ends, ends_width, "quiet", right=True)]
        else:
            ends_width = 2 * NUMBER + STRIP + 2
            space = page.room - NUMBER - 1 - LONGEST_UNIT - ends_width - 1
            tail = []
            if not shown.sure:
                tail = [Cell(shown.low, NUMBER, "quiet", right=True), Ink(" "), *strip(band, aim)]
                tail += [Ink(" "), Cell(shown.high, NUMBER, "quiet")]
        page.row(
            Cell(words, space - 1),
            Ink(" "),
            Cell(shown.number, NUMBER, "strong", right=True),
            Ink(" "),
            Cell("" if unit == "SG" else unit, LONGEST_UNIT),
            *tail,
        )
        if name in misses:
            _miss(page, misses[name], known, system)


def _miss(page: Page, miss: Miss, known: Figure, system: str) -> None:
    wanted = write(miss.wanted, known.kind, system=system)
    if miss.span is not None:
        wanted = f"{span_words(*miss.span)} mg/L"
    if miss.figure.startswith("water.") or known.kind == "ph":
        got = write(miss.got, known.kind, system=system)
        page.remark(f"{wanted} is not met: it comes to {got}", "◆", "alarm")
        return
    got = write(miss.got, known.kind, system=system)
    if miss.within_rounding:
        page.remark(
            f"the stated amounts give {got}; {wanted} is met within the rounding of what is printed", "◆", "aim"
        )
    else:
        page.remark(f"{wanted} is not met: the stated amounts give {got}", "◆", "alarm")
