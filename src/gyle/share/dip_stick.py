"""Dip-sticks: for each vessel of a brewhouse, the marks one would ink on a ruled stick stood in it.

Data only. A mark stands at the volume in the vessel as it is when it is read, hot where the brewer reads it hot;
its volume at 20 °C stands beside it. Without a plan there are the vessel's own marks; a plan adds what is in it.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import attrs

from gyle.beer.brewhouse import Brewhouse
from gyle.decide.plan import Plan
from gyle.quantities import convert, spoken
from gyle.share.ink_marks import Inked, InkMark, sure

__all__ = ["DipStick", "Tick", "dip_sticks"]

_MOST_TICKS = 12


class Tick(NamedTuple):
    """One line of the ruling: its height as a share of the stick, and its number where it has one."""

    share: float
    text: str


@attrs.frozen(kw_only=True)
class DipStick:
    """The stick of one vessel. `top_L` is its upper end: the brim, or the highest mark where that is beyond."""

    vessel: str  # "mash", "kettle", "fermenter", "keg"
    words: str
    brim_L: float
    brim: str
    top_L: float
    unit: str
    marks: tuple[InkMark, ...]  # from the foot up
    ticks: tuple[Tick, ...]

    def mark(self, key: str) -> InkMark | None:
        """The mark of a key, None if the stick has none."""
        return next((mark for mark in self.marks if mark.key == key), None)


def dip_sticks(house: Brewhouse, plan: Plan | None = None, *, system: str | None = None) -> tuple[DipStick, ...]:
    """Return the stick of every vessel, in the order of the beer's way.

    Parameters
    ----------
    house : Brewhouse
        Whose vessels they are; one stick where mash and boil share a vessel.
    plan : Plan, optional
        A beer planned on it, whose fillings are marked with their bands; one kept slim is brewed once more.
    system : {"metric", "us"}, optional
        The person's units; as this context speaks where left out.
    """
    inked = Inked(house, None if plan is None else plan.whole(), system or spoken())
    mash, kettle = [*inked.mash()], [*inked.kettle()]
    drawn = [
        ("fermenter", "fermenter", house.fermenter_vessel_L, [*inked.fermenter()]),
        ("keg", "keg", inked.keg_L, [*inked.keg()]),
    ]
    if house.same_vessel:
        drawn.insert(0, ("kettle", "mash vessel and kettle in one", house.kettle_vessel_L, mash + kettle))
    else:
        drawn[:0] = [
            ("mash", "mash vessel", house.mash_vessel_L, mash),
            ("kettle", "kettle", house.kettle_vessel_L, kettle),
        ]
    return tuple(_stick(vessel, words, brim, [*marks, inked.brim(brim)], inked) for vessel, words, brim, marks in drawn)


def _stick(vessel: str, words: str, brim_L: float, marks: list[InkMark], inked: Inked) -> DipStick:
    marks = sorted(marks, key=lambda mark: mark.volume_L.mean)
    top = max(brim_L, *(mark.volume_L.high for mark in marks))
    placed = tuple(
        attrs.evolve(
            mark,
            share=mark.volume_L.mean / top,
            low_share=max(mark.volume_L.low / top, 0.0),
            high_share=mark.volume_L.high / top,
        )
        for mark in marks
    )
    return DipStick(
        vessel=vessel,
        words=words,
        brim_L=brim_L,
        brim=inked.text(sure(brim_L)),
        top_L=top,
        unit=inked.unit,
        marks=placed,
        ticks=_ticks(top, inked.unit),
    )


def _ticks(top_L: float, unit: str) -> tuple[Tick, ...]:
    """Rule a stick in round steps of the person's unit, every one of them numbered."""
    top = convert(top_L, "volume", unit)
    least = top / _MOST_TICKS
    power = 10.0 ** math.floor(math.log10(least))
    step = next(step for step in (power, 2.0 * power, 5.0 * power, 10.0 * power) if step >= least)
    return tuple(Tick(count * step / top, f"{count * step:g}") for count in range(math.floor(top / step + 1e-9) + 1))
