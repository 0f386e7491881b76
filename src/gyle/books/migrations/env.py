"""How Alembic meets the store: over a connection that is open already, inside its transaction."""

from __future__ import annotations

from alembic import context

from gyle.books.schema import metadata

given = context.config.attributes
context.configure(
    connection=given["connection"],
    target_metadata=metadata,
    version_table=given["version_table"],
    render_as_batch=True,  # SQLite changes a column only by rebuilding its table
)
context.run_migrations()
