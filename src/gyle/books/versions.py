"""Versions of a beer's recipe: immutable texts, each with the version it was made from."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

import attrs
from sqlalchemy import Connection, Row, insert, select, update

from gyle.books import schema
from gyle.books.refusals import NotThere
from gyle.books.slugs import checked_number, checked_slug
from gyle.books.store import Store
from gyle.books.wording import checked_line, checked_name, checked_summary, checked_text, folded, name_in

__all__ = ["RecipeVersion", "beer_row", "find_version", "record_version", "save_version", "version", "versions"]

_versions, _beers = schema.versions, schema.beers


@attrs.frozen(kw_only=True)
class RecipeVersion:
    """One version of a beer's recipe."""

    id: int
    beer: str  # the beer's slug
    number: int  # 1, 2, 3 ... of this beer
    parent: int | None  # the version it was made from; None for the first
    text: str
    made_at: datetime  # UTC
    why: str  # one line of the brewer's, or nothing
    brewhouse: str | None  # slug of the brewhouse it was shaped on
    summary: Mapping[str, Any]  # headline figures, as whoever saved it computed them


def save_version(
    store: Store,
    beer_slug: str,
    *,
    text: str,
    parent: int,
    why: str = "",
    brewhouse: str | None = None,
    summary: Mapping[str, Any] | None = None,
) -> RecipeVersion:
    """Save a text as the next version of a beer; the beer takes the name the text gives itself.

    Parameters
    ----------
    store : Store
        The store.
    beer_slug : str
        The beer.
    text : str
        The whole recipe as TOML.
    parent : int
        The version it was made from. It may be older than the newest: then the two are siblings, which the caller
        sees by comparing it with the newest.
    why : str
        One line on why it was changed.
    brewhouse : str, optional
        Slug of the brewhouse it was shaped on.
    summary : mapping, optional
        Headline figures, finite numbers and texts.

    Raises
    ------
    NotThere
        If there is no such beer or parent.
    BadInput
        If a text is too long or holds control characters.
    StoreError
        If the store cannot be written.
    """
    with store.writing() as connection:
        beer = beer_row(connection, beer_slug)
        return record_version(connection, beer, text=text, parent=parent, why=why, brewhouse=brewhouse, summary=summary)


def version(store: Store, beer_slug: str, number: int | None = None) -> RecipeVersion:
    """Return one version of a beer, the newest where no number is given.

    Raises
    ------
    NotThere
        If there is no such beer or version.
    StoreError
        If the store cannot be read.
    """
    with store.reading() as connection:
        beer = beer_row(connection, beer_slug)
        return find_version(connection, beer, number)


def versions(store: Store, beer_slug: str) -> tuple[RecipeVersion, ...]:
    """Return every version of a beer, the newest first; raises as `version` does."""
    with store.reading() as connection:
        beer = beer_row(connection, beer_slug)
        rows = connection.execute(
            select(_versions).where(_versions.c.beer_id == beer.id).order_by(_versions.c.number.desc())
        )
        return tuple(_version_of(row, beer.slug) for row in rows)


def beer_row(connection: Connection, beer_slug: str) -> Row[Any]:
    """Return a beer's row; raises `NotThere`."""
    row = connection.execute(select(_beers).where(_beers.c.slug == checked_slug(beer_slug, "beer"))).first()
    if row is None:
        raise NotThere(f"there is no beer {beer_slug} in the store")
    return row


def find_version(connection: Connection, beer: Row[Any], number: int | None) -> RecipeVersion:
    """Return one version of a beer whose row is at hand; raises `NotThere`."""
    wanted = beer.newest if number is None else checked_number(number, "version")
    row = connection.execute(
        select(_versions).where(_versions.c.beer_id == beer.id, _versions.c.number == wanted)
    ).first()
    if row is None:
        raise NotThere(f"{beer.name} has no version {wanted}; its newest is {beer.newest}")
    return _version_of(row, beer.slug)


def record_version(
    connection: Connection,
    beer: Row[Any],
    *,
    text: str,
    parent: int | None,
    why: str = "",
    brewhouse: str | None = None,
    summary: Mapping[str, Any] | None = None,
    made_at: datetime | None = None,
) -> RecipeVersion:
    """Write the next version inside a transaction of the one writer, which makes its number the only one."""
    now = made_at or datetime.now(UTC)
    number = beer.newest + 1
    if parent is not None:
        find_version(connection, beer, parent)
    row = {
        "beer_id": beer.id,
        "number": number,
        "parent": parent,
        "text": checked_text(text, "the recipe"),
        "made_at": now,
        "why": checked_line(why, "the line on why"),
        "brewhouse": None if brewhouse is None else checked_slug(brewhouse, "brewhouse"),
        "summary": checked_summary(summary),
    }
    made = connection.execute(insert(_versions).returning(_versions.c.id), row).scalar_one()
    name = checked_name(name_in(text) or beer.name, "the name of the beer")
    connection.execute(
        update(_beers)
        .where(_beers.c.id == beer.id)
        .values(newest=number, touched_at=now, name=name, folded=folded(name))
    )
    return RecipeVersion(id=made, beer=beer.slug, **{key: value for key, value in row.items() if key != "beer_id"})


def _version_of(row: Row[Any], beer_slug: str) -> RecipeVersion:
    return RecipeVersion(
        id=row.id,
        beer=beer_slug,
        number=row.number,
        parent=row.parent,
        text=row.text,
        made_at=row.made_at,
        why=row.why,
        brewhouse=row.brewhouse,
        summary=row.summary,
    )
