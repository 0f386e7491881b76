"""What the adapt page tells of a result: the same words and figures as the command line."""

from __future__ import annotations

import itertools
from collections.abc import Callable

import attrs
import pytest

from gyle.cli.adapt_page import adapt_page
from gyle.decide.changes import Change
from gyle.decide.misses import Miss
from gyle.share.written_figure import written
from gyle.web.adapt_results import Adapted
from gyle.web.adapt_view import AdaptView, adapt_view, came_of

from .adapt_cases import adapted, smaller, stuck


def view_of(found: Adapted, system: str = "metric") -> AdaptView:
    return adapt_view(found, system=system)


def printed(found: Adapted, system: str = "metric") -> str:
    """The same adaptation at the command line, on very wide paper."""
    page = adapt_page(found.found, width=400, system=system)
    return " ".join(" ".join("".join(ink.text for ink in line) for line in page.lines).split())


def test_the_ways_out_are_those_that_were_compared() -> None:
    found, view = stuck(), view_of(stuck())
    assert [one.name for one in (*view.ways, *view.none)] == [one.name for one in found.found.options]
    assert [one.name for one in view.ways if one.taken] == [view.taken]
    assert [one.name for one in view.ways if one.recommended] == [view.taken]
    assert all(one.why for one in view.ways if one.recommended)
    assert all(one.short_of for one in view.none)
    assert not any(one.why for one in view.ways if not one.recommended)


def test_each_way_out_has_its_figures_with_their_bands() -> None:
    for option, way in zip((one for one in stuck().found.options if one.fits), view_of(stuck()).ways, strict=True):
        assert option.plan is not None
        for name, cell in (
            ("fermenter.volume", way.volume),
            ("fermenter.original_gravity", way.gravity),
            ("fermenter.alcohol", way.alcohol),
            ("glass.bitterness_tinseth", way.bitterness),
        ):
            said = written(name, option.plan.figures[name], "metric")
            assert (cell.value, cell.ends) == (said.value, said.band)
        assert way.time.removesuffix(" min").replace("−", "-") == f"{option.extra_minutes:+.0f}"
        assert way.in_all.value.endswith(" h")


def test_nothing_is_priced_where_nothing_has_a_price() -> None:
    assert not view_of(stuck()).priced


def test_another_way_out_is_the_one_taken() -> None:
    view = view_of(adapted("copper-beacon", to="lantern-street-28", choose="smaller volume"))
    assert [one.name for one in view.ways if one.taken] == ["smaller volume"]
    assert [one.name for one in view.ways if one.recommended] == [view_of(stuck()).taken]
    assert came_of(adapted("copper-beacon", to="lantern-street-28", choose="smaller volume")) == (
        "Adapted to Lantern Street 28: smaller volume."
    )
    assert view.said.startswith("By smaller volume on Lantern Street 28: 1.102 original")


@pytest.mark.parametrize("case", [stuck, smaller])
def test_the_words_are_those_of_the_command_line(case: Callable[[], Adapted]) -> None:
    found = case()
    view, there = view_of(found), printed(found)
    for group in view.changes:
        assert group.why in there
        for change in group.what:
            assert f"{change.what}: {change.before} → {change.after}" in there
    assert sum(len(group.what) for group in view.changes) == len(found.found.changes)
    for way in view.ways:
        assert way.name in there
        assert way.why in there
    for _, rows in view.weighed:
        for row in rows:
            assert row.what.partition(", ")[0] in there


def test_changes_for_one_reason_stand_together() -> None:
    malts = next(group for group in view_of(stuck()).changes if group.what[0].what == "pale ale malt")
    assert [one.what for one in malts.what] == ["pale ale malt", "wheat malt"]
    reasons = [group.why for group in view_of(stuck()).changes]
    assert all(before != after for before, after in itertools.pairwise(reasons))


def test_what_fits_has_no_ways_out() -> None:
    view = view_of(smaller())
    assert view.fits
    assert view.ways == view.none == view.short_of == view.still_short_of == ()
    assert view.said.startswith("It fits as it is on Kitchen bag:")


def test_no_note_speaks_of_the_command_line() -> None:
    for found in (stuck(), smaller()):
        assert any("no water report" in note.casefold() for note in view_of(found).notes)
        assert not any("--" in note for note in view_of(found).notes)


def test_what_to_weigh_is_what_the_plan_weighs() -> None:
    view = view_of(stuck())
    rows = dict(view.weighed)
    assert [row.what for row in rows["grist"]] == [line.what for line in stuck().plan.recipe.grist]
    assert rows["grist"][0].amount == f"{stuck().plan.amounts.grist_kg[0]:.2f} kg"
    assert rows["grist"][2].when == "mash 2"
    assert view.each == ""
    blended = view_of(adapted("copper-beacon", to="lantern-street-28", choose="two gyles blended"))
    assert blended.each == "for each of 2 gyles"


def minutes_of(said: str) -> float:
    return 0.0 if said == "as there" else float(said.removesuffix(" min").replace("−", "-"))


def test_the_time_of_a_way_out_is_against_the_day_there_as_in_all() -> None:
    found, view = stuck(), view_of(stuck())
    there = found.origin.figures["line.minutes"].mean
    for option, way in zip((one for one in found.found.options if one.fits), view.ways, strict=True):
        assert option.plan is not None
        assert minutes_of(way.time) == pytest.approx(option.plan.figures["line.minutes"].mean - there, abs=1.0)
    taken = next(way for way in view.ways if way.taken)
    whole = next(one for one in view.lines.whole if one.name == "line.minutes")
    # What is left between the two is the rounding to what can be weighed and measured.
    assert minutes_of(taken.time) == pytest.approx(minutes_of(whole.by), abs=5.0)


def test_what_is_not_met_stands_at_the_top_and_nowhere_else() -> None:
    assert view_of(stuck()).unmet == ()
    why = "the mash pH is not met, because there is no room beyond lactate of at most 300 mg/L"
    missed = Miss(figure="mash.ph", wanted=5.2, got=5.41, within_rounding=False)
    rounded = Miss(figure="keg.volume", wanted=19.0, got=18.9, within_rounding=True)
    found = attrs.evolve(
        stuck(),
        found=attrs.evolve(stuck().found, notes=(why, "keep it cold")),
        plan=attrs.evolve(stuck().plan, misses=(missed, rounded)),
    )
    view = view_of(found)
    assert view.unmet == (
        "Mash pH, of a cooled sample: pH 5.2 is not met: it comes to pH 5.41.",
        "The mash pH is not met, because there is no room beyond lactate of at most 300 mg/L.",
    )
    assert view.notes == ("Keep it cold.",)


def test_what_the_last_turns_leave_stands_at_the_top() -> None:
    taken = stuck().taken
    assert taken is not None
    assert taken.settled is not None
    left = "the stand is made no longer than 30 min, for its aroma"
    option = attrs.evolve(taken, settled=attrs.evolve(taken.settled, notes=(left,)))
    found = attrs.evolve(stuck(), taken=option, found=attrs.evolve(stuck().found, notes=(left, "keep it cold")))
    assert view_of(found).unmet == ("The stand is made no longer than 30 min, for its aroma.",)
    assert view_of(found).notes == ("Keep it cold.",)


def test_temperatures_in_names_are_in_the_persons_units() -> None:
    change = Change(what="Cascade, stand 80 °C", before="50 g", after="40 g", why="less wort")
    for system, said in (("metric", "Cascade, stand 80 °C"), ("us", "Cascade, stand 176 °F")):
        found = attrs.evolve(stuck(system), found=attrs.evolve(stuck(system).found, changes=(change,)))
        assert view_of(found, system).changes[0].what[0].what == said


def test_salts_are_told_under_a_brewers_names() -> None:
    view = view_of(adapted("quiet-harbour", to="kitchen-bag", volume="6", water="water-soft"))
    weighed = {row.what for _, rows in view.weighed for row in rows}
    changed = {one.what.partition(",")[0] for group in view.changes for one in group.what}
    assert "calcium chloride" in weighed
    assert "calcium chloride" in changed
    assert not any("dihydrate" in what for what in weighed | changed)
