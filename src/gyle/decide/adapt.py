"""Restate a beer for another brewhouse: its aims hold, what changed is listed, and what does not fit has ways out."""

from __future__ import annotations

from collections.abc import Callable

import attrs

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import Recipe
from gyle.beer.stock import Stock
from gyle.decide.acid_dosing import AcidComes
from gyle.decide.acid_exchange import AcidExchange
from gyle.decide.acid_malting import MaltComes
from gyle.decide.changes import Change, changes_between
from gyle.decide.compare import Option, options_of
from gyle.decide.knobs import Knobs, turned
from gyle.decide.lots import cost_of, pack_notes, with_lots
from gyle.decide.origin import origin_of, with_habit
from gyle.decide.plan import Plan, finished, plan, planned
from gyle.decide.restate import Wish, wish_of
from gyle.decide.rounding import Scale, concrete, measured, rounded
from gyle.decide.solve import Solution, Targets, brewed, solve, targets_of
from gyle.decide.swap import Swap, acid_wish_of, swapped
from gyle.decide.treated import treated
from gyle.decide.treatment import Treatment, wants_water
from gyle.decide.treatment_changes import treatment_changes, without_treatment
from gyle.decide.treatment_problem import Shelf, stocked_shelf
from gyle.decide.tune import Tuned, tuned
from gyle.decide.ways_out import LEAST_VOLUME_SHARE, Attempt, attempt, ways_out
from gyle.errors import BadInput, Infeasible
from gyle.line.amounts import Amounts
from gyle.line.beliefs import inputs_for
from gyle.line.brew import Brew
from gyle.quantities import spoken, write

__all__ = ["Adaptation", "adapt"]


@attrs.frozen(kw_only=True, eq=False)
class Adaptation:
    """A beer on two brewhouses.

    `origin` is the plan where its amounts hold, `plan` the one proposed; `recipe` states every proposed amount.
    `unrounded` is the same before a scale's steps.
    """

    origin: Plan
    plan: Plan
    recipe: Recipe
    unrounded: Plan
    changes: tuple[Change, ...]
    options: tuple[Option, ...]
    notes: tuple[str, ...]


def adapt(
    recipe: Recipe,
    brewhouse: Brewhouse,
    *,
    volume_L: float | None = None,
    into: str | None = None,
    stock: Stock | None = None,
    instead: str | None = None,
    choose: str | None = None,
    compared: tuple[Option, ...] | None = None,
    scale: Scale | None = None,
    progress: Callable[[str], None] | None = None,
) -> Adaptation:
    """Restate a recipe for another brewhouse.

    Parameters
    ----------
    recipe : Recipe
        The beer, with amounts that hold on the brewhouse it names, or on an unstated one.
    brewhouse : Brewhouse
        Where it shall be brewed.
    volume_L, into : float and str, optional
        Another volume, and whether it counts into the "fermenter" or into the "keg".
    stock : Stock, optional
        Lots at hand: their alpha acids, packs and prices.
    instead : str, optional
        "NEW for OLD"; acid malt and acids take each other's place at equal mash pH.
    choose : str, optional
        Name of the way out to take, instead of the recommended one.
    compared : tuple of Option, optional
        The ways out of the same wish, compared before; comparing them takes most of the time.
    scale : Scale, optional
        Steps of the brewer's scale.
    progress : callable, optional
        Told what is being tried.

    Returns
    -------
    Adaptation
        The proposal, what changed and why, and the ways out that were compared.

    Raises
    ------
    Infeasible
        If nothing fits, at this volume or any down to a tenth of it; the text says what is short.
    """
    house, supposed = origin_of(recipe)
    brewhouse = with_habit(brewhouse)
    solution, brew, _ = planned(recipe, house)
    origin = finished(recipe, house, solution, brew)
    notes = list(supposed)
    made: list[Change] = []
    acid = _acid_exchange(origin, brewhouse, instead) if instead is not None else None
    told_of = acid.told_of if acid is not None else frozenset()
    treating = brewhouse.water is not None and wants_water(recipe)
    if treating:
        recipe, untreated = without_treatment(recipe)
        made.extend(change for change in untreated if change.what not in told_of)
    wish = wish_of(recipe, origin, solution.centre, volume_L=volume_L, into=into)
    wish, told = _exchanged(wish, recipe, instead, acid)
    made.extend(told)
    if stock is not None:
        lots, lot_changes, lot_notes = with_lots(wish.recipe, stock)
        wish = attrs.evolve(wish, recipe=lots)
        made.extend(lot_changes)
        notes.extend(lot_notes)

    wish = _leaning(wish, brewhouse, origin, solution)
    plain = attempt(wish, brewhouse, Knobs())
    at_home = origin.figures["line.minutes"].mean
    options = _options(wish, brewhouse, plain, at_home, stock, progress) if compared is None else compared
    knobs, settled = _chosen(wish, brewhouse, plain, options, choose)
    proposal, targets, solved = settled.recipe, settled.targets, settled.solution
    made, notes = [*made, *settled.changes], [*notes, *settled.notes]
    if acid is not None and not treating:
        proposal, solved = acid.settled(proposal, solved, targets)
    unrounded = _stated(recipe, proposal, brewhouse, solved, targets)
    weighed = rounded(proposal, solved.amounts, scale or Scale.spoken())
    stated = _restored(recipe, measured(concrete(proposal, brewhouse, weighed, targets)))
    stated, treatment, told, said = _dosed(stated, brewhouse, weighed, acid, treating=treating, stock=stock)
    made.extend(told)
    notes.extend(said)
    final = plan(stated, brewhouse)
    if not final.fits and plain.knobs == knobs:
        notes.extend(final.short_of)
    if stock is not None:
        price, currency = cost_of(stated, final.amounts, stock)
        if price is not None:
            notes.append(f"what is weighed out costs {price:.2f} {currency}".rstrip())
    between = changes_between(
        origin,
        final,
        knobs,
        of_malts=acid.of_malts if acid is not None else "",
        asked_L=volume_L,
        asked_into=into if into != recipe.into else None,
    )
    made.extend(change for change in between if change.what not in told_of)
    made.extend(treatment_changes(treatment) if treatment is not None else ())
    notes.append(_rounding_note(unrounded, final))
    if stock is not None:
        notes.extend(pack_notes(final, stock))
    return Adaptation(
        origin=origin,
        plan=final,
        recipe=stated,
        unrounded=unrounded,
        changes=tuple(made),
        options=options,
        notes=tuple(dict.fromkeys([*notes, *final.notes])),
    )


def _acid_exchange(origin: Plan, house: Brewhouse, instead: str) -> AcidExchange | None:
    """What a wish about the mash's acid exchanges; None for any other wish."""
    asked = acid_wish_of(origin.recipe, instead)
    if asked is None:
        return None
    kind: type[AcidExchange] = AcidComes if asked.malt is None else MaltComes
    return kind.of(asked, origin, house)


def _dosed(
    recipe: Recipe,
    house: Brewhouse,
    amounts: Amounts,
    acid: AcidExchange | None,
    *,
    treating: bool,
    stock: Stock | None,
) -> tuple[Recipe, Treatment | None, list[Change], list[str]]:
    """The restated recipe with what the mash and its water are given on this brewhouse, and what that changes."""
    told: list[Change] = []
    said: list[str] = []
    if acid is not None:
        recipe, told, said = acid.weighed(recipe, amounts, treated=treating)
    if not treating:
        return recipe, None, told, said
    shelf = (acid.shelf if acid is not None else None) or stocked_shelf(stock)
    recipe, treatment = _treated(recipe, house, shelf)
    return recipe, treatment, told, [*said, *treatment.notes]


def _treated(recipe: Recipe, house: Brewhouse, shelf: Shelf | None) -> tuple[Recipe, Treatment]:
    """The restated recipe with this brewhouse's own water brought to what the recipe wants."""
    solution = solve(recipe, house, targets_of(recipe))
    made = treated(recipe, house, solution, shelf=shelf)
    return made.recipe, made.treatment


def _leaning(wish: Wish, house: Brewhouse, origin: Plan, there: Solution) -> Wish:
    """Find by how much the centre line must lead the mean on this brewhouse; nothing where it cannot be brewed."""
    recipe, targets = turned(wish, house, Knobs())
    try:
        here, brew, shifted = planned(recipe, house, targets)
    except Infeasible:
        return wish
    assert shifted.volume_L is not None
    assert targets.volume_L is not None
    assert shifted.gravity_sg is not None
    assert targets.gravity_sg is not None
    # The means of both bitternesses shall stand to each other as they do there; the centre line need not.
    measure = wish.targets.measure
    lean_kinetic = _kinetic_over(measure, there.centre, origin.brew) / _kinetic_over(measure, here.centre, brew)
    return attrs.evolve(
        wish,
        kinetic_ratio=wish.kinetic_ratio * lean_kinetic,
        lean_volume=shifted.volume_L / targets.volume_L,
        lean_gravity=shifted.gravity_sg - targets.gravity_sg,
    )


def _kinetic_over(measure: str, centre: Brew, brew: Brew) -> float:
    """Bitterness by kinetics over another measure of it, by the means, for what it is on the centre line."""
    middle, mean = (
        float(one.figures["glass.bitterness"].mean()) / max(float(one.figures[measure].mean()), 1e-9)
        for one in (centre, brew)
    )
    return mean / middle if middle > 0.0 else 1.0


def _fits_plainly(plain: Attempt) -> bool:
    """Whether it fits without the margin the search keeps."""
    return plain.solution is not None and all(check.fits for check in plain.checks)


def _exchanged(wish: Wish, recipe: Recipe, instead: str | None, acid: AcidExchange | None) -> tuple[Wish, list[Change]]:
    """The wish with one thing in the place of another; an acid is told of once it is weighed."""
    if acid is not None:
        return acid.begun(wish), []
    return (wish, []) if instead is None else _swapped(wish, swapped(recipe, instead))


def _swapped(wish: Wish, swap: Swap) -> tuple[Wish, list[Change]]:
    """Carry a swap's ratios over to what is held, and tell them."""

    def times(held: tuple[float, ...], ratios: tuple[float, ...]) -> tuple[float, ...]:
        return tuple(one * ratio for one, ratio in zip(held, ratios, strict=True))

    told = [
        Change(what=what, before=before, after=f"{after}, {ratio:.3f} times the mass", why=why)
        for what, before, after, ratio, why in swap.lines
    ]
    swapped_wish = attrs.evolve(
        wish,
        recipe=swap.recipe,
        beer_g_L=times(wish.beer_g_L, swap.grist_ratio),
        hop_g_L=times(wish.hop_g_L, swap.hop_ratio),
        hop_ibu=times(wish.hop_ibu, swap.hop_bitterness_ratio),
    )
    return swapped_wish, told


def _options(
    wish: Wish,
    house: Brewhouse,
    plain: Attempt,
    origin_minutes: float,
    stock: Stock | None,
    progress: Callable[[str], None] | None,
) -> tuple[Option, ...]:
    """The ways out, compared; none where none is needed."""
    tried = [] if plain.fits or _fits_plainly(plain) else ways_out(wish, house, plain, progress=progress)
    return options_of(wish, house, plain, tried, origin_minutes=origin_minutes, stock=stock)


def _chosen(
    wish: Wish, house: Brewhouse, plain: Attempt, options: tuple[Option, ...], choose: str | None
) -> tuple[Knobs, Tuned]:
    """How the knobs stand in the way out that is taken, and the proposal with its last turns."""
    taken = _taken(wish, plain, options, choose)
    if taken is not None and taken.settled is not None:
        return taken.knobs, taken.settled
    proposal, targets = turned(wish, house, plain.knobs)
    return plain.knobs, tuned(wish, proposal, house, targets)


def _taken(wish: Wish, plain: Attempt, options: tuple[Option, ...], choose: str | None) -> Option | None:
    """The way out that is chosen, else the recommended one; None where none is needed."""
    if choose is not None:
        match = next((one for one in options if one.name.casefold() == choose.strip().casefold()), None)
        if match is None:
            names = "; ".join(one.name for one in options) or "none: it fits as it is"
            raise BadInput(f'--choose "{choose[:60]}" is not one of the ways out, which are: {names}')
        if not match.fits:
            raise Infeasible(f"{match.name} does not fit: {'; '.join(match.short_of)}")
        return match
    if not options:
        return None
    best = next((one for one in options if one.recommended), None)
    if best is None:
        raise Infeasible(
            f"no way out was found for {wish.recipe.name} at {write(wish.volume_L, 'volume')}, nor at any volume"
            f" down to {write(LEAST_VOLUME_SHARE * wish.volume_L, 'volume')}: {'; '.join(plain.short_of)}"
        )
    return best


def _restored(recipe: Recipe, stated: Recipe) -> Recipe:
    """The author's own aims and words, kept with the new amounts."""
    return attrs.evolve(stated, aims=recipe.aims, printed=recipe.printed, prose=recipe.prose, notes=())


def _stated(recipe: Recipe, proposal: Recipe, house: Brewhouse, solved: Solution, targets: Targets) -> Plan:
    exact = _restored(recipe, concrete(proposal, house, solved.amounts, targets))
    solution = solve(exact, house, targets_of(exact))
    return finished(exact, house, solution, brewed(exact, house, solution.amounts, inputs_for(exact, house)))


def _rounding_note(before: Plan, after: Plan) -> str:
    def moved(name: str) -> float:
        return after.figures[name].mean - before.figures[name].mean

    unit = "gal" if spoken() == "us" else "L"
    litres = write(abs(moved("fermenter.volume")), "volume", unit=unit, digits=2)
    return (
        "rounding to what can be weighed moves original gravity by"
        f" {_tenths(1000.0 * moved('fermenter.original_gravity'))} points, volume by {litres} and bitterness by"
        f" {_tenths(moved('glass.bitterness'))} IBU"
    )


def _tenths(value: float) -> str:
    return f"{value:+.1f}" if abs(value) >= 0.05 else "0.0"
