"""A word on the terminal while something takes longer than a moment."""

from __future__ import annotations

import contextlib
import sys
import threading
from collections.abc import Callable, Iterator
from typing import Any

__all__ = ["waiting"]

A_MOMENT_S = 0.8


@contextlib.contextmanager
def waiting(words: str) -> Iterator[Callable[[str], None]]:
    """Show what is being done if it lasts; gives a function to be told what is being tried.

    Only on a terminal, and on stderr, so that nothing of it reaches a file or a pipe.
    """
    err = sys.stderr
    if err is None or not err.isatty():
        yield lambda _: None
        return
    now = {"words": words}
    lock = threading.Lock()
    shown: list[Any] = []
    over = threading.Event()

    def begin() -> None:
        from rich.console import Console

        with lock:
            if over.is_set():
                return
            status = Console(file=err, markup=False, highlight=False).status(now["words"], spinner="line")
            status.start()
            shown.append(status)

    def change(said: str) -> None:
        with lock:
            now["words"] = f"{words}: {said}"
            for status in shown:
                status.update(now["words"])

    timer = threading.Timer(A_MOMENT_S, begin)
    timer.daemon = True
    timer.start()
    try:
        yield change
    finally:
        timer.cancel()
        with lock:
            over.set()
            for status in shown:
                status.stop()
