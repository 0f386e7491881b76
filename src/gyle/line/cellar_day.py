"""The moves of the cellar: pitching, what goes in later, the keg, the glass."""

from __future__ import annotations

from collections.abc import Iterator

from gyle.beer.recipe import HopLine, Recipe
from gyle.line.beliefs import lot_name
from gyle.line.brew import Move
from gyle.line.cellar_calendar import CONTACT_DAYS, cellar_calendar
from gyle.line.layout import (
    BOILED,
    CARBONATION_VOL,
    COLD,
    KEG_C,
    PITCHING_C,
    Layout,
)

__all__ = ["bitterness_measure", "fermenter_moves", "package_moves"]


def fermenter_moves(day: Layout) -> Iterator[Move]:
    recipe = day.recipe
    calendar = cellar_calendar(recipe)
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
            inputs={"sugars": [day.whole(sugar)], "at": line.at, "after_days": calendar.goes_in(line.at)},
        )
    for number, other in enumerate(day.others_at(*COLD), start=1):
        yield Move(
            id=f"fermenter.others.{number}",
            station="fermenter",
            vessel="fermenter",
            process="add",
            inputs={"others": [other], "at": other["at"], "after_days": calendar.goes_in(other["at"])},
        )
    doses = day.doses_at("pitch", *COLD)
    if doses:
        first = min(calendar.goes_in(dose["at"]) for dose in doses)
        yield Move(
            id="fermenter.salts",
            station="fermenter",
            vessel="fermenter",
            process="dose",
            inputs={"doses": doses, "after_days": first},
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
            inputs={
                "hops": [day.whole(hop)],
                "days": hop_line.at.contact_days or CONTACT_DAYS,
                "at": hop_line.at,
                "after_days": calendar.goes_in(hop_line.at),
            },
        )
    yield Move(
        id="fermenter.ferment",
        station="fermenter",
        vessel="fermenter",
        process="ferment",
        inputs={
            "yeast": yeasts[0],
            "attenuation": recipe.yeasts[0].attenuation,
            "lager": recipe.yeasts[0].yeast.name.startswith("lager"),
            "days": calendar.packaged,
            "fermented_days": calendar.fermented,
            "temperature_C": warmest if last is None else last.temperature_C,
        },
    )


def package_moves(day: Layout) -> Iterator[Move]:
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
