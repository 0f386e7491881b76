"""Brewhouses in a browser: five questions, dip-sticks, figures written over, two tabs, a phone, keys, no script."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect

HOUSE = "/brewhouses/lantern-street-48"
PHONE = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True}
PAGES = ("/brewhouses", "/brewhouses/new", HOUSE, "/brewhouses/kitchen-bag?beer=copper-beacon", f"{HOUSE}/text")


def field(page: Page, words: str, part: str = "value") -> Locator:
    return page.get_by_label(f"{words}, {part}", exact=True)


@contextmanager
def edit(page: Page, status: int = 200) -> Iterator[None]:
    """Wait until the page has taken what is done inside."""
    with page.expect_response(lambda answer: "/edit" in answer.url) as answered:
        yield
    assert answered.value.status == status
    expect(page.locator(".htmx-request")).to_have_count(0)


@pytest.fixture
def house(new_context: Callable[..., BrowserContext], fresh_url: str) -> Page:
    page = new_context(base_url=fresh_url).new_page()
    page.goto(HOUSE)
    return page


def test_a_newcomer_answers_five_questions_and_can_brew(
    new_context: Callable[..., BrowserContext], fresh_url: str
) -> None:
    page = new_context(base_url=fresh_url).new_page()
    page.goto("/brewhouses")
    page.get_by_role("link", name="A new brewhouse").click()
    expect(page.get_by_role("heading", level=2)).to_have_count(6)
    page.get_by_label("What do you call it?").fill("Back porch")
    page.get_by_label("a pot with the grain in a bag").check()
    page.get_by_label("kettle, to the brim").fill("3")
    page.get_by_label("a gas burner").check()
    page.get_by_label("keg, to the brim").fill("five")
    page.get_by_role("button", name="Make this brewhouse").click()
    expect(page.locator("#why-keg")).to_contain_text("is not a volume")
    expect(page.get_by_label("keg, to the brim")).to_have_value("five")
    expect(page.get_by_label("keg, to the brim")).to_have_attribute("aria-invalid", "true")
    expect(page.get_by_label("a gas burner")).to_be_checked()
    page.get_by_label("kettle, to the brim").fill("40 L")
    page.get_by_label("keg, to the brim").fill("5 gal")
    page.get_by_role("button", name="Make this brewhouse").click()
    expect(page).to_have_url(re.compile(r"/brewhouses/back-porch\?made=1$"))
    expect(page.get_by_role("status").first).to_contain_text("Back porch is ready to brew on.")
    expect(page.locator("figure.stick-of")).to_have_count(3)
    page.get_by_label("marks of").select_option(label="Slack Water")
    page.get_by_role("button", name="Show").click()
    expect(page.get_by_role("heading", name="Dip-sticks")).to_contain_text("with Slack Water in them")
    expect(page.locator("svg.stick .ink.fill").first).to_be_visible()


def test_an_edit_is_told_beside_its_row_and_moves_the_marks(house: Page) -> None:
    before = house.locator("svg.stick").first.inner_html()
    with edit(house):
        field(house, "boil-off").fill("4.5")
        field(house, "boil-off").press("Enter")
    done = house.locator("#row-kettle-boil_off .done")
    expect(done).to_contain_text("3.2 L/h becomes 4.5 L/h")
    expect(done).to_contain_text(re.compile(r"Copper Beacon: [\w ]*full kettle [\d.]+ L more", re.IGNORECASE))
    assert house.locator("svg.stick").first.inner_html() != before
    expect(house.locator("svg.stick .was").first).to_be_attached()
    # Who typed is where they were, and the whole is told above.
    assert house.evaluate("document.activeElement.id") == "in-kettle-boil_off-value"
    told = house.locator("#told")
    expect(told.get_by_role("row", name="water to draw, in all")).to_be_attached()
    house.reload()
    expect(field(house, "boil-off")).to_have_value("4.5 L/h")


def test_an_edit_is_undone_with_keys_alone(house: Page) -> None:
    with edit(house):
        field(house, "boil-off").fill("4.1")
        field(house, "boil-off").press("Enter")
    undo = house.locator("#row-kettle-boil_off").get_by_role("button", name="Undo kettle, boil-off")
    expect(undo).to_be_visible()
    undo.focus()
    with house.expect_response(lambda answer: "/undo" in answer.url) as found:
        house.keyboard.press("Enter")
    assert found.value.status == 200
    expect(field(house, "boil-off")).to_have_value("3.2 L/h")
    expect(house.locator("#row-kettle-boil_off .done")).to_contain_text("Undone: kettle, boil-off 3.2 L/h to 4.1 L/h.")
    assert house.evaluate("document.activeElement.id") == "undo-kettle-boil_off"
    house.reload()
    expect(field(house, "boil-off")).to_have_value("3.2 L/h")
    expect(house.get_by_role("button", name="Undo: kettle, boil-off 4.1 L/h to 3.2 L/h")).to_be_visible()


def test_a_spread_alone_is_edited_and_taken_back(house: Page) -> None:
    with edit(house):
        field(house, "wort left with the trub", "give or take").fill("100 mL")
        field(house, "wort left with the trub", "give or take").press("Enter")
    house.reload()
    expect(field(house, "wort left with the trub", "give or take")).to_have_value("0.1 L")
    expect(field(house, "wort left with the trub")).to_have_value("1.2 L")
    with edit(house):
        house.locator("#row-kettle-trub").get_by_role("button", name="back to its kind").click()
    expect(house.locator("#row-kettle-trub")).to_have_class(re.compile(r"\bkind\b"))


def test_an_emptied_value_goes_back_to_its_kind(house: Page) -> None:
    with edit(house):
        field(house, "most grain").fill("")
        field(house, "most grain").press("Enter")
    expect(house.locator("#told")).to_contain_text("11.5 kg is taken back")
    house.reload()
    expect(field(house, "most grain")).to_have_value("")


@pytest.mark.parametrize("typed", ["4.5 zorkmids", "NaN", "1e308", "-2 L/h", "<script>alert(1)</script>", "9" * 10_000])
def test_a_refused_edit_keeps_what_was_typed(house: Page, typed: str) -> None:
    with edit(house, status=422):
        field(house, "boil-off").fill(typed)
        field(house, "boil-off").press("Enter")
    fault = house.locator("#why-kettle-boil_off")
    expect(fault).to_be_visible()
    assert fault.inner_text().count(". ") == 0
    expect(field(house, "boil-off")).to_have_value(typed)
    expect(field(house, "boil-off")).to_have_attribute("aria-describedby", "why-kettle-boil_off")
    house.reload()
    expect(field(house, "boil-off")).to_have_value("3.2 L/h")


def test_two_tabs_lose_nobodys_work(new_context: Callable[..., BrowserContext], fresh_url: str) -> None:
    context = new_context(base_url=fresh_url)
    one, other = context.new_page(), context.new_page()
    one.goto(HOUSE)
    other.goto(HOUSE)
    with edit(one):
        field(one, "boil-off").fill("3.8")
        field(one, "boil-off").press("Enter")
    with edit(other):  # another figure: both stay
        field(other, "keg, to the brim").fill("9 L")
        field(other, "keg, to the brim").press("Enter")
    expect(other.locator("#told")).to_contain_text("Changed elsewhere meanwhile, and kept as well: boil-off.")
    expect(field(other, "boil-off")).to_have_value("3.8 L/h")
    with edit(one, status=409):  # the same figure, which this tab saw otherwise
        field(one, "keg, to the brim").fill("12 L")
        field(one, "keg, to the brim").press("Enter")
    expect(one.locator("#why-keg-vessel")).to_contain_text("it is now 9 L")
    expect(field(one, "keg, to the brim")).to_have_value("12 L")
    with edit(one):
        field(one, "keg, to the brim").press("Enter")
    expect(one.locator("#row-keg-vessel .done")).to_contain_text("9 L becomes 12 L")


def test_a_second_vessel_is_added_and_drawn(house: Page) -> None:
    with edit(house):
        field(house, "kind of system").select_option("mash tun and kettle")
        house.get_by_role("button", name="Keep kind of system").click()
    with edit(house):
        field(house, "mash vessel, to the brim").fill("10 gal")
        field(house, "mash vessel, to the brim").press("Enter")
    house.goto(f"{HOUSE}?beer=")
    expect(house.locator("figure.stick-of figcaption")).to_contain_text(["mash vessel", "kettle", "fermenter", "keg"])


def test_the_text_is_edited_and_two_texts_can_both_be_kept(
    new_context: Callable[..., BrowserContext], fresh_url: str
) -> None:
    context = new_context(base_url=fresh_url)
    one, other = context.new_page(), context.new_page()
    for page in (one, other):
        page.goto(HOUSE)
        page.get_by_role("link", name="As text").click()
    area = one.get_by_label("the brewhouse’s text")
    text = area.input_value()
    area.fill(text.replace('"48 L"', '"50 L"'))
    one.get_by_role("button", name="Keep this text").click()
    expect(one).to_have_url(re.compile(f"{HOUSE}$"))
    other.get_by_label("the brewhouse’s text").fill(text.replace('"48 L"', '"55 L"'))
    other.get_by_role("button", name="Keep this text").click()
    expect(other.get_by_role("alert")).to_contain_text("changed elsewhere")
    assert '"55 L"' in other.get_by_label("yours, which keeping puts in its place").input_value()
    assert '"50 L"' in other.get_by_label("as it stands in the books").input_value()
    other.get_by_label("yours, which keeping puts in its place").fill("kind = <script>")
    other.get_by_role("button", name="Keep this text").click()
    expect(other.get_by_role("alert")).to_contain_text("Nothing was changed")
    expect(other.get_by_label("the brewhouse’s text")).to_have_value("kind = <script>")


def test_without_a_script_all_of_it_works(new_context: Callable[..., BrowserContext], fresh_url: str) -> None:
    page = new_context(base_url=fresh_url, java_script_enabled=False).new_page()
    page.goto(HOUSE)
    field(page, "boil-off").fill("4.5")
    page.get_by_role("button", name="Keep boil-off").click()
    expect(page.locator("#told")).to_contain_text("Copper Beacon brewed here:")
    expect(field(page, "boil-off")).to_have_value("4.5 L/h")
    field(page, "boil-off").fill("4.5 furlongs")
    page.get_by_role("button", name="Keep boil-off").click()
    expect(page.locator("#why-kettle-boil_off")).to_be_visible()
    expect(field(page, "boil-off")).to_have_value("4.5 furlongs")
    page.get_by_label("marks of").select_option("")
    page.get_by_role("button", name="Show").click()
    expect(page.get_by_role("heading", name="Dip-sticks")).to_contain_text("of the vessels alone")


def test_with_keys_alone(house: Page) -> None:
    house.get_by_role("link", name="Kettle", exact=True).press("Enter")
    assert house.url.endswith("#at-kettle")
    house.keyboard.press("Tab")
    assert house.evaluate("document.activeElement.id") == "in-kettle-vessel-value"
    keep = house.get_by_role("button", name="Keep kettle, to the brim")
    house.keyboard.press("Tab")
    expect(keep).to_be_focused()
    assert keep.evaluate("button => getComputedStyle(button).opacity") == "1"  # seen where it has the focus
    house.keyboard.press("Shift+Tab")
    house.keyboard.press("Control+a")
    house.keyboard.type("52 L")
    with edit(house):
        house.keyboard.press("Enter")
    expect(house.locator("#row-kettle-vessel .done")).to_contain_text("48 L becomes 52 L")


def test_a_mark_leads_to_its_figure(house: Page) -> None:
    house.locator("svg.stick a", has_text="wort left below the tap").click()
    assert house.url.endswith("#row-kettle-left_behind")
    expect(field(house, "wort left in the kettle")).to_be_in_viewport()


def test_in_us_units(new_context: Callable[..., BrowserContext], fresh_url: str) -> None:
    context = new_context(base_url=fresh_url)
    context.add_cookies([{"name": "units", "value": "us", "url": fresh_url}])
    page = context.new_page()
    page.goto(HOUSE)
    expect(page.locator("figcaption").first).to_contain_text("12.7 gal to the brim, ruled in gallons")
    with edit(page):
        field(page, "boil-off").fill("1")
        field(page, "boil-off").press("Enter")
    expect(page.locator("#row-kettle-boil_off .done")).to_contain_text("becomes 1 gal/h")
    text = page.request.get(f"{fresh_url}{HOUSE}/brewhouse.toml").text()
    assert 'value = "1 gal/h"' in text


@pytest.mark.parametrize("address", PAGES)
def test_on_a_phone_nothing_overflows_and_targets_are_large(
    new_context: Callable[..., BrowserContext], address: str
) -> None:
    page = new_context(**PHONE).new_page()
    page.goto(address)
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    small = page.evaluate(
        """[...document.querySelectorAll('main :is(button, select, input:not([type=hidden]):not([type=radio]))')]
        .filter(one => one.offsetParent !== null)
        .filter(one => one.getBoundingClientRect().height < 43.5).map(one => one.id || one.textContent)"""
    )
    assert small == []
    words_end = page.evaluate(
        "[...document.querySelectorAll('svg.stick text')].map(one => one.getBoundingClientRect().right)"
    )
    assert all(end <= 360 for end in words_end)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("address", PAGES)
def test_axe_finds_nothing_serious(
    new_context: Callable[..., BrowserContext], axe: Callable[[Page], list[str]], address: str, scheme: str
) -> None:
    page = new_context(color_scheme=scheme).new_page()
    page.goto(address)
    assert axe(page) == []


def test_axe_finds_nothing_serious_where_something_was_refused(house: Page, axe: Callable[[Page], list[str]]) -> None:
    with edit(house, status=422):
        field(house, "boil-off").fill("x")
        field(house, "boil-off").press("Enter")
    assert axe(house) == []
    with edit(house):
        field(house, "boil-off").fill("4.5")
        field(house, "boil-off").press("Enter")
    assert axe(house) == []


def test_on_paper_every_figure_stands_and_no_button(house: Page) -> None:
    house.emulate_media(media="print")
    expect(field(house, "boil-off")).to_be_visible()
    expect(house.locator("svg.stick").first).to_be_visible()
    assert house.locator("main button:visible").count() == 0
