"""What a vessel holds, and the two operations everything else is made of: mixing and drawing off.

Amounts are masses in kg: a row a species, of one value for every draw or of one that holds for all. Contents
share the rows that a change leaves alone, so no row is ever written into. The hops are followed line by line:
what became of them stands in blocks, a row a line. Rows that are not masses are kept apart by their name's
first letter being ``~``: enzyme activity, colour, what the wort buffers and the totals of the
water's chemistry ride along with the liquor, are mixed and drawn off like anything dissolved, and are left
out of every mass sum (a litre of treated liquor holds about a gram of minerals).
"""

from __future__ import annotations

import functools
import operator
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
    "halfway",
    "hop_species",
    "less",
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

    __slots__ = ("count", "extract", "hops", "index", "mass", "minerals", "names", "plain", "solid")

    def __init__(self, names: tuple[str, ...]) -> None:
        self.names = names
        self.count = len(names)
        self.index: dict[str, int] = {name: row for row, name in enumerate(names)}
        self.hops = sum(name.endswith(".alpha") for name in names if name.startswith("hop."))
        self.plain = self.count - self.hops * len(_HOP_PARTS)  # rows of their own, before those in blocks
        self.mass = tuple(row for row, name in enumerate(names[: self.plain]) if not name.startswith("~"))
        self.solid = frozenset(row for row, name in enumerate(names) if name in _SOLIDS)
        self.extract = slice(self.index["malt.1.fermentable"], self.index["sugar.inert"] + 1)
        self.minerals = slice(len(BASE) + len(ACIDITY), len(BASE) + len(ACIDITY) + len(MINERALS))


@functools.lru_cache(maxsize=64)
def species(hop_additions: int, *, chemistry: bool = True) -> Species:
    """Return the species of a brew with so many hop additions; hop rows stand part by part.

    Without chemistry the rows of minerals and acidity are left out.
    """
    rows = [f"hop.{addition}.{part}" for part in _HOP_PARTS for addition in range(hop_additions)]
    return Species((*BASE, *((*ACIDITY, *MINERALS) if chemistry else ()), *rows))


def _nothing(*shape: int) -> Array:
    zeros = np.zeros(shape)
    zeros.setflags(write=False)
    return zeros


NOTHING = _nothing(1)  # known by identity: what is not there need not be reckoned with


@functools.lru_cache(maxsize=64)
def _no_hops(hop_additions: int) -> tuple[Array, ...]:
    return (_nothing(hop_additions, 1),) * len(_HOP_PARTS)


@attrs.frozen(eq=False)
class Content:
    """What a vessel holds at one moment.

    Parameters
    ----------
    species : Species
        What the rows are.
    rows : tuple of ndarray, (draws,) or (1,)
        Every species but those of the hops.
    hops : tuple of ndarray, (additions, draws) or (additions, 1)
        A block for each part of the hops, in the order of their names.
    temperature_C : ndarray
        Temperature, by draw or one for all.
    """

    species: Species
    rows: tuple[Array, ...]
    hops: tuple[Array, ...]
    temperature_C: Array

    @classmethod
    def of(cls, kinds: Species, amounts: Mapping[str, ArrayLike], *, temperature_C: ArrayLike = 20.0) -> Content:
        """Make a content from named amounts; scalars and draws broadcast together."""
        temperature = np.atleast_1d(np.asarray(temperature_C, dtype=np.float64))
        empty = cls(kinds, (NOTHING,) * kinds.plain, _no_hops(kinds.hops), temperature)
        return empty.changed(amounts) if amounts else empty

    @classmethod
    def of_array(cls, kinds: Species, amounts: Array, temperature_C: Array) -> Content:
        """Make a content from one array (species, draws); `amounts` gives it back."""
        blocks = amounts[kinds.plain :].reshape(len(_HOP_PARTS), kinds.hops, amounts.shape[1])
        return cls(kinds, tuple(amounts[: kinds.plain]), tuple(blocks), temperature_C)

    @property
    def amounts(self) -> Array:
        """All rows as one array (species, draws)."""
        rows = (*self.rows, *(row for block in self.hops for row in block))
        return np.array(np.broadcast_arrays(*rows))

    def __getitem__(self, name: str) -> Array:
        """The row of one species."""
        row = self.species.index[name]
        if row < self.species.plain:
            return self.rows[row]
        part, addition = divmod(row - self.species.plain, self.species.hops)
        line: Array = self.hops[part][addition]
        return line

    def part(self, name: str) -> Array:
        """Rows (additions, draws) of one part of the hops: "alpha", "iso", "lost", "latent", "bitter"."""
        return self.hops[_HOP_PARTS.index(name)]

    @property
    def minerals(self) -> Array:
        """Totals (12, draws) of the water's chemistry, in the order of `water_state.COMPONENTS`."""
        return np.array(np.broadcast_arrays(*self.rows[self.species.minerals]))

    @property
    def mass_kg(self) -> Array:
        """Total mass, tags left out."""
        total = _total(self.rows[row] for row in self.species.mass)
        for block in self.hops:
            total = total + block.sum(axis=0)
        return total

    @property
    def extract_kg(self) -> Array:
        """Everything dissolved that the hydrometer reads as extract."""
        return _total((*self.rows[self.species.extract], self["other"]))

    def malt_kg(self, lots: Iterable[str] = MASHED) -> Array:
        """Extract that came from these grists; from both mashes where none is named."""
        return _total(self[row] for lot in lots for row in _MALT[lot])

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
        kinds = self.species
        rows, hops = list(self.rows), list(self.hops)
        for name, value in changes.items():
            row, array = kinds.index[name], np.atleast_1d(np.asarray(value, dtype=np.float64))
            if row < kinds.plain:
                rows[row] = array
            else:
                part, addition = divmod(row - kinds.plain, kinds.hops)
                hops[part] = _replaced(hops[part], addition, array)
        return Content(kinds, tuple(rows), tuple(hops), self.temperature_C if temperature_C is None else temperature_C)

    def with_parts(self, parts: Mapping[str, Array]) -> Content:
        """Return the content with whole parts of the hops replaced."""
        hops = tuple(parts.get(name, block) for name, block in zip(_HOP_PARTS, self.hops, strict=True))
        return Content(self.species, self.rows, hops, self.temperature_C)

    def scaled(self, factor: Array, *, solids: bool = False) -> Content:
        """Return so many times the content; without `solids`, what lies in the liquor is left as it is."""
        kept = frozenset[int]() if solids else self.species.solid
        rows = (values if values is NOTHING or row in kept else values * factor for row, values in enumerate(self.rows))
        hops = (block * factor for block in self.hops)
        return Content(self.species, tuple(rows), tuple(hops), self.temperature_C)

    def at(self, temperature_C: ArrayLike) -> Content:
        """Return the content at another temperature."""
        warm = np.atleast_1d(np.asarray(temperature_C, dtype=np.float64))
        return Content(self.species, self.rows, self.hops, warm)


def _sum(one: Array, two: Array) -> Array:
    return two if one is NOTHING else one if two is NOTHING else one + two


def _difference(one: Array, two: Array) -> Array:
    return NOTHING if one is two else one if two is NOTHING else one - two


def _middle(one: Array, two: Array) -> Array:
    return one if one is two else (one + two) / 2.0


def _total(rows: Iterable[Array]) -> Array:
    return functools.reduce(_sum, rows, NOTHING)


def _replaced(block: Array, addition: int, row: Array) -> Array:
    """A block with one of its rows replaced."""
    new = np.empty((block.shape[0], max(block.shape[1], row.size)))
    new[:] = block
    new[addition] = row
    return new


def mix(first: Content, second: Content, *, temperature_C: Array | None = None) -> Content:
    """Pour two contents together.

    Without a temperature the masses' weighted mean is taken: enough for cold additions; hot mixing is
    balanced with its heat capacities where it happens.
    """
    rows = tuple(map(_sum, first.rows, second.rows))
    hops = tuple(map(operator.add, first.hops, second.hops))
    if temperature_C is None:
        one, two = first.mass_kg, second.mass_kg
        weight = one / np.maximum(one + two, 1e-12)
        temperature_C = weight * first.temperature_C + (1.0 - weight) * second.temperature_C
    return Content(first.species, rows, hops, temperature_C)


def less(whole: Content, part: Content) -> Content:
    """What a content is without a part of it."""
    rows = tuple(map(_difference, whole.rows, part.rows))
    hops = tuple(map(operator.sub, whole.hops, part.hops))
    return Content(whole.species, rows, hops, whole.temperature_C)


def halfway(one: Content, other: Content) -> Content:
    """The mean of two contents that were one."""
    rows, hops = tuple(map(_middle, one.rows, other.rows)), tuple(map(_middle, one.hops, other.hops))
    return Content(one.species, rows, hops, one.temperature_C)


def share_beyond(volume_L: Array, kept_L: Array) -> Array:
    """Share of a volume that runs off when so many litres of it are kept."""
    return np.clip(1.0 - kept_L / np.maximum(volume_L, 1e-9), 0.0, 1.0)


def draw_off(content: Content, fraction: ArrayLike, *, solids: bool = False) -> tuple[Content, Content]:
    """Draw a fraction of the liquor (with `solids`, of everything); return (drawn, left)."""
    share = np.atleast_1d(np.asarray(fraction, dtype=np.float64))
    stays = frozenset[int]() if solids else content.species.solid
    rows = (NOTHING if values is NOTHING or row in stays else values * share for row, values in enumerate(content.rows))
    hops = (block * share for block in content.hops)
    drawn = Content(content.species, tuple(rows), tuple(hops), content.temperature_C)
    return drawn, less(content, drawn)
