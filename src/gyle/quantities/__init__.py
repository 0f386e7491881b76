"""The only place where text becomes a number with a unit, and a number becomes text."""

from __future__ import annotations

from gyle.quantities.quantity import Gravity, Quantity
from gyle.quantities.reading import kinds, read, read_gravity, units
from gyle.quantities.speaking import speak, speaking, spoken
from gyle.quantities.writing import BandText, band_text, convert, unit_for, write, write_band

__all__ = [
    "BandText",
    "Gravity",
    "Quantity",
    "band_text",
    "convert",
    "kinds",
    "read",
    "read_gravity",
    "speak",
    "speaking",
    "spoken",
    "unit_for",
    "units",
    "write",
    "write_band",
]
