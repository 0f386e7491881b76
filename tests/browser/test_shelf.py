"""The shelf in a browser: a first visit, a beer begun in each way, a search as one types, keys, a phone, no script."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from gyle.web.new_beer import example_card

PHONE = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True}
HOSTILE = "<script>document.title = 'taken'</script>"
LOADING_MS = 60_000.0  # every version of Lantern Street is brewed for its figures
Contexts = Callable[..., BrowserContext]


def beers(page: Page) -> list[str]:
    return page.locator("#beers h3").all_inner_texts()


def searched(page: Page, text: str) -> None:
    """Type into the search, and wait for the shelf to follow."""
    with page.expect_response(lambda answer: "?q=" in answer.url):
        page.get_by_role("searchbox").fill(text)


def fits(page: Page) -> bool:
    return bool(page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth"))


@pytest.fixture
def shelf(page: Page) -> Page:
    page.goto("/")
    return page


def test_a_first_visit(new_context: Contexts, empty_url: str, axe: Callable[[Page], list[str]]) -> None:
    page = new_context(base_url=empty_url).new_page()
    page.goto("/")
    expect(page.get_by_role("heading", name="An empty shelf")).to_be_visible()
    assert axe(page) == []
    page.set_default_timeout(LOADING_MS)
    page.get_by_role("button", name="Put Lantern Street on the shelf").click()
    expect(page.get_by_role("heading", name="Shelf", exact=True)).to_be_visible(timeout=LOADING_MS)
    assert len(beers(page)) == 6
    line = page.get_by_role("listitem").filter(has=page.get_by_role("heading", name="Copper Beacon"))
    for words, value in (("original gravity", "1.102"), ("bitterness", "55 IBU"), ("volume", "21.0 L")):
        figure = line.locator(".figure").filter(has=page.get_by_text(words, exact=True))
        expect(figure.locator(".value")).to_have_text(value)
        expect(figure.locator(".ends")).to_have_text(re.compile(r"^[\d.]+ to [\d.]+$"))
    ribbon = line.locator("svg.ribbon.across rect")
    assert re.fullmatch("#[0-9a-f]{6}", ribbon.get_attribute("fill") or "")
    # A dark beer's ribbon is another, and the smaller volume is thinner.
    other = page.locator("#beer-ropewalk svg.ribbon.across rect")
    assert other.get_attribute("fill") != ribbon.get_attribute("fill")
    assert float(other.get_attribute("height") or "0") < float(ribbon.get_attribute("height") or "0")
    expect(page.get_by_text("begins").first).to_contain_text("draw 28.8 L of water")
    assert axe(page) == []
    way_out = page.get_by_role("link", name="Find a way out")
    assert way_out.get_attribute("href") == "/beers/tram-depot/adapt?version=3&to=lantern-street-28"


def test_the_shelf_leads_to_a_beer_and_to_its_versions(shelf: Page) -> None:
    shelf.get_by_role("heading", name="Tram Depot").get_by_role("link").click()
    expect(shelf).to_have_url(re.compile("/beers/tram-depot$"))
    shelf.go_back()
    shelf.get_by_role("link", name="3 versions").click()
    expect(shelf).to_have_url(re.compile("/beers/tram-depot/versions$"))


def test_a_search_follows_as_one_types(shelf: Page) -> None:
    searched(shelf, "harb")
    expect(shelf.locator("#beers h3")).to_have_text(["Quiet Harbour"])
    expect(shelf.locator("#beers").get_by_role("status")).to_contain_text("1 beer whose name holds “harb”")
    # One types on where one was, and the address can be kept.
    assert shelf.evaluate("document.activeElement.id") == "q"
    expect(shelf).to_have_url(re.compile(r"\?q=harb"))
    shelf.reload()
    assert beers(shelf) == ["Quiet Harbour"]
    assert shelf.get_by_role("searchbox").input_value() == "harb"
    expect(shelf.get_by_role("heading", name="Under way")).to_be_visible()


@pytest.mark.parametrize("text", ["zzzz", HOSTILE, "%", "' OR 1=1 --", "\u202eevil", "x" * 200])
def test_a_search_that_finds_nothing_says_so(shelf: Page, text: str) -> None:
    searched(shelf, text)
    expect(shelf.locator("#beers .none")).to_contain_text("No beer’s name holds")
    assert shelf.title() == "Shelf · gyle"
    assert fits(shelf)
    shelf.get_by_role("link", name="Show the whole shelf").click()
    expect(shelf.locator("#beers h3")).to_have_count(6)


def test_the_last_of_quick_letters_holds(shelf: Page) -> None:
    box = shelf.get_by_role("searchbox")
    box.press_sequentially("slack", delay=15)
    expect(shelf.locator("#beers h3")).to_have_text(["Slack Water"])
    box.press("Control+a")
    with shelf.expect_response(lambda answer: "?q=" in answer.url):
        box.press("Delete")
    expect(shelf.locator("#beers h3")).to_have_count(6)


def test_a_beer_begins_from_nothing(new_context: Contexts, fresh_url: str) -> None:
    page = new_context(base_url=fresh_url).new_page()
    page.goto("/")
    page.get_by_role("link", name="Begin a beer").click()
    page.get_by_label("What is it called?").fill(HOSTILE)
    page.get_by_label("How much goes into the fermenter?").fill("a lot")
    page.get_by_role("button", name="Begin it").click()
    volume = page.get_by_label("How much goes into the fermenter?")
    expect(volume).to_have_attribute("aria-invalid", "true")
    expect(volume).to_be_focused()
    expect(volume).to_have_value("a lot")
    expect(volume).to_have_accessible_description(re.compile("is not a volume|is no"))
    expect(page.get_by_label("What is it called?")).to_have_value(HOSTILE)
    volume.fill("5.5 gal")
    page.get_by_label("How strong a wort?").fill("13 °P")
    page.get_by_label("On which brewhouse is it brewed?").select_option(label="Lantern Street 28")
    page.get_by_role("button", name="Begin it").click()
    expect(page.locator("[name='name']")).to_have_value(HOSTILE)
    expect(page.locator(".head .where")).to_contain_text("Lantern Street 28")
    page.goto("/")
    assert beers(page)[0] == HOSTILE
    assert page.title() == "Shelf · gyle"
    expect(page.locator("#beers li").first.locator(".value").first).to_have_text(re.compile(r"1\.05\d"))


def test_a_beer_begins_from_a_card(new_context: Contexts, fresh_url: str) -> None:
    page = new_context(base_url=fresh_url).new_page()
    page.goto("/beers/new")
    page.get_by_role("link", name="Put the small card in to write over").click()
    card = page.get_by_label("the card’s text")
    expect(card).to_have_value(example_card("metric"))
    card.fill(example_card("metric").replace('"66 °C"', '"warm"').replace('"60 min"', '"an hour"', 1))
    page.get_by_role("button", name="Begin with this card").click()
    expect(card).to_be_focused()
    expect(card).to_have_value(re.compile('temperature = "warm"'))
    assert page.locator("#why-text p").count() == 2  # every fault, each with its line
    expect(page.locator("#why-text")).to_contain_text("line")
    card.fill(example_card("metric").replace("Ferry Steps", "x" * 10_000))
    page.get_by_role("button", name="Begin with this card").click()
    expect(page.locator("#why-text")).to_have_text("Line 2: name is longer than 200 characters.")
    assert fits(page)
    card.fill(f'notes = """{"y" * 10_000}"""\n' + example_card("metric").replace("Ferry Steps", "x" * 190))
    page.get_by_role("button", name="Begin with this card").click()
    expect(page).to_have_url(re.compile("/beers/x+$"))
    page.goto("/")
    assert beers(page)[0] == "x" * 120
    assert fits(page)


def test_going_back_and_sending_again_begins_no_second_beer(new_context: Contexts, fresh_url: str) -> None:
    page = new_context(base_url=fresh_url).new_page()
    page.goto("/beers/new")
    for _ in range(2):
        page.get_by_label("What is it called?").fill("Ferry Steps")
        page.get_by_label("How much goes into the fermenter?").fill("20 L")
        page.get_by_label("Which kind of yeast?").select_option("lager yeast")
        page.get_by_role("button", name="Begin it").click()
        expect(page).to_have_url(re.compile(r"/beers/ferry-steps(\?|$)"))
        page.go_back()
    page.goto("/")
    assert beers(page).count("Ferry Steps") == 1


def test_the_forms_of_a_gyle_fit_a_phone(new_context: Contexts) -> None:
    page = new_context(**PHONE).new_page()
    page.goto("/")
    page.get_by_text("Move it or take it off").first.tap()
    button = page.get_by_role("button", name="Take it off the shelf").first
    expect(button).to_be_visible()
    assert fits(page)
    box = page.locator("details.move summary").first.bounding_box()
    assert box is not None
    assert box["height"] >= 44.0


def test_a_beer_begins_from_a_file(new_context: Contexts, fresh_url: str, tmp_path: Path) -> None:
    page = new_context(base_url=fresh_url).new_page()
    page.goto("/beers/new")
    (tmp_path / "steps.toml").write_text(example_card("us").replace('"5.3 gal"', '"some"'), encoding="utf-8")
    page.get_by_label("the file").set_input_files(tmp_path / "steps.toml")
    page.get_by_role("button", name="Begin with this file").click()
    # What stood in it is laid out to be mended.
    card = page.get_by_label("the card’s text")
    expect(card).to_have_value(re.compile('volume = "some"'))
    (tmp_path / "steps.toml").write_text(example_card("us"), encoding="utf-8")
    page.get_by_label("the file").set_input_files(tmp_path / "steps.toml")
    page.get_by_role("button", name="Begin with this file").click()
    expect(page).to_have_url(re.compile("/beers/ferry-steps$"))


def test_without_a_script(new_context: Contexts, fresh_url: str) -> None:
    page = new_context(base_url=fresh_url, java_script_enabled=False).new_page()
    page.goto("/")
    page.get_by_role("searchbox").fill("lamp")
    page.get_by_role("button", name="Find").click()
    assert beers(page) == ["Signal Lamp"]
    page.get_by_role("link", name="Begin a beer").click()
    page.get_by_label("What is it called?").fill("Ferry Steps")
    page.get_by_role("button", name="Begin it").click()
    expect(page.get_by_text("A recipe needs a volume")).to_be_visible()
    page.get_by_label("How much goes into the fermenter?").fill("20")
    page.get_by_role("button", name="Begin it").click()
    expect(page).to_have_url(re.compile("/beers/ferry-steps$"))
    page.goto("/?page=7")
    assert beers(page)[0] == "Ferry Steps"


def test_without_a_mouse(shelf: Page) -> None:
    """Every link and field is reached in the order it is read, and Enter opens a beer."""
    reached = []
    for _ in range(60):
        shelf.keyboard.press("Tab")
        here = shelf.evaluate("[document.activeElement.id, document.activeElement.innerText]")
        if here[1] == "Ropewalk":
            break
        reached.append(here[0] or here[1])
    wanted = ["To the page", "Begin a beer", "Copper Beacon", "Tram Depot", "q", "Copper Beacon", "4 versions"]
    places = iter(reached)
    assert [one for one in wanted if one in places] == wanted
    assert shelf.evaluate("document.activeElement.innerText") == "Ropewalk"
    shelf.keyboard.press("Enter")
    expect(shelf).to_have_url(re.compile("/beers/ropewalk$"))


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("path", ["/", "/?q=harb", "/?q=zzzz", "/beers/new", "/beers/new?example=1"])
def test_nothing_serious_is_found(
    new_context: Contexts, axe: Callable[[Page], list[str]], path: str, scheme: str
) -> None:
    page = new_context(color_scheme=scheme).new_page()
    page.goto(path)
    page.evaluate("document.querySelectorAll('main details').forEach((one) => { one.open = true; })")
    assert axe(page) == []


def test_a_form_at_fault_is_sound_too(page: Page, axe: Callable[[Page], list[str]]) -> None:
    page.goto("/beers/new")
    page.get_by_role("button", name="Begin it").click()
    expect(page.get_by_role("alert")).to_have_count(2)
    assert axe(page) == []
    page.get_by_role("button", name="Begin with this file").click()
    expect(page.get_by_label("the file")).to_have_attribute("aria-invalid", "true")
    assert axe(page) == []


@pytest.mark.parametrize("path", ["/", "/?q=zzzz", "/beers/new?example=1"])
def test_a_phone(new_context: Contexts, axe: Callable[[Page], list[str]], path: str) -> None:
    page = new_context(**PHONE).new_page()
    page.goto(path)
    assert fits(page)
    small = page.evaluate(
        """[...document.querySelectorAll('main :is(a.button, button, select, input, h3 a, .kept a, summary)')]
        .filter((one) => one.offsetParent && one.getBoundingClientRect().height < 38).map((one) => one.outerHTML)"""
    )
    assert small == []
    assert axe(page) == []


def test_an_empty_shelf_on_a_phone(new_context: Contexts, empty_url: str, axe: Callable[[Page], list[str]]) -> None:
    page = new_context(base_url=empty_url, **PHONE).new_page()
    page.goto("/")
    assert fits(page)
    assert axe(page) == []


def test_us_units(shelf: Page) -> None:
    shelf.locator("details.setting summary").click()
    shelf.get_by_label("US customary").check()
    expect(shelf.get_by_text("begins").first).to_contain_text("gal of water")
