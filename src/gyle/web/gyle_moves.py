"""A planned gyle moved, taken off the shelf, and put back."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import attrs
from fastapi import APIRouter, Form, Request
from starlette.responses import RedirectResponse, Response

from gyle.books import brewhouses, gyles
from gyle.books.refusals import NotThere
from gyle.quantities import speaking
from gyle.web.day_words import clock_words, date_words
from gyle.web.gyle_form import move_form, moved
from gyle.web.rendering import answer
from gyle.web.setting import setting_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from gyle.books.gyles import Gyle
    from gyle.books.store import Store
    from gyle.web.gyle_form import GyleForm
    from gyle.web.gyle_plans import GyleView
    from gyle.web.last_few import Held

__all__ = ["GyleTold", "gyle_told", "move_forms", "router"]

router = APIRouter(include_in_schema=False)
LONGEST_TYPED = 20_000  # characters of a field that are shown again
_TOLD = {
    "planned": "The gyle is planned. It stands below, among what is under way, with what it wants first.",
    "moved": "The gyle is moved. It stands below as it is planned now.",
    "back": "The gyle is back, as it was planned.",
}


@attrs.frozen(kw_only=True)
class GyleTold:
    """What a page says of what was just done to a gyle."""

    sentence: str
    mark: str = ""  # to put it back by, where it was taken off


def gyle_told(request: Request) -> GyleTold | None:
    """Return what the address says was just done to a gyle, if anything."""
    asked = request.query_params
    for key, sentence in _TOLD.items():
        if asked.get("gyle") == key:
            return GyleTold(sentence=sentence)
    mark = asked.get("off", "")
    withdrawn: Held[Gyle] = request.app.state.withdrawn
    gyle = withdrawn.look(mark) if mark else None
    return None if gyle is None else GyleTold(sentence=f"{_named(gyle)} is off the shelf.", mark=mark)


def _named(gyle: Gyle) -> str:
    start = gyle.local_start
    when = date_words(start, datetime.now(start.tzinfo))
    return f"{gyle.beer_name}, version {gyle.version}, planned for {when}, {clock_words(start)},"


def move_forms(store: Store, views: Iterable[GyleView]) -> Mapping[str, GyleForm]:
    """Return the form that moves each gyle of a page, by the gyle's slug."""
    houses = brewhouses.brewhouses(store)
    return {view.slug: move_form(store, view.gyle, houses=houses) for view in views}


@router.get("/gyles/{slug}")
def gyle_page(request: Request, slug: str) -> Response:
    """Show the forms that move a gyle or take it off."""
    return _move_page(request, gyles.gyle(request.app.state.store, slug), {}, {}, back=request.query_params.get("back"))


@router.post("/gyles/{slug}/move")
def gyle_moved(
    request: Request,
    slug: str,
    version: Annotated[str, Form()] = "",
    brewhouse: Annotated[str, Form()] = "",
    start: Annotated[str, Form()] = "",
    note: Annotated[str, Form()] = "",
    back: Annotated[str, Form()] = "",
) -> Response:
    """Plan a gyle for another time, of another version or on another brewhouse."""
    store: Store = request.app.state.store
    held = gyles.gyle(store, slug)
    typed = {"version": version, "brewhouse": brewhouse, "start": start, "note": note}
    made, faults = moved(store, held, typed)
    if made is None:
        return _move_page(
            request, held, {key: value[:LONGEST_TYPED] for key, value in typed.items()}, faults, back=back
        )
    return _back(held, back, "gyle=moved")


@router.post("/gyles/{slug}/off")
def gyle_off(request: Request, slug: str, back: Annotated[str, Form()] = "") -> Response:
    """Take a gyle off the shelf; the page it leads to offers to put it back."""
    held = gyles.withdraw_gyle(request.app.state.store, slug)
    return _back(held, back, f"off={request.app.state.withdrawn.hold(held)}")


@router.post("/gyles/back")
def gyle_back(request: Request, mark: Annotated[str, Form()] = "", back: Annotated[str, Form()] = "") -> Response:
    """Put a gyle back that was taken off."""
    withdrawn: Held[Gyle] = request.app.state.withdrawn
    with withdrawn.taken(mark) as held:
        if held is None:
            raise NotThere(
                "that gyle is back already, or was taken off too long ago; plan it again from its beer's versions"
            )
        gyles.plan_gyle(
            request.app.state.store, held.beer, version=held.version, brewhouse=held.brewhouse, revision=held.revision,
            planned_start=held.planned_start, zone=held.zone, note=held.note,
        )  # fmt: skip
    return _back(held, back, "gyle=back")


def _back(gyle: Gyle, back: str | None, said: str) -> Response:
    place = f"/beers/{gyle.beer}/versions?{said}" if back == "versions" else f"/?{said}"
    return RedirectResponse(f"{place}#gyles", 303)


def _move_page(
    request: Request, gyle: Gyle, typed: Mapping[str, str], faults: Mapping[str, str], *, back: str | None
) -> Response:
    store: Store = request.app.state.store
    with speaking(setting_of(request).units):
        context = {
            "gyle": gyle,
            "form": move_form(store, gyle, typed=typed, faults=faults),
            "back": "versions" if back == "versions" else "shelf",
        }
    return answer(request, "gyle.html", context, status=422 if faults else 200)
