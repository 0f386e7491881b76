"""Reading a recipe whole: its parts, how they fit, and what is taken where nothing is said."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

from gyle.beer import tables
from gyle.beer.aim_reading import aims_of, bitterness_rule
from gyle.beer.brewhouse import Brewhouse
from gyle.beer.brewhouse_reading import brewhouse_of
from gyle.beer.entries import own_yeast
from gyle.beer.estimate import Estimate
from gyle.beer.grist_reading import grist_of
from gyle.beer.hop_reading import hops_of, others_of
from gyle.beer.ingredient import Yeast
from gyle.beer.page import Page, open_page
from gyle.beer.process_reading import boil_of, fermentation_of, package_of, rests_of, sparge_of
from gyle.beer.recipe import Recipe, YeastLine
from gyle.beer.section import Section, shown
from gyle.beer.wanted_water_reading import wanted_water_of
from gyle.errors import BadInput, GyleError

__all__ = ["Resolve", "recipe_of"]

Resolve = Callable[[str], Brewhouse | None]

USUAL_YEAST = "clean ale yeast"
_LAGER_BELOW_C, _FARMHOUSE_ABOVE_C = 14.0, 28.0
_TOP_KEYS = (
    "gyle", "name", "for_brewhouse", "volume", "volume_into_keg", "gyles", "aim", "bitterness_by", "grist", "mash",
    "sparge", "boil", "hops", "other", "yeast", "fermentation", "package", "water", "notes", "printed",
)  # fmt: skip


def _like_class(top: Section) -> Yeast:
    """The class whose temperatures suit what the recipe ferments at."""
    rows = top.table.get("fermentation")
    first = rows[0] if isinstance(rows, list) and rows else rows
    name = USUAL_YEAST
    if isinstance(first, dict) and isinstance(first.get("temperature"), str):
        page = Page({}, "", "")
        found = Section(page, first).quantity("temperature", "temperature")
        if found is not None and found.value < _LAGER_BELOW_C:
            name = "lager yeast"
        elif found is not None and found.value > _FARMHOUSE_ABOVE_C:
            name = "warm farmhouse ale yeast"
    return _class(name)


def _class(name: str) -> Yeast:
    found = tables.yeast(name)
    assert found is not None
    return found[0]


def _yeast(row: Section, top: Section) -> YeastLine | None:
    what = row.text("what", longest=80)
    if what is None and "what" not in row:
        row.missing("what", f'what = "{USUAL_YEAST}"')
    attenuation = row.quantity("attenuation", "percent", low=30.0, high=100.0)
    pitch = row.quantity("pitch", "pitch_rate", low=0.001, high=50.0)
    packs = row.quantity("packs", "count", low=0.0, high=10000.0)
    mass = row.quantity("mass", "mass", low=0.0, high=200.0)
    cells = row.quantity("cells", "cells", low=0.0, high=1e18)
    given = [key for key in ("pitch", "packs", "mass", "cells") if key in row]
    if len(given) > 1:
        row.fault(f"{' and '.join(given)} are given; keep one of them", given[1])
    row.close()
    if what is None:
        return None
    found = tables.yeast(what)
    if found is not None:
        yeast = found[0]
        if found[1]:
            row.note(found[1])
    elif attenuation is not None:
        like = _like_class(top)
        yeast = own_yeast(what, Estimate(
            centre=attenuation.value / 100.0, spread=0.03, low=0.0, high=1.0, source="stated"
        ), like)  # fmt: skip
        row.note(f"{what} is not in the table: its own attenuation is used, the rest as of {like.name}, wider.")
    else:
        if "attenuation" not in row:
            near = tables.near_names("yeast_classes", what) or tables.yeast_names()[:3]
            row.fault(
                f"{shown(what)} is no yeast of the table; perhaps {', '.join(near)}, or give its "
                "attenuation on this line",
                "what",
            )
        return None
    if not given:
        row.note(f"No pitch is written: the usual {yeast.pitch_M_mL_P[1]:g} M/mL/°P of {yeast.name} is taken.")
    return YeastLine(
        what=what,
        yeast=yeast,
        pitch_M_mL_P=pitch.value if pitch else None,
        packs=packs.value if packs else None,
        mass_kg=mass.value if mass else None,
        cells=cells.value if cells else None,
        attenuation=attenuation.value / 100.0 if attenuation else None,
    )


def _yeasts(top: Section) -> tuple[YeastLine, ...]:
    rows = top.rows("yeast", "yeast", one_too=True)
    if not rows and "yeast" not in top:
        like = _like_class(top)
        top.note(f"No yeast is written: {like.name} is taken at its usual pitch.")
        return (YeastLine(what=like.name, yeast=like),)
    return tuple(line for line in (_yeast(row, top) for row in rows) if line is not None)


def _beside(page: Page, name: str) -> Path | None:
    """Return the file of a brewhouse beside the recipe; only a plain name is one."""
    if page.path is None:
        return None
    folder = page.path.parent
    path = folder / (name if name.endswith(".toml") else f"{name}.toml")
    try:
        if not path.is_file():
            return None
        inside = path.resolve().parent == folder.resolve()
    except (OSError, ValueError):
        return None
    return path if inside else None


def _brewhouse(top: Section, resolve: Resolve | None) -> Brewhouse | None:
    value = top.raw("for_brewhouse")
    if value is None:
        return None
    if isinstance(value, dict):
        inner = top.section("for_brewhouse", "for_brewhouse")
        assert inner is not None
        return brewhouse_of(inner, otherwise_named="the recipe's own brewhouse")
    name = top.text("for_brewhouse", longest=120)
    if name is None:
        return None
    if any(mark in name for mark in ("/", "\\", os.sep)) or name.startswith("..") or not name.isprintable():
        top.fault(
            f"{shown(name)} is a path outside the recipe's folder; write the plain name of a brewhouse beside it",
            "for_brewhouse",
        )
        return None
    path = _beside(top.page, name)
    if path is not None:
        return _brewhouse_file(top, path)
    house = resolve(name) if resolve is not None else None
    if house is None:
        top.fault(
            f"there is no brewhouse {shown(name)}; put {name.removesuffix('.toml')}.toml beside the recipe, "
            "or leave for_brewhouse out",
            "for_brewhouse",
        )
    return house


def _brewhouse_file(top: Section, path: Path) -> Brewhouse | None:
    try:
        page = open_page(path)
        house = brewhouse_of(Section(page, page.data), otherwise_named=path.stem)
        page.settle()
    except GyleError as error:
        faults = error.faults if isinstance(error, BadInput) else (str(error),)
        for fault in faults:
            top.fault(fault if fault.startswith(path.name) else f"{path.name}: {fault}", "for_brewhouse")
        return None
    for note in page.notes:
        top.note(note)
    return house


def _volume(top: Section) -> tuple[float | None, float, str]:
    """Return the volume a recipe is for, half its last digit, and what it counts."""
    keys = [key for key in ("volume", "volume_into_keg") if key in top]
    if len(keys) > 1:
        top.fault("volume and volume_into_keg are both given; keep one of them", "volume_into_keg")
    key = keys[0] if keys else "volume"
    quantity = top.quantity(key, "volume", low=0.5, high=5000.0)
    volume = top.cold(key, quantity)
    return (
        volume,
        quantity.half_digit if quantity else 0.0,
        "keg" if key == "volume_into_keg" else "fermenter",
    )


def recipe_of(page: Page, *, resolve: Resolve | None = None, for_proofreading: bool = False) -> Recipe:
    """Return the recipe of a page.

    Raises
    ------
    BadInput
        With every fault of the file.
    """
    top = Section(page, page.data)
    top.number("gyle", low=1, high=1, wanted="the format number 1")
    name = top.text("name", longest=200)
    if name is None and "name" not in top:
        name = page.path.stem if page.path else "unnamed"
        top.note(f"No name is written: {name} is taken.")
    volume, half_digit, into = _volume(top)
    gyles = top.number("gyles", low=1, high=20, wanted="a whole number of gyles")
    if gyles is not None and not gyles.is_integer():
        top.fault(f"gyles is {gyles:g}, and a whole number of gyles was wanted", "gyles")
    stays = for_proofreading
    printed_section, aim_section = top.section("printed"), top.section("aim")
    rule = bitterness_rule(aim_section, bitterness_rule(top, "tinseth"))
    aims = aims_of(aim_section, rule)
    printed = aims_of(printed_section, bitterness_rule(printed_section, rule))
    grist = grist_of(top, contradictions_stay=stays)
    rests = rests_of(top, grist)
    sparge = sparge_of(top)
    boil, held_back = boil_of(top)
    hops = hops_of(top, boil, aims, contradictions_stay=stays)
    others = others_of(top, boil, contradictions_stay=stays)
    yeasts = _yeasts(top)
    usual = yeasts[0].yeast if yeasts else _class(USUAL_YEAST)
    fermentation = fermentation_of(top, usual.temperature_usual_C, usual.name)
    package = package_of(top)
    wanted = wanted_water_of(top)
    prose = top.text("notes", longest=200_000)
    house = _brewhouse(top, resolve)
    top.close(also=_TOP_KEYS)
    page.settle()
    fields: dict[str, Any] = {
        "name": name, "grist": grist, "rests": rests, "boil_minutes": boil, "held_back_L": held_back,
        "gyles": int(gyles) if gyles else 1, "hops": hops, "others": others,
        "yeasts": yeasts, "fermentation": fermentation, "package": package, "sparge": sparge,
        "volume_L": volume, "volume_half_digit": half_digit, "into": into, "aims": aims,
        "bitterness_by": rule, "printed": printed, "wanted_ions_mg_L": wanted.ions_mg_L,
        "wanted_ranges_mg_L": wanted.ranges_mg_L, "sulfate_to_chloride": wanted.sulfate_to_chloride,
        "dilution_share": wanted.dilution_share,
        "for_brewhouse": house, "prose": prose or "",
    }  # fmt: skip
    return Recipe(**fields, notes=tuple(page.notes))
