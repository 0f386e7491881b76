"""What lies in the store: lots with their own figures, packs as sold, prices, instruments."""

from __future__ import annotations

import datetime

import attrs

from gyle.beer.estimate import Estimate

__all__ = ["Instrument", "Lot", "Stock"]


@attrs.frozen(kw_only=True)
class Lot:
    """One thing at hand."""

    what: str
    lot: str = ""
    alpha_fraction: Estimate | None = None
    analysed: datetime.date | None = None
    form: str = ""
    mass_kg: float | None = None
    pack_kg: float | None = None
    price_per_kg: float | None = None
    currency: str = ""


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
