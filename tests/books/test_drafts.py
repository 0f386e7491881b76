"""Drafts: steps, undo and redo, and two tabs on the same one."""

from __future__ import annotations

from typing import NamedTuple

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import event

from gyle.books import draft_rows
from gyle.books.beers import add_beer, beer
from gyle.books.drafts import (
    Draft,
    Forked,
    append_step,
    draft,
    drafts_of,
    drop,
    open_draft,
    redo,
    save_draft,
    shape_on,
    step_text,
    undo,
)
from gyle.books.refusals import MovedOn, NotThere
from gyle.books.store import Store
from gyle.books.versions import save_version, version, versions
from gyle.errors import BadInput

BASE = 'name = "Tram"\n'


@pytest.fixture
def fresh(store: Store) -> Draft:
    """A draft of a beer with one version, without a step."""
    add_beer(store, text=BASE, brewhouse="shed")
    return open_draft(store, "tram")


def edited(store: Store, of: Draft, text: str) -> Draft:
    """Append to a draft that has not moved on."""
    after = append_step(store, of.id, seen=of.pointer, text=text, said=f"made it {text}")
    assert isinstance(after, Draft)
    return after


def forked(store: Store, of: Draft, text: str) -> Forked:
    """Append to a draft that has moved on."""
    after = append_step(store, of.id, seen=of.pointer, text=text, said=f"made it {text}")
    assert isinstance(after, Forked)
    return after


def texts(store: Store, of: Draft) -> list[str]:
    return [step_text(store, of.id, step.number) for step in of.steps]


def test_a_new_draft_holds_its_base(store: Store, fresh: Draft) -> None:
    assert (fresh.beer, fresh.base, fresh.brewhouse, fresh.text, fresh.pointer) == ("tram", 1, "shed", BASE, 0)
    assert [step.number for step in fresh.steps] == [0]
    assert fresh.undoable is None
    assert fresh.redoable is None
    assert draft(store, fresh.id) == fresh
    assert drafts_of(store, "tram") == (fresh,)


def test_a_draft_may_begin_from_an_older_version_with_a_first_step(store: Store, fresh: Draft) -> None:
    save_version(store, "tram", text="# 2", parent=1)
    made = open_draft(store, "tram", base=1, brewhouse="kitchen", text="# a", said="boil  60 → 75 min\n")
    assert (made.base, made.brewhouse, made.text, made.pointer) == (1, "kitchen", "# a", 1)
    assert made.undoable is not None
    assert made.undoable.said == "boil 60 → 75 min"
    assert texts(store, made) == [BASE, "# a"]
    assert open_draft(store, "tram").base == 2


def test_steps_can_be_taken_back_and_brought_back(store: Store, fresh: Draft) -> None:
    two = edited(store, edited(store, fresh, "# a"), "# b")
    assert two.text == "# b"
    one = undo(store, two.id, seen=two.pointer)
    assert (one.text, one.undoable and one.undoable.said, one.redoable and one.redoable.said) == (
        "# a", "made it # a", "made it # b",
    )  # fmt: skip
    none = undo(store, one.id, seen=one.pointer)
    assert none.text == BASE
    assert undo(store, none.id, seen=none.pointer).text == BASE
    again = redo(store, none.id, seen=none.pointer)
    last = redo(store, again.id, seen=again.pointer)
    assert (again.text, last.text) == ("# a", "# b")
    assert redo(store, last.id, seen=last.pointer).text == "# b"


def test_a_new_step_drops_the_undone_ones_and_takes_no_number_a_second_time(store: Store, fresh: Draft) -> None:
    two = edited(store, edited(store, fresh, "# a"), "# b")
    back = undo(store, two.id, seen=two.pointer)
    other = edited(store, back, "# c")
    assert texts(store, other) == [BASE, "# a", "# c"]
    assert [step.number for step in other.steps] == [0, 1, 3]
    assert other.redoable is None
    # A tab that still shows the step that is gone cannot be mistaken for one that shows the new step.
    late = forked(store, two, "# d")
    assert texts(store, late.draft) == [BASE, "# a", "# d"]
    assert late.other == other


def test_an_edit_on_an_older_step_goes_to_a_draft_of_its_own(store: Store, fresh: Draft) -> None:
    one = edited(store, fresh, "# a")
    here = edited(store, edited(store, one, "# here"), "# more")
    there = forked(store, one, "# there")
    assert there.other == here
    assert there.saved_as is None
    assert there.draft.forked_from == fresh.id
    assert (there.draft.base, there.draft.brewhouse) == (1, "shed")
    assert texts(store, there.draft) == [BASE, "# a", "# there"]
    assert texts(store, draft(store, fresh.id)) == [BASE, "# a", "# here", "# more"]
    assert [one.id for one in drafts_of(store, "tram")] == [there.draft.id, fresh.id]


def test_an_edit_on_a_step_another_tab_took_back_keeps_it(store: Store, fresh: Draft) -> None:
    one = edited(store, fresh, "# a")
    undo(store, one.id, seen=one.pointer)
    assert texts(store, forked(store, one, "# b").draft) == [BASE, "# a", "# b"]
    assert texts(store, draft(store, fresh.id)) == [BASE, "# a"]


def test_an_edit_sent_twice_is_kept_once(store: Store, fresh: Draft) -> None:
    once = edited(store, fresh, "# a")
    assert append_step(store, fresh.id, seen=0, text="# a", said="made it # a") == once
    edited(store, once, "# b")
    fork = forked(store, fresh, "# c")
    assert forked(store, fresh, "# c") == fork
    assert len(drafts_of(store, "tram")) == 2


def test_an_edit_that_changes_nothing_adds_no_step(store: Store, fresh: Draft) -> None:
    assert append_step(store, fresh.id, seen=0, text=BASE, said="nothing") == fresh


@pytest.mark.parametrize("seen", [-1, 99, 2**31, 10**40, -(10**40)])
def test_a_step_that_never_was_counts_as_another(store: Store, fresh: Draft, seen: int) -> None:
    after = append_step(store, fresh.id, seen=seen, text="# a", said="")
    assert isinstance(after, Forked)
    assert texts(store, after.draft) == [BASE, "# a"]
    assert after.other == fresh


@pytest.mark.parametrize("deed", [undo, redo, save_draft, drop])
def test_a_tab_that_is_behind_is_told_so_and_changes_nothing(store: Store, fresh: Draft, deed: object) -> None:
    now = edited(store, fresh, "# a")
    with pytest.raises(MovedOn, match="has moved on in another tab") as caught:
        deed(store, fresh.id, seen=fresh.pointer)  # type: ignore[operator]
    assert caught.value.newest == now == draft(store, fresh.id)
    assert beer(store, "tram").newest == 1


def test_a_saved_draft_is_a_version_and_closed(store: Store, fresh: Draft) -> None:
    two = edited(store, edited(store, fresh, "# a"), "# b")
    one = undo(store, two.id, seen=two.pointer)
    saved = save_draft(store, one.id, seen=one.pointer, why="better so", summary={"og": 1.05})
    assert saved == version(store, "tram")
    assert (saved.number, saved.parent, saved.text, saved.why, saved.brewhouse, saved.summary) == (
        2, 1, "# a", "better so", "shed", {"og": 1.05},
    )  # fmt: skip
    assert drafts_of(store, "tram") == ()
    with pytest.raises(NotThere, match="was saved as version 2"):
        draft(store, fresh.id)
    # Asked twice, it is saved once.
    assert save_draft(store, one.id, seen=one.pointer, why="better so") == saved
    assert len(versions(store, "tram")) == 2


def test_a_draft_that_cannot_be_saved_stays_open(store: Store, fresh: Draft) -> None:
    now = edited(store, fresh, "# a")
    with pytest.raises(BadInput, match="at most 400"):
        save_draft(store, now.id, seen=now.pointer, why="x" * 500)
    assert draft(store, now.id) == now
    assert beer(store, "tram").newest == 1


def test_work_on_a_draft_saved_in_another_tab_goes_on_from_what_was_saved(store: Store, fresh: Draft) -> None:
    now = edited(store, fresh, "# a")
    save_draft(store, now.id, seen=now.pointer)
    fork = forked(store, now, "# b")
    assert (fork.other, fork.saved_as, fork.draft.base) == (None, 2, 2)
    assert texts(store, fork.draft) == ["# a", "# b"]
    assert forked(store, now, "# b") == fork
    behind = forked(store, fresh, "# c")
    assert (behind.saved_as, behind.draft.base) == (2, 1)
    assert texts(store, behind.draft) == [BASE, "# c"]


def test_work_on_a_dropped_draft_is_kept_in_a_new_one(store: Store, fresh: Draft) -> None:
    drop(store, fresh.id, seen=0)
    drop(store, fresh.id, seen=0)
    assert drafts_of(store, "tram") == ()
    with pytest.raises(NotThere, match="was dropped"):
        undo(store, fresh.id, seen=0)
    with pytest.raises(NotThere, match="was dropped"):
        save_draft(store, fresh.id, seen=0)
    fork = forked(store, fresh, "# a")
    assert (fork.other, fork.saved_as) == (None, None)
    assert texts(store, fork.draft) == [BASE, "# a"]


def test_a_saved_draft_cannot_be_dropped(store: Store, fresh: Draft) -> None:
    save_draft(store, fresh.id, seen=0)
    with pytest.raises(NotThere, match="was saved as version 2"):
        drop(store, fresh.id, seen=0)


def test_a_draft_is_shaped_on_another_brewhouse(store: Store, fresh: Draft) -> None:
    assert shape_on(store, fresh.id, "kitchen").brewhouse == "kitchen"
    assert shape_on(store, fresh.id, None).brewhouse is None
    assert draft(store, fresh.id).steps == fresh.steps


def test_a_draft_that_never_was_is_not_there(store: Store) -> None:
    for number in (1, 0, -1, 10**40):
        with pytest.raises(NotThere):
            append_step(store, number, seen=0, text="x", said="")
        with pytest.raises(NotThere):
            draft(store, number)


def test_a_step_that_never_was_is_not_there(store: Store, fresh: Draft) -> None:
    for number in (1, -1, 10**40):
        with pytest.raises(NotThere):
            step_text(store, fresh.id, number)


@pytest.mark.parametrize("text", ["", "\0", "\ud800", "x" * 1_000_001])
def test_a_text_that_cannot_be_kept_changes_nothing(store: Store, fresh: Draft, text: str) -> None:
    for seen in (0, 7):
        with pytest.raises(BadInput, match="nothing was changed"):
            append_step(store, fresh.id, seen=seen, text=text, said="")
    assert drafts_of(store, "tram") == (fresh,)


def test_the_oldest_steps_go_where_there_are_too_many(
    store: Store, fresh: Draft, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(draft_rows, "MOST_STEPS", 3)
    now = fresh
    for number in range(1, 8):
        now = edited(store, now, f"# {number}")
    assert texts(store, now) == ["# 4", "# 5", "# 6", "# 7"]  # three steps can be taken back
    late = forked(store, fresh, "# late")  # every step it could have seen has gone but its base is known
    assert texts(store, late.draft) == [BASE, "# late"]
    assert texts(store, draft(store, fresh.id)) == ["# 4", "# 5", "# 6", "# 7"]


def test_the_oldest_steps_go_where_they_are_too_long_but_never_the_last_two(
    store: Store, fresh: Draft, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(draft_rows, "MOST_CHARACTERS", 10)
    now = fresh
    for text in ("# 1", "# 2", "# 3", "# 4", "# 5"):
        now = edited(store, now, text)
    assert texts(store, now) == ["# 3", "# 4", "# 5"]
    long = edited(store, now, "# " + 20 * "x")
    assert texts(store, long) == ["# 5", "# " + 20 * "x"]


class Deed(NamedTuple):
    """What one of two tabs does with the draft it shows, as it last saw it."""

    what: str
    tab: int


# Each tab remembers a draft and the step it saw, and looks again only when it reloads: so they fall behind.
DEEDS = st.lists(
    st.builds(
        Deed,
        what=st.sampled_from(("edit", "edit", "edit", "undo", "undo", "redo", "reload", "save", "drop", "open")),
        tab=st.integers(0, 1),
    ),
    max_size=25,
)


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(deeds=DEEDS)
def test_no_text_is_ever_lost_but_by_the_stated_rules(store: Store, deeds: list[Deed]) -> None:
    slug = add_beer(store, text="# base", name="Tram").slug
    seen = [open_draft(store, slug)] * 2

    def everything() -> set[str]:
        kept = {one.text for one in versions(store, slug)}
        return kept.union(*(texts(store, one) for one in drafts_of(store, slug)))

    for number, deed in enumerate(deeds):
        mine, before = seen[deed.tab], everything()
        there = {one.id: one for one in drafts_of(store, slug)}
        now = there.get(mine.id)
        moved = now is None or now.pointer != mine.pointer
        undone = set() if now is None else {
            step_text(store, now.id, step.number) for step in now.steps if step.number > now.pointer
        }  # fmt: skip
        held = set() if now is None else set(texts(store, now))
        may_go: set[str] = set()
        try:
            if deed.what == "edit":
                text = f"# {number}"
                after = append_step(store, mine.id, seen=mine.pointer, text=text, said="edited")
                assert isinstance(after, Forked) == moved
                seen[deed.tab] = after.draft if isinstance(after, Forked) else after
                assert seen[deed.tab].text == text  # what was acknowledged
                assert text in everything()
                may_go = set() if moved else undone
                if moved and now is not None:
                    assert draft(store, now.id) == now  # the other tab's draft is as it was
            elif deed.what == "undo":
                seen[deed.tab] = undo(store, mine.id, seen=mine.pointer)
            elif deed.what == "redo":
                seen[deed.tab] = redo(store, mine.id, seen=mine.pointer)
            elif deed.what == "reload" and there:
                seen[deed.tab] = drafts_of(store, slug)[0]
            elif deed.what == "open":
                seen[deed.tab] = open_draft(store, slug)
            elif deed.what == "save":
                saved = save_draft(store, mine.id, seen=mine.pointer)
                may_go = held - {saved.text}
                assert saved.text == mine.text
            elif deed.what == "drop":
                drop(store, mine.id, seen=mine.pointer)
                may_go = held
        except (MovedOn, NotThere):
            assert moved
            assert everything() == before
        assert before - everything() <= may_go
    numbers = [one.number for one in versions(store, slug)]
    assert numbers == list(range(len(numbers), 0, -1))


def test_many_drafts_are_read_at_once(store: Store) -> None:
    add_beer(store, text='name = "Tram"')
    asked: list[str] = []
    event.listen(store._engine, "before_cursor_execute", lambda *told: asked.append(told[2]))
    counts = []
    for number in range(1, 4):
        open_draft(store, "tram", text=f'name = "Tram"\n# {number}', said=f"edit {number}")
        asked.clear()
        found = drafts_of(store, "tram")
        counts.append(len(asked))
        assert [one.text[-1] for one in found] == [str(n) for n in range(number, 0, -1)]
        assert [[step.said for step in one.steps] for one in found] == [["", f"edit {n}"] for n in range(number, 0, -1)]
    assert len(set(counts)) == 1
