"""Each limit of a brewhouse, one at a time made just too small."""

from __future__ import annotations

from collections.abc import Mapping

import attrs
import pytest

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import Recipe
from gyle.decide.fit import Check, checks
from gyle.decide.plan import Plan, plan


@pytest.fixture(scope="module")
def porter(cards: Mapping[str, Recipe], houses: Mapping[str, Brewhouse]) -> Plan:
    return plan(attrs.evolve(cards["ropewalk"], into="keg", volume_L=17.0), houses["lantern-street-48"])


def limit(plan_: Plan, house: Brewhouse, what: str) -> Check:
    return next(check for check in checks(plan_.recipe, house, plan_.brew) if check.what == what)


@pytest.mark.parametrize(
    ("what", "figure", "small"),
    [
        ("mash vessel", "mash_vessel_L", 15.0),
        ("grain", "grain_limit_kg", 4.0),
        ("kettle", "kettle_vessel_L", 25.0),
        ("fermenter", "fermenter_vessel_L", 18.0),
        ("keg", "keg_vessel_L", 15.0),
    ],
)
def test_a_vessel_too_small_is_named_with_need_and_room(porter: Plan, what: str, figure: str, small: float) -> None:
    assert limit(porter, porter.brewhouse, what).fits
    tight = limit(porter, attrs.evolve(porter.brewhouse, **{figure: small}), what)
    assert not tight.fits
    assert tight.over > 0.0
    assert tight.needed > tight.room
    assert tight.sentence
    # Room for exactly what is needed is room enough.
    assert attrs.evolve(tight, room=tight.needed).fits
    assert attrs.evolve(tight, room=tight.needed * 0.999).fits is False


def test_a_plan_that_does_not_fit_says_so(cards: Mapping[str, Recipe], houses: Mapping[str, Brewhouse]) -> None:
    found = plan(cards["slack-water"], houses["lantern-street-28"])
    assert not found.fits
    assert found.short_of
    assert all(sentence == sentence.strip() and "\n" not in sentence for sentence in found.short_of)


def test_thickness_is_a_least(porter: Plan) -> None:
    check = limit(porter, porter.brewhouse, "thickness")
    assert not check.at_most
    assert check.fits
    assert not attrs.evolve(check, needed=1.5).fits
    assert attrs.evolve(check, needed=1.5).over == pytest.approx(0.25)
