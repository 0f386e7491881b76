"""A draft's rows: what it holds, and how a step is written, inside a transaction of its caller."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import attrs
from sqlalchemy import ColumnElement, Connection, Row, delete, insert, select, update

from gyle.books import schema
from gyle.books.refusals import NotThere
from gyle.books.slugs import checked_number, checked_slug
from gyle.books.versions import RecipeVersion
from gyle.books.wording import said_line

__all__ = [
    "Draft",
    "Step",
    "add_step",
    "begin",
    "close",
    "draft_of",
    "draft_row",
    "held_text",
    "open_drafts",
    "open_row",
    "write_step",
]

MOST_STEPS = 500
MOST_CHARACTERS = 16_000_000  # of all steps of a draft

_drafts, _steps, _beers = schema.drafts, schema.draft_steps, schema.beers


@attrs.frozen(kw_only=True)
class Step:
    """One step of a draft."""

    number: int  # 0 is the base version's text; a number is never given twice
    said: str  # what was edited, in one line; empty for step 0
    made_at: datetime  # UTC


@attrs.frozen(kw_only=True)
class Draft:
    """Unsaved work on a beer."""

    id: int
    beer: str  # the beer's slug
    base: int  # the version it began from
    brewhouse: str | None  # slug of the brewhouse it is shaped on
    steps: tuple[Step, ...]  # in order; those after the pointer are undone
    pointer: int  # number of the step that holds: what an edit says it saw
    text: str  # of that step
    forked_from: int | None  # id of the draft it was forked from
    made_at: datetime  # UTC
    touched_at: datetime  # UTC

    @property
    def undoable(self) -> Step | None:
        """The step that `undo` would take back, None if there is none."""
        now = self._place()
        return self.steps[now] if now > 0 else None

    @property
    def redoable(self) -> Step | None:
        """The step that `redo` would bring back, None if there is none."""
        now = self._place()
        return self.steps[now + 1] if now + 1 < len(self.steps) else None

    def _place(self) -> int:
        return next(i for i, step in enumerate(self.steps) if step.number == self.pointer)


def draft_row(connection: Connection, draft_id: int) -> Row[Any]:
    row = connection.execute(select(_drafts).where(_drafts.c.id == checked_number(draft_id, "draft"))).first()
    if row is None:
        raise NotThere("there is no such draft in the store")
    return row


def open_row(connection: Connection, draft_id: int) -> Row[Any]:
    row = draft_row(connection, draft_id)
    if row.closed_at is not None:
        became = f"saved as version {row.saved_as}" if row.saved_as is not None else "dropped"
        raise NotThere(f"the draft was {became} and is no longer open")
    return row


def held_text(connection: Connection, draft_id: int, number: int) -> str:
    text: str | None = connection.scalar(
        select(_steps.c.text).where(_steps.c.draft_id == draft_id, _steps.c.number == number)
    )
    return _held(text)


def _held(text: str | None) -> str:
    if text is None:
        raise NotThere("the draft no longer holds that step")
    return text


def draft_of(connection: Connection, draft_id: int) -> Draft:
    (found,) = _drafts_where(connection, _drafts.c.id == draft_id)
    return found


def open_drafts(connection: Connection, beer_id: int) -> tuple[Draft, ...]:
    """Return the open drafts of a beer, the last touched first."""
    return _drafts_where(connection, (_drafts.c.beer_id == beer_id) & _drafts.c.closed_at.is_(None))


def _drafts_where(connection: Connection, wanted: ColumnElement[bool]) -> tuple[Draft, ...]:
    held = (_steps.c.draft_id == _drafts.c.id) & (_steps.c.number == _drafts.c.pointer)
    rows = connection.execute(
        select(_drafts, _beers.c.slug, _steps.c.text)
        .join(_beers, _beers.c.id == _drafts.c.beer_id)
        .outerjoin(_steps, held)
        .where(wanted)
        .order_by(_drafts.c.touched_at.desc(), _drafts.c.id.desc())
    ).all()
    steps: dict[int, list[Step]] = {row.id: [] for row in rows}
    if rows:
        query = select(_steps.c.draft_id, _steps.c.number, _steps.c.said, _steps.c.made_at)
        of = _steps.c.draft_id.in_(steps)
        for step in connection.execute(query.where(of).order_by(_steps.c.draft_id, _steps.c.number)):
            steps[step.draft_id].append(Step(number=step.number, said=step.said, made_at=step.made_at))
    return tuple(_draft(row, steps[row.id]) for row in rows)


def _draft(row: Row[Any], steps: list[Step]) -> Draft:
    return Draft(
        id=row.id,
        beer=row.slug,
        base=row.base,
        brewhouse=row.brewhouse,
        steps=tuple(steps),
        pointer=row.pointer,
        text=_held(row.text),
        forked_from=row.forked_from,
        made_at=row.made_at,
        touched_at=row.touched_at,
    )


def begin(
    connection: Connection, base: RecipeVersion, beer_id: int, *, brewhouse: str | None, forked_from: int | None = None
) -> int:
    """Write a draft that holds the text of its base and no step yet."""
    now = datetime.now(UTC)
    slug = base.brewhouse if brewhouse is None else checked_slug(brewhouse, "brewhouse")
    made: int = connection.execute(
        insert(_drafts).returning(_drafts.c.id),
        {
            "beer_id": beer_id, "base": base.number, "brewhouse": slug, "pointer": 0, "last": 0,
            "forked_from": forked_from, "made_at": now, "touched_at": now,
        },
    ).scalar_one()  # fmt: skip
    write_step(connection, made, 0, text=base.text, said="", now=now)
    return made


def write_step(connection: Connection, draft_id: int, number: int, *, text: str, said: str, now: datetime) -> None:
    connection.execute(
        insert(_steps),
        {
            "draft_id": draft_id, "number": number, "text": text, "characters": len(text), "said": said_line(said),
            "made_at": now,
        },
    )  # fmt: skip


def add_step(connection: Connection, draft_id: int, *, text: str, said: str) -> None:
    """Write a step behind the pointer, and move the pointer to it."""
    now = datetime.now(UTC)
    row = draft_row(connection, draft_id)
    number = row.last + 1
    connection.execute(delete(_steps).where(_steps.c.draft_id == draft_id, _steps.c.number > row.pointer))
    write_step(connection, draft_id, number, text=text, said=said, now=now)
    connection.execute(
        update(_drafts).where(_drafts.c.id == draft_id).values(pointer=number, last=number, touched_at=now)
    )
    connection.execute(update(_beers).where(_beers.c.id == row.beer_id).values(touched_at=now))
    _keep_within_bounds(connection, draft_id)


def _keep_within_bounds(connection: Connection, draft_id: int) -> None:
    """Let the oldest steps go where there are too many; the last two always stay."""
    sizes = connection.execute(
        select(_steps.c.number, _steps.c.characters)
        .where(_steps.c.draft_id == draft_id)
        .order_by(_steps.c.number.desc())
    ).all()
    characters = 0
    for place, (number, size) in enumerate(sizes):
        characters += size
        if place > MOST_STEPS or (place > 1 and characters > MOST_CHARACTERS):
            connection.execute(delete(_steps).where(_steps.c.draft_id == draft_id, _steps.c.number <= number))
            return


def close(connection: Connection, row: Row[Any], *, saved_as: int | None) -> None:
    connection.execute(delete(_steps).where(_steps.c.draft_id == row.id))
    connection.execute(
        update(_drafts).where(_drafts.c.id == row.id).values(closed_at=datetime.now(UTC), saved_as=saved_as)
    )
