"""A place to write something new: what is there already is never written over, and what is half done never stays."""

from __future__ import annotations

import contextlib
import os
import shutil
from collections.abc import Iterator
from pathlib import Path

from gyle.books.trouble import told
from gyle.errors import BadInput

__all__ = ["new_place", "settle"]


@contextlib.contextmanager
def new_place(path: str | os.PathLike[str], what: str) -> Iterator[Path]:
    """Give a place beside the wanted one; it takes the wanted name when the block ends, and goes when the block fails.

    Parameters
    ----------
    path : path-like
        Where the file or folder is wanted.
    what : str
        What it is, in a sentence: "backup".

    Raises
    ------
    BadInput
        If something has that name already, it is no name, or there is no folder to write it into.
    StoreError
        If it cannot be written.
    """
    target = Path(path)
    if not str(target).isprintable() or not target.name:
        raise BadInput(f"the {what} has no name that can be given to it; write another")
    part = target.with_name(f".{target.name}.part")
    with told(f"no {what} can be written"):
        if os.path.lexists(target):
            raise BadInput(f"there is something called {target.name} already, and it is not written over")
        if not target.parent.is_dir():
            raise BadInput(f"there is no folder {target.absolute().parent.name} to write {target.name} into")
        try:
            _clear(part)
            yield part
            os.rename(part, target)
            settle(target.parent)
        finally:
            with contextlib.suppress(OSError):
                _clear(part)


def settle(folder: Path) -> None:
    """Make new names in a folder durable where a folder can be synced, which Windows does not offer."""
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _clear(part: Path) -> None:
    if part.is_dir() and not part.is_symlink():
        shutil.rmtree(part)
    else:
        part.unlink(missing_ok=True)
