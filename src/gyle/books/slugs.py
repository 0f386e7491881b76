"""Slugs: the short plain names by which things stand in an address."""

from __future__ import annotations

import re

from sqlalchemy import Column, Connection, or_, select

from gyle.books.refusals import NotThere
from gyle.books.wording import folded

__all__ = ["LARGEST_NUMBER", "SLUG_LENGTH", "checked_number", "checked_slug", "free_slug", "slug_named", "slug_of"]

SLUG_LENGTH = 80
LARGEST_NUMBER = 2**31 - 1  # of a PostgreSQL integer
_FROM_A_NAME = 60  # leaves room for a date and a number
_SLUG = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
# Words that stand in the same place of an address as a slug.
_TAKEN = frozenset({"new", "search", "import", "all"})


def slug_of(name: str, *, otherwise: str = "beer") -> str:
    """Return the slug a name asks for; `otherwise` where nothing of it can stand in an address."""
    words = re.sub(r"[^a-z0-9]+", "-", folded(name).replace("'", "").replace("’", "")).strip("-")
    return words[:_FROM_A_NAME].rstrip("-") or otherwise


def slug_named(name: str) -> str:
    """Return the slug a text means by a name, which may be the slug, the name or the file's; "" where none can be."""
    return slug_of(name.strip().removesuffix(".toml"), otherwise="")


def free_slug(connection: Connection, column: Column[str], wanted: str, *also: object) -> str:
    """Return a slug that nothing in the column has: the wanted one, or with the next free number behind it.

    `also` are further conditions that a row must meet to be in the way.
    """
    near = select(column).where(or_(column == wanted, column.startswith(f"{wanted}-", autoescape=True)), *also)  # type: ignore[arg-type]
    there = set(connection.scalars(near)) | _TAKEN
    if wanted not in there:
        return wanted
    number = 2
    while f"{wanted}-{number}" in there:
        number += 1
    return f"{wanted}-{number}"


def checked_slug(slug: str, what: str) -> str:
    """Return a slug that came in an address.

    Raises
    ------
    NotThere
        If nothing can have that slug.
    """
    if len(slug) > SLUG_LENGTH or not _SLUG.fullmatch(slug):
        raise NotThere(f"there is no such {what} in the store")
    return slug


def checked_number(number: int, what: str) -> int:
    """Return a number that came in an address; raises as `checked_slug` does."""
    if not 0 < number <= LARGEST_NUMBER:
        raise NotThere(f"there is no such {what} in the store")
    return number
