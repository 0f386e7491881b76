"""A brewhouse or a water as the text it is kept as: looked at, taken away, written over whole."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import attrs
from starlette.responses import RedirectResponse, Response

from gyle.books.papers import paper, save_paper
from gyle.books.refusals import MovedOn
from gyle.errors import GyleError
from gyle.quantities import speaking
from gyle.share.sentences import as_sentence, faults_of
from gyle.web.beer_state import whole_number
from gyle.web.rendering import answer
from gyle.web.setting import setting_of

if TYPE_CHECKING:
    from starlette.requests import Request

    from gyle.books.papers import Kind, Paper
    from gyle.books.store import Store

__all__ = ["PaperText"]

CONFLICT, UNREADABLE = 409, 422


@attrs.frozen(kw_only=True)
class PaperText:
    """The page of one kind of text.

    Parameters
    ----------
    kind : {"brewhouse", "water"}
        What the texts are.
    shelf : str
        The address below which they stand.
    back : str
        What the way back is called.
    read : callable
        Reads a text kept under a slug; raises GyleError where it cannot be read.
    told : str
        What follows the address that is led to once a text is kept.
    """

    kind: Kind
    shelf: str
    back: str
    read: Callable[[Store, str, str], object]
    told: str = ""

    def answer(
        self,
        request: Request,
        kept: Paper,
        text: str,
        *,
        faults: tuple[str, ...] = (),
        theirs: str = "",
        seen: str = "",
    ) -> Response:
        """Show a text, what is wrong with it, and beside it the one that was kept meanwhile."""
        context = {
            "paper": kept,
            "kind": self.kind,
            "home": f"{self.shelf}/{kept.slug}",
            "way_back": self.back,
            "text": text,
            "theirs": theirs,
            "seen": seen or str(kept.number),
            "faults": [as_sentence(fault) for fault in faults],
        }
        status = CONFLICT if theirs else UNREADABLE if faults else 200
        return answer(request, "paper_text.html", context, status=status)

    def rewritten(self, request: Request, slug: str, text: str, *, seen: str) -> Response:
        """Take a whole text, made from the revision that was seen."""
        store: Store = request.app.state.store
        kept = paper(store, self.kind, slug)
        written = text.replace("\r\n", "\n")
        with speaking(setting_of(request).units):
            try:
                self.read(store, written, slug)
                save_paper(store, self.kind, slug, text=written, seen=whole_number(seen) or 0)
            except MovedOn as error:
                now = paper(store, self.kind, slug)
                return self.answer(request, now, written, faults=error.faults, theirs=now.text)
            except GyleError as error:
                return self.answer(request, kept, written, faults=faults_of(error), seen=seen)
        return RedirectResponse(f"{self.shelf}/{kept.slug}{self.told}", 303)
