"""A beer's versions: the family, the open drafts, one held against another, and a gyle planned of one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Form, Request
from starlette.responses import RedirectResponse, Response

from gyle.books import beers, drafts, versions
from gyle.books.refusals import NotThere
from gyle.errors import BadInput
from gyle.quantities import speaking
from gyle.share.sentences import as_sentence
from gyle.web.beer_state import whole_number
from gyle.web.comparison_ribbons import HEIGHT_PX
from gyle.web.comparison_sides import choices, side_of, side_of_another, usual_sides
from gyle.web.comparison_view import compared
from gyle.web.day_words import when_words
from gyle.web.gyle_form import gyle_form, planned
from gyle.web.gyle_moves import gyle_told, move_forms
from gyle.web.gyle_plans import gyle_views
from gyle.web.lineage_drawing import lineage
from gyle.web.rendering import answer
from gyle.web.setting import setting_of
from gyle.web.shelf_view import headline_figures, patch_of

if TYPE_CHECKING:
    from gyle.books.beers import Beer
    from gyle.books.drafts import Draft
    from gyle.books.store import Store
    from gyle.books.versions import RecipeVersion

__all__ = ["router"]

router = APIRouter(include_in_schema=False)
LONGEST_TYPED = 20_000  # characters of a field that are shown again


@router.get("/beers/{slug}/versions")
def family(request: Request, slug: str) -> Response:
    """Show every version of a beer, and its open drafts."""
    return _family_page(request, slug)


@router.post("/beers/{slug}/gyles")
def plan_gyle(
    request: Request,
    slug: str,
    version: Annotated[str, Form()] = "",
    brewhouse: Annotated[str, Form()] = "",
    start: Annotated[str, Form()] = "",
    note: Annotated[str, Form()] = "",
) -> Response:
    """Plan a gyle of one of them."""
    typed = {"version": version, "brewhouse": brewhouse, "start": start, "note": note}
    made, faults = planned(request.app.state.store, slug, typed)
    if made is None:
        kept = {key: value[:LONGEST_TYPED] for key, value in typed.items()}
        return _family_page(request, slug, typed=kept, faults=faults)
    return RedirectResponse("/?gyle=planned#gyles", 303)


@router.post("/beers/{slug}/versions/{number}/again")
def begin_again(request: Request, slug: str, number: str) -> Response:
    """Open a draft from a version, beside any that are open."""
    wanted = whole_number(number)
    if wanted is None:
        raise NotThere("there is no such version")
    made = drafts.open_draft(request.app.state.store, slug, base=wanted)
    return RedirectResponse(f"/beers/{slug}?draft={made.id}", 303)


def _family_page(
    request: Request,
    slug: str,
    *,
    typed: Mapping[str, str] | None = None,
    faults: Mapping[str, str] | None = None,
) -> Response:
    store: Store = request.app.state.store
    system = setting_of(request).units
    beer = beers.beer(store, slug)
    found = versions.versions(store, slug)
    open_drafts = drafts.drafts_of(store, slug)
    with speaking(system):
        under_way = gyle_views(store, request.app.state.agendas, system=system, beer=slug)
        context = {
            "beer": beer,
            "home": f"/beers/{slug}",
            "count": len(found),
            "rows": _rows(found, open_drafts, system),
            "usual": usual_sides(found, open_drafts),
            "choices": choices(beer, found, open_drafts),
            "form": gyle_form(store, found, typed=typed, faults=faults),
            "gyles": under_way,
            "moves": move_forms(store, under_way) if under_way else {},
            "told": gyle_told(request),
        }
    return answer(request, "versions.html", context, status=422 if faults else 200)


def _rows(found: tuple[RecipeVersion, ...], open_drafts: tuple[Draft, ...], system: str) -> list[dict[str, Any]]:
    """Put the family into words, what is not saved yet first."""
    members: list[tuple[int, int | None]] = [(-one.id, one.base) for one in open_drafts]
    members += [(one.number, one.parent) for one in found]
    drawn = lineage(members, newest=found[0].number)
    lines = [_draft_line(one) for one in open_drafts] + _version_lines(found, system)
    return [{**line, "drawn": kin} for line, kin in zip(lines, drawn, strict=True)]


def _draft_line(draft: Draft) -> dict[str, Any]:
    edits = sum(step.number <= draft.pointer for step in draft.steps) - 1
    times = "not edited yet" if edits <= 0 else "edited once" if edits == 1 else f"edited {edits} times"
    last = draft.undoable
    return {
        "draft": draft.id,
        "parent": draft.base,
        "when": f"{times}, last touched {when_words(draft.touched_at)}",
        "why": "" if last is None else last.said,
    }


def _version_lines(found: tuple[RecipeVersion, ...], system: str) -> list[dict[str, Any]]:
    widest = max((_volume_L(one, system) for one in found), default=0.0)
    return [
        {
            "draft": None,
            "number": one.number,
            "parent": one.parent,
            "when": when_words(one.made_at),
            "why": one.why,
            "figures": headline_figures(one.summary, system=system),
            "patch": patch_of(one.summary, widest_L=widest, system=system),
        }
        for one in found
    ]


def _volume_L(version: RecipeVersion, system: str) -> float:
    """The volume kept with a version, zero where none is kept that could be drawn."""
    drawable = patch_of(version.summary, widest_L=1.0, system=system) is not None
    return float(version.summary["figures"]["fermenter.volume"][0]) if drawable else 0.0


@router.get("/beers/{slug}/compare")
def compare(request: Request, slug: str) -> Response:
    """Hold two versions against each other."""
    store: Store = request.app.state.store
    system = setting_of(request).units
    asked = request.query_params
    beer = beers.beer(store, slug)
    found = versions.versions(store, slug)
    open_drafts = drafts.drafts_of(store, slug)
    usual = usual_sides(found, open_drafts)
    old_key, new_key = asked.get("old") or usual[0], asked.get("new") or usual[1]
    another, fault = asked.get("another", "").strip(), ""
    if another:
        try:
            chosen = side_of_another(store, beer, another)
        except BadInput as error:
            fault = as_sentence(error.faults[0])
        else:
            return RedirectResponse(f"/beers/{slug}/compare?{urlencode({'old': old_key, 'new': chosen})}", 303)
    old, new = side_of(store, beer, old_key), side_of(store, beer, new_key)
    with speaking(system):
        context = {
            "beer": beer,
            "home": f"/beers/{slug}",
            "old": old,
            "new": new,
            "choices": choices(beer, found, open_drafts, old, new),
            "another": another[:200],
            "fault": fault,
            "alone": _alone(beer, open_drafts, old.key, new.key),
            "ribbon_height": HEIGHT_PX,
            "told": None if old.key == new.key else compared(request, old, new, system=system),
        }
    return answer(request, "compare.html", context, status=422 if fault else 200)


def _alone(beer: Beer, open_drafts: tuple[Draft, ...], old: str, new: str) -> bool:
    """Whether there is nothing yet that could be compared."""
    return old == new and beer.newest == 1 and not open_drafts
