"""Reading a brewhouse: what its brewer states, in place of what its kind says."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

import attrs

from gyle.beer.amounts import gravity_sg
from gyle.beer.brewhouse import KINDS, Brewhouse, Habit
from gyle.beer.estimate import Estimate
from gyle.beer.kinds import Traits, boil_off_bound_L_h, chill_figures, default_brewhouse, figure, traits
from gyle.beer.section import Section
from gyle.beer.water import Water
from gyle.errors import OutOfRange

__all__ = ["FIGURE_KEYS", "FigureKey", "StatedFigure", "brewhouse_of", "estimate_of", "prior_of"]

# A bare figure is better known than its kind, but by how much nobody said. Provenance: ours.
BARE_SHARE_OF_SPREAD = 0.4
DRAINS = ("gravity basket", "hung bag", "squeezed bag", "lauter tun")
SPARGES = ("hand", "none", "continuous", "batch")
HEATS = ("electric", "gas", "induction")
CHILLS = ("counterflow", "immersion", "none")
USUAL_HABIT_SG, USUAL_HABIT_L = 1.050, 20.0


class FigureKey(NamedTuple):
    """Where an estimate of a brewhouse stands in its file, and in what unit."""

    table: str  # "" at the top, "chill.stand" below chill
    key: str
    field: str
    kind: str  # of gyle.quantities, or "" for a bare number in `unit`
    low: float
    high: float
    unit: str = ""
    scale: float = 1.0  # field's value for one of the kind's own unit


FIGURE_KEYS = (
    FigureKey("", "ambient", "ambient_C", "temperature", -20.0, 50.0),
    FigureKey("", "tap_water", "tap_water_C", "temperature", 0.0, 50.0),
    FigureKey("mash", "retention", "retention_L_kg", "thickness", 0.2, 4.0),
    FigureKey("mash", "bypass", "sparge_bypass", "percent", 0.0, 95.0, "%", 0.01),
    FigureKey("mash", "conversion", "conversion", "percent", 40.0, 100.0, "%", 0.01),
    FigureKey("mash", "thermometer", "thermometer_K", "temperature_difference", -10.0, 10.0),
    FigureKey("mash", "dead", "mash_dead_L", "volume", 0.0, 500.0),
    FigureKey("mash", "loss", "mash_loss_W_K", "", 0.01, 1000.0, "W/K"),
    FigureKey("mash", "heat_capacity", "mash_heat_capacity_kJ_K", "", 0.05, 2000.0, "kJ/K"),
    FigureKey("kettle", "power", "power_kW", "power", 0.1, 1000.0),
    FigureKey("kettle", "efficiency", "heat_efficiency", "percent", 5.0, 100.0, "%", 0.01),
    FigureKey("kettle", "boil_off", "boil_off_L_h", "flow", 0.0, 1000.0),
    FigureKey("kettle", "left_behind", "left_behind_L", "volume", 0.0, 500.0),
    FigureKey("kettle", "trub", "trub_L", "volume", 0.0, 500.0),
    FigureKey("kettle", "hops_hold", "hop_held_mL_g", "", 0.5, 20.0, "mL/g"),
    FigureKey("kettle", "loss", "kettle_loss_W_K", "", 0.01, 1000.0, "W/K"),
    FigureKey("kettle", "heat_capacity", "kettle_heat_capacity_kJ_K", "", 0.05, 2000.0, "kJ/K"),
    FigureKey("chill", "minutes", "chill_minutes", "time", 0.5, 5000.0, "min"),
    FigureKey("chill", "water", "chill_water_C", "temperature", -5.0, 50.0),
    FigureKey("chill.stand", "rate", "stand_chill_rate_1_min", "", 0.0005, 2.0, "1/min"),
    FigureKey("fermenter", "left_behind", "fermenter_left_behind_L", "volume", 0.0, 500.0),
    FigureKey("fermenter", "hops_hold", "dry_hop_held_mL_g", "", 0.5, 20.0, "mL/g"),
    FigureKey("learned", "hop_survival_hot", "hop_survival_hot", "percent", 10.0, 100.0, "%", 0.01),
    FigureKey("learned", "hop_survival_ferment", "hop_survival_ferment", "percent", 10.0, 100.0, "%", 0.01),
    FigureKey("learned", "isomerisation", "isomerisation", "", 0.1, 10.0),
    FigureKey("learned", "hop_utilisation", "hop_utilisation", "", 0.1, 10.0),
    FigureKey("learned", "colour", "colour_factor", "", 0.1, 10.0),
)
_ABSOLUTE_TEMPERATURES = ("ambient_C", "tap_water_C", "chill_water_C")


class StatedFigure(NamedTuple):
    """A figure as its brewer states it, before its kind fills what is left open [the field's unit]."""

    value: float
    spread: float | None
    each_time: float | None
    source: str


def _number_of(section: Section, of: FigureKey, value: Any, key: str, *, spread: bool) -> float | None:
    low, high = (0.0, of.high - min(of.low, 0.0)) if spread else (of.low, of.high)
    if not of.kind:
        inner = Section(section.page, {key: value}, section.address, section.place)
        number = inner.number(key, low=low, high=high, unit=of.unit, wanted=f"a number in {of.unit}".rstrip(" in"))
        return None if number is None else number * of.scale
    kind = "temperature_difference" if spread and of.field in _ABSOLUTE_TEMPERATURES else of.kind
    quantity = section.quantity_of(value, key, kind, low=low, high=high, bare=of.unit or None)
    if quantity is None:
        return None
    number = section.cold(key, quantity) if kind == "volume" else quantity.value
    return None if number is None else number * of.scale


def _stated(section: Section, of: FigureKey) -> StatedFigure | None:
    """Return a figure written bare or as { value, spread, each_time, from }."""
    value = section.raw(of.key)
    if value is None:
        return None
    if not isinstance(value, dict):
        number = _number_of(section, of, value, of.key, spread=False)
        return None if number is None else StatedFigure(number, None, None, "stated")
    inner = Section(section.page, value, (*section.address, of.key), f"{section.place} {of.key}".strip())
    if "value" not in inner:
        section.fault(f"{of.key} gives no value; write {of.key} = {{ value = ..., spread = ... }}", of.key)
    parts = {
        key: _number_of(inner, of, inner.raw(key), key, spread=key != "value")
        for key in ("value", "spread", "each_time")
        if key in inner
    }
    source = inner.text("from", longest=80)
    inner.close(also=("value", "spread", "each_time", "from"))
    number = parts.get("value")
    if number is None:
        return None
    return StatedFigure(
        number, parts.get("spread"), parts.get("each_time"), f"stated, from {source}" if source else "stated"
    )


def estimate_of(stated: StatedFigure, prior: Estimate) -> Estimate:
    """Return the estimate of a stated figure; what it leaves open comes from its kind."""
    size = 1.0 if prior.log or not prior.centre else abs(stated.value / prior.centre)
    unit = abs(stated.value) if prior.log and stated.value else 1.0  # a stated spread is in the figure's unit
    spread = BARE_SHARE_OF_SPREAD * prior.spread * min(size, 1.5) if stated.spread is None else stated.spread / unit
    each_time = prior.each_time * min(size, 1.5) if stated.each_time is None else stated.each_time / unit
    return Estimate(
        centre=stated.value,
        spread=spread,
        each_time=each_time,
        low=min(prior.low, stated.value),
        high=max(prior.high, stated.value),
        log=prior.log,
        source=stated.source,
    )


class _Tables(NamedTuple):
    mash: Section | None
    kettle: Section | None
    chill: Section | None
    stand: Section | None
    fermenter: Section | None
    keg: Section | None
    learned: Section | None
    habit: Section | None


def _ask(section: Section | None, take: Callable[[Section], Any]) -> Any:
    return None if section is None else take(section)


def _size(section: Section | None, key: str = "vessel") -> float | None:
    size: float | None = _ask(section, lambda s: s.volume(key, low=1.0, high=5000.0))
    return size


def _traits(top: Section, kind: str, on: _Tables) -> Traits:
    mash_L, kettle_L = _size(on.mash), _size(on.kettle)
    altitude = top.quantity("altitude", "length", low=-430.0, high=5000.0)
    stated: dict[str, Any] = {
        "mash_vessel_L": mash_L,
        "kettle_vessel_L": kettle_L,
        "fermenter_vessel_L": _size(on.fermenter),
        "drain": _ask(on.mash, lambda s: s.choice("drain", DRAINS)),
        "sparge": _ask(on.mash, lambda s: s.choice("sparge", SPARGES)),
        "mash_heated": _ask(on.mash, lambda s: s.flag("heated")),
        "recirculated": _ask(on.mash, lambda s: s.flag("recirculated")),
        "heat": _ask(on.kettle, lambda s: s.choice("heat", HEATS)),
        "chill_by": _ask(on.chill, lambda s: s.choice("by", CHILLS)),
        "stand_chill_by": _ask(on.stand, lambda s: s.choice("by", CHILLS)),
        "altitude_m": altitude.value if altitude else None,
    }
    if mash_L is not None and kettle_L is not None and mash_L != kettle_L:
        stated["same_vessel"] = False
    return traits(kind, stated)


def _habit(section: Section | None) -> Habit | None:
    if section is None or not section.table:
        return None
    efficiency = section.quantity("brewhouse_efficiency", "percent", low=10.0, high=100.0)
    gravity = section.quantity("gravity", "gravity", low=1.0, high=30.0)
    volume = section.volume("volume", low=0.5, high=5000.0)
    if "brewhouse_efficiency" not in section:
        section.missing("brewhouse_efficiency", 'brewhouse_efficiency = "72 %"')
    for key, usual in (("gravity", f"{USUAL_HABIT_SG:.3f}"), ("volume", f"{USUAL_HABIT_L:g} L")):
        if key not in section:
            section.note(f"The habit says no {key}: {usual} is taken.")
    section.close()
    if efficiency is None:
        return None
    try:
        sg = gravity_sg(gravity)[0] if gravity else USUAL_HABIT_SG
    except OutOfRange as error:
        section.fault(f"gravity: {error}", "gravity")
        return None
    return Habit(brewhouse_efficiency=efficiency.value / 100.0, gravity_sg=sg, volume_L=volume or USUAL_HABIT_L)


def prior_of(key: FigureKey, of: Traits) -> Estimate:
    """Return what a figure's kind says of it."""
    if key.field in ("chill_minutes", "stand_chill_rate_1_min"):
        minutes, rate = chill_figures(of)
        return minutes if key.field == "chill_minutes" else rate
    return figure("tap_water_C" if key.field == "chill_water_C" else key.field, of)


def _figures(top: Section, on: _Tables, of: Traits) -> dict[str, Estimate]:
    places = {
        "": top,
        "mash": on.mash,
        "kettle": on.kettle,
        "chill": on.chill,
        "chill.stand": on.stand,
        "fermenter": on.fermenter,
        "learned": on.learned,
    }
    found: dict[str, Estimate] = {}
    for key in FIGURE_KEYS:
        section = places[key.table]
        stated = _stated(section, key) if section is not None else None
        if stated is not None:
            prior = prior_of(key, of)
            if prior.log and stated.value <= 0.0:
                assert section is not None
                section.fault(f"{key.key} is {stated.value:g}, and more than nothing was wanted", key.key)
                continue
            found[key.field] = estimate_of(stated, prior)
    return found


def _checked_boil_off(top: Section, house: Brewhouse) -> Brewhouse:
    """Return the brewhouse with a boil-off that its power can drive, noting one that it cannot."""
    if not (house.stated("boil_off_L_h") and house.power_kW is not None and house.stated("power_kW")):
        return house
    bound = boil_off_bound_L_h(house.power_kW.centre, house.altitude_m)
    boil_off = house.boil_off_L_h
    if boil_off.centre > bound:
        top.note(
            f"The boil-off of {boil_off.centre:.3g} L/h is more than {house.power_kW.centre:.3g} kW can "
            f"evaporate, {bound:.3g} L/h."
        )
    return attrs.evolve(house, boil_off_L_h=attrs.evolve(boil_off, high=max(bound, boil_off.centre)))


def _tap_water(top: Section, name: str) -> Water | None:
    from gyle.beer.water_ready import tap_water  # and the chemistry behind it

    return tap_water(top, name)


def brewhouse_of(top: Section, *, otherwise_named: str = "brewhouse") -> Brewhouse | None:
    """Return the brewhouse of a table; None where its faults leave nothing to return."""
    top.number("gyle", low=1, high=1, wanted="the format number 1")
    name = top.text("name", longest=120) or otherwise_named
    kind = top.choice("kind", KINDS)
    if kind is None:
        if "kind" not in top:
            top.note(f"{name} says no kind, so the widest spreads are taken.")
        kind = "unstated"
    chill = top.section("chill")
    on = _Tables(
        mash=top.section("mash"),
        kettle=top.section("kettle"),
        chill=chill,
        stand=chill.section("stand", "chill stand") if chill else None,
        fermenter=top.section("fermenter"),
        keg=top.section("keg"),
        learned=top.section("learned"),
        habit=top.section("habit"),
    )
    before = len(top.page.faults)
    of = _traits(top, kind, on)
    figures = _figures(top, on, of)
    grain = _ask(on.mash, lambda s: s.quantity("grain_limit", "mass", low=0.05, high=2000.0))
    thickness = _ask(on.mash, lambda s: s.quantity("thickness", "thickness", low=0.5, high=20.0))
    tanks = _ask(on.mash, lambda s: s.number("tanks", low=1, high=50))
    chill_to = _ask(on.chill, lambda s: s.quantity("to", "temperature", low=-1.0, high=60.0))
    keg = _size(on.keg)
    habit = _habit(on.habit)
    water_name = top.text("water", longest=120)
    water = _tap_water(top, water_name) if water_name else None
    for table in (top, on.mash, on.kettle, on.chill, on.stand, on.fermenter, on.keg, on.learned):
        if table is not None:
            table.close()
    if len(top.page.faults) > before:
        return None
    house = default_brewhouse(
        of,
        name,
        figures,
        grain_limit_kg=grain.value if grain else None,
        thickness_L_kg=thickness.value if thickness else None,
        sparge_tanks=int(tanks) if tanks else None,
        chill_to_C=chill_to.value if chill_to else None,
        keg_vessel_L=keg,
        habit=habit,
    )
    house = _checked_boil_off(top, house)
    return attrs.evolve(house, water=water, water_name=water_name or "", notes=tuple(top.page.notes))
