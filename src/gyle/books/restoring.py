"""Putting a backup or an export in the store's place. What was there is kept beside it first."""

from __future__ import annotations

import contextlib
import os
import shutil
import sqlite3
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from gyle.books.backup import copy_whole, only_read
from gyle.books.export_reading import fill
from gyle.books.new_place import settle
from gyle.books.store import TIMEOUT_SECONDS, address_of, open_file, open_store
from gyle.books.trouble import told
from gyle.errors import BadInput, StoreError

__all__ = ["restore"]

_BESIDE = ("", "-wal", "-shm", "-journal")  # a file of SQLite and what may lie with it


def restore(
    source: str | os.PathLike[str], *, url: str | None = None, timeout_seconds: float = TIMEOUT_SECONDS
) -> Path | None:
    """Put a backup or an export in the place of a store; whoever has the store open goes on with what is put there.

    Parameters
    ----------
    source : path-like
        A backup's file, or an export's folder.
    url : str, optional
        The store, as `gyle.books.store.open_store` takes it.
    timeout_seconds : float
        How long to wait for another who writes.

    Returns
    -------
    Path or None
        The file in which what was there before is kept, None where there was nothing.

    Raises
    ------
    BadInput
        If the source is no backup and no export, or something of it is missing.
    StoreError
        If the source is damaged or was written by a newer gyle, or the store cannot be written. On a PostgreSQL server
        only an export can be restored, and only into a database without books.
    """
    given = Path(source).absolute()
    with told("nothing can be restored"):
        if not os.path.lexists(given):
            raise BadInput(f"there is nothing called {given.name} to restore")
    address = address_of(url)
    if address.get_backend_name() != "sqlite":
        if not given.is_dir():
            raise StoreError("a backup is a file of SQLite; only an export can be restored to a PostgreSQL server")
        with open_store(url, timeout_seconds=timeout_seconds) as store:
            fill(store, given)
        return None
    target = Path(str(address.database))
    with told("nothing can be restored"):
        if target.exists() and given.exists() and os.path.samefile(given, target):
            raise BadInput("that is the store itself; name a backup or an export of it")
        workshop = Path(tempfile.mkdtemp(prefix=".restore-", dir=target.parent))
    try:
        made = workshop / "gyle.db"
        _make(made, given)
        with told("nothing can be restored"):
            return _put(made, target, timeout_seconds=timeout_seconds)
    finally:
        shutil.rmtree(workshop, ignore_errors=True)


def _make(made: Path, source: Path) -> None:
    """Make a whole store of the present layout from a backup or an export."""
    if source.is_dir():
        with open_file(made) as store:
            fill(store, source)
        return
    with told("the backup cannot be read"):
        copy_whole(source, made)
    open_file(made).close()  # an older one is brought up, a newer one is refused


def _put(made: Path, target: Path, *, timeout_seconds: float) -> Path | None:
    if not target.exists():
        os.replace(made, target)
        settle(target.parent)
        return None
    stamp = f"{datetime.now(UTC):%Y%m%dT%H%M%S}"
    kept = target.with_name(f"{target.name}.before-{stamp}")
    number = 2
    while kept.exists():
        kept = target.with_name(f"{target.name}.before-{stamp}-{number}")
        number += 1
    if not _is_whole(target):
        for end in _BESIDE:  # as it is: perhaps somebody can still read some of it
            with contextlib.suppress(FileNotFoundError):
                os.replace(target.with_name(target.name + end), kept.with_name(kept.name + end))
        os.replace(made, target)
        settle(target.parent)
        return kept
    open_file(target, timeout_seconds=timeout_seconds).close()  # refuses what is not ours to replace
    copy_whole(target, kept)
    settle(target.parent)
    # One transaction of the store itself: those who read go on, those who write wait, and a crash leaves the old one.
    with (
        contextlib.closing(sqlite3.connect(made)) as here,
        contextlib.closing(sqlite3.connect(target, timeout=timeout_seconds, isolation_level=None)) as there,
    ):
        there.execute("PRAGMA synchronous = FULL")
        here.backup(there, progress=_patience(timeout_seconds))
    return kept


def _patience(seconds: float) -> Callable[[int, int, int], None]:
    """Return what a copy asks after each try; left alone it would wait for a writer without end."""
    until = time.monotonic() + seconds

    def go_on(status: int, _remaining: int, _total: int) -> None:
        if status != sqlite3.SQLITE_DONE and time.monotonic() > until:
            raise StoreError("another program is writing into the store and has not finished; nothing was changed")

    return go_on


def _is_whole(file: Path) -> bool:
    with contextlib.closing(only_read(file)) as connection:
        try:
            return bool(connection.execute("PRAGMA integrity_check").fetchone()[0] == "ok")
        except (sqlite3.DatabaseError, UnicodeDecodeError) as error:
            name = getattr(error, "sqlite_errorname", "") or "SQLITE_CORRUPT"
            if name.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB", "SQLITE_ERROR")):
                return False
            raise
