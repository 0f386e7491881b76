"""Plain sentences: one line, a capital, a stop, parts listed."""

from __future__ import annotations

import re
from collections.abc import Iterable

from gyle.errors import BadInput, GyleError

__all__ = ["as_sentence", "beside_its_field", "faults_of", "joined", "plain", "without_line"]

_WHERE = re.compile(r'^(?:[^:"]{1,80}, )?line \d+: ')
_KEY = re.compile(r"^\w+: ")


def plain(text: str) -> str:
    """Return a text on one line without anything a terminal or a page would obey."""
    return "".join(letter if letter.isprintable() else " " for letter in text)


def as_sentence(text: str) -> str:
    """Return a text that begins with a capital and ends with a stop."""
    text = " ".join(plain(text).split())
    return (text[:1].upper() + text[1:]).rstrip(".") + "." if text else ""


def without_line(fault: str) -> str:
    """Return a fault of a text without where it stands there, as it is said where no line of the text is seen."""
    return _WHERE.sub("", fault)


def beside_its_field(fault: str) -> str:
    """Return a fault of a text as a sentence beside the field it came from, where no line of the text is seen."""
    found = without_line(fault)
    bare = (found if found == fault else _KEY.sub("", found)).replace(
        "what is missing; write what = ", "A name is missing; write such as "
    )
    return as_sentence(bare)


def faults_of(error: GyleError) -> tuple[str, ...]:
    """Return what an error says, each fault for itself."""
    return error.faults if isinstance(error, BadInput) else (str(error),)


def joined(parts: Iterable[str], *, last: str = "and") -> str:
    """Return parts as a sentence lists them."""
    found = list(parts)
    return found[0] if len(found) == 1 else f"{', '.join(found[:-1])} {last} {found[-1]}" if found else ""
