"""The form that plans a gyle: what it offers, and what becomes of it when it is sent."""

from __future__ import annotations

import functools
import re
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import attrs

from gyle.books import beers, brewhouses, gyles
from gyle.errors import BadInput
from gyle.share.sentences import as_sentence, plain
from gyle.web.beer_state import whole_number
from gyle.web.gyle_plans import SINCE
from gyle.web.local_zone import local_zone

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from gyle.books.gyles import Gyle
    from gyle.books.papers import Paper
    from gyle.books.store import Store
    from gyle.books.versions import RecipeVersion

__all__ = ["GyleForm", "gyle_form", "move_form", "moved", "planned"]

_WHEN = re.compile(r"([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})[T ]+([0-9]{1,2})[:.]([0-9]{2})(?::[0-9]{2})?")
_USUAL_HOUR = 9
_QUOTED = 40


@attrs.frozen(kw_only=True)
class GyleForm:
    """What stands in the form and what is wrong with it."""

    versions: tuple[tuple[str, str], ...]  # value and words of each choice
    brewhouses: tuple[tuple[str, str], ...]
    zone: str
    typed: Mapping[str, str]
    faults: Mapping[str, str] = attrs.field(factory=dict)  # by field
    key: str = "gyle"  # what its fields' ids begin with
    slug: str = ""  # of the gyle that is moved


def gyle_form(
    store: Store,
    family: Sequence[RecipeVersion],
    *,
    typed: Mapping[str, str] | None = None,
    faults: Mapping[str, str] | None = None,
) -> GyleForm:
    """Return the form for a beer.

    Parameters
    ----------
    store : Store
        The books.
    family : sequence of RecipeVersion
        The beer's versions, the newest first.
    typed, faults : mapping, optional
        What was sent and is wrong, by field.
    """
    houses = tuple((house.slug, house.name) for house in brewhouses.brewhouses(store))
    newest = family[0]
    own = newest.brewhouse if newest.brewhouse in dict(houses) else ""
    tomorrow = datetime.now() + timedelta(days=1)
    usual = {
        "version": str(newest.number),
        "brewhouse": own or (houses[0][0] if houses else ""),
        "start": f"{tomorrow:%Y-%m-%d}T{_USUAL_HOUR:02d}:00",
        "note": "",
    }
    return GyleForm(
        versions=tuple((str(one.number), f"version {one.number}") for one in family),
        brewhouses=houses,
        zone=local_zone(),
        typed={**usual, **(typed or {})},
        faults=faults or {},
    )


def move_form(
    store: Store,
    gyle: Gyle,
    *,
    typed: Mapping[str, str] | None = None,
    faults: Mapping[str, str] | None = None,
    houses: Sequence[Paper] | None = None,
) -> GyleForm:
    """Return the form that moves a planned gyle, as it stands in it now.

    Parameters
    ----------
    store : Store
        The books.
    gyle : Gyle
        The gyle.
    typed, faults : mapping, optional
        What was sent and is wrong, by field.
    houses : sequence of Paper, optional
        The brewhouses, where they are at hand.
    """
    zone = local_zone()
    stands = {
        "version": str(gyle.version),
        "brewhouse": gyle.brewhouse,
        "start": f"{gyle.planned_start.astimezone(ZoneInfo(zone)):%Y-%m-%dT%H:%M}",
        "note": gyle.note,
    }
    found = brewhouses.brewhouses(store) if houses is None else houses
    return GyleForm(
        versions=tuple((str(number), f"version {number}") for number in range(gyle.newest_version, 0, -1)),
        brewhouses=tuple((house.slug, house.name) for house in found),
        zone=zone,
        typed={**stands, **(typed or {})},
        faults=faults or {},
        key=f"gyle-{gyle.id}",
        slug=gyle.slug,
    )


def planned(store: Store, slug: str, typed: Mapping[str, str]) -> tuple[Gyle | None, Mapping[str, str]]:
    """Plan a gyle as the form was sent.

    Returns
    -------
    tuple of Gyle or None, and mapping
        The gyle, or the sentence for each field that is wrong.
    """
    return _kept(store, slug, typed, functools.partial(gyles.plan_gyle, store, slug))


def moved(store: Store, gyle: Gyle, typed: Mapping[str, str]) -> tuple[Gyle | None, Mapping[str, str]]:
    """Move a gyle as the form was sent; returns as `planned` does."""
    return _kept(store, gyle.beer, typed, functools.partial(gyles.move_gyle, store, gyle.slug))


def _kept(
    store: Store, slug: str, typed: Mapping[str, str], keep: Callable[..., Gyle]
) -> tuple[Gyle | None, Mapping[str, str]]:
    faults: dict[str, str] = {}
    number = typed.get("version", "")
    wanted = whole_number(number)
    if wanted is None or not 1 <= wanted <= beers.beer(store, slug).newest:
        faults["version"] = f"There is no version {_quoted(number)} of this beer; choose one of the list."
    houses = {house.slug for house in brewhouses.brewhouses(store)}
    house = typed.get("brewhouse", "")
    if not houses:
        faults["brewhouse"] = "There is no brewhouse yet to brew it on; describe yours first."
    elif house not in houses:
        faults["brewhouse"] = f"There is no brewhouse {_quoted(house)}; choose one of the list."
    start = _start(typed.get("start", ""), faults)
    if start is None or wanted is None or faults:
        return None, faults
    note = typed.get("note", "").replace("\r\n", "\n")
    try:
        made = keep(version=wanted, brewhouse=house, planned_start=start, zone=local_zone(), note=note)
    except BadInput as error:
        return None, {"note" if "note" in error.faults[0] else "start": as_sentence(error.faults[0])}
    return made, {}


def _start(text: str, faults: dict[str, str]) -> datetime | None:
    """Read a local date and time; the zone is added where it is kept."""
    found = _WHEN.fullmatch(text.strip())
    try:
        start = datetime(*(int(part) for part in found.groups())) if found else None  # type: ignore[arg-type]
    except ValueError:
        start = None
    if start is None:
        example = datetime.now() + timedelta(days=1)
        wrong = f"{_quoted(text)} is no date and time" if plain(text).strip() else "There is no start yet"
        faults["start"] = f"{wrong}; write year, month, day and hour, such as {example:%Y-%m-%d} {_USUAL_HOUR:02d}:00."
        return None
    if start < (datetime.now(UTC) - SINCE).replace(tzinfo=None):
        faults["start"] = (
            f"The start {_quoted(text)} is more than {SINCE.days} days past; a gyle is planned ahead, or as it begins."
        )
        return None
    return start


def _quoted(text: str) -> str:
    line = " ".join(plain(text).split())
    return f"“{line[:_QUOTED]}{'…' if len(line) > _QUOTED else ''}”" if line else "with nothing chosen"
