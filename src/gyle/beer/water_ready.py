"""A water as it goes into the kettle, and the water that a file names: one that is bought, one beside it, one known."""

from __future__ import annotations

import functools
import os
from typing import TYPE_CHECKING

import attrs

from gyle.beer.page import Page, open_page
from gyle.beer.section import Section, shown
from gyle.beer.water import Water
from gyle.beer.water_blend import bought_water
from gyle.beer.water_dechlorination import dechlorinated
from gyle.beer.water_prepared import prepared
from gyle.beer.water_suspect import suspects
from gyle.errors import BadInput, GyleError

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["ready", "tap_water"]


@functools.lru_cache(maxsize=32)
def ready(report: Water) -> Water:
    """The water as it goes into the kettle: softened as its file wishes, its chlorine taken away.

    What is doubtful in its charges is said in short, by the report's own figures.
    """
    water = dechlorinated(prepared(report))
    told = tuple(note for note in water.notes if note != report.doubt)
    return attrs.evolve(water, notes=(*_doubt(report), *told))


def _doubt(report: Water) -> tuple[str, ...]:
    balance = report.balance
    if balance.acceptable:
        return ()
    first = next(iter(suspects(report)), None)
    more = f"; question {first.name} first" if first is not None else ""
    return (f"the report's charges are {balance.din_pct:+.1f} % off (DIN form){more}",)


def tap_water(top: Section, name: str) -> Water | None:
    """Return the water a brewhouse's file names, ready to be used; faults are kept in the page.

    A text that lies nowhere and knows no waters keeps the name alone: None, and no fault.
    """
    if (bought := bought_water(name)) is not None:
        return ready(bought)
    page = top.page
    if any(mark in name for mark in ("/", "\\", os.sep)) or name.startswith("..") or not name.isprintable():
        top.fault(f"{shown(name)} is no plain name of a water; write the name of its file, or of one known", "water")
        return None
    try:
        found = _beside(page, name)
        if found is None and page.water_named is not None:
            found = page.water_named(name)
    except GyleError as error:
        for fault in error.faults if isinstance(error, BadInput) else (str(error),):
            top.fault(fault, "water")
        return None
    if found is not None:
        return ready(found)
    if page.path is not None or page.water_named is not None:
        top.fault(f"there is no water {shown(name)}; write its report down under that name, or leave it out", "water")
    return None


def _beside(page: Page, name: str) -> Water | None:
    if page.path is None:
        return None
    folder: Path = page.path.parent
    path = folder / (name if name.endswith(".toml") else f"{name}.toml")
    if not path.is_file() or path.resolve().parent != folder.resolve():
        return None
    from gyle.beer.water_reading import water_of  # and the chemistry behind it

    beside = open_page(path)
    water = water_of(Section(beside, beside.data), otherwise_named=path.stem)
    try:
        beside.settle()
    except BadInput as error:
        raise error.at(path.name) from None
    return attrs.evolve(water, notes=tuple(beside.notes))
