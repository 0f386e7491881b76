"""What changed between two versions of a recipe, in the brewer's words, from water to glass."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Literal, TypeVar

import attrs

from gyle.beer.recipe import FermentationStep, GristLine, HopLine, OtherLine, Recipe, Rest, YeastLine
from gyle.beer.tables import name_key
from gyle.beer.timing import Timing
from gyle.decide.line_pairs import Pairs, aligned, matched, time_apart
from gyle.decide.plain_difference import InputDifference, plain_differences
from gyle.decide.statement import (
    Statement,
    alike,
    fermentation_statements,
    grist_statements,
    hop_statements,
    in_words,
    other_statements,
    rest_statements,
    said_when,
    told_apart,
    yeast_statements,
)
from gyle.quantities import speaking, spoken, write

if TYPE_CHECKING:
    from gyle.decide.plan import Plan

__all__ = ["STATION_OF_STAGE", "InputDifference", "input_differences"]

STATIONS = ("recipe", "water", "mash", "lauter", "kettle", "stand", "fermenter", "keg", "glass", "notes")
STATION_OF_STAGE = {
    "mash": "mash",
    "sparge": "lauter",
    "first wort": "kettle",
    "boil": "kettle",
    "stand": "stand",
    "chill": "stand",
    "pitch": "fermenter",
    "ferment": "fermenter",
    "dry": "fermenter",
    "keg": "keg",
    "bottle": "keg",
}
FOLLOWS = 0.004  # what is weighed differs by more than this part of it; ours, as a scale shows four figures
FOLLOWS_L = 0.1

_L = TypeVar("_L", GristLine, HopLine, OtherLine)


def input_differences(
    old: Recipe, new: Recipe, *, old_plan: Plan | None = None, new_plan: Plan | None = None, system: str | None = None
) -> tuple[InputDifference, ...]:
    """List what a brewer changed between two versions.

    Parameters
    ----------
    old, new : Recipe
        The versions.
    old_plan, new_plan : Plan, optional
        Their plans: an amount left open is then told with what it comes to, and what has to be weighed or drawn
        otherwise though nobody changed its line is listed too, as kind "follows".
    system : {"metric", "us"}, optional
        The person's units; those of this context where left out.

    Returns
    -------
    tuple of InputDifference
        From water to glass, the name first and the notes last. Lines are the same line wherever they stand in
        the file: the same ingredient at the same stage first, and the nearest time.
    """
    with speaking(spoken() if system is None else system):
        found = [
            *plain_differences(old, new),
            *_in_order("mash rest", old.rests, new.rests, _of_rest, rest_statements, _rests_apart),
            *_grist(old, new, old_plan, new_plan),
            *_hops(old, new, old_plan, new_plan),
            *_others(old, new),
            *_yeasts(old, new),
            *_in_order("fermentation", old.fermentation, new.fermentation, _of_step, _step_words, _steps_apart),
            *_liquor(old_plan, new_plan),
        ]
    return tuple(sorted(found, key=lambda one: STATIONS.index(one.station)))


# -- lines whose order in the file says nothing
def _grist(old: Recipe, new: Recipe, old_plan: Plan | None, new_plan: Plan | None) -> Iterator[InputDifference]:
    weighed = _weighed(old_plan, "grist"), _weighed(new_plan, "grist")

    def told(side: int, line: GristLine, place: int) -> tuple[Statement, ...]:
        return grist_statements(line, solved=_mass(weighed[side], place))

    yield from _lines(old.grist, new.grist, told, weighed, _instead_of_malt)


def _hops(old: Recipe, new: Recipe, old_plan: Plan | None, new_plan: Plan | None) -> Iterator[InputDifference]:
    weighed = _weighed(old_plan, "hops"), _weighed(new_plan, "hops")

    def told(side: int, line: HopLine, place: int) -> tuple[Statement, ...]:
        return hop_statements(line, solved=_mass(weighed[side], place))

    yield from _lines(old.hops, new.hops, told, weighed, _instead_of_hop)


def _others(old: Recipe, new: Recipe) -> Iterator[InputDifference]:
    def told(_: int, line: OtherLine, __: int) -> tuple[Statement, ...]:
        return other_statements(line)

    yield from _lines(old.others, new.others, told, ((), ()), lambda one, other: None)


def _weighed(plan: Plan | None, kind: str) -> tuple[float, ...]:
    if plan is None:
        return ()
    return tuple(float(kg) for kg in (plan.amounts.grist_kg if kind == "grist" else plan.amounts.hops_kg))


def _mass(weighed: Sequence[float], place: int) -> str:
    return write(weighed[place], "mass") if place < len(weighed) else ""


def _lines(
    old: Sequence[_L],
    new: Sequence[_L],
    told: Callable[[int, _L, int], tuple[Statement, ...]],
    weighed: tuple[Sequence[float], Sequence[float]],
    instead: Callable[[_L, _L], float | None],
) -> Iterator[InputDifference]:
    for i, j in _paired(old, new, instead):
        if i is None and j is not None:
            yield _one_sided("added", new[j], told(1, new[j], j))
        elif j is None and i is not None:
            yield _one_sided("removed", old[i], told(0, old[i], i))
        elif i is not None and j is not None:
            before, after = told(0, old[i], i), told(1, new[j], j)
            if name_key(old[i].what) != name_key(new[j].what):
                yield _replaced(old[i], new[j], before, after)
            elif difference := _changed(_named(old[i], new[j]), _station(new[j].at), before, after):
                yield difference
            elif i < len(weighed[0]) and j < len(weighed[1]):
                yield from _followed(_named(old[i], new[j]), _station(new[j].at), weighed[0][i], weighed[1][j])


def _paired(old: Sequence[_L], new: Sequence[_L], instead: Callable[[_L, _L], float | None]) -> Pairs:
    """The same ingredient first; of what is left, one that stands in the place of another."""

    def same(one: _L, other: _L) -> float | None:
        if name_key(one.what) != name_key(other.what):
            return None
        return time_apart(one.at, other.at) + (
            0.0 if attrs.evolve(one, what="") == attrs.evolve(other, what="") else 0.5
        )

    pairs = matched(old, new, apart=same)
    gone = [i for i, j in pairs if j is None and i is not None]
    come = [j for i, j in pairs if i is None and j is not None]
    again = matched([old[i] for i in gone], [new[j] for j in come], apart=instead)
    swapped = {come[b]: gone[a] for a, b in again if a is not None and b is not None}
    return [
        (swapped.get(j, i) if j is not None else i, j) for i, j in pairs if not (j is None and i in swapped.values())
    ]


def _instead_of_hop(one: HopLine, other: HopLine) -> float | None:
    """A hop stands in the place of another that went in at the same time."""
    return 0.0 if alike(attrs.astuple(one.at), attrs.astuple(other.at)) else None


def _instead_of_malt(one: GristLine, other: GristLine) -> float | None:
    """A malt stands in the place of another of the same amount at the same stage."""
    if one.at.stage != other.at.stage or one.mass_kg is one.share is None:
        return None
    return 0.0 if alike((one.mass_kg, one.share), (other.mass_kg, other.share)) else None


def _station(at: Timing) -> str:
    return STATION_OF_STAGE[at.stage]


def _named(one: _L, other: _L) -> str:
    """The line's name, with its time where that is the same; the mash goes without saying."""
    when = said_when(other.at, None)
    same = alike(attrs.astuple(one.at), attrs.astuple(other.at))
    return f"{other.what}, {when}" if same and when != "mash" else other.what


def _one_sided(kind: Literal["added", "removed"], line: _L, said: tuple[Statement, ...]) -> InputDifference:
    words = in_words(said)
    before, after = ("none", words) if kind == "added" else (words, "none")
    return InputDifference(station=_station(line.at), what=line.what, before=before, after=after, kind=kind)


def _replaced(one: _L, other: _L, before: tuple[Statement, ...], after: tuple[Statement, ...]) -> InputDifference:
    noun = "hop" if isinstance(other, HopLine) else "malt or sugar"
    when = said_when(other.at, None)
    return InputDifference(
        station=_station(other.at),
        what=f"{noun}, {when}",
        before=f"{one.what}, {in_words(part for part in before if part.name != 'when')}",
        after=f"{other.what}, {in_words(part for part in after if part.name != 'when')}",
        kind="changed",
    )


def _changed(
    what: str, station: str, before: Iterable[Statement], after: Iterable[Statement]
) -> InputDifference | None:
    """What two statements of one line say differently, and no more."""
    had, has = ({one.name: one for one in said} for said in (before, after))
    names = [name for name in dict.fromkeys([*had, *has]) if not _agree(had.get(name), has.get(name))]
    if not names:
        return None
    nothing = Statement(name="", value=None, text=lambda _: "")
    texts = [told_apart(had.get(name, nothing), has.get(name, nothing)) for name in names]
    return InputDifference(
        station=station,
        what=what,
        before=", ".join(text for text, _ in texts if text) or "not said",
        after=", ".join(text for _, text in texts if text) or "not said",
        kind="moved" if names == ["when"] else "changed",
    )


def _agree(one: Statement | None, other: Statement | None) -> bool:
    return alike(_compared(one), _compared(other))


def _compared(said: Statement | None) -> object:
    """What a statement is compared by; an amount left open is left open, whatever it comes to."""
    if said is None or (said.name == "amount" and isinstance(said.value, str)):
        return None
    return said.value


def _followed(what: str, station: str, before_kg: float, after_kg: float) -> Iterator[InputDifference]:
    if abs(after_kg - before_kg) > FOLLOWS * max(before_kg, after_kg):
        texts = write(before_kg, "mass"), write(after_kg, "mass")
        if texts[0] != texts[1]:
            yield InputDifference(station=station, what=what, before=texts[0], after=texts[1], kind="follows")


def _liquor(old_plan: Plan | None, new_plan: Plan | None) -> Iterator[InputDifference]:
    if old_plan is None or new_plan is None:
        return
    litres = [
        math.fsum(float(part) for part in (*plan.amounts.liquor_L, *plan.amounts.sparge_L))
        for plan in (old_plan, new_plan)
    ]
    if abs(litres[1] - litres[0]) > FOLLOWS_L:
        before, after = (write(volume, "volume") for volume in litres)
        yield InputDifference(station="water", what="liquor in all", before=before, after=after, kind="follows")


def _yeasts(old: Recipe, new: Recipe) -> Iterator[InputDifference]:
    """The same yeast first, then one in the place of another."""

    def same(one: YeastLine, other: YeastLine) -> float | None:
        return 0.0 if name_key(one.what) == name_key(other.what) else 1.0

    for i, j in matched(old.yeasts, new.yeasts, apart=same):
        before = "none" if i is None else _yeast_words(old.yeasts[i])
        after = "none" if j is None else _yeast_words(new.yeasts[j])
        if i is not None and j is not None:
            one, other = old.yeasts[i], new.yeasts[j]
            if same(one, other) == 0.0:
                if found := _changed(other.what, "fermenter", yeast_statements(one), yeast_statements(other)):
                    yield found
                continue
        kind: Literal["added", "removed", "changed"] = "added" if i is None else "removed" if j is None else "changed"
        yield InputDifference(station="fermenter", what="yeast", before=before, after=after, kind=kind)


def _yeast_words(line: YeastLine) -> str:
    return ", ".join(part for part in (line.what, in_words(yeast_statements(line))) if part)


# -- lines whose order counts
_S = TypeVar("_S", Rest, FermentationStep)


def _in_order(
    noun: str,
    old: Sequence[_S],
    new: Sequence[_S],
    label: Callable[[str, Sequence[_S], int], tuple[str, str]],
    said: Callable[[_S], tuple[Statement, ...]],
    apart: Callable[[_S, _S], float],
) -> Iterator[InputDifference]:
    for i, j in aligned(old, new, apart=apart):
        if i is None and j is not None:
            what, station = label(noun, new, j)
            yield InputDifference(station=station, what=what, before="none", after=in_words(said(new[j])), kind="added")
        elif j is None and i is not None:
            what, station = label(noun, old, i)
            yield InputDifference(
                station=station, what=what, before=in_words(said(old[i])), after="none", kind="removed"
            )
        elif i is not None and j is not None:
            what, station = label(noun, new, j)
            if found := _changed(what, station, said(old[i]), said(new[j])):
                yield found


def _of_rest(noun: str, rests: Sequence[Rest], place: int) -> tuple[str, str]:
    mash = rests[place].mash
    number = sum(rest.mash == mash for rest in rests[: place + 1])
    which = f" of mash {mash}" if mash > 1 else ""
    alone = sum(rest.mash == mash for rest in rests) == 1
    return (noun if alone else f"{noun} {number}") + which, "mash"


def _of_step(noun: str, steps: Sequence[FermentationStep], place: int) -> tuple[str, str]:
    return (noun if len(steps) == 1 else f"{noun}, step {place + 1}"), "fermenter"


def _step_words(step: FermentationStep) -> tuple[Statement, ...]:
    return fermentation_statements(step)


def _rests_apart(one: Rest, other: Rest) -> float:
    return (
        abs(one.temperature_C - other.temperature_C)
        + abs(one.minutes - other.minutes) / 20.0
        + 100.0 * abs(one.mash - other.mash)
    )


def _steps_apart(one: FermentationStep, other: FermentationStep) -> float:
    return abs(one.temperature_C - other.temperature_C) + (
        0.5 if one.from_points_above_final != other.from_points_above_final else 0.0
    )
