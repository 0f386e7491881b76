"""The store's tables, alike on SQLite and PostgreSQL. A change here needs a migration beside it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import (
    JSON,
    CheckConstraint,
    Column,
    DateTime,
    Dialect,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)
from sqlalchemy.types import TypeDecorator

from gyle.books.trouble import Damaged

__all__ = ["Moment", "beers", "draft_steps", "drafts", "gyles", "metadata", "papers", "revisions", "versions"]

# A migration can only take away what has a name, and the two databases would invent different ones.
metadata = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s",
        "pk": "pk_%(table_name)s",
    }
)


class Moment(TypeDecorator[datetime]):
    """A moment in UTC. SQLite keeps no zone, so what comes out of it gets UTC back."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Bring a moment to UTC; one without a zone is a mistake in the program."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a moment without a zone")
        utc = value.astimezone(UTC)
        return utc.replace(tzinfo=None) if dialect.name == "sqlite" else utc

    def result_processor(self, dialect: Dialect, coltype: object) -> Callable[[Any], Any] | None:
        """Tell what is no moment at all, as a damaged file may hold it."""
        reading = super().result_processor(dialect, coltype)
        if reading is None:
            return None

        def read(value: Any) -> Any:
            try:
                return reading(value)
            except (ValueError, TypeError):
                raise Damaged from None

        return read

    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:
        """Say that it is in UTC."""
        if value is None:
            return None
        found: datetime = value
        return found.replace(tzinfo=UTC) if found.tzinfo is None else found.astimezone(UTC)


def _id() -> Column[int]:
    return Column("id", Integer, primary_key=True)


beers = Table(
    "beers",
    metadata,
    _id(),
    Column("slug", String(80), nullable=False, unique=True),
    Column("name", String(120), nullable=False),
    Column("folded", String(500), nullable=False),  # the name as it is searched for
    Column("newest", Integer, nullable=False),  # number of the newest version
    Column("made_at", Moment, nullable=False),
    Column("touched_at", Moment, nullable=False),
    Index("ix_beers_touched_at_id", "touched_at", "id"),
    sqlite_autoincrement=True,
)

# Rows of `versions` and `revisions` are never changed and never go; triggers of the first migration see to it.
versions = Table(
    "versions",
    metadata,
    _id(),
    Column("beer_id", ForeignKey("beers.id"), nullable=False),
    Column("number", Integer, nullable=False),
    Column("parent", Integer),
    Column("text", Text, nullable=False),
    Column("made_at", Moment, nullable=False),
    Column("why", Text, nullable=False),
    Column("brewhouse", String(80)),
    Column("summary", JSON, nullable=False),
    UniqueConstraint("beer_id", "number"),
    ForeignKeyConstraint(["beer_id", "parent"], ["versions.beer_id", "versions.number"]),
    CheckConstraint("number >= 1", name="number"),
    CheckConstraint("parent < number", name="parent"),
    sqlite_autoincrement=True,
)

# A closed draft leaves its row behind, so that a page still open on it can be told what became of it.
drafts = Table(
    "drafts",
    metadata,
    _id(),
    Column("beer_id", ForeignKey("beers.id"), nullable=False, index=True),
    Column("base", Integer, nullable=False),
    Column("brewhouse", String(80)),
    Column("pointer", Integer, nullable=False),  # number of the step that holds
    Column("last", Integer, nullable=False),  # highest number any step ever had: a number never means two texts
    Column("forked_from", ForeignKey("drafts.id")),
    Column("made_at", Moment, nullable=False),
    Column("touched_at", Moment, nullable=False),
    Column("closed_at", Moment),
    Column("saved_as", Integer),  # number of the version it became; None if it was dropped
    ForeignKeyConstraint(["beer_id", "base"], ["versions.beer_id", "versions.number"]),
    ForeignKeyConstraint(["beer_id", "saved_as"], ["versions.beer_id", "versions.number"]),
    sqlite_autoincrement=True,
)

draft_steps = Table(
    "draft_steps",
    metadata,
    Column("draft_id", ForeignKey("drafts.id"), primary_key=True),
    Column("number", Integer, primary_key=True, autoincrement=False),  # 0 is the base version's text
    Column("text", Text, nullable=False),
    Column("characters", Integer, nullable=False),
    Column("said", Text, nullable=False),
    Column("made_at", Moment, nullable=False),
)

papers = Table(
    "papers",
    metadata,
    _id(),
    Column("kind", String(20), nullable=False),  # brewhouse, water or stock
    Column("slug", String(80), nullable=False),
    Column("name", String(120), nullable=False),
    Column("newest", Integer, nullable=False),
    Column("made_at", Moment, nullable=False),
    UniqueConstraint("kind", "slug"),
    sqlite_autoincrement=True,
)

revisions = Table(
    "revisions",
    metadata,
    _id(),
    Column("paper_id", ForeignKey("papers.id"), nullable=False),
    Column("number", Integer, nullable=False),
    Column("parent", Integer),
    Column("name", String(120), nullable=False),
    Column("text", Text, nullable=False),
    Column("made_at", Moment, nullable=False),
    UniqueConstraint("paper_id", "number"),
    ForeignKeyConstraint(["paper_id", "parent"], ["revisions.paper_id", "revisions.number"]),
    CheckConstraint("number >= 1", name="number"),
    CheckConstraint("parent < number", name="parent"),
    sqlite_autoincrement=True,
)

# The log of a gyle will refer to gyles.id.
gyles = Table(
    "gyles",
    metadata,
    _id(),
    Column("slug", String(80), nullable=False, unique=True),
    Column("beer_id", ForeignKey("beers.id"), nullable=False, index=True),
    Column("version", Integer, nullable=False),
    Column("paper_id", ForeignKey("papers.id"), nullable=False),
    Column("revision", Integer, nullable=False),
    Column("planned_start", Moment, nullable=False, index=True),
    Column("zone", String(64), nullable=False),
    Column("note", Text, nullable=False),
    Column("made_at", Moment, nullable=False),
    ForeignKeyConstraint(["beer_id", "version"], ["versions.beer_id", "versions.number"]),
    ForeignKeyConstraint(["paper_id", "revision"], ["revisions.paper_id", "revisions.number"]),
    sqlite_autoincrement=True,
)
