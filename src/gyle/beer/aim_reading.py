"""Reading aims and printed figures: a figure's short or full name and its value."""

from __future__ import annotations

import difflib
from typing import Any

from gyle.beer.amounts import concentration_mg_L, gravity_sg, volume_L
from gyle.beer.figures import BITTERNESS_FIGURE, FigureKind, figure_kind, figure_of_key, short_names
from gyle.beer.recipe import Aim
from gyle.beer.section import Section, shown
from gyle.errors import BadInput, OutOfRange
from gyle.quantities import Quantity
from gyle.quantities.tables import CACO3_MG_MEQ, SRM_EBC

__all__ = ["aims_of", "bitterness_rule"]


def bitterness_rule(section: Section | None, otherwise: str) -> str:
    """Return the rule by which a table's bitterness is counted."""
    stated = section.choice("bitterness_by", tuple(BITTERNESS_FIGURE)) if section else None
    return stated or otherwise


def aims_of(section: Section | None, bitterness_by: str) -> tuple[Aim, ...]:
    """Return every figure of [aim] or [printed]; faults are kept in the section."""
    if section is None:
        return ()
    found: dict[str, Aim] = {}
    for key, value in _flat(section.table):
        if key == "bitterness_by":
            continue
        top = key if key in section.table else key.split(".")[0]
        section.taken[top] = None
        figure = figure_of_key(key, bitterness_by)
        if figure is None:
            near = difflib.get_close_matches(key, [*short_names(), "bitterness"], n=1, cutoff=0.6)
            offer = f"; perhaps {near[0]} is meant" if near else ""
            section.fault(f"{shown(key)[1:-1]} is no figure of a beer{offer}", top)
            continue
        if figure in found:
            section.fault(f"{key} stands here twice, once under its short name; keep one of them", top)
            continue
        aim = _aim(section, top, figure, value)
        if aim is not None:
            found[figure] = aim
    return tuple(found.values())


def _flat(table: dict[str, Any]) -> list[tuple[str, Any]]:
    """Keys with their values; fermenter.pitch_gravity may be written with or without quotes."""
    flat: list[tuple[str, Any]] = []
    for key, value in table.items():
        if isinstance(value, dict):
            for below, inner in value.items():
                if isinstance(inner, dict):
                    flat += [(f"{key}.{below}.{last}", innermost) for last, innermost in inner.items()]
                else:
                    flat.append((f"{key}.{below}", inner))
        else:
            flat.append((key, value))
    return flat


def _aim(section: Section, key: str, figure: str, value: Any) -> Aim | None:
    of = figure_kind(figure)
    assert of is not None  # figure_of_key names only figures there are
    quantity = section.quantity_of(value, key, of.kind, bare=of.bare)
    if quantity is None:
        return None
    try:
        number, half = _in_figure_unit(figure, quantity)
    except (BadInput, OutOfRange) as error:
        section.fault(f"{key}: {error}", key)
        return None
    low, high = _range_in_figure_unit(figure, of)
    if not low <= number <= high:
        section.fault(f"{key} is {shown(value)}, which is not between {low:g} and {high:g}", key)
        return None
    return Aim(figure=figure, value=number, half_digit=half, text=quantity.text)


def _range_in_figure_unit(figure: str, of: FigureKind) -> tuple[float, float]:
    if of.kind == "alkalinity":
        return of.low * CACO3_MG_MEQ, of.high * CACO3_MG_MEQ
    return of.low, of.high


def _in_figure_unit(figure: str, quantity: Quantity) -> tuple[float, float]:
    """Return a value and half its last digit in the unit the figure is kept in."""
    value, half = quantity.value, quantity.half_digit
    if quantity.kind == "gravity":
        return gravity_sg(quantity)
    if quantity.kind == "volume":
        return volume_L(quantity), half
    if quantity.kind == "alkalinity":
        return value * CACO3_MG_MEQ, half * CACO3_MG_MEQ
    if quantity.kind == "concentration":
        factor = concentration_mg_L(quantity, figure.rsplit(".", 1)[1]) / value if value else 1.0
        return value * factor, half * factor
    if figure.endswith("colour_srm"):
        return value / SRM_EBC, half / SRM_EBC
    if quantity.basis == "by mass":
        raise BadInput(f"{quantity.text} is by mass, and alcohol is wanted by volume")
    if quantity.basis == "absolute":
        raise BadInput(f"{quantity.text} is absolute, and a gauge pressure is wanted")
    return value, half
