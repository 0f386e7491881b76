"""The server that tests/postgresql.sh lends is there for one command, and gone after it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).parents[1] / "postgresql.sh"
COMMAND = """
import os, pathlib, sys, urllib.parse
import psycopg
url = os.environ["GYLE_TEST_POSTGRESQL"]
with psycopg.connect(url) as connection:
    print(connection.execute("select 6 * 7").fetchone()[0])
print(urllib.parse.parse_qs(urllib.parse.urlsplit(url).query)["host"][0])
sys.exit(3)
"""


def server_is_installed() -> bool:
    return shutil.which("initdb") is not None or any(Path("/usr/lib/postgresql").glob("*/bin/initdb"))


@pytest.mark.skipif(
    not server_is_installed() and not os.environ.get("CI"), reason="no PostgreSQL server: apt-get install postgresql"
)
def test_server_lives_as_long_as_the_command_whose_exit_code_it_gives() -> None:
    done = subprocess.run(
        ["bash", os.fspath(SCRIPT), sys.executable, "-c", COMMAND], capture_output=True, text=True, check=False
    )
    assert done.returncode == 3, done.stderr
    answer, folder = done.stdout.split()
    assert answer == "42"
    assert not Path(folder).exists()


def test_without_a_command_it_says_how_it_is_used() -> None:
    done = subprocess.run(["bash", os.fspath(SCRIPT)], capture_output=True, text=True, check=False)
    assert done.returncode == 2
    assert "tests/postgresql.sh .venv/bin/python -m pytest tests/books" in done.stderr
