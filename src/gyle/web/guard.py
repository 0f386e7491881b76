"""What every answer carries and every request must pass, before a page is asked.

The program listens on the brewer's own machine. A page of another site must neither write to it (its posts
are refused by their origin) nor read from it under a name of its own choosing (only loopback names are
answered), and no page of ours runs a script or loads a thing that did not come with the program.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from starlette.responses import PlainTextResponse

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Receive, Scope, Send

__all__ = ["HEADERS", "LARGEST_POST", "LOOPBACK", "Guard"]

LOOPBACK = ("localhost", "127.0.0.1", "::1", "[::1]")
LARGEST_POST = 2_000_000  # bytes: a recipe's text and its notes fit many times over
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self';"
    " connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'; manifest-src 'self'"
)
HEADERS = (
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"same-origin"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"x-frame-options", b"DENY"),
)
_READING = ("GET", "HEAD", "OPTIONS")


class Guard:
    """Refuse what comes from elsewhere; give every answer its headers.

    Parameters
    ----------
    app : ASGI application
        What is guarded.
    hosts : tuple of str
        Names under which it answers.
    """

    def __init__(self, app: ASGIApp, hosts: tuple[str, ...] = LOOPBACK) -> None:
        self.app, self.hosts = app, hosts

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = {name: value.decode("latin-1") for name, value in scope["headers"]}
        refusal = self._refusal(scope["method"], headers)

        async def sending(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = [*message.get("headers", ()), *HEADERS]
            await send(message)

        if refusal is not None:
            status, sentence = refusal
            await PlainTextResponse(sentence + "\n", status)(scope, receive, sending)
            return
        await self.app(scope, receive, sending)

    def _refusal(self, method: str, headers: dict[bytes, str]) -> tuple[int, str] | None:
        host = _name(headers.get(b"host", ""))
        if host not in self.hosts:
            return 421, "This program answers only on this machine, as localhost or 127.0.0.1."
        if method in _READING:
            return None
        origin = headers.get(b"origin")
        foreign = origin is not None and _name(origin.partition("://")[2]) not in self.hosts
        if foreign or headers.get(b"sec-fetch-site") in ("cross-site", "same-site"):
            return 403, "This page was sent from another site, so nothing was changed."
        if b"transfer-encoding" in headers:
            return 411, "What is sent must say beforehand how long it is, so nothing was changed."
        length = headers.get(b"content-length", "0")
        if not (length.isascii() and length.isdigit() and len(length) < 20) or int(length) > LARGEST_POST:
            return 413, f"More than {LARGEST_POST // 1_000_000} MB were sent at once, so nothing was changed."
        return None


def _name(netloc: str) -> str:
    """The host of "host:port", the brackets of an address of version 6 kept."""
    if netloc.startswith("["):
        return netloc.partition("]")[0] + "]"
    return netloc.partition(":")[0].casefold()
