"""The units a person reads, set once at the edge where they are known.

A plan's sentences are made deep inside, where the equations found what to say; handing every one of them a
system of units would touch every signature on the way. The edge (command line, a page's request) sets it here
for its own context; nothing but text depends on it.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

__all__ = ["speak", "speaking", "spoken"]

_SPOKEN: ContextVar[str] = ContextVar("spoken", default="metric")


def spoken() -> str:
    """Return the system of units of this context: "metric" or "us"."""
    return _SPOKEN.get()


def speak(system: str) -> None:
    """Set the system of units for the rest of this context."""
    _SPOKEN.set(system)


@contextmanager
def speaking(system: str) -> Iterator[None]:
    """Set the system of units for a while."""
    token = _SPOKEN.set(system)
    try:
        yield
    finally:
        _SPOKEN.reset(token)
