"""One table of a page, taken key by key; whatever is wrong is kept, and reading goes on."""

from __future__ import annotations

import difflib
import math
from collections.abc import Callable, Sequence
from typing import Any

from gyle.beer.amounts import volume_L
from gyle.beer.page import Address, Page
from gyle.beer.timing import Timing
from gyle.beer.timing_text import read_at
from gyle.errors import BadInput, OutOfRange
from gyle.quantities import Quantity, read, units

__all__ = ["Section", "shown"]

LONGEST_TEXT = 400  # of a text of one line


def shown(value: object) -> str:
    """Return a value as a sentence shows it, shortened."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    text = f'"{value}"' if isinstance(value, str) else str(value)
    text = " ".join(text.split())
    return text if len(text) <= 60 else text[:56] + '..."'


class Section:
    """A table of a page.

    Parameters
    ----------
    page : Page
        Where it stands; faults and notes go there.
    table : dict
        Its content.
    address : tuple of str and int
        The way to it from the top.
    place : str
        What a sentence calls it, such as "mash rest 2".
    """

    def __init__(self, page: Page, table: dict[str, Any], address: Address = (), place: str = "") -> None:
        self.page = page
        self.table = table
        self.address = address
        self.place = place
        self.taken: dict[str, None] = {}

    def __contains__(self, key: str) -> bool:
        return key in self.table

    def fault(self, sentence: str, key: str | None = None) -> None:
        """Keep a fault of this table, or of one of its keys."""
        self.page.fault(sentence, (*self.address, key) if key else self.address, self.place)

    def note(self, sentence: str) -> None:
        """Keep something worth saying."""
        self.page.note(sentence)

    def raw(self, key: str) -> Any:
        """Return the value of a key as parsed, None if it is not there."""
        self.taken[key] = None
        return self.table.get(key)

    def missing(self, key: str, example: str) -> None:
        """Keep the fault that a key is not there."""
        self.fault(f"{key} is missing; write {example}")

    def quantity(
        self,
        key: str,
        kind: str,
        *,
        low: float = -math.inf,
        high: float = math.inf,
        bare: str | None = None,
        scale: str | None = None,
    ) -> Quantity | None:
        """Return a quantity with its unit, None if it is not there or wrong.

        `low` and `high` bound its value in the kind's own unit; `bare` is the unit of a bare number;
        `scale` the only one that is meant here where a kind has several.
        """
        return self.quantity_of(self.raw(key), key, kind, low=low, high=high, bare=bare, scale=scale)

    def quantity_of(
        self,
        value: Any,
        key: str,
        kind: str,
        *,
        low: float = -math.inf,
        high: float = math.inf,
        bare: str | None = None,
        scale: str | None = None,
    ) -> Quantity | None:
        """Return a value found under a key as a quantity; see `quantity`."""
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, (str, int, float)):
            self.fault(f"{key} is {shown(value)}, and {_KIND_WORDS.get(kind, 'a quantity')} was wanted", key)
            return None
        try:
            quantity = read(value, kind, bare=bare)
        except (BadInput, OutOfRange) as error:
            self.fault(f"{key}: {' '.join(str(error).split())}", key)
            return None
        wrong = ""
        if scale is not None and quantity.basis and quantity.basis != scale:
            wrong = f"and a {scale} value is wanted"
        elif not low <= quantity.value <= high:
            wrong = f"which is not {_span(low, high, units(kind)[0])}"
        if wrong:
            self.fault(f"{key} is {shown(value)}, {wrong}", key)
            return None
        if quantity.pair_agrees is False:
            where = f"{self.place}: " if self.place else ""
            self.note(f"{where}the two values of {key} {shown(value)} do not agree; the first counts.")
        return quantity

    def volume(self, key: str, *, low: float, high: float) -> float | None:
        """Return a volume at 20 °C [L], None if it is not there or wrong."""
        return self.cold(key, self.quantity(key, "volume", low=low, high=high))

    def cold(self, key: str, quantity: Quantity | None) -> float | None:
        """Return a volume that was read, at 20 °C [L]."""
        if quantity is None:
            return None
        try:
            return volume_L(quantity)
        except OutOfRange as error:
            self.fault(f"{key}: {error}", key)
            return None

    def number(self, key: str, *, low: float, high: float, unit: str = "", wanted: str = "a number") -> float | None:
        """Return a bare number, or one followed by the unit that the key means."""
        value = self.raw(key)
        if value is None:
            return None
        if isinstance(value, str) and unit and value.strip().endswith(unit):
            value = _float_or_none(value.strip()[: -len(unit)])
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            self.fault(f"{key} is {shown(self.table[key])}, and {wanted} was wanted", key)
            return None
        if not low <= value <= high:
            self.fault(f"{key} is {shown(value)}, which is not {_span(low, high, unit)}", key)
            return None
        return float(value)

    def text(self, key: str, *, longest: int = 200) -> str | None:
        """Return a text that is not blank, None if it is not there or wrong."""
        value = self.raw(key)
        if value is None:
            return None
        if not isinstance(value, str) or not value.strip():
            self.fault(f"{key} is {shown(value)}, and a text was wanted", key)
            return None
        if len(value) > longest:
            self.fault(f"{key} is longer than {longest} characters", key)
            return None
        return value if longest > LONGEST_TEXT else " ".join(value.split())

    def choice(self, key: str, choices: Sequence[str]) -> str | None:
        """Return one of a few words, None if it is not there or wrong."""
        value = self.raw(key)
        if value is None:
            return None
        plain = " ".join(value.split()).casefold() if isinstance(value, str) else None
        if plain not in choices:
            words = ", ".join(f'"{word}"' for word in choices[:-1]) + f' or "{choices[-1]}"'
            self.fault(f"{key} is {shown(value)}, and {words} was wanted", key)
            return None
        return plain

    def flag(self, key: str) -> bool | None:
        """Return true or false, None if it is not there or wrong."""
        value = self.raw(key)
        if value is None or isinstance(value, bool):
            return value
        self.fault(f"{key} is {shown(value)}, and true or false was wanted", key)
        return None

    def at(self, key: str = "at") -> Timing | None:
        """Return a timing, None if it is not there or wrong."""
        value = self.raw(key)
        if value is None:
            return None
        if not isinstance(value, str):
            self.fault(f'{key} is {shown(value)}, and a text such as "boil 60 min" was wanted', key)
            return None
        try:
            return read_at(value)
        except BadInput as error:
            self.fault(f"{key}: {error}", key)
            return None

    def section(self, key: str, place: str = "") -> Section | None:
        """Return a table below this one, None if it is not there or wrong."""
        value = self.raw(key)
        if value is None:
            return None
        if not isinstance(value, dict):
            self.fault(f"{key} is {shown(value)}, and a table was wanted: write [{key}]", key)
            return None
        return Section(self.page, value, (*self.address, key), place or key)

    def rows(self, key: str, place: str, *, one_too: bool = False) -> tuple[Section, ...]:
        """Return the tables of a list of tables, such as every [[hops]]."""
        value = self.raw(key)
        if value is None:
            return ()
        if one_too and isinstance(value, dict):
            return (Section(self.page, value, (*self.address, key), place),)
        if not isinstance(value, list) or not all(isinstance(row, dict) for row in value):
            self.fault(f"{key} is {shown(value)}; write [[{key}]] above each of its lines", key)
            return ()
        return tuple(
            Section(self.page, row, (*self.address, key, i), f"{place} {i + 1}" if len(value) > 1 else place)
            for i, row in enumerate(value)
        )

    def close(self, also: Sequence[str] = (), offers: Callable[[str], str] | None = None) -> None:
        """Keep a fault for each key that nobody asked for, with the nearest key that there is.

        `offers` gives, of a key that is a usual name of something else, what to say instead, or nothing; with
        it the keys that there are, which may be many, are told once.
        """
        known = [*self.taken, *(key for key in also if key not in self.taken)]
        told = False
        for key in self.table:
            if key in known:
                continue
            end = offers(key) if offers else ""
            if not end and (near := difflib.get_close_matches(key, known, n=1, cutoff=0.6)):
                end = f"perhaps {near[0]} is meant"
            if not end and not told:
                end, told = f"known here: {', '.join(known)}", offers is not None
            self.fault(f"{shown(key)[1:-1]} is not a key of this table{'; ' + end if end else ' either'}", key)


_KIND_WORDS = {
    "mass": 'a mass such as "4.9 kg"',
    "volume": 'a volume such as "21 L"',
    "temperature": 'a temperature such as "66 °C"',
    "time": 'a time such as "60 min"',
    "gravity": 'a gravity such as "1.050"',
    "percent": 'a percentage such as "8.6 %"',
}


def _float_or_none(text: str) -> float | None:
    try:
        return float(text.strip().replace(",", "."))
    except ValueError:
        return None


def _span(low: float, high: float, unit: str) -> str:
    unit = f" {unit}" if unit else ""
    if math.isinf(low):
        return f"at most {high:g}{unit}"
    if math.isinf(high):
        return f"at least {low:g}{unit}"
    return f"between {low:g} and {high:g}{unit}"
