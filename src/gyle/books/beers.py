"""Beers, and the shelf that shows them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any, NamedTuple

import attrs
from sqlalchemy import Connection, Row, exists, func, insert, select, true

from gyle.books import schema
from gyle.books.slugs import free_slug, slug_of
from gyle.books.store import Store
from gyle.books.versions import beer_row, record_version
from gyle.books.wording import checked_name, folded, name_in
from gyle.errors import BadInput

__all__ = ["Beer", "ByBrewhouse", "Named", "Shelf", "ShelfBeer", "add_beer", "beer", "by_brewhouse",
           "record_beer", "shelf"]  # fmt: skip

LARGEST_PAGE = 200

_beers, _versions, _drafts = schema.beers, schema.versions, schema.drafts


@attrs.frozen(kw_only=True)
class Beer:
    """A beer; what it is like stands in its versions."""

    id: int
    slug: str  # stays when the name changes
    name: str
    newest: int  # number of the newest version
    made_at: datetime  # UTC
    touched_at: datetime  # UTC; when a version or a step of a draft was last kept


@attrs.frozen(kw_only=True)
class ShelfBeer:
    """One beer as the shelf shows it."""

    slug: str
    name: str
    newest: int  # number of the newest version
    saved_at: datetime  # UTC; when the newest version was saved
    touched_at: datetime  # UTC
    summary: Mapping[str, Any]  # headline figures of the newest version
    brewhouse: str | None  # slug of the one it was shaped on
    has_draft: bool


@attrs.frozen(kw_only=True)
class Shelf:
    """A page of the shelf."""

    beers: tuple[ShelfBeer, ...]
    total: int  # of all beers that match


class Named(NamedTuple):
    """A beer by its name."""

    slug: str
    name: str


@attrs.frozen(kw_only=True)
class ByBrewhouse:
    """The beers as one brewhouse sees them, what was last touched first."""

    here: tuple[Named, ...]  # whose newest version is shaped on it
    more: int  # of those, beyond what is listed
    elsewhere: tuple[Named, ...]

    def named(self, slug: str) -> bool:
        """Whether a beer is among them."""
        return any(one.slug == slug for one in (*self.here, *self.elsewhere))


def add_beer(
    store: Store,
    *,
    text: str,
    name: str | None = None,
    why: str = "",
    brewhouse: str | None = None,
    summary: Mapping[str, Any] | None = None,
) -> Beer:
    """Put a new beer on the shelf; the text is its first version.

    Parameters
    ----------
    store : Store
        The store.
    text : str
        The recipe as TOML.
    name : str, optional
        Its name where the text gives none.
    why, brewhouse, summary
        As `gyle.books.versions.save_version` takes them.

    Raises
    ------
    BadInput
        If it has no name, or a text is too long or holds control characters.
    StoreError
        If the store cannot be written.
    """
    with store.writing() as connection:
        return record_beer(connection, text=text, name=name, why=why, brewhouse=brewhouse, summary=summary)


def beer(store: Store, slug: str) -> Beer:
    """Return a beer.

    Raises
    ------
    NotThere
        If there is none of that slug.
    StoreError
        If the store cannot be read.
    """
    with store.reading() as connection:
        return _beer_of(beer_row(connection, slug))


def shelf(store: Store, *, search: str = "", first: int = 0, count: int = 50) -> Shelf:
    """Return a page of the shelf, what was last touched first.

    Parameters
    ----------
    store : Store
        The store.
    search : str
        What the name must hold, in any case, with or without marks on its letters.
    first : int
        How many beers come before the page.
    count : int
        How many are on it, 1 to 200.

    Raises
    ------
    StoreError
        If the store cannot be read.
    """
    wanted = folded(search)
    held = _beers.c.folded.contains(wanted, autoescape=True) if wanted else true()
    total = select(func.count().label("total")).select_from(_beers).where(held).subquery()
    page = (
        select(_beers)
        .where(held)
        .order_by(_beers.c.touched_at.desc(), _beers.c.id.desc())
        .limit(min(max(count, 1), LARGEST_PAGE))
        .offset(min(max(first, 0), 2**31 - 1))
        .subquery()
    )
    draft_open = exists().where(_drafts.c.beer_id == page.c.id, _drafts.c.closed_at.is_(None))
    newest = (_versions.c.beer_id == page.c.id) & (_versions.c.number == page.c.newest)
    query = (
        select(
            total.c.total, page.c.slug, page.c.name, page.c.newest, page.c.touched_at,
            _versions.c.made_at, _versions.c.summary, _versions.c.brewhouse, draft_open.label("has_draft"),
        )
        .select_from(total.outerjoin(page, true()).outerjoin(_versions, newest))
        .order_by(page.c.touched_at.desc(), page.c.id.desc())
    )  # fmt: skip
    with store.reading() as connection:
        rows = connection.execute(query).all()
    found = tuple(
        ShelfBeer(
            slug=row.slug,
            name=row.name,
            newest=row.newest,
            saved_at=row.made_at,
            touched_at=row.touched_at,
            summary=row.summary,
            brewhouse=row.brewhouse,
            has_draft=bool(row.has_draft),
        )
        for row in rows
        if row.slug is not None  # beyond the last page the total stands alone
    )
    return Shelf(beers=found, total=rows[0].total)


def by_brewhouse(store: Store, brewhouse: str, *, count: int) -> ByBrewhouse:
    """Return the beers whose newest version is shaped on a brewhouse, and the others.

    Parameters
    ----------
    store : Store
        The store.
    brewhouse : str
        Slug of the brewhouse.
    count : int
        How many of either sort at the most.

    Raises
    ------
    StoreError
        If the store cannot be read.
    """
    newest = (_versions.c.beer_id == _beers.c.id) & (_versions.c.number == _beers.c.newest)
    own = func.coalesce(_versions.c.brewhouse, "") == brewhouse
    listed = select(_beers.c.slug, _beers.c.name).join(_versions, newest)
    listed = listed.order_by(_beers.c.touched_at.desc(), _beers.c.id.desc()).limit(count)
    with store.reading() as connection:
        here, elsewhere = (connection.execute(listed.where(those)).all() for those in (own, ~own))
        total = connection.scalar(select(func.count()).select_from(_beers).join(_versions, newest).where(own))
    return ByBrewhouse(
        here=tuple(Named(row.slug, row.name) for row in here),
        more=(total or 0) - len(here),
        elsewhere=tuple(Named(row.slug, row.name) for row in elsewhere),
    )


def record_beer(
    connection: Connection,
    *,
    text: str,
    name: str | None = None,
    slug: str | None = None,
    why: str = "",
    brewhouse: str | None = None,
    summary: Mapping[str, Any] | None = None,
    made_at: datetime | None = None,
) -> Beer:
    """Write a beer and its first version inside a writer's transaction; see `add_beer`."""
    now = made_at or datetime.now(UTC)
    called = name_in(text) or name
    if called is None:
        raise BadInput('the beer has no name; write name = "..." at the top of the recipe; nothing was changed')
    called = checked_name(called, "the name of the beer")
    made = connection.execute(
        insert(_beers).returning(_beers),
        {
            "slug": free_slug(connection, _beers.c.slug, slug or slug_of(called)),
            "name": called,
            "folded": folded(called),
            "newest": 0,
            "made_at": now,
            "touched_at": now,
        },
    ).one()
    record_version(connection, made, text=text, parent=None, why=why, brewhouse=brewhouse, summary=summary, made_at=now)
    return _beer_of(beer_row(connection, made.slug))


def _beer_of(row: Row[Any]) -> Beer:
    return Beer(
        id=row.id, slug=row.slug, name=row.name, newest=row.newest, made_at=row.made_at, touched_at=row.touched_at
    )
