"""The ribbon: how much of the beer there is on its way from water to glass, what joins it and what it loses.

Data only: widths in litres and colours; who draws it chooses the paper. The volume counted at any moment is
all liquid still on its way, water not yet drawn included, so that the ribbon narrows only by what is lost.
"""

from __future__ import annotations

from collections.abc import Iterable

import attrs
import numpy as np

from gyle.decide.plan import Plan
from gyle.line.brew import Step
from gyle.line.content import Array, Content
from gyle.line.figures import Band, band
from gyle.science.colour import malt_colour_units, morey_srm, srm_of_ebc
from gyle.science.spectrum import srgb_of_beer

__all__ = ["Moment", "Ribbon", "Side", "Stretch", "ribbon", "srgb_hex"]

_LOST = ("spent grain", "air")  # vessels whose content is no longer on its way
_WATER_MOVES = ("fill", "sparge")
_DEEPEST_SRM = 500.0  # as dark as a screen can tell
PATH_CM = 5.0  # the glass the ribbon is looked at through


@attrs.frozen(kw_only=True)
class Moment:
    """The ribbon at one place of a station: `at` is 0 where it comes in and 1 where it leaves."""

    at: float
    volume_L: float
    colour_srm: float | None  # None: still water


@attrs.frozen(kw_only=True)
class Side:
    """What joins or leaves the ribbon on the way through a station."""

    at: float
    volume_L: Band
    joins: bool
    words: str


@attrs.frozen(kw_only=True)
class Stretch:
    """The ribbon through one station; `part` is the number of a second mash, else empty."""

    station: str
    part: str
    moments: tuple[Moment, ...]
    sides: tuple[Side, ...] = ()

    @property
    def label(self) -> str:
        """The station as a heading names it."""
        return f"{self.station} {self.part}".strip()


@attrs.frozen(kw_only=True)
class Ribbon:
    """All stretches from water to glass, and the widest the ribbon gets."""

    stretches: tuple[Stretch, ...]

    @property
    def widest_L(self) -> float:
        """The greatest volume on the way."""
        return max(moment.volume_L for stretch in self.stretches for moment in stretch.moments)

    def of(self, station: str, part: str = "") -> Stretch | None:
        """The stretch through one station."""
        return next((s for s in self.stretches if (s.station, s.part) == (station, part)), None)


def srgb_hex(colour_srm: float | None) -> str:
    """Return the screen colour of wort or beer in a glass; of water, a pale one of ours."""
    if colour_srm is None:
        return "#d6e2e8"
    red, green, blue = (int(part) for part in srgb_of_beer(min(max(colour_srm, 0.0), _DEEPEST_SRM), path_cm=PATH_CM))
    return f"#{red:02x}{green:02x}{blue:02x}"


class _Run:
    """A brew as it ran, one look at each step."""

    def __init__(self, plan: Plan) -> None:
        self.brew, self.gyles = plan.brew, float(plan.recipe.gyles)
        self.steps = plan.brew.steps
        self.kept = [held for _, held in plan.brew.kept]
        self.factor = float(
            np.mean(self.brew.inputs["model.colour"]) * np.mean(self.brew.inputs["brewhouse.colour_factor"])
        )
        self.extraction = float(np.mean(self.brew.inputs["model.extraction_in_colour"]))
        litres = [_water_of(step) for step in self.steps]
        self.to_come = [sum(litres[place + 1 :]) for place in range(len(litres))]

    def volume_L(self, place: int) -> Array:
        """Liquid on its way after a step, of all gyles."""
        on_the_way = (held for vessel, held in self.kept[place].items() if vessel not in _LOST)
        total = sum((held.volume_L for held in on_the_way), start=np.zeros(1))
        whole = total if "fermenter" in self.kept[place] else total * self.gyles
        return whole + self.to_come[place] * self.gyles

    def colour_srm(self, place: int) -> float | None:
        """Colour of the greater part of it."""
        held = [content for vessel, content in self.kept[place].items() if vessel not in _LOST]
        if not held:
            return None
        main = max(held, key=lambda content: float(content.liquid_kg.mean()))
        return self._colour(main)

    def _colour(self, content: Content) -> float | None:
        kg_ebc = float(content["~colour"].mean())
        if kg_ebc <= 0.0:
            return None
        per_litre = min(kg_ebc / max(float(content.volume_L.mean()), 1e-9), 1100.0)
        units = malt_colour_units(srm_of_ebc(per_litre), 1.0, volume_L=1.0)
        return float(morey_srm(units / self.extraction)) * self.factor

    def moment(self, place: int, at: float) -> Moment:
        return Moment(at=at, volume_L=float(self.volume_L(place).mean()), colour_srm=self.colour_srm(place))

    def places(self, *stations: str) -> list[int]:
        return [place for place, step in enumerate(self.steps) if step.move.station in stations]


def _water_of(step: Step) -> float:
    """Litres a step draws from the tap."""
    if step.move.process not in _WATER_MOVES:
        return 0.0
    return float(np.mean(np.atleast_1d(step.move.inputs["volume_L"])))


def ribbon(plan: Plan) -> Ribbon:
    """Follow the volume and the colour of a planned beer from water to glass.

    Parameters
    ----------
    plan : Plan
        A plan whose brew still holds what every vessel held after each move.

    Returns
    -------
    Ribbon
        One stretch for each station of the line, in its order; a second mash and its lauter have their own.
    """
    run = _Run(plan)
    drawn = sum(_water_of(step) for step in run.steps) * run.gyles
    stretches = [_through("water", "", [Moment(at=0.0, volume_L=drawn, colour_srm=None)], drawn)]
    stretches += _mashes(run, drawn)
    stretches += [_kettle(run), *_cellar(run, plan)]
    return Ribbon(stretches=tuple(stretches))


def _through(station: str, part: str, moments: list[Moment], volume_L: float) -> Stretch:
    """A station through which the ribbon runs unchanged."""
    return Stretch(
        station=station,
        part=part,
        moments=(moments[-1], attrs.evolve(moments[-1], at=1.0, volume_L=volume_L)),
    )


def _mashes(run: _Run, drawn_L: float) -> Iterable[Stretch]:
    before = Moment(at=0.0, volume_L=drawn_L, colour_srm=None)
    numbers = sorted({int(step.move.inputs["mash"]) for step in run.steps if step.move.process == "mash in"}) or [1]
    for number in numbers:
        part = "" if number == 1 else str(number)
        inside = [
            place
            for place in run.places("mash")
            if run.steps[place].move.process in ("mash in", "rest")
            and int(run.steps[place].move.inputs.get("mash", 1)) == number
        ]
        emptied = [
            place
            for place, step in enumerate(run.steps)
            if step.move.process == "empty" and place > (inside[-1] if inside else 0)
        ]
        if not inside or not emptied:
            continue
        mashed = run.moment(inside[-1], 1.0)
        first = attrs.evolve(run.moment(inside[0], 0.3), volume_L=before.volume_L)
        if before.colour_srm is not None:
            first = attrs.evolve(before, at=0.3)
        yield Stretch(station="mash", part=part, moments=(before, first, attrs.evolve(mashed, at=0.85), mashed))
        done = emptied[0]
        run_off = run.moment(done, 1.0)
        held = (run.volume_L(inside[-1]) - run.volume_L(done)).clip(min=0.0)
        yield Stretch(
            station="lauter",
            part=part,
            moments=(attrs.evolve(mashed, at=0.0), attrs.evolve(run_off, at=0.7), run_off),
            sides=(Side(at=0.35, volume_L=band(held), joins=False, words="stays in the grain"),),
        )
        before = attrs.evolve(run_off, at=0.0)


def _kettle(run: _Run) -> Stretch:
    places = run.places("kettle")
    full = next((place for place in places if run.steps[place].move.process == "collect"), places[0])
    ends = [place for place in places if run.steps[place].move.process == "end"]
    last = ends[0] if ends else places[-1]
    begun = float(run.steps[full].start_min.mean())
    whole = max(float(run.steps[last].start_min.mean()) - begun, 1e-9)
    moments = [run.moment(full, 0.0)]
    sides = []
    for place in range(full + 1, last + 1):
        step = run.steps[place]
        at = min((float((step.start_min + step.minutes).mean()) - begun) / whole, 1.0)
        if step.move.process == "boil" and step.minutes.mean() > 0.0:
            moments.append(run.moment(place, at))
        joined = run.volume_L(place) - run.volume_L(place - 1)
        if step.move.process in ("add", "fill") and float(joined.mean()) > 0.05:
            moments.append(run.moment(place, min(at + 0.02, 1.0)))
            what = [sugar["what"] for sugar in step.move.inputs.get("sugars", ())]
            what += [other["what"] for other in step.move.inputs.get("others", ())]
            sides.append(Side(at=at, volume_L=band(joined), joins=True, words=" and ".join(what) or "water"))
    moments.append(run.moment(last, 1.0))
    gone = run.brew.noted("evaporated_kg") * run.gyles
    sides.append(Side(at=0.3, volume_L=band(gone), joins=False, words="boiled off"))
    return Stretch(station="kettle", part="", moments=_in_order(moments), sides=tuple(sides))


def _in_order(moments: list[Moment]) -> tuple[Moment, ...]:
    """Moments from left to right, none twice at one place."""
    found: list[Moment] = []
    for moment in sorted(moments, key=lambda m: m.at):
        if found and moment.at - found[-1].at < 1e-6:
            found[-1] = moment
        else:
            found.append(moment)
    return tuple(found)


def _cellar(run: _Run, plan: Plan) -> Iterable[Stretch]:
    brew = run.brew
    cast = next(place for place, step in enumerate(run.steps) if step.move.process == "transfer")
    boiled = run.moment(max(cast - 1, 0), 0.0)
    yield Stretch(station="stand", part="", moments=(boiled, attrs.evolve(boiled, at=1.0)))

    filled = brew.figures["fermenter.volume"]
    behind = (run.volume_L(max(cast - 1, 0)) - filled).clip(min=0.0)
    young = Moment(at=0.25, volume_L=float(filled.mean()), colour_srm=boiled.colour_srm)
    clear = brew.noted("clear_L")
    kept = brew.inputs["brewhouse.fermenter_left_behind"] + brew.inputs["brewhouse.dry_hop_held"] * brew.noted(
        "dry_hop_kg"
    )
    # Gas goes off and sugar becomes alcohol: there is a little less beer than there was wort.
    full = brew.noted("fermenter_full_L")
    shrunk = (full - clear - kept).clip(min=0.0)
    colour = plan.figures["glass.colour_srm"].mean
    grown = Moment(at=1.0, volume_L=float(full.mean()), colour_srm=colour)
    late = float(full.mean()) - float(filled.mean())
    sides = [Side(at=0.12, volume_L=band(behind), joins=False, words="trub, hops, kettle bottom")]
    if late > 0.05:
        sides.append(Side(at=0.45, volume_L=band(full - filled), joins=True, words="added here"))
    yield Stretch(
        station="fermenter",
        part="",
        moments=(boiled, young, attrs.evolve(young, at=0.35, volume_L=float(filled.mean()) + max(late, 0.0)), grown),
        sides=tuple(sides),
    )
    packed = Moment(at=1.0, volume_L=plan.figures["keg.volume"].mean, colour_srm=colour)
    sides = [Side(at=0.2, volume_L=band(np.atleast_1d(kept)), joins=False, words="yeast and dry hops")]
    if float(shrunk.mean()) > 0.05:
        sides.append(Side(at=0.1, volume_L=band(shrunk), joins=False, words="less, as it fermented"))
    spare = plan.figures["keg.left_over"]
    if spare.mean > 0.05:
        sides.append(Side(at=0.62, volume_L=spare, joins=False, words="beyond the keg"))
    middle = attrs.evolve(packed, at=0.4, volume_L=float(clear.mean()))
    yield Stretch(
        station="keg",
        part="",
        moments=(
            attrs.evolve(grown, at=0.0),
            middle,
            attrs.evolve(middle, at=0.5),
            attrs.evolve(packed, at=0.8),
            packed,
        ),
        sides=tuple(sides),
    )
    yield Stretch(station="glass", part="", moments=(attrs.evolve(packed, at=0.0), packed))
