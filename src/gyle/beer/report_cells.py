"""A line of a pasted report taken apart: its cells, the figures and the unit in them, and what a heading calls them."""

from __future__ import annotations

import re
import unicodedata

import attrs

__all__ = ["Cells", "Heading", "cells_of", "heading_of", "is_number", "is_unit"]

_N = r"[0-9]+(?:[.,][0-9]+)?"
_NUMBER = re.compile(rf"(?:[<≤]|< ?=)? ?-?{_N}(?: ?[-–—…] ?{_N}){{0,2}}")
_ONE = re.compile(rf"{_N}")
_WITH_UNIT = re.compile(rf"((?:[<≤]|< ?=)? ?{_N}(?: ?[-–—…] ?{_N}){{0,2}}) ?([^\s0-9<,.].*)")
_PER_LITRE = r"(?:/ ?(?:l|ltr|litre|liter|kg|dm3|m3)|[·. ]?l-1|[·. ]?l⁻¹)"
_UNIT = re.compile(
    rf"(?:(?:in|en) )?(?:[mµμu]?g|mmol|mol|mval|meq|eq)(?: ?\(?[A-Za-z0-9()+-]{{1,8}}\)?)? ?{_PER_LITRE}"
    r"(?: (?:as |als )?[A-Za-z][A-Za-z0-9()+-]{0,7})?"
    r"|pp[mb](?: (?:as |als )?CaCO3)?|(?:°|grad |deg )?d[hH]|° ?f[hH]?|°e|gr/gal|[µμum]?S/c?m|° ?[CF]",
    re.IGNORECASE,
)
# A unit of several words, which spaces shall not part.
_SPACED = re.compile(
    r"(?<= )(?:[mµμu]?g [A-Za-z][A-Za-z0-9+-]{0,6} ?/ ?l"
    rf"|(?:[mµμu]?g|mmol) ?{_PER_LITRE} (?:as |als )?(?:CaCO3|HCO3|SO4|NO3|N|S|P)"
    r"|ppm (?:as |als )?CaCO3|° [fFdCc]H?)(?= |$)",
    re.IGNORECASE,
)
_BELOW = re.compile(r"(?<= )(?:[<≤]|< ?=) (?=[0-9])")  # a "less than" belongs to its figure
_TIED = "\u2060"
_NO_FIGURE = ("-", "–", "—", "--", "", "n/a", "k.a.", "/")
# Two groups of digits apart, of which the second has three: a thousand, or two figures.
_DOUBTFUL = re.compile(r"(?<![0-9.,])[0-9]{1,3} [0-9]{3}(?![0-9])")

# What a heading may call a column, without accents and signs; "" is of no use here.
_ROLES = {
    "name": "parameter, substance, determinand, analyte, name, stoff, bezeichnung, untersuchungsparameter, parametre, "
            "component, ion, bestandteil, inhaltsstoff",
    "unit": "unit, units, einheit, einheiten, unite, uom, dimension",
    "min": "min, minimum, lowest, least, low, kleinst, kleinstwert, minimalwert, minwert, tiefst, von",
    "mean": "mean, average, avg, mittel, mittelwert, mittelw, moyenne, durchschnitt, jahresmittel, mw",
    "max": "max, maximum, highest, most, high, hochst, hochstwert, maximalwert, maxwert, bis",
    "value": "value, result, results, ergebnis, messwert, wert, analysenwert, resultat, valeur, befund, concentration, "
             "median, gehalt, analysis",
    "limit": "limit, limits, grenzwert, grenzwerte, pcv, mcl, standard, guideline, guide, limite, trinkwv, "
             "prescribedconcentration, limitvalue, maximallowed, richtwert, hochstwertlauttrinkwv, regulatorylimit, gw",
    "": "method, methode, verfahren, norm, nr, no, number, prufverfahren, comment, comments, bemerkung, source, "
        "samples, anzahl, lod, loq, bg, bestimmungsgrenze, date, datum, typicalsource, violation, mclg",
}  # fmt: skip
_ROLE_OF = {word.strip(): role for role, words in _ROLES.items() for word in words.split(",")}


def _letters(text: str) -> str:
    bare = "".join(c for c in unicodedata.normalize("NFKD", text.casefold()) if not unicodedata.combining(c))
    return re.sub(r"[^a-z]", "", bare.replace("ø", "mittel"))


def is_number(text: str) -> bool:
    """Whether a cell is a figure without a unit: "84,2", "< 0,02", "38 – 52"."""
    return _NUMBER.fullmatch(text.strip()) is not None


def is_unit(text: str) -> bool:
    """Whether a cell is a unit and nothing else."""
    return _UNIT.fullmatch(text.strip().strip("[]()").strip()) is not None


@attrs.frozen(kw_only=True)
class Cells:
    """A line, or what of it stands behind its name.

    Parameters
    ----------
    cells : tuple of str
        What separators part; words, where there are none.
    columns : bool
        Whether it had separators.
    """

    cells: tuple[str, ...]
    columns: bool

    @property
    def plain(self) -> str:
        """The line on one line."""
        return " ".join(self.cells).strip()

    @property
    def words(self) -> str:
        """What stands before the first figure."""
        first = self.cells[0] if self.columns and self.cells else self.plain
        return re.split(r"[<≤]|(?<![A-Za-z])[0-9]", first)[0].strip(" :|=\t")

    @property
    def doubtful(self) -> bool:
        """Whether two figures might be one of thousands."""
        return _DOUBTFUL.search(self.plain) is not None

    @property
    def split(self) -> tuple[str, ...]:
        """The cells with figures and units apart."""
        found: list[str] = []
        for cell in self.cells:
            if match := _WITH_UNIT.fullmatch(cell):
                found += [match[1], match[2]] if is_unit(match[2]) else [cell]
            elif cell:
                found.append(cell)
        return tuple(found)

    @property
    def numbers(self) -> tuple[str, ...]:
        """Its figures, without their units."""
        return tuple(cell for cell in self.split if is_number(cell))

    @property
    def units(self) -> tuple[str, ...]:
        """The units it names, each once."""
        return tuple(dict.fromkeys(cell.strip("[]() ") for cell in self.split if is_unit(cell)))

    @property
    def unit(self) -> str:
        """The one unit it names; "" where it names none or several."""
        return self.units[0] if len(self.units) == 1 else ""

    @property
    def rising(self) -> tuple[str, str, str] | None:
        """Its three figures where they rise from the first to the last."""
        numbers = self.numbers
        if len(numbers) != 3 or not all(_ONE.fullmatch(one) for one in numbers):
            return None
        low, middle, high = (float(one.replace(",", ".")) for one in numbers)
        return (numbers[0], numbers[1], numbers[2]) if low <= middle <= high and low < high else None


def cells_of(line: str) -> Cells:
    """Take a line apart: at tabs, bars, semicolons, wide gaps; at every space where it has none of them."""
    for separator in (r"\t", r"\|", r";", r" {2,}"):
        parts = [part.strip() for part in re.split(separator, line.strip().strip("|"))]
        if len([part for part in parts if part]) > 1:
            return Cells(cells=tuple(" ".join(part.split()) for part in parts), columns=True)
    kept = " ".join(line.split())
    for tied in (_SPACED, _BELOW):
        kept = tied.sub(lambda found: found[0].replace(" ", _TIED), kept)
    return Cells(cells=tuple(word.replace(_TIED, " ") for word in kept.split(" ")), columns=False)


@attrs.frozen(kw_only=True)
class Heading:
    """What the columns below it are: roles in their order, the name's first."""

    roles: tuple[str, ...]
    said: str

    def figure(self, rest: Cells, unit: str) -> tuple[str, str] | None:
        """Return a line's figure and what to say of it, or "" and why there is none; None if it does not fit."""
        by_role = self._by_role(rest)
        if by_role is None:
            return None
        own = by_role.get("unit", "").strip("[]() ") or unit
        low, mean, high = (self._bare(by_role.get(role, "")) for role in ("min", "mean", "max"))
        stated = by_role.get("value", "")
        middle = mean or self._bare(stated)
        if stated and not middle:
            return stated, ""  # such as "n.n.", or with a unit of its own kind
        if low and high:
            return _ranged(low, middle, high, own)
        if middle:
            return f"{middle} {own}".strip(), ""
        return "", "only one end of a range is given" if low or high else "no figure is given"

    def _by_role(self, rest: Cells) -> dict[str, str] | None:
        """What stands in each column behind the name; None if the line has other columns."""
        after = self.roles[1:]
        cells = rest.cells if rest.columns else rest.split
        units = [cell for cell in cells if is_unit(cell)]
        if "unit" not in after and len(cells) == len(after) + 1 and len(units) == 1:
            cells = tuple(cell for cell in cells if not is_unit(cell))  # the unit stands where no column is for it
        elif "unit" in after and not rest.columns and not units and len(cells) == len(after) - 1:
            after = tuple(role for role in after if role != "unit")
        if rest.columns and len(cells) < len(after):
            cells = (*cells, *[""] * (len(after) - len(cells)))
        if len(cells) != len(after):
            return None
        return {role: cell for role, cell in zip(after, cells, strict=True) if role}

    @staticmethod
    def _bare(cell: str) -> str:
        """A cell's figure without its unit; "" where there is none."""
        if cell.strip() in _NO_FIGURE:
            return ""
        if match := _WITH_UNIT.fullmatch(cell):
            return match[1] if is_unit(match[2]) else ""
        return cell if is_number(cell) else ""


def _ranged(low: str, middle: str, high: str, unit: str) -> tuple[str, str]:
    """Return a range, the mean alone where an end is no plain number, or "" and why."""
    parts = [low, *([middle] if middle else []), high]
    if all(_ONE.fullmatch(part) for part in parts):
        return f"{(' to ' if len(parts) == 2 else '-').join(parts)} {unit}".strip(), "the range by its heading"
    if not middle:
        return "", "an end of its range is no plain number, and no mean is given"
    return f"{middle} {unit}".strip(), "the mean by its heading; an end of its range is no plain number"


_CALLED = {"min": "least", "mean": "mean", "max": "most", "value": "the figure", "limit": "a limit (left out)",
           "unit": "the unit", "name": "the name", "": "something else (left out)"}  # fmt: skip


def heading_of(line: str) -> Heading | None:
    """Return what a line says of the columns below it, None if it is no heading."""
    cells = cells_of(line)
    # A stroke between two words is no column: "Messwert / Grenzwert".
    named = [cell for cell in cells.cells if cells.columns or _letters(cell)]
    roles = [_ROLE_OF.get(_letters(cell)) for cell in named]
    known = [role for role in roles if role is not None]
    figures = sum(role in ("min", "mean", "max", "value") for role in known)
    if len(known) < 2 or not figures or len(known) < len(roles) - 1:
        return None
    found = tuple(role if role is not None else "" for role in roles)
    if found[0] != "name":
        if "name" in found:
            return None  # a column before the name: its rows are read by their own names
        found = ("name", *found[1:]) if roles[0] is None or found[0] == "" else ("name", *found)
    told = [_CALLED[role] for role in found]
    return Heading(roles=found, said=f"a heading: {', '.join(told)}")
