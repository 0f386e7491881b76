"""A report pasted as it was published: line by line, what is a figure, under which key, and why a line is left out.

Nothing is guessed in silence: a line whose figure could be another is left out, and says what it would take.
"""

from __future__ import annotations

import difflib
import re

import attrs

from gyle.beer.report_cells import Cells, Heading, cells_of, heading_of
from gyle.beer.report_key_words import KEY_WORDS, alone, means
from gyle.beer.report_names import Named, named
from gyle.errors import BadInput

__all__ = ["MOST_CHARACTERS", "MOST_LINES", "PastedLine", "pasted_lines"]

MOST_CHARACTERS, MOST_LINES, LONGEST_LINE = 40_000, 400, 300
# A bare number of these means one unit here that another sheet's number may not have.
_WITH_UNIT = {
    "alkalinity": "ppm as CaCO3 or mmol/L", "acid_capacity": "mmol/L", "base_capacity": "mmol/L", "hardness": "°dH",
    "carbonate_hardness": "°dH", "conductivity": "µS/cm", "temperature": "°C",
}  # fmt: skip
_NO_UNIT = ("ph",)
_DIGIT = re.compile(r"[0-9]")
_BARE = re.compile(r"[<≤]? ?[0-9]+(?:[.,][0-9]+)?(?: ?(?:-|–|to|bis|…) ?[0-9]+(?:[.,][0-9]+)?){0,2}", re.IGNORECASE)


@attrs.frozen(kw_only=True)
class PastedLine:
    """One line of a pasted report.

    Parameters
    ----------
    number : int
        Which line it is, from 1.
    text : str
        As it was pasted, shortened.
    key : str
        The key its figure stands under; "" where it was left out.
    value : str
        The figure as a report's file writes it.
    said : str
        What was understood, or why it was left out.
    heading : bool
        Whether it only says what the columns below it are.
    """

    number: int
    text: str
    key: str = ""
    value: str = ""
    said: str
    heading: bool = False


@attrs.frozen
class _Left:
    """Why a line gives no figure."""

    why: str


@attrs.frozen
class _Figure:
    """A figure of a line, and what has to be said of how it was found."""

    value: str
    how: str = ""


def pasted_lines(text: str) -> tuple[PastedLine, ...]:
    """Return what each line of a pasted report says; empty ones are passed over.

    Raises
    ------
    BadInput
        If there is more than a report can have.
    """
    if len(text) > MOST_CHARACTERS:
        raise BadInput(f"the pasted text has {len(text):,} characters, and a report has at most {MOST_CHARACTERS:,}")
    lines = text.splitlines()
    if len(lines) > MOST_LINES:
        raise BadInput(f"the pasted text has {len(lines):,} lines, and a report has at most {MOST_LINES}")
    found: list[PastedLine] = []
    heading: Heading | None = None
    taken: dict[str, PastedLine] = {}
    for number, raw in enumerate(lines, start=1):
        line = "".join(sign if sign.isprintable() or sign == "\t" else " " for sign in raw).strip()
        if not line.strip("-|=_·.:;+ \t"):  # a rule of a table
            continue
        if new := heading_of(line):
            heading = new
            found.append(PastedLine(number=number, text=_short(line), said=new.said, heading=True))
            continue
        one = _line(number, line, heading)
        if one.key and one.key in taken:
            first = taken[one.key]
            why = f"{KEY_WORDS[one.key]} was read in line {first.number} already, as {first.value}; that one counts"
            one = attrs.evolve(one, key="", value="", said=why)
        elif one.key:
            taken[one.key] = one
        found.append(one)
    return tuple(found)


def _short(line: str) -> str:
    plain = " ".join(line.replace("\t", "  ").split(" "))
    return plain if len(plain) <= 120 else plain[:117] + "…"


def _line(number: int, line: str, heading: Heading | None) -> PastedLine:
    def left(why: str) -> PastedLine:
        return PastedLine(number=number, text=_short(line), said=why)

    if len(line) > LONGEST_LINE:
        return left(f"it is longer than {LONGEST_LINE} characters, which no line of a report is")
    cells = cells_of(line)
    name = named(cells)
    if name is None:
        return left(_no_name(cells))
    if not _DIGIT.search(name.rest.plain) and not alone(name.key, name.rest.plain).water:
        return left(f"{KEY_WORDS[name.key]} has no figure in this line")
    figure = _figure(name, heading)
    if isinstance(figure, _Left):
        return left(figure.why)
    value = figure.value + name.also
    if (wrong := _unit_missing(name.key, value)) or (wrong := alone(name.key, value).fault):
        return left(wrong)
    read = alone(name.key, value).water
    meant = "" if read is None else means(name.key, read)
    said = f"{KEY_WORDS[name.key]}: {value}"
    if meant and not _letters(value).startswith(_letters(meant)) and _letters(value) + "mg/l" != _letters(meant):
        said += f", {'counted as' if value.startswith(('<', '≤')) else 'which is'} {meant}"
    if _BARE.fullmatch(value) and name.key not in _NO_UNIT:
        said += "; it names no unit, and mg/L is taken"
    return PastedLine(
        number=number,
        text=_short(line),
        key=name.key,
        value=value,
        said=said + (f"; {figure.how}" if figure.how else ""),
    )


def _letters(text: str) -> str:
    """A figure without spaces, zeros behind it and what it is of, to be compared."""
    plain = re.sub(r"\s", "", text.casefold().partition(" of ")[0]).replace(",", ".")
    return re.sub(r"(\.[0-9]*?)0+(?![0-9])", r"\1", plain).replace(".m", "m").replace(".°", "°")


def _unit_missing(key: str, value: str) -> str:
    if key in _WITH_UNIT and _BARE.fullmatch(value):
        return f"{KEY_WORDS[key]} {value} names no unit; write it behind the figure, such as {_WITH_UNIT[key]}"
    return ""


def _no_name(cells: Cells) -> str:
    from gyle.beer.water_names import key_offer

    said = cells.words
    if not said:
        return "it names nothing"
    if not _DIGIT.search(cells.plain):
        return "it holds no figure"
    offer = key_offer(said)
    if offer:
        return f'no figure of a report is called "{said[:40]}"; {offer}'
    near = difflib.get_close_matches(said.casefold(), KEY_WORDS.values(), n=1, cutoff=0.8)
    return f'"{said[:40]}" is nothing that is reckoned with' + (f"; perhaps {near[0]} is meant" if near else "")


def _figure(name: Named, heading: Heading | None) -> _Figure | _Left:
    """Return the figure behind a name: as it stands, by its heading, or by its order where that is plain."""
    rest = name.rest
    unit = rest.unit or name.unit
    if not rest.columns and not rest.doubtful:
        whole = _with_unit(rest.plain, name.unit)
        if alone(name.key, whole + name.also).water is not None:
            return _Figure(whole)
    if heading is not None and (by_heading := heading.figure(rest, unit)) is not None:
        return _Figure(*by_heading) if by_heading[0] else _Left(by_heading[1])
    # A heading that names no range says that three figures are none.
    return _by_order(name, unit, may_rise=heading is None or {"min", "max"} <= set(heading.roles))


def _by_order(name: Named, unit: str, *, may_rise: bool) -> _Figure | _Left:
    """Return the figure of a line that no heading explains, where only one thing can be meant."""
    rest, numbers, words = name.rest, name.rest.numbers, KEY_WORDS[name.key]
    if not numbers:
        return _Left(alone(name.key, rest.plain).fault or f"{words} has no figure that can be read")
    if len(rest.units) > 1:
        return _Left(f"{words} names {len(rest.units)} units, and nothing says which one is the figure's")
    if len(numbers) == 1:
        return _Figure(_with_unit(numbers[0], unit))
    if may_rise and len(numbers) == 3 and (ends := rest.rising) is not None:
        low, middle, high = ends
        return _Figure(
            _with_unit(f"{low}-{middle}-{high}", unit),
            "no heading says so, but they rise: taken as least, mean and most",
        )
    told = f"{', '.join(numbers[:-1])} and {numbers[-1]}" if len(numbers) < 6 else f"{len(numbers)} figures"
    return _Left(
        f"{words} has {told}, and nothing says which one counts; put a heading such as min, mean, max or"
        " limit above them, or leave one figure"
    )


def _with_unit(figure: str, unit: str) -> str:
    return figure if not unit or re.search(r"[^0-9.,<≤\s–-]", figure) else f"{figure} {unit}"
