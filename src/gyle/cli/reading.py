"""Reading what a command line names: files and quantities, every fault of all of them told together."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from gyle.errors import BadInput, GyleError

__all__ = ["a_ph", "a_place", "a_volume_L", "all_of"]

LARGEST_L = 100_000.0
LOWEST_PH, HIGHEST_PH = 4.5, 6.5


def all_of(*readings: Callable[[], Any]) -> tuple[Any, ...]:
    """Do every reading and return what they give, or refuse with the faults of all.

    Raises
    ------
    BadInput
        If any reading failed.
    """
    found: list[Any] = []
    faults: list[str] = []
    for reading in readings:
        try:
            found.append(reading())
        except BadInput as error:
            faults.extend(error.faults)
        except GyleError as error:
            faults.append(str(error))
    if faults:
        raise BadInput(dict.fromkeys(faults))
    return tuple(found)


def a_volume_L(text: str, *, option: str) -> float:
    """Return a volume at 20 °C [L].

    Raises
    ------
    BadInput
        If it is none, or none a brewer could mean.
    """
    from gyle.beer.amounts import volume_L
    from gyle.quantities import read

    try:
        litres = volume_L(read(text, "volume"))
    except BadInput as error:
        raise error.at(option) from None
    except GyleError as error:
        raise BadInput(f"{option}: {error}") from None
    if not (0.0 < litres <= LARGEST_L and math.isfinite(litres)):
        raise BadInput(
            f"{option}: {litres:g} L is no volume to brew; it must be more than 0 and at most {LARGEST_L:,.0f} L"
        )
    return litres


def a_ph(text: str, *, option: str) -> float:
    """Return a mash pH that a mash can be asked for.

    Raises
    ------
    BadInput
        If it is no pH, or none a mash has.
    """
    from gyle.quantities import read

    try:
        value = read(text, "ph").value
    except BadInput as error:
        raise error.at(option) from None
    if not LOWEST_PH <= value <= HIGHEST_PH:
        raise BadInput(f"{option} is {value:g}, and a mash pH between {LOWEST_PH:g} and {HIGHEST_PH:g} was wanted")
    return value


def a_place(text: str) -> str:
    """Return where a volume is counted: "fermenter" or "keg".

    Raises
    ------
    BadInput
        If it is neither.
    """
    place = text.strip().casefold()
    if place not in ("fermenter", "keg"):
        raise BadInput(f"--into is {text[:40]!r}, and it must be fermenter or keg")
    return place
