"""Running the program in this process, as a terminal or a pipe would."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from gyle.beer.reading import read_brewhouse, read_recipe
from gyle.cli import main
from gyle.decide.adapt import Adaptation, adapt

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
    """Run a command for a page of so many columns."""
    monkeypatch.delenv("GYLE_TRACE", raising=False)

    def running(*arguments: str | Path, columns: int = 80) -> Ran:
        monkeypatch.setenv("COLUMNS", str(columns))
        capsys.readouterr()
        code = main([str(argument) for argument in arguments])
        out, err = capsys.readouterr()
        return Ran(code, out, err)

    return running


@pytest.fixture(scope="session")
def strong_beer_on_the_small_one() -> Adaptation:
    """A beer that does not fit as it is; finding its ways out takes seconds, so it is done once."""
    return adapt(read_recipe(EXAMPLES / "copper-beacon.toml"), read_brewhouse(EXAMPLES / "lantern-street-28.toml"))
