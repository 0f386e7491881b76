"""All the work a water needs before it is liquor: softening, chlorine, salts and acid, and what comes of it."""

from __future__ import annotations

import math
from collections.abc import Mapping

import attrs
import numpy as np

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import Recipe
from gyle.beer.water import Water
from gyle.beer.water_dechlorination import SulfiteDose, sulfite_dose
from gyle.beer.water_prepared import prepared
from gyle.beer.water_ready import ready
from gyle.decide.mash_side import LOWEST_MASH_PH, USUAL_MASH_PH
from gyle.decide.plan import Plan, finished, plan, planned
from gyle.decide.salt_problem import Dose
from gyle.decide.salts import Binding, Without, what_binds, without_each
from gyle.decide.treated import treated
from gyle.decide.treatment import Treatment, pure_water, treat_alone, treats
from gyle.decide.treatment_problem import Shelf
from gyle.decide.wanted import Wanted, ratio_note, ratio_of, wanted_by
from gyle.line.content import Array
from gyle.line.figures import Band, band
from gyle.quantities import write
from gyle.science.carbonate import AIR_LOG_PCO2, closed, partly_degassed
from gyle.science.gas import CARBON_DIOXIDE_G_MOL
from gyle.science.water_ions import MOLAR_MASS
from gyle.science.water_state import COMPONENTS

__all__ = ["IonRow", "RatioRow", "Standing", "WaterWork", "drawn_L", "ready", "standing_of", "water_work"]

SHOWN = ("calcium", "magnesium", "sodium", "sulfate", "chloride", "bicarbonate")
ALONE_L = 20.0
COLD_C = 20.0
HIGHEST_MASH_PH = 6.0
PH_FIGURES = {
    "mash": "mash.ph",
    "mash_hot": "mash.ph_hot",
    "kettle": "kettle.full.ph",
    "kettle_end": "kettle.end.ph",
    "beer": "glass.ph",
}


@attrs.frozen(kw_only=True)
class IonRow:
    """One ion [mg/L]: as the source has it, as it is wanted (None: nobody asks), as it comes to be.

    Where a range is wanted it has ends in the place of one amount; a side of it that is open has none.
    """

    source: float
    wanted: float | None
    got: float
    got_band: Band | None
    wanted_low: float | None = None
    wanted_high: float | None = None


@attrs.frozen(kw_only=True)
class RatioRow:
    """Sulfate over chloride by mass; None where there is too little chloride to tell."""

    source: float | None
    wanted: tuple[float, float] | None
    got: float | None


@attrs.frozen(kw_only=True)
class Standing:
    """How a water stands as it is sampled: calcite saturation index, free carbon dioxide [mg/L]."""

    calcite_si: float
    carbon_dioxide_mg_L: float


def standing_of(water: Water) -> Standing:
    """How a water stands as its report finds it; raises OutOfRange where its figures make no water."""
    state = closed(water.totals_mmol_L(water.carbon_mmol_L), water.reading_C)
    gas_mg_L = float(state.carbon_dioxide_mmol_kg) * CARBON_DIOXIDE_G_MOL
    return Standing(calcite_si=float(state.calcite_si), carbon_dioxide_mg_L=gas_mg_L)


@attrs.frozen(kw_only=True, eq=False)
class WaterWork:
    """A water and what is done to it.

    `report` is the water as its file says, `source` the same once softened and free of chlorine. Without a recipe
    there is no plan and no pH; without a wish no treatment.
    """

    report: Water
    source: Water
    volume_L: float
    plan: Plan | None
    treatment: Treatment | None
    sulfite: SulfiteDose | None
    ions: Mapping[str, IonRow]
    ph: Mapping[str, Band]
    binding: tuple[Binding, ...]
    without: tuple[Without, ...]
    cautions: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def dilution_share(self) -> float:
        """The share of the second water in all liquor, chosen or stated."""
        stated = None if self.plan is None else self.plan.recipe.dilution_share
        chosen = None if self.treatment is None else self.treatment.choice.dilution_share
        return stated or chosen or 0.0

    @property
    def pure_name(self) -> str:
        """What the second water is called."""
        pure = None if self.treatment is None else self.treatment.shelf.pure_water
        return pure_water().name if pure is None else pure.name

    @property
    def softening(self) -> tuple[str, ...]:
        """What to do before anything else, where the water's file wishes it softened."""
        return tuple(note for note in prepared(self.report).notes if note not in self.report.notes)

    @property
    def mash_calcium_mg_L(self) -> float | None:
        """Calcium in the liquor of the first mash by itself, where most salts go."""
        if self.treatment is None or self.plan is None:
            return None
        return self.treatment.choice.waters["mash"].ions_mg_L["calcium"]

    def spoken(self, name: str) -> str:
        """What a brewer calls a salt or an acid that is dosed."""
        minerals = () if self.treatment is None else self.treatment.shelf.minerals
        return next((mineral.spoken for mineral in minerals if mineral.name == name), name)

    @property
    def doses(self) -> tuple[Dose, ...]:
        """What to weigh and measure for all gyles together."""
        if self.treatment is None:
            return ()
        gyles = 1 if self.plan is None else self.plan.recipe.gyles
        return tuple(attrs.evolve(dose, amount=dose.amount * gyles) for dose in self.treatment.choice.doses)

    @property
    def standing(self) -> Standing:
        """Saturation and carbon dioxide of the water as its report finds it, nothing lost."""
        return standing_of(self.report)

    @property
    def sulfate_to_chloride(self) -> RatioRow:
        """The ratio, and the one that is wanted, if one is."""
        wanted = None if self.treatment is None else self.treatment.wanted.sulfate_to_chloride
        sulfate, chloride = self.ions["sulfate"], self.ions["chloride"]
        return RatioRow(
            source=ratio_of(sulfate.source, chloride.source), wanted=wanted, got=ratio_of(sulfate.got, chloride.got)
        )


def drawn_L(made: Plan) -> float:
    """All water a plan takes before the boil, infusions with it, for all its gyles."""
    return made.recipe.gyles * float(made.brew.noted("water_used_L").mean())


def water_work(
    report: Water,
    recipe: Recipe | None,
    house: Brewhouse | None,
    *,
    wanted_mg_L: Wanted | Mapping[str, float] | None = None,
    ph: float | None = None,
    shelf: Shelf | None = None,
    volume_L: float | None = None,
    dilute: bool = True,
    explain: bool = True,
) -> WaterWork:
    """Work out what a water needs for a beer, or for a wish alone.

    Parameters
    ----------
    report : Water
        The water as its file says.
    recipe, house : Recipe and Brewhouse, or None
        The beer, and where it is brewed.
    wanted_mg_L : Wanted or mapping of str to float, optional
        What is wanted in the place of the recipe's ions; a mapping is one amount of each.
    ph : float, optional
        The mash pH wanted in the place of the recipe's.
    shelf : Shelf, optional
        What is at hand.
    volume_L : float, optional
        Water to treat where there is no recipe; 20 L otherwise.
    dilute : bool
        Whether reverse osmosis water may take a part.
    explain : bool
        Whether to look for what binds the choice, and for the next best without each salt.

    Returns
    -------
    WaterWork
        Doses, ions, pH, cautions.

    Raises
    ------
    Infeasible
        If no doses keep every limit, or the recipe cannot be brewed there.
    """
    softened = prepared(report)
    source = ready(report)
    notes = [*softened.notes, *source.supposed]
    made: Plan | None = None
    treatment: Treatment | None = None
    if recipe is not None and house is not None:
        home = attrs.evolve(house, water=source)
        made, treatment = _for_a_beer(recipe, home, wanted_mg_L, ph, shelf, dilute=dilute)
        volume = drawn_L(made)
    else:
        volume = volume_L or ALONE_L
        if house is not None:
            notes.append(f"{house.name} is not reckoned with: without a recipe nothing is brewed on it")
        if volume_L is None:
            notes.append(f"no recipe is given, so {write(volume, 'volume')} of water is reckoned with, and no mash")
        if wanted_mg_L:
            treatment = treat_alone(source, volume, wanted_mg_L, shelf=shelf, dilute=dilute)
    ions = _ions(softened, source, made, treatment)
    acidity = _acidity(made, treatment)
    aimed = ph if treatment is None else treatment.aimed_ph
    ratio = treatment.wanted.sulfate_to_chloride if treatment is not None else None
    notes += ratio_note(ratio, ions["sulfate"].got, ions["chloride"].got)
    notes += [*(treatment.notes if treatment is not None else ()), *_of_ph(acidity, aimed)]
    if treatment is not None and recipe is not None:
        notes += _replaced(recipe)
    diluted = (made.recipe.dilution_share if made is not None else treatment and treatment.choice.dilution_share) or 0.0
    sulfite = sulfite_dose(softened, volume * (1.0 - diluted)) if diluted < 1.0 else None
    explained = treatment is not None and explain
    return WaterWork(
        report=report,
        source=source,
        volume_L=volume,
        plan=made,
        treatment=treatment,
        sulfite=sulfite,
        ions=ions,
        ph=acidity,
        binding=what_binds(treatment.problem, treatment.choice) if explained and treatment else (),
        without=without_each(treatment.problem, treatment.choice) if explained and treatment else (),
        cautions=tuple(
            dict.fromkeys(
                [
                    *source.cautions,
                    *(sulfite.cautions if sulfite is not None else ()),
                    *(treatment.cautions if treatment is not None else ()),
                ]
            )
        ),
        notes=tuple(dict.fromkeys(notes)),
    )


def _replaced(recipe: Recipe) -> list[str]:
    """What the recipe itself doses into its liquor, which a treatment takes the place of."""
    own = [line.mineral.spoken for line in recipe.others if treats(line) and line.mineral is not None]
    return [f"these doses take the place of the recipe's own: {', '.join(own)}"] if own else []


def _for_a_beer(
    recipe: Recipe,
    home: Brewhouse,
    wanted_mg_L: Wanted | Mapping[str, float] | None,
    ph: float | None,
    shelf: Shelf | None,
    *,
    dilute: bool,
) -> tuple[Plan, Treatment | None]:
    """Plan the beer on this water, treated where anything is wanted of it."""
    if wanted_mg_L is None and not wanted_by(recipe) and ph is None and recipe.aim("mash.ph") is None:
        return plan(recipe, home), None
    solution, _, _ = planned(recipe, home)
    made = treated(recipe, home, solution, shelf=shelf, wanted_mg_L=wanted_mg_L, ph=ph, dilute=dilute)
    whole = finished(made.recipe, home, made.solution, made.brew)
    return attrs.evolve(whole, treatment=made.treatment), made.treatment


def _ions(report: Water, source: Water, made: Plan | None, treatment: Treatment | None) -> dict[str, IonRow]:
    wanted = Wanted() if treatment is None else treatment.wanted
    rows = {}
    for ion in SHOWN:
        before = report.mg_L(ion)
        spread = None if made is None else made.figures[f"water.{ion}"]
        after = source.mg_L(ion) if spread is None else spread.mean
        if spread is None and treatment is not None:
            whole = treatment.choice.waters["whole"]
            left = max(whole.alkalinity_mEq_L, 0.0) * MOLAR_MASS["bicarbonate"]
            after = left if ion == "bicarbonate" else whole.ions_mg_L[ion]
        low, high = wanted.ranges_mg_L.get(ion, (math.inf, math.inf))
        rows[ion] = IonRow(
            source=before,
            wanted=wanted.ions_mg_L.get(ion),
            got=after,
            got_band=spread,
            wanted_low=low if math.isfinite(low) else None,
            wanted_high=high if math.isfinite(high) else None,
        )
    return rows


def _acidity(made: Plan | None, treatment: Treatment | None) -> dict[str, Band]:
    if made is None:
        return {}
    found = {name: made.figures[figure] for name, figure in PH_FIGURES.items() if figure in made.figures}
    second = made.figures.get("mash.2.ph")
    if second is not None:
        found["mash_2"] = second
    sparge = _sparge_ph(made)
    if sparge is not None:
        found["sparge"] = band(sparge)
    return found


def _sparge_ph(made: Plan) -> Array | None:
    """The pH of the sparge liquor as it stands cold, part of its carbon dioxide gone."""
    litres = float(sum(made.amounts.sparge_L))
    if litres < 0.05:
        return None
    inputs = made.brew.inputs
    held = dict(made.brew.kept)
    dosed = sum(
        (
            held[step.move.id][step.move.vessel].minerals
            for step in made.brew.steps
            if step.move.process == "dose" and step.move.inputs.get("for") == "sparge"
        ),
        start=np.zeros((len(COMPONENTS), 1)),
    )
    lost = inputs["model.co2_lost_stirred"]
    rows = np.stack(
        [
            np.broadcast_to(inputs[f"water.total.{name}"] + dose / litres, lost.shape)
            for name, dose in zip(COMPONENTS, dosed, strict=True)
        ]
    )
    return np.asarray(partly_degassed(rows, COLD_C, log_pco2=AIR_LOG_PCO2, lost_share=lost).ph)


def _of_ph(acidity: Mapping[str, Band], ph: float | None) -> list[str]:
    mash = acidity.get("mash")
    if mash is None:
        return []
    said = [
        f"mash pH is known to {(mash.high - mash.low) / 2.0:.2f} either way, 8 times of 10, until the lot of malt is"
        " measured: measure a cooled sample, and give acid in two halves"
    ]
    low, high = USUAL_MASH_PH
    for name, words in (("mash", "a mash pH"), ("mash_2", "a pH of the second mash")):
        found = acidity.get(name)
        if found is not None and not low <= found.mean <= high:
            more = "; --mash-ph 5.4 finds the acid for it" if ph is None and name == "mash" else ""
            said.append(f"{words} of {found.mean:.2f} is outside the usual {low:g} to {high:g}{more}")
    if not LOWEST_MASH_PH <= mash.mean <= HIGHEST_MASH_PH:
        said.append(f"a mash below {LOWEST_MASH_PH:g} or above {HIGHEST_MASH_PH:g} converts poorly: do not brew it so")
    return said
