"""A water as it goes into the kettle: boiled, limed, blended, the way its file wishes."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Literal

import attrs
import numpy as np
from numpy.typing import NDArray

from gyle.beer.estimate import Estimate
from gyle.beer.water import Part, Reported, Softening, Water
from gyle.beer.water_blend import LEAST_PH, MOST_CARBON_MMOL_L, MOST_PH, blend, bounded, carbon_of, completed, worst
from gyle.beer.water_guides import LIME_CAUTION, cautions_of, was_found
from gyle.beer.water_substances import in_words, mEq_L, mmol_L
from gyle.science.carbonate import AIR_LOG_PCO2, carbon_from_ph, closed, partly_degassed
from gyle.science.decarbonation import boiled_totals, lime_dose_mmol_kg, limed_totals
from gyle.science.salts import SALTS
from gyle.science.water_state import ALKALINITY, CALCIUM, CARBON

__all__ = ["LIME_STRENGTH", "LimeDose", "lime_dose", "prepared"]

Array = NDArray[np.float64]
Sort = Literal["spread", "each_time"]

COLD_C = 20.0
# Boiling. The end is common practice (0.6 to 1.2 mEq/L); the rest ours.
BOILED_END_MEQ_L, BOILED_END_SD, BOILED_END_EACH_TIME = 1.0, 0.15, 0.13
BOILED_C, BOILED_C_SD = 76.0, 12.0  # of the water when it stood last on its chalk
UNSETTLED_SD = 0.05  # part of the way to equilibrium with chalk
REGAINED, BOILED_PH_SD = 0.5, 0.3  # of the carbon dioxide that the air gives back on cooling
# Lime. The end is common practice (1 to 2 mEq/L); the rest ours.
LIMED_END_MEQ_L, LIMED_C = 1.5, 15.0
LIMED_SETTLED, LIMED_SETTLED_SD, LIMED_PH_SD = 0.98, 0.02, 0.3
LEAST_CALCIUM_MEQ_L = 0.5  # that is left: calcium and alkalinity go together
LIME_STRENGTH = Estimate(
    centre=0.90, spread=0.07, low=0.5, high=1.0, source="slaked lime that has been open is partly chalk"
)
LIME_G_MOL = SALTS["calcium hydroxide"].molar_mass_g_mol
MOST_LIME_MMOL_L = 15.0  # a gram in a litre; beyond it carbon dioxide is to be stirred out first
WORTH_MEQ_L = 0.1  # a treatment that takes less is none


@attrs.frozen(kw_only=True)
class LimeDose:
    """Slaked lime that softens a water.

    Parameters
    ----------
    g_per_L : Estimate
        As weighed, of usual strength [g/L]; the spread is how far the right dose may be from it.
    end_alkalinity_mEq_L : float
        The alkalinity it aims at [mEq/L].
    """

    g_per_L: Estimate
    end_alkalinity_mEq_L: float

    def grams(self, volume_L: float) -> float:
        """Return the lime for a volume of water [g]."""
        return self.g_per_L.centre * volume_L


@attrs.frozen(kw_only=True, eq=False)
class _Cases:
    """A water at its middle, and with each thing that is uncertain a standard deviation up and down.

    `off` says how far each thing is off in each case; the first case is the middle, then two by two.
    """

    totals: Array  # (12, cases)
    off: Mapping[str, Array]
    sorts: tuple[Sort, ...]

    def spreads(self, values: Array) -> dict[Sort, float]:
        """Return the standard deviations of what was made of the cases: half of each difference, squares added."""
        halves = (values[1::2] - values[2::2]) / 2.0
        both: tuple[Sort, Sort] = ("spread", "each_time")
        return {sort: math.hypot(*(h for h, s in zip(halves, self.sorts, strict=True) if s == sort)) for sort in both}


def _cases(water: Water, own: Sequence[tuple[Sort, str, float]] = ()) -> _Cases:
    sorts: tuple[Sort, Sort] = ("spread", "each_time")
    of_report = {"calcium": water.calcium_mg_L, "alkalinity": water.alkalinity_mEq_L, "ph": water.ph}
    steps = [(sort, name, float(getattr(one, sort))) for name, one in of_report.items() for sort in sorts]
    steps = [step for step in (*steps, *own) if step[2] > 0.0]
    off = {name: np.zeros(1 + 2 * len(steps)) for name in (*of_report, *(name for _, name, _ in own))}
    for i, (_, name, sd) in enumerate(steps):
        off[name][1 + 2 * i], off[name][2 + 2 * i] = sd, -sd
    totals = np.repeat(water.totals_mmol_L(0.0)[:, np.newaxis], 1 + 2 * len(steps), axis=1)
    totals[CALCIUM] = np.maximum(totals[CALCIUM] + mmol_L("calcium", 1.0) * off["calcium"], 0.0)
    totals[ALKALINITY] += off["alkalinity"]
    ph = np.clip(water.ph.centre + off["ph"], LEAST_PH, MOST_PH)
    totals[CARBON] = np.minimum(carbon_from_ph(totals, ph, temperature_C=water.reading_C), MOST_CARBON_MMOL_L)
    return _Cases(totals=totals, off=off, sorts=tuple(sort for sort, _, _ in steps))


def _changed(water: Water, cases: _Cases, after: Array, ph: Array, ph_sd: float, by: str) -> Water:
    """Return the water with the figures a treatment left; `ph` belongs to a cold sample of it."""
    standing = worst(water.calcium_mg_L.standing, water.alkalinity_mEq_L.standing, "computed")
    titrated = after[ALKALINITY] + 2.0 * water.mmol_L("phosphate")
    calcium = after[CALCIUM] / mmol_L("calcium", 1.0)

    def figure(values: Array, low: float = 0.0, high: float = math.inf, more: float = 0.0) -> Reported:
        centre, sd = float(values[0]), cases.spreads(values)
        return Reported(
            centre=centre,
            spread=sd["spread"],
            each_time=math.hypot(sd["each_time"], more),
            low=min(low, centre),
            high=max(high, centre),
            source=by,
            standing=standing,
        )

    return completed(
        attrs.evolve(
            water,
            calcium_mg_L=figure(calcium),
            alkalinity_mEq_L=figure(titrated),
            alkalinity_from="",
            ph=figure(ph, LEAST_PH, MOST_PH, ph_sd),
            ph_temperature_C=COLD_C,
            temperature_C=None,
            # What the report measured is no longer so.
            acid_capacity_mEq_L=None,
            base_capacity_mmol_L=None,
            conductivity_uS_cm=None,
        )
    )


def _told(before: Water, after: Water) -> str:
    """Return what became of alkalinity and calcium, in words."""
    alkalinity = [f"{water.alkalinity_mEq_L.centre:.1f}" for water in (before, after)]
    calcium = [f"{water.calcium_mg_L.centre:.0f}" for water in (before, after)]
    return (
        f"takes alkalinity from {' to '.join(alkalinity)} mEq/L and calcium from {' to '.join(calcium)} mg/L; "
        "let the chalk settle and draw the water off it"
    )


def _no_reason(water: Water, end_mEq_L: float) -> str:
    """Return why a water cannot be softened."""
    alkalinity = water.alkalinity_mEq_L.centre
    if alkalinity < end_mEq_L + WORTH_MEQ_L:
        return f"its alkalinity of {alkalinity:.2g} mEq/L is no more than what would be left"
    return f"there is too little calcium, {in_words(water.calcium_mg_L.centre)}, to go with its alkalinity"


def _boiled(water: Water) -> Water:
    """Return the water drawn off its chalk after a boil.

    As far as practice goes, but no further than calcite and the air allow: a water that has less calcium than
    alkalinity keeps the difference. The charge imbalance stays, since calcium falls mEq for mEq.
    """
    cases = _cases(
        water,
        [
            ("spread", "end", BOILED_END_SD),
            ("each_time", "end", BOILED_END_EACH_TIME),
            ("each_time", "unsettled", UNSETTLED_SD),
            ("each_time", "warmth", BOILED_C_SD),
        ],
    )
    before, off = cases.totals, cases.off
    warmth = BOILED_C + off["warmth"]
    limit = boiled_totals(before, warmth, log_pco2=AIR_LOG_PCO2, settled_share=1.0)[ALKALINITY]
    way = before[ALKALINITY] - limit
    titrated = before[ALKALINITY] + 2.0 * water.mmol_L("phosphate")
    wished = (titrated - BOILED_END_MEQ_L - off["end"]) / np.maximum(way, 1e-9)
    share = np.clip(np.minimum(wished, 1.0 - off["unsettled"]), 0.0, 1.0)
    worth = share[0] * way[0] >= WORTH_MEQ_L
    after = boiled_totals(before, warmth, log_pco2=AIR_LOG_PCO2, settled_share=share if worth else np.zeros_like(share))
    state = partly_degassed(after, COLD_C, log_pco2=AIR_LOG_PCO2, lost_share=REGAINED)
    softer = _changed(water, cases, after, state.ph, BOILED_PH_SD, "boiled")
    if worth:
        note = f"boiling {_told(water, softer)}."
    else:
        kept = {name: getattr(water, name) for name in ("calcium_mg_L", "hardness_mEq_L", "alkalinity_mEq_L")}
        softer = attrs.evolve(softer, **kept)
        note = (
            f"boiling does not soften this water: {_no_reason(water, BOILED_END_MEQ_L)}; "
            "what it drives off is carbon dioxide."
        )
    notes = [*water.notes, note]
    if was_found(water.chlorine_mg_L):
        none = Reported(centre=0.0, low=0.0, source="boiled off", standing="computed")
        softer = attrs.evolve(softer, chlorine_mg_L=none)
        notes.append("the free chlorine boils off.")
    return attrs.evolve(softer, notes=tuple(notes))


def _dose_mmol_L(cases: _Cases, end_mEq_L: float) -> Array:
    """Return the lime for carbon dioxide and bicarbonate; the carbonate of a water of high pH needs none."""
    alkalinity = np.maximum(cases.totals[ALKALINITY], 0.0)
    beyond = cases.totals[CARBON] - alkalinity  # carbon dioxide less carbonate
    dose = lime_dose_mmol_kg(np.maximum(beyond, 0.0), alkalinity, end_alkalinity_mEq_kg=end_mEq_L)
    return np.asarray(np.maximum(dose + np.minimum(beyond, 0.0), 0.0))


def _limed_end_mEq_L(water: Water) -> float:
    """Return the alkalinity lime is to leave: what practice leaves, or more where calcium would run out."""
    calcium = mEq_L("calcium", water.calcium_mg_L.centre)
    return max(LIMED_END_MEQ_L, water.alkalinity_mEq_L.centre - calcium + LEAST_CALCIUM_MEQ_L)


def lime_dose(water: Water) -> LimeDose | None:
    """Return the slaked lime that softens a water, None where lime cannot.

    Its share for carbon dioxide is spent before any chalk forms; a water full of it wants to be stirred first.

    Parameters
    ----------
    water : Water
        The water before any treatment of its own; whether it wishes for lime does not matter.
    """
    end = _limed_end_mEq_L(water)
    if water.alkalinity_mEq_L.centre - end < WORTH_MEQ_L:
        return None
    cases = _cases(water)
    dose = _dose_mmol_L(cases, end)
    if not WORTH_MEQ_L / 2.0 <= dose[0] <= MOST_LIME_MMOL_L:
        return None
    left = limed_totals(cases.totals[:, 0], LIMED_C, lime_mmol_kg=dose[0], settled_share=1.0)[ALKALINITY]
    if cases.totals[ALKALINITY, 0] - left < WORTH_MEQ_L:
        return None  # it is no bicarbonate
    grams = LIME_G_MOL / 1000.0 / LIME_STRENGTH.centre
    sd = cases.spreads(dose)
    estimate = Estimate(
        centre=float(dose[0]) * grams,
        spread=math.hypot(sd["spread"], float(dose[0]) * LIME_STRENGTH.spread / LIME_STRENGTH.centre) * grams,
        each_time=sd["each_time"] * grams,
        low=0.0,
        source="carbon dioxide and alkalinity of the water, strength of the lime",
    )
    return LimeDose(g_per_L=estimate, end_alkalinity_mEq_L=end)


def _limed(water: Water) -> Water:
    """Return the water drawn off its chalk after lime was stirred in; the charge imbalance stays."""
    dose = lime_dose(water)
    if dose is None:
        return attrs.evolve(water, notes=(*water.notes, f"lime does not soften this water: {_no_lime(water)}."))
    relative = LIME_STRENGTH.spread / LIME_STRENGTH.centre
    cases = _cases(water, [("spread", "strength", relative), ("each_time", "settled", LIMED_SETTLED_SD)])
    weighed = dose.g_per_L.centre * LIME_STRENGTH.centre * 1000.0 / LIME_G_MOL  # active, mmol/L
    after = limed_totals(
        cases.totals,
        LIMED_C,
        lime_mmol_kg=weighed * (1.0 + cases.off["strength"]),
        settled_share=LIMED_SETTLED + cases.off["settled"],
    )
    softer = _changed(water, cases, after, closed(after, COLD_C).ph, LIMED_PH_SD, "limed")
    note = (
        f"lime, {dose.grams(10.0):.2g} g of slaked lime in 10 L of cold water, {_told(water, softer)}. Measure the "
        "alkalinity then: the strength of lime is never sure, and a pH above 10 says there was too much."
    )
    return attrs.evolve(softer, notes=(*water.notes, note))


def _no_lime(water: Water) -> str:
    if water.alkalinity_mEq_L.centre - _limed_end_mEq_L(water) < WORTH_MEQ_L:
        return _no_reason(water, LIMED_END_MEQ_L)
    gas = float(closed(water.totals_mmol_L(carbon_of(water)), LIMED_C).carbon_dioxide_mmol_kg)
    if gas < MOST_LIME_MMOL_L / 10.0:
        return f"at pH {water.ph.centre:.1f} its alkalinity is lime and carbonate already"
    return (
        f"it would take more than {MOST_LIME_MMOL_L * LIME_G_MOL / 1000.0:.2g} g/L, {gas:.2g} mmol/L of it for the "
        "carbon dioxide; stir the water or let it stand first"
    )


def _treated(water: Water, treatment: Softening) -> Water:
    """Return a water after one treatment, with the cautions that still hold and those of the treatment."""
    if not treatment:
        return water
    after = _boiled(water) if treatment == "boiled" else _limed(water)
    of_figures = cautions_of(water)
    others = [caution for caution in water.cautions if caution not in of_figures]
    if treatment == "lime" and after.alkalinity_mEq_L != water.alkalinity_mEq_L and LIME_CAUTION not in others:
        others.append(LIME_CAUTION)
    return bounded(attrs.evolve(after, cautions=(*cautions_of(after), *others)))


def _prepared_part(part: Part) -> Part:
    ready = prepared(part.water)
    again = part.treated != part.water.treated  # both may wish for the same
    return attrs.evolve(part, water=_treated(ready, part.treated) if again else ready, treated="")


def prepared(water: Water) -> Water:
    """Return the water with every wish to treat it carried out: in its parts, blended again, then the whole.

    A single source without a wish comes back as it is but for limits on its figures. `parts` are then what
    was blended, each ready; where the whole was treated, that came after.

    Parameters
    ----------
    water : Water
        A water as its report or its blend was read.
    """
    mixed = water
    if any(part.treated or part.water.untreated for part in water.parts):
        of_parts = blend(water.parts, water.name).notes
        own = tuple(note for note in water.notes if note not in of_parts)
        again = blend([_prepared_part(part) for part in water.parts], water.name)
        mixed = attrs.evolve(again, notes=(*again.notes, *own), remarks=water.remarks)
    done = attrs.evolve(_treated(mixed, water.treated), treated="")
    return bounded(done)
