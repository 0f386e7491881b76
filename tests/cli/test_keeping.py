"""Backups, exports and their way back, as a person asks for them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import typer

from gyle.books.lantern_street import load_lantern_street
from gyle.books.store import open_store
from gyle.cli import commands, keeping

from .conftest import Run

COUNTS = {"beers": 6, "versions": 12, "drafts": 0, "brewhouses": 3, "waters": 4, "gyles": 2}
SAID = "6 beers, 12 versions, 0 drafts, 3 brewhouses, 4 waters and 2 gyles"


@pytest.fixture(autouse=True)
def at_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Books of Lantern Street, and a folder to write into in which the commands are given."""
    monkeypatch.delenv("GYLE_STORE", raising=False)
    monkeypatch.setenv("GYLE_HOME", str(tmp_path / "books"))
    with open_store() as store:
        load_lantern_street(store)
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    return tmp_path


def test_the_commands_are_the_programs(run: Run) -> None:
    app = typer.Typer()
    keeping.add_commands(app)
    wanted = {one.callback.__name__ for one in app.registered_commands if one.callback is not None}
    there = {one.callback.__name__ for one in commands.app.registered_commands if one.callback is not None}
    assert wanted == {"backup", "export", "restore"} <= there
    for name in wanted:
        assert run(name, "--help").code == 0


def test_a_backup_brings_everything_back(run: Run, at_home: Path) -> None:
    done = run("backup", "kept.db")
    assert (done.code, done.out, done.err) == (0, f"{SAID} are kept in kept.db\n", "")
    for file in (at_home / "books").iterdir():
        file.unlink()
    assert run("restore", "kept.db").out == f"{SAID} are back\n"
    again = run("restore", "kept.db")
    assert again.code == 0
    before = r"what was there before is kept in \S*gyle\.db\.before-[\w-]+"
    assert re.fullmatch(rf"{SAID} are back; {before}; if pages are being served, serve them anew\n", again.out)


def test_an_export_brings_everything_back(run: Run, at_home: Path) -> None:
    done = run("export", "texts")
    assert (done.code, done.out, done.err) == (0, f"{SAID} are written into texts\n", "")
    assert Path("texts", "beers", "copper-beacon", "version-4.toml").is_file()
    for file in (at_home / "books").iterdir():
        file.unlink()
    assert run("restore", "texts").out == f"{SAID} are back\n"


def test_a_recipe_of_an_export_is_brewed_as_it_lies_there(run: Run) -> None:
    run("export", "texts")
    house = Path("texts", "brewhouses", "kitchen-bag", "revision-1.toml")
    done = run("plan", Path("texts", "beers", "slack-water", "version-1.toml"), "--brewhouse", house, "--json")
    assert done.code == 0, done.err


@pytest.mark.parametrize(("command", "key"), [("backup", "file"), ("export", "folder")])
def test_without_a_name_it_is_named_after_the_moment(run: Run, command: str, key: str) -> None:
    done = run(command, "--json")
    assert done.code == 0
    (there,) = Path().iterdir()
    assert done.json == {key: there.name, **COUNTS}
    assert re.fullmatch(rf"gyle-{command}-\d{{4}}-\d\d-\d\d-\d{{6}}(\.db)?", there.name)
    back = run("restore", there, "--json").json
    assert Path(back.pop("kept")).name.startswith("gyle.db.before-")
    assert back == {"from": there.name, **COUNTS}


@pytest.mark.parametrize(
    ("command", "says"),
    [
        (("backup", "there"), "there is something called there already, and it is not written over"),
        (("export", "there"), "there is something called there already, and it is not written over"),
        (("backup", "no/such.db"), "there is no folder no to write such.db into"),
        (("backup", "a\nb"), "the backup has no name that can be given to it; write another"),
        (("export", ""), "the export has no name that can be given to it; write another"),
        (("restore", "there"), "there is no export of gyle: it holds no books.json"),
        (("restore", "nothing"), "there is nothing called nothing to restore"),
    ],
)
def test_what_cannot_be_is_one_sentence_and_changes_nothing(
    run: Run, command: tuple[str, str], says: str, at_home: Path
) -> None:
    Path("there").mkdir()
    before = (at_home / "books" / "gyle.db").read_bytes()
    done = run(*command)
    assert (done.code, done.out, done.faults) == (2, "", [f"gyle: {says}"])
    assert (at_home / "books" / "gyle.db").read_bytes() == before
    assert [one.name for one in Path().iterdir()] == ["there"]
    assert not list(Path("there").iterdir())


def test_restore_wants_to_be_told_what(run: Run) -> None:
    done = run("restore")
    assert done.code == 2
    assert len(done.faults) == 1
    assert "FROM" in done.faults[0]
