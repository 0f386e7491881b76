"""When an equation is handed nonsense all the same, the person hears one sentence and nothing is planned."""

from __future__ import annotations

from collections.abc import Mapping

import attrs
import numpy as np
import pytest

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.estimate import Estimate
from gyle.beer.recipe import Recipe
from gyle.decide.plan import plan
from gyle.errors import GyleError, Infeasible, OutOfRange

pytestmark = pytest.mark.faults


@pytest.mark.parametrize("value", [np.nan, np.inf, -np.inf])
def test_a_belief_that_is_no_number_cannot_be_held(value: float) -> None:
    with pytest.raises(ValueError, match="finite"):
        Estimate(centre=value)
    with pytest.raises(ValueError, match="finite"):
        Estimate(centre=1.0, spread=value)


def test_a_belief_outside_its_own_range_cannot_be_held() -> None:
    with pytest.raises(ValueError, match="is not between"):
        Estimate(centre=2.0, low=0.0, high=1.0)
    with pytest.raises(ValueError, match="negative"):
        Estimate(centre=2.0, spread=-0.1)
    with pytest.raises(ValueError, match="above zero"):
        Estimate(centre=0.0, log=True)


def test_an_equation_that_fails_midway_leaves_no_plan(
    cards: Mapping[str, Recipe], houses: Mapping[str, Brewhouse], monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise OutOfRange("wort temperature [°C] is 400, which is not between -5 and 120")

    monkeypatch.setattr("gyle.line.kettle.heat_minutes", broken)
    with pytest.raises(GyleError) as refusal:
        plan(cards["ropewalk"], houses["lantern-street-48"])
    assert "\n" not in str(refusal.value)


def test_a_brewhouse_whose_kettle_keeps_everything_is_refused_not_divided_by(
    cards: Mapping[str, Recipe], houses: Mapping[str, Brewhouse]
) -> None:
    greedy = attrs.evolve(
        houses["lantern-street-48"],
        left_behind_L=Estimate(centre=400.0, spread=50.0, low=0.0, high=1000.0),
    )
    with pytest.raises(Infeasible, match=r"1\.102"):
        plan(cards["copper-beacon"], greedy)
    # With stated masses the water is found, and the beer is as weak as that makes it.
    weak = plan(attrs.evolve(cards["ropewalk"], volume_L=5.0), greedy)
    assert weak.figures["fermenter.original_gravity"].mean < 1.010
