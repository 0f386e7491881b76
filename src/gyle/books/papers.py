"""Papers: the named texts beside the beers (brewhouses, waters, the stock), kept as immutable revisions."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any, Literal

import attrs
from sqlalchemy import Connection, Row, Select, func, insert, select, update

from gyle.books import schema
from gyle.books.refusals import MovedOn, NotThere
from gyle.books.slugs import checked_number, checked_slug, free_slug, slug_of
from gyle.books.store import Store
from gyle.books.wording import checked_name, checked_text, name_in
from gyle.errors import BadInput

__all__ = [
    "Kind",
    "Paper",
    "add_paper",
    "find_paper",
    "paper",
    "papers",
    "papers_mark",
    "record_paper",
    "revisions",
    "save_paper",
]

Kind = Literal["brewhouse", "water", "stock"]

_papers, _revisions = schema.papers, schema.revisions
_row: Select[Any] = select(
    _papers.c.id.label("paper_id"), _papers.c.kind, _papers.c.slug, _papers.c.newest, _revisions.c.id,
    _revisions.c.number, _revisions.c.parent, _revisions.c.name, _revisions.c.text, _revisions.c.made_at,
).join(_revisions, _revisions.c.paper_id == _papers.c.id)  # fmt: skip


@attrs.frozen(kw_only=True)
class Paper:
    """One revision of a named text."""

    kind: str  # brewhouse, water or stock
    slug: str  # stays when the name changes
    name: str
    number: int  # of this revision: what a change says it saw
    parent: int | None  # the revision it was made from; None for the first
    newest: int  # number of the newest revision
    text: str
    made_at: datetime  # UTC; of this revision


def add_paper(store: Store, kind: Kind, *, text: str, name: str | None = None) -> Paper:
    """Add a text under a slug of its own; `name` counts where the text gives none.

    Raises
    ------
    BadInput
        If it has no name, is too long or holds control characters.
    StoreError
        If the store cannot be written.
    """
    with store.writing() as connection:
        return record_paper(connection, kind, text=text, name=name)


def save_paper(store: Store, kind: Kind, slug: str, *, text: str, seen: int) -> Paper:
    """Save the next revision of a text; the same text again changes nothing.

    Parameters
    ----------
    store : Store
        The store.
    kind : str
        What it is.
    slug : str
        Which of them.
    text : str
        The whole new text.
    seen : int
        Number of the revision it was made from.

    Raises
    ------
    MovedOn
        If there is a newer revision than the one that was seen; it carries that one and the text offered.
    NotThere
        If there is no such text.
    BadInput
        If the text is too long or holds control characters.
    StoreError
        If the store cannot be written.
    """
    with store.writing() as connection:
        now = find_paper(connection, kind, slug)
        kept = checked_text(text, f"the {kind}")
        if kept == now.text:
            return now
        if seen != now.number:
            raise MovedOn(
                f"{now.name} was changed elsewhere: you saw revision {seen}, and it is at {now.number}; "
                "nothing was changed, look at both and save again",
                newest=now,
                mine=kept,
            )
        made = {
            "number": now.number + 1,
            "parent": now.number,
            "name": checked_name(name_in(kept) or now.name, f"the name of the {kind}"),
            "text": kept,
            "made_at": datetime.now(UTC),
        }
        this = (_papers.c.kind == kind) & (_papers.c.slug == slug)
        owner = connection.execute(select(_papers.c.id).where(this)).scalar_one()
        connection.execute(insert(_revisions), {"paper_id": owner, **made})
        connection.execute(update(_papers).where(this).values(newest=made["number"], name=made["name"]))
        return find_paper(connection, kind, slug)


def paper(store: Store, kind: Kind, slug: str, *, number: int | None = None) -> Paper:
    """Return one revision of a text, the newest where no number is given.

    Raises
    ------
    NotThere
        If there is no such text or revision.
    StoreError
        If the store cannot be read.
    """
    with store.reading() as connection:
        return find_paper(connection, kind, slug, number=number)


def papers(store: Store, kind: Kind) -> tuple[Paper, ...]:
    """Return the newest revision of every text of a kind, by name.

    Raises
    ------
    StoreError
        If the store cannot be read.
    """
    newest = _row.where(_papers.c.kind == kind, _revisions.c.number == _papers.c.newest)
    with store.reading() as connection:
        found = [_paper_of(row) for row in connection.execute(newest)]
    # In Python, because the two databases put letters in different orders.
    return tuple(sorted(found, key=lambda one: (one.name.casefold(), one.slug)))


def revisions(store: Store, kind: Kind, slug: str) -> tuple[Paper, ...]:
    """Return every revision of a text, the newest first; raises as `paper` does."""
    with store.reading() as connection:
        find_paper(connection, kind, slug)
        rows = connection.execute(
            _row.where(_papers.c.kind == kind, _papers.c.slug == slug).order_by(_revisions.c.number.desc())
        )
        return tuple(_paper_of(row) for row in rows)


def papers_mark(store: Store) -> tuple[int, int]:
    """Return what changes whenever a paper of any kind is written, so that what was read of them may be kept.

    Raises
    ------
    StoreError
        If the store cannot be read.
    """
    # Revisions never go. The count tells of one that was begun before another and written after it.
    with store.reading() as connection:
        count, last = connection.execute(select(func.count(), func.max(_revisions.c.id)).select_from(_revisions)).one()
    return int(count), int(last or 0)


def find_paper(connection: Connection, kind: Kind, slug: str, *, number: int | None = None) -> Paper:
    """Return one revision inside a transaction; see `paper`."""
    wanted = _papers.c.newest if number is None else checked_number(number, f"revision of a {kind}")
    row = connection.execute(
        _row.where(_papers.c.kind == kind, _papers.c.slug == checked_slug(slug, kind), _revisions.c.number == wanted)
    ).first()
    if row is None:
        which = "" if number is None else f" with a revision {number}"
        raise NotThere(f"there is no {kind} {slug}{which} in the store")
    return _paper_of(row)


def record_paper(
    connection: Connection,
    kind: Kind,
    *,
    text: str,
    name: str | None = None,
    slug: str | None = None,
    made_at: datetime | None = None,
) -> Paper:
    """Write a text and its first revision inside a writer's transaction; see `add_paper`."""
    kept = checked_text(text, f"the {kind}")
    called = name_in(kept) or name
    if called is None:
        raise BadInput(f'the {kind} has no name; write name = "..." at its top; nothing was changed')
    called = checked_name(called, f"the name of the {kind}")
    now = made_at or datetime.now(UTC)
    wanted = slug or slug_of(called, otherwise=kind)
    free = free_slug(connection, _papers.c.slug, wanted, _papers.c.kind == kind)
    owner = connection.execute(
        insert(_papers).returning(_papers.c.id),
        {"kind": kind, "slug": free, "name": called, "newest": 1, "made_at": now},
    ).scalar_one()
    connection.execute(
        insert(_revisions),
        {"paper_id": owner, "number": 1, "parent": None, "name": called, "text": kept, "made_at": now},
    )
    return find_paper(connection, kind, free)


def _paper_of(row: Row[Any]) -> Paper:
    return Paper(
        kind=row.kind,
        slug=row.slug,
        name=row.name,
        number=row.number,
        parent=row.parent,
        newest=row.newest,
        text=row.text,
        made_at=row.made_at,
    )
