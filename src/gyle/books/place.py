"""Where the store lies when nobody names a place: the folder GYLE_HOME, or the platform's folder for such data."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from gyle.errors import StoreError

__all__ = ["home", "store_file"]

FILE_NAME = "gyle.db"


def home() -> Path:
    """Return the folder of the store, which may not be there yet.

    Raises
    ------
    StoreError
        If the person has no home folder.
    """
    try:
        if named := os.environ.get("GYLE_HOME", "").strip():
            return Path(named).expanduser().absolute()
        if sys.platform == "win32":
            return Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local") / "gyle"
        if sys.platform == "darwin":
            return Path.home() / "Library" / "Application Support" / "gyle"
        data = Path(os.environ.get("XDG_DATA_HOME", ""))  # only a full path counts, as that standard says
        return (data if data.is_absolute() else Path.home() / ".local" / "share") / "gyle"
    except (RuntimeError, OSError, ValueError):
        raise StoreError("there is no home folder to keep the store in; name a folder with GYLE_HOME") from None


def store_file() -> Path:
    """Return the file of the store; its folder is made if it is missing.

    Raises
    ------
    StoreError
        If the folder cannot be made.
    """
    folder = home()
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or "the name is no name").lower()
        raise StoreError(
            f"the folder {folder.name!r} of the store cannot be made: {reason}; name another with GYLE_HOME"
        ) from None
    return folder / FILE_NAME
