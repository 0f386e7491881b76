"""A range costs nothing inside, an exact wish never less than the range it lies in, a ratio is met or told."""

from __future__ import annotations

import functools
import math
from collections.abc import Mapping
from pathlib import Path

import attrs
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.mineral import Mineral, mineral_of
from gyle.beer.reading import read_recipe, read_water
from gyle.beer.recipe import OtherLine, Recipe
from gyle.beer.timing import Timing
from gyle.beer.water import Water
from gyle.beer.water_blend import bought_water
from gyle.cli.water_document import water_document
from gyle.cli.water_page import water_page
from gyle.cli.water_reading import wanted_of
from gyle.decide.mash_side import mash_aim, mash_side
from gyle.decide.origin import origin_of, with_habit
from gyle.decide.plan import Plan, leaves_water_open, plan
from gyle.decide.salt_problem import Choice, Problem, Volumes
from gyle.decide.salts import best_doses
from gyle.decide.solve import solve, targets_of
from gyle.decide.treatment import Treatment, treat_alone, wants_water
from gyle.decide.treatment_problem import Shelf, problem_of, usual_shelf
from gyle.decide.wanted import Wanted, as_wanted, outside, ratio_note, ratio_of, span_words, wanted_by
from gyle.decide.water_work import ready, water_work
from gyle.errors import BadInput
from gyle.line.beliefs import water_of

LANTERN_STREET = Path(__file__).parents[2] / "examples" / "lantern-street"
HARD, SOFT = (ready(read_water(LANTERN_STREET / f"water-{name}.toml")) for name in ("hard", "soft"))
PURE = bought_water("reverse osmosis")
TOLERANCE = {"calcium": 10.0, "magnesium": 5.0, "sodium": 10.0, "sulfate": 20.0, "chloride": 10.0}
MOST = {"calcium": 160.0, "magnesium": 25.0, "sodium": 60.0, "sulfate": 280.0, "chloride": 160.0}
FINE = 0.1  # tolerances that count as met
NEAR = 1e-4
INF = math.inf

waters = st.sampled_from([HARD, SOFT, PURE])
few = settings(max_examples=12, derandomize=True)


@st.composite
def ranges(draw: st.DrawFn) -> tuple[dict[str, tuple[float, float]], dict[str, float]]:
    """Ranges of some ions, each with an amount inside it."""
    found, inside = {}, {}
    for ion in draw(st.sets(st.sampled_from(list(MOST)), min_size=1)):
        low, within, high = sorted(draw(st.floats(0.0, MOST[ion])) for _ in range(3))
        open_side = draw(st.sampled_from(["", "", "low", "high"]))
        found[ion] = (-INF if open_side == "low" else low, INF if open_side == "high" else high)
        inside[ion] = within
    return found, inside


def problem(water: Water, wanted: Wanted, **more: float) -> Problem:
    shelf = Shelf(minerals=usual_shelf()).for_wish(wanted)
    return problem_of(water, Volumes(mash_L=20.0), wanted, shelf, mash=None, acid_ph=5.4, **more)


def best(water: Water, wanted: Wanted) -> Choice:
    """The best doses, before salts of a few tenths of a gram are left out for little."""
    found = best_doses(problem(water, wanted))
    assert found.proven
    return found


def worst(found: Choice) -> float:
    return max(found.worst_miss, FINE)


def held(found: Choice | Treatment) -> Mapping[str, float]:
    choice = found.choice if isinstance(found, Treatment) else found
    return choice.waters["whole"].ions_mg_L


def named(name: str) -> Mineral:
    found = mineral_of(name)
    assert found is not None
    return found


# --- ranges -------------------------------------------------------------------------------------------------------


@few
@given(waters, ranges())
def test_an_exact_wish_never_misses_less_than_the_range_it_lies_in(
    water: Water, wish: tuple[dict[str, tuple[float, float]], dict[str, float]]
) -> None:
    spans, inside = wish
    anywhere, exact = best(water, Wanted(ranges_mg_L=spans)), best(water, as_wanted(inside))
    assert worst(anywhere) <= worst(exact) + NEAR


@few
@given(waters, ranges())
def test_a_miss_is_the_distance_outside_the_range(
    water: Water, wish: tuple[dict[str, tuple[float, float]], dict[str, float]]
) -> None:
    found = treat_alone(water, 20.0, Wanted(ranges_mg_L=wish[0]), dilute=False)
    misses = {miss.what: miss for miss in found.choice.misses if miss.at == "whole"}
    for ion, (low, high) in wish[0].items():
        assert misses[ion].scaled == pytest.approx(outside(held(found)[ion], low, high) / TOLERANCE[ion], abs=1e-6)


@few
@given(waters)
def test_a_water_inside_every_range_is_left_alone(water: Water) -> None:
    spans = {ion: (max(water.mg_L(ion) - 5.0, 0.0), water.mg_L(ion) + 5.0) for ion in TOLERANCE}
    found = treat_alone(water, 20.0, Wanted(ranges_mg_L=spans, sulfate_to_chloride=(0.0, 5.0)))
    assert found.choice.worst_miss == 0.0
    assert found.choice.doses == ()
    assert found.choice.dilution_share == 0.0


def test_a_floor_is_kept_and_does_not_lift_the_ceiling() -> None:
    spans = {"calcium": (150.0, INF), "sulfate": (-INF, 100.0), "chloride": (100.0, INF)}
    found = best(SOFT, Wanted(ranges_mg_L=spans))
    assert found.worst_miss <= FINE
    assert held(found)["calcium"] >= 149.0
    assert held(found)["sulfate"] <= 102.0
    # Beside a mash's pH a wished ion goes a tolerance beyond its range and no further: no salt stands for an acid.
    held_to = problem(SOFT, Wanted(ranges_mg_L=spans), most_over=0.5)
    most = {limit.what: limit.high for limit in held_to.limits}
    assert (most[("calcium",)], most[("sulfate",)], most[("chloride",)]) == (200.0, 120.0, 250.0)


def test_a_ceiling_asks_for_nothing_of_its_own() -> None:
    found = treat_alone(SOFT, 20.0, Wanted(ranges_mg_L={"chloride": (-INF, 60.0)}))
    assert found.choice.doses == ()


def test_ions_with_a_range_are_asked_for_and_need_no_bound() -> None:
    salts = {mineral.name for mineral in usual_shelf() if mineral.kind == "salt"}
    gypsum, epsom = named("gypsum").name, named("Epsom salt").name
    assert {gypsum, epsom} <= salts
    shelf = Shelf(minerals=usual_shelf())
    by_range = shelf.for_wish(Wanted(ranges_mg_L={"sulfate": (50.0, 100.0)}))
    assert by_range.most_per_L == shelf.for_wish(as_wanted({"sulfate": 75.0})).most_per_L
    assert gypsum not in by_range.most_per_L
    assert epsom in by_range.most_per_L
    by_ratio = shelf.for_wish(Wanted(sulfate_to_chloride=(2.0, 3.0)))
    assert not {gypsum, named("calcium chloride dihydrate").name} & set(by_ratio.most_per_L)
    assert not {mineral.kind for mineral in shelf.for_wish(Wanted()).minerals} & {"salt"} - {
        mineral.kind for mineral in usual_shelf() if mineral.alkalinity_mEq_per_unit() > 0.0
    }


def test_bicarbonate_has_a_range_too() -> None:
    found = treat_alone(HARD, 20.0, Wanted(ranges_mg_L={"bicarbonate": (-INF, 122.0)}))
    assert found.choice.waters["whole"].alkalinity_mEq_L <= 2.0 + 0.4
    assert HARD.alkalinity_mEq_L.centre > 5.0
    assert any(dose.kind == "acid" for dose in found.choice.doses) or found.choice.dilution_share > 0.0


# --- the ratio ----------------------------------------------------------------------------------------------------


@few
@given(waters, st.floats(0.3, 4.0), st.none() | st.floats(20.0, 120.0), st.sampled_from([1.0, 1.5]))
def test_a_ratio_is_met_or_told(water: Water, low: float, chloride: float | None, wide: float) -> None:
    exact = {} if chloride is None else {"chloride": chloride}
    wanted = Wanted(ions_mg_L=exact, sulfate_to_chloride=(low, low * wide))
    work = water_work(water, None, None, wanted_mg_L=wanted, volume_L=20.0, explain=False)
    row = work.sulfate_to_chloride
    assert row is not None
    assert row.wanted == (low, low * wide)
    told = [note for note in work.notes if note.startswith("sulfate to chloride")]
    off = outside(work.ions["sulfate"].got, low * work.ions["chloride"].got, low * wide * work.ions["chloride"].got)
    assert bool(told) == (off > 10.0)
    if chloride is None:
        assert off <= 20.0  # what a salt brings beside the ratio weighs against it, to within what can be told apart


@few
@given(st.floats(0.5, 4.0))
def test_a_ratio_alone_is_met_with_no_more_than_it_takes(ratio: float) -> None:
    """Sulfate and chloride are free under a ratio, and what is not needed is not weighed."""
    found = treat_alone(SOFT, 20.0, Wanted(sulfate_to_chloride=(ratio / 1.15, ratio * 1.15)), dilute=False)
    assert found.choice.worst_miss <= 1.0
    assert held(found)["sulfate"] <= max(ratio * 1.15, 1.0) * (SOFT.mg_L("chloride") + 10.0) + 20.0


def test_a_ratio_that_cannot_be_met_is_told() -> None:
    no_sulfate = Shelf(minerals=(named("calcium chloride dihydrate"), named("table salt")))
    wanted = Wanted(ranges_mg_L={"chloride": (60.0, 80.0)}, sulfate_to_chloride=(2.0, 3.0))
    work = water_work(SOFT, None, None, wanted_mg_L=wanted, shelf=no_sulfate, dilute=False, explain=False)
    (told,) = (note for note in work.notes if note.startswith("sulfate to chloride"))
    assert told.endswith("and 2 to 3 was wanted")


def test_a_ratio_in_words() -> None:
    assert ratio_note(None, 10.0, 10.0) == []
    assert ratio_note((2.0, 3.0), 50.0, 20.0) == []
    assert ratio_note((2.0, 3.0), 100.0, 20.0) == ["sulfate to chloride comes to 5, and 2 to 3 was wanted"]
    assert ratio_note((2.0, INF), 10.0, 20.0) == ["sulfate to chloride comes to 0.5, and at least 2 was wanted"]
    assert ratio_note((0.0, 1.0), 40.0, 0.0) == [
        "sulfate to chloride has next to no chloride, and at most 1 was wanted"
    ]
    assert ratio_of(10.0, 0.0) is None
    assert ratio_of(30.0, 20.0) == 1.5
    assert span_words(0.0, 2.0) == "at most 2"


# --- a recipe's ranges --------------------------------------------------------------------------------------------


@functools.cache
def _beer() -> tuple[Recipe, Brewhouse]:
    recipe = read_recipe(LANTERN_STREET / "tram-depot.toml")
    return attrs.evolve(recipe, wanted_ions_mg_L=()), attrs.evolve(with_habit(origin_of(recipe)[0]), water=SOFT)


def ranged(*spans: tuple[str, float, float], ratio: tuple[float, float] | None = None) -> Recipe:
    return attrs.evolve(_beer()[0], wanted_ranges_mg_L=spans, sulfate_to_chloride=ratio)


def gypsum(grams: float) -> OtherLine:
    return OtherLine(what="gypsum", at=Timing(stage="mash"), mass_kg=grams / 1000.0, mineral=named("gypsum"))


def brewed(recipe: Recipe, water: Water | None) -> Plan:
    return plan(recipe, attrs.evolve(_beer()[1], water=water), draws=64)


def test_what_a_recipe_asks_of_its_water() -> None:
    dry = attrs.evolve(_beer()[0], aims=())
    for asking in (
        attrs.evolve(dry, wanted_ranges_mg_L=(("calcium", 50.0, INF),)),
        attrs.evolve(dry, sulfate_to_chloride=(2.0, 3.0)),
    ):
        assert wants_water(asking)
        assert leaves_water_open(asking)
        assert wanted_by(asking)
    assert not wants_water(dry)
    assert not wanted_by(dry)
    assert not wanted_by(ranged(("calcium", 60.0, 90.0))).without("calcium")


def test_a_plan_meets_ranges_and_ratio_with_doses() -> None:
    recipe = ranged(("calcium", 60.0, 120.0), ("chloride", -INF, 60.0), ratio=(2.0, 3.0))
    made = brewed(recipe, SOFT)
    assert made.treatment is not None
    assert made.treatment.wanted == wanted_by(recipe)
    assert not [miss for miss in made.misses if miss.figure.startswith("water.")]
    assert 55.0 <= made.figures["water.calcium"].mean <= 125.0
    assert made.figures["water.chloride"].mean <= 65.0
    assert made.figures["mash.ph"].mean == pytest.approx(5.35, abs=0.06)
    assert not [note for note in made.notes if note.startswith("sulfate to chloride")]


def test_stated_doses_miss_a_range_by_what_they_are_outside_it() -> None:
    recipe = attrs.evolve(
        ranged(("calcium", 60.0, 120.0), ("sulfate", -INF, 30.0), ("sodium", 0.0, 20.0), ratio=(0.0, 1.0)),
        others=(gypsum(1.5),),
    )
    made = brewed(recipe, SOFT)
    assert made.treatment is None
    misses = {miss.figure: miss for miss in made.misses if miss.figure.startswith("water.")}
    calcium = misses["water.calcium"]
    assert (calcium.wanted, calcium.span) == (60.0, (60.0, 120.0))
    assert calcium.got < 50.0
    assert "water.sodium" not in misses
    # 1.5 g of gypsum in 30 L is 28 mg/L of sulfate, over the soft water's own 6: inside the tolerance of 30.
    assert "water.sulfate" not in misses
    much = brewed(attrs.evolve(recipe, others=(gypsum(9.0),)), SOFT)
    sulfate = next(miss for miss in much.misses if miss.figure == "water.sulfate")
    assert (sulfate.wanted, sulfate.span) == (30.0, (-INF, 30.0))
    assert any(note.startswith("sulfate to chloride comes to") for note in much.notes)


def test_an_unstated_water_is_taken_as_the_range_says() -> None:
    recipe = ranged(("calcium", 60.0, 120.0), ("sulfate", 100.0, 200.0), ("chloride", 40.0, 60.0))
    nowhere = attrs.evolve(_beer()[1], water=None)
    taken = water_of(recipe, nowhere)
    assert taken.calcium_mg_L.centre == 90.0
    assert taken.calcium_mg_L.spread == pytest.approx(60.0 / 2.56)
    made = brewed(recipe, None)
    assert not [miss for miss in made.misses if miss.figure.startswith("water.")]
    assert any("the wanted ions are taken as met" in note for note in made.notes)
    exact = brewed(attrs.evolve(_beer()[0], wanted_ions_mg_L=(("calcium", 90.0),)), None)
    wide, close = (found.figures["water.calcium"] for found in (made, exact))
    assert wide.high - wide.low > 1.5 * (close.high - close.low)


def test_acid_is_reckoned_with_the_least_calcium_that_is_wanted() -> None:
    recipe, house = _beer()
    solution = solve(recipe, house, targets_of(recipe))
    side = mash_side(recipe, house, solution.amounts, solution.centre.inputs, mash_aim(recipe))
    assert side is not None
    # A demand that a little calcium leaves and much of it takes away.
    side = attrs.evolve(side, grist_mEq=side.grist_mEq - side.start_mEq + 0.05 * side.liquor_L)
    assert side.needs_acid(as_wanted({"calcium": 20.0}))
    assert not side.needs_acid(as_wanted({"calcium": 150.0}))
    assert side.needs_acid(Wanted(ranges_mg_L={"calcium": (20.0, 150.0)}))
    assert side.needs_acid(Wanted(ranges_mg_L={"calcium": (-INF, 150.0)}))
    assert not side.needs_acid(Wanted(ranges_mg_L={"calcium": (150.0, INF)}))


# --- page, document, --to -----------------------------------------------------------------------------------------

WISH = """
gyle = 1
name = "Range"
[[grist]]
what = "pale ale malt"
share = "100 %"
[water]
calcium = "60 to 120"
chloride = "at most 60"
magnesium = "at least 5"
sodium = 8
sulfate_to_chloride = "2 to 3"
"""


def test_page_and_document_say_the_range(tmp_path: Path) -> None:
    path = tmp_path / "range.toml"
    path.write_text(WISH, encoding="utf-8")
    wanted = wanted_of(str(path))
    assert wanted.ions_mg_L == {"sodium": 8.0}
    assert wanted.ranges_mg_L == {"calcium": (60.0, 120.0), "magnesium": (5.0, INF), "chloride": (-INF, 60.0)}
    assert wanted.sulfate_to_chloride == (2.0, 3.0)
    work = water_work(SOFT, None, None, wanted_mg_L=wanted, volume_L=20.0)
    document = water_document(work)
    ions = document["ions"]
    assert (ions["calcium"]["wanted"], ions["calcium"]["wanted_low"], ions["calcium"]["wanted_high"]) == (None, 60, 120)
    assert (ions["chloride"]["wanted_low"], ions["chloride"]["wanted_high"]) == (None, 60)
    assert (ions["magnesium"]["wanted_low"], ions["magnesium"]["wanted_high"]) == (5, None)
    assert ions["sodium"]["wanted"] == 8
    assert "wanted_low" not in ions["sodium"]
    assert "wanted_low" not in ions["sulfate"]
    ratio = document["sulfate_to_chloride"]
    assert (ratio["wanted_low"], ratio["wanted_high"]) == (2, 3)
    assert ratio["got"] == pytest.approx(ions["sulfate"]["got"] / ions["chloride"]["got"])
    page = water_page(work, width=80, system="metric").as_text()
    rows = {" ".join(line.split("│")[-1].split()[:-3]): line.split()[-2] for line in page.splitlines() if "│" in line}
    assert "60-120" in page
    assert "<60" in page
    assert ">5" in page
    assert rows["sulfate to chloride"] == "2-3"
    plain = water_document(water_work(SOFT, None, None, wanted_mg_L={"calcium": 60.0}, explain=False))
    assert plain["sulfate_to_chloride"]["wanted_low"] is plain["sulfate_to_chloride"]["wanted_high"] is None


@pytest.mark.faults
def test_a_wish_for_nothing_is_no_wish() -> None:
    with pytest.raises(BadInput, match="nothing is wanted of this water"):
        treat_alone(SOFT, 20.0, Wanted())
    assert not Wanted()
    assert Wanted(ranges_mg_L={"calcium": (0.0, INF)})
