"""Beers with versions and drafts, named papers with revisions, planned gyles."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

_FIXED = ("versions", "revisions")


def upgrade() -> None:
    """Make the tables, and the triggers that keep versions and revisions as they were written."""
    _papers()
    _beers()
    _drafts()
    _gyles()
    for table in _FIXED:
        _fix(table)


def _whole(name: str, *, null: str = "no") -> sa.Column[int]:
    return sa.Column(name, sa.Integer, nullable=null == "yes")


def _words(name: str, longest: int | None = None, *, null: str = "no") -> sa.Column[str]:
    return sa.Column(name, sa.String(longest) if longest else sa.Text(), nullable=null == "yes")


def _moment(name: str, *, null: str = "no") -> sa.Column[object]:
    return sa.Column(name, sa.DateTime(timezone=True), nullable=null == "yes")


def _id() -> sa.Column[int]:
    return sa.Column("id", sa.Integer, primary_key=True)


def _numbered(owner: str, table: str) -> tuple[sa.schema.SchemaItem, ...]:
    """Return what makes the numbers of a thing's versions: each once, and the parent an earlier one."""
    return (
        sa.UniqueConstraint(owner, "number"),
        sa.ForeignKeyConstraint([owner, "parent"], [f"{table}.{owner}", f"{table}.number"]),
        sa.CheckConstraint("number >= 1", name="number"),
        sa.CheckConstraint("parent < number", name="parent"),
    )


def _to_version(column: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(["beer_id", column], ["versions.beer_id", "versions.number"])


def _papers() -> None:
    op.create_table(
        "papers",
        _id(),
        _words("kind", 20),
        _words("slug", 80),
        _words("name", 120),
        _whole("newest"),
        _moment("made_at"),
        sa.UniqueConstraint("kind", "slug"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "revisions",
        _id(),
        _whole("paper_id"),
        _whole("number"),
        _whole("parent", null="yes"),
        _words("name", 120),
        _words("text"),
        _moment("made_at"),
        sa.ForeignKeyConstraint(["paper_id"], ["papers.id"]),
        *_numbered("paper_id", "revisions"),
        sqlite_autoincrement=True,
    )


def _beers() -> None:
    op.create_table(
        "beers",
        _id(),
        _words("slug", 80),
        _words("name", 120),
        _words("folded", 500),
        _whole("newest"),
        _moment("made_at"),
        _moment("touched_at"),
        sa.UniqueConstraint("slug"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_beers_touched_at_id", "beers", ["touched_at", "id"])
    op.create_table(
        "versions",
        _id(),
        _whole("beer_id"),
        _whole("number"),
        _whole("parent", null="yes"),
        _words("text"),
        _moment("made_at"),
        _words("why"),
        _words("brewhouse", 80, null="yes"),
        sa.Column("summary", sa.JSON, nullable=False),
        sa.ForeignKeyConstraint(["beer_id"], ["beers.id"]),
        *_numbered("beer_id", "versions"),
        sqlite_autoincrement=True,
    )


def _drafts() -> None:
    op.create_table(
        "drafts",
        _id(),
        _whole("beer_id"),
        _whole("base"),
        _words("brewhouse", 80, null="yes"),
        _whole("pointer"),
        _whole("last"),
        _whole("forked_from", null="yes"),
        _moment("made_at"),
        _moment("touched_at"),
        _moment("closed_at", null="yes"),
        _whole("saved_as", null="yes"),
        sa.ForeignKeyConstraint(["beer_id"], ["beers.id"]),
        sa.ForeignKeyConstraint(["forked_from"], ["drafts.id"]),
        _to_version("base"),
        _to_version("saved_as"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_drafts_beer_id", "drafts", ["beer_id"])
    op.create_table(
        "draft_steps",
        sa.Column("draft_id", sa.Integer, primary_key=True),
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
        _words("text"),
        _whole("characters"),
        _words("said"),
        _moment("made_at"),
        sa.ForeignKeyConstraint(["draft_id"], ["drafts.id"]),
    )


def _gyles() -> None:
    op.create_table(
        "gyles",
        _id(),
        _words("slug", 80),
        _whole("beer_id"),
        _whole("version"),
        _whole("paper_id"),
        _whole("revision"),
        _moment("planned_start"),
        _words("zone", 64),
        _words("note"),
        _moment("made_at"),
        sa.UniqueConstraint("slug"),
        sa.ForeignKeyConstraint(["beer_id"], ["beers.id"]),
        sa.ForeignKeyConstraint(["paper_id"], ["papers.id"]),
        _to_version("version"),
        sa.ForeignKeyConstraint(["paper_id", "revision"], ["revisions.paper_id", "revisions.number"]),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_gyles_beer_id", "gyles", ["beer_id"])
    op.create_index("ix_gyles_planned_start", "gyles", ["planned_start"])


def _fix(table: str) -> None:
    """Let the database itself refuse to change or remove a row."""
    refused = f"a row of {table} is never changed"
    if op.get_context().dialect.name == "sqlite":
        for deed in ("UPDATE", "DELETE"):
            op.execute(
                f"CREATE TRIGGER {table}_no_{deed.lower()} BEFORE {deed} ON {table} "
                f"BEGIN SELECT RAISE(ABORT, '{refused}'); END"
            )
        return
    op.execute(
        f"CREATE FUNCTION {table}_fixed() RETURNS trigger LANGUAGE plpgsql AS "
        f"$$ BEGIN RAISE EXCEPTION '{refused}'; END $$"
    )
    op.execute(
        f"CREATE TRIGGER {table}_fixed BEFORE UPDATE OR DELETE OR TRUNCATE ON {table} "
        f"FOR EACH STATEMENT EXECUTE FUNCTION {table}_fixed()"
    )
