"""The beer: its line, edited in place; where a figure comes from."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import attrs
from fastapi import APIRouter, Request
from starlette.responses import RedirectResponse, Response

from gyle.books import drafts, versions
from gyle.errors import BadInput, GyleError
from gyle.quantities import speaking, spoken
from gyle.share.beer_words import house_name
from gyle.share.sentences import as_sentence, faults_of
from gyle.share.written_figure import litres_text
from gyle.web.beer_edits import Outcome, carried_out
from gyle.web.beer_fields import changed_fields, field_views
from gyle.web.beer_rows import aims_by_column, rows_of
from gyle.web.beer_state import beer_state, forecast_of, headline, whole_number
from gyle.web.beer_text_page import text_answer
from gyle.web.day_words import when_words
from gyle.web.draft_steps import KEPT_ASIDE, sent_state
from gyle.web.hands import hand_of
from gyle.web.ion_bars import ion_bars
from gyle.web.line_view import bare_line, line_view
from gyle.web.names import ingredient_names
from gyle.web.readings import house_slug_of, inputs_of, recipe_of
from gyle.web.rendering import answer, is_fragment
from gyle.web.sent_form import sent_pairs
from gyle.web.setting import setting_of
from gyle.web.treatment_doses import dosed_liquors

if TYPE_CHECKING:
    from gyle.beer.recipe import Recipe
    from gyle.books.drafts import Draft, Step
    from gyle.books.store import Store
    from gyle.share.ribbon import Side
    from gyle.web.beer_state import BeerState
    from gyle.web.forecasts import Forecast
    from gyle.web.hands import Hands
    from gyle.web.last_few import Held

__all__ = ["router"]

router = APIRouter(include_in_schema=False)
CONFLICT = 409
LONGEST_WHY = 200
MOST_FIELDS = 2000
TAKE_BACK = "take back "  # a button's name begins so; what follows names the draft that was thrown away


@router.get("/beers/{slug}")
def beer(request: Request, slug: str) -> Response:
    """Show a beer's line."""
    asked = request.query_params
    state = beer_state(request.app.state.store, slug, version=asked.get("version"), draft=asked.get("draft"))
    try:
        return _page(request, state, Outcome(draft=state.draft))
    except BadInput as error:  # what the recipe rests on has changed, so that it cannot even be read
        return text_answer(request, state, state.text, error.faults)


@router.post("/beers/{slug}/edit")
async def edit(request: Request, slug: str) -> Response:
    """Take a sent page: edits, a step back or forth, a version saved."""
    from starlette.concurrency import run_in_threadpool

    return await run_in_threadpool(_edited, request, slug, dict(await sent_pairs(request, most=MOST_FIELDS)))


def _edited(request: Request, slug: str, sent: Mapping[str, str]) -> Response:
    store: Store = request.app.state.store
    hands: Hands = request.app.state.hands
    asked = request.query_params
    seen = whole_number(asked.get("seen"))
    system = setting_of(request).units
    button = sent.get("do", "edit")
    wanted = asked.get("draft")
    if wanted is None and (begun := hands.draft_of(hand_of(sent))) is not None:
        # The page had no draft yet when it sent this, and its edit before this one has begun one.
        wanted, seen = str(begun), 0
    state, closed = sent_state(store, slug, base=asked.get("base"), draft=wanted)
    why = sent.get("why", "")[:LONGEST_WHY]
    with speaking(system):
        if closed and button == "save" and (saved := _saved_before(store, slug, wanted, sent)) is not None:
            return _elsewhere(request, f"{state.home}?version={saved}&saved=1")
        if button.startswith(TAKE_BACK):
            return _taken_back(request, state, button.removeprefix(TAKE_BACK))
        if closed and button in ("undo", "redo", "drop"):
            return _after(request, state, Outcome(draft=state.draft, told=(closed,)))
        if button in ("undo", "redo", "drop", "save") and state.draft is not None:
            return _button(request, state, state.draft, seen=seen, sent=sent, why=why)
        # Of a closed draft, what the page says otherwise than its version becomes a new one.
        outcome = carried_out(store, state, seen=None if closed else seen, sent=sent, system=system, hands=hands)
    if closed:
        kept = () if outcome.draft is None else ("What stood on your page is kept as a new draft.",)
        outcome = attrs.evolve(outcome, told=(" ".join((closed, *kept)), *outcome.told))
    return _after(request, state, attrs.evolve(outcome, why=why))


def _button(
    request: Request, state: BeerState, draft: Draft, *, seen: int | None, sent: Mapping[str, str], why: str
) -> Response:
    """Undo, redo, put aside or save; what was typed beside it is taken first, unless it is put aside too."""
    store: Store = request.app.state.store
    hands: Hands = request.app.state.hands
    button, hand = sent["do"], hand_of(sent)
    at = draft.pointer if seen is None or hands.own(hand, draft) else seen
    try:
        if button == "drop":
            drafts.drop(store, draft.id, seen=at)
            name = request.app.state.thrown_away.hold(draft)
            return _elsewhere(request, f"{state.home}?thrown={name}")
        system = setting_of(request).units
        taken = carried_out(store, state, seen=seen, sent={**sent, "do": "edit"}, system=system, hands=hands)
        if taken.draft is None or taken.other is not None or (taken.faults and button == "save"):
            return _after(request, state, attrs.evolve(taken, why=why))
        if taken.draft != draft:
            draft, at = taken.draft, taken.draft.pointer
        if button == "save":
            return _saved(request, state, draft, at=at, why=sent.get("why", ""))
        draft = (drafts.undo if button == "undo" else drafts.redo)(store, draft.id, seen=at)
    except BadInput as error:
        told = tuple(as_sentence(one) for one in error.faults)
        return _after(request, state, Outcome(draft=draft, told=told, why=why))
    hands.made(hand, draft)
    return _after(request, state, Outcome(draft=draft, why=why))


def _saved(request: Request, state: BeerState, draft: Draft, *, at: int, why: str) -> Response:
    """Make a version of a draft as it was seen, and show it."""
    store: Store = request.app.state.store
    drafts.shape_on(store, draft.id, house_slug_of(store, draft.text))
    saved = drafts.save_draft(store, draft.id, seen=at, why=why, summary=headline(request, draft.text))
    beside = "" if saved.parent == saved.number - 1 else "&beside=1"
    return _elsewhere(request, f"{state.home}?version={saved.number}&saved=1{beside}")


def _saved_before(store: Store, slug: str, draft: str | None, sent: Mapping[str, str]) -> int | None:
    """The version a draft was saved as, where the sent page says nothing else than it: a button pressed twice."""
    wanted = whole_number(draft)
    number = None if wanted is None else drafts.saved_as(store, wanted)
    if number is None:
        return None
    views = field_views(inputs_of(store, versions.version(store, slug, number).text), system=spoken())
    return None if changed_fields(views, sent) else number


def _taken_back(request: Request, state: BeerState, name: str) -> Response:
    """Open a draft again that was thrown away."""
    store: Store = request.app.state.store
    thrown_away: Held[Draft] = request.app.state.thrown_away
    if not _is_thrown(request, state, name):
        return _after(request, state, Outcome(draft=state.draft, told=("Those edits are no longer kept.",)))
    with thrown_away.taken(name) as thrown:
        if thrown is None:  # taken back in the same moment
            return _elsewhere(request, state.home)
        said = "the edits taken back"
        made = drafts.open_draft(store, thrown.beer, base=thrown.base, text=thrown.text, said=said)
    return _elsewhere(request, f"{state.home}?draft={made.id}")


def _is_thrown(request: Request, state: BeerState, name: str) -> bool:
    """Whether a draft of this beer is held under a name."""
    found: Draft | None = request.app.state.thrown_away.look(name)
    return found is not None and found.beer == state.beer.slug


def _elsewhere(request: Request, address: str) -> Response:
    """Go to another page, whether a script asked or a browser."""
    if request.headers.get("HX-Request"):
        return Response(status_code=200, headers={"HX-Redirect": address})
    return RedirectResponse(address, 303)


def _after(request: Request, state: BeerState, outcome: Outcome) -> Response:
    """Show what became of a sent page; a plain browser is sent to the page's own address if all went well."""
    draft = outcome.draft
    if draft is not None and state.draft is not None and draft.id == state.draft.id:
        now = attrs.evolve(state, draft=draft, others=tuple(draft if o.id == draft.id else o for o in state.others))
    else:
        now = beer_state(
            request.app.state.store,
            state.beer.slug,
            version=None if draft is not None else str(state.base.number),
            draft=None if draft is None else str(draft.id),
        )
    if not outcome.faults and not outcome.told and not request.headers.get("HX-Request"):
        return RedirectResponse(f"{now.home}{now.query}", 303)
    status = 422 if outcome.faults else CONFLICT if outcome.other is not None else 200
    return _page(request, now, outcome, before=state.text, status=status)


def _page(
    request: Request, state: BeerState, outcome: Outcome, *, before: str | None = None, status: int = 200
) -> Response:
    setting = setting_of(request)
    with speaking(setting.units):
        context = _context(request, state, outcome, system=setting.units, before=before)
    if is_fragment(request):
        headers = {"HX-Replace-Url": f"{state.home}{state.query}"}
        return answer(request, "beer_line.html", context, status=status, headers=headers)
    return answer(request, "beer.html", context, status=status)


def _context(
    request: Request, state: BeerState, outcome: Outcome, *, system: str, before: str | None
) -> dict[str, Any]:
    store: Store = request.app.state.store
    draft = state.draft
    recipe = recipe_of(store, state.text)
    shown, cannot = _shown(request, state, recipe, before)
    base = _or_none(request, state.base.text) if draft is not None else shown
    inputs = inputs_of(store, state.text)
    view = bare_line(recipe, system=system) if shown is None else line_view(shown, system=system, before=base)
    fields = field_views(
        inputs,
        system=system,
        faults=outcome.faults,
        typed=outcome.typed,
        solved=view.solved,
    )
    lists = {**rows_of(recipe), "aims": aims_by_column(inputs)}
    told = list(outcome.told)
    if (aside := request.query_params.get("kept", "")) in KEPT_ASIDE:
        told.append(KEPT_ASIDE[aside])
    thrown = request.query_params.get("thrown", "")
    if not _is_thrown(request, state, thrown):
        thrown = ""
    if request.query_params.get("saved"):
        told.append(f"Saved as version {state.base.number}.")
    if request.query_params.get("beside"):
        told.append(
            f"Another version was saved meanwhile; this one stands beside it, made from version {state.base.parent}."
        )
    into = recipe.into
    return {
        "beer": state.beer,
        "home": state.home,
        "query": state.query,
        "base": state.base,
        "made": when_words(state.base.made_at),
        "newest": state.beer.newest,
        "draft": draft,
        "seen": 0 if draft is None else draft.pointer,
        "edits": 0 if draft is None else sum(step.number <= draft.pointer for step in draft.steps) - 1,
        "undo": _said(draft.undoable if draft is not None else None),
        "redo": _said(draft.redoable if draft is not None else None),
        "why": outcome.why,
        "told": told,
        "thrown": thrown,
        "other": outcome.other,
        "drafts": [{"id": one.id, "words": _draft_words(one)} for one in state.others],
        "house_words": _house_words(shown),
        "into": into,
        "draws_words": _draws_words(shown),
        "view": view,
        "cannot": cannot,
        "fields": fields,
        "lists": lists,
        "liquors": dosed_liquors(recipe),
        "ions": () if shown is None else ion_bars(shown.plan),
        "wants_water": bool(recipe.wanted_ions_mg_L or recipe.wanted_ranges_mg_L),
        "names": ingredient_names(),
        "litres": lambda volume_L: litres_text(volume_L, system),
        "stream_words": lambda side: _stream(side, system),
    }


def _said(step: Step | None) -> str:
    return "" if step is None else (step.said or "the last edit")


def _draft_words(draft: Draft) -> str:
    last = draft.undoable
    said = "not edited yet" if last is None else last.said or "edited"
    return f"from version {draft.base}, {when_words(draft.touched_at)}: {said}"


def _house_words(shown: Forecast | None) -> str:
    return "nowhere yet" if shown is None else house_name(shown.plan)


def _draws_words(shown: Forecast | None) -> str:
    return "" if shown is None else f"{shown.plan.brew.inputs.draws:,} brews simulated · bands hold 8 of 10"


def _stream(side: Side, system: str) -> str:
    return f"{litres_text(side.volume_L.mean, system)} {side.words}"


def _shown(request: Request, state: BeerState, recipe: Recipe, before: str | None) -> tuple[Forecast | None, list[str]]:
    """The forecast of a text; where it cannot be brewed, that before the edit, and why."""
    start = None if before is None or before == state.text else _or_none(request, before)
    try:
        return forecast_of(request, state.text, recipe=recipe, start=start), []
    except GyleError as error:
        return start or _or_none(request, state.base.text), [as_sentence(fault) for fault in faults_of(error)]


def _or_none(request: Request, text: str) -> Forecast | None:
    try:
        return forecast_of(request, text)
    except GyleError:
        return None


@router.get("/beers/{slug}/figures/{name}")
def figure_behind(request: Request, slug: str, name: str) -> Response:
    """Tell where a figure comes from."""
    from gyle.web.figure_behind import behind

    asked = request.query_params
    state = beer_state(request.app.state.store, slug, version=asked.get("version"), draft=asked.get("draft"))
    system = setting_of(request).units
    with speaking(system):
        told, view = behind(forecast_of(request, state.text), name, system=system)
    context = {"beer": state.beer, "home": state.home, "query": state.query, "behind": told, "view": view}
    return answer(request, "figure.html", context, block="behind" if is_fragment(request) else None)
