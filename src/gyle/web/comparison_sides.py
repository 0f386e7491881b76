"""What is compared: a version or a draft of a beer, of another one too, as an address names it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from gyle.books import beers, drafts, versions
from gyle.books.refusals import NotThere
from gyle.errors import BadInput
from gyle.share.sentences import plain
from gyle.web.beer_state import whole_number
from gyle.web.day_words import when_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from gyle.books.beers import Beer
    from gyle.books.drafts import Draft
    from gyle.books.store import Store
    from gyle.books.versions import RecipeVersion

__all__ = ["Side", "choices", "draft_words", "side_of", "side_of_another", "usual_sides"]

_DRAFT = "draft-"
SEARCHED = 100  # beers among which the one of exactly that name is looked for


@attrs.frozen(kw_only=True)
class Side:
    """One of the two."""

    key: str  # as an address says it: "3", "draft-12", "copper-beacon:3"
    words: str
    text: str
    href: str  # where it can be looked at


def side_of(store: Store, beer: Beer, key: str) -> Side:
    """Find what an address names.

    Parameters
    ----------
    store : Store
        The books.
    beer : Beer
        The beer whose page it is.
    key : str
        A version's number, or "draft-" and its number; another beer's slug and a colon may stand before either.

    Raises
    ------
    NotThere
        If there is no such beer, version or draft.
    """
    slug, colon, rest = key.partition(":")
    other = beers.beer(store, slug) if colon and slug != beer.slug else None
    wanted = rest if colon else key
    whose = other or beer
    of = "" if other is None else f"{other.name}, "
    where = "" if other is None else f"{other.slug}:"
    if wanted.startswith(_DRAFT):
        number = whole_number(wanted.removeprefix(_DRAFT))
        found = next((one for one in drafts.drafts_of(store, whose.slug) if one.id == number), None)
        if found is None:
            raise NotThere("that draft is no longer open: it was saved or put aside")
        words = f"{of}the {draft_words(found)}"
        href = f"/beers/{whose.slug}?draft={found.id}"
        return Side(key=f"{where}{_DRAFT}{found.id}", words=words, text=found.text, href=href)
    number = whole_number(wanted)
    if number is None:
        raise NotThere(f"{whose.name} has no such version; its newest is {whose.newest}")
    version = versions.version(store, whose.slug, number)
    href = f"/beers/{whose.slug}?version={version.number}"
    return Side(key=f"{where}{version.number}", words=f"{of}version {version.number}", text=version.text, href=href)


def side_of_another(store: Store, beer: Beer, typed: str) -> str:
    """Return what names the version of another beer that was typed, as "Tram Depot" or "tram-depot:2".

    Raises
    ------
    BadInput
        If no beer, or more than one, is meant.
    """
    wanted = " ".join(plain(typed).split())
    name, colon, number = wanted.rpartition(":")
    if not colon or whole_number(number.strip()) is None:
        name, number = wanted, ""
    try:
        found = beers.beer(store, name)
    except NotThere:
        meant = beers.shelf(store, search=name, count=SEARCHED)
        exact = [one for one in meant.beers if one.name.casefold() == name.casefold()]
        chosen = exact if len(exact) == 1 else list(meant.beers)
        if not chosen or not name:
            raise BadInput(f"there is no beer {_quoted(name)} on the shelf; write the name of one") from None
        if len(chosen) > 1:
            raise BadInput(
                f"{meant.total} beers have {_quoted(name)} in their name; write more of it, or what its address says"
            ) from None
        found = beers.beer(store, chosen[0].slug)
    at = number.strip() or str(found.newest)
    return side_of(store, beer, f"{found.slug}:{at}").key


def choices(
    beer: Beer, family: Sequence[RecipeVersion], open_drafts: Sequence[Draft], *sides: Side
) -> tuple[tuple[str, str], ...]:
    """Return what can be chosen, each as an address says it and in words; what is chosen already is among it."""
    found = {one.key: one.words for one in sides}
    own = {f"{_DRAFT}{one.id}": draft_words(one) for one in open_drafts}
    own |= {str(one.number): f"version {one.number}" + (f" – {_short(one.why)}" if one.why else "") for one in family}
    return tuple({**own, **{key: words for key, words in found.items() if key not in own}}.items())


def draft_words(draft: Draft) -> str:
    """Return what a draft is called: what it was made from, what was last edited in it, and when."""
    last = draft.undoable
    said = "not edited yet" if last is None else _short(last.said)
    return f"draft from version {draft.base}: {said} ({when_words(draft.touched_at).removeprefix('on ')})"


def usual_sides(family: Sequence[RecipeVersion], open_drafts: Sequence[Draft]) -> tuple[str, str]:
    """Return what is compared where nobody chose: a draft with its base, else the newest with its parent."""
    if open_drafts:
        return str(open_drafts[0].base), f"{_DRAFT}{open_drafts[0].id}"
    newest = family[0]
    return str(newest.parent if newest.parent is not None else newest.number), str(newest.number)


def _short(why: str) -> str:
    return why if len(why) <= 60 else why[:59].rstrip() + "…"


def _quoted(name: str) -> str:
    line = " ".join(name.split())
    return f"“{line[:40]}{'…' if len(line) > 40 else ''}”"
