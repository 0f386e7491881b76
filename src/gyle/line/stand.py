"""After the boil: down to the stand, the stand, through the chiller, and what the kettle keeps."""

from __future__ import annotations

import numpy as np

from gyle.line.brew import Brew, Move
from gyle.line.content import Array, Content, draw_off, halfway, share_beyond
from gyle.line.hot_wort import cooled, held_hot

__all__ = ["chill", "cool_to_stand", "stand", "transfer"]

OPEN_COOLING_1_MIN = 0.005  # a covered kettle left to itself


def cool_to_stand(brew: Brew, move: Move) -> Array:
    """Take the wort from the boil to a stand. Inputs: ``temperature_C``."""
    content, minutes = cooled(
        brew,
        brew.content(move.vessel),
        to_C=np.full(1, float(move.inputs["temperature_C"])),
        rate_1_min=brew.inputs["brewhouse.stand_chill_rate"],
        sink_C=brew.inputs["brewhouse.chill_water"],
    )
    brew.put(move.vessel, content)
    return minutes


def stand(brew: Brew, move: Move) -> Array:
    """Let the hops lie in hot wort. Inputs: ``minutes``."""
    content = brew.content(move.vessel)
    minutes = np.full(1, float(move.inputs["minutes"]))
    ambient = brew.inputs["brewhouse.ambient"]
    fall = content.temperature_C - ambient
    middle = ambient + fall * np.exp(-OPEN_COOLING_1_MIN * minutes / 2.0)
    after = ambient + fall * np.exp(-OPEN_COOLING_1_MIN * minutes)
    content = held_hot(brew, content, temperature_C=middle, minutes=minutes)
    brew.put(move.vessel, content.at(after))
    return minutes


def _iso_mg_L(content: Content) -> Array:
    total: Array = content.part("iso").sum(axis=0) * 1e6 / np.maximum(content.volume_L, 1e-9)
    return total


def chill(brew: Brew, move: Move) -> Array:
    """Chill to pitching. Inputs: ``by`` ("counterflow", "immersion", "none"), ``to_C``."""
    content = brew.content(move.vessel)
    inputs = brew.inputs
    target = np.full(1, float(move.inputs["to_C"]))
    minutes = inputs["brewhouse.chill_minutes"]
    if move.inputs["by"] == "counterflow":
        # The kettle drains at an even rate through the chiller: the wort left behind stays hot meanwhile.
        # Two Gauss points over the drain are exact to third order.
        early = held_hot(brew, content, temperature_C=content.temperature_C, minutes=minutes * 0.2113248654051871)
        late = held_hot(brew, content, temperature_C=content.temperature_C, minutes=minutes * 0.7886751345948129)
        content = halfway(early, late).at(target)
    elif move.inputs["by"] == "immersion":
        gap = np.maximum(target - inputs["brewhouse.chill_water"], 1.0)
        over = np.maximum((99.0 - inputs["brewhouse.chill_water"]) / gap, 1.5)
        content, minutes = cooled(
            brew,
            content,
            to_C=target,
            rate_1_min=np.log(over) / minutes,
            sink_C=inputs["brewhouse.chill_water"],
        )
    else:
        content, minutes = cooled(
            brew,
            content,
            to_C=np.maximum(target, inputs["brewhouse.ambient"] + 3.0),
            rate_1_min=np.full(1, OPEN_COOLING_1_MIN),
            sink_C=inputs["brewhouse.ambient"],
        )
        content = content.at(target)
    brew.figure("stand.iso_alpha", _iso_mg_L(content))
    brew.put(move.vessel, content)
    return minutes


def transfer(brew: Brew, move: Move) -> Array:
    """Run the wort into the fermenter; the tap, the trub and the hops keep theirs.

    Inputs: ``to``, ``hop_kg`` (mass of kettle hops), ``gyles`` (equal ones that meet in the fermenter).
    """
    inputs, content = brew.inputs, brew.content(move.vessel)
    hops = inputs["brewhouse.hop_held"] * np.atleast_1d(move.inputs["hop_kg"])  # mL/g is L/kg
    kept = inputs["brewhouse.left_behind"] + inputs["brewhouse.trub"] + hops
    share = share_beyond(content.volume_L, kept)
    drawn, left = draw_off(content, share)
    brew.note("to_fermenter", share)
    brew.put(move.vessel, left)
    gyles = int(move.inputs["gyles"])
    blended = drawn.scaled(np.full(1, float(gyles)), solids=True) if gyles > 1 else drawn
    brew.pour(move.inputs["to"], blended)
    return np.full(1, 3.0)
