"""The form that plans a gyle."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from gyle.books import gyles, versions
from gyle.books.beers import add_beer
from gyle.books.store import Store, open_store
from gyle.web.gyle_form import gyle_form, planned
from gyle.web.gyle_plans import SINCE

SOON = datetime.now() + timedelta(days=3)
SOUND = {"version": "2", "brewhouse": "lantern-street-48", "start": f"{SOON:%Y-%m-%d} 08:30", "note": ""}


def test_it_offers_the_newest_version_on_its_own_brewhouse_tomorrow(store: Store) -> None:
    form = gyle_form(store, versions.versions(store, "copper-beacon"))
    assert form.versions[0] == ("4", "version 4")
    assert form.typed["version"] == "4"
    assert form.typed["brewhouse"] == "lantern-street-48"
    assert form.typed["start"] == f"{datetime.now() + timedelta(days=1):%Y-%m-%d}T09:00"
    assert dict(form.brewhouses)["lantern-street-28"] == "Lantern Street 28"


def test_what_was_typed_stands_in_it_again(store: Store) -> None:
    typed = {**SOUND, "start": "someday", "note": "<b>ice</b>"}
    form = gyle_form(store, versions.versions(store, "copper-beacon"), typed=typed, faults={"start": "no"})
    assert form.typed == typed


@pytest.mark.parametrize(
    "start",
    [f"{SOON:%Y-%m-%d}T08:30", f"{SOON:%Y-%m-%d} 8.30", f"  {SOON:%Y-%m-%d}T08:30:00 ", f"{SOON:%Y-%m-%d}   8:30"],
)
def test_a_gyle_is_planned_by_the_local_clock(store: Store, start: str) -> None:
    made, faults = planned(store, "copper-beacon", {**SOUND, "start": start, "note": "Two to lift.\r\nIce."})
    assert faults == {}
    assert made is not None
    assert made.note == "Two to lift.\nIce."
    assert (made.local_start.date(), made.local_start.hour, made.local_start.minute) == (SOON.date(), 8, 30)
    assert made.slug in {one.slug for one in gyles.gyles(store)}


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("version", "9", "There is no version “9” of this beer"),
        ("version", "", "There is no version with nothing chosen"),
        ("version", "<script>", "There is no version “<script>”"),
        ("brewhouse", "elsewhere", "There is no brewhouse “elsewhere”"),
        ("start", "", "There is no start yet; write year"),
        ("start", "tomorrow", "“tomorrow” is no date and time"),
        ("start", "2026-13-40 09:00", "is no date and time"),
        ("start", "0001-01-01 00:00", "more than 120 days past"),
        ("start", "9999-12-31 23:59", "more than a century from now"),
        ("start", "x" * 10_000, "…” is no date and time"),
        ("note", "\x00", "control character"),
        ("note", "ü" * 10_000, "20,000 bytes"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(store: Store, field: str, typed: str, said: str) -> None:
    before = gyles.gyles(store)
    made, faults = planned(store, "copper-beacon", {**SOUND, field: typed})
    assert made is None
    assert list(faults) == [field]
    assert said in faults[field]
    assert faults[field].endswith(".")
    assert len(faults[field]) < 200
    assert gyles.gyles(store) == before


def test_every_field_at_fault_is_told_at_once(store: Store) -> None:
    _, faults = planned(store, "copper-beacon", {"version": "x", "brewhouse": "y", "start": "z"})
    assert set(faults) == {"version", "brewhouse", "start"}


def test_a_gyle_that_has_just_begun_can_still_be_planned(store: Store) -> None:
    began = datetime.now() - timedelta(days=SINCE.days - 2)
    made, faults = planned(store, "copper-beacon", {**SOUND, "start": f"{began:%Y-%m-%d %H:%M}"})
    assert faults == {}
    assert made is not None
    assert made.planned_start < datetime.now(UTC)


def test_without_a_brewhouse_one_is_asked_for(tmp_path: object) -> None:
    with open_store(f"sqlite:///{tmp_path}/bare.db") as store:
        add_beer(store, text='name = "Tram"')
        assert gyle_form(store, versions.versions(store, "tram")).typed["brewhouse"] == ""
        _, faults = planned(store, "tram", {**SOUND, "version": "1"})
        assert faults == {"brewhouse": "There is no brewhouse yet to brew it on; describe yours first."}
