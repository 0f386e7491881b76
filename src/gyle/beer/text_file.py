"""Writing a text file whole or not at all."""

from __future__ import annotations

import contextlib
import os
import stat
import tempfile
from pathlib import Path

from gyle.errors import StoreError

__all__ = ["write_text"]


def write_text(path: str | os.PathLike[str], text: str) -> None:
    """Write a text to a file, whole or not at all.

    Raises
    ------
    StoreError
        If it cannot be written; nothing is changed then.
    """
    name = Path(path).name or str(path)
    try:
        target = Path(os.path.realpath(path))
        if target.is_dir():
            raise StoreError(f"{name} is a folder, and a file was to be written; nothing was changed")
        _replace_file(target, text.encode("utf-8"))
    except ValueError:
        raise StoreError("the file's name holds a character no name can hold; nothing was changed") from None
    except OSError as error:
        reason = (error.strerror or "the system refuses").lower()
        raise StoreError(f"{name} cannot be written: {reason}; nothing was changed") from None


def _replace_file(target: Path, content: bytes) -> None:
    handle, draft = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name[:100]}.", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        mode = stat.S_IMODE(target.stat().st_mode) if target.exists() else 0o666 & ~_umask()
        os.chmod(draft, mode)
        os.replace(draft, target)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(draft)
        raise


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
