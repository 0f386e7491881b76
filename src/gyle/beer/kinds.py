"""What the kind of a brewhouse says of every figure its brewer does not state.

Each estimate's source begins with "kind:". Heat losses, heat capacities, free surface and what stays
behind grow with the vessel; an "unstated" brewhouse has the widest spreads.
"""

from __future__ import annotations

import functools
import math
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import attrs

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.estimate import Estimate
from gyle.science.atmosphere import pressure_Pa
from gyle.science.evaporation import evaporation_bound_L_h

__all__ = [
    "Traits",
    "boil_off_bound_L_h",
    "boil_off_prior",
    "chill_figures",
    "default_brewhouse",
    "figure",
    "traits",
    "unstated_brewhouse",
]

# Part of its bound that a kettle at full power turns into vapour; common practice 0.65-0.85.
BOIL_OFF_SHARE, BOIL_OFF_SHARE_SD = 0.72, 0.10
ELECTRIC_EFFICIENCY = 0.95
# An unstated brewhouse is so much larger than the beer that its vessels do not bind.
UNSTATED_VESSEL_PER_L = 2.5

_VESSEL_OF_FIGURE = {"mash": "mash_vessel_L", "kettle": "kettle_vessel_L", "fermenter": "fermenter_vessel_L"}


@attrs.frozen(kw_only=True)
class Traits:
    """What decides a brewhouse's figures: its kind, vessels and ways."""

    kind: str
    mash_vessel_L: float
    kettle_vessel_L: float
    fermenter_vessel_L: float
    same_vessel: bool
    mash_heated: bool
    recirculated: bool
    drain: str
    sparge: str
    heat: str
    chill_by: str
    stand_chill_by: str
    altitude_m: float


@functools.cache
def _data() -> Mapping[str, Any]:
    file = Path(__file__).parent / "data" / "brewhouse_kinds.toml"
    data: Mapping[str, Any] = tomllib.loads(file.read_text(encoding="utf-8"))
    return data


def traits(kind: str, stated: Mapping[str, Any] | None = None) -> Traits:
    """Return the traits of a kind, with those that are stated in place of the kind's own.

    Parameters
    ----------
    kind : str
        One of `brewhouse.KINDS`.
    stated : mapping, optional
        Field of `Traits` to value; None means not stated.
    """
    own = {key: value for key, value in (stated or {}).items() if value is not None}
    base = _data()["kinds"][kind]
    same = own.get("same_vessel", base["same_vessel"])
    kettle = own.get("kettle_vessel_L", own.get("mash_vessel_L", base["vessel_L"]))
    chill_by = own.get("chill_by", base["chill_by"])
    values = {
        "kind": kind,
        "mash_vessel_L": own.get("mash_vessel_L", kettle),
        "kettle_vessel_L": kettle,
        "fermenter_vessel_L": own.get("fermenter_vessel_L", kettle),
        "same_vessel": same,
        "mash_heated": base["mash_heated"],
        "recirculated": base["recirculated"],
        "drain": base["drain"],
        "sparge": base["sparge"],
        "heat": base["heat"],
        "chill_by": chill_by,
        "stand_chill_by": own.get("stand_chill_by", chill_by),
        "altitude_m": _data()["common"]["altitude_m"],
    }
    return Traits(**{**values, **own})


def _rows(name: str, of: Traits) -> Mapping[str, Any]:
    """The most particular row of the data for a figure."""
    data = _data()
    kind = data["kinds"][of.kind]
    ways = (data["heat"][of.heat], data["drain"][of.drain], data["sparge"][of.sparge])
    # A kind's own figure holds for its own ways only; a stated drain, sparge or heat knows better.
    own = kind.get("figures", {})
    way_stated = any(
        name in row and getattr(of, way) != kind[way]
        for row, way in zip(ways, ("heat", "drain", "sparge"), strict=True)
    )
    places = (*ways, own, data["common"]["figures"]) if way_stated else (own, *ways, data["common"]["figures"])
    row: Mapping[str, Any] = next(place[name] for place in places if name in place)
    return row


def _estimate(row: Mapping[str, Any], of: Traits, *, said: str) -> Estimate:
    widen = float(_data()["kinds"][of.kind].get("widen", 1.0))
    size = 1.0
    if "with" in row:
        brim = float(getattr(of, _VESSEL_OF_FIGURE[row["with"]]))
        size = (brim / row["of"]) ** row["power"]
    log = bool(row.get("log", False))
    centre = row["centre"] * size
    spread_size = widen if log else widen * size
    return Estimate(
        centre=centre,
        spread=row.get("spread", 0.0) * spread_size,
        each_time=row.get("each_time", 0.0) * spread_size,
        low=min(row["low"], centre),
        high=max(row["high"] * max(size, 1.0), centre),
        log=log,
        source=f"kind: {said}",
    )


def figure(name: str, of: Traits) -> Estimate:
    """Return what a brewhouse of these traits is believed to have for one figure."""
    said = of.kind
    if name == "retention_L_kg":
        said = f"{of.kind}, {of.drain}"
    elif name == "sparge_bypass":
        said = f"{of.kind}, {of.sparge} sparge"
    return _estimate(_rows(name, of), of, said=said)


def chill_figures(of: Traits) -> tuple[Estimate, Estimate]:
    """Return minutes of the chill and rate of cooling on the way to a stand [1/min]."""
    chill = _data()["chill"]
    minutes = _estimate(chill[of.chill_by]["chill_minutes"], of, said=f"{of.kind}, chill by {of.chill_by}")
    rate = _estimate(
        chill[of.stand_chill_by]["stand_chill_rate_1_min"],
        of,
        said=f"{of.kind}, chill by {of.stand_chill_by}",
    )
    return minutes, rate


def boil_off_bound_L_h(power_kW: float, altitude_m: float) -> float:
    """Return what a power could evaporate if all of it left as vapour [L/h of water at 20 °C].

    At sea level it is 1.598 L/h for each kW.
    """
    return float(evaporation_bound_L_h(power_kW, pressure_Pa(altitude_m)))


def boil_off_prior(of: Traits, power_kW: Estimate, heat_efficiency: Estimate) -> Estimate:
    """Return the boil-off believed before it was measured.

    Where the power is known it is a share of what that power could evaporate; else common practice for a
    kettle of that size.
    """
    if power_kW.source.startswith("kind"):
        return figure("boil_off_L_h", of)
    widen = float(_data()["kinds"][of.kind].get("widen", 1.0))
    bound = boil_off_bound_L_h(power_kW.centre, of.altitude_m)
    net = bound * (1.0 if of.heat == "electric" else heat_efficiency.centre / ELECTRIC_EFFICIENCY)
    relative = 0.0 if of.heat == "electric" else heat_efficiency.spread / heat_efficiency.centre
    spread = net * math.hypot(BOIL_OFF_SHARE_SD, BOIL_OFF_SHARE * relative)
    return Estimate(
        centre=BOIL_OFF_SHARE * net,
        spread=widen * spread,
        each_time=widen * 0.04 * net,
        low=0.0,
        high=bound,
        source=f"kind: {of.kind}, from its power",
    )


_FIGURES = (
    "ambient_C",
    "tap_water_C",
    "retention_L_kg",
    "sparge_bypass",
    "conversion",
    "thermometer_K",
    "mash_dead_L",
    "mash_loss_W_K",
    "mash_heat_capacity_kJ_K",
    "power_kW",
    "heat_efficiency",
    "kettle_loss_W_K",
    "kettle_heat_capacity_kJ_K",
    "left_behind_L",
    "trub_L",
    "hop_held_mL_g",
    "fermenter_left_behind_L",
    "dry_hop_held_mL_g",
    "hop_survival_hot",
    "hop_survival_ferment",
    "isomerisation",
    "hop_utilisation",
    "colour_factor",
)


def default_brewhouse(
    of: Traits, name: str, stated: Mapping[str, Estimate | None] | None = None, **decisions: Any
) -> Brewhouse:
    """Return a brewhouse of these traits, with the figures its brewer states.

    Parameters
    ----------
    of : Traits
        Kind, vessels and ways.
    name : str
        What its brewer calls it.
    stated : mapping, optional
        Estimates by field name of `Brewhouse`; None means not stated.
    **decisions
        Fields that are no estimates: `grain_limit_kg`, `thickness_L_kg`, `chill_to_C`, `keg_vessel_L`,
        `sparge_tanks`, `habit`, `notes`; None means not stated.
    """
    own = {key: value for key, value in (stated or {}).items() if value is not None}
    chosen = {key: value for key, value in decisions.items() if value is not None}
    figures = {key: own[key] if key in own else figure(key, of) for key in _FIGURES}
    minutes, rate = chill_figures(of)
    figures["boil_off_L_h"] = own.get("boil_off_L_h") or boil_off_prior(
        of, figures["power_kW"], figures["heat_efficiency"]
    )
    figures["chill_minutes"] = own.get("chill_minutes", minutes)
    figures["stand_chill_rate_1_min"] = own.get("stand_chill_rate_1_min", rate)
    figures["chill_water_C"] = own.get("chill_water_C", figures["tap_water_C"])
    common = _data()["common"]
    fields: dict[str, Any] = {
        **attrs.asdict(of, recurse=False),
        "name": name,
        "grain_limit_kg": None,
        "sparge_tanks": _data()["sparge"][of.sparge]["tanks"],
        "thickness_L_kg": common["thickness_L_kg"],
        "chill_to_C": common["chill_to_C"],
        "keg_vessel_L": common["keg_vessel_L"],
        **figures,
        **chosen,
    }
    return Brewhouse(**fields)


def unstated_brewhouse(volume_L: float | None = None) -> Brewhouse:
    """Return the brewhouse of a recipe that names none: vessels that do not bind, the widest spreads.

    `volume_L` is what its author takes into the fermenter; losses grow with it.
    """
    vessel = UNSTATED_VESSEL_PER_L * (volume_L if volume_L else 20.0)
    of = traits("unstated", {"kettle_vessel_L": vessel, "fermenter_vessel_L": vessel / 1.8})
    return default_brewhouse(of, "unstated")
