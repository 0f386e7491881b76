"""The day in words: one sentence for each move, amounts in the brewer's own units."""

from __future__ import annotations

from typing import Any

import numpy as np

from gyle.beer.timing import Timing
from gyle.line.brew import Brew, Step
from gyle.quantities import write

__all__ = ["sentence", "worth_saying"]

_SILENT = {"settle hops", "full", "collect", "end", "empty", "recover"}


def worth_saying(step: Step) -> bool:
    """Whether a brewer does something at this step."""
    move = step.move
    if move.process in _SILENT:
        return False
    if move.process == "fill":
        return float(np.mean(np.atleast_1d(move.inputs["volume_L"]))) > 0.05
    if move.process == "sparge":
        return float(np.mean(np.atleast_1d(move.inputs["volume_L"]))) > 0.05
    return True


def _mean(value: Any) -> float:
    return float(np.mean(np.atleast_1d(value)))


def _hops(hops: list[dict[str, Any]], system: str) -> str:
    parts = []
    for hop in hops:
        unit = "oz" if system == "us" else "g"
        mass = write(_mean(hop["mass_kg"]), "mass", system=system, unit=unit)
        parts.append(f"{mass} {hop['what']}" + (" in the hop vessel" if hop.get("vessel") == "hop vessel" else ""))
    return " and ".join(parts)


def _when(at: Timing) -> str:
    if at.points_above_final is not None:
        return f"at {at.points_above_final:g} points above final gravity"
    if at.day is not None:
        return f"on day {at.day:g}"
    if at.stable_days is not None:
        return f"when gravity has stood still for {at.stable_days:g} days"
    return "in the fermenter"


def sentence(step: Step, brew: Brew, *, system: str = "metric") -> str:
    """What the brewer does at a step.

    Parameters
    ----------
    step : Step
        One step of a brew.
    brew : Brew
        The brew it belongs to: what the mash needs is found there.
    system : str
        "metric" or "us".

    Returns
    -------
    str
        One sentence without a full stop.
    """
    move, inputs = step.move, step.move.inputs
    number = inputs.get("mash", 1)
    second = "" if number == 1 else " the second time"

    def volume(litres: Any) -> str:
        return write(_mean(litres), "volume", system=system)

    def temperature(celsius: Any) -> str:
        return write(_mean(celsius), "temperature", system=system)

    match move.process:
        case "fill":
            return f"Draw {volume(inputs['volume_L'])} of water" + (" for the second mash" if number == 2 else "")
        case "strike":
            name = "mash" if number == 1 else f"mash.{number}"
            what = "water" if number == 1 else "first wort"
            return f"Warm the {what} to {temperature(brew.figures[f'{name}.strike_temperature'])}"
        case "mash in":
            mass = sum(_mean(grain.mass_kg) for grain in inputs["grains"])
            return f"Stir in {write(mass, 'mass', system=system)} of grist{second}"
        case "rest":
            held = f"{temperature(inputs['temperature_C'])} for {inputs['minutes']:g} min"
            if inputs["first"]:
                return f"Rest at {held}"
            by = {"heat": "", "infusion": " with boiling water", "decoction": " with a boiled portion"}
            return f"Raise{by[inputs['by']]} and rest at {held}"
        case "drain":
            return f"Lift or drain the grain{second}"
        case "sparge":
            return f"Sparge with {volume(inputs['volume_L'])} at {temperature(inputs['temperature_C'])}{second}"
        case "hold back":
            return f"Keep {volume(inputs['volume_L'])} of wort aside, covered"
        case "pour back":
            return f"Add {volume(inputs['litres'])} of the wort kept aside and bring it back to the boil"
        case "first wort hops":
            return f"Add {_hops(inputs['hops'], system)} to the first wort"
        case "heat up":
            return "Bring to the boil"
        case "boil":
            return f"Boil {inputs['minutes']:g} min"
        case "add":
            return _added(inputs, system)
        case "cool to stand":
            return f"Cool to {temperature(inputs['temperature_C'])}"
        case "stand":
            return f"Stand {inputs['minutes']:g} min"
        case "chill":
            how = {
                "none": "Let it cool",
                "immersion": "Chill by immersion",
                "counterflow": "Chill in counterflow",
            }
            return f"{how[inputs['by']]} to {temperature(inputs['to_C'])}"
        case "transfer":
            return "Run into the fermenter"
        case "pitch":
            return "Pitch the yeast"
        case "dry hop":
            days = inputs["days"]
            return f"Dry hop {_when(inputs['at'])}: {_hops(inputs['hops'], system)} for {days:g} days"
        case "ferment":
            return f"Ferment about {inputs['days']:g} days, until stable"
        case "package":
            return f"Fill the keg: {volume(brew.figures['keg.volume'])}"
        case "pour":
            return "Pour"
    return move.process


def _added(inputs: Any, system: str) -> str:
    parts = []
    if inputs.get("hops"):
        parts.append(_hops(inputs["hops"], system))
    parts.extend(
        f"{write(_mean(sugar['mass_kg']), 'mass', system=system)} {sugar['what']}" for sugar in inputs.get("sugars", ())
    )
    for other in inputs.get("others", ()):
        if other["what"].casefold() == "water":
            parts.append(f"{write(_mean(other['mass_kg']) / 0.9982, 'volume', system=system)} water")
        else:
            parts.append(f"{write(_mean(other['mass_kg']), 'mass', system=system)} {other['what']}")
    at = inputs.get("at")
    return f"Add {' and '.join(parts)}" + (f" {_when(at)}" if at is not None else "")
