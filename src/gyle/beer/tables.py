"""The tables of fermentables, hops and yeast classes: one entry at a time, by name or by a usual bare name.

A name is compared without regard to case, accents, commas and hyphens. An entry taken by another name than
its own comes with a note saying so. Tables are read once; an entry is built when it is first asked for.
"""

from __future__ import annotations

import csv
import difflib
import functools
import re
import unicodedata
from pathlib import Path

from gyle.beer.crystal import crystal_malt
from gyle.beer.entries import fermentable_entry, hop_entry, unsure_dextrose, yeast_entry
from gyle.beer.ingredient import Fermentable, Hop, Yeast

__all__ = [
    "Row",
    "fermentable",
    "fermentable_names",
    "hop",
    "hop_names",
    "name_key",
    "near_names",
    "yeast",
    "yeast_names",
]

Row = dict[str, str]

_NAME_COLUMN = {"fermentables": "name", "hops": "variety", "yeast_classes": "name"}
# Bare names that do not say whether the crystal water is in: the shop form is the monohydrate.
_BARE_DEXTROSE = frozenset({"dextrose", "glucose", "corn sugar", "glucose powder", "brewing sugar"})
_WORD = re.compile(r"[a-z0-9]+")
_DATA = Path(__file__).parent / "data"
_UMLAUTS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "ß": "ss"})


def name_key(name: str) -> str:
    """Return a name as it is compared: lower case, no accents, words parted by one space."""
    text = name.lower()
    if not text.isascii():
        text = unicodedata.normalize("NFC", name).casefold().translate(_UMLAUTS)
        text = "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    return " ".join(_WORD.findall(text.replace("'", "").replace("’", "")))


@functools.cache
def _rows(table: str) -> dict[str, Row]:
    """Every row of a table by its own name."""
    file = _DATA / f"{table}.csv"
    column = _NAME_COLUMN[table]
    lines = file.read_text(encoding="utf-8").splitlines()
    return {row[column]: row for row in csv.DictReader(lines)}


@functools.cache
def _keys(table: str) -> dict[str, str]:
    """From every key, own names and other names alike, to the own name."""
    keys: dict[str, str] = {}
    for name, row in _rows(table).items():
        for other in (row.get("aliases") or "").split(";"):
            if other.strip():
                keys.setdefault(name_key(other), name)
    keys.update({name_key(name): name for name in _rows(table)})
    return keys


def _found(table: str, what: str) -> tuple[str, str] | None:
    """The own name of an entry and a note (empty where the entry was asked for by its own name)."""
    key = name_key(what)
    name = _keys(table).get(key)
    if name is None:
        return None
    note = "" if name_key(name) == key else f"{what} is taken as {name}."
    return name, note


def near_names(table: str, what: str) -> tuple[str, ...]:
    """Return up to three own names that look or sound like the one given, the nearest first."""
    keys = _keys(table)
    near = difflib.get_close_matches(name_key(what), keys, n=6, cutoff=0.6)
    words = set(name_key(what).split()) - {"malt", "yeast", "ale", "hop", "hops"}
    near += [key for key in keys if words & set(key.split())]
    return tuple(dict.fromkeys(keys[key] for key in near))[:3]


def fermentable_names() -> tuple[str, ...]:
    """Return the own name of every fermentable in the table."""
    return tuple(_rows("fermentables"))


def hop_names() -> tuple[str, ...]:
    """Return every hop variety in the table."""
    return tuple(_rows("hops"))


def yeast_names() -> tuple[str, ...]:
    """Return the name of every yeast class in the table."""
    return tuple(_rows("yeast_classes"))


@functools.lru_cache(maxsize=512)
def fermentable(what: str) -> tuple[Fermentable, str] | None:
    """Return a malt, grain or sugar and a note about how its name was understood; None if unknown.

    A crystal malt may carry any colour; one between two entries is taken between them.
    """
    coloured = crystal_malt(what, _crystal_rows())
    if coloured is not None:
        return coloured
    if name_key(what) in _BARE_DEXTROSE:
        return (
            unsure_dextrose(_rows("fermentables")["dextrose monohydrate"]),
            f"{what} is taken as dextrose monohydrate, the shop form; if it is anhydrous a kilogram "
            "holds 10 % more extract, so 9 % is in the band until its name says which.",
        )
    found = _found("fermentables", what)
    if found is None:
        return None
    name, note = found
    return fermentable_entry(_rows("fermentables")[name]), note


@functools.cache
def _crystal_rows() -> tuple[Row, ...]:
    rows = (row for row in _rows("fermentables").values() if row["name"].startswith("crystal malt"))
    return tuple(sorted(rows, key=lambda row: float(row["colour_ebc"])))


@functools.lru_cache(maxsize=512)
def hop(what: str) -> tuple[Hop, str] | None:
    """Return a hop variety and a note about how its name was understood; None if unknown."""
    plain = re.sub(r"(?i)\s+hops?$", "", what.strip())
    found = _found("hops", plain) or _found("hops", re.sub(r"(?i)s$", "", plain))
    if found is None:
        return None
    name = found[0]
    same = name_key(name) == name_key(plain)
    return hop_entry(_rows("hops")[name]), "" if same else f"{what} is taken as {name}."


@functools.lru_cache(maxsize=128)
def yeast(what: str) -> tuple[Yeast, str] | None:
    """Return a yeast class and a note about how its name was understood; None if unknown."""
    found = _found("yeast_classes", what)
    if found is None:
        return None
    name, note = found
    return yeast_entry(_rows("yeast_classes")[name]), note
