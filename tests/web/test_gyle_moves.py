"""A planned gyle moved, taken off the shelf and put back, asked without a browser."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from html import unescape
from zoneinfo import ZoneInfo

import pytest
from starlette.testclient import TestClient

from gyle.books import brewhouses, gyles
from gyle.books.gyles import Gyle
from gyle.books.store import Store
from gyle.web.local_zone import local_zone

HOSTILE = "<script>alert(1)</script>"


def first(store: Store, beer: str = "copper-beacon") -> Gyle:
    return next(one for one in gyles.gyles(store) if one.beer == beer)


def said(text: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", text)).split())


def form(gyle: Gyle, **other: str) -> dict[str, str]:
    stands = {"version": str(gyle.version), "brewhouse": gyle.brewhouse, "note": gyle.note, "back": "shelf"}
    start = gyle.planned_start.astimezone(ZoneInfo(local_zone()))
    return {**stands, "start": f"{start:%Y-%m-%dT%H:%M}", **other}


@pytest.mark.parametrize("page", ["/", "/beers/copper-beacon/versions"])
def test_every_gyle_can_be_moved_or_taken_off_where_it_is_told_of(client: TestClient, store: Store, page: str) -> None:
    slug = first(store).slug
    text = client.get(page).text
    assert f'action="/gyles/{slug}/move"' in text
    assert f'action="/gyles/{slug}/off"' in text
    ids = re.findall(r' id="([^"]+)"', text)
    assert len(ids) == len(set(ids))  # one form beside another


@pytest.mark.parametrize(
    ("back", "place"), [("shelf", "/"), ("versions", "/beers/copper-beacon/versions"), ("//else.where", "/")]
)
def test_a_gyle_is_moved(client: TestClient, store: Store, back: str, place: str) -> None:
    held = first(store)
    start = datetime.now(UTC).astimezone(ZoneInfo(local_zone())) + timedelta(days=6)
    sent = form(held, start=f"{start:%Y-%m-%d} 7:30", version="3", note="Later", back=back)
    answer = client.post(f"/gyles/{held.slug}/move", data=sent)
    assert (answer.status_code, answer.headers["location"]) == (303, f"{place}?gyle=moved#gyles")
    now = gyles.gyle(store, held.slug)
    assert (now.version, now.note) == (3, "Later")
    assert f"{now.planned_start.astimezone(start.tzinfo):%Y-%m-%d %H:%M}" == f"{start:%Y-%m-%d} 07:30"
    page = said(client.get(answer.headers["location"]).text)
    assert "The gyle is moved." in page
    assert "Version 4 of the beer is newer." in page


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("start", "never", "“never” is no date and time"),
        ("start", HOSTILE, "is no date and time"),
        ("version", "99", "There is no version “99” of this beer"),
        ("brewhouse", "barn", "There is no brewhouse “barn”"),
        ("note", "x" * 10_001, "the note has 10,001 bytes"),
    ],
)
def test_what_cannot_be_is_said_beside_its_field(
    client: TestClient, store: Store, field: str, typed: str, sentence: str
) -> None:
    held = first(store)
    answer = client.post(f"/gyles/{held.slug}/move", data=form(held, **{field: typed}))
    assert answer.status_code == 422
    fault = re.search(rf'<span class="fault" id="gyle-{held.id}-{field}-fault">(.*?)</span>', answer.text)
    assert fault
    assert sentence.casefold() in unescape(fault[1]).casefold()
    assert "<script>alert" not in answer.text
    assert gyles.gyle(store, held.slug) == held


def test_a_gyle_is_taken_off_and_put_back_as_it_stood(client: TestClient, store: Store) -> None:
    held = first(store)
    off = client.post(f"/gyles/{held.slug}/off", data={"back": "shelf"})
    assert off.status_code == 303
    assert [one.slug for one in gyles.gyles(store)] == [first(store, "tram-depot").slug]
    page = client.get(off.headers["location"].partition("#")[0]).text
    assert f"Copper Beacon, version {held.version}, planned for" in said(page)
    mark = re.search(r'name="mark" value="([^"]+)"', page)
    assert mark
    back = client.post("/gyles/back", data={"mark": mark[1], "back": "shelf"})
    assert back.headers["location"] == "/?gyle=back#gyles"
    now = first(store)
    assert (now.slug, now.version, now.revision, now.planned_start, now.zone, now.note) == (
        held.slug, held.version, held.revision, held.planned_start, held.zone, held.note
    )  # fmt: skip
    again = client.post("/gyles/back", data={"mark": mark[1]})
    assert again.status_code == 404  # once
    assert "that gyle is back already" in said(again.text).casefold()
    assert len(gyles.gyles(store)) == 2
    assert "Put it back" not in client.get(off.headers["location"]).text


def test_there_is_nothing_to_move_where_no_gyle_is(client: TestClient, store: Store) -> None:
    for answer in (
        client.get("/gyles/none"),
        client.post("/gyles/none/off"),
        client.post("/gyles/none/move", data={"start": "never"}),
        client.post("/gyles/back", data={"mark": HOSTILE}),
    ):
        assert answer.status_code == 404
    assert client.get(f"/?off={HOSTILE}&gyle={HOSTILE}").text.count("<script>alert") == 0
    assert client.get(f"/gyles/{first(store).slug}?back=versions").status_code == 200


def test_a_brewhouse_changed_since_is_said_and_planned_with(client: TestClient, store: Store) -> None:
    house = brewhouses.brewhouse(store, "lantern-street-48")
    noted = brewhouses.save_brewhouse(store, house.slug, text=f"# a note\n{house.text}", seen=house.number)
    before = said(client.get("/").text)
    assert "was changed since" not in before  # a note in its text plans nothing otherwise
    assert "the most here" not in before
    small = noted.text.replace('"48 L"', '"10 L"')
    brewhouses.save_brewhouse(store, house.slug, text=small, seen=noted.number)
    page = said(client.get("/").text)
    assert "Lantern Street 48 was changed since this was planned (kettle, to the brim 48 L to 10 L)" in page
    assert re.search(r"It does not fit: the bed and liquor take [\d.]+ L hot, and 8 L is the most here\.", page)
    held = first(store)
    client.post(f"/gyles/{held.slug}/move", data=form(held))
    assert "Lantern Street 48 was changed since" not in said(client.get("/").text)  # planned on it as it is now
    text = brewhouses.brewhouse(store, house.slug, number=1).text
    brewhouses.save_brewhouse(store, house.slug, text=text, seen=brewhouses.brewhouse(store, house.slug).number)
    assert "10 L to 48 L" in said(client.get("/").text)
