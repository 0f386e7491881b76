"""The choice of doses as rows and columns: every amount is a constant plus a sum over whole steps.

A column is one thing into one place, counted in steps of the scale; the last is the share of the second water.
Columns stand in the order of names, so that the order in which a brewer lists the salts changes nothing.
"""

from __future__ import annotations

import copy

import attrs
import numpy as np
from numpy.typing import NDArray

from gyle.decide.salt_problem import CHARGE_mEq_mg, Limit, Problem, Water, Wish

__all__ = ["BALANCE", "DILUTION", "RATIO", "Column", "Linear", "Row", "charge_row", "linear", "waters"]

Array = NDArray[np.float64]
DILUTION = "dilution"
FELT = 0.1  # of a tolerance, by a step
BALANCE, RATIO = "mash balance", "sulfate-to-chloride ratio"


@attrs.frozen(kw_only=True)
class Column:
    """One thing into one place; a step is that many grams, millilitres or shares."""

    name: str
    kind: str
    place: str
    step: float
    most: int
    unit: str


@attrs.frozen(kw_only=True, eq=False)
class Row:
    """A linear amount of the doses, in its own unit, with the bounds it is wanted or bound to keep."""

    what: str
    at: str
    constant: float
    per_step: Array
    low: float
    high: float
    said: str = ""  # in place of the bounds, where they say nothing by themselves

    def value(self, steps: Array) -> float:
        """The amount at these steps."""
        return self.constant + float(self.per_step @ steps)


class Linear:
    """The whole problem in arrays; misses come out in tolerances, limits scaled to their largest change per step.

    Parameters
    ----------
    columns : tuple of Column
        What the steps count.
    wishes, limits : tuple of Row
        In their own units.
    scales : tuple of float
        Tolerances per unit of each wish.
    most_salts : int or None
        How many kinds of salt may be used.
    """

    def __init__(
        self,
        *,
        columns: tuple[Column, ...],
        wishes: tuple[Row, ...],
        scales: tuple[float, ...],
        limits: tuple[Row, ...],
        most_salts: int | None,
    ) -> None:
        self.columns, self.wishes, self.limits, self.most_salts = columns, wishes, limits, most_salts
        count = len(columns)
        self.most = np.array([column.most for column in columns], dtype=np.float64)
        self.amounts = np.array([column.step for column in columns], dtype=np.float64)
        scale = np.array(scales)
        self.wish_matrix, self.wish_low, self.wish_high = _arrays(wishes, scale, count)
        largest = np.array([float(np.abs(row.per_step).max(initial=0.0)) for row in limits])
        scale = 1.0 / np.where(largest > 0.0, largest, 1.0)
        self.limit_matrix, self.limit_low, self.limit_high = _arrays(limits, scale, count)
        keys = [(column.kind, column.name) for column in columns]
        groups = tuple(dict.fromkeys(keys))
        self.group_names = groups
        self.group_matrix = np.array([[float(key == group) for key in keys] for group in groups])
        self.group_most = np.array([columns[keys.index(group)].most for group in groups], dtype=np.float64)
        self.group_is_salt = np.array([kind == "salt" for kind, _ in groups], dtype=bool)
        alone = self.group_matrix.T @ (self.group_matrix.sum(axis=1) == 1.0)
        local = [np.abs(per) > FELT for per, row in zip(self.wish_matrix, wishes, strict=True) if row.at != "whole"]
        # Whether a step more matters to a wish where the thing goes, beyond how much of it there is.
        self.felt_in_place = np.logical_or.reduce([alone > 0.0, *local])
        self.mass = _mass(columns)

    def misses(self, steps: Array) -> Array:
        """How far each wish is missed at these steps, in tolerances."""
        value = self.wish_matrix @ steps
        off: Array = np.maximum(np.maximum(self.wish_low - value, value - self.wish_high), 0.0)
        return off

    def with_room(self, room: float) -> Linear:
        """The same problem in which misses count only beyond so many tolerances."""
        wider = copy.copy(self)
        wider.wish_low, wider.wish_high = self.wish_low - room, self.wish_high + room
        return wider

    def kinds(self, steps: Array) -> int:
        """How many kinds of salt are used."""
        return int(((self.group_matrix @ steps)[self.group_is_salt] > 0.5).sum())


def _arrays(rows: tuple[Row, ...], scale: Array, count: int) -> tuple[Array, Array, Array]:
    """Rows with their constants taken to the bounds, scaled."""
    matrix = np.array([row.per_step for row in rows]).reshape(len(rows), count)
    low = np.array([row.low - row.constant for row in rows]) * scale
    high = np.array([row.high - row.constant for row in rows]) * scale
    return matrix * scale[:, None], low, high


def _mass(columns: tuple[Column, ...]) -> Array:
    """The mass of a step in the finest steps; little for dilution, and the sparge a hair behind the mash."""
    finest = min((column.step for column in columns if column.kind != DILUTION), default=1.0)
    behind = {"mash": 0.0, "sparge": 1.0, "kettle": 2.0, "": 0.0}
    sizes = [0.1 if column.kind == DILUTION else column.step / finest for column in columns]
    return np.array(
        [size * (1.0 + 1e-3 * behind[column.place]) for size, column in zip(sizes, columns, strict=True)],
        dtype=np.float64,
    )


def _steps(most: float, step: float) -> int:
    return int(np.floor(most / step + 1e-9))


def _columns(problem: Problem) -> tuple[Column, ...]:
    found = []
    places = ["mash"] + ["sparge"] * (problem.volumes.sparge_L > 0.0) + ["kettle"]
    for salt in sorted(problem.salts, key=lambda salt: salt.name):
        for place in (place for place in places if place in salt.places):
            most, step = _steps(salt.most_units, salt.step_units), salt.step_units
            found.append(Column(name=salt.name, kind="salt", place=place, step=step, most=most, unit=salt.unit))
    for acid in sorted(problem.acids, key=lambda acid: acid.name):
        for place in (place for place in places if place in acid.places):
            most, step = _steps(acid.most_mL, acid.step_mL), acid.step_mL
            found.append(Column(name=acid.name, kind="acid", place=place, step=step, most=most, unit="mL"))
    if (second := problem.dilution) is not None:
        most = _steps(second.most_share, second.step_share)
        found.append(Column(name="", kind=DILUTION, place="", step=second.step_share, most=most, unit=""))
    return tuple(found)


def _per_unit(problem: Problem) -> dict[tuple[str, str], dict[str, float]]:
    table = {}
    for salt in problem.salts:
        table["salt", salt.name] = {**salt.ions_mg_per_unit, "alkalinity": salt.alkalinity_mEq_per_unit}
    for acid in problem.acids:
        table["acid", acid.name] = {**acid.brings_mg_per_mL, "alkalinity": -acid.mEq_per_mL}
    return table


class _Builder:
    """Rows of one problem."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.columns = _columns(problem)
        self.per_unit = _per_unit(problem)
        self.amounts = np.array([column.step for column in self.columns])

    def amount(self, what: str, at: str) -> tuple[float, Array]:
        """The constant and the change per step of an ion or alkalinity in one liquor."""
        problem = self.problem
        start, second = _in(problem.source, what), 0.0
        if problem.dilution is not None:
            second = _in(problem.dilution.water, what) - start
        volume_L = problem.volumes.at_L(at)
        per_step = np.zeros(len(self.columns))
        for index, column in enumerate(self.columns):
            if column.kind == DILUTION:
                per_step[index] = second
            elif at in ("whole", column.place):
                per_step[index] = self.per_unit[column.kind, column.name].get(what, 0.0) / volume_L
        return start, per_step * self.amounts

    def balance(self) -> tuple[float, Array]:
        """The proton balance of the mash [mEq]."""
        mash = self.problem.mash
        assert mash is not None
        per_step = [
            mash.dilution_mEq
            if column.kind == DILUTION
            else mash.per_unit_mEq.get(column.name, 0.0) * (column.place == "mash")
            for column in self.columns
        ]
        return mash.start_mEq, np.array(per_step, dtype=np.float64) * self.amounts

    def wish(self, wish: Wish) -> Row:
        constant, per_step = self.amount(wish.what, wish.at)
        return Row(what=wish.what, at=wish.at, constant=constant, per_step=per_step, low=wish.low, high=wish.high)

    def limit(self, limit: Limit) -> Row:
        parts = [self.amount(what, limit.at) for what in limit.what]
        return Row(
            what=" + ".join(limit.what),
            at=limit.at,
            constant=sum(constant for constant, _ in parts),
            per_step=np.sum([per_step for _, per_step in parts], axis=0),
            low=limit.low,
            high=limit.high,
        )

    def ratio(self) -> list[Row]:
        """Sulfate above the band's low end times chloride, and below its high end times chloride."""
        ratio = self.problem.ratio
        assert ratio is not None
        sulfate, per_sulfate = self.amount("sulfate", "whole")
        chloride, per_chloride = self.amount("chloride", "whole")
        rows = []
        for end, side, low, high in ((ratio.low, "least", 0.0, np.inf), (ratio.high, "most", -np.inf, 0.0)):
            if np.isfinite(end) and end > 0.0:
                constant, per_step = sulfate - end * chloride, per_sulfate - end * per_chloride
                said = f"a sulfate-to-chloride ratio of at {side} {end:g}"
                row = Row(what=RATIO, at="whole", constant=constant, per_step=per_step, low=low, high=high, said=said)
                rows.append(row)
        return rows


def _in(water: Water, what: str) -> float:
    return water.alkalinity_mEq_L if what == "alkalinity" else water.ions_mg_L.get(what, 0.0)


def linear(problem: Problem) -> Linear:
    """The rows and columns of a problem that has been checked."""
    build, volumes = _Builder(problem), problem.volumes
    there = [wish for wish in problem.wishes if volumes.at_L(wish.at) > 0.0]
    wishes = [build.wish(wish) for wish in there]
    scales = [wish.weight / wish.tolerance for wish in there]
    limits = [build.limit(limit) for limit in problem.limits if volumes.at_L(limit.at) > 0.0]
    if (ratio := problem.ratio) is not None:
        rows = build.ratio()
        (limits if ratio.must else wishes).extend(rows)
        scales.extend([] if ratio.must else [ratio.weight / ratio.tolerance_mg_L] * len(rows))
    if (mash := problem.mash) is not None:
        constant, per_step = build.balance()
        row = Row(what=BALANCE, at="mash", constant=constant, per_step=per_step, low=0.0, high=0.0)
        limits.append(attrs.evolve(row, low=-mash.slack_mEq, high=mash.slack_mEq))
        if mash.tolerance_mEq is not None:
            wishes.append(row)
            scales.append(mash.weight / mash.tolerance_mEq)
    return Linear(
        columns=build.columns,
        wishes=tuple(wishes),
        scales=tuple(scales),
        limits=tuple(limits),
        most_salts=problem.most_salts,
    )


def charge_row(problem: Problem) -> Row:
    """The charge of the wished ions, and of alkalinity if it is wished, in the whole [mEq/L]; wanted is `low`."""
    build, wanted = _Builder(problem), {wish.what: wish for wish in problem.wishes if wish.at == "whole"}
    constant, per_step, low, high = 0.0, np.zeros(len(build.columns)), 0.0, 0.0
    for what, wish in wanted.items():
        charge = -1.0 if what == "alkalinity" else CHARGE_mEq_mg[what]
        if charge == 0.0:
            continue
        start, change = build.amount(what, "whole")
        constant, per_step = constant + charge * start, per_step + charge * change
        ends = (charge * wish.low, charge * wish.high)
        low, high = low + min(ends), high + max(ends)
    return Row(what="charge", at="whole", constant=constant, per_step=per_step, low=low, high=high)


def waters(problem: Problem, steps: Array) -> dict[str, Water]:
    """What comes of these steps, in the whole and in each place that has liquor; of ions the source states."""
    build = _Builder(problem)
    brought = {ion for acid in problem.acids for ion in acid.brings_mg_per_mL if CHARGE_mEq_mg[ion] == 0.0}
    ions = [ion for ion in CHARGE_mEq_mg if ion in problem.source.ions_mg_L or ion in brought]
    found = {}
    for place in ("whole", "mash", "sparge", "kettle"):
        if problem.volumes.at_L(place) > 0.0:
            got = {}
            for what in (*ions, "alkalinity"):
                constant, per_step = build.amount(what, place)
                got[what] = constant + float(per_step @ steps)
            alkalinity = got.pop("alkalinity")
            found[place] = Water(ions_mg_L=got, alkalinity_mEq_L=alkalinity)
    return found
