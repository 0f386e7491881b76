"""The day in words: one sentence for each move, amounts in the brewer's own units."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from gyle.beer.timing import Timing
from gyle.line.brew import Brew, Move, Step
from gyle.quantities import spoken, write

__all__ = ["sentence", "worth_saying"]

SOLUTION_BELOW_MG = 1000.0  # ten steps of a kitchen scale
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


def _hops(hops: list[dict[str, Any]], system: str | None) -> str:
    parts = []
    for hop in hops:
        unit = "oz" if (system or spoken()) == "us" else "g"
        mass = write(_mean(hop["mass_kg"]), "mass", system=system, unit=unit)
        parts.append(f"{mass} {hop['what']}" + (" in the hop vessel" if hop.get("vessel") == "hop vessel" else ""))
    return " and ".join(parts)


_PLACE = {"pitch": "at pitching", "keg": "in the keg", "bottle": "in the bottles"}


def _when(at: Timing) -> str:
    if at.points_above_final is not None:
        return f"at {at.points_above_final:g} points above final gravity"
    if at.day is not None:
        return f"on day {at.day:g}"
    if at.stable_days is not None:
        return f"when gravity has stood still for {at.stable_days:g} days"
    return _PLACE.get(at.stage, "in the fermenter")


def sentence(step: Step, brew: Brew, *, system: str | None = None) -> str:
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
    return _WORDS[step.move.process](_Told(step.move, brew, system))


class _Told:
    """A move about to be put into words: its inputs, and amounts in the brewer's own units."""

    def __init__(self, move: Move, brew: Brew, system: str | None) -> None:
        self.inputs, self.figures, self.system = move.inputs, brew.figures, system
        self.number = int(move.inputs.get("mash", 1))
        self.again = "" if self.number == 1 else " the second time"

    def amount(self, value: Any, kind: str) -> str:
        return write(_mean(value), kind, system=self.system)

    def volume(self, key: str) -> str:
        return self.amount(self.inputs[key], "volume")

    def temperature(self, key: str) -> str:
        return self.amount(self.inputs[key], "temperature")

    @property
    def hops(self) -> str:
        return _hops(self.inputs["hops"], self.system)


def _fill(told: _Told) -> str:
    share = float(told.inputs.get("pure_share", 0.0))
    pure = f", {told.amount(share * _mean(told.inputs['volume_L']), 'volume')} of it reverse osmosis" if share else ""
    return f"Draw {told.volume('volume_L')} of water{pure}" + (" for the second mash" if told.number == 2 else "")


def _dechlorinate(told: _Told) -> str:
    mg, litres = _mean(told.inputs["mg"]), told.volume("volume_L")
    dose = f"{mg / 1000.0:.2g} g of metabisulfite"
    if mg < SOLUTION_BELOW_MG:
        dose = f"{mg:.2g} mL of a fresh solution of 1 g of metabisulfite in 1 L"
    return f"Stir {dose} into all {litres} from the tap and wait 5 min, against its chlorine"


_INTO = {
    "mash": "mash liquor",
    "sparge": "sparge liquor",
    "boil": "kettle",
    "first wort": "kettle",
    "stand": "wort",
    "chill": "wort",
}


def _dosed(inputs: Any) -> str:
    parts = []
    for dose in inputs["doses"]:
        mineral = dose["mineral"]
        parts.append(f"{_mean(dose['amount']):.3g} {mineral.unit} {mineral.spoken}")
    at = inputs["doses"][0]["at"]
    into = "second mash's liquor" if at.stage == "mash" and at.mash > 1 else _INTO.get(at.stage)
    listed = parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"
    return f"Stir {listed} into the {into or 'beer'}"


def _strike(told: _Told) -> str:
    first = told.number == 1
    needed = told.figures["mash.strike_temperature" if first else f"mash.{told.number}.strike_temperature"]
    return f"Warm the {'water' if first else 'first wort'} to {told.amount(needed, 'temperature')}"


def _mash_in(told: _Told) -> str:
    mass = sum(_mean(grain.mass_kg) for grain in told.inputs["grains"])
    return f"Stir in {told.amount(mass, 'mass')} of grist{told.again}"


_RAISED = {"heat": "", "infusion": " with boiling water", "decoction": " with a boiled portion"}


def _rest(told: _Told) -> str:
    held = f"{told.temperature('temperature_C')} for {told.inputs['minutes']:.0f} min"
    if told.inputs["first"]:
        return f"Rest at {held}"
    return f"Raise{_RAISED[told.inputs['by']]} and rest at {held}"


_CHILLED = {"none": "Let it cool", "immersion": "Chill by immersion", "counterflow": "Chill in counterflow"}


def _dry_hop(told: _Told) -> str:
    at: Timing = told.inputs["at"]
    long = "" if at.stage in ("keg", "bottle") else f" for {told.inputs['days']:g} days"
    return f"Dry hop {_when(at)}: {told.hops}{long}"


def _ferment(told: _Told) -> str:
    days = float(told.inputs["days"])
    fermented = float(told.inputs.get("fermented_days", days))
    said = f"Ferment about {fermented:g} days, until stable"
    return said if days <= fermented else f"{said}; {days:g} days in the fermenter"


_WORDS: dict[str, Callable[[_Told], str]] = {
    "fill": _fill,
    "dechlorinate": _dechlorinate,
    "dose": lambda told: _dosed(told.inputs),
    "recover": lambda told: "Take the first wort as liquor",
    "strike": _strike,
    "mash in": _mash_in,
    "rest": _rest,
    "drain": lambda told: f"Lift or drain the grain{told.again}",
    "sparge": lambda told: f"Sparge with {told.volume('volume_L')} at {told.temperature('temperature_C')}{told.again}",
    "empty": lambda told: "Take out the spent grain",
    "hold back": lambda told: f"Keep {told.volume('volume_L')} of wort aside, covered and hot",
    "pour back": lambda told: f"Add {told.volume('litres')} of the wort kept aside and bring it back to the boil",
    "collect": lambda told: "Measure the full kettle",
    "first wort hops": lambda told: f"Add {told.hops} to the first wort",
    "heat up": lambda told: "Bring to the boil",
    "boil": lambda told: f"Boil {told.inputs['minutes']:.0f} min",
    "add": lambda told: _added(told.inputs, told.system),
    "end": lambda told: "Heat off",
    "cool to stand": lambda told: f"Cool to {told.temperature('temperature_C')}",
    "stand": lambda told: f"Stand {told.inputs['minutes']:.0f} min",
    "chill": lambda told: f"{_CHILLED[told.inputs['by']]} to {told.temperature('to_C')}",
    "transfer": lambda told: "Run into the fermenter",
    "settle hops": lambda told: "Let the trub settle",
    "pitch": lambda told: "Pitch the yeast",
    "full": lambda told: "Close the fermenter",
    "dry hop": _dry_hop,
    "ferment": _ferment,
    "package": lambda told: f"Fill the keg: {told.amount(told.figures['keg.volume'], 'volume')}",
    "pour": lambda told: "Pour",
}


def _added(inputs: Any, system: str | None) -> str:
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
