"""What two versions of a recipe say differently beside their lines: name, volume, aims, boil, package, wishes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Literal

import attrs

from gyle.beer.recipe import Aim, Packaging, Recipe
from gyle.decide.statement import LEFT_OPEN, Statement, alike, number, told_apart, whole
from gyle.decide.wanted import span_words
from gyle.line.figures import figure
from gyle.quantities import write

__all__ = ["InputDifference", "plain_differences"]

_STATIONS = ("water", "mash", "lauter", "kettle", "stand", "fermenter", "keg", "glass")


@attrs.frozen(kw_only=True)
class InputDifference:
    """One thing that differs between two versions.

    Parameters
    ----------
    station : str
        Where on the line it acts: a station, or "recipe" for what is of the whole, or "notes".
    what : str
        The thing in the brewer's words.
    before, after : str
        What each version says; "none" where it has no such thing.
    kind : str
        "moved" where only its time differs; "follows" where nobody changed it but its amount is another.
    """

    station: str
    what: str
    before: str
    after: str
    kind: Literal["added", "removed", "moved", "changed", "follows"]


def plain_differences(old: Recipe, new: Recipe) -> Iterator[InputDifference]:
    """List what is said once a recipe; units are those of this context."""
    had, has = _sayings(old), _sayings(new)
    for key in dict.fromkeys([*had, *has]):
        before, after = had.get(key), has.get(key)
        empty = before is None or after is None
        if before is not None and after is not None and alike(before.value, after.value):
            continue
        station, what = key
        texts = (
            ("none" if before is None else before.text(None), "none" if after is None else after.text(None))
            if before is None or after is None
            else told_apart(before, after)
        )
        kind: Literal["added", "removed", "changed"] = "changed"
        if empty:
            kind = "added" if before is None else "removed"
        yield InputDifference(station=station, what=what, before=texts[0], after=texts[1], kind=kind)
    yield from _brewhouse(old, new)
    yield from _prose(old.prose, new.prose)


def _sayings(recipe: Recipe) -> Mapping[tuple[str, str], Statement]:
    """What a recipe says, by station and name; what it does not say is left out."""
    found = {
        ("recipe", "name"): whole("", recipe.name),
        ("fermenter", "gyles"): whole("", f"{recipe.gyles}"),
        ("kettle", "boil"): number("", recipe.boil_minutes, "time", system=None),
        ("glass", "bitterness counted"): whole("", _RULES.get(recipe.bitterness_by, recipe.bitterness_by)),
        ("lauter", "drained grain"): whole("", "squeezed" if recipe.sparge.squeeze else "left to drain"),
        (_into(recipe), f"volume into the {recipe.into}"): _or_open(recipe.volume_L),
        **_package(recipe.package),
        **_wishes(recipe),
    }
    for station, what, value, kind in (
        ("kettle", "wort held back", recipe.held_back_L, "volume"),
        ("lauter", "sparge", recipe.sparge.volume_L, "volume"),
        ("lauter", "sparge temperature", recipe.sparge.temperature_C, "temperature"),
    ):
        if value is not None:
            found[station, what] = number("", value, kind, system=None)
    for aims, how in ((recipe.aims, "aim"), (recipe.printed, "printed")):
        for aim in aims:
            found[_place(aim.figure), f"{how}: {_words(aim.figure)}"] = _aim(aim)
    return found


_RULES = {
    "tinseth": "by the trade's function",
    "kinetic": "by kinetics",
    "laboratory": "by laboratory",
    "rager": "by Rager",
    "garetz": "by Garetz",
}


def _into(recipe: Recipe) -> str:
    return "keg" if recipe.into == "keg" else "fermenter"


def _or_open(litres: float | None) -> Statement:
    return whole("", LEFT_OPEN) if litres is None else number("", litres, "volume", system=None)


def _place(name: str) -> str:
    station = name.partition(".")[0]
    return station if station in _STATIONS else "recipe"


def _words(name: str) -> str:
    known = figure(name)
    part = name.split(".")[1]
    which = f" {part}" if len(name.split(".")) > 2 and (part.isdigit() or len(part) == 1) else ""
    return f"{known.words}{which}" if known is not None else name


def _aim(aim: Aim) -> Statement:
    known = figure(aim.figure)
    kind = "ratio" if known is None else known.kind
    if known is not None and known.unit in ("% vol", "IBU/point", "SRM", "g"):
        kind, unit = "ratio", f" {known.unit}"  # the number is the figure's own
    else:
        unit = ""
    return number("", aim.value, kind, "{}" + unit, system=None)


def _package(package: Packaging) -> dict[tuple[str, str], Statement]:
    found = {("keg", "carbonated"): whole("", {"force": "from a bottle of gas"}.get(package.by, f"by {package.by}"))}
    for what, value, kind in (
        ("carbonation", package.carbonation_vol, "carbonation"),
        ("pressure", package.pressure_bar, "pressure"),
        ("temperature of the keg", package.temperature_C, "temperature"),
    ):
        if value is not None:
            found["keg", what] = number("", value, kind, system=None)
    if package.into:
        sizes = ", ".join(f"{what} of {write(size, 'volume')}" for what, size in package.into)
        found["keg", "filled into"] = Statement(
            name="", value=tuple((what, float(size)) for what, size in package.into), text=lambda _: sizes
        )
    return found


def _wishes(recipe: Recipe) -> dict[tuple[str, str], Statement]:
    found = {("water", f"wanted {ion}"): _span(float(amount), float(amount)) for ion, amount in recipe.wanted_ions_mg_L}
    found |= {("water", f"wanted {ion}"): _span(low, high) for ion, low, high in recipe.wanted_ranges_mg_L}
    if recipe.sulfate_to_chloride is not None:
        found["water", "sulfate to chloride"] = _ratio(*recipe.sulfate_to_chloride)
    if recipe.dilution_share:
        found["water", "reverse osmosis water"] = number(
            "", 100.0 * recipe.dilution_share, "percent", "{} of the liquor", system=None
        )
    return found


def _span(low: float, high: float) -> Statement:
    if low == high:
        return number("", low, "concentration", system=None)
    return Statement(name="", value=(float(low), float(high)), text=lambda _: f"{span_words(low, high)} mg/L")


def _ratio(low: float, high: float) -> Statement:
    def text(digits: int | None) -> str:
        ends = [f"{end:.{3 if digits is None else digits + 3}g}" for end in (low, high)]
        if low <= 0.0:
            return f"at most {ends[1]}"
        return f"at least {ends[0]}" if math.isinf(high) else f"{ends[0]} to {ends[1]}"

    return Statement(name="", value=(float(low), float(high)), text=text)


def _brewhouse(old: Recipe, new: Recipe) -> Iterator[InputDifference]:
    before, after = old.for_brewhouse, new.for_brewhouse
    if before == after:
        return
    texts = [house.name if house is not None else "not stated" for house in (before, after)]
    if texts[0] == texts[1]:
        texts[1] = f"{texts[1]}, with other figures"
    yield InputDifference(
        station="recipe", what="written for the brewhouse", before=texts[0], after=texts[1], kind="changed"
    )


def _prose(before: str, after: str) -> Iterator[InputDifference]:
    if before == after:
        return
    kind: Literal["added", "removed", "changed"] = "changed" if before and after else "added" if after else "removed"
    texts = ("as they were" if before else "none", "changed" if before and after else "written" if after else "none")
    yield InputDifference(station="notes", what="notes", before=texts[0], after=texts[1], kind=kind)
