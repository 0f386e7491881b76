"""Run a plan: moves in, contents and figures out, for every draw at once."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

import numpy as np

from gyle.line import acidity, fermenter, glass, keg, kettle, lauter, mash, stand, water
from gyle.line.brew import Brew, Move, Step
from gyle.line.content import Array, species
from gyle.line.ensemble import Ensemble

__all__ = ["PROCESSES", "run"]

DAY_MIN = 1440.0


def _recover(brew: Brew, move: Move) -> Array:
    """Take the first wort as the liquor of the second mash. Inputs: ``to``."""
    wort = brew.contents.pop(move.vessel)
    acidity.recovered(brew, wort)
    brew.pour(move.inputs["to"], wort.at(np.maximum(wort.temperature_C - 3.0, 40.0)))
    return np.full(1, 10.0)


def _empty(brew: Brew, move: Move) -> Array:
    """Take the spent grain out. Inputs: ``to``."""
    brew.pour(move.inputs["to"], brew.contents.pop(move.vessel))
    return np.zeros(1)


def _full(brew: Brew, move: Move) -> Array:
    """Note the fermenter's whole content, late sugars in it."""
    content = brew.content(move.vessel)
    brew.note("fermenter_full_L", content.volume_L)
    brew.note("colour_kg_ebc", content["~colour"])
    potential = np.maximum(brew.noted("potential_kg") * float(move.inputs.get("gyles", 1)), 1e-9)
    brew.figure("line.brewhouse_efficiency", 100.0 * content.malt_kg() / potential)
    brew.figure("line.minutes", brew.clock_min * float(move.inputs.get("gyles", 1)))
    return np.zeros(1)


PROCESSES: Mapping[str, Callable[[Brew, Move], Array]] = {
    "fill": water.fill,
    "dose": water.dose,
    "dechlorinate": lambda brew, move: np.full(1, water.SULFITE_MIN),
    "recover": _recover,
    "strike": mash.strike,
    "mash in": mash.mash_in,
    "rest": mash.rest,
    "drain": lauter.drain,
    "sparge": lauter.sparge,
    "empty": _empty,
    "hold back": kettle.hold_back,
    "pour back": kettle.pour_back,
    "collect": kettle.collect,
    "first wort hops": kettle.add,
    "heat up": kettle.heat_up,
    "boil": kettle.boil,
    "add": kettle.add,
    "end": kettle.end,
    "cool to stand": stand.cool_to_stand,
    "stand": stand.stand,
    "chill": stand.chill,
    "transfer": stand.transfer,
    "settle hops": fermenter.settle_hops,
    "pitch": fermenter.pitch,
    "full": _full,
    "dry hop": fermenter.dry_hop,
    "ferment": fermenter.ferment,
    "package": keg.package,
    "pour": glass.pour,
}


def run(
    moves: Iterable[Move], inputs: Ensemble, *, hop_additions: int, chemistry: bool = True, keep: bool = True
) -> Brew:
    """Run the moves in order.

    Parameters
    ----------
    moves : iterable of Move
        The plan.
    inputs : Ensemble
        Sampled inputs; one draw is the centre line.
    hop_additions : int
        Number of hop lines, each followed by itself.
    chemistry : bool
        Whether minerals and pH are followed; without them the figures of pH and of the water are left out.
    keep : bool
        Whether what every vessel held is kept; a search that looks only at figures runs faster without.

    Returns
    -------
    Brew
        Figures, steps with their times, and what every vessel held after each move.
    """
    brew = Brew(inputs, species(hop_additions, chemistry=chemistry), chemistry=chemistry)
    for move in moves:
        minutes = PROCESSES[move.process](brew, move)
        later = DAY_MIN * float(move.inputs.get("after_days", 0.0))  # what goes in while it ferments
        brew.steps.append(Step(move=move, start_min=brew.clock_min + later, minutes=minutes))
        brew.clock_min = brew.clock_min + minutes
        if keep:
            brew.kept.append((move.id, dict(brew.contents)))
    return brew
