"""A plan after one edit, begun at the plan before it, and the same plan found anew, against one bare run of the line.

Six beers are each planned, then edited once in every usual way: the mass of a hop, its minutes, a rest's temperature,
a share or mass of the grist, the boil's time, the fermentation's temperature, the volume. The reference is one run of
the beer's day over as many draws with amounts that are given: no plan can cost less. Times are the best of five for
each edit; percentiles are over the edits. What a treated water asks for after an edit is solved anew each time.
"""

from __future__ import annotations

import functools
import statistics
import time
from collections.abc import Iterator
from pathlib import Path

import attrs

from bench.timing import best_s
from gyle.beer.brewhouse import Brewhouse
from gyle.beer.reading import read_brewhouse, read_recipe, read_water
from gyle.beer.recipe import Recipe
from gyle.decide.plan import Plan, plan
from gyle.decide.solve import brewed
from gyle.decide.treatment import forget
from gyle.errors import GyleError
from gyle.line.beliefs import inputs_for

EXAMPLES = Path(__file__).resolve().parents[1] / "examples" / "lantern-street"
BEERS = ("copper-beacon", "signal-lamp", "quiet-harbour", "tram-depot", "ropewalk", "slack-water")
AIM_WARM_RUNS, AIM_MS = 5.0, 45.0  # of the 95th percentile, without water to treat
REPEATS = 5


def edits(recipe: Recipe) -> Iterator[tuple[str, Recipe]]:
    """One edit of each kind that this recipe has room for."""
    for place, hop in enumerate(recipe.hops):
        if hop.mass_kg is not None:
            yield "hop mass", _with_hop(recipe, place, mass_kg=hop.mass_kg * 1.2)
            break
    for place, hop in enumerate(recipe.hops):
        if hop.at.stage == "boil" and hop.at.minutes:
            fewer = attrs.evolve(hop.at, minutes=hop.at.minutes - 5.0)
            yield "hop minutes", _with_hop(recipe, place, at=fewer)
            break
    if recipe.rests:
        first = recipe.rests[0]
        warmer = attrs.evolve(first, temperature_C=(first.temperature_C or 66.0) + 1.0)
        yield "rest temperature", attrs.evolve(recipe, rests=(warmer, *recipe.rests[1:]))
    if (grist := _regristed(recipe)) is not None:
        yield "grist", grist
    yield "boil time", attrs.evolve(recipe, boil_minutes=recipe.boil_minutes + 10.0)
    step = recipe.fermentation[0]
    warmer_step = attrs.evolve(step, temperature_C=step.temperature_C + 1.0)
    yield "fermentation temperature", attrs.evolve(recipe, fermentation=(warmer_step, *recipe.fermentation[1:]))
    if recipe.volume_L is not None:
        yield "volume", attrs.evolve(recipe, volume_L=recipe.volume_L * 1.05)


def _with_hop(recipe: Recipe, place: int, **change: object) -> Recipe:
    hops = list(recipe.hops)
    hops[place] = attrs.evolve(hops[place], **change)  # type: ignore[arg-type]
    return attrs.evolve(recipe, hops=tuple(hops))


def _regristed(recipe: Recipe) -> Recipe | None:
    """Two points of the first line's share to the second, or a twentieth more of a stated mass."""
    first, *rest = recipe.grist
    if first.share is not None and rest and rest[0].share is not None:
        moved = (attrs.evolve(first, share=first.share - 0.02), attrs.evolve(rest[0], share=rest[0].share + 0.02))
        return attrs.evolve(recipe, grist=(*moved, *rest[1:]))
    if first.mass_kg is not None:
        return attrs.evolve(recipe, grist=(attrs.evolve(first, mass_kg=first.mass_kg * 1.05), *rest))
    return None


@attrs.frozen(kw_only=True)
class Measured:
    """Times [ms] of one beer: a bare run, a plan anew, one from itself, one after each edit; how far they lie apart."""

    run: float
    anew: float
    unchanged: float
    edited: dict[str, float]
    apart: float  # widest departure from the plan found anew, in widths of a band


def measured(recipe: Recipe, house: Brewhouse) -> Measured:
    """Plan a beer anew, unchanged, and after each edit from the plan before it."""

    def anew() -> None:
        forget()
        plan(recipe, house)

    cold = 1e3 * best_s(anew, repeats=REPEATS)
    before = plan(recipe, house)
    inputs = inputs_for(before.recipe, house)
    bare = functools.partial(brewed, before.recipe, house, before.amounts, inputs)
    run = 1e3 * best_s(bare)
    same = 1e3 * best_s(lambda: plan(recipe, house, start=before), repeats=REPEATS)
    after, apart = {}, 0.0
    for name, edited in edits(recipe):
        try:
            other = plan(edited, house)
        except GyleError:
            continue
        times = []
        for _ in range(REPEATS):
            anew()  # the problem of the water before the edit is known, that of after is not
            start = time.perf_counter()
            plan(edited, house, start=before)
            times.append(1e3 * (time.perf_counter() - start))
        after[name] = min(times)
        run = min(run, 1e3 * best_s(bare, repeats=REPEATS))  # beside what it is held against, while others work too
        apart = max(apart, departure(plan(edited, house, start=before), other))
    return Measured(run=run, anew=cold, unchanged=same, edited=after, apart=apart)


def departure(one: Plan, other: Plan) -> float:
    """The widest that two plans' means lie apart, in widths of the figure's band."""
    widths = {name: band.high - band.low for name, band in other.figures.items()}
    return max(
        abs(one.figures[name].mean - band.mean) / widths[name]
        for name, band in other.figures.items()
        if widths[name] > 1e-6 * abs(band.mean)
    )


def main() -> None:
    """Print a line for each beer, and the percentiles of all edits."""
    house = read_brewhouse(EXAMPLES / "lantern-street-48.toml")
    waters = {"no water": None, "hard water": read_water(EXAMPLES / "water-hard.toml")}
    for title, water in waters.items():
        everything: list[tuple[float, float]] = []
        for beer in BEERS:
            one = measured(read_recipe(EXAMPLES / f"{beer}.toml"), attrs.evolve(house, water=water))
            everything += [(ms / one.run, ms) for ms in one.edited.values()]
            said = ", ".join(f"{name} {ms / one.run:.1f}" for name, ms in one.edited.items())
            print(
                f"  {title}, {beer}, in bare runs of {one.run:.0f} ms: anew {one.anew / one.run:.1f},"
                f" unchanged {one.unchanged / one.run:.1f}; {said}; at most {one.apart:.0e} of a band apart"
            )
        (runs, p95_runs), (ms, p95_ms) = (
            (statistics.median(found), statistics.quantiles(found, n=20)[-1]) for found in zip(*everything, strict=True)
        )
        aims = f" (aims under {AIM_WARM_RUNS:g} runs, {AIM_MS:g} ms)" if water is None else ""
        print(
            f"  {title}, after an edit: median {runs:.1f} runs ({ms:.0f} ms),"
            f" 95 of 100 within {p95_runs:.1f} ({p95_ms:.0f} ms){aims}"
        )


if __name__ == "__main__":
    main()
