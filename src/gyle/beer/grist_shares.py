"""A grist whose lines depend on one another: shares that still add up, and masses that take the place of shares."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from gyle.beer.section import shown
from gyle.errors import BadInput
from gyle.quantities import read, write

__all__ = ["all_in", "in_masses", "in_shares", "per_cent", "rescaled", "share_text"]

_STEP = Decimal("0.1")  # per cent
_MOST_PLACES = Decimal("0.0001")


def share_text(share_pct: Decimal) -> str:
    """Return a share as a file writes it: "40.4 %", never "40.40 %"."""
    text = f"{share_pct:f}"
    return f"{text.rstrip('0').rstrip('.') if '.' in text else text} %"


def all_in(rows: Sequence[Mapping[str, Any]], key: str) -> list[float] | None:
    """Return the amounts of a grist that are all written under one key; None if one is not, or cannot be read."""
    kind = "percent" if key == "share" else "mass"
    try:
        amounts = [read(row[key], kind).value for row in rows]
    except (KeyError, BadInput):
        return None
    return amounts if amounts and min(amounts) > 0.0 else None


def per_cent(value: Any) -> float:
    """Return a share [%] that is one."""
    share = read(value, "percent").value
    if not 0.0 < share <= 100.0:
        raise BadInput(f"share is {shown(value)}, and more than nothing and at most 100 % was wanted")
    return share


def rescaled(shares: Mapping[int, float], left_pct: float) -> dict[int, str]:
    """Return shares in the same ratios that add up to what is left.

    Parameters
    ----------
    shares : mapping
        From the place of a line to its share [%] as it was, or to anything in proportion.
    left_pct : float
        What they are to add up to [%].

    Returns
    -------
    dict
        From place to text; each is rounded to 0.1 %, none is lost, and the largest takes what rounding leaves.

    Raises
    ------
    BadInput
        If too little is left for every line to keep a tenth of a per cent.
    """
    if not shares:
        return {}
    left = Decimal(repr(left_pct)).quantize(_MOST_PLACES)
    if left < _STEP * len(shares):
        lines = "the other line" if len(shares) == 1 else f"the other {len(shares)} lines"
        raise BadInput(f"{share_text(Decimal(100) - left)} leaves nothing for {lines}: write a smaller share")
    total = sum(shares.values())
    rounded = {
        place: max((left * Decimal(repr(share / total))).quantize(_STEP), _STEP) for place, share in shares.items()
    }
    largest = max(rounded, key=lambda place: (rounded[place], -place))
    rounded[largest] += left - sum(rounded.values())
    if rounded[largest] < _STEP:
        raise BadInput(
            f"{share_text(Decimal(100) - left)} leaves too little for the other lines: write a smaller share"
        )
    return {place: share_text(share) for place, share in rounded.items()}


def in_masses(shares: Sequence[float], row: int, mass: str) -> dict[int, str]:
    """Return the masses of the other lines where one line of a grist in shares is given a mass."""
    quantity = read(mass, "mass")
    system = "us" if quantity.unit in ("lb", "oz") else "metric"
    total = quantity.value / shares[row]
    return {place: write(share * total, "mass", system=system) for place, share in enumerate(shares) if place != row}


def in_shares(masses: Sequence[float], row: int, share_pct: float) -> dict[int, str]:
    """Return the shares of the other lines where one line of a grist in masses is given a share."""
    return rescaled({i: mass for i, mass in enumerate(masses) if i != row}, 100.0 - share_pct)
