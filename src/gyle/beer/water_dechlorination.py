"""Metabisulfite for the chlorine and chloramine of a water: the dose, and the water it leaves."""

from __future__ import annotations

import math
from typing import Literal

import attrs

from gyle.beer.estimate import Estimate
from gyle.beer.water import Reported, Water
from gyle.beer.water_blend import LEAST_PH, MOST_PH, bounded, carbon_of, completed, worst
from gyle.beer.water_guides import SULFITE_CAUTION, cautions_of, was_found
from gyle.beer.water_substances import in_words
from gyle.quantities import write
from gyle.science.carbonate import closed
from gyle.science.dechlorination import CHLORINE, SULFUR_DIOXIDE, metabisulfite
from gyle.science.ranges import within
from gyle.science.water_ions import MOLAR_MASS

__all__ = ["SULFITE_STRENGTH", "Metabisulfite", "SulfiteDose", "dechlorinated", "sulfite_dose"]

Metabisulfite = Literal["sodium", "potassium"]

SULFITE_STRENGTH = Estimate(centre=0.90, spread=0.07, low=0.2, high=1.0, source="metabisulfite ages in its tub")
MARGIN, MOST_MARGIN = 1.3, 2.0  # common practice
# A food with 10 mg/kg or more of sulfur dioxide has to say so: 21 CFR 101.100(a)(4). The program stays below.
DECLARED_MG_L, MOST_LEFT_MG_L = 10.0, 9.0
WAIT_MIN = 5.0
SOLUTION_BELOW_MG, SOLUTION_G_L = 1000.0, 1.0  # ten steps of a kitchen scale


def _in_short(value: float, unit: str = "mg/L") -> str:
    return in_words(float(f"{value:.2g}"), unit)


@attrs.frozen(kw_only=True)
class SulfiteDose:
    """Metabisulfite for a volume of water, and what it brings into it.

    Parameters
    ----------
    salt : str
        "sodium" or "potassium".
    volume_L : float
        The water [L].
    chlorine_mg_L, chloramine_mg_L : float
        What it has to take away, as Cl2 [mg/L].
    mg, most_mg : float
        As weighed, of usual strength: the dose, and what it should never exceed [mg].
    margin : float
        Active salt in the dose for what the reaction needs.
    sulfate_mg_L, chloride_mg_L, sodium_mg_L, potassium_mg_L, ammonium_mg_L : float
        Ions added by the reaction and the salt's own metal [mg/L].
    alkalinity_lost_mEq_L : float
        Alkalinity the reaction uses up [mEq/L].
    sulfur_dioxide_mg_L, most_sulfur_dioxide_mg_L : float
        Sulfite left over as SO2: usually, and by the greatest dose of salt at full strength [mg/L].
    """

    salt: Metabisulfite
    volume_L: float
    chlorine_mg_L: float
    chloramine_mg_L: float
    mg: float
    most_mg: float
    margin: float
    sulfate_mg_L: float
    chloride_mg_L: float
    sodium_mg_L: float
    potassium_mg_L: float
    ammonium_mg_L: float
    alkalinity_lost_mEq_L: float
    sulfur_dioxide_mg_L: float
    most_sulfur_dioxide_mg_L: float

    @property
    def residual_mg_L(self) -> float:
        """Chlorine and chloramine together, as Cl2 [mg/L]."""
        return self.chlorine_mg_L + self.chloramine_mg_L

    @property
    def solution_mL(self) -> float | None:
        """The dose as a fresh solution of one gram in a litre [mL], None where it can be weighed."""
        return float(f"{self.mg / SOLUTION_G_L:.2g}") if self.mg < SOLUTION_BELOW_MG else None

    @property
    def covers_mg_L(self) -> float:
        """The residual the dose would just take away, as Cl2 [mg/L]."""
        return self.residual_mg_L * self.margin

    @property
    def steps(self) -> tuple[str, ...]:
        """What to do, in words, and what else would do."""
        substance = f"{self.salt} metabisulfite"
        dose = f"{in_words(self.mg, 'mg')} of {substance}"
        if self.solution_mL is not None:
            dose = (
                f"{in_words(self.solution_mL, 'mL')} of a solution of 1 g of {substance} in 1 L of water, made fresh, "
                f"which holds {_in_short(self.mg, 'mg')},"
            )
        wait = f"{WAIT_MIN:g} min"
        told = [
            f"Stir {dose} into {write(self.volume_L, 'volume')} of water and wait {wait}.",
            f"That covers a residual of {_in_short(self.covers_mg_L)}; never take more than "
            f"{_in_short(self.most_mg, 'mg')}.",
            f"At most {_in_short(self.most_sulfur_dioxide_mg_L)} of sulfur dioxide is left then, and from "
            f"{DECLARED_MG_L:g} mg/L a beer has to say so.",
        ]
        if self.chloramine_mg_L > 0.0:
            told.append(
                "Standing or boiling drives off free chlorine but not chloramine; slow activated carbon takes both."
            )
        else:
            told.append("A night in an open vessel, a boil or slow activated carbon takes free chlorine away as well.")
        return tuple(told)

    @property
    def cautions(self) -> tuple[str, ...]:
        """What has to be said before anybody opens the tub."""
        return (SULFITE_CAUTION,)


def sulfite_dose(water: Water, volume_L: float, *, salt: Metabisulfite = "sodium") -> SulfiteDose | None:
    """Return the metabisulfite for a volume of water, None where no chlorine was found.

    Parameters
    ----------
    water : Water
        As it goes into the kettle: `gyle.beer.water_prepared.prepared` has boiled off what a boil takes.
    volume_L : float
        All of the water that meets malt or wort [L].
    salt : str
        Which metabisulfite; sodium is the stronger and the more usual.

    Raises
    ------
    OutOfRange
        If the volume is no volume or the salt is unknown.
    """
    volume = float(within(volume_L, 0.0, 1e9, what="water [L]"))
    free, bound = (
        figure.centre if was_found(figure) else 0.0 for figure in (water.chlorine_mg_L, water.chloramine_mg_L)
    )
    residual = free + bound
    if residual <= 0.0:
        return None
    # All is proportional to the residual; so one that no drinking water has does not stop the plan.
    per_mg = metabisulfite(
        1.0, 1.0, salt=salt, margin=1.0, strength=SULFITE_STRENGTH.centre, chloramine_share=bound / residual
    )
    need_SO2 = residual / CHLORINE * SULFUR_DIOXIDE
    most = min(MOST_MARGIN, (1.0 + MOST_LEFT_MG_L / need_SO2) * SULFITE_STRENGTH.centre)
    margin = min(MARGIN, most)
    need_mg = float(per_mg.dose_mg) * residual * volume
    return SulfiteDose(
        salt=salt,
        volume_L=volume,
        chlorine_mg_L=free,
        chloramine_mg_L=bound,
        mg=need_mg * margin,
        most_mg=need_mg * most,
        margin=margin,
        sulfate_mg_L=float(per_mg.sulfate_mg_L) * residual,
        chloride_mg_L=float(per_mg.chloride_mg_L) * residual,
        sodium_mg_L=float(per_mg.sodium_mg_L) * residual * margin,
        potassium_mg_L=float(per_mg.potassium_mg_L) * residual * margin,
        ammonium_mg_L=float(per_mg.ammonium_mg_L) * residual,
        alkalinity_lost_mEq_L=float(per_mg.alkalinity_lost_mEq_L) * residual,
        sulfur_dioxide_mg_L=max(margin - 1.0, 0.0) * need_SO2,
        most_sulfur_dioxide_mg_L=max(most / SULFITE_STRENGTH.centre - 1.0, 0.0) * need_SO2,
    )


def dechlorinated(water: Water, *, salt: Metabisulfite = "sodium") -> Water:
    """Return the water after metabisulfite: the residual gone, ions, alkalinity and pH changed.

    Sulfite that is left over ends as sulfate too, and its acid takes alkalinity; so charge is kept. A water in
    which no chlorine was found comes back as it is.

    Parameters
    ----------
    water : Water
        As it goes into the kettle; a wish to treat it is not carried out here.
    salt : str
        Which metabisulfite.
    """
    dose = sulfite_dose(water, 1.0, salt=salt)
    if dose is None:
        return water
    residual = [figure for figure in (water.chlorine_mg_L, water.chloramine_mg_L) if was_found(figure)]
    fixed = math.hypot(*(figure.spread for figure in residual)) / dose.residual_mg_L
    varies = math.hypot(*(figure.each_time for figure in residual)) / dose.residual_mg_L

    def changed(figure: Reported, by: float) -> Reported:
        centre = figure.centre + by
        return attrs.evolve(
            figure,
            centre=centre,
            spread=math.hypot(figure.spread, fixed * by),
            each_time=math.hypot(figure.each_time, varies * by),
            low=min(figure.low, centre),
            high=max(figure.high, centre),
            standing=worst(figure.standing, "computed"),
        )

    left_mmol_L = dose.sulfur_dioxide_mg_L / SULFUR_DIOXIDE
    lost = dose.alkalinity_lost_mEq_L + left_mmol_L
    carbon = carbon_of(water)
    after = attrs.evolve(
        water,
        sulfate_mg_L=changed(water.sulfate_mg_L, dose.sulfate_mg_L + left_mmol_L * MOLAR_MASS["sulfate"]),
        chloride_mg_L=changed(water.chloride_mg_L, dose.chloride_mg_L),
        sodium_mg_L=changed(water.sodium_mg_L, dose.sodium_mg_L),
        potassium_mg_L=changed(water.potassium_mg_L, dose.potassium_mg_L),
        alkalinity_mEq_L=changed(water.alkalinity_mEq_L, -lost),
        acid_capacity_mEq_L=None,
        base_capacity_mmol_L=None,
        conductivity_uS_cm=None,
        chlorine_mg_L=_gone(water.chlorine_mg_L),
        chloramine_mg_L=_gone(water.chloramine_mg_L),
    )
    ph = float(closed(after.totals_mmol_L(carbon), water.reading_C).ph)
    ph = min(max(ph, LEAST_PH), MOST_PH)
    figure = attrs.evolve(changed(water.ph, ph - water.ph.centre), spread=water.ph.spread, each_time=water.ph.each_time)
    after = completed(attrs.evolve(after, ph=figure, ph_temperature_C=water.reading_C))
    of_figures = cautions_of(water)
    others = [caution for caution in water.cautions if caution not in of_figures and caution != SULFITE_CAUTION]
    note = f"{salt} metabisulfite takes away {in_words(dose.residual_mg_L)} of chlorine (as Cl2)."
    after = attrs.evolve(after, metabisulfite_mg_L=dose.mg, notes=(*water.notes, note))
    after = attrs.evolve(after, cautions=(*cautions_of(after), SULFITE_CAUTION, *others))
    if dose.ammonium_mg_L > 0.0:
        # No sign of pollution here, so it comes after the cautions.
        had = water.ion_mg_L("ammonium") or Reported(centre=0.0, low=0.0, source="chloramine", standing="computed")
        lesser = dict(water.others_mg_L) | {"ammonium": changed(had, dose.ammonium_mg_L)}
        after = attrs.evolve(after, others_mg_L=tuple(lesser.items()))
    return bounded(after)


def _gone(figure: Reported | None) -> Reported | None:
    return None if figure is None else Reported(centre=0.0, low=0.0, source="taken by sulfite", standing="computed")
