"""The page a command prints: lines of inked words, laid out for a width, in colour only on a terminal.

A page keeps what a line says apart from how it is shown, so that a pipe, a dumb terminal and a screen of
sixteen million colours all get the same words in the same places.
"""

from __future__ import annotations

import shutil
import textwrap
from collections.abc import Sequence
from typing import NamedTuple, TextIO

from gyle.share.sentences import plain

__all__ = ["Cell", "Ink", "Page", "page_width"]

NARROWEST, WIDEST = 60, 96
NARROW = 72  # below this, names stand above their lines and not beside them
MARGIN = 11

# How each kind of ink looks on a terminal; paper and ink, one accent.
_INKS = {
    "": "",
    "title": "bold",
    "quiet": "dim",
    "strong": "bold",
    "alarm": "bold red",
    "caution": "yellow",
    "aim": "bold cyan",
}
# For the rare terminal that cannot show more than ASCII.
_ASCII = str.maketrans(
    {
        "─": "-",
        "│": "|",
        "├": "|",
        "┤": "|",
        "┼": "+",
        "◆": "*",
        "·": "-",
        "→": ">",
        "▸": ">",
        "…": "...",
        "°": "",
        "–": "-",
        "’": "'",
        "α": "a",
    }
)


class Ink(NamedTuple):
    """Some words and the kind of ink they are in; "swatch #rrggbb" is a patch of that colour."""

    text: str
    kind: str = ""


class Cell(NamedTuple):
    """A column's entry in a row."""

    text: str
    width: int
    kind: str = ""
    right: bool = False


def page_width() -> int:
    """Return how wide a page may be here."""
    return max(NARROWEST, min(WIDEST, shutil.get_terminal_size((80, 24)).columns))


class Page:
    """Lines in the order they are read.

    Parameters
    ----------
    width : int
        Columns; lines are wrapped to it.
    """

    def __init__(self, width: int) -> None:
        self.width = width
        self.narrow = width < NARROW
        self.lines: list[list[Ink]] = []
        self._side: tuple[str, str] | None = None

    # -- the whole width
    def line(self, *inks: Ink | str) -> None:
        """Add one line as it is."""
        self.lines.append([Ink(ink) if isinstance(ink, str) else ink for ink in inks])

    def blank(self) -> None:
        """Add an empty line."""
        self.lines.append([])

    def text(self, text: str, kind: str = "", *, indent: str = "") -> None:
        """Add a paragraph; its later lines are set under the first's words."""
        for wrapped in self.wrapped(text, self.width - len(indent)):
            self.line(Ink(indent), Ink(wrapped, kind))
            indent = " " * len(indent)

    def head(self, words: str, aside: str = "") -> None:
        """Begin a part of the page: its words, an aside, a thin rule to the edge."""
        self.blank()
        if len(words) + len(aside) + 7 > self.width:
            self.line(Ink(f"{words} ", "title"), Ink("─" * max(self.width - len(words) - 1, 0), "quiet"))
            if aside:
                self.text(aside, "quiet")
            return
        inks = [Ink(f"{words} ", "title")]
        if aside:
            inks.append(Ink(" "))
            inks.append(Ink(f"{aside} ", "quiet"))
        used = sum(len(ink.text) for ink in inks)
        self.line(*inks, Ink("─" * (self.width - used), "quiet"))

    # -- beside the long rule that runs from water to glass
    def beside(self, name: str) -> None:
        """Let the rows that follow stand beside this name."""
        if self.narrow:
            self.line(Ink(name, "strong"))
        self._side = (name, "strong")

    @property
    def room(self) -> int:
        """Columns left beside the rule."""
        return self.width - (2 if self.narrow else MARGIN + 2)

    def _edge(self) -> list[Ink]:
        name, kind = self._side or ("", "")
        self._side = None
        if self.narrow:
            return [Ink("│ ", "quiet")]
        return [Ink(f"{name:<{MARGIN}}"[:MARGIN], kind), Ink("│ ", "quiet")]

    def row(self, *cells: Cell | Ink) -> None:
        """Add a row beside the rule; what is too long for its column goes on below."""
        for inks in self._set(cells):
            self.lines.append([*self._edge(), *inks])

    def columns(self, *cells: Cell | Ink) -> None:
        """Add a row from edge to edge; what is too long for its column goes on below."""
        self.lines.extend(self._set(cells))

    def _set(self, cells: Sequence[Cell | Ink]) -> list[list[Ink]]:
        told = [self.wrapped(cell.text, cell.width) if isinstance(cell, Cell) else [cell.text] for cell in cells]
        lines: list[list[Ink]] = [[] for _ in range(max(len(parts) for parts in told))]
        for cell, parts in zip(cells, told, strict=True):
            width = cell.width if isinstance(cell, Cell) else len(cell.text)
            right = isinstance(cell, Cell) and cell.right
            for place, inks in enumerate(lines):
                said = parts[place] if place < len(parts) else ""
                inks.append(Ink(f"{said:>{width}}" if right else f"{said:<{width}}", cell.kind))
        return lines

    def remark(self, text: str, mark: str, kind: str = "") -> None:
        """Add a paragraph beside the rule with a mark in front."""
        inner = self.room - len(mark) - 1
        for place, said in enumerate(self.wrapped(text, inner)):
            front = f"{mark} " if place == 0 else " " * (len(mark) + 1)
            self.lines.append([*self._edge(), Ink(front, kind), Ink(said, "" if kind == "caution" else kind)])

    def wrapped(self, text: str, width: int) -> list[str]:
        text = plain(text)
        return textwrap.wrap(text, max(width, 8), break_on_hyphens=False) or [""]

    # -- out
    def as_text(self) -> str:
        """The page without any colour."""
        return "".join(
            "".join(plain(ink.text) for ink in line if not ink.kind.startswith("swatch")).rstrip() + "\n"
            for line in self.lines
        )

    def show(self, out: TextIO) -> None:
        """Print it: in colour on a terminal that has colour, else as plain text."""
        if out.isatty():
            self._show_in_colour(out)
            return
        text = self.as_text()
        if not (out.encoding or "utf-8").casefold().replace("-", "").startswith("utf"):
            text = text.translate(_ASCII).encode("ascii", "replace").decode("ascii")
        out.write(text)

    def _show_in_colour(self, out: TextIO) -> None:
        from rich.console import Console
        from rich.text import Text

        console = Console(file=out, highlight=False, markup=False, emoji=False, width=max(self.width, 20))
        for line in self.lines:
            console.print(_styled(line, Text()), soft_wrap=True)


def _styled(line: Sequence[Ink], text: object) -> object:
    from rich.text import Text

    assert isinstance(text, Text)
    for ink in line:
        style = f"on {ink.kind.split()[1]}" if ink.kind.startswith("swatch") else _INKS[ink.kind]
        text.append(plain(ink.text), style=style or None)
    if not any(ink.kind.startswith("swatch") for ink in line):
        text.rstrip()
    return text
