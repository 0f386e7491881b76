"""The moves of the kettle: filling, the boil with what goes in, the stand, the chill."""

from __future__ import annotations

import math
from collections.abc import Iterator

from gyle.line.brew import Move
from gyle.line.layout import (
    EARLY,
    MASH_HOP_SHARE,
    PITCHING_C,
    Layout,
)

__all__ = ["kettle_moves", "stand_moves"]


def _boil(day: Layout) -> Iterator[Move]:
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
    for number, mineral in enumerate(day.doses_at("boil"), start=1):
        dosed = Move(
            id=f"kettle.salts.{number}",
            station="kettle",
            vessel="kettle",
            process="dose",
            inputs={"doses": [mineral]},
        )
        events.append((min(mineral["at"].minutes or 0.0, length), 0, dosed))
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


def _pour_back(day: Layout, length: float) -> Iterator[tuple[float, int, Move]]:
    """Wort held back goes in as the boil makes room: a third each time a third has boiled away."""
    held = day.recipe.held_back_L
    if not held:
        return
    each = held / HELD_BACK_PORTIONS / day.brewhouse.boil_off_L_h.centre * 60.0
    for portion in range(1, HELD_BACK_PORTIONS + 1):
        before_end = max(float(math.floor(length - portion * each)), 0.0)
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


def kettle_moves(day: Layout) -> Iterator[Move]:
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
    doses = day.doses_at("first wort")
    if doses:
        yield Move(id="kettle.salts", station="kettle", vessel="kettle", process="dose", inputs={"doses": doses})
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


def stand_moves(day: Layout) -> Iterator[Move]:
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
    doses = day.doses_at("stand", "chill")
    if doses:
        yield Move(id="stand.salts", station="stand", vessel="kettle", process="dose", inputs={"doses": doses})
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
