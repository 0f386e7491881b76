"""Two versions held against each other, as a page shows them: what was changed, and what it does to the figures."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, TypeVar

import attrs

from gyle.decide.difference import figure_differences, input_differences
from gyle.errors import GyleError
from gyle.line.figures import FIGURES, figure
from gyle.share.comparison_words import comparison_sentence
from gyle.share.difference_words import written_difference
from gyle.share.sentences import as_sentence, faults_of
from gyle.share.stations import of_minerals, station_groups
from gyle.share.written_figure import bitterness_figure, written
from gyle.web.beer_state import forecast_of
from gyle.web.comparison_ribbons import ribbons_drawn
from gyle.web.readings import recipe_of

if TYPE_CHECKING:
    from starlette.requests import Request

    from gyle.beer.recipe import Recipe
    from gyle.decide.difference import FigureDifference, InputDifference
    from gyle.decide.plan import Plan
    from gyle.line.figures import Band
    from gyle.web.comparison_ribbons import RibbonDrawn
    from gyle.web.comparison_sides import Side
    from gyle.web.forecasts import Forecast

__all__ = ["Change", "Comparison", "DifferenceRow", "DifferenceRule", "compared", "difference_rule"]

ROOM = 0.06  # of the rule, kept free at either end
_HOW = {"added": "added", "removed": "taken out", "moved": "moved", "changed": "", "follows": ""}
_TITLES = {"recipe": "The recipe", "in all": "In all"}
# Words that figures of several kinds share; the kind is said with them, as a table's rows stand apart.
_KINDS = {
    words: {one.kind for one in FIGURES.values() if one.words == words}
    for words in {one.words for one in FIGURES.values()}
}
_T = TypeVar("_T")


@attrs.frozen(kw_only=True)
class Change:
    """One thing that differs: what is added has no before, what is taken out no after."""

    what: str
    kind: str
    how: str  # in words, "" where before and after say it
    before: str
    after: str


@attrs.frozen(kw_only=True)
class DifferenceRule:
    """A difference on a rule with zero in its middle; places in per cent."""

    low: str
    width: str
    mean: str
    worth_low: str  # what lies from here
    worth_width: str  # so far is too little to be worth saying


@attrs.frozen(kw_only=True)
class DifferenceRow:
    """One figure of both, and what lies between; a side without it is empty."""

    words: str
    before: str
    before_ends: str
    after: str
    after_ends: str
    difference: str
    difference_ends: str
    only: str  # in words, where one side alone has it
    rule: DifferenceRule | None


Grouped = tuple[tuple[str, tuple[DifferenceRow, ...]], ...]  # by station, from water to glass


@attrs.frozen(kw_only=True)
class Comparison:
    """All a page says of two recipes."""

    sentence: str  # "" where one of them cannot be brewed
    changes: tuple[tuple[str, tuple[Change, ...]], ...]  # by station
    follows: tuple[Change, ...]  # what nobody changed but has to be weighed or drawn otherwise
    read: bool  # whether both could be read, so that the changes are all there are
    telling: Grouped = ()
    rest: Grouped = ()
    alone: Grouped = ()  # what one of the two alone has
    ribbons: tuple[RibbonDrawn, ...] = ()
    short_of: tuple[str, ...] = ()  # where one does not fit its brewhouse
    cannot: tuple[str, ...] = ()

    @property
    def telling_count(self) -> int:
        """How many figures differ by more than the noise."""
        return _count(self.telling)

    @property
    def rest_count(self) -> int:
        """How many figures differ by less."""
        return _count(self.rest)

    @property
    def alone_count(self) -> int:
        """How many figures one of the two alone has."""
        return _count(self.alone)


def compared(request: Request, old: Side, new: Side, *, system: str) -> Comparison:
    """Hold two recipes against each other; what of it cannot be done is said.

    Parameters
    ----------
    request : Request
        Whose books and forecasts are used.
    old, new : Side
        What is compared.
    system : {"metric", "us"}
        The person's units.
    """
    cannot: list[str] = []

    def recipe(side: Side) -> Recipe | None:
        return _tried(lambda: recipe_of(request.app.state.store, side.text), f"{side.words} cannot be read", cannot)

    def forecast(side: Side) -> Forecast | None:
        return _tried(lambda: forecast_of(request, side.text), f"{side.words} cannot be brewed", cannot)

    had, has = recipe(old), recipe(new)
    if had is None or has is None:
        return Comparison(sentence="", changes=(), follows=(), read=False, cannot=tuple(dict.fromkeys(cannot)))
    first, second = forecast(old), forecast(new)
    before, after = (None if one is None else one.plan for one in (first, second))
    inputs = input_differences(had, has, old_plan=before, new_plan=after, system=system)
    changes = _changes(one for one in inputs if one.kind != "follows")
    follows = tuple(_change(one) for one in inputs if one.kind == "follows")
    if first is None or second is None or before is None or after is None:
        return Comparison(sentence="", changes=changes, follows=follows, read=True, cannot=tuple(dict.fromkeys(cannot)))
    found = figure_differences(before, after)
    measured = any(one.brewhouse.water is not None for one in (before, after))
    shown = [one for one in found if one.telling or measured or not of_minerals(one.name)]
    measure = bitterness_figure(after.recipe.bitterness_by)
    return Comparison(
        sentence=as_sentence(comparison_sentence(found, system=system, bitterness=measure)),
        changes=changes,
        follows=follows,
        read=True,
        telling=_grouped([one for one in shown if one.telling], old, new, system),
        rest=_grouped([one for one in shown if not one.telling and one.difference is not None], old, new, system),
        alone=_grouped([one for one in shown if one.difference is None], old, new, system),
        ribbons=ribbons_drawn([(old.words, first.ribbon), (new.words, second.ribbon)], system=system),
        short_of=(*_short_of(old, before), *_short_of(new, after)),
    )


def _short_of(side: Side, plan: Plan) -> Iterable[str]:
    """Why a side does not fit its brewhouse."""
    return (as_sentence(f"{side.words} does not fit {plan.brewhouse.name}: {short}") for short in plan.short_of)


def _tried(work: Callable[[], _T], fault_of: str, cannot: list[str]) -> _T | None:
    try:
        return work()
    except GyleError as error:
        cannot.extend(as_sentence(f"{fault_of}: {fault}") for fault in faults_of(error))
        return None


def _title(station: str) -> str:
    return _TITLES.get(station, station[:1].upper() + station[1:])


def _changes(found: Iterable[InputDifference]) -> tuple[tuple[str, tuple[Change, ...]], ...]:
    groups: dict[str, list[Change]] = {}
    for one in found:
        groups.setdefault(_title(one.station), []).append(_change(one))
    return tuple((station, tuple(changes)) for station, changes in groups.items())


def _change(found: InputDifference) -> Change:
    return Change(
        what=found.what,
        kind=found.kind,
        how=_HOW[found.kind],
        before="" if found.kind == "added" else found.before,
        after="" if found.kind == "removed" else found.after,
    )


def _count(groups: Grouped) -> int:
    return sum(len(rows) for _, rows in groups)


def _grouped(found: Iterable[FigureDifference], old: Side, new: Side, system: str) -> Grouped:
    known = {one.name: one for one in found}
    return tuple(
        (_title(station), tuple(_row(known[name], old, new, system) for name in names))
        for station, names in station_groups(known, system)
    )


def _row(found: FigureDifference, old: Side, new: Side, system: str) -> DifferenceRow:
    known = figure(found.name)
    assert known is not None
    before, before_ends = _cell(found.name, found.before, system)
    after, after_ends = _cell(found.name, found.after, system)
    said = written_difference(found, system)
    alone = old.words if found.after is None else new.words if found.before is None else ""
    return DifferenceRow(
        words=known.words if len(_KINDS[known.words]) == 1 else f"{known.words}, {known.kind}",
        before=before,
        before_ends=before_ends,
        after=after,
        after_ends=after_ends,
        difference="" if said is None else f"{said.number} {said.unit}".strip(),
        difference_ends="" if said is None or said.low == said.high else said.ends,
        only=f"only in {alone}" if alone else "",
        rule=None if found.difference is None else difference_rule(found.difference, worth=found.worth),
    )


def _cell(name: str, band: Band | None, system: str) -> tuple[str, str]:
    if band is None:
        return "", ""
    said = written(name, band, system)
    return said.value, said.band


def difference_rule(difference: Band, *, worth: float) -> DifferenceRule:
    """Place a difference on a rule whose middle is zero.

    Parameters
    ----------
    difference : Band
        After less before.
    worth : float
        The least difference worth saying; it is marked on either side of zero.
    """
    far = max(abs(difference.low), abs(difference.high), abs(difference.mean), worth, 1e-12)
    half = far * (1.0 + 2.0 * ROOM)

    def place(value: float) -> float:
        return 100.0 * (0.5 + value / (2.0 * half))

    return DifferenceRule(
        low=_pct(place(difference.low)),
        width=_pct(place(difference.high) - place(difference.low)),
        mean=_pct(place(difference.mean)),
        worth_low=_pct(place(-worth)),
        worth_width=_pct(place(worth) - place(-worth)),
    )


def _pct(value: float) -> str:
    return f"{value:.2f}%"
