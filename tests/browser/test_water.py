"""The water pages in a browser: a report in, a beer's water treated, the doses in its recipe."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

NewContext = Callable[..., BrowserContext]
Axe = Callable[[Page], list[str]]

GERMAN = """\
Trinkwasseranalyse, Zone 3
Parameter\tEinheit\tGrenzwert\tMittelwert
pH-Wert (9,3 °C)\t\t6,5 - 9,5\t7,41
Säurekapazität bis pH 4,3\tmmol/l\t-\t5,72
Gesamthärte\t°dH\t\t17,4
Calcium\tmg/l\t\t94,4
Magnesium\tmg/l\t\t18,3
Natrium\tmg/l\t200\t13,9
Kalium\tmg/l\t\t2,3
Nitrat\tmg/l\t50\t16,4
Chlorid\tmg/l\t250\t24,4
Sulfat\tmg/l\t250\t18,1
Färbung\tm-1\t0,5\t<0,1
"""


def figure_of(page: Page, row: str, column: int) -> str:
    cell = page.get_by_role("table").get_by_role("row", name=re.compile(f"^{row}")).get_by_role("cell").nth(column)
    return cell.inner_text()


def opened(page: Page, address: str) -> None:
    """Open a beer's water and wait for its doses."""
    page.goto(address)
    expect(page.get_by_role("heading", name="To weigh")).to_be_visible(timeout=20_000)


def test_a_pasted_report_becomes_a_water_and_its_doses_a_recipe(fresh_url: str, new_context: NewContext) -> None:
    page = new_context(base_url=fresh_url).new_page()
    page.goto("/waters")
    page.get_by_role("link", name="A report").click()
    page.get_by_role("textbox", name="Paste it as published").fill(GERMAN)
    page.get_by_role("button", name="Read these lines").click()
    expect(page.get_by_role("table")).to_contain_text("10 of 12 lines understood")
    expect(page.get_by_role("table")).to_contain_text('"Färbung" is nothing that is reckoned with')
    expect(page.get_by_label("calcium", exact=True)).to_have_value("94,4 mg/l")
    expect(page.get_by_label("acid capacity to pH 4.3")).to_have_value("5,72 mmol/l")
    page.get_by_label("name", exact=True).fill("Well behind the shed")
    page.get_by_role("button", name="Keep this water").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Well behind the shed")
    expect(page.get_by_text("as usual")).to_be_visible()

    opened(page, "/beers/copper-beacon/water?water=well-behind-the-shed")
    expect(page.get_by_label("water", exact=True)).to_have_value("well-behind-the-shed")
    page.get_by_role("textbox", name="calcium").fill("70 to 90")
    page.get_by_role("textbox", name="mash pH").fill("5.5")
    page.get_by_role("button", name="Work out the doses").click()
    expect(page.locator("#mash-figure .aimed")).to_have_text("aim 5.5", timeout=20_000)
    expect(page.get_by_role("textbox", name="calcium")).to_have_value("70 to 90")
    assert figure_of(page, "calcium", 1) == "70 to 90"
    mash_ph = page.locator("#mash-figure .value").inner_text()
    salts = page.locator("ul.doses li").count()
    assert salts > 1
    page.get_by_role("button", name="Put these doses into the recipe").click()

    expect(page).to_have_url(re.compile(r"/beers/copper-beacon\?draft=\d+"))
    expect(page.locator("#f-mash-ph .value")).to_contain_text(mash_ph)
    page.goto(f"{page.url.replace('?', '/text?')}")
    text = page.get_by_role("textbox").input_value()
    assert "calcium sulfate dihydrate" in text
    assert 'calcium = "70 to 90' in text
    assert "# a wheat wine" in text
    page.goto("/brewhouses/lantern-street-48/text")
    assert 'water = "well-behind-the-shed"' in page.get_by_role("textbox").input_value()
    # Now the brewhouse's own water is the one at hand, and nothing is asked about it any more.
    opened(page, "/beers/copper-beacon/water")
    expect(page.get_by_label("water", exact=True)).to_have_value("well-behind-the-shed")
    expect(page.get_by_text("draws this water; the line reckons with it")).to_be_visible()


def test_a_wish_that_cannot_be_read_is_said_beside_it_and_kept(page: Page) -> None:
    opened(page, "/beers/copper-beacon/water")
    page.get_by_role("textbox", name="chloride", exact=True).fill("plenty")
    page.get_by_role("textbox", name="mash pH").fill("NaN")
    page.get_by_role("button", name="Work out the doses").click()
    field = page.get_by_role("textbox", name="chloride", exact=True)
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(field).to_have_value("plenty")
    expect(page.locator("#why-water-chloride")).to_contain_text('"plenty" is not a concentration')
    expect(page.locator("#why-aim-mash_ph")).to_contain_text('"NaN" is not a pH')
    expect(page.get_by_role("heading", name="Not worked out")).to_be_visible()


def test_the_figures_of_a_kept_water_can_be_wished_for(page: Page) -> None:
    opened(page, "/beers/signal-lamp/water?water=water-soft")
    page.get_by_label("or as").select_option(label="Hoppy water")
    page.get_by_role("button", name="Write its figures in").click()
    expect(page.get_by_label("sulfate", exact=True)).to_have_value("180")
    expect(page.get_by_role("heading", name="To weigh")).to_be_visible(timeout=20_000)
    assert figure_of(page, "sulfate", 1) == "180"


def test_without_a_script_it_all_works_by_plain_forms(fresh_url: str, new_context: NewContext) -> None:
    page = new_context(base_url=fresh_url, java_script_enabled=False).new_page()
    page.goto("/waters/new")
    page.get_by_label("calcium", exact=True).fill("60")
    page.get_by_label("total alkalinity").fill("118 ppm as CaCO3")
    page.get_by_role("button", name="Keep this water").click()
    expect(page.get_by_text("A water needs a name")).to_be_visible()
    expect(page.get_by_label("calcium", exact=True)).to_have_value("60")
    page.get_by_label("name", exact=True).fill("Spring")
    page.get_by_role("button", name="Keep this water").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Spring")
    page.goto("/beers/quiet-harbour/water")
    expect(page.get_by_text("Press “Work out the doses”.")).to_be_visible()
    page.get_by_label("water", exact=True).select_option(label="Soft water")
    page.get_by_role("button", name="Work out the doses").click()
    expect(page.get_by_role("heading", name="To weigh")).to_be_visible()
    page.get_by_role("button", name="Put these doses into the recipe").click()
    expect(page).to_have_url(re.compile(r"/beers/quiet-harbour\?draft=\d+"))


@pytest.mark.parametrize("address", ["/waters", "/waters/new", "/waters/water-hard", "/waters/water-soft/edit"])
@pytest.mark.parametrize("setting", [{}, {"color_scheme": "dark"}, {"viewport": {"width": 360, "height": 740}}])
def test_the_pages_of_a_water_are_for_everybody(
    new_context: NewContext, axe: Axe, address: str, setting: dict[str, Any]
) -> None:
    page = new_context(**setting).new_page()
    page.goto(address)
    assert axe(page) == []
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")


@pytest.mark.parametrize("setting", [{}, {"color_scheme": "dark"}, {"viewport": {"width": 360, "height": 740}}])
def test_the_treatment_is_for_everybody(new_context: NewContext, axe: Axe, setting: dict[str, Any]) -> None:
    page = new_context(**setting).new_page()
    opened(page, "/beers/copper-beacon/water")
    assert axe(page) == []
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    page.get_by_role("button", name="Work out the doses").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="To weigh")).to_be_visible(timeout=20_000)


def test_the_understood_lines_are_for_everybody(new_context: NewContext, axe: Axe) -> None:
    page = new_context(viewport={"width": 360, "height": 740}).new_page()
    page.goto("/waters/new")
    page.get_by_role("textbox", name="Paste it as published").fill(GERMAN)
    page.get_by_role("button", name="Read these lines").click()
    expect(page.get_by_text("10 of 12 lines understood")).to_be_visible()
    assert axe(page) == []
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")


def test_the_first_water_is_asked_for_where_there_is_none(empty_url: str, new_context: NewContext) -> None:
    page = new_context(base_url=empty_url).new_page()
    page.goto("/waters")
    expect(page.get_by_text("None yet.")).to_be_visible()


def test_hostile_lines_are_shown_as_they_are_and_do_nothing(page: Page) -> None:
    page.goto("/waters/new")
    page.get_by_role("textbox", name="Paste it as published").fill(
        "<script>document.title='taken'</script>\nCalcium NaN\nSodium 1e308 mg/l\nMagnesium -5 mg/l"
    )
    page.get_by_role("button", name="Read these lines").click()
    expect(page.get_by_text("No figure of a report was found")).to_be_visible()
    expect(page.get_by_role("table")).to_contain_text("<script>")
    expect(page).to_have_title("A report · gyle")
