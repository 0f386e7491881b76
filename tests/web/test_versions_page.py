"""A beer's versions and their comparison without a browser: every form plain, every refusal one sentence."""

from __future__ import annotations

import html
import re
from datetime import datetime, timedelta
from urllib.parse import urlencode

import pytest
from starlette.testclient import TestClient

from gyle.books import drafts, gyles, versions
from gyle.books.store import Store

BEER = "/beers/copper-beacon"
HOSTILE = '"><script>document.title="taken"</script>'


def page(client: TestClient, address: str, status: int = 200) -> str:
    found = client.get(address)
    assert found.status_code == status, found.text[:800]
    return found.text


def words(text: str) -> str:
    """What a page says, without its marks."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", text)).split())


def fault(text: str, field: str) -> str:
    """The sentence beside a field of the form."""
    found = re.search(rf'id="gyle-{field}-fault">([^<]+)<', text)
    assert found, f"nothing is said of {field}"
    assert re.search(rf'name="{field}"[^>]*aria-invalid="true"', text)
    return html.unescape(found[1])


def wish(**typed: str) -> dict[str, str]:
    usual = {"version": "4", "brewhouse": "lantern-street-28", "start": "", "note": ""}
    return {**usual, "start": f"{datetime.now() + timedelta(days=3):%Y-%m-%dT%H:%M}", **typed}


def test_every_version_is_told_and_leads_on(client: TestClient, store: Store) -> None:
    shown = page(client, f"{BEER}/versions")
    for one in versions.versions(store, "copper-beacon"):
        assert one.why in html.unescape(shown)
        assert f'href="{BEER}?version={one.number}"' in shown
        assert f'action="{BEER}/versions/{one.number}/again"' in shown
        if one.parent is not None:
            assert f'href="{BEER}/compare?old={one.parent}&amp;new={one.number}"' in shown


def test_figures_kept_with_a_version_are_shown_with_their_bands(client: TestClient, store: Store) -> None:
    text = versions.version(store, "copper-beacon").text.replace('"45 g"', '"60 g"')
    client.post(f"{BEER}/edit?base=4", data={"hops.1.amount": "60 g", "do": "edit"})
    (draft,) = drafts.drafts_of(store, "copper-beacon")
    assert draft.text == text
    client.post(
        f"{BEER}/edit?base=4&draft={draft.id}&seen={draft.pointer}", data={"do": "save", "why": "A third more."}
    )
    row = re.search(r'<li class="member" id="version-5">.*?</li>', page(client, f"{BEER}/versions"), re.DOTALL)
    assert row
    kept = versions.version(store, "copper-beacon", 5).summary["figures"]["fermenter.alcohol"]
    assert f"{kept[0]:.1f} % vol {kept[1]:.1f} to {kept[2]:.1f}" in words(row[0])
    assert re.search(r'<rect [^>]*height="[0-9.]+" fill="#[0-9a-f]{6}"', row[0])
    assert "A third more." in row[0]


def test_a_figure_another_program_kept_wrongly_is_left_out(client: TestClient, store: Store) -> None:
    text = versions.version(store, "copper-beacon").text
    odd = {"figures": {"fermenter.volume": "much", "fermenter.alcohol": [1.0], "glass.colour_srm": [8.0, 7.0, 9.0]}}
    versions.save_version(store, "copper-beacon", text=text, parent=4, summary=odd)
    assert "No figures are kept with it" in page(client, f"{BEER}/versions")


def test_beginning_again_opens_a_draft_beside_any_other(client: TestClient, store: Store) -> None:
    other = drafts.open_draft(store, "copper-beacon")
    begun = client.post(f"{BEER}/versions/2/again")
    assert begun.status_code == 303
    made = next(one for one in drafts.drafts_of(store, "copper-beacon") if one.id != other.id)
    assert begun.headers["location"] == f"{BEER}?draft={made.id}"
    assert (made.base, made.text) == (2, versions.version(store, "copper-beacon", 2).text)
    shown = words(page(client, f"{BEER}/versions"))
    assert "A draft of version 2 not edited yet" in shown
    assert "A draft of version 4 not edited yet" in shown


@pytest.mark.parametrize("number", ["0", "99", "x", "-1", "1e3", "9" * 40, "%3Cscript%3E"])
def test_no_draft_is_begun_from_what_is_not_there(client: TestClient, store: Store, number: str) -> None:
    assert client.post(f"{BEER}/versions/{number}/again").status_code == 404
    assert drafts.drafts_of(store, "copper-beacon") == ()


def test_a_gyle_is_planned_and_stands_on_both_pages(client: TestClient, store: Store) -> None:
    sent = client.post(f"{BEER}/gyles", data=wish(version="2", note="Borrow the hoist.\r\nTwice."))
    assert (sent.status_code, sent.headers["location"]) == (303, "/?gyle=planned#gyles")
    made = next(one for one in gyles.gyles(store, beer="copper-beacon") if one.version == 2)
    assert (made.brewhouse, made.note) == ("lantern-street-28", "Borrow the hoist.\nTwice.")
    assert made.local_start.strftime("%Y-%m-%dT%H:%M") == wish()["start"]
    for address in ("/", f"{BEER}/versions"):
        assert "Borrow the hoist." in page(client, address)


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("start", "next tuesday", "“next tuesday” is no date and time"),
        ("start", "", "There is no start yet"),
        ("start", "2031-02-30T10:00", "is no date and time"),
        ("start", "NaN", "is no date and time"),
        ("start", "1999-01-01T10:00", "days past"),
        ("start", "9999-12-31T10:00", "a century"),
        ("start", HOSTILE, "is no date and time"),
        ("start", "\x00" * 300, "There is no start yet"),
        ("version", "99", "There is no version “99”"),
        ("version", "", "There is no version"),
        ("brewhouse", "nowhere", "There is no brewhouse “nowhere”"),
        ("brewhouse", HOSTILE, "choose one of the list"),
        ("note", "x" * 10_001, "note"),
        ("note", "a bell \x07", "note"),
    ],
)
def test_what_cannot_be_planned_is_said_beside_its_field(
    client: TestClient, store: Store, field: str, typed: str, said: str
) -> None:
    before = gyles.gyles(store)
    sent = client.post(f"{BEER}/gyles", data=wish(**{field: typed}, **({} if field == "note" else {"note": "Kept."})))
    assert sent.status_code == 422
    assert said in fault(sent.text, field)
    assert gyles.gyles(store) == before
    assert "<script>document" not in sent.text
    if field != "note":
        assert "Kept." in sent.text  # what else was typed is not lost
    if field == "start" and typed.isprintable():
        assert f'value="{html.escape(typed).replace("&quot;", "&#34;")}"' in sent.text


def test_without_a_brewhouse_the_form_says_what_to_do_first(empty_client: TestClient) -> None:
    text = '[[grist]]\nwhat = "pale ale malt"\nmass = "5 kg"\n'
    begun = empty_client.post(
        "/beers/new", data={"begin": "text", "text": f'gyle = 1\nname = "Bench"\nvolume = "20 L"\n{text}'}
    )
    assert begun.status_code == 303, words(begun.text)[:500]
    shown = page(empty_client, "/beers/bench/versions")
    assert "There is no brewhouse yet" in shown
    assert 'href="/brewhouses/new"' in shown


def test_two_versions_are_compared(client: TestClient) -> None:
    shown = page(client, f"{BEER}/compare?old=1&new=2")
    said = words(shown)
    assert "from version 1 to version 2" in said
    assert "original gravity 14 points higher" in said.casefold()
    assert "sucrose added 10 %" in said
    assert re.search(r"Beyond the noise \d+ figures", said)
    assert re.search(r"Within the noise \d+ figures", said)
    assert shown.count('class="ribbon"') == 2
    assert f'href="{BEER}/compare?old=2&amp;new=1"' in shown
    # The page's own policy allows no style and no script within it.
    assert " style=" not in shown
    assert "<style" not in shown


def test_nothing_chosen_compares_the_newest_with_its_parent_or_a_draft_with_its_base(
    client: TestClient, store: Store
) -> None:
    assert "from version 3 to version 4" in words(page(client, f"{BEER}/compare"))
    drafts.open_draft(store, "copper-beacon", base=2)
    assert "from version 2 to the draft from version 2: not edited yet (today, " in words(
        page(client, f"{BEER}/compare")
    )


def test_a_draft_is_compared_with_a_version(client: TestClient, store: Store) -> None:
    text = versions.version(store, "copper-beacon", 4).text.replace('"45 g"', '"90 g"')
    made = drafts.open_draft(store, "copper-beacon", text=text, said="more Golding")
    said = words(page(client, f"{BEER}/compare?old=4&new=draft-{made.id}"))
    assert "East Kent Golding, stand 85 °C 25 min 45 g to 90 g" in said


def test_another_beer_may_be_the_other_side(client: TestClient) -> None:
    sent = client.get(f"{BEER}/compare?old=3&new=4&another=tram+depot")
    assert sent.status_code == 303
    assert sent.headers["location"] == f"{BEER}/compare?old=3&new=tram-depot%3A3"
    assert "from version 3 to Tram Depot, version 3" in words(page(client, sent.headers["location"]))


def test_another_beer_that_is_not_there_is_refused_beside_its_field(client: TestClient) -> None:
    shown = page(client, f"{BEER}/compare?{urlencode({'old': 3, 'new': 4, 'another': HOSTILE})}", 422)
    assert "There is no beer “" in shown
    assert "<script>document" not in shown
    assert re.search(r'name="another"[^>]*aria-invalid="true"', shown)
    assert "from version 3 to version 4" in words(shown)  # and the two that were chosen still stand


@pytest.mark.parametrize(
    "key", ["99", "0", "draft-1", "draft-99999", "nope:1", HOSTILE, "x" * 10_000, "NaN", "１", ":"]
)
@pytest.mark.parametrize("place", ["old", "new"])
def test_a_side_that_is_not_there_is_told_in_one_sentence(client: TestClient, place: str, key: str) -> None:
    shown = page(client, f"{BEER}/compare?{urlencode({place: key})}", 404)
    told = re.search(r'<section class="told">(.*?)</section>', shown, re.DOTALL)
    assert told
    assert len(re.findall(r"<p>", told[1])) == 3  # the sentence, the way to the beer, and those beyond it
    assert len(words(told[1])) < 200
    assert "<script>document" not in shown


def test_a_draft_of_another_beer_is_not_compared_as_this_ones(client: TestClient, store: Store) -> None:
    made = drafts.open_draft(store, "tram-depot")
    assert "no longer open" in page(client, f"{BEER}/compare?old=4&new=draft-{made.id}", 404)


def test_one_version_alone_has_nothing_to_be_compared_with(client: TestClient) -> None:
    assert "nothing to compare it with yet" in page(client, "/beers/ropewalk/compare")
    assert "choose two that differ" in page(client, f"{BEER}/compare?old=2&new=2")


@pytest.mark.parametrize("page_of", ["versions", "compare"])
def test_there_is_no_page_of_a_beer_that_is_not_there(client: TestClient, page_of: str) -> None:
    assert page(client, f"/beers/no-such-beer/{page_of}", 404)


def test_a_hostile_reason_and_draft_stay_text(client: TestClient, store: Store) -> None:
    text = versions.version(store, "copper-beacon").text
    versions.save_version(store, "copper-beacon", text=text, parent=4, why=HOSTILE[:190])
    drafts.open_draft(store, "copper-beacon", text=text + f"# {HOSTILE}\n", said=HOSTILE)
    for address in (f"{BEER}/versions", f"{BEER}/compare?old=4&new=5"):
        shown = page(client, address)
        assert "<script>document" not in shown
        assert "&lt;script&gt;" in shown
