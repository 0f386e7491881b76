"""Reading a line or a lot that is a salt, an acid or a base: how strong it is, and whether its amount can be meant."""

from __future__ import annotations

from gyle.beer.mineral import Mineral, mineral_of
from gyle.beer.page import Page
from gyle.beer.section import Section, shown
from gyle.errors import BadInput
from gyle.quantities import Quantity

__all__ = ["check_mineral_amount", "mineral_in"]

LIQUOR_PER_BEER = 4.0  # no litre of beer takes more litres of liquor
BEER_UNSAID_L = 200.0  # taken where a recipe does not say its volume, to refuse only what cannot be meant


def mineral_in(row: Section, what: str, strength: Quantity | None) -> Mineral | None:
    """Return the mineral a line names; None if it names none, or if a fault of it is kept.

    Parameters
    ----------
    row : Section
        The line; its `strength` has been read.
    what : str
        What it names.
    strength : Quantity, optional
        The strength as read, in per cent.
    """
    if "strength" in row and strength is None:  # its fault is kept already
        return None
    key = "strength" if "strength" in row else "what"
    try:
        mineral = mineral_of(what, strength.value if strength is not None else None)
    except BadInput as error:
        row.fault(str(error), key)
        return None
    if mineral is not None and strength is not None and strength.basis == "by volume":
        row.fault(f"strength is {shown(strength.text)}, and one by mass was wanted, as the label says it", key)
        return None
    if mineral is not None and mineral.note:
        row.note(mineral.note)
    return mineral


def _beer_L(top: Section) -> float:
    """The volume a recipe is for; whatever is wrong with it is said elsewhere."""
    silent = Section(Page({}, "", ""), top.table)
    volumes = (silent.volume(key, low=0.5, high=5000.0) for key in ("volume", "volume_into_keg"))
    return max((volume for volume in volumes if volume), default=BEER_UNSAID_L)


def check_mineral_amount(
    row: Section,
    mineral: Mineral,
    top: Section,
    *,
    mass: Quantity | None,
    volume_L: float | None,
    rate: Quantity | None,
) -> None:
    """Keep a fault if a mineral is counted, if a dry one has a volume, or if no liquor takes so much of it."""
    if "count" in row:
        wanted = 'mass = "5 g"' if mineral.unit == "g" else 'volume = "5 mL"'
        row.fault(f"{mineral.name} is not counted; write an amount such as {wanted}", "count")
        return
    amount, most, key, unit, where = 0.0, 0.0, "", "", ""
    if rate is not None:
        key, unit, where = "rate", "g", "a litre"
        amount, most = rate.value, mineral.most_g_L / mineral.strength_fraction.centre
    elif mass is not None or volume_L is not None:
        key, unit = "mass" if mass is not None else "volume", mineral.unit
        try:
            amount = mineral.measured(mass_kg=mass.value if mass is not None else None, volume_L=volume_L)
        except BadInput as error:
            row.fault(str(error), key)
            return
        beer_L = _beer_L(top)
        where = f"the liquor of {beer_L:g} L of beer"
        most = LIQUOR_PER_BEER * beer_L * mineral.most_g_L / mineral.substance_g(1.0)
    if amount > most * (1.0 + 1e-9):
        figure = f"{most:.0f}" if most >= 100.0 else f"{most:.2g}"
        row.fault(
            f"{key} is {shown(row.table[key])}, and {where} takes at most {figure} {unit} of {mineral.name}; "
            "is its unit right?",
            key,
        )
