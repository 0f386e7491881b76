"""The shelf: the beers, the gyles under way and what they want next; and the way a new beer gets onto it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, File, Form, Request, UploadFile
from starlette.responses import RedirectResponse, Response

from gyle.books import beers, brewhouses
from gyle.quantities import speaking
from gyle.web.beer_state import headline, whole_number
from gyle.web.gyle_moves import gyle_told, move_forms
from gyle.web.gyle_plans import gyle_views
from gyle.web.local_zone import local_zone
from gyle.web.new_beer import NewBeer, choices, example_card, from_file, from_plain, from_text
from gyle.web.once import Once, fresh_token
from gyle.web.rendering import answer, is_fragment
from gyle.web.setting import setting_of
from gyle.web.shelf_view import PAGE, paging, shelf_lines

if TYPE_CHECKING:
    from gyle.books.store import Store

__all__ = ["router"]

router = APIRouter(include_in_schema=False)
LONGEST_SEARCH = 200
LONGEST_TOKEN = 64
OPEN_GYLES = 8  # that stand open on the shelf; the rest unfolds


@router.get("/")
def shelf(request: Request) -> Response:
    """Show the shelf, or to a first visitor what this is."""
    store: Store = request.app.state.store
    asked = request.query_params
    search = " ".join(asked.get("q", "").split())[:LONGEST_SEARCH]
    system = setting_of(request).units
    wanted = whole_number(asked.get("page")) or 1
    found = beers.shelf(store, search=search, first=(wanted - 1) * PAGE, count=PAGE)
    place = paging(wanted, found.total)
    if place.page != wanted:
        found = beers.shelf(store, search=search, first=(place.page - 1) * PAGE, count=PAGE)
    fragment = is_fragment(request)
    with speaking(system):
        under_way = () if fragment else gyle_views(store, request.app.state.agendas, system=system)
        context: dict[str, Any] = {
            "search": search,
            "place": place,
            "lines": shelf_lines(found, system=system),
            "gyles": under_way,
            "moves": move_forms(store, under_way) if under_way else {},
            "open_gyles": OPEN_GYLES,
            "told": gyle_told(request),
        }
    if found.total == 0 and not search:
        return answer(request, "shelf_empty.html", context)
    return answer(request, "shelf.html", context, block="beers" if fragment else None)


@router.post("/lantern-street")
def lantern_street(request: Request) -> Response:
    """Put the invented brewery on the shelf, to look around."""
    from gyle.books.lantern_street import load_lantern_street

    load_lantern_street(request.app.state.store, zone=local_zone(), summarise=lambda text, _: headline(request, text))
    return RedirectResponse("/", 303)


@router.get("/beers/new")
def new_beer(request: Request) -> Response:
    """Show the ways to begin a beer."""
    shown = request.query_params.get("example") == "1"
    return _new_beer_page(request, NewBeer(text=example_card(setting_of(request).units) if shown else ""))


@router.post("/beers/new")
def begun(
    request: Request,
    begin: Annotated[str, Form()] = "plain",
    name: Annotated[str, Form()] = "",
    volume: Annotated[str, Form()] = "",
    brewhouse: Annotated[str, Form()] = "",
    gravity: Annotated[str, Form()] = "",
    malt: Annotated[str, Form()] = "",
    hop: Annotated[str, Form()] = "",
    yeast: Annotated[str, Form()] = "",
    once: Annotated[str, Form()] = "",
    text: Annotated[str, Form()] = "",
    file: Annotated[UploadFile | None, File()] = None,
) -> Response:
    """Begin a beer in one of the ways, and go to its line."""
    store: Store = request.app.state.store
    system = setting_of(request).units
    with speaking(system):
        if begin == "text":
            made = from_text(store, text)
        elif begin == "file":
            made = from_file(store, None if file is None else file.file, "" if file is None else file.filename or "")
        else:
            typed = {"name": name, "volume": volume, "brewhouse": brewhouse, "gravity": gravity,
                     "malt": malt, "hop": hop, "yeast": yeast}  # fmt: skip
            made = from_plain(store, typed, system=system)
        if made.recipe_text is None:
            return _new_beer_page(request, made, status=422)
        recipe, house = made.recipe_text, made.brewhouse

        def add() -> str:
            # In the person's units, so that the page it leads to finds the forecast made.
            summary = headline(request, recipe)
            return beers.add_beer(store, text=recipe, brewhouse=house, summary=summary).slug

        once_for_all: Once = request.app.state.once
        slug, again = once_for_all.done(once[:LONGEST_TOKEN], recipe, add)
    return RedirectResponse(f"/beers/{slug}{'?kept=again' if again else ''}", 303)


def _new_beer_page(request: Request, made: NewBeer, *, status: int = 200) -> Response:
    us = setting_of(request).units == "us"
    store: Store = request.app.state.store
    houses = brewhouses.brewhouses(store)
    last = next((beer.brewhouse for beer in beers.shelf(store, count=1).beers), None)
    shown = example_card(setting_of(request).units)
    context = {
        "made": made,
        "choices": choices(),
        "once": fresh_token(),
        "card": shown,
        "shown": made.text == shown,
        "houses": houses,
        "usual": last if last in {house.slug for house in houses} else houses[0].slug if houses else "",
        "hint_volume": "5.5 gal" if us else "21 L",
    }
    # May be kept, so that who goes back finds the very form that was sent, by which it is known again.
    return answer(request, "new_beer.html", context, status=status, headers={"Cache-Control": "private, no-cache"})
