"""What `gyle water --json` prints."""

from __future__ import annotations

import math
from typing import Any

from gyle.decide.water_work import IonRow, WaterWork
from gyle.line.figures import Band

__all__ = ["water_document"]


def water_document(work: WaterWork) -> dict[str, Any]:
    """The work a water needs as JSON: amounts in grams and millilitres, ions in mg/L."""
    treatment, plan = work.treatment, work.plan
    choice = None if treatment is None else treatment.choice
    balance = work.report.balance
    document: dict[str, Any] = {
        "doses": [
            {"what": dose.what, "into": dose.into, "amount": dose.amount, "unit": dose.unit} for dose in work.doses
        ],
        "volumes": _volumes(work),
        "ions": {
            ion: {"source": row.source, "wanted": row.wanted, "got": row.got}
            | _range(row)
            | ({} if row.got_band is None else {"low": row.got_band.low, "high": row.got_band.high})
            for ion, row in work.ions.items()
        },
        "ph": {name: _band(band) for name, band in work.ph.items()},
        "proven": choice is None or choice.proven,
        "cautions": list(work.cautions),
        "notes": list(work.notes),
        "report": {
            "name": work.report.name,
            "balance_percent": balance.din_pct,
            "balance_percent_standard_methods": balance.standard_methods_pct,
            "cations_mEq_L": balance.cations_mEq_L,
            "anions_mEq_L": balance.anions_mEq_L,
            "acceptable": balance.acceptable,
            "alkalinity_mEq_L": work.report.alkalinity_mEq_L.centre,
            "residual_alkalinity_mEq_L": work.report.residual_alkalinity_mEq_L,
            "estimated": list(work.report.estimated),
            "calcite_saturation_index": work.standing.calcite_si,
            "free_carbon_dioxide_mg_L": work.standing.carbon_dioxide_mg_L,
        },
        "dilution": {"share": work.dilution_share, "with": work.pure_name} if work.dilution_share else None,
        "dechlorination": None
        if work.sulfite is None
        else {
            "what": f"{work.sulfite.salt} metabisulfite",
            "amount": work.sulfite.mg,
            "most": work.sulfite.most_mg,
            "unit": "mg",
            "volume_L": work.sulfite.volume_L,
        },
        "misses": []
        if choice is None
        else [
            {"what": miss.what, "at": miss.at, "got": miss.got, "tolerances": miss.scaled}
            for miss in choice.misses
            if miss.scaled > 0.0
        ],
        "binds": [
            {"what": binding.what, "worst_miss": binding.worst_miss, "sum_of_misses": binding.sum_of_misses}
            for binding in work.binding
        ],
        "without": [
            {
                "what": one.what,
                "worst_miss": None if one.choice is None else one.choice.worst_miss,
                "sum_of_misses": None if one.choice is None else one.choice.sum_of_misses,
                "why_not": one.refusal,
            }
            for one in work.without
        ],
    }
    ratio = work.sulfate_to_chloride
    low, high = ratio.wanted or (0.0, math.inf)
    document["sulfate_to_chloride"] = {
        "source": ratio.source,
        "wanted_low": low or None,
        "wanted_high": high if math.isfinite(high) else None,
        "got": ratio.got,
    }
    document["aimed_ph"] = None if treatment is None else treatment.aimed_ph
    if plan is not None:
        document["model"] = plan.model
    return document


def _volumes(work: WaterWork) -> dict[str, float]:
    if work.plan is None:
        return {"mash_L": work.volume_L, "sparge_L": 0.0}
    later = float(sum(work.plan.amounts.sparge_L)) + float(sum(work.plan.amounts.liquor_L[1:]))
    later *= work.plan.recipe.gyles
    return {"mash_L": work.volume_L - later, "sparge_L": later}


def _range(row: IonRow) -> dict[str, float | None]:
    """The ends of a wanted range; null where a side is open."""
    if row.wanted_low is None and row.wanted_high is None:
        return {}
    return {"wanted_low": row.wanted_low, "wanted_high": row.wanted_high}


def _band(band: Band) -> dict[str, float]:
    return {"mean": band.mean, "low": band.low, "high": band.high}
