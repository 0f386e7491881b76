"""Gyles: one brewing each of a beer's version on a brewhouse as it then was, planned for a time."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import attrs
from sqlalchemy import Connection, Row, Select, delete, insert, select, update

from gyle.books import schema
from gyle.books.papers import find_paper
from gyle.books.refusals import NotThere
from gyle.books.slugs import checked_slug, free_slug
from gyle.books.store import Store
from gyle.books.versions import beer_row, find_version
from gyle.books.wording import NOTE_LENGTH, checked_text
from gyle.errors import BadInput

__all__ = ["Gyle", "gyle", "gyles", "move_gyle", "plan_gyle", "record_gyle", "withdraw_gyle"]

_FURTHEST = timedelta(days=36525)  # from now: a start outside it is a slip of the finger
_ZONE_LENGTH = 64

_gyles, _beers, _papers, _revisions = schema.gyles, schema.beers, schema.papers, schema.revisions


@attrs.frozen(kw_only=True)
class Gyle:
    """A gyle that is planned."""

    id: int
    slug: str
    beer: str  # the beer's slug
    beer_name: str
    version: int  # number of the recipe's version
    newest_version: int  # of the beer, by now
    brewhouse: str  # its slug
    brewhouse_name: str
    revision: int  # number of the brewhouse's revision it was planned on
    newest_revision: int  # of the brewhouse, by now
    planned_start: datetime  # UTC
    zone: str  # name of the time zone the brewer planned in, such as "Europe/Dublin"
    note: str
    made_at: datetime  # UTC

    @property
    def local_start(self) -> datetime:
        """The planned start by the brewer's clock; in UTC where this machine does not know the zone."""
        try:
            return self.planned_start.astimezone(ZoneInfo(self.zone))
        except (ZoneInfoNotFoundError, ValueError, OSError):
            return self.planned_start


def plan_gyle(
    store: Store,
    beer_slug: str,
    *,
    version: int,
    brewhouse: str,
    planned_start: datetime,
    zone: str,
    revision: int | None = None,
    note: str = "",
) -> Gyle:
    """Plan a gyle.

    Parameters
    ----------
    store : Store
        The store.
    beer_slug : str
        The beer.
    version : int
        Which version of it.
    brewhouse : str
        Slug of the brewhouse.
    planned_start : datetime
        When it begins, with a zone; a time without one is taken as of `zone`.
    zone : str
        Name of the time zone the brewer plans in.
    revision : int, optional
        Which revision of the brewhouse; the newest where none is given.
    note : str
        The brewer's own words.

    Raises
    ------
    NotThere
        If there is no such beer, version, brewhouse or revision.
    BadInput
        If the zone or the start cannot be, or the note is too long.
    StoreError
        If the store cannot be written.
    """
    with store.writing() as connection:
        return record_gyle(
            connection, beer_slug, version=version, brewhouse=brewhouse, revision=revision,
            planned_start=planned_start, zone=zone, note=note,
        )  # fmt: skip


def move_gyle(
    store: Store, slug: str, *, version: int, brewhouse: str, planned_start: datetime, zone: str, note: str = ""
) -> Gyle:
    """Plan a gyle anew for another time, of another version or on another brewhouse; it keeps its slug.

    The brewhouse is taken as it is now. Parameters are as those of `plan_gyle`.

    Raises
    ------
    NotThere
        If there is no such gyle, version or brewhouse.
    BadInput
        If the zone or the start cannot be, or the note is too long.
    StoreError
        If the store cannot be written.
    """
    with store.writing() as connection:
        held = _find(connection, slug)
        row = _row(
            connection, beer_row(connection, held.beer), version=version, brewhouse=brewhouse, revision=None,
            planned_start=planned_start, zone=zone, note=note, now=datetime.now(UTC),
        )  # fmt: skip
        connection.execute(update(_gyles).where(_gyles.c.id == held.id).values(**row))
        return _find(connection, held.slug)


def withdraw_gyle(store: Store, slug: str) -> Gyle:
    """Take a planned gyle out of the store; return what it was, so that it can be planned again as it stood.

    Raises
    ------
    NotThere
        If there is none of that slug.
    StoreError
        If the store cannot be written.
    """
    with store.writing() as connection:
        held = _find(connection, slug)
        connection.execute(delete(_gyles).where(_gyles.c.id == held.id))
        return held


def gyle(store: Store, slug: str) -> Gyle:
    """Return a gyle.

    Raises
    ------
    NotThere
        If there is none of that slug.
    StoreError
        If the store cannot be read.
    """
    with store.reading() as connection:
        return _find(connection, slug)


def gyles(store: Store, *, beer: str | None = None, since: datetime | None = None) -> tuple[Gyle, ...]:
    """Return the gyles, the earliest start first.

    Parameters
    ----------
    store : Store
        The store.
    beer : str, optional
        Slug of the beer they are of.
    since : datetime, optional
        Only those planned to start then or later, with a zone.

    Raises
    ------
    StoreError
        If the store cannot be read.
    """
    query = _joined()
    if beer is not None:
        query = query.where(_beers.c.slug == checked_slug(beer, "beer"))
    if since is not None:
        query = query.where(_gyles.c.planned_start >= since)
    with store.reading() as connection:
        rows = connection.execute(query.order_by(_gyles.c.planned_start, _gyles.c.id))
        return tuple(_gyle_of(row) for row in rows)


def record_gyle(
    connection: Connection,
    beer_slug: str,
    *,
    version: int,
    brewhouse: str,
    planned_start: datetime,
    zone: str,
    revision: int | None = None,
    note: str = "",
    made_at: datetime | None = None,
) -> Gyle:
    """Write a gyle inside a writer's transaction; see `plan_gyle`."""
    now = made_at or datetime.now(UTC)
    beer = beer_row(connection, beer_slug)
    row = _row(
        connection, beer, version=version, brewhouse=brewhouse, revision=revision, planned_start=planned_start,
        zone=zone, note=note, now=now,
    )  # fmt: skip
    slug = free_slug(connection, _gyles.c.slug, f"{beer.slug}-{row['planned_start'].date().isoformat()}")
    connection.execute(insert(_gyles), {"slug": slug, "beer_id": beer.id, "made_at": now, **row})
    return _find(connection, slug)


def _row(
    connection: Connection,
    beer: Row[Any],
    *,
    version: int,
    brewhouse: str,
    revision: int | None,
    planned_start: datetime,
    zone: str,
    note: str,
    now: datetime,
) -> dict[str, Any]:
    """Return what is kept of a plan, all of it there and sound."""
    start = _start(planned_start, zone, now)
    find_version(connection, beer, version)
    house = find_paper(connection, "brewhouse", brewhouse, number=revision)
    paper_id = connection.execute(
        select(_papers.c.id).where(_papers.c.kind == "brewhouse", _papers.c.slug == house.slug)
    ).scalar_one()
    return {
        "version": version,
        "paper_id": paper_id,
        "revision": house.number,
        "planned_start": start,
        "zone": zone,
        "note": checked_text(note.strip(), "the note", longest=NOTE_LENGTH, blank="kept"),
    }


def _start(planned: datetime, zone: str, now: datetime) -> datetime:
    """Return a start by the brewer's clock."""
    try:
        if len(zone) > _ZONE_LENGTH:
            raise ValueError
        clock = ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise BadInput(
            f'"{" ".join(zone.split())[:40]}" is no time zone known here; write one such as "Europe/Dublin" or "UTC"'
        ) from None
    try:
        start = planned.replace(tzinfo=clock) if planned.tzinfo is None else planned.astimezone(clock)
        if abs(start.astimezone(UTC) - now) > _FURTHEST:
            raise OverflowError
    except (OverflowError, ValueError):
        raise BadInput(f"the start in the year {planned.year} is more than a century from now") from None
    return start


def _joined() -> Select[Any]:
    held = (_revisions.c.paper_id == _gyles.c.paper_id) & (_revisions.c.number == _gyles.c.revision)
    return (
        select(
            _gyles, _beers.c.slug.label("beer_slug"), _beers.c.name.label("beer_name"),
            _beers.c.newest.label("newest_version"), _papers.c.newest.label("newest_revision"),
            _papers.c.slug.label("house_slug"), _revisions.c.name.label("house_name"),
        )
        .join(_beers, _beers.c.id == _gyles.c.beer_id)
        .join(_papers, _papers.c.id == _gyles.c.paper_id)
        .join(_revisions, held)
    )  # fmt: skip


def _find(connection: Connection, slug: str) -> Gyle:
    row = connection.execute(_joined().where(_gyles.c.slug == checked_slug(slug, "gyle"))).first()
    if row is None:
        raise NotThere(f"there is no gyle {slug} in the store")
    return _gyle_of(row)


def _gyle_of(row: Row[Any]) -> Gyle:
    return Gyle(
        id=row.id,
        slug=row.slug,
        beer=row.beer_slug,
        beer_name=row.beer_name,
        version=row.version,
        newest_version=row.newest_version,
        brewhouse=row.house_slug,
        brewhouse_name=row.house_name,
        revision=row.revision,
        newest_revision=row.newest_revision,
        planned_start=row.planned_start,
        zone=row.zone,
        note=row.note,
        made_at=row.made_at,
    )
