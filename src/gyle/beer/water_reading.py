"""Reading a water report in any of the units reports are written in, or a blend of waters."""

from __future__ import annotations

import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any, cast

import attrs

from gyle.beer.section import Section
from gyle.beer.water import Reported, Softening, Standing, Water
from gyle.beer.water_alkalinity import Alkalinity, alkalinity_of
from gyle.beer.water_bicarbonate import alkalinity_per_bicarbonate
from gyle.beer.water_blend_reading import blend_of
from gyle.beer.water_conductivity import conductivity_statement
from gyle.beer.water_filling import FILLED, filled, hardness_fitted, missing_sentences
from gyle.beer.water_guides import cautions_of
from gyle.beer.water_names import key_offer
from gyle.beer.water_statements import Statement, ion_statement, statement
from gyle.beer.water_substances import FORMS, MAJOR, OTHERS, USUAL_PH, USUAL_PH_SD, in_words, mEq_L, mg_L, substance
from gyle.beer.water_suspect import balance_sentence, conductivity_sentence
from gyle.errors import OutOfRange
from gyle.quantities import Quantity
from gyle.science.alkalinity import carbon_from_base_capacity
from gyle.science.carbonate import closed

__all__ = ["water_of"]

# Keys that state an ion as one of its elements.
_BY_ELEMENT = {"nitrate_N": ("nitrate", "N"), "nitrite_N": ("nitrite", "N"), "ammonium_N": ("ammonium", "N"),
               "sulfate_S": ("sulfate", "S"), "phosphate_P": ("phosphate", "P")}  # fmt: skip
# A pH and a base capacity further apart than this factor in carbon dioxide are no slip of either.
_CARBON_FACTOR = 2.0
_SAME_SLACK = 0.005


def water_of(top: Section, *, otherwise_named: str = "water", within: tuple[Path, ...] = ()) -> Water:
    """Return the water of a table; its faults are kept in the page.

    Parameters
    ----------
    top : Section
        The table.
    otherwise_named : str
        Its name if it states none.
    within : tuple of Path
        The blends it is part of, so that none comes to hold itself.
    """
    top.number("gyle", low=1, high=1, wanted="the format number 1")
    name = top.text("name", longest=120) or otherwise_named
    remarks = top.text("notes", longest=20_000) or ""
    treated = cast(Softening, top.choice("treated", ("boiled", "lime")) or "")
    water = blend_of(top, name, water_of, within) if "blend" in top else _report(top, name)
    return attrs.evolve(water, treated=treated, remarks=remarks)


def _report(top: Section, name: str) -> Water:
    ph, base, hardness = _ph(top), _base_capacity(top), _hardness(top)
    temperature = top.quantity("temperature", "temperature", low=-2.0, high=60.0)
    temperature_C = temperature.value if temperature else None
    reading_C = ph.at_C if ph is not None and ph.at_C is not None else temperature_C
    stated = _ions(top)
    alkalinity = alkalinity_of(
        top,
        ph=None if ph is None else ph.figure.centre,
        temperature_C=20.0 if reading_C is None else reading_C,
        hardness_mEq_L=None if hardness is None else hardness.figure.centre,
    )
    conductivity = conductivity_statement(top)
    chlorine, chloramine = (ion_statement(top, key, high=20.0) for key in ("chlorine", "chloramine"))
    top.close(offers=key_offer)

    hard, confirmed = hardness_fitted(top, stated, hardness)
    figures = _figures(stated, hard, alkalinity)
    ions: dict[str, Any] = {f"{ion}_mg_L": figures[ion] for ion in MAJOR}
    others = tuple((other, stated[other].figure) for other in OTHERS if other in stated)
    water = _completed(
        Water(
            name=name,
            **ions,
            alkalinity_mEq_L=_alkalinity(figures, alkalinity),
            alkalinity_from=alkalinity.taken_from,
            acid_capacity_mEq_L=alkalinity.acid_capacity,
            bicarbonate_mg_L=figures["alkalinity"],
            hardness_mEq_L=hardness.figure if hardness is not None else figures["calcium"],
            ph=_usual_ph() if ph is None else ph.figure,
            ph_temperature_C=reading_C,
            temperature_C=temperature_C,
            base_capacity_mmol_L=None if base is None else base.figure,
            chlorine_mg_L=None if chlorine is None else chlorine.figure,
            chloramine_mg_L=None if chloramine is None else chloramine.figure,
            conductivity_uS_cm=None if conductivity is None else conductivity.figure,
            others_mg_L=others,
        ),
        hardness_stated=hardness is not None,
    )
    sure = frozenset({"calcium", "magnesium"} if confirmed else ()) | frozenset(
        ["alkalinity"] if alkalinity.confirmed else ()
    )
    plain = frozenset(key for key, one in stated.items() if one.plain and one.key == key)
    plain |= frozenset(["alkalinity"] if alkalinity.plain else ())
    doubt = balance_sentence(water, confirmed=sure, plain=plain)
    for sentence in (
        doubt,
        conductivity_sentence(water),
        _carbon_sentence(water),
    ):
        if sentence:
            top.note(sentence)
    supposed = _supposed(figures, ph is None and base is None)
    return attrs.evolve(water, doubt=doubt, supposed=supposed, cautions=cautions_of(water), notes=tuple(top.page.notes))


def _ph(top: Section) -> Statement | None:
    return statement(top, "ph", "ph", convert=lambda q: q.value, low=3.0, high=12.0, bare=None, unit="pH")


def _base_capacity(top: Section) -> Statement | None:
    def mmol(quantity: Quantity) -> float | str:
        return quantity.value if quantity.unit in ("mmol/L", "mol/L", "mEq/L") else "and mmol/L was wanted"

    return statement(
        top, "base_capacity", "concentration", convert=mmol, low=0.0, high=50.0, bare="mmol/L", unit="mmol/L"
    )


def _hardness(top: Section) -> Statement | None:
    return statement(
        top, "hardness", "hardness", convert=lambda q: q.value, low=0.0, high=200.0, bare=None, unit="mEq/L"
    )


def _ions(top: Section) -> dict[str, Statement]:
    """Return every ion that is stated, by its own name [mg/L]; stated twice, the ion's own key counts."""
    found = {ion: one for ion in (*MAJOR, *OTHERS) if (one := ion_statement(top, ion)) is not None}
    for key, (ion, element) in _BY_ELEMENT.items():
        one = ion_statement(top, key, name=ion)
        if one is None:
            continue
        made = one.rescaled(FORMS[ion][element])
        if made.figure.centre > substance(ion).highest_mg_L:
            top.fault(
                f"{key} is {one.said}, which is {in_words(made.figure.centre)} of {ion} and not between 0 and "
                f"{substance(ion).highest_mg_L:g} mg/L",
                key,
            )
            continue
        first = found.setdefault(ion, attrs.evolve(made, figure=attrs.evolve(made.figure, standing="computed")))
        apart = abs(first.figure.centre - made.figure.centre)
        if apart > first.half + made.half + _SAME_SLACK * first.figure.centre:
            top.note(
                f"{key} says {one.said}, {in_words(made.figure.centre)} of {ion}, and {ion} says {first.said}: "
                f"they do not agree; {ion} counts."
            )
    return found


def _figures(
    stated: Mapping[str, Statement], hard: Mapping[str, Reported], alkalinity: Alkalinity
) -> dict[str, Reported]:
    """Return every main figure in mg/L, alkalinity as bicarbonate; those missing are estimated."""
    known = {ion: stated[ion].figure for ion in MAJOR if ion in stated} | dict(hard)
    if alkalinity.figure is not None:
        scale = mg_L("alkalinity", 1.0)
        figure = alkalinity.figure
        known["alkalinity"] = Reported(
            centre=figure.centre * scale,
            spread=figure.spread * scale,
            each_time=figure.each_time * scale,
            source=figure.source,
            standing=figure.standing,
        )
    lesser = math.fsum(
        math.copysign(mEq_L(other, stated[other].figure.centre), substance(other).charge)
        for other in OTHERS
        if other in stated
    )
    return filled(known, lesser)


def _alkalinity(figures: Mapping[str, Reported], alkalinity: Alkalinity) -> Reported:
    if alkalinity.figure is not None:
        return alkalinity.figure
    made = figures["alkalinity"]
    scale = mEq_L("alkalinity", 1.0)
    return attrs.evolve(made, centre=made.centre * scale, spread=made.spread * scale, low=-10.0)


def _usual_ph() -> Reported:
    return Reported(
        centre=USUAL_PH, spread=USUAL_PH_SD, low=3.0, high=12.0, source="a usual tap water", standing="estimated"
    )


def _completed(water: Water, *, hardness_stated: bool) -> Water:
    """Return a report with what follows from its other figures: bicarbonate, hardness, a pH nobody stated."""
    changes: dict[str, Any] = {}
    alkalinity = water.alkalinity_mEq_L
    standing: Standing = "estimated" if alkalinity.standing == "estimated" else "computed"
    ph = water.ph.centre if water.ph.standing == "stated" else None
    per_bicarbonate, beside = alkalinity_per_bicarbonate(ph, water.reading_C)
    per_mEq = mg_L("bicarbonate", 1.0) / per_bicarbonate
    changes["bicarbonate_mg_L"] = Reported(
        centre=max(alkalinity.centre - beside, 0.0) * per_mEq,
        spread=alkalinity.spread * per_mEq,
        each_time=alkalinity.each_time * per_mEq,
        low=0.0,
        source="alkalinity and pH" if beside else "alkalinity",
        standing="stated" if water.alkalinity_from == "bicarbonate" else standing,
    )
    if not hardness_stated:
        pair = (("calcium", water.calcium_mg_L), ("magnesium", water.magnesium_mg_L))
        changes["hardness_mEq_L"] = Reported(
            centre=math.fsum(mEq_L(ion, figure.centre) for ion, figure in pair),
            spread=math.hypot(*(mEq_L(ion, figure.spread) for ion, figure in pair)),
            each_time=math.hypot(*(mEq_L(ion, figure.each_time) for ion, figure in pair)),
            low=0.0,
            source="calcium and magnesium",
            standing="estimated" if any(figure.standing == "estimated" for _, figure in pair) else "computed",
        )
    base = water.base_capacity_mmol_L
    if water.ph.standing == "estimated" and base is not None and alkalinity.centre > 0.0:
        # What base capacity counts to pH 8.2 is the free carbon dioxide.
        carbon = float(carbon_from_base_capacity(alkalinity.centre, base.centre))
        state = closed(water.totals_mmol_L(carbon), water.reading_C)
        changes["ph"] = Reported(
            centre=float(state.ph), spread=0.1, low=0.0, high=14.0, source="base capacity", standing="computed"
        )
    return attrs.evolve(water, **changes)


def _carbon_sentence(water: Water) -> str:
    """Return what the base capacity says against the pH; empty if they go together or one is missing."""
    base = water.base_capacity_mmol_L
    if base is None or base.centre <= 0.0 or water.ph.standing != "stated":
        return ""
    try:
        made = float(closed(water.totals_mmol_L(water.carbon_mmol_L), water.reading_C).carbon_dioxide_mmol_kg)
    except OutOfRange:
        makes = "more free carbon dioxide than a water holds"
    else:
        if made > 0.0 and 1.0 / _CARBON_FACTOR < base.centre / made < _CARBON_FACTOR:
            return ""
        makes = f"{made:.2g} mmol/L of free carbon dioxide"
    return (
        f"pH {water.ph.centre:.2f} with this alkalinity makes {makes}, and base_capacity says {base.centre:.2g}: "
        "the two do not agree; pH counts."
    )


def _supposed(figures: Mapping[str, Reported], no_ph: bool) -> tuple[str, ...]:
    told = missing_sentences({name: figures[name] for name in FILLED})
    return (*told, f"Not in the report: pH {USUAL_PH:g} is taken, give or take {USUAL_PH_SD:g}.") if no_ph else told
