"""What is done once however often its form is sent: by going back and sending again, or by a double click."""

from __future__ import annotations

import hashlib
import secrets
import threading
from collections.abc import Callable

import attrs

from gyle.web.last_few import LastFew

__all__ = ["Once", "fresh_token"]

KEPT = 512


def fresh_token() -> str:
    """Return what a form carries so that it is known again."""
    return secrets.token_urlsafe(12)


@attrs.define(eq=False)
class _Deed:
    lock: threading.Lock = attrs.field(factory=threading.Lock)
    made: str = ""


class Once:
    """Deeds by the form that asked for them and what was written in it, until gyle is ended.

    What is written in a form and sent anew is another deed, so that nothing a person writes is passed over.

    Parameters
    ----------
    kept : int
        How many are known again.
    """

    def __init__(self, kept: int = KEPT) -> None:
        self._deeds: LastFew[str, _Deed] = LastFew(kept)

    def done(self, token: str, content: str, do: Callable[[], str]) -> tuple[str, bool]:
        """Do something, unless it was done before.

        Parameters
        ----------
        token : str
            What the form carried; empty for one that carried nothing, whose deed is always done.
        content : str
            What was written in it.
        do : callable
            Does it; returns the name of what was made.

        Returns
        -------
        tuple of str and bool
            The name of what was made, and whether that was before.
        """
        if not token:
            return do(), False
        key = hashlib.sha256(f"{token}\0{content}".encode("utf-8", "replace")).hexdigest()
        deed = self._deeds.settle(key, _Deed)
        with deed.lock:  # who sends it twice at once waits for the first
            if deed.made:
                return deed.made, True
            deed.made = do()
            return deed.made, False
