"""Contents share the rows that a change leaves alone, and never write into them."""

from __future__ import annotations

import numpy as np

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import Recipe
from gyle.line.content import NOTHING, Content, draw_off, halfway, less, mix, species

KINDS = species(2)
DRAWS = 5


def content(seed: int) -> Content:
    rng = np.random.default_rng(seed)
    return Content.of_array(KINDS, rng.uniform(0.0, 2.0, (KINDS.count, DRAWS)), rng.uniform(0.0, 100.0, DRAWS))


def test_an_array_makes_a_content_and_is_given_back() -> None:
    amounts = np.arange(KINDS.count * DRAWS, dtype=np.float64).reshape(KINDS.count, DRAWS)
    made = Content.of_array(KINDS, amounts, np.full(DRAWS, 20.0))
    np.testing.assert_array_equal(made.amounts, amounts)
    for row, name in enumerate(KINDS.names):
        np.testing.assert_array_equal(made[name], amounts[row])
    np.testing.assert_array_equal(made.part("iso")[1], made["hop.1.iso"])
    np.testing.assert_array_equal(made.minerals[0], made[KINDS.names[KINDS.minerals.start]])


def test_only_what_changes_is_new() -> None:
    before = content(1)
    after = before.changed({"water": 7.0, "hop.1.iso": 3.0})
    assert after["water"] == 7.0
    assert (after["hop.1.iso"] == 3.0).all()
    np.testing.assert_array_equal(after["hop.0.iso"], before["hop.0.iso"])
    shared = [one is other for one, other in zip(after.rows, before.rows, strict=True)]
    assert shared.count(False) == 1
    assert after.part("alpha") is before.part("alpha")
    assert not (before["hop.1.iso"] == 3.0).any()


def test_what_is_not_there_costs_nothing() -> None:
    water = Content.of(KINDS, {"water": np.full(DRAWS, 3.0)})
    both = mix(water, water)
    drawn, left = draw_off(both, 0.25)
    for one in (both, drawn, left):
        assert [name for name, row in zip(KINDS.names, one.rows, strict=False) if row is not NOTHING] == ["water"]
    np.testing.assert_allclose(drawn["water"] + left["water"], 6.0)
    assert not NOTHING.flags.writeable


def test_sums_parts_and_means_are_those_of_the_rows() -> None:
    one, other = content(2), content(3)
    np.testing.assert_array_equal(mix(one, other).amounts, one.amounts + other.amounts)
    np.testing.assert_array_equal(less(one, other).amounts, one.amounts - other.amounts)
    np.testing.assert_array_equal(halfway(one, other).amounts, (one.amounts + other.amounts) / 2.0)
    np.testing.assert_array_equal(halfway(one, one).amounts, one.amounts)
    np.testing.assert_array_equal(less(one, one).amounts, 0.0 * one.amounts)
    np.testing.assert_array_equal(one.scaled(np.full(1, 3.0), solids=True).amounts, 3.0 * one.amounts)
    lying = [name in ("starch.1", "starch.2", "husk", "hop matter", "yeast") for name in KINDS.names]
    thinner = one.scaled(np.full(1, 0.5)).amounts
    np.testing.assert_array_equal(thinner, np.where(np.array(lying)[:, None], one.amounts, 0.5 * one.amounts))
    mass = [not name.startswith("~") for name in KINDS.names]
    np.testing.assert_allclose(one.mass_kg, one.amounts[mass].sum(axis=0), rtol=1e-13)


def test_a_brew_keeps_every_content_as_it_was(cards: dict[str, Recipe], houses: dict[str, Brewhouse]) -> None:
    """Running on changes nothing that was kept: two runs, one stopped early, hold the same."""
    from gyle.decide.solve import solve, targets_of
    from gyle.line.beliefs import inputs_for
    from gyle.line.day import day
    from gyle.line.run import run

    recipe, house = cards["copper-beacon"], houses["lantern-street-48"]
    moves = day(recipe, house, solve(recipe, house, targets_of(recipe)).amounts)
    whole = run(moves, inputs_for(recipe, house, 16), hop_additions=len(recipe.hops)).kept
    for stop in (3, len(moves) // 2):
        part = run(moves[:stop], inputs_for(recipe, house, 16), hop_additions=len(recipe.hops)).kept
        for (_, early), (_, late) in zip(part, whole[:stop], strict=True):
            assert early.keys() == late.keys()
            for vessel, held in early.items():
                np.testing.assert_array_equal(held.amounts, late[vessel].amounts)


def test_a_run_that_keeps_nothing_finds_the_same_figures(
    cards: dict[str, Recipe], houses: dict[str, Brewhouse]
) -> None:
    """So does one without minerals, but for the figures of pH and water: a search may leave out both."""
    from gyle.decide.solve import brewed, solve, targets_of
    from gyle.line.beliefs import inputs_for

    recipe, house = cards["copper-beacon"], houses["lantern-street-48"]
    amounts, inputs = solve(recipe, house, targets_of(recipe)).amounts, inputs_for(recipe, house, 16)
    whole = brewed(recipe, house, amounts, inputs)
    bare = brewed(recipe, house, amounts, inputs, chemistry=False, keep=False)
    assert whole.kept
    assert not bare.kept
    assert {"fermenter.volume", "fermenter.original_gravity", "glass.bitterness_tinseth"} <= bare.figures.keys()
    for name, draws in bare.figures.items():
        np.testing.assert_array_equal(draws, whole.figures[name])
    of_minerals = whole.figures.keys() - bare.figures.keys()
    assert {"mash.ph", "water.calcium"} <= of_minerals
    ions = ("calcium", "magnesium", "sodium", "sulfate", "chloride")
    assert all(".ph" in name or name.startswith("water.") or name.endswith(ions) for name in of_minerals)
