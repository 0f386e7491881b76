"""A difference of a figure written down: a sign, the number, its band, in the person's units.

A difference has no zero point: 1 °C more is 1.8 °F more, and a gravity differs by 0.004 and not by 1.004.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from gyle.line.figures import Band
from gyle.quantities import band_text, unit_for

if TYPE_CHECKING:
    from gyle.decide.difference import FigureDifference
    from gyle.quantities import BandText

__all__ = ["WrittenDifference", "difference_text", "written_difference"]

# Units of the figures that no system of units changes: the number is said as it is.
OWN_UNITS = ("% vol", "IBU/point", "SRM", "g", "min")
MINUS = "−"
# The kinds whose differences are of another kind, as their units have a zero point of their own.
_DIFFERENCE_OF = {"temperature": "temperature_difference"}


class WrittenDifference(NamedTuple):
    """A difference as it is printed, each number with its sign; `low` and `high` are alike where it is sure."""

    number: str
    unit: str
    low: str
    high: str

    @property
    def text(self) -> str:
        """The whole: "+3 IBU (+2 to +4)"; the ends carry a sign only where it is not that of the number."""
        value = f"{self.number} {self.unit}".strip()
        return value if self.low == self.high else f"{value} ({self.ends})"

    @property
    def ends(self) -> str:
        """The band: without "+" where it lies above zero."""
        return f"{self.low.lstrip('+')} to {self.high.lstrip('+')}"


def difference_text(difference: Band, kind: str, *, system: str, unit: str = "", near: float | None = None) -> str:
    """Write a difference with its band.

    Parameters
    ----------
    difference : Band
        After less before, in the canonical unit of the kind.
    kind : str
        The kind of quantity of the figure.
    system : {"metric", "us"}
        The person's units.
    unit : str, optional
        The figure's own unit, where it has one that is not turned: "% vol", "SRM".
    near : float, optional
        A value of the figure, so that its difference is told in the unit the figure is told in.

    Returns
    -------
    str
        Such as "+3 IBU (2 to 4)".

    Examples
    --------
    >>> difference_text(Band(mean=3.0, low=2.0, high=4.0, median=3.0), "bitterness", system="metric")
    '+3.0 IBU (2.0 to 4.0)'
    >>> difference_text(Band(mean=1.0, low=1.0, high=1.0, median=1.0), "temperature", system="us")
    '+1.8 °F'
    """
    return _written(difference, kind, system=system, unit=unit, near=near).text


def written_difference(found: FigureDifference, system: str) -> WrittenDifference | None:
    """Write what a change does to a figure; None where only one version has it."""
    if found.difference is None or found.after is None:
        return None
    return _written(found.difference, found.kind, system=system, unit=found.unit, near=found.after.mean)


def _written(difference: Band, kind: str, *, system: str, unit: str, near: float | None) -> WrittenDifference:
    own = unit if unit in OWN_UNITS else ""
    text = _texts(difference, kind, system, own, near)
    said = own or ("" if text.unit in ("SG", "pH") else text.unit)
    return WrittenDifference(_signed(text.mean), said, _signed(text.low), _signed(text.high))


def _texts(difference: Band, kind: str, system: str, own: str, near: float | None) -> BandText:
    ends = difference.mean, difference.low, difference.high
    if own == "SRM":
        return band_text(*ends, "colour", unit="EBC")  # the number stays as it is
    if own == "min":
        return band_text(*ends, "time", unit="min")
    if own in ("g", "IBU/point"):
        return band_text(*ends, "percent" if own == "g" else "ratio")
    if kind == "volume" and system == "metric":
        return band_text(*ends, kind, unit="L")  # a line's volumes are compared with each other
    sort = _DIFFERENCE_OF.get(kind, kind)
    size = abs(difference.mean if near is None else near)
    return band_text(*ends, sort, system=system, unit=unit_for(sort, system, value=size))


def _signed(number: str) -> str:
    if not any(digit in number for digit in "123456789"):
        return number.lstrip("-")
    return f"{MINUS}{number[1:]}" if number.startswith("-") else f"+{number}"
