"""From a recipe to the keys of its file: every amount the way it is kept, nothing that is not said."""

from __future__ import annotations

import math
from typing import Any

from gyle.beer import tables
from gyle.beer.aim_reading import aims_of
from gyle.beer.amount_text import amount_text, exact_number, plain_number
from gyle.beer.brewhouse_table import brewhouse_table
from gyle.beer.figures import BITTERNESS_FIGURE, figure_kind, short_names
from gyle.beer.ingredient import Fermentable
from gyle.beer.page import Page
from gyle.beer.recipe import Aim, FermentationStep, GristLine, HopLine, Packaging, Recipe, Rest, Sparge, YeastLine
from gyle.beer.section import Section
from gyle.beer.timing import Timing
from gyle.beer.toml_text import toml_text
from gyle.beer.wanted_water_reading import RATIO_EITHER_WAY
from gyle.quantities import read

__all__ = ["recipe_table", "recipe_text"]


def _percent(fraction: float, half_digit: float = 0.0) -> str:
    return amount_text(
        fraction,
        "percent",
        half_digit=half_digit,
        to_value=lambda v: v / 100.0,
        to_canonical=lambda v: v * 100.0,
    )


def _points(value: float) -> str:
    return f"{plain_number(value)} points above final"


# Units of figures that no system of units changes.
_FIXED_UNITS = {"concentration": "mg/L", "alkalinity": "mg/L", "food_energy": "kcal/100 mL", "ratio": "", "ph": ""}


def _aim_text(aim: Aim, key: str, rule: str) -> str:
    """Return an aim's value as its author wrote it, or as it is kept if the text is lost or out of date."""
    if aim.text and _read_aim(key, aim.text, rule) == (aim.value, aim.half_digit):
        return aim.text
    of = figure_kind(aim.figure)
    kind = of.kind if of is not None else "ratio"
    half = aim.half_digit
    if aim.figure.endswith("colour_srm"):
        return f"{plain_number(aim.value)} SRM"
    if kind in _FIXED_UNITS:
        return f"{plain_number(aim.value)} {_FIXED_UNITS[kind]}".strip()
    return amount_text(aim.value, kind, half_digit=half)


def _read_aim(key: str, text: str, rule: str) -> tuple[float, float] | None:
    page = Page({}, "", "")
    aims = aims_of(Section(page, {key: text}), rule)
    return (aims[0].value, aims[0].half_digit) if aims and not page.faults else None


def _aims(aims: tuple[Aim, ...], rule: str) -> dict[str, Any]:
    keys = {figure: key for key, figure in short_names().items()} | {BITTERNESS_FIGURE[rule]: "bitterness"}
    table: dict[str, Any] = {}
    for aim in aims:
        key = keys.get(aim.figure, aim.figure)
        table[key] = _aim_text(aim, key, rule)
    return table


def _own_figures(line: GristLine) -> dict[str, Any]:
    """What a grist line's lot says beyond the table."""
    found = tables.fermentable(line.what)
    base = found[0] if found else None
    table: dict[str, Any] = {}
    for key, field in (
        ("extract", "extract_fraction"),
        ("moisture", "moisture_fraction"),
        ("fermentable", "fermentable_fraction"),
        ("colour", "colour_ebc"),
    ):
        estimate = getattr(line.ingredient, field)
        if base is not None and estimate == getattr(base, field):
            continue
        if base is None and estimate.source != "stated":
            continue
        table[key] = amount_text(estimate.centre, "colour") if key == "colour" else _percent(estimate.centre)
    return table | _acidity(line.ingredient)


def _acidity(malt: Fermentable) -> dict[str, Any]:
    """What a lot says of its acidity; lactic acid stands for pH and buffering."""
    if malt.lactic_fraction is not None:
        return {"lactic": _percent(malt.lactic_fraction)}
    table: dict[str, Any] = {}
    if malt.distilled_ph.source == "stated":
        table["distilled_ph"] = malt.distilled_ph.centre
    if malt.buffering_mEq_kg.source == "stated":
        table["buffering"] = malt.buffering_mEq_kg.centre
    return table


def _grist(line: GristLine, system: str) -> dict[str, Any]:
    row: dict[str, Any] = {"what": line.what}
    if line.mass_kg is not None:
        row["mass"] = amount_text(line.mass_kg, "mass", system=system, half_digit=line.half_digit)
    elif line.share is not None:
        row["share"] = _percent(line.share, line.half_digit)
    row |= _own_figures(line)
    if line.at.stage == "mash" and line.at.mash != 1:
        row["mash"] = line.at.mash
    elif line.at != Timing(stage="mash") or not line.ingredient.mashed:
        row["at"] = line.at.text
    return row


def _rest(rest: Rest, system: str) -> dict[str, Any]:
    row: dict[str, Any] = {
        "temperature": amount_text(rest.temperature_C, "temperature", system=system),
        "time": amount_text(rest.minutes, "time"),
    }
    if rest.by != "heat":
        row["by"] = rest.by
    if rest.mash != 1:
        row["mash"] = rest.mash
    if rest.liquor_L is not None:
        row["liquor"] = amount_text(rest.liquor_L, "volume", system=system)
    if rest.thickness_L_kg is not None:
        row["thickness"] = amount_text(rest.thickness_L_kg, "thickness", system=system)
    if rest.liquor_from is not None:
        row["liquor_from"] = rest.liquor_from
    return row


def _hop(line: HopLine, system: str) -> dict[str, Any]:
    row: dict[str, Any] = {"what": line.what}
    found = tables.hop(line.what)
    if found is None or line.alpha_fraction != found[0].alpha_fraction:
        row["alpha"] = _percent(line.alpha_fraction.centre)
    if line.mass_kg is not None:
        row["mass"] = amount_text(line.mass_kg, "mass", system=system, half_digit=line.half_digit)
    elif line.rate_g_L is not None:
        row["rate"] = amount_text(line.rate_g_L, "hop_rate", system=system, half_digit=line.half_digit)
    elif line.bitterness_ibu is not None:
        row["bitterness"] = amount_text(line.bitterness_ibu, "bitterness", half_digit=line.half_digit)
    if line.form != "pellets":
        row["form"] = line.form
    row["at"] = line.at.text
    if line.vessel != "kettle":
        row["in"] = line.vessel
    return row


def _millilitres(volume_L: float) -> str:
    number = exact_number(1000.0 * volume_L, volume_L, lambda text: read(f"{text} mL", "volume").value)
    return f"{number} mL"


def _others(recipe: Recipe, system: str) -> list[dict[str, Any]]:
    rows = []
    for line in recipe.others:
        row: dict[str, Any] = {"what": line.what}
        of = "metric" if line.mineral is not None else system  # a scale and a syringe show grams and millilitres
        if line.mass_kg is not None:
            row["mass"] = amount_text(line.mass_kg, "mass", system=of)
        if line.volume_L is not None and line.mineral is not None:
            row["volume"] = _millilitres(line.volume_L)
        elif line.volume_L is not None:
            row["volume"] = amount_text(line.volume_L, "volume", system=system)
        if line.count is not None:
            row["count"] = line.count
        if line.rate_g_L is not None:
            row["rate"] = amount_text(line.rate_g_L, "hop_rate", system=of)
        row["at"] = line.at.text
        for key, fraction in (("extract", line.extract_fraction), ("water", line.water_fraction)):
            if fraction:
                row[key] = _percent(fraction)
        if line.strength_pct is not None:
            row["strength"] = amount_text(line.strength_pct, "percent")
        if line.allergen:
            row["allergen"] = line.allergen
        rows.append(row)
    return rows


def _yeast(line: YeastLine, system: str) -> dict[str, Any]:
    row: dict[str, Any] = {"what": line.what}
    if line.attenuation is not None:
        row["attenuation"] = _percent(line.attenuation)
    if line.pitch_M_mL_P is not None:
        row["pitch"] = amount_text(line.pitch_M_mL_P, "pitch_rate")
    if line.packs is not None:
        row["packs"] = line.packs
    if line.mass_kg is not None:
        row["mass"] = amount_text(line.mass_kg, "mass", system=system)
    if line.cells is not None:
        row["cells"] = amount_text(line.cells, "cells")
    return row


def _step(step: FermentationStep, system: str) -> dict[str, Any]:
    row: dict[str, Any] = {"temperature": amount_text(step.temperature_C, "temperature", system=system)}
    if step.days is not None:
        row["time"] = amount_text(step.days, "days", to_value=lambda v: v / 1440.0, to_canonical=lambda v: v * 1440.0)
    if step.stable_days is not None:
        row["until"] = f"stable {plain_number(step.stable_days)} days"
    if step.from_points_above_final is not None:
        row["from"] = _points(step.from_points_above_final)
    if step.ramp_hours is not None:
        hours = exact_number(step.ramp_hours, step.ramp_hours, lambda t: read(f"{t} h", "time").value / 60.0)
        row["ramp"] = f"{hours} h"
    if step.pressure_bar is not None:
        row["pressure"] = amount_text(step.pressure_bar, "pressure", system=system)
    return row


def _package(package: Packaging, system: str) -> dict[str, Any]:
    table: dict[str, Any] = {}
    if package.carbonation_vol is not None:
        table["carbonation"] = amount_text(package.carbonation_vol, "carbonation")
    if package.pressure_bar is not None:
        table["pressure"] = amount_text(package.pressure_bar, "pressure", system=system)
    if package.temperature_C is not None:
        table["temperature"] = amount_text(package.temperature_C, "temperature", system=system)
    if package.by != "force":
        table["by"] = package.by
    if package.into:
        table["into"] = [f"{what} {amount_text(size, 'volume', system=system)}" for what, size in package.into]
    return table


def _span_text(low: float, high: float) -> str:
    if math.isinf(low):
        return f"at most {plain_number(high)}"
    return f"at least {plain_number(low)}" if math.isinf(high) else f"{plain_number(low)} to {plain_number(high)}"


def _ratio(low: float, high: float) -> float | str:
    """One number where the band is what reading makes of it, both ends otherwise."""
    if low <= 0.0:
        return f"at most {plain_number(high)}"
    if math.isfinite(high):
        middle = math.sqrt(low * high)
        for digits in range(1, 18):
            ratio = float(f"{middle:.{digits}g}")
            if (ratio / RATIO_EITHER_WAY, ratio * RATIO_EITHER_WAY) == (low, high):
                return ratio
    return _span_text(low, high)


def _water(recipe: Recipe) -> dict[str, Any]:
    table: dict[str, Any] = dict(recipe.wanted_ions_mg_L)
    table |= {ion: f"{_span_text(low, high)} mg/L" for ion, low, high in recipe.wanted_ranges_mg_L}
    if recipe.sulfate_to_chloride is not None:
        table["sulfate_to_chloride"] = _ratio(*recipe.sulfate_to_chloride)
    if recipe.dilution_share:
        table["dilution"] = f"{100.0 * recipe.dilution_share:.3g} %"
    return table


def recipe_table(recipe: Recipe, system: str = "metric", *, for_brewhouse: str | None = None) -> dict[str, Any]:
    """Return a recipe as the keys and values of its file.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    system : {"metric", "us"}
        Which units its amounts are written in; aims keep their author's text.
    for_brewhouse : str, optional
        The name of the file its brewhouse lies in; without it the brewhouse is written into the recipe.
    """
    rule = recipe.bitterness_by
    yeasts = [_yeast(line, system) for line in recipe.yeasts]
    house = None
    if recipe.for_brewhouse is not None and for_brewhouse is None:
        house = {key: v for key, v in brewhouse_table(recipe.for_brewhouse, system).items() if key != "gyle"}
    parts: dict[str, Any] = {
        **_head(recipe, system, for_brewhouse),
        "aim": _aims(recipe.aims, rule),
        "grist": [_grist(line, system) for line in recipe.grist],
        "mash": [_rest(rest, system) for rest in recipe.rests],
        "sparge": _sparge(recipe.sparge, system),
        "boil": _boil(recipe, system),
        "hops": [_hop(line, system) for line in recipe.hops],
        "other": _others(recipe, system),
        "yeast": yeasts[0] if len(yeasts) == 1 else yeasts,
        "fermentation": [_step(step, system) for step in recipe.fermentation],
        "package": _package(recipe.package, system),
        "water": _water(recipe),
        "printed": _aims(recipe.printed, rule),
    }
    file = {key: part for key, part in parts.items() if part not in ({}, [])}
    return file if house is None else {**file, "for_brewhouse": house}


def _head(recipe: Recipe, system: str, for_brewhouse: str | None) -> dict[str, Any]:
    """The keys above the first table."""
    head: dict[str, Any] = {"gyle": 1, "name": recipe.name}
    if for_brewhouse is not None:
        head["for_brewhouse"] = for_brewhouse
    if recipe.volume_L is not None:
        key = "volume_into_keg" if recipe.into == "keg" else "volume"
        head[key] = amount_text(recipe.volume_L, "volume", system=system, half_digit=recipe.volume_half_digit)
    if recipe.gyles != 1:
        head["gyles"] = recipe.gyles
    if recipe.bitterness_by != "tinseth":
        head["bitterness_by"] = recipe.bitterness_by
    if recipe.prose:
        head["notes"] = recipe.prose
    return head


def _boil(recipe: Recipe, system: str) -> dict[str, Any]:
    table = {"time": amount_text(recipe.boil_minutes, "time")}
    if recipe.held_back_L is not None:
        table["held_back"] = amount_text(recipe.held_back_L, "volume", system=system)
    return table


def _sparge(sparge: Sparge, system: str) -> dict[str, Any]:
    table: dict[str, Any] = {}
    if sparge.volume_L is not None:
        table["volume"] = amount_text(sparge.volume_L, "volume", system=system)
    if sparge.temperature_C is not None:
        table["temperature"] = amount_text(sparge.temperature_C, "temperature", system=system)
    if sparge.squeeze:
        table["squeeze"] = True
    return table


def recipe_text(recipe: Recipe, system: str = "metric", *, for_brewhouse: str | None = None) -> str:
    """Return a recipe as a text file; reading it gives an equal one, but for its notes. See `recipe_table`."""
    return toml_text(recipe_table(recipe, system, for_brewhouse=for_brewhouse))
