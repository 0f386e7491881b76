"""Memory a server gives back while nobody asks it anything, so that a small board has room for other things."""

from __future__ import annotations

import contextlib
import ctypes
import gc

__all__ = ["hand_back", "settle"]

# Young objects before they are looked through; a page makes some thousands, which go by themselves.
YOUNG = 50_000


def settle() -> None:
    """Leave alone what was made by starting: it stays as long as the program does."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(YOUNG, 20, 20)


def hand_back() -> None:
    """Return to the system what was freed; without it the C library keeps tens of megabytes for the next forecast."""
    with contextlib.suppress(OSError, TypeError, AttributeError):  # glibc's own; elsewhere nothing is to be done
        ctypes.CDLL(None).malloc_trim(0)
