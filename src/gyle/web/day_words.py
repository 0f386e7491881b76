"""Days and hours as a diary says them, seen from a moment."""

from __future__ import annotations

from datetime import UTC, datetime

__all__ = ["clock_words", "date_words", "margin_words", "when_words"]

_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
           "November", "December")  # fmt: skip
_IN_DAYS, _IN_WEEKS = 14, 60  # up to so many days they are counted as days, then as weeks


def clock_words(moment: datetime) -> str:
    """Return the hour, "9:00"."""
    return f"{moment.hour}:{moment.minute:02d}"


def date_words(moment: datetime, now: datetime) -> str:
    """Return the day: "today", "tomorrow", "Thursday 26 November", with its year where that is another.

    Parameters
    ----------
    moment, now : datetime
        By one clock.
    """
    days = (moment.date() - now.date()).days
    near = {-1: "yesterday", 0: "today", 1: "tomorrow"}.get(days)
    if near is not None:
        return near
    year = "" if moment.year == now.year else f" {moment.year}"
    return f"{_DAYS[moment.weekday()]} {moment.day} {_MONTHS[moment.month - 1]}{year}"


def margin_words(moment: datetime, now: datetime) -> str:
    """Return how far off a moment is, short enough for a margin: "now", "tomorrow", "in 9 days"."""
    days = (moment.date() - now.date()).days
    if moment <= now:
        return "now"
    if days <= 1:
        return date_words(moment, now)
    if days <= _IN_DAYS:
        return f"in {days} days"
    return f"in {round(days / 7)} weeks" if days <= _IN_WEEKS else f"in {round(days / 30.4)} months"


def when_words(moment: datetime, *, now: datetime | None = None) -> str:
    """Return when something was done, by this machine's clock: "today, 9:05", "on Friday 20 November".

    Parameters
    ----------
    moment : datetime
        With a zone.
    now : datetime, optional
        The moment it is told at, with a zone; the present where none is given.
    """
    here = (now or datetime.now(UTC)).astimezone()
    then = moment.astimezone()
    days = (here.date() - then.date()).days
    if days in (0, 1):
        return f"{date_words(then, here)}, {clock_words(then)}"
    weekday = f"{_DAYS[then.weekday()]} " if 1 < days < 7 else ""
    year = f" {then.year}" if then.year != here.year else ""
    return f"on {weekday}{then.day} {_MONTHS[then.month - 1]}{year}"
