"""The layout in the migrations is the one in the schema, and an older store keeps its rows."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import text

from gyle.books import migration
from gyle.books.beers import add_beer, shelf
from gyle.books.schema import metadata
from gyle.books.store import Store, open_store
from gyle.books.versions import versions

NEXT = '''
"""One column more on beers, and a table rebuilt."""
import sqlalchemy as sa
from alembic import op
revision = "0002"
down_revision = "0001"
def upgrade():
    rebuilt = "always" if op.get_context().dialect.name == "sqlite" else "auto"
    with op.batch_alter_table("beers", recreate=rebuilt) as table:
        table.add_column(sa.Column("cask", sa.Integer, nullable=True))
'''


@pytest.fixture
def next_layout(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A program that knows one layout more; its folder of scripts."""
    scripts = tmp_path / "scripts"
    shutil.copytree(migration.SCRIPTS, scripts, ignore=shutil.ignore_patterns("__pycache__"))
    (scripts / "versions" / "r0002.py").write_text(NEXT)
    monkeypatch.setattr(migration, "SCRIPTS", scripts)
    monkeypatch.setattr(migration, "HEAD", "0002")
    return scripts


def test_the_migrations_end_where_the_schema_is(store: Store) -> None:
    with store.reading() as connection:
        context = MigrationContext.configure(
            connection,
            opts={
                "compare_type": True,
                "include_object": lambda _object, name, *_: name != migration.VERSION_TABLE,
            },
        )
        assert compare_metadata(context, metadata) == []


def test_the_newest_script_is_the_layout_the_program_knows() -> None:
    config = Config()
    config.set_main_option("script_location", str(migration.SCRIPTS))
    config.set_main_option("path_separator", "os")
    script = ScriptDirectory.from_config(config)
    assert script.get_heads() == [migration.HEAD]
    revisions = [one.revision for one in script.walk_revisions()]
    assert revisions == sorted(revisions, reverse=True)  # a newer layout is told by its name being later


def test_an_older_store_is_brought_up_with_its_rows(store_url: str, next_layout: Path) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(migration, "HEAD", "0001")
        with open_store(store_url) as store:
            add_beer(store, text='name = "Copper Beacon"', why="before")
    with open_store(store_url) as store:
        assert [beer.slug for beer in shelf(store).beers] == ["copper-beacon"]
        assert [version.why for version in versions(store, "copper-beacon")] == ["before"]
        with store.reading() as connection:
            assert connection.execute(text("SELECT cask FROM beers")).all() == [(None,)]
        add_beer(store, text='name = "Tram Depot"')
        assert shelf(store).total == 2


def test_a_copy_of_the_older_file_is_kept_beside_it(tmp_path: Path, sqlite_pattern: Path, next_layout: Path) -> None:
    shutil.copy(sqlite_pattern, tmp_path / "gyle.db")
    open_store(f"sqlite:///{tmp_path / 'gyle.db'}").close()
    assert {file.name for file in tmp_path.iterdir() if file.is_file()} == {"gyle.db", "gyle.db.layout-0001"}
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(migration, "HEAD", "0001")
        open_store(f"sqlite:///{tmp_path / 'gyle.db.layout-0001'}").close()
