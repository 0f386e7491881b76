"""Running the program in this process, as a terminal or a pipe would."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from gyle.cli import main

EXAMPLES = Path(__file__).parents[2] / "examples" / "lantern-street"


class Ran(NamedTuple):
    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out)

    @property
    def faults(self) -> list[str]:
        return self.err.splitlines()


Run = Callable[..., Ran]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run a command; quantities of columns are set by `columns`."""
    monkeypatch.delenv("GYLE_TRACE", raising=False)

    def running(*arguments: str | Path, columns: int = 80) -> Ran:
        monkeypatch.setenv("COLUMNS", str(columns))
        capsys.readouterr()
        code = main([str(argument) for argument in arguments])
        out, err = capsys.readouterr()
        return Ran(code, out, err)

    return running


@pytest.fixture
def examples() -> Path:
    return EXAMPLES
