"""Words on their way into the store: what is refused, what is made short, and the folded form they are found by."""

from __future__ import annotations

import json
import re
import tomllib
import unicodedata
from collections.abc import Mapping
from typing import Any

from gyle.beer.page import LARGEST_BYTES
from gyle.errors import BadInput

__all__ = ["checked_line", "checked_name", "checked_summary", "checked_text", "folded", "name_in", "said_line"]

NAME_LENGTH = 120
LINE_LENGTH = 400
NOTE_LENGTH = 10_000
FOLDED_LENGTH = 500  # a few letters fold to many
SUMMARY_LENGTH = 20_000

# Tab and line break are the only control characters a text may hold; a lone surrogate is no character at all.
_NO_CHARACTER = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff]")
_ITS_OWN_LETTERS = str.maketrans(
    {"ä": "ae", "ö": "oe", "ü": "ue", "æ": "ae", "œ": "oe", "ø": "oe", "å": "aa", "ł": "l", "đ": "d", "ð": "d",
     "þ": "th", "ı": "i"}
)  # fmt: skip


def checked_text(text: str, what: str, *, longest: int = LARGEST_BYTES, blank: str = "refused") -> str:
    """Return a text as it is, if the store can keep it.

    Raises
    ------
    BadInput
        If it is blank (unless `blank` is "kept"), too long, or holds a control character.
    """
    if blank == "refused" and not text.strip():
        raise BadInput(f"{what} is empty; nothing was changed")
    if wrong := _NO_CHARACTER.search(text):
        line = text.count("\n", 0, wrong.start()) + 1
        raise BadInput(
            f"{what} holds the control character U+{ord(wrong[0]):04X} in line {line}, and only letters, signs, tabs "
            "and line breaks can be kept; nothing was changed"
        )
    size = len(text) if text.isascii() else len(text.encode())
    if size > longest:
        largest = "1 MB" if longest == LARGEST_BYTES else f"{longest:,} bytes"
        raise BadInput(f"{what} has {size:,} bytes, and at most {largest} is kept; nothing was changed")
    return text


def checked_line(text: str, what: str) -> str:
    """Return a text as one line, which may be blank; raises as `checked_text` does."""
    line = " ".join(text.split())
    if len(line) > LINE_LENGTH:
        raise BadInput(
            f"{what} has {len(line):,} characters, and at most {LINE_LENGTH} are kept in one line; nothing was changed"
        )
    return checked_text(line, what, blank="kept")


def said_line(text: str) -> str:
    """Return a line the program wrote, cut to what a column holds and cleared of what it cannot keep."""
    line = " ".join(_NO_CHARACTER.sub(" ", text).split())
    return line if len(line) <= LINE_LENGTH else line[: LINE_LENGTH - 1].rstrip() + "…"


def checked_name(name: str, what: str) -> str:
    """Return a name as one line, cut to what a column holds; raises as `checked_text` does."""
    return checked_text(" ".join(name.split()), what)[:NAME_LENGTH].rstrip()


def name_in(text: str) -> str | None:
    """Return the name a text gives itself, None where it gives none or is no TOML."""
    try:
        name = tomllib.loads(text).get("name")
    except (ValueError, RecursionError):
        return None
    if not isinstance(name, str) or not name.strip() or _NO_CHARACTER.search(" ".join(name.split())):
        return None
    return name


def checked_summary(summary: Mapping[str, Any] | None) -> dict[str, Any]:
    """Return headline figures that every database keeps as they are: finite numbers, texts, lists, mappings.

    Raises
    ------
    BadInput
        If they are something else or too long.
    """
    if summary is None:
        return {}
    try:
        written = json.dumps(dict(summary), allow_nan=False)
    except (TypeError, ValueError, RecursionError):
        raise BadInput("the headline figures hold something that is no finite number or text") from None
    if len(written) > SUMMARY_LENGTH or "\\u0000" in written:
        raise BadInput(
            f"the headline figures take {len(written):,} characters, and at most {SUMMARY_LENGTH:,} are kept"
        )
    kept: dict[str, Any] = json.loads(written)
    return kept


def folded(text: str) -> str:
    """Return a text as it is searched for: small letters without marks, umlauts as two letters, single spaces."""
    plain = unicodedata.normalize("NFKC", _NO_CHARACTER.sub(" ", text)).casefold().translate(_ITS_OWN_LETTERS)
    bare = "".join(sign for sign in unicodedata.normalize("NFKD", plain) if not unicodedata.combining(sign))
    return " ".join(bare.split())[:FOLDED_LENGTH].rstrip()
