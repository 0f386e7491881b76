"""Everything a run may ask for, by name: the brewhouse's figures, the lots', the model's."""

from __future__ import annotations

import functools
import re
from typing import Any

import attrs
import numpy as np

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.estimate import Estimate
from gyle.beer.recipe import Recipe
from gyle.beer.unstated_water import unstated_water
from gyle.beer.water import Part, Water
from gyle.beer.water_blend import blend, bought_water
from gyle.beer.water_substances import MAJOR
from gyle.line.ensemble import DRAWS, Ensemble
from gyle.line.model import MODEL
from gyle.science.acid_demand import room_carbon_mmol_L
from gyle.science.atmosphere import pressure_Pa, water_boiling_temperature_C
from gyle.science.evaporation import evaporation_bound_L_h
from gyle.science.water_ions import MOLAR_MASS

__all__ = ["beliefs", "dissolve", "inputs_for", "lot_name", "lots", "restated", "water_of"]

# Name of the input, name of the brewhouse's attribute.
_BREWHOUSE = {
    "ambient": "ambient_C",
    "tap_water": "tap_water_C",
    "retention": "retention_L_kg",
    "sparge_bypass": "sparge_bypass",
    "conversion": "conversion",
    "thermometer": "thermometer_K",
    "mash_dead": "mash_dead_L",
    "mash_loss": "mash_loss_W_K",
    "mash_heat_capacity": "mash_heat_capacity_kJ_K",
    "heat_efficiency": "heat_efficiency",
    "kettle_loss": "kettle_loss_W_K",
    "kettle_heat_capacity": "kettle_heat_capacity_kJ_K",
    "boil_off": "boil_off_L_h",
    "left_behind": "left_behind_L",
    "trub": "trub_L",
    "hop_held": "hop_held_mL_g",
    "chill_minutes": "chill_minutes",
    "stand_chill_rate": "stand_chill_rate_1_min",
    "chill_water": "chill_water_C",
    "fermenter_left_behind": "fermenter_left_behind_L",
    "dry_hop_held": "dry_hop_held_mL_g",
    "hop_survival_hot": "hop_survival_hot",
    "hop_survival_ferment": "hop_survival_ferment",
    "isomerisation": "isomerisation",
    "hop_utilisation": "hop_utilisation",
    "colour_factor": "colour_factor",
}
LEAST_CARBON_MMOL_L, MOST_CARBON_MMOL_L = 0.05, 500.0
_GAS_POWER = Estimate(centre=5.0, spread=0.35, log=True, low=0.5, high=200.0, source="kind: power not stated")


def lot_name(what: str) -> str:
    """Name under which a lot's figures are filed: lower case, words joined by hyphens."""
    return re.sub(r"[^a-z0-9]+", "-", what.casefold()).strip("-") or "unnamed"


def lots(recipe: Recipe) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Names of the lots behind each grist line and each hop line.

    Lines of one name are one lot unless their figures differ; then the later one is numbered.
    """
    filed: dict[str, object] = {}

    def name_of(what: str, figures: object) -> str:
        base = name = lot_name(what)
        number = 1
        while filed.setdefault(name, figures) != figures:
            number += 1
            name = f"{base}-{number}"
        return name

    return (
        tuple(name_of(line.what, line.ingredient) for line in recipe.grist),
        tuple(name_of(hop.what, hop.alpha_fraction) for hop in recipe.hops),
    )


def beliefs(recipe: Recipe, brewhouse: Brewhouse) -> dict[str, Estimate]:
    """Everything believed of a recipe on a brewhouse, by the names that sources and logs use."""
    named = dict(MODEL)
    for name, attribute in _BREWHOUSE.items():
        named[f"brewhouse.{name}"] = getattr(brewhouse, attribute)
    named["brewhouse.power"] = brewhouse.power_kW or _GAS_POWER
    grist_lots, hop_lots = lots(recipe)
    for name, line in zip(grist_lots, recipe.grist, strict=True):
        lot, what = f"lot.{name}", line.ingredient
        named[f"{lot}.extract"] = what.extract_fraction
        named[f"{lot}.moisture"] = what.moisture_fraction
        named[f"{lot}.colour"] = what.colour_ebc
        named[f"{lot}.fermentable"] = what.fermentable_fraction
        named[f"{lot}.distilled_ph"] = what.distilled_ph
        named[f"{lot}.buffering"] = what.buffering_mEq_kg
    for name, hop in zip(hop_lots, recipe.hops, strict=True):
        named[f"lot.{name}.alpha"] = hop.alpha_fraction
    for pitched in recipe.yeasts:
        lot = f"lot.{lot_name(pitched.what)}"
        named[f"{lot}.maltotriose"] = pitched.yeast.maltotriose_use
        named[f"{lot}.dextrin"] = pitched.yeast.dextrin_use
        named[f"{lot}.alcohol_stop"] = pitched.yeast.alcohol_stop_abv_pct
    for mineral in (other.mineral for other in recipe.others if other.mineral is not None):
        named[f"mineral.{mineral.slug}.strength"] = mineral.strength_fraction
    water = water_of(recipe, brewhouse)
    named |= {f"water.{ion}": getattr(water, f"{ion}_mg_L") for ion in MAJOR}
    return named | {"water.alkalinity": water.alkalinity_mEq_L, "water.ph": water.ph}


def water_of(recipe: Recipe, brewhouse: Brewhouse) -> Water:
    """The water that is drawn: the brewhouse's, thinned if the recipe says so; or one nobody stated, as wished for."""
    if brewhouse.water is None:
        return _unstated(recipe.wanted_ions_mg_L, recipe.wanted_ranges_mg_L)
    return _thinned(brewhouse.water, recipe.dilution_share) if recipe.dilution_share else brewhouse.water


@functools.lru_cache(maxsize=64)
def _unstated(wanted_mg_L: tuple[tuple[str, float], ...], ranges_mg_L: tuple[tuple[str, float, float], ...]) -> Water:
    return unstated_water(dict(wanted_mg_L), {ion: (low, high) for ion, low, high in ranges_mg_L})


@functools.lru_cache(maxsize=64)
def _thinned(water: Water, share: float) -> Water:
    pure = bought_water("reverse osmosis")
    assert pure is not None
    mixed = blend((Part(water=water, share=1.0 - share), Part(water=pure, share=share)), water.name)
    return attrs.evolve(mixed, metabisulfite_mg_L=water.metabisulfite_mg_L * (1.0 - share))


@functools.lru_cache(maxsize=64)
def _carbon_mmol_L(water: Water) -> float:
    return water.carbon_mmol_L


def dissolve(inputs: Ensemble, water: Water) -> None:
    """File the totals of a litre of the water [mmol/L; alkalinity mEq/L].

    Its carbon is found rigorously at the centre, at the temperature of the reading; from draw to draw it moves as
    alkalinity and pH move it at room temperature.
    """
    phosphate = water.mmol_L("phosphate")
    alkalinity = inputs["water.alkalinity"]
    centre = float(room_carbon_mmol_L(max(water.alkalinity_mEq_L.centre, 0.0), water.ph.centre))
    rigorous = _carbon_mmol_L(water) / centre if centre > LEAST_CARBON_MMOL_L else 1.0
    carbon = room_carbon_mmol_L(np.maximum(alkalinity, 0.0), inputs["water.ph"]) * rigorous
    totals = {
        **{ion: inputs[f"water.{ion}"] / MOLAR_MASS[ion] for ion in MAJOR},
        "phosphate": np.full(1, phosphate),
        "lactate": np.zeros(1),
        "citrate": np.zeros(1),
        "alkalinity": alkalinity - 2.0 * phosphate,
        "carbon": np.clip(carbon, 0.0, MOST_CARBON_MMOL_L),
    }
    for name, value in totals.items():
        inputs.derive(f"water.total.{name}", value)


def restated(brewhouse: Brewhouse, figure: str, estimate: Estimate) -> Brewhouse:
    """The brewhouse with one figure replaced, by the name its input has."""
    change: dict[str, Any] = {_BREWHOUSE[figure.removeprefix("brewhouse.")]: estimate}
    return attrs.evolve(brewhouse, **change)


def inputs_for(recipe: Recipe, brewhouse: Brewhouse, draws: int = DRAWS) -> Ensemble:
    """Sample what a run needs; one draw is the centre line."""
    inputs = Ensemble(beliefs(recipe, brewhouse), draws)
    dissolve(inputs, water_of(recipe, brewhouse))
    station_Pa = pressure_Pa(brewhouse.altitude_m) + inputs["model.weather_Pa"]
    inputs.derive("brewhouse.boiling_water", water_boiling_temperature_C(station_Pa))
    inputs.derive(
        "brewhouse.boil_off_bound",
        evaporation_bound_L_h(inputs["brewhouse.power"] * inputs["brewhouse.heat_efficiency"], station_Pa),
    )
    wished = inputs["brewhouse.boil_off"]
    inputs.derive("brewhouse.boil_off_wished", wished)
    bound = inputs["brewhouse.boil_off_bound"]
    inputs.derive("brewhouse.boil_off", wished.clip(max=bound) if wished.size > 1 else bound.clip(max=wished))
    return inputs
