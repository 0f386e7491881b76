"""Engines: how a connection to SQLite or PostgreSQL is set up so that both behave alike.

On both, one writer writes at a time and readers see the store as it was when they began. SQLite's driver would begin
transactions by rules of its own, so every BEGIN is ours, and so is the look whether the file is still the one that was
opened: SQLite itself would go on writing into one that was removed. PostgreSQL's writers wait for one lock.
"""

from __future__ import annotations

import json
import math
import os
from functools import partial
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url
from sqlalchemy.exc import ArgumentError
from sqlalchemy.pool import NullPool

from gyle.books.trouble import Damaged
from gyle.errors import StoreError

__all__ = ["checked_url", "make_engine"]

_ONE_WRITER = 0x67796C65  # "gyle" in ASCII: the lock every writer takes in a PostgreSQL database
_WAYS = 'write "sqlite:////folder/gyle.db" or "postgresql://user@host/database"'


def checked_url(url: str) -> URL:
    """Return an address of a store.

    Raises
    ------
    StoreError
        If it is no URL of SQLite or PostgreSQL. The sentence repeats nothing of it, as it may hold a password.
    """
    try:
        found = make_url(url)
        kind = found.get_backend_name()
    except (ArgumentError, ValueError):
        raise StoreError(f"the address of the store is no URL; {_WAYS}") from None
    if kind == "sqlite" and found.drivername in ("sqlite", "sqlite+pysqlite"):
        if not found.database or found.database == ":memory:" or found.database.startswith("file:") or found.query:
            raise StoreError(f"the address of the store names no file; {_WAYS}")
        return found.set(drivername="sqlite")
    if found.drivername in ("postgresql", "postgresql+psycopg"):
        return found.set(drivername="postgresql+psycopg")
    raise StoreError(f"a store is a SQLite file or a PostgreSQL database; {_WAYS}")


def make_engine(url: URL, *, timeout_seconds: float, migrating: str = "no") -> Engine:
    """Return an engine; the execution option `write` makes its transactions those of a writer.

    With `migrating` "yes" SQLite does not watch foreign keys, because a table is then rebuilt under its own name;
    whoever asks for it checks them before the end.
    """
    # A summary was checked to be finite; should one slip through, no database gets a NaN.
    written = partial(json.dumps, allow_nan=False)
    shared: dict[str, Any] = {"json_serializer": written, "json_deserializer": _json_read}
    if url.get_backend_name() == "sqlite":
        engine = create_engine(
            url,
            connect_args={"timeout": timeout_seconds, "isolation_level": None},
            **shared,
            **({"poolclass": NullPool} if migrating == "yes" else {"pool_size": 5, "max_overflow": 40}),
        )
        file = str(url.database)
        watched = "OFF" if migrating == "yes" else "ON"
        event.listen(engine, "connect", partial(_set_up_sqlite, foreign_keys=watched, file=file))
        event.listen(engine, "begin", partial(_begin_sqlite, file=file))
        return engine
    # A host that swallows every packet would be waited for by the minute.
    asked: dict[str, Any] = {"client_encoding": "utf8"}
    if "connect_timeout" not in url.query:
        asked["connect_timeout"] = max(2, math.ceil(timeout_seconds))
    try:
        engine = create_engine(url, connect_args=asked, pool_size=5, max_overflow=20, pool_pre_ping=True, **shared)
    except ModuleNotFoundError:
        raise StoreError(
            'a store on PostgreSQL needs its driver; install it with: pip install "gyle[postgresql]"'
        ) from None
    except (ArgumentError, ValueError):
        raise StoreError(f"the address of the store is no URL; {_WAYS}") from None
    event.listen(engine, "connect", partial(_set_up_postgresql, timeout_ms=int(1000 * timeout_seconds)))
    event.listen(engine, "begin", _begin_postgresql)
    return engine


def _json_read(written: str | bytes) -> Any:
    try:
        return json.loads(written)
    except (ValueError, RecursionError):
        raise Damaged from None


def _identity(file: str) -> tuple[int, int] | None:
    """Return what tells a file from another of the same name, None where there is none."""
    try:
        found = os.stat(file)
    except OSError:
        return None
    return found.st_dev, found.st_ino


def _set_up_sqlite(connection: Any, record: Any, *, foreign_keys: str, file: str) -> None:
    # A file that may only be read still opens; whoever then writes is told so.
    for pragma in ("journal_mode = WAL", "synchronous = FULL", f"foreign_keys = {foreign_keys}"):
        connection.execute(f"PRAGMA {pragma}")
    record.info["file"] = _identity(file)


def _begin_sqlite(connection: Connection, *, file: str) -> None:
    if _identity(file) != connection.info["file"]:
        raise StoreError(
            "the file of the store was moved or replaced while it was open; put it back, or start gyle again; "
            "nothing was changed"
        )
    connection.exec_driver_sql("BEGIN IMMEDIATE" if connection.get_execution_options().get("write") else "BEGIN")


def _set_up_postgresql(connection: Any, _record: Any, *, timeout_ms: int) -> None:
    with connection.cursor() as cursor:
        if connection.info.parameter_status("server_encoding") != "UTF8":
            raise StoreError(
                "the database on the server cannot keep every letter; make one for gyle with the encoding UTF8"
            )
        cursor.execute(f"SET lock_timeout = {timeout_ms}")
        cursor.execute("SET synchronous_commit = on")
        cursor.execute("SET timezone = 'UTC'")
    connection.commit()


def _begin_postgresql(connection: Connection) -> None:
    if connection.get_execution_options().get("write"):
        connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({_ONE_WRITER})")
    else:
        connection.exec_driver_sql("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
