"""The stock: one text of what lies on the brewer's shelf and which instruments there are."""

from __future__ import annotations

from gyle.books.papers import Paper, find_paper, paper, record_paper, revisions, save_paper
from gyle.books.refusals import MovedOn, NotThere
from gyle.books.store import Store
from gyle.books.wording import checked_text

__all__ = ["save_stock", "stock", "stock_revisions"]

SLUG = "stock"
NAME = "Stock"


def stock(store: Store, *, number: int | None = None) -> Paper | None:
    """Return the stock, None where nothing was ever written down.

    Raises
    ------
    NotThere
        If there is no such revision.
    StoreError
        If the store cannot be read.
    """
    try:
        return paper(store, "stock", SLUG, number=number)
    except NotThere:
        if number is not None:
            raise
        return None


def save_stock(store: Store, *, text: str, seen: int | None) -> Paper:
    """Save the next revision of the stock; `seen` is None where there was none.

    Raises as `gyle.books.papers.save_paper` does.
    """
    if seen is not None:
        return save_paper(store, "stock", SLUG, text=text, seen=seen)
    with store.writing() as connection:
        try:
            now = find_paper(connection, "stock", SLUG)
        except NotThere:
            return record_paper(connection, "stock", text=text, name=NAME, slug=SLUG)
    if checked_text(text, "the stock") == now.text:
        return now
    raise MovedOn(
        f"the stock was written down elsewhere meanwhile, and is at revision {now.number}; "
        "nothing was changed, look at both and save again",
        newest=now,
        mine=text,
    )


def stock_revisions(store: Store) -> tuple[Paper, ...]:
    """Return every revision of the stock, the newest first; none where nothing was ever written down."""
    return () if stock(store) is None else revisions(store, "stock", SLUG)
