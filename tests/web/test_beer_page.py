"""A beer's page without a browser: what a plain form can do, and that nothing sent is lost."""

from __future__ import annotations

import re

import pytest
from starlette.testclient import TestClient

from gyle.books import beers, drafts, versions
from gyle.books.store import Store
from gyle.web.added_rows import BUTTONS

BEER = "/beers/copper-beacon"
NEWEST = 4
SCRIPT = {"HX-Request": "true", "HX-Request-Type": "partial"}


def value(html: str, place: str) -> str:
    """What stands in a field of a page."""
    found = re.search(rf'<(?:input|select)[^>]*name="{re.escape(place)}"[^>]*>', html)
    assert found, f"no field {place}"
    shown = re.search(r'value="([^"]*)"', found[0])
    return shown[1] if shown else ""


def draft_of(address: str) -> int:
    found = re.search(r"draft=(\d+)", address)
    assert found, address
    return int(found[1])


def sent(client: TestClient, place: str, text: str, query: str = f"base={NEWEST}", **more: str) -> str:
    """Send one field as a browser without a script does; where it leads."""
    answered = client.post(f"{BEER}/edit?{query}", data={place: text, "do": "edit", **more})
    assert answered.status_code == 303, answered.text[:500]
    return answered.headers["location"]


def test_a_plain_form_edits_and_leads_to_the_draft(client: TestClient) -> None:
    address = sent(client, "boil.time", "90 min")
    page = client.get(address).text
    assert value(page, "boil.time") == "90 min"
    assert "edited, not yet saved" in page
    assert value(client.get(f"{BEER}?version={NEWEST}").text, "boil.time") == "75 min"


def test_a_page_without_a_query_shows_the_work_that_is_open(client: TestClient) -> None:
    sent(client, "boil.time", "90 min")
    assert value(client.get(BEER).text, "boil.time") == "90 min"


def test_two_pages_edit_the_same_draft_and_both_are_kept(client: TestClient) -> None:
    first = draft_of(sent(client, "boil.time", "90 min"))
    seen = f"base={NEWEST}&draft={first}&seen=1"
    sent(client, "boil.time", "80 min", seen)
    forked = client.post(f"{BEER}/edit?{seen}", data={"mash.0.temperature": "64 °C", "do": "edit"})
    assert forked.status_code == 409
    assert "nothing is lost" in forked.text
    own = client.get(f"{BEER}?draft={first}").text
    assert (value(own, "boil.time"), value(own, "mash.0.temperature")) == ("80 min", "66 °C")
    other = draft_of(forked.text.partition("<form")[2].partition("<form")[2])
    assert other != first
    beside = client.get(f"{BEER}?draft={other}").text
    assert (value(beside, "boil.time"), value(beside, "mash.0.temperature")) == ("90 min", "64 °C")


def test_one_open_page_may_run_ahead_of_its_answers(client: TestClient) -> None:
    both = {"hand": "a1", "do": "edit"}
    edit = f"{BEER}/edit?base={NEWEST}"
    client.post(edit, data={"boil.time": "90 min", **both}, headers=SCRIPT)
    answered = client.post(edit, data={"boil.time": "90 min", "mash.0.temperature": "64 °C", **both}, headers=SCRIPT)
    assert answered.status_code == 200
    assert (value(answered.text, "boil.time"), value(answered.text, "mash.0.temperature")) == ("90 min", "64 °C")
    assert "drafts are kept" not in answered.text
    beside = client.post(edit, data={"boil.time": "70 min", "hand": "b2", "do": "edit"}, headers=SCRIPT)
    assert "Another draft of this beer was open already" in beside.text


def test_what_cannot_be_read_is_told_and_the_rest_is_kept(client: TestClient) -> None:
    answered = client.post(
        f"{BEER}/edit?base={NEWEST}", data={"boil.time": "ninety", "mash.0.temperature": "64 °C", "do": "edit"}
    )
    assert answered.status_code == 422
    assert 'value="ninety"' in answered.text
    assert 'role="alert"' in answered.text
    assert value(answered.text, "mash.0.temperature") == "64 °C"
    assert value(client.get(BEER).text, "boil.time") == "75 min"


def test_undo_redo_and_putting_aside(client: TestClient) -> None:
    draft = draft_of(sent(client, "boil.time", "90 min"))

    def press(button: str, seen: int) -> str:
        query = f"base={NEWEST}&draft={draft}&seen={seen}"
        return client.post(f"{BEER}/edit?{query}", data={"do": button}).headers["location"]

    assert value(client.get(press("undo", 1)).text, "boil.time") == "75 min"
    assert value(client.get(press("redo", 0)).text, "boil.time") == "90 min"
    thrown = press("drop", 1)
    assert thrown.startswith(f"{BEER}?thrown=")
    assert "not yet saved" not in client.get(BEER).text
    assert client.get(f"{BEER}?draft={draft}").status_code == 404
    offered = re.search(r'value="(take back [^"]+)"', client.get(thrown).text)
    assert offered
    back = client.post(f"{BEER}/edit?base={NEWEST}", data={"do": offered[1]}).headers["location"]
    assert value(client.get(back).text, "boil.time") == "90 min"
    again = client.post(f"{BEER}/edit?base={NEWEST}", data={"do": offered[1]})
    assert "no longer kept" in again.text


def test_undo_on_a_draft_that_moved_on_is_refused(client: TestClient) -> None:
    draft = draft_of(sent(client, "boil.time", "90 min"))
    sent(client, "boil.time", "80 min", f"base={NEWEST}&draft={draft}&seen=1")
    refused = client.post(f"{BEER}/edit?base={NEWEST}&draft={draft}&seen=1", data={"do": "undo"})
    assert "moved on" in refused.text
    assert value(client.get(f"{BEER}?draft={draft}").text, "boil.time") == "80 min"


def test_saving_makes_a_version_and_keeps_the_one_before(client: TestClient) -> None:
    draft = draft_of(sent(client, "boil.time", "90 min"))
    query = f"base={NEWEST}&draft={draft}&seen=1"
    saved = client.post(f"{BEER}/edit?{query}", data={"do": "save", "why": "a longer boil"})
    assert saved.headers["location"].startswith(f"{BEER}?version=5&saved=1")
    page = client.get(saved.headers["location"]).text
    assert "Saved as version 5" in page
    assert value(page, "boil.time") == "90 min"
    assert value(client.get(f"{BEER}?version={NEWEST}").text, "boil.time") == "75 min"


def test_edits_of_a_draft_closed_elsewhere_become_a_new_one(client: TestClient) -> None:
    draft = draft_of(sent(client, "boil.time", "90 min"))
    query = f"base={NEWEST}&draft={draft}&seen=1"
    client.post(f"{BEER}/edit?{query}", data={"do": "drop"})
    answered = client.post(
        f"{BEER}/edit?{query}", data={"boil.time": "90 min", "mash.0.temperature": "64 °C", "do": "edit"}
    )
    assert "kept as a new draft" in answered.text
    assert (value(answered.text, "boil.time"), value(answered.text, "mash.0.temperature")) == ("90 min", "64 °C")


def test_what_cannot_be_brewed_still_shows_its_fields(client: TestClient) -> None:
    address = sent(client, "aim.original_gravity", "1.180")
    page = client.get(address).text
    assert "This cannot be brewed as it stands." in page
    assert "cannot be reached" in page
    assert value(page, "aim.original_gravity") == "1.180"


def test_a_beer_that_never_could_be_brewed_can_be_mended(client: TestClient) -> None:
    draft = draft_of(sent(client, "aim.original_gravity", "1.180"))
    query = f"base={NEWEST}&draft={draft}&seen=1"
    client.post(f"{BEER}/edit?{query}", data={"do": "save"})
    page = client.get(f"{BEER}?version=5")
    assert page.status_code == 200
    assert "This cannot be brewed as it stands." in page.text
    assert value(page.text, "hops.1.amount") == "45 g"
    assert 'a class="figure' not in page.text
    mended = sent(client, "aim.original_gravity", "1.102", "base=5")
    assert "This cannot be brewed as it stands." not in client.get(mended).text


def test_rows_are_added_and_taken_out(client: TestClient) -> None:
    address = client.post(f"{BEER}/edit?base={NEWEST}", data={"do": "add hops"}).headers["location"]
    page = client.get(address).text
    assert value(page, "hops.3.what") == "Cascade"
    query = f"base={NEWEST}&draft={draft_of(address)}&seen=1"
    gone = client.post(f"{BEER}/edit?{query}", data={"do": "remove hops.3"}).headers["location"]
    assert 'name="hops.3.what"' not in client.get(gone).text
    unknown = client.post(f"{BEER}/edit?{query}", data={"do": "remove hops.77"})
    assert unknown.status_code == 422
    assert "hops.77" in unknown.text
    assert client.post(f"{BEER}/edit?base={NEWEST}", data={"do": "add everything"}).status_code == 303


@pytest.mark.parametrize(
    "query", ["draft=99", "draft=x", "version=99", "version=-1", "version=%C2%B2", "draft=999999999999999999999"]
)
def test_an_address_that_leads_nowhere_is_told(client: TestClient, query: str) -> None:
    answered = client.get(f"{BEER}?{query}")
    assert answered.status_code == 404
    assert "<h1" in answered.text


@pytest.mark.parametrize("slug", ["nothing", "..%2F..%2Fetc", "%00", "x" * 5000, "%F0%9F%8D%BA"])
def test_an_unknown_beer_is_told(client: TestClient, slug: str) -> None:
    for tail in ("", "/text", "/recipe.toml", "/figures/glass.bitterness"):
        assert client.get(f"/beers/{slug}{tail}").status_code == 404


def test_units_are_the_persons_own(client: TestClient) -> None:
    client.cookies.set("units", "us")
    page = client.get(BEER).text
    assert value(page, "mash.0.temperature") == "151 °F"
    assert "gal" in page
    address = sent(client, "mash.0.temperature", "64 °C")
    assert value(client.get(address).text, "mash.0.temperature") == "147 °F"


def test_the_text_is_edited_whole(client: TestClient) -> None:
    text = client.get(f"{BEER}/recipe.toml").text
    page = client.get(f"{BEER}/text").text
    assert "Copper Beacon" in page
    again = client.post(f"{BEER}/text?base={NEWEST}", data={"text": text.replace("75 min", "85 min")})
    assert again.status_code == 303
    assert value(client.get(again.headers["location"]).text, "boil.time") == "85 min"
    wrong = client.post(f"{BEER}/text?base={NEWEST}", data={"text": 'name = "</textarea><script>"\nboil = ['})
    assert wrong.status_code == 422
    assert "&lt;/textarea&gt;&lt;script&gt;" in wrong.text


def test_a_figure_has_a_page(client: TestClient) -> None:
    page = client.get(f"{BEER}/figures/fermenter.original_gravity")
    assert page.status_code == 200
    assert page.text.count("<li") >= 3
    assert client.get(f"{BEER}/figures/kettle.nothing").status_code == 422


def test_sentences_follow_a_change_of_units(client: TestClient) -> None:
    draft = draft_of(sent(client, "volume", "40 L"))
    address = f"{BEER}?draft={draft}"
    assert "L at the boil" in client.get(address).text
    client.cookies.set("units", "us")
    page = client.get(address).text
    assert "does not fit" in page
    assert "gal at the boil" in page
    assert " L at the boil" not in page


def test_a_version_is_kept_with_the_brewhouse_its_text_names(client: TestClient, store: Store) -> None:
    text = client.get(f"{BEER}/recipe.toml").text.replace("lantern-street-48", "lantern-street-28")
    address = client.post(f"{BEER}/text?base={NEWEST}", data={"text": text}).headers["location"]
    client.post(f"{BEER}/edit?base={NEWEST}&draft={draft_of(address)}&seen=1", data={"do": "save"})
    assert versions.version(store, "copper-beacon", 5).brewhouse == "lantern-street-28"


def shown(html: str, *places: str) -> tuple[str, ...]:
    return tuple(value(html, place) for place in places)


def hops_of(client: TestClient, address: str) -> list[str]:
    return re.findall(r'name="hops\.\d+\.what" value="([^"]*)"', client.get(address).text)


def test_an_edit_follows_its_row_while_another_is_being_taken_out(client: TestClient) -> None:
    edit, hand = f"{BEER}/edit?base={NEWEST}", {"hand": "a1"}
    before = hops_of(client, BEER)
    client.post(edit, data={"do": "remove hops.0", **hand}, headers=SCRIPT)
    # The page has not seen the answer: its second row is the first one by now.
    ahead = client.post(edit, data={"hops.1.amount": "51 g", "do": "edit", **hand}, headers=SCRIPT)
    assert ahead.status_code == 200
    assert shown(ahead.text, "hops.0.what", "hops.0.amount") == (before[1], "51 g")
    # The same button pressed twice takes out one row, and what is typed into that one is told.
    client.post(edit, data={"do": "remove hops.0", **hand}, headers=SCRIPT)
    told = client.post(edit, data={"hops.0.amount": "9 g", "do": "remove hops.1", **hand}, headers=SCRIPT)
    assert "What was typed into a row that had been taken out was left out." in told.text
    assert hops_of(client, BEER) == before[2:]


def test_what_is_typed_beside_undo_is_taken_first_and_can_be_redone(client: TestClient) -> None:
    draft = draft_of(sent(client, "boil.time", "90 min"))
    query = f"base={NEWEST}&draft={draft}&seen=1"
    undone = client.post(f"{BEER}/edit?{query}", data={"mash.0.temperature": "64 °C", "do": "undo"})
    assert shown(client.get(undone.headers["location"]).text, "boil.time", "mash.0.temperature") == ("90 min", "66 °C")
    redone = client.post(f"{BEER}/edit?base={NEWEST}&draft={draft}&seen=1", data={"do": "redo"})
    assert value(client.get(redone.headers["location"]).text, "mash.0.temperature") == "64 °C"


def test_what_another_window_did_is_not_saved_unseen(client: TestClient, store: Store) -> None:
    draft = draft_of(sent(client, "boil.time", "90 min"))
    seen = f"base={NEWEST}&draft={draft}&seen=1"
    sent(client, "boil.time", "80 min", seen)
    refused = client.post(f"{BEER}/edit?{seen}", data={"do": "save", "why": "so be it"})
    assert "moved on" in refused.text
    assert 'value="so be it"' in refused.text
    assert len(versions.versions(store, "copper-beacon")) == NEWEST
    assert value(refused.text, "boil.time") == "80 min"


@pytest.mark.parametrize("button", ["drop", "undo", "redo"])
def test_a_draft_that_was_put_aside_is_not_brought_back_by_a_button(client: TestClient, button: str) -> None:
    draft = draft_of(sent(client, "boil.time", "90 min"))
    query = f"base={NEWEST}&draft={draft}&seen=1"
    client.post(f"{BEER}/edit?{query}", data={"do": "drop"})
    answered = client.post(f"{BEER}/edit?{query}", data={"boil.time": "90 min", "do": button})
    assert "no longer open" in answered.text
    assert "kept as a new draft" not in answered.text
    assert value(client.get(BEER).text, "boil.time") == "75 min"
    assert "not yet saved" not in client.get(BEER).text


def test_notes_that_cannot_be_kept_stand_there_still_with_the_reason(client: TestClient) -> None:
    answered = client.post(f"{BEER}/edit?base={NEWEST}", data={"notes": "a bell \x07 rings", "do": "edit"})
    assert answered.status_code == 422
    notes = answered.text.partition('name="notes"')[2]
    assert "a bell \x07 rings" in notes.partition("</textarea>")[0]
    assert 'role="alert"' in notes


def test_a_text_of_a_draft_that_moved_on_or_was_closed_is_kept_beside_it(client: TestClient) -> None:
    draft = draft_of(sent(client, "boil.time", "90 min"))
    seen = f"base={NEWEST}&draft={draft}&seen=1"
    text = client.get(f"{BEER}/recipe.toml?draft={draft}").text
    sent(client, "boil.time", "80 min", seen)
    moved = client.post(f"{BEER}/text?{seen}", data={"text": text.replace("90 min", "95 min")})
    page = client.get(moved.headers["location"]).text
    assert value(page, "boil.time") == "95 min"
    assert "The draft had moved on meanwhile." in page
    assert value(client.get(f"{BEER}?draft={draft}").text, "boil.time") == "80 min"
    client.post(f"{BEER}/edit?base={NEWEST}&draft={draft}&seen=2", data={"do": "drop"})
    closed = client.post(f"{BEER}/text?{seen}", data={"text": text.replace("90 min", "99 min")})
    page = client.get(closed.headers["location"]).text
    assert value(page, "boil.time") == "99 min"
    assert "The draft was saved or put aside meanwhile." in page


def test_the_same_text_again_opens_no_draft(client: TestClient) -> None:
    text = client.get(f"{BEER}/recipe.toml").text
    assert client.post(f"{BEER}/text?base={NEWEST}", data={"text": text}).headers["location"] == BEER
    assert "not yet saved" not in client.get(BEER).text


def test_faults_of_a_text_are_told_in_the_persons_units(client: TestClient) -> None:
    text = client.get(f"{BEER}/recipe.toml").text.replace('"75 min"', '"75 furlongs"')
    client.cookies.set("units", "us")
    answered = client.post(f"{BEER}/text?base={NEWEST}", data={"text": text})
    assert answered.status_code == 422
    assert "furlongs" in answered.text


def test_a_recipe_whose_ground_was_taken_away_is_shown_as_text(client: TestClient, store: Store) -> None:
    text = 'gyle = 1\nname = "Adrift"\nfor_brewhouse = "sunk"\nvolume = "20 L"\n[[grist]]\nwhat = "pale malt"\n'
    added = beers.add_beer(store, text=text)
    page = client.get(f"/beers/{added.slug}")
    assert page.status_code == 422
    assert "sunk" in page.text
    assert "<textarea" in page.text


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("button", BUTTONS)
@pytest.mark.parametrize("slug", ["copper-beacon", "slack-water"])  # one of shares, one of weights
def test_every_button_adds_a_row_that_can_be_brewed(client: TestClient, slug: str, button: str, system: str) -> None:
    client.cookies.set("units", system)
    home = f"/beers/{slug}"
    before = client.get(home).text
    newest = re.search(r"edit\?base=(\d+)", before)
    assert newest
    added = client.post(f"{home}/edit?base={newest[1]}", data={"do": f"add {button}"})
    assert added.status_code == 303, added.text
    after = client.get(added.headers["location"]).text
    assert after.count('value="remove ') > before.count('value="remove ')
    assert 'role="alert"' not in after
    assert "cannot be brewed" not in after


def test_saving_twice_saves_once(client: TestClient, store: Store) -> None:
    draft = draft_of(sent(client, "hops.1.amount", "50 g"))
    query = f"base={NEWEST}&draft={draft}&seen=1"
    whole = {"hops.1.amount": "50 g", "boil.time": "75 min", "do": "save"}
    first, second = (client.post(f"{BEER}/edit?{query}", data=whole).headers["location"] for _ in range(2))
    assert first.startswith(f"{BEER}?version=5")
    assert second.startswith(f"{BEER}?version=5")
    assert len(versions.versions(store, "copper-beacon")) == NEWEST + 1
    assert not drafts.drafts_of(store, "copper-beacon")
    other = client.post(f"{BEER}/edit?{query}", data={**whole, "boil.time": "80 min"})
    assert "kept as a new draft" in other.text  # it says something else: nothing is lost


def test_a_fault_beside_a_field_speaks_of_no_file(client: TestClient) -> None:
    for place, typed in (("hops.1.what", ""), ("aim.original_gravity", "54"), ("mash.0.temperature", "5 °C")):
        answered = client.post(f"{BEER}/edit?base={NEWEST}", data={place: typed, "do": "edit"})
        fault = re.search(r'class="fault" role="alert"[^>]*>([^<]+)<', answered.text)
        assert fault, place
        assert "line " not in fault[1]
    assert "1.054" in client.post(f"{BEER}/edit?base={NEWEST}", data={"aim.original_gravity": "54"}).text


def test_the_beer_in_short_stands_above_its_line(client: TestClient) -> None:
    page = client.get(BEER).text
    gist = page.partition('<dl class="gist"')[2].partition("</dl>")[0]
    assert re.findall(r"<dt>(\w+)</dt>", gist) == ["original", "final", "alcohol", "bitterness", "colour"]
    assert gist.count('<span class="ends">') == 5
    assert "1.102" in gist
