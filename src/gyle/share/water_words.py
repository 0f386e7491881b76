"""A water and its treatment in words: the charges, the chalk, what to weigh, how near it comes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gyle.decide.salt_matrix import BALANCE
from gyle.decide.salts import STEPS
from gyle.quantities import write
from gyle.share.sentences import as_sentence, joined

if TYPE_CHECKING:
    from gyle.beer.water import Water
    from gyle.decide.salt_problem import Dose, Miss
    from gyle.decide.water_work import Standing, WaterWork

__all__ = [
    "PH_WORDS", "alkaline_words", "amount_words", "charge_words", "dilution_words", "dose_words", "guessed",
    "later_L", "lime_words", "liquor_words", "near_sentences", "span_words",
]  # fmt: skip

BALANCED_SI = 0.2
PH_WORDS = {
    "mash": "mash, cooled sample",
    "mash_hot": "as it stands in the mash, hot",
    "mash_2": "second mash, cooled sample",
    "sparge": "sparge liquor, cold",
    "kettle": "full kettle, cooled sample",
    "kettle_end": "end of boil, cooled sample",
    "beer": "beer",
}


def charge_words(report: Water) -> str:
    """Both sums of charges, their difference in the DIN form, and whether that is usual."""
    balance = report.balance
    verdict = "usual" if balance.acceptable else "more than usual: see below"
    if not balance.tells:
        verdict = "no check, since figures are missing"
    return (
        f"cations {balance.cations_mEq_L:.2f}, anions {balance.anions_mEq_L:.2f} mEq/L: {balance.din_pct:+.1f} %"
        f" (DIN form), {verdict}"
    )


def alkaline_words(report: Water) -> str:
    """The alkalinity in both customs, and what calcium and magnesium leave of it."""
    alkalinity = report.alkalinity_mEq_L.centre
    return (
        f"alkalinity {write(alkalinity, 'alkalinity')} ({write(alkalinity, 'alkalinity', system='us')}); residual"
        f" alkalinity {write(report.residual_alkalinity_mEq_L, 'alkalinity')}"
    )


def lime_words(report: Water, standing: Standing, *, system: str) -> str:
    """The pH as it was read, and how the water stands with chalk."""
    sign = "near balance with chalk"
    if abs(standing.calcite_si) > BALANCED_SI:
        sign = "it leaves chalk when warm" if standing.calcite_si > 0.0 else "it takes up chalk"
    return (
        f"pH {report.ph.centre:.2f} at {write(report.reading_C, 'temperature', system=system)}; calcite saturation"
        f" index {standing.calcite_si:+.2f} ({sign}); free CO2 {standing.carbon_dioxide_mg_L:.2g} mg/L"
    )


def guessed(report: Water, ion: str) -> bool:
    """Whether the report does not say it: the figure is estimated, and marked."""
    return ("alkalinity" if ion == "bicarbonate" else ion) in report.estimated


def later_L(work: WaterWork) -> float:
    """All liquor that joins after the first mash [L], for all gyles; 0 without a beer."""
    plan = work.plan
    if plan is None:
        return 0.0
    return plan.recipe.gyles * (float(sum(plan.amounts.sparge_L)) + float(sum(plan.amounts.liquor_L[1:])))


def liquor_words(work: WaterWork, *, system: str) -> str:
    """How much liquor goes to the mash, and how much to sparge."""
    later = later_L(work)
    parts = [f"{write(work.volume_L - later, 'volume', system=system)} to mash"]
    if later > 0.05:
        parts.append(f"{write(later, 'volume', system=system)} to sparge")
    return ", ".join(parts)


def dilution_words(work: WaterWork, *, system: str) -> str:
    """How much of the second water, how much from the tap; empty where there is no second one."""
    share = work.dilution_share
    if not share:
        return ""
    pure = f"{write(share * work.volume_L, 'volume', system=system)} of {work.pure_name} water"
    own = f"{write((1.0 - share) * work.volume_L, 'volume', system=system)} from the tap"
    return f"{pure} ({100.0 * share:.0f} %), {own if share < 1.0 else 'none from the tap'}"


def amount_words(dose: Dose) -> str:
    """The amount of a dose without its unit, no zeros behind it."""
    return f"{dose.amount:.2f}".rstrip("0").rstrip(".")


def dose_words(work: WaterWork, dose: Dose) -> str:
    """What a dose is: as a brewer calls it, and what it is where that is something else."""
    spoken = work.spoken(dose.what)
    return dose.what if spoken == dose.what else f"{spoken} ({dose.what})"


def span_words(low: float | None, high: float | None, form: str = ".0f") -> str:
    """A range in a narrow column; nothing where nobody asks."""
    if low is not None and high is not None:
        return f"{low:{form}}-{high:{form}}"
    return f">{low:{form}}" if low is not None else f"<{high:{form}}" if high is not None else ""


def near_sentences(work: WaterWork) -> tuple[str, ...]:
    """How near the doses come, whether that is proven, what stands in the way, and the next best without each salt."""
    if work.treatment is None:
        return ()
    choice = work.treatment.choice
    near = "everything wanted is met, to within a tenth of what can be told"
    if choice.worst_miss > 0.1:
        worst = max(choice.misses, key=lambda miss: miss.scaled)
        near = f"farthest off is {_named(worst)}: a miss of {choice.worst_miss:.1f}"
    bound = ", and no more of the second water," if choice.dilution_share else ""
    proof = f"no other amounts of these{bound} come nearer (proven)" if choice.proven else "others may come nearer"
    told = [as_sentence(f"{near}; {proof}")]
    said = f"{choice.worst_miss:.1f}"
    better = [(_eased(one.what), f"{one.worst_miss:.1f}") for one in work.binding]
    eased = [f"{miss} {how}" for how, miss in better if miss != said]
    if eased:
        told.append(as_sentence(f"it would be {joined(eased)}"))
    worse = [(one.what, "no answer" if one.choice is None else f"{one.choice.worst_miss:.1f}") for one in work.without]
    named = [f"{miss} without {work.spoken(what)}" for what, miss in worse if miss != said]
    if named:
        told.append(as_sentence(f"and {joined(named)}"))
    return tuple(told)


def _eased(bound: str) -> str:
    """What it would take to come nearer."""
    if bound == STEPS:
        return "with a finer scale"
    if bound.endswith("of the second water"):
        return "with more of the second water"
    return f"without the bound of {bound}"


def _named(miss: Miss) -> str:
    """A wish that is missed, with what it comes to."""
    if miss.what == BALANCE:
        return "the pH of the mash"
    unit = "mEq/L" if miss.what == "alkalinity" else "mg/L"
    digits = 2 if miss.what == "alkalinity" else 0
    wanted = miss.high if miss.got > miss.high else miss.low
    where = "" if miss.at == "whole" else f" of the {miss.at} liquor"
    return f"{miss.what}{where}, {miss.got:.{digits}f} for {wanted:.{digits}f} {unit}"
