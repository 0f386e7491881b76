"""What of a recipe can be edited, by place: the keys of its file behind each, and in what terms each is said."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import attrs

from gyle.beer import tables
from gyle.beer.figures import BITTERNESS_FIGURE, figure_kind, figure_of_key, short_names
from gyle.beer.page import Address
from gyle.beer.section import shown
from gyle.beer.wanted_water_reading import WANTED_IONS
from gyle.errors import BadInput

__all__ = ["FIELDS", "LISTS", "Field", "Spot", "aim_keys", "rows_in", "spot_at"]

LISTS = ("grist", "mash", "hops", "other", "yeast", "fermentation")
ONE_TOO = ("yeast", "fermentation")  # may be a single table as well as a list of them
_INDEX = re.compile(r"0|[1-9][0-9]{0,3}")


@attrs.frozen(kw_only=True)
class Field:
    """One thing that can be edited.

    Parameters
    ----------
    name : str
        The last step of its place.
    label : str
        What a page calls it.
    keys : tuple of pairs
        Each key of the file that may say it, with its kind of quantity, or "text", "prose", "choice", "flag",
        "at", "until", "from", "into", "wish", "number".
    told : str or None
        What stands between the name of the row and the values in a line that tells an edit; the label if None.
    choices : tuple of str
        What may be written; of a text, what is known.
    bare : str or None
        The unit of a bare number where nothing was written, if it does not follow from the kind.
    usual : bool
        Whether a page offers it where the recipe does not say it.
    """

    name: str
    label: str
    keys: tuple[tuple[str, str], ...]
    told: str | None = None
    choices: tuple[str, ...] = ()
    bare: str | None = None
    usual: bool = True

    @property
    def kind(self) -> str:
        """The kind of its first key."""
        return self.keys[0][1]


def _field(name: str, label: str, kind: str, **more: Any) -> Field:
    return Field(name=name, label=label, keys=more.pop("keys", ((name, kind),)), **more)


def _rare(name: str, label: str, kind: str, **more: Any) -> Field:
    return _field(name, label, kind, usual=False, **more)


_WHAT = _field("what", "what", "text", told="")
_AT = _field("at", "when", "at", told="")

FIELDS: dict[str, tuple[Field, ...]] = {
    "": (
        _field("name", "name", "text"),
        _field("volume", "volume", "volume", keys=(("volume", "volume"), ("volume_into_keg", "volume"))),
        _rare("gyles", "gyles", "number"),
        _field("bitterness_by", "bitterness by", "choice", choices=tuple(BITTERNESS_FIGURE)),
        _field("notes", "notes", "prose"),
    ),
    "water": (
        *(_field(ion, ion, "wish", bare="mg/L") for ion in WANTED_IONS),
        _field("sulfate_to_chloride", "sulfate to chloride", "wish", bare=""),
        _field("dilution", "reverse osmosis water", "percent"),
    ),
    "grist": (
        _WHAT,
        _field("amount", "amount", "percent", told="", keys=(("share", "percent"), ("mass", "mass"))),
        _AT,
        _rare("extract", "extract", "percent"),
        _rare("moisture", "moisture", "percent"),
        _rare("fermentable", "fermentable part", "percent"),
        _rare("colour", "colour", "colour"),
        _rare("distilled_ph", "pH in distilled water", "ph"),
        _rare("buffering", "buffering", "number"),
        _rare("lactic", "lactic acid", "percent"),
    ),
    "mash": (
        _field("temperature", "temperature", "temperature", told=""),
        _field("time", "time", "time", told=""),
        _field("by", "reached by", "choice", choices=("heat", "infusion", "decoction"), told="by"),
        _field("liquor", "liquor", "volume", keys=(("liquor", "volume"), ("thickness", "thickness"))),
        _rare("mash", "mash", "number", choices=("1", "2")),
        _rare("liquor_from", "liquor from", "choice", choices=("mash 1",)),
    ),
    "sparge": (
        _field("volume", "sparge", "volume", told=""),
        _field("temperature", "temperature", "temperature"),
        _field("squeeze", "grain squeezed", "flag", choices=("yes", "no")),
    ),
    "boil": (
        _field("time", "boil", "time", told=""),
        _rare("held_back", "wort held back", "volume"),
    ),
    "hops": (
        _WHAT,
        _field("alpha", "alpha", "percent"),
        _field(
            "amount", "amount", "mass", told="",
            keys=(("mass", "mass"), ("rate", "hop_rate"), ("bitterness", "bitterness")),
        ),
        _AT,
        _field("form", "form", "choice", choices=("pellets", "whole", "wet")),
        _field("in", "in", "choice", choices=("kettle", "hop vessel")),
    ),
    "other": (
        _WHAT,
        _field(
            "amount", "amount", "mass", told="",
            keys=(("mass", "mass"), ("volume", "volume"), ("rate", "hop_rate"), ("count", "count")),
        ),
        _AT,
        _rare("extract", "extract", "percent"),
        _rare("water", "water", "percent"),
        _rare("strength", "strength", "percent"),
        _rare("allergen", "allergen", "text"),
    ),
    "yeast": (
        attrs.evolve(_WHAT, choices=tables.yeast_names()),
        _field(
            "amount", "pitch", "pitch_rate", told="",
            keys=(("pitch", "pitch_rate"), ("mass", "mass"), ("cells", "cells"), ("packs", "count")),
        ),
        _field("attenuation", "attenuation", "percent"),
    ),
    "fermentation": (
        _field("temperature", "temperature", "temperature", told=""),
        _field("end", "until", "time", keys=(("time", "time"), ("until", "until")), told=""),
        _field("from", "from", "from"),
        _rare("ramp", "reached in", "time", bare="h"),
        _rare("pressure", "pressure", "pressure"),
    ),
    "package": (
        _field(
            "carbonation", "carbonation", "carbonation",
            keys=(("carbonation", "carbonation"), ("pressure", "pressure")),
        ),
        _field("temperature", "temperature", "temperature"),
        _field("by", "carbonated by", "choice", choices=("force", "priming", "closed early"), told="by"),
        _field("into", "into", "into"),
    ),
}  # fmt: skip

_INTO = Field(name="into", label="counted", keys=(("", "choice"),), choices=("fermenter", "keg"), told="into the")
_PRESSURE = _field("pressure", "pressure", "pressure")


@attrs.frozen(kw_only=True)
class Spot:
    """A place in a recipe's file: the table it lies in, the field, and what is written there."""

    place: str
    group: str  # "hops", "boil", "aim", or "" at the top
    row: int | None
    address: Address  # of the table
    table: Mapping[str, Any]  # empty where the file has none
    field: Field

    @property
    def key(self) -> str | None:
        """The key that says it in the file, if one does."""
        return next((key for key, _ in self.field.keys if key in self.table), None)

    @property
    def value(self) -> Any:
        """The value in the file; None if it is not written."""
        if self.group == "grist" and self.field.name == "at" and "mash" in self.table:
            return "mash" if self.table["mash"] == 1 else f"mash {self.table['mash']}"
        return None if self.key is None else self.table[self.key]

    @property
    def kind(self) -> str:
        """The kind of what is written, or of what would be."""
        return dict(self.field.keys)[self.key] if self.key is not None else self.field.kind

    @property
    def row_place(self) -> str:
        """The place of the row it lies in; empty for what lies in no list."""
        return "" if self.row is None else f"{self.group}.{self.row}"


def rows_in(data: Mapping[str, Any], name: str) -> list[Mapping[str, Any]]:
    """Return the rows of a list as they are written; a single table is one row."""
    value = data.get(name)
    if isinstance(value, Mapping):
        return [value] if name in ONE_TOO else []
    return [row for row in value if isinstance(row, Mapping)] if isinstance(value, list) else []


def spot_at(data: Mapping[str, Any], place: str) -> Spot:
    """Return where a place lies in the parsed content of a recipe.

    A row one that reading takes for granted ("mash.0" where no rest is written) lies in an empty table.

    Raises
    ------
    BadInput
        If there is no such place.
    """
    group, _, rest = place.partition(".")
    found: Spot | None = None
    if not rest:
        found = _table_spot(data, place, "", place)
    elif place == "volume.into":
        found = Spot(place=place, group="", row=None, address=(), table=data, field=_INTO)
    elif group == "aim":
        found = _aim_spot(data, place, rest)
    elif group in LISTS:
        number, _, name = rest.partition(".")
        rows = rows_in(data, group)
        is_index = _INDEX.fullmatch(number) is not None
        if is_index and int(number) < max(len(rows), 1 if group in ("mash", *ONE_TOO) and group not in data else 0):
            found = _row_spot(data, place, group, int(number), name)
    elif group in FIELDS:
        found = _table_spot(data, place, group, rest)
    if found is None:
        raise BadInput(f"the recipe has no place {shown(place)}; nothing was changed")
    return found


def _row_spot(data: Mapping[str, Any], place: str, group: str, row: int, name: str) -> Spot | None:
    rows = rows_in(data, group)
    single = isinstance(data.get(group), Mapping)
    field = _named(FIELDS[group], name)
    if field is None:
        return None
    return Spot(
        place=place,
        group=group,
        row=row,
        address=(group,) if single else (group, row),
        table=rows[row] if row < len(rows) else {},
        field=field,
    )


def _table_spot(data: Mapping[str, Any], place: str, group: str, name: str) -> Spot | None:
    table = data.get(group, {}) if group else data
    field = _named(FIELDS[group], name)
    address: Address = (group,) if group else ()
    if group == "package" and isinstance(table, Mapping) and {"carbonation", "pressure"} <= table.keys():
        # Both are written: each is a place of its own.
        field = {"carbonation": attrs.evolve(_PRESSURE, name="carbonation", label="carbonation",
                 keys=(("carbonation", "carbonation"),)), "pressure": _PRESSURE}.get(name, field)  # fmt: skip
    if name == "bitterness_by" and not group and "bitterness_by" not in data:
        aims = data.get("aim")
        if isinstance(aims, Mapping) and "bitterness_by" in aims:
            table, address = aims, ("aim",)
    if field is None or not isinstance(table, Mapping):
        return None
    return Spot(place=place, group=group, row=None, address=address, table=table, field=field)


def _named(fields: tuple[Field, ...], name: str) -> Field | None:
    return next((field for field in fields if field.name == name), None)


def aim_keys(data: Mapping[str, Any]) -> dict[str, Address]:
    """Return the figures a recipe aims at, as they are written, each with the way to its value."""
    found: dict[str, Address] = {}

    def gather(table: Mapping[str, Any], address: Address) -> None:
        for key, value in table.items():
            if isinstance(value, Mapping):
                gather(value, (*address, key))
            elif (*address, key) != ("aim", "bitterness_by"):
                found[".".join(str(step) for step in (*address[1:], key))] = (*address, key)

    aims = data.get("aim")
    gather(aims if isinstance(aims, Mapping) else {}, ("aim",))
    return found


def bitterness_rule_of(data: Mapping[str, Any]) -> str:
    """Return the rule by which the bitterness of [aim] is counted."""
    aims = data.get("aim")
    own = aims.get("bitterness_by") if isinstance(aims, Mapping) else None
    rule = own or data.get("bitterness_by")
    return rule if isinstance(rule, str) and rule in BITTERNESS_FIGURE else "tinseth"


def _aim_spot(data: Mapping[str, Any], place: str, key: str) -> Spot | None:
    figure = figure_of_key(key, bitterness_rule_of(data))
    of = figure_kind(figure) if figure is not None else None
    if figure is None or of is None:
        return None
    written = aim_keys(data)
    same = next((own for own in written if figure_of_key(own, bitterness_rule_of(data)) == figure), key)
    address = written.get(key) or written.get(same) or ("aim", key)
    table: Any = data
    for step in address[:-1]:
        table = table.get(step, {}) if isinstance(table, Mapping) else {}
    words = same if same in (*short_names(), "bitterness") else same.replace(".", " ")
    label = words.replace("_", " ").replace(" ph", " pH")
    return Spot(
        place=place,
        group="aim",
        row=None,
        address=address[:-1],
        table=table if isinstance(table, Mapping) else {},
        field=Field(name=key, label=label, keys=((str(address[-1]), of.kind),), bare=of.bare),
    )
