"""Ways out side by side: what each costs in time, beer and money, and the one to recommend."""

from __future__ import annotations

import attrs

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.stock import Stock
from gyle.decide.knobs import Knobs, turned
from gyle.decide.lots import cost_of
from gyle.decide.plan import Plan, finished
from gyle.decide.restate import Wish
from gyle.decide.tune import Tuned, tuned
from gyle.decide.ways_out import Attempt
from gyle.errors import Infeasible
from gyle.quantities import write

__all__ = ["Option", "options_of"]

MOST_OPTIONS = 12
NUDGES = 4
LAST = 1e6  # the burden of what does not fit


@attrs.frozen(kw_only=True, eq=False)
class Option:
    """One way out: whether it fits, what it costs, and its plan where it fits.

    `settled` is the proposal with its last turns, as it is taken; `extra_minutes` are against the day at the origin.
    """

    name: str
    fits: bool
    recommended: bool = False
    plan: Plan | None = None
    extra_minutes: float = 0.0
    cost: float | None = None
    currency: str = ""
    short_of: tuple[str, ...] = ()
    why: str = ""
    price: str = ""
    knobs: Knobs = attrs.field(factory=Knobs)
    settled: Tuned | None = None


def burden(knobs: Knobs, wish: Wish, minutes: float) -> float:
    """How much a way out takes from the brewer; ours, to rank by. One is about a spoilt afternoon.

    Beer given up weighs most, then malt replaced, then hours beyond those of the plain brew here; each further knob
    is one more thing to get right.
    """
    extract_g_L = 2600.0 * ((wish.targets.gravity_sg or 1.05) - 1.0)
    turned_on = len(knobs.name.split(" + ")) if knobs != Knobs() else 0
    return (
        4.0 * (1.0 - knobs.volume_share)
        + 5.0 * knobs.sugar_g_L / extract_g_L
        + 2.5 * knobs.malt_extract_g_L / extract_g_L
        + max(minutes, 0.0) / 300.0
        + 0.5 * knobs.top_up_L / max(wish.volume_L, 1e-9)
        + 0.12 * turned_on
        + 0.10 * knobs.squeeze
        + 0.05 * knobs.thick
    )


def options_of(
    wish: Wish,
    house: Brewhouse,
    plain: Attempt,
    tried: list[Attempt],
    *,
    origin_minutes: float,
    stock: Stock | None,
) -> tuple[Option, ...]:
    """Settle what fits with bands, price it, and recommend one.

    `origin_minutes` is the length of the day where the beer is at home: the one there is to compare with.
    """
    if not tried:
        return ()
    base_cost: float | None = None
    if stock is not None and plain.solution is not None:
        recipe, _ = turned(wish, house, Knobs())
        base_cost, _ = cost_of(recipe, plain.solution.amounts, stock)
    found: list[tuple[float, Option]] = []
    for one in tried:
        option = _option(wish, house, one, origin_minutes=origin_minutes, base_cost=base_cost, stock=stock)
        found.append((burden(option.knobs, wish, _longer(option, plain)) if option.fits else LAST, option))
    found.sort(key=lambda pair: pair[0])
    fitting = [option for _, option in found if option.fits]
    best = fitting[0] if fitting else None
    options = []
    for _, option in found[:MOST_OPTIONS]:
        chosen = option is best
        options.append(attrs.evolve(option, recommended=True, why=_why(option, fitting)) if chosen else option)
    return tuple(options)


def _longer(option: Option, plain: Attempt) -> float:
    """Minutes beyond the plain brew here, both on the centre line; to rank by."""
    if option.settled is None or plain.solution is None:
        return 0.0
    with_it, without = option.settled.solution.centre, plain.solution.centre
    return float(with_it.figures["line.minutes"][0] - without.figures["line.minutes"][0])


def _option(
    wish: Wish,
    house: Brewhouse,
    one: Attempt,
    *,
    origin_minutes: float,
    base_cost: float | None,
    stock: Stock | None,
) -> Option:
    name = one.knobs.name
    if not one.fits or one.solution is None:
        return Option(name=name, fits=False, short_of=one.short_of or ("no room to spare",), knobs=one.knobs)
    knobs, start = one.knobs.measurable(wish.volume_L), one.solution.amounts
    for _ in range(NUDGES):
        recipe, targets = turned(wish, house, knobs)
        try:
            settled = tuned(wish, recipe, house, targets, start=start)
        except Infeasible as refusal:
            return Option(name=name, fits=False, short_of=(str(refusal),), knobs=knobs)
        plan = finished(settled.recipe, house, settled.solution, settled.brew)
        if plan.fits:
            break
        knobs, start = _nudged(knobs).measurable(wish.volume_L), settled.solution.amounts
    extra = plan.figures["line.minutes"].mean - origin_minutes
    cost, currency = None, ""
    if stock is not None:
        whole, currency = cost_of(settled.recipe, settled.solution.amounts, stock)
        cost = whole - base_cost if whole is not None and base_cost is not None else None
    return Option(
        name=name,
        fits=plan.fits,
        plan=plan,
        extra_minutes=extra,
        cost=cost,
        currency=currency,
        short_of=plan.short_of,
        price=_price(knobs, wish),
        knobs=knobs,
        # Its plan holds the brew; a second one would be kept as long as the option.
        settled=attrs.evolve(settled, brew=settled.brew.slim()) if plan.fits else None,
    )


def _nudged(knobs: Knobs) -> Knobs:
    """A little further on whatever is turned by degrees: the mean needs a hair more room than the centre line."""
    return attrs.evolve(
        knobs,
        volume_share=knobs.volume_share * (0.99 if knobs.volume_share < 1.0 else 1.0),
        sugar_g_L=knobs.sugar_g_L * 1.02,
        malt_extract_g_L=knobs.malt_extract_g_L * 1.02,
        held_back_L=knobs.held_back_L * 1.03,
        top_up_L=knobs.top_up_L * 1.03,
        boil_extra_min=knobs.boil_extra_min * 1.05,
    )


def _price(knobs: Knobs, wish: Wish) -> str:
    parts = []
    if knobs.volume_share < 1.0:
        parts.append(
            f"{write(wish.volume_L * knobs.volume_share, 'volume')} instead of {write(wish.volume_L, 'volume')}"
        )
    if knobs.sugar_g_L > 0.0:
        parts.append(f"{write(knobs.sugar_g_L * wish.volume_L / 1000.0, 'mass')} more sugar, a drier beer less of malt")
    if knobs.malt_extract_g_L > 0.0:
        extract = write(knobs.malt_extract_g_L * wish.volume_L / 1000.0, "mass")
        parts.append(f"{extract} of malt extract, not of your own mash")
    if knobs.top_up_L > 0.0:
        parts.append(
            f"{write(knobs.top_up_L, 'volume')} of water after the boil, which must be clean and low in oxygen"
        )
    if knobs.squeeze:
        parts.append("hot, heavy work and cloudier wort")
    if knobs.gyles > 1:
        parts.append("the whole day again")
    if knobs.held_back_L > 0.0:
        parts.append(f"{write(knobs.held_back_L, 'volume')} to keep hot meanwhile")
    return ", ".join(parts) or "time and care"


def _why(best: Option, fitting: list[Option]) -> str:
    knobs = best.knobs
    if knobs.volume_share == 1.0 and knobs.sugar_g_L == 0.0 and knobs.malt_extract_g_L == 0.0:
        reason = "it keeps the whole volume and the beer as it is"
    elif knobs.volume_share == 1.0:
        reason = "it keeps the volume, at some cost in malt"
    else:
        reason = "it keeps the beer as it is, only less of it"
    if len(fitting) > 1:
        reason += f", and asks less than {fitting[1].name}"
    return reason
