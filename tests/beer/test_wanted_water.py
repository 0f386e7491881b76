"""What a recipe may wish of its water: an amount, a range, an open side, a ratio; and what is no wish."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

import attrs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.beer.reading import recipe_from_text
from gyle.beer.recipe import Recipe
from gyle.beer.unstated_water import unstated_water
from gyle.beer.wanted_water_reading import WANTED_IONS
from gyle.beer.water_substances import MAJOR, substance
from gyle.beer.writing import recipe_text, restated
from gyle.errors import BadInput, OutOfRange

HEAD = 'gyle = 1\nname = "Range"\n[[grist]]\nwhat = "pale ale malt"\nshare = "100 %"\n[water]\n'
INF = math.inf


def wish(text: str) -> Recipe:
    return recipe_from_text(f"{HEAD}{text}\n")


# --- reading ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "low", "high"),
    [
        ('"60 to 120"', 60, 120),
        ('"60 to 120 mg/L"', 60, 120),
        ('"60 mg/L to 120 mg/L"', 60, 120),
        ('"from 60 to 120 ppm"', 60, 120),
        ('"60-120"', 60, 120),
        ('"60 – 120 mg/L"', 60, 120),
        ('"60,5 TO 120,25"', 60.5, 120.25),
        ("{ low = 60, high = 120 }", 60, 120),
        ('{ low = "0.06 g/L", high = "120 mg/L" }', 60, 120),
        ('"at most 60"', -INF, 60),
        ('"under 60 mg/L"', -INF, 60),
        ('"< 60"', -INF, 60),
        ("{ high = 60 }", -INF, 60),
        ('"At least 50"', 50, INF),
        ('"over 50 mg/L"', 50, INF),
        ('">50"', 50, INF),
        ("{ low = 50 }", 50, INF),
        ('"at most 0"', -INF, 0),
    ],
)
def test_a_range_is_read(written: str, low: float, high: float) -> None:
    recipe = wish(f"chloride = {written}")
    ((ion, *ends),) = recipe.wanted_ranges_mg_L
    assert ion == "chloride"
    assert ends == pytest.approx([low, high])
    assert recipe.wanted_ions_mg_L == ()
    assert recipe.sulfate_to_chloride is None


def test_moles_and_equivalents_are_ranges_too() -> None:
    ((_, low, high),) = wish('calcium = "1.5 to 3 mmol/L"').wanted_ranges_mg_L
    assert (low, high) == pytest.approx((1.5 * 40.078, 3.0 * 40.078))
    ((_, low, high),) = wish('calcium = "3 mEq/L to 120 mg/L"').wanted_ranges_mg_L
    assert (low, high) == pytest.approx((1.5 * 40.078, 120.0))


def test_an_exact_wish_stays_an_exact_wish() -> None:
    recipe = wish('calcium = 75\nsulfate = "90 mg/L"\nchloride = "60 to 60"\nmagnesium = "5 to 15"')
    assert dict(recipe.wanted_ions_mg_L) == {"calcium": 75.0, "sulfate": 90.0, "chloride": 60.0}
    assert recipe.wanted_ranges_mg_L == (("magnesium", 5.0, 15.0),)
    assert not {ion for ion, _ in recipe.wanted_ions_mg_L} & {ion for ion, _, _ in recipe.wanted_ranges_mg_L}


@pytest.mark.parametrize(
    ("written", "low", "high"),
    [
        ("2", 2 / 1.15, 2 * 1.15),
        ('"2"', 2 / 1.15, 2 * 1.15),
        ('"0,5"', 0.5 / 1.15, 0.5 * 1.15),
        ('"2 to 3"', 2, 3),
        ('"2-3"', 2, 3),
        ('"2 to 2"', 2, 2),
        ("{ low = 2, high = 3 }", 2, 3),
        ('"at least 2"', 2, INF),
        ('"at most 1.5"', 0, 1.5),
        ("{ high = 1 }", 0, 1),
    ],
)
def test_a_ratio_is_read(written: str, low: float, high: float) -> None:
    recipe = wish(f"sulfate_to_chloride = {written}")
    assert recipe.sulfate_to_chloride == pytest.approx((low, high))
    assert recipe.wanted_ions_mg_L == ()
    assert recipe.wanted_ranges_mg_L == ()


# --- writing back ---------------------------------------------------------------------------------------------------

amounts = st.floats(0.0, 3000.0).map(lambda mg: round(mg, 3))
finite_spans = st.tuples(amounts, amounts).map(sorted).filter(lambda ends: ends[0] < ends[1]).map(tuple)
spans = finite_spans | amounts.map(lambda mg: (-INF, mg)) | amounts.map(lambda mg: (mg, INF))
ratio_numbers = st.floats(0.02, 90.0).map(lambda ratio: round(ratio, 2))
ratios = st.tuples(ratio_numbers, ratio_numbers).map(sorted).map(tuple) | ratio_numbers.map(
    lambda ratio: (ratio / 1.15, ratio * 1.15)
)


def in_order(rows: Iterable[tuple[Any, ...]]) -> tuple[Any, ...]:
    return tuple(sorted(rows, key=lambda row: WANTED_IONS.index(row[0])))


@given(st.permutations(WANTED_IONS), st.lists(amounts, max_size=3), st.lists(spans, max_size=4), st.none() | ratios)
def test_what_is_written_reads_as_the_same_wish(
    ions: list[str],
    exact: list[float],
    ranges: list[tuple[float, float]],
    ratio: tuple[float, float] | None,
) -> None:
    recipe = attrs.evolve(
        wish(""),
        wanted_ions_mg_L=in_order(zip(ions, exact, strict=False)),
        wanted_ranges_mg_L=in_order((ion, *ends) for ion, ends in zip(ions[3:], ranges, strict=False)),
        sulfate_to_chloride=ratio,
    )
    text = recipe_text(recipe)
    again = recipe_from_text(text)
    for name in ("wanted_ions_mg_L", "wanted_ranges_mg_L", "sulfate_to_chloride"):
        assert getattr(again, name) == getattr(recipe, name), text
    assert recipe_text(again) == text


def test_a_wish_is_written_as_one_would_say_it() -> None:
    text = recipe_text(
        wish('calcium = "60-120"\nchloride = { high = 60 }\nmagnesium = "> 5"\nsodium = 12\nsulfate_to_chloride = 2')
    )
    assert text.split("[water]\n")[1].splitlines() == [
        "sodium = 12",
        'calcium = "60 to 120 mg/L"',
        'magnesium = "at least 5 mg/L"',
        'chloride = "at most 60 mg/L"',
        "sulfate_to_chloride = 2",
    ]
    assert 'sulfate_to_chloride = "at most 1"' in recipe_text(wish("sulfate_to_chloride = { high = 1 }"))
    assert 'sulfate_to_chloride = "2 to 3"' in recipe_text(wish('sulfate_to_chloride = "2-3"'))


def test_an_authors_own_words_stay_where_nothing_changes() -> None:
    text = f"{HEAD}calcium = {{ low = 60, high = 120 }}   # anywhere\nsulfate_to_chloride = 2\n"
    recipe = recipe_from_text(text)
    assert restated(text, recipe, recipe) == text


# --- faults ---------------------------------------------------------------------------------------------------------


@pytest.mark.faults
@pytest.mark.parametrize(
    ("written", "said"),
    [
        ('calcium = "120 to 60"', 'whose low end is above its high end; write "60 to 120"'),
        ("calcium = { low = 120, high = 60 }", "has low = 120 and high = 60, whose low end is above its high end"),
        ('calcium = "-5 to 60"', "must be at least 0 mg/L"),
        ('calcium = "at most -5"', "must be at least 0 mg/L"),
        ("calcium = { low = -1 }", "must be at least 0 mg/L"),
        ('calcium = "at most"', "nothing is written where a concentration is wanted"),
        ('calcium = "at least some"', '"some" is not a concentration'),
        ('calcium = "to"', '"to" is not a concentration'),
        ("calcium = {}", "gives neither low nor high"),
        ('calcium = "60 to 120 to 140"', "is a range where one value is wanted"),
        ('calcium = "60 to 120 mL"', "is a volume, not a concentration"),
        ('calcium = "60 to 9000"', "not between 0 and 3000 mg/L"),
        ('calcium = "100 to 200 mmol/L"', "more than 3000 mg/L"),
        ("calcium = { low = 60, hihg = 120 }", "perhaps high is meant"),
        ("calcium = [60, 120]", "is a list"),
        ('calcium = "60 to 120"\ncalcium = 75', "a second time"),
        ("sulfate_to_chloride = 0", "not between 0.01 and 100"),
        ('sulfate_to_chloride = "at most 0"', "not between 0.01 and 100"),
        ('sulfate_to_chloride = "0 to 3"', "not between 0.01 and 100"),
        ("sulfate_to_chloride = -2", "must be at least 0"),
        ('sulfate_to_chloride = "3 to 2"', 'write "2 to 3", or the quotient as one number'),
        ('sulfate_to_chloride = "lots"', '"lots" is not a ratio'),
        ("sulfate_to_chloride = {}", "gives neither low nor high"),
        ("sulfate_to_chlorid = 2", "perhaps sulfate_to_chloride is meant"),
    ],
)
def test_what_is_no_wish_is_one_sentence(written: str, said: str) -> None:
    with pytest.raises(BadInput) as caught:
        wish(written)
    (fault,) = caught.value.faults
    assert said in fault
    assert "line" in fault


# --- nobody states the water ----------------------------------------------------------------------------------------


@given(st.sampled_from(MAJOR), st.floats(0.0, 400.0), st.floats(0.0, 400.0))
def test_an_unstated_water_is_as_wide_as_the_range(ion: str, one: float, other: float) -> None:
    low, high = sorted((one, other))
    taken = getattr(unstated_water({}, {ion: (low, high)}), f"{ion}_mg_L")
    assert taken.centre == pytest.approx((low + high) / 2.0)
    assert taken.spread >= (high - low) / 2.56 - 1e-9  # its ends hold 8 of 10
    exact = getattr(unstated_water({ion: (low + high) / 2.0}), f"{ion}_mg_L")
    assert taken.spread >= exact.spread - 1e-9


@given(st.sampled_from(MAJOR), st.floats(0.0, 400.0), st.booleans())
def test_with_an_open_side_a_usual_water_stands_where_it_is_inside(ion: str, end: float, at_most: bool) -> None:
    low, high = (-INF, end) if at_most else (end, INF)
    taken = getattr(unstated_water({}, {ion: (low, high)}), f"{ion}_mg_L")
    assert low <= taken.centre <= high
    usual = substance(ion).usual_mg_L
    assert taken.centre == (usual if low <= usual <= high else end)


def test_a_range_widens_what_the_charges_leave() -> None:
    close = unstated_water({"calcium": 90.0, "sulfate": 90.0, "chloride": 60.0})
    wide = unstated_water({"sulfate": 90.0, "chloride": 60.0}, {"calcium": (60.0, 120.0)})
    assert wide.alkalinity_mEq_L.centre == pytest.approx(close.alkalinity_mEq_L.centre)
    assert wide.alkalinity_mEq_L.spread == pytest.approx(math.hypot(0.6, 60.0 / 2.56 * 2 / 40.078), rel=1e-3)
    assert close.alkalinity_mEq_L.spread == 0.6
    assert "give or take 10 % or anywhere in the wished range" in wide.supposed[0]
    assert "anywhere" not in close.supposed[0]


@pytest.mark.faults
def test_a_range_of_no_ion_is_refused() -> None:
    with pytest.raises(OutOfRange, match="gold is wished for"):
        unstated_water({}, {"gold": (1.0, 2.0)})
    with pytest.raises(OutOfRange, match="calcium"):
        unstated_water({}, {"calcium": (-1.0, 2.0)})
