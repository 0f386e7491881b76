"""What a mash asks of its liquor: at the aimed pH its proton balance is linear in every dose."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import attrs
import numpy as np

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.mineral import Mineral
from gyle.beer.recipe import Recipe
from gyle.beer.water import Water
from gyle.decide.salt_problem import INFINITE, ProtonBalance
from gyle.decide.tolerances import TOLERANCE_PH
from gyle.decide.wanted import Wanted
from gyle.line.amounts import Amounts
from gyle.line.beliefs import lots
from gyle.line.day import mashed
from gyle.line.ensemble import Ensemble
from gyle.science.acid_demand import carbonate_charge, free_charge_mEq_L
from gyle.science.acids import protons_given
from gyle.science.water_ions import MOLAR_MASS
from gyle.science.water_state import COMPONENTS

__all__ = ["LOWEST_MASH_PH", "USUAL_MASH_PH", "MashAim", "MashSide", "mash_aim", "mash_side", "taken_up_mEq"]

USUAL_MASH_PH = (5.2, 5.6)  # common practice
LOWEST_MASH_PH = 5.0
_PROTONS = {"lactate": ("lactic", 1), "phosphate": ("phosphoric", 3), "citrate": ("citric", 3)}
# Acid freed for each mole, in units of what an equivalent of calcium frees; magnesium frees half.
_FREES = {"calcium": 2.0, "magnesium": 1.0}


@attrs.frozen(kw_only=True)
class MashAim:
    """The pH the mash is to have: its middle, and how far either way is as good; nought where one pH is asked for."""

    ph: float
    either_way: float


def mash_aim(recipe: Recipe, ph: float | None = None) -> MashAim:
    """The pH asked for, or the usual span where nobody asks."""
    aim = recipe.aim("mash.ph")
    wanted = ph if ph is not None else None if aim is None else aim.value
    if wanted is not None:
        return MashAim(ph=wanted, either_way=0.0)
    low, high = USUAL_MASH_PH
    return MashAim(ph=(low + high) / 2.0, either_way=(high - low) / 2.0)


def taken_up_mEq(totals_mmol: Mapping[str, float], ph: float, *, lost: float) -> float:
    """Acid that totals take up on the way to a pH, hardness apart; an acid's own are below zero."""
    anions = {ion: totals_mmol.get(ion, 0.0) for ion in _PROTONS}
    before_acid = totals_mmol["alkalinity"] + sum(_PROTONS[ion][1] * amount for ion, amount in anions.items())
    given = sum(amount * float(protons_given(_PROTONS[ion][0], ph)) for ion, amount in anions.items() if amount)
    return before_acid - totals_mmol["carbon"] * (1.0 - lost) * float(carbonate_charge(ph)) - given


@attrs.frozen(kw_only=True)
class MashSide:
    """The first mash on the centre line, at its aimed pH.

    Parameters
    ----------
    aim : MashAim
        The pH. One that is asked for is a wish among the others; a span is kept.
    grist_mEq, buffering_mEq : float
        Acid the grist takes up on the way to the pH [mEq], and for each unit of pH [mEq].
    liquor_L : float
        Its liquor [L].
    source_mmol_L : mapping of str to float
        Totals of the water it is drawn from.
    lost_share, release, lime_works : float
        Carbon dioxide that leaves; acid an equivalent of calcium frees; alkalinity that lime gives.
    """

    aim: MashAim
    grist_mEq: float
    buffering_mEq: float
    liquor_L: float
    source_mmol_L: Mapping[str, float]
    lost_share: float
    release: float
    lime_works: float

    def demand_mEq(self, totals_mmol: Mapping[str, float]) -> float:
        """Acid that totals ask for, what their hardness frees taken off."""
        freed = self.release * sum(each * totals_mmol[ion] for ion, each in _FREES.items())
        return taken_up_mEq(totals_mmol, self.aim.ph, lost=self.lost_share) - freed

    @property
    def start_mEq(self) -> float:
        """Acid asked for with the source alone and no dose."""
        of_litre = self.demand_mEq(self.source_mmol_L) - float(free_charge_mEq_L(self.aim.ph))
        return self.grist_mEq + self.liquor_L * of_litre

    def needs_acid(self, wanted: Wanted) -> bool:
        """Whether acid is still asked for when the calcium and magnesium wanted at least have freed theirs."""
        least = {ion: low / MOLAR_MASS[ion] for ion, (low, _) in wanted.spans_mg_L.items() if ion in _FREES}
        more = {ion: max(least.get(ion, 0.0) - self.source_mmol_L[ion], 0.0) for ion in _FREES}
        freed = self.release * sum(each * more[ion] for ion, each in _FREES.items())
        return self.start_mEq - self.liquor_L * freed > 0.0

    def balance(self, minerals: Iterable[Mineral], pure_water: Water | None) -> ProtonBalance:
        """The balance as the optimiser takes it."""
        per_unit = {}
        for mineral in minerals:
            totals = dict(zip(COMPONENTS, mineral.totals_mmol(1.0).tolist(), strict=True))
            if mineral.kind == "base":
                totals = {name: amount * self.lime_works for name, amount in totals.items()}
            per_unit[mineral.name] = self.demand_mEq(totals)
        dilution = 0.0
        if pure_water is not None:
            amounts = pure_water.totals_mmol_L(pure_water.carbon_mmol_L).tolist()
            pure = dict(zip(COMPONENTS, amounts, strict=True))
            dilution = self.liquor_L * (self.demand_mEq(pure) - self.demand_mEq(self.source_mmol_L))
        either_way = self.aim.either_way
        return ProtonBalance(
            start_mEq=self.start_mEq,
            dilution_mEq=dilution,
            per_unit_mEq=per_unit,
            slack_mEq=self.buffering_mEq * either_way if either_way else INFINITE,
            tolerance_mEq=None if either_way else self.buffering_mEq * TOLERANCE_PH,
        )


def mash_side(recipe: Recipe, house: Brewhouse, amounts: Amounts, inputs: Ensemble, aim: MashAim) -> MashSide | None:
    """The first mash of a beer; None where nothing is mashed.

    Parameters
    ----------
    recipe, house, amounts : Recipe, Brewhouse, Amounts
        The beer, where it is brewed, and how much of everything.
    inputs : Ensemble
        The centre line's inputs, the water's totals among them.
    aim : MashAim
        The pH.
    """
    malts = [
        (float(np.mean(kg)), float(inputs[f"lot.{lot}.distilled_ph"][0]), float(inputs[f"lot.{lot}.buffering"][0]))
        for line, lot, kg in zip(recipe.grist, lots(recipe)[0], amounts.grist_kg, strict=True)
        if mashed(line) and line.at.mash == 1
    ]
    if not malts:
        return None
    return MashSide(
        aim=aim,
        grist_mEq=sum(kg * each * (own - aim.ph) for kg, own, each in malts),
        buffering_mEq=sum(kg * each for kg, _, each in malts),
        liquor_L=float(np.mean(amounts.liquor_L[0])),
        source_mmol_L={name: float(inputs[f"water.total.{name}"][0]) for name in COMPONENTS},
        lost_share=float(inputs["model.co2_lost_stirred" if house.recirculated else "model.co2_lost_still"][0]),
        release=float(inputs["model.calcium_release"][0]),
        lime_works=float(inputs["model.lime_works"][0]),
    )
