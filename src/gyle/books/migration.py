"""Bringing a store to the layout this program knows. Alembic is imported only when there is something to do.

A SQLite file is first copied whole beside itself; the migration is tried on another copy and checked; only then is it
done on the file, in one transaction. Whatever fails before the end leaves the file as it was.
"""

from __future__ import annotations

import contextlib
import sqlite3
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, inspect, text
from sqlalchemy.exc import SQLAlchemyError

from gyle.books.engine import make_engine
from gyle.books.trouble import sentence_of, told
from gyle.errors import GyleError, StoreError

__all__ = ["HEAD", "SCRIPTS", "VERSION_TABLE", "bring_up", "layout_of"]

HEAD = "0001"  # the layout of schema.py
SCRIPTS = Path(__file__).parent / "migrations"
VERSION_TABLE = "gyle_layout"


def layout_of(connection: Connection) -> str | None:
    """Return the layout a store has, None if there is nothing in it yet.

    Raises
    ------
    StoreError
        If it belongs to another program, or to a newer one of ours.
    """
    there = inspect(connection).get_table_names()
    if VERSION_TABLE not in there:
        if there:
            raise StoreError("the database belongs to another program; name another place for the store")
        return None
    layout = connection.execute(text(f"SELECT version_num FROM {VERSION_TABLE}")).scalar()
    if layout is not None and str(layout) > HEAD:
        raise StoreError(
            f"the store was written by a newer gyle (layout {layout}, and this one knows {HEAD}); "
            "update gyle; nothing was changed"
        )
    return layout


def bring_up(engine: Engine, *, timeout_seconds: float) -> None:
    """Bring a store to the present layout, if it is not there yet.

    Raises
    ------
    StoreError
        If that fails, and then nothing was changed; or if the store is not ours or newer.
    """
    with told("the store cannot be opened"), engine.connect() as connection:
        layout = layout_of(connection)
    if layout == HEAD:
        return
    url = engine.url
    if url.get_backend_name() == "sqlite" and layout is not None:
        _try_on_a_copy(url, layout, timeout_seconds=timeout_seconds)
    _upgrade(url, timeout_seconds=timeout_seconds)


def _try_on_a_copy(url: URL, layout: str, *, timeout_seconds: float) -> None:
    """Keep a copy of the file beside it, and migrate a second one to see whether that works."""
    file = Path(str(url.database))
    kept = file.with_name(f"{file.name}.layout-{layout}")
    trial = file.with_name(f"{file.name}.trial")
    try:
        with told("the store is older than this program, and no copy of it can be made"):
            for copy in (kept, trial):
                _remove(copy)
                _copy(file, copy, timeout_seconds=timeout_seconds)
        _upgrade(url.set(database=str(trial)), timeout_seconds=timeout_seconds)
    finally:
        with contextlib.suppress(OSError):
            _remove(trial)


def _remove(file: Path) -> None:
    for end in ("", "-wal", "-shm", "-journal"):
        file.with_name(file.name + end).unlink(missing_ok=True)


def _copy(file: Path, copy: Path, *, timeout_seconds: float) -> None:
    with (
        contextlib.closing(sqlite3.connect(file, timeout=timeout_seconds)) as source,
        contextlib.closing(sqlite3.connect(copy)) as target,
    ):
        source.backup(target)
        target.execute("PRAGMA journal_mode = DELETE")


def _upgrade(url: URL, *, timeout_seconds: float) -> None:
    """Migrate in one transaction, which another process that opens the store at the same moment waits for."""
    engine = make_engine(url, timeout_seconds=timeout_seconds, migrating="yes").execution_options(write=True)
    try:
        with engine.begin() as connection:
            _run_scripts(connection)
            if connection.dialect.name == "sqlite":
                _check(connection)
    except GyleError:
        raise
    except SQLAlchemyError as error:
        raise StoreError(_failed(sentence_of(error))) from error
    except Exception as error:
        raise StoreError(_failed("a step of it does not work")) from error
    finally:
        engine.dispose()


def _failed(why: str) -> str:
    return f"the store cannot be brought to the layout of this program: {why}; it was left as it was"


def _check(connection: Connection) -> None:
    """Refuse a migrated file whose rows refer to nothing."""
    if connection.exec_driver_sql("PRAGMA foreign_key_check").first() is not None:
        raise StoreError(_failed("rows would refer to what is not there"))


def _run_scripts(connection: Connection) -> None:
    from alembic import command
    from alembic.config import Config

    layout_of(connection)  # again, now that nobody else writes
    config = Config()
    config.set_main_option("script_location", str(SCRIPTS).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    attributes: dict[str, Any] = config.attributes
    attributes.update(connection=connection, version_table=VERSION_TABLE)
    command.upgrade(config, HEAD)
