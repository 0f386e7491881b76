"""What a planned gyle has a brewer do and when, by its plan: the hours of the day, and the days after the pitching.

No reading is taken yet, so a gyle is where its plan says it is.
"""

from __future__ import annotations

import logging
from datetime import timedelta
from typing import TYPE_CHECKING

import attrs

from gyle.books import brewhouses, versions
from gyle.books.papers import papers_mark
from gyle.errors import GyleError
from gyle.quantities import speaking
from gyle.share.sentences import faults_of
from gyle.web.last_few import LastFew
from gyle.web.readings import recipe_of

if TYPE_CHECKING:
    from gyle.beer.brewhouse import Brewhouse
    from gyle.beer.recipe import Recipe
    from gyle.books.gyles import Gyle
    from gyle.books.store import Store
    from gyle.line.brew import Step

__all__ = ["Agenda", "Agendas", "Task"]

LINGERS = timedelta(days=14)  # how long one is told of after its keg was due
KEPT = 128
# From here on a gravity is worth taking where an addition waits for one. Provenance: ours.
FIRST_GRAVITY_MIN = 2.0 * 1440.0
DAY_MIN = 1440.0

_log = logging.getLogger(__name__)


@attrs.frozen(kw_only=True)
class Task:
    """One thing a plan has a brewer do; times [min] are from the beginning."""

    words: str
    due_min: float
    until_min: float  # from then on it is taken as done
    waits: bool = False  # for a gravity, so that no day can be named


@attrs.frozen(kw_only=True)
class Agenda:
    """A plan as a calendar sees it."""

    day: tuple[Task, ...]  # up to the pitching
    later: tuple[Task, ...]  # in the order they come due; the last fills the keg
    pitched_min: float
    short_of: tuple[str, ...] = ()


@attrs.frozen(kw_only=True)
class _Made:
    """What a gyle came to, and what of the books that rested on."""

    mark: tuple[int, int]
    house: Brewhouse | None  # None where it cannot be read
    agenda: Agenda | str


class Agendas:
    """What planned gyles come to, each brewed once.

    A version and a revision never change; the report of the water that its tap gives may.

    Parameters
    ----------
    kept : int
        How many are kept.
    """

    def __init__(self, kept: int = KEPT) -> None:
        self._found: LastFew[tuple[str, int, str, int, str], _Made] = LastFew(kept)

    def of(self, store: Store, gyle: Gyle, *, system: str) -> Agenda | str:
        """Return what a gyle comes to, or the sentence that says why it cannot be brewed."""
        key = (gyle.beer, gyle.version, gyle.brewhouse, gyle.revision, system)
        mark = papers_mark(store)
        known = self._found.get(key)
        if known is not None and known.mark == mark:
            return known.agenda
        house: Brewhouse | None = None
        try:
            with speaking(system):
                house = _house(store, gyle)
                if known is not None and known.house == house and isinstance(known.agenda, Agenda):
                    # It was another paper that changed.
                    return self._found.put(key, attrs.evolve(known, mark=mark)).agenda
                recipe = recipe_of(store, versions.version(store, gyle.beer, gyle.version).text)
                made: Agenda | str = _agenda(recipe, house, system)
        except GyleError as error:
            made = faults_of(error)[0]
        except Exception as error:  # a fault of ours in one gyle must not take the shelf away
            _log.exception("gyle %s could not be planned", gyle.slug)
            return f"this is a fault of gyle and not of yours ({type(error).__name__})"
        return self._found.put(key, _Made(mark=mark, house=house, agenda=made)).agenda


def _house(store: Store, gyle: Gyle) -> Brewhouse:
    """The brewhouse as it was when the gyle was planned, its tap giving what its water's newest report says."""
    kept = brewhouses.brewhouse(store, gyle.brewhouse, number=gyle.revision)
    return brewhouses.brewhouse_read(store, kept)


def _agenda(recipe: Recipe, house: Brewhouse, system: str) -> Agenda:
    from gyle.decide.origin import with_habit
    from gyle.decide.plan import plan

    found = plan(recipe, with_habit(house))
    told = [(step, _words(step, found.brew, system)) for step in found.steps if step.move.process != "pour"]
    pitch = next(place for place, (step, _) in enumerate(told) if step.move.process == "pitch")
    pitched = float((told[pitch][0].start_min + told[pitch][0].minutes).mean())
    day = tuple(_on_the_day(step, words) for step, words in told[: pitch + 1])
    after = [(step, words) for step, words in told[pitch + 1 :] if step.move.process != "ferment"]
    keg = next((float(step.start_min.mean()) for step, _ in after if step.move.process == "package"), pitched)
    later = sorted((_later(step, words, pitched, keg) for step, words in after), key=lambda task: task.due_min)
    return Agenda(day=day, later=tuple(later), pitched_min=pitched, short_of=found.short_of)


def _words(step: Step, brew: object, system: str) -> str:
    from gyle.line.words import sentence

    said = sentence(step, brew, system=system)  # type: ignore[arg-type]
    return said[:1].lower() + said[1:]


def _on_the_day(step: Step, words: str) -> Task:
    start = float(step.start_min.mean())
    return Task(words=words, due_min=start, until_min=start + float(step.minutes.mean()))


def _later(step: Step, words: str, pitched: float, keg: float) -> Task:
    """Give a day to what follows the pitching: the stated one, or the one the keg's day asks for."""
    inputs = step.move.inputs
    at = inputs.get("at") or next((dose["at"] for dose in inputs.get("doses", ())), None)
    if step.move.process == "package":
        said = words.partition(":")[0]  # how much it will be is the forecast's to say, with its band
        return Task(words=said, due_min=keg, until_min=keg + LINGERS / timedelta(minutes=1))
    if at is not None and at.day is not None:
        due = pitched + max(at.day - 1.0, 0.0) * DAY_MIN
        said = words.replace(f" on day {at.day:g}", "", 1)  # the calendar's day is said instead
        return Task(words=said, due_min=due, until_min=due + DAY_MIN)
    contact = DAY_MIN * float(inputs.get("days", 0.0) or 0.0)
    last = max(keg - contact, pitched)
    if at is not None and at.points_above_final is not None:
        first = min(pitched + FIRST_GRAVITY_MIN, last)
        return Task(words=words, due_min=first, until_min=last, waits=True)
    if at is not None and at.stable_days is not None:
        return Task(words=words, due_min=last, until_min=last + DAY_MIN, waits=True)
    return Task(words=words, due_min=pitched, until_min=pitched + DAY_MIN)
