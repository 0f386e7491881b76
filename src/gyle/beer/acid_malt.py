"""Acid malt: the one malt whose sheet states the acid in it."""

from __future__ import annotations

from gyle.beer.entries import ACID_MALT, buffering_estimate
from gyle.beer.estimate import Estimate
from gyle.beer.tables import fermentable

__all__ = ["acid_malt_acidity"]

# It titrates like 3.0 % of its mass in lactic acid: 341 mEq/kg up to pH 5.65 (Troester 2009, from memory: 310 to
# 360 up to pH 5.7). That a weaker or stronger one keeps the pH and has its buffering in proportion is ours.
USUAL_LACTIC_FRACTION = 0.03
STATED_LACTIC_SPREAD = 0.10  # relative, of a titration of the lot. Provenance: ours.


def acid_malt_acidity(lactic_fraction: float | None = None) -> tuple[Estimate, Estimate]:
    """Return the pH in distilled water and the buffering [mEq/(kg pH)] of an acid malt.

    Parameters
    ----------
    lactic_fraction : float, optional
        Lactic acid it titrates like, by mass; without it the usual acid malt is meant.
    """
    found = fermentable(ACID_MALT)
    assert found is not None  # its row is part of the program
    ph, buffering = found[0].distilled_ph, found[0].buffering_mEq_kg
    if lactic_fraction is None:
        return ph, buffering
    centre = buffering.centre * lactic_fraction / USUAL_LACTIC_FRACTION
    return ph, buffering_estimate(centre, STATED_LACTIC_SPREAD * centre, "stated")
