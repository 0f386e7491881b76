"""What a vessel holds, and the two operations everything else is made of: mixing and drawing off.

Amounts are masses in kg, one row a species, one column a draw. Rows that are not masses are kept apart by
their name's first letter being ``~``: enzyme activity, colour, what the wort buffers and the totals of the
water's chemistry ride along with the liquor, are mixed and drawn off like anything dissolved, and are left
out of every mass sum (a litre of treated liquor holds about a gram of minerals).
"""

from __future__ import annotations

import functools
from collections.abc import Iterable, Mapping

import attrs
import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.science.extract import specific_gravity
from gyle.science.water_state import COMPONENTS

__all__ = [
    "ACIDITY",
    "BASE",
    "LOTS",
    "MINERALS",
    "THICKEST_PCT",
    "WATER_KG_L",
    "Array",
    "Content",
    "Species",
    "draw_off",
    "hop_species",
    "mix",
    "share_beyond",
    "species",
]

Array = NDArray[np.float64]

# The density tables end here. A candidate this strong is no wort: plans that need one are refused, but the
# run that finds it out must not stop.
THICKEST_PCT = 45.9
WATER_KG_L = 0.9982012  # water at 20 °C, the volume basis of every litre here

# Extract by origin. "1" and "2" are the grists of the first and second mash, "kettle" malt extract from a pack.
LOTS = ("1", "2", "kettle")
MASHED = ("1", "2")
_MALT = {lot: tuple(f"malt.{lot}.{part}" for part in ("fermentable", "convertible", "inert")) for lot in LOTS}
_EXTRACT = (
    *(row for rows in _MALT.values() for row in rows),
    "sugar.disaccharide",
    "sugar.monosaccharide",
    "sugar.inert",
)
_SOLIDS = ("starch.1", "starch.2", "husk", "hop matter", "yeast")
# Totals of the water's chemistry [mmol; alkalinity mEq], in the order of `water_state.COMPONENTS`.
MINERALS = tuple(f"~{component}" for component in COMPONENTS)
# Wort pulls towards a pH of its own: its buffering [mEq/pH], and that times the pH; both add where worts mix.
ACIDITY = ("~buffer", "~buffer ph")
_TAGS = ("~beta", "~alpha", "~grist", "~colour")
BASE = ("water", *_EXTRACT, "other", "ethanol", "carbon dioxide", *_SOLIDS, *_TAGS)

_HOP_PARTS = ("alpha", "iso", "lost", "latent", "bitter")


def hop_species(addition: int) -> tuple[str, ...]:
    """Names of the species one hop addition brings: what it was, became, lost, may give, gave."""
    return tuple(f"hop.{addition}.{part}" for part in _HOP_PARTS)


class Species:
    """An ordered set of species names and where the groups of them stand; made once, shared, compared by identity."""

    __slots__ = ("count", "dissolved", "extract", "hops", "index", "mass", "minerals", "names", "part")

    def __init__(self, names: tuple[str, ...]) -> None:
        self.names = names
        self.count = len(names)
        self.index: dict[str, int] = {name: row for row, name in enumerate(names)}
        self.mass: NDArray[np.bool_] = np.array([not name.startswith("~") for name in names])
        self.dissolved: Array = np.array([float(name not in _SOLIDS) for name in names])
        self.extract = slice(self.index["malt.1.fermentable"], self.index["sugar.inert"] + 1)
        self.minerals = slice(len(BASE) + len(ACIDITY), len(BASE) + len(ACIDITY) + len(MINERALS))
        self.hops = sum(name.endswith(".alpha") for name in names if name.startswith("hop."))
        first = self.count - self.hops * len(_HOP_PARTS)
        self.part: dict[str, slice] = {
            part: slice(first + place * self.hops, first + (place + 1) * self.hops)
            for place, part in enumerate(_HOP_PARTS)
        }


@functools.lru_cache(maxsize=64)
def species(hop_additions: int, *, chemistry: bool = True) -> Species:
    """Return the species of a brew with so many hop additions; hop rows stand part by part.

    Without chemistry the rows of minerals and acidity are left out.
    """
    rows = [f"hop.{addition}.{part}" for part in _HOP_PARTS for addition in range(hop_additions)]
    return Species((*BASE, *((*ACIDITY, *MINERALS) if chemistry else ()), *rows))


@attrs.frozen(eq=False)
class Content:
    """What a vessel holds at one moment: amounts (species, draws) and a temperature (draws)."""

    species: Species
    amounts: Array
    temperature_C: Array

    @classmethod
    def of(cls, kinds: Species, amounts: Mapping[str, ArrayLike], *, temperature_C: ArrayLike = 20.0) -> Content:
        """Make a content from named amounts; scalars and draws broadcast together."""
        temperature = np.atleast_1d(np.asarray(temperature_C, dtype=np.float64))
        width = np.broadcast_shapes(temperature.shape, *(np.shape(value) for value in amounts.values()))
        array = np.zeros((kinds.count, *width))
        for name, value in amounts.items():
            array[kinds.index[name]] += value
        return cls(kinds, array, temperature)

    def __getitem__(self, name: str) -> Array:
        """The row of one species."""
        row: Array = self.amounts[self.species.index[name]]
        return row

    def part(self, name: str) -> Array:
        """Rows (additions, draws) of one part of the hops: "alpha", "iso", "lost", "latent", "bitter"."""
        rows: Array = self.amounts[self.species.part[name]]
        return rows

    @property
    def minerals(self) -> Array:
        """Totals (12, draws) of the water's chemistry, in the order of `water_state.COMPONENTS`."""
        rows: Array = self.amounts[self.species.minerals]
        return rows

    @property
    def mass_kg(self) -> Array:
        """Total mass, tags left out."""
        total: Array = self.amounts[self.species.mass].sum(axis=0)
        return total

    @property
    def extract_kg(self) -> Array:
        """Everything dissolved that the hydrometer reads as extract."""
        total: Array = self.amounts[self.species.extract].sum(axis=0)
        total += self["other"]
        return total

    def malt_kg(self, lots: Iterable[str] = MASHED) -> Array:
        """Extract that came from these grists; from both mashes where none is named."""
        total: Array = sum((self[row] for lot in lots for row in _MALT[lot]), start=np.zeros(1))
        return total

    @property
    def liquid_kg(self) -> Array:
        """Mass of the solution: water, extract, alcohol; what hops dissolve is too little to count."""
        return self["water"] + self.extract_kg + self["ethanol"]

    @property
    def extract_pct(self) -> Array:
        """Grams of extract in 100 g of solution [°P]."""
        extract = self.extract_kg
        result: Array = 100.0 * extract / np.maximum(self["water"] + self["ethanol"] + extract, 1e-12)
        return result

    @property
    def gravity_sg(self) -> Array:
        """Specific gravity 20/20 of wort; beer holds alcohol and is measured in the fermenter's module."""
        return specific_gravity(np.minimum(self.extract_pct, THICKEST_PCT))

    @property
    def volume_L(self) -> Array:
        """Volume of the wort at 20 °C."""
        extract = self.extract_kg
        liquid = self["water"] + self["ethanol"] + extract
        gravity = specific_gravity(np.minimum(100.0 * extract / np.maximum(liquid, 1e-12), THICKEST_PCT))
        return liquid / (gravity * WATER_KG_L)

    def changed(self, changes: Mapping[str, ArrayLike], *, temperature_C: Array | None = None) -> Content:
        """Return the content with some rows replaced."""
        amounts = self._widened(changes.values())
        for name, value in changes.items():
            amounts[self.species.index[name]] = value
        return Content(self.species, amounts, self.temperature_C if temperature_C is None else temperature_C)

    def _widened(self, values: Iterable[ArrayLike]) -> Array:
        width = np.broadcast_shapes(self.amounts.shape[1:], *(np.shape(value) for value in values))
        if width == self.amounts.shape[1:]:
            return self.amounts.copy()
        return np.array(np.broadcast_to(self.amounts, (self.species.count, *width)))

    def at(self, temperature_C: ArrayLike) -> Content:
        """Return the content at another temperature."""
        return Content(self.species, self.amounts, np.atleast_1d(np.asarray(temperature_C, dtype=np.float64)))


def mix(first: Content, second: Content, *, temperature_C: Array | None = None) -> Content:
    """Pour two contents together.

    Without a temperature the masses' weighted mean is taken: enough for cold additions; hot mixing is
    balanced with its heat capacities where it happens.
    """
    amounts = first.amounts + second.amounts
    if temperature_C is None:
        one, two = first.mass_kg, second.mass_kg
        weight = one / np.maximum(one + two, 1e-12)
        temperature_C = weight * first.temperature_C + (1.0 - weight) * second.temperature_C
    return Content(first.species, amounts, temperature_C)


def share_beyond(volume_L: Array, kept_L: Array) -> Array:
    """Share of a volume that runs off when so many litres of it are kept."""
    return np.clip(1.0 - kept_L / np.maximum(volume_L, 1e-9), 0.0, 1.0)


def draw_off(content: Content, fraction: ArrayLike, *, solids: bool = False) -> tuple[Content, Content]:
    """Draw a fraction of the liquor (with `solids`, of everything); return (drawn, left)."""
    share = np.atleast_1d(np.asarray(fraction, dtype=np.float64))
    drawn = content.amounts * (share if solids else content.species.dissolved[:, None] * share)
    temperature = content.temperature_C
    return (
        Content(content.species, drawn, temperature),
        Content(content.species, content.amounts - drawn, temperature),
    )
