"""What came from npm is exactly what the lock names, is shipped whole, and brings its licence."""

from __future__ import annotations

import hashlib
import importlib.util
import json
import os
import re
import shutil
import zipfile
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from hatchling.builders.wheel import WheelBuilder

ROOT = Path(__file__).parents[2]
FRONTEND = ROOT / "frontend"
VENDOR = ROOT / "src" / "gyle" / "web" / "assets" / "vendor"


@pytest.fixture(scope="module")
def lock() -> dict[str, dict[str, Any]]:
    """Packages of the npm lock, by name."""
    packages = json.loads((FRONTEND / "package-lock.json").read_text(encoding="utf-8"))["packages"]
    return {path.removeprefix("node_modules/"): about for path, about in packages.items() if path}


@pytest.fixture(scope="module")
def manifest() -> dict[str, Any]:
    """The manifest as built."""
    return json.loads((VENDOR / "manifest.json").read_text(encoding="utf-8"))


@pytest.fixture
def hook(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """The build hook over a copy of vendor/, with no npm to call."""
    spec = importlib.util.spec_from_file_location("hatch_build", ROOT / "hatch_build.py")
    assert spec is not None
    assert spec.loader is not None
    made = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(made)
    shutil.copytree(VENDOR, tmp_path / "vendor")
    monkeypatch.setattr(made, "VENDOR", tmp_path / "vendor")
    monkeypatch.setattr(made.shutil, "which", lambda name: None)
    return made


def test_lock_names_versions_and_hashes_and_no_address(lock: dict[str, dict[str, Any]]) -> None:
    wanted = json.loads((FRONTEND / "package.json").read_text(encoding="utf-8"))
    assert {**wanted["dependencies"], **wanted["devDependencies"]} == {
        name: about["version"] for name, about in lock.items()
    }
    for name, about in lock.items():
        assert "resolved" not in about, name
        assert about["integrity"].startswith("sha512-"), name


def test_every_file_is_in_the_manifest_with_its_hash(manifest: dict[str, Any]) -> None:
    there = {path.relative_to(VENDOR).as_posix(): path for path in VENDOR.rglob("*") if path.is_file()}
    del there["manifest.json"]
    assert set(there) == set(manifest["files"])
    for name, path in there.items():
        found = path.read_bytes()
        assert manifest["files"][name]["bytes"] == len(found), name
        assert manifest["files"][name]["sha256"] == hashlib.sha256(found).hexdigest(), name


def test_every_package_shipped_brings_its_licence(lock: dict[str, dict[str, Any]], manifest: dict[str, Any]) -> None:
    shipped = {name: about for name, about in lock.items() if not about.get("dev")}
    assert {package["name"]: package["version"] for package in manifest["packages"]} == {
        name: about["version"] for name, about in shipped.items()
    }
    for package in manifest["packages"]:
        words = (VENDOR / package["licence_file"]).read_text(encoding="utf-8")
        assert package["licence"] == shipped[package["name"]]["license"]
        assert "permission to use" in words.lower() or "SIL OPEN FONT LICENSE Version 1.1" in words, package


def test_style_sheet_of_letters_names_files_by_their_hash(manifest: dict[str, Any]) -> None:
    sheet = (VENDOR / "source-serif-4.css").read_text(encoding="utf-8")
    named = re.findall(r'url\("([^"?]+)\?v=([0-9a-f]+)"\)', sheet)
    assert {name for name, _ in named} == {name for name in manifest["files"] if name.endswith(".woff2")}
    assert len(named) == sheet.count("@font-face") == sheet.count("url(")
    for name, mark in named:
        assert manifest["files"][name]["sha256"].startswith(mark), name


def test_hook_leaves_alone_what_is_as_the_lock_says(hook: ModuleType) -> None:
    assert hook.up_to_date()


@pytest.mark.parametrize("harm", ["changed", "missing", "no manifest", "broken manifest", "other lock"])
def test_hook_sees_that_something_is_not_as_the_lock_says(
    hook: ModuleType, harm: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    vendor = tmp_path / "vendor"
    if harm == "changed":
        (vendor / "htmx.min.js").write_bytes((vendor / "htmx.min.js").read_bytes() + b" ")
    elif harm == "missing":
        (vendor / "licences" / "htmx.org.txt").unlink()
    elif harm == "no manifest":
        (vendor / "manifest.json").unlink()
    elif harm == "broken manifest":
        (vendor / "manifest.json").write_text('{"made_from": ', encoding="utf-8")
    else:
        shutil.copytree(FRONTEND, tmp_path / "frontend", ignore=shutil.ignore_patterns("node_modules"))
        monkeypatch.setattr(hook, "FRONTEND", tmp_path / "frontend")
        with (tmp_path / "frontend" / "package-lock.json").open("a", encoding="utf-8") as opened:
            opened.write("\n")
    assert not hook.up_to_date()


def test_node_is_asked_for_only_where_it_is_needed_and_missing(
    hook: ModuleType, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = hook.VendoredAssets.dependencies
    monkeypatch.setattr(hook, "ROOT", tmp_path)  # here PKG-INFO marks a source archive
    monkeypatch.setattr(hook, "TESTS_ONLY", tmp_path / "axe.min.js")
    assert asked(None) == [hook.NODE]
    (tmp_path / "PKG-INFO").touch()
    assert asked(None) == []
    (tmp_path / "vendor" / "manifest.json").unlink()
    assert asked(None) == [hook.NODE]
    monkeypatch.setattr(hook.shutil, "which", lambda name: f"/somewhere/{name}")
    assert asked(None) == []


def test_filling_anew_gives_the_same_files(hook: ModuleType, tmp_path: Path) -> None:
    stale = tmp_path / "vendor" / "left-over.js"
    stale.write_text("0", encoding="utf-8")
    hook.copy()
    assert hook.up_to_date()
    assert not stale.exists()
    assert (tmp_path / "vendor" / "manifest.json").read_bytes() == (VENDOR / "manifest.json").read_bytes()


def test_wheel_holds_the_assets_and_nothing_meant_for_tests(tmp_path: Path, manifest: dict[str, Any]) -> None:
    built = next(WheelBuilder(os.fspath(ROOT)).build(directory=os.fspath(tmp_path), versions=["standard"]))
    with zipfile.ZipFile(built) as wheel:
        names = wheel.namelist()
        for name, entry in manifest["files"].items():
            found = wheel.read(f"gyle/web/assets/vendor/{name}")
            assert hashlib.sha256(found).hexdigest() == entry["sha256"], name
    assert "gyle/web/assets/vendor/manifest.json" in names
    assert [name for name in names if "axe" in Path(name).name.split(".") or "node_modules" in name] == []
    assert {name.partition("/")[0].partition("-")[0] for name in names} == {"gyle"}
