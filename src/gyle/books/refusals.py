"""What the store refuses although it is well: a thing that is not there, and a change to what has moved on."""

from __future__ import annotations

from typing import Protocol

from gyle.errors import BadInput

__all__ = ["MovedOn", "NotThere", "Standing"]


class Standing(Protocol):
    """What stands in the store: a paper or a draft."""

    @property
    def text(self) -> str:
        """Return its whole text."""


class NotThere(BadInput):
    """What was asked for is not in the store; a page answers 404."""


class MovedOn(BadInput):
    """What was to be changed has been changed elsewhere since it was seen; nothing was changed, a page answers 409.

    Parameters
    ----------
    fault : str
        The sentence.
    newest : Standing or None
        What stands in the store now; None for a draft that is closed.
    mine : str, optional
        The text that was to be saved, so that both can be kept.
    """

    def __init__(self, fault: str, *, newest: Standing | None = None, mine: str | None = None) -> None:
        super().__init__(fault)
        self.newest = newest
        self.mine = mine
