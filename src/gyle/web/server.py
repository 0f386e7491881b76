"""Serving: one process, one store, until it is interrupted."""

from __future__ import annotations

import contextlib
import socket
import sys
from typing import TYPE_CHECKING, TextIO

from gyle.errors import BadInput, StoreError
from gyle.web.memory import hand_back, settle

if TYPE_CHECKING:
    from collections.abc import Callable

    from starlette.types import ASGIApp, Receive, Scope, Send

    from gyle.books.store import Store

__all__ = ["PORT", "listening", "serve"]

PORT = 4953  # no service is registered for it
REST_S = 5  # between two looks at whether it still works
LOOPBACK_HOSTS = ("127.0.0.1", "localhost", "::1")


def listening(host: str, port: int) -> socket.socket:
    """Return a socket that listens.

    Raises
    ------
    BadInput
        If the host is no loopback address: without paired devices nothing may be reachable from outside.
    StoreError
        If the port is taken or not allowed.
    """
    if host not in LOOPBACK_HOSTS:
        raise BadInput(
            f"{host} cannot be served yet: devices cannot be paired yet, and nothing may be reached unpaired;"
            " leave --host out"
        )
    if not 0 <= port <= 65535:
        raise BadInput(f"{port} is no port: write a number from 1 to 65535, or 0 for any that is free")
    family = socket.AF_INET6 if host == "::1" else socket.AF_INET
    # Named as TCP, so that answers leave at once: else the end of each waits 40 ms for the browser's word.
    found = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        found.bind(("127.0.0.1" if host == "localhost" else host, port))
        found.listen(128)
    except OSError as error:
        found.close()
        reason = (error.strerror or "the system refuses").lower()
        raise StoreError(f"port {port} cannot be listened on: {reason}; --port names another") from None
    return found


class _Asked:
    """The application, which notes when it is asked something, and tidies up once it no longer is."""

    def __init__(self, app: ASGIApp) -> None:
        self.app, self.asked, self.untidy = app, True, True

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        self.asked = True
        await self.app(scope, receive, send)

    async def rest(self) -> None:
        """Give memory back once after each spell of work; called from time to time."""
        if self.asked:
            self.asked, self.untidy = False, True
        elif self.untidy:
            self.untidy = False
            hand_back()


def serve(
    store: Store,
    *,
    host: str = "127.0.0.1",
    port: int = PORT,
    out: TextIO | None = None,
    ready: Callable[[str], None] | None = None,
) -> None:
    """Serve the pages of a store until interrupted.

    Parameters
    ----------
    store : Store
        The books.
    host, port : str and int
        Where to listen; port 0 takes any that is free.
    out : text stream, optional
        Where the address is said; standard output if left out.
    ready : callable, optional
        Told the address once pages can be asked for.
    """
    with listening(host, port) as taken:
        import uvicorn

        from gyle.web.app import create_app

        address = f"http://{'[::1]' if host == '::1' else 'localhost'}:{taken.getsockname()[1]}/"
        asked = _Asked(create_app(store))
        settings = uvicorn.Config(
            asked,
            log_level="warning",
            access_log=False,
            server_header=False,
            lifespan="off",
            timeout_graceful_shutdown=2,
            callback_notify=asked.rest,
            timeout_notify=REST_S,
        )
        settle()
        server = uvicorn.Server(settings)
        said = out or sys.stdout
        said.write(f"gyle is at {address}  (Ctrl+C ends it)\n")
        said.flush()
        if ready is not None:
            ready(address)
        # The usual way to end it is no interruption.
        with contextlib.suppress(KeyboardInterrupt):
            server.run(sockets=[taken])
