"""The whole store as text files, and back: nothing is left out, and an export that was spoilt is refused whole."""

from __future__ import annotations

import contextlib
import json
import os
import shutil
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select

from gyle.books import migration, schema
from gyle.books.beers import add_beer, shelf
from gyle.books.brewhouses import save_brewhouse
from gyle.books.drafts import append_step, draft, drop, open_draft, save_draft, undo
from gyle.books.export import export, tally
from gyle.books.export_reading import READ_LAYOUTS, fill
from gyle.books.lantern_street import load_lantern_street
from gyle.books.store import Store, open_store
from gyle.books.versions import save_version, versions
from gyle.errors import BadInput, GyleError, StoreError

from .conftest import KINDS, new_database, server

NOW = datetime(2026, 11, 25, 16, 28, tzinfo=UTC)
ODD = 'name = "Zwickl ½ Ölands 啤酒"\r\n# tab\there, no last line break, "quotes" \\ and 🍺'


def filled(store: Store) -> Store:
    """Put something of everything in: siblings, forks, undone steps, closed drafts, revisions, planned gyles."""
    load_lantern_street(store, now=NOW, summarise=lambda text, house: {"og": [1.05, 1.04, 1.06], "on": house or ""})
    odd = add_beer(store, text=ODD, why='she said "½"').slug
    save_version(store, odd, text=ODD + "\n# 2", parent=1)
    save_version(store, odd, text=ODD + "\n# 3", parent=1)
    first = open_draft(store, odd, text="# a", said="a → b")
    undo(store, first.id, seen=1)
    append_step(store, first.id, seen=1, text="# forked", said="forked")
    saved = open_draft(store, "tram-depot", text="# saved", said="")
    save_draft(store, saved.id, seen=1, why="kept")
    drop(store, open_draft(store, "tram-depot").id, seen=0)
    save_brewhouse(store, "kitchen-bag", text='name = "Kitchen bag"\n# 2', seen=1)
    return store


@pytest.fixture
def full(store: Store) -> Store:
    return filled(store)


@pytest.fixture(scope="session")
def pattern(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An export, to be copied and spoilt."""
    folder = tmp_path_factory.mktemp("pattern")
    with open_store(f"sqlite:///{folder / 'gyle.db'}") as store:
        return exported(filled(store), folder)


def everything(store: Store) -> dict[str, list[Any]]:
    with store.reading() as connection:
        return {
            table.name: list(connection.execute(select(table).order_by(*table.primary_key.columns)).all())
            for table in schema.metadata.sorted_tables
        }


def exported(store: Store, tmp_path: Path) -> Path:
    export(store, tmp_path / "out")
    return tmp_path / "out"


def test_an_export_put_into_another_store_is_the_same_to_the_last_row(
    full: Store, empty_url: str, tmp_path: Path
) -> None:
    """Each kind of store is also filled from the other's export."""
    folder = exported(full, tmp_path)
    url = f"sqlite:///{tmp_path / 'again.db'}" if empty_url == f"sqlite:///{full.file}" else empty_url
    with open_store(url) as again:
        fill(again, folder)
        assert everything(again) == everything(full)
        assert tally(again) == tally(full)
        # What is added later takes no number a second time.
        assert open_draft(again, "tram-depot").id == open_draft(full, "tram-depot").id
        assert add_beer(again, text='name = "Later"').id == add_beer(full, text='name = "Later"').id
        save_version(again, "later", text="# 2", parent=1)


def test_texts_are_files_as_their_authors_wrote_them(full: Store, tmp_path: Path) -> None:
    folder = exported(full, tmp_path)
    assert (folder / "beers" / "zwickl-1-2-oelands" / "version-1.toml").read_bytes() == ODD.encode()
    for version in versions(full, "copper-beacon"):
        file = folder / "beers" / "copper-beacon" / f"version-{version.number}.toml"
        assert file.read_bytes() == version.text.encode()
    assert {file.name for file in folder.iterdir()} == {
        "README.txt", "books.json", "beers", "brewhouses", "waters", "stock",
    }  # fmt: skip
    assert (folder / "brewhouses" / "kitchen-bag" / "revision-2.toml").is_file()
    assert "gyle restore" in (folder / "README.txt").read_text(encoding="utf-8")


def test_what_is_written_while_it_is_exported_is_in_it_whole_or_not_at_all(
    full: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from gyle.books import export as module

    put = module._put

    def meanwhile(file: Path, text: str) -> None:
        monkeypatch.setattr(module, "_put", put)
        add_beer(full, text='name = "Meanwhile"')
        put(file, text)

    before = everything(full)
    monkeypatch.setattr(module, "_put", meanwhile)
    folder = exported(full, tmp_path)
    assert not (folder / "beers" / "meanwhile").exists()
    with open_store(f"sqlite:///{tmp_path / 'again.db'}") as again:
        fill(again, folder)
        assert everything(again) == before
    assert shelf(full, search="meanwhile").total == 1


def test_an_export_is_never_written_over_anything(full: Store, tmp_path: Path) -> None:
    (tmp_path / "there").mkdir()
    (tmp_path / "file").write_text("mine")
    for name in ("there", "file", "no-such-folder/out", "a\0b", "."):
        with pytest.raises(BadInput):
            export(full, tmp_path / name)
    assert not list((tmp_path / "there").iterdir())
    assert (tmp_path / "file").read_text() == "mine"
    assert not list(tmp_path.glob(".*"))


@pytest.mark.parametrize("left", [".out.part", ".out.part/of/old"])
def test_what_a_killed_export_left_is_in_nobodys_way(full: Store, tmp_path: Path, left: str) -> None:
    (tmp_path / left).parent.mkdir(parents=True, exist_ok=True)
    (tmp_path / left).write_text("half")
    folder = exported(full, tmp_path)
    assert (folder / "books.json").is_file()
    assert not (folder / "of").exists()
    assert not (tmp_path / ".out.part").exists()


def test_an_export_that_fails_leaves_nothing(full: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full_disk(self: Path, *_given: object, **_named: object) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_text", full_disk)
    with pytest.raises(StoreError, match=r"^no export can be written: no space left on device; nothing was changed$"):
        export(full, tmp_path / "out")
    monkeypatch.undo()
    assert not list(tmp_path.glob("*out*"))


def test_a_store_with_something_in_it_is_not_filled(full: Store, tmp_path: Path) -> None:
    folder, before = exported(full, tmp_path), everything(full)
    with pytest.raises(StoreError, match="into an empty store only"):
        fill(full, folder)
    assert everything(full) == before


def test_every_layout_there_ever_was_can_be_read(full: Store) -> None:
    """Whoever makes a new layout sees to the exports of the old ones too."""
    scripts = sorted(migration.SCRIPTS.glob("versions/r*.py"))
    assert tuple(script.name[1:5] for script in scripts) == READ_LAYOUTS
    assert READ_LAYOUTS[-1] == migration.HEAD


Spoil = Callable[[Path, dict[str, Any]], object]


def table(of: str, row: int, /, **new: Any) -> Spoil:
    return lambda _folder, document: document["tables"][of][row].update(new)


def of(folder: Path, *parts: str) -> Path:
    return folder.joinpath("beers", "copper-beacon", *parts)


SPOILT: dict[str, tuple[Spoil, str]] = {
    "a missing text": (lambda folder, _: of(folder, "version-2.toml").unlink(), r"copper-beacon/version-2.toml is mis"),
    "an empty text": (lambda folder, _: of(folder, "version-2.toml").write_text(""), r"version-2.toml is empty"),
    "a text of NUL": (lambda folder, _: of(folder, "version-2.toml").write_bytes(b"a\0"), r"U\+0000 in line 1"),
    "a text of another encoding": (lambda folder, _: of(folder, "version-2.toml").write_bytes(b"\xff"), "no text in U"),
    "a text of 10 MB": (lambda folder, _: of(folder, "version-2.toml").write_bytes(b"#" * 10_000_000), "at most 1 MB"),
    "a folder for a text": (
        lambda folder, _: (of(folder, "version-2.toml").unlink(), of(folder, "version-2.toml").mkdir()),
        "is missing",
    ),
    "a missing table": (lambda _, document: document["tables"].pop("gyles"), "says nothing of gyles"),
    "a table that is none": (lambda _, document: document["tables"].update(gyles={"a": 1}), "says nothing of gyles"),
    "a missing row": (lambda _, document: document["tables"]["beers"].pop(0), "belongs to nothing|not there"),
    "a row twice": (lambda _, d: d["tables"]["beers"].append(d["tables"]["beers"][0]), "is there twice"),
    "a row that is none": (lambda _, document: document["tables"]["beers"].append(None), "does not say what it should"),
    "a column too many": (table("beers", 0, colour="red"), "beers, row 1 does not say what it should"),
    "no value": (table("beers", 0, name=None), "name in beers, row 1 is missing"),
    "a slug that leads elsewhere": (table("beers", 0, slug="../../etc"), "slug in beers, row 1 cannot be that"),
    "a kind there is not": (table("papers", 0, kind="../x"), "kind in papers, row 1 cannot be that"),
    "a name too long": (table("beers", 0, name="x" * 121), "name in beers, row 1 is too long"),
    "a name of NUL": (table("beers", 0, name="a\0"), r"U\+0000"),
    "a name of a lone surrogate": (table("beers", 0, name="\ud800"), r"U\+D800"),
    "a number that is none": (table("versions", 0, number=True), "number in versions, row 1 is no number"),
    "a number too large": (table("beers", 0, newest=2**31), "newest in beers, row 1 is no number"),
    "a newest that is not there": (table("beers", 0, newest=99), "newest version is not there"),
    "a newest revision that is not there": (table("papers", 0, newest=99), "newest revision of a"),
    "a parent that is later": (table("versions", 0, parent=1), "refers to what is not there, or is there twice"),
    "a moment without a zone": (table("beers", 0, made_at="2026-11-25T10:00:00"), "made_at in beers, row 1 is no m"),
    "a moment that is none": (table("beers", 0, made_at=3), "is no moment"),
    "figures that are none": (table("versions", 0, summary=[1]), "summary in versions, row 1 is no object"),
    "a text that is no text": (table("versions", 0, why=3), "why in versions, row 1 is no text"),
    "a pointer to nothing": (table("drafts", 0, pointer=77), "the step an open draft is at"),
    "a draft of another number": (table("drafts", 0, last=0), "a higher number than it ever gave"),
    "a layout to come": (lambda _, document: document.update(layout="0999"), "newer gyle .layout 0999"),
    "another format": (lambda _, document: document.update(gyle_export=2), "update gyle"),
    "no tables": (lambda _, document: document.update(tables=3), "is no export of gyle"),
}


@pytest.fixture(scope="module", params=KINDS)
def untouched(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    """An empty store that every refusal leaves empty."""
    with contextlib.ExitStack() as stack:
        if request.param == "sqlite":
            url = f"sqlite:///{tmp_path_factory.mktemp('untouched') / 'gyle.db'}"
        else:
            url = stack.enter_context(new_database(server()))
        yield stack.enter_context(open_store(url))


@pytest.mark.parametrize("how", SPOILT)
def test_an_export_that_was_spoilt_is_refused_whole(untouched: Store, pattern: Path, tmp_path: Path, how: str) -> None:
    folder = tmp_path / "out"
    shutil.copytree(pattern, folder)
    document = json.loads((folder / "books.json").read_text(encoding="utf-8"))
    spoil, says = SPOILT[how]
    spoil(folder, document)
    (folder / "books.json").write_text(json.dumps(document), encoding="utf-8")
    with pytest.raises(GyleError, match=says) as caught:
        fill(untouched, folder)
    assert len(str(caught.value).splitlines()) == 1
    assert sum(len(rows) for rows in everything(untouched).values()) == 0


@pytest.mark.parametrize("content", [b"", b"{", b"[]", b"3", b"\xff\xfe", b"[" * 100_000, b'{"tables": {}}'])
def test_a_document_that_is_none_is_refused(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "books.json").write_bytes(content)
    with open_store(f"sqlite:///{tmp_path / 'gyle.db'}") as store:
        with pytest.raises(GyleError, match=r"books\.json is no|newer gyle"):
            fill(store, tmp_path)
        with pytest.raises(BadInput, match=r"it holds no books\.json"):
            fill(store, tmp_path / "nothing")


def test_a_text_edited_in_the_export_is_what_is_restored(full: Store, tmp_path: Path) -> None:
    folder = exported(full, tmp_path)
    of(folder, "version-4.toml").write_text('name = "Copper Beacon"\n# by hand', encoding="utf-8")
    with open_store(f"sqlite:///{tmp_path / 'again.db'}") as again:
        fill(again, folder)
        assert versions(again, "copper-beacon")[0].text.endswith("# by hand")


def test_an_empty_store_is_exported_too(empty_url: str, tmp_path: Path) -> None:
    with open_store(empty_url) as store:
        folder = exported(store, tmp_path)
    with open_store(f"sqlite:///{tmp_path / 'again.db'}") as again:
        fill(again, folder)
        assert shelf(again).total == 0
        assert tally(again).brewhouses == 0


def test_open_drafts_go_on_after_a_restore(full: Store, tmp_path: Path) -> None:
    folder = exported(full, tmp_path)
    with open_store(f"sqlite:///{tmp_path / 'again.db'}") as again:
        fill(again, folder)
        found = draft(again, 1)
        assert found.redoable is not None
        assert found.redoable.said == "a → b"
        append_step(again, 1, seen=found.pointer, text="# on", said="on")
        assert os.listdir(folder / "beers" / "zwickl-1-2-oelands")
