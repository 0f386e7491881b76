"""A figure written down: its words, its number and band in the person's units, its aim, a miss."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from gyle.beer.figures import BITTERNESS_FIGURE
from gyle.decide.wanted import span_words
from gyle.line.figures import Band, Figure, figure
from gyle.quantities import band_text, write

if TYPE_CHECKING:
    from gyle.decide.plan import Miss, Plan
    from gyle.quantities import BandText

__all__ = [
    "Written",
    "aims_of",
    "bitterness_figure",
    "hours",
    "litres_text",
    "miss_words",
    "push_words",
    "texts",
    "written",
]

_OWN_UNITS = ("% vol", "IBU/point", "pH", "SRM")  # said as the figure says it


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
        """Number and unit; a pH stands behind its name, and alone where the figure's words say it."""
        if self.unit == "pH":
            return self.number if "pH" in self.words else f"pH {self.number}"
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


def bitterness_figure(counted_by: str) -> str:
    """The figure of the bitterness by the rule a recipe counts it by; by the usual rule where that one is unknown."""
    return BITTERNESS_FIGURE.get(counted_by, "glass.bitterness_tinseth")


def litres_text(volume_L: float, system: str) -> str:
    """A volume on the line, in the one unit in which all of them are compared."""
    return write(volume_L, "volume", system=system, unit="L" if system == "metric" else "gal", digits=1)


def aims_of(plan: Plan) -> dict[str, float]:
    """Every aim a figure of the plan has."""
    recipe = plan.recipe
    aims = {aim.figure: aim.value for aim in recipe.aims}
    if recipe.volume_L is not None:
        aims["fermenter.volume" if recipe.into == "fermenter" else "keg.volume"] = recipe.volume_L
    return {name: value for name, value in aims.items() if name in plan.figures}


def miss_words(miss: Miss, system: str) -> str:
    """What is said of an aim that is not met."""
    known = figure(miss.figure)
    assert known is not None
    got = write(miss.got, known.kind, system=system)
    wanted = write(miss.wanted, known.kind, system=system)
    if miss.span is not None:
        wanted = f"{span_words(*miss.span)} mg/L"
    if miss.figure.startswith("water.") or known.kind == "ph":
        return f"{wanted} is not met: it comes to {got}"
    if miss.within_rounding:
        return f"the stated amounts give {got}; {wanted} is met within the rounding of what is printed"
    return f"{wanted} is not met: the stated amounts give {got}"


def push_words(push: float, band: Band, name: str, system: str) -> str:
    """What one standard deviation of an input does to the figure."""
    there = written(name, Band(mean=band.mean + push, low=band.low, high=band.high, median=band.mean), system)
    here = written(name, band, system)
    return f"where it is one standard deviation higher, {there.value} instead of {here.number}"
