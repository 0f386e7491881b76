"""Serving the pages: the brewer's own books, or Lantern Street's beside them."""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any, TextIO

if TYPE_CHECKING:
    from gyle.books.store import Store

__all__ = ["serve", "serve_demo"]

DEMO_FILE = "lantern-street.db"


def serve(*, host: str, port: int | None, out: TextIO) -> None:
    """Serve the brewer's own books until interrupted."""
    from gyle.books.store import open_store

    with open_store() as store:
        _served(store, host=host, port=port, browser=False, out=out)


def serve_demo(*, port: int | None, browser: bool, out: TextIO) -> None:
    """Serve Lantern Street until interrupted; it has books of its own, which keep what is tried in them."""
    from gyle.books.place import store_file
    from gyle.books.store import open_file
    from gyle.cli.waiting import waiting

    with open_file(store_file().with_name(DEMO_FILE)) as store:
        with waiting("Setting up Lantern Street"):
            _pages("demo").load(store)
        _served(store, host="127.0.0.1", port=port, browser=browser, out=out)


def _pages(module: str) -> Any:
    """A module of the pages' room: commands and pages know nothing of each other, so it is found by its name."""
    return importlib.import_module(f"gyle.web.{module}")


def _served(store: Store, *, host: str, port: int | None, browser: bool, out: TextIO) -> None:
    server = _pages("server")

    def ready(address: str) -> None:
        if browser:
            import threading
            import webbrowser

            # Not at once: the server begins to answer right after this.
            threading.Timer(0.5, webbrowser.open, (address,)).start()

    server.serve(store, host=host, port=server.PORT if port is None else port, out=out, ready=ready)
