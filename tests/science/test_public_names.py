"""What the equations' modules offer, and how little they lean on."""

from __future__ import annotations

import ast
import importlib
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

import gyle.science

FOLDER = Path(gyle.science.__file__).parent
NAMES = sorted(path.stem for path in FOLDER.glob("*.py") if path.stem != "__init__")
ALLOWED = ("numpy", "gyle.errors", "gyle.science")


@pytest.fixture(params=NAMES)
def module(request: pytest.FixtureRequest) -> ModuleType:
    return importlib.import_module(f"gyle.science.{request.param}")


def rank(name: str) -> tuple[int, str]:
    """Constants, then classes, then functions, each by the alphabet."""
    return (0 if name.isupper() else 1 if name[0].isupper() else 2, name)


def imported(path: Path) -> set[str]:
    """Every module that a file names in an import."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path.name} has a relative import"
            found.add(node.module or "")
    return found


def test_public_names_exist_and_are_sorted(module: ModuleType) -> None:
    assert list(module.__all__) == sorted(set(module.__all__), key=rank)
    assert [name for name in module.__all__ if name.startswith("_") or not hasattr(module, name)] == []


def test_public_functions_are_the_modules_own(module: ModuleType) -> None:
    things = [getattr(module, name, None) for name in module.__all__]
    assert {thing.__module__ for thing in things if callable(thing)} <= {module.__name__}


def test_a_module_says_what_it_is_about(module: ModuleType) -> None:
    assert (module.__doc__ or "").splitlines()[0].endswith(".")


@pytest.mark.parametrize("name", NAMES)
def test_imports_are_few(name: str) -> None:
    others = {
        other
        for other in imported(FOLDER / f"{name}.py")
        if other.split(".")[0] not in sys.stdlib_module_names
        and not any(other == allowed or other.startswith(f"{allowed}.") for allowed in ALLOWED)
    }
    assert others == set()


def test_the_equations_load_with_numpy_alone() -> None:
    program = (
        "import importlib, sys\n"
        f"for name in {NAMES!r}:\n"
        "    importlib.import_module('gyle.science.' + name)\n"
        "print(*{name.split('.')[0] for name in sys.modules})\n"
    )
    # -S -I: no site, so that nothing but what the modules ask for is loaded; the paths are given back.
    paths = f"import sys; sys.path[:] = {[path for path in sys.path if path]!r}\n"
    ran = subprocess.run(
        [sys.executable, "-I", "-S", "-c", paths + program], capture_output=True, text=True, check=True
    )
    loaded = {name for name in ran.stdout.split() if name not in sys.stdlib_module_names}
    assert {"gyle", "numpy"} <= loaded
    assert loaded - {"gyle", "numpy", "__main__"} == set()
