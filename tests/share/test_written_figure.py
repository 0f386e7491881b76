"""Figures written down: which one is meant, and in which unit."""

from __future__ import annotations

import pytest

from gyle.beer.figures import BITTERNESS_FIGURE
from gyle.line.figures import Band, figure
from gyle.share.written_figure import bitterness_figure, litres_text, written


@pytest.mark.parametrize("rule", [*BITTERNESS_FIGURE, "one of another program"])
def test_every_rule_of_bitterness_has_a_figure(rule: str) -> None:
    known = figure(bitterness_figure(rule))
    assert known is not None
    assert known.unit == "IBU"


def test_volumes_on_the_line_are_all_in_one_unit() -> None:
    assert [litres_text(volume_L, "metric") for volume_L in (0.24, 37.73)] == ["0.2 L", "37.7 L"]
    assert [litres_text(volume_L, "us") for volume_L in (0.24, 37.73)] == ["0.1 gal", "10.0 gal"]


@pytest.mark.parametrize(("name", "said"), [("mash.ph", "5.82"), ("kettle.full.ph", "pH 5.82"), ("glass.ph", "5.82")])
def test_a_ph_stands_behind_its_name_and_never_before_it(name: str, said: str) -> None:
    shown = written(name, Band(mean=5.82, low=5.7, high=5.94, median=5.82), "metric")
    assert shown.value == said
    assert f"{shown.words} {shown.value}".count("pH") == 1
    assert shown.number == "5.82"
    assert shown.unit == "pH"  # which the terminal sets in a column of its own
