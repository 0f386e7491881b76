"""The recipe as the text it is kept as: looked at, taken away, edited whole."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from fastapi import APIRouter, Form, Request
from starlette.responses import RedirectResponse, Response

from gyle.errors import BadInput
from gyle.quantities import speaking
from gyle.share.sentences import as_sentence
from gyle.web.beer_state import beer_state, whole_number
from gyle.web.draft_steps import kept_step, sent_state
from gyle.web.readings import recipe_of
from gyle.web.rendering import answer, answer_file
from gyle.web.setting import setting_of

if TYPE_CHECKING:
    from gyle.books.store import Store
    from gyle.web.beer_state import BeerState

__all__ = ["router", "text_answer"]

router = APIRouter(include_in_schema=False)
UNREADABLE = 422


@router.get("/beers/{slug}/text")
def text_page(request: Request, slug: str) -> Response:
    """Show the recipe as text."""
    asked = request.query_params
    state = beer_state(request.app.state.store, slug, version=asked.get("version"), draft=asked.get("draft"))
    return text_answer(request, state, state.text)


@router.get("/beers/{slug}/recipe.toml")
def recipe_file(request: Request, slug: str) -> Response:
    """Give the recipe's file."""
    asked = request.query_params
    state = beer_state(request.app.state.store, slug, version=asked.get("version"), draft=asked.get("draft"))
    return answer_file(state.text, f"{state.beer.slug}.toml")


@router.post("/beers/{slug}/text")
def text_sent(request: Request, slug: str, text: Annotated[str, Form()] = "") -> Response:
    """Take the recipe's whole text as one edit."""
    store: Store = request.app.state.store
    asked = request.query_params
    state, closed = sent_state(store, slug, base=asked.get("base"), draft=asked.get("draft"))
    written = text.replace("\r\n", "\n")
    try:
        with speaking(setting_of(request).units):
            recipe_of(store, written)
        if state.draft is None and written == state.text:
            return RedirectResponse(f"{state.home}{state.query}", 303)
        seen = whole_number(asked.get("seen"))
        kept = kept_step(store, state, seen=seen, text=written, said="the text rewritten")
    except BadInput as error:
        return text_answer(request, state, written, error.faults)
    return RedirectResponse(kept.address(state.home, closed=closed), 303)


def text_answer(request: Request, state: BeerState, text: str, faults: tuple[str, ...] = ()) -> Response:
    """Answer with a text of the recipe, and what is wrong with it."""
    context = {
        "beer": state.beer,
        "home": state.home,
        "query": state.query,
        "base": state.base,
        "draft": state.draft,
        "seen": 0 if state.draft is None else state.draft.pointer,
        "text": text,
        "faults": [as_sentence(fault) for fault in faults],
    }
    return answer(request, "beer_text.html", context, status=UNREADABLE if faults else 200)
