"""Writing a table of texts, numbers, lists and tables as TOML a person would write."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from gyle.beer.amount_text import plain_number

__all__ = ["key_text", "quoted", "toml_text"]

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_ESCAPES = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\r": "\\r", "\t": "\\t", "\b": "\\b", "\f": "\\f"}


def _escaped(text: str, keep: str = "") -> str:
    return "".join(
        c if c in keep else _ESCAPES.get(c) or (f"\\u{ord(c):04x}" if ord(c) < 0x20 or ord(c) == 0x7F else c)
        for c in text
    )


def quoted(text: str) -> str:
    """Return a text in quotes; one of several lines keeps its lines."""
    if "\n" in text:
        return '"""\n' + _escaped(text, keep="\n\t") + '"""'
    return f'"{_escaped(text)}"'


def key_text(key: str) -> str:
    """Return a key, in quotes where it needs them."""
    return key if _BARE.fullmatch(key) else f'"{_escaped(key)}"'


def _number(value: float) -> str:
    return plain_number(value) if value == 0.0 or 1e-6 < abs(value) < 1e15 else repr(value)


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return quoted(value)
    if isinstance(value, (int, float)):
        return str(value) if isinstance(value, int) else _number(value)
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{key_text(k)} = {_value(v)}" for k, v in value.items()) + " }"
    return "[" + ", ".join(_value(item) for item in value) + "]"


def _is_rows(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(row, Mapping) for row in value)


def _is_figure(value: Any) -> bool:
    """Whether a table is one figure, written in one line: { value = ..., spread = ... }."""
    return isinstance(value, Mapping) and "value" in value


def _only_tables(table: Mapping[str, Any]) -> bool:
    """Whether nothing stands in a table but further tables, so that it needs no line of its own."""
    return bool(table) and all(isinstance(v, Mapping) and not _is_figure(v) for v in table.values())


def _table(table: Mapping[str, Any], name: str) -> list[str]:
    below = {k: v for k, v in table.items() if _is_rows(v) or (isinstance(v, Mapping) and not _is_figure(v))}
    lines = [f"{key_text(k)} = {_value(v)}" for k, v in table.items() if k not in below]
    for key, value in below.items():
        full = f"{name}.{key_text(key)}" if name else key_text(key)
        if isinstance(value, Mapping):
            lines += ([] if _only_tables(value) else ["", f"[{full}]"]) + _table(value, full)
        else:
            lines.append("")
            for row in value:
                lines += [f"[[{full}]]", *_table(row, full)]
    return lines


def toml_text(table: Mapping[str, Any]) -> str:
    """Return a whole file; lists of tables as [[...]], tables as [...]."""
    return "\n".join(_table(table, "")) + "\n"
