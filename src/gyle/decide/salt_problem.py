"""What the choice of salts starts from, and what comes of it, as plain data.

Everything is stated by the amount the brewer weighs or measures: a dose is a whole number of the scale's
steps, in grams or, for solutions, in millilitres. Alkalinity is an amount like the ions, in mEq/L.
"""

from __future__ import annotations

from collections.abc import Mapping

import attrs

from gyle.science.water_ions import CHARGE, MOLAR_MASS

__all__ = [
    "INFINITE",
    "PLACES",
    "PURE_WATER",
    "SPARGE_ALKALINITY",
    "WHOLE",
    "Acid",
    "CHARGE_mEq_mg",
    "Choice",
    "Dilution",
    "Dose",
    "Limit",
    "Miss",
    "Problem",
    "ProtonBalance",
    "Ratio",
    "Salt",
    "Volumes",
    "Water",
    "Wish",
]

INFINITE = float("inf")
PLACES = ("mash", "sparge", "kettle")
WHOLE = "whole"

_STRONG = ("calcium", "magnesium", "sodium", "potassium", "chloride", "sulfate", "nitrate")
CHARGE_mEq_mg: Mapping[str, float] = {
    **{ion: CHARGE[ion] / MOLAR_MASS[ion] for ion in _STRONG},
    # Brought by acids; what charge they carry depends on the pH and is counted with the acid.
    "lactate": 0.0,
    "phosphate": 0.0,
    "citrate": 0.0,
}
"""The ions that can be asked for, with the charge each carries [mEq per mg]."""


@attrs.frozen(kw_only=True)
class Water:
    """A water's ions [mg/L] and its alkalinity [mEq/L]."""

    ions_mg_L: Mapping[str, float]
    alkalinity_mEq_L: float


PURE_WATER = Water(ions_mg_L=dict.fromkeys(CHARGE_mEq_mg, 0.0), alkalinity_mEq_L=0.0)


@attrs.frozen(kw_only=True)
class Volumes:
    """The liquor in each place, at 20 °C; into the kettle only what is added there as water."""

    mash_L: float
    sparge_L: float = 0.0
    kettle_L: float = 0.0

    @property
    def whole_L(self) -> float:
        """All the liquor."""
        return self.mash_L + self.sparge_L + self.kettle_L

    def at_L(self, place: str) -> float:
        """The liquor in one place, or the whole."""
        return {"mash": self.mash_L, "sparge": self.sparge_L, "kettle": self.kettle_L}.get(place, self.whole_L)


@attrs.frozen(kw_only=True)
class Salt:
    """A salt at hand; a unit is a gram, or a millilitre of a solution.

    Parameters
    ----------
    name : str
        What it is called.
    ions_mg_per_unit : mapping of str to float
        What a unit brings [mg].
    alkalinity_mEq_per_unit : float
        The alkalinity a unit brings [mEq]; the ions and this together carry no charge.
    step_units, most_units : float
        What the scale can tell apart, and the most that may be used in all places together.
    unit : str
        "g" or "mL".
    places : tuple of str
        Where it may go: "mash", "sparge", "kettle".
    """

    name: str
    ions_mg_per_unit: Mapping[str, float]
    alkalinity_mEq_per_unit: float = 0.0
    step_units: float = 0.1
    most_units: float
    unit: str = "g"
    places: tuple[str, ...] = ("mash", "sparge")


@attrs.frozen(kw_only=True)
class Acid:
    """An acid at hand, as strong as it is at the aimed pH; `brings_mg_per_mL` counts towards the ions."""

    name: str
    mEq_per_mL: float
    brings_mg_per_mL: Mapping[str, float] = attrs.field(factory=dict)
    step_mL: float = 0.1
    most_mL: float
    places: tuple[str, ...] = ("mash", "sparge")


@attrs.frozen(kw_only=True)
class Dilution:
    """A second water that may replace a share of the first, in every place alike."""

    water: Water = PURE_WATER
    step_share: float = 0.05
    most_share: float = 1.0


def _names(value: str | tuple[str, ...]) -> tuple[str, ...]:
    return (value,) if isinstance(value, str) else tuple(value)


@attrs.frozen(kw_only=True)
class Wish:
    """An amount to come near to: a figure (`low` equal to `high`) or a band.

    Parameters
    ----------
    what : str
        An ion [mg/L] or "alkalinity" [mEq/L].
    low, high : float
        The band outside which it misses; -inf or inf leaves a side open.
    tolerance : float
        The miss that counts as one, in the same unit.
    weight : float
        How much a miss counts against those of other wishes.
    at : str
        The liquor meant: "whole" (all of it, with what goes into the kettle), "mash", "sparge" or "kettle".
    """

    what: str
    low: float
    high: float
    tolerance: float
    weight: float = 1.0
    at: str = WHOLE


@attrs.frozen(kw_only=True)
class Limit:
    """A bound that must hold on an ion, on alkalinity, or on a sum of ions, in one place or the whole."""

    what: tuple[str, ...] = attrs.field(converter=_names)
    low: float = -INFINITE
    high: float = INFINITE
    at: str = WHOLE


@attrs.frozen(kw_only=True)
class Ratio:
    """The wanted sulfate-to-chloride ratio by mass, as a band; the miss is sulfate outside it [mg/L].

    With `must`, the band is a limit instead of a wish.
    """

    low: float
    high: float
    tolerance_mg_L: float = 20.0
    weight: float = 1.0
    must: bool = False


@attrs.frozen(kw_only=True)
class ProtonBalance:
    """What the mash holds at the aimed pH beyond what that pH asks for; at a fixed pH it is linear in every dose.

    ``start_mEq + dilution_mEq * share + sum(per_unit_mEq * dose into the mash)`` is to be nought: above it the
    mash is too alkaline, below it too acid.

    Parameters
    ----------
    start_mEq : float
        With the source water alone and no dose [mEq].
    dilution_mEq : float
        The change when all of the mash liquor is the second water [mEq].
    per_unit_mEq : mapping of str to float
        The change per gram or millilitre into the mash, by the dose's name [mEq].
    slack_mEq : float
        How far from nought is allowed: the mash's buffering times the pH allowed either way.
    tolerance_mEq : float or None
        When given, being off nought also counts as a miss, with this as one.
    weight : float
        How much that miss counts.
    """

    start_mEq: float
    dilution_mEq: float = 0.0
    per_unit_mEq: Mapping[str, float]
    slack_mEq: float
    tolerance_mEq: float | None = None
    weight: float = 1.0


SPARGE_ALKALINITY = Wish(what="alkalinity", low=-INFINITE, high=0.5, tolerance=0.5, at="sparge")
"""Sparge water below 0.5 mEq/L (25 mg/L as calcium carbonate): common practice, for what the husks give up."""


@attrs.frozen(kw_only=True)
class Problem:
    """Everything the choice of doses depends on; `most_salts` counts kinds of salt, acids apart."""

    source: Water
    volumes: Volumes
    wishes: tuple[Wish, ...]
    limits: tuple[Limit, ...] = ()
    salts: tuple[Salt, ...] = ()
    acids: tuple[Acid, ...] = ()
    dilution: Dilution | None = None
    ratio: Ratio | None = None
    mash: ProtonBalance | None = None
    most_salts: int | None = None


@attrs.frozen(kw_only=True)
class Dose:
    """One thing to weigh or measure into one place; its kind is "salt" or "acid"."""

    what: str
    kind: str
    into: str
    amount: float
    unit: str


@attrs.frozen(kw_only=True)
class Miss:
    """How near one wish is met; `scaled` is the weighted miss over its tolerance."""

    what: str
    at: str
    low: float
    high: float
    got: float
    scaled: float


@attrs.frozen(kw_only=True)
class Choice:
    """The doses, and how well they meet the wishes.

    Parameters
    ----------
    doses : tuple of Dose
        In the order the salts and acids were given, the mash first.
    dilution_share : float
        The share of the second water.
    waters : mapping of str to Water
        What comes of it: "whole", and each place that has liquor.
    misses : tuple of Miss
        One for each wish.
    worst_miss, sum_of_misses : float
        In tolerances.
    mash_balance_mEq : float or None
        What is left of the proton balance [mEq]; above nought the mash is more alkaline than aimed at.
    proven : bool
        Whether it is proven that no other doses miss less, by more than a few hundred-thousandths of a tolerance;
        misses count by what they are beyond fine enough.
    at_limits : tuple of str
        What leaves no room for another step, in words.
    charge_gap : str
        Why the wanted amounts cannot be had together, or empty.
    """

    doses: tuple[Dose, ...]
    dilution_share: float
    waters: Mapping[str, Water]
    misses: tuple[Miss, ...]
    worst_miss: float
    sum_of_misses: float
    mash_balance_mEq: float | None
    proven: bool
    at_limits: tuple[str, ...]
    charge_gap: str = ""

    @property
    def salts_used(self) -> tuple[str, ...]:
        """The salts used, each once."""
        return tuple(dict.fromkeys(dose.what for dose in self.doses if dose.kind == "salt"))
