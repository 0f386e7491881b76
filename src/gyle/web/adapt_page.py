"""The adapt page: a beer brought to another brewhouse, there and here on one scale, and kept if it pleases."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import attrs
from fastapi import APIRouter, Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response

from gyle.books.stock import stock
from gyle.errors import BadInput, GyleError
from gyle.quantities import speaking, write
from gyle.share.sentences import as_sentence
from gyle.web.adapt_keeping import Keeping, as_beer, as_version, keep_view, mark_of
from gyle.web.adapt_results import Adaptations
from gyle.web.adapt_view import adapt_view
from gyle.web.adapt_wish import AdaptForm, AdaptWish, adapt_wish, brewhouse_choices, water_choices
from gyle.web.beer_state import BeerState, beer_state, headline
from gyle.web.readings import recipe_of
from gyle.web.rendering import answer, is_fragment
from gyle.web.setting import setting_of

if TYPE_CHECKING:
    from gyle.beer.recipe import Recipe
    from gyle.books.store import Store
    from gyle.web.adapt_results import Adapted

__all__ = ["router"]

router = APIRouter(include_in_schema=False)
ADAPTATIONS = Adaptations()
UNUSABLE, CONFLICT = 422, 409
LONGEST_SHOWN = 300  # characters of a field that are shown again


@attrs.frozen(kw_only=True, eq=False)
class _Asked:
    """One request for an adaptation, as far as it could be read."""

    state: BeerState
    recipe: Recipe
    form: AdaptForm
    wish: AdaptWish | None
    faults: Mapping[str, str]
    system: str

    @property
    def pin(self) -> dict[str, str]:
        """What holds an address to the very draft or version that is looked at."""
        draft = self.state.draft
        return {"version": str(self.state.base.number)} if draft is None else {"draft": str(draft.id)}

    def address(self, part: str = "", *, now: bool = False) -> str:
        """An address that asks the same."""
        also = {**self.pin, "now": "1"} if now else self.pin
        return f"{self.state.home}/adapt{part}{self.form.query(also)}"

    def known(self) -> Adapted | None:
        """The adaptation if it is ready."""
        assert self.wish is not None
        return ADAPTATIONS.known(self.state.text, self.recipe, self.wish, system=self.system)

    def made(self) -> Adapted:
        """The adaptation, which takes its time; raises GyleError."""
        assert self.wish is not None
        return ADAPTATIONS.of(self.state.text, self.recipe, self.wish, system=self.system)


@attrs.frozen(kw_only=True, eq=False)
class _Found:
    """What became of it: a result, or why there is none; neither while it is still to be worked out."""

    adapted: Adapted | None = None
    refused: tuple[str, ...] = ()


@router.get("/beers/{slug}/adapt")
def adapt_page(request: Request, slug: str) -> Response:
    """Ask where a beer shall be brewed, and show what becomes of it there."""
    asked = _asked(request, slug, request.query_params)
    if asked.wish is None:
        return _page(request, asked, _Found())
    found = _tried(asked) if request.query_params.get("now") else _Found(adapted=asked.known())
    return _page(request, asked, found)


@router.get("/beers/{slug}/adapt/result")
def result(request: Request, slug: str) -> Response:
    """Work it out, for a page that waits for it."""
    return _part(request, slug, "adapt_result.html")


@router.get("/beers/{slug}/adapt/outcome")
def outcome(request: Request, slug: str) -> Response:
    """Show another way out; at once where it is known, else a part of a page that waits for it."""
    return _part(request, slug, "adapt_outcome.html")


@router.get("/beers/{slug}/adapt/recipe.toml")
def recipe_file(request: Request, slug: str) -> Response:
    """Give the restated recipe as a file, the whole brewhouse written in."""
    asked = _asked(request, slug, request.query_params)
    if asked.wish is None:
        raise BadInput(tuple(asked.faults.values()))
    with speaking(asked.system):
        text = asked.made().text(whole=True)
    name = f"{asked.state.beer.slug}-{asked.wish.slug}.toml"
    return PlainTextResponse(text, headers={"Content-Disposition": f'attachment; filename="{name}"'})


@router.post("/beers/{slug}/adapt")
async def keep(request: Request, slug: str) -> Response:
    """Keep a result as a new beer or as a new version of this one."""
    from starlette.concurrency import run_in_threadpool

    form = await request.form(max_files=0, max_fields=100)
    sent = {name: value for name, value in form.items() if isinstance(value, str)}
    return await run_in_threadpool(_kept, request, slug, sent)


def _asked(request: Request, slug: str, sent: Mapping[str, str]) -> _Asked:
    store: Store = request.app.state.store
    system = setting_of(request).units
    state = beer_state(store, slug, version=sent.get("version"), draft=sent.get("draft"))
    recipe = recipe_of(store, state.text)
    form = AdaptForm.of(sent)
    wish: AdaptWish | None = None
    faults: dict[str, str] = {}
    if form.given or "to" in sent:
        with speaking(system):
            wish, faults = adapt_wish(store, recipe, form, system=system)
    return _Asked(state=state, recipe=recipe, form=form, wish=wish, faults=faults, system=system)


def _tried(asked: _Asked) -> _Found:
    try:
        return _Found(adapted=asked.made())
    except BadInput as error:
        return _Found(refused=tuple(as_sentence(fault) for fault in error.faults))
    except GyleError as error:
        return _Found(refused=(as_sentence(str(error)),))


def _part(request: Request, slug: str, template: str) -> Response:
    asked = _asked(request, slug, request.query_params)
    if not is_fragment(request):
        return RedirectResponse(asked.address(now=True), 303)
    if asked.wish is None:
        return _page(request, asked, _Found(refused=tuple(asked.faults.values())), part=template)
    waits = template == "adapt_outcome.html" and not request.query_params.get("now")
    return _page(request, asked, _Found(adapted=asked.known()) if waits else _tried(asked), part=template)


def _page(
    request: Request, asked: _Asked, found: _Found, *, part: str | None = None, keeping: Keeping | None = None
) -> Response:
    with speaking(asked.system):
        context = _context(request, asked, found, keeping or Keeping())
    wrong = asked.faults or found.refused or (keeping is not None and keeping.faults)
    status = CONFLICT if keeping is not None and keeping.told else UNUSABLE if wrong else 200
    headers = None if part is None else {"HX-Replace-Url": asked.address()}
    return answer(request, part or "adapt.html", {**context, "fragment": part}, status=status, headers=headers)


def _context(request: Request, asked: _Asked, found: _Found, keeping: Keeping) -> dict[str, Any]:
    store: Store = request.app.state.store
    state, adapted = asked.state, found.adapted
    houses = brewhouse_choices(store)
    return {
        "beer": state.beer,
        "home": state.home,
        "query": state.query,
        "base": state.base,
        "draft": state.draft,
        "pin": asked.pin,
        "typed": {name: text[:LONGEST_SHOWN] for name, text in attrs.asdict(asked.form).items()},
        "faults": {name: asked.faults.get(name, "") for name in attrs.asdict(asked.form)},
        "houses": houses,
        "waters": water_choices(store),
        "has_stock": stock(store) is not None,
        "as_it_is": _as_it_is(asked.recipe, asked.system),
        "into": asked.recipe.into,
        "own_house": "" if asked.recipe.for_brewhouse is None else asked.recipe.for_brewhouse.name,
        "to": next((one.words for one in houses if one.value == asked.form.to), ""),
        "asked": asked.wish is not None,
        "refused": found.refused,
        "address": asked.address(),
        "slow": asked.address(now=True),
        "result_from": asked.address("/result"),
        "outcome_from": asked.address("/outcome", now=True),
        "choose_from": f"{state.home}/adapt/outcome",
        "file_from": asked.address("/recipe.toml"),
        "view": None if adapted is None else adapt_view(adapted, system=asked.system),
        "keep": None if adapted is None else keep_view(state, adapted, keeping),
    }


def _as_it_is(recipe: Recipe, system: str) -> str:
    return "" if recipe.volume_L is None else write(recipe.volume_L, "volume", system=system)


def _kept(request: Request, slug: str, sent: Mapping[str, str]) -> Response:
    store: Store = request.app.state.store
    asked = _asked(request, slug, sent)
    if asked.wish is None:
        return _page(request, asked, _Found())
    found = _tried(asked)
    if found.adapted is None:
        return _page(request, asked, found)
    name, why = sent.get("name", ""), sent.get("why", "")
    with speaking(asked.system):
        if sent.get("mark") != mark_of(found.adapted):
            told = "The recipe, the brewhouse or the day is another since this was worked out, so nothing was saved."
            keeping = Keeping(name=name, why=why, told=f"{told} It now comes to what stands here.")
            return _page(request, asked, found, keeping=keeping)

        def summarise(text: str) -> Mapping[str, Any]:
            return headline(request, text)

        if sent.get("do") == "beer":
            done = as_beer(store, asked.state, found.adapted, name=name, summarise=summarise)
        else:
            done = as_version(store, asked.state, found.adapted, why=why, summarise=summarise)
    return _page(request, asked, found, keeping=done) if isinstance(done, Keeping) else RedirectResponse(done, 303)
