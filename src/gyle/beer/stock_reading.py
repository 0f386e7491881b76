"""Reading the store: lots, packs as sold, prices, instruments."""

from __future__ import annotations

import datetime
import re

from gyle.beer import tables
from gyle.beer.grist_reading import stated_acidity
from gyle.beer.hop_reading import stated_alpha
from gyle.beer.ingredient import Fermentable
from gyle.beer.mineral_reading import mineral_in
from gyle.beer.section import Section, shown
from gyle.beer.stock import Instrument, Lot, Stock
from gyle.errors import BadInput
from gyle.quantities import Quantity

__all__ = ["stock_of"]

FORMS = ("pellets", "whole", "wet", "dry", "liquid", "slurry", "syrup", "powder", "crushed", "uncrushed")
_ERROR = re.compile(r"\s*([-+]?\d+(?:[.,]\d+)?)\s*(.{0,12})")
MOST_KG = 100_000.0


def _date(row: Section) -> datetime.date | None:
    value = row.raw("analysed")
    if value is None:
        return None
    if isinstance(value, datetime.datetime):
        return value.date()
    if isinstance(value, datetime.date):
        return value
    try:
        return datetime.date.fromisoformat(value if isinstance(value, str) else "")
    except ValueError:
        row.fault(f"analysed is {shown(value)}, and a date such as 2025-03-14 was wanted", "analysed")
        return None


def _price(row: Section, pack: Quantity | None, mass: Quantity | None) -> tuple[float | None, str]:
    """Return the price of a kilogram and its currency."""
    value = row.raw("price")
    if value is None:
        return None, ""
    if not isinstance(value, str):
        row.fault(f'price is {shown(value)}, and one such as "32 €/kg" was wanted', "price")
        return None, ""
    amount, _, per = value.partition("/")
    money = row.quantity_of(amount.strip(), "price", "money", low=0.0, high=1e6)
    per = per.strip()
    if per:
        of = row.quantity_of(per if per[0].isdigit() else f"1 {per}", "price", "mass", low=0.0, high=MOST_KG)
    else:
        of = pack or mass
        if of is None and "pack" not in row and "mass" not in row:
            row.fault(f'price is {shown(value)} for nobody knows how much; write it as "32 €/kg"', "price")
    if money is None or of is None:
        return None, ""
    if of.value <= 0.0:
        row.fault(f"price is {shown(value)} for nothing", "price")
        return None, ""
    return money.value / of.value, money.basis or money.unit


def _malt(what: str | None) -> Fermentable | None:
    """Return the malt of the table that a lot is, None if it is none."""
    try:
        found = tables.fermentable(what) if what is not None else None
    except BadInput:  # a crystal malt of no clear colour; the recipe's line says so
        return None
    return found[0] if found else None


def _lot(row: Section) -> Lot | None:
    what = row.text("what", longest=80)
    if what is None and "what" not in row:
        row.missing("what", 'what = "Cascade"')
    if what is not None:
        row.place = f"{row.place} ({what})"
    lot = row.text("lot", longest=80)
    alpha = stated_alpha(row)
    acidity = stated_acidity(row, _malt(what))
    analysed = _date(row)
    form = row.choice("form", FORMS)
    mass = row.quantity("mass", "mass", low=0.0, high=MOST_KG)
    pack = row.quantity("pack", "mass", low=1e-6, high=MOST_KG)
    price, currency = _price(row, pack, mass)
    strength = row.quantity("strength", "percent", low=0.0, high=100.0)
    row.close()
    mineral = mineral_in(row, what, strength) if what is not None else None
    if what is None:
        return None
    return Lot(
        what=what,
        lot=lot or "",
        alpha_fraction=alpha,
        **acidity,
        analysed=analysed,
        form=form or "",
        mass_kg=mass.value if mass else None,
        pack_kg=pack.value if pack else None,
        mineral=mineral,
        price_per_kg=price,
        currency=currency,
    )


def _reading(row: Section, key: str) -> tuple[float, str] | None:
    """Return a number and whatever unit stands after it."""
    value = row.raw(key)
    if isinstance(value, (int, float)) and not isinstance(value, bool) and abs(value) < 1e6:
        return float(value), ""
    match = _ERROR.fullmatch(value) if isinstance(value, str) else None
    if match is None:
        if value is not None:
            row.fault(f'{key} is {shown(value)}, and one such as "0.5 K" was wanted', key)
        return None
    number = float(match[1].replace(",", "."))
    if abs(number) >= 1e6:
        row.fault(f"{key} is {shown(value)}, a number too large to mean anything", key)
        return None
    return number, match[2].strip()


def _instrument(row: Section) -> Instrument | None:
    name = row.text("name", longest=80)
    if name is None and "name" not in row:
        row.missing("name", 'name = "hydrometer"')
    error, offset = _reading(row, "error"), _reading(row, "offset")
    if "error" not in row:
        row.missing("error", 'error = "0.001 SG", one standard deviation')
    if error is not None and error[0] < 0.0:
        row.fault(f"error is {error[0]:g}, and a standard deviation is not below zero", "error")
    if error and offset and error[1] and offset[1] and error[1] != offset[1]:
        row.fault(f"error is in {error[1]} and offset in {offset[1]}; write both in one unit", "offset")
    row.close()
    if name is None or error is None:
        return None
    return Instrument(
        name=name,
        error=error[0],
        offset=offset[0] if offset else 0.0,
        unit=error[1] or (offset[1] if offset else ""),
    )


def stock_of(top: Section) -> Stock:
    """Return the store of a table; its faults are kept in the page."""
    top.number("gyle", low=1, high=1, wanted="the format number 1")
    top.text("name", longest=120)
    lots = [_lot(row) for row in top.rows("have", "have")]
    instruments = [_instrument(row) for row in top.rows("instrument", "instrument")]
    top.close()
    return Stock(
        lots=tuple(lot for lot in lots if lot is not None),
        instruments=tuple(one for one in instruments if one is not None),
    )
