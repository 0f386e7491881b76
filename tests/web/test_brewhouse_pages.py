"""The brewhouse pages asked without a browser: made, edited, refused, edited twice at once, kept as text."""

from __future__ import annotations

import re
from html import unescape
from urllib.parse import parse_qs, urlsplit

import pytest
from starlette.testclient import TestClient

from gyle.books import brewhouses
from gyle.books.store import Store
from gyle.books.waters import add_water

HOME = "/brewhouses/lantern-street-48"
EDIT = f"{HOME}/edit?beer="  # with no beer's marks, which would have to be brewed
FRAGMENT = {"HX-Request": "true", "HX-Request-Type": "partial"}


def said(text: str) -> str:
    """The words of a page, on one line."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", text)).split())


def told(text: str) -> str:
    """What the page tells of an edit."""
    return said(text.partition('id="told"')[2].partition('class="sticks"')[0])


def row(text: str, address: str) -> str:
    """The row of one figure."""
    found = re.search(rf'<form [^>]*id="row-{address.replace(".", "-")}".*?</form>', text, re.S)
    assert found is not None, address
    return found.group()


def shown(text: str, address: str, part: str = "value") -> str:
    found = re.search(rf'name="{part}" value="([^"]*)"', row(text, address))
    assert found is not None
    return unescape(found.group(1))


def text_of(store: Store, slug: str = "lantern-street-48") -> str:
    return brewhouses.brewhouse(store, slug).text


def sent(address: str, seen: int = 1, **parts: str) -> dict[str, str]:
    return {"address": address, "seen": str(seen), **parts}


HOSTILE = ["<script>alert(1)</script>", "NaN", "1e308", "-3", "∞", "5 kg", "x" * 10_000, "\x00"]
ANSWERS = {"name": "Shed", "kind": "bag in pot", "kettle": "40 L", "heat": "gas", "keg": "19 L"}


def test_the_list_draws_every_brewhouse(client: TestClient) -> None:
    page = client.get("/brewhouses")
    assert page.status_code == 200
    assert [page.text.count(f'href="/brewhouses/{slug}"') for slug in ("lantern-street-48", "kitchen-bag")] == [1, 1]
    assert page.text.count('<svg class="glyph"') == 3
    assert "48\u00a0L mash vessel and kettle in one" in unescape(page.text)


def test_with_no_brewhouse_the_list_says_what_to_do(empty_client: TestClient) -> None:
    page = empty_client.get("/brewhouses")
    assert "None yet" in page.text
    assert 'href="/brewhouses/new"' in page.text


def test_five_answers_make_a_brewhouse_one_can_brew_on(client: TestClient, store: Store) -> None:
    made = client.post("/brewhouses/new", data=ANSWERS)
    assert made.status_code == 303
    assert made.headers["location"] == "/brewhouses/shed?made=1"
    page = client.get(made.headers["location"])
    assert "Shed is ready to brew on." in told(page.text)
    assert "How you chill is not stated" in told(page.text)
    with_beer = client.get("/brewhouses/shed?beer=slack-water")
    assert "Slack Water is not shaped on this brewhouse" in said(with_beer.text)
    assert with_beer.text.count('class="ink fill"') >= 4
    assert "40 L" in text_of(store, "shed")


def test_answers_without_units_are_in_the_persons_own(client: TestClient, store: Store) -> None:
    client.cookies.set("units", "us")
    made = client.post("/brewhouses/new", data={"name": "Yard", "kind": "bag in pot", "kettle": "10"})
    assert made.status_code == 303
    assert 'vessel = "10 gal"' in text_of(store, "yard")
    assert "10 gal to the brim, ruled in gallons" in said(client.get("/brewhouses/yard").text)


@pytest.mark.faults
@pytest.mark.parametrize(
    "hostile", ["<script>alert(1)</script>", "NaN", "1e308", "-3", "∞", "5 kg", "x" * 10_000, "\x00"]
)
def test_answers_that_cannot_be_meant_are_kept_and_nothing_is_made(
    client: TestClient, store: Store, hostile: str
) -> None:
    before = len(brewhouses.brewhouses(store))
    page = client.post("/brewhouses/new", data={**ANSWERS, "kettle": hostile})
    assert page.status_code == 422
    assert len(brewhouses.brewhouses(store)) == before
    assert 'id="why-kettle"' in page.text
    assert page.text.count('class="fault"') == 1
    assert "<script>alert" not in page.text
    if hostile.isprintable():
        assert f'value="{hostile}"' in unescape(page.text)
    assert 'value="Shed"' in page.text
    assert re.search(r'value="gas" checked', page.text)


def test_a_brewhouse_can_be_pasted(client: TestClient, store: Store) -> None:
    text = text_of(store, "kitchen-bag").replace("Kitchen bag", "Galley")
    assert client.post("/brewhouses/new", data={"text": text}).headers["location"] == "/brewhouses/galley?made=1"
    wrong = client.post("/brewhouses/new", data={"text": 'kind = "kettle"\n<script>'})
    assert wrong.status_code == 422
    assert "<script>\n" not in wrong.text
    assert "Nothing was made." in wrong.text


def test_the_marks_are_those_of_the_beer_chosen(client: TestClient) -> None:
    page = client.get(HOME)
    assert "Dip-sticks with Copper Beacon in them" in said(page.text)  # the one last touched, where nobody chose
    other = client.get(f"{HOME}?beer=tram-depot")
    assert "Dip-sticks with Tram Depot in them" in said(other.text)
    assert re.search(r'value="tram-depot" selected', other.text)
    alone = client.get(f"{HOME}?beer=")
    assert "Dip-sticks of the vessels alone" in said(alone.text)
    assert 'class="ink fill"' not in alone.text
    gone = client.get(f"{HOME}?beer=nobody")
    assert gone.status_code == 200
    assert "There is no such beer" in said(gone.text)


def test_a_beer_too_large_is_said_not_to_fit(client: TestClient) -> None:
    page = said(client.get("/brewhouses/kitchen-bag?beer=copper-beacon").text)
    assert "Copper Beacon does not fit as it is." in page
    assert "13 L is the most here." in page
    client.cookies.set("units", "us")
    us = said(client.get("/brewhouses/kitchen-bag?beer=copper-beacon").text)
    assert "3.43 gal is the most here." in us


def test_an_edit_is_kept_and_told_with_what_it_does(client: TestClient, store: Store) -> None:
    page = client.post(f"{HOME}/edit?beer=copper-beacon", data=sent("kettle.boil_off", value="4.5"), headers=FRAGMENT)
    assert page.status_code == 200
    assert page.text.lstrip().startswith('<div id="house"')
    assert 'boil_off = { value = "4.5 L/h"' in text_of(store)
    words = told(page.text)
    assert "Kettle, boil-off: 3.2 L/h becomes 4.5 L/h." in words
    assert re.search(r"Copper Beacon brewed here: [\w ]*full kettle [\d.]+ L more", words, re.IGNORECASE)
    assert re.search(r"water to draw, in all 3\d\.\d L 3\d\.\d L", words)
    assert 'class="was"' in page.text  # dotted marks where they stood
    assert "Kettle, boil-off: 3.2 L/h becomes 4.5 L/h." in said(row(page.text, "kettle.boil_off"))


def test_without_a_script_the_same_is_told_on_the_page_it_leads_to(client: TestClient) -> None:
    answer = client.post(f"{HOME}/edit?beer=copper-beacon", data=sent("kettle.boil_off", value="4.5"))
    assert answer.status_code == 303
    there = urlsplit(answer.headers["location"])
    assert (there.path, there.fragment) == (HOME, "told")
    assert parse_qs(there.query) == {"beer": ["copper-beacon"], "kept": ["kettle.boil_off"], "was": ["1"]}
    words = told(client.get(f"{there.path}?{there.query}").text)
    assert "4.5 L/h, give or take 0.3 L/h, stated." in words
    assert re.search(r"Copper Beacon brewed here: [\w ]*full kettle [\d.]+ L more", words, re.IGNORECASE)
    # Once something else was edited the address tells no more of it than how the figure stands.
    client.post(EDIT, data=sent("keg.vessel", seen=2, value="9 L"))
    later = told(client.get(f"{there.path}?{there.query}").text)
    assert "Boil-off: 4.5 L/h" in later
    assert "brewed here" not in later


def test_the_last_change_is_undone_by_a_revision_more(client: TestClient, store: Store) -> None:
    first = text_of(store)
    assert "Undo" not in client.get(f"{HOME}?beer=").text  # nothing was changed yet
    page = client.post(f"{HOME}/edit?beer=copper-beacon", data=sent("kettle.boil_off", value="3.9"), headers=FRAGMENT)
    assert "Undo: kettle, boil-off 3.2 L/h to 3.9 L/h" in told(page.text)
    assert "Undo" in said(row(page.text, "kettle.boil_off"))
    back = client.post(f"{HOME}/undo?beer=copper-beacon", data={"seen": "2", "at": "kettle.boil_off"}, headers=FRAGMENT)
    assert back.status_code == 200
    assert text_of(store) == first
    assert brewhouses.brewhouse(store, "lantern-street-48").number == 3
    assert "Undone: kettle, boil-off 3.2 L/h to 3.9 L/h. Kettle, boil-off is 3.2 L/h again." in told(back.text)
    assert "Copper Beacon brewed here:" in told(back.text)
    assert "Undone" in said(row(back.text, "kettle.boil_off"))
    assert "Undo: kettle, boil-off 3.9 L/h to 3.2 L/h" in said(client.get(f"{HOME}?beer=").text)


def test_without_a_script_undoing_is_told_on_the_page_it_leads_to(client: TestClient, store: Store) -> None:
    client.post(EDIT, data=sent("kettle.vessel", value="50 L"))
    answer = client.post(f"{HOME}/undo?beer=", data={"seen": "2"})
    assert (answer.status_code, answer.headers["location"]) == (303, f"{HOME}?beer=&undone=1&was=2#told")
    page = told(client.get(answer.headers["location"]).text)
    assert "Undone: kettle, to the brim 48 L to 50 L. Kettle, to the brim is 48 L again." in page


def test_nothing_is_undone_that_was_not_seen(client: TestClient, store: Store) -> None:
    never = client.post(f"{HOME}/undo", data={"seen": "1"})
    assert never.status_code == 409
    assert "so there is nothing to undo." in told(never.text)
    client.post(EDIT, data=sent("kettle.boil_off", value="3.9"))
    client.post(EDIT, data=sent("kettle.trub", 2, value="2 L"))
    for seen in ("2", "", "<script>", "9" * 30):
        stale = client.post(f"{HOME}/undo?beer=", data={"seen": seen}, headers=FRAGMENT)
        assert stale.status_code == 409
        assert "nothing was undone; the last change is now kettle, wort left with the trub" in told(stale.text)
    assert brewhouses.brewhouse(store, "lantern-street-48").number == 3


def test_a_text_rewritten_whole_is_undone_too(client: TestClient, store: Store) -> None:
    text = text_of(store)
    client.post(f"{HOME}/text", data={"text": f"# a note\n{text}", "seen": "1"})
    assert "Undo: its text" in said(client.get(f"{HOME}?beer=").text)
    client.post(f"{HOME}/undo?beer=", data={"seen": "2"})
    assert text_of(store) == text
    several = text.replace("3.2 L/h", "3.5 L/h").replace("48 L", "50 L")
    client.post(f"{HOME}/text", data={"text": several, "seen": "3"})
    assert "more figure" in said(client.get(f"{HOME}?beer=").text)


def test_a_boil_off_no_heat_can_drive_is_refused(client: TestClient, store: Store) -> None:
    page = client.post(EDIT, data=sent("kettle.boil_off", value="200 L/h"), headers=FRAGMENT)
    assert page.status_code == 422
    assert "so a boil-off of 200 L/h cannot be; write less, or correct the power first." in said(
        row(page.text, "kettle.boil_off")
    )
    weak = client.post(EDIT, data=sent("kettle.power", value="1 kW"), headers=FRAGMENT)
    assert weak.status_code == 422
    assert "correct that first" in said(row(weak.text, "kettle.power"))
    assert brewhouses.brewhouse(store, "lantern-street-48").number == 1


def test_what_no_longer_fits_is_said_first_beside_the_row(client: TestClient) -> None:
    page = client.post(f"{HOME}/edit?beer=copper-beacon", data=sent("kettle.vessel", value="30 L"), headers=FRAGMENT)
    beside = said(row(page.text, "kettle.vessel")).partition("Copper Beacon: ")[2]
    assert beside.startswith("No longer fits: ")
    assert "Copper Beacon brewed here: No longer fits: " in told(page.text)


def test_a_spread_alone_can_be_edited(client: TestClient, store: Store) -> None:
    before = client.get(HOME).text
    parts = {key: shown(before, "kettle.boil_off", key) for key in ("value", "spread", "each_time", "source")}
    page = client.post(EDIT, data=sent("kettle.boil_off", **{**parts, "spread": "0.05 gal/h"}), headers=FRAGMENT)
    assert page.status_code == 200
    assert 'spread = "0.05 gal/h"' in text_of(store)
    assert shown(page.text, "kettle.boil_off", "spread") == "0.19 L/h"
    assert shown(page.text, "kettle.boil_off") == "3.2 L/h"


def test_an_emptied_value_and_back_to_its_kind_do_the_same(client: TestClient, store: Store) -> None:
    first = client.post(EDIT, data=sent("kettle.trub", value=""), headers=FRAGMENT)
    assert first.status_code == 200
    assert "trub" not in text_of(store)
    assert "is taken back" in told(first.text)
    again = client.post(EDIT, data=sent("kettle.left_behind", 2, value="1.5 L", do="back"), headers=FRAGMENT)
    assert again.status_code == 200
    assert "left_behind" not in text_of(store)


def test_figures_that_need_not_be_there_are_added_and_taken_away(client: TestClient, store: Store) -> None:
    for number, (address, value) in enumerate(
        [("mash.grain_limit", ""), ("habit.brewhouse_efficiency", "72"), ("habit.gravity", "1.050"),
         ("kind", "mash tun and kettle"), ("mash.vessel", "40 L"), ("kettle.vessel", "50 L"),
         ("habit.brewhouse_efficiency", ""), ("altitude", "900 ft")],
        start=1,
    ):  # fmt: skip
        page = client.post(EDIT, data=sent(address, number, value=value), headers=FRAGMENT)
        assert page.status_code == 200, (address, told(page.text))
    text = text_of(store)
    assert "grain_limit" not in text
    assert "efficiency" not in text
    assert "1.050" not in text
    assert "900 ft" in text
    # Two vessels now, each with a stick of its own.
    assert len(re.findall(r'<svg class="stick"', page.text)) == 4
    assert "40 L to the brim" in said(page.text)


@pytest.mark.faults
@pytest.mark.parametrize(
    ("address", "parts", "words"),
    [
        ("kettle.boil_off", {"value": "3 zorkmids"}, "is not a flow"),
        ("kettle.boil_off", {"value": "NaN"}, "is not a flow"),
        ("kettle.boil_off", {"value": "1e308"}, ""),
        ("kettle.boil_off", {"value": "3.2 L/h", "spread": "-1"}, ""),
        ("kettle.boil_off", {"value": "<script>alert(1)</script>"}, "is not a flow"),
        ("kettle.vessel", {"value": "0"}, ""),
        ("mash.drain", {"value": "a sieve"}, ""),
        ("habit.gravity", {"value": "1.050"}, "state the brewhouse efficiency first"),
        ("name", {"value": ""}, "needs a name"),
        ("name", {"value": "x" * 10_000}, "too many"),
        ("water", {"value": "nowhere"}, "There is no water"),
    ],
)
def test_a_refused_edit_is_said_beside_its_field_and_kept(
    client: TestClient, store: Store, address: str, parts: dict[str, str], words: str
) -> None:
    before = text_of(store)
    for headers in (FRAGMENT, {}):
        page = client.post(EDIT, data=sent(address, **parts), headers=headers)
        assert page.status_code == 422
        assert text_of(store) == before
        found = row(page.text, address)
        fault = re.search(r'<p class="fault" role="alert"[^>]*>(.*?)</p>', found, re.S)
        assert fault is not None
        assert words in unescape(fault.group(1))
        assert "line " not in fault.group(1)
        assert 'aria-invalid="true"' in found
        assert page.text.count('role="alert"') == 1
        assert "<script>alert" not in page.text
        for part, typed in parts.items():
            if "<select" not in found:
                assert shown(page.text, address, part) == typed


def test_a_place_that_is_no_figure_is_refused(client: TestClient, store: Store) -> None:
    before = text_of(store)
    for address in ("", "kettle.colour", "gyle", "__class__", "kettle"):
        page = client.post(EDIT, data=sent(address, value="1"))
        assert page.status_code == 422
        assert "no such figure" in said(page.text)
    assert text_of(store) == before


def test_two_tabs_that_edit_different_figures_both_keep_their_edit(client: TestClient, store: Store) -> None:
    client.post(EDIT, data=sent("kettle.trub", 1, value="2 L"), headers=FRAGMENT)
    second = client.post(EDIT, data=sent("kettle.boil_off", 1, value="4"), headers=FRAGMENT)
    assert second.status_code == 200
    assert "Changed elsewhere meanwhile, and kept as well: wort left with the trub." in told(second.text)
    text = text_of(store)
    assert 'trub = "2 L"' in text
    assert 'boil_off = { value = "4 L/h"' in text


def test_two_tabs_that_edit_one_figure_lose_nothing(client: TestClient, store: Store) -> None:
    client.post(EDIT, data=sent("kettle.trub", 1, value="2 L"), headers=FRAGMENT)
    second = client.post(EDIT, data=sent("kettle.trub", 1, value="3 L"), headers=FRAGMENT)
    assert second.status_code == 409
    found = row(second.text, "kettle.trub")
    assert "changed elsewhere since you saw it: it is now 2 L" in said(found)
    assert shown(second.text, "kettle.trub") == "3 L"  # theirs is kept, and so is what was typed
    assert 'trub = "2 L"' in text_of(store)
    seen = int(re.findall(r'name="seen" value="(\d+)"', found)[0])
    third = client.post(EDIT, data=sent("kettle.trub", seen, value="3 L"), headers=FRAGMENT)
    assert third.status_code == 200
    assert 'trub = "3 L"' in text_of(store)
    assert [paper.number for paper in brewhouses.brewhouse_revisions(store, "lantern-street-48")] == [3, 2, 1]


@pytest.mark.faults
@pytest.mark.parametrize("seen", ["", "0", "-1", "99", "x", "1" * 50])
def test_an_edit_that_does_not_say_what_it_saw_overwrites_nothing(client: TestClient, store: Store, seen: str) -> None:
    before = text_of(store)
    page = client.post(EDIT, data={"address": "kettle.trub", "value": "3 L", "seen": seen})
    assert page.status_code == 409
    assert text_of(store) == before


def test_its_water_is_one_of_the_books(client: TestClient, store: Store) -> None:
    ions = "calcium = 60\nmagnesium = 8\nsodium = 20\nchloride = 30\nsulfate = 55\nbicarbonate = 160\n"
    add_water(store, f'gyle = 1\nname = "Yard well"\n{ions}')
    page = client.post(EDIT, data=sent("water", value="yard-well"), headers=FRAGMENT)
    assert page.status_code == 200, told(page.text)
    assert 'water = "yard-well"' in text_of(store)
    assert 'value="yard-well"' in page.text


def test_the_text_is_shown_taken_and_refused_whole(client: TestClient, store: Store) -> None:
    page = client.get(f"{HOME}/text")
    assert "[kettle]" in page.text
    text = text_of(store)
    kept = client.post(f"{HOME}/text", data={"text": text.replace("48 L", "50 L"), "seen": "1"})
    assert (kept.status_code, kept.headers["location"]) == (303, HOME)
    assert "50 L" in text_of(store)
    wrong = client.post(f"{HOME}/text", data={"text": "kind = 5\n<script>x</script>", "seen": "2"})
    assert wrong.status_code == 422
    assert "<script>x" not in wrong.text
    assert "&lt;script&gt;x" in wrong.text
    stale = client.post(f"{HOME}/text", data={"text": text.replace("48 L", "52 L"), "seen": "1"})
    assert stale.status_code == 409
    assert "52 L" in stale.text
    assert "50 L" in stale.text.partition('id="theirs"')[2]
    assert "50 L" in text_of(store)
    again = client.post(f"{HOME}/text", data={"text": text.replace("48 L", "52 L"), "seen": "2"})
    assert again.status_code == 303
    file = client.get(f"{HOME}/brewhouse.toml")
    assert file.text == text_of(store)
    assert 'filename="lantern-street-48.toml"' in file.headers["content-disposition"]


def test_a_comment_stays_where_a_figure_is_edited(client: TestClient, store: Store) -> None:
    client.post("/brewhouses/lantern-street-28/edit", data=sent("kettle.left_behind", value="1.2 L"))
    assert re.search(r'left_behind = "1.2 L" +# under the tap', text_of(store, "lantern-street-28"))


@pytest.mark.faults
def test_a_hostile_name_is_shown_as_text(client: TestClient, store: Store) -> None:
    name = '<script>alert(1)</script>"><img src=x>'
    client.post(EDIT, data=sent("name", value=name))
    for address in (HOME, "/brewhouses", f"{HOME}/text"):
        page = client.get(address).text
        assert "<script>alert" not in page
        assert "<img" not in page
        assert "&lt;script&gt;alert(1)" in page


def test_a_brewhouse_that_is_not_there_is_said_not_to_be(client: TestClient) -> None:
    for address in ("/brewhouses/nowhere", "/brewhouses/nowhere/text", "/brewhouses/NOWHERE%00"):
        assert client.get(address).status_code == 404
    assert client.post("/brewhouses/nowhere/edit", data=sent("name", value="x")).status_code == 404
