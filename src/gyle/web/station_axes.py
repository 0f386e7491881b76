"""Each station's own small axis: a mash's temperatures over its minutes, additions over a boil, days of a fermentation.

Places are shares of the axis in per cent, or pixels from its top; a page draws them and a script lets a pin be
moved along its axis. What a pin stands for is named by the place of the input it changes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from string import ascii_lowercase

import attrs

from gyle.beer.recipe import Recipe
from gyle.beer.timing import Timing
from gyle.decide.plan import Plan
from gyle.line.brew import Step
from gyle.line.cellar_calendar import cellar_calendar
from gyle.line.day import mashed
from gyle.quantities import write

__all__ = ["Axis", "Curve", "Pin", "Tick", "boil_axis", "fermentation_axis", "mash_curves", "stand_axis"]

CURVE_PX = 62.0  # from the coolest to the warmest rest
CURVE_TOP_PX = 22.0
LEAST_SPAN_K = 12.0
LATE_DAYS = 21.0


@attrs.frozen(kw_only=True)
class Pin:
    """Something at one time or temperature that can be moved along its axis."""

    place: str  # of the input that says where it is, such as "hops.2.at"; empty: it cannot be moved
    letter: str
    what: str
    said: str  # where it is, in words
    at_pct: str
    y_px: float = 0.0
    least: float = 0.0
    most: float = 0.0
    now: float = 0.0
    unit: str = ""
    kind: str = "hop"


@attrs.frozen(kw_only=True)
class Tick:
    """A mark of the axis."""

    at_pct: str
    words: str


@attrs.frozen(kw_only=True)
class Axis:
    """A line of time."""

    words: str
    ticks: tuple[Tick, ...]
    pins: tuple[Pin, ...]


@attrs.frozen(kw_only=True)
class Curve:
    """Straight pieces of a temperature over time; each from and to a place."""

    pieces: tuple[tuple[str, float, str, float], ...]
    pins: tuple[Pin, ...]
    words: str
    mash: int = 1


def _pct(share: float) -> str:
    return f"{100.0 * min(max(share, 0.0), 1.0):.2f}%"


def _letters() -> Iterable[str]:
    yield from ascii_lowercase
    yield from ascii_lowercase


def letters_of(recipe: Recipe) -> dict[str, str]:
    """A letter for each addition that has a time on the hot or cold side, in the order of the beer's way."""
    timed: list[tuple[tuple[float, float], str]] = []
    for place, hop in enumerate(recipe.hops):
        timed.append((_order(hop.at, recipe), f"hops.{place}"))
    for place, line in enumerate(recipe.grist):
        if not mashed(line):
            timed.append((_order(line.at, recipe), f"grist.{place}"))
    for place, other in enumerate(recipe.others):
        if other.mineral is None:
            timed.append((_order(other.at, recipe), f"other.{place}"))
    timed.sort(key=lambda pair: pair[0])
    return {place: letter for (_, place), letter in zip(timed, _letters(), strict=False)}


_STAGES = ("mash", "sparge", "first wort", "boil", "stand", "chill", "pitch", "ferment", "dry", "keg", "bottle")


def _order(at: Timing, recipe: Recipe) -> tuple[float, float]:
    stage = float(_STAGES.index(at.stage))
    if at.stage == "boil":
        return (stage, recipe.boil_minutes - (at.minutes or 0.0))
    if at.stage == "stand":
        return (stage, -(at.temperature_C or 0.0))
    return (stage, at.day or 0.0)


def _ticks(minutes: float, step: float) -> tuple[Tick, ...]:
    count = int(minutes // step)
    return tuple(
        Tick(at_pct=_pct(1.0 - number * step / minutes), words=f"{number * step:g}") for number in range(count + 1)
    )


def boil_axis(recipe: Recipe, *, system: str) -> Axis:
    """The boil from its beginning at the left to heat off at the right, minutes before the end below it."""
    whole = max(recipe.boil_minutes, 1.0)
    letters = letters_of(recipe)
    pins = []
    timed = [(f"hops.{place}", line.what, line.at, "hop") for place, line in enumerate(recipe.hops)]
    timed += [
        (f"grist.{place}", line.what, line.at, "sugar") for place, line in enumerate(recipe.grist) if not mashed(line)
    ]
    timed += [
        (f"other.{place}", line.what, line.at, "other")
        for place, line in enumerate(recipe.others)
        if line.mineral is None
    ]
    for place, what, at, kind in timed:
        if at.stage == "first wort":
            pins.append(Pin(place="", letter=letters[place], what=what, said="first wort", at_pct="0%", kind=kind))
        elif at.stage == "boil":
            minutes = min(at.minutes or 0.0, whole)
            pins.append(
                Pin(
                    place=f"{place}.at",
                    letter=letters[place],
                    what=what,
                    said=f"{minutes:g} min before the end of the boil",
                    at_pct=_pct(1.0 - minutes / whole),
                    least=0.0,
                    most=whole,
                    now=minutes,
                    unit="min",
                    kind=kind,
                )
            )
    step = 15.0 if whole > 30.0 else 5.0
    if whole > 120.0:
        step = 30.0
    return Axis(words=f"the boil, {whole:g} min; minutes before its end", ticks=_ticks(whole, step), pins=tuple(pins))


def stand_axis(recipe: Recipe, *, system: str) -> Axis | None:
    """Hops in the stand, each where its time begins; None where nothing stands."""
    standing = [(place, line) for place, line in enumerate(recipe.hops) if line.at.stage == "stand" and line.at.minutes]
    if not standing:
        return None
    letters = letters_of(recipe)
    whole = max(line.at.minutes or 0.0 for _, line in standing)
    warmest = max(line.at.temperature_C or 0.0 for _, line in standing)
    pins = tuple(
        Pin(
            place=f"hops.{place}.at",
            letter=letters[f"hops.{place}"],
            what=line.what,
            said=f"{line.at.minutes:g} min at {write(line.at.temperature_C or 0.0, 'temperature', system=system)}",
            at_pct=_pct(1.0 - (line.at.minutes or 0.0) / whole),
            most=max(whole, 60.0),
            now=line.at.minutes or 0.0,
            unit="min",
        )
        for place, line in standing
    )
    words = f"{whole:g} min from {write(warmest, 'temperature', system=system)}"
    return Axis(words=words, ticks=_ticks(whole, 5.0 if whole <= 30.0 else 15.0), pins=pins)


def mash_curves(plan: Plan, *, system: str) -> tuple[Curve, ...]:
    """Each mash's temperature over its minutes, the rests in it."""
    rests = [(place, rest) for place, rest in enumerate(plan.recipe.rests)]
    numbers = sorted({int(step.move.inputs["mash"]) for step in plan.brew.steps if step.move.process == "rest"})
    curves = []
    for number in numbers:
        steps = [
            step for step in plan.brew.steps if step.move.process == "rest" and int(step.move.inputs["mash"]) == number
        ]
        own = [place for place, rest in rests if rest.mash == number]
        places = own if len(own) == len(steps) else [None] * len(steps)
        curves.append(_curve(steps, places, number, system))
    return tuple(curves)


def _curve(steps: Sequence[Step], places: Sequence[int | None], number: int, system: str) -> Curve:
    begun = float(steps[0].start_min.mean())
    ended = float((steps[-1].start_min + steps[-1].minutes).mean())
    whole = max(ended - begun, 1e-9)
    degrees = [float(step.move.inputs["temperature_C"]) for step in steps]
    coolest, warmest = min(degrees), max(degrees)
    span = max(warmest - coolest, LEAST_SPAN_K)
    top = (warmest + coolest) / 2.0 + span / 2.0

    def y(degree: float) -> float:
        return round(CURVE_TOP_PX + CURVE_PX * (top - degree) / span, 1)

    pieces: list[tuple[str, float, str, float]] = []
    pins: list[Pin] = []
    last: tuple[float, float] | None = None
    for step, degree, place in zip(steps, degrees, places, strict=True):
        start = float(step.start_min.mean()) - begun
        end = start + float(step.minutes.mean())
        hold = min(float(step.move.inputs["minutes"]), end - start)
        held = end - hold
        if last is not None:
            pieces.append((_pct(last[0] / whole), y(last[1]), _pct(held / whole), y(degree)))
        else:
            held = start
        pieces.append((_pct(held / whole), y(degree), _pct(end / whole), y(degree)))
        last = (end, degree)
        said = f"{write(degree, 'temperature', system=system)} for {step.move.inputs['minutes']:g} min"
        pins.append(
            Pin(
                place="" if place is None else f"mash.{place}.temperature",
                letter="",
                what=f"rest {len(pins) + 1}",
                said=said,
                at_pct=_pct((held + end) / 2.0 / whole),
                y_px=y(degree),
                least=30.0,
                most=85.0,
                now=degree,
                unit="°C",
                kind="rest",
            )
        )
    return Curve(pieces=tuple(pieces), pins=tuple(pins), words=f"mash temperature over {whole:.0f} min", mash=number)


def fermentation_axis(plan: Plan, *, system: str) -> Axis:
    """The days of a fermentation: its temperatures as a thin rule, dry hops at their day where one is stated."""
    recipe = plan.recipe
    days = cellar_calendar(recipe)
    whole = days.packaged
    letters = letters_of(recipe)
    pins = []
    for place, line in enumerate(recipe.hops):
        at = line.at
        if at.stage not in ("dry", "ferment", "pitch"):
            continue
        day = 1.0 if at.stage == "pitch" else at.day
        said = at.text if day is None else f"day {day:g}"
        share = min(days.goes_in(at) / whole, 1.0)
        pins.append(
            Pin(
                place=f"hops.{place}.at" if at.day is not None else "",
                letter=letters[f"hops.{place}"],
                what=line.what,
                said=said,
                at_pct=_pct(share),
                least=1.0,
                most=max(whole, at.day or 1.0),
                now=at.day or 1.0,
                unit="day",
                kind="hop" if day is not None else "loose",
            )
        )
    step = 7.0 if whole > LATE_DAYS else 2.0
    ticks = tuple(
        Tick(at_pct=_pct(number * step / whole), words=f"{number * step + 1:g}")
        for number in range(int(whole // step) + 1)
    )
    known = all(step.days is not None for step in recipe.fermentation) and recipe.fermentation
    words = f"days, {whole:g} in all" if known else f"days; about {whole:g}, until stable"
    return Axis(words=words, ticks=ticks, pins=tuple(pins))
