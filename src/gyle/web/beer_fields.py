"""The inputs of a recipe as the fields of a page, and what a sent page changed of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import attrs

from gyle.beer.recipe_inputs import Input

__all__ = ["FieldView", "changed_fields", "field_views"]

_NAMES = {"grist": "grist-names", "hops": "hop-names", "yeast": "yeast-names"}
_ROWS = {"grist": "malt or sugar", "hops": "hops", "yeast": "yeast", "other": "addition"}
_FREE = ("text", "prose", "at", "until", "from", "into", "wish")  # choices of these are offers, not limits


@attrs.frozen(kw_only=True)
class FieldView:
    """One field: what stands in it, and what is said of what was typed into it."""

    place: str
    label: str
    shown: str
    kind: str
    choices: tuple[str, ...] = ()
    open: bool = False
    hint: str = ""
    list: str = ""
    typed: str = ""
    fault: str = ""

    @property
    def plain(self) -> bool:
        """Whether it says a weight, which no solved weight need stand beside."""
        return self.kind == "mass" and bool(self.shown)


def field_views(
    inputs: Sequence[Input],
    *,
    system: str,
    faults: Mapping[str, str] | None = None,
    typed: Mapping[str, str] | None = None,
    solved: Mapping[str, str] | None = None,
) -> dict[str, FieldView]:
    """Return the fields of a page by their places.

    Parameters
    ----------
    inputs : sequence of Input
        What of the recipe can be edited.
    system : {"metric", "us"}
        The person's units.
    faults, typed : mapping of str to str, optional
        By place: why what was typed cannot be, and what was typed.
    solved : mapping of str to str, optional
        By place: what planning found for what is left open.
    """
    found = solved or {}
    return {
        one.place: _view(one, system, (faults or {}).get(one.place, ""), typed or {}, found.get(one.place, ""))
        for one in inputs
    }


def _view(one: Input, system: str, fault: str, typed: Mapping[str, str], solved: str) -> FieldView:
    shown = one.shown(system)
    choices = one.choices if one.kind not in _FREE else ()
    label = f"{one.row_name}, {one.label}" if one.row_name and one.label != "what" else one.label
    if one.label == "what":
        group, _, number = one.row.partition(".")
        label = f"{_ROWS.get(group, group)} {int(number or 0) + 1}"
    taken = one.taken(system)
    if choices and not shown:
        shown = taken if taken in choices else ""
        choices = choices if shown else ("", *choices)
    return FieldView(
        place=one.place,
        label=label,
        shown=shown,
        kind=one.kind,
        choices=choices,
        open=one.open,
        hint=solved or taken,
        list=_NAMES.get(one.row.partition(".")[0], "") if one.place.endswith(".what") else "",
        typed=typed.get(one.place, shown),
        fault=fault,
    )


def changed_fields(views: Mapping[str, FieldView], sent: Mapping[str, str]) -> dict[str, str]:
    """Return what a sent page says otherwise than it was shown, by place."""
    found = {}
    for place, view in views.items():
        value = sent.get(place)
        if value is None:
            continue
        said = value.replace("\r\n", "\n")
        if said.strip() != view.shown.strip():
            found[place] = said if view.kind == "prose" else said.strip()
    return found
