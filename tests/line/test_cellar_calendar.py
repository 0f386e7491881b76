"""Nothing is packaged before it can be stable, nor with hops that still have days to go."""

from __future__ import annotations

from collections.abc import Mapping

import attrs
import pytest
from brewing import Amounts, FermentationStep, GristLine, Recipe, Rest, Timing, brewed, grain, hop, pitched
from hypothesis import given
from hypothesis import strategies as st

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.kinds import default_brewhouse, traits
from gyle.line.cellar_calendar import LEAST_DAYS, cellar_calendar
from gyle.line.words import sentence, worth_saying

DAY_MIN = 1440.0
STABLE = FermentationStep(temperature_C=19.0, stable_days=3.0)
OPEN = FermentationStep(temperature_C=19.0)
HOUSE = default_brewhouse(traits("electric all-in-one", {"kettle_vessel_L": 48.0}), "electric")
AMOUNTS = Amounts(grist_kg=(5.0,), hops_kg=(), liquor_L=(14.0,), sparge_L=(15.0,))


def stated(days: float, *, from_points: float | None = None) -> FermentationStep:
    return FermentationStep(temperature_C=3.0, days=days, from_points_above_final=from_points)


def ale(*steps: FermentationStep, hops: tuple[Timing, ...] = (), **changes: object) -> Recipe:
    plain = Recipe(
        name="ale",
        grist=(grain("pale ale malt"),),
        rests=(Rest(temperature_C=66.0, minutes=60.0),),
        hops=tuple(hop("Cascade", at) for at in hops),
        yeasts=(pitched("clean ale yeast"),),
        fermentation=steps,
    )
    return attrs.evolve(plain, **changes)


def dry(**at: float) -> Timing:
    return Timing(stage="dry", **at)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("steps", "fermented", "packaged"),
    [
        ((), 14.0, 14.0),
        ((OPEN,), 14.0, 14.0),
        ((STABLE,), 14.0, 14.0),
        ((stated(0.0),), 14.0, 14.0),
        ((stated(10.0),), 10.0, 10.0),
        ((stated(7.0), stated(4.0), stated(10.0)), 21.0, 21.0),
        # What is stated comes after it is stable, and does not stand for it.
        ((STABLE, stated(3.0)), 14.0, 17.0),
        ((stated(4.0), STABLE), 14.0, 14.0),
        ((stated(20.0), STABLE), 23.0, 23.0),
        ((stated(4.0), STABLE, stated(2.0), stated(3.0)), 14.0, 19.0),
        # A step that gives way at a gravity has no days of its own; the rest from there is not the whole.
        ((OPEN, attrs.evolve(STABLE, from_points_above_final=4.0)), 14.0, 14.0),
        ((OPEN, stated(3.0, from_points=5.0)), 14.0, 14.0),
        ((OPEN, stated(3.0, from_points=5.0), stated(7.0)), 14.0, 21.0),
        # However few days are stated.
        ((stated(3.0),), 3.0, LEAST_DAYS),
    ],
)
def test_the_days_of_the_steps(steps: tuple[FermentationStep, ...], fermented: float, packaged: float) -> None:
    found = cellar_calendar(ale(*steps))
    assert (found.fermented, found.packaged) == (fermented, packaged)


@pytest.mark.parametrize(
    ("steps", "at", "goes_in", "packaged"),
    [
        ((STABLE,), dry(day=5.0, contact_days=3.0), 4.0, 14.0),
        ((STABLE,), dry(day=12.0, contact_days=5.0), 11.0, 16.0),
        ((stated(7.0),), dry(day=5.0, contact_days=4.0), 4.0, 8.0),
        ((STABLE,), dry(stable_days=3.0), 14.0, 17.0),
        ((STABLE,), dry(stable_days=1.0, contact_days=3.0), 12.0, 15.0),
        ((stated(7.0),), dry(stable_days=3.0, contact_days=4.0), 7.0, 11.0),
        ((stated(21.0),), dry(stable_days=3.0, contact_days=4.0), 14.0, 21.0),
        ((STABLE, stated(3.0)), dry(stable_days=3.0, contact_days=4.0), 14.0, 18.0),
        ((STABLE,), dry(points_above_final=6.0, contact_days=4.0), 7.0, 14.0),
        ((STABLE,), dry(points_above_final=6.0, contact_days=10.0), 7.0, 17.0),
        # Gravity has to stand still after hops, however short they are in.
        ((stated(7.0),), dry(day=7.0, contact_days=0.5), 6.0, 9.0),
        ((STABLE,), Timing(stage="keg"), 14.0, 14.0),
        ((STABLE,), Timing(stage="pitch"), 0.0, 14.0),
    ],
)
def test_hops_have_their_days_before_the_keg(
    steps: tuple[FermentationStep, ...], at: Timing, goes_in: float, packaged: float
) -> None:
    found = cellar_calendar(ale(*steps, hops=(at,)))
    assert found.goes_in(at) == goes_in
    assert found.packaged == packaged


def test_a_late_sugar_ferments_before_the_keg() -> None:
    sugar = GristLine(what="sucrose", ingredient=grain("sucrose").ingredient, at=Timing(stage="ferment", day=13.0))
    plain = ale(STABLE)
    assert cellar_calendar(attrs.evolve(plain, grist=(*plain.grist, sugar))).packaged == 15.0


_STEPS = st.one_of(
    st.just(OPEN),
    st.builds(FermentationStep, temperature_C=st.just(18.0), stable_days=st.floats(0.0, 10.0)),
    st.builds(FermentationStep, temperature_C=st.just(18.0), days=st.floats(0.0, 60.0)),
)
_CONTACT = st.none() | st.floats(0.0, 40.0)
_DRY = st.one_of(
    st.builds(Timing, stage=st.just("dry"), day=st.floats(1.0, 90.0), contact_days=_CONTACT),
    st.builds(Timing, stage=st.just("dry"), points_above_final=st.floats(0.0, 30.0), contact_days=_CONTACT),
    st.builds(Timing, stage=st.just("dry"), stable_days=st.floats(0.0, 30.0), contact_days=_CONTACT),
    st.builds(Timing, stage=st.just("ferment"), day=st.floats(1.0, 90.0)),
    st.sampled_from([Timing(stage="pitch"), Timing(stage="keg")]),
)


@given(st.lists(_STEPS, max_size=4), st.lists(_DRY, max_size=4))
def test_no_keg_is_filled_before_its_time(steps: list[FermentationStep], hops: list[Timing]) -> None:
    recipe = ale(*steps, hops=tuple(hops))
    found = cellar_calendar(recipe)
    assert found.packaged >= found.fermented
    assert found.packaged >= LEAST_DAYS
    assert found.packaged >= sum(step.days or 0.0 for step in steps) - 1e-9
    if any(step.days is None for step in steps):
        assert found.packaged >= 14.0
    for at in hops:
        contact = 0.0 if at.stage == "keg" else at.contact_days or 3.0
        assert found.goes_in(at) + contact <= found.packaged
    # The same of the day as it is laid out, its steps in the order they are begun.
    amounts = attrs.evolve(AMOUNTS, hops_kg=(0.02,) * len(hops))
    brew = brewed(recipe, HOUSE, amounts)
    steps_of = {step.move.id: step for step in brew.steps}
    keg = float(steps_of["keg.fill"].start_min[0])
    pitched_at = float(steps_of["fermenter.ferment"].start_min[0])
    assert keg - pitched_at == pytest.approx(DAY_MIN * found.packaged)
    for step in brew.steps:
        if step.move.process == "dry hop" and step.move.inputs["at"].stage != "keg":
            assert float(step.start_min[0]) + DAY_MIN * step.move.inputs["days"] <= keg + 1e-6


def test_the_words_count_the_same_days(houses: Mapping[str, Brewhouse]) -> None:
    recipe = ale(STABLE, stated(3.0), hops=(dry(stable_days=3.0, contact_days=4.0), Timing(stage="keg")))
    brew = brewed(recipe, houses["lantern-street-48"], attrs.evolve(AMOUNTS, hops_kg=(0.05, 0.02)))
    said = {step.move.id: sentence(step, brew, system="metric") for step in brew.steps if worth_saying(step)}
    assert said["fermenter.ferment"] == "Ferment about 14 days, until stable; 18 days in the fermenter"
    assert said["fermenter.hops.1"] == "Dry hop when gravity has stood still for 3 days: 50 g Cascade for 4 days"
    assert said["fermenter.hops.2"] == "Dry hop in the keg: 20 g Cascade"
