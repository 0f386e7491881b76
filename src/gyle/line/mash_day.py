"""The moves of the mash: liquor, strike, rests, lauter; once for each mash."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from gyle.line.brew import Move
from gyle.line.layout import (
    SLOW_GRAIN,
    SLOW_SHARE,
    SPARGE_C,
    Layout,
    mashed,
    rests_of,
)
from gyle.line.mash import Grain

__all__ = ["before_all", "mash_moves"]

NOTHING_L = 1e-3  # less is no sparge


def _without_mash(day: Layout) -> Iterator[Move]:
    """Nothing to mash: all the water into the kettle."""
    water = day.amounts.liquor_L[0] + day.amounts.sparge_L[0]
    inputs = {"volume_L": water, "minutes": 5.0, "mash": 1}
    yield Move(id="kettle.water", station="water", vessel="kettle", process="fill", inputs=inputs)
    stirred = {"sugars": [sugar for _, sugar in day.sugars_at("mash")], "others": day.others_at("mash")}
    doses = day.doses_at("mash", "sparge", liquor_L=water)
    if doses:
        yield Move(id="kettle.salts", station="water", vessel="kettle", process="dose", inputs={"doses": doses})
    if any(stirred.values()):
        yield Move(id="kettle.stirred", station="kettle", vessel="kettle", process="add", inputs=stirred)


def _sparge_share(day: Layout, number: int) -> Any:
    """The part of all sparge water that goes through one bed."""
    whole = sum(day.amounts.sparge_L)
    return day.amounts.sparge_L[number - 1] / np.maximum(whole, 1e-9)


def _treatment(day: Layout, number: int, prefix: str, vessel: str) -> Iterator[Move]:
    """Salts and acid into the mash liquor and into the sparge liquor, before either is hot."""
    nothing_sparged = number == 1 and not np.any(np.asarray(sum(day.amounts.sparge_L)) > NOTHING_L)
    stages = ("mash", "sparge") if nothing_sparged else ("mash",)
    doses = day.doses_at(*stages, liquor_L=day.amounts.liquor_L[number - 1], mash=number)
    if doses:
        yield Move(id=f"{prefix}.salts", station="water", vessel=vessel, process="dose", inputs={"doses": doses})
    sparged = day.amounts.sparge_L[number - 1]
    doses = (
        day.doses_at("sparge", liquor_L=sparged, share=_sparge_share(day, number))
        if np.any(np.asarray(sparged) > NOTHING_L)
        else []
    )
    if doses:
        yield Move(
            id=f"{prefix}.sparge_salts",
            station="water",
            vessel=f"sparge liquor {number}",
            process="dose",
            inputs={"doses": doses, "for": "sparge"},
        )


def before_all(day: Layout) -> Iterator[Move]:
    """The water's chlorine taken away, before anything else is done with it."""
    water = day.brewhouse.water
    if water is None or not water.metabisulfite_mg_L:
        return
    tap = 1.0 - (day.recipe.dilution_share or 0.0)
    litres = tap * (sum(day.amounts.liquor_L) + sum(day.amounts.sparge_L))
    inputs = {"mg": litres * water.metabisulfite_mg_L, "volume_L": litres}
    yield Move(id="water.chlorine", station="water", vessel="mash", process="dechlorinate", inputs=inputs)


def _held_ph(day: Layout, number: int) -> float | None:
    """The mash pH that is taken as held by whoever brews with a water nobody stated."""
    aim = day.recipe.aim("mash.ph" if number == 1 else f"mash.{number}.ph")
    return aim.value if aim is not None and day.brewhouse.water is None else None


def mash_moves(day: Layout, number: int) -> Iterator[Move]:
    recipe, house, last = day.recipe, day.brewhouse, day.mashes[-1]
    rests = rests_of(recipe, number)
    grains = tuple(Grain(lot=lot, mass_kg=kg) for line, lot, kg in day.grist if mashed(line) and line.at.mash == number)
    prefix = "mash" if number == 1 else f"mash.{number}"
    if not grains and number == last == 1:
        yield from _without_mash(day)
        return
    vessel = "mash"
    main = {"grains": grains, "temperature_C": rests[0].temperature_C, "mash": number}
    treatment = tuple(_treatment(day, number, prefix, vessel))
    still = not house.recirculated
    kettle = "kettle" if number == last else "first wort"
    if number > 1:
        yield Move(
            id=f"{prefix}.recover",
            station="mash",
            vessel="first wort",
            process="recover",
            inputs={"to": vessel},
        )
    yield Move(
        id=f"{prefix}.water",
        station="water",
        vessel=vessel,
        process="fill",
        inputs={
            "volume_L": day.amounts.liquor_L[number - 1],
            "minutes": 5.0,
            "mash": number,
            "pure_share": day.recipe.dilution_share or 0.0,
        },
    )
    yield from treatment
    yield Move(id=f"{prefix}.strike", station="mash", vessel=vessel, process="strike", inputs=main)
    yield Move(
        id=f"{prefix}.in",
        station="mash",
        vessel=vessel,
        process="mash in",
        inputs={**main, "heated": house.mash_heated, "still": still, "held_ph": _held_ph(day, number)},
    )
    for sugar in [sugar for line, sugar in day.sugars_at("mash") if line.at.mash == number]:
        yield Move(id=f"{prefix}.sugar", station="mash", vessel=vessel, process="add", inputs={"sugars": [sugar]})
    others = [other for other in day.others_at("mash") if other["at"].mash == number]
    if others:
        yield Move(id=f"{prefix}.others", station="mash", vessel=vessel, process="add", inputs={"others": others})
    for place, rest in enumerate(rests, start=1):
        yield Move(
            id=f"{prefix}.rest.{place}",
            station="mash",
            vessel=vessel,
            process="rest",
            inputs={
                "temperature_C": rest.temperature_C,
                "minutes": rest.minutes,
                "by": rest.by if (house.mash_heated or rest.by != "heat") else "infusion",
                "first": place == 1,
                "heated": house.mash_heated,
                "still": still,
                "mash": number,
            },
        )
    slow = sum(
        float(np.mean(kg))
        for line, _, kg in day.grist
        if mashed(line) and line.at.mash == number and any(word in line.ingredient.name for word in SLOW_GRAIN)
    )
    whole = sum(float(np.mean(grain.mass_kg)) for grain in grains)
    lauter = "lauter" if number == 1 else f"lauter.{number}"
    yield Move(
        id=f"{lauter}.drain",
        station="lauter",
        vessel=vessel,
        process="drain",
        inputs={
            "mash": number,
            "to": kettle,
            "slow": slow > SLOW_SHARE * whole,
            "squeeze": recipe.sparge.squeeze and house.drain != "squeezed bag",
        },
    )
    if house.sparge != "none" or np.any(day.amounts.sparge_L[number - 1]):
        yield Move(
            id=f"{lauter}.sparge",
            station="lauter",
            vessel=vessel,
            process="sparge",
            inputs={
                "mash": number,
                "to": kettle,
                "volume_L": day.amounts.sparge_L[number - 1],
                "temperature_C": recipe.sparge.temperature_C or SPARGE_C,
                "by": house.sparge if house.sparge != "none" else "hand",
                "tanks": house.sparge_tanks,
                "treated": next((move.vessel for move in treatment if move.vessel != vessel), None),
            },
        )
    yield Move(id=f"{lauter}.bed", station="lauter", vessel=vessel, process="empty", inputs={"to": "spent grain"})
