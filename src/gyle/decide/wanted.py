"""What is asked of a water: amounts, ranges, and how sulfate stands to chloride."""

from __future__ import annotations

import math
from collections.abc import Mapping

import attrs

from gyle.beer.recipe import Recipe
from gyle.decide.tolerances import TOLERANCE

__all__ = ["Wanted", "as_wanted", "outside", "ratio_note", "ratio_of", "span_words", "wanted_by"]

RATIO_IONS = ("sulfate", "chloride")
LEAST_CHLORIDE_MG_L = 0.5
RATIO_TOLD_MG_L = TOLERANCE["sulfate"] / 2.0  # sulfate outside the band below which nothing is said; ours


@attrs.frozen(kw_only=True)
class Wanted:
    """A wish for a water; false where nothing is asked.

    Parameters
    ----------
    ions_mg_L : mapping of str to float
        Ions wanted at one amount.
    ranges_mg_L : mapping of str to tuple of float
        Ions that are as good anywhere between two ends; -inf or inf leaves a side open.
    sulfate_to_chloride : tuple of float or None
        The ends of the wanted ratio by mass; 0 or inf leaves a side open.
    """

    ions_mg_L: Mapping[str, float] = attrs.field(factory=dict)
    ranges_mg_L: Mapping[str, tuple[float, float]] = attrs.field(factory=dict)
    sulfate_to_chloride: tuple[float, float] | None = None

    def __bool__(self) -> bool:
        return bool(self.ions_mg_L or self.ranges_mg_L or self.sulfate_to_chloride)

    @property
    def spans_mg_L(self) -> dict[str, tuple[float, float]]:
        """Both ends for every ion that has a wish of its own; equal where one amount is wanted."""
        return {ion: (amount, amount) for ion, amount in self.ions_mg_L.items()} | dict(self.ranges_mg_L)

    @property
    def moved(self) -> frozenset[str]:
        """The ions that may be added for their own sake: those wished for, and both of a ratio."""
        return frozenset((*self.spans_mg_L, *(RATIO_IONS if self.sulfate_to_chloride else ())))

    def without(self, ion: str) -> Wanted:
        """The same wish with one ion left out."""
        return attrs.evolve(
            self,
            ions_mg_L={name: amount for name, amount in self.ions_mg_L.items() if name != ion},
            ranges_mg_L={name: ends for name, ends in self.ranges_mg_L.items() if name != ion},
        )


def wanted_by(recipe: Recipe) -> Wanted:
    """What a recipe asks of its water."""
    return Wanted(
        ions_mg_L=dict(recipe.wanted_ions_mg_L),
        ranges_mg_L={ion: (low, high) for ion, low, high in recipe.wanted_ranges_mg_L},
        sulfate_to_chloride=recipe.sulfate_to_chloride,
    )


def as_wanted(wanted: Wanted | Mapping[str, float]) -> Wanted:
    """A wish; a mapping of ions is one for these amounts."""
    return wanted if isinstance(wanted, Wanted) else Wanted(ions_mg_L=dict(wanted))


def outside(value: float, low: float, high: float) -> float:
    """How far a value is outside a range."""
    return max(low - value, value - high, 0.0)


def span_words(low: float, high: float) -> str:
    """A range in words."""
    if low <= 0.0:
        return f"at most {high:.3g}"
    return f"at least {low:.3g}" if math.isinf(high) else f"{low:.3g} to {high:.3g}"


def ratio_of(sulfate_mg_L: float, chloride_mg_L: float) -> float | None:
    """Sulfate over chloride by mass; None where there is too little chloride to tell."""
    return sulfate_mg_L / chloride_mg_L if chloride_mg_L >= LEAST_CHLORIDE_MG_L else None


def ratio_note(band: tuple[float, float] | None, sulfate_mg_L: float, chloride_mg_L: float) -> list[str]:
    """A sentence where a wanted ratio is not met; else none."""
    if band is None:
        return []
    low, high = band
    most = high * chloride_mg_L if math.isfinite(high) else math.inf
    if outside(sulfate_mg_L, low * chloride_mg_L, most) <= RATIO_TOLD_MG_L:
        return []
    got = ratio_of(sulfate_mg_L, chloride_mg_L)
    said = "has next to no chloride" if got is None else f"comes to {got:.2g}"
    return [f"sulfate to chloride {said}, and {span_words(low, high)} was wanted"]
