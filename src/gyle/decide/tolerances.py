"""How far off a water may be before a miss counts as one: after what a palate, a scale and a meter can tell."""

from __future__ import annotations

from collections.abc import Mapping

__all__ = ["TOLERANCE", "TOLERANCE_PH"]

# mg/L, alkalinity mEq/L. Provenance: ours.
TOLERANCE: Mapping[str, float] = {
    "calcium": 10.0,
    "magnesium": 5.0,
    "sodium": 10.0,
    "potassium": 10.0,
    "chloride": 10.0,
    "sulfate": 20.0,
    "alkalinity": 0.4,
}
TOLERANCE_PH = 0.04
