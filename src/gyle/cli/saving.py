"""Writing a file whole or not at all."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Iterable
from pathlib import Path

from gyle.errors import BadInput, StoreError

__all__ = ["save", "savable"]


def savable(out: str, *, read: Iterable[str | None]) -> Path:
    """Return where a file would be written, or refuse the place.

    Parameters
    ----------
    out : str
        What the person asked for.
    read : iterable of str or None
        The files this command reads; none of them is written over.

    Raises
    ------
    BadInput
        If it is a folder, no ordinary file, one of the files read, or its folder does not exist.
    """
    path = Path(out)
    try:
        target = path.resolve()
        if target.is_dir():
            raise BadInput(f"{path.name or out} is a folder; --out wants the name of a file")
        if target.exists() and not target.is_file():
            raise BadInput(f"{path.name} is no ordinary file; --out wants the name of a file")
        if not target.parent.is_dir():
            raise BadInput(f"there is no folder {target.parent.name} to write {path.name} into")
        for other in read:
            if other is not None and target.exists() and os.path.exists(other) and os.path.samefile(target, other):
                raise BadInput(f"{path.name} is read by this command and is not written over; choose another name")
    except (OSError, ValueError, RuntimeError) as error:
        raise BadInput(
            f"no file can be written there: {getattr(error, 'strerror', None) or 'the name is no name'}"
        ) from None
    return target


def save(target: Path, text: str) -> None:
    """Write a text beside its place and move it there in one step.

    Raises
    ------
    StoreError
        If the system does not let it be written; nothing was changed.
    """
    temporary = None
    try:
        handle, temporary = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name[:40]}.", suffix=".part")
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(temporary, _mode(target))
        os.replace(temporary, target)
        temporary = None
    except OSError as error:
        reason = (error.strerror or "the system refuses").lower()
        raise StoreError(f"{target.name} cannot be written: {reason}") from None
    finally:
        if temporary is not None:
            with contextlib.suppress(OSError):
                os.unlink(temporary)


def _mode(target: Path) -> int:
    """The rights the file has, or those the person's own files get."""
    if target.exists():
        return target.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
