"""A water as a page shows it: its line in the list, its figures with their bands, its charges, what to question."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

import attrs

from gyle.beer.report_key_words import KEY_WORDS
from gyle.beer.water_substances import MAJOR, mEq_L, substance
from gyle.beer.water_suspect import suspects
from gyle.errors import GyleError
from gyle.line.figures import Band
from gyle.quantities import band_text, write
from gyle.share.sentences import as_sentence
from gyle.share.signs import true_minus
from gyle.share.water_words import lime_words
from gyle.web.figure_strip import Strip, strip
from gyle.web.water_drawing import Bar, ChargeBar, charge_bars, fullest_mg_L, small_bars

if TYPE_CHECKING:
    from gyle.beer.estimate import Estimate
    from gyle.beer.water import Reported, Water
    from gyle.books.papers import Paper

__all__ = ["ChargeView", "IonLine", "WaterLine", "WaterView", "charge_view", "fact_words", "remarks_of", "water_lines",
           "water_view"]  # fmt: skip

TENTH = 1.2816  # standard deviations from the middle to the 10th or 90th of a hundred
STANDINGS = {"stated": "", "computed": "follows from another figure", "estimated": "not in the report: a guess"}
OF_PARTS = {"stated": "", "computed": "", "estimated": "partly a guess"}  # of a blend


@attrs.frozen(kw_only=True)
class WaterLine:
    """A water in the list."""

    slug: str
    name: str
    words: str = ""
    said: str = ""
    bars: tuple[Bar, ...] = ()
    fault: str = ""


def water_lines(read: Sequence[tuple[Paper, Water | GyleError]], *, system: str) -> tuple[WaterLine, ...]:
    """Return the list's lines; `read` has each paper with what it reads as, or why it cannot be read."""
    full = fullest_mg_L([water for _, water in read if not isinstance(water, GyleError)])
    return tuple(_line(paper, water, full, system) for paper, water in read)


def _line(paper: Paper, water: Water | GyleError, full: float, system: str) -> WaterLine:
    if isinstance(water, GyleError):
        return WaterLine(slug=paper.slug, name=paper.name, fault=as_sentence(str(water).splitlines()[0]))
    off = true_minus(f"{water.balance.din_pct:+.0f} %")
    doubt = f"its charges are off by {off}, and up to {water.balance.allowed_pct:g} % is usual" if water.doubt else ""
    return WaterLine(
        slug=paper.slug,
        name=paper.name,
        words=fact_words(water, system=system),
        said="; ".join(one for one in (_nature(water), doubt) if one),
        bars=small_bars(water, full),
    )


def _nature(water: Water) -> str:
    if water.parts:
        return "a blend of " + " and ".join(f"{100.0 * part.share:.0f} % {part.water.name}" for part in water.parts)
    if {"alkalinity", "ph"} <= set(water.estimated):
        return "states no alkalinity and no pH: a water to wish for"
    softened = {"boiled": "boiled before use", "lime": "softened with lime before use"}
    return softened.get(water.treated, "")


def fact_words(water: Water, *, system: str) -> str:
    """Hardness, alkalinity and pH in a line; what nobody states is left out."""
    parts = []
    if water.hardness_mEq_L.standing != "estimated":
        parts.append(f"hardness {write(water.hardness_mEq_L.centre, 'hardness', system=system)}")
    if water.alkalinity_mEq_L.standing != "estimated":
        parts.append(f"alkalinity {write(water.alkalinity_mEq_L.centre, 'alkalinity', system=system)}")
    if water.ph.standing != "estimated":
        parts.append(f"pH {water.ph.centre:.2f}")
    return ", ".join(parts)


@attrs.frozen(kw_only=True)
class IonLine:
    """A figure of a water with its band."""

    name: str
    value: str
    ends: str
    charge: str = ""
    standing: str = ""
    at: str = ""  # width of its bar


@attrs.frozen(kw_only=True)
class ChargeView:
    """The balance of charges in bands."""

    bars: tuple[ChargeBar, ...]
    value: str
    ends: str
    strip: Strip
    verdict: str
    sums: str
    doubt: str


@attrs.frozen(kw_only=True)
class WaterView:
    """Everything a water's page tells."""

    nature: str
    ions: tuple[IonLine, ...]
    facts: tuple[IonLine, ...]
    charge: ChargeView
    lime: str
    notes: tuple[str, ...]
    supposed: tuple[str, ...]
    cautions: tuple[str, ...]
    remarks: str


def water_view(water: Water, *, system: str) -> WaterView:
    """Put a water's figures in order.

    Parameters
    ----------
    water : Water
        As its text says.
    system : {"metric", "us"}
        The person's units.
    """
    return WaterView(
        nature=_nature(water),
        ions=_ions(water),
        facts=_facts(water, system),
        charge=charge_view(water),
        lime=_lime(water, system),
        notes=tuple(as_sentence(note) for note in water.notes if note != water.doubt),
        supposed=tuple(as_sentence(said) for said in water.supposed),
        cautions=tuple(as_sentence(caution) for caution in water.cautions),
        remarks=water.remarks,
    )


def _standing(figure: Reported) -> str:
    return (OF_PARTS if figure.source == "blend" else STANDINGS)[figure.standing]


def _sd(figure: Estimate) -> float:
    return math.hypot(figure.spread, figure.each_time)


def _band(figure: Estimate) -> Band:
    away = TENTH * _sd(figure)
    low, high = max(figure.centre - away, figure.low), min(figure.centre + away, figure.high)
    return Band(mean=figure.centre, low=min(low, figure.centre), high=max(high, figure.centre), median=figure.centre)


def _ions(water: Water) -> tuple[IonLine, ...]:
    ions = [(ion, water.ion_mg_L(ion)) for ion in (*MAJOR, "bicarbonate")]
    ions += [(name, figure) for name, figure in water.others_mg_L]
    found = [(ion, figure) for ion, figure in ions if figure is not None]
    full = max([1.0, *(_band(figure).high for ion, figure in found)])
    return tuple(_ion(ion, figure, full) for ion, figure in found)


def _ion(ion: str, figure: Reported, full: float) -> IonLine:
    band = _band(figure)
    text = band_text(band.mean, band.low, band.high, "concentration")
    charge = substance("alkalinity" if ion == "bicarbonate" else ion).charge
    return IonLine(
        name=ion,
        value=f"{text.mean} {text.unit}",
        ends="" if text.low == text.high else f"{text.low} to {text.high}",
        charge=f"{mEq_L('alkalinity' if ion == 'bicarbonate' else ion, figure.centre):.2f}" if charge else "",
        standing=_standing(figure),
        at=f"{100.0 * figure.centre / full:.1f}%",
    )


def _facts(water: Water, system: str) -> tuple[IonLine, ...]:
    lines = [
        _fact("alkalinity", water.alkalinity_mEq_L, "alkalinity", system),
        IonLine(
            name="residual alkalinity",
            value=true_minus(write(water.residual_alkalinity_mEq_L, "alkalinity", system=system)),
            ends="",
            standing="alkalinity less what calcium and magnesium make up for",
        ),
        _fact("hardness", water.hardness_mEq_L, "hardness", system),
    ]
    ph = _band(water.ph)
    warmth = "" if water.ph_temperature_C is None else f" at {write(water.reading_C, 'temperature', system=system)}"
    lines.append(
        IonLine(
            name="pH",
            value=f"{ph.mean:.2f}{warmth}",
            ends=f"{ph.low:.2f} to {ph.high:.2f}" if f"{ph.low:.2f}" != f"{ph.high:.2f}" else "",
            standing=_standing(water.ph),
        )
    )
    for name, figure, unit in (
        ("conductivity at 25 °C", water.conductivity_uS_cm, "µS/cm"),
        ("free chlorine", water.chlorine_mg_L, "mg/L"),
        ("chloramine", water.chloramine_mg_L, "mg/L"),
    ):
        if figure is not None:
            band = _band(figure)
            # A concentration's digits suit a conductivity's number as well.
            text = band_text(band.mean, band.low, band.high, "concentration", unit="mg/L")
            ends = f"{text.low} to {text.high}" if text.low != text.high else ""
            lines.append(IonLine(name=name, value=f"{text.mean} {unit}", ends=ends, standing=_standing(figure)))
    return tuple(lines)


def _fact(name: str, figure: Reported, kind: str, system: str) -> IonLine:
    band = _band(figure)
    text = band_text(band.mean, band.low, band.high, kind, system=system)
    ends = "" if text.low == text.high else f"{text.low} to {text.high}"
    return IonLine(name=name, value=f"{text.mean} {text.unit}", ends=ends, standing=_standing(figure))


def _lime(water: Water, system: str) -> str:
    from gyle.decide.water_work import standing_of

    try:
        return true_minus(f"{lime_words(water, standing_of(water), system=system)}.")
    except GyleError as error:
        return as_sentence(str(error))


def charge_view(water: Water) -> ChargeView:
    """Hold cations against anions, with how far the spread of each figure lets the difference go."""
    balance = water.balance
    middle = max((balance.cations_mEq_L + balance.anions_mEq_L) / 2.0, 1e-9)
    spreads = [mEq_L(ion, 1.0) * _sd(getattr(water, f"{ion}_mg_L")) for ion in MAJOR]
    spreads.append(_sd(water.alkalinity_mEq_L))
    away = TENTH * 100.0 * math.hypot(*spreads) / middle
    off = balance.din_pct
    band = Band(mean=off, low=off - away, high=off + away, median=off)
    if not balance.tells:
        verdict = "no check, since figures are missing"
    elif balance.acceptable:
        verdict = f"as usual (up to {balance.allowed_pct:g} % either way)"
    else:
        verdict = f"more than the {balance.allowed_pct:g} % that are usual"
    return ChargeView(
        bars=charge_bars(water),
        value=true_minus(f"{off:+.1f} %"),
        ends=true_minus(f"{band.low:+.1f} to {band.high:+.1f}"),
        strip=strip(band, aim=0.0),
        verdict=verdict,
        sums=f"cations {balance.cations_mEq_L:.2f}, anions {balance.anions_mEq_L:.2f} mEq/L",
        doubt=true_minus(as_sentence(water.doubt)),
    )


def remarks_of(water: Water) -> dict[str, str]:
    """What a careful reader questions, by the key of the figure."""
    if not water.doubt:
        return {}
    first = next(iter(suspects(water)), None)
    if first is None:
        return {}
    key = (water.alkalinity_from or "alkalinity") if first.name == "alkalinity" else first.name
    meant = write(first.implied, "alkalinity") if first.name == "alkalinity" else f"{first.implied:.3g} mg/L"
    cause = f" ({first.why})" if first.why else ""
    return {key: f"Question this first: {meant}{cause} would close the charge balance."} if key in KEY_WORDS else {}
