"""The named figures: unit, kind of quantity, words, and the equations behind each."""

from __future__ import annotations

import re
from collections.abc import Mapping

import attrs
import numpy as np

from gyle.line.content import Array

__all__ = ["FIGURES", "Band", "Figure", "band", "bands", "figure"]


@attrs.frozen(kw_only=True)
class Figure:
    """What a figure is.

    `unit` is what JSON carries; `kind` how a person's units are found; `equations` dotted public functions
    of `gyle.science`.
    """

    name: str
    unit: str
    kind: str
    words: str
    equations: tuple[str, ...]


@attrs.frozen(kw_only=True)
class Band:
    """A figure's ensemble mean and its 10th to 90th percentile; the median where it is skewed."""

    mean: float
    low: float
    high: float
    median: float

    @property
    def skewed(self) -> bool:
        """Whether the median says something the mean does not."""
        return abs(self.mean - self.median) > 0.15 * max(self.high - self.low, 1e-12)


_EXTRACT = ("extract.specific_gravity", "extract.degrees_plato")
_LAUTER = ("sparging.left_in_bed_with_bypass", "extract.specific_gravity_of_extract")
_ISO = (
    "isomerisation.isomerisation_rate_1_min",
    "isomerisation.degradation_rate_1_min",
    "isomerisation.step",
    "bitterness.gravity_survival",
    "bitterness.rate_survival",
    "bitterness.analytic_bitterness",
)
_BOIL = ("evaporation.evaporation_bound_L_h", "atmosphere.water_boiling_temperature_C")
_BEER = ("balling.fermented", "alcohol.beer_gravity", "ethanol.ethanol_water_kg_m3")
_MASH = ("conversion.rest",)
_PH = ("malt_acidity.mash_ph", "acid_demand.carbonate_charge", "acids.protons_given")


def _rows() -> tuple[Figure, ...]:
    def row(name: str, unit: str, kind: str, words: str, *equations: str) -> Figure:
        return Figure(name=name, unit=unit, kind=kind, words=words, equations=equations)

    return (
        *(
            row(f"water.{ion}", "mg/L", "concentration", ion, "salts.salt_totals")
            for ion in ("calcium", "magnesium", "sodium", "sulfate", "chloride")
        ),
        row("water.bicarbonate", "mg/L", "concentration", "bicarbonate", "acids.acid_totals"),
        row("water.alkalinity", "mEq/L", "alkalinity", "alkalinity", "acids.acid_totals", "salts.salt_totals"),
        row(
            "water.residual_alkalinity",
            "mEq/L",
            "alkalinity",
            "residual alkalinity",
            "hardness.residual_alkalinity",
        ),
        row(
            "mash.strike_temperature",
            "°C",
            "temperature",
            "strike temperature",
            "strike.strike_temperature_C",
            "heat.malt_heat_capacity_kJ_kgK",
            "heat.hydration_heat_kJ_kg",
        ),
        row("mash.volume", "L", "volume", "mash in the vessel"),
        row("mash.thickness", "L/kg", "thickness", "liquor for each kilogram"),
        row("mash.ph", "pH", "ph", "mash pH, of a cooled sample", *_PH, "malt_acidity.hardness_acid_mEq_L"),
        row("mash.ph_hot", "pH", "ph", "pH hot, as it stands in the mash", "malt_acidity.hot_ph"),
        row("mash.conversion", "%", "percent", "of the grist's extract dissolved", *_MASH),
        row("lauter.efficiency", "%", "percent", "of the dissolved extract run off", *_LAUTER),
        row("lauter.first_wort_gravity", "SG", "gravity", "first wort", *_EXTRACT),
        row("lauter.bed_kg", "kg", "mass", "drained grain as lifted"),
        row("kettle.full.volume", "L", "volume", "volume of the full kettle", *_LAUTER),
        row("kettle.full.gravity", "SG", "gravity", "gravity of the full kettle", *_LAUTER, *_EXTRACT),
        row("kettle.full.ph", "pH", "ph", "full kettle, cooled sample", *_PH, "wort_acidity.wort_buffering_mEq"),
        row("kettle.end.volume", "L", "volume", "volume at the end of boil", *_BOIL),
        row("kettle.end.gravity", "SG", "gravity", "gravity at the end of boil", *_BOIL, *_EXTRACT),
        row(
            "kettle.end.ph",
            "pH",
            "ph",
            "end of boil, cooled sample",
            "wort_acidity.boil_ph_fall",
            "wort_acidity.calcium_ph_fall",
        ),
        row("stand.iso_alpha", "mg/L", "concentration", "iso-alpha acids in the cast wort", *_ISO[:3]),
        row("fermenter.volume", "L", "volume", "into the fermenter"),
        row("fermenter.pitch_gravity", "SG", "gravity", "gravity at pitching", *_EXTRACT),
        row("fermenter.original_gravity", "SG", "gravity", "original gravity", *_EXTRACT, *_LAUTER),
        row(
            "fermenter.final_gravity",
            "SG",
            "gravity",
            "final gravity",
            *_MASH,
            "fermentation.fermentable_by_yeast",
            *_BEER,
        ),
        row(
            "fermenter.alcohol",
            "% vol",
            "percent",
            "alcohol by volume",
            *_BEER,
            "alcohol.alcohol_by_volume_pct",
        ),
        row("fermenter.attenuation", "%", "percent", "apparent attenuation", *_MASH, *_BEER),
        row(
            "keg.pressure",
            "bar",
            "pressure",
            "keg set to",
            "carbonation.equilibrium_pressure_bar_abs",
            "carbonation.composition_factor",
            "atmosphere.pressure_Pa",
        ),
        row(
            "keg.carbonation",
            "vol",
            "carbonation",
            "carbonation",
            "carbonation.carbon_dioxide_volumes",
            "carbonation.composition_factor",
        ),
        row("keg.volume", "L", "volume", "into the keg"),
        row("keg.left_over", "L", "volume", "clear beer beyond the keg"),
        row("glass.bitterness", "IBU", "bitterness", "bitterness, by kinetics", *_ISO),
        row(
            "glass.bitterness_tinseth",
            "IBU",
            "bitterness",
            "bitterness, by the trade's function",
            "utilisation.tinseth_ibu",
            "utilisation.tinseth_utilisation",
        ),
        row("glass.bitterness_rager", "IBU", "bitterness", "bitterness, by Rager", "utilisation.rager_ibu"),
        row("glass.bitterness_garetz", "IBU", "bitterness", "bitterness, by Garetz", "garetz.garetz_ibu"),
        row(
            "glass.bitterness_ratio",
            "IBU/point",
            "ratio",
            "bitterness for each point of gravity",
            "bitterness.bitterness_ratio",
        ),
        row("glass.colour", "EBC", "colour", "colour", "colour.morey_srm", "colour.malt_colour_units"),
        row("glass.colour_srm", "SRM", "colour", "colour", "colour.morey_srm", "colour.malt_colour_units"),
        row("glass.energy", "kcal/100 mL", "food_energy", "energy", "energy.energy_asbc_kcal_100mL"),
        row("glass.alcohol_g", "g", "mass", "alcohol in 330 mL", "ethanol.ethanol_g"),
        row("glass.ph", "pH", "ph", "beer pH", "wort_acidity.beer_ph", "dry_hop.dry_hop_ph_rise"),
        *(
            row(f"glass.{ion}", "mg/L", "concentration", f"{ion} in the beer", "beer_minerals.malt_mineral_mg_L")
            for ion in ("calcium", "magnesium", "sodium", "sulfate", "chloride")
        ),
        row("line.brewhouse_efficiency", "%", "percent", "of the grist's extract in the fermenter", *_LAUTER),
        row("line.minutes", "min", "time", "from water to pitched"),
    )


FIGURES = {row.name: row for row in _rows()}


def figure(name: str) -> Figure | None:
    """What a figure is; a second vessel's number or a part's letter is looked through."""
    plain = re.sub(r"^(\w+)\.(?:\d+|[a-z])\.", r"\1.", name)
    return FIGURES.get(name) or FIGURES.get(plain)


def band(values: Array) -> Band:
    """Mean, 10th, 50th and 90th percentile of a figure's draws."""
    return bands({"": values})[""]


def bands(figures: Mapping[str, Array]) -> dict[str, Band]:
    """The bands of many figures, sorted together; one that is the same in every draw has no width."""
    found = {}
    vary = [name for name, values in figures.items() if values.size > 1]
    for width in {figures[name].size for name in vary}:
        names = [name for name in vary if figures[name].size == width]
        draws = np.stack([figures[name] for name in names])
        rows = zip(
            draws.mean(axis=1).tolist(), np.percentile(draws, (10.0, 50.0, 90.0), axis=1).T.tolist(), strict=True
        )
        for name, (mean, (low, median, high)) in zip(names, rows, strict=True):
            found[name] = Band(mean=mean, low=low, high=high, median=median)
    for name in figures.keys() - found.keys():
        only = float(figures[name][0])
        found[name] = Band(mean=only, low=only, high=only, median=only)
    return {name: found[name] for name in figures}
