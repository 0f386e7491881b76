"""The glass: bitterness by two measures, colour, strength, energy."""

from __future__ import annotations

import numpy as np

from gyle.line.acidity import beer_figures
from gyle.line.brew import Brew, Move
from gyle.line.content import Array
from gyle.science.bitterness import analytic_bitterness
from gyle.science.colour import ebc_of_srm, malt_colour_units, morey_srm, srm_of_ebc
from gyle.science.energy import energy_asbc_kcal_100mL
from gyle.science.ethanol import ethanol_g
from gyle.science.garetz import garetz_ibu
from gyle.science.utilisation import rager_ibu, tinseth_ibu

__all__ = ["SERVING_ML", "pour"]

SERVING_ML = 330.0
ASH_PCT = 0.1
MOST_ALPHA_MG_L = 1e5
BLACKEST_SRM = 5000.0
MOST_MG_L = 2000.0  # beyond what dissolves by far: a hop to a drop of beer
DARKEST_EBC_KG_L = 1100.0  # the colour equations end there; no beer is near it


def _trade_bitterness(brew: Brew, move: Move) -> None:
    """The trade's functions: alpha in the cast wort, minutes in the boil, mean gravity of the boil.

    Hops after the boil count nothing here; that is what these functions say, not what they do to a beer.
    """
    final = np.maximum(brew.noted("fermenter_full_L"), 1e-9)
    share = brew.noted("to_fermenter")
    gravity = np.clip(brew.noted("mean_boil_gravity"), 1.0, 1.2)
    tinseth: Array = np.zeros(1)
    other: Array = np.zeros(1)
    by, gyles = move.inputs["bitterness_by"], float(move.inputs["gyles"])
    for hop in move.inputs["boiled"]:
        alpha = np.minimum(brew.noted(f"alpha_kg.{hop['addition']}") * 1e6 * share * gyles / final, MOST_ALPHA_MG_L)
        minutes = float(hop["minutes"])
        own = tinseth_ibu(alpha, minutes, gravity_sg=gravity)
        brew.note(f"tinseth.{hop['addition']}", own)
        tinseth = tinseth + own
        if by == "rager":
            own = rager_ibu(alpha, minutes, boil_gravity_sg=gravity)
        elif by == "garetz":
            own = garetz_ibu(
                alpha,
                minutes,
                gravity_sg=gravity,
                concentration_factor=1.0,
                altitude_m=float(move.inputs["altitude_m"]),
            )
        else:
            continue
        brew.note(f"{by}.{hop['addition']}", own)
        other = other + own
    brew.figure("glass.bitterness_tinseth", tinseth)
    if by in ("rager", "garetz"):
        brew.figure(f"glass.bitterness_{by}", other)


def pour(brew: Brew, move: Move) -> Array:
    """Name what is in the glass. Inputs: ``boiled``, ``bitterness_by``, ``measure``, ``altitude_m``."""
    inputs, content = brew.inputs, brew.content(move.vessel)
    beer = np.maximum(brew.noted("beer_L"), 1e-9)
    iso = np.minimum(content.part("iso") * 1e6 / beer, MOST_MG_L)
    bitter = np.minimum(content.part("bitter") * 1e6 / beer, MOST_MG_L)
    beer_figures(brew, content, beer)
    hum = np.minimum(brew.noted("humulinones_mg_L"), MOST_MG_L)
    brew.figure("glass.bitterness", analytic_bitterness(iso.sum(axis=0), bitter.sum(axis=0) + hum))
    for place in range(content.species.hops):
        brew.note(f"kinetic.{place}", analytic_bitterness(iso[place], bitter[place]))
    _trade_bitterness(brew, move)
    points = np.maximum(1000.0 * (brew.figures["fermenter.original_gravity"] - 1.0), 1e-9)
    brew.figure("glass.bitterness_ratio", brew.figures[move.inputs["measure"]] / points)

    full = np.maximum(brew.noted("fermenter_full_L"), 1e-9)
    darkest = np.minimum(brew.noted("colour_kg_ebc") / full, DARKEST_EBC_KG_L)
    units = malt_colour_units(srm_of_ebc(darkest), 1.0, volume_L=1.0)
    srm = (
        morey_srm(units / inputs["model.extraction_in_colour"])
        * inputs["model.colour"]
        * inputs["brewhouse.colour_factor"]
    )
    srm = np.minimum(srm, BLACKEST_SRM)
    brew.figure("glass.colour_srm", srm)
    brew.figure("glass.colour", ebc_of_srm(srm))
    real, alcohol = brew.noted("real_extract_pct"), brew.noted("alcohol_pct")
    final = brew.figures["fermenter.final_gravity"]
    brew.figure(
        "glass.energy",
        energy_asbc_kcal_100mL(real, alcohol, gravity_sg=final, ash_pct=ASH_PCT) * inputs["model.energy"],
    )
    brew.figure("glass.alcohol_g", ethanol_g(SERVING_ML, abv_pct=brew.figures["fermenter.alcohol"]))
    return np.zeros(1)
