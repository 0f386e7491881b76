"""A treated water as a page shows it: doses, ions before and after, the mash's pH, what binds and what comes next."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING

import attrs

from gyle.line.figures import Band
from gyle.quantities import write
from gyle.share.sentences import as_sentence, joined
from gyle.share.signs import true_minus
from gyle.share.water_names import called, in_full
from gyle.share.water_reasons import OTHER_WATER, Nearness, nearness
from gyle.share.water_words import (
    PH_WORDS,
    amount_words,
    charge_words,
    dilution_words,
    guessed,
    later_L,
    liquor_words,
    span_words,
)
from gyle.web.figure_strip import Strip, strip
from gyle.web.water_drawing import Rule, ion_rule

if TYPE_CHECKING:
    from gyle.decide.plan import Plan
    from gyle.decide.water_work import IonRow, WaterWork
    from gyle.web.treatment_results import Treated

__all__ = ["DoseLine", "IonView", "PhView", "TreatmentView", "VesselView", "treatment_view"]

INTO = {"mash": "into the mash liquor", "sparge": "into the sparge liquor", "kettle": "into the kettle"}
BESIDE_PH = ("mash_2", "sparge", "kettle", "kettle_end", "beer", "mash_hot")
_BEFORE = {
    "mash": "mash.ph", "mash_hot": "mash.ph_hot", "mash_2": "mash.2.ph", "kettle": "kettle.full.ph",
    "kettle_end": "kettle.end.ph", "beer": "glass.ph",
}  # fmt: skip


# What the reasons and the ways to come nearer say in a brewer's words.
_TOLD_AS_WHY = ("the mash pH is not met, because", OTHER_WATER)
_PH_AT_A_PROMPT = ("; --mash-ph 5.4 finds the acid for it", "; wish for a mash pH, such as 5.4")


@attrs.frozen(kw_only=True)
class DoseLine:
    """One thing to weigh or to measure."""

    what: str
    full: str  # in chemistry's words, "" where that is no other
    amount: str
    unit: str


@attrs.frozen(kw_only=True)
class VesselView:
    """What goes into one vessel."""

    words: str
    water: str
    doses: tuple[DoseLine, ...]


@attrs.frozen(kw_only=True)
class IonView:
    """One ion before and after."""

    name: str
    source: str
    wanted: str
    got: str
    band: str
    limit: str
    binds: bool
    off: bool
    rule: Rule | None


@attrs.frozen(kw_only=True)
class PhView:
    """One pH with its band."""

    words: str
    value: str
    ends: str
    strip: Strip
    was: str = ""
    aim: str = ""


@attrs.frozen(kw_only=True)
class TreatmentView:
    """All that is told of a treated water."""

    liquor: str
    charge: str
    alkaline: str
    first: tuple[str, ...]  # what is done to the water before it is dosed
    vessels: tuple[VesselView, ...]
    nothing: str
    said: str  # the doses in one line
    replaced: str  # what they take the place of
    ions: tuple[IonView, ...]
    ratio: IonView | None
    mash_calcium: str
    mash: PhView | None
    other: tuple[PhView, ...]
    near: Nearness
    cautions: tuple[str, ...]
    notes: tuple[str, ...]
    draws: int


def treatment_view(found: Treated, *, system: str) -> TreatmentView:
    """Put what was worked out in order.

    Parameters
    ----------
    found : Treated
        With its work.
    system : {"metric", "us"}
        The person's units.
    """
    work = found.work
    assert work is not None
    plan = work.plan
    assert plan is not None
    limits = _limits(work)
    bound = () if work.treatment is None else work.treatment.choice.at_limits
    vessels = _vessels(work, system)
    near = nearness(work, system=system)
    return TreatmentView(
        liquor=liquor_words(work, system=system),
        charge=true_minus(as_sentence(charge_words(work.report))),
        alkaline=_alkaline(work, system),
        first=_first(work, system),
        vessels=vessels,
        nothing="" if any(one.doses for one in vessels) or work.dilution_share else _nothing(work),
        said=_said(work),
        replaced=f"They take the place of what treats its water now: {joined(found.replaced)}."
        if found.replaced
        else "",
        ions=tuple(_ion(work, ion, row, limits.get(ion), bound) for ion, row in work.ions.items()),
        ratio=_ratio(work),
        mash_calcium=_mash_calcium(work),
        mash=_ph("mash", work, found.before) if "mash" in work.ph else None,
        other=tuple(_ph(name, work, found.before) for name in BESIDE_PH if name in work.ph),
        near=near,
        cautions=tuple(as_sentence(caution) for caution in work.cautions),
        notes=_notes((*found.supposed, *work.notes), near),
        draws=plan.brew.inputs.draws,
    )


def _alkaline(work: WaterWork, system: str) -> str:
    own, left = work.report.alkalinity_mEq_L.centre, work.report.residual_alkalinity_mEq_L
    return true_minus(
        f"Alkalinity {write(own, 'alkalinity', system=system)}; residual alkalinity"
        f" {write(left, 'alkalinity', system=system)}."
    )


def _notes(notes: Iterable[str], near: Nearness) -> tuple[str, ...]:
    """Notes as a page says them: without options of a command line, and without what stands there already."""
    told = (_for_a_page(note) for note in notes if not (near.why and note.startswith(_TOLD_AS_WHY)))
    return tuple(one for one in dict.fromkeys(told) if one not in near.why)


def _for_a_page(note: str) -> str:
    return true_minus(as_sentence(note.replace(*_PH_AT_A_PROMPT)))


def _nothing(work: WaterWork) -> str:
    if work.treatment is not None:
        return "Nothing: it is what is wanted already."
    return (
        "Nothing yet: no ions and no mash pH are wanted. Write an amount, a range or a mash pH beside “What is wanted”."
    )


def _said(work: WaterWork) -> str:
    doses = [f"{called(work, dose.what)} {amount_words(dose)} {dose.unit}" for dose in work.doses]
    if work.dilution_share:
        doses.insert(0, f"{100.0 * work.dilution_share:.0f} % {work.pure_name} water")
    return f"doses for {work.report.name}: {', '.join(doses) if doses else 'none'}"


def _first(work: WaterWork, system: str) -> tuple[str, ...]:
    told = [as_sentence(sentence) for sentence in work.softening]
    if work.sulfite is not None:
        told += [as_sentence(step) for step in work.sulfite.steps[:2]]
    if work.dilution_share:
        told.append(as_sentence(f"mix {dilution_words(work, system=system)}"))
    return tuple(told)


def _vessels(work: WaterWork, system: str) -> tuple[VesselView, ...]:
    later = later_L(work)
    litres = {"mash": work.volume_L - later, "sparge": later}
    found = []
    for place, words in INTO.items():
        doses = tuple(
            DoseLine(
                what=called(work, dose.what), full=in_full(work, dose.what), amount=amount_words(dose), unit=dose.unit
            )
            for dose in work.doses
            if dose.into == place
        )
        if doses:
            water = write(litres[place], "volume", system=system) if place in litres else ""
            found.append(VesselView(words=words, water=water, doses=doses))
    return tuple(found)


def _limits(work: WaterWork) -> dict[str, float]:
    """The most of each ion [mg/L]."""
    if work.treatment is None:
        return {}
    return {limit.what[0]: limit.high for limit in work.treatment.problem.limits
            if len(limit.what) == 1 and math.isfinite(limit.high) and limit.at == "whole"}  # fmt: skip


def _ion(work: WaterWork, ion: str, row: IonRow, limit: float | None, bound: tuple[str, ...]) -> IonView:
    ends = (row.got, row.got) if row.got_band is None else (row.got_band.low, row.got_band.high)
    span = (row.wanted_low, row.wanted_high)
    wanted = span_words(*span).replace("-", " to ") if row.wanted is None else f"{row.wanted:.0f}"
    got, low, high = _apart(row.got, *ends)
    return IonView(
        name=ion,
        source=f"{'~' if guessed(work.report, ion) else ''}{row.source:.0f}",
        wanted=wanted.replace(">", "at least ").replace("<", "at most "),
        got=got,
        band=f"{low} to {high}" if low != high else _no_band(work, ion, row),
        limit="" if limit is None else f"{limit:.0f}",
        binds=any(one.startswith(f"{ion} of at ") for one in bound),
        off=_missed(work, ion),
        rule=ion_rule(source=row.source, got=row.got, band=ends, wanted=row.wanted, wanted_span=span, limit=limit),
    )


def _apart(got: float, low: float, high: float) -> tuple[str, str, str]:
    """Write an amount and its band with as many digits as it takes to tell the ends apart."""
    digits = next((count for count in range(3) if f"{low:.{count}f}" != f"{high:.{count}f}"), 0)
    return f"{got:.{digits}f}", f"{low:.{digits}f}", f"{high:.{digits}f}"


def _no_band(work: WaterWork, ion: str, row: IonRow) -> str:
    """Why an amount has no band."""
    if ion == "bicarbonate" and row.got == 0.0 and any(dose.kind == "acid" for dose in work.doses):
        return "the acid takes all of it"
    return "none in any brew" if row.got == 0.0 else "as good as sure"


def _missed(work: WaterWork, ion: str) -> bool:
    """Whether it is farther off than can just be told."""
    if work.treatment is None:
        return False
    name = "alkalinity" if ion == "bicarbonate" else ion
    return any(miss.what == name and miss.at == "whole" and miss.scaled > 1.0 for miss in work.treatment.choice.misses)


def _ratio(work: WaterWork) -> IonView | None:
    row = work.sulfate_to_chloride
    if row.got is None:
        return None
    low, high = row.wanted or (0.0, math.inf)
    wanted = span_words(low or None, high if math.isfinite(high) else None, ".2g")
    return IonView(
        name="sulfate to chloride",
        source="" if row.source is None else f"{row.source:.1f}",
        wanted=wanted.replace("-", " to ").replace(">", "at least ").replace("<", "at most "),
        got=f"{row.got:.1f}",
        band="",
        limit="",
        binds=False,
        off=False,
        rule=None,
    )


def _mash_calcium(work: WaterWork) -> str:
    alone = work.mash_calcium_mg_L
    return "" if alone is None or not work.doses else f"The mash liquor alone holds {alone:.0f} mg/L of calcium."


def _ph(name: str, work: WaterWork, before: Plan | None) -> PhView:
    band = work.ph[name]
    was: Band | None = None if before is None else before.figures.get(_BEFORE.get(name, ""))
    aim = work.treatment.aimed_ph if name == "mash" and work.treatment is not None else None
    told = was is not None and f"{was.mean:.2f}" != f"{band.mean:.2f}"
    return PhView(
        words=PH_WORDS[name],
        value=f"{band.mean:.2f}",
        ends=f"{band.low:.2f} to {band.high:.2f}",
        strip=strip(band, aim=aim, before=was),
        was=f"{was.mean:.2f} ({was.low:.2f} to {was.high:.2f})" if told and was is not None else "",
        aim="" if aim is None else f"{aim:g}",
    )
