"""The application: pages put together over one store."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from fastapi import FastAPI, Form, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, PlainTextResponse, RedirectResponse, Response
from starlette.staticfiles import StaticFiles

from gyle import __version__
from gyle.books.refusals import MovedOn, NotThere
from gyle.errors import GyleError, StoreError
from gyle.web.forecasts import Forecasts
from gyle.web.guard import HEADERS, LOOPBACK, Guard
from gyle.web.gyle_agendas import Agendas
from gyle.web.hands import Hands
from gyle.web.last_few import Held
from gyle.web.once import Once
from gyle.web.rendering import ASSETS, answer
from gyle.web.setting import PAPERS, UNITS

if TYPE_CHECKING:
    from fastapi.telemetry import TelemetryConfig
    from starlette.types import Scope

    from gyle.books.beers import Beer
    from gyle.books.store import Store

__all__ = ["create_app"]

YEAR_S = 31_536_000
# Nothing is measured, traced or sent, whatever the environment asks for.
_SILENT: TelemetryConfig = {
    "tracing": False,
    "metrics": False,
    "logs": False,
    "operation_spans": False,
    "auto_configure": False,
}


class _Assets(StaticFiles):
    """Files that came with the program; an address with a mark of the content may be kept for a year."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        found = await super().get_response(path, scope)
        marked = b"v=" in scope.get("query_string", b"")
        found.headers["Cache-Control"] = f"public, max-age={YEAR_S}, immutable" if marked else "no-cache"
        return found


def create_app(store: Store, *, hosts: tuple[str, ...] = LOOPBACK) -> FastAPI:
    """Put the pages together.

    Parameters
    ----------
    store : Store
        The books it reads and writes.
    hosts : tuple of str
        Names under which it answers; any other is refused.

    Returns
    -------
    FastAPI
        The application, ready to be served.
    """
    app = FastAPI(title="gyle", version=__version__, docs_url=None, redoc_url=None, openapi_url=None, telemetry=_SILENT)
    app.state.store = store
    app.state.forecasts = Forecasts()
    app.state.agendas = Agendas()
    app.state.withdrawn = Held()
    app.state.hands = Hands()
    app.state.once = Once()
    app.state.thrown_away = Held()
    app.add_middleware(Guard, hosts=hosts)
    app.mount("/assets", _Assets(directory=ASSETS), name="assets")
    _pages(app)
    _errors(app)

    @app.get("/healthz", include_in_schema=False)
    def healthz() -> JSONResponse:
        return JSONResponse({"ready": True, "version": __version__})

    @app.post("/setting", include_in_schema=False)
    def setting(
        units: Annotated[str, Form()] = "metric",
        paper: Annotated[str, Form()] = "auto",
        back: Annotated[str, Form()] = "/",
    ) -> RedirectResponse:
        # Only a path of ours: "//elsewhere" and "/\\elsewhere" would lead away.
        ours = back.startswith("/") and not back.startswith(("//", "/\\")) and back.isprintable()
        sent = RedirectResponse(back if ours else "/", 303)
        for name, value, known in (("units", units, UNITS), ("paper", paper, PAPERS)):
            if value in known:
                sent.set_cookie(name, value, max_age=YEAR_S, samesite="lax", httponly=True)
        return sent

    return app


def _pages(app: FastAPI) -> None:
    from gyle.web import (
        adapt_page,
        beer_page,
        beer_text_page,
        brewhouse_pages,
        gyle_moves,
        shelf_page,
        treatment_page,
        versions_page,
        water_pages,
    )

    beer_pages = (beer_page, beer_text_page, versions_page, adapt_page, treatment_page)
    for module in (shelf_page, gyle_moves, *beer_pages, water_pages, brewhouse_pages):
        app.include_router(module.router)


def _errors(app: FastAPI) -> None:
    """Whatever goes wrong is told in a sentence on a page of ours."""

    @app.exception_handler(HTTPException)
    def http(request: Request, error: HTTPException) -> Response:
        said = {404: "There is no such page.", 405: "That cannot be done here."}
        return _told(request, error.status_code, said.get(error.status_code, str(error.detail)))

    @app.exception_handler(RequestValidationError)
    def unreadable(request: Request, error: RequestValidationError) -> Response:
        return _told(request, 422, "What was sent is not what this page's form sends; nothing was changed.")

    @app.exception_handler(GyleError)
    def refused(request: Request, error: GyleError) -> Response:
        status = {StoreError: 503, NotThere: 404, MovedOn: 409}.get(type(error), 422)
        return _told(request, status, str(error))

    @app.exception_handler(Exception)
    def fault(request: Request, error: Exception) -> Response:
        name = type(error).__name__
        sentence = f"This is a fault of gyle and not of yours ({name}). What was kept before it is still there."
        told = _told(request, 500, sentence)
        told.raw_headers.extend(HEADERS)  # this answer is given outside of the guard
        return told


def _told(request: Request, status: int, sentence: str) -> Response:
    try:
        context = {"sentence": sentence, "status": status, "beer": _beer_of(request) if status < 500 else None}
        return answer(request, "told.html", context, status=status)
    except Exception:  # the page that tells of faults is at fault itself
        return PlainTextResponse(sentence + "\n", status)


def _beer_of(request: Request) -> Beer | None:
    """The beer an address is about, where there is one: the way back to it."""
    from gyle.books import beers

    place = request.url.path.split("/")
    if place[1:2] != ["beers"] or not place[2:3]:
        return None
    try:
        return beers.beer(request.app.state.store, place[2])
    except GyleError:
        return None
