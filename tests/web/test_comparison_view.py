"""Two recipes held against each other as a page tells it; where one cannot be read or brewed, that is told instead."""

from __future__ import annotations

import re
from types import SimpleNamespace
from typing import cast

import pytest
from hypothesis import given
from hypothesis import strategies as st
from starlette.requests import Request

from gyle.books import versions
from gyle.books.store import Store
from gyle.decide.difference import figure_differences
from gyle.line.figures import Band
from gyle.quantities import speaking
from gyle.web.beer_state import forecast_of
from gyle.web.comparison_sides import Side
from gyle.web.comparison_view import Comparison, DifferenceRow, compared, difference_rule
from gyle.web.forecasts import Forecasts

MINUS = "−"


@pytest.fixture
def request_of(store: Store) -> Request:
    """As much of a request as a comparison asks for."""
    state = SimpleNamespace(store=store, forecasts=Forecasts())
    return cast(Request, SimpleNamespace(app=SimpleNamespace(state=state)))


def text_of(request: Request, number: int, beer: str = "copper-beacon") -> str:
    return versions.version(request.app.state.store, beer, number).text


def side(text: str, words: str) -> Side:
    return Side(key=words, words=words, text=text, href="/")


def told(request: Request, old: str, new: str, system: str = "metric") -> Comparison:
    with speaking(system):
        return compared(request, side(old, "version 1"), side(new, "version 2"), system=system)


def rows(groups: tuple[tuple[str, tuple[DifferenceRow, ...]], ...]) -> dict[str, DifferenceRow]:
    found = [(f"{station}: {row.words}", row) for station, group in groups for row in group]
    assert len(dict(found)) == len(found)  # no two rows are called alike
    return dict(found)


def number(text: str) -> float:
    found = re.match(rf"[+{MINUS}]?[0-9.]+", text)
    assert found, text
    return float(found[0].replace(MINUS, "-"))


def test_a_stronger_beer_is_told_by_its_inputs_and_its_figures(request_of: Request) -> None:
    old, new = text_of(request_of, 1), text_of(request_of, 2)
    found = told(request_of, old, new)
    changes = {station: {change.what: change for change in changes} for station, changes in found.changes}
    assert list(changes) == ["Mash", "Kettle", "Fermenter"]  # from water to glass
    sugar = changes["Kettle"]["sucrose"]
    assert (sugar.how, sugar.before) == ("added", "")
    assert sugar.after.startswith("10 %")
    aim = changes["Fermenter"]["aim: original gravity"]
    assert (aim.before, aim.after) == ("1.088", "1.102")
    assert found.follows
    assert all(change.kind == "follows" for change in found.follows)
    telling = rows(found.telling)
    alcohol = telling["Fermenter: alcohol by volume"]
    assert number(alcohol.difference) == pytest.approx(number(alcohol.after) - number(alcohol.before), abs=0.11)
    assert number(alcohol.difference) > 1.0
    assert "original gravity" in found.sentence.lower()
    assert not set(telling) & set(rows(found.rest))
    assert (found.telling_count, found.rest_count) == (len(telling), len(rows(found.rest)))


def test_the_difference_is_that_of_common_draws(request_of: Request) -> None:
    old, new = text_of(request_of, 1), text_of(request_of, 2)
    found = rows(told(request_of, old, new).telling)["Fermenter: original gravity"]
    low, high = (float(end) for end in found.difference_ends.split(" to "))
    before_low, before_high = (float(end) for end in found.before_ends.split(" to "))
    # It is far surer than either figure, and what the page shows is what the draws say.
    assert high - low < 0.5 * (before_high - before_low)
    with speaking("metric"):
        plans = [forecast_of(request_of, text).plan for text in (old, new)]
    drawn = next(one for one in figure_differences(*plans) if one.name == "fermenter.original_gravity").difference
    assert drawn is not None
    assert [low, high] == pytest.approx([drawn.low, drawn.high], abs=6e-5)


def test_swapped_the_signs_turn(request_of: Request) -> None:
    old, new = text_of(request_of, 1), text_of(request_of, 2)
    forth, back = told(request_of, old, new), told(request_of, new, old)
    assert {change.how for _, changes in back.changes for change in changes} >= {"taken out"}
    one, other = rows(forth.telling), rows(back.telling)
    assert one.keys() == other.keys()
    for words in one:
        assert one[words].difference.lstrip(f"+{MINUS}") == other[words].difference.lstrip(f"+{MINUS}")
        assert one[words].difference[0] != other[words].difference[0]
        assert (one[words].before, one[words].after) == (other[words].after, other[words].before)


def test_a_recipe_is_like_itself(request_of: Request) -> None:
    text = text_of(request_of, 4)
    found = told(request_of, text, text + "# a remark\n")
    assert (found.changes, found.follows, found.telling, found.alone) == ((), (), (), ())
    assert found.read
    assert found.sentence.startswith("Alike")
    assert all(number(row.difference) == 0.0 for row in rows(found.rest).values())


def test_it_is_told_in_the_persons_units(request_of: Request) -> None:
    found = told(request_of, text_of(request_of, 1), text_of(request_of, 2), "us")
    row = rows(found.telling)["Mash: mash in the vessel"]
    assert "gal" in row.before + row.difference
    assert all("gal" in reach.volume for ribbon in found.ribbons for reach in ribbon.reaches)


def test_what_one_alone_has_is_set_apart(request_of: Request) -> None:
    twice = text_of(request_of, 4).replace(
        '[[mash]]\ntemperature = "76 °C"',
        '[[mash]]\ntemperature = "66 °C"\ntime = "60 min"\nmash = 2\n\n[[mash]]\ntemperature = "76 °C"',
    )
    assert "mash = 2" in twice
    found = told(request_of, text_of(request_of, 4), twice)
    alone = rows(found.alone)
    assert alone
    assert found.alone_count == len(alone)
    assert {row.only for row in alone.values()} <= {"only in version 1", "only in version 2"}
    assert all(row.rule is None and bool(row.before) != bool(row.after) for row in alone.values())


def test_what_cannot_be_brewed_still_tells_what_was_changed(request_of: Request) -> None:
    good = text_of(request_of, 4)
    found = told(request_of, good, good.replace('"1.102"', '"1.195"'))
    assert found.read
    assert found.changes
    assert (found.telling, found.rest, found.ribbons) == ((), (), ())
    assert all(line.startswith("Version 2 cannot be brewed") and line.endswith(".") for line in found.cannot)
    assert found.cannot


@pytest.mark.parametrize(
    "text", ["", "not toml at all", 'name = "<script>alert(1)</script>"\nvolume = "NaN L"', "\x00"]
)
def test_what_cannot_be_read_is_told_in_sentences(request_of: Request, text: str) -> None:
    good = text_of(request_of, 4)
    for old, new in ((good, text), (text, good), (text, text)):
        found = told(request_of, old, new)
        assert not found.read
        assert found.cannot
        assert all("cannot be read" in line and line.isprintable() for line in found.cannot)


@given(
    mean=st.floats(-1e6, 1e6),
    spread=st.floats(0.0, 1e6),
    worth=st.floats(1e-6, 1e3),
)
def test_a_rule_keeps_everything_on_it_and_zero_in_its_middle(mean: float, spread: float, worth: float) -> None:
    rule = difference_rule(Band(mean=mean, low=mean - spread, high=mean + spread, median=mean), worth=worth)
    low, width, at, worth_low, worth_width = (
        float(part.rstrip("%")) for part in (rule.low, rule.width, rule.mean, rule.worth_low, rule.worth_width)
    )
    assert 0.0 <= low <= at + 0.02
    assert at <= low + width + 0.02 <= 100.04
    assert worth_low + worth_width / 2.0 == pytest.approx(50.0, abs=0.02)
    assert worth_low >= 0.0
    if abs(mean) > 0.1 * max(spread, worth):
        assert (at > 50.0) is (mean > 0.0)


@given(mean=st.floats(-10.0, 10.0), worth=st.floats(0.1, 20.0))
def test_a_mean_is_inside_the_noise_on_paper_when_it_is_in_truth(mean: float, worth: float) -> None:
    rule = difference_rule(Band(mean=mean, low=mean, high=mean, median=mean), worth=worth)
    far = abs(float(rule.mean.rstrip("%")) - 50.0)
    edge = float(rule.worth_width.rstrip("%")) / 2.0
    assert far <= edge + 0.02 if abs(mean) <= worth else far >= edge - 0.02
