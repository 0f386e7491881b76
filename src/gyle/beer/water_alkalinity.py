"""The alkalinity of a report, whichever of the usual ways, or several of them, it is stated in."""

from __future__ import annotations

import math

import attrs

from gyle.beer.section import Section, shown
from gyle.beer.water import Reported
from gyle.beer.water_bicarbonate import alkalinity_per_bicarbonate
from gyle.beer.water_spellings import spelled
from gyle.beer.water_statements import Statement, belongs, concentration_mg_L, ion_statement, statement
from gyle.beer.water_substances import substance
from gyle.science.acid_demand import PK1
from gyle.science.alkalinity import alkalinity_from_acid_capacity
from gyle.science.water_ions import MOLAR_MASS

__all__ = ["Alkalinity", "alkalinity_of", "end_point_acid_mEq_L"]

# Two statements of one alkalinity agree within what is printed and what rounded factors make of it.
FACTOR_SLACK = 0.005
NO_TWO_AGREE = 0.10  # statements further apart than this cannot all be slips of rounding


@attrs.frozen(kw_only=True)
class Alkalinity:
    """What a report says of its alkalinity [mEq/L]."""

    figure: Reported | None
    taken_from: str
    acid_capacity: Reported | None
    plain: bool = False  # stated as milligrams of nothing in particular
    confirmed: bool = False  # two statements agree


def end_point_acid_mEq_L(acid_capacity_mEq_L: float) -> float:
    """Return what a titration to pH 4.3 takes beyond the alkalinity [mEq/L].

    At pH 4.3 the sample holds 0.05 mmol/L of free acid, and of its carbon 0.9 % is still bicarbonate. So
    some 0.05 of a soft water's acid capacity is no alkalinity, and nothing of a hard one's.
    """
    return float(max(0.0, 1000.0 * 10.0**-4.3 - acid_capacity_mEq_L * 10.0 ** (4.3 - PK1)))


def alkalinity_of(top: Section, *, ph: float | None, temperature_C: float, hardness_mEq_L: float | None) -> Alkalinity:
    """Return the alkalinity of a report; what does not agree is noted, or a fault where nothing does."""
    capacity = _stated(top, "acid_capacity", bare="mmol/L", low=0.0)
    total = _stated(top, "alkalinity", bare="mg/L")
    bicarbonate = _bicarbonate(top, ph=ph, temperature_C=temperature_C)
    old = _stated(top, "carbonate_hardness", bare=None, low=0.0)
    stated = [one for one in (capacity, total, bicarbonate, old) if one is not None]
    titrated = None if capacity is None else capacity.figure
    if not stated:
        return Alkalinity(figure=None, taken_from="", acid_capacity=None)
    chosen, confirmed = _chosen(top, stated, hardness_mEq_L)
    capped = chosen is old and len(stated) == 1 and hardness_mEq_L is not None
    if capped and chosen.figure.centre >= (hardness_mEq_L or 0.0) - chosen.half:
        top.note(
            "carbonate_hardness ends at the total hardness by its old definition, and here it reaches it: "
            "the alkalinity may be higher, an acid capacity would tell."
        )
    figure = chosen.figure
    if chosen is capacity:
        less = end_point_acid_mEq_L(figure.centre)
        figure = attrs.evolve(
            figure,
            centre=float(alkalinity_from_acid_capacity(figure.centre, end_point_excess_mmol_L=less)),
            spread=math.hypot(figure.spread, 0.4 * less),
            low=-10.0,
            standing="computed" if less > 0.0 else "stated",
            source="report, less the acid of the end point" if less > 0.0 else figure.source,
        )
    elif chosen is not total:
        figure = attrs.evolve(figure, low=-10.0, standing="computed")
    return Alkalinity(
        figure=figure,
        taken_from=chosen.key,
        acid_capacity=titrated if chosen is capacity else None,
        plain=chosen.plain,
        confirmed=confirmed,
    )


def _stated(top: Section, key: str, *, bare: str | None, low: float = -10.0) -> Statement | None:
    """Return an alkalinity in mEq/L; "mg/L as HCO3" is understood, plain mg/L means as CaCO3."""
    written = top.raw(key)
    if written is None:
        return None
    given = spelled(written, "alkalinity")
    if given.form == "HCO3":
        known = substance("alkalinity")
        found = statement(
            top,
            key,
            "concentration",
            convert=lambda quantity: concentration_mg_L("alkalinity", quantity),
            low=0.0,
            high=known.highest_mg_L,
            bare="mg/L",
            unit="mg/L",
            given=attrs.evolve(given, form=""),
        )
        return None if found is None else attrs.evolve(found, plain=False).rescaled(1.0 / known.molar_mass_g_mol)
    if given.form:
        way = f"stated as {given.form}; here it can be CaCO3 or HCO3{belongs(key, given.form)}"
        top.fault(f"{key} is {shown(written)}, {way}", key)
        return None
    return statement(
        top,
        key,
        "alkalinity",
        convert=lambda quantity: quantity.value,
        low=low,
        high=60.0,
        bare=bare,
        unit="mEq/L",
        given=given,
    )


def _bicarbonate(top: Section, *, ph: float | None, temperature_C: float) -> Statement | None:
    """Return the alkalinity that bicarbonate makes, with carbonate where it is stated or the pH is high."""
    found = ion_statement(top, "bicarbonate", name="bicarbonate", high=3660.0)
    carbonate = ion_statement(top, "carbonate", name="carbonate", high=600.0)
    if found is None:
        # A whole alkalinity has the carbonate in it.
        if carbonate is None or carbonate.figure.centre == 0.0 or "alkalinity" in top or "acid_capacity" in top:
            return None
        top.fault("carbonate is stated without bicarbonate; state both, or the alkalinity", "carbonate")
        return None
    made = found.rescaled(1.0 / MOLAR_MASS["bicarbonate"])
    if carbonate is not None:
        more = carbonate.figure.centre * 2.0 / MOLAR_MASS["carbonate"]
        source = "bicarbonate and carbonate of the report"
    else:
        per_bicarbonate, beside = alkalinity_per_bicarbonate(ph, temperature_C)
        more = (per_bicarbonate - 1.0) * made.figure.centre + beside
        source = "bicarbonate of the report" + (" and its pH" if more else "")
    figure = attrs.evolve(
        made.figure,
        centre=made.figure.centre + more,
        # A laboratory may have called its whole alkalinity bicarbonate, and a pH of 8.3 and more drifts.
        spread=math.hypot(made.figure.spread, 0.5 * more if carbonate is None else 0.03 * more),
        source=source,
    )
    return attrs.evolve(made, figure=figure)


def _agree(one: Statement, other: Statement) -> bool:
    apart = abs(one.figure.centre - other.figure.centre)
    slack = FACTOR_SLACK * max(abs(one.figure.centre), abs(other.figure.centre))
    # Some laboratories take the acid of the end point off before they go on to bicarbonate.
    off = 0.05 if "acid_capacity" in (one.key, other.key) and "bicarbonate" in (one.key, other.key) else 0.0
    return apart <= one.half + other.half + slack + off


def _says(one: Statement, *, alone: bool = False) -> str:
    amount = f"{one.figure.centre:.3g} mEq/L" + (" of alkalinity" if alone else "")
    return f"{one.key} says {one.said}, {amount}"


def _chosen(top: Section, stated: list[Statement], hardness_mEq_L: float | None) -> tuple[Statement, bool]:
    """Return the statement that counts, and whether another confirms it."""
    friends = [sum(_agree(one, other) for other in stated if other is not one) for one in stated]
    first = stated[friends.index(max(friends))]
    odd = [one for one in stated if one is not first and not _agree(one, first)]
    if not odd:
        return first, len(stated) > 1
    values = [one.figure.centre for one in stated]
    if len(stated) > 2 and max(friends) == 0 and max(values) - min(values) > NO_TWO_AGREE * max(map(abs, values)):
        told = [f"{one.key} {one.said} ({one.figure.centre:.3g} mEq/L)" for one in stated]
        top.fault(
            f"the alkalinity is stated in {len(stated)} ways of which no two agree, {', '.join(told[:-1])} and "
            f"{told[-1]}; keep the one the laboratory titrated",
            first.key,
        )
        return first, False
    for one in odd:
        why = ""
        if one.key == "carbonate_hardness" and hardness_mEq_L and abs(one.figure.centre / hardness_mEq_L - 1.0) < 0.02:
            why = " (carbonate hardness ends at the total hardness by its old definition)"
        top.note(f"{_says(one)}, and {_says(first, alone=True)}: they do not agree; {first.key} counts{why}.")
    return first, False
