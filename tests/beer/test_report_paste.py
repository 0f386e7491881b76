"""A report pasted as published: each line understood or left out with its reason, never guessed in silence."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.beer.report_key_words import KEY_WORDS, alone
from gyle.beer.report_paste import MOST_CHARACTERS, MOST_LINES, pasted_lines
from gyle.errors import BadInput

GERMAN = """\
Parameter\tEinheit\tGrenzwert\tMittelwert
pH-Wert (9,3 °C)\t\t6,5 - 9,5\t7,41
Leitfähigkeit bei 25 °C\tµS/cm\t2790\t651
Säurekapazität bis pH 4,3\tmmol/l\t-\t5,72
Gesamthärte\t°dH\t\t17,4
Natrium\tmg/l\t200\t13,9
"""
ENGLISH = """\
Parameter | Units | PCV | Min | Mean | Max
Calcium | mg/l | | 90 | 94 | 99
Alkalinity as CaCO3 | mg/l | | 110 | 118 | 130
Nitrate as N | mg/l | 11.3 | 1.1 | 1.4 | 2
Sulphate | mg/l | 250 | <5 | 18 | 22
"""


def values(text: str) -> dict[str, str]:
    return {line.key: line.value for line in pasted_lines(text) if line.key}


def said(text: str) -> str:
    return pasted_lines(text)[-1].said


def test_a_table_in_german_is_read_by_its_heading_and_its_limits_are_left_out() -> None:
    assert values(GERMAN) == {
        "ph": "7,41 at 9,3 °C",
        "conductivity": "651 µS/cm at 25 °C",
        "acid_capacity": "5,72 mmol/l",
        "hardness": "17,4 °dH",
        "sodium": "13,9 mg/l",
    }
    assert pasted_lines(GERMAN)[0].heading


def test_least_mean_and_most_become_a_range_and_what_it_is_stated_as_goes_with_it() -> None:
    assert values(ENGLISH) == {
        "calcium": "90-94-99 mg/l",
        "alkalinity": "110-118-130 mg/l as CaCO3",
        "nitrate": "1.1-1.4-2 mg/l as N",
        "sulfate": "18 mg/l",
    }
    assert "an end of its range is no plain number" in said(ENGLISH)


@pytest.mark.parametrize(
    ("line", "key", "value"),
    [
        ("Calcium 94,4 mg/l", "calcium", "94,4 mg/l"),
        ("Magnesium (Mg) 18,3 mg/l", "magnesium", "18,3 mg/l"),
        ("Natrium: 13,9 mg/l", "sodium", "13,9 mg/l"),
        ("Sulfat 12 - 18 mg/l", "sulfate", "12 - 18 mg/l"),
        ("Chlorid  24,4", "chloride", "24,4"),
        ("Nitrit < 0,02 mg/l", "nitrite", "< 0,02 mg/l"),
        ("Calcium mg/l 94,4", "calcium", "94,4 mg/l"),
    ],
)
def test_a_single_line_is_read_as_it_stands(line: str, key: str, value: str) -> None:
    assert values(line) == {key: value}


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        ("Härte 17,4", "names no unit"),
        ("Calcium NaN", "calcium has no figure"),
        ("Magnesium -5 mg/L", "must be at least 0"),
        ("Sodium 1e308", "not between 0 and"),
        ("Calcium 94 250 mg/l", "nothing says which one counts"),
        ("Färbung 0,5", "nothing that is reckoned with"),
        ("Härtebereich hart", "no figure"),
        ("Calcium " + "9" * 300, "longer than"),
    ],
)
def test_a_line_that_could_mean_something_else_is_left_out_with_its_reason(line: str, reason: str) -> None:
    (one,) = pasted_lines(line)
    assert not one.key
    assert reason in one.said


def test_the_first_of_two_lines_for_one_figure_counts_and_the_second_says_so() -> None:
    assert values("Calcium 90 mg/l\nCalcium 94 mg/l") == {"calcium": "90 mg/l"}
    assert "was read in line 1 already" in said("Calcium 90 mg/l\nCalcium 94 mg/l")


def test_more_than_a_report_can_have_is_refused() -> None:
    with pytest.raises(BadInput, match="40,000"):
        pasted_lines("x" * (MOST_CHARACTERS + 1))
    with pytest.raises(BadInput, match="lines"):
        pasted_lines("\n".join("x" * 3 for _ in range(MOST_LINES + 1)))


@given(st.text(max_size=400))
def test_whatever_is_pasted_is_told_line_by_line(text: str) -> None:
    for line in pasted_lines(text):
        assert line.said
        assert not line.key or line.key in KEY_WORDS


@given(
    st.sampled_from(sorted(set(KEY_WORDS) - {"carbonate"})),
    st.from_regex(r"[0-9]{1,3}([.,][0-9]{1,2})? ?(mg/l|mmol/l|°dH|µS/cm)?", fullmatch=True),
)
def test_what_is_understood_reads_again_by_itself(key: str, figure: str) -> None:
    for line in pasted_lines(f"{KEY_WORDS[key]} {figure}"):
        assert not line.key or alone(line.key, line.value).water is not None


@pytest.mark.parametrize(
    "line",
    [
        "elektr. Leitfähigkeit (25 °C)\tµS/cm\t651\t2790",
        "elektr. Leitfähigkeit (25 °C) µS/cm 651 2790",
        "spez. elektr. Leitf. (25 °C)\tµS/cm\t651\t2790",
        "Leitfähigkeit bei 25 °C:\tµS/cm\t651\t2790",
    ],
)
def test_a_shortened_conductivity_is_read_with_its_temperature(line: str) -> None:
    assert values(f"Parameter\tEinheit\tMesswert\tGrenzwert\n{line}") == {"conductivity": "651 µS/cm at 25 °C"}


def test_a_conductivity_with_its_temperature_before_a_colon_needs_no_heading() -> None:
    assert values("elektr. Leitfähigkeit bei 25 °C: 651 µS/cm") == {"conductivity": "651 µS/cm at 25 °C"}


@pytest.mark.parametrize("heading", ["Parameter Messwert Grenzwert", "Messwert / Grenzwert", "Messwert Grenzwert"])
@pytest.mark.parametrize(
    ("line", "key", "value"),
    [
        ("Eisen, gesamt < 0,02 0,200", "iron", "< 0,02"),
        ("Mangan gesamt <0,005 0,050", "manganese", "<0,005"),
        ("Natrium 13,9 200", "sodium", "13,9"),
        ("Natrium mg/l 13,9 200", "sodium", "13,9 mg/l"),
    ],
)
def test_columns_without_separators_are_told_apart_by_their_heading(
    heading: str, line: str, key: str, value: str
) -> None:
    assert values(f"{heading}\n{line}") == {key: value}
    assert values(line) == {}  # without a heading nothing says which one counts


def test_a_heading_with_a_unit_serves_lines_without_one_too() -> None:
    assert values("Parameter Einheit Messwert Grenzwert\nSulfat 18 250\nChlorid mg/l 24 250") == {
        "sulfate": "18", "chloride": "24 mg/l"
    }  # fmt: skip


def test_more_figures_than_columns_are_not_guessed() -> None:
    assert values("Parameter Messwert Grenzwert\nSulfat 1 250 250") == {}
    assert values("Parameter Wert\nSulfat 18 250") == {}


def test_all_chlorine_is_not_the_free_one() -> None:
    assert values("Chlor, gesamt 0,3 mg/l") == {}
    assert values("Eisen (gesamt) 0,3 mg/l") == {"iron": "0,3 mg/l"}
