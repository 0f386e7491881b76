"""The name at the beginning of a line of a pasted report, and what it says beside: a unit, a form, a temperature."""

from __future__ import annotations

import re

import attrs

from gyle.beer.report_cells import Cells, is_number, is_unit
from gyle.beer.water_names import key_named

__all__ = ["Named", "named"]

MOST_WORDS = 8
_AS = re.compile(r"[(\[,]? ?\b(?:as|als) ([A-Za-z][A-Za-z0-9-]{0,8}) ?[)\]]?", re.IGNORECASE)
_WARMTH = re.compile(r"([0-9]{1,2}(?:[.,][0-9])?) ?° ?C ?[)\]]?$")
_UNIT_BEHIND = re.compile(r"(.*?),? (?:in |en )?(\S+(?: \S+)?)")
_WARM_KEYS = ("ph", "conductivity")
_ENDS = " :="
# What sheets shorten, in full; and what is said of the same figure.
_IN_FULL = (
    (re.compile(r"\b(?:spez|spec)\.? ?(?=[^\W\d_])", re.IGNORECASE), ""),
    (re.compile(r"\b(?:el|elek|elektr)\. ?", re.IGNORECASE), "elektrische "),
    (re.compile(r"\belectr?\. ?", re.IGNORECASE), "electrical "),
    (re.compile(r"\bleitf(?:ähigk)?\.", re.IGNORECASE), "Leitfähigkeit"),
    (re.compile(r"\bcond\.", re.IGNORECASE), "conductivity"),
)
_WHOLE = re.compile(
    r"(?:, ?| )\(?(?:gesamt|ges\.|insgesamt|total|totale|gelöst|dissolved|filtriert|filtered)\)?$", re.I
)
_NOT_THE_WHOLE = ("chlorine", "chloramine")  # all of it is another figure than the free
_NOTE = re.compile(r"\s*(?:[*†¹²³]+|\[[0-9]+\])\s*$")


@attrs.frozen(kw_only=True)
class Named:
    """A line's name.

    Parameters
    ----------
    key : str
        The key of a report it stands under.
    rest : Cells
        What stands behind it.
    also : str
        What of the name belongs behind the figure: " as N", " at 25 °C".
    unit : str
        The unit that stands with the name.
    """

    key: str
    rest: Cells
    also: str = ""
    unit: str = ""


def named(cells: Cells) -> Named | None:
    """Return the name a line begins with, None if no report's figure is called so."""
    if cells.columns:
        return _of_columns(cells)
    words = cells.cells
    for count in range(min(len(words), MOST_WORDS), 0, -1):
        if count == len(words) > 1 or not _may_be_a_name(words[:count]):
            continue
        key, also, unit = _key(" ".join(words[:count]))
        if key in _NOT_THE_WHOLE and _WHOLE.search(" ".join(words[: count + 1])):
            return None
        if key:
            return Named(key=key, rest=Cells(cells=words[count:], columns=False), also=also, unit=unit)
    return None


def _may_be_a_name(words: tuple[str, ...]) -> bool:
    """Whether nothing of a figure is among the words: no sign, no unit behind a name, no number but of an end point."""
    said = _in_full(" ".join(words).rstrip(_ENDS))
    if said.count("(") != said.count(")") or not re.search(r"[^\W_]", words[-1]):
        return False
    if len(words) > 1 and is_unit(words[-1].rstrip(_ENDS)) and not _WARMTH.search(said):
        return False  # "Calcium mg/l": the unit stands by itself
    numbers = [word for word in words[1:] if is_number(word)]
    return not numbers or bool(key_named(said.replace("(", "").replace(")", ""))) or _warm(said) is not None


def _in_full(said: str) -> str:
    """Return a name with its words in full."""
    for short, whole in _IN_FULL:
        said = short.sub(whole, said)
    return said


def _warm(said: str) -> tuple[str, str] | None:
    """Return the key and the temperature of a name such as "pH-Wert bei 9,3 °C", None if it is none."""
    found = _WARMTH.search(said)
    if found is None:
        return None
    base = re.split(r"[(\[,]| (?:bei|at|à|@) ", said)[0]
    key = key_named(base) or key_named(said[: found.start()].rstrip())
    return (key, found[1]) if key in _WARM_KEYS else None


def _of_columns(cells: Cells) -> Named | None:
    """Return the name of a line in columns: its first cell, or the next where that is a number."""
    for place, cell in enumerate(cells.cells[:3]):
        key, also, unit = _key(cell)
        if key:
            rest = cells.cells[place + 1 :]
            if rest and key_named(rest[0]) == key:
                rest = rest[1:]  # its formula in a column of its own
            return Named(key=key, rest=Cells(cells=rest, columns=True), also=also, unit=unit)
        inner = Cells(cells=tuple(cell.split()), columns=False)
        if place == 0 and len(inner.cells) > 1 and (found := named(inner)) is not None:
            # The first cell holds name and figure: "Calcium 84,2 | mg/l".
            rest = (*found.rest.cells, *cells.cells[1:])
            return attrs.evolve(found, rest=Cells(cells=rest, columns=True))
        if not re.fullmatch(r"[0-9.]*", cell):
            return None
    return None


def _key(said: str) -> tuple[str, str, str]:
    """Return the key of a name, what of it belongs behind the figure, and a unit it names."""
    plain = _in_full(_NOTE.sub("", said.strip().rstrip(_ENDS)))
    if not re.search(r"[^\W\d_]", plain):
        return "", "", ""
    if (warm := _warm(plain)) is not None:
        return warm[0], f" at {warm[1]} °C", ""
    also, unit = "", ""
    if (form := _AS.search(plain)) and key_named(plain[: form.start()]):
        also, plain = f" as {form[1]}", (plain[: form.start()] + plain[form.end() :]).strip(" ,")
    aside = re.search(r"[(\[]([^()\[\]]*)[)\]]", plain)
    if aside and is_unit(aside[1]):
        unit, plain = aside[1], (plain[: aside.start()] + plain[aside.end() :]).strip()
    elif (behind := _UNIT_BEHIND.fullmatch(plain)) and is_unit(behind[2]) and key_named(behind[1]):
        unit, plain = behind[2], behind[1]  # "Calcium in mg/l"
    return _key_of(plain), also, unit.removeprefix("in ").strip()


def _key_of(plain: str) -> str:
    """Return the key of a name, or of what it says is meant as a whole: "Eisen, gesamt"."""
    if (key := key_named(plain)) or not (whole := _WHOLE.search(plain)):
        return key
    key = key_named(plain[: whole.start()])
    return "" if key in _NOT_THE_WHOLE else key
