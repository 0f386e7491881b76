"""A gyle told in a sentence: what is next and when, by its plan."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import attrs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.books import gyles
from gyle.books.brewhouses import add_brewhouse, brewhouse, save_brewhouse
from gyle.books.gyles import Gyle, plan_gyle
from gyle.books.store import Store
from gyle.quantities import speaking
from gyle.web import gyle_agendas, gyle_plans
from gyle.web.gyle_agendas import Agenda, Agendas, Task
from gyle.web.gyle_plans import NEAREST, SINCE, GyleView, gyle_view, gyle_views

ZONE = ZoneInfo("Europe/Dublin")
START = datetime(2026, 11, 27, 9, 0, tzinfo=ZONE)
HOUR, DAY = timedelta(hours=1), timedelta(days=1)
DAY_MIN = 1440.0
AGENDA = Agenda(
    day=(
        Task(words="draw 28 L of water", due_min=0.0, until_min=10.0),
        Task(words="rest at 66 °C", due_min=10.0, until_min=100.0),
        Task(words="add 30 g Cascade", due_min=100.0, until_min=100.0),
        Task(words="boil 60 min", due_min=100.0, until_min=160.0),
        Task(words="pitch the yeast", due_min=160.0, until_min=170.0),
    ),
    later=(
        Task(words="dry hop: 60 g Cascade", due_min=2.0 * DAY_MIN, until_min=9.0 * DAY_MIN, waits=True),
        Task(words="fill the keg", due_min=14.0 * DAY_MIN, until_min=28.0 * DAY_MIN),
    ),
    pitched_min=170.0,
)


def gyle(start: datetime = START, note: str = "", zone: str = "Europe/Dublin") -> Gyle:
    return Gyle(
        id=1, slug="tram-2026-11-27", beer="tram", beer_name="Tram", version=2, newest_version=2, brewhouse="shed",
        brewhouse_name="Shed", revision=1, newest_revision=1, planned_start=start.astimezone(UTC), zone=zone,
        note=note, made_at=start,
    )  # fmt: skip


def told(now: datetime, agenda: Agenda | str | None = AGENDA) -> GyleView:
    view = gyle_view(gyle(), agenda, now=now)
    assert view is not None
    return view


@pytest.mark.parametrize(
    ("after", "margin", "sentence"),
    [
        (-2 * DAY, "in 2 days", ", begins Friday 27 November, 9:00: draw 28 L of water."),
        (-DAY, "tomorrow", ", begins tomorrow, 9:00: draw 28 L of water."),
        (-HOUR, "today", ", begins today, 9:00: draw 28 L of water."),
        (
            HOUR,
            "now",
            ": by its plan it is time to rest at 66 °C, until about 10:40; then add 30 g Cascade and boil 60 min.",
        ),
        (DAY, "tomorrow", ": look at its gravity from tomorrow on, and dry hop: 60 g Cascade."),
        (
            0.5 * DAY,
            "in 2 days",
            ": look at its gravity from about Sunday 29 November on, and dry hop: 60 g Cascade.",
        ),
        (2.2 * DAY, "now", ": look at its gravity from today on, and dry hop: 60 g Cascade."),
        (
            4 * DAY,
            "now",
            ": by its plan its gravity has been worth a look since Sunday 29 November; dry hop: 60 g Cascade.",
        ),
        (10 * DAY, "in 4 days", ": fill the keg, due about Friday 11 December."),
        (13.1 * DAY, "tomorrow", ": fill the keg, due tomorrow."),
        (15 * DAY, "now", ": fill the keg; by its plan that was yesterday."),
        (20 * DAY, "now", ": fill the keg; by its plan that was about Friday 11 December."),
    ],
)
def test_the_sentence_follows_the_plan(after: timedelta, margin: str, sentence: str) -> None:
    view = told(START + after)
    assert (view.margin, view.sentence) == (margin, sentence)


def test_it_goes_on_from_there() -> None:
    ahead = told(START - DAY)
    assert ahead.beneath == "On Shed, pitched about 11:50, into the keg about Friday 11 December."
    fermenting = told(START + 3 * DAY)
    assert "fermenting since Friday 27 November by its plan" in fermenting.beneath


def test_its_name_leads_to_the_beer_or_to_an_older_version_of_it() -> None:
    assert told(START - DAY).href == "/beers/tram"  # with its open draft, if there is one
    older = gyle_view(attrs.evolve(gyle(), newest_version=3), AGENDA, now=START - DAY)
    assert older is not None
    assert older.href == "/beers/tram?version=2"


def test_a_gyle_under_way_stays_on_the_brewhouse_it_was_begun_on(store: Store, agendas: Agendas) -> None:
    (planned,) = (one for one in gyles.gyles(store) if one.beer == "copper-beacon")
    house = brewhouse(store, planned.brewhouse)
    save_brewhouse(store, house.slug, text=house.text.replace('"48 L"', '"10 L"'), seen=house.number)
    for moment, afresh in ((planned.planned_start - HOUR, True), (planned.planned_start + HOUR, False)):
        views = gyle_views(store, agendas, system="metric", now=moment, beer="copper-beacon")
        assert bool(views[0].afresh) is afresh
        assert ("does not fit" in views[0].trouble) is afresh


def test_a_gyle_whose_keg_was_due_long_ago_is_no_longer_told_of() -> None:
    assert gyle_view(gyle(), AGENDA, now=START + 29 * DAY) is None


def test_one_that_cannot_be_brewed_says_why_and_when_it_was_to_begin() -> None:
    view = told(START - 3 * DAY, "the brewhouse has no kettle")
    assert view.sentence == ", begins Friday 27 November, 9:00."
    assert view.trouble == "It cannot be brewed as planned: the brewhouse has no kettle."
    assert told(START + 3 * DAY, "why").sentence == ", was to begin Friday 27 November, 9:00."


def test_one_that_does_not_fit_leads_to_a_way_out() -> None:
    short = Agenda(day=AGENDA.day, later=AGENDA.later, pitched_min=170.0, short_of=("the kettle is too small",))
    view = told(START - DAY, short)
    assert view.trouble == "It does not fit: the kettle is too small."
    assert view.way_out == "/beers/tram/adapt?version=2&to=shed"
    assert told(START - DAY).way_out == ""


def test_the_brewers_clock_is_kept_over_a_change_of_the_hour() -> None:
    evening = datetime(2026, 10, 24, 22, 0, tzinfo=ZONE)  # the clocks go back at two in the night
    long = Agenda(day=(Task(words="rest", due_min=0.0, until_min=360.0),), later=(), pitched_min=360.0)
    view = gyle_view(gyle(evening), long, now=evening + HOUR)
    assert view is not None
    assert "until about 3:00" in view.sentence


def test_a_long_note_is_cut() -> None:
    view = gyle_view(gyle(note="mind the pump\n" * 1000), AGENDA, now=START)
    assert view is not None
    assert len(view.note) == gyle_plans.NOTE_LENGTH
    assert "\n" not in view.note


@given(st.floats(-200.0, 40.0))
def test_at_any_moment_there_is_one_sentence(days: float) -> None:
    now = START + days * DAY
    view = gyle_view(gyle(), AGENDA, now=now)
    if view is None:
        assert now >= START + timedelta(minutes=AGENDA.later[-1].until_min)
        return
    assert re.fullmatch(r"[,:] [^\n]+[^.]\.", view.sentence)
    assert "None" not in view.sentence + view.beneath
    assert (view.margin == "now") == (view.when <= now)


@pytest.fixture(scope="module")
def agendas() -> Agendas:
    """Plans once brewed serve every test: a version and a revision never change."""
    return Agendas()


def views(store: Store, agendas: Agendas, now: datetime) -> tuple[GyleView, ...]:
    with speaking("metric"):
        return gyle_views(store, agendas, system="metric", now=now)


def test_a_real_plan_is_told_through_its_weeks(store: Store, agendas: Agendas) -> None:
    (first, second) = gyles.gyles(store)
    assert first.beer == "copper-beacon"
    said = [
        next(
            (view.sentence for view in views(store, agendas, first.planned_start + after) if view.slug == first.slug),
            "",
        )
        for after in (-DAY, timedelta(minutes=70), 3 * DAY, 13 * DAY, 40 * DAY)
    ]
    assert "draw 28.8 L of water" in said[0]
    assert "by its plan it is time to" in said[1]
    assert "6 points above final gravity: 60 g Cascade" in said[2]
    assert "fill the keg" in said[3]
    assert said[4] == ""
    assert second.planned_start > first.planned_start


def test_what_is_overdue_comes_first(store: Store, agendas: Agendas) -> None:
    start = max(one.planned_start for one in gyles.gyles(store))
    for days in range(0, 24, 3):
        found = views(store, agendas, start + days * DAY)
        assert [view.when for view in found] == sorted(view.when for view in found)
    overdue, *_ = views(store, agendas, start + 9 * DAY)
    assert overdue.margin == "now"


def test_a_plan_that_is_no_brewhouse_is_told_and_the_others_stay(store: Store, agendas: Agendas) -> None:
    house = add_brewhouse(store, 'name = "Ruin"\nnonsense = 3\n')
    start = datetime.now(UTC) + 4 * DAY
    plan_gyle(store, "tram-depot", version=1, brewhouse=house.slug, planned_start=start, zone="UTC")
    found = {view.slug: view for view in views(store, agendas, datetime.now(UTC))}
    assert len(found) == 3
    (broken,) = (view for view in found.values() if "Ruin" in view.beneath)
    assert broken.trouble.startswith("It cannot be brewed as planned:")


def test_of_very_many_gyles_only_the_nearest_are_brewed(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(gyle_agendas, "_agenda", lambda recipe, house, system: AGENDA)
    now = datetime.now(UTC)
    for day in range(40):
        plan_gyle(
            store,
            "tram-depot",
            version=1,
            brewhouse="lantern-street-48",
            planned_start=now + (20 + day) * DAY,
            zone="UTC",
        )
    found = views(store, Agendas(), now)
    assert len(found) == 42
    assert sum("draw 28 L" in view.sentence for view in found) == NEAREST


def test_a_gyle_of_long_ago_is_not_under_way(store: Store, agendas: Agendas) -> None:
    past = max(one.planned_start for one in gyles.gyles(store)) + SINCE + DAY
    assert views(store, agendas, past) == ()
