"""A text kept as the next step of a beer's draft, whatever became of the draft meanwhile."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from gyle.books import beers, drafts
from gyle.books.drafts import Forked
from gyle.books.refusals import NotThere
from gyle.errors import BadInput
from gyle.share.sentences import as_sentence
from gyle.web.beer_state import beer_state

if TYPE_CHECKING:
    from gyle.books.drafts import Draft
    from gyle.books.store import Store
    from gyle.web.beer_state import BeerState

__all__ = ["KEPT_ASIDE", "KeptStep", "kept_step", "sent_state", "text_seen"]

# What the beer's page says after a page that is not the line has kept a text, by the mark in its address.
KEPT_ASIDE = {
    "again": "This beer was begun with that form already, just as it was sent; nothing was begun twice.",
    "moved": "The draft had moved on meanwhile. What you sent is kept as a draft of its own; nothing is lost.",
    "closed": "The draft was saved or put aside meanwhile. What you sent is kept as a new draft; nothing is lost.",
}


@attrs.frozen(kw_only=True)
class KeptStep:
    """The draft that holds a text now."""

    draft: Draft
    forked: Forked | None = None  # where the draft it was meant for had moved on

    def address(self, home: str, *, closed: str = "") -> str:
        """Where to look at it; `closed` is what `sent_state` said of the draft it was meant for."""
        aside = "&kept=closed" if closed else "&kept=moved" if self.forked is not None else ""
        return f"{home}?draft={self.draft.id}{aside}"


def kept_step(store: Store, state: BeerState, *, seen: int | None, text: str, said: str) -> KeptStep:
    """Keep a text as the next step; a draft is opened where there is none yet.

    Parameters
    ----------
    store : Store
        The books.
    state : BeerState
        The beer, and the draft where there is one.
    seen : int or None
        The step of the draft it was made on, None for the one that holds.
    text, said : str
        The whole recipe, and what was edited in one line.

    Raises
    ------
    BadInput
        If the text cannot be kept.
    """
    if state.draft is None:
        return KeptStep(draft=drafts.open_draft(store, state.beer.slug, base=state.base.number, text=text, said=said))
    at = state.draft.pointer if seen is None else seen
    found = drafts.append_step(store, state.draft.id, seen=at, text=text, said=said)
    return KeptStep(draft=found.draft, forked=found) if isinstance(found, Forked) else KeptStep(draft=found)


def sent_state(store: Store, slug: str, *, base: str | None, draft: str | None) -> tuple[BeerState, str]:
    """Find what a sent page is about, and a sentence where its draft is no longer open.

    Then it is about the version the draft began from, or the newest where the page does not say which.

    Raises
    ------
    NotThere
        If there is no such beer or version.
    """
    try:
        return beer_state(store, slug, version=base, draft=draft), ""
    except NotThere as error:
        if draft is None:
            raise
        version = base or str(beers.beer(store, slug).newest)
        return beer_state(store, slug, version=version), as_sentence(str(error))


def text_seen(store: Store, state: BeerState, seen: int | None) -> str:
    """Return the text a page showed when it was sent; the one that holds where that is no longer known."""
    if state.draft is None or seen is None or seen == state.draft.pointer:
        return state.text
    try:
        return drafts.step_text(store, state.draft.id, seen)
    except BadInput:
        return state.text
