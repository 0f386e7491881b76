"""Two lines under each other: to one scale, each figure on both sides, what is quite another told in words."""

from __future__ import annotations

import html
import re
from collections.abc import Callable

import pytest

from gyle.decide.difference import figure_differences
from gyle.web.adapt_lines import LOWER, PairedFigure, Reach, TwoLines, two_lines
from gyle.web.adapt_results import Adapted
from gyle.web.line_view import COLUMNS
from gyle.web.rendering import environment
from gyle.web.ribbon_drawing import BAND_PX, CENTRE_PX

from .adapt_cases import adapted, smaller, stuck


def lines_of(found: Adapted, system: str = "metric") -> TwoLines:
    return two_lines(found, system=system)


def figures(lines: TwoLines) -> dict[str, PairedFigure]:
    pairs = [one for column in lines.columns for one in column.figures]
    return {one.name: one for one in (*pairs, *lines.whole)}


def half_heights(reach: Reach) -> list[float]:
    """Half the ribbon's height where each stretch begins."""
    starts = [re.match(r"M[\d.]+ (-?[\d.]+)", one.outline) for one in reach.drawn]
    return [CENTRE_PX - float(start[1]) for start in starts if start]


@pytest.mark.parametrize("case", [stuck, smaller])
def test_both_ribbons_are_to_one_scale(case: Callable[[], Adapted]) -> None:
    found = case()
    lines = lines_of(found)
    widest_L = max(found.there.widest_L, found.here.widest_L)
    for side, ribbon in (("there", found.there), ("here", found.here)):
        heights = [height for column in lines.columns for height in half_heights(getattr(column, side))]
        litres = [one.moments[0].volume_L for one in ribbon.stretches]
        assert heights == pytest.approx([BAND_PX / 2.0 * volume / widest_L for volume in litres], abs=0.06)


def test_every_station_has_a_column_and_every_stretch_is_drawn_once() -> None:
    lines = lines_of(stuck())
    assert [column.key for column in lines.columns] == [key for key, _, _ in COLUMNS]
    keys = [one.key for column in lines.columns for side in (column.there, column.here) for one in side.drawn]
    assert len(keys) == len(set(keys)) == len(stuck().there.stretches) + len(stuck().here.stretches)
    assert "here-lauter-2" in keys
    assert "there-lauter-2" not in keys


def test_the_words_of_a_columns_streams_stand_on_lines_of_their_own() -> None:
    for column in lines_of(stuck()).columns:
        for side in (column.there, column.here):
            said = [one for stretch in side.words for one in stretch]
            assert len({one.y for one in said}) == len(said)
    mash = lines_of(stuck()).columns[1].here
    assert [one.words for stretch in mash.words for one in stretch] == [
        f"{litres} L stays in the grain" for litres in re.findall(r"([\d.]+) L stays in the grain", mash.told)
    ]


def test_what_lies_outside_the_band_there_is_marked_in_words() -> None:
    found = stuck()
    lines = lines_of(found)
    known = {one.name: one for one in figure_differences(found.origin, found.plan)}
    marked = 0
    for name, shown in figures(lines).items():
        before, after = found.origin.figures.get(name), found.plan.figures.get(name)
        if before is None or after is None:
            assert not shown.beyond
            continue
        outside = after.mean < before.low or after.mean > before.high
        assert shown.beyond == (outside and known[name].telling)
        assert bool(shown.by) == known[name].telling
        assert shown.first or not shown.beyond
        marked += shown.beyond
    assert marked > 3
    assert figures(lines)["mash.volume"].by.startswith("−")


def test_a_figure_of_one_side_alone_has_nothing_on_the_other() -> None:
    second = figures(lines_of(stuck()))["mash.2.volume"]
    assert second.there == second.there_ends == ""
    assert second.here
    assert second.strip is None
    assert "mash 2" in second.words


def test_figures_are_those_of_the_plans_with_their_bands() -> None:
    gravity = figures(lines_of(stuck()))["fermenter.original_gravity"]
    assert gravity.there == gravity.here == "1.102"
    assert re.fullmatch(r"1\.0\d\d to 1\.1\d\d", gravity.here_ends)
    assert gravity.aim == "1.102"
    assert gravity.strip is not None
    assert gravity.strip.aim is not None


def test_minerals_are_told_only_of_a_water_that_was_reported() -> None:
    assert not any(name.startswith("water.") for name in figures(lines_of(smaller())))
    watered = adapted("quiet-harbour", to="kitchen-bag", volume="6", water="water-soft")
    assert "water.calcium" in figures(lines_of(watered))


def test_another_system_tells_other_units_of_the_same() -> None:
    metric, us = lines_of(smaller()), lines_of(smaller("us"), "us")
    assert metric.columns[0].there.litres.endswith(" L")
    assert us.columns[0].there.litres.endswith(" gal")
    assert "glass.colour" in figures(metric)
    assert "glass.colour_srm" not in figures(metric)
    assert figures(us)["glass.colour_srm"].here.endswith("SRM")
    assert figures(us)["mash.strike_temperature"].here.endswith("°F")
    assert figures(metric)["glass.alcohol_g"].words == "alcohol in 330 mL"
    assert figures(us)["glass.alcohol_g"].words == "alcohol in 330 mL (11.2 fl oz)"


def test_numbers_below_nought_have_a_true_minus_and_a_ph_no_unit_behind() -> None:
    watered = adapted("quiet-harbour", to="kitchen-bag", volume="6", water="water-soft")
    shown = figures(lines_of(watered))
    assert not any(re.search(r"(^| )-[0-9]", text) for one in shown.values() for text in (one.here, one.here_ends))
    assert re.fullmatch(r"5\.[0-9]+", shown["mash.ph"].here)
    assert re.fullmatch(r"pH 5\.[0-9]+", shown["kettle.full.ph"].here)


def test_cautions_are_those_of_the_brewing_here() -> None:
    found = stuck()
    told = [text for column in lines_of(found).columns for text in column.cautions]
    assert len(told) == len(found.plan.cautions("metric"))
    assert any(text.startswith("Wort kept aside") for text in told)


def test_the_drawing_fits_its_box() -> None:
    lines = lines_of(stuck())
    part = environment().get_template("adapt_parts.html").module
    drawn = html.unescape(str(part.reach(lines.columns[1].here.drawn[0], lines)))  # type: ignore[attr-defined]
    assert f'height="{lines.height_px}"' in drawn
    assert f"scale(1 {LOWER})" in drawn
    assert "style=" not in drawn
    for column in lines.columns:
        for side in (column.there, column.here):
            assert all(0.0 < one.y < lines.height_px for stretch in side.words for one in stretch)
