"""From a brewhouse to the keys of its file: only what differs from what its kind says."""

from __future__ import annotations

from typing import Any

from gyle.beer.amount_text import amount_text, exact_number
from gyle.beer.brewhouse import Brewhouse
from gyle.beer.brewhouse_reading import FIGURE_KEYS, FigureKey, StatedFigure, estimate_of, prior_of
from gyle.beer.estimate import Estimate
from gyle.beer.kinds import Traits, default_brewhouse, traits
from gyle.beer.toml_text import toml_text

__all__ = ["brewhouse_table", "brewhouse_text"]

_STATED = "stated"
_ABSOLUTE = ("temperature",)


def _written(value: float, of: FigureKey, system: str, *, spread: bool) -> Any:
    """Return one number of a figure with its unit."""
    if not of.kind:
        number = value / of.scale
        return f"{exact_number(number, value, lambda t: float(t) * of.scale)} {of.unit}" if of.unit else number
    kind = "temperature_difference" if spread and of.kind in _ABSOLUTE else of.kind
    return amount_text(
        value,
        kind,
        system=system if kind != "temperature_difference" else "metric",
        to_value=lambda v: v * of.scale,
        to_canonical=lambda v: v / of.scale,
    )


def _figure(estimate: Estimate, of: FigureKey, system: str, prior: Estimate) -> Any:
    """Return a figure bare where that says as much, else with all that is stated of it."""
    bare = estimate_of(StatedFigure(estimate.centre, None, None, _STATED), prior)
    if (bare.spread, bare.each_time, bare.source) == (estimate.spread, estimate.each_time, estimate.source):
        return _written(estimate.centre, of, system, spread=False)
    unit = abs(estimate.centre) if estimate.log and estimate.centre else 1.0
    source = estimate.source.removeprefix(_STATED).removeprefix(", from ")
    table = {
        "value": _written(estimate.centre, of, system, spread=False),
        "spread": _written(estimate.spread * unit, of, system, spread=True),
    }
    if estimate.each_time != bare.each_time:
        table["each_time"] = _written(estimate.each_time * unit, of, system, spread=True)
    if source:
        table["from"] = source
    return table


def _put(file: dict[str, Any], table: str, key: str, value: Any) -> None:
    place = file
    for name in table.split(".") if table else ():
        place = place.setdefault(name, {})
    place[key] = value


def brewhouse_table(house: Brewhouse, system: str = "metric") -> dict[str, Any]:
    """Return a brewhouse as the keys and values of its file."""
    file: dict[str, Any] = {"gyle": 1, "name": house.name, "kind": house.kind}
    kind = traits(house.kind)
    words = (
        ("mash", "drain", house.drain, kind.drain),
        ("mash", "sparge", house.sparge, kind.sparge),
        ("mash", "heated", house.mash_heated, kind.mash_heated),
        ("mash", "recirculated", house.recirculated, kind.recirculated),
        ("kettle", "heat", house.heat, kind.heat),
        ("chill", "by", house.chill_by, kind.chill_by),
        ("chill.stand", "by", house.stand_chill_by, house.chill_by),
    )
    file |= {"water": house.water_name} if house.water_name else {}
    if house.altitude_m != kind.altitude_m:
        file["altitude"] = amount_text(house.altitude_m, "length")
    for table, key, size in (
        ("mash", "vessel", house.mash_vessel_L),
        ("kettle", "vessel", house.kettle_vessel_L),
        ("fermenter", "vessel", house.fermenter_vessel_L),
        ("keg", "vessel", house.keg_vessel_L),
    ):
        _put(file, table, key, amount_text(size, "volume", system=system))
    if house.grain_limit_kg is not None:
        _put(file, "mash", "grain_limit", amount_text(house.grain_limit_kg, "mass", system=system))
    for table, key, value, usual in words:
        if value != usual:
            _put(file, table, key, value)
    own = _traits_of(house)
    plain = default_brewhouse(own, house.name)
    if house.thickness_L_kg != plain.thickness_L_kg:
        _put(file, "mash", "thickness", amount_text(house.thickness_L_kg, "thickness", system=system))
    if house.sparge_tanks != plain.sparge_tanks:
        _put(file, "mash", "tanks", house.sparge_tanks)
    if house.chill_to_C != plain.chill_to_C:
        _put(file, "chill", "to", amount_text(house.chill_to_C, "temperature", system=system))
    for of in FIGURE_KEYS:
        estimate = getattr(house, of.field)
        if isinstance(estimate, Estimate) and not estimate.source.startswith("kind"):
            if of.field == "chill_water_C" and estimate == house.tap_water_C:
                continue
            _put(file, of.table, of.key, _figure(estimate, of, system, prior_of(of, own)))
    if house.habit is not None:
        file["habit"] = {
            "brewhouse_efficiency": amount_text(
                house.habit.brewhouse_efficiency,
                "percent",
                to_value=lambda v: v / 100.0,
                to_canonical=lambda v: v * 100.0,
            ),
            "gravity": amount_text(house.habit.gravity_sg, "gravity", half_digit=0.0005),
            "volume": amount_text(house.habit.volume_L, "volume", system=system),
        }
    return file


def _traits_of(house: Brewhouse) -> Traits:
    fields = (
        "mash_vessel_L", "kettle_vessel_L", "fermenter_vessel_L", "same_vessel", "mash_heated", "recirculated",
        "drain", "sparge", "heat", "chill_by", "stand_chill_by", "altitude_m",
    )  # fmt: skip
    return traits(house.kind, {field: getattr(house, field) for field in fields})


def brewhouse_text(house: Brewhouse, system: str = "metric") -> str:
    """Return a brewhouse as a text file; reading it gives an equal one."""
    return toml_text(brewhouse_table(house, system))
