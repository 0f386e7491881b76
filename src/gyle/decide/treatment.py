"""Treat a water for a beer: salts, acid and a second water, so that the wanted ions and the mash's pH are met."""

from __future__ import annotations

import functools
import re
from collections.abc import Mapping

import attrs

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.mineral import Mineral, handling_of
from gyle.beer.recipe import OtherLine, Recipe
from gyle.beer.timing import Timing
from gyle.beer.water import Water
from gyle.beer.water_blend import bought_water
from gyle.decide.mash_side import MashAim, MashSide, mash_aim, mash_side
from gyle.decide.salt_matrix import BALANCE
from gyle.decide.salt_problem import INFINITE, Choice, Problem, Volumes
from gyle.decide.salt_words import listed
from gyle.decide.salts import best_doses, left_out
from gyle.decide.treatment_problem import Shelf, kept_as_it_is, problem_of, usual_shelf
from gyle.decide.wanted import Wanted, as_wanted, wanted_by
from gyle.errors import BadInput, Infeasible
from gyle.line.amounts import Amounts
from gyle.line.beliefs import water_of
from gyle.line.ensemble import Ensemble

__all__ = [
    "Treatment",
    "forget",
    "treat",
    "treat_alone",
    "treats",
    "wants_water",
]

WORTH_DILUTING = 1.0  # tolerances; a worst miss below it needs no second water
CLEARLY = 1.0  # and one must do so much better than the other
WORTH_SAYING = 0.3  # a worst miss below it needs no reasons
TRIFLE_STEPS, TRIFLE_MISS = 10.0, 0.15  # a salt of so few steps of the scale is left out where that costs no more
TREATED_PLACES = ("mash", "sparge")
ACID_PH = 5.4  # where acids are reckoned when no mash is


@attrs.frozen(kw_only=True, eq=False)
class Treatment:
    """What to do to a water, and what comes of it.

    Parameters
    ----------
    source : Water
        The water as it comes, ready to be used.
    wanted : Wanted
        The ions and the ratio asked for.
    problem, choice : Problem, Choice
        What was solved, and the doses with the proof.
    shelf : Shelf
        What was at hand.
    lines : tuple of OtherLine
        The doses as lines of a recipe, for the whole volume.
    aimed_ph : float or None
        The mash pH that was one of the wishes.
    reckoned_ph : float or None
        The mash pH these doses come to by the balance they were chosen on, straight in every dose.
    notes : tuple of str
        What a brewer should know of it.
    """

    source: Water
    wanted: Wanted
    problem: Problem
    choice: Choice
    shelf: Shelf
    lines: tuple[OtherLine, ...]
    aimed_ph: float | None = None
    reckoned_ph: float | None = None
    notes: tuple[str, ...] = ()

    @property
    def cautions(self) -> tuple[str, ...]:
        """How to handle what is dosed."""
        return handling_of(line.mineral for line in self.lines if line.mineral is not None)

    def applied(self, recipe: Recipe) -> Recipe:
        """The recipe with these doses in the place of whatever treated its water before."""
        others = tuple(line for line in recipe.others if not treats(line))
        share = self.choice.dilution_share or recipe.dilution_share
        return attrs.evolve(recipe, others=(*others, *self.lines), dilution_share=share)


def treats(line: OtherLine) -> bool:
    """Whether a line treats the liquor."""
    return line.mineral is not None and line.at.stage in TREATED_PLACES


def wants_water(recipe: Recipe) -> bool:
    """Whether a recipe asks for ions or a mash pH."""
    return bool(wanted_by(recipe)) or recipe.aim("mash.ph") is not None


def treat(
    recipe: Recipe,
    house: Brewhouse,
    amounts: Amounts,
    inputs: Ensemble,
    *,
    shelf: Shelf | None = None,
    wanted_mg_L: Wanted | Mapping[str, float] | None = None,
    ph: float | None = None,
    lean: float = 0.0,
    dilute: bool = True,
) -> Treatment:
    """Choose the doses for a beer.

    Parameters
    ----------
    recipe, house, amounts : Recipe, Brewhouse, Amounts
        The beer, where it is brewed with which water, and its volumes and grist.
    inputs : Ensemble
        The centre line's inputs.
    shelf : Shelf, optional
        What is at hand; else the salts most brewers have and lactic acid.
    wanted_mg_L : Wanted or mapping of str to float, optional
        What is wanted in the place of the recipe's ions; a mapping is one amount of each.
    ph : float, optional
        The mash pH wanted, in the place of the recipe's.
    lean : float
        By how much the mean of the simulated mashes lies above the straight balance that the doses are chosen on.
    dilute : bool
        Whether reverse osmosis water may take a part, where the tap's own cannot be brought near enough.

    Returns
    -------
    Treatment
        The doses, with what they come to and whether that is proven best.

    Raises
    ------
    Infeasible
        If no doses keep every limit; names those that stand against each other.
    """
    wanted = wanted_by(recipe) if wanted_mg_L is None else as_wanted(wanted_mg_L)
    dilute = dilute and not recipe.dilution_share  # a share that the file states stays
    aim = mash_aim(recipe, ph)
    mash = mash_side(recipe, house, amounts, inputs, attrs.evolve(aim, ph=aim.ph - lean))
    volumes = Volumes(mash_L=max(float(amounts.liquor_L[0]), 0.1), sparge_L=_after_the_first(amounts))
    found = _treated(water_of(recipe, house), volumes, wanted, shelf, mash, dilute=dilute, gyles=recipe.gyles)
    return attrs.evolve(found, aimed_ph=None if mash is None or aim.either_way else aim.ph)


def treat_alone(
    water: Water,
    volume_L: float,
    wanted_mg_L: Wanted | Mapping[str, float],
    *,
    shelf: Shelf | None = None,
    dilute: bool = True,
) -> Treatment:
    """Choose the doses for a volume of water by itself, without a mash; raises as `treat` does."""
    return _treated(water, Volumes(mash_L=volume_L), as_wanted(wanted_mg_L), shelf, None, dilute=dilute, gyles=1)


def _after_the_first(amounts: Amounts) -> float:
    """All liquor that joins later: sparges, and water for a second mash."""
    whole = float(sum(amounts.sparge_L)) + float(sum(amounts.liquor_L[1:]))
    return whole if whole > 0.05 else 0.0


def _treated(
    water: Water,
    volumes: Volumes,
    wanted: Wanted,
    shelf: Shelf | None,
    mash: MashSide | None,
    *,
    dilute: bool,
    gyles: int,
) -> Treatment:
    if mash is None and not wanted:
        raise BadInput("nothing is wanted of this water: no ions, and no mash whose pH it would be for")
    kept = (shelf or Shelf(minerals=usual_shelf())).for_wish(wanted)
    if mash is not None:
        kept = kept.without_opposites(acid=mash.needs_acid(wanted))
    if kept.pure_water is None and dilute:
        kept = attrs.evolve(kept, pure_water=pure_water())
    undiluted = attrs.evolve(kept, pure_water=None)
    notes: list[str] = []
    best = _solved(water, volumes, wanted, undiluted, mash, notes)
    used = undiluted
    if kept.pure_water is not None and (isinstance(best, Infeasible) or best[1].worst_miss > WORTH_DILUTING):
        thinned: list[str] = []
        second = _solved(water, volumes, wanted, kept, mash, thinned)
        if not isinstance(second, Infeasible) and _worth_diluting(best, second[1]):
            best, used, notes = _least_diluted(*second), kept, thinned
    if isinstance(best, Infeasible):
        raise best
    problem, choice = _without_trifles(*best)
    notes += _said(choice, used)
    if not dilute and choice.worst_miss > WORTH_DILUTING:
        notes.append("another water would come nearer: gyle water tells how much of reverse osmosis water it takes")
    by_name = {mineral.name: mineral for mineral in used.minerals}
    return Treatment(
        source=water,
        wanted=wanted,
        problem=problem,
        choice=choice,
        shelf=used,
        reckoned_ph=_reckoned_ph(mash, choice),
        lines=tuple(_line(by_name[dose.what], dose.into, dose.amount * gyles) for dose in choice.doses),
        notes=tuple(notes),
    )


_LONG_NUMBER = re.compile(r"\d+\.\d{6,}(?:e[-+]\d+)?")


@attrs.frozen
class _Asked:
    """A problem that is known again by all it says, to nine digits: a search that moved nothing leaves less."""

    problem: Problem = attrs.field(eq=False)
    text: str = attrs.field(init=False)

    def __attrs_post_init__(self) -> None:
        said = _LONG_NUMBER.sub(lambda number: f"{float(number[0]):.9g}", repr(self.problem))
        object.__setattr__(self, "text", said)


@functools.lru_cache(maxsize=128)
def _answered(asked: _Asked) -> Choice:
    return best_doses(asked.problem)


def _best(problem: Problem) -> Choice:
    """The best doses; most edits of a recipe leave its water's problem as it was. Raises as `best_doses` does."""
    return _answered(_Asked(problem))


def forget() -> None:
    """Forget every answer, so that a problem met before is solved again."""
    _answered.cache_clear()


def _reckoned_ph(mash: MashSide | None, choice: Choice) -> float | None:
    if mash is None or choice.mash_balance_mEq is None or mash.buffering_mEq <= 0.0:
        return None
    return mash.aim.ph + choice.mash_balance_mEq / mash.buffering_mEq


def _said(choice: Choice, shelf: Shelf) -> list[str]:
    """What a brewer should know of a choice: wishes that cannot be, a second water, and why a pH is missed."""
    said = []
    if choice.charge_gap and choice.worst_miss > WORTH_SAYING:
        said.append(choice.charge_gap)
    if choice.dilution_share and shelf.pure_water is not None:
        said.append(
            f"the tap's water alone does not come near enough: {100.0 * choice.dilution_share:.0f} % of all liquor is"
            f" {shelf.pure_water.name} water"
        )
    off = next((miss.scaled for miss in choice.misses if miss.what == BALANCE), 0.0)
    if off > WORTH_DILUTING and choice.at_limits:
        tasted = [one for one in choice.at_limits if one.startswith(("lactate", "citrate"))]
        other = "; phosphoric acid leaves no such taste" if tasted else ""
        bounds = listed(tasted or list(choice.at_limits))
        said.append(f"the mash pH is not met, because there is no room beyond {bounds}{other}")
    return said


def _without_trifles(problem: Problem, choice: Choice) -> tuple[Problem, Choice]:
    """Leave out salts of which little is used and little would be lost: nobody weighs two tenths of a gram gladly."""
    steps = {salt.name: salt.step_units for salt in problem.salts}
    kept: set[str] = set()
    while True:
        used = {name: sum(dose.amount for dose in choice.doses if dose.what == name) for name in choice.salts_used}
        few = [name for name, amount in used.items() if amount <= TRIFLE_STEPS * steps[name] and name not in kept]
        if not few:
            return problem, choice
        name = min(few, key=lambda one: used[one] / steps[one])
        kept.add(name)
        fewer = left_out(problem, name)
        try:
            found = _best(fewer)
        except (Infeasible, BadInput):
            continue
        worse = found.worst_miss - max(choice.worst_miss, WORTH_SAYING)
        if worse <= TRIFLE_MISS and found.sum_of_misses - choice.sum_of_misses <= WORTH_SAYING:
            problem, choice = fewer, attrs.evolve(found, charge_gap=choice.charge_gap)


def _worth_diluting(without: tuple[Problem, Choice] | Infeasible, diluted: Choice) -> bool:
    """Whether a second water brings the wish within reach, or clearly nearer."""
    if isinstance(without, Infeasible):
        return True
    return diluted.worst_miss < max(without[1].worst_miss - CLEARLY, min(WORTH_DILUTING, without[1].worst_miss))


def _least_diluted(problem: Problem, choice: Choice) -> tuple[Problem, Choice]:
    """Of all that come as near, to within a little, take what asks for the least of the second water."""
    dilution = problem.dilution
    assert dilution is not None
    gap = choice.charge_gap  # with as much of the second water as one likes
    enough = max(WORTH_DILUTING / 2.0, choice.worst_miss + CLEARLY / 4.0)
    low, high = 0, round(choice.dilution_share / dilution.step_share)
    while high - low > 1:
        middle = (low + high) // 2
        less = attrs.evolve(problem, dilution=attrs.evolve(dilution, most_share=middle * dilution.step_share))
        try:
            found = _best(less)
        except Infeasible:
            low = middle
            continue
        if found.worst_miss > enough:
            low = middle
        else:
            high, problem, choice = round(found.dilution_share / dilution.step_share), less, found
    return problem, attrs.evolve(choice, charge_gap=gap)


def _solved(
    water: Water,
    volumes: Volumes,
    wanted: Wanted,
    shelf: Shelf,
    mash: MashSide | None,
    notes: list[str],
) -> tuple[Problem, Choice] | Infeasible:
    """Solve; where the usual span of pH cannot be kept, come as near to its middle as can be."""
    refusal = Infeasible("")
    for soft in (False, True) if mash is not None and mash.aim.either_way else (False,):
        side = mash
        if soft and mash is not None:
            side = attrs.evolve(mash, aim=MashAim(ph=mash.aim.ph, either_way=0.0))
        acid_ph = ACID_PH if side is None else side.aim.ph
        try:
            ions_alone = INFINITE
            if side is not None and wanted and not side.aim.either_way:
                alone = problem_of(water, volumes, wanted, shelf, mash=None, acid_ph=acid_ph)
                ions_alone = _best(alone).worst_miss
            problem = problem_of(
                water,
                volumes,
                wanted,
                shelf,
                mash=None if side is None else side.balance(shelf.offered, shelf.pure_water),
                acid_ph=acid_ph,
                most_over=ions_alone,
            )
            if not wanted:
                problem = kept_as_it_is(problem)
            choice = _best(problem)
        except Infeasible as fault:
            refusal = fault
            continue
        if soft:
            notes.append(f"a mash pH in the usual span cannot be had with what is at hand: {refusal}")
        return problem, choice
    return refusal


def _line(mineral: Mineral, into: str, amount: float) -> OtherLine:
    """A dose as a line of a recipe."""
    at = Timing(stage=into)
    if mineral.unit == "mL":
        return OtherLine(what=mineral.name, at=at, volume_L=amount / 1000.0, mineral=mineral)
    return OtherLine(what=mineral.name, at=at, mass_kg=amount / 1000.0, mineral=mineral)


def pure_water() -> Water:
    """Reverse osmosis water."""
    found = bought_water("reverse osmosis")
    assert found is not None
    return found
