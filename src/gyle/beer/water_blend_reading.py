"""Reading a blend: waters by the name of their file or of a water that can be bought, and their shares."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import cast

import attrs

from gyle.beer.page import Page, open_page
from gyle.beer.section import Section, shown
from gyle.beer.water import Part, Softening, Water
from gyle.beer.water_blend import blend, bought_water, bought_waters
from gyle.errors import BadInput, StoreError

__all__ = ["blend_of"]

ReadWater = Callable[..., Water]
_WHOLE_SLACK = 0.005
_DEEPEST = 6


def blend_of(top: Section, name: str, read: ReadWater, within: tuple[Path, ...]) -> Water:
    """Return the mixture a file asks for; `read` reads a part's own table. Faults are kept in the page."""
    rows = top.rows("blend", "blend", one_too=True)
    top.close()
    here = (*within, *([top.page.path.resolve()] if top.page.path is not None else []))
    if not rows:
        if not top.page.faults:
            top.fault('blend is empty; write [[blend]] above each water, with of = "tap.toml" and share = "60 %"')
        return _nothing(name)
    found: list[tuple[Water, float | None, Softening]] = []
    for row in rows:
        water = _part(row, read, here)
        share = row.quantity("share", "percent", low=0.0, high=100.0)
        treated = cast(Softening, row.choice("treated", ("boiled", "lime")) or "")
        if "share" in row and share is None:
            water = None
        row.close()
        if water is not None:
            found.append((water, None if share is None else share.value / 100.0, treated))
    if len(found) < len(rows):
        return _nothing(name)
    shares = _shares(top, [share for _, share, _ in found])
    if shares is None:
        return _nothing(name)
    parts = [
        Part(water=water, share=share, treated=treated)
        for (water, _, treated), share in zip(found, shares, strict=True)
        if share > 0.0
    ]
    mixed = blend(parts, name)
    for note in mixed.notes:
        top.note(note)
    return attrs.evolve(mixed, notes=tuple(top.page.notes))


def _nothing(name: str) -> Water:
    """Return a water to go on with once a fault is kept; the page does not let it out."""
    water = bought_water("distilled")
    assert water is not None
    return attrs.evolve(water, name=name)


def _shares(top: Section, written: list[float | None]) -> list[float] | None:
    """Return shares that add to the whole; one that is left open takes the rest."""
    total = sum(share for share in written if share is not None)
    open_ones = written.count(None)
    if open_ones > 1:
        top.fault(f"{open_ones} waters of the blend have no share; leave at most one open")
        return None
    if open_ones and total >= 1.0:
        top.fault(f"the shares of the blend already add to {100.0 * total:g} %, and nothing is left for the last")
        return None
    if not open_ones and abs(total - 1.0) > _WHOLE_SLACK:
        top.fault(f"the shares of the blend add to {100.0 * total:g} %, and 100 % was wanted")
        return None
    return [1.0 - total if share is None else share for share in written]


def _part(row: Section, read: ReadWater, here: tuple[Path, ...]) -> Water | None:
    """Return the water of one line of a blend."""
    of = row.text("of", longest=120)
    if of is None:
        if "of" not in row:
            row.missing("of", 'of = "tap.toml" or of = "reverse osmosis"')
        return None
    path = None if bought_water(of) is not None else _beside(row.page, of)
    if path is None:
        faults = len(row.page.faults)
        known = bought_water(of) or _known(row, of)
        if known is not None or len(row.page.faults) > faults:
            return known
        bought = " or ".join(f'"{name}"' for name in bought_waters())
        row.fault(f"there is no water {shown(of)} beside this file; write the plain name of one, or {bought}", "of")
        return None
    if path.resolve() in here or len(here) >= _DEEPEST:
        row.fault(f"{shown(of)} leads back to this blend, or is blended of blends too deep", "of")
        return None
    return _of_file(row, path, read, here)


def _known(row: Section, of: str) -> Water | None:
    """Return a water that whoever reads the text knows by this name."""
    try:
        return row.page.water_named(of) if row.page.water_named is not None else None
    except BadInput as error:
        for fault in error.faults:
            row.fault(fault, "of")
        return None


def _of_file(row: Section, path: Path, read: ReadWater, here: tuple[Path, ...]) -> Water | None:
    try:
        page = open_page(path)
        water = read(Section(page, page.data), otherwise_named=path.stem, within=here)
        page.settle()
    except (BadInput, StoreError) as error:
        for fault in error.faults if isinstance(error, BadInput) else (str(error),):
            row.fault(fault if fault.startswith(path.name) else f"{path.name}: {fault}", "of")
        return None
    return attrs.evolve(water, notes=tuple(page.notes))


def _beside(page: Page, name: str) -> Path | None:
    """Return the file of a water beside the blend; only a plain name is one."""
    if page.path is None or any(mark in name for mark in ("/", "\\", os.sep)) or name.startswith(".."):
        return None
    if not name.isprintable():
        return None
    folder = page.path.parent
    path = folder / (name if name.endswith(".toml") else f"{name}.toml")
    try:
        inside = path.is_file() and path.resolve().parent == folder.resolve()
    except (OSError, ValueError):
        return None
    return path if inside else None
