"""One figure of a water report: bare, with its unit, "as N", below a limit, or with the ends of its range."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import attrs

from gyle.beer.entries import BAND_WIDTH
from gyle.beer.section import Section, shown
from gyle.beer.water import Reported
from gyle.beer.water_names import FORMULA
from gyle.beer.water_spellings import Spelled, spelled
from gyle.beer.water_substances import FORMS, MAJOR, in_words, mg_L, substance
from gyle.quantities import Quantity

__all__ = [
    "BELOW_ITS_LIMIT",
    "Statement",
    "Taken",
    "belongs",
    "concentration_mg_L",
    "ion_statement",
    "single",
    "statement",
    "with_range",
]

# What one figure leaves open: laboratory and season; and what a mean with its range still does: the laboratory.
# Provenance: ours.
USUAL_RELATIVE_SPREAD, LABORATORY_RELATIVE_SPREAD, LEAST_RELATIVE_SEASON = 0.03, 0.02, 0.01
USUAL_PH_SPREAD = 0.1
BELOW_ITS_LIMIT = "report: below the laboratory's limit"
# What is not detected has this standard deviation: a main ion and another substance [mg/L], a capacity [mEq/L].
# Provenance: ours.
TRACE_MAIN_MG_L, TRACE_OTHER_MG_L, TRACE_MEQ_L = 0.5, 0.02, 0.02
_TRACE_SENTENCE = (
    f"What is not detected is taken as 0, give or take {TRACE_MAIN_MG_L:g} mg/L of a main ion, "
    f"{TRACE_OTHER_MG_L:g} mg/L of another substance or {TRACE_MEQ_L:g} mEq/L."
)
_FRENCH_SENTENCE = "°F and °f can only be French degrees of hardness here, 10 mg/L as CaCO3 each."
# The pH a capacity is titrated to, from and to.
_END_POINTS = {"acid_capacity": (4.3, 4.3), "alkalinity": (4.2, 4.6), "base_capacity": (8.2, 8.3)}
# Where a figure stated as an element belongs.
_OF_ELEMENT = {"N": "nitrate_N", "S": "sulfate_S", "P": "phosphate_P", "Si": "silicate"}
_IN_FRENCH_DEGREES = ("calcium", "magnesium", "bicarbonate", "carbonate")
# Standard deviations between the least and the greatest of a dozen samples of a normal (Tippett 1925).
EXTREMES_WIDTH = 3.258
_SQRT_3 = math.sqrt(3.0)  # a rounding error is evenly spread

_NAMES = ("value", "low", "high", "min", "max")
_PLAIN = ("mg/L", "µg/L", "g/L")


@attrs.frozen(kw_only=True)
class Statement:
    """A figure as a report states it.

    Parameters
    ----------
    key : str
        The key it stands under.
    figure : Reported
        What it means, in the unit its field is kept in.
    half : float
        Half its last printed digit [same unit].
    said : str
        The text as it stands.
    unit : str
        The unit it is stated in.
    plain : bool
        Whether it is milligrams of nothing in particular, which some laboratories mean otherwise.
    at_C : float or None
        The temperature it was said to hold at.
    """

    key: str
    figure: Reported
    half: float
    said: str
    unit: str = ""
    plain: bool = False
    at_C: float | None = None

    def rescaled(self, factor: float) -> Statement:
        """Return the same statement in another unit or of another substance."""
        figure = attrs.evolve(
            self.figure,
            centre=self.figure.centre * factor,
            spread=self.figure.spread * factor,
            each_time=self.figure.each_time * factor,
            low=self.figure.low * factor,
            high=self.figure.high * factor,
        )
        return attrs.evolve(self, figure=figure, half=self.half * factor)


@attrs.frozen(kw_only=True)
class Taken:
    """One number of a figure, in the unit its field is kept in."""

    value: float
    half: float
    unit: str
    plain: bool
    at_C: float | None


Convert = Callable[[Quantity], float | str]
"""Gives a quantity in the unit of its field, or a sentence why it cannot be."""


def statement(
    top: Section,
    key: str,
    kind: str,
    *,
    convert: Convert,
    low: float,
    high: float,
    bare: str | None,
    unit: str,
    given: Spelled | None = None,
    trace: float = TRACE_MEQ_L,
) -> Statement | None:
    """Return a figure of a report, None if it is not there or wrong.

    `low` and `high` bound it in the unit its field is kept in, which `unit` names; `given` is the value where
    its spelling was looked at before, `trace` what may be there where nothing is found.
    """
    written = top.raw(key)
    if written is None:
        return None
    given = spelled(written, kind) if given is None else given
    named = shown(written)
    if wrong := _unwanted(key, kind, given):
        top.fault(f"{key} is {named}, {wrong}", key)
        return None
    if given.absent:
        top.note(_TRACE_SENTENCE)
        nothing = Reported(centre=0.0, spread=trace, low=min(low, 0.0), source=BELOW_ITS_LIMIT)
        return Statement(key=key, figure=nothing, half=2.0 * trace, said=named, unit=unit)
    value = given.value

    def take(section: Section, name: str, one: Any) -> Taken | None:
        quantity = section.quantity_of(one, name, kind, bare=bare)
        if quantity is None:
            return None
        found = convert(quantity)
        where = key if section is top else f"{name} of {key}"
        said = named if section is top else shown(one)
        if isinstance(found, str):
            section.fault(f"{where} is {said}, {found}", name)
            return None
        if not low <= found <= high:
            means = "" if quantity.unit == unit else f"{in_words(found, unit)} and "
            section.fault(f"{where} is {said}, which is {means}not between {low:g} and {high:g} {unit}", name)
            return None
        factor = found / quantity.value if quantity.value else 1.0
        return Taken(
            value=found,
            half=quantity.half_digit * abs(factor),
            unit=quantity.unit,
            plain=quantity.unit in _PLAIN or not isinstance(one, str),
            at_C=quantity.at_C,
        )

    if given.french:
        top.note(_FRENCH_SENTENCE)
    if not isinstance(value, dict):
        one = take(top, key, value)
        return None if one is None else single(key, one, below=given.below, kind=kind, low=low, said=named)
    inner = top if isinstance(written, str) else Section(top.page, value, (*top.address, key), key)
    taken: dict[str, Taken | None] = {}
    for name in (name for name in _NAMES if name in value):
        taken[name] = take(inner, name if inner is not top else key, value[name])
        if inner is top and taken[name] is None:  # one text, one sentence
            return None
    if inner is not top:
        for name in _NAMES:
            inner.raw(name)
        inner.close()
    return with_range(top, key, taken, low=low, said=named, kind=kind)


def _unwanted(key: str, kind: str, given: Spelled) -> str:
    """Return what is wrong with how a figure is stated, whatever it is; empty if nothing is."""
    if given.unmeasured:
        return "which is no figure; leave the line out if it was not measured"
    if given.form:
        can_be = "CaCO3" if kind in ("hardness", "alkalinity") else "the figure alone"
        return f"stated as {given.form}; here it can be {can_be}{belongs(key, given.form)}"
    if given.end_point_ph is None:
        return ""
    first, last = _END_POINTS.get(key, (1.0, 0.0))
    if first <= given.end_point_ph <= last:
        return ""
    wanted = f"and pH {first:g} was wanted" if first <= last else "and no end point was wanted"
    home = ""
    if key != "base_capacity":  # an acid's end point is no base's
        for other in ("acid_capacity", "alkalinity"):
            if not home and _END_POINTS[other][0] <= given.end_point_ph <= _END_POINTS[other][1]:
                home = f"; {other} takes pH {given.end_point_ph:g}"
    return f"titrated to pH {given.end_point_ph:g}, {wanted}{home}"


def belongs(key: str, form: str) -> str:
    """Return which key takes a figure stated as this, as the end of a sentence."""
    home = next((home for home, formula in FORMULA.items() if formula == form), _OF_ELEMENT.get(form, ""))
    return f"; {home} takes {form}" if home and home != key else ""


def single(key: str, one: Taken, *, below: bool, kind: str, low: float, said: str) -> Statement:
    """Return a figure given once; "less than" is taken as evenly anything down to zero."""
    if below:
        centre, spread, source = one.value / 2.0, one.value / 2.0 / _SQRT_3, BELOW_ITS_LIMIT
    else:
        usual = USUAL_PH_SPREAD if kind == "ph" else USUAL_RELATIVE_SPREAD * abs(one.value)
        centre, spread, source = one.value, math.hypot(usual, one.half / _SQRT_3), "report"
    figure = Reported(centre=centre, spread=spread, low=min(low, centre), source=source)
    return Statement(key=key, figure=figure, half=one.half, said=said, unit=one.unit, plain=one.plain, at_C=one.at_C)


def with_range(
    top: Section, key: str, taken: dict[str, Taken | None], *, low: float, said: str, kind: str
) -> Statement | None:
    """Return a figure given with the ends of its range."""
    if None in taken.values():
        return None
    found = {name: one for name, one in taken.items() if one is not None}
    if {"low", "high"} & set(found) and {"min", "max"} & set(found):
        top.fault(f"{key} has two ranges; give low and high (10 to 90 %), or min and max", key)
        return None
    extremes = bool({"min", "max"} & set(found))
    bottom, peak = (found.get(name) for name in (("min", "max") if extremes else ("low", "high")))
    middle = found.get("value")
    if middle is None and bottom is not None and peak is not None:
        middle = attrs.evolve(bottom, value=(bottom.value + peak.value) / 2.0)
    if middle is None:
        top.fault(f"{key} gives no value; write {key} = {{ value = ..., low = ..., high = ... }}", key)
        return None
    least = middle.value if bottom is None else bottom.value
    most = middle.value if peak is None else peak.value
    if not least <= middle.value <= most:
        ends = "min and max" if extremes else "low and high"
        top.fault(f"{key} has its value outside its own {ends}", key)
        return None
    size = abs(middle.value)
    season = max((most - least) / (EXTREMES_WIDTH if extremes else BAND_WIDTH), LEAST_RELATIVE_SEASON * size)
    laboratory = 0.05 if kind == "ph" else LABORATORY_RELATIVE_SPREAD * size
    spread = math.hypot(laboratory, middle.half / _SQRT_3)
    figure = Reported(centre=middle.value, spread=spread, each_time=season, low=min(low, middle.value), source="report")
    return Statement(
        key=key, figure=figure, half=middle.half, said=said, unit=middle.unit, plain=middle.plain, at_C=middle.at_C
    )


def ion_statement(top: Section, key: str, *, name: str = "", high: float | None = None) -> Statement | None:
    """Return a concentration in mg/L; `name` is the substance where it is not the key itself."""
    name = name or key
    written = top.raw(key)
    if written is None:
        return None
    given = spelled(written, "concentration", degrees=name in _IN_FRENCH_DEGREES)
    # Under a key such as nitrate_N the element is the substance: "as N" says it once more.
    element = FORMS.get(name, {}).get(key.rpartition("_")[2], 1.0)
    known = {word: worth for word, worth in FORMS.get(name, {}).items() if key == name or worth != 1.0}
    if key == name and name in FORMULA:
        known.setdefault(FORMULA[name], 1.0)
    form = next((word for word in known if word.casefold() == given.form.casefold()), "")
    if given.form and not form:
        ways = " or ".join(known) or "the substance itself"
        top.fault(
            f"{key} is {shown(written)}, stated as {given.form}; here it can be {ways}{belongs(key, given.form)}", key
        )
        return None
    factor = known[form] if form and key == name else 1.0
    highest = substance(name).highest_mg_L if high is None else high
    trace = TRACE_MAIN_MG_L if name in (*MAJOR, "bicarbonate", "carbonate") else TRACE_OTHER_MG_L
    found = statement(
        top,
        key,
        "concentration",
        convert=lambda quantity: concentration_mg_L(name, quantity, worth=factor * element),
        low=0.0,
        high=highest / factor,
        bare="mg/L",
        unit="mg/L",
        given=attrs.evolve(given, form=""),
        trace=trace / element,
    )
    if found is None:
        return None
    return attrs.evolve(found, plain=found.plain and not form).rescaled(factor)


def concentration_mg_L(name: str, quantity: Quantity, *, worth: float = 1.0) -> float | str:
    """Return milligrams of what a figure is stated as, each worth so many of the ion; moles are the same of both."""
    if quantity.basis in ("", "mg/L"):
        return quantity.value
    if name in ("chlorine", "chloramine"):
        return "and mg/L as Cl2 was wanted"
    known = substance(name)
    if quantity.basis == "mmol/L":
        return quantity.value * known.molar_mass_g_mol / worth
    return mg_L(name, quantity.value) / worth if known.charge else "and mg/L or mmol/L was wanted"
