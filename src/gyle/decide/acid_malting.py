"""Acid malt that takes the place of an acid: the other malts make room, so that gravity and mash pH stay."""

from __future__ import annotations

import attrs

from gyle.beer.ingredient import Fermentable
from gyle.beer.recipe import GristLine, OtherLine, Recipe
from gyle.beer.timing import Timing
from gyle.decide.acid_exchange import AcidExchange, amount_words, malt_words, without_acids
from gyle.decide.acid_swap import acid_malt_for_ph, centre_line, without_malt
from gyle.decide.changes import Change
from gyle.decide.plan import planned
from gyle.decide.restate import Wish
from gyle.decide.solve import Solution, Targets
from gyle.decide.swap import is_acid_malt
from gyle.errors import Infeasible
from gyle.line.amounts import Amounts
from gyle.line.day import mashed

__all__ = ["MaltComes"]

MOST_SHARE = 0.30  # of a mash; ours
USUAL_SHARE = 0.10  # common practice
PASSES = 6
SETTLED_SHARE = 2e-5  # of the grist: some 1e-4 of pH


@attrs.frozen(kw_only=True, eq=False)
class MaltComes(AcidExchange):
    """Acid malt comes in, into the mashes the acid went into."""

    @property
    def malt(self) -> Fermentable:
        """The acid malt."""
        assert self.asked.malt is not None
        return self.asked.malt

    @property
    def of_malts(self) -> str:
        """The other malts give way."""
        return "its share gives way to the acid malt"

    @property
    def told_of(self) -> frozenset[str]:
        """Acid malt, under whatever name, and the acid that goes."""
        acid_malt = {line.what for line, _ in self.grist_there if is_acid_malt(line)}
        return frozenset({self.malt.name, *acid_malt, *(line.what for line in self._going)})

    @property
    def _going(self) -> tuple[OtherLine, ...]:
        return tuple(line for line in self.asked.acids if line.at.stage == "mash")

    def begun(self, wish: Wish) -> Wish:
        """The wish with as much acid malt as would do on the origin; the brewhouse's own is found once it is solved."""
        reference_L = 1000.0 * sum(self.origin.amounts.grist_kg) * self.origin.recipe.gyles / sum(wish.beer_g_L)
        wish = without_acids(wish, self._going)
        others = tuple(line for line in self.origin.recipe.others if line not in self._going)
        recipe, amounts = attrs.evolve(self.origin.recipe, others=others), self.origin.amounts
        grams, ratio = 0.0, 1.0
        for mash, ph in self.ph.items():
            dose = acid_malt_for_ph(recipe, self.there, amounts, malt=self.malt, ph=ph, mash=mash)
            grams += 1000.0 * dose.mass_kg * recipe.gyles / reference_L
            ratio = min(ratio, dose.others_ratio)
        grist = list(wish.recipe.grist)
        held = [
            amount * ratio if mashed(line) and not is_acid_malt(line) else amount
            for line, amount in zip(grist, wish.beer_g_L, strict=True)
        ]
        own = next((place for place, line in enumerate(grist) if is_acid_malt(line)), None)
        if own is not None:
            held[own] = grams
        else:
            line = GristLine(what=self.malt.name, ingredient=self.malt, at=Timing(stage="mash"))
            own = _last_of_mash(grist, 1)
            grist.insert(own, line)
            held.insert(own, grams)
        return attrs.evolve(wish, recipe=attrs.evolve(wish.recipe, grist=tuple(grist)), beer_g_L=tuple(held))

    def settled(self, proposal: Recipe, solution: Solution, targets: Targets) -> tuple[Recipe, Solution]:
        """Weigh acid malt against the mash and solve the gravity anew, until neither moves the other."""
        for _ in range(PASSES):
            proposal, before = self._with_lines(proposal, solution.amounts)
            after = self._balanced(proposal, attrs.evolve(solution.amounts, grist_kg=tuple(before)))
            moved = max(abs(one - other) for one, other in zip(before, after, strict=True))
            if moved < SETTLED_SHARE * sum(after):
                break
            proposal = _with_shares(proposal, after)
            solution, _, _ = planned(proposal, self.house, targets, start=solution.amounts)
        return proposal, solution

    def weighed(self, stated: Recipe, amounts: Amounts, *, treated: bool) -> tuple[Recipe, list[Change], list[str]]:
        """The recipe as it is, acid malt having been weighed like any malt."""
        grist = list(zip(stated.grist, amounts.grist_kg, strict=True))
        after = f"{self.malt.name}, {malt_words(grist, stated.gyles)}"
        notes = [self.asked.note] if self.asked.note else []
        notes += self._share_notes(grist)
        if treated:
            assert self.house.water is not None
            values = " and ".join(f"{ph:.2f}" for ph in self.ph.values())
            why = f"as much as kept the mash pH on {self.there.name}, {values} with either"
            notes.append(
                f"the doses that bring {self.house.water.name} to what the recipe asks reckon with the acid malt"
            )
            change = Change(what=self.old, before=self.before(), after=after, why=why)
            return stated, [change, *self._sparge_changes()], notes
        left = dict.fromkeys(line.at.text for line in self.asked.acids if line.at.stage != "mash")
        if left:
            notes.append(f"{self.old} at {' and '.join(left)} stays, as acid malt goes into the mash alone")
        notes += self.water_note()
        brew, wanted = centre_line(stated, self.house, amounts), self.places(stated)
        given = sum(
            kg * line.ingredient.buffering_mEq_kg.centre * (wanted[line.at.mash] - line.ingredient.distilled_ph.centre)
            for line, kg in grist
            if is_acid_malt(line) and line.at.mash in wanted
        )
        notes += self.second_mash_note(stated, brew)
        why = f"{self.why(stated, brew, given * stated.gyles)}; the other malts give way for its extract"
        return stated, [Change(what=self.old, before=self.before(), after=after, why=why)], notes

    def _sparge_changes(self) -> list[Change]:
        """The acid of the sparge, which goes with every dose of another water."""
        return [
            Change(
                what=f"{self.old}, {line.at.text}",
                before=amount_words(self.units_there(line), line.mineral),
                after="none",
                why="it was for another water; this one has its own doses",
            )
            for line in self.asked.acids
            if line.at.stage == "sparge" and line.mineral is not None
        ]

    def _with_lines(self, proposal: Recipe, amounts: Amounts) -> tuple[Recipe, list[float]]:
        """A line of acid malt in every mash that is to have one, and the masses of all lines."""
        grist, kg = list(proposal.grist), list(amounts.grist_kg)
        found = next(line for line in grist if is_acid_malt(line))
        for mash in self.places(proposal):
            if not any(is_acid_malt(line) and line.at.mash == mash for line in grist):
                place = _last_of_mash(grist, mash)
                grist.insert(place, attrs.evolve(found, at=attrs.evolve(found.at, mash=mash), share=0.0))
                kg.insert(place, 0.0)
        return attrs.evolve(proposal, grist=tuple(grist)), kg

    def _balanced(self, proposal: Recipe, amounts: Amounts) -> list[float]:
        """Masses of all lines with the acid malt each mash asks for, their extract kept."""
        for mash, ph in self.places(proposal).items():
            own = [mashed(line) and line.at.mash == mash for line in proposal.grist]
            place = next(at for at, line in enumerate(proposal.grist) if own[at] and is_acid_malt(line))
            malt = proposal.grist[place].ingredient
            dose = acid_malt_for_ph(proposal, self.house, amounts, malt=malt, ph=ph, mash=mash)
            if not dose.mass_kg > 0.0:
                bare, rest = without_malt(proposal, amounts, mash)
                raise self.acid_enough(bare, rest, self.house, mash=mash, wanted=ph, new=malt.name)
            kg = [one * dose.others_ratio if own[at] else one for at, one in enumerate(amounts.grist_kg)]
            kg[place] = dose.mass_kg
            share = dose.mass_kg / sum(one for at, one in enumerate(kg) if own[at])
            if dose.others_ratio <= 0.0 or share > MOST_SHARE:
                raise Infeasible(
                    f"{malt.name} cannot take the place of {self.old}: more than {MOST_SHARE:.0%} of the mash would"
                    " have to be of it"
                )
            amounts = attrs.evolve(amounts, grist_kg=tuple(kg))
        return list(amounts.grist_kg)

    def _share_notes(self, grist: list[tuple[GristLine, float]]) -> list[str]:
        malts = [(line, kg) for line, kg in grist if mashed(line)]
        share = sum(kg for line, kg in malts if is_acid_malt(line)) / sum(kg for _, kg in malts)
        if share <= USUAL_SHARE:
            return []
        return [f"{share:.0%} of acid malt is more than {USUAL_SHARE:.0%}, which is usually the most"]


def _last_of_mash(grist: list[GristLine], mash: int) -> int:
    """Where one more line of a mash goes in."""
    return 1 + max(place for place, line in enumerate(grist) if mashed(line) and line.at.mash == mash)


def _with_shares(recipe: Recipe, kg: list[float]) -> Recipe:
    """The recipe with its shares as these masses have them; together they stay what they were."""
    shared = [line.share is not None for line in recipe.grist]
    whole = sum(line.share or 0.0 for line in recipe.grist)
    scale = whole / sum(one for one, is_shared in zip(kg, shared, strict=True) if is_shared)
    return attrs.evolve(
        recipe,
        grist=tuple(
            attrs.evolve(line, share=one * scale) if is_shared else line
            for line, one, is_shared in zip(recipe.grist, kg, shared, strict=True)
        ),
    )
