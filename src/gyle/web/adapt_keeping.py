"""Keeping an adaptation: as a new beer on the shelf, or as a new version of the beer it was made from.

The same form sent again, by whoever went back to it or pressed twice, leads to what the first one made.
"""

from __future__ import annotations

import hashlib
import threading
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

import attrs

from gyle.books import beers, versions
from gyle.books.wording import NAME_LENGTH, said_line
from gyle.errors import BadInput
from gyle.share.sentences import as_sentence
from gyle.web.adapt_results import elsewhere_name
from gyle.web.adapt_view import came_of

if TYPE_CHECKING:
    from gyle.books.store import Store
    from gyle.web.adapt_results import Adapted
    from gyle.web.beer_state import BeerState

__all__ = ["Keeping", "as_beer", "as_version", "keep_view", "mark_of"]

LONGEST_SHOWN = 500  # characters of a field that are shown again
_keeping = threading.Lock()  # what is sent twice at once is kept once
Summarise = Callable[[str], Mapping[str, Any]]


@attrs.frozen(kw_only=True)
class Keeping:
    """The form that keeps a result: what was typed into it and what is wrong with that."""

    name: str | None = None
    why: str | None = None
    faults: Mapping[str, str] = attrs.field(factory=dict)  # by field
    told: str = ""


def mark_of(adapted: Adapted) -> str:
    """Return a mark of the text a result would be kept as: what is kept must be what was seen."""
    return hashlib.blake2b(adapted.text().encode(), digest_size=8).hexdigest()


def keep_view(state: BeerState, adapted: Adapted, keeping: Keeping) -> dict[str, Any]:
    """Return what the form shows."""
    return {
        "mark": mark_of(adapted),
        "name": elsewhere_name(adapted) if keeping.name is None else keeping.name[:LONGEST_SHOWN],
        "why": came_of(adapted) if keeping.why is None else keeping.why[:LONGEST_SHOWN],
        "faults": {field: keeping.faults.get(field, "") for field in ("name", "why")},
        "told": keeping.told,
        "next": state.beer.newest + 1,
        # Whoever looks at the recipe later brews it with the water of that brewhouse.
        "other_water": "" if adapted.wish.water is None else adapted.wish.water.name,
    }


def as_beer(store: Store, state: BeerState, adapted: Adapted, *, name: str, summarise: Summarise) -> str | Keeping:
    """Put the result on the shelf.

    Parameters
    ----------
    store : Store
        The books.
    state : BeerState
        The beer it was made from.
    adapted : Adapted
        The result.
    name : str
        As it was typed.
    summarise : callable
        Gives the headline figures of a text.

    Returns
    -------
    str or Keeping
        Where to look at it, or the form with its fault.
    """
    called = " ".join(name.split())
    try:
        if not called:
            raise BadInput("the new beer needs a name; nothing was saved")
        if len(called) > NAME_LENGTH:
            raise BadInput(f"the name has {len(called):,} characters, and at most {NAME_LENGTH} are kept")
        if not called.isprintable():
            raise BadInput("the name holds a character that cannot be printed; write it with letters and signs")
        text = adapted.text(name=called)
        of = f"version {state.base.number} of {state.beer.name}"
        with _keeping:
            if (there := _made_before(store, called, text)) is not None:
                return f"/beers/{there}?version=1"
            made = beers.add_beer(
                store,
                text=text,
                why=said_line(f"From {of if state.draft is None else f'a draft after {of}'}. {came_of(adapted)}"),
                brewhouse=adapted.wish.slug,
                summary=summarise(text),
            )
    except BadInput as error:
        return Keeping(name=name, faults={"name": as_sentence(error.faults[0])})
    return f"/beers/{made.slug}?version=1&saved=1"


def _made_before(store: Store, name: str, text: str) -> str | None:
    """Return the slug of a beer of this name that began with this very text."""
    for one in beers.shelf(store, search=name, count=beers.LARGEST_PAGE).beers:
        if one.name == name and versions.version(store, one.slug, 1).text == text:
            return one.slug
    return None


def as_version(store: Store, state: BeerState, adapted: Adapted, *, why: str, summarise: Summarise) -> str | Keeping:
    """Save the result as the next version; `why` is the line typed beside it. Returns as `as_beer` does."""
    text = adapted.text()
    try:
        with _keeping:
            for one in versions.versions(store, state.beer.slug):
                if (one.parent, one.text, one.why) == (state.base.number, text, " ".join(why.split())):
                    return f"{state.home}?version={one.number}"
            saved = versions.save_version(
                store,
                state.beer.slug,
                text=text,
                parent=state.base.number,
                why=why,
                brewhouse=adapted.wish.slug,
                summary=summarise(text),
            )
    except BadInput as error:
        return Keeping(why=why, faults={"why": as_sentence(error.faults[0])})
    beside = "" if saved.parent == saved.number - 1 else "&beside=1"
    return f"{state.home}?version={saved.number}&saved=1{beside}"
