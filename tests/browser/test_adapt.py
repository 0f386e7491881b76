"""A beer brought elsewhere, in a browser: asked, waited for, another way out chosen, kept; by script or without."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect

ADAPT = "/beers/copper-beacon/adapt"
SMALL = "/beers/quiet-harbour/adapt?to=kitchen-bag&volume=6"
PHONE = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True}
HOSTILE = '"><script>document.title="taken"</script>'
PATIENCE_MS = 120_000  # thousands of brews on a machine that does other work too


def result(page: Page) -> Locator:
    """Both lines, once they are worked out."""
    expect(page.get_by_role("heading", name="There and here")).to_be_visible(timeout=PATIENCE_MS)
    return page.locator("#outcome")


@pytest.fixture
def desk(new_context: Callable[..., BrowserContext], fresh_url: str) -> Page:
    return new_context(base_url=fresh_url, viewport={"width": 1440, "height": 900}).new_page()


def test_a_beer_is_brought_elsewhere_and_put_on_the_shelf(desk: Page) -> None:
    desk.goto("/beers/copper-beacon")
    desk.get_by_role("link", name="Brew it elsewhere").click()
    desk.get_by_label("to the brewhouse").select_option(label="Lantern Street 28")
    desk.get_by_role("button", name="Brew it there").click()
    expect(desk.get_by_role("heading", name="Copper Beacon")).to_be_visible()
    found = result(desk)
    expect(desk.get_by_role("heading", name="It does not fit Lantern Street 28 as it is")).to_be_visible()
    recommended = desk.get_by_role("radio", name="double mash + wort held back")
    expect(recommended).to_be_checked()
    expect(desk.get_by_role("row", name=re.compile("double mash"))).to_contain_text("Recommended: it keeps")
    expect(desk.get_by_role("status").filter(has_text="double mash + wort held back on Lantern")).to_have_count(1)

    desk.get_by_role("radio", name="smaller volume", exact=True).check()
    expect(found.get_by_role("heading", level=2).first).to_contain_text("by smaller volume", timeout=PATIENCE_MS)
    litres = found.get_by_role("region", name="Fermenter").get_by_role("listitem").filter(has_text="into the fermenter")
    expect(litres).to_contain_text(
        re.compile(r"there 21\.0 L.*here 14\.\d L.*−6\.\d L, beyond its band there", re.DOTALL)
    )
    expect(found).to_contain_text("volume into the fermenter")
    # Whoever chose by the keyboard is still where they chose.
    expect(desk.get_by_role("radio", name="smaller volume", exact=True)).to_be_checked()
    assert desk.evaluate("document.activeElement.value") == "smaller volume"

    desk.get_by_label("as a new beer, called").fill("Beacon, a bucket of it")
    result(desk)
    desk.get_by_role("button", name="Put it on the shelf").click()
    desk.wait_for_url("**/beers/beacon-a-bucket-of-it?*")
    expect(desk.get_by_text("Saved as version 1.")).to_be_visible()
    expect(desk.get_by_text("Lantern Street 28 ·")).to_be_visible()
    desk.goto("/")
    expect(desk.get_by_role("link", name="Beacon, a bucket of it").first).to_be_visible()


def test_a_version_is_saved_and_a_file_taken(desk: Page) -> None:
    desk.goto(SMALL)
    result(desk)
    with desk.expect_download() as begun:
        desk.get_by_role("link", name="take it as a file").click()
    assert begun.value.suggested_filename == "quiet-harbour-kitchen-bag.toml"
    desk.get_by_label("as a version of Quiet Harbour, because").fill("For the kitchen.")
    desk.get_by_role("button", name="Save as version 3").click()
    desk.wait_for_url("**/beers/quiet-harbour?version=3&saved=1")
    desk.goto("/beers/quiet-harbour/versions")
    expect(desk.get_by_text("For the kitchen.").filter(visible=True).first).to_be_visible()


def test_both_ribbons_stand_under_each_other_to_one_scale(desk: Page) -> None:
    desk.goto(SMALL)
    result(desk)
    there, here = (desk.locator(f".station.water .across.{side} svg.reach path.body") for side in ("there", "here"))
    above, below = there.bounding_box(), here.bounding_box()
    assert above is not None
    assert below is not None
    assert above["y"] + above["height"] < below["y"]
    assert above["x"] == pytest.approx(below["x"], abs=1.0)
    assert above["width"] == pytest.approx(below["width"], abs=1.0)
    said = [desk.locator(f".station.water .across.{side} .litres").inner_text() for side in ("there", "here")]
    litres = [float(text.removesuffix(" L")) for text in said]
    assert above["height"] / below["height"] == pytest.approx(litres[0] / litres[1], rel=0.02)


def test_it_all_works_with_scripts_off(new_context: Callable[..., BrowserContext], fresh_url: str) -> None:
    page = new_context(base_url=fresh_url, java_script_enabled=False).new_page()
    page.set_default_timeout(PATIENCE_MS)
    page.goto(ADAPT)
    page.get_by_label("to the brewhouse").select_option(label="Lantern Street 28")
    page.get_by_role("button", name="Brew it there").click()
    result(page)
    page.get_by_role("radio", name="two gyles blended").check()
    page.get_by_role("button", name="Take this way out").click()
    expect(result(page)).to_contain_text("by two gyles blended")
    expect(page.get_by_role("radio", name="two gyles blended")).to_be_checked()
    page.get_by_role("button", name="Put it on the shelf").click()
    expect(page).to_have_url(re.compile("/beers/copper-beacon-for-lantern-street-28"))


def test_a_page_that_waits_can_be_read_without_a_script(
    new_context: Callable[..., BrowserContext], fresh_url: str
) -> None:
    page = new_context(base_url=fresh_url, java_script_enabled=False).new_page()
    page.set_default_timeout(PATIENCE_MS)
    page.goto(SMALL.replace("=6", "=6.4"))
    page.get_by_role("link", name="Work it out on a page of its own").click()
    expect(result(page)).to_contain_text("aim 6.4 L")


def test_what_was_typed_wrong_is_kept_and_told(desk: Page) -> None:
    desk.goto(ADAPT)
    desk.get_by_label("to the brewhouse").select_option(label="Kitchen bag")
    desk.get_by_label("how much").fill("NaN")
    desk.get_by_label("instead").fill(HOSTILE)
    desk.get_by_role("button", name="Brew it there").click()
    for label, typed in (("how much", "NaN"), ("instead", HOSTILE)):
        field = desk.get_by_label(label)
        expect(field).to_have_value(typed)
        expect(field).to_have_attribute("aria-invalid", "true")
        expect(field).to_have_accessible_description(re.compile(r"\.$"))
    expect(desk.get_by_label("to the brewhouse")).to_have_value("kitchen-bag")
    expect(desk).not_to_have_title("taken")


def test_what_cannot_be_brewed_at_all_is_told(desk: Page) -> None:
    desk.goto(f"{ADAPT}?to=kitchen-bag&volume=130")
    expect(desk.get_by_role("alert")).to_contain_text("No way out was found", timeout=PATIENCE_MS)


@pytest.mark.parametrize("setting", [{}, {"color_scheme": "dark"}, PHONE], ids=["desk", "dark", "phone"])
@pytest.mark.parametrize("address", [ADAPT, f"{ADAPT}?to=lantern-street-28", f"{ADAPT}?to=&volume=much"])
def test_nothing_serious_is_wrong_with_it(
    new_context: Callable[..., BrowserContext],
    axe: Callable[[Page], list[str]],
    setting: dict[str, object],
    address: str,
) -> None:
    page = new_context(**setting).new_page()
    page.goto(address)
    if "lantern" in address:
        result(page)
        for folded in page.locator("#adapted summary").all():
            folded.click()
    assert axe(page) == []
    assert page.viewport_size is not None
    assert page.evaluate("document.documentElement.scrollWidth") <= page.viewport_size["width"]


def test_targets_are_large_enough_for_a_thumb(new_context: Callable[..., BrowserContext]) -> None:
    page = new_context(**PHONE).new_page()
    page.goto(f"{ADAPT}?to=lantern-street-28")
    result(page)
    small = page.evaluate(
        """[...document.querySelectorAll("#main button, #main select, #main input:not([type=hidden]):not([type=radio]),"
           + " #main summary, #main .ways label")]
           .filter((one) => one.checkVisibility() && one.type !== "checkbox" && one.getBoundingClientRect().height < 38)
           .map((one) => one.outerHTML.slice(0, 80))"""
    )
    assert small == []


def test_another_way_out_is_chosen_by_keys_alone(desk: Page) -> None:
    desk.goto(f"{ADAPT}?to=lantern-street-28")
    found = result(desk)
    desk.get_by_role("radio", name="double mash + wort held back").focus()
    desk.keyboard.press("ArrowDown")
    expect(desk.get_by_role("radio", name="two gyles blended")).to_be_checked()
    expect(found.get_by_role("heading", level=2).first).to_contain_text("by two gyles blended", timeout=PATIENCE_MS)
    expect(desk.get_by_role("status").filter(has_text="By two gyles blended")).to_have_count(1)
