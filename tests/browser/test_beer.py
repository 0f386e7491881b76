"""The beer's line in a browser: shaped by typing, by keys, by hand; undone, saved, and never lost."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect

BEER = "/beers/copper-beacon"
PHONE = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True}


def settled(page: Page) -> None:
    expect(page.locator("#beer")).not_to_have_class(re.compile("brewing"))


@contextmanager
def edit(page: Page, status: int = 200) -> Iterator[None]:
    """Wait until the page has taken what is done inside."""
    with page.expect_response(lambda answer: "/edit" in answer.url) as answered:
        yield
    assert answered.value.status == status
    settled(page)


def field(page: Page, place: str) -> Locator:
    return page.locator(f"[name='{place}']")


def type_into(page: Page, place: str, text: str, status: int = 200) -> None:
    with edit(page, status):
        field(page, place).fill(text)
        field(page, place).press("Tab")


def figure(page: Page, name: str) -> str:
    return page.locator(f"#f-{name.replace('.', '-')} .value").inner_text()


@pytest.fixture
def beer(new_context: Callable[..., BrowserContext], fresh_url: str) -> Page:
    page = new_context(base_url=fresh_url).new_page()
    page.goto(BEER)
    return page


def test_an_edit_moves_the_figures_and_keeps_the_place(beer: Page) -> None:
    before = figure(beer, "glass.bitterness")
    type_into(beer, "hops.1.amount", "90")  # a bare number takes the unit that was shown
    assert field(beer, "hops.1.amount").input_value() == "90 g"
    assert figure(beer, "glass.bitterness") != before
    assert f"was {before}" in beer.locator("#f-glass-bitterness").inner_text()
    # Whoever tabbed on is where they tabbed to, and the old band is still seen.
    assert beer.evaluate("document.activeElement.name") == "hops.1.alpha"
    expect(beer.locator("#f-glass-bitterness rect.before")).to_have_count(1)
    expect(beer.get_by_text("edited, not yet saved")).to_be_visible()


@pytest.mark.parametrize(
    ("place", "typed", "shown"),
    [
        ("hops.1.amount", "1.6 oz", "1.6 oz"),
        ("hops.1.amount", "2 g/L", "2 g/L"),
        ("hops.0.amount", "60 IBU", "60 IBU"),
        ("grist.0.amount", "11 lb", "11 lb"),
        ("mash.0.temperature", "153 °F", "153 °F"),
        ("boil.time", "1 h 20 min", "1 h 20 min"),
        ("volume", "5,5 gal", "5,5 gal"),
    ],
)
def test_any_unit_may_be_typed(beer: Page, place: str, typed: str, shown: str) -> None:
    sent: list[int] = []
    beer.on("response", lambda answer: sent.append(answer.status) if "/edit" in answer.url else None)
    with beer.expect_response(lambda answer: "/edit" in answer.url):
        field(beer, place).fill(typed)
        field(beer, place).press("Tab")
    expect(beer.locator(".field .fault")).to_have_count(0)
    assert sent == [200]
    # In metric units the page says it back in metric, whatever it was typed in.
    expect(beer.get_by_role("button", name="Undo")).to_be_enabled()
    text = beer.request.get(beer.url.replace(BEER, f"{BEER}/recipe.toml")).text()
    assert shown in text


@pytest.mark.parametrize(
    ("place", "typed", "said"),
    [
        ("hops.1.amount", "45 zorkmids", "is no amount here"),
        ("hops.1.amount", "NaN", ""),
        ("hops.1.amount", "1e308 g", ""),
        ("hops.1.amount", "-5 g", ""),
        ("mash.0.temperature", "<script>alert(1)</script>", ""),
        ("boil.time", "∞", ""),
        ("hops.0.at", "boil next tuesday", ""),
        ("grist.0.what", "", ""),
    ],
)
def test_what_cannot_be_is_refused_beside_the_field(beer: Page, place: str, typed: str, said: str) -> None:
    before = figure(beer, "fermenter.original_gravity")
    type_into(beer, place, typed, status=422)
    fault = beer.locator(".field .fault").first
    expect(fault).to_be_visible()
    assert said in fault.inner_text()
    assert field(beer, place).input_value() == typed  # nothing typed is lost
    assert field(beer, place).get_attribute("aria-invalid") == "true"
    assert figure(beer, "fermenter.original_gravity") == before


def test_undo_and_redo_by_key(beer: Page) -> None:
    type_into(beer, "boil.time", "90 min")
    type_into(beer, "mash.0.temperature", "64 °C")
    beer.locator("h2").first.click()
    with edit(beer):
        beer.keyboard.press("Control+z")
    assert field(beer, "mash.0.temperature").input_value() == "66 °C"
    with edit(beer):
        beer.keyboard.press("Control+z")
    assert field(beer, "boil.time").input_value() == "75 min"
    with edit(beer):
        beer.keyboard.press("Control+Shift+z")
    assert field(beer, "boil.time").input_value() == "90 min"


def test_a_hop_is_nudged_by_keys(beer: Page) -> None:
    pin = beer.get_by_role("slider", name="Northern Brewer")
    pin.focus()
    with edit(beer):
        pin.press("ArrowRight")  # later
        pin.press("ArrowRight")
        pin.press("PageDown")
    assert field(beer, "hops.0.at").input_value() == "boil 53 min"
    assert pin.get_attribute("aria-valuenow") == "53.0"
    assert beer.evaluate("document.activeElement.dataset.place") == "hops.0.at"


def test_a_hop_is_dragged(beer: Page) -> None:
    pin = beer.get_by_role("slider", name="Northern Brewer")
    box = pin.locator(".grab").bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    with edit(beer):
        beer.mouse.move(x, y)
        beer.mouse.down()
        beer.mouse.move(x + 60, y, steps=6)
        beer.mouse.up()
    minutes = float(field(beer, "hops.0.at").input_value().split()[1])
    assert 0 <= minutes < 58


def test_a_rest_is_raised_on_its_curve(beer: Page) -> None:
    rest = beer.get_by_role("slider", name="rest 1")
    rest.focus()
    with edit(beer):
        rest.press("ArrowUp")
        rest.press("ArrowUp")
    assert field(beer, "mash.0.temperature").input_value() == "67 °C"


def test_a_row_is_added_and_taken_out(beer: Page) -> None:
    with edit(beer):
        beer.get_by_role("button", name="+ dry hops").click()
    assert field(beer, "hops.3.amount").input_value() == "60 g"
    with edit(beer):
        field(beer, "hops.3.what").hover()
        beer.locator("button[value='remove hops.3']").click()
    expect(field(beer, "hops.3.what")).to_have_count(0)


def test_unsaved_work_outlives_a_closed_tab(
    beer: Page, new_context: Callable[..., BrowserContext], fresh_url: str
) -> None:
    type_into(beer, "hops.1.amount", "52 g")
    beer.close()
    again = new_context(base_url=fresh_url).new_page()
    again.goto(BEER)
    assert field(again, "hops.1.amount").input_value() == "52 g"
    expect(again.get_by_text("edited, not yet saved")).to_be_visible()


def test_a_version_is_saved_with_its_reason(beer: Page) -> None:
    type_into(beer, "hops.1.amount", "52 g")
    beer.get_by_label("why").fill("rounder in the nose")
    newest = int(beer.get_by_role("button", name="Save as version").inner_text().split()[-1])
    beer.get_by_role("button", name="Save as version").click()
    expect(beer.get_by_text(f"Saved as version {newest}.")).to_be_visible()
    assert field(beer, "hops.1.amount").input_value() == "52 g"


def test_two_tabs_lose_nobodys_work(beer: Page, new_context: Callable[..., BrowserContext], fresh_url: str) -> None:
    other = new_context(base_url=fresh_url).new_page()
    type_into(beer, "hops.1.amount", "50 g")
    other.goto(BEER)  # sees the draft
    type_into(beer, "hops.1.amount", "55 g")
    type_into(other, "boil.time", "90 min", status=409)
    notice = other.locator("#told")
    expect(notice).to_contain_text("had moved on")
    assert field(other, "boil.time").input_value() == "90 min"
    assert field(other, "hops.1.amount").input_value() == "50 g"  # what this tab saw
    other.get_by_role("link", name="See the other draft").click()
    assert field(other, "hops.1.amount").input_value() == "55 g"
    # The first tab goes on as if nothing had happened.
    type_into(beer, "hops.1.amount", "58 g")
    assert field(beer, "boil.time").input_value() == "75 min"


def test_a_saved_draft_is_no_trap_for_another_tab(
    beer: Page, new_context: Callable[..., BrowserContext], fresh_url: str
) -> None:
    type_into(beer, "hops.1.amount", "50 g")
    other = new_context(base_url=fresh_url).new_page()
    other.goto(BEER)
    beer.get_by_role("button", name="Save as version").click()
    expect(beer.get_by_text("Saved as version")).to_be_visible()
    with other.expect_response(lambda answer: "/edit" in answer.url):
        field(other, "boil.time").fill("95 min")
        field(other, "boil.time").press("Tab")
    expect(other.locator("#told")).to_contain_text("kept as a new draft")
    assert field(other, "boil.time").input_value() == "95 min"
    assert field(other, "hops.1.amount").input_value() == "50 g"


def test_quick_edits_of_one_tab_do_not_fork(beer: Page) -> None:
    for grams in range(46, 52):
        field(beer, "hops.1.amount").fill(f"{grams} g")
        field(beer, "hops.1.amount").press("Enter")
    expect(beer.get_by_role("button", name="Undo")).to_contain_text("51 g", timeout=15_000)
    settled(beer)
    beer.reload()
    assert field(beer, "hops.1.amount").input_value() == "51 g"
    expect(beer.get_by_text("drafts are kept")).to_have_count(0)


def test_buttons_pressed_faster_than_they_are_answered_all_count(beer: Page) -> None:
    hops = beer.locator("[name^='hops.'][name$='.what']")
    before = hops.count()
    beer.evaluate("for (const what of ['dry', 'hops', 'dry']) document.querySelector(`[value='add ${what}']`).click()")
    field(beer, "boil.time").fill("80 min")
    field(beer, "boil.time").press("Tab")
    expect(hops).to_have_count(before + 3)
    expect(beer.get_by_role("button", name="Undo")).to_contain_text("80 min", timeout=15_000)
    settled(beer)
    beer.reload()
    expect(hops).to_have_count(before + 3)
    assert field(beer, "boil.time").input_value() == "80 min"
    expect(beer.get_by_text("drafts are kept")).to_have_count(0)


def test_a_row_taken_out_takes_no_other_with_it(beer: Page) -> None:
    hops = beer.locator("[name^='hops.'][name$='.what']")
    before = [hops.nth(place).input_value() for place in range(hops.count())]
    # Before the answer is there, the row below it is edited.
    beer.evaluate(
        """() => {
          document.querySelector(`[value='remove hops.0']`).click();
          const amount = document.querySelector("[name='hops.1.amount']");
          amount.value = "51 g";
          amount.dispatchEvent(new Event("change", { bubbles: true }));
        }"""
    )
    expect(beer.get_by_role("button", name="Undo")).to_contain_text("51 g", timeout=15_000)
    settled(beer)
    assert [hops.nth(place).input_value() for place in range(hops.count())] == before[1:]
    assert field(beer, "hops.0.amount").input_value() == "51 g"


def test_a_figure_tells_where_it_comes_from(beer: Page) -> None:
    beer.locator("#f-fermenter-original_gravity").click()
    dialog = beer.get_by_role("dialog")
    expect(dialog.get_by_role("heading", name="original gravity")).to_be_visible()
    expect(dialog.locator(".movers li")).to_have_count(3)
    expect(dialog).to_contain_text("ASBC")
    beer.keyboard.press("Escape")
    expect(dialog).to_be_hidden()


def test_what_cannot_be_brewed_is_said_and_can_be_undone(beer: Page) -> None:
    with edit(beer):
        field(beer, "aim.original_gravity").fill("1.180")
        field(beer, "aim.original_gravity").press("Tab")
    notice = beer.locator(".notice").first
    expect(notice).to_contain_text("cannot be brewed")
    with edit(beer):
        beer.locator("#undo").click()
    expect(beer.get_by_text("cannot be brewed")).to_have_count(0)


def test_hostile_text_stays_text(beer: Page) -> None:
    name = '"><script>document.title="taken"</script><img src=x onerror=alert(1)>'
    type_into(beer, "name", name)
    assert field(beer, "name").input_value() == name
    assert "taken" not in beer.title() or name in beer.title()
    long = "Notes with </textarea><script>1</script> " * 240
    with edit(beer):
        field(beer, "notes").fill(long)
        field(beer, "notes").blur()
    beer.reload()
    assert field(beer, "notes").input_value().strip() == long.strip()
    assert beer.evaluate("document.scripts.length") == beer.evaluate("document.querySelectorAll('head script').length")


def test_the_keyboard_alone_shapes_a_beer(beer: Page) -> None:
    beer.keyboard.press("Tab")
    expect(beer.get_by_role("link", name="To the page")).to_be_focused()
    beer.keyboard.press("Enter")
    for _ in range(80):
        beer.keyboard.press("Tab")
        if beer.evaluate("document.activeElement.name") == "boil.time":
            break
    assert beer.evaluate("document.activeElement.name") == "boil.time"
    with edit(beer):
        beer.keyboard.press("Control+a")
        beer.keyboard.type("80")
        beer.keyboard.press("Tab")
    assert field(beer, "boil.time").input_value() == "80 min"


def test_without_a_script_the_same_form_suffices(new_context: Callable[..., BrowserContext], fresh_url: str) -> None:
    page = new_context(base_url=fresh_url, java_script_enabled=False).new_page()
    page.goto(BEER)
    field(page, "hops.1.amount").fill("52 g")
    field(page, "boil.time").fill("90 min")
    page.get_by_role("button", name="Brew it again").last.click()
    assert field(page, "hops.1.amount").input_value() == "52 g"
    assert field(page, "boil.time").input_value() == "90 min"
    page.get_by_role("button", name="Undo").click()
    assert field(page, "boil.time").input_value() == "75 min"
    page.locator("#f-fermenter-alcohol").click()
    expect(page.get_by_role("heading", name="alcohol by volume")).to_be_visible()


def test_us_units_are_spoken_and_understood(new_context: Callable[..., BrowserContext], fresh_url: str) -> None:
    page = new_context(base_url=fresh_url).new_page()
    page.goto(BEER)
    page.locator("details.setting summary").click()
    page.get_by_label("US customary").check()
    expect(page.get_by_text("into the fermenter").first).to_be_visible()
    assert field(page, "mash.0.temperature").input_value() == "151 °F"
    type_into(page, "mash.0.temperature", "153")
    assert field(page, "mash.0.temperature").input_value() == "153 °F"
    assert "gal" in figure(page, "fermenter.volume")


@pytest.mark.parametrize("paper", ["light", "dark"])
@pytest.mark.parametrize("size", ["desk", "phone"])
def test_nothing_serious_for_those_who_do_not_see(
    new_context: Callable[..., BrowserContext], axe: Callable[[Page], list[str]], size: str, paper: str
) -> None:
    setting = PHONE if size == "phone" else {}
    page = new_context(**setting, color_scheme=paper).new_page()
    page.goto(BEER)
    assert axe(page) == []
    page.locator("#f-fermenter-original_gravity").click()
    expect(page.get_by_role("dialog")).to_be_visible()
    assert axe(page) == []


def test_a_phone_shows_all_of_it_without_sideways_scrolling(new_context: Callable[..., BrowserContext]) -> None:
    page = new_context(**PHONE).new_page()
    for beer in ("copper-beacon", "slack-water", "ropewalk"):
        page.goto(f"/beers/{beer}")
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
        expect(page.get_by_role("heading", name="Kettle")).to_be_visible()


def test_a_beer_that_is_not_there(new_context: Callable[..., BrowserContext]) -> None:
    page = new_context().new_page()
    answer = page.goto("/beers/no-such-beer")
    assert answer is not None
    assert answer.status == 404
    expect(page.get_by_role("link", name="Back to the shelf")).to_be_visible()


def test_the_address_follows_the_draft(beer: Page) -> None:
    beer.goto(f"{BEER}?version=2")
    type_into(beer, "boil.time", "95 min")
    expect(beer).to_have_url(re.compile(r"\?draft=\d+$"))
    beer.reload()
    assert field(beer, "boil.time").input_value() == "95 min"


def test_what_was_typed_is_shown_as_it_was_taken(beer: Page) -> None:
    with edit(beer):
        field(beer, "boil.time").fill("1.5 h")
        field(beer, "boil.time").press("Enter")
    expect(field(beer, "boil.time")).to_have_value("1.5 h")  # in the unit it was written in
    with edit(beer):
        field(beer, "hops.1.amount").fill("50")
        field(beer, "hops.1.amount").press("Enter")
    expect(field(beer, "hops.1.amount")).to_have_value("50 g")
    type_into(beer, "hops.2.amount", "55")
    expect(field(beer, "hops.2.amount")).to_have_value("55 g")


def test_what_is_being_typed_goes_with_its_row(beer: Page) -> None:
    with edit(beer):
        beer.evaluate(
            """() => {
              document.querySelector(`[value='remove hops.0']`).click();
              const amount = document.querySelector("[name='hops.1.amount']");  // of East Kent Golding
              amount.focus();
              amount.value = "51 g";
            }"""
        )
    expect(field(beer, "hops.0.amount")).to_have_value("51 g")
    expect(field(beer, "hops.0.amount")).to_be_focused()
    expect(field(beer, "hops.1.amount")).to_have_value("60 g")
    with edit(beer):
        beer.keyboard.press("Tab")
    expect(beer.get_by_role("button", name="Undo")).to_contain_text("East Kent Golding 45 g → 51 g")
