"""What a brewer calls a salt or an acid in a narrow place, and what it is in full."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from gyle.beer.mineral import Mineral
    from gyle.decide.water_work import WaterWork

__all__ = ["called", "full_name", "in_full", "mineral_held", "short_name"]

# The form a usual tub holds goes without saying where the full name stands beside it.
_USUAL_FORM = " dihydrate"


def short_name(mineral: Mineral) -> str:
    """Return what a brewer says: "gypsum", "calcium chloride", "lactic acid 80 %"."""
    return mineral.spoken.removesuffix(_USUAL_FORM) if mineral.usual else mineral.spoken


def full_name(mineral: Mineral) -> str:
    """Return what it is in chemistry's words, no more than the form where that is all; "" where a brewer says it."""
    short = short_name(mineral)
    return mineral.name.removeprefix(short).strip() if mineral.name.startswith(short) else mineral.name


def mineral_held(work: WaterWork, name: str) -> Mineral | None:
    """Return what is at hand under a name."""
    minerals = () if work.treatment is None else work.treatment.shelf.minerals
    return next((one for one in minerals if one.name == name), None)


def called(work: WaterWork, name: str) -> str:
    """Return what a brewer calls something at hand."""
    mineral = mineral_held(work, name)
    return name if mineral is None else short_name(mineral)


def in_full(work: WaterWork, name: str) -> str:
    """Return what something at hand is in chemistry's words, "" where a brewer says no other."""
    mineral = mineral_held(work, name)
    return "" if mineral is None else full_name(mineral)
