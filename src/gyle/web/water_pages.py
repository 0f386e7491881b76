"""The waters known: their list, a report in, one with its figures and charges; beside them a beer's water treated."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from typing import TYPE_CHECKING, Annotated

import attrs
from fastapi import APIRouter, Form, Request
from starlette.responses import RedirectResponse, Response

from gyle.beer.report_paste import PastedLine, pasted_lines
from gyle.books import brewhouses, waters
from gyle.books.refusals import MovedOn
from gyle.errors import BadInput, GyleError
from gyle.quantities import speaking
from gyle.share.sentences import as_sentence, faults_of
from gyle.web.beer_state import whole_number
from gyle.web.paper_text import PaperText
from gyle.web.rendering import answer, answer_file
from gyle.web.report_form import LONGEST_NAME, field_groups, typed_fields, written_fields
from gyle.web.report_reading import Understood, understood
from gyle.web.sent_form import sent_pairs
from gyle.web.setting import setting_of
from gyle.web.tap_link import drawers, name_tap_water
from gyle.web.water_view import charge_view, fact_words, remarks_of, water_lines, water_view

if TYPE_CHECKING:
    from gyle.beer.water import Water
    from gyle.books.papers import Paper
    from gyle.books.store import Store

__all__ = ["router"]

router = APIRouter(include_in_schema=False)
CONFLICT, UNREADABLE = 409, 422
MOST_FIELDS = 100
TREATED = {"": "as it comes", "boiled": "boiled", "lime": "softened with lime"}


TEXT = PaperText(
    kind="water",
    shelf="/waters",
    back="Back to its figures",
    told="?kept=1",
    read=lambda store, text, slug: waters.water_read(store, text, name="the text", slug=slug),
)


@router.get("/waters")
def water_list(request: Request) -> Response:
    """Show the waters there are."""
    store: Store = request.app.state.store
    system = setting_of(request).units
    with speaking(system):
        read = [(paper, _read_or_fault(store, paper)) for paper in waters.waters(store)]
        lines = water_lines(read, system=system)
    return answer(request, "waters.html", {"lines": lines, "drawn": drawers(store)})


def _read_or_fault(store: Store, paper: Paper) -> Water | GyleError:
    try:
        return waters.water_read(store, paper.text, name=paper.name, slug=paper.slug)
    except GyleError as error:
        return error


@router.get("/waters/new")
def new_water(request: Request) -> Response:
    """Show a report's empty form."""
    return _form(request, _Sheet())


@router.post("/waters/new")
async def water_made(request: Request) -> Response:
    """Read what was pasted, look at what was typed, or keep it."""
    from starlette.concurrency import run_in_threadpool

    return await run_in_threadpool(_sent, request, dict(await sent_pairs(request, most=MOST_FIELDS)), None)


@router.get("/waters/{slug}/edit")
def water_edit(request: Request, slug: str) -> Response:
    """Show a kept report's lines as fields."""
    store: Store = request.app.state.store
    paper = waters.water(store, slug)
    try:
        typed = written_fields(paper.text)
    except BadInput as error:
        return TEXT.answer(request, paper, paper.text, faults=error.faults)
    with speaking(setting_of(request).units):
        sheet = _Sheet(paper=paper, typed=typed, seen=paper.number)
        return _form(request, attrs.evolve(sheet, found=_understood(request, sheet)))


@router.post("/waters/{slug}/edit")
async def water_edited(request: Request, slug: str) -> Response:
    """Take a kept report's lines."""
    from starlette.concurrency import run_in_threadpool

    return await run_in_threadpool(_sent, request, dict(await sent_pairs(request, most=MOST_FIELDS)), slug)


@attrs.frozen(kw_only=True)
class _Sheet:
    """A report on its way in: what was pasted, what stands in the fields, and what was found in them."""

    paper: Paper | None = None  # the water that is edited
    seen: int = 0
    typed: Mapping[str, str] = attrs.field(factory=dict)
    pasted: str = ""
    lines: tuple[PastedLine, ...] = ()
    paste_fault: str = ""
    text: str = ""
    text_faults: tuple[str, ...] = ()
    found: Understood | None = None
    told: str = ""
    keeping: bool = False  # whether it was sent to be kept
    status: int = 200

    @property
    def mark(self) -> str:
        """A mark of what was pasted, so that it is known again once it was read."""
        return hashlib.blake2b(self.pasted.encode("utf-8", "replace"), digest_size=8).hexdigest()


def _understood(request: Request, sheet: _Sheet) -> Understood:
    base, slug = (sheet.paper.text, sheet.paper.slug) if sheet.paper is not None else (None, "")
    return understood(request.app.state.store, sheet.typed, base=base, slug=slug)


def _sent(request: Request, sent: Mapping[str, str], slug: str | None) -> Response:
    store: Store = request.app.state.store
    paper = None if slug is None else waters.water(store, slug)
    with speaking(setting_of(request).units):
        if "text" in sent and paper is None:
            return _made_of_text(request, sent["text"].replace("\r\n", "\n"))
        sheet = _Sheet(
            paper=paper,
            seen=whole_number(sent.get("seen")) or 0,
            typed=typed_fields(sent),
            pasted=sent.get("pasted", "").replace("\r\n", "\n").strip("\n"),
        )
        keep, look = sent.get("do") == "keep", sent.get("do") == "look"
        if sent.get("do") == "read" and not sheet.pasted.strip():
            fault = "Nothing is pasted yet: put the lines of the report here, as they were published."
            return _form(request, attrs.evolve(sheet, paste_fault=fault, status=UNREADABLE))
        if sheet.pasted.strip() and (not keep or sheet.mark != sent.get("read", "")):
            sheet = _pasted_in(sheet, keep=keep)
            keep = False
        elif sheet.pasted.strip():
            sheet = attrs.evolve(sheet, lines=pasted_lines(sheet.pasted))
        sheet = attrs.evolve(sheet, found=_understood(request, sheet)) if sheet.typed or keep or look else sheet
        if look and sheet.found is not None and sheet.found.whole:
            sheet = attrs.evolve(sheet, status=UNREADABLE)
        return _kept(request, sheet) if keep else _form(request, sheet)


def _pasted_in(sheet: _Sheet, *, keep: bool) -> _Sheet:
    """Put the figures of the pasted lines into the fields."""
    try:
        lines = pasted_lines(sheet.pasted)
    except BadInput as error:
        return attrs.evolve(sheet, paste_fault=as_sentence(str(error)), status=UNREADABLE)
    figures = {line.key: line.value for line in lines if line.key}
    if not figures:
        fault = "No figure of a report was found in these lines; what each lacks stands beside it."
        return attrs.evolve(sheet, lines=lines, paste_fault=fault, status=UNREADABLE)
    told = "The pasted lines were read first: look at them, and keep the water then." if keep else ""
    return attrs.evolve(sheet, lines=lines, typed={**sheet.typed, **figures}, told=told)


def _kept(request: Request, sheet: _Sheet) -> Response:
    store: Store = request.app.state.store
    found = sheet.found
    assert found is not None
    if found.faults or found.whole:
        return _form(request, attrs.evolve(sheet, keeping=True, status=UNREADABLE))
    try:
        if sheet.paper is None:
            paper = waters.add_water(store, found.text)
            return RedirectResponse(f"/waters/{paper.slug}?made=1", 303)
        waters.save_water(store, sheet.paper.slug, text=found.text, seen=sheet.seen)
    except MovedOn as error:
        newest = waters.water(store, sheet.paper.slug) if sheet.paper is not None else None
        assert newest is not None
        return TEXT.answer(request, newest, found.text, faults=error.faults, theirs=newest.text)
    except BadInput as error:
        whole = tuple(as_sentence(fault) for fault in error.faults)
        return _form(request, attrs.evolve(sheet, found=attrs.evolve(found, whole=whole), status=UNREADABLE))
    assert sheet.paper is not None
    return RedirectResponse(f"/waters/{sheet.paper.slug}?kept=1", 303)


def _made_of_text(request: Request, text: str) -> Response:
    store: Store = request.app.state.store
    try:
        waters.water_read(store, text, name="the text")
        paper = waters.add_water(store, text)
    except GyleError as error:
        told = tuple(as_sentence(fault) for fault in faults_of(error))
        return _form(request, _Sheet(text=text, text_faults=told, status=UNREADABLE))
    return RedirectResponse(f"/waters/{paper.slug}?made=1", 303)


def _form(request: Request, sheet: _Sheet) -> Response:
    found = sheet.found
    water = None if found is None else found.water
    system = setting_of(request).units
    with speaking(system):
        remarks = {} if water is None else remarks_of(water)
        charge = None if water is None else charge_view(water)
        told = "" if water is None else fact_words(water, system=system)
    faults: Mapping[str, str] = {} if found is None else found.faults
    nameless = "name" in faults and not sheet.typed.get("name")
    if nameless and not sheet.keeping:  # it is wanted when it is kept, and said before
        faults = {key: fault for key, fault in faults.items() if key != "name"}
    context = {
        "paper": sheet.paper,
        "seen": sheet.seen,
        "groups": field_groups(sheet.typed, faults=faults, remarks=remarks),
        "typed": sheet.typed,
        "faults": faults,
        "nameless": nameless,
        "whole": () if found is None else found.whole,
        "count": len(faults) + (0 if found is None else len(found.whole)) if sheet.status != 200 else 0,
        "pasted": sheet.pasted,
        "mark": sheet.mark if sheet.lines else "",
        "lines": sheet.lines,
        "understood": sum(bool(line.key) for line in sheet.lines),
        "left": sum(not line.key and not line.heading for line in sheet.lines),
        "headings": sum(line.heading for line in sheet.lines),
        "paste_fault": sheet.paste_fault,
        "text": sheet.text,
        "text_faults": sheet.text_faults,
        "told": sheet.told,
        "charge": charge,
        "facts": told,
        "notes": [] if water is None else [as_sentence(note) for note in water.notes if note != water.doubt],
        "supposed": [] if water is None else [as_sentence(said) for said in water.supposed],
        "treated": TREATED,
        "longest_name": LONGEST_NAME,
    }
    return answer(request, "water_form.html", context, status=sheet.status)


@router.get("/waters/{slug}")
def water_page(request: Request, slug: str) -> Response:
    """Show a water."""
    store: Store = request.app.state.store
    paper = waters.water(store, slug)
    return _page(request, paper)


def _page(request: Request, paper: Paper, *, fault: str = "") -> Response:
    store: Store = request.app.state.store
    system = setting_of(request).units
    with speaking(system):
        try:
            water = waters.water_read(store, paper.text, name=paper.name, slug=paper.slug)
            view = water_view(water, system=system)
        except GyleError as error:
            return TEXT.answer(request, paper, paper.text, faults=faults_of(error))
    houses = brewhouses.brewhouses(store)
    drawn = drawers(store).get(paper.slug, ())
    context = {
        "paper": paper,
        "view": view,
        "blended": bool(water.parts),
        "made": "made" in request.query_params,
        "kept": "kept" in request.query_params,
        "drawn": drawn,
        "houses": [house for house in houses if house.slug not in {one.slug for one in drawn}],
        "fault": fault,
    }
    return answer(request, "water.html", context, status=UNREADABLE if fault else 200)


@router.post("/waters/{slug}/drawn")
def water_drawn(request: Request, slug: str, brewhouse: Annotated[str, Form()] = "") -> Response:
    """Name a water as what a brewhouse's tap gives."""
    store: Store = request.app.state.store
    paper = waters.water(store, slug)
    try:
        name_tap_water(store, brewhouses.brewhouse(store, brewhouse), slug)
    except BadInput as error:
        return _page(request, paper, fault=" ".join(as_sentence(fault) for fault in error.faults))
    return RedirectResponse(f"/waters/{slug}#drawn", 303)


@router.get("/waters/{slug}/text")
def water_text(request: Request, slug: str) -> Response:
    """Show a water as the text it is kept as."""
    paper = waters.water(request.app.state.store, slug)
    return TEXT.answer(request, paper, paper.text)


@router.get("/waters/{slug}/water.toml")
def water_file(request: Request, slug: str) -> Response:
    """Give a water's file."""
    paper = waters.water(request.app.state.store, slug)
    return answer_file(paper.text, f"{paper.slug}.toml")


@router.post("/waters/{slug}/text")
def water_rewritten(
    request: Request, slug: str, text: Annotated[str, Form()] = "", seen: Annotated[str, Form()] = ""
) -> Response:
    """Take a water's whole text."""
    return TEXT.rewritten(request, slug, text, seen=seen)
