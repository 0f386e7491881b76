"""Treating a water: more at hand is never worse, more acid is always sourer, and what is not wanted is left alone."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from pathlib import Path

import attrs
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.mineral import Mineral, mineral_of, minerals
from gyle.beer.reading import read_recipe, read_water
from gyle.beer.recipe import OtherLine, Recipe
from gyle.beer.timing import Timing
from gyle.beer.water import Water
from gyle.beer.water_blend import bought_water
from gyle.decide.origin import origin_of, with_habit
from gyle.decide.plan import Plan, leaves_water_open, plan
from gyle.decide.solve import Solution, solve, targets_of
from gyle.decide.treatment import TRIFLE_MISS, WORTH_SAYING, Treatment, treat, treat_alone, treats, wants_water
from gyle.decide.treatment_problem import Shelf, usual_shelf
from gyle.decide.water_work import ready, water_work
from gyle.errors import BadInput, GyleError

LANTERN_STREET = Path(__file__).parents[2] / "examples" / "lantern-street"
HARD, SOFT = (ready(read_water(LANTERN_STREET / f"water-{name}.toml")) for name in ("hard", "soft"))
PURE = bought_water("reverse osmosis")
ION_TOLERANCE = {"calcium": 10.0, "magnesium": 5.0, "sodium": 10.0, "sulfate": 20.0, "chloride": 10.0}
FINE = 0.1  # tolerances that count as met
NEAR = 1e-4

wishes = st.fixed_dictionaries(
    {
        "calcium": st.floats(10.0, 160.0),
        "magnesium": st.floats(0.0, 25.0),
        "sodium": st.floats(0.0, 60.0),
        "sulfate": st.floats(5.0, 280.0),
        "chloride": st.floats(5.0, 160.0),
    }
)
waters = st.sampled_from([HARD, SOFT, PURE])
few = settings(max_examples=12, derandomize=True)


def named(name: str) -> Mineral:
    found = mineral_of(name)
    assert found is not None
    return found


def shelf(*names: str, **more: object) -> Shelf:
    kept = tuple(named(name) for name in names) if names else usual_shelf()
    return attrs.evolve(Shelf(minerals=kept), **more)


def worst(found: Treatment) -> float:
    """The worst miss, in tolerances, beyond what counts as met."""
    assert found.choice.proven
    return max(found.choice.worst_miss, FINE)


def beside_trifles(found: Treatment) -> float:
    """As bad as another treatment may be for leaving out a salt of which little is used."""
    return max(worst(found), WORTH_SAYING) + TRIFLE_MISS + NEAR


# --- never worse --------------------------------------------------------------------------------------------------


@few
@given(waters, wishes, st.integers(0, 3))
def test_one_more_kind_of_salt_is_never_worse(water: Water, wanted: Mapping[str, float], most: int) -> None:
    fewer, more = (
        treat_alone(water, 20.0, wanted, shelf=shelf(most_salts=kinds), dilute=False) for kinds in (most, most + 1)
    )
    assert worst(more) <= beside_trifles(fewer)
    assert len(fewer.choice.salts_used) <= most


@few
@given(waters, wishes, st.sampled_from(["sodium bicarbonate", "Epsom salt", "gypsum", "sodium chloride"]))
def test_one_more_salt_at_hand_is_never_worse(water: Water, wanted: Mapping[str, float], more: str) -> None:
    some = ["calcium chloride dihydrate", "gypsum", "Epsom salt", "sodium chloride", "sodium bicarbonate"]
    without = [name for name in some if name != more]
    fewer, all_of = (treat_alone(water, 20.0, wanted, shelf=shelf(*kept), dilute=False) for kept in (without, some))
    assert worst(all_of) <= beside_trifles(fewer)
    assert named(more).name not in fewer.choice.salts_used


@few
@given(waters, wishes, st.sampled_from([(1.0, 0.5), (0.5, 0.1), (0.2, 0.1)]))
def test_a_finer_scale_is_never_worse(water: Water, wanted: Mapping[str, float], steps: tuple[float, float]) -> None:
    coarse, fine = (treat_alone(water, 20.0, wanted, shelf=shelf(step_g=step), dilute=False) for step in steps)
    assert worst(fine) <= worst(coarse) + NEAR
    for found, step in zip((coarse, fine), steps, strict=True):
        for dose in found.choice.doses:
            assert dose.amount / step == pytest.approx(round(dose.amount / step), abs=1e-6)


@few
@given(waters, wishes, st.none() | st.floats(0.0, 250.0))
def test_a_second_water_is_never_worse(water: Water, wanted: Mapping[str, float], bicarbonate: float | None) -> None:
    asked = dict(wanted) if bicarbonate is None else {**wanted, "bicarbonate": bicarbonate}
    without, with_it = (treat_alone(water, 20.0, asked, dilute=dilute) for dilute in (False, True))
    assert worst(with_it) <= worst(without) + NEAR
    assert without.choice.dilution_share == 0.0
    if worst(without) <= 1.0:
        assert with_it.choice.dilution_share == 0.0  # what is near enough needs none
    assert any("reverse osmosis" in note for note in with_it.notes) == (with_it.choice.dilution_share > 0.0)


@few
@given(waters, wishes)
def test_no_dose_is_below_nothing_and_no_ion_above_its_ceiling(water: Water, wanted: Mapping[str, float]) -> None:
    found = treat_alone(water, 20.0, wanted)
    assert all(dose.amount > 0.0 and dose.kind in ("salt", "acid") for dose in found.choice.doses)
    held = found.choice.waters["whole"].ions_mg_L
    ceiling = {"calcium": 200.0, "magnesium": 40.0, "sodium": 150.0, "chloride": 250.0, "sulfate": 350.0}
    for ion, most in ceiling.items():
        assert held[ion] <= max(most, water.mg_L(ion), wanted[ion] + ION_TOLERANCE[ion]) + 1e-6, ion
    assert min(held.values()) >= -1e-9


# --- acid ---------------------------------------------------------------------------------------------------------


@functools.cache
def _beer(name: str) -> tuple[Recipe, Brewhouse, Solution]:
    """A beer with every amount stated, so that nothing but its water is left to find."""
    recipe = read_recipe(LANTERN_STREET / f"{name}.toml")
    house = attrs.evolve(with_habit(origin_of(recipe)[0]), water=SOFT)
    return recipe, house, solve(recipe, house, targets_of(recipe))


@functools.cache
def _solved(beer: str, water: str) -> Solution:
    recipe, house, _ = _beer(beer)
    here = attrs.evolve(house, water=HARD if water == HARD.name else SOFT)
    return solve(recipe, here, targets_of(recipe))


def treated(water: Water, *, beer: str = "tram-depot", **how: object) -> Treatment:
    recipe, house, _ = _beer(beer)
    solution = _solved(beer, water.name)
    here = attrs.evolve(house, water=water)
    return treat(recipe, here, solution.amounts, solution.centre.inputs, **how)  # type: ignore[arg-type]


ACIDS = ("lactic acid 80 %", "phosphoric acid 10 %", "hydrochloric acid 10 %", "sulfuric acid 10 %")


@settings(max_examples=8, derandomize=True)
@given(st.sampled_from([HARD, SOFT]), st.sampled_from(ACIDS), st.floats(0.5, 20.0), st.floats(0.5, 20.0))
def test_more_acid_in_the_mash_is_sourer_all_the_way_down(water: Water, name: str, first: float, more: float) -> None:
    recipe, house, _ = _beer("quiet-harbour")
    acid = named(name)

    def brewed(millilitres: float) -> Plan:
        line = OtherLine(what=name, at=Timing(stage="mash"), volume_L=millilitres / 1000.0, mineral=acid)
        stated = attrs.evolve(recipe, others=(line,), wanted_ions_mg_L=())
        return plan(stated, attrs.evolve(house, water=water), draws=8)

    less, much = brewed(first), brewed(first + more)
    for figure in ("mash.ph", "mash.ph_hot", "kettle.full.ph", "kettle.end.ph"):
        assert much.figures[figure].mean < less.figures[figure].mean, figure
    assert much.figures["glass.ph"].mean <= less.figures["glass.ph"].mean + 1e-9
    assert much.figures["water.alkalinity"].mean < less.figures["water.alkalinity"].mean


@settings(max_examples=8, derandomize=True)
@given(st.sampled_from(["tram-depot", "quiet-harbour"]), st.floats(5.2, 5.5), st.floats(0.05, 0.3))
def test_a_lower_wish_takes_more_acid(beer: str, ph: float, higher: float) -> None:
    """Where the ions are as near as they come either way, on the soft water."""
    low, high = (treated(SOFT, beer=beer, ph=wish, dilute=False) for wish in (ph, ph + higher))
    assert low.aimed_ph == ph
    assert worst(low) <= 1.0
    assert worst(high) <= 1.0

    def acid_less_base(found: Treatment) -> float:
        """Milliequivalents of acid into the mash, net of bicarbonate."""
        given_mEq = 0.0
        for dose in found.choice.doses:
            if dose.into == "mash" and dose.what == "lactic acid 80 %":
                given_mEq += dose.amount * 1187.0 * 0.8 / 90.078
            if dose.what == "sodium bicarbonate":
                given_mEq -= dose.amount * 990.0 / 84.007
        return given_mEq

    assert acid_less_base(low) > acid_less_base(high)


def with_acid(name: str) -> Treatment:
    salts = tuple(mineral for mineral in usual_shelf() if mineral.kind == "salt")
    return treated(SOFT, shelf=Shelf(minerals=(*salts, named(name))), wanted_mg_L={}, ph=5.4, dilute=False)


def test_acids_whose_ions_nobody_counts_bring_the_mash_there() -> None:
    """At pH 5.4 a millilitre gives 10.3 mEq of lactic acid 80 % and 1.1 of phosphoric acid 10 %."""
    amounts = {}
    for name in ("lactic acid 80 %", "phosphoric acid 10 %"):
        found = with_acid(name)
        (dose,) = found.choice.doses
        assert (dose.what, dose.into) == (name, "mash")
        assert found.choice.worst_miss <= FINE
        assert found.problem.mash is not None
        asked = -found.problem.mash.start_mEq / found.problem.mash.per_unit_mEq[name]
        assert dose.amount == pytest.approx(asked, rel=0.02)
        amounts[name] = dose.amount
    assert amounts["phosphoric acid 10 %"] / amounts["lactic acid 80 %"] == pytest.approx(10.27 / 1.091, rel=0.03)


def test_a_mineral_acid_counts_as_the_ion_it_brings() -> None:
    """So that it stops where chloride or sulfate is missed as badly as the pH."""
    for name, ion in (("hydrochloric acid 10 %", "chloride"), ("sulfuric acid 10 %", "sulfate")):
        found = with_acid(name)
        misses = {miss.what: miss for miss in found.choice.misses if miss.at in ("whole", "mash")}
        assert misses[ion].got > SOFT.mg_L(ion) + 10.0
        assert misses[ion].scaled == pytest.approx(found.choice.worst_miss, abs=0.3)
        assert misses["mash balance"].got > 0.0  # less acid than the mash asks for


def test_acid_anions_keep_below_what_is_tasted() -> None:
    found = treated(HARD, dilute=False)
    assert found.choice.waters["whole"].ions_mg_L["lactate"] <= 300.0 + 1e-6
    assert any("lactate" in words for words in found.choice.at_limits)


# --- what is wanted, and what is not -------------------------------------------------------------------------------


def test_what_a_recipe_asks_of_its_water() -> None:
    recipe = _beer("tram-depot")[0]
    dry = attrs.evolve(recipe, wanted_ions_mg_L=(), aims=())
    assert wants_water(recipe)
    assert leaves_water_open(recipe)
    assert not wants_water(dry)
    assert not leaves_water_open(dry)
    assert leaves_water_open(attrs.evolve(dry, aims=recipe.aims))
    salted = OtherLine(what="gypsum", at=Timing(stage="mash"), mass_kg=0.003, mineral=named("gypsum"))
    later = attrs.evolve(salted, at=Timing(stage="boil", minutes=10.0))
    assert treats(salted)
    assert not treats(later)
    assert not leaves_water_open(attrs.evolve(recipe, others=(salted,)))
    assert leaves_water_open(attrs.evolve(recipe, others=(later,)))
    assert leaves_water_open(attrs.evolve(recipe, dilution_share=0.5))  # the share stays, salts are open


def test_the_doses_take_the_place_of_what_treated_the_water_before() -> None:
    recipe = _beer("tram-depot")[0]
    old = OtherLine(what="gypsum", at=Timing(stage="mash"), mass_kg=0.003, mineral=named("gypsum"))
    kettle = attrs.evolve(old, at=Timing(stage="boil", minutes=10.0))
    found = treated(SOFT)
    after = found.applied(attrs.evolve(recipe, others=(old, kettle), dilution_share=0.9))
    assert after.others == (kettle, *found.lines)
    assert after.dilution_share == 0.9  # what a file states stays
    assert treated(HARD).applied(recipe).dilution_share == treated(HARD).choice.dilution_share > 0.0


def test_where_only_a_ph_is_wanted_the_ions_stay() -> None:
    found = treated(SOFT, wanted_mg_L={}, ph=5.4)
    assert {dose.kind for dose in found.choice.doses} == {"acid"}
    for ion in ION_TOLERANCE:
        assert found.choice.waters["whole"].ions_mg_L[ion] == pytest.approx(SOFT.mg_L(ion)), ion


def test_where_no_ph_is_wanted_the_usual_span_is_kept() -> None:
    recipe, house, _ = _beer("quiet-harbour")
    anyhow = attrs.evolve(recipe, aims=tuple(aim for aim in recipe.aims if aim.figure != "mash.ph"))
    found = plan(anyhow, house, draws=64)
    assert found.treatment is not None
    assert found.treatment.aimed_ph is None
    assert 5.17 <= found.figures["mash.ph"].mean <= 5.63


def test_a_span_that_cannot_be_kept_is_told_and_come_near_to() -> None:
    recipe, house, solution = _beer("quiet-harbour")
    anyhow = attrs.evolve(recipe, aims=tuple(aim for aim in recipe.aims if aim.figure != "mash.ph"))
    here = attrs.evolve(house, water=HARD)
    inputs = _solved("quiet-harbour", HARD.name).centre.inputs
    no_acid = Shelf(minerals=tuple(mineral for mineral in usual_shelf() if mineral.kind == "salt"))
    found = treat(anyhow, here, solution.amounts, inputs, shelf=no_acid, dilute=False)
    assert any("a mash pH in the usual span cannot be had" in note for note in found.notes)
    assert found.choice.mash_balance_mEq is not None
    assert found.choice.mash_balance_mEq > 0.0


def test_chalk_and_dry_acids_are_never_proposed() -> None:
    offered = Shelf(minerals=minerals()).offered
    assert {mineral.name for mineral in minerals()} - {mineral.name for mineral in offered} == {
        "calcium carbonate",
        "citric acid",
        "citric acid anhydrous",
        "citric acid monohydrate",
    }
    assert {mineral.kind for mineral in usual_shelf()} == {"salt", "acid"}
    assert set(usual_shelf()) <= set(offered)


def test_alone_a_water_wants_no_acid_and_knows_no_mash() -> None:
    found = treat_alone(SOFT, 20.0, {"calcium": 80.0, "sulfate": 100.0, "chloride": 60.0})
    assert found.problem.mash is None
    assert found.choice.mash_balance_mEq is None
    assert found.aimed_ph is None
    assert {dose.into for dose in found.choice.doses} == {"mash"}
    assert {dose.kind for dose in found.choice.doses} == {"salt"}
    assert set(found.choice.waters) == {"whole", "mash"}


@given(st.floats(2.0, 200.0))
@few
def test_doses_grow_with_the_volume(litres: float) -> None:
    """To within a step of the scale for each salt."""
    wanted = {"calcium": 90.0, "magnesium": 8.0, "sodium": 15.0, "sulfate": 120.0, "chloride": 80.0}
    found = treat_alone(SOFT, litres, wanted, shelf=shelf(step_g=0.01))
    assert worst(found) <= 1.0
    brought = sum(dose.amount for dose in found.choice.doses)
    assert 0.15 * litres < brought < 0.45 * litres


@pytest.mark.faults
def test_nothing_wanted_is_no_treatment() -> None:
    with pytest.raises(BadInput, match="nothing is wanted of this water"):
        treat_alone(SOFT, 20.0, {})
    work = water_work(SOFT, None, None, volume_L=10.0)
    assert work.treatment is None
    assert work.plan is None
    assert work.volume_L == 10.0


@pytest.mark.faults
def test_a_wish_without_its_counter_ions_is_missed_and_told() -> None:
    """All five ions asked for, of which no water can be made: calcium alone carries 10 mEq/L."""
    salts = shelf("gypsum", "calcium chloride dihydrate", "Epsom salt", "sodium chloride")
    nothing_else = {"calcium": 200.0, "magnesium": 0.0, "sodium": 0.0, "sulfate": 0.0, "chloride": 0.0}
    found = treat_alone(PURE, 20.0, nothing_else, shelf=salts)
    assert found.choice.worst_miss > 5.0
    assert found.choice.charge_gap.startswith("these amounts cannot be had together: calcium 200 mg/L")
    assert found.choice.charge_gap in found.notes


@pytest.mark.faults
@pytest.mark.parametrize("name", ["gold", "", "nothing such"])
def test_an_ion_nobody_knows_is_refused(name: str) -> None:
    with pytest.raises((GyleError, KeyError)):
        treat_alone(SOFT, 20.0, {name: 10.0})
