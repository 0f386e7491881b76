"""Lantern Street in the terminal: one beer, two brewhouses, all of it from the example files."""

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
    """Print a strong beer's plan on its own brewhouse and its adaptation to the smaller one."""
    from gyle.beer.reading import read_brewhouse, read_recipe
    from gyle.cli.adapt_page import adapt_page
    from gyle.cli.paper import Page, page_width
    from gyle.cli.plan_page import plan_page
    from gyle.cli.waiting import waiting
    from gyle.decide.adapt import adapt
    from gyle.decide.origin import origin_of
    from gyle.decide.plan import plan

    folder, width = examples(), page_width()
    recipe = read_recipe(folder / "copper-beacon.toml")
    small = read_brewhouse(folder / "lantern-street-28.toml")
    with waiting(f"Brewing {recipe.name} twice") as progress:
        house, supposed = origin_of(recipe)
        own = plan(recipe, house)
        adapted = adapt(recipe, small, progress=progress)
    opening = Page(width)
    opening.text("Lantern Street, an invented brewery shed; its files are in")
    opening.text(str(folder), "quiet", indent="  ")
    opening.blank()
    opening.text("gyle plan copper-beacon.toml", "aim")
    opening.blank()
    opening.show(out)
    plan_page(own, width=width, system=system, said=supposed).show(out)
    between = Page(width)
    between.blank()
    between.blank()
    between.text("gyle adapt copper-beacon.toml --to lantern-street-28.toml", "aim")
    between.blank()
    between.show(out)
    adapt_page(adapted, width=width, system=system).show(out)
