"""Alkalinity and bicarbonate, which are the same only in a water that is not alkaline."""

from __future__ import annotations

from gyle.science.alkalinity import alkalinity_from_bicarbonate
from gyle.science.water_ions import MOLAR_MASS

__all__ = ["alkalinity_per_bicarbonate"]

CARBONATE_COUNTS_ABOVE_PH = 8.3
_IONIC_STRENGTH_MMOL_L = 5.0  # of the usual water; it matters little here
_HIGHEST_PH = 11.0


def alkalinity_per_bicarbonate(ph: float | None, temperature_C: float) -> tuple[float, float]:
    """Return mEq of alkalinity for each mmol of bicarbonate, and those beside it [mEq/L].

    At and below pH 8.3, and where the pH is unknown, bicarbonate is all: laboratories call it so, and it is
    within 2 %.
    """
    if ph is None or ph <= CARBONATE_COUNTS_ABOVE_PH:
        return 1.0, 0.0
    none, one = alkalinity_from_bicarbonate(
        [0.0, MOLAR_MASS["bicarbonate"]],
        min(ph, _HIGHEST_PH),
        temperature_C=min(max(temperature_C, 0.0), 100.0),
        ionic_strength_mmol_L=_IONIC_STRENGTH_MMOL_L,
    ).tolist()
    return one - none, none
