"""What a line of a recipe says, thing by thing: compared as numbers, told in the person's units.

Two statements that differ are never told alike: where the usual digits hide a difference, more are written.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from typing import Any

import attrs

from gyle.beer.estimate import Estimate
from gyle.beer.ingredient import Fermentable
from gyle.beer.recipe import FermentationStep, GristLine, HopLine, OtherLine, Rest, YeastLine
from gyle.beer.timing import Timing
from gyle.quantities import write

__all__ = [
    "LEFT_OPEN",
    "Statement",
    "alike",
    "fermentation_statements",
    "grist_statements",
    "hop_statements",
    "in_words",
    "number",
    "other_statements",
    "rest_statements",
    "said_when",
    "told_apart",
    "whole",
    "yeast_statements",
]

LEFT_OPEN = "left open"
MOST_DIGITS = 9
CELLS = 1e9


@attrs.frozen(kw_only=True)
class Statement:
    """One thing that is said: its name, the value it is compared by, and its text with so many decimals.

    What is `usual` goes without saying, unless it changed.
    """

    name: str
    value: Any
    text: Callable[[int | None], str]
    usual: bool = False


def alike(one: object, other: object) -> bool:
    """Whether two values are the same but for the last bits of a turned unit."""
    if isinstance(one, tuple) and isinstance(other, tuple):
        return len(one) == len(other) and all(alike(a, b) for a, b in zip(one, other, strict=True))
    if isinstance(one, float) and isinstance(other, float):
        return math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-12)
    return one == other


def told_apart(before: Statement, after: Statement) -> tuple[str, str]:
    """The texts of two statements that differ, with as many decimals as it takes to see it."""
    texts = before.text(None), after.text(None)
    digits = 2
    while texts[0] == texts[1] and digits <= MOST_DIGITS:
        texts = before.text(digits), after.text(digits)
        digits += 1
    return texts


def in_words(statements: Iterable[Statement]) -> str:
    """All that is said, in order, but what is usual."""
    return ", ".join(text for statement in statements if not statement.usual and (text := statement.text(None)))


def whole(name: str, text: str, *, usual: str | None = None) -> Statement:
    """A statement that is its own text."""
    return Statement(name=name, value=text, text=lambda _: text, usual=text == usual)


def number(name: str, value: float | None, kind: str, form: str = "{}", *, system: str | None) -> Statement:
    """A statement of a quantity; nothing is said where it is None."""

    def text(digits: int | None) -> str:
        return "" if value is None else form.format(write(value, kind, system=system, digits=digits))

    return Statement(name=name, value=None if value is None else float(value), text=text)


def _counted(name: str, value: float | None, form: str) -> Statement:
    return Statement(
        name=name,
        value=None if value is None else float(value),
        text=lambda digits: "" if value is None else form.format(f"{value:.{5 if digits is None else digits + 5}g}"),
    )


def _believed(name: str, belief: Estimate, kind: str, *, scale: float, system: str | None) -> Statement:
    """A lot's own figure; the same number stated and taken from a table are not as sure."""
    stated = "as stated" if belief.source == "stated" else "as usual"

    def text(digits: int | None) -> str:
        said = f"{name} {write(scale * belief.centre, kind, system=system, digits=digits)}"
        return said if digits is None else f"{said}, {stated}"

    value = (belief.centre, belief.spread, belief.each_time)
    return Statement(name=name, value=value, text=text, usual=belief.source != "stated" and name != "alpha")


def said_when(at: Timing, system: str | None) -> str:
    """When something goes in, as a brewer says it."""
    if at.points_above_final is not None:
        when = f"{at.points_above_final:g} points above final"
    elif at.day is not None:
        when = f"day {at.day:g}"
    elif at.stable_days is not None:
        when = f"stable {at.stable_days:g} days"
    elif at.temperature_C is not None:
        when = write(at.temperature_C, "temperature", system=system)
    else:
        when = ""
    time = f"{at.minutes:.0f} min" if at.minutes is not None else ""
    stay = f"for {at.contact_days:g} days" if at.contact_days is not None else ""
    stage = f"{at.stage} {at.mash}" if at.stage == "mash" and at.mash > 1 else at.stage
    return " ".join(part for part in (stage, when, time, stay) if part)


def _when(at: Timing, system: str | None) -> Statement:
    value = tuple(float(part) if isinstance(part, int | float) else part for part in attrs.astuple(at))
    return Statement(name="when", value=value, text=lambda digits: said_when(at, system) if digits is None else at.text)


def _amount(
    stated: Iterable[tuple[str, float | None, str, float]], *, otherwise: str = LEFT_OPEN, system: str | None
) -> Statement:
    """The one amount that is stated, of (name, value, kind, canonical units of the kind in one of the value)."""
    for name, value, kind, scale in stated:
        if value is not None:
            said = number("amount", scale * value, kind, system=system)
            return attrs.evolve(said, value=(name, float(value)))
    return whole("amount", otherwise)


def grist_statements(line: GristLine, *, solved: str = "", system: str | None = None) -> tuple[Statement, ...]:
    """What a grist line says; `solved` is told beside an amount that is left open."""
    stated = (("mass", line.mass_kg, "mass", 1.0), ("share", line.share, "percent", 100.0))
    malt = line.ingredient
    return (
        _amount(stated, otherwise=_open(solved), system=system),
        _when(line.at, system),
        _believed("extract", malt.extract_fraction, "percent", scale=100.0, system=system),
        _believed("moisture", malt.moisture_fraction, "percent", scale=100.0, system=system),
        _believed("fermentable", malt.fermentable_fraction, "percent", scale=100.0, system=system),
        _believed("colour", malt.colour_ebc, "colour", scale=1.0, system=system),
        *_acidity(malt, system),
    )


def _acidity(malt: Fermentable, system: str | None) -> tuple[Statement, ...]:
    """What a malt is to the pH: its lactic acid stands for the rest where it is stated."""
    lactic = None if malt.lactic_fraction is None else 100.0 * malt.lactic_fraction
    if lactic is not None:
        return (number("lactic", lactic, "percent", "lactic acid {}", system=system),)
    return (
        number("lactic", None, "percent", system=system),
        _believed("own pH", malt.distilled_ph, "ratio", scale=1.0, system=system),
        _believed("buffering", malt.buffering_mEq_kg, "ratio", scale=1.0, system=system),
    )


def _open(solved: str) -> str:
    return f"{LEFT_OPEN}, {solved}" if solved else LEFT_OPEN


def hop_statements(line: HopLine, *, solved: str = "", system: str | None = None) -> tuple[Statement, ...]:
    """What a hop line says."""
    stated = (
        ("mass", line.mass_kg, "mass", 1.0),
        ("rate", line.rate_g_L, "hop_rate", 1.0),
        ("bitterness", line.bitterness_ibu, "bitterness", 1.0),
    )
    return (
        _amount(stated, otherwise=_open(solved), system=system),
        _believed("alpha", line.alpha_fraction, "percent", scale=100.0, system=system),
        _when(line.at, system),
        whole("form", line.form, usual="pellets"),
        whole("in", f"in the {line.vessel}", usual="in the kettle"),
    )


def other_statements(line: OtherLine, *, system: str | None = None) -> tuple[Statement, ...]:
    """What a line of another thing says; salts and acids are weighed and measured in grams and millilitres."""
    of = "metric" if line.mineral is not None else system
    stated = (
        ("mass", line.mass_kg, "mass", 1.0),
        ("volume", line.volume_L, "volume", 1.0),
        ("count", line.count, "count", 1.0),
        ("rate", line.rate_g_L, "hop_rate", 1.0),
    )
    return (
        _amount(stated, otherwise="no amount", system=of),
        _when(line.at, system),
        _part("extract", line.extract_fraction, system),
        _part("water", line.water_fraction, system),
        number("strength", line.strength_pct, "percent", "strength {}", system=system),
        whole("allergen", f"allergen {line.allergen}" if line.allergen else ""),
    )


def _part(name: str, fraction: float, system: str | None) -> Statement:
    said = number(name, 100.0 * fraction, "percent", f"{name} {{}}", system=system)
    return attrs.evolve(said, usual=fraction == 0.0)


def yeast_statements(line: YeastLine, *, system: str | None = None) -> tuple[Statement, ...]:
    """What a yeast line says."""
    attenuation = None if line.attenuation is None else 100.0 * line.attenuation
    return (
        number("pitch", line.pitch_M_mL_P, "pitch_rate", system=system),
        _counted("packs", line.packs, "{} packs" if line.packs != 1 else "{} pack"),
        number("mass", line.mass_kg, "mass", system=system),
        number("cells", line.cells, "cells", "{} cells", system=system),
        number("attenuation", attenuation, "percent", "attenuation {}", system=system),
    )


def rest_statements(rest: Rest, *, system: str | None = None) -> tuple[Statement, ...]:
    """What a mash rest says."""
    return (
        number("temperature", rest.temperature_C, "temperature", system=system),
        _counted("minutes", rest.minutes, "{} min"),
        whole("by", f"by {rest.by}", usual="by heat"),
        number("liquor", rest.liquor_L, "volume", "{} of liquor", system=system),
        number("thickness", rest.thickness_L_kg, "thickness", system=system),
        whole("from", f"liquor from {rest.liquor_from}" if rest.liquor_from else ""),
    )


def fermentation_statements(step: FermentationStep, *, system: str | None = None) -> tuple[Statement, ...]:
    """What a stretch of fermentation says."""
    return (
        number("temperature", step.temperature_C, "temperature", system=system),
        _counted("days", step.days, "for {} days"),
        _counted("stable", step.stable_days, "until {} days stable"),
        _counted("from", step.from_points_above_final, "from {} points above final"),
        _counted("ramp", step.ramp_hours, "reached over {} h"),
        number("pressure", step.pressure_bar, "pressure", "under {}", system=system),
    )
