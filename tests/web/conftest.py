"""The pages over a store of their own, asked without a browser."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from gyle.books.lantern_street import load_lantern_street
from gyle.books.store import Store, open_store
from gyle.web.app import create_app

ADDRESS = "http://localhost"


def client_of(store: Store) -> TestClient:
    """A browser of one store, which follows no redirect by itself."""
    return TestClient(create_app(store), base_url=ADDRESS, follow_redirects=False, raise_server_exceptions=False)


@pytest.fixture(scope="session")
def lantern_street_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store with Lantern Street in it, to be copied."""
    file = tmp_path_factory.mktemp("lantern-street") / "gyle.db"
    with open_store(f"sqlite:///{file}") as store:
        load_lantern_street(store)
    return file


@pytest.fixture
def store(lantern_street_file: Path, tmp_path: Path) -> Iterator[Store]:
    """Lantern Street, for one test alone."""
    shutil.copy(lantern_street_file, tmp_path / "gyle.db")
    with open_store(f"sqlite:///{tmp_path / 'gyle.db'}") as opened:
        yield opened


@pytest.fixture
def client(store: Store) -> Iterator[TestClient]:
    """A browser of it."""
    with client_of(store) as made:
        yield made


@pytest.fixture
def empty_client(tmp_path: Path) -> Iterator[TestClient]:
    """A browser of a store with nothing in it."""
    with open_store(f"sqlite:///{tmp_path / 'empty.db'}") as opened, client_of(opened) as made:
        yield made
