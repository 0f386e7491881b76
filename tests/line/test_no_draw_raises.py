"""No draw stops a run: not one of 65,536, and none at the far ends of what is physically possible."""

from __future__ import annotations

import math

import attrs
import numpy as np
import pytest
from brewing import Amounts, amounts_for, brewed, brewhouses, grain, hop, pitched, recipes
from hypothesis import given, settings
from hypothesis import strategies as st
from waters import HARD, dosed

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.estimate import Estimate
from gyle.beer.kinds import unstated_brewhouse
from gyle.beer.recipe import FermentationStep, GristLine, Recipe, Rest
from gyle.beer.timing import Timing
from gyle.decide.plan import plan
from gyle.line.beliefs import dissolve, inputs_for, water_of
from gyle.line.brew import Brew
from gyle.line.day import day
from gyle.line.ensemble import Ensemble
from gyle.line.run import run
from gyle.science.atmosphere import pressure_Pa, water_boiling_temperature_C
from gyle.science.evaporation import evaporation_bound_L_h

MANY = 65_536


def assert_all_finite(brew: Brew) -> None:
    for name, values in brew.figures.items():
        assert np.isfinite(values).all(), name


@pytest.mark.parametrize("house", ["lantern-street-48", "lantern-street-28", "kitchen-bag"])
@pytest.mark.parametrize("card", ["copper-beacon", "signal-lamp", "ropewalk", "slack-water"])
def test_65536_draws_of_every_card_on_every_brewhouse(card: str, house: str, cards, houses) -> None:  # type: ignore[no-untyped-def]
    recipe, where = cards[card], houses[house]
    # A volume every brewhouse could at least try, so that all four are brewed everywhere.
    gravity = {"copper-beacon": 6.0, "signal-lamp": 6.0}.get(card, 9.0)
    small = attrs.evolve(recipe, volume_L=gravity if house == "kitchen-bag" else 12.0)
    scale = (small.volume_L or 1.0) / (recipe.volume_L or 1.0)
    grist = tuple(
        attrs.evolve(line, mass_kg=line.mass_kg * scale) if line.mass_kg is not None else line for line in recipe.grist
    )
    made = plan(attrs.evolve(small, grist=grist), where, draws=16)
    assert_all_finite(brewed(made.recipe, where, made.amounts, draws=MANY))


def test_65536_draws_of_an_unstated_brewhouse_and_a_double_mash() -> None:
    recipe = Recipe(
        name="twice",
        grist=(
            grain("pale ale malt"),
            grain("flaked oats"),
            grain("pale ale malt", mash=2),
            GristLine(what="sucrose", ingredient=grain("sucrose").ingredient, at=Timing(stage="ferment", day=3.0)),
        ),
        rests=(
            Rest(temperature_C=52.0, minutes=10.0),
            Rest(temperature_C=66.0, minutes=60.0, by="infusion"),
            Rest(temperature_C=72.0, minutes=20.0, by="decoction"),
        ),
        hops=(
            hop("Magnum", Timing(stage="first wort")),
            hop("Cascade", Timing(stage="stand", temperature_C=80.0, minutes=20.0), vessel="hop vessel"),
            hop("Cascade", Timing(stage="dry", day=3.0, contact_days=4.0)),
        ),
        yeasts=(pitched("wine yeast", attenuation=0.9),),
        fermentation=(FermentationStep(temperature_C=20.0, days=10.0),),
        others=(
            dosed("lactic acid 80 %", grams=8.0),
            dosed("slaked lime", Timing(stage="mash", mash=2), grams=3.0),
            dosed("phosphoric acid 10 %", Timing(stage="sparge"), grams=60.0),
            dosed("gypsum", Timing(stage="boil", minutes=60.0), grams=6.0),
        ),
    )
    amounts = Amounts(
        grist_kg=(5.0, 1.0, 4.0, 2.0), hops_kg=(0.05, 0.2, 0.3), liquor_L=(20.0, 0.5), sparge_L=(4.0, 6.0)
    )
    for water in (None, HARD):
        house = attrs.evolve(unstated_brewhouse(20.0), water=water)
        assert_all_finite(brewed(recipe, house, amounts, draws=MANY))


def _far_out(belief: Estimate, sigmas: float) -> float:
    """A value so many standard deviations off, inside the physical range."""
    spread = math.hypot(belief.spread, belief.each_time)
    value = belief.centre * math.exp(sigmas * spread) if belief.log else belief.centre + sigmas * spread
    return min(max(value, belief.low), belief.high)


def _pushed(inputs: Ensemble, recipe: Recipe, house: Brewhouse, sigmas: list[float]) -> None:
    """Set every input anew, each draw its own many sigmas away from the centre."""
    generator = np.random.default_rng(abs(hash(tuple(sigmas))) % 2**32)
    for name, belief in inputs.beliefs.items():
        own = generator.permutation(np.array(sigmas))
        inputs.derive(name, np.array([_far_out(belief, sigma) for sigma in own]))
    dissolve(inputs, water_of(recipe, house))
    station_Pa = pressure_Pa(house.altitude_m) + inputs["model.weather_Pa"]
    inputs.derive("brewhouse.boiling_water", water_boiling_temperature_C(station_Pa))
    power = inputs["brewhouse.power"] * inputs["brewhouse.heat_efficiency"]
    inputs.derive("brewhouse.boil_off_bound", evaporation_bound_L_h(power, station_Pa))
    inputs.derive("brewhouse.boil_off_wished", inputs["brewhouse.boil_off"])
    inputs.derive("brewhouse.boil_off", inputs["brewhouse.boil_off"].clip(max=inputs["brewhouse.boil_off_bound"]))


@settings(max_examples=120)
@given(
    st.data(),
    recipes(),
    brewhouses(),
    st.lists(st.sampled_from((-12.0, -5.0, -3.0, 0.0, 3.0, 5.0, 12.0)), min_size=8, max_size=8),
)
def test_inputs_many_sigmas_out_stop_no_run(
    data: st.DataObject, recipe: Recipe, house: Brewhouse, sigmas: list[float]
) -> None:
    amounts = data.draw(amounts_for(recipe))
    inputs = inputs_for(recipe, house, draws=8)
    _pushed(inputs, recipe, house, sigmas)
    assert_all_finite(run(day(recipe, house, amounts), inputs, hop_additions=len(recipe.hops)))


@settings(max_examples=60)
@given(st.data(), recipes(), brewhouses())
def test_what_a_search_may_try_stops_no_run(data: st.DataObject, recipe: Recipe, house: Brewhouse) -> None:
    """Candidates of a solver are wild: no water, no grist, a tun full of malt."""
    size = st.sampled_from((1e-6, 0.01, 1.0, 30.0, 200.0))
    amounts = Amounts(
        grist_kg=tuple(data.draw(size) for _ in recipe.grist),
        hops_kg=tuple(data.draw(size) / 30.0 for _ in recipe.hops),
        liquor_L=tuple(data.draw(size) for _ in range(2)),
        sparge_L=tuple(data.draw(size) for _ in range(2)),
    )
    for draws in (1, 4):
        assert_all_finite(brewed(recipe, house, amounts, draws=draws))
