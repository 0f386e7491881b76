"""A swap of what acidifies the mash, carried through an adaptation: begun on the wish, settled, weighed out, told."""

from __future__ import annotations

import abc
from collections.abc import Iterable, Mapping
from typing import Self

import attrs

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.mineral import Mineral
from gyle.beer.recipe import GristLine, OtherLine, Recipe
from gyle.decide.acid_swap import centre_line, mash_figure
from gyle.decide.changes import Change
from gyle.decide.plan import Plan
from gyle.decide.restate import Wish
from gyle.decide.solve import Solution, Targets
from gyle.decide.swap import AcidWish, is_acid_malt
from gyle.decide.treatment_problem import Shelf
from gyle.errors import Infeasible
from gyle.line.amounts import Amounts
from gyle.line.brew import Brew
from gyle.line.day import mash_numbers, mashed
from gyle.quantities import write

__all__ = ["AcidExchange", "amount_words", "malt_words", "without_acids"]

UNSEEN_PH = 5e-4


@attrs.frozen(kw_only=True, eq=False)
class AcidExchange(abc.ABC):
    """What goes and what comes, and the pH each mash shall keep.

    Parameters
    ----------
    asked : AcidWish
        What goes and what comes.
    origin : Plan
        The beer where its amounts hold.
    there, house : Brewhouse
        That brewhouse, with the water it is compared with; and the one adapted to.
    ph : mapping of int to float
        Value of pH by mash, of those that the old thing went into.
    """

    asked: AcidWish
    origin: Plan
    there: Brewhouse
    house: Brewhouse
    ph: Mapping[int, float]

    @classmethod
    def of(cls, asked: AcidWish, origin: Plan, house: Brewhouse) -> Self:
        """Read the pH of the mash that the wish leaves as it is.

        Where either water is not stated, both mashes are reckoned with the water of the brewhouse adapted to, a
        usual one if it has none, and neither pH is held by an aim: like is compared with like.
        """
        there = origin.brewhouse
        if there.water is None or house.water is None:
            there = attrs.evolve(there, water=house.water)
        brew = centre_line(origin.recipe, there, origin.amounts)
        into = {line.at.mash for line in asked.malts}
        into |= {line.at.mash for line in asked.acids if line.at.stage == "mash"}
        ph = {number: float(brew.figures[mash_figure(number)][0]) for number in sorted(into)}
        return cls(asked=asked, origin=origin, there=there, house=house, ph=ph)

    @abc.abstractmethod
    def begun(self, wish: Wish) -> Wish:
        """The wish with the old thing out and the new one in, as far as it is needed before it is settled."""

    @abc.abstractmethod
    def settled(self, proposal: Recipe, solution: Solution, targets: Targets) -> tuple[Recipe, Solution]:
        """The proposal with as much of it as keeps the pH on the brewhouse adapted to."""

    @abc.abstractmethod
    def weighed(self, stated: Recipe, amounts: Amounts, *, treated: bool) -> tuple[Recipe, list[Change], list[str]]:
        """The recipe with what can be measured out; what that changes and why; and what should be known of it."""

    @property
    def shelf(self) -> Shelf | None:
        """What a treatment of the water may dose, where the swap has a say in it."""
        return None

    @property
    def told_of(self) -> frozenset[str]:
        """Names of grist lines whose change is told here."""
        return frozenset(line.what for line in self.asked.malts)

    @property
    def of_malts(self) -> str:
        """Why there is more or less of the other malts; empty where none came or went."""
        return "its share makes up for the acid malt" if self.asked.malts else ""

    @property
    def old(self) -> str:
        """The name of what goes."""
        if self.asked.malts:
            return self.asked.malts[0].what
        mineral = self.asked.acids[0].mineral
        assert mineral is not None
        return mineral.name

    @property
    def grist_there(self) -> list[tuple[GristLine, float]]:
        """Lines and masses of the origin, of one gyle."""
        return list(zip(self.origin.recipe.grist, self.origin.amounts.grist_kg, strict=True))

    def places(self, recipe: Recipe) -> dict[int, float]:
        """The pH to keep by mash of a recipe; a mash that is no more leaves its own to the first."""
        have = mash_numbers(recipe)
        kept = {number: ph for number, ph in self.ph.items() if number in have}
        return kept or ({1: next(iter(self.ph.values()))} if self.ph else {})

    def units_there(self, line: OtherLine) -> float:
        """What a line of the origin doses, for the whole volume [g or mL, by its mineral's unit]."""
        assert line.mineral is not None
        if line.rate_g_L is None:
            return line.mineral.measured(mass_kg=line.mass_kg, volume_L=line.volume_L)
        gyles, amounts = self.origin.recipe.gyles, self.origin.amounts
        litres = {
            "mash": amounts.liquor_L[min(line.at.mash, len(amounts.liquor_L)) - 1] * gyles,
            "sparge": sum(amounts.sparge_L) * gyles,
        }.get(line.at.stage, self.origin.recipe.volume_L or 0.0)
        return line.mineral.measured(mass_kg=line.rate_g_L * litres / 1000.0)

    def acid_enough(
        self, recipe: Recipe, amounts: Amounts, house: Brewhouse, *, mash: int, wanted: float, new: str
    ) -> Infeasible:
        """Say that the mash is acid enough without either."""
        ph = float(centre_line(recipe, house, amounts).figures[mash_figure(mash)][0])
        return Infeasible(
            f"on {house.name} the mash has pH {ph:.2f} without {self.old}, and {wanted:.2f} is to be kept: {new} would"
            " only lower it"
        )

    # What is said.

    def before(self) -> str:
        """How much of the old thing the mashes of the origin hold."""
        if self.asked.malts:
            return malt_words(self.grist_there, self.origin.recipe.gyles)
        lines = [line for line in self.asked.acids if line.at.stage == "mash"]
        assert lines[0].mineral is not None
        return amount_words(sum(self.units_there(line) for line in lines), lines[0].mineral)

    def why(self, recipe: Recipe, brew: Brew, given_mEq: float) -> str:
        """Why it is so much: the pH that is kept, what that takes, and what rounding does to it."""
        wanted = self.places(recipe)
        values = " and ".join(f"{ph:.2f}" for ph in wanted.values())
        moved = max((float(brew.figures[mash_figure(mash)][0]) - ph for mash, ph in wanted.items()), key=abs)
        rounding = "" if abs(moved) < UNSEEN_PH else f"; rounding to what can be measured moves it by {moved:+.3f}"
        return f"the same mash pH, {values} with either; {given_mEq:.0f} mEq of acid{rounding}"

    def water_note(self) -> list[str]:
        """With which water the pH was compared, where one of them is not stated."""
        origin, house = self.origin, self.house
        if house.water is not None:
            if origin.brewhouse.water is not None:
                return []
            return [f"no water is stated there: the mash pH is compared with {house.water.name} on both brewhouses"]
        kind = (
            "of the wanted ions"
            if origin.recipe.wanted_ions_mg_L or origin.recipe.wanted_ranges_mg_L
            else "of usual make-up"
        )
        note = f"no water is stated here: the mash pH is compared with a water {kind} on both brewhouses"
        aim = origin.recipe.aim("mash.ph")
        if aim is not None:
            note += (
                f", left to itself; the plan takes {aim.value:g} as held by whatever acid that takes, so no figure of"
                " it shows the swap"
            )
        return [note]

    def second_mash_note(self, recipe: Recipe, brew: Brew) -> list[str]:
        """What a second mash comes to that had none of it."""
        if mash_figure(2) not in brew.figures or 2 in self.places(recipe):
            return []
        ph = float(brew.figures[mash_figure(2)][0])
        return [f"the second mash comes to pH {ph:.2f}: what acidifies goes into the first, as acid malt does"]


def amount_words(amount: float, mineral: Mineral) -> str:
    """An amount of an acid, always in grams or millilitres."""
    return f"{round(amount, 2):g} {mineral.unit}" if amount >= 0.1 else f"{amount:.2g} {mineral.unit}"


def malt_words(grist: Iterable[tuple[GristLine, float]], gyles: int) -> str:
    """How much acid malt there is, and its share of the malts."""
    malts = [(line, kg) for line, kg in grist if mashed(line)]
    acid = sum(kg for line, kg in malts if is_acid_malt(line))
    return f"{write(acid * gyles, 'mass')} ({100.0 * acid / sum(kg for _, kg in malts):.1f} % of the malts)"


def without_acids(wish: Wish, going: tuple[OtherLine, ...]) -> Wish:
    """The wish without some of its lines."""
    others = tuple(line for line in wish.recipe.others if line not in going)
    return attrs.evolve(wish, recipe=attrs.evolve(wish.recipe, others=others))
