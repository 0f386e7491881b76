"""A text kept as a step, whatever became of the draft meanwhile."""

from __future__ import annotations

import pytest

from gyle.books import drafts, versions
from gyle.books.refusals import NotThere
from gyle.books.store import Store
from gyle.web.beer_state import beer_state
from gyle.web.draft_steps import kept_step, sent_state, text_seen

BEER = "copper-beacon"
HOME = f"/beers/{BEER}"


def edited(store: Store, remark: str) -> str:
    return f"{versions.version(store, BEER).text}# {remark}\n"


def test_without_a_draft_one_is_opened(store: Store) -> None:
    state = beer_state(store, BEER)
    kept = kept_step(store, state, seen=None, text=edited(store, "one"), said="one")
    assert (kept.draft.base, kept.draft.text) == (state.base.number, edited(store, "one"))
    assert kept.address(HOME) == f"{HOME}?draft={kept.draft.id}"


def test_a_step_that_was_seen_is_gone_on_from_and_another_is_forked(store: Store) -> None:
    first = kept_step(store, beer_state(store, BEER), seen=None, text=edited(store, "one"), said="one").draft
    state = beer_state(store, BEER)
    second = kept_step(store, state, seen=first.pointer, text=edited(store, "two"), said="two")
    assert (second.draft.id, second.forked) == (first.id, None)
    late = kept_step(store, beer_state(store, BEER), seen=first.pointer, text=edited(store, "three"), said="three")
    assert late.draft.id != first.id
    assert late.address(HOME) == f"{HOME}?draft={late.draft.id}&kept=moved"
    assert drafts.draft(store, first.id).text == edited(store, "two")


@pytest.mark.parametrize("saved", [True, False])
def test_a_draft_that_is_closed_leaves_its_version_and_a_sentence(store: Store, saved: bool) -> None:
    draft = kept_step(store, beer_state(store, BEER), seen=None, text=edited(store, "one"), said="one").draft
    newest = drafts.save_draft(store, draft.id, seen=1).number if saved else draft.base
    if not saved:
        drafts.drop(store, draft.id, seen=1)
    drafts.open_draft(store, BEER)  # which the page knows nothing of
    state, closed = sent_state(store, BEER, base=str(draft.base), draft=str(draft.id))
    assert (state.draft, state.base.number) == (None, draft.base)
    assert closed.endswith("no longer open: it was saved or put aside.")
    state, closed = sent_state(store, BEER, base=None, draft=str(draft.id))
    assert (state.draft, state.base.number) == (None, newest)
    kept = kept_step(store, state, seen=1, text=edited(store, "two"), said="two")
    assert kept.address(HOME, closed=closed).endswith("&kept=closed")


def test_what_was_never_there_is_not_made_up(store: Store) -> None:
    with pytest.raises(NotThere, match="no beer"):
        sent_state(store, "nobody", base="1", draft="3")
    with pytest.raises(NotThere, match="no version 99"):
        sent_state(store, BEER, base="99", draft=None)


def test_the_text_a_page_showed_is_found_while_it_is_kept(store: Store) -> None:
    state = beer_state(store, BEER)
    assert text_seen(store, state, 7) == state.text
    kept_step(store, state, seen=None, text=edited(store, "one"), said="one")
    state = beer_state(store, BEER)
    assert text_seen(store, state, 0) == state.base.text
    assert text_seen(store, state, 1) == text_seen(store, state, None) == text_seen(store, state, 9) == state.text
