"""What brewers write by habit, brought to the words of the text form before it is read.

Only what can mean one thing is brought over; the rest is left as it is typed, and reading says what would be right.
"""

from __future__ import annotations

import re

__all__ = ["in_our_words"]

# Common practice, no source.
_TIMINGS = (
    (re.compile(r"(?i)\s*(?:fwh|first[- ]wort hops?|first[- ]wort)\s*"), "first wort"),
    (re.compile(r"(?i)\s*(?:flame[- ]?out|knock[- ]?out|end of (?:the )?boil)\s*"), "boil 0 min"),
    (re.compile(r"(?i)\s*(?:whirlpool|hop[- ]?stand|steep)\s+(?=\S)(.*)"), r"stand \1"),
    (re.compile(r"(?i)\s*dry[- ]?hop(?:s|ped)?\s+(?=\S)(.*)"), r"dry \1"),
    (re.compile(r"(?i)\s*(\d+(?:[.,]\d+)?\s*(?:min|minutes?|h|hours?))\s+boil\s*"), r"boil \1"),
)
_HOURS = re.compile(r"(?i)\s*(\d{1,2})\s*(?:h|:)\s*([0-5]\d)\s*(?:min)?\s*")
_POINTS = re.compile(r"\s*1([01]\d\d|200)\s*")


def in_our_words(text: str, kind: str) -> str:
    """Return what was typed in the words of the text form.

    Parameters
    ----------
    text : str
        As it was typed.
    kind : str
        The kind of the place it was typed at: "at", "time", "gravity"; any other is left as it is.

    Returns
    -------
    str
        "boil 0 min" for "flameout", "1 h 15 min" for "1:15", "1.102" for "1102"; the text itself where nothing is
        known of it.

    Examples
    --------
    >>> in_our_words("whirlpool 80 °C 20 min", "at"), in_our_words("1h15", "time"), in_our_words("1048", "gravity")
    ('stand 80 °C 20 min', '1 h 15 min', '1.048')
    """
    if kind == "at":
        for pattern, ours in _TIMINGS:
            if pattern.fullmatch(text):
                return pattern.sub(ours, text).strip()
    elif kind == "time" and (found := _HOURS.fullmatch(text)):
        return f"{int(found[1])} h {int(found[2])} min"
    elif kind == "gravity" and (found := _POINTS.fullmatch(text)):
        return f"1.{found[1]}"
    return text
