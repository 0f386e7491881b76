"""The adapt page without a browser: every form plain, a result waited for or at once, every refusal one sentence."""

from __future__ import annotations

import html
import re
import tomllib
from urllib.parse import parse_qs, urlencode, urlsplit

import pytest
from starlette.testclient import TestClient

from gyle.books import beers, brewhouses, drafts, versions
from gyle.books.store import Store

ADAPT = "/beers/quiet-harbour/adapt"
COPPER = "/beers/copper-beacon/adapt"
SMALL = {"to": "kitchen-bag", "volume": "6", "now": "1"}
STUCK = {"to": "lantern-street-28", "now": "1"}
HOSTILE = '"><script>document.title="taken"</script>'
SCRIPT = {"HX-Request": "true", "HX-Request-Type": "partial"}


def page(client: TestClient, address: str, status: int = 200, *, script: bool = False, **asked: str) -> str:
    found = client.get(f"{address}?{urlencode(asked)}" if asked else address, headers=SCRIPT if script else {})
    assert found.status_code == status, found.text[:800]
    assert "style=" not in found.text
    return found.text


def words(text: str) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", text)).split())


def fault(text: str, field: str) -> str:
    """The sentence beside a field."""
    found = re.search(rf'id="why-{field}">([^<]+)<', text)
    assert found, f"nothing is said of {field}"
    assert re.search(rf'name="{field}"[^>]*aria-invalid="true"[^>]*aria-describedby="why-{field}"', text)
    return html.unescape(found[1])


def hidden(text: str) -> dict[str, str]:
    """What the form that keeps a result sends beside its fields."""
    form = text[text.index('aria-labelledby="keep-it"') :]
    found = re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)">', form)
    return {name: html.unescape(value) for name, value in found}


def test_the_form_offers_what_is_in_the_books(client: TestClient) -> None:
    shown = page(client, ADAPT)
    for slug in ("kitchen-bag", "lantern-street-28", "lantern-street-48"):
        assert f'<option value="{slug}">' in shown
    assert 'name="version" value="2"' in shown
    assert "with the lots in store" in shown
    assert 'id="adapted"' in shown
    assert "There and here" not in shown


def test_without_a_brewhouse_one_is_led_to_describe_it(empty_client: TestClient) -> None:
    empty_client.post("/beers/new", data={"way": "plain", "name": "Lone", "volume": "20 L"})
    slug = "lone"
    shown = page(empty_client, f"/beers/{slug}/adapt")
    assert 'href="/brewhouses/new"' in shown
    assert 'name="to"' not in shown


def test_a_page_answers_at_once_and_waits_for_the_result(client: TestClient) -> None:
    shown = page(client, ADAPT, to="kitchen-bag", volume="6.25")
    assert "There and here" not in shown
    waits = re.search(r'hx-get="([^"]+)" hx-trigger="load"', shown)
    assert waits
    address = urlsplit(html.unescape(waits[1]))
    assert address.path == f"{ADAPT}/result"
    assert parse_qs(address.query) == {"version": ["2"], "to": ["kitchen-bag"], "volume": ["6.25"]}
    plain = re.search(r'<a href="([^"]+now=1[^"]*)">', shown)
    assert plain
    assert "There and here" in page(client, html.unescape(plain[1]))
    found = page(client, html.unescape(waits[1]), script=True)
    assert found.lstrip().startswith('<div id="adapted">')
    assert "<html" not in found
    assert 'hx-swap-oob="innerHTML"' in found
    assert "There and here" in page(client, ADAPT, to="kitchen-bag", volume="6.25")  # known by now


def test_both_lines_changes_and_weights_are_told(client: TestClient) -> None:
    said = words(page(client, COPPER, **STUCK))
    for one in (
        "It does not fit Lantern Street 28 as it is",
        "The grist is 9.75 kg, and 7 kg is the most here.",
        "there: Lantern Street 48",
        "here: Lantern Street 28",
        "beyond its band there",
        "pale ale malt 5.49 kg to 4.56 kg",
        "57 % of the grist's extract reaches the fermenter there, 67 % here.",
        "Recommended: it keeps the whole volume and the beer as it is",
        "Hot and heavy",
    ):
        assert one in said
    taken = re.findall(r'<input type="radio" name="choose" value="([^"]+)" checked>', page(client, COPPER, **STUCK))
    assert taken == ["double mash + wort held back"]


def test_another_way_out_comes_as_a_part_of_the_page(client: TestClient) -> None:
    page(client, COPPER, **STUCK)
    asked = {"version": "4", "to": "lantern-street-28", "choose": "smaller volume"}
    waits = page(client, f"{COPPER}/outcome", script=True, **asked)
    assert 'hx-trigger="load"' in waits
    assert "by smaller volume" in words(waits)
    found = client.get(f"{COPPER}/outcome?{urlencode({**asked, 'now': '1'})}", headers=SCRIPT)
    assert found.text.count('id="outcome"') == 1
    assert "by smaller volume" in words(found.text)
    assert found.headers["HX-Replace-Url"] == f"{COPPER}?{urlencode(asked)}"
    assert "There and here" in page(client, f"{COPPER}/outcome", script=True, **asked)
    # Who comes here without a script is sent to the page.
    plain = client.get(f"{COPPER}/outcome?{urlencode(asked)}")
    assert plain.status_code == 303
    assert "checked" in page(client, plain.headers["location"])


@pytest.mark.parametrize(
    ("asked", "field", "said"),
    [
        ({"to": ""}, "to", "Choose the brewhouse"),
        ({"to": "no-such-shed"}, "to", "no brewhouse no-such-shed"),
        ({"volume": "nan"}, "volume", "not a volume"),
        ({"volume": "900 hL"}, "volume", "far beyond Kitchen bag"),
        ({"volume": HOSTILE}, "volume", "not a volume"),
        ({"instead": HOSTILE}, "instead", "not understood"),
        ({"instead": "z" * 10_000}, "instead", "10,000 characters"),
        ({"into": "bath"}, "into", "fermenter or keg"),
        ({"water": "none"}, "water", "no water none"),
    ],
)
def test_what_cannot_be_used_is_told_beside_its_field(
    client: TestClient, asked: dict[str, str], field: str, said: str
) -> None:
    shown = page(client, ADAPT, 422, **{"to": "kitchen-bag", "volume": "6", **asked, "now": "1"})
    assert said in fault(shown, field)
    assert "<script>document" not in shown
    if len(next(iter(asked.values()))) < 100 and field in ("volume", "instead"):
        assert f'value="{html.escape(asked[field])}"'.replace("&quot;", "&#34;") in shown


@pytest.mark.parametrize(
    ("choose", "said"),
    [
        ("more sugar", "More sugar does not fit: the full kettle holds 25.8 L"),
        (HOSTILE, "is not one of the ways out, which are: double mash"),
    ],
)
def test_what_is_no_way_out_is_told_with_the_way_back(client: TestClient, choose: str, said: str) -> None:
    shown = page(client, COPPER, 422, **STUCK, choose=choose)
    assert said in words(shown)
    assert "<script>document" not in shown
    back = re.search(r'<a href="([^"]+)">See the ways out</a>', shown)
    assert back
    assert "There and here" in page(client, html.unescape(back[1]))


def test_a_part_of_a_page_tells_its_faults_in_its_place(client: TestClient) -> None:
    for part, name in (("outcome", "outcome"), ("result", "adapted")):
        told = page(client, f"{COPPER}/{part}", 422, script=True, to="no-such-shed", now="1")
        assert "There is no brewhouse no-such-shed" in words(told)
        assert told.count(f'id="{name}"') == 1
        assert "<html" not in told


def test_a_form_sent_with_nothing_chosen_is_told_so(client: TestClient) -> None:
    assert "Choose the brewhouse" in fault(page(client, f"{ADAPT}?to=&volume=", 422), "to")


def test_what_nothing_makes_fit_is_one_sentence(client: TestClient) -> None:
    said = words(page(client, COPPER, 422, to="kitchen-bag", volume="130", now="1"))
    assert "It cannot be brewed that way on Kitchen bag. No way out was found for Copper Beacon at 130 L" in said


@pytest.mark.parametrize("address", ["/beers/nobody/adapt", f"{ADAPT}?version=77", f"{ADAPT}?draft=77"])
def test_what_is_not_there_is_told(client: TestClient, address: str) -> None:
    assert client.get(address).status_code == 404


def test_it_is_kept_as_a_beer_and_looked_at(client: TestClient, store: Store) -> None:
    shown = page(client, ADAPT, **SMALL)
    assert 'value="Quiet Harbour for Kitchen bag"' in shown
    sent = client.post(ADAPT, data={**hidden(shown), "do": "beer", "name": "Harbour & <Sons>", "why": ""})
    assert sent.status_code == 303, sent.text
    assert sent.headers["location"] == "/beers/harbour-sons?version=1&saved=1"
    beer = page(client, sent.headers["location"])
    assert "Harbour &amp; &lt;Sons&gt;" in beer
    assert "Kitchen bag" in words(beer)
    summary = versions.version(store, "harbour-sons").summary
    assert summary["figures"]["fermenter.volume"][0] == pytest.approx(6.0, abs=0.1)
    # The figures of its own page are those that were promised.
    gravity = re.search(r"original gravity aim [\d.]+ there [\d.]+ [\d.]+ to [\d.]+ here ([\d.]+)", words(shown))
    assert gravity
    assert f"{summary['figures']['fermenter.original_gravity'][0]:.3f}" == gravity[1]


def test_it_is_kept_as_a_version(client: TestClient, store: Store) -> None:
    shown = page(client, ADAPT, **SMALL)
    sent = client.post(ADAPT, data={**hidden(shown), "do": "version", "why": "Two afternoons' worth.", "name": ""})
    assert sent.headers["location"] == "/beers/quiet-harbour?version=3&saved=1"
    kept = versions.version(store, "quiet-harbour")
    assert (kept.parent, kept.brewhouse, kept.why) == (2, "kitchen-bag", "Two afternoons' worth.")
    assert tomllib.loads(kept.text)["for_brewhouse"] == "kitchen-bag"


def test_a_name_that_cannot_be_kept_is_told_beside_it(client: TestClient, store: Store) -> None:
    shown = page(client, ADAPT, **SMALL)
    sent = client.post(ADAPT, data={**hidden(shown), "do": "beer", "name": " ", "why": "kept"})
    assert sent.status_code == 422
    assert "needs a name" in fault(sent.text, "name")
    assert beers.shelf(store).total == 6


def test_what_changed_since_it_was_seen_is_not_kept(client: TestClient, store: Store) -> None:
    shown = page(client, ADAPT, **SMALL)
    kept = brewhouses.brewhouse(store, "kitchen-bag")
    another = kept.text.replace('heat = "gas"', 'heat = "gas"\nleft_behind = "1.5 L"')
    assert another != kept.text
    brewhouses.save_brewhouse(store, "kitchen-bag", text=another, seen=kept.number)
    sent = client.post(ADAPT, data={**hidden(shown), "do": "beer", "name": "Harbour, small", "why": ""})
    assert sent.status_code == 409, words(sent.text)[:1500]
    assert "nothing was saved" in words(sent.text)
    assert 'value="Harbour, small"' in sent.text
    assert beers.shelf(store).total == 6
    again = client.post(ADAPT, data={**hidden(sent.text), "do": "beer", "name": "Harbour, small", "why": ""})
    assert again.status_code == 303


def test_a_draft_is_what_is_brought_elsewhere(client: TestClient, store: Store) -> None:
    text = versions.version(store, "quiet-harbour").text.replace('"20 IBU"', '"25 IBU"')
    assert "25 IBU" in text
    draft = drafts.open_draft(store, "quiet-harbour", base=2, text=text, said="bitterer")
    shown = page(client, ADAPT, **SMALL)  # with no word on it, the draft last worked on
    assert f'name="draft" value="{draft.id}"' in shown
    assert "aim 25 IBU" in words(shown)
    assert "Your draft stays open" in words(shown)
    assert "aim 20 IBU" in words(page(client, ADAPT, version="2", **SMALL))
    sent = client.post(ADAPT, data={**hidden(shown), "do": "version", "why": "", "name": ""})
    assert sent.headers["location"] == "/beers/quiet-harbour?version=3&saved=1"
    assert len(drafts.drafts_of(store, "quiet-harbour")) == 1


def test_the_file_holds_the_whole_brewhouse(client: TestClient) -> None:
    shown = page(client, ADAPT, **SMALL)
    address = re.search(r'<a href="([^"]+recipe\.toml[^"]+)">', shown)
    assert address
    found = client.get(html.unescape(address[1]))
    assert found.headers["content-disposition"] == 'attachment; filename="quiet-harbour-kitchen-bag.toml"'
    assert tomllib.loads(found.text)["for_brewhouse"]["name"] == "Kitchen bag"
    assert client.get(f"{ADAPT}/recipe.toml?to=nowhere").status_code == 422


def test_the_persons_units_are_spoken(client: TestClient) -> None:
    client.cookies.set("units", "us")
    said = words(page(client, ADAPT, to="kitchen-bag", volume="1.6", now="1"))
    assert "aim 1.6 gal" in said
    assert "°F" in said
    for metric in (" L ", " °C ", " kg ", " EBC "):
        assert metric not in said.replace("330 mL", ""), metric
