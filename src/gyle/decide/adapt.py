"""Restate a beer for another brewhouse: its aims hold, what changed is listed, and what does not fit has ways out."""

from __future__ import annotations

from collections.abc import Callable

import attrs

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import Recipe
from gyle.beer.stock import Stock
from gyle.decide.changes import Change, changes_between
from gyle.decide.compare import Option, options_of
from gyle.decide.knobs import Knobs, turned
from gyle.decide.lots import cost_of, pack_notes, with_lots
from gyle.decide.origin import origin_of, with_habit
from gyle.decide.plan import Plan, finished, plan, planned
from gyle.decide.restate import Wish, wish_of
from gyle.decide.rounding import Scale, concrete, measured, rounded
from gyle.decide.solve import Solution, Targets, brewed, solve, targets_of
from gyle.decide.swap import Swap, swapped
from gyle.decide.tune import tuned
from gyle.decide.ways_out import LEAST_VOLUME_SHARE, Attempt, attempt, ways_out
from gyle.errors import BadInput, Infeasible
from gyle.line.beliefs import inputs_for
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
        "NEW for OLD".
    choose : str, optional
        Name of the way out to take, instead of the recommended one.
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
    wish = wish_of(recipe, origin, solution.centre, volume_L=volume_L, into=into)
    notes = list(supposed)
    made: list[Change] = []
    if instead is not None:
        swap = swapped(recipe, instead)
        wish = _with_swap(wish, swap)
        made.extend(
            Change(what=what, before=before, after=f"{after}, {ratio:.3f} times the mass", why=why)
            for what, before, after, ratio, why in swap.lines
        )
    if stock is not None:
        lots, lot_changes, lot_notes = with_lots(wish.recipe, stock)
        wish = attrs.evolve(wish, recipe=lots)
        made.extend(lot_changes)
        notes.extend(lot_notes)

    wish = _leaning(wish, brewhouse)
    plain = attempt(wish, brewhouse, Knobs())
    tried = [] if plain.fits or _fits_plainly(plain) else ways_out(wish, brewhouse, plain, progress=progress)
    options = options_of(wish, brewhouse, plain, tried, stock=stock)
    knobs = _chosen(wish, plain, options, choose)
    proposal, targets = turned(wish, brewhouse, knobs)
    proposal, solved, tuning = tuned(wish, proposal, brewhouse, targets)
    made.extend(tuning)
    unrounded = _stated(recipe, proposal, brewhouse, solved, targets)
    weighed = rounded(proposal, solved.amounts, scale or Scale.spoken())
    stated = _restored(recipe, measured(concrete(proposal, brewhouse, weighed, targets)))
    final = plan(stated, brewhouse)
    if not final.fits and plain.knobs == knobs:
        notes.extend(final.short_of)
    if stock is not None:
        price, currency = cost_of(stated, final.amounts, stock)
        if price is not None:
            notes.append(f"what is weighed out costs {price:.2f} {currency}".rstrip())
    made.extend(changes_between(origin, final, knobs))
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


def _leaning(wish: Wish, house: Brewhouse) -> Wish:
    """Find by how much the centre line must lead the mean on this brewhouse; nothing where it cannot be brewed."""
    recipe, targets = turned(wish, house, Knobs())
    try:
        _, _, shifted = planned(recipe, house, targets)
    except Infeasible:
        return wish
    assert shifted.volume_L is not None
    assert targets.volume_L is not None
    assert shifted.gravity_sg is not None
    assert targets.gravity_sg is not None
    return attrs.evolve(
        wish,
        lean_volume=shifted.volume_L / targets.volume_L,
        lean_gravity=shifted.gravity_sg - targets.gravity_sg,
    )


def _fits_plainly(plain: Attempt) -> bool:
    """Whether it fits without the margin the search keeps."""
    return plain.solution is not None and all(check.fits for check in plain.checks)


def _with_swap(wish: Wish, swap: Swap) -> Wish:
    """Carry a swap's ratios over to what is held."""

    def times(held: tuple[float, ...], ratios: tuple[float, ...]) -> tuple[float, ...]:
        return tuple(one * ratio for one, ratio in zip(held, ratios, strict=True))

    return attrs.evolve(
        wish,
        recipe=swap.recipe,
        beer_g_L=times(wish.beer_g_L, swap.grist_ratio),
        hop_g_L=times(wish.hop_g_L, swap.hop_ratio),
        hop_ibu=times(wish.hop_ibu, swap.hop_bitterness_ratio),
    )


def _chosen(wish: Wish, plain: Attempt, options: tuple[Option, ...], choose: str | None) -> Knobs:
    if choose is not None:
        match = next((one for one in options if one.name.casefold() == choose.strip().casefold()), None)
        if match is None:
            names = "; ".join(one.name for one in options) or "none: it fits as it is"
            raise BadInput(f'--choose "{choose[:60]}" is not one of the ways out, which are: {names}')
        if not match.fits:
            raise Infeasible(f"{match.name} does not fit: {'; '.join(match.short_of)}")
        return match.knobs
    if not options:
        return plain.knobs
    best = next((one for one in options if one.recommended), None)
    if best is None:
        raise Infeasible(
            f"no way out was found for {wish.recipe.name} at {write(wish.volume_L, 'volume')}, nor at any volume"
            f" down to {write(LEAST_VOLUME_SHARE * wish.volume_L, 'volume')}: {'; '.join(plain.short_of)}"
        )
    return best.knobs


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
        f" {1000.0 * moved('fermenter.original_gravity'):+.1f} points, volume by {litres} and bitterness by"
        f" {moved('glass.bitterness'):+.1f} IBU"
    )
