"""A plan, an adaptation and their sources as the documents of docs/contracts.md: plain numbers, stable keys."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from gyle.decide.adapt import Adaptation
    from gyle.decide.plan import Plan
    from gyle.decide.sources import Sources
    from gyle.line.figures import Band

__all__ = ["adaptation_document", "figures_document", "plan_document", "sources_document"]


def figures_document(figures: Mapping[str, Band]) -> dict[str, dict[str, Any]]:
    """Figures in the order of the beer's way; the median only where the mean does not say enough."""
    from gyle.decide.plan import figure_order
    from gyle.line.figures import figure

    found: dict[str, dict[str, Any]] = {}
    for name in sorted(figures, key=lambda name: (figure_order(name), name)):
        known, band = figure(name), figures[name]
        found[name] = {
            "unit": known.unit if known else "",
            "mean": float(band.mean),
            "low": float(band.low),
            "high": float(band.high),
        }
        if band.skewed:
            found[name]["median"] = float(band.median)
    return found


def plan_document(plan: Plan, *, system: str, notes: Iterable[str] = ()) -> dict[str, Any]:
    """A plan as JSON; figures in their own units whatever the system, sentences in the system's."""
    from gyle.line.words import sentence
    from gyle.share.weighing import amounts_document

    return {
        "figures": figures_document(plan.figures),
        "cautions": [{"station": caution.station, "text": caution.text} for caution in plan.cautions(system)],
        "notes": [*plan.notes, *notes],
        "model": plan.model,
        "steps": [
            {
                "id": step.move.id,
                "station": step.move.station,
                "start_min": float(step.start_min.mean()),
                "minutes": float(step.minutes.mean()),
                "do": sentence(step, plan.brew, system=system),
            }
            for step in plan.steps
        ],
        "amounts": amounts_document(plan),
        "short_of": list(plan.short_of),
        "misses": [
            {
                "figure": miss.figure,
                "wanted": float(miss.wanted),
                "got": float(miss.got),
                "within_rounding": bool(miss.within_rounding),
            }
            for miss in plan.misses
        ],
    }


def adaptation_document(
    adaptation: Adaptation, recipe_text: str, *, system: str, notes: Iterable[str] = ()
) -> dict[str, Any]:
    """An adaptation as JSON: the plan proposed, the file that says it, what changed, the ways out."""
    document = plan_document(adaptation.plan, system=system, notes=(*adaptation.notes, *notes))
    document["notes"] = list(dict.fromkeys(document["notes"]))
    document["recipe"] = recipe_text
    document["changes"] = [
        {"what": change.what, "from": change.before, "to": change.after, "why": change.why}
        for change in adaptation.changes
    ]
    document["options"] = [
        {
            "name": option.name,
            "fits": bool(option.fits),
            "recommended": bool(option.recommended),
            "figures": figures_document(option.plan.figures) if option.plan is not None else {},
            "extra_minutes": float(option.extra_minutes),
            "cost": None if option.cost is None else float(option.cost),
            "currency": option.currency,
            "short_of": list(option.short_of),
            "price": option.price,
            "why": option.why,
        }
        for option in adaptation.options
    ]
    return document


def sources_document(found: Sources) -> dict[str, Any]:
    """What stands behind a figure as JSON."""
    return {
        "figure": found.figure,
        "words": found.words,
        "equations": [
            {"name": equation.name, "does": equation.does, "references": list(equation.references)}
            for equation in found.equations
        ],
        "movers": [
            {"name": mover.name, "source": mover.source, "share": float(mover.share), "push": float(mover.push)}
            for mover in found.movers
        ],
    }
