"""The time zone of this machine, by the name a calendar keeps it under."""

from __future__ import annotations

import os
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

__all__ = ["local_zone"]

LOCALTIME = Path("/etc/localtime")  # a link into the zones' folder on most systems
TIMEZONE = Path("/etc/timezone")
_FOLDER = "zoneinfo/"
_HOUR = timedelta(hours=1)


def local_zone() -> str:
    """Return the name of the zone this machine's clock keeps, such as "Europe/Dublin".

    Where no name is found, a zone of the clock's present whole hours from UTC, which knows no summer time.
    """
    for name in (os.environ.get("TZ", "").lstrip(":"), _linked(), _written()):
        if name and _known(name):
            return name
    return _by_offset()


def _linked() -> str:
    try:
        target = os.path.realpath(LOCALTIME)
    except OSError:
        return ""
    return target.rpartition(_FOLDER)[2] if _FOLDER in target else ""


def _written() -> str:
    try:
        return TIMEZONE.read_text(encoding="ascii").strip()
    except (OSError, UnicodeDecodeError):
        return ""


def _known(name: str) -> bool:
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True


def _by_offset() -> str:
    offset = datetime.now().astimezone().utcoffset() or timedelta()
    hours = round(offset / _HOUR)
    name = f"Etc/GMT{-hours:+d}" if hours else "UTC"  # these names count westwards
    return name if _known(name) else "UTC"
