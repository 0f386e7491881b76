"""What a report asks for when it is a water to wish for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gyle.errors import BadInput

if TYPE_CHECKING:
    from gyle.beer.water import Water

__all__ = ["WISHES", "wished_by"]

WISHES = ("calcium", "magnesium", "sodium", "potassium", "sulfate", "chloride")


def wished_by(water: Water) -> dict[str, float]:
    """Return the amounts a report states, as a wish [mg/L]; what it does not state is not asked for.

    Raises
    ------
    BadInput
        If it states none.
    """
    wanted = {
        ion: figure.centre
        for ion in WISHES
        if (figure := water.ion_mg_L(ion)) is not None and figure.standing != "estimated"
    }
    if water.alkalinity_mEq_L.standing != "estimated":
        wanted["bicarbonate"] = water.bicarbonate_mg_L.centre
    if not wanted:
        raise BadInput(f"it states none of {', '.join(WISHES)}, so it asks for no water")
    return wanted
