"""A text file as a page of lines: opened with care, parsed, and able to say where each thing stands."""

from __future__ import annotations

import os
import re
import stat
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from gyle.errors import BadInput, StoreError

if TYPE_CHECKING:
    from gyle.beer.water import Water

__all__ = ["LARGEST_BYTES", "Page", "open_page", "parsed", "text_of_file"]

LARGEST_BYTES = 1_000_000
LONGEST_NAME = 120

_HEADER = re.compile(r"^\s*(\[\[?)\s*([^\[\]]+?)\s*(\]\]?)\s*(?:#.*)?$")
_KEY = re.compile(r"""^\s*((?:"[^"]*"|'[^']*'|[A-Za-z0-9_-]+)(?:\s*\.\s*(?:"[^"]*"|'[^']*'|[A-Za-z0-9_-]+))*)\s*=""")
_PART = re.compile(r""""([^"]*)"|'([^']*)'|([A-Za-z0-9_-]+)""")
_AT = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)$")

Step = str | int
Address = tuple[Step, ...]


class Page:
    """One parsed file, with what was found wrong in it and what is worth saying.

    Parameters
    ----------
    data : dict
        The parsed content.
    text : str
        The file as it is written.
    name : str
        What it is called in a sentence.
    path : Path, optional
        Where it lies.
    """

    def __init__(self, data: dict[str, Any], text: str, name: str, path: Path | None = None) -> None:
        self.data = data
        self.text = text
        self.name = name
        self.path = path
        self.water_named: Callable[[str], Water | None] | None = None  # where waters are found, beside its folder
        self.faults: list[str] = []
        self.notes: list[str] = []
        self._lines: dict[Address, int] | None = None

    def line(self, address: Address) -> int | None:
        """Return the line of a key, or of the nearest table around it."""
        if self._lines is None:
            self._lines = _line_index(self.text)
        for length in range(len(address), 0, -1):
            here = address[:length]
            if (number := self._lines.get(here, self._lines.get((*here, 0)))) is not None:
                return number
        return None

    def fault(self, sentence: str, address: Address = (), place: str = "") -> None:
        """Keep a fault with the place where it stands."""
        number = self.line(address) if address else None
        where = ", ".join(part for part in (place, f"line {number}" if number else "") if part)
        fault = f"{where}: {sentence}" if where else sentence
        if fault not in self.faults:
            self.faults.append(fault)

    def note(self, sentence: str) -> None:
        """Keep something worth saying, once."""
        if sentence not in self.notes:
            self.notes.append(sentence)

    def settle(self) -> None:
        """Raise every fault found, together.

        Raises
        ------
        BadInput
            If there is one.
        """
        if self.faults:
            raise BadInput(self.faults)


def _parts(key: str) -> Address:
    return tuple(next(part for part in found if part) for found in _PART.findall(key) if any(found))


def _line_index(text: str) -> dict[Address, int]:
    """Return the line of each table and key; strings over several lines are passed over."""
    lines: dict[Address, int] = {}
    counts: dict[Address, int] = {}
    table: Address = ()
    closing = ""
    for number, line in enumerate(text.splitlines(), start=1):
        if closing:
            if closing in line:
                closing = ""
            continue
        if header := _HEADER.match(line):
            name = _parts(header[2])
            if header[1] == "[[":
                counts[name] = counts.get(name, -1) + 1
                table = (*name, counts[name])
            else:
                # A table below a row of rows belongs to the latest row.
                head = name[:1]
                table = (*head, counts[head], *name[1:]) if head in counts and len(name) > 1 else name
            lines.setdefault(table, number)
        elif key := _KEY.match(line):
            lines.setdefault((*table, *_parts(key[1])), number)
            for quotes in ('"""', "'''"):
                if line[key.end() :].count(quotes) == 1:
                    closing = quotes
    return lines


def text_of_file(path: str | os.PathLike[str]) -> str:
    """Return the text of a file a person named.

    Raises
    ------
    BadInput
        If it is missing, a folder, empty, too large or no UTF-8 text.
    StoreError
        If the system does not let it be read.
    """
    name = (Path(path).name or str(path))[:LONGEST_NAME]
    try:
        about = os.stat(path)
    except (FileNotFoundError, NotADirectoryError):
        raise BadInput(f"there is no file {name}") from None
    except ValueError:
        raise BadInput("the file's name holds a character no name can hold") from None
    except OSError as error:
        raise StoreError(f"{name} cannot be read: {_reason(error)}") from None
    if stat.S_ISDIR(about.st_mode):
        raise BadInput(f"{name} is a folder, and a text file was wanted")
    if not stat.S_ISREG(about.st_mode):
        raise BadInput(f"{name} is no ordinary file, and a text file was wanted")
    if about.st_size > LARGEST_BYTES:
        raise BadInput(f"{name} is larger than 1 MB, which no recipe, brewhouse, water or stock needs")
    try:
        with open(path, "rb") as file:
            raw = file.read(LARGEST_BYTES + 1)
    except OSError as error:
        raise StoreError(f"{name} cannot be read: {_reason(error)}") from None
    return _decoded(raw, name)


def _reason(error: OSError) -> str:
    return (error.strerror or "the system refuses").lower()


def _decoded(raw: bytes, name: str) -> str:
    if b"\0" in raw:
        raise BadInput(f"{name} is a binary file, and a text file was wanted")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise BadInput(f"{name}, line {line}: the text is not UTF-8; save the file as UTF-8") from None
    if not text.strip():
        raise BadInput(f"{name} is empty")
    return text


def parsed(text: str, name: str) -> dict[str, Any]:
    """Return the content of a TOML text.

    Raises
    ------
    BadInput
        If it is not TOML; the sentence says on which line and what would be right.
    """
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadInput(_toml_sentence(str(error), text, name)) from None
    except RecursionError:
        raise BadInput(f"{name} has brackets within brackets too deep to be read") from None
    except ValueError:
        raise BadInput(f"{name} holds a number too long to be read") from None


_TOML_SAYS = (
    ("Cannot overwrite a value", "a key stands here a second time in the same table; keep one of them"),
    ("Duplicate inline table key", "a key stands here a second time in the same braces; keep one of them"),
    ("Cannot declare", "a table is opened here a second time, or is also given as a single value; keep one"),
    ("Cannot mutate", "something is added here to a table that was already closed"),
    ("Expected '=' after a key", 'a line is a key, an equals sign and a value, such as volume = "21 L"'),
    ("Invalid value", 'the value cannot be read; a quantity stands in quotes, such as volume = "21 L"'),
    ("Invalid statement", 'a line is a key, an equals sign and a value, such as volume = "21 L"'),
    ("Expected newline", 'the value has something after it; a quantity stands in quotes, such as "21 L"'),
    ("Unterminated string", "a quotation mark is missing"),
    ("Illegal character", "a text in quotes holds a line break or a character that may not stand there"),
    ("Unescaped", "a backslash in a text stands before a character it cannot stand before"),
    ("Unclosed array", "a closing bracket is missing"),
    ("Expected ']", "a closing bracket is missing"),
    ("Unclosed inline table", "a closing brace is missing"),
    ("Invalid initial character for a key", "a key is missing before the equals sign or the dot"),
    ("Invalid hex", "a backslash in a text is followed by what is no character"),
    ("Escaped character", "a backslash in a text is followed by what is no character"),
    ("Invalid date", "the date does not exist"),
)


def _toml_sentence(message: str, text: str, name: str) -> str:
    match = _AT.search(message)
    line = int(match[1]) if match and match[1] else max(len(text.splitlines()), 1)
    says = next((ours for theirs, ours in _TOML_SAYS if theirs in message), "the line cannot be read")
    return f"{name}, line {line}: {says}"


def open_page(path: str | os.PathLike[str]) -> Page:
    """Open and parse a file a person named.

    Raises
    ------
    BadInput
        If it is no readable TOML text.
    StoreError
        If the system does not let it be read.
    """
    text = text_of_file(path)
    name = Path(path).name
    return Page(parsed(text, name), text, name, Path(path))
