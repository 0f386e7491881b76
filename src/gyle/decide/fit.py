"""Whether a plan fits the brewhouse: every vessel, the heat, the bed, the strength of the worts."""

from __future__ import annotations

import attrs
import numpy as np

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import Recipe
from gyle.line.brew import Brew
from gyle.line.day import SLOW_GRAIN, mash_numbers, mashed
from gyle.quantities import write
from gyle.science.extract import degrees_plato

__all__ = ["Check", "checks", "fits", "short_of"]

BOILING_SWELLS = 1.0416  # water, 20 °C to the boil
MASH_SWELLS = 1.0186  # water, 20 °C to 66 °C
MASH_ROOM_L = 2.0  # to stir, and for the pump
BASKET_L = 0.4
KETTLE_ROOM_L = 2.0
KETTLE_ROOM_SHARE = 0.10  # with someone watching the foam
FOAMY_EXTRA = 0.10
FOAMY_SHARE = 0.4  # of the mashed grist, from which a wort foams more
STRONG_WORT_P = 18.0  # and from which any does
THINNEST_L_KG = 2.0
STRONGEST_MASH_P = 33.0
LONGEST_HEAT_MIN = 240.0
STRONG_SG = 1.060
LEAST_HEAD, STRONG_LEAST_HEAD = 0.05, 0.08  # of the fermenter, even with a blow-off tube


@attrs.frozen(kw_only=True)
class Check:
    """One limit of a brewhouse against what the plan needs."""

    what: str  # "mash vessel", "kettle", "grain", "heat", "fermenter", "keg", "thickness", "second wort"
    station: str
    needed: float
    room: float
    unit: str
    sentence: str
    at_most: bool = True

    @property
    def fits(self) -> bool:
        """Whether there is room."""
        slack = 1e-6 + 1e-4 * abs(self.room)
        return self.needed <= self.room + slack if self.at_most else self.needed >= self.room - slack

    @property
    def over(self) -> float:
        """How far it is over the limit, as a share of the limit; negative where there is room."""
        ratio = self.needed / max(self.room, 1e-9)
        return ratio - 1.0 if self.at_most else 1.0 - ratio


def _L(litres: float) -> str:
    return write(litres, "volume")


def _kg(mass: float) -> str:
    return write(mass, "mass")


def _value(brew: Brew, figure: str) -> float:
    return float(np.mean(brew.figures[figure]))


def _mash_checks(recipe: Recipe, house: Brewhouse, brew: Brew) -> list[Check]:
    found = []
    basket = BASKET_L if house.drain in ("gravity basket", "squeezed bag", "hung bag") else 0.0
    for number in mash_numbers(recipe):
        name = "mash" if number == 1 else f"mash.{number}"
        if f"{name}.thickness" not in brew.figures:
            continue  # nothing is mashed
        grist = float(np.mean(brew.noted(f"grist_kg.{number}")))
        which = "" if number == 1 else " of the second mash"
        thickness = _value(brew, f"{name}.thickness")
        liquor = thickness * grist + float(np.mean(brew.noted(f"infused_L.{number}")))
        grain_L = _value(brew, f"{name}.volume") - thickness * grist
        hot = liquor * MASH_SWELLS + grain_L + basket
        room = house.mash_vessel_L - MASH_ROOM_L
        found.append(
            Check(
                what="mash vessel",
                station="mash",
                needed=hot,
                room=room,
                unit="L",
                sentence=f"the bed and liquor{which} take {_L(hot)} hot, and {_L(room)} is the most here",
            )
        )
        if house.grain_limit_kg is not None:
            found.append(
                Check(
                    what="grain",
                    station="mash",
                    needed=grist,
                    room=house.grain_limit_kg,
                    unit="kg",
                    sentence=f"the grist{which} is {_kg(grist)}, and {_kg(house.grain_limit_kg)} is the most here",
                )
            )
        found.append(
            Check(
                what="thickness",
                station="mash",
                needed=thickness,
                room=THINNEST_L_KG,
                unit="L/kg",
                at_most=False,
                sentence=f"the mash{which} has {write(thickness, 'thickness')} of liquor, and"
                f" {write(THINNEST_L_KG, 'thickness')} is the least that can be stirred and drained",
            )
        )
        if number > 1:
            strong = float(degrees_plato(np.mean(brew.figures[f"lauter.{number}.first_wort_gravity"])))
            found.append(
                Check(
                    what="second wort",
                    station="mash",
                    needed=strong,
                    room=STRONGEST_MASH_P,
                    unit="°P",
                    sentence=f"the second mash comes to {strong:.1f} °P, and beyond {STRONGEST_MASH_P:g} °P"
                    " nothing can be promised of it",
                )
            )
    return found


def kettle_room_L(recipe: Recipe, house: Brewhouse, gravity_sg: float) -> float:
    """Litres of boiling wort the kettle takes, someone watching the foam."""
    whole = sum(line.share or line.mass_kg or 0.0 for line in recipe.grist if mashed(line)) or 1.0
    foamy = sum(
        line.share or line.mass_kg or 0.0
        for line in recipe.grist
        if mashed(line) and any(word in line.ingredient.name for word in SLOW_GRAIN)
    )
    head = max(KETTLE_ROOM_L, KETTLE_ROOM_SHARE * house.kettle_vessel_L)
    if foamy > FOAMY_SHARE * whole or float(degrees_plato(gravity_sg)) > STRONG_WORT_P:
        head *= 1.0 + FOAMY_EXTRA
    return house.kettle_vessel_L - head


def checks(recipe: Recipe, house: Brewhouse, brew: Brew) -> list[Check]:
    """Hold a brewed plan against every limit of the brewhouse.

    Parameters
    ----------
    recipe, house : Recipe, Brewhouse
        What was brewed and where.
    brew : Brew
        The centre line or an ensemble; means are taken.

    Returns
    -------
    list of Check
        Every limit, met or not.
    """
    found = _mash_checks(recipe, house, brew)
    gravity = _value(brew, "kettle.full.gravity")
    peak = float(np.mean(np.maximum(brew.noted("kettle_peak_L"), brew.figures["kettle.full.volume"])))
    hot, room = peak * BOILING_SWELLS, kettle_room_L(recipe, house, gravity)
    found.append(
        Check(
            what="kettle",
            station="kettle",
            needed=hot,
            room=room,
            unit="L",
            sentence=f"the full kettle holds {_L(hot)} at the boil, and {_L(room)} leaves room for the foam",
        )
    )
    wished = float(np.mean(brew.inputs["brewhouse.boil_off_wished"]))
    bound = float(np.mean(brew.inputs["brewhouse.boil_off_bound"]))
    found.append(
        Check(
            what="heat",
            station="kettle",
            needed=wished,
            room=bound,
            unit="L/h",
            sentence=f"{write(wished, 'flow')} cannot boil away: this heat evaporates {write(bound, 'flow')} at the"
            " very most",
        )
    )
    minutes = float(np.mean(brew.noted("heat_up_min")))
    found.append(
        Check(
            what="heat",
            station="kettle",
            needed=minutes,
            room=LONGEST_HEAT_MIN,
            unit="min",
            sentence=f"{_L(_value(brew, 'kettle.full.volume'))} would not boil within"
            f" {LONGEST_HEAT_MIN / 60:.0f} hours on this heat",
        )
    )
    found.extend(_cold_checks(recipe, house, brew))
    return found


def _cold_checks(recipe: Recipe, house: Brewhouse, brew: Brew) -> list[Check]:
    full = float(np.mean(brew.noted("fermenter_full_L")))
    strong = _value(brew, "fermenter.original_gravity") > STRONG_SG
    room = house.fermenter_vessel_L * (1.0 - (STRONG_LEAST_HEAD if strong else LEAST_HEAD))
    found = [
        Check(
            what="fermenter",
            station="fermenter",
            needed=full,
            room=room,
            unit="L",
            sentence=f"{_L(full)} goes into the fermenter, and {_L(room)} is the most, with a blow-off tube",
        )
    ]
    if recipe.into == "keg" and not any(kind == "bottle" for kind, _ in recipe.package.into):
        kegs = [litres for kind, litres in recipe.package.into if kind == "keg"] or [house.keg_vessel_L]
        clear = float(np.mean(brew.noted("clear_L")))
        found.append(
            Check(
                what="keg",
                station="keg",
                needed=clear,
                room=sum(kegs),
                unit="L",
                sentence=f"{_L(clear)} of clear beer is more than the keg's {_L(sum(kegs))}",
            )
        )
    return found


def fits(found: list[Check]) -> bool:
    """Whether every limit is kept."""
    return all(check.fits for check in found)


def short_of(found: list[Check]) -> tuple[str, ...]:
    """What does not fit, in sentences."""
    return tuple(check.sentence for check in found if not check.fits)
