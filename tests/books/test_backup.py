"""A backup is the whole store in one file, made while it is used."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from gyle.books.backup import backup
from gyle.books.beers import add_beer, shelf
from gyle.books.store import Store, open_store
from gyle.errors import BadInput, StoreError


def test_a_backup_holds_everything_and_is_one_file(store: Store, tmp_path: Path) -> None:
    add_beer(store, text='name = "Tram"')
    target = tmp_path / "copies" / "backup.db"
    target.parent.mkdir()
    if store.kind == "postgresql":
        with pytest.raises(StoreError, match="that server's own means"):
            backup(store, target)
        return
    with store.writing():  # somebody is writing
        backup(store, target)
    assert [file.name for file in target.parent.iterdir()] == ["backup.db"]
    connection = sqlite3.connect(target)
    assert connection.execute("PRAGMA journal_mode").fetchone() == ("delete",)
    connection.close()
    with open_store(f"sqlite:///{target}") as copy:
        assert shelf(copy).beers == shelf(store).beers


@pytest.mark.parametrize("name", ["gyle.db", "no-such-folder/backup.db", "\0"])
def test_a_place_that_cannot_be_is_refused(tmp_path: Path, name: str) -> None:
    with open_store(f"sqlite:///{tmp_path / 'gyle.db'}") as store:
        add_beer(store, text='name = "Tram"')
        with pytest.raises(BadInput):
            backup(store, tmp_path / name)
        assert shelf(store).total == 1
    assert [file.name for file in tmp_path.iterdir()] == ["gyle.db"]
