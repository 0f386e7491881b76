"""An acid that takes the place of acid malt or of another acid."""

from __future__ import annotations

from collections.abc import Mapping

import attrs

from gyle.beer.mineral import Mineral
from gyle.beer.recipe import OtherLine, Recipe
from gyle.beer.timing import Timing
from gyle.decide.acid_exchange import AcidExchange, amount_words, without_acids
from gyle.decide.acid_swap import acid_for_ph, acid_line, acid_mEq_per_unit, centre_line
from gyle.decide.changes import Change
from gyle.decide.restate import Wish
from gyle.decide.solve import Solution, Targets
from gyle.decide.swap import is_acid_malt
from gyle.decide.treatment import ACID_PH, treats
from gyle.decide.treatment_problem import Shelf, usual_shelf
from gyle.errors import Infeasible
from gyle.line.amounts import Amounts
from gyle.line.brew import Brew
from gyle.line.day import HOT_SIDE
from gyle.science.water_ions import MOLAR_MASS

__all__ = ["AcidComes"]

STEP = 0.1  # g or mL
TASTED_LACTATE_MG_L = (300.0, 400.0)  # common practice


@attrs.frozen(kw_only=True, eq=False)
class AcidComes(AcidExchange):
    """An acid comes in: as much as keeps the mash's pH, and in the sparge as takes the same alkalinity."""

    @property
    def acid(self) -> Mineral:
        """The acid."""
        assert self.asked.acid is not None
        return self.asked.acid

    @property
    def shelf(self) -> Shelf | None:
        """The salts most brewers have and this acid; None for a dry one, which no treatment proposes."""
        if self.acid.unit == "g":
            return None
        return Shelf(minerals=(*(mineral for mineral in usual_shelf() if mineral.kind != "acid"), self.acid))

    def begun(self, wish: Wish) -> Wish:
        """The wish with the old thing out; the doses are found once the rest is solved, as they move none of it."""
        wish = without_acids(wish, self.asked.acids)
        if self.asked.malts:
            kept = [place for place, line in enumerate(wish.recipe.grist) if not is_acid_malt(line)]
            grist = tuple(wish.recipe.grist[place] for place in kept)
            held = tuple(wish.beer_g_L[place] for place in kept)
            wish = attrs.evolve(wish, recipe=attrs.evolve(wish.recipe, grist=grist), beer_g_L=held)
        recipe = self._bare(wish.recipe)
        elsewhere = (
            acid_line(self.acid, line.at, _stepped(self._equal_units(line), STEP))
            for line in self.asked.acids
            if not treats(line)
        )
        return attrs.evolve(wish, recipe=attrs.evolve(recipe, others=(*recipe.others, *elsewhere)))

    def settled(self, proposal: Recipe, solution: Solution, targets: Targets) -> tuple[Recipe, Solution]:
        """The proposal with the exact doses; they move no volume and no gravity."""
        return self._dosed(proposal, solution.amounts, step=0.0)[0], solution

    def weighed(self, stated: Recipe, amounts: Amounts, *, treated: bool) -> tuple[Recipe, list[Change], list[str]]:
        """The recipe with measured doses, found for the grist as it is weighed."""
        notes = [self.asked.note] if self.asked.note else []
        if treated:
            changes = [*self._handed_over(), *self._beside_the_mash(stated, notes, treated=True)]
            return stated, changes, [*notes, self._treated_note()]
        recipe, doses = self._dosed(stated, amounts, step=STEP)
        brew = centre_line(recipe, self.house, amounts)
        notes += [*(self.water_note() if self.ph else ()), *_lactate_note(recipe, brew)]
        changes = []
        if doses:
            wanted = self.places(recipe)
            given = sum(dose * acid_mEq_per_unit(self.acid, wanted[mash]) for mash, dose in doses.items())
            each = " and ".join(amount_words(dose * recipe.gyles, self.acid) for dose in doses.values())
            into = "the mash" if len(doses) == 1 else "the first and the second mash"
            why = self.why(recipe, brew, given * recipe.gyles)
            why += "; the other malts make up for its extract" if self.asked.malts else ""
            after = f"{self.acid.name}, {each} into {into}"
            changes.append(Change(what=self.old, before=self.before(), after=after, why=why))
            notes += self.second_mash_note(recipe, brew)
        return recipe, [*changes, *self._beside_the_mash(recipe, notes, treated=False)], notes

    # The mash.

    def _doses(self, bare: Recipe, amounts: Amounts, *, step: float) -> dict[int, float]:
        """Amount by mash for one gyle [g or mL], the first mash's counted before the second's."""
        found: dict[int, float] = {}
        for mash, wanted in self.places(bare).items():
            recipe = attrs.evolve(bare, others=(*bare.others, *self._mash_lines(found, bare.gyles)))
            dose = acid_for_ph(recipe, self.house, amounts, mineral=self.acid, ph=wanted, mash=mash)
            if not dose > 0.0:
                raise self.acid_enough(recipe, amounts, self.house, mash=mash, wanted=wanted, new=self.acid.name)
            found[mash] = _stepped(dose, step)
        litres = max(sum(amounts.liquor_L) + sum(amounts.sparge_L), 1e-9)
        grams_L = self.acid.substance_g(sum(found.values())) / litres
        if grams_L > self.acid.most_g_L:
            raise Infeasible(
                f"{self.acid.name} cannot take the place of {self.old}: it would take {grams_L:.2g} g of the acid to a"
                f" litre of liquor, and {self.acid.most_g_L:g} g is the most"
            )
        return found

    def _dosed(self, recipe: Recipe, amounts: Amounts, *, step: float) -> tuple[Recipe, dict[int, float]]:
        bare = self._bare(recipe)
        doses = self._doses(bare, amounts, step=step)
        lines = self._mash_lines(doses, bare.gyles)
        sparged, here = self._sparged_there(), sum(amounts.sparge_L)
        if sparged and here > 0.0:
            each = sparged / self.origin.recipe.gyles * here / sum(self.origin.amounts.sparge_L)
            lines.append(acid_line(self.acid, Timing(stage="sparge"), _stepped(each, step) * bare.gyles))
        return attrs.evolve(bare, others=(*bare.others, *lines)), doses

    def _bare(self, recipe: Recipe) -> Recipe:
        """The recipe without every dose of this acid that the swap decides."""
        places = ("mash", "sparge") if self._sparged_there() else ("mash",)
        own = self.acid.name
        return attrs.evolve(
            recipe,
            others=tuple(
                line
                for line in recipe.others
                if line.mineral is None or line.mineral.name != own or line.at.stage not in places
            ),
        )

    def _mash_lines(self, doses: Mapping[int, float], gyles: int) -> list[OtherLine]:
        return [acid_line(self.acid, Timing(stage="mash", mash=mash), dose * gyles) for mash, dose in doses.items()]

    # Beside the mash.

    def _sparged_there(self) -> float:
        """What the origin's sparge would take of this acid for the whole volume; nought where none is replaced."""
        acids = self.asked.acids
        replaced = [line for line in acids if line.at.stage == "sparge"]
        if not replaced or not sum(self.origin.amounts.sparge_L):
            return 0.0
        more = [
            line
            for line in self.origin.recipe.others
            if line.at.stage == "sparge" and line not in acids and line.mineral == self.acid
        ]
        return sum(self._equal_units(line) for line in (*replaced, *more))

    def _equal_units(self, line: OtherLine) -> float:
        """As much of this acid as takes the same alkalinity where a line's acid goes."""
        assert line.mineral is not None
        figures = self.origin.figures
        name = "mash.ph" if treats(line) else "kettle.end.ph" if line.at.stage in HOT_SIDE else "glass.ph"
        ph = figures[name].mean if name in figures else ACID_PH
        return self.units_there(line) * acid_mEq_per_unit(line.mineral, ph) / acid_mEq_per_unit(self.acid, ph)

    def _beside_the_mash(self, recipe: Recipe, notes: list[str], *, treated: bool) -> list[Change]:
        """The sparge's acid, and acid anywhere else."""
        found = []
        for line in self.asked.acids:
            if line.at.stage == "mash" or (treated and treats(line)):
                continue
            assert line.mineral is not None
            new = next((one for one in recipe.others if one.mineral == self.acid and one.at == line.at), None)
            if new is None:
                notes.append(f"{self.old} in the sparge falls away: there is no sparge on both brewhouses")
                continue
            after = amount_words(self.acid.measured(mass_kg=new.mass_kg, volume_L=new.volume_L), self.acid)
            before = amount_words(self.units_there(line), line.mineral)
            what, after = f"{line.mineral.name}, {line.at.text}", f"{self.acid.name}, {after}"
            found.append(Change(what=what, before=before, after=after, why="it takes the same alkalinity there"))
        return found

    # Where the water is treated for the recipe.

    def _handed_over(self) -> list[Change]:
        if not self.asked.malts:
            return []
        why = "the treatment of the water brings the mash to its pH; what acid that takes is among its doses"
        return [Change(what=self.old, before=self.before(), after="none", why=why)]

    def _treated_note(self) -> str:
        assert self.house.water is not None
        which = f"{self.acid.name} is the acid" if self.shelf is not None else f"{self.acid.name}, a dry one, is none"
        return (
            f"the recipe asks for a water, so all doses are those that bring {self.house.water.name} to it; {which}"
            " it may choose"
        )


def _stepped(amount: float, step: float) -> float:
    """An amount as it can be measured; less than half a step is measured as finely as it takes."""
    if step <= 0.0 or amount < step / 2.0:
        return amount
    return round(round(amount / step) * step, 6)


def _lactate_note(recipe: Recipe, brew: Brew) -> list[str]:
    """Where so much lactic acid is dosed that it is tasted."""
    if not any(line.mineral is not None and line.mineral.key == "lactic" for line in recipe.others):
        return []
    beer = brew.content(brew.steps[-1].move.vessel)
    mmol_L = float(beer["~lactate"][0]) / max(float(brew.noted("beer_L")[0]), 1e-9)
    lactate = mmol_L * MOLAR_MASS["lactate"]
    low, high = TASTED_LACTATE_MG_L
    if lactate <= low:
        return []
    return [f"the doses bring {lactate:.0f} mg/L of lactate into the beer: above {low:.0f} to {high:.0f} it is tasted"]
