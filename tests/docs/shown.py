"""The sessions shown in the documents: found, run, and compared with what is printed.

A fenced block marked `console` is a session: after each `$ gyle ...` stands what the program prints on a page
of 80 columns, a lone `…` for lines left out. A fenced block under `<!-- file: NAME -->` is a file that the
page's reader has typed. Every page is read in a folder of its own that holds copies of the example files.

Run as a program it writes the present output into the documents:
.venv/bin/python tests/docs/shown.py
"""

from __future__ import annotations

import contextlib
import difflib
import io
import os
import re
import shlex
import shutil
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from gyle.cli import main

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = ROOT / "examples" / "lantern-street"
COLUMNS = "80"
LEFT_OUT = "…"

_BLOCK = re.compile(
    r"(?:<!-- file: (?P<file>\S+) -->\n+)?```(?P<marks>[a-z]*)\n(?P<body>.*?)^```$", re.DOTALL | re.MULTILINE
)
_NUMBER = re.compile(r"\d+(?:[.,:]\d+)*")
_RULER = re.compile(r"[├┤┼─◆]{3,}")
_ran: dict[tuple[str, ...], tuple[str, dict[str, bytes]]] = {}


class Session(NamedTuple):
    """One command of a page, what the page shows of its output, and where that stands in the text."""

    command: str
    shown: list[str]
    start: int  # of the shown lines, in the page's text
    end: int


def pages() -> list[Path]:
    """Every document of the project."""
    return [*sorted(ROOT.glob("*.md")), *sorted((ROOT / "docs").rglob("*.md"))]


def parts(text: str) -> Iterator[Session | tuple[str, str]]:
    """Sessions and typed files of a page, in reading order; a file is (name, content)."""
    for block in _BLOCK.finditer(text):
        if block["file"]:
            yield block["file"], block["body"]
        elif block["marks"] == "console":
            yield from _sessions(block["body"], block.start("body"))


def _sessions(body: str, offset: int) -> Iterator[Session]:
    command, shown, begin, here = "", [], 0, 0
    for line in body.splitlines(keepends=True):
        if line.startswith("$ "):
            if command:
                yield Session(command, shown, offset + begin, offset + here)
            command, shown, begin = line[2:].strip(), [], here + len(line)
        else:
            shown.append(line.rstrip("\n"))
        here += len(line)
    if command:
        yield Session(command, shown, offset + begin, offset + here)


def output(command: str) -> list[str]:
    """Run a command in the present folder and return its lines, refusals at the end.

    A command is run once for the same arguments and the same files, whatever page shows it.
    """
    arguments = shlex.split(command)
    if arguments[0] == "cat":
        return Path(arguments[1]).read_text(encoding="utf-8").splitlines()
    assert arguments[0] == "gyle", command
    files = {path.name: path.read_bytes() for path in Path().iterdir()}
    read = sorted(
        f"{name}:{hash(content)}" for name, content in files.items() if name in arguments or "lantern-street-" in name
    )
    key = (*arguments, *read)
    if key not in _ran:
        out, err = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            main(arguments[1:])
        made = {path.name: path.read_bytes() for path in Path().iterdir() if files.get(path.name) != path.read_bytes()}
        _ran[key] = (out.getvalue() + err.getvalue(), made)
    said, made = _ran[key]
    for name, content in made.items():
        Path(name).write_bytes(content)
    return [line.rstrip() for line in said.splitlines()]


@contextlib.contextmanager
def reading_folder() -> Iterator[None]:
    """A folder with copies of the example files, and pages as wide as the documents show."""
    before, columns = Path.cwd(), os.environ.get("COLUMNS")
    with tempfile.TemporaryDirectory() as folder:
        for example in EXAMPLES.glob("*.toml"):
            shutil.copy(example, folder)
        os.chdir(folder)
        os.environ["COLUMNS"] = COLUMNS
        try:
            yield
        finally:
            os.chdir(before)
            if columns is None:
                del os.environ["COLUMNS"]
            else:
                os.environ["COLUMNS"] = columns


def same(shown: str, printed: str) -> bool:
    """Whether two lines agree: words exactly, numbers but for one step of their last digit, rulers in kind."""

    def words(line: str) -> str:
        return " ".join(_NUMBER.sub("0", _RULER.sub("├┤", line)).split())

    if words(shown) != words(printed):
        return False
    return all(map(_near, _NUMBER.findall(_RULER.sub("", shown)), _NUMBER.findall(_RULER.sub("", printed))))


def _near(one: str, other: str) -> bool:
    if ":" in one or "," in one:
        digits = [int(re.sub(r"\D", "", number)) for number in (one, other)]
        return abs(digits[0] - digits[1]) <= 1
    step = 10.0 ** -max(len(number.partition(".")[2]) for number in (one, other))
    return abs(float(one) - float(other)) <= 1.0001 * step


def segments(shown: list[str]) -> list[list[str]]:
    """Shown lines, cut where some are left out."""
    found: list[list[str]] = [[]]
    for line in shown:
        if line == LEFT_OUT:
            found.append([])
        else:
            found[-1].append(line)
    return found


def fault(shown: list[str], printed: list[str]) -> str:
    """Say how a page departs from what is printed; empty if it does not."""
    if not any(shown):
        return "nothing is shown" if any(printed) else ""
    place = 0
    pieces = segments(shown)
    for number, piece in enumerate(pieces):
        if not piece:
            continue
        starts = range(place, len(printed) - len(piece) + 1) if number else range(place, place + 1)
        fits = (at for at in starts if all(map(same, piece, printed[at : at + len(piece)])))
        at = next(fits, None)
        if at is None or at + len(piece) > len(printed):
            near = difflib.get_close_matches(piece[0], printed, n=1, cutoff=0.3)
            return f"not printed: {piece[0]!r} and the {len(piece) - 1} lines after it; nearest is {near}"
        place = at + len(piece)
    if pieces[-1] and place < len(printed) and any(printed[place:]):
        return f"more is printed than shown: {printed[place]!r}"
    return ""


def _blind(line: str) -> str:
    return " ".join(_NUMBER.sub("0", _RULER.sub("├┤", line)).split())


def renewed(shown: list[str], printed: list[str]) -> list[str]:
    """What a page should show now: the same stretches of the output, found by their words."""
    result: list[str] = []
    place = 0
    blind = [_blind(line) for line in printed]
    pieces = segments(shown)
    for number, piece in enumerate(pieces):
        if number:
            result.append(LEFT_OUT)
        if not piece:
            continue
        first, last = _blind(piece[0]), _blind(piece[-1])
        begin = place if number == 0 else _found(blind, first, place)
        end = len(printed) - 1 if number == len(pieces) - 1 else _found(blind, last, begin + max(len(piece) - 2, 0))
        result += printed[begin : end + 1]
        place = end + 1
    return result


def _found(blind: list[str], wanted: str, place: int) -> int:
    ratios = [difflib.SequenceMatcher(None, wanted, line).ratio() for line in blind[place:]]
    best = max(ratios)
    if best < 0.75:
        raise LookupError(f"nothing printed looks like {wanted!r}")
    return place + ratios.index(best)


def refresh(page: Path) -> bool:
    """Write the present output into a page; return whether anything changed."""
    text = page.read_text(encoding="utf-8")
    changes: list[tuple[int, int, str]] = []
    with reading_folder():
        for part in parts(text):
            if isinstance(part, Session):
                lines = output(part.command)
                if fault(part.shown, lines):
                    new = renewed(part.shown, lines) if part.shown else lines
                    changes.append((part.start, part.end, "".join(f"{line}\n" for line in new)))
            else:
                Path(part[0]).write_text(part[1], encoding="utf-8")
    for start, end, new in reversed(changes):
        text = text[:start] + new + text[end:]
    if changes:
        page.write_text(text, encoding="utf-8")
    return bool(changes)


if __name__ == "__main__":
    for one in map(Path, sys.argv[1:]) if len(sys.argv) > 1 else pages():
        if refresh(one.resolve()):
            print(f"renewed {one}")
