"""The marks of a brewhouse's vessels: what stays behind, what is not to be exceeded, what a beer fills them with."""

from __future__ import annotations

import math
from collections.abc import Iterator

import attrs
import numpy as np

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.brewhouse_inputs import band_of
from gyle.beer.estimate import Estimate
from gyle.beer.recipe import Recipe
from gyle.decide.fit import (
    BASKET_L,
    BOILING_SWELLS,
    LEAST_HEAD,
    MASH_ROOM_L,
    MASH_SWELLS,
    kettle_room_L,
)
from gyle.decide.plan import Plan
from gyle.line.content import Array, Content
from gyle.line.figures import Band, band
from gyle.quantities import unit_for, write, write_band
from gyle.science.density import volume_at_20C_ratio

__all__ = ["InkMark", "Inked", "sure"]

PLAIN_WATER_SG = 1.0  # the foam rule's weakest wort, where no plan gives one
MASH_SWELLS_C = 66.0  # where fit's swelling of a mash holds
_READ_C, _READ_PCT = (0.0, 105.0), 45.0  # within what the tables of density hold
_APART_L = 0.05  # two fillings nearer than this are one mark


@attrs.frozen(kw_only=True)
class InkMark:
    """One mark on a stick.

    `sort` is "brim", "limit" (not beyond), "kept" (what stays behind) or "fill" (what is in it at a moment).
    Heights are shares of the stick, from its foot.
    """

    key: str
    sort: str
    words: str
    volume_L: Band  # as it stands in the vessel when it is read
    cold_L: Band  # the same at 20 °C
    at_C: float | None  # how hot it is then; None where it is read cold, or is a place and no filling
    reading: str
    cold: str  # "" where the reading is a cold one already
    share: float = 0.0
    low_share: float = 0.0
    high_share: float = 0.0


def sure(litres: float) -> Band:
    """Return the band of a volume that is known."""
    return Band(mean=litres, low=litres, high=litres, median=litres)


def _believed(*parts: Estimate) -> Band:
    """The band of figures that add up and do not hang together."""
    if len(parts) == 1:
        low, high = band_of(parts[0])
        return Band(mean=parts[0].centre, low=low, high=high, median=parts[0].centre)
    middle = sum(part.centre for part in parts)
    ends = [band_of(part) for part in parts]
    below = math.hypot(*(part.centre - low for part, (low, _) in zip(parts, ends, strict=True)))
    above = math.hypot(*(high - part.centre for part, (_, high) in zip(parts, ends, strict=True)))
    return Band(mean=middle, low=middle - below, high=middle + above, median=middle)


class Inked:
    """The marks of a brewhouse, with or without a plan to fill it."""

    def __init__(self, house: Brewhouse, plan: Plan | None, system: str) -> None:
        self.house, self.plan, self.system = house, plan, system
        self.unit = unit_for("volume", system)
        packaged = next(
            (step.move for step in plan.brew.steps if step.move.process == "package"), None
        ) if plan else None  # fmt: skip
        self.keg_L = float(packaged.inputs["vessel_L"]) if packaged else house.keg_vessel_L

    def text(self, volume: Band, at_C: float | None = None) -> str:
        """A volume with its band, and how hot it is."""
        if f"{volume.low:.3g}" == f"{volume.high:.3g}":
            litres = write(volume.mean, "volume", system=self.system, unit=self.unit)
        else:
            ends = (volume.mean, volume.low, volume.high)
            litres = write_band(*ends, "volume", system=self.system, unit=self.unit)
        return litres if at_C is None else f"{litres} at {write(at_C, 'temperature', system=self.system, digits=0)}"

    def _mark(
        self, key: str, sort: str, words: str, cold: Band, *, hot: Band | None = None, at_C: float | None = None
    ) -> InkMark:
        volume = hot or cold
        return InkMark(
            key=key,
            sort=sort,
            words=words,
            volume_L=volume,
            cold_L=cold,
            at_C=at_C,
            reading=self.text(volume, at_C),
            cold="" if hot is None else self.text(cold),
        )

    def brim(self, litres: float) -> InkMark:
        return self._mark("brim", "brim", "brim", sure(litres))

    def _boiling(self, key: str, words: str, cold: Array) -> InkMark:
        """A filling of the kettle as it stands at the boil."""
        assert self.plan is not None
        at_C = float(np.mean(self.plan.brew.inputs["brewhouse.boiling_water"]))
        return self._mark(key, "fill", words, band(cold), hot=band(cold * BOILING_SWELLS), at_C=at_C)

    def mash(self) -> Iterator[InkMark]:
        """Marks of the mash vessel."""
        house, plan = self.house, self.plan
        if house.mash_dead_L.centre > 0.0:
            yield self._mark("dead", "kept", "under the false bottom", _believed(house.mash_dead_L))
        room = sure(house.mash_vessel_L - MASH_ROOM_L)
        if room.mean > 0.0:
            yield self._mark("mash_room", "limit", "most of a mash, with room to stir", room)
        if plan is None:
            return
        for step, (_, held) in zip(plan.brew.steps, plan.brew.kept, strict=True):
            if step.move.process == "strike":
                yield from self._mashed(int(step.move.inputs["mash"]), held[step.move.vessel])

    def _mashed(self, number: int, liquor: Content) -> Iterator[InkMark]:
        """Marks of one mash: its liquor before the grain goes in, and its top after."""
        assert self.plan is not None
        brew = self.plan.brew
        last = "" if number == 1 else f".{number}"
        again = "" if number == 1 else ", second mash"
        warm = float(np.clip(liquor.temperature_C.mean(), *_READ_C))
        swells = 1.0 / float(volume_at_20C_ratio(min(float(liquor.extract_pct.mean()), _READ_PCT), warm))
        cold = liquor.volume_L
        yield self._mark(
            f"liquor{last}", "fill", f"liquor struck{again}", band(cold), hot=band(cold * swells), at_C=warm
        )
        name = f"mash{last}"
        grist = brew.noted(f"grist_kg.{number}")
        infused = brew.noted(f"infused_L.{number}")
        wet = brew.figures[f"{name}.thickness"] * grist + infused
        grain = brew.figures[f"{name}.volume"] - brew.figures[f"{name}.thickness"] * grist
        basket = 0.0 if self.house.drain == "lauter tun" else BASKET_L
        yield self._mark(
            f"bed{last}",
            "fill",
            f"grain and liquor{again}",
            band(wet + grain),
            hot=band(wet * MASH_SWELLS + grain + basket),
            at_C=MASH_SWELLS_C,
        )

    def kettle(self) -> Iterator[InkMark]:
        """Marks of the kettle."""
        house, plan = self.house, self.plan
        left, trub = "wort left below the tap", "wort left with the trub too"
        if plan is None:
            yield self._mark("left_behind", "kept", left, _believed(house.left_behind_L))
            yield self._mark("trub", "kept", trub, _believed(house.left_behind_L, house.trub_L))
            room = kettle_room_L(Recipe(name="", grist=()), house, PLAIN_WATER_SG)
            yield from self._foam(room)
            return
        brew = plan.brew
        kept = brew.inputs["brewhouse.left_behind"]
        yield self._mark("left_behind", "kept", left, band(kept))
        kept = kept + brew.inputs["brewhouse.trub"]
        yield self._mark("trub", "kept", trub, band(kept))
        for step, (_, held) in zip(brew.steps, brew.kept, strict=True):
            if step.move.process == "transfer" and float(np.mean(step.move.inputs["hop_kg"])) > 0.0:
                stays = held[step.move.vessel].volume_L
                yield self._mark("stays", "kept", "all that stays behind, what hops hold too", band(stays))
        full, end = brew.figures["kettle.full.volume"], brew.figures["kettle.end.volume"]
        yield self._boiling("full", "full kettle, before the boil", full)
        peak = np.maximum(brew.noted("kettle_peak_L"), full)
        if float(np.mean(peak - full)) > _APART_L:
            yield self._boiling("fullest", "fullest, with what goes in during the boil", peak)
        yield self._boiling("end", "end of the boil", end)
        yield from self._foam(kettle_room_L(plan.recipe, house, float(np.mean(brew.figures["kettle.full.gravity"]))))

    def _foam(self, room_L: float) -> Iterator[InkMark]:
        if room_L > 0.0:
            yield self._mark("foam_room", "limit", "most at the boil, with room for foam", sure(room_L))

    def fermenter(self) -> Iterator[InkMark]:
        """Marks of the fermenter."""
        house, plan = self.house, self.plan
        yeast, foam = "beer left with the yeast", "most, with room for foam and a blow-off tube"
        if plan is None:
            yield self._mark("left_behind", "kept", yeast, _believed(house.fermenter_left_behind_L))
            yield self._mark("foam_room", "limit", foam, sure(house.fermenter_vessel_L * (1.0 - LEAST_HEAD)))
            return
        brew = plan.brew
        kept = brew.inputs["brewhouse.fermenter_left_behind"]
        yield self._mark("left_behind", "kept", yeast, band(kept))
        hops = brew.noted("dry_hop_kg")
        if float(np.mean(hops)) > 0.0:
            kept = kept + brew.inputs["brewhouse.dry_hop_held"] * hops
            yield self._mark("stays", "kept", "all that stays behind, what dry hops hold too", band(kept))
        filled, full = brew.figures["fermenter.volume"], brew.noted("fermenter_full_L")
        yield self._mark("filled", "fill", "wort into the fermenter", band(filled))
        if float(np.mean(full - filled)) > _APART_L:
            yield self._mark("fullest", "fill", "with what goes in later", band(full))
        room = next(check.room for check in plan.checks if check.what == "fermenter")
        yield self._mark("foam_room", "limit", foam, sure(room))

    def keg(self) -> Iterator[InkMark]:
        """Marks of the keg; none where the beer goes into bottles alone."""
        if self.plan is None:
            return
        into = {kind for kind, _ in self.plan.recipe.package.into}
        if not into or "keg" in into:
            yield self._mark("filled", "fill", "beer in the keg", band(self.plan.brew.figures["keg.volume"]))
