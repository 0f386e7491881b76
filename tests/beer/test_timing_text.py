"""`at`: every form of the grammar, its round trip, and one sentence for whatever is none of them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.beer.timing import Timing
from gyle.beer.timing_text import FORMS, read_at
from gyle.errors import BadInput


@pytest.mark.parametrize("text", FORMS)
def test_each_form_reads_and_writes_itself(text: str) -> None:
    assert read_at(text).text == text


@pytest.mark.parametrize(
    ("text", "timing"),
    [
        ("mash 1", Timing(stage="mash")),
        ("  Boil   60 Min ", Timing(stage="boil", minutes=60)),
        ("boil 1 h 15 min", Timing(stage="boil", minutes=75)),
        ("boil 0 min", Timing(stage="boil", minutes=0)),
        ("stand 176 °F 20 min", Timing(stage="stand", temperature_C=80, minutes=20)),
        ("stand 80°C 20 min", Timing(stage="stand", temperature_C=80, minutes=20)),
        ("stand 80 °C (176 °F) 20 min", Timing(stage="stand", temperature_C=80, minutes=20)),
        ("stand 79,5 C 0.5 h", Timing(stage="stand", temperature_C=79.5, minutes=30)),
        ("ferment day 3", Timing(stage="ferment", day=3)),
        ("dry day 4 3 days", Timing(stage="dry", day=4, contact_days=3)),
        ("dry day 4", Timing(stage="dry", day=4)),
        ("dry day 4, 72 h", Timing(stage="dry", day=4, contact_days=3)),
        ("dry stable 3 days 4 days", Timing(stage="dry", stable_days=3, contact_days=4)),
        ("dry 1 point above final 1 day", Timing(stage="dry", points_above_final=1, contact_days=1)),
    ],
)
def test_reads(text: str, timing: Timing) -> None:
    assert read_at(text) == timing


@pytest.mark.parametrize(
    ("text", "shows"),
    [
        ("", "does not say when"),
        ("whirlpool", "does not say when"),
        ("boil", "boil 60 min"),
        ("boil 60", "boil 60 min"),
        ("boil -5 min", "boil 60 min"),
        ("boil 700 min", "between 0 and 600"),
        ("stand 80 °C", "stand 80 °C 15 min"),
        ("stand 176 °C 20 min", "between 20 and 105"),
        ("mash 3", "one or two mashes"),
        ("dry", "dry day 2 4 days"),
        ("dry day 0 3 days", "day 1 is the day of pitching"),
        ("ferment day 3 4 days", "ferment day 3"),
        ("frist wort", "first wort"),
        ("keg 3", "keg"),
        ("boil 9" + "9" * 400 + " min", "between 0 and 600"),
    ],
)
def test_refuses_in_one_sentence(text: str, shows: str) -> None:
    with pytest.raises(BadInput) as error:
        read_at(text)
    assert shows in str(error.value)
    assert "\n" not in str(error.value)


@given(st.text(max_size=60))
def test_nothing_but_bad_input_escapes(text: str) -> None:
    try:
        timing = read_at(text)
    except BadInput as error:
        said = str(error)
    else:
        assert read_at(timing.text) == timing
        said = timing.text
    assert "\n" not in said


minutes = st.integers(0, 6000).map(lambda n: n / 10)
days = st.integers(5, 600).map(lambda n: n / 10)
TIMINGS = st.one_of(
    st.builds(Timing, stage=st.just("mash"), mash=st.integers(1, 2)),
    st.builds(Timing, stage=st.sampled_from(["sparge", "first wort", "chill", "pitch", "keg", "bottle"])),
    st.builds(Timing, stage=st.just("boil"), minutes=minutes),
    st.builds(
        Timing,
        stage=st.just("stand"),
        temperature_C=st.integers(300, 1000).map(lambda n: n / 10),
        minutes=st.integers(0, 200).map(float),
    ),
    st.builds(Timing, stage=st.just("ferment"), day=st.integers(1, 30).map(float)),
    st.builds(Timing, stage=st.just("ferment"), points_above_final=days),
    st.builds(
        Timing,
        stage=st.just("dry"),
        day=st.integers(1, 30).map(float),
        contact_days=st.none() | days,
    ),
    st.builds(Timing, stage=st.just("dry"), points_above_final=days, contact_days=st.none() | days),
    st.builds(Timing, stage=st.just("dry"), stable_days=days, contact_days=st.none() | days),
)


@given(TIMINGS)
def test_round_trip(timing: Timing) -> None:
    assert read_at(timing.text) == timing
