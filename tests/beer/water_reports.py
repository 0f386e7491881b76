"""Reading water reports from texts, as the tests of water do."""

from __future__ import annotations

from pathlib import Path

import pytest

from gyle.beer.page import Page, open_page, parsed
from gyle.beer.section import Section
from gyle.beer.water import Water
from gyle.beer.water_reading import water_of
from gyle.errors import BadInput

EXAMPLES = Path(__file__).parents[2] / "examples" / "lantern-street"
# A whole report but for its alkalinity; with 4.05 mEq/L of it the charges balance.
IONS = "calcium = 80\nmagnesium = 10\nsodium = 12\npotassium = 2\nsulfate = 30\nchloride = 20\nnitrate = 10\nph = 7.5\n"


def report(text: str) -> Water:
    page = Page(parsed(text, "w"), text, "w")
    water = water_of(Section(page, page.data))
    page.settle()
    return water


def report_file(path: Path) -> Water:
    page = open_page(path)
    water = water_of(Section(page, page.data), otherwise_named=path.stem)
    page.settle()
    return water


def faults(text: str) -> tuple[str, ...]:
    with pytest.raises(BadInput) as error:
        report(text)
    return error.value.faults


def only_fault(text: str) -> str:
    found = faults(text)
    assert len(found) == 1, found
    return found[0]
