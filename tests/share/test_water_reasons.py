"""How near a treated water comes, in a brewer's words."""

from __future__ import annotations

import functools
from collections.abc import Mapping

import attrs
import pytest

from gyle.beer.mineral import mineral_of, minerals
from gyle.beer.report_key_words import AddressedPage
from gyle.beer.section import Section
from gyle.beer.water import Water
from gyle.beer.water_reading import water_of
from gyle.decide.salt_words import kinds_words, most_words
from gyle.decide.salts import STEPS
from gyle.decide.treatment_problem import Shelf
from gyle.decide.wanted import Wanted
from gyle.decide.water_work import WaterWork, water_work
from gyle.share.water_limits import bound_of
from gyle.share.water_names import full_name, short_name
from gyle.share.water_reasons import nearness

SOLVERS_TALK = ("miss of", "tolerance", "proven", "bound", "scaled", "heptahydrate", "dihydrate")
GYPSUM, CHLORIDE, EPSOM = "calcium sulfate dihydrate", "calcium chloride dihydrate", "magnesium sulfate heptahydrate"
SOFT = {
    "calcium": 20,
    "magnesium": 5,
    "sodium": 5,
    "sulfate": 10,
    "chloride": 10,
    "alkalinity": "1.0 mmol/l",
    "ph": 7.5,
}


def water(figures: Mapping[str, object]) -> Water:
    page = AddressedPage(dict(figures), "", "w")
    found = water_of(Section(page, page.data))
    assert not page.faults
    return found


@functools.cache
def work(*held: str, most_salts: int | None = 4, **wanted: float) -> WaterWork:
    """Twenty litres without a mash, treated with what is held."""
    shelf = Shelf(minerals=tuple(one for one in minerals() if one.name in held), most_salts=most_salts)
    return water_work(water(SOFT), None, None, wanted_mg_L=Wanted(ions_mg_L=wanted), shelf=shelf, dilute=False)


def told(found: WaterWork, system: str = "metric") -> str:
    near = nearness(found, system=system)
    return " ".join((*near.off, *near.why, *near.helps))


def test_what_is_met_is_said_to_be() -> None:
    near = nearness(work(GYPSUM, CHLORIDE, calcium=70.0, sulfate=100.0, chloride=32.0), system="metric")
    assert "all that is wanted is met" in near.off[-1].casefold()
    assert near.why == near.helps == ()


def test_what_rises_though_nobody_asks_is_told_so() -> None:
    near = nearness(work(GYPSUM, CHLORIDE, sulfate=150.0, chloride=150.0), system="metric")
    assert any("up from 20 in the water as it comes, though nobody asks for more" in one for one in near.off)


def test_nothing_is_said_of_what_nobody_wants() -> None:
    found = water_work(water(SOFT), None, None, dilute=False)
    assert nearness(found, system="metric").off == ()


def test_the_farthest_ion_is_told_in_milligrams_as_the_table_shows_it() -> None:
    found = work(GYPSUM, chloride=120.0)
    near = nearness(found, system="metric")
    assert near.off[0] == "Farthest off is chloride: 10 mg/L where 120 is wanted, 110 mg/L too little."
    assert "Nothing at hand brings chloride." in near.why
    assert f"{found.ions['chloride'].got:.0f}" == "10"


def test_an_ion_that_comes_along_is_told_with_what_brings_it() -> None:
    near = nearness(work(GYPSUM, CHLORIDE, calcium=40.0, sulfate=150.0, chloride=150.0), system="metric")
    assert any(one.startswith("Calcium: ") and "too much" in one for one in near.off)
    assert not any("second water" in one for one in near.helps)  # it is no fault of the tap's
    assert any(one.startswith("Gypsum") and one.endswith("bring calcium too.") for one in near.why)


def test_what_the_tap_has_too_much_of_no_salt_takes_out() -> None:
    hard = water({**SOFT, "calcium": 180.0})
    shelf = Shelf(minerals=tuple(one for one in minerals() if one.name in (GYPSUM, CHLORIDE)))
    found = water_work(hard, None, None, wanted_mg_L=Wanted(ions_mg_L={"calcium": 60.0}), shelf=shelf, dilute=False)
    near = nearness(found, system="metric")
    assert "The water as it comes has 180 mg/L of calcium, and no salt takes any out." in near.why
    assert near.off[0] == "Farthest off is calcium: 180 mg/L where 60 is wanted, 120 mg/L too much."
    assert any("second water" in one for one in near.helps)


def test_a_salt_kept_to_little_is_told_with_what_else_it_brings() -> None:
    found = work(EPSOM, GYPSUM, sulfate=300.0)
    assert found.treatment is not None
    words = most_words(found.treatment.problem, "salt", EPSOM)
    bound = bound_of(found, words)
    assert bound.why.startswith("Epsom salt is kept to")
    assert bound.why.endswith("it brings magnesium too, which nobody asks for.")
    assert bound.helps == "Wish for some magnesium, and there is room for more Epsom salt"
    assert bound_of(found, most_words(found.treatment.problem, "salt", GYPSUM)).why.endswith("usual in so much liquor.")


def test_kinds_of_salt_and_the_scale_are_told_plainly() -> None:
    found = work(GYPSUM, CHLORIDE, most_salts=1, sulfate=150.0, chloride=150.0)
    assert bound_of(found, STEPS).why == "The scale shows steps of 0.1 g."
    one = bound_of(found, kinds_words(1))
    assert (one.why, one.helps) == ("There may be at most 1 kind of salt.", "One kind of salt more")
    near = nearness(found, system="metric")
    assert one.why in near.why
    assert any(text.startswith("One kind of salt more: ") for text in near.helps)


@pytest.mark.parametrize(
    ("high", "said"),
    [
        (250.0, "Chloride is kept to 250 mg/L: more of it is tasted."),
        (10.0, "Chloride is kept to the 10 mg/L the water has as it comes."),
        (90.0, "Chloride is kept to 90 mg/L, so that salts do not do the work of the acid."),
    ],
)
def test_the_most_of_an_ion_says_where_it_comes_from(high: float, said: str) -> None:
    found = work(GYPSUM, CHLORIDE, chloride=60.0)
    assert found.treatment is not None
    limits = tuple(
        attrs.evolve(one, high=high) if one.what == ("chloride",) else one for one in found.treatment.problem.limits
    )
    problem = attrs.evolve(found.treatment.problem, limits=limits)
    changed = attrs.evolve(found, treatment=attrs.evolve(found.treatment, problem=problem))
    bound = bound_of(changed, f"chloride of at most {high:.4g} mg/L")
    assert bound.why == said
    assert "chloride" in bound.helps


@pytest.mark.parametrize("system", ["metric", "us"])
def test_nothing_of_the_solver_is_said(system: str) -> None:
    for found in (
        work(GYPSUM, chloride=120.0),
        work(GYPSUM, CHLORIDE, EPSOM, sulfate=300.0, chloride=5.0),
        work(GYPSUM, CHLORIDE, most_salts=1, sulfate=150.0, chloride=150.0),
    ):
        said = told(found, system)
        assert said
        assert not [word for word in SOLVERS_TALK if word in said]


def test_short_names_are_a_brewers_and_never_two_things() -> None:
    usual = [one for one in minerals() if one.usual]
    assert {short_name(one) for one in usual} >= {"gypsum", "calcium chloride", "Epsom salt", "table salt"}
    assert len({short_name(one) for one in minerals() if one.usual}) == len(usual)
    gypsum, chloride, lactic = mineral_of(GYPSUM), mineral_of(CHLORIDE), mineral_of("lactic acid 80 %")
    assert gypsum is not None
    assert chloride is not None
    assert lactic is not None
    assert full_name(gypsum) == GYPSUM
    assert (short_name(chloride), full_name(chloride)) == ("calcium chloride", "dihydrate")
    assert (short_name(lactic), full_name(lactic)) == ("lactic acid 80 %", "")
