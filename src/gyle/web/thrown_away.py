"""Drafts that were thrown away: their texts, for as long as the program runs, so that one can take them back."""

from __future__ import annotations

import secrets
import threading
from collections import OrderedDict
from typing import TYPE_CHECKING

import attrs

if TYPE_CHECKING:
    from gyle.books.drafts import Draft

__all__ = ["Thrown", "ThrownAway"]

MOST_KEPT = 64


@attrs.frozen(kw_only=True)
class Thrown:
    """What a draft held."""

    beer: str  # its slug
    base: int
    text: str


class ThrownAway:
    """The last drafts that were thrown away, each under a name nobody can guess."""

    def __init__(self) -> None:
        self._kept: OrderedDict[str, Thrown] = OrderedDict()
        self._lock = threading.Lock()

    def put(self, draft: Draft) -> str:
        """Keep what a draft holds; return its name."""
        name = secrets.token_urlsafe(9)
        self.put_back(name, Thrown(beer=draft.beer, base=draft.base, text=draft.text))
        return name

    def put_back(self, name: str, thrown: Thrown) -> None:
        """Keep something under the name it had."""
        with self._lock:
            self._kept[name] = thrown
            while len(self._kept) > MOST_KEPT:
                self._kept.popitem(last=False)

    def has(self, name: str, beer: str) -> bool:
        """Whether a draft of a beer is kept under a name."""
        with self._lock:
            found = self._kept.get(name)
        return found is not None and found.beer == beer

    def take(self, name: str, beer: str) -> Thrown | None:
        """Return what is kept under a name, once; None where there is nothing of this beer."""
        with self._lock:
            found = self._kept.get(name)
            return self._kept.pop(name) if found is not None and found.beer == beer else None
