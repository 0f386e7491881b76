"""Where a figure comes from: equations with references, and the inputs that move it."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pytest

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import Recipe
from gyle.decide.plan import Plan, plan
from gyle.decide.sources import sources
from gyle.errors import BadInput


@pytest.fixture(scope="module")
def porter(cards: Mapping[str, Recipe], houses: Mapping[str, Brewhouse]) -> Plan:
    return plan(cards["ropewalk"], houses["lantern-street-48"])


def test_every_figure_of_a_plan_can_be_explained(porter: Plan) -> None:
    unsourced = {"line.minutes", "keg.volume", "keg.left_over", "fermenter.volume", "mash.ph", "mash.volume"}
    for name in porter.figures:
        found = sources(porter.brew, name)
        assert found.words, name
        for equation in found.equations:
            assert equation.does, equation.name
            assert equation.references, equation.name
        assert found.equations or name in unsourced | {"mash.thickness", "lauter.bed_kg"}, name


@pytest.mark.parametrize(
    ("figure", "mover"),
    [
        ("kettle.end.volume", "brewhouse.boil_off"),
        ("glass.bitterness_tinseth", "lot.fuggle.alpha"),
        ("glass.colour", "model.colour"),
        ("keg.pressure", "model.co2_solubility"),
        ("lauter.efficiency", "brewhouse.sparge_bypass"),
    ],
)
def test_the_input_one_would_expect_moves_a_figure(porter: Plan, figure: str, mover: str) -> None:
    movers = sources(porter.brew, figure).movers
    assert mover in [one.name for one in movers]
    assert all(0.0 <= one.share <= 1.0 for one in movers)
    assert [one.share for one in movers] == sorted((one.share for one in movers), reverse=True)


def test_a_push_is_what_one_spread_does(porter: Plan) -> None:
    found = next(one for one in sources(porter.brew, "kettle.end.volume").movers if one.name == "brewhouse.boil_off")
    # One hour's boil: a litre an hour more is a litre less.
    assert found.push == pytest.approx(-float(np.std(porter.brew.inputs["brewhouse.boil_off"])), rel=0.1)


@pytest.mark.faults
def test_a_figure_there_is_not_offers_near_names(porter: Plan) -> None:
    with pytest.raises(BadInput, match=r"is not a figure of this plan; near names are .*fermenter\.final_gravity"):
        sources(porter.brew, "fermenter.final_gravty")
    with pytest.raises(BadInput):
        sources(porter.brew, "x" * 5000)
