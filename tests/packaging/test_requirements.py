"""The Python lock names versions and hashes, never where they come from."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
PINNED = re.compile(r"^([a-z0-9-]+)==(\S+) \\$")
HASHED = re.compile(r"^    --hash=sha256:[0-9a-f]{64}( \\)?$")


def pins(name: str) -> dict[str, str]:
    """Pinned versions of a lock, by package."""
    lines = (ROOT / "requirements" / name).read_text(encoding="utf-8").splitlines()
    return dict(found.groups() for line in lines if (found := PINNED.match(line)))  # type: ignore[misc]


@pytest.mark.parametrize("name", ["run.txt", "test.txt"])
def test_lock_holds_pins_hashes_and_remarks_alone(name: str) -> None:
    lines = (ROOT / "requirements" / name).read_text(encoding="utf-8").splitlines()
    other = [line for line in lines if line and not line.lstrip().startswith("#")]
    assert [line for line in other if not PINNED.match(line) and not HASHED.match(line)] == []
    assert [line for line in lines if "//" in line] == []


def test_every_dependency_is_pinned() -> None:
    def named(requirements: list[str]) -> set[str]:
        return {re.split(r"[^A-Za-z0-9-]", requirement)[0].lower() for requirement in requirements}

    assert named(PROJECT["dependencies"]) <= set(pins("run.txt"))
    extras = PROJECT["optional-dependencies"]
    assert named(extras["test"]) | named(extras["postgresql"]) <= set(pins("test.txt"))


def test_program_is_tested_with_the_versions_it_runs_with() -> None:
    run, test = pins("run.txt"), pins("test.txt")
    assert {name: test.get(name) for name in run} == run
