"""Where the example files lie."""

from __future__ import annotations

from pathlib import Path

from gyle.errors import StoreError

__all__ = ["examples"]


def examples() -> Path:
    """Return the folder of the Lantern Street files: as installed with the program, or in a checkout of it.

    Raises
    ------
    StoreError
        If they were not installed.
    """
    here = Path(__file__).resolve()
    for folder in (here.parents[1] / "examples", here.parents[3] / "examples"):
        found = folder / "lantern-street"
        if (found / "copper-beacon.toml").is_file():
            return found
    raise StoreError("the Lantern Street examples were not installed with gyle")
