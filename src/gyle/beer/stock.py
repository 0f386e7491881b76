"""What lies in the store: lots with their own figures, packs as sold, prices, instruments."""

from __future__ import annotations

import datetime

import attrs

from gyle.beer.acid_malt import acid_malt_acidity
from gyle.beer.estimate import Estimate
from gyle.beer.ingredient import Fermentable
from gyle.beer.mineral import Mineral

__all__ = ["Instrument", "Lot", "Stock"]


@attrs.frozen(kw_only=True)
class Lot:
    """One thing at hand."""

    what: str
    lot: str = ""
    alpha_fraction: Estimate | None = None
    distilled_ph: Estimate | None = None  # of a malt, in distilled water, read cool
    buffering_mEq_kg: Estimate | None = None  # mEq/(kg pH)
    lactic_fraction: float | None = None  # lactic acid that an acid malt titrates like; it sets the two above
    analysed: datetime.date | None = None
    form: str = ""
    mass_kg: float | None = None
    pack_kg: float | None = None
    mineral: Mineral | None = None  # what it is to water, at this lot's strength
    price_per_kg: float | None = None
    currency: str = ""

    def acidity_on(self, malt: Fermentable) -> Fermentable:
        """Return a recipe's malt with the acidity that this lot states, if it does."""
        ph, buffering = self.distilled_ph, self.buffering_mEq_kg
        if ph is None and buffering is None:
            return malt
        if malt.lactic_fraction is not None:  # what the recipe said of both no longer holds for either
            usual_ph, usual_buffering = acid_malt_acidity()
            malt = attrs.evolve(malt, distilled_ph=usual_ph, buffering_mEq_kg=usual_buffering)
        return attrs.evolve(
            malt,
            distilled_ph=ph or malt.distilled_ph,
            buffering_mEq_kg=buffering or malt.buffering_mEq_kg,
            lactic_fraction=self.lactic_fraction,
        )


@attrs.frozen(kw_only=True)
class Instrument:
    """A measuring instrument, its error (one standard deviation) and known offset, in its own unit."""

    name: str
    error: float
    offset: float = 0.0
    unit: str = ""


@attrs.frozen(kw_only=True)
class Stock:
    """The store."""

    lots: tuple[Lot, ...] = ()
    instruments: tuple[Instrument, ...] = ()

    def lot(self, what: str) -> Lot | None:
        """The first lot of a thing, by its name without regard to case."""
        return next((lot for lot in self.lots if lot.what.casefold() == what.casefold()), None)
