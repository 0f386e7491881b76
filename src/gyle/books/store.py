"""The store: one SQLite file, or one PostgreSQL database by its URL.

A write is durable before the function that made it returns.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType

from sqlalchemy import URL, Connection, Engine

from gyle.books.engine import checked_url, make_engine
from gyle.books.migration import bring_up
from gyle.books.place import store_file
from gyle.books.trouble import told

__all__ = ["TIMEOUT_SECONDS", "Store", "address_of", "open_file", "open_store"]

TIMEOUT_SECONDS = 10.0


class Store:
    """An open store, used from any thread. `open_store` makes one.

    Parameters
    ----------
    engine : Engine
        Where it is kept; its layout is the present one.
    """

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._writer = engine.execution_options(write=True)

    @property
    def kind(self) -> str:
        """Return "sqlite" or "postgresql"."""
        return self._engine.dialect.name

    @property
    def file(self) -> Path | None:
        """Return its file, None if it is on a server."""
        return Path(str(self._engine.url.database)) if self.kind == "sqlite" else None

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Give a connection that sees the store as it is now, whatever is written meanwhile.

        Raises
        ------
        StoreError
            If the store cannot be read.
        """
        with told("the store cannot be read"), self._engine.connect() as connection, connection.begin():
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Give the one connection that writes; all of it holds when the block ends, or none of it.

        Raises
        ------
        StoreError
            If the store cannot be written.
        """
        with told("the store cannot be written"), self._writer.begin() as connection:
            yield connection

    def close(self) -> None:
        """Let go of the file or server; no thread may be using it."""
        self._engine.dispose()

    def __enter__(self) -> Store:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()


def address_of(url: str | None = None) -> URL:
    """Return where a store is kept.

    Parameters
    ----------
    url : str, optional
        ``sqlite:////folder/gyle.db`` or ``postgresql://user@host/database``. None: the URL in GYLE_STORE; else the file
        gyle.db in the folder GYLE_HOME, or in the platform's folder for such data.

    Raises
    ------
    StoreError
        If it is no such URL, or the folder cannot be made.
    """
    named = url if url is not None else os.environ.get("GYLE_STORE", "").strip() or None
    return checked_url(named) if named is not None else URL.create("sqlite", database=os.fspath(store_file()))


def open_store(url: str | None = None, *, timeout_seconds: float = TIMEOUT_SECONDS) -> Store:
    """Open a store, which is made or brought to the present layout if need be.

    Parameters
    ----------
    url : str, optional
        As `address_of` takes it.
    timeout_seconds : float
        How long a writer waits for another.

    Raises
    ------
    StoreError
        If it cannot be opened, belongs to another program, or was written by a newer gyle.
    """
    return _opened(address_of(url), timeout_seconds=timeout_seconds)


def open_file(file: Path, *, timeout_seconds: float = TIMEOUT_SECONDS) -> Store:
    """Open the store in a file, whose name may hold what a URL would take for its own; see `open_store`."""
    return _opened(URL.create("sqlite", database=os.fspath(file)), timeout_seconds=timeout_seconds)


def _opened(address: URL, *, timeout_seconds: float) -> Store:
    engine = make_engine(address, timeout_seconds=timeout_seconds)
    try:
        bring_up(engine, timeout_seconds=timeout_seconds)
    except BaseException:
        engine.dispose()
        raise
    return Store(engine)
