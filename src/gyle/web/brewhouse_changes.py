"""What was changed of a brewhouse, in words; and the way back from its last change, which is a revision more."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from gyle.beer.brewhouse_edits import where_words
from gyle.beer.brewhouse_inputs import BrewhouseInput, brewhouse_inputs, stated_at
from gyle.beer.brewhouse_places import place_at
from gyle.beer.page import parsed
from gyle.beer.reading import brewhouse_from_text
from gyle.books import brewhouses
from gyle.errors import BadInput
from gyle.share.sentences import as_sentence
from gyle.web.day_words import when_words

if TYPE_CHECKING:
    from collections.abc import Mapping

    from gyle.books.papers import Paper
    from gyle.books.store import Store

__all__ = ["LastChange", "change_since", "figures_of", "last_change", "touched", "undone"]

_MOST_WORDS = 90  # of a button: a long text is cut


@attrs.frozen(kw_only=True)
class LastChange:
    """What a revision of a brewhouse made of an earlier one."""

    words: str  # "boil-off 3 L/h to 3.9 L/h"
    again: str  # in a sentence, once it is undone
    address: str  # of the one figure it was about; "" for several, or none
    when: str
    figures: int = 0  # how many were changed

    @property
    def undone(self) -> tuple[str, ...]:
        """What is told once it is undone."""
        return as_sentence(f"undone: {self.words}"), as_sentence(self.again)


def figures_of(paper: Paper, system: str) -> dict[str, BrewhouseInput]:
    """Return every figure of a brewhouse by its address.

    Raises
    ------
    BadInput
        If its text does not read.
    """
    house = brewhouse_from_text(paper.text, name=paper.name)
    return {one.address: one for one in brewhouse_inputs(paper.text, house, system)}


def touched(then: BrewhouseInput, now: BrewhouseInput) -> bool:
    """Whether somebody edited a figure; that its kind says another number is nobody's edit."""
    if not then.stated and not now.stated:
        return False
    return (then.stated, then.value, then.spread, then.each_time, then.source_text) != (
        now.stated, now.value, now.spread, now.each_time, now.source_text
    )  # fmt: skip


def last_change(store: Store, paper: Paper, *, system: str) -> LastChange | None:
    """Return what the last change of a brewhouse was, None where it was never changed.

    Parameters
    ----------
    store : Store
        The books.
    paper : Paper
        A revision of it.
    system : {"metric", "us"}
        The person's units.
    """
    if paper.parent is None:
        return None
    return change_since(store, paper, number=paper.parent, system=system)


def change_since(store: Store, paper: Paper, *, number: int, system: str) -> LastChange:
    """Return what was changed of a brewhouse since an earlier revision, as one change; raises `NotThere`."""
    when = when_words(paper.made_at)
    before = brewhouses.brewhouse(store, paper.slug, number=number)
    try:
        then, now = figures_of(before, system), figures_of(paper, system)
    except BadInput:  # one of them is from another time, and does not read as it did
        return LastChange(words="its text", again="its text stands as it did before", address="", when=when)
    return _change(then, now, _written_otherwise(before, paper, now), when)


def _written_otherwise(before: Paper, after: Paper, figures: Mapping[str, BrewhouseInput]) -> list[str]:
    """The addresses of what two texts say differently; a spread that follows from another figure is not said."""
    old, new = parsed(before.text, before.name), parsed(after.text, after.name)
    places = {address: place for address in figures if (place := place_at(address)) is not None}
    moved = [address for address, place in places.items() if stated_at(old, place) != stated_at(new, place)]
    one_vessel = {"mash.vessel", "kettle.vessel"}
    if one_vessel <= set(moved) and figures["mash.vessel"].value == figures["kettle.vessel"].value:
        moved.remove("mash.vessel")
    return moved


def _change(
    then: Mapping[str, BrewhouseInput], now: Mapping[str, BrewhouseInput], moved: list[str], when: str
) -> LastChange:
    moved = [address for address in moved if address in then]
    if not moved:  # a comment, or what no page shows
        return LastChange(words="its text", again="its text stands as it did before", address="", when=when)
    first = moved[0]
    words, more = _words(then[first], now[first]), len(moved) - 1
    if more:
        words += f" and {more} more {'figure' if more == 1 else 'figures'}"
        return LastChange(words=words, again="they stand as they did before", address="", when=when, figures=len(moved))
    was = then[first].value_words
    again = f"{_short(where_words(then[first]))} is {_short(was)} again" if was else "it is not stated again"
    return LastChange(words=words, again=again, address=first, when=when, figures=1)


def _words(then: BrewhouseInput, now: BrewhouseInput) -> str:
    """What was changed of one figure, the value before all else."""
    where = where_words(now)
    if then.stated and not now.stated:
        return f"{where} {_short(then.value_words)} taken back to its kind"
    if then.value != now.value:
        return f"{where} {_short(then.value_words) or 'nothing'} to {_short(now.value_words) or 'nothing'}"
    for label, was, is_now in (
        ("give or take", then.spread, now.spread),
        ("gyle to gyle", then.each_time, now.each_time),
        ("where from", then.source_text, now.source_text),
    ):
        if was != is_now:
            return f"{where}, {label}: {_short(was) or 'nothing'} to {_short(is_now) or 'nothing'}"
    return f"{where} {_short(now.value_words)}, now stated"


def _short(text: str) -> str:
    line = " ".join(text.split())
    return line if len(line) <= _MOST_WORDS else line[: _MOST_WORDS - 1].rstrip() + "…"


def undone(store: Store, now: Paper, *, seen: int | None, system: str) -> LastChange:
    """Put the text of the revision before the newest back, as a revision of its own; return what was undone.

    Parameters
    ----------
    store : Store
        The books.
    now : Paper
        The newest revision.
    seen : int or None
        Number of the revision the page showed.
    system : {"metric", "us"}
        The person's units.

    Raises
    ------
    BadInput
        If there is nothing to undo, or it was changed elsewhere since it was seen (`MovedOn` where that happens
        at this moment), or the former text does not read any more; nothing is changed then.
    """
    change = last_change(store, now, system=system)
    if change is None or now.parent is None:
        raise BadInput(f"{now.name} stands as it was made, so there is nothing to undo")
    if seen != now.number:
        raise BadInput(
            f"{now.name} was changed elsewhere since you saw it, so nothing was undone; the last change is now "
            f"{change.words}"
        )
    former = brewhouses.brewhouse(store, now.slug, number=now.parent)
    try:
        brewhouses.brewhouse_read(store, former)
    except BadInput as error:
        raise BadInput(f"what stood before does not read any more: {fault}" for fault in error.faults) from None
    brewhouses.save_brewhouse(store, now.slug, text=former.text, seen=now.number)
    return change
