"""What a database says when something is wrong, as one sentence for a person."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import SQLAlchemyError
from sqlalchemy.exc import TimeoutError as PoolTimeoutError

from gyle.errors import StoreError

__all__ = ["Damaged", "sentence_of", "told"]

_DAMAGED = "the file of the store is damaged; put a backup in its place"

# By the name of SQLite's result code, of which the longer ones begin with the shorter.
_SQLITE = {
    "SQLITE_BUSY": "another program is writing into the store and has not finished; try again in a moment",
    "SQLITE_LOCKED": "another program is writing into the store and has not finished; try again in a moment",
    "SQLITE_FULL": "the disk is full; make room and try again",
    "SQLITE_READONLY": "the store may only be read, not written; look at the rights of its file and folder",
    "SQLITE_NOTADB": "the file is no store of gyle; name another place, or move the file away",
    "SQLITE_CORRUPT": _DAMAGED,
    "SQLITE_CANTOPEN": "the file of the store cannot be opened; look at the rights of its file and folder",
    "SQLITE_PERM": "the system does not let the store be opened; look at the rights of its file and folder",
    "SQLITE_IOERR": "the disk does not read or write as it should; look at it, and have a backup at hand",
    "SQLITE_NOMEM": "there is not enough memory for it",
    "SQLITE_TOOBIG": "a text is larger than the store can keep",
    "SQLITE_ERROR": "its tables are not as gyle left them; put a backup in its place",
}
# By PostgreSQL's own five-character state, or its first two characters.
_POSTGRESQL = {
    "55P03": "another program is writing into the store and has not finished; try again in a moment",
    "57014": "the database server gave up after waiting too long; try again in a moment",
    "40": "another program changed the store at the same time; try again",
    "25006": "the store may only be read, not written",
    "42501": "the database server does not give this user the rights that are needed",
    "28": "the database server does not let this user in; look at the name and the password in the URL",
    "3D000": "the database server has no database of that name; make it first",
    "53100": "the database server's disk is full; make room and try again",
    "53": "the database server has run out of room or of connections; try again in a moment",
    "08": (
        "the database server cannot be reached or lets nobody in; look whether it runs, and at the address, the name, "
        "the password and the database in the URL"
    ),
    "57": "the database server is shutting down or starting; try again in a moment",
}


class Damaged(Exception):
    """What the store gave back is nothing that was ever put into it."""


def sentence_of(error: BaseException) -> str:
    """Return what a database's error means; no text of the person's and nothing of a URL is in it."""
    original = getattr(error, "orig", None) or error
    if isinstance(error, PoolTimeoutError):
        return "too much is asked of the store at once; try again in a moment"
    if isinstance(original, (Damaged, UnicodeDecodeError)) or "Could not decode to UTF-8" in str(original):
        return _DAMAGED
    code = getattr(original, "sqlite_errorname", None) or ""
    for start, meaning in _SQLITE.items():
        if code.startswith(start):
            return meaning
    state = getattr(original, "sqlstate", None) or ""
    for length in (5, 2):
        if state[:length] in _POSTGRESQL:
            return _POSTGRESQL[state[:length]]
    if type(original).__module__.startswith("psycopg") and not state:  # it never came to speak with a database
        return _POSTGRESQL["08"]
    return f"the database refuses ({code or state or type(original).__name__})"


@contextmanager
def told(what: str) -> Iterator[None]:
    """Turn an error of the database into a `StoreError`; `what` says what could not be done."""
    try:
        yield
    except SQLAlchemyError as error:
        raise StoreError(f"{what}: {sentence_of(error)}; nothing was changed") from error
    except (Damaged, UnicodeDecodeError) as error:
        raise StoreError(f"{what}: {sentence_of(error)}; nothing was changed") from error
    except OSError as error:
        raise StoreError(f"{what}: {(error.strerror or 'the system refuses').lower()}; nothing was changed") from error
    except Exception as error:
        # Backups and pragmas speak to the driver itself; its errors carry these marks.
        if getattr(error, "sqlite_errorname", None) or getattr(error, "sqlstate", None):
            raise StoreError(f"{what}: {sentence_of(error)}; nothing was changed") from error
        raise
