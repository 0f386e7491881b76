"""The last few of something, by a key, for as long as the program runs and from whatever thread."""

from __future__ import annotations

import secrets
import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager
from typing import Generic, TypeVar

__all__ = ["Held", "LastFew"]

_K = TypeVar("_K", bound=Hashable)
_V = TypeVar("_V")


class LastFew(Generic[_K, _V]):
    """A bounded mapping: what was asked for or put longest ago goes first.

    Parameters
    ----------
    kept : int
        How many are kept.
    """

    def __init__(self, kept: int) -> None:
        self._kept = kept
        self._found: OrderedDict[_K, _V] = OrderedDict()
        self._lock = threading.Lock()

    def get(self, key: _K) -> _V | None:
        """Return what is kept under a key, None where there is nothing."""
        with self._lock:
            if key in self._found:
                self._found.move_to_end(key)
            return self._found.get(key)

    def put(self, key: _K, value: _V) -> _V:
        """Keep something under a key; return it."""
        with self._lock:
            return self._put(key, value)

    def settle(self, key: _K, make: Callable[[], _V]) -> _V:
        """Return what is kept under a key; where there is nothing, what is made for it now."""
        with self._lock:
            return self._put(key, self._found[key] if key in self._found else make())

    def take(self, key: _K) -> _V | None:
        """Return what is kept under a key, and keep it no longer."""
        with self._lock:
            return self._found.pop(key, None)

    def _put(self, key: _K, value: _V) -> _V:
        self._found[key] = value
        self._found.move_to_end(key)
        while len(self._found) > self._kept:
            self._found.popitem(last=False)
        return value


class Held(Generic[_V]):
    """What was taken away, each under a mark nobody can guess, so that it can be put back once.

    Parameters
    ----------
    kept : int
        How many are held.
    """

    def __init__(self, kept: int = 64) -> None:
        self._held: LastFew[str, _V] = LastFew(kept)

    def hold(self, thing: _V) -> str:
        """Hold something; return the mark it is asked for by."""
        mark = secrets.token_urlsafe(9)
        self._held.put(mark, thing)
        return mark

    def look(self, mark: str) -> _V | None:
        """Return what is held, None where it is not or no longer."""
        return self._held.get(mark)

    @contextmanager
    def taken(self, mark: str) -> Iterator[_V | None]:
        """Give what is held and hold it no longer, unless putting it back fails."""
        thing = self._held.take(mark)
        try:
            yield thing
        except BaseException:
            if thing is not None:
                self._held.put(mark, thing)
            raise
