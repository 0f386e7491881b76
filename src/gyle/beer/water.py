"""A water as its report states it."""

from __future__ import annotations

import attrs

from gyle.beer.estimate import Estimate

__all__ = ["IONS", "Water"]

IONS = ("calcium", "magnesium", "sodium", "potassium", "sulfate", "chloride", "nitrate", "bicarbonate")


@attrs.frozen(kw_only=True)
class Water:
    """A water. Ions in mg/L, alkalinity and hardness in mEq/L; None: the report does not say."""

    name: str = ""
    calcium_mg_L: Estimate | None = None
    magnesium_mg_L: Estimate | None = None
    sodium_mg_L: Estimate | None = None
    potassium_mg_L: Estimate | None = None
    sulfate_mg_L: Estimate | None = None
    chloride_mg_L: Estimate | None = None
    nitrate_mg_L: Estimate | None = None
    bicarbonate_mg_L: Estimate | None = None
    alkalinity_mEq_L: Estimate | None = None  # acid capacity to pH 4.3, or alkalinity, or carbonate hardness
    alkalinity_from: str = ""  # the key of the report it was taken from
    hardness_mEq_L: Estimate | None = None
    base_capacity_mmol_L: Estimate | None = None
    ph: Estimate | None = None
    temperature_C: float | None = None
    chlorine_mg_L: Estimate | None = None
    chloramine_mg_L: Estimate | None = None
    notes: tuple[str, ...] = ()

    def ion_mg_L(self, ion: str) -> Estimate | None:
        """Return the concentration of an ion by its name."""
        found: Estimate | None = getattr(self, f"{ion}_mg_L")
        return found
