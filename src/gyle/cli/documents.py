"""What `--json` prints: the documents of docs/contracts.md, plain numbers and stable keys."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any, TextIO

from gyle.ledger import Outcome, Table, Tally

if TYPE_CHECKING:
    from gyle.decide.adapt import Adaptation
    from gyle.decide.plan import Plan
    from gyle.decide.sources import Sources
    from gyle.line.figures import Band

# What a terminal may obey instead of showing it, and JSON need not escape.
_UNSHOWN = re.compile("[\x7f-\x9f\u200e\u200f\u2028-\u202e\u2066-\u2069]")

__all__ = ["adaptation_document", "ledger_document", "plan_document", "print_document", "sources_document"]


def print_document(document: Mapping[str, Any], out: TextIO) -> None:
    """Print a document; a number that is none is a fault of ours and is never printed."""
    utf = (out.encoding or "utf-8").casefold().replace("-", "").startswith("utf")
    text = json.dumps(document, ensure_ascii=not utf, allow_nan=False, indent=1)
    out.write(_UNSHOWN.sub(lambda found: f"\\u{ord(found[0]):04x}", text) + "\n")


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
    from gyle.cli.weighing import amounts_document
    from gyle.line.words import sentence

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


def ledger_document(tables: Iterable[Table], counts: Tally) -> dict[str, Any]:
    """Every row of the ledger as JSON."""
    return {
        "rows": [_row(table, outcome) for table in tables for outcome in table.outcomes],
        "functions": counts.functions,
        "counted": counts.counted,
        "own": counts.own,
        "outside": counts.outside,
        "provenance": dict(counts.by_provenance),
    }


def _row(table: Table, outcome: Outcome) -> dict[str, Any]:
    row = outcome.row
    got = None if outcome.got is None else _finite(outcome.got.tolist())
    return {
        "table": table.name,
        "id": row.id,
        "quantity": row.quantity,
        "got": got,
        "expected": row.expected.tolist(),
        "tolerance": row.tolerance,
        "source": row.source,
        "provenance": row.provenance,
        "agrees": bool(outcome.agrees),
        "fault": outcome.fault,
    }


def _finite(value: Any) -> Any:
    """What an equation gave, None in the place of what JSON has no number for."""
    if isinstance(value, list):
        return [_finite(part) for part in value]
    return value if value - value == 0.0 else None
