"""A sent form as its fields, also those that were emptied, which as a parameter of a route would be left out."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from starlette.requests import Request

__all__ = ["sent_pairs"]


async def sent_pairs(request: Request, *, most: int) -> list[tuple[str, str]]:
    """Return fields and their values in order; files are left out.

    Parameters
    ----------
    request : Request
        What was sent.
    most : int
        Of more fields than these nothing is read.
    """
    form = await request.form(max_files=0, max_fields=most)
    return [(name, value) for name, value in form.multi_items() if isinstance(value, str)]
