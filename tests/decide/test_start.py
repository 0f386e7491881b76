"""A plan that starts from another is the same plan: the same amounts, figures, misses and refusals."""

from __future__ import annotations

import functools
import re
from pathlib import Path

import attrs
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.reading import read_brewhouse, read_recipe, read_water
from gyle.beer.recipe import Aim, GristLine, Recipe
from gyle.beer.timing import Timing
from gyle.decide.plan import NEAR, Plan, plan
from gyle.decide.solve import solve
from gyle.decide.targets import targets_of
from gyle.errors import GyleError

SHARE_OF_BAND = 1e-3  # plans of one recipe lie no further apart than this
SHARE_OF_AMOUNT = 5e-5
DRAWS = 256
LANTERN_STREET = Path(__file__).parents[2] / "examples" / "lantern-street"
BEERS = ("copper-beacon", "signal-lamp", "quiet-harbour", "tram-depot", "ropewalk", "slack-water")
HOUSES = {
    name: read_brewhouse(LANTERN_STREET / f"{name}.toml")
    for name in ("lantern-street-48", "lantern-street-28", "kitchen-bag")
}
HOUSE = HOUSES["lantern-street-48"]


@functools.cache
def before(beer: str) -> Plan:
    """The plan before any edit."""
    return plan(read_recipe(LANTERN_STREET / f"{beer}.toml"), HOUSE, draws=DRAWS)


def assert_same_plan(warm: Plan, cold: Plan) -> None:
    assert warm.figures.keys() == cold.figures.keys()
    for name, band in cold.figures.items():
        apart = max(SHARE_OF_BAND * (band.high - band.low), SHARE_OF_AMOUNT * max(abs(band.mean), 0.01))
        for part in ("mean", "low", "high", "median"):
            assert abs(getattr(warm.figures[name], part) - getattr(band, part)) <= apart, (name, part)
    assert [miss.figure for miss in warm.misses] == [miss.figure for miss in cold.misses]
    assert [check.fits for check in warm.checks] == [check.fits for check in cold.checks]
    assert [_without_numbers(note) for note in warm.notes] == [_without_numbers(note) for note in cold.notes]
    for part in ("grist_kg", "hops_kg", "liquor_L", "sparge_L"):
        ours, theirs = getattr(warm.amounts, part), getattr(cold.amounts, part)
        assert ours == pytest.approx(theirs, rel=SHARE_OF_AMOUNT, abs=1e-6), part


def _without_numbers(note: str) -> str:
    """A note without its numbers, whose last digit may differ."""
    return re.sub(r"\d+", "#", note)


KINDS = (
    *("hop mass", "hop minutes", "hop more", "hop new", "hop less", "malt", "malt more", "malt less"),
    *("rest", "rest minutes", "boil", "cellar", "volume", "aim", "bitterness"),
)


def edited(recipe: Recipe, kind: str, by: float) -> Recipe:
    """The recipe after a change of a kind that a page makes; `by` is nought to one."""
    hops = list(recipe.hops)
    place = int(by * (len(hops) - 1))
    line = hops[place]
    if kind == "hop mass" and line.mass_kg is not None:
        hops[place] = attrs.evolve(line, mass_kg=line.mass_kg * (0.5 + 1.5 * by))
    elif kind == "hop minutes" and line.at.stage == "boil":
        hops[place] = attrs.evolve(line, at=attrs.evolve(line.at, minutes=5.0 + by * (recipe.boil_minutes - 5.0)))
    elif kind in ("hop more", "hop new"):
        late = Timing(stage="boil", minutes=20.0)
        more = attrs.evolve(line, at=late, mass_kg=0.02, rate_g_L=None, bitterness_ibu=None)
        hops.insert(0 if kind == "hop new" else len(hops), more)
    elif kind == "hop less" and len(hops) > 1:
        del hops[place]
    rest = attrs.evolve(recipe.rests[0], temperature_C=62.0 + 9.0 * by)
    longer = attrs.evolve(recipe.rests[-1], minutes=20.0 + 70.0 * by)
    step = attrs.evolve(recipe.fermentation[0], temperature_C=16.0 + 6.0 * by)
    changes: dict[str, dict[str, object]] = {
        "malt": {"grist": _malted(recipe, kind, by)},
        "malt more": {"grist": _malted(recipe, kind, by)},
        "malt less": {"grist": _malted(recipe, kind, by)},
        "rest": {"rests": (rest, *recipe.rests[1:])},
        "rest minutes": {"rests": (*recipe.rests[:-1], longer)},
        "boil": {"boil_minutes": 60.0 + 60.0 * by},
        "cellar": {"fermentation": (step, *recipe.fermentation[1:])},
        "volume": {"volume_L": recipe.volume_L and recipe.volume_L * (0.7 + 0.5 * by)},
        "aim": {"aims": _aimed(recipe, "fermenter.original_gravity", 0.8 + 0.25 * by)},
        "bitterness": {"aims": _aimed(recipe, "glass.bitterness_tinseth", 0.2 + by)},
    }
    return attrs.evolve(recipe, **changes.get(kind, {"hops": tuple(hops)}))  # type: ignore[arg-type]


def _malted(recipe: Recipe, kind: str, by: float) -> tuple[GristLine, ...]:
    """The grist with its first line changed, its last line doubled or left out; shares still make a whole."""
    grist = list(recipe.grist)
    if kind == "malt more":
        grist.append(grist[-1])
    elif kind == "malt less" and len(grist) > 2:
        del grist[1 + int(by * (len(grist) - 2))]
    elif kind == "malt" and grist[0].mass_kg is not None:
        grist[0] = attrs.evolve(grist[0], mass_kg=grist[0].mass_kg * (0.8 + 0.4 * by))
    elif kind == "malt" and grist[0].share is not None:
        grist[0] = attrs.evolve(grist[0], share=grist[0].share * (0.8 + 0.4 * by))
    whole = sum(line.share or 0.0 for line in grist)
    return tuple(line if line.share is None else attrs.evolve(line, share=line.share / whole) for line in grist)


def _aimed(recipe: Recipe, figure: str, times: float) -> tuple[Aim, ...]:
    """The aims with one of them changed; of a gravity, its points."""
    zero = 1.0 if figure == "fermenter.original_gravity" else 0.0
    return tuple(
        attrs.evolve(aim, value=zero + (aim.value - zero) * times) if aim.figure == figure else aim
        for aim in recipe.aims
    )


def refused(recipe: Recipe, start: Plan | None = None, house: Brewhouse = HOUSE) -> Plan | str:
    """The plan, or the sentence that refuses it."""
    try:
        return plan(recipe, house, draws=DRAWS, start=start)
    except GyleError as refusal:
        return str(refusal)


@settings(max_examples=60)
@given(
    st.sampled_from(BEERS),
    st.lists(st.tuples(st.sampled_from(KINDS), st.floats(0.0, 1.0)), min_size=1, max_size=3),
)
def test_an_edit_planned_from_the_plan_before_it_is_the_plan_found_anew(
    beer: str, steps: list[tuple[str, float]]
) -> None:
    recipe = before(beer).recipe
    for kind, by in steps:
        recipe = edited(recipe, kind, by)
    cold, warm = refused(recipe), refused(recipe, before(beer))
    if isinstance(cold, str) or isinstance(warm, str):
        assert warm == cold
    else:
        assert_same_plan(warm, cold)


@settings(max_examples=12)
@given(st.sampled_from(BEERS), st.data())
def test_twenty_edits_in_a_row_end_where_the_last_text_does(beer: str, data: st.DataObject) -> None:
    """Each edit starts from the plan before it, one of them on another brewhouse; a refused edit changes nothing."""
    latest, house = before(beer), HOUSE
    for number in range(20):
        kind, by = data.draw(st.tuples(st.sampled_from(KINDS), st.floats(0.0, 1.0)))
        if number == 9:
            house = HOUSES[data.draw(st.sampled_from(sorted(HOUSES)))]
        made = refused(edited(latest.recipe, kind, by), latest.slim(), house)
        if isinstance(made, Plan):
            latest = made
    assert_same_plan(latest, plan(latest.recipe, latest.brewhouse, draws=DRAWS))


@pytest.mark.parametrize("other", sorted(HOUSES))
@pytest.mark.parametrize("beer", BEERS)
def test_another_brewhouse_is_planned_from_the_first(beer: str, other: str) -> None:
    recipe, house = before(beer).recipe, HOUSES[other]
    cold, warm = refused(recipe, None, house), refused(recipe, before(beer), house)
    if isinstance(cold, str) or isinstance(warm, str):
        assert warm == cold
    else:
        assert_same_plan(warm, cold)


def test_undoing_an_edit_comes_back_to_the_figures_before_it() -> None:
    first = before("tram-depot")
    there = plan(edited(first.recipe, "boil", 1.0), HOUSE, draws=DRAWS, start=first)
    back = plan(first.recipe, HOUSE, draws=DRAWS, start=there)
    assert there.figures["line.minutes"].mean > first.figures["line.minutes"].mean + 10.0
    assert_same_plan(back, first)


def test_a_start_from_quite_another_beer_leads_to_the_same_plan() -> None:
    for one, other in (("ropewalk", "copper-beacon"), ("copper-beacon", "ropewalk")):
        assert_same_plan(plan(before(one).recipe, HOUSE, draws=DRAWS, start=before(other)), before(one))


def test_what_cannot_be_reached_is_refused_from_anywhere() -> None:
    start = before("copper-beacon")
    strong = tuple(
        attrs.evolve(aim, value=1.190) if aim.figure == "fermenter.original_gravity" else aim
        for aim in start.recipe.aims
    )
    anew = refused(attrs.evolve(start.recipe, aims=strong))
    assert isinstance(anew, str)
    assert "cannot be reached" in anew
    assert refused(attrs.evolve(start.recipe, aims=strong), start) == anew


@pytest.mark.parametrize("beer", BEERS)
@pytest.mark.parametrize("warm", ["anew", "from a start"])
def test_means_meet_the_aims(beer: str, warm: str) -> None:
    start = before(beer) if warm == "from a start" else None
    again = plan(edited(before(beer).recipe, "boil", 0.8), HOUSE, draws=DRAWS, start=start)
    recipe, figures = again.recipe, again.figures
    wanted = targets_of(recipe)
    assert wanted.volume_L is not None
    volume = figures["fermenter.volume"].mean if wanted.into == "fermenter" else again.brew.noted("clear_L").mean()
    assert volume == pytest.approx(wanted.volume_L, rel=NEAR)
    if any(line.share is not None for line in recipe.grist) and wanted.gravity_sg is not None:
        assert figures["fermenter.original_gravity"].mean - 1.0 == pytest.approx(wanted.gravity_sg - 1.0, rel=NEAR)
    solved = any(line.mass_kg is line.rate_g_L is line.bitterness_ibu is None for line in recipe.hops)
    if solved and wanted.bitterness is not None:
        assert figures[wanted.measure].mean == pytest.approx(wanted.bitterness, rel=NEAR)


def test_hops_that_are_too_many_already_leave_the_rest_of_the_plan_alone() -> None:
    """Stated boil hops alone exceed the bitterness: the open ones come to nothing, volume and gravity are met."""
    recipe = before("copper-beacon").recipe
    much = attrs.evolve(recipe.hops[1], mass_kg=0.15, at=Timing(stage="boil", minutes=30.0))
    bitter = attrs.evolve(recipe, hops=(recipe.hops[0], much, recipe.hops[2]))
    plans = []
    for times in (0.5, 0.2):
        asked = attrs.evolve(bitter, aims=_aimed(bitter, "glass.bitterness_tinseth", times))
        cold, warm = plan(asked, HOUSE, draws=DRAWS), plan(asked, HOUSE, draws=DRAWS, start=before("copper-beacon"))
        assert_same_plan(warm, cold)
        assert [miss.figure for miss in cold.misses] == ["glass.bitterness_tinseth"]
        assert cold.amounts.hops_kg[0] < 1e-6
        assert cold.figures["fermenter.volume"].mean == pytest.approx(21.0, rel=NEAR)
        plans.append(cold)
    # From none to some: the open hops come back.
    assert_same_plan(plan(bitter, HOUSE, draws=DRAWS, start=plans[1]), plan(bitter, HOUSE, draws=DRAWS))
    assert plan(bitter, HOUSE, draws=DRAWS, start=plans[1]).amounts.hops_kg[0] > 0.01


def test_hops_by_rate_and_by_their_own_bitterness_are_the_same_from_a_start() -> None:
    recipe = before("copper-beacon").recipe
    first, second, third = recipe.hops
    by_rate = attrs.evolve(second, mass_kg=None, rate_g_L=2.0)
    own = attrs.evolve(first, at=attrs.evolve(first.at, minutes=30.0), bitterness_ibu=12.0)
    mixed = attrs.evolve(recipe, hops=(first, by_rate, third, own))
    found = plan(mixed, HOUSE, draws=DRAWS)
    for start in (before("copper-beacon"), plan(edited(mixed, "volume", 1.0), HOUSE, draws=DRAWS)):
        assert_same_plan(plan(mixed, HOUSE, draws=DRAWS, start=start), found)


def test_doses_found_from_a_start_are_those_found_anew() -> None:
    treated_house = attrs.evolve(HOUSE, water=read_water(LANTERN_STREET / "water-hard.toml"))
    recipe = before("tram-depot").recipe
    start = plan(recipe, treated_house, draws=DRAWS)
    warmer = attrs.evolve(recipe.fermentation[0], temperature_C=20.0)
    edited = attrs.evolve(recipe, fermentation=(warmer, *recipe.fermentation[1:]))
    warm = plan(edited, treated_house, draws=DRAWS, start=start)
    cold = plan(edited, treated_house, draws=DRAWS)
    assert warm.treatment is not None
    assert cold.treatment is not None
    assert warm.treatment.choice.doses == cold.treatment.choice.doses
    assert_same_plan(warm, cold)


def test_a_slim_plan_says_and_starts_as_much() -> None:
    from gyle.decide.sources import sources

    whole = before("copper-beacon")
    slim = whole.slim()
    assert not slim.brew.kept
    assert whole.brew.kept
    assert slim.figures == whole.figures
    assert slim.cautions() == whole.cautions()
    assert [step.move.id for step in slim.steps] == [step.move.id for step in whole.steps]
    assert sources(slim.brew, "glass.bitterness") == sources(whole.brew, "glass.bitterness")
    longer = attrs.evolve(whole.recipe, boil_minutes=80.0)
    assert_same_plan(plan(longer, HOUSE, draws=DRAWS, start=slim), plan(longer, HOUSE, draws=DRAWS))


@pytest.mark.parametrize("beer", BEERS)
def test_a_slim_plan_made_whole_again_is_the_plan_it_was(beer: str) -> None:
    first = before(beer)
    again = first.slim().whole()
    assert first.whole() is first
    assert again.brew.figures.keys() == first.brew.figures.keys()
    for name, draws in first.brew.figures.items():
        np.testing.assert_array_equal(again.brew.figures[name], draws)
    for (move, now), (same, then) in zip(again.brew.kept, first.brew.kept, strict=True):
        assert move == same
        assert now.keys() == then.keys()
        for vessel, held in now.items():
            np.testing.assert_array_equal(held.amounts, then[vessel].amounts)


def test_what_a_recipe_states_is_not_taken_from_the_start() -> None:
    found = before("copper-beacon")
    stated = {place: hop.mass_kg for place, hop in enumerate(found.recipe.hops) if hop.mass_kg is not None}
    assert stated
    other = attrs.evolve(found.amounts, hops_kg=tuple(3.0 * mass for mass in found.amounts.hops_kg))
    again = solve(found.recipe, HOUSE, targets_of(found.recipe), start=other)
    anew = solve(found.recipe, HOUSE, targets_of(found.recipe))
    assert {place: again.amounts.hops_kg[place] for place in stated} == stated
    assert again.amounts.grist_kg == pytest.approx(anew.amounts.grist_kg, rel=1e-6)
    assert again.amounts.hops_kg == pytest.approx(anew.amounts.hops_kg, rel=1e-6)


def test_unknowns_are_settled_together() -> None:
    """Rates, a line's own bitterness, open hops, grist and water: each meets its own wish at once."""
    recipe = before("copper-beacon").recipe
    first, second, third = recipe.hops
    by_rate = attrs.evolve(second, mass_kg=None, rate_g_L=2.0)
    own = attrs.evolve(first, at=attrs.evolve(first.at, minutes=30.0), bitterness_ibu=12.0)
    mixed = attrs.evolve(recipe, hops=(first, by_rate, third, own))
    found = solve(mixed, HOUSE, targets_of(mixed))
    figures, hops = found.centre.figures, found.amounts.hops_kg
    assert figures["fermenter.volume"][0] == pytest.approx(recipe.volume_L, rel=1e-7)
    assert figures["fermenter.original_gravity"][0] == pytest.approx(1.102, abs=1e-8)
    assert figures["glass.bitterness_tinseth"][0] == pytest.approx(55.0, rel=1e-7)
    assert found.centre.noted("tinseth.3")[0] == pytest.approx(12.0, rel=1e-7)
    assert hops[1] == pytest.approx(2.0 * figures["fermenter.volume"][0] / 1000.0, rel=1e-7)
