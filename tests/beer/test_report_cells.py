"""Lines of a report taken apart."""

from __future__ import annotations

import pytest

from gyle.beer.report_cells import cells_of, heading_of, is_number, is_unit


@pytest.mark.parametrize("cell", ["84,2", "< 0,02", "38 – 52", "1.1", "≤5"])
def test_a_figure_is_one(cell: str) -> None:
    assert is_number(cell)


@pytest.mark.parametrize("cell", ["mg/l", "mg Ca/l", "°dH", "µS/cm", "mmol/l", "ppm as CaCO3", "mg/l NO3", "(mg/l)"])
def test_a_unit_is_one(cell: str) -> None:
    assert is_unit(cell)
    assert not is_number(cell)


@pytest.mark.parametrize("line", ["Calcium\t94,4\tmg/l", "Calcium | 94,4 | mg/l", "Calcium; 94,4; mg/l"])
def test_separators_part_columns(line: str) -> None:
    cells = cells_of(line)
    assert cells.columns
    assert cells.numbers == ("94,4",)
    assert cells.unit == "mg/l"


def test_a_unit_of_two_words_stays_whole_between_spaces() -> None:
    assert "mg Ca/l" in cells_of("Calcium 94 mg Ca/l").cells


def test_figures_that_may_be_one_of_thousands_are_doubtful() -> None:
    assert cells_of("Leitfähigkeit 1 250 µS/cm").doubtful
    assert not cells_of("Leitfähigkeit 651 µS/cm").doubtful


def test_a_heading_says_what_its_columns_are() -> None:
    found = heading_of("Parameter | Einheit | Grenzwert | Minimum | Mittelwert | Maximum")
    assert found is not None
    assert found.roles == ("name", "unit", "limit", "min", "mean", "max")
    assert heading_of("Calcium | mg/l | 94,4") is None


def test_figures_that_rise_are_seen() -> None:
    assert cells_of("Calcium | 80 | 94 | 99").rising == ("80", "94", "99")
    assert cells_of("Calcium | 94 | 80 | 99").rising is None
