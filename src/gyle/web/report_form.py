"""A water's report as the fields of a page, and what was typed or pasted into them as the text of its file."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from typing import Any

import attrs

from gyle.beer.page import Address, parsed
from gyle.beer.report_key_words import KEY_WORDS
from gyle.beer.rewriting import rewrite
from gyle.beer.toml_text import quoted, toml_text
from gyle.errors import BadInput
from gyle.share.sentences import plain

__all__ = ["GROUPS", "FieldGroup", "ReportField", "field_groups", "report_text", "typed_fields", "written_fields"]

LONGEST_FIELD, LONGEST_NAME, LONGEST_NOTES = 200, 120, 20_000
_MAIN = ("calcium", "magnesium", "sodium", "potassium", "sulfate", "chloride", "nitrate")
_ALKALINE = ("acid_capacity", "alkalinity", "bicarbonate", "carbonate_hardness", "carbonate")
_REST = ("ph", "temperature", "hardness", "conductivity", "base_capacity", "chlorine", "chloramine")
GROUPS: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("main", "The main ions", _MAIN),
    ("alkaline", "Alkalinity, in the form the report states", _ALKALINE),
    ("rest", "pH and the rest", _REST),
    ("more", "By element, and what is there in traces", tuple(
        key for key in KEY_WORDS if key not in (*_MAIN, *_ALKALINE, *_REST)
    )),
)  # fmt: skip
_HINTS = {
    "calcium": "84,2 mg/l", "magnesium": "6.1 mg/L", "sodium": "12 to 18 mg/L", "potassium": "2",
    "sulfate": "38 – 52 mg/L", "chloride": "34", "nitrate": "16,4 mg/l",
    "acid_capacity": "5,72 mmol/l", "alkalinity": "118 ppm as CaCO3",
    "bicarbonate": "244 mg/L", "carbonate_hardness": "16,0 °dH", "carbonate": "0 mg/L", "ph": "7,41 at 9,3 °C",
    "temperature": "9,3 °C", "hardness": "17,4 °dH", "conductivity": "651 µS/cm", "base_capacity": "0,64 mmol/l",
    "chlorine": "0.2 mg/L", "chloramine": "1.1 mg/L",
}  # fmt: skip
_NUMBER = re.compile(r"[0-9]{1,9}(?:\.[0-9]{1,9})?")
_ENDS = ("min", "value", "max")
_WITH_UNIT = re.compile(r"([0-9]+(?:[.,][0-9]+)?) ?(.*)")


@attrs.frozen(kw_only=True)
class ReportField:
    """One line of a report as a field.

    Parameters
    ----------
    key : str
        The key it is kept under, and the field's name.
    label, hint : str
        What it is called, and what a report may say there.
    shown : str
        What stands in it.
    fault : str
        Why it cannot be, in a sentence.
    remark : str
        What a careful reader would question of it.
    """

    key: str
    label: str
    hint: str
    shown: str = ""
    fault: str = ""
    remark: str = ""


@attrs.frozen(kw_only=True)
class FieldGroup:
    """Fields that stand together."""

    key: str
    words: str
    fields: tuple[ReportField, ...]

    @property
    def used(self) -> bool:
        """Whether something stands in one of them."""
        return any(field.shown or field.fault for field in self.fields)


def field_groups(
    typed: Mapping[str, str], *, faults: Mapping[str, str] | None = None, remarks: Mapping[str, str] | None = None
) -> tuple[FieldGroup, ...]:
    """Return the fields of a report with what stands in them, by key."""
    return tuple(
        FieldGroup(
            key=key,
            words=words,
            fields=tuple(
                ReportField(
                    key=one,
                    label=KEY_WORDS[one],
                    hint=_HINTS.get(one, "mg/L"),
                    shown=typed.get(one, ""),
                    fault=(faults or {}).get(one, ""),
                    remark=(remarks or {}).get(one, ""),
                )
                for one in keys
            ),
        )
        for key, words, keys in GROUPS
    )


def written_fields(text: str) -> dict[str, str]:
    """Return what the file of a water says, as its fields show it: every key of a report, "name", "treated", "notes".

    Raises
    ------
    BadInput
        If the text is no TOML.
    """
    data = parsed(text, "the water")
    return {key: _shown(data[key]) for key in (*KEY_WORDS, "name", "treated", "notes") if key in data}


def typed_fields(sent: Mapping[str, str]) -> dict[str, str]:
    """Return what a sent page says in a report's fields, empty ones left out."""
    found = {key: " ".join(sent.get(key, "").split()) for key in (*KEY_WORDS, "name", "treated")}
    found["notes"] = sent.get("notes", "").replace("\r\n", "\n").strip()
    return {key: value for key, value in found.items() if value}


def report_text(typed: Mapping[str, str], *, base: str | None = None) -> tuple[str, dict[str, str]]:
    """Return the text of a water's file from its fields, and what cannot be written there, by key.

    Parameters
    ----------
    typed : mapping of str to str
        By key, as `typed_fields` gives it.
    base : str, optional
        The text that is edited: its comments and its order stay, and so does whatever the fields do not say otherwise.
    """
    faults = _too_long(typed)
    values: dict[str, Any] = {}
    for key in ("name", *(key for key in KEY_WORDS if key in typed), "treated", "notes"):
        if key in typed and key not in faults:
            try:
                values[key] = plain(typed[key]) if key == "name" else _written(key, typed[key])
            except BadInput as error:
                faults[key] = str(error)
    if base is None:
        head, notes = {"gyle": 1, **values}, values.get("notes")
        head.pop("notes", None)
        text = toml_text(head) + (f"notes = {quoted(notes)}\n" if notes else "")
        return text, faults
    before = written_fields(base)
    changes: dict[Address, Any] = {
        (key,): values.get(key)
        for key in (*KEY_WORDS, "name", "treated", "notes")
        if key not in faults and typed.get(key, "") != before.get(key, "").strip()
    }
    return (rewrite(base, changes, name="the water") if changes else base), faults


def _too_long(typed: Mapping[str, str]) -> dict[str, str]:
    longest = {"name": LONGEST_NAME, "notes": LONGEST_NOTES}
    return {
        key: f"{KEY_WORDS.get(key, key)} has {len(value):,} characters, and at most {longest.get(key, LONGEST_FIELD):,}"
        " were wanted"
        for key, value in typed.items()
        if len(value) > longest.get(key, LONGEST_FIELD)
    }


def _written(key: str, typed: str) -> Any:
    """Return a field's text as the file's value: a bare number is one, a table in braces is one, else it is a text."""
    if key in ("treated", "notes"):
        return typed
    if _NUMBER.fullmatch(typed):
        number = float(typed)
        return typed if f"{number:g}" != typed else number if "." in typed else int(typed)  # "7.40" tells more than 7.4
    if typed.startswith("{"):
        try:
            return tomllib.loads(f"x = {typed}")["x"]
        except (ValueError, RecursionError):
            raise BadInput(
                f"{key} cannot be read as a table of a value with its ends; write such as"
                ' { value = "12 mg/L", low = "10 mg/L", high = "15 mg/L" }, or "10 to 15 mg/L"'
            ) from None
    return typed


def _shown(value: Any) -> str:
    """Return a value of a file as a field shows it; a range with its mean as one text where it can be."""
    if isinstance(value, str):
        return value if "\n" in value else " ".join(value.split())
    if isinstance(value, dict):
        return _range_text(value) or toml_text({"x": {"value": "", **value}}).partition("= ")[2].strip()
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return str(value)
    return f"{value:g}" if abs(value) < 1e6 else str(value)


def _range_text(table: Mapping[str, Any]) -> str:
    """Return least, mean and most in the one text a report may have for them, "" if they are something else."""
    if not set(table) <= set(_ENDS) or not {"min", "max"} <= set(table):
        return ""
    parts = [_WITH_UNIT.fullmatch(str(table[end])) for end in _ENDS if end in table]
    units = {part[2] for part in parts if part is not None}
    if None in parts or len(units) != 1:
        return ""
    figures = [part[1] for part in parts if part is not None]
    return f"{'-'.join(figures) if len(figures) == 3 else ' to '.join(figures)} {units.pop()}".strip()
