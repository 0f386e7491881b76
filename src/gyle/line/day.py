"""From a recipe, a brewhouse and amounts to the flat list of moves that is the day."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import GristLine, HopLine, Recipe, Rest
from gyle.line.amounts import Amounts
from gyle.line.beliefs import lot_name, lots
from gyle.line.brew import Move
from gyle.line.mash import Grain

__all__ = [
    "BOILED",
    "CARBONATION_VOL",
    "HOT_SIDE",
    "KEG_C",
    "MASH_HOP_SHARE",
    "day",
    "mash_numbers",
    "mashed",
    "rests_of",
]

EARLY = ("sparge", "first wort")  # into the kettle as it fills
BOILED = ("mash", *EARLY, "boil")
HOT_SIDE = (*BOILED, "stand", "chill")
COLD = ("ferment", "dry", "keg", "bottle")  # into the beer, at whatever hour
MASH_HOP_SHARE = 0.2  # of their alpha reaches the kettle: 9.1 % against 44 % use, Justus 2018
SPARGE_C = 76.0
PITCHING_C = 20.0
KEG_C = 5.0  # where nobody says; common practice
CARBONATION_VOL = 2.4
SLOW_GRAIN = ("wheat", "rye", "flaked", "torrified", "oat")
SLOW_SHARE = 0.30


def mashed(line: GristLine) -> bool:
    """Whether a grist line is mashed; a sugar stirred into the mash is not."""
    return line.at.stage in ("mash", "sparge") and line.ingredient.group != "sugar"


def mash_numbers(recipe: Recipe) -> tuple[int, ...]:
    """Numbers of the mashes of this day: (1,) or (1, 2)."""
    numbers = {rest.mash for rest in recipe.rests} | {line.at.mash for line in recipe.grist if line.at.stage == "mash"}
    return tuple(sorted(numbers)) or (1,)


def rests_of(recipe: Recipe, mash: int) -> tuple[Rest, ...]:
    """Rests of one mash; a second mash without its own rests at the first's main rest, longer."""
    own = tuple(rest for rest in recipe.rests if rest.mash == mash)
    if own:
        return own
    first = max((rest for rest in recipe.rests if rest.mash == 1), key=lambda rest: rest.minutes)
    return (Rest(temperature_C=first.temperature_C, minutes=max(first.minutes, 90.0), mash=mash),)


def _sugar(line: GristLine, lot: str, mass: Any) -> dict[str, Any]:
    what = line.ingredient
    if "malt extract" in what.name:
        kind = "malt extract"
    else:
        kind = "monosaccharide" if what.monosaccharide else "disaccharide"
    return {"lot": lot, "mass_kg": mass, "as": kind, "what": line.what}


def _hop(line: HopLine, place: int, lot: str, mass: Any) -> dict[str, Any]:
    return {
        "addition": place,
        "lot": lot,
        "mass_kg": mass,
        "what": line.what,
        "form": line.form,
        "vessel": line.vessel,
    }


class _Day:
    """What laying out a day needs at hand."""

    def __init__(self, recipe: Recipe, brewhouse: Brewhouse, amounts: Amounts) -> None:
        self.recipe, self.brewhouse, self.amounts = recipe, brewhouse, amounts
        grist_lots, hop_lots = lots(recipe)
        self.grist = list(zip(recipe.grist, grist_lots, amounts.grist_kg, strict=True))
        self.hops = [
            (line, _hop(line, place, lot, mass))
            for place, (line, lot, mass) in enumerate(zip(recipe.hops, hop_lots, amounts.hops_kg, strict=True))
        ]
        self.mashes = mash_numbers(recipe)

    def whole(self, thing: dict[str, Any]) -> dict[str, Any]:
        """What goes into the fermenter, where all gyles meet."""
        return {**thing, "mass_kg": thing["mass_kg"] * self.recipe.gyles}

    def sugars_at(self, *stages: str) -> list[tuple[GristLine, dict[str, Any]]]:
        return [
            (line, _sugar(line, lot, kg))
            for line, lot, kg in self.grist
            if line.at.stage in stages and not mashed(line)
        ]

    def hops_at(self, *stages: str) -> list[tuple[HopLine, dict[str, Any]]]:
        return [(line, hop) for line, hop in self.hops if line.at.stage in stages]

    def others_at(self, *stages: str) -> list[dict[str, Any]]:
        found = []
        for line in self.recipe.others:
            if line.at.stage not in stages:
                continue
            each = self.recipe.gyles if line.at.stage in HOT_SIDE else 1  # what is stated is for the whole volume
            mass = (line.mass_kg or (line.rate_g_L or 0.0) * (self.recipe.volume_L or 0.0) / 1000.0) / each
            water = line.water_fraction
            if line.volume_L is not None:
                mass = line.volume_L * 0.9982 / each
                water = 1.0 - line.extract_fraction if line.what.casefold() != "water" else 1.0
            found.append(
                {
                    "what": line.what,
                    "mass_kg": mass,
                    "water": water,
                    "extract": line.extract_fraction,
                    "at": line.at,
                }
            )
        return [other for other in found if other["mass_kg"]]

    @property
    def kettle_hop_kg(self) -> Any:
        """All hops that end in the kettle, whatever their hour."""
        return sum((hop["mass_kg"] for line, hop in self.hops if line.at.stage in HOT_SIDE[1:]), start=np.zeros(1))


def _mash(day: _Day, number: int) -> Iterator[Move]:
    recipe, house, last = day.recipe, day.brewhouse, day.mashes[-1]
    rests = rests_of(recipe, number)
    grains = tuple(
        Grain(lot=lot, mass_kg=kg, enzymes=line.ingredient.diastatic_lintner > 0)
        for line, lot, kg in day.grist
        if mashed(line) and line.at.mash == number
    )
    prefix = "mash" if number == 1 else f"mash.{number}"
    vessel = "mash"
    main = {"grains": grains, "temperature_C": rests[0].temperature_C, "mash": number}
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
        inputs={"volume_L": day.amounts.liquor_L[number - 1], "minutes": 5.0, "mash": number},
    )
    yield Move(id=f"{prefix}.strike", station="mash", vessel=vessel, process="strike", inputs=main)
    yield Move(
        id=f"{prefix}.in",
        station="mash",
        vessel=vessel,
        process="mash in",
        inputs={**main, "heated": house.mash_heated, "still": still},
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
            },
        )
    yield Move(id=f"{lauter}.bed", station="lauter", vessel=vessel, process="empty", inputs={"to": "spent grain"})


def _boil(day: _Day) -> Iterator[Move]:
    recipe = day.recipe
    length = recipe.boil_minutes
    events: list[tuple[float, int, Move]] = []
    hops = day.hops_at("boil")
    for number, (line, hop) in enumerate(hops, start=1):
        events.append(
            (
                min(line.at.minutes or 0.0, length),
                2,
                Move(
                    id=f"kettle.hops.{number}",
                    station="kettle",
                    vessel="kettle",
                    process="add",
                    inputs={"hops": [hop]},
                ),
            )
        )
    for number, (sugar_line, sugar) in enumerate(day.sugars_at("boil"), start=1):
        events.append(
            (
                min(sugar_line.at.minutes if sugar_line.at.minutes is not None else 10.0, length),
                1,
                Move(
                    id=f"kettle.sugar.{number}",
                    station="kettle",
                    vessel="kettle",
                    process="add",
                    inputs={"sugars": [sugar]},
                ),
            )
        )
    for number, other in enumerate(day.others_at("boil"), start=1):
        events.append(
            (
                min(other["at"].minutes or 0.0, length),
                0,
                Move(
                    id=f"kettle.others.{number}",
                    station="kettle",
                    vessel="kettle",
                    process="add",
                    inputs={"others": [other]},
                ),
            )
        )
    events.extend(_pour_back(day, length))
    now = length
    part = 0
    for at, _, move in sorted(events, key=lambda event: (-event[0], event[1])):
        if at < now:
            part += 1
            yield Move(
                id=f"kettle.boil.{part}",
                station="kettle",
                vessel="kettle",
                process="boil",
                inputs={"minutes": now - at, "until": at},
            )
            now = at
        yield move
    if now > 0:
        yield Move(
            id=f"kettle.boil.{part + 1}",
            station="kettle",
            vessel="kettle",
            process="boil",
            inputs={"minutes": now, "until": 0.0},
        )


HELD_BACK_PORTIONS = 3


def _pour_back(day: _Day, length: float) -> Iterator[tuple[float, int, Move]]:
    """Wort held back goes in as the boil makes room: a third each time a third has boiled away."""
    held = day.recipe.held_back_L
    if not held:
        return
    each = held / HELD_BACK_PORTIONS / day.brewhouse.boil_off_L_h.centre * 60.0
    for portion in range(1, HELD_BACK_PORTIONS + 1):
        before_end = max(length - portion * each, 0.0)
        yield (
            before_end,
            0,
            Move(
                id=f"kettle.back.{portion}",
                station="kettle",
                vessel="kettle",
                process="pour back",
                inputs={
                    "share": 1.0 / (HELD_BACK_PORTIONS + 1 - portion),
                    "litres": held / HELD_BACK_PORTIONS,
                },
            ),
        )


def _kettle(day: _Day) -> Iterator[Move]:
    first = [
        {**hop, "share": MASH_HOP_SHARE if line.at.stage == "mash" else 1.0}
        for line, hop in day.hops_at("mash", *EARLY)
    ]
    if day.recipe.held_back_L:
        yield Move(
            id="kettle.hold",
            station="kettle",
            vessel="kettle",
            process="hold back",
            inputs={"volume_L": day.recipe.held_back_L},
        )
    yield Move(id="kettle.full", station="kettle", vessel="kettle", process="collect", inputs={"mashes": day.mashes})
    if first:
        yield Move(
            id="kettle.first",
            station="kettle",
            vessel="kettle",
            process="first wort hops",
            inputs={"hops": first},
        )
    for number, (_, sugar) in enumerate(day.sugars_at(*EARLY), start=1):
        yield Move(
            id=f"kettle.early.{number}",
            station="kettle",
            vessel="kettle",
            process="add",
            inputs={"sugars": [sugar]},
        )
    poured = day.others_at(*EARLY)
    if poured:
        yield Move(id="kettle.others", station="kettle", vessel="kettle", process="add", inputs={"others": poured})
    yield Move(id="kettle.heat", station="kettle", vessel="kettle", process="heat up")
    yield from _boil(day)
    yield Move(id="kettle.end", station="kettle", vessel="kettle", process="end")


def _stand(day: _Day) -> Iterator[Move]:
    house = day.brewhouse
    steps = sorted(
        day.hops_at("stand"),
        key=lambda pair: (-(pair[0].at.temperature_C or 100.0), -(pair[0].at.minutes or 0.0)),
    )
    number = 0
    while steps:
        number += 1
        temperature = steps[0][0].at.temperature_C or 98.0
        together = [pair for pair in steps if (pair[0].at.temperature_C or 98.0) == temperature]
        steps = steps[len(together) :]
        if temperature < 98.0:
            yield Move(
                id=f"stand.cool.{number}",
                station="stand",
                vessel="kettle",
                process="cool to stand",
                inputs={"temperature_C": temperature},
            )
        lengths = sorted({line.at.minutes or 0.0 for line, _ in together}, reverse=True)
        for place, minutes in enumerate(lengths):
            adds = [hop for line, hop in together if (line.at.minutes or 0.0) == minutes]
            yield Move(
                id=f"stand.hops.{number}" + (f".{place + 1}" if place else ""),
                station="stand",
                vessel="kettle",
                process="add",
                inputs={"hops": adds},
            )
            shorter = lengths[place + 1] if place + 1 < len(lengths) else 0.0
            yield Move(
                id=f"stand.rest.{number}" + (f".{place + 1}" if place else ""),
                station="stand",
                vessel="kettle",
                process="stand",
                inputs={"minutes": minutes - shorter},
            )
    chilled = [hop for _, hop in day.hops_at("chill")]
    if chilled:
        yield Move(id="stand.late", station="stand", vessel="kettle", process="add", inputs={"hops": chilled})
    poured = day.others_at("stand", "chill")
    if poured:
        yield Move(id="stand.others", station="stand", vessel="kettle", process="add", inputs={"others": poured})
    pitching = day.recipe.fermentation[0].temperature_C if day.recipe.fermentation else PITCHING_C
    yield Move(
        id="stand.chill",
        station="stand",
        vessel="kettle",
        process="chill",
        inputs={"by": house.chill_by, "to_C": min(max(pitching, 5.0), 35.0)},
    )
    yield Move(
        id="fermenter.fill",
        station="fermenter",
        vessel="kettle",
        process="transfer",
        inputs={"to": "fermenter", "hop_kg": day.kettle_hop_kg, "gyles": day.recipe.gyles},
    )


def _fermenter(day: _Day) -> Iterator[Move]:
    recipe = day.recipe
    yield Move(
        id="fermenter.settle",
        station="fermenter",
        vessel="fermenter",
        process="settle hops",
        inputs={"hop_kg": day.kettle_hop_kg},
    )
    early = [day.whole(sugar) for _, sugar in day.sugars_at("pitch", "chill", "stand")]
    poured = day.others_at("pitch")
    if early or poured:
        yield Move(
            id="fermenter.added",
            station="fermenter",
            vessel="fermenter",
            process="add",
            inputs={"sugars": early, "others": poured},
        )
    yeasts = [lot_name(line.what) for line in recipe.yeasts]
    yield Move(
        id="fermenter.pitch",
        station="fermenter",
        vessel="fermenter",
        process="pitch",
        inputs={"yeasts": yeasts},
    )
    for number, (line, sugar) in enumerate(day.sugars_at(*COLD), start=1):
        yield Move(
            id=f"fermenter.sugar.{number}",
            station="fermenter",
            vessel="fermenter",
            process="add",
            inputs={"sugars": [day.whole(sugar)], "at": line.at},
        )
    for number, other in enumerate(day.others_at(*COLD), start=1):
        yield Move(
            id=f"fermenter.others.{number}",
            station="fermenter",
            vessel="fermenter",
            process="add",
            inputs={"others": [other], "at": other["at"]},
        )
    yield Move(
        id="fermenter.full",
        station="fermenter",
        vessel="fermenter",
        process="full",
        inputs={"gyles": recipe.gyles},
    )
    last = recipe.fermentation[-1] if recipe.fermentation else None
    warmest = max((step.temperature_C for step in recipe.fermentation), default=PITCHING_C)
    dry = day.hops_at("pitch", *COLD)
    for number, (hop_line, hop) in enumerate(dry, start=1):
        yield Move(
            id=f"fermenter.hops.{number}",
            station="fermenter",
            vessel="fermenter",
            process="dry hop",
            inputs={"hops": [day.whole(hop)], "days": hop_line.at.contact_days or 3.0, "at": hop_line.at},
        )
    days = sum(step.days or 0.0 for step in recipe.fermentation) or 14.0
    yield Move(
        id="fermenter.ferment",
        station="fermenter",
        vessel="fermenter",
        process="ferment",
        inputs={
            "yeast": yeasts[0],
            "attenuation": recipe.yeasts[0].attenuation,
            "days": days,
            "temperature_C": warmest if last is None else last.temperature_C,
        },
    )


def _package(day: _Day) -> Iterator[Move]:
    recipe, house = day.recipe, day.brewhouse
    kegs = [litres for kind, litres in recipe.package.into if kind == "keg"]
    warmest = max((step.temperature_C for step in recipe.fermentation), default=PITCHING_C)
    yield Move(
        id="keg.fill",
        station="keg",
        vessel="fermenter",
        process="package",
        inputs={
            "to": "keg",
            "vessel_L": kegs[0] if kegs else house.keg_vessel_L,
            "carbonation_vol": recipe.package.carbonation_vol or CARBONATION_VOL,
            "pressure_bar": recipe.package.pressure_bar,
            "temperature_C": KEG_C if recipe.package.temperature_C is None else recipe.package.temperature_C,
            "altitude_m": house.altitude_m,
            "by": recipe.package.by,
            "warmest_C": warmest,
        },
    )
    boiled = [
        {"addition": hop["addition"], "minutes": _trade_minutes(line, recipe.boil_minutes)}
        for line, hop in day.hops_at(*BOILED)
    ]
    yield Move(
        id="glass.pour",
        station="glass",
        vessel="keg",
        process="pour",
        inputs={
            "boiled": boiled,
            "bitterness_by": recipe.bitterness_by,
            "measure": bitterness_measure(recipe),
            "gyles": recipe.gyles,
            "altitude_m": house.altitude_m,
        },
    )


def bitterness_measure(recipe: Recipe) -> str:
    """The figure an author's bitterness is stated in."""
    if recipe.bitterness_by in ("kinetic", "laboratory"):
        return "glass.bitterness"
    return f"glass.bitterness_{recipe.bitterness_by}"


def _trade_minutes(line: HopLine, boil_minutes: float) -> float:
    if line.at.stage == "boil":
        return min(line.at.minutes or 0.0, boil_minutes)
    return boil_minutes


def day(recipe: Recipe, brewhouse: Brewhouse, amounts: Amounts) -> list[Move]:
    """Lay out the whole way from water to glass.

    Parameters
    ----------
    recipe : Recipe
        What is wanted.
    brewhouse : Brewhouse
        Where it is brewed.
    amounts : Amounts
        How much of everything, for one gyle.

    Returns
    -------
    list of Move
        In the order they are done.
    """
    layout = _Day(recipe, brewhouse, amounts)
    moves: list[Move] = []
    for number in layout.mashes:
        moves.extend(_mash(layout, number))
    moves.extend(_kettle(layout))
    moves.extend(_stand(layout))
    moves.extend(_fermenter(layout))
    moves.extend(_package(layout))
    return moves
