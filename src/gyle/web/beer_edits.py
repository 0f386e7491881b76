"""What a sent page asks for: fields that say something else, a row more or less; done on a draft."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from typing import TYPE_CHECKING

import attrs

from gyle.beer.recipe_edits import Edit, Remove, Set, edited
from gyle.errors import BadInput
from gyle.share.sentences import beside_its_field
from gyle.web.added_rows import added_row
from gyle.web.beer_fields import changed_fields, field_views
from gyle.web.draft_steps import kept_step, text_seen
from gyle.web.hands import hand_of
from gyle.web.moved_rows import moved_place, moved_rows
from gyle.web.readings import inputs_of, recipe_of

if TYPE_CHECKING:
    from gyle.books.drafts import Draft
    from gyle.books.store import Store
    from gyle.web.beer_fields import FieldView
    from gyle.web.beer_state import BeerState
    from gyle.web.hands import Hands

__all__ = ["Outcome", "carried_out"]

FAULTS_SHOWN = 3  # beside one field


@attrs.frozen(kw_only=True)
class Outcome:
    """What became of a sent page."""

    draft: Draft | None
    faults: Mapping[str, str] = attrs.field(factory=dict)  # by place
    typed: Mapping[str, str] = attrs.field(factory=dict)
    told: tuple[str, ...] = ()
    other: int | None = None  # the draft that had moved on
    why: str = ""  # the line on why, typed but not yet saved


def carried_out(
    store: Store, state: BeerState, *, seen: int | None, sent: Mapping[str, str], system: str, hands: Hands
) -> Outcome:
    """Do to a beer's draft what a sent page asks for.

    Parameters
    ----------
    store : Store
        The books.
    state : BeerState
        What the page is about.
    seen : int or None
        The step of the draft the page showed.
    sent : mapping of str to str
        Its fields; "do" names the button, "hand" the open page.
    system : {"metric", "us"}
        The person's units.
    hands : Hands
        What each open page made last.

    Returns
    -------
    Outcome
        The draft as it is now, and a sentence for each field that could not be taken.
    """
    hand = hand_of(sent)
    draft = state.draft
    shown_text = text_seen(store, state, seen)
    views = field_views(inputs_of(store, shown_text), system=system)
    changes = changed_fields(views, sent)
    asked = _asked(sent.get("do", "edit"), system, weighed=any(_is_weighed(view) for view in views.values()))
    if not changes and not asked:
        return Outcome(draft=draft)
    moved_on = draft is not None and seen != draft.pointer and not hands.own(hand, draft)
    onto = shown_text if moved_on else state.text
    told: tuple[str, ...] = ()
    if onto != shown_text:  # its own steps, whose answers the page has not seen yet
        changes, asked, told = _follow(changes, asked, moved_rows(shown_text, onto))
    edits: list[Edit] = [*(Set(place, value) for place, value in changes.items()), *asked]
    text, said, faults = _applied(store, onto, edits, system)
    typed = {place: changes[place] for place in faults if place in changes}
    told = (*told, *(fault for place, fault in faults.items() if place not in changes))
    if not said:
        return Outcome(draft=draft, faults=faults, typed=typed, told=told)
    kept = kept_step(store, state, seen=seen if moved_on else None, text=text, said=said)
    hands.made(hand, kept.draft)
    if draft is None and state.others:
        told = (*told, "Another draft of this beer was open already; these edits are kept beside it.")
    if kept.forked is None:
        return Outcome(draft=kept.draft, faults=faults, typed=typed, told=told)
    became = (
        f"meanwhile it was saved as version {kept.forked.saved_as}"
        if kept.forked.saved_as is not None
        else "meanwhile it was edited in another window"
    )
    told = (*told, f"This draft had moved on: {became}. Your edit is kept as a draft of its own; nothing is lost.")
    other = kept.forked.other.id if kept.forked.other is not None else None
    return Outcome(draft=kept.draft, faults=faults, typed=typed, told=told, other=other)


def _follow(
    changes: Mapping[str, str], asked: list[Edit], moved: Mapping[str, str | None]
) -> tuple[dict[str, str], list[Edit], tuple[str, ...]]:
    """Let edits follow the rows they are of; what was typed into a row that is gone is told."""
    places = {place: moved_place(place, moved) for place in changes}
    followed = {to: changes[place] for place, to in places.items() if to is not None}
    gone = any(to is None for to in places.values())
    buttons: list[Edit] = []
    for edit in asked:
        if not isinstance(edit, Remove):
            buttons.append(edit)
        elif (row := moved_place(edit.row, moved)) is not None:  # else it is out already
            buttons.append(Remove(row))
    return followed, buttons, ("What was typed into a row that had been taken out was left out.",) if gone else ()


def _is_weighed(view: FieldView) -> bool:
    return view.place.startswith("grist.") and view.place.endswith(".amount") and view.plain


def _asked(button: str, system: str, *, weighed: bool) -> list[Edit]:
    """What a button asks for, beside the fields."""
    verb, _, what = button.partition(" ")
    if verb == "remove":
        return [Remove(what)]
    added = added_row(what, system=system, weighed=weighed) if verb == "add" else None
    return [] if added is None else [added]


def _applied(store: Store, text: str, edits: list[Edit], system: str) -> tuple[str, str, dict[str, str]]:
    """Do what can be done; a sentence for what cannot."""
    said: list[str] = []
    faults: dict[str, str] = {}
    # Rows are taken out and added last, so that the places before them hold.
    for edit in edits:
        place = edit.place if isinstance(edit, Set) else "row"
        try:
            done = edited(text, edit, read=functools.partial(recipe_of, store), system=system)
        except BadInput as error:
            faults[place] = " ".join(beside_its_field(fault) for fault in error.faults[:FAULTS_SHOWN])
            continue
        if done is not None:
            text = done.text
            said.append(done.said)
    return text, "; ".join(said), faults
