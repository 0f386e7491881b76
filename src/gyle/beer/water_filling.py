"""What a report leaves out: from the hardness where that tells, else the usual water made to fit the charges."""

from __future__ import annotations

import math
from collections.abc import Mapping

import attrs

from gyle.beer.section import Section
from gyle.beer.water import Reported
from gyle.beer.water_statements import Statement
from gyle.beer.water_substances import MAJOR, mEq_L, mg_L, substance
from gyle.quantities import write, write_band

__all__ = ["FILLED", "MINOR", "filled", "hardness_fitted", "missing_sentences"]

FILLED = (*MAJOR, "alkalinity")
MINOR = ("potassium", "nitrate")  # a report without them can still be judged by its charges
# Of the hardness the usual part that is calcium, and its standard deviation between waters. Provenance: ours.
CALCIUM_SHARE, CALCIUM_SHARE_SD = 0.80, 0.08
HARDNESS_SLACK = 0.01  # laboratories turn mmol into degrees with rounded factors
_BAND = 1.2816  # from the middle to the 90th percentile of a normal


def hardness_fitted(
    top: Section, stated: Mapping[str, Statement], hardness: Statement | None
) -> tuple[dict[str, Reported], bool]:
    """Return calcium and magnesium as far as the report tells, and whether its hardness confirms them.

    One of the two that is missing follows from the hardness; a hardness that does not fit is noted.
    """
    found = {ion: stated[ion].figure for ion in ("calcium", "magnesium") if ion in stated}
    if hardness is None:
        return found, False
    total, slack = hardness.figure.centre, hardness.half + HARDNESS_SLACK * hardness.figure.centre
    sum_mEq = math.fsum(mEq_L(ion, figure.centre) for ion, figure in found.items())
    slack += math.fsum(mEq_L(ion, stated[ion].half) for ion in found)
    if len(found) == 2:
        if abs(total - sum_mEq) <= slack:
            return found, True
        top.note(
            f"hardness says {hardness.said}, and calcium with magnesium make {_hard(sum_mEq, hardness)}: the two do "
            "not agree; calcium and magnesium count."
        )
        return found, False
    if not found:
        calcium, sd = CALCIUM_SHARE * total, math.hypot(CALCIUM_SHARE_SD * total, hardness.figure.spread)
        return {
            ion: _estimated(ion, mEq, sd, "the hardness and its usual parts")
            for ion, mEq in (("calcium", calcium), ("magnesium", total - calcium))
        }, False
    known = next(iter(found))
    other = "magnesium" if known == "calcium" else "calcium"
    left = total - sum_mEq
    if left < -slack:
        top.note(
            f"hardness says {hardness.said}, and {known} alone makes {_hard(sum_mEq, hardness)}: the two do not agree; "
            f"{known} counts, and {other} is estimated beside it."
        )
        return found, False
    # What rounding leaves open; the errors of both figures go together, so they are not added to it.
    sd = math.hypot(slack / math.sqrt(3.0), 0.03 * max(left, 0.0))
    found[other] = attrs.evolve(_estimated(other, left, sd, f"hardness less {known}"), standing="computed")
    return found, False


def _hard(mEq: float, beside: Statement) -> str:
    return write(mEq, "hardness", unit=beside.unit)


def _estimated(name: str, mEq: float, sd_mEq: float, source: str) -> Reported:
    scale = mg_L(name, 1.0)
    return Reported(centre=max(mEq, 0.0) * scale, spread=sd_mEq * scale, low=0.0, source=source, standing="estimated")


def _usual(name: str, found: Mapping[str, Reported]) -> tuple[float, float]:
    """Return what is believed of a figure nobody stated: its middle and standard deviation [mEq/L]."""
    partner = {"magnesium": "calcium", "calcium": "magnesium"}.get(name)
    if partner is not None and partner in found:
        beside = mEq_L(partner, found[partner].centre)
        ratio = (1.0 - CALCIUM_SHARE) / CALCIUM_SHARE
        if name == "magnesium":
            return ratio * beside, 0.1 + 0.12 * beside
        return beside / ratio, 0.5 + beside / ratio
    known = substance(name)
    return mEq_L(name, known.usual_mg_L), mEq_L(name, known.usual_sd_mg_L)


def filled(found: Mapping[str, Reported], others_mEq_L: float) -> dict[str, Reported]:
    """Return every figure of `FILLED` in mg/L (alkalinity as bicarbonate); those missing are estimated.

    Where a main figure is missing, what is believed of all missing ones is made to agree with the charge
    balance as far as that is known; `others_mEq_L` is the charge of whatever else is stated. Stated figures
    never change.
    """
    missing = [name for name in FILLED if name not in found]
    if not missing:
        return dict(found)
    usual = {name: _usual(name, found) for name in missing}
    main = [name for name in missing if name not in MINOR]
    values = {name: middle for name, (middle, _) in usual.items()}
    spreads = {name: sd for name, (_, sd) in usual.items()}
    if main:
        # Only then: to fit what is usually little to the charges would hide an error of what is stated.
        signs = {name: math.copysign(1.0, substance(name).charge) for name in FILLED}
        excess = others_mEq_L + math.fsum(signs[name] * mEq_L(name, figure.centre) for name, figure in found.items())
        known_sd = math.hypot(*(mEq_L(name, math.hypot(f.spread, f.each_time)) for name, f in found.items()))
        values, spreads = _balanced(usual, signs, excess, known_sd)
    both = dict(found)
    for name in missing:
        source = "usual waters and the charge balance" if main else "usual waters"
        source = "what the charge balance leaves" if main == [name] else source
        both[name] = _estimated(name, values[name], spreads[name], source)
    return both


def _balanced(
    usual: Mapping[str, tuple[float, float]], signs: Mapping[str, float], excess: float, known_sd: float
) -> tuple[dict[str, float], dict[str, float]]:
    """Return middles and standard deviations of the missing figures, given that charges balance [mEq/L].

    Linear conditioning of independent normals on their sum; one that would fall below zero is held there
    and the rest conditioned again.
    """
    values = {name: middle for name, (middle, _) in usual.items()}
    spreads = {name: sd for name, (_, sd) in usual.items()}
    free = list(usual)
    while free:
        variance = known_sd**2 + math.fsum(usual[name][1] ** 2 for name in free)
        held = excess + math.fsum(signs[name] * values[name] for name in usual if name not in free)
        off = held + math.fsum(signs[name] * usual[name][0] for name in free)
        for name in free:
            middle, sd = usual[name]
            values[name] = middle - signs[name] * sd**2 / variance * off
            spreads[name] = sd * math.sqrt(max(0.0, 1.0 - sd**2 / variance))
        below = [name for name in free if values[name] < 0.0]
        for name in below:
            values[name], spreads[name] = 0.0, 0.25 * usual[name][1]
        if not below:
            break
        free = [name for name in free if name not in below]
    return values, spreads


def missing_sentences(figures: Mapping[str, Reported]) -> tuple[str, ...]:
    """Return what was estimated with its band, one sentence for each way it was estimated."""
    ways: dict[str, list[str]] = {}
    for name, figure in figures.items():
        if figure.standing == "estimated":
            ways.setdefault(figure.source, []).append(_told(name, figure))
    return tuple(f"Not in the report, estimated from {source}: {_listed(told)}." for source, told in ways.items())


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _told(name: str, figure: Reported) -> str:
    kind, scale = "concentration", 1.0
    if name == "alkalinity":
        kind, scale = "alkalinity", mEq_L(name, 1.0)
    sd = math.hypot(figure.spread, figure.each_time)
    low, high = max(figure.centre - _BAND * sd, 0.0), figure.centre + _BAND * sd
    return f"{name} {write_band(figure.centre * scale, low * scale, high * scale, kind)}"
