"""What a page about a beer stands on: the beer, the version it began from, a draft of it, and its forecast."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import attrs

from gyle.books import beers, drafts, versions
from gyle.books.refusals import NotThere
from gyle.errors import GyleError
from gyle.share.written_figure import bitterness_figure
from gyle.web.forecasts import Forecast, Forecasts
from gyle.web.readings import recipe_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from starlette.requests import Request

    from gyle.beer.recipe import Recipe
    from gyle.books.beers import Beer
    from gyle.books.drafts import Draft
    from gyle.books.store import Store
    from gyle.books.versions import RecipeVersion
    from gyle.decide.plan import Plan

__all__ = ["BeerState", "beer_state", "forecast_of", "headline", "headline_of", "whole_number"]

# What the shelf and a list of versions say of a beer without brewing it again.
_HEADLINE = (
    "fermenter.volume",
    "fermenter.original_gravity",
    "fermenter.final_gravity",
    "fermenter.alcohol",
    "glass.bitterness",
    "glass.bitterness_tinseth",
    "glass.colour",
    "glass.colour_srm",
)


@attrs.frozen(kw_only=True)
class BeerState:
    """A beer as one page sees it."""

    beer: Beer
    base: RecipeVersion
    draft: Draft | None
    others: tuple[Draft, ...]  # every open draft of the beer

    @property
    def text(self) -> str:
        """The recipe's text: of the draft, or of the version."""
        return self.base.text if self.draft is None else self.draft.text

    @property
    def home(self) -> str:
        """The beer's address."""
        return f"/beers/{self.beer.slug}"

    @property
    def query(self) -> str:
        """What follows an address so that it speaks of the same text."""
        if self.draft is not None:
            return f"?draft={self.draft.id}"
        return "" if self.base.number == self.beer.newest else f"?version={self.base.number}"


def whole_number(text: str | None) -> int | None:
    """Return a number of an address, None where there is none."""
    return int(text) if text is not None and text.isascii() and text.isdigit() and len(text) < 10 else None


def beer_state(store: Store, slug: str, *, version: str | None = None, draft: str | None = None) -> BeerState:
    """Find what a page is about.

    Parameters
    ----------
    store : Store
        The books.
    slug : str
        The beer.
    version, draft : str, optional
        As an address says them: an older version, or one of the drafts. With neither, the draft last worked on;
        without a draft the newest version.

    Raises
    ------
    NotThere
        If there is no such beer, version or draft.
    """
    beer = beers.beer(store, slug)
    open_drafts = drafts.drafts_of(store, slug)
    wanted = whole_number(draft)
    chosen: Draft | None = None
    if draft is not None:
        chosen = next((one for one in open_drafts if one.id == wanted), None)
        if chosen is None:
            raise NotThere("that draft is no longer open: it was saved or put aside")
    elif version is None and open_drafts:
        chosen = open_drafts[0]
    number = chosen.base if chosen is not None else whole_number(version)
    if version is not None and chosen is None and number is None:
        raise NotThere(f"{beer.name} has no such version")
    base = versions.version(store, slug, number)
    return BeerState(beer=beer, base=base, draft=chosen, others=open_drafts)


def forecast_of(
    request: Request, text: str, *, recipe: Recipe | None = None, start: Forecast | None = None
) -> Forecast:
    """Return the forecast of a recipe's text on its own brewhouse; `recipe` is what it reads as, if that is known.

    Raises
    ------
    GyleError
        If it cannot be read or brewed.
    """
    read = recipe if recipe is not None else recipe_of(request.app.state.store, text)
    found: Forecast = request.app.state.forecasts.of(text, read, start=start)
    return found


def headline(request: Request, text: str) -> Mapping[str, Any]:
    """Return a version's headline figures, or none where it cannot be brewed."""
    try:
        return _headline(forecast_of(request, text).plan)
    except GyleError:
        return {}


def headline_of(store: Store, text: str) -> Mapping[str, Any]:
    """Return the headline figures of a text in a store, brewed for them alone; none where it cannot be."""
    try:
        return _headline(Forecasts(kept=1).of(text, recipe_of(store, text)).plan)
    except GyleError:
        return {}


def _headline(plan: Plan) -> Mapping[str, Any]:
    told = {*_HEADLINE, bitterness_figure(plan.recipe.bitterness_by)}
    figures = {name: [band.mean, band.low, band.high] for name, band in plan.figures.items() if name in told}
    return {"figures": figures, "brewhouse": plan.brewhouse.name, "measure": plan.recipe.bitterness_by}
