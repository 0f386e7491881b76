"""Drafts: unsaved work on a beer, kept step by step so that it outlives a closed tab.

Each change says which step it saw. Where the draft has moved on since, the change goes to a new draft beside it, so
that two tabs never overwrite each other. Texts go in these cases only: a new step after an undo drops the undone ones,
the oldest steps go where there are more than are kept, and a draft that is saved or dropped goes with its steps.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any, Literal

import attrs
from sqlalchemy import Connection, Row, delete, func, insert, select, update

from gyle.books import schema
from gyle.books.draft_rows import (
    Draft,
    Step,
    add_step,
    begin,
    close,
    draft_of,
    draft_row,
    held_text,
    open_drafts,
    open_row,
    write_step,
)
from gyle.books.refusals import MovedOn
from gyle.books.slugs import LARGEST_NUMBER, checked_number, checked_slug
from gyle.books.store import Store
from gyle.books.versions import RecipeVersion, beer_row, find_version, record_version
from gyle.books.wording import checked_text

__all__ = [
    "Draft",
    "Forked",
    "Step",
    "append_step",
    "draft",
    "drafts_of",
    "drop",
    "open_draft",
    "redo",
    "save_draft",
    "saved_as",
    "shape_on",
    "step_text",
    "undo",
]

_drafts, _steps, _beers = schema.drafts, schema.draft_steps, schema.beers


@attrs.frozen(kw_only=True)
class Forked:
    """An edit that went to a new draft, because the one it was meant for had moved on."""

    draft: Draft  # the new one, with the edit
    other: Draft | None  # the one that had moved on, None if it is closed
    saved_as: int | None = None  # the version that one became, if it was saved


def open_draft(
    store: Store, beer_slug: str, *, base: int | None = None, brewhouse: str | None = None, text: str | None = None,
    said: str = "",
) -> Draft:  # fmt: skip
    """Open a new draft of a beer, beside any that are open.

    Parameters
    ----------
    store : Store
        The store.
    beer_slug : str
        The beer.
    base : int, optional
        The version it begins from; the newest where none is given.
    brewhouse : str, optional
        Slug of the brewhouse it is shaped on; the base version's where none is given.
    text, said : str, optional
        A first step.

    Raises
    ------
    NotThere
        If there is no such beer or version.
    BadInput
        If the text is too long or holds control characters.
    StoreError
        If the store cannot be written.
    """
    with store.writing() as connection:
        beer = beer_row(connection, beer_slug)
        made = begin(connection, find_version(connection, beer, base), beer.id, brewhouse=brewhouse)
        if text is not None:
            add_step(connection, made, text=checked_text(text, "the recipe"), said=said)
        return draft_of(connection, made)


def draft(store: Store, draft_id: int) -> Draft:
    """Return an open draft.

    Raises
    ------
    NotThere
        If there is none, or it was saved or dropped; the sentence says which.
    StoreError
        If the store cannot be read.
    """
    with store.reading() as connection:
        return draft_of(connection, open_row(connection, draft_id).id)


def drafts_of(store: Store, beer_slug: str) -> tuple[Draft, ...]:
    """Return the open drafts of a beer, the last touched first; raises as `draft` does."""
    with store.reading() as connection:
        return open_drafts(connection, beer_row(connection, beer_slug).id)


def step_text(store: Store, draft_id: int, number: int) -> str:
    """Return the text of one step of an open draft; raises as `draft` does."""
    with store.reading() as connection:
        return held_text(connection, open_row(connection, draft_id).id, checked_number(number + 1, "step") - 1)


def append_step(store: Store, draft_id: int, *, seen: int, text: str, said: str) -> Draft | Forked:
    """Keep the text after an edit as a new step; steps that were undone are dropped.

    A text that is the one the draft holds already adds nothing, so an edit may be sent twice.

    Parameters
    ----------
    store : Store
        The store.
    draft_id : int
        The draft.
    seen : int
        Number of the step the edit was made on. If the draft has moved on from it, was saved or was dropped, the
        edit goes to a new draft, which holds the steps up to that one too.
    text : str
        The whole recipe after the edit.
    said : str
        What was edited, in one line.

    Returns
    -------
    Draft or Forked
        The draft with the step, or the new draft and the one that had moved on.

    Raises
    ------
    NotThere
        If there never was such a draft.
    BadInput
        If the text is too long or holds control characters.
    StoreError
        If the store cannot be written.
    """
    kept = checked_text(text, "the recipe")
    with store.writing() as connection:
        row = draft_row(connection, draft_id)
        if row.closed_at is not None:
            return _beside_a_closed(connection, row, seen=seen, text=kept, said=said)
        if held_text(connection, row.id, row.pointer) == kept:
            return draft_of(connection, row.id)
        seen = min(max(seen, -1), LARGEST_NUMBER)
        if seen == row.pointer:
            add_step(connection, row.id, text=kept, said=said)
            return draft_of(connection, row.id)
        made = _sent_before(connection, row, kept) or _fork(connection, row, seen=seen, text=kept, said=said)
        return Forked(draft=draft_of(connection, made), other=draft_of(connection, row.id))


def undo(store: Store, draft_id: int, *, seen: int) -> Draft:
    """Take the last step back; where there is none, nothing changes.

    Raises
    ------
    MovedOn
        If the draft is no longer at the step that was seen.
    NotThere
        If there is no such draft, or it is closed.
    StoreError
        If the store cannot be written.
    """
    return _move(store, draft_id, seen=seen, way="undo")


def redo(store: Store, draft_id: int, *, seen: int) -> Draft:
    """Bring the step after this one back; where there is none, nothing changes; raises as `undo` does."""
    return _move(store, draft_id, seen=seen, way="redo")


def shape_on(store: Store, draft_id: int, brewhouse: str | None) -> Draft:
    """Note on which brewhouse a draft is shaped from now on; raises as `draft` does."""
    with store.writing() as connection:
        row = open_row(connection, draft_id)
        slug = None if brewhouse is None else checked_slug(brewhouse, "brewhouse")
        connection.execute(update(_drafts).where(_drafts.c.id == row.id).values(brewhouse=slug))
        return draft_of(connection, row.id)


def drop(store: Store, draft_id: int, *, seen: int) -> None:
    """Give a draft up with all its steps; one that is dropped already stays so.

    Raises
    ------
    MovedOn
        If the draft is no longer at the step that was seen.
    NotThere
        If there is no such draft, or it was saved.
    StoreError
        If the store cannot be written.
    """
    with store.writing() as connection:
        row = draft_row(connection, draft_id)
        if row.closed_at is not None and row.saved_as is None:
            return
        _unmoved(connection, open_row(connection, draft_id), seen=seen, deed="dropped")
        close(connection, row, saved_as=None)


def save_draft(
    store: Store, draft_id: int, *, seen: int, why: str = "", summary: Mapping[str, Any] | None = None
) -> RecipeVersion:
    """Make a version of a draft and close it, both or neither; asked twice, it is saved once.

    Raises
    ------
    MovedOn
        If the draft is no longer at the step that was seen.
    NotThere
        If there is no such draft, or it was dropped.
    BadInput
        If `why` is too long or holds control characters.
    StoreError
        If the store cannot be written.
    """
    with store.writing() as connection:
        row = draft_row(connection, draft_id)
        beer = connection.execute(select(_beers).where(_beers.c.id == row.beer_id)).one()
        if row.saved_as is not None and row.pointer == seen:
            return find_version(connection, beer, row.saved_as)
        _unmoved(connection, open_row(connection, draft_id), seen=seen, deed="saved")
        saved = record_version(
            connection, beer, text=held_text(connection, row.id, row.pointer), parent=row.base, why=why,
            brewhouse=row.brewhouse, summary=summary,
        )  # fmt: skip
        close(connection, row, saved_as=saved.number)
        return saved


def saved_as(store: Store, draft_id: int) -> int | None:
    """Return the version a draft was saved as, None for one that is open or was dropped.

    Raises
    ------
    NotThere
        If there never was such a draft.
    StoreError
        If the store cannot be read.
    """
    with store.reading() as connection:
        number: int | None = draft_row(connection, draft_id).saved_as
    return number


def _fork(connection: Connection, row: Row[Any], *, seen: int, text: str, said: str) -> int:
    """Write a draft with the steps up to the one that was seen, as far as they are still there, and a new one."""
    base = _base(connection, row)
    made = begin(connection, base, row.beer_id, brewhouse=row.brewhouse, forked_from=row.id)
    connection.execute(delete(_steps).where(_steps.c.draft_id == made))
    copied = ("number", "text", "characters", "said", "made_at")
    kept = select(*(_steps.c[name] for name in copied)).where(_steps.c.draft_id == row.id, _steps.c.number <= seen)
    older = connection.execute(kept.order_by(_steps.c.number)).mappings().all()
    if older:
        connection.execute(insert(_steps), [{**step, "draft_id": made} for step in older])
    else:  # every step up to that one has gone
        write_step(connection, made, 0, text=base.text, said="", now=datetime.now(UTC))
    at = max((step["number"] for step in older), default=0)
    connection.execute(update(_drafts).where(_drafts.c.id == made).values(pointer=at, last=at))
    add_step(connection, made, text=text, said=said)
    return made


def _base(connection: Connection, row: Row[Any], number: int | None = None) -> RecipeVersion:
    beer = connection.execute(select(_beers).where(_beers.c.id == row.beer_id)).one()
    return find_version(connection, beer, row.base if number is None else number)


def _sent_before(connection: Connection, row: Row[Any], text: str) -> int | None:
    """Return the fork that an edit sent for the second time made the first time."""
    holding = _steps.c.number == _drafts.c.pointer
    found: int | None = connection.scalar(
        select(func.max(_drafts.c.id))
        .join(_steps, (_steps.c.draft_id == _drafts.c.id) & holding)
        .where(_drafts.c.forked_from == row.id, _drafts.c.closed_at.is_(None), _steps.c.text == text)
    )
    return found


def _beside_a_closed(connection: Connection, row: Row[Any], *, seen: int, text: str, said: str) -> Forked:
    """Keep an edit that was meant for a draft already saved or dropped."""
    made = _sent_before(connection, row, text)
    if made is None:
        # What was seen when it was saved is the version itself; anything else began at the old base.
        onto = row.saved_as if row.saved_as is not None and seen == row.pointer else row.base
        base = _base(connection, row, onto)
        made = begin(connection, base, row.beer_id, brewhouse=row.brewhouse, forked_from=row.id)
        add_step(connection, made, text=text, said=said)
    return Forked(draft=draft_of(connection, made), other=None, saved_as=row.saved_as)


def _unmoved(connection: Connection, row: Row[Any], *, seen: int, deed: str) -> None:
    if seen != row.pointer:
        raise MovedOn(
            f"the draft has moved on in another tab, so it was not {deed}; look at what it holds now and try again",
            newest=draft_of(connection, row.id),
        )


def _move(store: Store, draft_id: int, *, seen: int, way: Literal["undo", "redo"]) -> Draft:
    with store.writing() as connection:
        row = open_row(connection, draft_id)
        _unmoved(connection, row, seen=seen, deed=f"changed by {way}")
        near = (
            select(func.max(_steps.c.number)).where(_steps.c.number < row.pointer)
            if way == "undo"
            else select(func.min(_steps.c.number)).where(_steps.c.number > row.pointer)
        )
        to = connection.scalar(near.where(_steps.c.draft_id == row.id))
        if to is not None:
            now = datetime.now(UTC)
            connection.execute(update(_drafts).where(_drafts.c.id == row.id).values(pointer=to, touched_at=now))
            connection.execute(update(_beers).where(_beers.c.id == row.beer_id).values(touched_at=now))
        return draft_of(connection, row.id)
