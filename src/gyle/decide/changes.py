"""What an adaptation changed, by how much, and why."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from gyle.beer.recipe import Recipe
from gyle.decide.knobs import Knobs
from gyle.line.day import mashed
from gyle.quantities import write

if TYPE_CHECKING:
    from gyle.decide.plan import Plan

__all__ = ["Change", "changes_between"]


@attrs.frozen(kw_only=True)
class Change:
    """One thing that is other than it was."""

    what: str
    before: str
    after: str
    why: str


def _sums(plan: Plan, kind: str) -> dict[str, float]:
    """Masses by name (and hour, for hops) over the whole volume."""
    found: dict[str, float] = {}
    gyles = plan.recipe.gyles
    if kind == "grist":
        for line, kg in zip(plan.recipe.grist, plan.amounts.grist_kg, strict=True):
            found[line.what] = found.get(line.what, 0.0) + kg * gyles
    else:
        for hop, kg in zip(plan.recipe.hops, plan.amounts.hops_kg, strict=True):
            minutes = attrs.evolve(hop.at, minutes=None) if hop.at.stage == "stand" else hop.at
            key = f"{hop.what}, {minutes.text}"
            found[key] = found.get(key, 0.0) + kg * gyles
    return found


def _other_amounts(recipe: Recipe) -> dict[str, float]:
    """Masses of whatever else goes in by weight, by name and hour."""
    return {f"{line.what}, {line.at.text}": line.mass_kg for line in recipe.others if line.mass_kg is not None}


def changes_between(
    origin: Plan,
    proposed: Plan,
    knobs: Knobs,
    *,
    of_malts: str = "",
    asked_L: float | None = None,
    asked_into: str | None = None,
) -> list[Change]:
    """List what differs between a beer on its origin and on another brewhouse.

    `of_malts` is a reason for more or less of the malts beside the yield; it stands alone where that is the same.
    `asked_L` is another volume that was asked for, `asked_into` another vessel that it counts into.
    """
    found: list[Change] = []
    there, here = origin.figures, proposed.figures

    def figure_change(name: str, what: str, kind: str, why: str, least: float) -> None:
        before, after = there[name].mean, here[name].mean
        if abs(after - before) > least:
            found.append(Change(what=what, before=write(before, kind), after=write(after, kind), why=why))

    found.extend(_of_knobs(origin, proposed, knobs))
    volume = there["fermenter.volume"].mean
    of_volume = _of_volume(knobs, asked_L, asked_into)
    figure_change("fermenter.volume", "volume into the fermenter", "volume", of_volume, 0.01 * volume)
    yields = [f"{side['line.brewhouse_efficiency'].mean:.0f} %" for side in (there, here)]
    efficiency = f"{yields[0]} of the grist's extract reaches the fermenter there, {yields[1]} here"
    if of_malts:
        efficiency = of_malts if yields[0] == yields[1] else f"{efficiency}; {of_malts}"
    sugars = {line.what for line in (*origin.recipe.grist, *proposed.recipe.grist) if not mashed(line)}
    for is_sugar, why in ((False, efficiency), (True, "grams in a litre of beer are kept")):
        before = {name: kg for name, kg in _sums(origin, "grist").items() if (name in sugars) == is_sugar}
        after = {name: kg for name, kg in _sums(proposed, "grist").items() if (name in sugars) == is_sugar}
        found.extend(_masses(before, after, why))
    held = "bitterness by each boiled addition and grams in a litre of each later one are kept"
    found.extend(_masses(_sums(origin, "hops"), _sums(proposed, "hops"), held))
    there_too, here_too = _other_amounts(origin.recipe), _other_amounts(proposed.recipe)
    both = [name for name in there_too if name in here_too]
    grams = "grams in a litre are kept"
    found.extend(_masses({name: there_too[name] for name in both}, {name: here_too[name] for name in both}, grams))
    water_there = (sum(origin.amounts.liquor_L) + sum(origin.amounts.sparge_L)) * origin.recipe.gyles
    water_here = (sum(proposed.amounts.liquor_L) + sum(proposed.amounts.sparge_L)) * proposed.recipe.gyles
    if abs(water_here - water_there) > 0.1:
        found.append(
            Change(
                what="water",
                before=write(water_there, "volume"),
                after=write(water_here, "volume"),
                why="this brewhouse's own boil-off and losses",
            )
        )
    figure_change("keg.pressure", "keg pressure", "pressure", "altitude and the beer's own make-up", 0.01)
    figure_change(
        "glass.bitterness",
        "bitterness by kinetics",
        "bitterness",
        "the boil, the stand and the chill run at other temperatures and times here",
        0.02 * max(there["glass.bitterness"].mean, 1.0),
    )
    return found


def _of_volume(knobs: Knobs, asked_L: float | None, asked_into: str | None) -> str:
    """Why there is more or less of it."""
    if knobs.volume_share < 1.0:
        return (
            "as much as fits here"
            if asked_L is None
            else f"as much as fits of the {write(asked_L, 'volume')} asked for"
        )
    if asked_L is not None or asked_into is not None:
        return "as asked for"
    return "the volume the recipe is written for; what is stated there comes to another"


def _masses(before: dict[str, float], after: dict[str, float], why: str) -> list[Change]:
    found = []
    for name in dict.fromkeys([*before, *after]):
        old, new = before.get(name, 0.0), after.get(name, 0.0)
        if abs(new - old) <= 0.004 * max(old, new):
            continue
        found.append(
            Change(
                what=name,
                before=write(old, "mass") if old else "none",
                after=write(new, "mass") if new else "none",
                why=why,
            )
        )
    return found


def _of_knobs(origin: Plan, proposed: Plan, knobs: Knobs) -> list[Change]:
    found: list[Change] = []

    def say(what: str, before: str, after: str, why: str) -> None:
        found.append(Change(what=what, before=before, after=after, why=why))

    if knobs.double:
        second = [line.what for line in proposed.recipe.grist if line.at.mash == 2]
        first_only = [
            line.what
            for line in proposed.recipe.grist
            if line.at.stage == "mash" and line.at.mash == 1 and line.what not in second
        ]
        why = (
            f"the grain does not fit at once; {' and '.join(dict.fromkeys(second))} also go into the second mash, the"
            " smaller one because its bed keeps the strongest wort, each malt alike so that both have husk and enzymes"
        )
        if first_only:
            why += f"; {' and '.join(dict.fromkeys(first_only))} only into the first, as they bring no enzymes"
        say("mash", "one", "two, the second in the first wort", why)
    if knobs.gyles > 1:
        say("gyles", "one", f"{knobs.gyles}, blended in the fermenter", "the whole does not fit this brewhouse at once")
    if knobs.thick:
        thickness = proposed.figures["mash.thickness"].mean
        say(
            "mash thickness",
            write(origin.figures["mash.thickness"].mean, "thickness"),
            write(thickness, "thickness"),
            "less liquor in the bed makes room; what is left out is sparged",
        )
    if knobs.squeeze:
        say("grain", "drained", "drained and squeezed", "what is pressed out need not be made up by more grain")
    if knobs.boil_extra_min > 0:
        say(
            "boil",
            f"{origin.recipe.boil_minutes:g} min",
            f"{proposed.recipe.boil_minutes:.0f} min",
            "more can be sparged, so less grain gives the same wort",
        )
    if knobs.held_back_L > 0:
        say(
            "kettle",
            "filled at once",
            f"{write(knobs.held_back_L, 'volume')} held back and added as the boil makes room",
            "the full kettle would leave too little room for the foam",
        )
    if knobs.top_up_L > 0:
        say(
            "water after the boil",
            "none",
            write(knobs.top_up_L, "volume"),
            "a stronger wort fits the kettle and is brought to strength cold",
        )
    if knobs.sugar_g_L > 0 or knobs.malt_extract_g_L > 0:
        what = "sugar" if knobs.sugar_g_L > 0 else "malt extract"
        say(
            what, "as the author has it", "more", f"{what} takes no room in the mash; the beer is a little less of malt"
        )
    return found
