"""Rows and tables of a file as blocks of lines: one is put in, taken out or moved with the comments that are its own.

A comment on the lines right above a row is that row's and goes with it; what stands above the first row of a list
may speak for the whole list and stays. Blank lines and comments set apart from what follows stay where they are.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Sequence

import attrs

__all__ = ["row_gone", "row_moved", "row_put", "table_put"]

# The order in which a recipe's tables are usually written.
_ORDER = (
    "aim", "grist", "mash", "sparge", "boil", "hops", "other", "yeast", "fermentation", "package", "water", "printed",
    "for_brewhouse",
)  # fmt: skip
_HEADER = re.compile(r"^\s*(\[\[?)\s*([A-Za-z0-9_-]+)\s*((?:\.[^\]]*)?)(\]\]?)")
_QUOTES = ('"""', "'''", '"', "'")


@attrs.define
class _Block:
    """A table with the comments right above it, its lines, and what stands between it and the next."""

    name: str
    is_row: bool
    lead: list[str]
    body: list[str]
    tail: list[str]


def _starts(text: str) -> list[tuple[str, bool]]:
    """Return every line, and whether it begins inside a text or a list of several lines."""
    lines: list[tuple[str, bool]] = []
    quote, depth = "", 0
    for line in text.split("\n"):
        lines.append((line, bool(quote or depth)))
        quote, depth = _end_of_line(line, quote, depth)
    return lines


def _end_of_line(line: str, quote: str, depth: int) -> tuple[str, int]:
    """Return the quotation mark and the depth of brackets that are open as a line ends."""
    place = 0
    while place < len(line):
        if quote:
            if quote[0] == '"' and line[place] == "\\":
                place += 2
            elif line.startswith(quote, place):
                place += len(quote)
                # Up to two more quotation marks may belong to a text of several lines.
                while len(quote) == 3 and place < len(line) and line[place] == quote[0]:
                    place += 1
                quote = ""
            else:
                place += 1
            continue
        opened = next((mark for mark in _QUOTES if line.startswith(mark, place)), "")
        if opened:
            quote, place = opened, place + len(opened)
        elif line[place] == "#":
            break
        else:
            depth += {"[": 1, "{": 1, "]": -1, "}": -1}.get(line[place], 0)
            place += 1
    return (quote if len(quote) == 3 else ""), max(depth, 0)


def _blocks(text: str) -> tuple[list[str], list[_Block]]:
    """Return the lines before the first table, and every table; tables below a table belong to it."""
    lines = _starts(text)
    heads: list[tuple[int, str, bool]] = []
    for number, (line, inside) in enumerate(lines):
        found = None if inside else _HEADER.match(line)
        if found is None:
            continue
        if found[3] and heads and heads[-1][1] == found[2]:
            continue  # such as [water.calcium] below [water]
        heads.append((number, found[2], found[1] == "[[" and not found[3]))
    edges = [0, *(number for number, _, _ in heads), len(lines)]
    spans = [lines[start:end] for start, end in itertools.pairwise(edges)]
    head_body, lead = _lead_cut([line for line, _ in spans[0]], [inside for _, inside in spans[0]])
    blocks: list[_Block] = []
    for (_, name, is_row), span in zip(heads, spans[1:], strict=True):
        kept, following = _lead_cut([line for line, _ in span], [inside for _, inside in span])
        if span is spans[-1]:
            kept, following = kept + following, []
        body = _without_tail(kept, [inside for _, inside in span])
        blocks.append(_Block(name, is_row, lead, kept[:body], kept[body:]))
        lead = following
    return head_body if heads else head_body + lead, blocks


def _lead_cut(lines: list[str], inside: Sequence[bool]) -> tuple[list[str], list[str]]:
    """Part lines from the comments at their end, which belong to what follows."""
    cut = len(lines)
    while cut > 1 and lines[cut - 1].lstrip().startswith("#") and not inside[cut - 1]:
        cut -= 1
    return lines[:cut], lines[cut:]


def _without_tail(lines: list[str], inside: Sequence[bool]) -> int:
    """Return how many lines there are up to the last key."""
    cut = len(lines)
    while cut > 1 and not inside[cut - 1] and (not lines[cut - 1].strip() or lines[cut - 1].lstrip().startswith("#")):
        cut -= 1
    return cut


def _joined(head: list[str], blocks: list[_Block]) -> str:
    lines = [*head, *(line for block in blocks for line in (*block.lead, *block.body, *block.tail))]
    return "\n".join(lines)


def _rows(blocks: list[_Block], name: str) -> list[int]:
    return [i for i, block in enumerate(blocks) if block.name == name and block.is_row]


def row_gone(text: str, name: str, gone: int) -> str:
    """Return a text without one row of a list, or without the table of that name."""
    head, blocks = _blocks(text)
    rows = _rows(blocks, name) or [i for i, block in enumerate(blocks) if block.name == name]
    place = rows[gone]
    block = blocks.pop(place)
    before = blocks[place - 1].tail if place else head
    loose = [*(block.lead if gone == 0 else []), *block.tail]
    while loose and not loose[0].strip() and (not before or not before[-1].strip()) and len(loose) > 1:
        del loose[0]
    is_apart = not before or not before[-1].strip()
    if is_apart and place < len(blocks) and not any(line.strip() for line in loose):
        loose = []
    before.extend(loose)
    return _joined(head, blocks)


def row_moved(text: str, name: str, row: int, to: int) -> str:
    """Return a text in which two rows of a list have changed places."""
    head, blocks = _blocks(text)
    rows = _rows(blocks, name)
    one, other = blocks[rows[row]], blocks[rows[to]]
    one.body, other.body = other.body, one.body
    first = next((block for block in (one, other) if block is blocks[rows[0]]), None)
    if first is None:
        one.lead, other.lead = other.lead, one.lead
    else:
        second = other if first is one else one
        first.lead, second.lead = [*first.lead, *second.lead], []
    return _joined(head, blocks)


def row_put(text: str, name: str, row: int, lines: Sequence[str]) -> str:
    """Return a text with a new row at a place of a list; a single table of that name becomes its first row."""
    head, blocks = _blocks(text)
    for block in blocks:
        if block.name == name and not block.is_row:
            block.body[0] = re.sub(r"\[\s*([A-Za-z0-9_-]+)\s*\]", r"[[\1]]", block.body[0], count=1)
            block.is_row = True
    rows = _rows(blocks, name)
    if not rows:
        return table_put(text, name, lines)
    new = _Block(name, is_row=True, lead=[], body=_ended(lines, text), tail=[])
    apart = len(rows) > 1 and any(not line.strip() for line in blocks[rows[0]].tail)
    space = ["\r" if "\r\n" in text else ""]
    if row == 0:
        old = blocks[rows[0]]
        new.lead, old.lead = old.lead, []
        new.tail = space if apart else []
        blocks.insert(rows[0], new)
    else:
        old = blocks[rows[row - 1]]
        new.tail, old.tail = old.tail, space if apart else []
        blocks.insert(rows[row - 1] + 1, new)
    return _joined(head, blocks)


def table_put(text: str, name: str, lines: Sequence[str]) -> str:
    """Return a text with a new table, where such a table usually stands."""
    head, blocks = _blocks(text)
    rank = _ORDER.index(name) if name in _ORDER else len(_ORDER)
    space = "\r" if "\r\n" in text else ""
    earlier = [i for i, block in enumerate(blocks) if block.name in _ORDER and _ORDER.index(block.name) <= rank]
    new = _Block(name, is_row=False, lead=[], body=_ended(lines, text), tail=[])
    if earlier:
        old = blocks[earlier[-1]]
        new.tail, old.tail = old.tail or [space], [space]
        if earlier[-1] == len(blocks) - 1 and not any(line.strip() for line in new.tail):
            new.tail = [""]
        blocks.insert(earlier[-1] + 1, new)
    elif blocks:
        if head and head[-1].strip():
            head.append(space)
        new.tail = [space]
        blocks.insert(0, new)
    else:
        while len(head) > 1 and not head[-1].strip():
            head.pop()
        head.append(space)
        new.tail = [""]
        blocks.append(new)
    return _joined(head, blocks)


def _ended(lines: Sequence[str], text: str) -> list[str]:
    return [f"{line}\r" for line in lines] if "\r\n" in text else list(lines)
