"""Two versions held against each other: what changed in words, and what it does to the figures."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import attrs
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.reading import recipe_from_text
from gyle.beer.recipe import Recipe
from gyle.decide.difference import FigureDifference, InputDifference, figure_differences, input_differences
from gyle.decide.line_pairs import aligned, matched
from gyle.decide.plan import Plan, figure_order, plan
from gyle.line.figures import FIGURES, figure

DRAWS = 512
CARD = """
gyle = 1
name = "Bench"
volume = "20 L"
notes = "soft and dry"

[aim]
original_gravity = "1.050"

[[grist]]
what = "pale ale malt"
share = "90 %"
[[grist]]
what = "crystal malt 120 EBC"
share = "10 %"

[[mash]]
temperature = "66 °C"
time = "60 min"
[[mash]]
temperature = "76 °C"
time = "10 min"

[boil]
time = "60 min"

[[hops]]
what = "Cascade"
alpha = "6 %"
mass = "30 g"
at = "boil 60 min"
[[hops]]
what = "Cascade"
alpha = "6 %"
mass = "20 g"
at = "boil 20 min"
[[hops]]
what = "Cascade"
alpha = "6 %"
mass = "40 g"
at = "stand 80 °C 20 min"

[[other]]
what = "finings"
mass = "5 g"
at = "boil 10 min"

[yeast]
what = "clean ale yeast"

[[fermentation]]
temperature = "19 °C"

[package]
carbonation = "2.4 vol"
temperature = "5 °C"

[water]
calcium = 80
sulfate = 100
"""


def card(*edits: tuple[str, str]) -> Recipe:
    text = CARD
    for before, after in edits:
        assert before in text, before
        text = text.replace(before, after, 1)
    return recipe_from_text(text)


@pytest.fixture(scope="module")
def shed(houses: Mapping[str, Brewhouse]) -> Brewhouse:
    return houses["lantern-street-48"]


Brewing = Callable[..., Plan]


@pytest.fixture(scope="module")
def brewing(shed: Brewhouse) -> Brewing:
    known: dict[tuple[tuple[str, str], ...], Plan] = {}

    def brewed(*edits: tuple[str, str]) -> Plan:
        if edits not in known:
            known[edits] = plan(card(*edits), shed, draws=DRAWS)
        return known[edits]

    return brewed


EARLIER = ('at = "boil 20 min"', 'at = "boil 40 min"')
STRONGER = ('original_gravity = "1.050"', 'original_gravity = "1.060"')
FINED = ('[[other]]\nwhat = "finings"\nmass = "5 g"\nat = "boil 10 min"\n', "")
COOLER = ('temperature = "66 °C"', 'temperature = "63 °C"')


# -- what changed
def only(*edits: tuple[str, str], system: str = "metric") -> InputDifference:
    found = input_differences(card(), card(*edits), system=system)
    assert len(found) == 1, found
    return found[0]


def told(found: InputDifference) -> tuple[str, str, str, str, str]:
    return (found.station, found.what, found.before, found.after, found.kind)


def test_a_version_does_not_differ_from_itself(brewing: Brewing) -> None:
    assert input_differences(card(), card()) == ()
    assert input_differences(card(), card(), old_plan=brewing(), new_plan=brewing()) == ()


@pytest.mark.parametrize(
    ("edit", "expected"),
    [
        (EARLIER, ("kettle", "Cascade", "boil 20 min", "boil 40 min", "moved")),
        (('mass = "20 g"', 'mass = "25 g"'), ("kettle", "Cascade, boil 20 min", "20 g", "25 g", "changed")),
        (('alpha = "6 %"\nmass = "20 g"', 'alpha = "7 %"\nmass = "20 g"'),
         ("kettle", "Cascade, boil 20 min", "alpha 6 %", "alpha 7 %", "changed")),
        (('mass = "20 g"\nat = "boil 20 min"', 'mass = "25 g"\nat = "boil 15 min"'),
         ("kettle", "Cascade", "20 g, boil 20 min", "25 g, boil 15 min", "changed")),
        (('what = "Cascade"\nalpha = "6 %"\nmass = "40 g"', 'what = "Amarillo"\nalpha = "9 %"\nmass = "40 g"'),
         ("stand", "hop, stand 80 °C 20 min", "Cascade, 40 g, alpha 6 %", "Amarillo, 40 g, alpha 9 %", "changed")),
        (('what = "crystal malt 120 EBC"', 'what = "munich malt"'),
         ("mash", "malt or sugar, mash", "crystal malt 120 EBC, 10 %", "munich malt, 10 %", "changed")),
        (COOLER, ("mash", "mash rest 1", "66 °C", "63 °C", "changed")),
        (('[[mash]]\ntemperature = "76 °C"\ntime = "10 min"\n', ""),
         ("mash", "mash rest 2", "76 °C, 10 min", "none", "removed")),
        (('[[mash]]\n', '[[mash]]\ntemperature = "55 °C"\ntime = "10 min"\n[[mash]]\n'),
         ("mash", "mash rest 1", "none", "55 °C, 10 min", "added")),
        (('[boil]\ntime = "60 min"', '[boil]\ntime = "90 min"'), ("kettle", "boil", "60 min", "90 min", "changed")),
        (('what = "clean ale yeast"', 'what = "lager yeast"'),
         ("fermenter", "yeast", "clean ale yeast", "lager yeast", "changed")),
        (('temperature = "19 °C"', 'temperature = "17 °C"'),
         ("fermenter", "fermentation", "19 °C", "17 °C", "changed")),
        (('"2.4 vol"', '"2.6 vol"'), ("keg", "carbonation", "2.4 vol", "2.6 vol", "changed")),
        (("sulfate = 100", "sulfate = 150"), ("water", "wanted sulfate", "100 mg/L", "150 mg/L", "changed")),
        (("sulfate = 100\n", ""), ("water", "wanted sulfate", "100 mg/L", "none", "removed")),
        (STRONGER, ("fermenter", "aim: original gravity", "1.050", "1.060", "changed")),
        (('[aim]\n', '[aim]\nmash_ph = 5.4\n'),
         ("mash", "aim: mash pH, of a cooled sample", "none", "pH 5.4", "added")),
        (('volume = "20 L"', 'volume = "23 L"'),
         ("fermenter", "volume into the fermenter", "20 L", "23 L", "changed")),
        (('mass = "5 g"', 'mass = "7 g"'), ("kettle", "finings, boil 10 min", "5 g", "7 g", "changed")),
        (('"Bench"', '"Bench Two"'), ("recipe", "name", "Bench", "Bench Two", "changed")),
        (('"soft and dry"', '"soft, dry, hoppy"'), ("notes", "notes", "as they were", "changed", "changed")),
        (('notes = "soft and dry"\n', ""), ("notes", "notes", "as they were", "none", "removed")),
    ],
)  # fmt: skip
def test_one_edit_is_one_difference(edit: tuple[str, str], expected: tuple[str, ...]) -> None:
    assert told(only(edit)) == expected


def test_what_is_added_is_told_whole() -> None:
    found = only(
        ("[[other]]", '[[hops]]\nwhat = "Citra"\nalpha = "12 %"\nmass = "1 oz"\nat = "dry day 3 4 days"\n[[other]]')
    )
    assert told(found) == ("fermenter", "Citra", "none", "28.3 g, alpha 12 %, dry day 3 for 4 days", "added")
    with_sugar = card(
        ('share = "90 %"', 'share = "85 %"'),
        ("[[mash]]", '[[grist]]\nwhat = "sucrose"\nshare = "5 %"\nat = "boil 10 min"\n[[mash]]'),
    )
    found_too = [told(one) for one in input_differences(card(), with_sugar)]
    assert found_too == [
        ("mash", "pale ale malt", "90 %", "85 %", "changed"),
        ("kettle", "sucrose", "none", "5 %, boil 10 min", "added"),
    ]


def test_an_amount_left_open_is_told_so() -> None:
    new = card(('mass = "30 g"\n', ""), ("[aim]", '[aim]\nbitterness = "40 IBU"'))
    assert [told(one) for one in input_differences(card(), new)] == [
        ("kettle", "Cascade, boil 60 min", "30 g", "left open", "changed"),
        ("glass", "aim: bitterness, by the trade's function", "none", "40 IBU", "added"),
    ]


def test_two_additions_moved_pair_with_the_nearest() -> None:
    found = input_differences(
        card(), card(('at = "boil 60 min"', 'at = "boil 45 min"'), ('at = "boil 20 min"', 'at = "boil 15 min"'))
    )
    assert [(one.before, one.after) for one in found] == [
        ("boil 60 min", "boil 45 min"),
        ("boil 20 min", "boil 15 min"),
    ]


def test_a_hop_put_at_another_stage_is_moved() -> None:
    found = only(('at = "stand 80 °C 20 min"', 'at = "dry day 2 4 days"'))
    assert told(found) == ("fermenter", "Cascade", "stand 80 °C 20 min", "dry day 2 for 4 days", "moved")


def test_the_order_of_lines_and_the_way_a_number_is_written_are_no_difference() -> None:
    recipe = card()
    assert input_differences(recipe, attrs.evolve(recipe, hops=recipe.hops[::-1], grist=recipe.grist[::-1])) == ()
    assert input_differences(recipe, card(('mass = "30 g"', 'mass = "0.0300 kg"'))) == ()
    assert input_differences(recipe, card(('"66 °C"', '"150.8 °F"'))) == ()


def test_a_difference_below_the_usual_digits_is_not_told_as_none() -> None:
    found = only(('mass = "20 g"', 'mass = "20.01 g"'))
    assert found.before != found.after
    assert found.after == "20.01 g"


def test_a_figure_stated_as_it_is_taken_anyway_is_another_certainty() -> None:
    usual = card().grist[1].ingredient.colour_ebc.centre
    found = only(('share = "10 %"', f'share = "10 %"\ncolour = "{usual:g} EBC"'))
    assert "as usual" in found.before
    assert "as stated" in found.after


def test_words_follow_the_persons_units() -> None:
    assert told(only(COOLER, system="us"))[2:4] == ("151 °F", "145 °F")
    assert told(only(('mass = "20 g"', 'mass = "1 oz"'), system="us"))[2:4] == ("0.71 oz", "1 oz")


def test_swapped_versions_mirror_each_other() -> None:
    new = card(EARLIER, STRONGER, COOLER, ('what = "crystal malt 120 EBC"', 'what = "munich malt"'), FINED)
    mirror = {"added": "removed", "removed": "added"}
    there = {(one.station, one.before, one.after, one.kind) for one in input_differences(card(), new)}
    back = {
        (one.station, one.after, one.before, mirror.get(one.kind, one.kind)) for one in input_differences(new, card())
    }
    assert len(there) == 5
    assert there == back


def test_open_amounts_are_told_with_what_they_come_to(brewing: Brewing) -> None:
    old, new = brewing(), brewing(STRONGER)
    found = input_differences(old.recipe, new.recipe, old_plan=old, new_plan=new)
    kinds = {one.what: one.kind for one in found}
    assert kinds["aim: original gravity"] == "changed"
    assert kinds["pale ale malt"] == kinds["crystal malt 120 EBC"] == "follows"
    assert kinds["liquor in all"] == "follows"
    assert all(one.kind != "follows" for one in input_differences(old.recipe, new.recipe))
    malt = next(one for one in found if one.what == "pale ale malt")
    assert malt.before == f"{old.amounts.grist_kg[0]:.2f} kg"
    assert malt.after == f"{new.amounts.grist_kg[0]:.2f} kg"


def test_differences_run_from_water_to_glass() -> None:
    new = card(("sulfate = 100", "sulfate = 150"), COOLER, EARLIER, ('"2.4 vol"', '"2.6 vol"'), ('"Bench"', '"Two"'))
    assert [one.station for one in input_differences(card(), new)] == ["recipe", "water", "mash", "kettle", "keg"]


def test_hostile_names_pass_through_as_they_are() -> None:
    name = "<script>alert(1)</script>"
    assert only(('name = "Bench"', f'name = "{name}"')).after == name


@given(st.lists(st.integers(0, 30), max_size=7), st.lists(st.integers(0, 30), max_size=7))
def test_pairing_uses_every_line_once_and_either_way_round(old: list[int], new: list[int]) -> None:
    def apart(one: int, other: int) -> float | None:
        return float(abs(one - other)) if one % 2 == other % 2 else None

    there = matched(old, new, apart=apart)
    assert sorted(i for i, _ in there if i is not None) == list(range(len(old)))
    assert sorted(j for _, j in there if j is not None) == list(range(len(new)))
    assert {(i, j) for j, i in matched(new, old, apart=apart)} == set(there)
    for odd in (0, 1):  # nothing is left over on both sides
        assert not (
            any(j is None and i is not None and old[i] % 2 == odd for i, j in there)
            and any(i is None and j is not None and new[j] % 2 == odd for i, j in there)
        )


@given(st.lists(st.integers(0, 30), max_size=6), st.lists(st.integers(0, 30), max_size=6))
def test_alignment_keeps_the_order_and_is_the_nearest_of_all(old: list[int], new: list[int]) -> None:
    import itertools

    pairs = aligned(old, new, apart=lambda one, other: float(abs(one - other)))
    both = [(i, j) for i, j in pairs if i is not None and j is not None]
    assert len(both) == min(len(old), len(new))
    assert both == sorted(both)
    assert [j for _, j in both] == sorted(j for _, j in both)
    assert len(pairs) == max(len(old), len(new))
    short, long = sorted((old, new), key=len)
    least = min(
        sum(abs(a - b) for a, b in zip(short, chosen, strict=True))
        for chosen in itertools.combinations(long, len(short))
    )
    assert sum(abs(old[i] - new[j]) for i, j in both) == least


# -- what it does to the figures
def by_name(found: tuple[FigureDifference, ...]) -> dict[str, FigureDifference]:
    return {one.name: one for one in found}


def test_identical_versions_differ_nowhere(brewing: Brewing, shed: Brewhouse) -> None:
    again = plan(card(), shed, draws=DRAWS)
    found = figure_differences(brewing(), again)
    assert {one.name for one in found} == set(brewing().figures)
    for one in found:
        assert one.difference is not None
        assert (one.difference.mean, one.difference.low, one.difference.high) == (0.0, 0.0, 0.0), one.name
        assert not one.telling


def test_paired_draws_tell_a_hop_change_that_the_figures_apart_do_not(brewing: Brewing) -> None:
    slightly = ('at = "boil 20 min"', 'at = "boil 28 min"')
    found = by_name(figure_differences(brewing(), brewing(slightly)))
    for name in ("glass.bitterness", "glass.bitterness_tinseth"):
        one = found[name]
        assert one.before is not None
        assert one.after is not None
        assert one.difference is not None
        # The bands of the figures overlap, so that without pairing nobody could tell.
        assert one.after.low < one.before.high
        apart = np.subtract.outer(brewing(slightly).brew.figures[name], brewing().brew.figures[name])
        low, high = np.percentile(apart, (10.0, 90.0))
        assert low < 0.0 < high
        assert one.difference.high - one.difference.low < 0.25 * (high - low)
        assert 0.0 < one.difference.low < one.difference.mean < one.difference.high
        assert one.difference.mean == pytest.approx(one.after.mean - one.before.mean, abs=1e-9)
    assert found["glass.bitterness_tinseth"].telling
    assert not found["fermenter.alcohol"].telling
    assert not found["mash.ph"].telling


def test_swapped_plans_negate(brewing: Brewing) -> None:
    there = by_name(figure_differences(brewing(), brewing(STRONGER)))
    back = by_name(figure_differences(brewing(STRONGER), brewing()))
    assert there.keys() == back.keys()
    assert any(one.telling for one in there.values())
    for name, one in there.items():
        other = back[name]
        assert one.difference is not None
        assert other.difference is not None
        assert one.difference.mean == pytest.approx(-other.difference.mean, rel=1e-9, abs=1e-9)
        assert one.difference.low == pytest.approx(-other.difference.high, rel=1e-9, abs=1e-9)
        assert one.difference.high == pytest.approx(-other.difference.low, rel=1e-9, abs=1e-9)
        assert (one.before, one.after) == (other.after, other.before)
        assert one.telling == other.telling


def test_a_stronger_beer_is_told_from_water_to_glass(brewing: Brewing) -> None:
    found = figure_differences(brewing(), brewing(STRONGER))
    assert [figure_order(one.name) for one in found] == sorted(figure_order(one.name) for one in found)
    named = by_name(found)
    gravity = named["fermenter.original_gravity"].difference
    assert gravity is not None
    assert gravity.mean == pytest.approx(0.010, abs=0.0002)
    for name in ("fermenter.original_gravity", "fermenter.alcohol", "glass.energy", "lauter.bed_kg"):
        assert named[name].telling, name
        difference = named[name].difference
        assert difference is not None
        assert difference.low > 0.0, name
    assert not named["fermenter.volume"].telling


def test_what_is_certain_but_small_is_not_telling(brewing: Brewing) -> None:
    found = by_name(figure_differences(brewing(), brewing(('mass = "20 g"', 'mass = "20.2 g"'))))
    one = found["glass.bitterness_tinseth"]
    assert one.difference is not None
    assert one.difference.low > 0.0
    assert not one.telling


def test_centre_lines_and_ensembles_of_other_sizes_are_held_against_each_other(
    brewing: Brewing, shed: Brewhouse
) -> None:
    centre = plan(card(EARLIER), shed, draws=1)
    one = by_name(figure_differences(centre, plan(card(), shed, draws=1)))["glass.bitterness_tinseth"]
    assert one.difference is not None
    assert one.difference.low == one.difference.mean == one.difference.high < -1.0
    assert one.telling
    mixed = by_name(figure_differences(brewing(), centre))["glass.bitterness_tinseth"].difference
    assert mixed is not None
    assert mixed.low < mixed.mean < mixed.high
    fewer = by_name(figure_differences(brewing(), plan(card(EARLIER), shed, draws=64)))["glass.bitterness_tinseth"]
    paired = by_name(figure_differences(brewing(), brewing(EARLIER)))["glass.bitterness_tinseth"]
    assert fewer.difference is not None
    assert paired.difference is not None
    assert fewer.difference.mean == pytest.approx(paired.difference.mean, abs=0.5)
    assert fewer.difference.high - fewer.difference.low > 3.0 * (paired.difference.high - paired.difference.low)


def test_a_figure_only_one_version_has_is_there_without_a_difference(brewing: Brewing) -> None:
    counted = brewing(("[aim]", 'bitterness_by = "rager"\n[aim]'))
    there, back = (figure_differences(*pair) for pair in ((brewing(), counted), (counted, brewing())))
    one, other = by_name(there)["glass.bitterness_rager"], by_name(back)["glass.bitterness_rager"]
    assert one.before is None
    assert one.after is not None
    assert one.difference is None
    assert not one.telling
    assert (other.before, other.after) == (one.after, None)


def test_every_figure_has_a_least_difference_worth_saying(brewing: Brewing) -> None:
    from gyle.decide.difference import worth_telling

    for name in FIGURES:
        known = figure(name)
        assert known is not None
        band = brewing().figures.get(name)
        assert worth_telling(known, band, band) > 0.0 or band is None or known.kind == "volume"


def test_other_brewhouses_are_compared_too(brewing: Brewing, houses: Mapping[str, Brewhouse]) -> None:
    smaller = plan(card(), houses["lantern-street-28"], draws=DRAWS)
    found = by_name(figure_differences(brewing(), smaller))
    assert found.keys() == {*brewing().figures, *smaller.figures}
    gravity = found["fermenter.original_gravity"].difference
    assert gravity is not None
    assert abs(gravity.mean) < 0.0005
    assert found["line.brewhouse_efficiency"].telling
