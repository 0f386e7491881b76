"""Open pages, each a hand: which step of a draft a page made last."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from gyle.web.last_few import LastFew

if TYPE_CHECKING:
    from gyle.books.drafts import Draft

__all__ = ["Hands", "hand_of"]

MOST_HANDS = 512
LONGEST_HAND = 64


class Hands:
    """Which step each open page made last: while an answer is under way a page may go on from its own step.

    A page that is typed into faster than it is answered sends what it showed before; its edits follow
    each other all the same, and are not taken for those of another window.
    """

    def __init__(self) -> None:
        self._last: LastFew[str, tuple[int, int]] = LastFew(MOST_HANDS)

    def made(self, hand: str, draft: Draft) -> None:
        """Note a step a page made."""
        if hand:
            self._last.put(hand, (draft.id, draft.pointer))

    def own(self, hand: str, draft: Draft) -> bool:
        """Whether the draft stands where this page left it."""
        return bool(hand) and self._last.get(hand) == (draft.id, draft.pointer)

    def draft_of(self, hand: str) -> int | None:
        """Return the draft a page last worked on, None where it has not yet."""
        last = self._last.get(hand)
        return None if last is None else last[0]


def hand_of(sent: Mapping[str, str]) -> str:
    """Return which open page sent something; empty without a script."""
    return sent.get("hand", "")[:LONGEST_HAND]
