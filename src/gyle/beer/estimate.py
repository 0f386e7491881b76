"""What is believed about one figure: a centre, how far off it may be, and where it comes from."""

from __future__ import annotations

import math

import attrs

__all__ = ["Estimate", "known"]


def _finite(_: object, attribute: attrs.Attribute[float], value: float) -> None:
    if not math.isfinite(value):
        raise ValueError(f"{attribute.name} must be a finite number, not {value}")


@attrs.frozen(kw_only=True)
class Estimate:
    """A figure that is not known exactly.

    Parameters
    ----------
    centre : float
        The middle of the belief (the median where `log` is true), in the unit its owner's name says.
    spread : float
        One standard deviation of what is unknown but stays the same from gyle to gyle; learned away.
        Relative (a log standard deviation) where `log` is true.
    each_time : float
        One standard deviation of what differs every gyle; same unit as `spread`.
    low, high : float
        The physical range; no sampled value lies outside it.
    log : bool
        Whether the figure is a positive one whose errors multiply.
    source : str
        Where it comes from, in a few words a brewer understands.
    """

    centre: float = attrs.field(converter=float, validator=_finite)
    spread: float = attrs.field(default=0.0, converter=float, validator=_finite)
    each_time: float = attrs.field(default=0.0, converter=float, validator=_finite)
    low: float = -math.inf
    high: float = math.inf
    log: bool = False
    source: str = ""

    def __attrs_post_init__(self) -> None:
        if self.spread < 0 or self.each_time < 0:
            raise ValueError("a spread cannot be negative")
        if not self.low <= self.centre <= self.high:
            raise ValueError(f"{self.centre:g} is not between {self.low:g} and {self.high:g}")
        if self.log and self.centre <= 0:
            raise ValueError("a figure whose errors multiply must be above zero")

    @property
    def certain(self) -> bool:
        """Whether nothing about it is uncertain."""
        return self.spread == 0.0 and self.each_time == 0.0


def known(value: float, source: str = "stated") -> Estimate:
    """Return an estimate with no spread: a decision, not a measurement."""
    return Estimate(centre=value, source=source)
