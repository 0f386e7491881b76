"""Where a search that has no start begins: the smallest of many grists that gives the gravity, or a refusal."""

from __future__ import annotations

from typing import NoReturn

import numpy as np
from numpy.typing import NDArray

from gyle.decide.candidates import THICKEST_L_KG, Candidates
from gyle.errors import Infeasible
from gyle.quantities import write

__all__ = ["scan_grists"]

Array = NDArray[np.float64]

CANDIDATES = 40


def scan_grists(search: Candidates) -> None:
    """Find the smallest grist that gives the aim, the greatest gravity first."""
    aim = search.targets.gravity_sg
    if aim is None or not search.free.grist:
        return
    middle = float(search.grist[0])
    low, high = np.log(0.3), np.log(3.2)
    if search.free.line is not None:
        low, high = np.log(0.02), np.log(8.0)
    sharpened = False
    for _ in range(4):
        search.grist = middle * np.exp(np.linspace(low, high, CANDIDATES))
        search.water = np.full(CANDIDATES, float(search.water[0]))
        for _ in range(4):
            brew = search.run()
            search.settle_water(brew)
        gravity = np.broadcast_to(brew.figures["fermenter.original_gravity"], search.grist.shape)
        usable = ~np.broadcast_to(search.too_thick(brew), search.grist.shape)
        above = np.flatnonzero(usable & (gravity >= aim))
        if above.size == 0:
            last = int(np.flatnonzero(usable)[-1]) if usable.any() else CANDIDATES
            if sharpened or last + 1 >= CANDIDATES:
                _refuse_gravity(search, gravity, usable, aim)
            # The end lies between two candidates: look there before refusing.
            sharpened = True
            low, high = np.log(search.grist[last] / middle), np.log(search.grist[last + 1] / middle)
            continue
        first = int(above[0])
        if first > 0:
            break
        if sharpened:
            search.grist, search.water = search.grist[:1], search.water[:1]
            return
        low, high = low - 2.0, low + (high - low) / (CANDIDATES - 1)
    else:
        raise Infeasible(f"less than a handful of grist gives {aim:.3f} already; the stated amounts alone are too much")
    fraction = (aim - gravity[first - 1]) / (gravity[first] - gravity[first - 1])
    step = np.log(search.grist[first] / search.grist[first - 1])
    water = search.water[first - 1] + fraction * (search.water[first] - search.water[first - 1])
    search.grist = search.grist[first - 1 : first] * np.exp(fraction * step)
    search.water = np.full(1, water)


def _volume(search: Candidates) -> str:
    return write(search.targets.volume_L or 0.0, "volume")


def _refuse_gravity(search: Candidates, gravity: Array, usable: NDArray[np.bool_], aim: float) -> NoReturn:
    if not usable.any():
        raise Infeasible(
            f"{search.brewhouse.name} cannot mash this: with {_volume(search)} wanted, every grist"
            f" that could be tried is thicker than {write(THICKEST_L_KG, 'thickness')}"
        )
    best = int(np.argmax(np.where(usable, gravity, -np.inf)))
    raise Infeasible(
        f"an original gravity of {aim:.3f} cannot be reached on {search.brewhouse.name} with"
        f" {_volume(search)} and this way of mashing: {gravity[best]:.3f} is the most,"
        f" with {write(float(np.sum(search.grist[best])), 'mass')} of grist"
    )
