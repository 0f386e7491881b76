"""Planned gyles: what each wants next and when, by its plan and the hour it begins.

No reading is taken yet, so a gyle is where its plan says it is. What follows the pitching is said as "about".
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import attrs

from gyle.quantities import speaking
from gyle.share.sentences import as_sentence, joined
from gyle.web.day_words import clock_words, date_words, margin_words
from gyle.web.gyle_agendas import Agenda

if TYPE_CHECKING:
    from gyle.books.gyles import Gyle
    from gyle.books.store import Store
    from gyle.web.gyle_agendas import Agendas, Task

__all__ = ["SINCE", "GyleView", "gyle_view", "gyle_views"]

SINCE = timedelta(days=120)  # a gyle that began earlier is no longer under way
NEAREST = 24  # gyles whose plans are brewed for one page; of later ones only the beginning is told
AT_ONCE_MIN = 0.5  # what begins nearer than this is one thing to do
NOTE_LENGTH = 240


@attrs.frozen(kw_only=True)
class GyleView:
    """One gyle as a page tells of it."""

    gyle: Gyle
    slug: str
    href: str
    name: str
    version: int
    when: datetime  # when it wants attention, by the brewer's clock
    margin: str  # the same in a word or two
    sentence: str  # goes on from name and version, its comma or colon included
    beneath: str
    note: str
    trouble: str = ""
    way_out: str = ""  # where one is looked for, where it does not fit
    afresh: str = ""  # why it would be planned otherwise now


def gyle_views(
    store: Store, agendas: Agendas, *, system: str, now: datetime | None = None, beer: str | None = None
) -> tuple[GyleView, ...]:
    """Tell of every gyle under way, what wants attention soonest first.

    Parameters
    ----------
    store : Store
        The books.
    agendas : Agendas
        Where plans are kept once they are brewed.
    system : {"metric", "us"}
        The person's units.
    now : datetime, optional
        The moment it is told at, with a zone; the present where none is given.
    beer : str, optional
        Slug of the only beer to tell of.
    """
    from gyle.books import gyles

    moment = now or datetime.now(UTC)
    found = sorted(gyles.gyles(store, beer=beer, since=moment - SINCE), key=lambda one: abs(one.planned_start - moment))
    views: list[GyleView | None] = []
    for one in found[:NEAREST]:
        now_planned, afresh = _planned_afresh(store, one, moment, system)
        views.append(gyle_view(one, agendas.of(store, now_planned, system=system), now=moment, afresh=afresh))
    views += [gyle_view(one, None, now=moment) for one in found[NEAREST:] if one.planned_start > moment]
    return tuple(sorted((view for view in views if view is not None), key=lambda view: (view.when, view.slug)))


def _planned_afresh(store: Store, gyle: Gyle, now: datetime, system: str) -> tuple[Gyle, str]:
    """Return a gyle on its brewhouse as it is by now, if it has not begun, and what is otherwise than it was planned.

    One that has begun is on the brewhouse as it was then.
    """
    if gyle.planned_start <= now:
        return gyle, ""
    said = []
    if gyle.newest_version != gyle.version:
        said.append(f"version {gyle.newest_version} of the beer is newer")
    if gyle.newest_revision != gyle.revision:
        from gyle.books import brewhouses
        from gyle.web.brewhouse_changes import change_since

        house = brewhouses.brewhouse(store, gyle.brewhouse)
        with speaking(system):
            change = change_since(store, house, number=gyle.revision, system=system)
        if change.figures:
            said.append(
                f"{house.name} was changed since this was planned ({change.words}), and it is planned afresh here"
            )
        gyle = attrs.evolve(gyle, revision=house.number)
    return gyle, as_sentence("; ".join(said))


def gyle_view(gyle: Gyle, agenda: Agenda | str | None, *, now: datetime, afresh: str = "") -> GyleView | None:
    """Tell of one gyle in a sentence; None where its keg has been due for long.

    Parameters
    ----------
    gyle : Gyle
        The gyle.
    agenda : Agenda, str or None
        What it comes to, why it cannot be brewed, or None where that was not asked.
    now : datetime
        The moment it is told at, with a zone.
    afresh : str
        In a sentence, why it would be planned otherwise now.
    """
    start = gyle.local_start
    here = now.astimezone(start.tzinfo)
    if isinstance(agenda, Agenda):
        told = _next(start, agenda, here)
        if told is None:
            return None
        when, sentence = told
        beneath = _beneath(gyle, agenda, start, here)
        trouble = "" if not agenda.short_of else as_sentence(f"it does not fit: {agenda.short_of[0]}")
        away = f"/beers/{gyle.beer}/adapt?version={gyle.version}&to={gyle.brewhouse}" if agenda.short_of else ""
    else:
        when = start
        begins = "begins" if start > here else "was to begin"
        sentence = f", {begins} {date_words(start, here)}, {clock_words(start)}."
        beneath = f"On {gyle.brewhouse_name}."
        trouble = "" if agenda is None else as_sentence(f"it cannot be brewed as planned: {agenda}")
        away = ""
    return GyleView(
        gyle=gyle,
        slug=gyle.slug,
        # The newest is looked at where one goes on with it; an older one as it was saved.
        href=f"/beers/{gyle.beer}" + ("" if gyle.version == gyle.newest_version else f"?version={gyle.version}"),
        name=gyle.beer_name,
        version=gyle.version,
        when=when,
        margin=margin_words(when, here),
        sentence=sentence,
        beneath=beneath,
        note=_short(gyle.note),
        trouble=trouble,
        way_out=away,
        afresh=afresh,
    )


def _next(start: datetime, agenda: Agenda, now: datetime) -> tuple[datetime, str] | None:
    """What is next and when."""
    if now < start:
        first = f": {agenda.day[0].words}" if agenda.day else ""
        return start, f", begins {date_words(start, now)}, {clock_words(start)}{first}."
    gone_min = (now - start) / timedelta(minutes=1)
    if gone_min < agenda.pitched_min:
        return _at_hand(start, agenda.day, gone_min, now)
    waiting = [task for task in agenda.later if task.until_min > gone_min]
    if not waiting:
        return None
    due = _after(start, waiting[0].due_min)
    together = [task for task in waiting if _same_thing(task, waiting[0], start)]
    return due, f": {_said_later(together, due, now)}."


def _at_hand(start: datetime, day: Sequence[Task], gone_min: float, now: datetime) -> tuple[datetime, str]:
    """The step the plan has come to, and what follows it."""
    begun = [task for task in day if task.due_min <= gone_min]
    task = begun[-1]
    coming = day[len(begun) :]
    ends = clock_words(_after(start, task.until_min))
    said = f": by its plan it is time to {task.words}, until about {ends}"
    if coming:
        then = [one.words for one in coming if one.due_min < coming[0].due_min + AT_ONCE_MIN]
        said += f"; then {joined(then)}"
    return now, f"{said}."


def _said_later(tasks: Iterable[Task], due: datetime, now: datetime) -> str:
    tasks = list(tasks)
    words = joined([task.words for task in tasks])
    day = date_words(due, now)
    past = due.date() < now.date()
    near = day in ("today", "tomorrow")
    if tasks[0].waits:
        if past:
            return f"by its plan its gravity has been worth a look since {day}; {words}"
        since = "from today on" if day == "today" else f"from {day} on" if near else f"from about {day} on"
        return f"look at its gravity {since}, and {words}"
    if past:
        return f"{words}; by its plan that was {day if day == 'yesterday' else f'about {day}'}"
    return f"{words}, due {day}" if near else f"{words}, due about {day}"


def _same_thing(one: Task, first: Task, start: datetime) -> bool:
    same_day = _after(start, one.due_min).date() == _after(start, first.due_min).date()
    return same_day and one.waits == first.waits


def _beneath(gyle: Gyle, agenda: Agenda, start: datetime, now: datetime) -> str:
    """Where, and how it goes on from there."""
    pitched = _after(start, agenda.pitched_min)
    parts = [f"On {gyle.brewhouse_name}"]
    if now < pitched:
        parts.append(f"pitched about {clock_words(pitched)}")
    elif agenda.later and now < _after(start, agenda.later[-1].due_min):
        parts.append(f"fermenting since {date_words(pitched, now)} by its plan")
    if agenda.later and now < _after(start, agenda.later[-1].due_min):
        parts.append(f"into the keg about {date_words(_after(start, agenda.later[-1].due_min), now)}")
    return ", ".join(parts) + "."


def _after(start: datetime, minutes: float) -> datetime:
    """A moment of the plan by the brewer's clock; the hours in between are those of the sun."""
    return (start.astimezone(UTC) + timedelta(minutes=minutes)).astimezone(start.tzinfo)


def _short(note: str) -> str:
    line = " ".join(note.split())
    return line if len(line) <= NOTE_LENGTH else line[: NOTE_LENGTH - 1].rstrip() + "…"
