"""A beer's water treated: which water, what is wanted, the doses that come nearest, and the way into the recipe."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from fastapi import APIRouter, Request
from starlette.responses import RedirectResponse, Response

from gyle.beer.writing import restated
from gyle.books import brewhouses
from gyle.errors import BadInput, GyleError
from gyle.quantities import speaking
from gyle.share.sentences import as_sentence
from gyle.web.beer_state import beer_state, whole_number
from gyle.web.draft_steps import kept_step, sent_state, text_seen
from gyle.web.readings import recipe_of
from gyle.web.rendering import answer, is_fragment
from gyle.web.sent_form import sent_pairs
from gyle.web.setting import setting_of
from gyle.web.tap_link import name_tap_water, tap_slug
from gyle.web.treatment_results import Treated, treated
from gyle.web.treatment_view import TreatmentView, treatment_view
from gyle.web.treatment_wish import Wish, WishForm, wish_form

if TYPE_CHECKING:
    from gyle.beer.recipe import Recipe
    from gyle.books.store import Store
    from gyle.web.beer_state import BeerState

__all__ = ["router"]

router = APIRouter(include_in_schema=False)
MOST_FIELDS = 100
UNREADABLE = 422


@router.get("/beers/{slug}/water")
def beer_water(request: Request, slug: str) -> Response:
    """Show a beer's water: the form at once, and the doses once they are asked for."""
    asked = request.query_params
    store: Store = request.app.state.store
    state = beer_state(store, slug, version=asked.get("version"), draft=asked.get("draft"))
    with speaking(setting_of(request).units):
        form = wish_form(store, state.text, asked.multi_items(), system=setting_of(request).units)
        found = treated(form.wish) if form.wish is not None and asked.get("do") == "work" else None
        return _answer(request, state, form, found)


@router.post("/beers/{slug}/water")
async def doses_put(request: Request, slug: str) -> Response:
    """Write the doses, and what was wanted, into the beer's draft."""
    from starlette.concurrency import run_in_threadpool

    return await run_in_threadpool(_put, request, slug, await sent_pairs(request, most=MOST_FIELDS))


def _put(request: Request, slug: str, sent: Sequence[tuple[str, str]]) -> Response:
    store: Store = request.app.state.store
    said = dict(sent)
    state, closed = sent_state(store, slug, base=said.get("version") or None, draft=said.get("draft") or None)
    system = setting_of(request).units
    seen = whole_number(said.get("seen"))
    with speaking(system):
        base = text_seen(store, state, seen)
        form = wish_form(store, base, sent, system=system)
        found = treated(form.wish) if form.wish is not None else None
        if form.wish is None or found is None or found.work is None or found.work.treatment is None:
            return _answer(request, state, form, found, status=UNREADABLE)
        try:
            text = _with_doses(store, form.wish, found, system)
            if "draws" in said and (house := brewhouses.brewhouse_named_in(store, text)) is not None:
                name_tap_water(store, house, form.wish.water_name)
        except BadInput as error:
            faults = tuple(as_sentence(fault) for fault in error.faults)
            return _answer(request, state, form, found, status=UNREADABLE, told=faults)
        line = treatment_view(found, system=system).said
    kept = kept_step(store, state, seen=seen, text=text, said=line)
    return RedirectResponse(kept.address(state.home, closed=closed), 303)


def _with_doses(store: Store, wish: Wish, found: Treated, system: str) -> str:
    """The recipe's text with what is wanted and the doses in the place of whatever treated its water before."""
    assert found.work is not None
    assert found.work.treatment is not None
    dosed: Recipe = found.work.treatment.applied(found.recipe)
    text = restated(wish.text, wish.recipe, dosed, system)
    recipe_of(store, text)  # what is kept reads
    return text


def _answer(
    request: Request,
    state: BeerState,
    form: WishForm,
    found: Treated | None,
    *,
    status: int | None = None,
    told: tuple[str, ...] = (),
) -> Response:
    store: Store = request.app.state.store
    system = setting_of(request).units
    asked: Mapping[str, str] = request.query_params
    view: TreatmentView | None = None
    refused: tuple[str, ...] = ()
    if found is not None and found.work is None:
        refused = tuple(as_sentence(fault) for fault in found.refused)
    elif found is not None:
        try:
            view = treatment_view(found, system=system)
        except GyleError as error:
            refused = (as_sentence(str(error)),)
    house = brewhouses.brewhouse_named_in(store, state.text)
    tap = "" if house is None else tap_slug(house.text)
    context: dict[str, Any] = {
        "beer": state.beer,
        "home": state.home,
        "query": state.query,
        "base": state.base,
        "draft": state.draft,
        "seen": "" if state.draft is None else state.draft.pointer,
        "version": asked.get("version", ""),
        "form": form,
        "wish": form.wish,
        "view": view,
        "refused": refused,
        "told": told,
        "house": house,
        "tap": tap,
        "drawn": bool(tap) and form.wish is not None and tap == form.wish.water_name.replace(" ", "-"),
    }
    fault = bool(form.faults) and (request.method == "POST" or "do" in asked)
    code = status or (UNREADABLE if fault or refused else 200)
    block = None
    if is_fragment(request):
        block = "result" if asked.get("part") == "result" and not form.faults else "work"
    return answer(request, "water_beer.html", context, status=code, block=block)
