"""Salts, acids and bases a brewer has at hand: what an amount brings, how strong it is, how to handle it."""

from __future__ import annotations

import csv
import functools
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Literal, cast

import attrs
import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.beer.estimate import Estimate
from gyle.beer.mineral_handling import HANDLING
from gyle.beer.solution_density import mass_fraction_of_w_v, solution_density_kg_L
from gyle.beer.tables import name_key
from gyle.errors import BadInput
from gyle.science.acids import ACIDS, acid_totals
from gyle.science.ranges import within
from gyle.science.salts import SALTS, salt_totals
from gyle.science.water_ions import MOLAR_MASS
from gyle.science.water_state import COMPONENTS

__all__ = ["Mineral", "handling_of", "mineral_of", "minerals"]

Array = NDArray[np.float64]
_Row = dict[str, str]

_ION_G_MOL = MOLAR_MASS | {"citrate": 189.099}  # citric acid less three protons
_NO_IONS = ("alkalinity", "carbon")
MOST_AMOUNT = 1e7  # g or mL
MOST_SHARE = 1.1  # a salt that has lost water is more than pure
LEAST_SOLUTION_PCT = 1.0
DRY_PCT = (50.0, 100.0)

_PERCENT = re.compile(
    r"(?i)(\d+(?:[.,]\d+)?)\s*(?:%|pct\b|per\s?cent\b)"
    r"(?:\s*\(?\s*(w/w|m/m|w/v|m/v|v/v|vol\b|by\s+(?:mass|weight|volume)\b))?"
)
_BY_MASS = ("", "w/w", "m/m", "by mass", "by weight")
_IN_A_VOLUME = ("w/v", "m/v")
_FILLERS = frozenset(
    {"food", "grade", "pure", "fine", "powder", "powdered", "granules", "granular", "crystals", "flakes", "pellets"}
)


@attrs.frozen(kw_only=True)
class Mineral:
    """A salt, acid or base as it is weighed or measured.

    `strength_fraction` is the mass fraction that is the substance as keyed: the purity of a dry one, the acid
    or salt in a solution. `most_g_L` counts grams of that substance to a litre of liquor. Calcium hydroxide
    is the one base; carbonates and bicarbonates are salts.
    """

    name: str
    kind: Literal["salt", "acid", "base"]
    key: str  # in `science.salts.SALTS` or `science.acids.ACIDS`
    unit: Literal["g", "mL"]
    strength_fraction: Estimate
    density_kg_L: float | None = None  # of a solution at 20 °C
    most_g_L: float
    handling: str = ""
    usual: bool = False  # on most brewers' shelves
    common: str = attrs.field(default="", eq=False)  # what the tub says
    note: str = attrs.field(default="", eq=False)  # worth saying where it is read
    provenance: str = attrs.field(default="", eq=False)

    @property
    def slug(self) -> str:
        """The name under which its strength is filed, such as "lactic-acid-80"."""
        return name_key(self.name).replace(" ", "-")

    @property
    def spoken(self) -> str:
        """What a brewer calls it: the tub's word where there is one."""
        return self.common if self.common and self.name[-1] != "%" else self.name

    @property
    def molar_mass_g_mol(self) -> float:
        """Molar mass of the substance as keyed."""
        return ACIDS[self.key].molar_mass_g_mol if self.kind == "acid" else SALTS[self.key].molar_mass_g_mol

    def measured(self, *, mass_kg: float | None = None, volume_L: float | None = None) -> float:
        """Return a mass or a volume as an amount in this mineral's own unit [g or mL].

        Raises
        ------
        BadInput
            If there is neither, or a dry one is given by volume.
        """
        if mass_kg is not None:
            return 1000.0 * mass_kg / (self.density_kg_L or 1.0)
        if volume_L is None or self.density_kg_L is None:
            raise BadInput(f"{self.name} is dry and is weighed; write a mass in grams")
        return 1000.0 * volume_L

    def substance_g(self, amount: float) -> float:
        """Return the grams of the substance as keyed in an amount, at the centre strength."""
        return amount * (self.density_kg_L or 1.0) * self.strength_fraction.centre

    def totals_mmol(self, amount: ArrayLike, strength: ArrayLike | None = None) -> Array:
        """Return what an amount adds to the totals of a water, all of it dissolved.

        Parameters
        ----------
        amount : array_like of float, any shape
            Amount [g or mL, by `unit`]; 0 to 1e7.
        strength : array_like of float, broadcasting, optional
            Mass fraction, instead of the centre of `strength_fraction`; 0 to 1.1. The density stays.

        Returns
        -------
        ndarray of float64, (12, *broadcast shape)
            In the order of `water_state.COMPONENTS` [mmol, alkalinity mEq]. An acid takes a milliequivalent
            of alkalinity for each proton of its molecule, also those its anion will keep.

        Raises
        ------
        OutOfRange
            If a value is not a number in its range.
        """
        share = self.strength_fraction.centre if strength is None else strength
        grams = within(amount, 0.0, MOST_AMOUNT, what=f"{self.name} [{self.unit}]") * (self.density_kg_L or 1.0)
        grams = grams * within(share, 0.0, MOST_SHARE, what=f"strength of {self.name}")
        return np.multiply.outer(_totals_of_gram(self.kind, self.key), grams)

    def ions_mg_per_unit(self) -> dict[str, float]:
        """Return the ions in a gram or millilitre, in milligrams, at the centre strength."""
        found = zip(COMPONENTS, self.totals_mmol(1.0).tolist(), strict=True)
        return {ion: mmol * _ION_G_MOL[ion] for ion, mmol in found if mmol and ion not in _NO_IONS}

    def alkalinity_mEq_per_unit(self) -> float:
        """Return the alkalinity a gram or millilitre adds, at the centre strength; below zero for acids."""
        return float(self.totals_mmol(1.0)[COMPONENTS.index("alkalinity")])


@functools.cache
def _totals_of_gram(kind: str, key: str) -> Array:
    """What a gram of a pure substance adds to the totals of a water; it is linear in the grams."""
    if kind == "acid":
        return acid_totals(key, 1000.0 / ACIDS[key].molar_mass_g_mol)
    return salt_totals(key, 1.0, purity=1.0)


@functools.cache
def _rows() -> dict[str, _Row]:
    text = (Path(__file__).parent / "data" / "minerals.csv").read_text(encoding="utf-8")
    return {row["name"]: row for row in csv.DictReader(text.splitlines())}


def _key(name: str) -> str:
    return name_key(name).replace("sulph", "sulf")


@functools.cache
def _keys() -> dict[str, tuple[str, bool]]:
    """From every key to a row's name, and whether the key leaves the form open."""
    keys: dict[str, tuple[str, bool]] = {}
    for name, row in _rows().items():
        for column, open_form in (("aliases", False), ("bare_names", True)):
            keys |= {_key(other): (name, open_form) for other in row[column].split(";") if other.strip()}
    return keys | {_key(name): (name, False) for name in _rows()}


def _found(plain: str) -> tuple[str, bool] | None:
    key = _key(plain)
    return _keys().get(key) or _keys().get(" ".join(word for word in key.split() if word not in _FILLERS))


def _points(row: _Row) -> tuple[tuple[float, float], ...]:
    pairs = (point.split(":") for point in row["densities_kg_L"].split(";"))
    return tuple((float(percent) / 100.0, float(density)) for percent, density in pairs)


def _solution(row: _Row, percent: float | None, *, in_a_volume: bool, said: str) -> Mineral:
    """Return a solution of a stated strength, by mass or in a volume."""
    points = _points(row)
    most = 100.0 * points[-1][0]
    if percent is None:
        usual = row["shelf_pct"].split(";")[0]
        raise BadInput(f'how strong is the {said}? Write strength = "{usual} %", by mass, as its label says')
    fraction = percent / 100.0
    if in_a_volume:
        most *= points[-1][1]
    if not LEAST_SOLUTION_PCT <= percent <= most:
        basis = "w/v" if in_a_volume else "by mass"
        raise BadInput(
            f"{said} is {percent:g} % strong by what is written, and {LEAST_SOLUTION_PCT:g} to {most:.3g} % {basis} "
            "was wanted"
        )
    if in_a_volume:
        fraction = mass_fraction_of_w_v(fraction, points)
    strong = bool(row["strong_above_pct"]) and 100.0 * fraction > float(row["strong_above_pct"])
    return _mineral(
        row,
        name=f"{row['name']} {percent:g} %" + (" w/v" if in_a_volume else ""),
        strength=Estimate(
            centre=fraction,
            spread=fraction * float(row["relative_sd_pct"]) / 100.0,
            low=0.0,
            high=1.0,
            source="stated",
        ),
        density_kg_L=solution_density_kg_L(fraction, points),
        usual=not in_a_volume and f"{percent:g}" in row["usual"].split(";"),
        handling=HANDLING[row["strong_handling"] if strong else row["handling"]],
    )


def _dry(row: _Row, percent: float | None, *, in_a_volume: bool, said: str) -> Mineral:
    """Return a dry one, at its usual or a stated purity; one below the usual is of an opened pot."""
    usual = float(row["purity_pct"])
    stated = usual if percent is None else percent
    if in_a_volume or not DRY_PCT[0] <= stated <= DRY_PCT[1]:
        solution = " ".join((*row["name"].split()[:2], "solution"))
        other = f'; one in water is written "{solution}"' if solution in _rows() else ""
        raise BadInput(
            f"{said} is {stated:g} % by what is written, and dry it is {DRY_PCT[0]:g} to {DRY_PCT[1]:g} % pure by mass"
            f"{other}"
        )
    spread = float(row["opened_sd_pct" if stated < usual else "purity_sd_pct"])
    return _mineral(
        row,
        name=row["name"] if stated == usual else f"{row['name']} {stated:g} %",
        strength=Estimate(
            centre=stated / 100.0,
            spread=spread / 100.0,
            low=0.0,
            high=1.0,
            source="table" if percent is None else "stated",
        ),
        density_kg_L=None,
        usual=row["usual"] == "yes",
        handling=HANDLING[row["handling"]],
    )


def _mineral(
    row: _Row, *, name: str, strength: Estimate, density_kg_L: float | None, usual: bool, handling: str
) -> Mineral:
    return Mineral(
        name=name,
        kind=cast(Literal["salt", "acid", "base"], row["kind"]),
        key=row["key"],
        unit=cast(Literal["g", "mL"], row["unit"]),
        strength_fraction=strength,
        density_kg_L=density_kg_L,
        most_g_L=float(row["most_g_L"]),
        handling=handling,
        usual=usual,
        note=row["note"],
        common=row["common"],
        provenance=row["provenance"],
    )


@functools.lru_cache(maxsize=512)
def mineral_of(what: str, strength_pct: float | None = None) -> Mineral | None:
    """Return a salt, acid or base by its name or a usual other name; None if it is none.

    Parameters
    ----------
    what : str
        Such as "gypsum", "lactic acid 80 %", "phosphoric acid 10 % w/v".
    strength_pct : float, optional
        Mass of the substance as named, in per cent of what is weighed or measured, where its name does not say.

    Raises
    ------
    BadInput
        If a solution's strength is not said, is said twice, or is none that it can have.
    """
    match = _PERCENT.search(what)
    plain = what if match is None else f"{what[: match.start()]} {what[match.end() :]}"
    found = _found(plain)
    if found is None:
        number = next((word for word in _key(plain).split() if word.isdigit()), None)
        if match is None and number and _found(" ".join(word for word in _key(plain).split() if word != number)):
            raise BadInput(f'what is the {number} of "{what}"? Write a strength as "{number} %", or leave it out')
        return None
    basis = " ".join((match[2] or "").lower().split()) if match else ""
    if basis not in _BY_MASS and basis not in _IN_A_VOLUME:
        raise BadInput(f"the strength of {what} is by volume; write it by mass, as its label or data sheet says")
    percent = float(match[1].replace(",", ".")) if match else strength_pct
    if match and strength_pct is not None and percent != strength_pct:
        raise BadInput(f"{what} has {percent:g} % in its name and {strength_pct:g} % as its strength; keep one of them")
    name, open_form = found
    row = _rows()[name]
    build = _solution if row["densities_kg_L"] else _dry
    mineral = build(row, percent, in_a_volume=basis in _IN_A_VOLUME, said=" ".join(plain.split()))
    if not open_form:
        return mineral
    note = f"{what} is taken as {name}; with other crystal water a gram brings another amount."
    return attrs.evolve(mineral, note=note)


@functools.cache
def minerals() -> tuple[Mineral, ...]:
    """Return every one of the table, solutions at the strengths they are sold at; `usual` marks the common."""
    found: list[Mineral | None] = []
    for name, row in _rows().items():
        strengths = row["shelf_pct"].split(";") if row["shelf_pct"] else [""]
        found += [mineral_of(name, float(percent) if percent else None) for percent in strengths]
    return tuple(mineral for mineral in found if mineral is not None)


def handling_of(minerals: Iterable[Mineral]) -> tuple[str, ...]:
    """Return how to handle some of them, each sentence once, in their order."""
    return tuple(dict.fromkeys(mineral.handling for mineral in minerals if mineral.handling))
