"""What can hurt someone, at the station where it does.

Usual wording; makers' instructions, local codes and licensed trades come first, and every text that needs it
says so.
"""

from __future__ import annotations

from collections.abc import Callable

import attrs
import numpy as np

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.mineral import Mineral, handling_of
from gyle.beer.recipe import Recipe
from gyle.line.allergens import allergens
from gyle.line.brew import Brew
from gyle.line.content import Array
from gyle.line.day import mash_numbers, mashed
from gyle.line.figures import band
from gyle.quantities import band_text, write
from gyle.science.capacity import wet_grain_kg

__all__ = ["Caution", "cautions"]

LIFT_ALONE_KG = 11.0  # NIOSH 94-110 for a lift at arm's length to a kettle's rim
# Close to the body at the height of the waist, for nearly everyone: HSE INDG383; from memory. Hot grain is not even
# held close, so from here on it takes two.
LIFT_IN_TWO_KG = 16.0
SOCKET_W = 2990.0  # 13 A at 230 V
STRONG_ABV = 8.0
CO2_G_PER_L_20C = 1.83
STREAMING_L_KG = 2.0


Say = Callable[[str, str], None]


@attrs.frozen(kw_only=True)
class Caution:
    """A hazard at the station where it applies."""

    station: str
    text: str


def _mean(brew: Brew, figure: str) -> float:
    return float(np.mean(brew.figures[figure]))


def cautions(recipe: Recipe, house: Brewhouse, brew: Brew, *, system: str | None = None) -> list[Caution]:
    """Every caution this plan calls for, in the order of the stations."""
    found: list[Caution] = []

    def say(station: str, text: str) -> None:
        found.append(Caution(station=station, text=text))

    _water(recipe, house, say)
    _mash(recipe, house, brew, say, system)
    say(
        "kettle",
        "Hot break: as the boil begins the foam rises fast. Stay with the kettle, turn the heat down, stir the"
        " foam in; again at every addition. Steam and wort scald.",
    )
    if house.power_kW is not None and house.heat == "electric":
        _mains(house, say)
    elif house.heat == "gas":
        say(
            "kettle",
            "Gas: burn it only outdoors or with strong ventilation and a carbon monoxide alarm, and keep to the"
            " maker's instructions.",
        )
    if any(line.at.stage == "boil" and not line.ingredient.mashed for line in recipe.grist):
        say(
            "kettle",
            "Sugar sinks and scorches: turn the heat off, dissolve it in a jug of wort or stir until none lies"
            " on the bottom, then heat again; it may foam over.",
        )
    if recipe.held_back_L:
        say(
            "kettle",
            "Wort kept aside must stay above 65 °C (149 °F) or go in within the hour; it is hot, carry it covered.",
        )
    if any(line.at.stage == "stand" for line in recipe.hops):
        say("stand", "The wort scalds all through the stand: lid on, no splashing from a hose or a pump.")
    _fermenter(recipe, brew, say, system)
    pressure = _mean(brew, "keg.pressure")
    say(
        "keg",
        f"Pressure: {write(pressure, 'pressure', system=system)} needs a keg, lines and regulator rated for more,"
        " with a working relief valve; let the pressure off before opening. Never bottle a beer that is not"
        " stable: it can burst the glass.",
    )
    _own_gas(recipe, say)
    alcohol = _mean(brew, "fermenter.alcohol")
    grams = _mean(brew, "glass.alcohol_g")
    if alcohol >= STRONG_ABV:
        say(
            "glass",
            f"Strong: 330 mL holds about {grams:.0f} g of alcohol. Small glasses; nothing to drink before driving,"
            " at work with hot liquor, when pregnant, or for minors.",
        )
    else:
        say("glass", f"330 mL holds about {grams:.0f} g of alcohol. Do not drink and drive.")
    named = allergens(recipe)
    if named:
        say("glass", f"Allergens: {'; '.join(named)}.")
    return found


_WHERE = {"mash": "water", "sparge": "water", "first wort": "kettle", "boil": "kettle", "stand": "stand"}


def _water(recipe: Recipe, house: Brewhouse, say: Say) -> None:
    """What salts, acids and lime do to eyes and lungs, where they are dosed; and what a water is known for."""
    for text in house.water.cautions if house.water is not None else ():
        say("water", text)
    told: dict[str, list[Mineral]] = {}
    for line in recipe.others:
        if line.mineral is not None:
            told.setdefault(_WHERE.get(line.at.stage, "fermenter"), []).append(line.mineral)
    for station, minerals in told.items():
        for text in handling_of(minerals):
            say(station, text)


def _mash(recipe: Recipe, house: Brewhouse, brew: Brew, say: Say, system: str | None) -> None:
    if not any(mashed(line) for line in recipe.grist):
        return
    heaviest: Array = np.zeros(1)
    streaming = 0.0
    for number in mash_numbers(recipe):
        name = "lauter" if number == 1 else f"lauter.{number}"
        heaviest = max(heaviest, brew.figures[f"{name}.bed_kg"], key=lambda mass: float(mass.mean()))
        grist = float(np.mean(brew.noted(f"grist_kg.{number}")))
        streaming = max(streaming, float(wet_grain_kg(0.25 * grist, STREAMING_L_KG * grist, wort_kg_L=1.06)))
    if house.drain in ("gravity basket", "squeezed bag", "hung bag"):
        # Drained, it is the figure of the line: written as that is.
        drained = band_text(*_ends(heaviest), "mass", system=system)
        places = len(drained.mean.partition(".")[2])
        lift = write(streaming, "mass", system=system, unit=drained.unit, digits=places)
        say(
            "lauter",
            f"Hot and {'heavy' if streaming > LIFT_ALONE_KG else 'dripping'}: the grain weighs about {lift} as it comes"
            f" out of the wort and {drained.mean} {drained.unit} drained, without its basket or bag.{_lift(streaming)}"
            " It drips at scalding heat.",
        )
    else:
        say("lauter", "Hot liquor and wort scald; empty a mash tun only when it has cooled.")
    say(
        "mash",
        "Milling dust hurts the lungs and can burn: mill in moving air, with a mask, away from flames.",
    )


def _ends(values: Array) -> tuple[float, float, float]:
    found = band(values)
    return found.mean, found.low, found.high


def _lift(mass_kg: float) -> str:
    """Who should lift so much hot grain."""
    if mass_kg > LIFT_IN_TWO_KG:
        return (
            " That is more than one person should lift at arm's length: use a hoist or two people, or drain in"
            " stages, and keep out from under it."
        )
    if mass_kg > LIFT_ALONE_KG:
        return (
            " That is heavy to hold at arm's length: let it drain where it hangs or rests before it is carried, and"
            " keep out from under it."
        )
    return ""


def _mains(house: Brewhouse, say: Say) -> None:
    assert house.power_kW is not None
    watts = 1000.0 * house.power_kW.centre
    amperes = watts / 230.0
    text = (
        f"Mains electricity near water: {watts / 1000:.1f} kW is {amperes:.1f} A at 230 V"
        f" ({watts / 120.0:.0f} A at 120 V)."
    )
    if watts > SOCKET_W + 15.0:
        text += " That is more than a 13 A plug carries: a circuit of its own, put in by an electrician."
    elif watts > 0.9 * SOCKET_W:
        text += " That is all a 13 A plug carries: nothing else on the circuit and no extension reel."
    say(
        "kettle",
        text + " Use residual-current protection and dry hands, and follow the maker and the local code.",
    )


def _own_gas(recipe: Recipe, say: Say) -> None:
    """Where the yeast makes the gas in a closed vessel, too much of it bursts that."""
    if recipe.package.by == "priming":
        say(
            "keg",
            "Priming: prime only when gravity has stood still for three days, weigh the sugar for the whole and mix it"
            " in; too much, or sugar the yeast had left, bursts bottles. Wear goggles when handling them.",
        )
    elif recipe.package.by == "closed early":
        say(
            "keg",
            "Closed early: what is left to ferment makes all the pressure. Only a vessel rated for it, with a working"
            " relief valve; never a bottle.",
        )
    elif any(kind == "bottle" for kind, _ in recipe.package.into):
        say("keg", "Bottles: fill them only when gravity has stood still for three days; too much gas bursts them.")


def _fermenter(recipe: Recipe, brew: Brew, say: Say, system: str | None) -> None:
    litres = 1000.0 * float(np.mean(brew.noted("co2_kg"))) / CO2_G_PER_L_20C
    gas = write(round(litres, -1), "volume", system=system, digits=0)
    say(
        "fermenter",
        f"Carbon dioxide: about {gas} of gas comes off. It is heavier than air and suffocates: ventilate, never put"
        " your head into a fermenter or a chest freezer. Keep the airlock or blow-off open.",
    )
    if any(line.yeast.diastatic for line in recipe.yeasts):
        say(
            "fermenter",
            "Diastatic yeast goes on for weeks: bottles can burst long after it looked finished; keep its hoses"
            " and seals apart.",
        )
    if any(line.at.stage == "dry" for line in recipe.hops):
        say(
            "fermenter",
            "Hops can start fermentation again: package only when gravity has stood still for three days after them.",
        )
