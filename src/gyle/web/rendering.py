"""Templates: where they are, what every page knows, how an asset is named so that it may be kept for ever."""

from __future__ import annotations

import functools
import hashlib
import json
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

from starlette.responses import HTMLResponse, PlainTextResponse

from gyle.web.setting import PAPERS, UNITS, setting_of

if TYPE_CHECKING:
    from jinja2 import Environment
    from starlette.requests import Request

__all__ = ["ASSETS", "answer", "answer_file", "asset", "environment", "is_fragment"]

HERE = Path(__file__).resolve().parent
ASSETS = HERE / "assets"


@functools.cache
def asset(name: str) -> str:
    """The address of an asset: its content's mark is part of it."""
    mark = hashlib.blake2b((ASSETS / name).read_bytes(), digest_size=6).hexdigest()
    return f"/assets/{name}?v={mark}"


@functools.cache
def environment() -> Environment:
    """The templates, made ready once."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    made = Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    made.globals["asset"] = asset
    made.filters["json"] = lambda value: json.dumps(value, ensure_ascii=False).replace("</", "<\\/")
    return made


def is_fragment(request: Request) -> bool:
    """Whether a script asks for a part of a page and not for the page."""
    return request.headers.get("HX-Request-Type") == "partial"


def answer(
    request: Request,
    template: str,
    context: Mapping[str, Any],
    *,
    status: int = 200,
    block: str | None = None,
    headers: Mapping[str, str] | None = None,
) -> HTMLResponse:
    """Answer with a page, or with one of its blocks.

    Parameters
    ----------
    request : Request
        What is answered; its cookies say in which units and on which paper.
    template : str
        The template's file name.
    context : mapping
        What the page tells.
    status : int
        Of the answer.
    block : str, optional
        Render this block alone.
    headers : mapping, optional
        Further headers.
    """
    found = environment().get_template(template)
    whole = {
        "request": request,
        "setting": setting_of(request),
        "all_units": UNITS,
        "all_papers": PAPERS,
        "here": request.url.path,
        "back": _back(request),
        **context,
    }
    text = found.render(whole) if block is None else "".join(found.blocks[block](found.new_context(whole)))
    kept = {"Vary": "HX-Request, HX-Request-Type, Cookie", "Cache-Control": "no-store", **(headers or {})}
    return HTMLResponse(text, status, headers=kept)


def answer_file(text: str, name: str) -> PlainTextResponse:
    """Answer with a text as a file to be kept under a plain name."""
    headers = {"Content-Disposition": f'attachment; filename="{name}"', "Cache-Control": "no-store"}
    return PlainTextResponse(text, headers=headers)


def _back(request: Request) -> str:
    """Where to return from the setting: this page, or for what a sent form answers the page it stood on."""
    if request.method in ("GET", "HEAD"):
        path, query = request.url.path, request.url.query
    else:
        try:
            came_from = urlsplit(request.headers.get("referer", ""))
        except ValueError:  # half an address
            return "/"
        if came_from.netloc != request.headers.get("host"):
            return "/"
        path, query = came_from.path, came_from.query
    return f"{path}?{query}" if query else path
