"""A backup of the store: one whole file, made while it is in use."""

from __future__ import annotations

import contextlib
import os
import sqlite3
from pathlib import Path

from gyle.books.new_place import new_place
from gyle.books.store import Store
from gyle.errors import StoreError

__all__ = ["backup", "copy_whole", "only_read"]


def backup(store: Store, path: str | os.PathLike[str]) -> None:
    """Write a store of one file to another file, whole or not at all.

    Raises
    ------
    BadInput
        If there is a file of that name already, or no folder to write it into.
    StoreError
        If the store is on a server, the file cannot be written, or the copy is not whole.
    """
    source = store.file
    if source is None:
        raise StoreError(
            "a store on a PostgreSQL server is backed up by that server's own means, such as pg_dump; "
            "gyle export writes it as text files"
        )
    with new_place(path, "backup") as part:
        copy_whole(source, part)


def only_read(file: Path) -> sqlite3.Connection:
    """Open a file of SQLite in such a way that nothing of it is changed, not even put in order."""
    return sqlite3.connect(f"{file.absolute().as_uri()}?mode=ro", uri=True)


def copy_whole(source: Path, target: Path) -> None:
    """Copy a file of SQLite while others use it, and see that the copy is whole.

    Raises
    ------
    StoreError
        If it is not; the driver's own errors and the system's are left to the caller.
    """
    with contextlib.closing(only_read(source)) as here, contextlib.closing(sqlite3.connect(target)) as there:
        here.backup(there)
        there.execute("PRAGMA journal_mode = DELETE")  # so that one file is all of it
        found = there.execute("PRAGMA integrity_check").fetchone()[0]
    if found != "ok":
        raise StoreError("the store is damaged, so no backup of it was kept; put an older backup in its place")
    with open(target, "rb+") as file:
        os.fsync(file.fileno())
