"""Planned gyles."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest

from gyle.books.beers import add_beer
from gyle.books.brewhouses import add_brewhouse, save_brewhouse
from gyle.books.gyles import gyle, gyles, move_gyle, plan_gyle, withdraw_gyle
from gyle.books.refusals import NotThere
from gyle.books.store import Store
from gyle.books.versions import save_version
from gyle.errors import BadInput

NOW = datetime.now(UTC).replace(microsecond=0)


@pytest.fixture
def shed(store: Store) -> Store:
    """A store with two versions of a beer and two revisions of a brewhouse."""
    add_beer(store, text='name = "Tram"')
    save_version(store, "tram", text="# 2", parent=1)
    add_brewhouse(store, 'name = "Shed"')
    save_brewhouse(store, "shed", text='name = "Bigger shed"', seen=1)
    return store


def test_a_gyle_keeps_version_and_brewhouse_as_they_were(shed: Store) -> None:
    start = datetime(NOW.year + 1, 7, 4, 9, 30, tzinfo=ZoneInfo("Europe/Dublin"))
    made = plan_gyle(
        shed, "tram", version=1, brewhouse="shed", revision=1, planned_start=start, zone="Europe/Dublin",
        note=" Two to lift.\nBring <b>ice</b>. ",
    )  # fmt: skip
    assert made == gyle(shed, made.slug)
    assert made.slug == f"tram-{NOW.year + 1}-07-04"
    assert (made.beer, made.beer_name, made.version) == ("tram", "Tram", 1)
    assert (made.brewhouse, made.brewhouse_name, made.revision) == ("shed", "Shed", 1)
    assert made.note == "Two to lift.\nBring <b>ice</b>."
    assert made.planned_start == start
    assert made.planned_start.utcoffset() == timedelta(0)
    assert (made.local_start.hour, made.local_start.minute) == (9, 30)
    again = plan_gyle(shed, "tram", version=2, brewhouse="shed", planned_start=start, zone="Europe/Dublin")
    assert (again.slug, again.revision, again.brewhouse_name) == (f"{made.slug}-2", 2, "Bigger shed")


def test_a_time_without_a_zone_is_by_the_brewers_clock(shed: Store) -> None:
    made = plan_gyle(
        shed, "tram", version=1, brewhouse="shed", planned_start=datetime(NOW.year, 1, 2, 0, 30),
        zone="Pacific/Auckland",
    )  # fmt: skip
    assert made.local_start.replace(tzinfo=None) == datetime(NOW.year, 1, 2, 0, 30)
    assert made.planned_start == datetime(NOW.year, 1, 1, 11, 30, tzinfo=UTC)
    assert made.slug == f"tram-{NOW.year}-01-02"  # the brewer's own date


def test_gyles_stand_by_their_start(shed: Store) -> None:
    add_beer(shed, text='name = "Other"')
    for beer, hours in (("tram", 30), ("other", 10), ("tram", -20)):
        plan_gyle(
            shed, beer, version=1, brewhouse="shed", planned_start=NOW + timedelta(hours=hours), zone="UTC"
        )  # fmt: skip
    hours = [(one.beer, (one.planned_start - NOW) / timedelta(hours=1)) for one in gyles(shed)]
    assert hours == [("tram", -20), ("other", 10), ("tram", 30)]
    assert [one.beer for one in gyles(shed, since=NOW)] == ["other", "tram"]
    assert [one.beer for one in gyles(shed, beer="tram", since=NOW)] == ["tram"]
    elsewhere = (NOW + timedelta(hours=10)).astimezone(timezone(timedelta(hours=-9)))
    assert len(gyles(shed, since=elsewhere)) == 2
    assert gyles(shed, beer="no-such") == ()


@pytest.mark.parametrize("zone", ["", "Mars/Olympus", "../../etc/passwd", "/etc/passwd", "\0", "x" * 10_000, "\ud800"])
def test_a_zone_nobody_knows_is_refused(shed: Store, zone: str) -> None:
    with pytest.raises(BadInput, match="is no time zone known here") as caught:
        plan_gyle(shed, "tram", version=1, brewhouse="shed", planned_start=NOW, zone=zone)
    assert len(str(caught.value)) < 200
    assert gyles(shed) == ()


@pytest.mark.parametrize("start", [datetime.min, datetime.max, datetime.min.replace(tzinfo=UTC), datetime(1850, 1, 1)])
@pytest.mark.parametrize("zone", ["Asia/Tokyo", "America/Lima"])
def test_a_start_in_another_age_is_refused(shed: Store, start: datetime, zone: str) -> None:
    with pytest.raises(BadInput, match="more than a century from now"):
        plan_gyle(shed, "tram", version=1, brewhouse="shed", planned_start=start, zone=zone)


def test_a_note_may_be_long_but_not_endless(shed: Store) -> None:
    def planning(note: str) -> None:
        plan_gyle(shed, "tram", version=1, brewhouse="shed", planned_start=NOW, zone="UTC", note=note)

    planning("x" * 10_000)
    with pytest.raises(BadInput, match="the note has 10,001 bytes"):
        planning("x" * 10_001)
    with pytest.raises(BadInput, match=r"U\+0007"):
        planning("\a!")
    assert len(gyles(shed)) == 1


def test_a_gyle_of_what_is_not_there_is_refused(shed: Store) -> None:
    for asked in (
        {"version": 3, "brewhouse": "shed"},
        {"version": 1, "brewhouse": "barn"},
        {"version": 1, "brewhouse": "shed", "revision": 3},
    ):
        with pytest.raises(NotThere):
            plan_gyle(shed, "tram", planned_start=NOW, zone="UTC", **asked)  # type: ignore[arg-type]
    with pytest.raises(NotThere, match="there is no beer no-such"):
        plan_gyle(shed, "no-such", version=1, brewhouse="shed", planned_start=NOW, zone="UTC")
    with pytest.raises(NotThere):
        gyle(shed, "no-such")


def test_a_gyle_is_moved_and_keeps_its_slug(shed: Store) -> None:
    made = plan_gyle(shed, "tram", version=1, brewhouse="shed", revision=1, planned_start=NOW, zone="UTC", note="One")
    assert (made.newest_version, made.newest_revision) == (2, 2)
    add_brewhouse(shed, 'name = "Barn"')
    later = NOW + timedelta(days=3)
    moved = move_gyle(shed, made.slug, version=2, brewhouse="shed", planned_start=later, zone="UTC", note="Two")
    assert (moved.id, moved.slug, moved.made_at) == (made.id, made.slug, made.made_at)
    assert (moved.version, moved.revision, moved.planned_start, moved.note) == (2, 2, later, "Two")  # as it is now
    assert move_gyle(shed, made.slug, version=2, brewhouse="barn", planned_start=later, zone="UTC").brewhouse == "barn"
    assert gyles(shed) == (gyle(shed, made.slug),)


def test_a_gyle_that_cannot_be_moved_stands_as_it_stood(shed: Store) -> None:
    made = plan_gyle(shed, "tram", version=1, brewhouse="shed", planned_start=NOW, zone="UTC")
    usual = {"version": 1, "brewhouse": "shed", "planned_start": NOW, "zone": "UTC"}
    for wrong, refusal in (
        ({"version": 3}, NotThere), ({"brewhouse": "barn"}, NotThere), ({"zone": "Mars"}, BadInput),
        ({"planned_start": datetime.max}, BadInput), ({"note": "x" * 10_001}, BadInput),
    ):  # fmt: skip
        with pytest.raises(refusal):
            move_gyle(shed, made.slug, **{**usual, **wrong})  # type: ignore[arg-type]
    with pytest.raises(NotThere, match="there is no gyle nothing"):
        move_gyle(shed, "nothing", version=1, brewhouse="shed", planned_start=NOW, zone="UTC")
    assert gyles(shed) == (made,)


def test_a_gyle_is_taken_off_and_can_be_planned_again_as_it_stood(shed: Store) -> None:
    made = plan_gyle(shed, "tram", version=1, brewhouse="shed", revision=1, planned_start=NOW, zone="UTC", note="One")
    other = plan_gyle(shed, "tram", version=2, brewhouse="shed", planned_start=NOW, zone="UTC")
    assert withdraw_gyle(shed, made.slug) == made
    assert gyles(shed) == (other,)
    with pytest.raises(NotThere):
        withdraw_gyle(shed, made.slug)
    again = plan_gyle(
        shed, made.beer, version=made.version, brewhouse=made.brewhouse, revision=made.revision,
        planned_start=made.planned_start, zone=made.zone, note=made.note,
    )  # fmt: skip
    assert (again.slug, again.version, again.revision, again.note) == (made.slug, 1, 1, "One")
