"""A new store for every test, on SQLite and on PostgreSQL.

PostgreSQL runs where GYLE_TEST_POSTGRESQL is the URL of a server on which databases may be made and dropped.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import uuid
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import create_engine, make_url

from gyle.books.store import Store, open_store

KINDS = ("sqlite", "postgresql")


def server() -> str:
    """The URL of the PostgreSQL server for tests; without one the test is skipped, but not where all must run."""
    url = os.environ.get("GYLE_TEST_POSTGRESQL", "")
    if not url:
        why = "GYLE_TEST_POSTGRESQL names no PostgreSQL server on which a test may make and drop databases"
        if os.environ.get("CI") == "true":
            pytest.fail(why)
        pytest.skip(why)
    return url


def _on_server(url: str, statement: str) -> None:
    engine = create_engine(make_url(url).set(drivername="postgresql+psycopg"), isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.exec_driver_sql(statement)
    engine.dispose()


@contextlib.contextmanager
def new_database(url: str, template: str = "template1", more: str = "") -> Iterator[str]:
    """Make a database on a server, give its URL, and drop it."""
    name = f"gyle_test_{uuid.uuid4().hex}"
    _on_server(url, f'CREATE DATABASE {name} TEMPLATE "{template}" {more}')
    try:
        yield make_url(url).set(database=name).render_as_string(hide_password=False)
    finally:
        _on_server(url, f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture(scope="session")
def sqlite_pattern(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty store, to be copied rather than made anew for every test."""
    file = tmp_path_factory.mktemp("pattern") / "gyle.db"
    open_store(f"sqlite:///{file}").close()
    return file


@pytest.fixture(scope="session")
def postgresql_pattern() -> Iterator[str]:
    """The same on PostgreSQL: the name of a database."""
    with new_database(server()) as url:
        open_store(url).close()
        yield str(make_url(url).database)


@pytest.fixture(params=KINDS)
def store_url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """The URL of an empty store."""
    if request.param == "sqlite":
        shutil.copy(request.getfixturevalue("sqlite_pattern"), tmp_path / "gyle.db")
        yield f"sqlite:///{tmp_path / 'gyle.db'}"
        return
    url = server()
    with new_database(url, request.getfixturevalue("postgresql_pattern")) as made:
        yield made


@pytest.fixture
def store(store_url: str) -> Iterator[Store]:
    """An empty store."""
    with open_store(store_url) as opened:
        yield opened


@pytest.fixture(params=KINDS)
def empty_url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """The URL of a database with nothing in it."""
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path / 'gyle.db'}"
        return
    with new_database(server()) as made:
        yield made
