"""Versions in a browser: saved, told as a family, compared, begun again from, and brewed."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect

BEER = "/beers/copper-beacon"
VERSIONS = f"{BEER}/versions"
COMPARE = f"{BEER}/compare?old=1&new=4"
PHONE = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True}


def save(page: Page, place: str, text: str, why: str) -> None:
    """Edit one field of the beer as it stands and save that as a version."""
    page.goto(BEER)
    with page.expect_response(lambda answer: "/edit" in answer.url):
        page.locator(f"[name='{place}']").fill(text)
        page.locator(f"[name='{place}']").press("Tab")
    page.get_by_label("why", exact=True).fill(why)
    page.get_by_role("button", name=re.compile("Save as version")).click()
    expect(page.get_by_text("not yet saved")).to_have_count(0)


def member(page: Page, number: int) -> Locator:
    return page.get_by_role("listitem").filter(has=page.get_by_role("heading", name=f"Version {number}", exact=True))


def row(page: Page, words: str) -> Locator:
    """The row of a figure that differs beyond the noise."""
    table = page.get_by_role("table", name="Figures that differ beyond the noise")
    return table.get_by_role("row").filter(has=page.get_by_role("rowheader", name=words, exact=True))


@pytest.fixture
def desk(new_context: Callable[..., BrowserContext], fresh_url: str) -> Page:
    return new_context(base_url=fresh_url).new_page()


def test_two_saved_versions_are_compared_and_swapped(desk: Page) -> None:
    save(desk, "hops.1.amount", "90 g", "Twice the Golding.")
    save(desk, "aim.original_gravity", "1.096", "A little lighter.")
    desk.goto(VERSIONS)
    expect(member(desk, 6)).to_contain_text("A little lighter.")
    expect(member(desk, 6)).to_contain_text(re.compile(r"1\.096\s+1\.0\d\d to 1\.10\d"))
    member(desk, 6).get_by_role("link", name="Compare with version 5").click()
    expect(desk.get_by_role("heading", level=1)).to_have_text("Copper Beacon")
    changed = desk.get_by_role("region", name="What was changed")
    expect(changed).to_contain_text(re.compile(r"aim: original gravity\s+1\.102\s+to\s+1\.096"))
    gravity = row(desk, "original gravity")
    expect(gravity.get_by_role("cell").nth(2)).to_contain_text(re.compile(r"^\s*−0\.0060"))
    desk.get_by_role("link", name="Swap the two").click()
    expect(changed).to_contain_text(re.compile(r"aim: original gravity\s+1\.096\s+to\s+1\.102"))
    expect(gravity.get_by_role("cell").nth(2)).to_contain_text(re.compile(r"^\s*\+0\.0060"))
    expect(desk.get_by_label("From")).to_have_value("6")
    expect(desk.get_by_label("to", exact=True)).to_have_value("5")


def test_a_draft_is_told_and_compared_with_a_version(desk: Page) -> None:
    desk.goto(BEER)
    with desk.expect_response(lambda answer: "/edit" in answer.url):
        desk.locator("[name='hops.1.amount']").fill("90 g")
        desk.locator("[name='hops.1.amount']").press("Tab")
    desk.goto(VERSIONS)
    draft = desk.get_by_role("listitem").filter(has=desk.get_by_role("heading", name="A draft of version 4"))
    expect(draft).to_contain_text("edited once")
    draft.get_by_role("link", name="Compare with version 4").click()
    expect(desk.get_by_role("region", name="What was changed")).to_contain_text(re.compile(r"45 g\s+to\s+90 g"))
    desk.get_by_label("From").select_option("1")
    desk.get_by_role("button", name="Compare", exact=True).click()
    expect(desk.get_by_role("region", name="What was changed")).to_contain_text(re.compile(r"25 g\s+to\s+90 g"))


def test_beginning_again_opens_a_draft_that_becomes_a_sibling(desk: Page) -> None:
    desk.goto(VERSIONS)
    member(desk, 1).get_by_role("button", name="Begin again from here").click()
    expect(desk).to_have_url(re.compile(r"/beers/copper-beacon\?draft=\d+$"))
    expect(desk.locator("[name='aim.original_gravity']")).to_have_value("1.088")
    with desk.expect_response(lambda answer: "/edit" in answer.url):
        desk.locator("[name='aim.original_gravity']").fill("1.080")
        desk.locator("[name='aim.original_gravity']").press("Tab")
    desk.get_by_role("button", name="Save as version 5").click()
    expect(desk.get_by_text("not yet saved")).to_have_count(0)
    desk.goto(VERSIONS)
    expect(member(desk, 5).get_by_role("link", name="Compare with version 1")).to_be_visible()
    expect(member(desk, 4).get_by_role("link", name="Compare with version 3")).to_be_visible()


def test_the_family_is_one_unbroken_drawing(desk: Page) -> None:
    desk.goto(VERSIONS)
    member(desk, 2).get_by_role("button", name="Begin again from here").click()
    desk.goto(VERSIONS)
    drawn = [one.bounding_box() for one in desk.locator("svg.kin").all()]
    assert len(drawn) == 5
    boxes = [box for box in drawn if box is not None]
    for upper, lower in itertools.pairwise(boxes):
        assert 0.0 <= upper["y"] + upper["height"] - lower["y"] <= 1.5
    expect(desk.locator("svg.kin path")).to_have_count(1)  # the draft bends to what it was begun from


def test_a_gyle_is_planned_and_shows_on_the_shelf(desk: Page) -> None:
    desk.goto(VERSIONS)
    plan = desk.get_by_role("region", name="Plan a gyle")
    plan.get_by_label("Of", exact=True).select_option("version 3")
    plan.get_by_label("On", exact=True).select_option("Lantern Street 28")
    start = datetime.now() + timedelta(days=5)
    plan.get_by_label("Begins").fill(f"{start:%Y-%m-%d}T07:30")
    expect(plan.get_by_label("Begins")).to_have_accessible_description(re.compile("by the clock of "))
    plan.get_by_label("Note").fill("Lend the kettle back by noon.")
    plan.get_by_role("button", name="Plan the gyle").click()
    expect(desk).to_have_url(re.compile(r"/\?gyle=planned#gyles$"))
    line = desk.get_by_role("listitem").filter(has_text="Lend the kettle back by noon.")
    expect(line).to_contain_text("Copper Beacon, version 3")
    expect(line).to_contain_text("7:30")
    desk.goto(VERSIONS)
    expect(desk.get_by_role("region", name="Gyles of it")).to_contain_text("Lend the kettle back by noon.")


def test_a_gyle_is_moved_taken_off_and_put_back(new_context: Callable[..., BrowserContext], fresh_url: str) -> None:
    page = new_context(base_url=fresh_url).new_page()
    page.goto("/")
    line = page.locator("#gyles li").filter(has=page.get_by_role("link", name="Copper Beacon"))
    line.get_by_text("Move it or take it off").focus()
    page.keyboard.press("Enter")
    start = datetime.now() + timedelta(days=12)
    line.get_by_label("Begins").fill(f"{start:%Y-%m-%d}T06:15")
    line.get_by_role("button", name="Move it").press("Enter")
    expect(page.get_by_role("status").first).to_contain_text("The gyle is moved.")
    expect(line).to_contain_text("6:15")
    page.goto(VERSIONS)
    page.get_by_text("Move it or take it off").click()
    page.get_by_role("button", name="Take it off the shelf").click()
    expect(page.get_by_role("region", name="Gyles of it")).to_have_count(0)
    page.get_by_role("button", name="Put it back").click()
    expect(page.get_by_role("region", name="Gyles of it")).to_contain_text("6:15")
    expect(page.get_by_role("button", name="Put it back")).to_have_count(0)


def test_a_closed_draft_leads_to_its_beer(new_context: Callable[..., BrowserContext], fresh_url: str) -> None:
    page = new_context(base_url=fresh_url).new_page()
    page.goto("/beers/copper-beacon?draft=999")
    expect(page.get_by_text("That draft is no longer open: it was saved or put aside.")).to_be_visible()
    page.get_by_role("link", name="To Copper Beacon").click()
    expect(page).to_have_url(re.compile("/beers/copper-beacon$"))


def test_a_wrong_start_is_said_beside_its_field_and_the_rest_is_kept(
    new_context: Callable[..., BrowserContext], fresh_url: str
) -> None:
    page = new_context(base_url=fresh_url, java_script_enabled=False).new_page()
    page.goto(VERSIONS)
    plan = page.get_by_role("region", name="Plan a gyle")
    plan.get_by_label("Begins").fill("1999-12-31T09:00")
    plan.get_by_label("Note").fill("Kept.")
    page.get_by_role("button", name="Plan the gyle").click()
    start = plan.get_by_label("Begins")
    expect(start).to_have_value("1999-12-31T09:00")
    expect(start).to_have_accessible_description(re.compile("days past"))
    expect(start).to_be_focused()
    expect(plan.get_by_label("Note")).to_have_value("Kept.")
    start.fill("next tuesday")
    page.get_by_role("button", name="Plan the gyle").click()
    expect(start).to_have_value("next tuesday")
    expect(start).to_have_accessible_description(re.compile("“next tuesday” is no date and time"))


def test_without_a_script_both_sides_are_chosen_from_lists(
    new_context: Callable[..., BrowserContext], fresh_url: str
) -> None:
    page = new_context(base_url=fresh_url, java_script_enabled=False).new_page()
    page.goto(VERSIONS)
    page.get_by_label("From").select_option("2")
    page.get_by_label("to", exact=True).select_option("3")
    page.get_by_role("button", name="Compare").click()
    expect(page.get_by_role("region", name="What was changed")).to_contain_text(re.compile(r"25 g\s+to\s+45 g"))
    page.get_by_text("or to another beer").click()
    page.get_by_label("Its name").fill("tram depot")
    page.get_by_role("button", name="Compare with it").click()
    expect(page.get_by_label("to", exact=True)).to_have_value("tram-depot:3")
    expect(page.get_by_role("region", name="What was changed")).to_contain_text("Tram Depot")
    page.get_by_text("or to another beer").click()
    page.get_by_label("Its name").fill("<script>alert(1)</script>")
    page.get_by_label("Its name").press("Enter")
    expect(page.get_by_role("alert")).to_contain_text("There is no beer “<script>alert(1)</script>”")
    expect(page.get_by_label("to", exact=True)).to_have_value("tram-depot:3")


def test_the_keyboard_alone_compares_two(desk: Page) -> None:
    desk.goto(VERSIONS)
    seen = []
    for _ in range(12):
        desk.keyboard.press("Tab")
        seen.append(desk.evaluate("document.activeElement.id || document.activeElement.textContent.trim()"))
        if seen[-1] == "Compare":
            break
    assert seen[-3:] == ["old", "new", "Compare"]
    desk.keyboard.press("Shift+Tab")
    desk.keyboard.press("Shift+Tab")
    desk.keyboard.press("ArrowDown")  # from version 3 to version 2
    desk.keyboard.press("Tab")
    desk.keyboard.press("Tab")
    desk.keyboard.press("Enter")
    expect(desk).to_have_url(re.compile(r"compare\?old=2&new=4$"))
    desk.locator("details.rest summary").last.focus()
    desk.keyboard.press("Enter")
    expect(desk.get_by_role("table", name=re.compile("less than is worth saying"))).to_be_visible()


def test_what_is_beyond_the_noise_is_said_in_words_and_told_from_the_rest(
    new_context: Callable[..., BrowserContext],
) -> None:
    desk = new_context().new_page()
    desk.goto(COMPARE)
    expect(desk.get_by_role("heading", name=re.compile(r"^Beyond the noise \d+ figures"))).to_be_visible()
    expect(desk.get_by_role("heading", name=re.compile(r"^Within the noise \d+ figures"))).to_be_visible()
    # The rule beside a telling figure has its mean outside the box of what is not worth saying.
    for drawn in desk.locator("table.differences").first.locator("svg.apart").all():
        box, mean = drawn.locator(".noise").bounding_box(), drawn.locator(".mean").bounding_box()
        assert box is not None
        assert mean is not None
        middle = mean["x"] + mean["width"] / 2.0
        assert middle <= box["x"] + 1.0 or middle >= box["x"] + box["width"] - 1.0


def test_units_and_paper_change_the_page_that_is_open(
    new_context: Callable[..., BrowserContext],
) -> None:
    desk = new_context().new_page()
    desk.goto(COMPARE)
    desk.locator("details.setting summary").click()
    desk.get_by_label("US customary").check()
    expect(row(desk, "mash in the vessel")).to_contain_text("gal")
    expect(desk).to_have_url(re.compile(r"compare\?old=1&new=4$"))


@pytest.mark.parametrize("paper", ["light", "dark"])
@pytest.mark.parametrize("size", ["desk", "phone"])
def test_nothing_serious_for_those_who_do_not_see(
    new_context: Callable[..., BrowserContext], axe: Callable[[Page], list[str]], size: str, paper: str
) -> None:
    page = new_context(**(PHONE if size == "phone" else {}), color_scheme=paper).new_page()
    page.goto(VERSIONS)
    member(page, 2).get_by_role("button", name="Begin again from here").click()
    for address in (VERSIONS, COMPARE, f"{BEER}/compare?old=1&new=4&another=nowhere", f"{BEER}/compare?old=2&new=2"):
        page.goto(address)
        page.evaluate("document.querySelectorAll('main details').forEach((one) => { one.open = true; })")
        assert axe(page) == []
    page.goto(VERSIONS)
    start = page.get_by_role("region", name="Plan a gyle").get_by_label("Begins")
    start.fill("1999-12-31T09:00")
    page.get_by_role("button", name="Plan the gyle").click()
    expect(start).to_be_focused()
    assert axe(page) == []


def test_a_phone_shows_all_of_it_without_sideways_scrolling(
    new_context: Callable[..., BrowserContext], fresh_url: str
) -> None:
    page = new_context(base_url=fresh_url, **PHONE).new_page()
    page.goto(BEER)
    for number in (1, 2, 3, 4):
        page.goto(VERSIONS)
        member(page, number).get_by_role("button", name="Begin again from here").click()
    for address in (VERSIONS, COMPARE, f"{BEER}/compare?old=1&new=tram-depot:3", f"{BEER}/compare?another=nowhere"):
        page.goto(address)
        page.evaluate("document.querySelectorAll('main details').forEach((one) => { one.open = true; })")
        assert page.evaluate("document.documentElement.scrollWidth") <= 360, address
    page.goto(VERSIONS)
    for target in page.locator("main :is(a, button, select, input:not([type='hidden']))").all():
        box = target.bounding_box()
        assert box is None or box["height"] >= 24.0, target.inner_text()


def test_the_page_loads_no_script_of_what_was_typed(desk: Page) -> None:
    save(desk, "hops.1.amount", "50 g", '</title><script>document.title="taken"</script>')
    for address in (VERSIONS, f"{BEER}/compare?old=4&new=5"):
        desk.goto(address)
        expect(desk.get_by_text('</title><script>document.title="taken"</script>').first).to_be_attached()
        assert desk.title() != "taken"
