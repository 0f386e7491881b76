"""Record the NumPy calls a computation makes, to replay them alone on the same arrays.

What the replay leaves out is everything that is not NumPy: the plan's own Python. So run over replay says how
much of a plan is bookkeeping.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import numpy as np

__all__ = ["Recorded", "recording", "replay"]

Call = Callable[[], object]
_calls: list[Call] = []
_depth = 0


def _plain(value: Any) -> Any:
    if isinstance(value, Recorded):
        return value.view(np.ndarray)
    if isinstance(value, (tuple, list)):
        return type(value)(_plain(item) for item in value)
    return value


def _marked(value: Any) -> Any:
    if isinstance(value, np.ndarray) and value.dtype == np.float64:
        return value.view(Recorded)
    if isinstance(value, (tuple, list)) and not hasattr(value, "_fields"):
        return type(value)(_marked(item) for item in value)
    return value


class Recorded(np.ndarray):
    """An array that notes each NumPy call it takes part in."""

    def __array_ufunc__(self, ufunc: Any, method: str, *inputs: Any, **kwargs: Any) -> Any:
        plain = [_plain(item) for item in inputs]
        named = {key: _plain(value) for key, value in kwargs.items()}
        call = getattr(ufunc, method)
        _calls.append(lambda: call(*plain, **named))
        return _marked(call(*plain, **named))

    def __array_function__(self, func: Any, types: Any, args: Any, kwargs: Any) -> Any:
        plain = _plain(args)
        named = {key: _plain(value) for key, value in kwargs.items()}
        _calls.append(lambda: func(*plain, **named))
        return _marked(func(*plain, **named))

    def __setitem__(self, key: Any, value: Any) -> None:
        target, where, what = _plain(self), _plain(key), _plain(value)
        _calls.append(lambda: target.__setitem__(where, what))
        target[where] = what

    def copy(self, order: Any = "C") -> Any:
        """Copy, noted."""
        target = _plain(self)
        _calls.append(lambda: target.copy(order))
        return _marked(target.copy(order))


@contextmanager
def recording() -> Iterator[list[Call]]:
    """Note every call on marked arrays; conversions that would strip the mark are made to keep it."""
    _calls.clear()
    kept = np.asarray, np.zeros, np.array
    np.asarray = lambda value, dtype=None, **rest: np.asanyarray(value, dtype=dtype)  # type: ignore[assignment]
    np.zeros = lambda *args, **rest: kept[1](*args, **rest).view(Recorded)  # type: ignore[assignment]
    np.array = lambda value, *args, **rest: _marked(kept[2](_plain(value), *args, **rest))  # type: ignore[assignment]
    try:
        yield _calls
    finally:
        np.asarray, np.zeros, np.array = kept  # type: ignore[assignment]


def replay(calls: list[Call]) -> None:
    """Make the noted calls again."""
    for call in calls:
        call()
