"""Serving: the address is said, the pages answer, and nothing outside this machine is listened to."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from gyle.errors import BadInput, StoreError
from gyle.web.server import listening


@pytest.fixture
def at_home(tmp_path: Path) -> dict[str, str]:
    return {**os.environ, "GYLE_HOME": str(tmp_path / "books")}


@pytest.fixture
def served(at_home: dict[str, str]) -> Iterator[tuple[subprocess.Popen[str], str]]:
    process = subprocess.Popen(
        [sys.executable, "-m", "gyle", "serve", "--port", "0"],
        env=at_home,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    said = process.stdout.readline()
    found = re.search(r"http://localhost:\d+/", said)
    try:
        assert found is not None, said + (process.stderr.read() if process.stderr and process.poll() else "")
        yield process, found[0]
    finally:
        process.send_signal(signal.SIGINT)
        process.wait(20)
        process.stdout.close()
        if process.stderr is not None:
            process.stderr.close()


def test_serve_says_its_address_answers_and_ends_quietly(
    served: tuple[subprocess.Popen[str], str], at_home: dict[str, str]
) -> None:
    process, address = served
    with urllib.request.urlopen(f"{address}healthz") as answer:
        assert answer.status == 200
        assert answer.headers["Content-Security-Policy"].startswith("default-src 'none'")
    assert (Path(at_home["GYLE_HOME"]) / "gyle.db").is_file()
    process.send_signal(signal.SIGINT)
    assert process.wait(20) in (0, 130)
    assert process.stderr is not None
    assert process.stderr.read() == ""


@pytest.mark.parametrize("host", ["0.0.0.0", "192.0.2.7", "brewery.example", ""])
def test_nothing_outside_this_machine_is_listened_to(host: str) -> None:
    with pytest.raises(BadInput, match="nothing may be reached unpaired"):
        listening(host, 0)


@pytest.mark.parametrize("port", [-1, 65536])
def test_a_port_that_is_none_is_refused(port: int) -> None:
    with pytest.raises(BadInput, match="is no port"):
        listening("127.0.0.1", port)


def test_a_port_that_is_taken_is_told() -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        with pytest.raises(StoreError, match="--port names another"):
            listening("127.0.0.1", other.getsockname()[1])


def test_refusals_reach_the_terminal_as_one_sentence(at_home: dict[str, str]) -> None:
    ran = subprocess.run(
        [sys.executable, "-m", "gyle", "serve", "--host", "0.0.0.0"],
        env=at_home, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert (ran.returncode, ran.stdout) == (2, "")
    assert ran.stderr.count("\n") == 1
    assert "Traceback" not in ran.stderr
