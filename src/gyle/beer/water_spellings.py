"""A report's own spellings: its text made plain for the reading of quantities."""

from __future__ import annotations

import re
from typing import Any

import attrs

from gyle.beer.water_names import form_named
from gyle.quantities.numerals import tidy

__all__ = ["Spelled", "spelled"]

LONGEST_TEXT = 200  # of a value that is looked at; whatever is longer is refused as it stands


@attrs.frozen(kw_only=True)
class Spelled:
    """A value of a report in our own spelling.

    Parameters
    ----------
    value : object
        What the reading of quantities is given: a number, a text, or a table of them where it is a range.
    form : str
        The formula of what it is stated as; empty if it does not say.
    below : bool
        Whether it is what the true value is less than.
    absent : bool
        Whether it says that nothing was found, without a limit.
    unmeasured : bool
        Whether it says that nothing was measured.
    end_point_ph : float or None
        The pH it was titrated to.
    french : bool
        Whether its degrees of hardness are French though they are written as those of Fahrenheit are.
    """

    value: Any
    form: str = ""
    below: bool = False
    absent: bool = False
    unmeasured: bool = False
    end_point_ph: float | None = None
    french: bool = False


# Without spaces and dots, in lower case.
_NOT_FOUND = {
    "nn", "nd", "nichtnachweisbar", "nichtnachgewiesen", "nichtgefunden", "notdetected", "notdetectable",
    "notfound", "nondetect", "nondetected", "undetected", "bdl", "belowdetection", "belowdetectionlimit",
    "belowlod", "belowloq", "udb", "unterbestimmungsgrenze", "unternachweisgrenze", "unterderbestimmungsgrenze",
    "unterdernachweisgrenze", "nondétecté", "nondetecte", "<bg", "<ng", "<nwg", "<lod", "<loq", "<lq", "<ld",
    "<mrl", "<dl", "<rl", "<bestimmungsgrenze", "<nachweisgrenze",
}  # fmt: skip
_NOT_MEASURED = {
    "-", "--", "---", "?", "na", "n/a", "nb", "ka", "nr", "nichtbestimmt", "nichtgemessen", "nichtuntersucht",
    "keineangabe", "notmeasured", "nottested", "notdetermined", "notanalysed", "notanalyzed", "notreported",
    "nonmesuré", "nonmesure",
}  # fmt: skip
_N = r"[0-9]+(?:[.,][0-9]+)?"
_TO = r" ?(?:-|…|\.\.+|to|bis|à) ?"
_THIRD = r" ?(?:-|/|…|\.\.+|to|bis|;) ?"
_UNIT = r"[^\s0-9()\[\]][^()\[\]]*?"
_THREE = re.compile(rf"({_N}){_THIRD}({_N}){_THIRD}({_N}) ?([^0-9/;-].*)?", re.IGNORECASE)
_TWO = re.compile(rf"({_N}){_TO}({_N}) ?([^0-9-].*)?", re.IGNORECASE)
_TWO_UNITS = re.compile(rf"({_N}) ?({_UNIT}){_TO}({_N}) ?\2", re.IGNORECASE)
_AROUND = re.compile(
    rf"(?:pH ?)?({_N}) ?({_UNIT})? ?[(\[] ?(?:range|min ?[-/] ?max|bereich|from|von|min\.?)?:? ?"
    rf"({_N})(?:{_TO}| ?[,;/]? ?max\.? ?)({_N}) ?({_UNIT})? ?[)\]] ?({_UNIT})?",
    re.IGNORECASE,
)
_BELOW = re.compile(r"(?:<=?|≤|under|below|less than|unter|kleiner(?: als)?) ?(?=[0-9.,])", re.IGNORECASE)
_FOUND_BELOW = re.compile(r"([^0-9<]*?) ?[(,:;]? ?(<[^)]*)\)?")
_END_POINT = re.compile(
    r" ?\(? ?(?:(?:(?:up )?to|bis|zum?|at|bei|@|à|jusqu'à) ?)?(?:pH ?(?:=|von )? ?|K ?[SB] ?)"
    r"([0-9]{1,2}(?:[.,][0-9]+)?) ?\)?$",
    re.IGNORECASE,
)
_WARMTH = re.compile(
    rf"(.*?[^\s(]) ?(?:\(? ?(?:\bat\b|@) ?|\( ?)({_N} ?(?:°|deg(?:rees?)?)? ?[CF]) ?\)?", re.IGNORECASE
)
_WARMTH_WORD = re.compile(r"\b(?:at|bei|à)\b|@", re.IGNORECASE)
_FRENCH = re.compile(r"(?<=[0-9]) ?(?:° ?f|f ?°)(h?)(?![a-z])", re.IGNORECASE)
_TOKEN = r"[^\W\d_]\w*(?:[-_ ][^\W\d_]\w*)?(?: ?\^?[1-3]?[-+]{1,2})?"
_STATED_AS = re.compile(rf"(.*?) ?[(\[]? ?(?<![a-z])(?:as|als) ({_TOKEN}) ?[)\]]?", re.IGNORECASE)
_AFTER_UNIT = re.compile(
    rf"(.*(?:/ ?(?:l|kg|ltr|liter|litre)|ppm|ppb|mM))(?: |(?=[(\[]))[(\[]? ?({_TOKEN}) ?[)\]]?", re.IGNORECASE
)
_IN_UNIT = re.compile(
    rf"((?:m|µ|u)?g|mmol|mval|meq)(?: |-|(?=[(\[]))[(\[]? ?(?:(?:as|als) )?({_TOKEN}) ?[)\]]? ?/ ?(l|kg)(?!\w)",
    re.IGNORECASE,
)
_SIGNS = str.maketrans({"—": "-", "―": "-", **{chr(0x2080 + digit): str(digit) for digit in range(10)}})
_RESPELT = tuple(
    (re.compile(pattern, re.IGNORECASE), ours)
    for pattern, ours in (
        (r"(?<=[a-z)]) ?[·.*]? ?l ?\^?-1(?!\w)", "/L"),  # mg·L⁻¹
        (r" ?/ ?dm ?\^?3(?!\w)", "/L"),
        (r"(?<![a-z])g ?/ ?m ?\^?3(?!\w)", "mg/L"),
        (r"mmol ?(?:\(eq\)|eq) ?/ ?l(?!\w)", "mEq/L"),
        (r"\bgrad ", "°"),
    )
)


def spelled(written: Any, kind: str, *, degrees: bool = True) -> Spelled:
    """Return a value in our own spelling; what cannot be made out is left for the reading to refuse.

    Parameters
    ----------
    written : object
        The value as it stands.
    kind : str
        The kind of quantity that is wanted, or "conductivity".
    degrees : bool
        Whether degrees F can only be French ones here.
    """
    if isinstance(written, dict):
        return _table(written, kind, degrees)
    if not isinstance(written, str) or len(written) > LONGEST_TEXT:
        return Spelled(value=written)
    plain = tidy(written.translate(_SIGNS))
    word = re.sub(r"[\s.]", "", plain).casefold()
    if word in _NOT_MEASURED:
        return Spelled(value=written, unmeasured=True)
    for pattern, ours in _RESPELT:
        plain = pattern.sub(ours, plain)
    if kind in ("ph", "conductivity"):
        plain, warmth = _warmth(plain)
        below, plain = _below(plain)
        return Spelled(value=(not below and _ends(plain, warmth)) or plain + warmth, below=below)
    if word in _NOT_FOUND:
        return Spelled(value=written, absent=True)
    if (limit := _FOUND_BELOW.fullmatch(plain)) and re.sub(r"[\s.]", "", limit[1]).casefold() in _NOT_FOUND:
        plain = limit[2].strip()
    below, plain = _below(plain)
    end_point = None
    if found := _END_POINT.search(plain):
        end_point, plain = float(found[1].replace(",", ".")), plain[: found.start()]
    french = False
    if degrees and not _WARMTH_WORD.search(plain):
        french = any(not mark[1] for mark in _FRENCH.finditer(plain))
        plain = _FRENCH.sub(" °fH", plain)
    ends = {} if below else _ends(plain)
    first, form = _without_form(ends["min"] if ends else plain, kind)
    value = {name: _without_form(text, kind)[0] for name, text in ends.items()} if ends else first
    return Spelled(value=value, form=form, below=below, end_point_ph=end_point, french=french)


def _table(written: dict[str, Any], kind: str, degrees: bool) -> Spelled:
    """Return a table of values in our spelling, where all are stated as the same substance."""
    each = {
        name: spelled(one, kind, degrees=degrees) if isinstance(one, str) else Spelled(value=one)
        for name, one in written.items()
    }
    plain = all(attrs.evolve(one, value=0, form="", french=False) == Spelled(value=0) for one in each.values())
    forms = {one.form for one in each.values()}
    if not plain or len(forms) != 1 or any(isinstance(one.value, dict) for one in each.values()):
        return Spelled(value=written)
    return Spelled(
        value={name: one.value for name, one in each.items()},
        form=forms.pop(),
        french=any(one.french for one in each.values()),
    )


def _below(plain: str) -> tuple[bool, str]:
    found = _BELOW.match(plain)
    return found is not None, plain[found.end() :] if found else plain


def _warmth(plain: str) -> tuple[str, str]:
    """Return a text without the temperature it holds at, and that as " at 12 °C"."""
    plain = _WARMTH_WORD.sub("at", plain)
    found = _WARMTH.fullmatch(plain)
    if found is None or _WARMTH_WORD.search(found[1]):
        return plain, ""
    return found[1], f" at {found[2]}"


def _ends(plain: str, more: str = "") -> dict[str, str]:
    """Return the texts of a range, its mean among them if it has one; empty if the text is none."""
    if found := _THREE.fullmatch(plain):
        low, value, high, *told = found.groups()
    elif found := _AROUND.fullmatch(plain):
        value, first, low, high, *others = found.groups()
        told = [first, *others]
    elif found := _TWO_UNITS.fullmatch(plain):
        (low, unit, high), value = found.groups(), None
        told = [unit]
    elif found := _TWO.fullmatch(plain):
        (low, high, *told), value = found.groups(), None
    else:
        return {}
    units = [unit.strip() for unit in told if unit]
    if len({unit.casefold() for unit in units}) > 1:
        return {}
    unit = units[0] if units else ""
    numbers = {"min": low, "max": high} if value is None else {"min": low, "value": value, "max": high}
    return {name: f"{number} {unit}".strip() + more for name, number in numbers.items()}


def _without_form(text: str, kind: str) -> tuple[str, str]:
    """Return a text cut free of what it is stated as, and that as a formula."""
    if (found := _IN_UNIT.search(text)) and (form := form_named(found[2])):
        text = f"{text[: found.start()]}{found[1]}/{found[3]}{text[found.end() :]}"
    elif found := _STATED_AS.fullmatch(text):
        form = form_named(found[2]) or found[2][:20]
        text = found[1].strip()
    elif (found := _AFTER_UNIT.fullmatch(text)) and (form := form_named(found[2])):
        text = found[1].strip()
    else:
        return text, ""
    if form != "CaCO3":
        return text, form
    # A mole of hardness is one of CaCO3; for the rest it is a unit of its own.
    return (text if kind == "hardness" and "mmol" in text else f"{text} as CaCO3"), ""
