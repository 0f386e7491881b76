"""Which figure of a report is to be questioned first when its charges do not balance."""

from __future__ import annotations

import math
from collections.abc import Iterator

import attrs

from gyle.beer.water import Water
from gyle.beer.water_substances import FORMS, MAJOR, in_words, mEq_L, mg_L, substance
from gyle.quantities import write
from gyle.science.water_ions import MOLAR_MASS

__all__ = ["Suspect", "balance_sentence", "conductivity_expected_uS_cm", "conductivity_sentence", "suspects"]

# What the search believes, in squared standard deviations: a figure that a second statement confirms; a
# unit that was misread; a slip of the decimal mark. Provenance: ours.
CONFIRMED, MISREAD, SLIP = 4.0, 3.0, 7.0
CONDUCTIVITY_SD, CONDUCTIVITY_FAR = 0.05, 0.20  # relative: of the sum's prediction; worth a note
_NEARLY, _MOST_NAMED = 3.0, 3  # further suspects this near the first are named too
# Errors of reports have heavier tails than a normal: Student's t with three degrees of freedom.
_FREEDOM, _TAIL = 3.0, 4.0
CONTRADICTION_PCT = 20.0  # in the DIN form; beyond it no figure that is missing can be the cause
# Stated as another substance by mistake: what the true value is times the printed one.
_MISREAD_AS = {
    "nitrate": ("stated as nitrogen", FORMS["nitrate"]["N"]),
    "sulfate": ("stated as sulfur", FORMS["sulfate"]["S"]),
    "calcium": ("stated as CaCO3", MOLAR_MASS["calcium"] / MOLAR_MASS["calcium carbonate"]),
    "magnesium": ("stated as CaCO3", MOLAR_MASS["magnesium"] / MOLAR_MASS["calcium carbonate"]),
}
_HCO3_FOR_CACO3 = MOLAR_MASS["calcium carbonate"] / 2.0 / MOLAR_MASS["bicarbonate"]


@attrs.frozen(kw_only=True)
class Suspect:
    """A figure that may be wrong.

    Parameters
    ----------
    name : str
        An ion, or "alkalinity".
    stated, implied : float
        The figure, and what would close the balance [mg/L; alkalinity mEq/L].
    why : str
        What may have happened, if more than an error of the figure.
    score : float
        How unlikely it is, in squared standard deviations; the least is the first suspect.
    """

    name: str
    stated: float
    implied: float
    why: str
    score: float


def conductivity_expected_uS_cm(water: Water, changed: dict[str, float] | None = None) -> float:
    """Return the conductivity at 25 °C the figures make [µS/cm]; `changed` exchanges some [mEq/L].

    Kohlrausch's sum of ions, with the square of the activity coefficient as Standard Methods 2510 has it.
    """
    amounts = {ion: mEq_L(ion, water.mg_L(ion)) for ion in MAJOR}
    amounts["alkalinity"] = max(water.alkalinity_mEq_L.centre, 0.0)
    amounts.update(changed or {})
    at_rest = math.fsum(substance(name).conductivity_S_cm2_mEq * mEq for name, mEq in amounts.items())
    strength = 0.5e-3 * math.fsum(substance(name).valence * mEq for name, mEq in amounts.items())
    root = math.sqrt(strength)
    return float(at_rest * 10.0 ** -(root / (1.0 + root) - 0.3 * strength))


def _candidates(water: Water, plain: frozenset[str]) -> Iterator[tuple[str, float, float, str, float]]:
    """Yield figures with what they may truly be [mEq/L], why, and how far-fetched that is beforehand."""
    missing = water.balance.anions_mEq_L - water.balance.cations_mEq_L  # what cations lack
    for name in (*MAJOR, "alkalinity"):
        figure = water.alkalinity_mEq_L if name == "alkalinity" else water.ion_mg_L(name)
        if figure is None or figure.standing == "estimated":
            continue
        known = substance(name)
        stated = figure.centre if name == "alkalinity" else mEq_L(name, figure.centre)
        implied = stated + math.copysign(1.0, known.charge) * missing
        # Of the middle of both, so that doubling is as far as halving.
        sd = math.hypot(known.error_relative * (stated + implied) / 2.0, mEq_L(name, known.error_mg_L))
        if 0.0 <= implied <= mEq_L(name, known.most_plausible_mg_L):
            yield name, stated, implied, "", _TAIL * math.log1p(((implied - stated) / sd) ** 2 / _FREEDOM)
        if name in plain and name in _MISREAD_AS:
            why, factor = _MISREAD_AS[name]
            yield name, stated, factor * stated, why, MISREAD
        if name == "alkalinity" and name in plain:
            bicarbonate = water.alkalinity_from == "bicarbonate"
            why = "stated as CaCO3" if bicarbonate else "stated as bicarbonate"
            yield name, stated, stated * (1.0 / _HCO3_FOR_CACO3 if bicarbonate else _HCO3_FOR_CACO3), why, MISREAD
        for factor in (10.0, 0.1):
            if 0.0 < factor * stated <= mEq_L(name, known.most_plausible_mg_L):
                yield name, stated, factor * stated, "a slip of the decimal mark", SLIP


def suspects(
    water: Water, *, confirmed: frozenset[str] = frozenset(), plain: frozenset[str] = frozenset()
) -> tuple[Suspect, ...]:
    """Return the figures whose correction would close the charge balance, the most likely first.

    Parameters
    ----------
    water : Water
        A single source.
    confirmed : frozenset of str
        Figures that a second statement of the report bears out.
    plain : frozenset of str
        Figures stated as plain milligrams, whose substance may have been another.
    """
    balance = water.balance
    middle = (balance.cations_mEq_L + balance.anions_mEq_L) / 2.0
    measured = water.conductivity_uS_cm
    found: dict[str, Suspect] = {}
    for name, stated, implied, why, prior in _candidates(water, plain):
        sign = math.copysign(1.0, substance(name).charge)
        off = balance.cations_mEq_L - balance.anions_mEq_L + sign * (implied - stated)
        left = 100.0 * abs(off) / middle / balance.allowed_pct if middle > 0.0 else math.inf
        if left > 1.0:
            continue
        score = prior + left**2
        score += CONFIRMED if name in confirmed else 0.0
        if measured is not None and measured.centre > 0.0:
            expected = conductivity_expected_uS_cm(water, {name: implied})
            score += (math.log(expected / measured.centre) / CONDUCTIVITY_SD) ** 2 if expected > 0 else math.inf
        scale = 1.0 if name == "alkalinity" else mg_L(name, 1.0)
        suspect = Suspect(name=name, stated=stated * scale, implied=implied * scale, why=why, score=score)
        if name not in found or suspect.score < found[name].score:
            found[name] = suspect
    return tuple(sorted(found.values(), key=lambda suspect: suspect.score))


def _amount(name: str, value: float) -> str:
    return write(value, "alkalinity") if name == "alkalinity" else in_words(value)


def _accused(suspect: Suspect) -> str:
    cause = f" ({suspect.why})" if suspect.why else ""
    return f"{_amount(suspect.name, suspect.implied)} instead of {_amount(suspect.name, suspect.stated)}{cause}"


def balance_sentence(
    water: Water, *, confirmed: frozenset[str] = frozenset(), plain: frozenset[str] = frozenset()
) -> str:
    """Return what a careful reader says of a charge balance that is off; empty if it is as usual."""
    balance = water.balance
    if balance.acceptable or (not balance.tells and abs(balance.din_pct) <= CONTRADICTION_PCT):
        return ""
    first_of_all = "" if balance.tells else "even with what is missing estimated, "
    told = (
        f"{first_of_all}cations come to {balance.cations_mEq_L:.2f} mEq/L and anions to {balance.anions_mEq_L:.2f}: "
        f"the charge balance is off by {balance.din_pct:+.1f} % (DIN form; {balance.standard_methods_pct:+.1f} % in "
        f"the Standard Methods form), and up to {balance.allowed_pct:g} % is usual"
    )
    found = suspects(water, confirmed=confirmed, plain=plain)
    if not found:
        return f"{told}; no single figure can be the cause, so more than one is wrong or missing; nothing was changed."
    first = found[0]
    told += f"; question {first.name} first: {_accused(first)} would close it"
    near = [other for other in found[1:_MOST_NAMED] if other.score - first.score < _NEARLY]
    if near:
        told += f" ({'; '.join(f'or {other.name}: {_accused(other)}' for other in near)})"
    return f"{told}; the difference is carried, nothing was changed."


def conductivity_sentence(water: Water) -> str:
    """Return what a measured conductivity says against the ions; empty if they go together."""
    measured = water.conductivity_uS_cm
    if measured is None or not water.balance.tells:
        return ""
    expected = conductivity_expected_uS_cm(water)
    if abs(expected - measured.centre) <= CONDUCTIVITY_FAR * measured.centre:
        return ""
    way = "less" if expected < measured.centre else "more"
    return (
        f"the ions make a conductivity of about {expected:.0f} µS/cm, {way} than the {measured.centre:.0f} measured: "
        "the figures may not be of one sample."
    )
