"""Lantern Street, the invented brewery, put into a store: its beers with a history, brewhouses, waters, stock, gyles.

The newest version of a beer is its example file as it stands. What came before it, the reasons given and the gyles
planned are invented here, so that there is something to compare and something to look forward to.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, cast
from zoneinfo import ZoneInfo

import attrs
from sqlalchemy import Connection, select

from gyle.beer.page import Address, parsed, text_of_file
from gyle.beer.reading import kind_of
from gyle.beer.rewriting import rewrite
from gyle.books import schema
from gyle.books.beers import record_beer
from gyle.books.examples import examples
from gyle.books.gyles import record_gyle
from gyle.books.papers import Kind, record_paper
from gyle.books.stock import NAME as STOCK_NAME
from gyle.books.stock import SLUG as STOCK_SLUG
from gyle.books.store import Store
from gyle.books.versions import beer_row, record_version

__all__ = ["Summarise", "load_lantern_street"]

Summarise = Callable[[str, str | None], Mapping[str, Any]]  # a recipe's text and a brewhouse's slug to headline figures

NOT_A_BEER = "contradictory"  # its card contradicts itself on purpose
FIRST_TYPED = timedelta(days=64)


@attrs.frozen
class _Before:
    """A version before the file's own: what it had instead, why it was saved, how long ago."""

    days_ago: int
    why: str
    instead: Mapping[Address, Any]


@attrs.frozen
class _History:
    """The versions of a beer before the file's own, and the last change."""

    before: tuple[_Before, ...]
    days_ago: int
    why: str


_COPPER_DRY_HOP: Mapping[Address, Any] = {("hops", 2, "mass"): "40 g", ("hops", 2, "at"): "dry day 5 4 days"}
_TRAM_HOPS: Mapping[Address, Any] = {("hops", 3, "mass"): "40 g", ("aim", "bitterness"): "48 IBU"}
_HISTORIES: Mapping[str, _History] = {
    "copper-beacon": _History(
        before=(
            _Before(
                150,
                "The first idea: all malt, as strong as the basket holds.",
                {
                    ("aim", "original_gravity"): "1.088",
                    ("grist", 0, "share"): "56 %",
                    ("grist", 1, "share"): "44 %",
                    ("grist", 2): None,
                    ("hops", 1, "mass"): "25 g",
                    **_COPPER_DRY_HOP,
                },
            ),
            _Before(
                101,
                "It stayed too sweet: a tenth of sugar, so that it finishes drier and stronger.",
                {("hops", 1, "mass"): "25 g", **_COPPER_DRY_HOP},
            ),
            _Before(47, "More Golding at the stand: the nose was all malt.", _COPPER_DRY_HOP),
        ),
        days_ago=6,
        why="Dry hops by gravity instead of by the day, and half as many again.",
    ),
    "tram-depot": _History(
        before=(
            _Before(
                88,
                "A pale ale for the shed's summer door.",
                {("grist", 0, "share"): "88 %", ("grist", 2, "share"): "7 %", **_TRAM_HOPS},
            ),
            _Before(39, "Less crystal malt: it hid the hops.", _TRAM_HOPS),
        ),
        days_ago=11,
        why="Bitterness down, dry hops up.",
    ),
    "quiet-harbour": _History(
        before=(
            _Before(
                75,
                "A lager for those who do not like hops.",
                {("aim", "original_gravity"): "12.2 °P", ("aim", "bitterness"): "26 IBU", ("hops", 1): None},
            ),
        ),
        days_ago=20,
        why="Lighter and softer, with a little Hersbrucker late.",
    ),
}
_FOR_EACH_GYLE = (
    ("copper-beacon", "lantern-street-48", 2, 9, "Two to lift the basket."),
    ("tram-depot", "lantern-street-28", 9, 10, "The first time on the smaller system."),
)


def load_lantern_street(
    store: Store, *, now: datetime | None = None, zone: str = "UTC", summarise: Summarise | None = None
) -> tuple[str, ...]:
    """Put Lantern Street into a store; what is there already, under its name, is left alone.

    Parameters
    ----------
    store : Store
        The store.
    now : datetime, optional
        What its past and its planned gyles count from, with a zone; the present where none is given.
    zone : str
        Name of the time zone the gyles are planned in.
    summarise : callable, optional
        Computes the headline figures of a version from its text and the slug of its brewhouse, which is in the store
        by then; without it there are none.

    Returns
    -------
    tuple of str
        Slugs of the beers that were added.

    Raises
    ------
    StoreError
        If the examples were not installed, or the store cannot be written.
    """
    moment = now or datetime.now(UTC)
    files = {path.stem: path for path in sorted(examples().glob("*.toml")) if path.stem != NOT_A_BEER}
    kinds = {stem: kind_of(path) for stem, path in files.items()}
    with store.writing() as connection:
        for stem, kind in kinds.items():
            if kind != "recipe":
                _put_paper(connection, cast(Kind, kind), stem, files[stem], moment - FIRST_TYPED)
    with store.reading() as connection:
        there = set(connection.scalars(select(schema.beers.c.slug)))
    # Figures take their time, so they are computed while nobody is kept from writing.
    wanted = {
        stem: _chain(stem, text_of_file(files[stem]), moment, summarise)
        for stem, kind in kinds.items()
        if kind == "recipe" and stem not in there
    }
    added = []
    with store.writing() as connection:
        there = set(connection.scalars(select(schema.beers.c.slug)))
        for stem, chain in wanted.items():
            if stem not in there:
                _put_beer(connection, stem, chain)
                added.append(stem)
        for beer, brewhouse, days, hour, note in _FOR_EACH_GYLE:
            if beer in added:
                record_gyle(
                    connection,
                    beer,
                    version=beer_row(connection, beer).newest,
                    brewhouse=brewhouse,
                    planned_start=_morning(moment, days, hour, zone),
                    zone=zone,
                    note=note,
                    made_at=moment,
                )
    return tuple(added)


def _morning(now: datetime, days: int, hour: int, zone: str) -> datetime:
    """Return an hour of a later day by the brewer's clock."""
    day = now.astimezone(ZoneInfo(zone)) + timedelta(days=days)
    return day.replace(hour=hour, minute=0, second=0, microsecond=0)


def _put_paper(connection: Connection, kind: Kind, stem: str, path: Path, made_at: datetime) -> None:
    """Put a brewhouse, a water or the stock in, under the name of its file, by which others refer to it."""
    slug: str = STOCK_SLUG if kind == "stock" else stem
    table = schema.papers
    there = connection.scalar(select(table.c.id).where(table.c.kind == kind, table.c.slug == slug))
    if there is None:
        name = STOCK_NAME if kind == "stock" else stem
        record_paper(connection, kind, text=text_of_file(path), name=name, slug=slug, made_at=made_at)


@attrs.frozen(kw_only=True)
class _Version:
    text: str
    why: str
    made_at: datetime
    brewhouse: str | None
    summary: Mapping[str, Any]


def _chain(stem: str, text: str, now: datetime, summarise: Summarise | None) -> tuple[_Version, ...]:
    """Return the versions of a beer, the oldest first."""
    house = parsed(text, stem).get("for_brewhouse")
    history = _HISTORIES.get(stem, _History((), FIRST_TYPED.days, "Typed from its card."))
    texts = [(rewrite(text, one.instead, name=stem), one.why, one.days_ago) for one in history.before]
    return tuple(
        _Version(
            text=written,
            why=why,
            made_at=now - timedelta(days=days_ago),
            brewhouse=house,
            summary=summarise(written, house) if summarise is not None else {},
        )
        for written, why, days_ago in (*texts, (text, history.why, history.days_ago))
    )


def _put_beer(connection: Connection, stem: str, chain: tuple[_Version, ...]) -> None:
    first, *later = (attrs.asdict(one, recurse=False) for one in chain)
    record_beer(connection, slug=stem, **first)
    for parent, one in enumerate(later, start=1):
        record_version(connection, beer_row(connection, stem), parent=parent, **one)
