"""Lantern Street in the terminal: one beer on two brewhouses and another's water, all from the example files."""

from __future__ import annotations

from pathlib import Path
from typing import TextIO

from gyle.errors import StoreError

__all__ = ["demonstration", "examples"]


def examples() -> Path:
    """The folder of example files: as installed with the program, or in a checkout of it.

    Raises
    ------
    StoreError
        If they were not installed.
    """
    here = Path(__file__).resolve()
    for folder in (here.parents[1] / "examples", here.parents[3] / "examples"):
        found = folder / "lantern-street"
        if (found / "copper-beacon.toml").is_file():
            return found
    raise StoreError("the Lantern Street examples were not installed with gyle")


def demonstration(out: TextIO, *, system: str) -> None:
    """Print a strong beer's plan on its own brewhouse, its adaptation to the smaller one, and a pale ale's water."""
    from gyle.beer.reading import read_brewhouse, read_recipe, read_water
    from gyle.cli.adapt_page import adapt_page
    from gyle.cli.paper import Page, page_width
    from gyle.cli.plan_page import plan_page
    from gyle.cli.waiting import waiting
    from gyle.cli.water_page import water_page
    from gyle.decide.adapt import adapt
    from gyle.decide.origin import origin_of
    from gyle.decide.plan import plan
    from gyle.decide.water_work import water_work

    folder, width = examples(), page_width()
    recipe = read_recipe(folder / "copper-beacon.toml")
    small = read_brewhouse(folder / "lantern-street-28.toml")
    with waiting(f"Brewing {recipe.name} twice") as progress:
        house, supposed = origin_of(recipe)
        own = plan(recipe, house)
        adapted = adapt(recipe, small, progress=progress)
        pale = read_recipe(folder / "tram-depot.toml")
        water = water_work(read_water(folder / "water-hard.toml"), pale, origin_of(pale)[0])
    opening = Page(width)
    opening.text("Lantern Street, an invented brewery shed; its files are in")
    opening.text(str(folder), "quiet", indent="  ")
    opening.blank()
    opening.text("gyle plan copper-beacon.toml", "aim")
    opening.blank()
    opening.show(out)
    plan_page(own, width=width, system=system, said=supposed).show(out)
    _between("gyle adapt copper-beacon.toml --to lantern-street-28.toml", out, width)
    adapt_page(adapted, width=width, system=system).show(out)
    _between("gyle water --from water-hard.toml --recipe tram-depot.toml", out, width)
    water_page(water, width=width, system=system).show(out)


def _between(command: str, out: TextIO, width: int) -> None:
    """Name the command whose page follows."""
    from gyle.cli.paper import Page

    page = Page(width)
    page.blank()
    page.blank()
    page.text(command, "aim")
    page.blank()
    page.show(out)
