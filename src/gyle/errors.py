"""Every error a part of gyle may raise, in one tree.

::

    GyleError               anything gyle says no to, with one sentence fit for a person
    ├── BadInput            a person's file, option or reading is wrong; carries every fault found
    ├── OutOfRange          an equation was asked for something outside its hard range
    ├── Infeasible          the wish is well-formed, but no amount of anything fulfils it
    └── StoreError          a file or store could not be read or written

A message is one sentence: what, the value seen, what would be right. It names no class and shows no
traceback. Each edge (command line, page, file reader) catches `GyleError` once and adds *where*.
"""

from __future__ import annotations

from collections.abc import Iterable

__all__ = ["BadInput", "GyleError", "Infeasible", "OutOfRange", "StoreError"]


class GyleError(Exception):
    """Anything gyle refuses; its text is one sentence for a person."""


class BadInput(GyleError):
    """Something a person wrote cannot be used.

    Parameters
    ----------
    faults : str or iterable of str
        One sentence for each fault found; all faults of a file travel together.
    """

    def __init__(self, faults: str | Iterable[str]) -> None:
        self.faults: tuple[str, ...] = (faults,) if isinstance(faults, str) else tuple(faults)
        super().__init__("\n".join(self.faults))

    def at(self, where: str) -> BadInput:
        """Return the same faults with the place they were found in front."""
        return BadInput(f"{where}: {fault}" for fault in self.faults)


class OutOfRange(GyleError):
    """An equation was given a value outside the range in which it means anything."""


class Infeasible(GyleError):
    """A wish that is well-formed but that nothing fulfils; the text says how far one can go."""


class StoreError(GyleError):
    """A file or store could not be read or written; nothing was changed."""
