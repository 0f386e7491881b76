"""What the model itself is unsure of: parameters of the equations, each a named estimate.

Centres stand with their equations in `gyle.science`; here is how far off each may be. Spreads marked *ours*
are judgement and are meant to be narrowed by a brewer's own log.
"""

from __future__ import annotations

from collections.abc import Mapping

from gyle.beer.estimate import Estimate
from gyle.science.beer_minerals import MALT_MINERALS
from gyle.science.chalk import chalk_dissolved_share, chalk_rate_mmol_cm2_s

__all__ = ["MODEL"]


def _model(centre: float, spread: float, source: str, **rest: float | bool) -> Estimate:
    return Estimate(centre=centre, spread=spread, source=source, **rest)  # type: ignore[arg-type]


# An hour in a mash of pH 5.4 at 65 °C, far from saturation; the size of the grains is ours.
_CHALK_RATE = chalk_rate_mmol_cm2_s(65.0, 5.4, carbon_dioxide_mmol_L=1.0, calcite_si=-6.0)
_CHALK_WORKS = float(chalk_dissolved_share(15.0, 60.0, rate_mmol_cm2_s=_CHALK_RATE))

MODEL: Mapping[str, Estimate] = {
    # mash: reduced kinetics, a fit to anchors (see docs/science.md)
    "model.conversion_floor": _model(0.24, 0.03, "mash fit, ours", low=0.10, high=0.40),
    "model.conversion_ceiling": _model(0.85, 0.015, "mash fit, ours", low=0.75, high=0.92),
    "model.beta_scale": _model(1.8, 0.30, "mash fit, ours", log=True),
    "model.alpha_scale": _model(15.5, 0.15, "mash fit, ours", log=True),
    "model.beta_decay": _model(0.105, 0.30, "mash fit, ours", log=True),
    "model.beta_activation": _model(55.0, 8.0, "mash fit, ours", low=25.0, high=90.0),
    "model.alpha_activation": _model(61.0, 9.0, "mash fit, ours", low=25.0, high=100.0),
    "model.wetting_rate": _model(0.08, 0.30, "crush and wetting, ours", log=True),
    "model.malt_fermentability": _model(0.0, 0.0125, "malt to malt, ours", low=-0.06, high=0.06),
    "model.grain_heat": _model(1.0, 0.05, "heat capacity of malt, Brewing Room Book 1984", low=0.8, high=1.2),
    "model.hydration_heat": _model(1.0, 0.35, "heat of hydration, Brewing Room Book 1984", low=0.0, high=2.2),
    "model.grain_swelling_L_kg": _model(0.67, 0.03, "common practice", low=0.55, high=0.80),
    # how long hands take
    "model.dough_in_minutes": _model(6.0, 2.0, "common practice", low=2.0, high=20.0),
    "model.drain_minutes": _model(18.0, 0.25, "common practice", log=True, low=4.0, high=90.0),
    "model.sparge_minutes_L": _model(1.3, 0.30, "common practice", log=True, low=0.3, high=6.0),
    # hops
    "model.k_iso": _model(0.01249, 0.08, "Malowicki & Shellhammer 2005", log=True),
    "model.iso_activation": _model(98.6, 2.0, "Malowicki & Shellhammer 2005", low=88.0, high=109.0),
    "model.k_degradation": _model(1.0, 0.15, "Malowicki & Shellhammer 2005", log=True),
    "model.other_bitter_matter": _model(0.09, 0.30, "ours", log=True),
    "model.hop_loss": _model(1.0, 0.10, "what the hop model leaves out, ours", log=True),
    "model.humulinones": _model(0.0032, 0.30, "Maye 2016 (0.2-0.5 % of pellets)", log=True),
    "model.iso_adsorbed": _model(0.133, 0.05, "Parkin & Shellhammer 2017, slope ours", low=0.0, high=0.35),
    "model.hop_vessel_extraction": _model(0.85, 0.10, "ours", low=0.4, high=1.0),
    "model.creep_g_L": _model(0.7, 0.80, "dextrin released per g/L of dry hops, ours", log=True, high=6.0),
    # weather moves the boiling point
    "model.weather_Pa": Estimate(centre=0.0, each_time=1000.0, low=-4000.0, high=4000.0, source="weather"),
    # fermentation
    "model.yeast_growth": _model(
        0.11, 0.033, "Balling, Nielsen et al.; 532 brews of Cutaia et al. 2009", low=0.01, high=0.22
    ),
    "model.fermentability_fermented": Estimate(
        centre=0.0, each_time=0.010, low=-0.05, high=0.05, source="pitch, oxygen, temperature; ours"
    ),
    "model.strong_wort": Estimate(centre=0.0, each_time=1.0, low=-4.0, high=4.0, source="strong worts, ours"),
    "model.tabarie": _model(0.0, 0.0003, "Hackbarth 2009, 2011", low=-0.0012, high=0.0012),
    "event.stuck": Estimate(
        centre=0.0, each_time=1.0, low=0.0, high=400.0, source="3 to 15 in 100 stop early, by strength; ours"
    ),
    # the finished beer
    "model.extraction_in_colour": _model(0.75, 0.06, "extraction behind the trade's curve, ours", low=0.5, high=1.0),
    "model.colour": _model(1.0, 0.19, "Morey's curve, ours", log=True),
    "model.co2_solubility": _model(1.0, 0.04, "published sources differ", low=0.85, high=1.15),
    "model.extract_weight_co2": _model(0.5, 0.25, "OIV term for sugar on dextrins, ours", low=0.0, high=1.0),
    "model.energy": _model(1.0, 0.02, "ASBC form", low=0.9, high=1.1),
    "model.gauge_bar": Estimate(centre=0.0, each_time=0.05, low=-0.2, high=0.2, source="regulator gauge"),
    "model.beer_temperature_K": Estimate(centre=0.0, each_time=0.4, low=-1.5, high=1.5, source="cold store"),
    # pH: what the proton balance leaves out, and a meter's own error
    "model.mash_ph": Estimate(
        centre=0.0, spread=0.05, each_time=0.04, low=-0.4, high=0.4, source="form of the balance, and the meter; ours"
    ),
    "model.co2_lost_still": _model(0.2, 0.12, "carbon dioxide lost by a still mash, ours", low=0.0, high=1.0),
    "model.co2_lost_stirred": _model(0.7, 0.2, "carbon dioxide lost by stirring or a pump, ours", low=0.0, high=1.0),
    "model.calcium_release": _model(0.20, 0.06, "Barth and Zaman 2015, number ours", low=0.0, high=0.5),
    "model.calcium_ceiling": _model(8.75, 0.6, "175 mg/L of calcium, ours", low=5.0, high=15.0),
    "model.lime_works": _model(0.85, 0.10, "deLange 2013, number ours", low=0.3, high=1.0),
    "model.chalk_works": _model(_CHALK_WORKS, 0.15, "Plummer et al. 1978 at 15 micrometres", low=0.05, high=1.0),
    "model.sparge_alkalinity": _model(0.40, 0.15, "past hot tank and grain, ours", low=0.0, high=1.0),
    "model.ph_slope": _model(-0.0082, 0.002, "Briggs et al. 2004", low=-0.02, high=0.0),
    "model.calcium_release_boil": _model(1.0 / 3.5 - 0.20, 0.05, "Kolbach 1953 less the mash", low=0.0, high=0.5),
    "model.acid_per_calcium": _model(0.67, 0.15, "calcium phosphates, ours", low=0.33, high=3.0),
    "model.boil_ph_fall": _model(0.25, 0.07, "MacWilliam 1975, number ours", low=0.0, high=0.6),
    "model.boil_ph_time": _model(60.0, 0.34, "ours", log=True, low=10.0, high=600.0),
    "model.acidification": _model(1.1, 0.12, "ale yeast, ours", log=True, low=0.3, high=4.0),
    "model.lager_acidification": _model(0.95, 0.12, "lager yeast, ours", log=True, low=0.3, high=4.0),
    "model.floor_ph": _model(3.4, 0.15, "ours", low=2.5, high=4.2),
    "model.dry_hop_ph": _model(1.0, 0.28, "Maye 2016, spread ours", low=0.0, high=2.5),
    "model.wort_buffering": _model(60.0, 18.0, "mEq for a kilogram of extract, ours", low=15.0, high=140.0),
    **{
        f"model.malt_{ion}": _model(
            1.0, MALT_MINERALS[ion].log_sd, f"{ion} of malts, ours", log=True, low=0.05, high=20.0
        )
        for ion in ("calcium", "magnesium", "sodium", "sulfate", "chloride")
    },
}
