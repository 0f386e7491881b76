"""The brewhouses: those one has, a new one from five questions, one with its dip-sticks and every figure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Annotated, Any
from urllib.parse import quote

import attrs
from fastapi import APIRouter, Form, Request
from starlette.responses import RedirectResponse, Response

from gyle.beer.brewhouse_edits import NOTHING_SAID, edited_brewhouse
from gyle.beer.brewhouse_inputs import BrewhouseInput, brewhouse_inputs
from gyle.beer.brewhouse_places import KIND_WORDS, place_at
from gyle.beer.brewhouse_questions import brewhouse_from_answers
from gyle.beer.reading import brewhouse_from_text
from gyle.books import brewhouses
from gyle.books.beers import by_brewhouse
from gyle.books.refusals import MovedOn
from gyle.books.waters import water_finder, waters
from gyle.errors import BadInput
from gyle.quantities import speaking
from gyle.share.dip_stick import dip_sticks
from gyle.share.sentences import as_sentence, joined, without_line
from gyle.web.beer_state import whole_number
from gyle.web.brewhouse_beer import Brewed, brewed_there, effect_of, short_of
from gyle.web.brewhouse_changes import figures_of, last_change, touched, undone
from gyle.web.brewhouse_view import (
    PARTS,
    faulty_part,
    first_notes,
    house_line,
    question_views,
    stated_words,
    station_rows,
    told_of,
    typed_edit,
)
from gyle.web.dip_stick_drawing import drawn_sticks
from gyle.web.paper_text import PaperText
from gyle.web.rendering import answer, answer_file, is_fragment
from gyle.web.setting import setting_of

if TYPE_CHECKING:
    from gyle.beer.brewhouse import Brewhouse
    from gyle.books.papers import Paper
    from gyle.books.store import Store
    from gyle.web.brewhouse_beer import Effect

__all__ = ["router"]

router = APIRouter(include_in_schema=False)
CONFLICT, UNREADABLE = 409, 422
MOST_BEERS = 100  # to choose from, of either sort


def _read(store: Store, text: str, *, name: str) -> Brewhouse:
    """Read a brewhouse's text; the water it names is one of the books."""
    return brewhouse_from_text(text, name=name, water_named=water_finder(store))


TEXT = PaperText(
    kind="brewhouse",
    shelf="/brewhouses",
    back="Back to its dip-sticks",
    read=lambda store, text, _: _read(store, text, name="the text"),
)


@router.get("/brewhouses")
def brewhouse_list(request: Request) -> Response:
    """Show the brewhouses there are."""
    system = setting_of(request).units
    with speaking(system):
        lines = [house_line(paper, system=system) for paper in brewhouses.brewhouses(request.app.state.store)]
    return answer(request, "brewhouses.html", {"lines": lines})


@router.get("/brewhouses/new")
def new_brewhouse(request: Request) -> Response:
    """Ask the five questions."""
    return _questions(request, {}, ())


@router.post("/brewhouses/new")
async def brewhouse_made(request: Request) -> Response:
    """Make a brewhouse of the answers, or of a text."""
    from starlette.concurrency import run_in_threadpool

    return await run_in_threadpool(_made, request, await _sent(request))


def _made(request: Request, sent: Mapping[str, str]) -> Response:
    store: Store = request.app.state.store
    system = setting_of(request).units
    name = sent.get("name", "")
    with speaking(system):
        try:
            if "text" in sent:
                text = sent["text"].replace("\r\n", "\n")
                _read(store, text, name="the text")
                paper = brewhouses.add_brewhouse(store, text, name=name.strip() or None)
            else:
                answers = {key: value for key, value in sent.items() if key != "name"}
                text, _ = brewhouse_from_answers(answers, name=name, system=system)
                paper = brewhouses.add_brewhouse(store, text)
        except BadInput as error:
            return _questions(request, sent, error.faults)
    return RedirectResponse(f"/brewhouses/{paper.slug}?made=1", 303)


def _questions(request: Request, sent: Mapping[str, str], faults: tuple[str, ...]) -> Response:
    system = setting_of(request).units
    pasted = "text" in sent
    with speaking(system):
        views, name_fault, rest = question_views(sent, () if pasted else faults, system=system)
    context = {
        "questions": views,
        "name": sent.get("name", ""),
        "name_fault": name_fault,
        "faults": rest,
        "count": 0 if pasted else len(faults),
        "text": sent.get("text", ""),
        "text_faults": [as_sentence(fault) for fault in faults] if pasted else [],
    }
    return answer(request, "brewhouse_new.html", context, status=UNREADABLE if faults else 200)


@attrs.frozen(kw_only=True)
class _Outcome:
    """What became of a sent row."""

    told: tuple[str, ...] = ()
    at: str = ""
    typed: Mapping[str, str] = attrs.field(factory=dict)
    faults: Mapping[str, str] = attrs.field(factory=dict)
    status: int = 200
    was: int | None = None  # number of the revision before the edit


@router.get("/brewhouses/{slug}")
def brewhouse_page(request: Request, slug: str) -> Response:
    """Show a brewhouse."""
    return _page(request, brewhouses.brewhouse(request.app.state.store, slug), _Outcome())


@router.post("/brewhouses/{slug}/edit")
async def brewhouse_edited(request: Request, slug: str) -> Response:
    """Take one row: a figure edited, or taken back to its kind."""
    from starlette.concurrency import run_in_threadpool

    return await run_in_threadpool(_row_taken, request, slug, await _sent(request))


@router.post("/brewhouses/{slug}/undo")
def brewhouse_undone(
    request: Request, slug: str, seen: Annotated[str, Form()] = "", at: Annotated[str, Form()] = ""
) -> Response:
    """Take the last change back; `at` is the row whose button asked for it, where it was one's."""
    system = setting_of(request).units
    store: Store = request.app.state.store
    with speaking(system):
        paper = brewhouses.brewhouse(store, slug)
        try:
            change = undone(store, paper, seen=whole_number(seen), system=system)
        except BadInput as error:
            outcome = _Outcome(told=tuple(as_sentence(fault) for fault in error.faults), status=CONFLICT)
        else:
            if not request.headers.get("HX-Request"):
                return RedirectResponse(f"{_home(request, paper)}&undone=1&was={paper.number}#told", 303)
            outcome = _Outcome(told=change.undone, at=at or change.address, was=paper.number)
        now = brewhouses.brewhouse(store, slug)
    return _page(request, now, outcome)


def _home(request: Request, paper: Paper) -> str:
    return f"/brewhouses/{paper.slug}?beer={quote(_beer(request))}"


async def _sent(request: Request) -> dict[str, str]:
    """Return what a form sent: an emptied field as "", which as a parameter of a route would be left out."""
    form = await request.form(max_files=0, max_fields=100)
    return {name: value for name, value in form.items() if isinstance(value, str)}


def _row_taken(request: Request, slug: str, sent: Mapping[str, str]) -> Response:
    address = sent.get("address", "")
    typed = {key: sent[key] for key in PARTS if key in sent}
    if sent.get("do") == "back":
        typed = {"value": ""}
    system = setting_of(request).units
    store: Store = request.app.state.store
    with speaking(system):
        paper = brewhouses.brewhouse(store, slug)
        outcome = _edited(store, paper, address, typed, seen=sent.get("seen", ""), system=system)
        if outcome.status == 200 and not request.headers.get("HX-Request"):
            kept = f"&kept={quote(address)}&was={outcome.was}" if outcome.was is not None else "&kept="
            return RedirectResponse(f"{_home(request, paper)}{kept}#told", 303)
        now = brewhouses.brewhouse(store, slug)
    return _page(request, now, outcome)


def _edited(store: Store, now: Paper, address: str, typed: Mapping[str, str], *, seen: str, system: str) -> _Outcome:
    """Carry an edit out, if the figure is still as it was seen.

    What was changed elsewhere since, in other figures, stays: the edit goes into the newest text.
    """
    if place_at(address) is None:
        raise BadInput("a brewhouse has no such figure, so nothing was changed")
    one = figures_of(now, system)[address]
    edit = typed_edit(one, typed)
    then = _seen(store, now, seen, system)
    if then is None or touched(then[address], one):
        return _Outcome(at=address, typed=typed, faults={"": _moved_on(one)}, status=CONFLICT)
    others = [figure.words for key, figure in then.items() if touched(figure, figures_of(now, system)[key])]
    try:
        text, _, said = edited_brewhouse(now.text, edit, system=system, name=now.name)
        if said == NOTHING_SAID:
            return _Outcome(told=(said,))
        _read(store, text, name=now.name)  # what it names is there too
        brewhouses.save_brewhouse(store, now.slug, text=text, seen=now.number)
    except MovedOn:
        newer = figures_of(brewhouses.brewhouse(store, now.slug), system)[address]
        return _Outcome(at=address, typed=typed, faults={"": _moved_on(newer)}, status=CONFLICT)
    except BadInput as error:
        part = faulty_part(now.text, edit, system=system)
        sentence = " ".join(as_sentence(without_line(fault)) for fault in error.faults)
        return _Outcome(at=address, typed=typed, faults={part: sentence}, status=UNREADABLE)
    meanwhile = f"Changed elsewhere meanwhile, and kept as well: {joined(others)}." if others else ""
    return _Outcome(told=(as_sentence(said), *((meanwhile,) if meanwhile else ())), at=address, was=now.number)


def _seen(store: Store, now: Paper, seen: str, system: str) -> dict[str, BrewhouseInput] | None:
    """Return the figures as they stood on the page that was sent, None if that cannot be told."""
    number = whole_number(seen)
    if number is None:
        return None
    if number == now.number:
        return figures_of(now, system)
    try:
        return figures_of(brewhouses.brewhouse(store, now.slug, number=number), system)
    except BadInput:
        return None


def _moved_on(one: BrewhouseInput) -> str:
    spread = f", give or take {one.spread}" if one.spread else ""
    return (
        f"This was changed elsewhere since you saw it: it is now {one.value_words or 'nothing'}{spread} "
        f"({one.source}). Nothing was overwritten. What you typed stands here still: keep it to put it in that "
        "one’s place, or open the page anew to leave it."
    )


def _beer(request: Request) -> str:
    return request.query_params.get("beer", "")


def _page(request: Request, paper: Paper, outcome: _Outcome) -> Response:
    system = setting_of(request).units
    with speaking(system):
        try:
            house = brewhouses.brewhouse_read(request.app.state.store, paper)
        except BadInput as error:
            return TEXT.answer(request, paper, paper.text, faults=error.faults)
        context = _context(request, paper, house, outcome, system=system)
    block = "house" if is_fragment(request) else None
    return answer(request, "brewhouse.html", context, status=outcome.status, block=block)


def _context(request: Request, paper: Paper, house: Brewhouse, outcome: _Outcome, *, system: str) -> dict[str, Any]:
    store: Store = request.app.state.store
    asked = request.query_params
    inputs = brewhouse_inputs(paper.text, house, system)
    choice = by_brewhouse(store, paper.slug, count=MOST_BEERS)
    beer = asked.get("beer", choice.here[0].slug if choice.here else "")
    old_house, old = _before(request, paper, beer, outcome)
    brewed = brewed_there(request, paper, house, beer, start=old.forecast)
    told = list(outcome.told)
    if not told and not outcome.faults and "kept" in asked:
        kept = next((one for one in inputs if one.address == asked["kept"]), None)
        told = [NOTHING_SAID if kept is None else told_of(kept)]
    change = last_change(store, paper, system=system)
    just = outcome.was is not None or (change is not None and asked.get("was") == str(paper.parent))
    if just and not told and "undone" in asked:
        before = last_change(store, brewhouses.brewhouse(store, paper.slug, number=paper.parent), system=system)
        told = list(before.undone) if before is not None else []
    effect: Effect | None = None
    if old.plan is not None and brewed.plan is not None:
        effect = effect_of(old.plan, brewed.plan, system=system)
    made = "made" in asked and not outcome.told and not outcome.faults
    return {
        "paper": paper,
        "house": house,
        "kind": KIND_WORDS[house.kind],
        "stated": stated_words(inputs),
        "told": told,
        "effect": effect,
        "beside": _beside(told, effect, brewed, old),
        "change": change,
        "just": just and bool(told),
        "made": [as_sentence(note) for note in first_notes(house, inputs, system=system)] if made else [],
        "at": outcome.at or asked.get("kept", ""),
        "stations": station_rows(inputs, typed=outcome.typed, faults=outcome.faults, at=outcome.at),
        "parts": PARTS,
        "sticks": drawn_sticks(
            dip_sticks(house, brewed.plan, system=system),
            before=dip_sticks(old_house, old.plan, system=system) if old_house is not None else (),
            sources={one.address: one.source for one in inputs},
        ),
        "beer": beer,
        "beers": choice,
        "beer_said": brewed.said,
        "beer_name": brewed.plan.recipe.name if brewed.plan is not None else "",
        "foreign": brewed.foreign,
        "short_of": short_of(brewed.plan) if brewed.plan is not None else (),
        "waters": waters(store),
        "notes": [as_sentence(note) for note in house.notes],
    }


def _beside(told: Sequence[str], effect: Effect | None, brewed: Brewed, old: Brewed) -> str:
    """What an edit did, in one line beside its row."""
    if effect is not None and brewed.plan is not None:
        return " ".join((*told[:1], f"{brewed.plan.recipe.name}: {effect.line}"))
    gone = brewed.said[:2] if old.plan is not None and brewed.plan is None else ()
    return " ".join((*told[:1], *gone))


def _before(request: Request, paper: Paper, beer: str, outcome: _Outcome) -> tuple[Brewhouse | None, Brewed]:
    """Return the brewhouse as it was before the edit that is told, and the beer brewed on it."""
    store: Store = request.app.state.store
    was = str(outcome.was) if outcome.was is not None else request.query_params.get("was", "")
    renamed = "name" in (outcome.at, request.query_params.get("kept"))
    if outcome.faults or renamed or was != str(paper.number - 1):
        return None, Brewed()
    try:
        earlier = brewhouses.brewhouse(store, paper.slug, number=paper.number - 1)
        house = brewhouses.brewhouse_read(store, earlier)
    except BadInput:
        return None, Brewed()
    return house, brewed_there(request, earlier, house, beer)


@router.get("/brewhouses/{slug}/text")
def brewhouse_text(request: Request, slug: str) -> Response:
    """Show a brewhouse as the text it is kept as."""
    paper = brewhouses.brewhouse(request.app.state.store, slug)
    return TEXT.answer(request, paper, paper.text)


@router.get("/brewhouses/{slug}/brewhouse.toml")
def brewhouse_file(request: Request, slug: str) -> Response:
    """Give a brewhouse's file."""
    paper = brewhouses.brewhouse(request.app.state.store, slug)
    return answer_file(paper.text, f"{paper.slug}.toml")


@router.post("/brewhouses/{slug}/text")
def brewhouse_rewritten(
    request: Request, slug: str, text: Annotated[str, Form()] = "", seen: Annotated[str, Form()] = ""
) -> Response:
    """Take a brewhouse's whole text."""
    return TEXT.rewritten(request, slug, text, seen=seen)
