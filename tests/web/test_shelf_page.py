"""The shelf and the way onto it, asked without a browser."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from html import unescape

import pytest
from starlette.testclient import TestClient

from gyle.books import beers, drafts
from gyle.books.brewhouses import add_brewhouse
from gyle.books.gyles import plan_gyle
from gyle.books.store import Store
from gyle.errors import Infeasible
from gyle.web.new_beer import example_card
from gyle.web.shelf_page import OPEN_GYLES
from gyle.web.shelf_view import PAGE

SCRIPT = {"HX-Request": "true", "HX-Request-Type": "partial"}
HOSTILE = '<script>alert("x")</script>'


def names(page: str) -> list[str]:
    return [unescape(name) for name in re.findall(r'<h3><a href="[^"]*">(.*?)</a></h3>', page)]


def add(store: Store, name: str) -> beers.Beer:
    return beers.add_beer(store, text=f"name = {name!r}")


def test_an_empty_store_greets(empty_client: TestClient) -> None:
    page = empty_client.get("/")
    assert page.status_code == 200
    assert 'action="/lantern-street"' in page.text
    assert 'href="/beers/new"' in page.text
    assert 'href="/brewhouses/new"' in page.text
    assert names(page.text) == []


def test_a_search_of_an_empty_store_is_a_search(empty_client: TestClient) -> None:
    page = empty_client.get("/?q=x").text
    assert "No beer’s name holds “x”" in page


def test_the_shelf_shows_beers_and_what_is_under_way(client: TestClient) -> None:
    page = client.get("/").text
    assert names(page)[0] == "Copper Beacon"
    assert len(names(page)) == 6
    assert "6 beers, the last touched first" in page
    assert '<a href="/beers/copper-beacon">Copper Beacon</a>, version 4, begins' in page
    assert "It does not fit" in page
    assert page.index("Copper Beacon</a>, version 4") < page.index("Tram Depot</a>, version 3")  # the sooner first


def test_lantern_street_put_there_twice_is_there_once(client: TestClient) -> None:
    before = client.get("/").text
    answered = client.post("/lantern-street")
    assert (answered.status_code, answered.headers["location"]) == (303, "/")
    assert names(client.get("/").text) == names(before)


@pytest.mark.parametrize(
    ("asked", "found"),
    [("HARB", ["Quiet Harbour"]), ("  quiet   harbour ", ["Quiet Harbour"]), ("zzz", []), ("%", []), ("_", [])],
)
def test_a_search_finds_by_a_part_of_the_name(client: TestClient, asked: str, found: list[str]) -> None:
    for headers in ({}, SCRIPT):
        assert names(client.get("/", params={"q": asked}, headers=headers).text) == found


def test_a_search_minds_no_marks(client: TestClient, store: Store) -> None:
    add(store, "Kölnisches Dünnbier")
    assert names(client.get("/?q=koelnisches+duenn").text) == ["Kölnisches Dünnbier"]


def test_a_script_is_answered_with_the_beers_alone(client: TestClient) -> None:
    part = client.get("/?q=tram", headers=SCRIPT).text
    assert "<html" not in part
    assert part.strip().startswith('<div id="beers">')
    assert "Under way" not in part


@pytest.mark.parametrize("asked", [HOSTILE, "x" * 10_000, "\x00\x1b[31m", "' OR 1=1 --", "{{ 7*7 }}", "\ud7ff😀"])
def test_a_hostile_search_finds_nothing_and_is_escaped(client: TestClient, asked: str) -> None:
    page = client.get("/", params={"q": asked})
    assert page.status_code == 200
    assert names(page.text) == []
    assert "<script>alert" not in page.text
    assert len(page.text) < 20_000


@pytest.mark.parametrize("asked", ["0", "-1", "abc", "99999999", "9" * 400, "1e308", "²"])
def test_a_page_that_is_none_is_the_nearest(client: TestClient, asked: str) -> None:
    page = client.get("/", params={"page": asked})
    assert page.status_code == 200
    assert len(names(page.text)) == 6


def test_many_beers_stand_on_several_pages(client: TestClient, store: Store) -> None:
    for number in range(PAGE):
        add(store, f"Ferry Steps {number}")
    first, second = client.get("/").text, client.get("/?page=2").text
    assert (len(names(first)), len(names(second))) == (PAGE, 6)
    assert not {*names(first)} & {*names(second)}
    assert f"1 to {PAGE} of {PAGE + 6} beers" in first
    assert f"{PAGE + 1} to {PAGE + 6} of {PAGE + 6} beers" in second
    further = re.search(r'<a href="([^"]*)" rel="next">', first)
    assert further
    assert names(client.get(unescape(further[1]).partition("#")[0]).text) == names(second)


def test_the_pages_of_a_search_are_its_own(client: TestClient, store: Store) -> None:
    for number in range(PAGE + 1):
        add(store, f"A & B {number}")
    found = re.search(r'<a href="([^"]*)" rel="next">', client.get("/", params={"q": "a & b"}).text)
    assert found
    assert len(names(client.get(unescape(found[1]).partition("#")[0]).text)) == 1


@pytest.mark.parametrize("name", [HOSTILE, "a & b", '"quoted"', "x" * 10_000, "{{ 7 * 7 }}"])
def test_a_hostile_name_is_escaped(client: TestClient, store: Store, name: str) -> None:
    add(store, name)
    page = client.get("/").text
    assert "<script>alert" not in page
    assert names(page)[0] == name[:120]


def test_unsaved_work_is_told(client: TestClient, store: Store) -> None:
    assert "not yet saved" not in client.get("/").text
    drafts.open_draft(store, "slack-water", base=1)
    assert client.get("/").text.count("edited since, not yet saved") == 1
    assert "edited since, not yet saved" in client.get("/?q=slack").text


def test_a_beer_without_figures_says_so(client: TestClient, store: Store) -> None:
    add(store, "Bare")
    assert "No figures are kept with it" in client.get("/?q=bare").text


def test_the_units_are_the_persons(client: TestClient) -> None:
    client.cookies.set("units", "us")
    assert "gal of water" in client.get("/").text
    assert "°F" not in client.get("/?q=zz", headers=SCRIPT).text


def test_a_planned_gyle_is_told(client: TestClient) -> None:
    assert "The gyle is planned." in client.get("/?gyle=planned").text
    assert "The gyle is planned." not in client.get("/").text


def test_many_gyles_fold(client: TestClient, store: Store) -> None:
    for day in range(OPEN_GYLES):
        start = datetime.now(UTC) + timedelta(days=30 + day)
        plan_gyle(store, "tram-depot", version=1, brewhouse="lantern-street-48", planned_start=start, zone="UTC")
    page = client.get("/").text
    assert "<summary>2 more, later</summary>" in page
    assert page.count("version 1, begins") == OPEN_GYLES


def test_a_gyle_on_a_brewhouse_that_does_not_read_keeps_its_place(client: TestClient, store: Store) -> None:
    house = add_brewhouse(store, f'name = "{HOSTILE.replace(chr(34), "")}"\nnonsense = 3\n')
    start = datetime.now(UTC) + timedelta(days=1)
    note = f"{HOSTILE} mind the step"
    plan_gyle(store, "tram-depot", version=1, brewhouse=house.slug, planned_start=start, zone="UTC", note=note)
    page = client.get("/").text
    assert "It cannot be brewed as planned" in page
    assert "mind the step" in page
    assert "<script>alert" not in page


def begin(client: TestClient, **sent: str) -> tuple[int, str]:
    answered = client.post("/beers/new", data=sent)
    return answered.status_code, answered.headers.get("location", "") or answered.text


def test_a_beer_begins_from_nothing(client: TestClient, store: Store) -> None:
    sent = {"begin": "plain", "name": HOSTILE, "volume": "5 gal", "brewhouse": "lantern-street-28", "gravity": "1.060"}
    status, address = begin(client, **sent)
    assert (status, address) == (303, "/beers/script-alert-x-script")
    made = beers.shelf(store, count=1).beers[0]
    assert (made.name, made.brewhouse) == (HOSTILE, "lantern-street-28")
    # Its figures are there at once, and its line opens.
    assert made.summary["figures"]["fermenter.original_gravity"][0] == pytest.approx(1.060, abs=0.001)
    page = client.get(address)
    assert page.status_code == 200
    assert "<script>alert" not in page.text


def test_a_beer_begins_from_a_card(client: TestClient, store: Store) -> None:
    assert begin(client, begin="text", text=example_card("us")) == (303, "/beers/ferry-steps")
    assert begin(client, begin="text", text=example_card("us")) == (303, "/beers/ferry-steps-2")


def test_a_form_sent_again_begins_nothing_more(client: TestClient, store: Store) -> None:
    page = client.get("/beers/new")
    assert page.headers["cache-control"] == "private, no-cache"  # who goes back finds this very form
    token = re.search(r'name="once" value="([^"]+)"', page.text)
    assert token
    sent = {"begin": "plain", "name": "Ferry Steps", "volume": "20 L", "once": token[1], "yeast": "lager yeast"}
    assert begin(client, **sent) == (303, "/beers/ferry-steps")
    assert begin(client, **sent) == (303, "/beers/ferry-steps?kept=again")
    assert "nothing was begun twice" in client.get("/beers/ferry-steps?kept=again").text
    assert beers.shelf(store, search="ferry").total == 1
    assert begin(client, **{**sent, "volume": "21 L"}) == (303, "/beers/ferry-steps-2")  # as it is another beer
    assert f'value="{token[1]}"' not in client.get("/beers/new").text


def test_the_first_field_at_fault_is_where_one_goes_on(client: TestClient) -> None:
    page = begin(client, begin="plain", name="", volume="", gravity="x", yeast="y")[1]
    assert page.count(" autofocus") == 1
    assert 'id="in-name"' in page[: page.index(" autofocus")].rpartition("<")[2]


def test_what_is_chosen_stays_chosen(client: TestClient) -> None:
    page = begin(client, begin="plain", name="", volume="20", hop="Saaz")[1]
    assert "<option selected>Saaz</option>" in page
    assert "<option selected>pale ale malt</option>" in page


def test_a_beer_begins_from_a_file(client: TestClient) -> None:
    file = {"file": ("steps.toml", example_card("metric").encode(), "application/toml")}
    answered = client.post("/beers/new", data={"begin": "file"}, files=file)
    assert (answered.status_code, answered.headers["location"]) == (303, "/beers/ferry-steps")


def test_a_beer_that_cannot_be_brewed_is_kept_all_the_same(client: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    def failing(*_: object, **__: object) -> None:
        raise Infeasible("there is not enough of it")

    monkeypatch.setattr("gyle.web.forecasts._forecast", failing)
    assert begin(client, begin="text", text=example_card("metric")) == (303, "/beers/ferry-steps")
    shelf = client.get("/?q=ferry").text
    assert names(shelf) == ["Ferry Steps"]
    assert "No figures are kept with it" in shelf


def test_a_faulty_form_is_shown_again(client: TestClient, store: Store) -> None:
    status, page = begin(client, begin="plain", name=HOSTILE, volume="plenty", brewhouse="", gravity="1.05")
    assert status == 422
    assert "Nothing was begun, and all you wrote is still here." in page
    assert '<input id="in-volume" name="volume" value="plenty"' in page
    assert 'aria-describedby="hint-volume why-volume" aria-invalid="true" autofocus' in page
    assert page.count('role="alert"') == 1
    assert "&lt;script&gt;alert(&#34;x&#34;)&lt;/script&gt;" in page
    assert "<script>alert" not in page
    assert beers.shelf(store).total == 6


@pytest.mark.parametrize("name", ["x" * 10_000, "y\x00\x07"])
def test_a_name_that_cannot_be_is_told_beside_it(client: TestClient, name: str) -> None:
    status, page = begin(client, begin="plain", name=name, volume="20 L")
    assert status == 422
    assert 'aria-describedby="hint-name why-name" aria-invalid="true" autofocus' in page


def test_a_faulty_card_is_shown_again_whole(client: TestClient) -> None:
    text = f"\n\nname = {HOSTILE}\n" + "# z\n" * 3000
    status, page = begin(client, begin="text", text=text)
    assert status == 422
    assert "<script>alert" not in page
    shown = re.search(r'<textarea id="in-text".*?>\n(.*?)</textarea>', page, re.DOTALL)
    assert shown
    assert unescape(shown[1]) == text


def test_a_faulty_file_is_shown_to_be_mended(client: TestClient) -> None:
    file = {"file": ("steps.toml", b"gyle = 1\nname = 'Steps'\nvolume = 'some'\n", "text/plain")}
    answered = client.post("/beers/new", data={"begin": "file"}, files=file)
    assert answered.status_code == 422
    assert "volume = &#39;some&#39;" in answered.text
    assert 'id="why-text"' in answered.text


def test_without_a_file_one_is_asked_for(client: TestClient) -> None:
    for sent in ({"data": {"begin": "file"}}, {"data": {"begin": "file"}, "files": {"file": ("", b"")}}):
        answered = client.post("/beers/new", **sent)  # type: ignore[arg-type]
        assert answered.status_code == 422
        assert 'id="why-file"' in answered.text
        assert "No file was chosen" in answered.text


def test_the_example_is_shown_in_the_persons_units(client: TestClient) -> None:
    assert "4.2 kg" in client.get("/beers/new?example=1").text
    client.cookies.set("units", "us")
    assert "9.3 lb" in client.get("/beers/new?example=1").text
    field = client.get("/beers/new").text.partition("<textarea")[2].partition("</textarea>")[0]
    shown, _, held = field.partition(">")
    assert "9.3 lb" in shown  # it is seen there
    assert not held.strip()  # and nothing is written yet


def test_the_usual_brewhouse_is_that_of_the_beer_last_touched(client: TestClient) -> None:
    assert '<option value="lantern-street-48" selected>' in client.get("/beers/new").text


def test_a_beer_can_be_begun_in_an_empty_store(empty_client: TestClient) -> None:
    assert "None is described yet." in empty_client.get("/beers/new").text
    assert begin(empty_client, begin="plain", name="First", volume="20 L") == (303, "/beers/first")
    assert names(empty_client.get("/").text) == ["First"]
