"""Where a command may write a file."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

from gyle.errors import BadInput

__all__ = ["savable"]


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
