"""Signs as a page sets them: a true minus in front of a number."""

from __future__ import annotations

import re

__all__ = ["true_minus"]

MINUS = "−"
_HYPHEN = re.compile(r"(?<![\w.,%°)\]-])-(?=[0-9])")


def true_minus(text: str) -> str:
    """Return a text whose numbers below nought have a minus; ranges such as "5-10" and names keep their hyphen."""
    return _HYPHEN.sub(MINUS, text)
