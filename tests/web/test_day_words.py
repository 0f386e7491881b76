"""Days and hours in words."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.web.day_words import clock_words, date_words, margin_words, when_words

NOW = datetime(2026, 11, 25, 16, 40)
moments = st.datetimes(datetime(2020, 1, 1), datetime(2035, 1, 1))


@pytest.mark.parametrize(
    ("moment", "words"),
    [
        (datetime(2026, 11, 24, 23, 59), "yesterday"),
        (datetime(2026, 11, 25, 0, 0), "today"),
        (datetime(2026, 11, 26, 0, 0), "tomorrow"),
        (datetime(2026, 11, 27, 9, 0), "Friday 27 November"),
        (datetime(2027, 1, 2, 9, 0), "Saturday 2 January 2027"),
    ],
)
def test_a_day_is_said_as_one_says_it(moment: datetime, words: str) -> None:
    assert date_words(moment, NOW) == words


@pytest.mark.parametrize(
    ("moment", "words"),
    [
        (NOW - timedelta(days=3), "now"),
        (NOW, "now"),
        (NOW + timedelta(minutes=5), "today"),
        (NOW + timedelta(days=1), "tomorrow"),
        (NOW + timedelta(days=9), "in 9 days"),
        (NOW + timedelta(days=21), "in 3 weeks"),
        (NOW + timedelta(days=92), "in 3 months"),
    ],
)
def test_a_margin_says_how_far_off_it_is(moment: datetime, words: str) -> None:
    assert margin_words(moment, NOW) == words


def test_an_hour_is_said_with_its_minutes() -> None:
    assert (clock_words(datetime(2026, 1, 1, 9, 5)), clock_words(datetime(2026, 1, 1, 14, 0))) == ("9:05", "14:00")


@given(moments, moments)
def test_what_is_past_is_wanted_now_and_nothing_else_is(moment: datetime, now: datetime) -> None:
    assert (margin_words(moment, now) == "now") == (moment <= now)
    assert str(moment.day) in date_words(moment, now) or abs((moment.date() - now.date()).days) <= 1


@pytest.mark.parametrize(
    ("moment", "words"),
    [
        (datetime(2026, 11, 25, 9, 5), "today, 9:05"),
        (datetime(2026, 11, 24, 23, 59), "yesterday, 23:59"),
        (datetime(2026, 11, 20, 9, 0), "on Friday 20 November"),
        (datetime(2026, 11, 3, 9, 0), "on 3 November"),
        (datetime(2025, 12, 30, 9, 0), "on 30 December 2025"),
        (datetime(2026, 12, 30, 9, 0), "on 30 December"),  # by a clock that was wrong
    ],
)
def test_what_was_done_is_said_as_one_says_it_today(moment: datetime, words: str) -> None:
    assert when_words(moment.astimezone(), now=NOW.astimezone()) == words
