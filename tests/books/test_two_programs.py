"""Two programs on one store at the same time: nothing either was told is kept is lost, and no name is given twice."""

from __future__ import annotations

import os
import signal
import subprocess
import sys

import pytest

from gyle.books.beers import add_beer, beer, shelf
from gyle.books.brewhouses import add_brewhouse, brewhouse_revisions
from gyle.books.drafts import drafts_of, open_draft, step_text
from gyle.books.store import Store
from gyle.books.versions import versions

PROGRAM = """
import sys
from gyle.books.beers import add_beer
from gyle.books.brewhouses import brewhouse, save_brewhouse
from gyle.books.drafts import Forked, append_step, draft, drafts_of, save_draft
from gyle.books.refusals import MovedOn, NotThere
from gyle.books.store import open_store
from gyle.books.versions import save_version
url, me = sys.argv[1:]
def kept(*words):
    print(*words, flush=True)
with open_store(url) as store:
    kept("ready")
    sys.stdin.readline()
{deed}
"""

EDITS = """
    here = draft(store, 1)
    for number in range(25):
        after = append_step(store, here.id, seen=here.pointer, text=f"# {me} {number}", said="edited")
        kept(f"# {me} {number}")
        here = after.draft if isinstance(after, Forked) else after
        if number % 8 == 7:  # looks again at what the first draft holds now
            here = draft(store, 1)
"""
SAVES = """
    for number in range(15):
        here = drafts_of(store, "tram")[-1]
        try:
            after = append_step(store, here.id, seen=here.pointer, text=f"# {me} {number}", said="edited")
            kept(f"# {me} {number}")
            here = after.draft if isinstance(after, Forked) else after
            save_draft(store, here.id, seen=here.pointer)
        except (MovedOn, NotThere):
            pass
        save_version(store, "tram", text=f"# {me} {number} saved", parent=1)
        kept(f"# {me} {number} saved")
"""
NAMES = """
    for number in range(20):
        kept(add_beer(store, text=f'name = "Tram"\\n# {me} {number}').slug)
"""
REVISIONS = """
    for number in range(20):
        now = brewhouse(store, "shed")
        try:
            save_brewhouse(store, "shed", text=f'name = "Shed"\\n# {me} {number}', seen=now.number)
            kept(f"# {me} {number}")
        except MovedOn:
            pass
"""
ENDLESS = """
    here, number = draft(store, 1), 0
    while True:
        here = append_step(store, here.id, seen=here.pointer, text=f"# {me} {number}", said="edited")
        kept(f"# {me} {number}")
        number += 1
"""


def begun(url: str, me: str, deed: str) -> subprocess.Popen[str]:
    program = subprocess.Popen(
        [sys.executable, "-c", PROGRAM.replace("{deed}", deed), url, me],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert program.stdout is not None
    assert program.stdout.readline() == "ready\n", program.stderr and program.stderr.read()
    return program


def together(url: str, deed: str) -> list[str]:
    """Let two programs do the same at once; give what each was told is kept."""
    programs = [begun(url, me, deed) for me in ("here", "there")]
    for program in programs:
        assert program.stdin is not None
        program.stdin.write("go\n")
        program.stdin.flush()
    said = []
    for program in programs:
        out, err = program.communicate(timeout=120)
        assert (program.returncode, err) == (0, "")
        said += out.splitlines()
    return said


def kept_texts(store: Store, slug: str) -> set[str]:
    """Every text that can still be reached: versions, and the steps of open drafts."""
    texts = {one.text for one in versions(store, slug)}
    return texts.union(step_text(store, one.id, step.number) for one in drafts_of(store, slug) for step in one.steps)


def test_two_that_edit_the_same_draft_lose_no_edit(store: Store, store_url: str) -> None:
    add_beer(store, text='name = "Tram"')
    assert open_draft(store, "tram").id == 1
    said = together(store_url, EDITS)
    assert len(said) == 50
    assert set(said) <= kept_texts(store, "tram")
    for one in drafts_of(store, "tram"):  # each is a whole draft
        assert one.pointer in {step.number for step in one.steps}


def test_two_that_edit_and_save_lose_neither_edit_nor_version(store: Store, store_url: str) -> None:
    add_beer(store, text='name = "Tram"')
    for _ in range(40):
        open_draft(store, "tram")
    said = together(store_url, SAVES)
    assert len(said) >= 30
    assert set(said) <= kept_texts(store, "tram")
    numbers = [one.number for one in versions(store, "tram")]
    assert numbers == list(range(beer(store, "tram").newest, 0, -1))


def test_no_slug_is_given_twice(store: Store, store_url: str) -> None:
    said = together(store_url, NAMES)
    assert sorted(said, key=lambda slug: (len(slug), slug)) == ["tram", *(f"tram-{number}" for number in range(2, 41))]
    assert shelf(store).total == 40


def test_a_change_to_a_brewhouse_is_kept_or_refused_never_overwritten(store: Store, store_url: str) -> None:
    add_brewhouse(store, 'name = "Shed"')
    said = together(store_url, REVISIONS)
    assert said
    revisions = brewhouse_revisions(store, "shed")
    assert sorted(f'name = "Shed"\n{one}' for one in said) == sorted(one.text for one in revisions[:-1])
    assert [one.parent for one in revisions] == [*range(len(revisions) - 1, 0, -1), None]


@pytest.mark.skipif(os.name == "nt", reason="programs are ended otherwise on Windows")
@pytest.mark.parametrize("after", [1, 7, 40])
def test_a_program_killed_in_the_middle_of_its_writes_loses_nothing_it_was_told_is_kept(
    store: Store, store_url: str, after: int
) -> None:
    add_beer(store, text='name = "Tram"')
    open_draft(store, "tram")
    program = begun(store_url, "here", ENDLESS)
    assert program.stdin is not None
    assert program.stdout is not None
    program.stdin.write("go\n")
    program.stdin.flush()
    said = [program.stdout.readline() for _ in range(after)]
    program.send_signal(signal.SIGKILL)
    said += program.stdout.readlines()
    assert program.wait(60) == -signal.SIGKILL
    for pipe in (program.stdin, program.stdout, program.stderr):
        assert pipe is not None
        pipe.close()
    told = [line.rstrip("\n") for line in said if line.endswith("\n")]
    assert len(told) >= after
    (found,) = drafts_of(store, "tram")
    steps = [step_text(store, found.id, step.number) for step in found.steps]
    assert steps[1:][: len(told)] == told
    assert len(steps) - 1 - len(told) in (0, 1)  # one may have been kept before it could be said
    if store.file is not None:
        with store.reading() as connection:
            assert connection.exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"
